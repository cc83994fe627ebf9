//! What is found of a shaft line. Not for: figures and sheets.

use std::f64::consts::TAU;

use super::cause::{Suspect, suspects};
use super::metal::{Metal, hub_gap_m};
use super::pitch::MeasuredPitch;
use super::whirl::{bearing_spacing_m, natural_rev_s, overhung_sag_m, span_rev_s, together_rev_s};
use crate::boat::BoatSpec;
use crate::caution;
use crate::drive::ReductionKind;
use crate::drive::small_load::usual_shaft_diameter_m;
use crate::notice::{Notice, Severity};
use crate::propeller::geometry::usual_mass_kg;
use crate::propeller::standards::{AccuracyClass, ShaftTaper, shaft_taper};
use crate::spread::Interval;

/// What is asked of a shaft line beyond the boat.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ShaftAsked {
    /// Of what the shaft is.
    pub metal: Metal,
    /// Between the last bearing and the next \[m\].
    pub span_m: Option<f64>,
    /// From the middle of the last bearing to the middle of the propeller's hub \[m\].
    pub overhang_m: Option<f64>,
    /// Mass of the propeller, dry \[kg\].
    pub propeller_kg: Option<f64>,
    /// Beats of hull or rig that somebody measured \[Hz\].
    pub beats_hz: Vec<f64>,
    /// Revolutions of the shaft at which she shakes \[rev/s\].
    pub shakes_rev_s: Option<f64>,
    /// Beat of the shaking, as a phone shows it \[Hz\].
    pub felt_hz: Option<f64>,
    /// Pitch as measured.
    pub pitch: Option<MeasuredPitch>,
    /// Metal of the hub and how many kelvin hub and shaft are warmer, to take the propeller off.
    pub hub: Option<(Metal, f64, f64)>,
}

/// Revolutions that are passed and not held.
#[derive(Debug, Clone, PartialEq)]
pub struct Avoid {
    /// What meets there.
    pub what: String,
    /// Where they meet \[rev/s\].
    pub at_rev_s: f64,
    /// From here \[rev/s\].
    pub from_rev_s: f64,
    /// To here \[rev/s\].
    pub to_rev_s: f64,
    /// Within what she turns.
    pub is_reached: bool,
}

/// What a propeller may be out of balance by a grade.
#[derive(Debug, Clone, PartialEq)]
pub struct Balance {
    /// The grade.
    pub grade: &'static str,
    /// As a mass at the blade's tip \[kg\].
    pub at_tip_kg: f64,
}

/// Full throttle with a pitch, by the samples of `drive`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AtFull {
    /// Speed \[m/s\].
    pub speed_m_s: Interval,
    /// Shaft \[rev/s\].
    pub shaft_rev_s: Interval,
}

/// What was found.
#[derive(Debug, Clone)]
pub struct ShaftStudy {
    /// What was asked.
    pub asked: ShaftAsked,
    /// Full throttle as she is told.
    pub full: AtFull,
    /// The same with the mean of the pitch as measured.
    pub full_as_measured: Option<AtFull>,
    /// Blades.
    pub blades: u8,
    /// Motor's revolutions for one of the shaft.
    pub ratio: f64,
    /// Diameter of the shaft \[m\].
    pub diameter_m: f64,
    /// Mass of the propeller \[kg\].
    pub propeller_kg: Interval,
    /// First whirling \[rev/s\]; `None` where no span is told.
    pub whirls_rev_s: Option<Interval>,
    /// The handbook's greatest spacing of bearings at full throttle \[m\].
    pub spacing_m: f64,
    /// Revolutions to pass and not to hold.
    pub avoid: Vec<Avoid>,
    /// Balance by grade.
    pub balance: Vec<Balance>,
    /// Her taper in the table.
    pub taper: Option<&'static ShaftTaper>,
    /// How much the hub opens \[m\].
    pub gap_m: Option<f64>,
    /// What makes her shake, in order.
    pub suspects: Vec<Suspect>,
    /// What to read first.
    pub notices: Vec<Notice>,
}

