//! What is found of masses that come and go. Not for: figures and sheets.

use super::stability::{gm_by_inclining_m, gm_by_roll_m, gm_ratio_by_roll};
use crate::boat::{BoatSpec, Input};
use crate::constants::GRAVITY_M_S2;
use crate::hull::HullError;
use crate::notice::Notice;
use crate::options::{MassMove, Waterplane};
use crate::spread::Interval;

/// A mass that comes or goes, with its place across her.
#[derive(Debug, Clone, PartialEq)]
pub struct Moved {
    /// What, how much, where along and how high.
    pub mass: MassMove,
    /// Its middle to starboard of the middle line \[m\]; to port below zero.
    pub aside_m: Option<f64>,
    /// Half the 80 % band of its mass \[kg\].
    pub half_band_kg: f64,
    /// Taken from another part of the document, not from the list of masses.
    pub is_from_part: bool,
}

/// An inclining test as it was made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Inclining {
    /// What was carried across \[kg\].
    pub moved_kg: f64,
    /// How far \[m\].
    pub by_m: f64,
    /// Heel that it made \[rad\].
    pub heel_rad: f64,
}

/// What is asked.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WeightsAsked {
    /// What comes out and goes in.
    pub moved: Vec<Moved>,
    /// An inclining test, made with these masses as they are now.
    pub inclining: Option<Inclining>,
    /// Period of a whole roll now \[s\].
    pub roll_s: Option<f64>,
    /// The same before the masses moved, with the same rig \[s\].
    pub roll_before_s: Option<f64>,
}

/// Why a naval architect must look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Looked {
    /// What goes in outweighs what came out by a share of her displacement.
    Heavier,
    /// What goes in stands higher than what came out.
    Higher,
    /// By the periods of her roll she has lost initial stability.
    MoreTender,
    /// By the weight that was moved she has little.
    Tender,
}

impl Looked {
    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Heavier => {
                "what goes in outweighs what came out by more than a twentieth of her displacement"
            }
            Self::Higher => "what goes in stands higher than what came out",
            Self::MoreTender => {
                "by the periods of her roll she has lost more than a tenth of her initial stability"
            }
            Self::Tender => {
                "by the weight that was moved her metacentric height is less than 0.35 m: the heel was misread, or she is tender"
            }
        }
    }
}

/// What was found.
#[derive(Debug, Clone)]
pub struct WeightsStudy {
    /// What was asked.
    pub asked: WeightsAsked,
    /// Her displacement \[kg\].
    pub displacement_kg: Interval,
    /// Of what comes aboard \[kg\].
    pub in_kg: f64,
    /// Of what leaves her \[kg\].
    pub out_kg: f64,
    /// Gained in all \[kg\].
    pub net_kg: Interval,
    /// Mass that sinks her by a centimetre \[kg\].
    pub per_centimetre_kg: Interval,
    /// Deeper at the fore end of the waterline \[m\].
    pub bow_m: Interval,
    /// Deeper at its after end \[m\].
    pub stern_m: Interval,
    /// Masses without a place along her \[kg\], in all.
    pub unplaced_kg: f64,
    /// Heeling moment to starboard \[N m\]; `None` where no mass tells its place across.
    pub heeling_n_m: Option<f64>,
    /// Heel that it makes \[rad\], where an inclining test was made.
    pub heel_rad: Option<Interval>,
    /// How much her centre of gravity rises \[m\]; `None` where no mass tells its height.
    pub gravity_rises_m: Option<Interval>,
    /// Metacentric height by the inclining test \[m\].
    pub gm_by_inclining_m: Option<Interval>,
    /// By the period of her roll \[m\].
    pub gm_by_roll_m: Option<Interval>,
    /// Metacentric height now over before.
    pub gm_ratio: Option<Interval>,
    /// Why a naval architect must look.
    pub looked: Vec<Looked>,
    /// What to read first.
    pub notices: Vec<Notice>,
}

/// Half the band of a heel that is read off a plumb line or a phone \[rad\]: a tenth of a degree, from memory.
const HEEL_READ_RAD: f64 = 0.1 * std::f64::consts::PI / 180.0;
/// Of weight and way of what is carried, as a share; from memory.
const CARRIED_SHARE: f64 = 0.02;
/// Half the band of a period by ten rolls and a stop watch, as a share; from memory.
const PERIOD_SHARE: f64 = 0.02;
/// Constant of the roll: lowest, usual, highest, with feet; from memory, the usual one of deck examinations.
const ROLL_CONSTANT: [f64; 3] = [0.36, 0.44, 0.50];
/// How far her centre of gravity lies above or below the waterline at most \[m\]; sailing boats, from memory.
const GRAVITY_FROM_WATERLINE_M: f64 = 0.3;
/// Half the band of what is read off a waterplane, as a share: as measured, and as estimated; the second as its estimate errs.
const PLANE_SHARE: [f64; 2] = [0.03, 0.1];
/// Share of the displacement past which somebody must look; from memory.
const HEAVIER_SHARE: f64 = 0.05;
/// Metacentric height below which somebody must look \[m\]: the least of the rules for fishing vessels, from memory.
const LEAST_GM_M: f64 = 0.35;
/// Ratio of metacentric heights below which somebody must look; judgement.
const TENDER_RATIO: f64 = 0.9;