/// Why there is nothing to tell.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ShaftError {
    /// A leg has no shaft in the water.
    #[error(
        "her propeller stands on a leg, which has no span of shaft to whirl: leave the span out and ask the maker of the leg"
    )]
    Leg,
    /// Rows of pitch that are not her blades.
    #[error("the pitch of {rows} blades is told and her propeller has {blades}: one row for each blade")]
    Blades {
        /// As typed.
        rows: usize,
        /// As the document has it.
        blades: u8,
    },
}

/// Greatest product of mass and distance that a rotor of `mass_kg` may be out of balance by, `U = G m / omega` \[kg m\].
///
/// # Source
/// ISO 21940-11 (formerly ISO 1940-1): `U = 9549 G m / n` in g mm, with a printed example, `reference/mechanics/balance_grade.csv`.
/// # Example
/// 2 kg at 10,000 rpm, G 6.3: 12 g mm.
/// ```
/// # use wakewright_core::shaft::imbalance_kg_m;
/// let g_mm = 1e6 * imbalance_kg_m(2.0, 10_000.0 / 60.0, 6.3);
/// assert!((g_mm - 12.0).abs() < 0.1);
/// ```
#[must_use]
pub fn imbalance_kg_m(mass_kg: f64, rev_s: f64, grade_mm_s: f64) -> f64 {
    1e-3 * grade_mm_s * mass_kg / (TAU * rev_s)
}

/// Water that swings with it, as a share of its mass: the least, the usual, the most; from memory.
const ENTRAINED: [f64; 3] = [0.1, 0.3, 0.6];
/// How near to a beat is too near, as a share of it; common practice, no source.
const NEAR: f64 = 0.2;

const WHIRL_LEAVES_OUT: Notice = Notice::Remark {
    severity: Severity::Note,
    text: "Whirling is reckoned for one span on two bearings that only hold it up, with the propeller and some of the water about it \
           behind. Stiff bearings raise it, up to 2.27 times; soft ones, rubber and the propeller's own spin move it either way and \
           are left out.",
    source: "textbook, see docs/shaft.md",
};
const MASS_GUESSED: Notice = Notice::Remark {
    severity: Severity::Note,
    text: "The propeller's mass is estimated from its diameter, within a third: weigh it.",
    source: "from memory",
};
const BALANCE_FROM_MEMORY: Notice = Notice::Remark {
    severity: Severity::Note,
    text: "The constants of ISO 484-2 for balance are from memory, and its classes are made for diameters from 0.80 m: below they are \
           used by convention.",
    source: "iso484",
};