impl WeightsStudy {
    /// What `asked` does to `spec`.
    /// # Errors
    /// [`HullError`] where her waterplane cannot be told.
    pub fn of(spec: &BoatSpec, asked: WeightsAsked) -> Result<Self, HullError> {
        let boat = &spec.boat;
        let plane = Waterplane::of(boat)?;
        let displacement = spec.uncertain.iter().find(|one| one.input == Input::Displacement);
        let displacement_kg = displacement.map_or_else(
            || Interval::exact(boat.form.displacement_kg),
            |one| Interval { value: one.spread.median, p10: one.spread.p10, p90: one.spread.p90 },
        );
        let share = (displacement_kg.p90 - displacement_kg.p10) / (2.0 * displacement_kg.value);
        let masses: Vec<MassMove> = asked.moved.iter().map(|moved| moved.mass.clone()).collect();
        let floating = plane.with(&masses);
        let sum = |of: &dyn Fn(&Moved) -> Option<f64>| -> Option<f64> {
            asked.moved.iter().filter_map(of).map(Some).reduce(|a, b| Some(a? + b?)).flatten()
        };
        let (in_kg, out_kg) = masses.iter().fold((0.0, 0.0), |(into, out), mass| {
            (into + mass.mass_kg.max(0.0), out - mass.mass_kg.min(0.0))
        });
        let forward = plane.centre_aft_m / plane.length_m;
        let plane_share = PLANE_SHARE[usize::from(boat.form.waterplane_area_m2.is_none())];
        let about = |value: f64, off: f64| Interval { value, p10: value - off, p90: value + off };
        // At an end, so far abaft the centre of the waterplane as a share of its length: sinkage and trim with what each mass
        // and the waterplane may be off.
        let end = |abaft: f64| {
            let [sinks, trims] = [floating.sinkage_m, abaft * floating.trim_aft_m];
            let of_mass = |moved: &Moved| {
                let arm = moved.mass.aft_m.map_or(0.0, |aft| aft - plane.centre_aft_m);
                let per_kg =
                    1.0 / plane.mass_per_sinkage_kg_m() + abaft * arm / plane.moment_per_trim_kg_m_m();
                (moved.half_band_kg * per_kg).powi(2)
            };
            let masses: f64 = asked.moved.iter().map(of_mass).sum();
            about(
                sinks + trims,
                (masses + (plane_share * sinks).powi(2) + (plane_share * trims).powi(2)).sqrt(),
            )
        };
        let net_off = asked.moved.iter().map(|moved| moved.half_band_kg.powi(2)).sum::<f64>().sqrt();
        let per_centimetre_kg = plane.mass_per_sinkage_kg_m() / 100.0;
        let gm = asked.inclining.map(|test| {
            let value = gm_by_inclining_m(test.moved_kg, test.by_m, test.heel_rad, displacement_kg.value);
            let off = share.hypot(HEEL_READ_RAD / test.heel_rad.abs()).hypot(CARRIED_SHARE);
            Interval { value, p10: value / (1.0 + off), p90: value * (1.0 + off) }
        });
        let moment_kg_m = sum(&|moved| Some(moved.mass.mass_kg * moved.aside_m?));
        let heel = |gm_m: f64| moment_kg_m.map(|moment| (moment / (displacement_kg.value * gm_m)).atan());
        let height_kg_m = sum(&|moved| Some(moved.mass.mass_kg * moved.mass.height_m?));
        let of_height_kg = sum(&|moved| moved.mass.height_m.map(|_| moved.mass.mass_kg)).unwrap_or(0.0);
        let now_kg = displacement_kg.value;
        let gravity_rises_m = height_kg_m.map(|moment| {
            let value = moment / now_kg;
            // The displacement of the document may be that before or after: both lie in the band.
            let other = moment / (now_kg + floating.mass_kg).max(0.1 * now_kg);
            let off = of_height_kg.abs() * GRAVITY_FROM_WATERLINE_M / now_kg
                + share * value.abs()
                + (other - value).abs();
            Interval { value, p10: value - off, p90: value + off }
        });
        let beam_m = boat.form.beam_waterline_m;
        let gm_by_roll_m = asked.roll_s.map(|period_s| {
            let [p10, value, p90] = ROLL_CONSTANT.map(|constant| gm_by_roll_m(beam_m, period_s, constant));
            Interval { value, p10, p90 }
        });
        let gm_ratio = asked.roll_before_s.zip(asked.roll_s).map(|(before_s, now_s)| {
            let value = gm_ratio_by_roll(before_s, now_s);
            let off = 2.0 * PERIOD_SHARE.hypot(PERIOD_SHARE);
            Interval { value, p10: value * (1.0 - off), p90: value * (1.0 + off) }
        });
        let mean_height = |is_in: bool| {
            let of_side =
                |moved: &&Moved| (moved.mass.mass_kg > 0.0) == is_in && moved.mass.height_m.is_some();
            let (mass, moment) =
                asked.moved.iter().filter(of_side).fold((0.0, 0.0), |(mass, moment), moved| {
                    let kg = moved.mass.mass_kg.abs();
                    (mass + kg, moment + kg * moved.mass.height_m.unwrap_or(0.0))
                });
            (mass > 0.0).then(|| moment / mass)
        };
        let is_higher = mean_height(true).zip(mean_height(false)).is_some_and(|(into, out)| into > out);
        let looked = [
            (floating.mass_kg > HEAVIER_SHARE * now_kg, Looked::Heavier),
            (is_higher, Looked::Higher),
            (gm_ratio.is_some_and(|ratio| ratio.value < TENDER_RATIO), Looked::MoreTender),
            (gm.is_some_and(|gm| gm.value < LEAST_GM_M), Looked::Tender),
        ];
        Ok(Self {
            displacement_kg,
            in_kg,
            out_kg,
            net_kg: about(floating.mass_kg, net_off),
            per_centimetre_kg: about(per_centimetre_kg, plane_share * per_centimetre_kg),
            bow_m: end(-forward),
            stern_m: end(1.0 - forward),
            unplaced_kg: masses
                .iter()
                .filter(|mass| mass.aft_m.is_none())
                .map(|mass| mass.mass_kg.abs())
                .sum(),
            heeling_n_m: moment_kg_m.map(|moment| moment * GRAVITY_M_S2),
            heel_rad: gm.and_then(|gm| {
                let value = heel(gm.value)?;
                let [one, other] = [heel(gm.p10)?, heel(gm.p90)?];
                Some(Interval { value, p10: one.min(other), p90: one.max(other) })
            }),
            gravity_rises_m,
            gm_by_inclining_m: gm,
            gm_by_roll_m,
            gm_ratio,
            looked: looked.into_iter().filter(|(is_so, _)| *is_so).map(|(_, looked)| looked).collect(),
            notices: crate::caution::of_weights(),
            asked,
        })
    }
}