impl ShaftStudy {
    /// What is found of the shaft line of `spec`, which does `full` at full throttle, and the second with the mean of the pitch as
    /// measured.
    /// # Errors
    /// [`ShaftError`] says why there is nothing to tell.
    pub fn of(
        spec: &BoatSpec,
        asked: ShaftAsked,
        full: AtFull,
        full_as_measured: Option<AtFull>,
    ) -> Result<Self, ShaftError> {
        let boat = &spec.boat;
        let blades = boat.propeller.blades;
        if boat.drive_line.kind == ReductionKind::BevelLeg && asked.span_m.is_some() {
            return Err(ShaftError::Leg);
        }
        if let Some(rows) = asked.pitch.as_ref().map(|pitch| pitch.blades_m.len())
            && rows != usize::from(blades)
        {
            return Err(ShaftError::Blades { rows, blades });
        }
        let propeller_m = boat.propeller.diameter_m;
        let diameter_m =
            spec.fittings.shaft_diameter_m.unwrap_or_else(|| usual_shaft_diameter_m(propeller_m));
        let propeller_kg =
            asked.propeller_kg.map_or_else(|| usual_mass_kg(propeller_m, blades), Interval::exact);
        let whirls_rev_s = asked.span_m.map(|span_m| {
            let alone = span_rev_s(asked.metal, diameter_m, span_m);
            let with = |dry_kg: f64, water: f64| {
                let Some(overhang_m) = asked.overhang_m else { return alone };
                let mass_kg = dry_kg * (1.0 + water);
                let sag_m = overhung_sag_m(asked.metal, diameter_m, span_m, overhang_m, mass_kg);
                together_rev_s(natural_rev_s(sag_m), alone)
            };
            Interval {
                value: with(propeller_kg.value, ENTRAINED[1]),
                p10: with(propeller_kg.p90, ENTRAINED[2]),
                p90: with(propeller_kg.p10, ENTRAINED[0]),
            }
        });
        let avoid = avoided(&asked, whirls_rev_s, f64::from(blades), full.shaft_rev_s.p90);
        let radius_m = propeller_m / 2.0;
        let tip = |class: AccuracyClass| {
            class.greatest_imbalance_kg(propeller_kg.value, radius_m, full.shaft_rev_s.value)
        };
        let graded =
            |grade: f64| imbalance_kg_m(propeller_kg.value, full.shaft_rev_s.value, grade) / radius_m;
        let balance = [
            ("ISO 484-2, class S", tip(AccuracyClass::S)),
            ("ISO 484-2, class I", tip(AccuracyClass::I)),
            ("ISO 484-2, class II", tip(AccuracyClass::II)),
            ("ISO 484-2, class III", tip(AccuracyClass::III)),
            ("ISO 21940-11, G 6.3", graded(6.3)),
            ("ISO 21940-11, G 16", graded(16.0)),
        ];
        let mut notices = caution::of_shaft(asked.hub.is_some());
        if whirls_rev_s.is_some() {
            notices.push(WHIRL_LEAVES_OUT);
        }
        if asked.propeller_kg.is_none() {
            notices.push(MASS_GUESSED);
        }
        notices.push(BALANCE_FROM_MEMORY);
        let gap_m = asked
            .hub
            .map(|(hub, hub_k, shaft_k)| hub_gap_m(diameter_m, (hub, hub_k), (asked.metal, shaft_k)));
        let mut study = Self {
            full,
            full_as_measured,
            blades,
            ratio: boat.drive_line.ratio,
            diameter_m,
            propeller_kg,
            whirls_rev_s,
            spacing_m: bearing_spacing_m(asked.metal, diameter_m, full.shaft_rev_s.value),
            avoid,
            balance: balance.map(|(grade, at_tip_kg)| Balance { grade, at_tip_kg }).into(),
            taper: shaft_taper(diameter_m).filter(|_| spec.fittings.shaft_diameter_m.is_some()),
            gap_m,
            suspects: Vec::new(),
            notices,
            asked,
        };
        let tip_share = spec.fittings.tip_clearance_at_m(propeller_m).map(|gap_m| gap_m / propeller_m);
        study.suspects = suspects(&study.asked, &study, tip_share);
        Ok(study)
    }

    /// Once a turn it whirls within what she turns.
    #[must_use]
    pub fn whirls_within(&self) -> Option<Interval> {
        self.whirls_rev_s.filter(|whirls| whirls.p10 * (1.0 - NEAR) <= self.full.shaft_rev_s.p90)
    }
}

fn avoided(asked: &ShaftAsked, whirls: Option<Interval>, blades: f64, full_rev_s: f64) -> Vec<Avoid> {
    let mut found = Vec::new();
    let mut meet = |name: &str, beat: Interval| {
        for (order, who) in [(1.0, "the shaft turns"), (blades, "blades pass")] {
            let from_rev_s = beat.p10 * (1.0 - NEAR) / order;
            found.push(Avoid {
                what: format!("{who} at {name}"),
                at_rev_s: beat.value / order,
                from_rev_s,
                to_rev_s: beat.p90 * (1.0 + NEAR) / order,
                is_reached: from_rev_s <= full_rev_s,
            });
        }
    };
    if let Some(whirls) = whirls {
        meet("the first whirling", whirls);
    }
    for beat in &asked.beats_hz {
        let name = format!("{} Hz of hull or rig", wakewright_units::format_number(*beat, 1));
        meet(&name, Interval::exact(*beat));
    }
    found
}
