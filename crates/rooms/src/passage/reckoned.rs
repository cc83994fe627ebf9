//! A passage reckoned: plan, the same as it is kept, samples, where to turn back, other departures. Not for: its words.

use wakewright_core::boat::Boat;
use wakewright_core::drying_out::{daylight, shared_s};
use wakewright_core::energy::{DaySun, HouseLoad, Unsure};
use wakewright_core::passage::{
    Aboard, COARSE, ChanceAsked, Course, FINE, Held, Kept, MOVING, NoPlan, PassageStudy, Piece, Planned,
    PowerTable, Supply, power_tables, shaft_rev_s, summarise_passage, turns_back,
};
use wakewright_core::solar::Place;
use wakewright_core::spread::Sampler;
use wakewright_core::steady::{BoatError, PreparedBoat};
use wakewright_units::factors::{DAY_S, HOUR_S, KNOT_M_S};

use super::asked::Case;
use super::words;
use crate::boats::{has_place, loads_by_hour};
use crate::energy::plan_of;
use crate::no_answer::NoAnswer;
use crate::room::Asked;
use crate::sampling;
use crate::streams::known_next;
use crate::tide::known::seconds;

/// Slowest speed at which she steers \[m/s\]: 2 kn, from memory.
const STEERS_M_S: f64 = 2.0 * KNOT_M_S;

/// Another departure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Departure {
    /// After the one that was asked for \[s\].
    pub leaves_s: f64,
    /// How long she is under way \[s\].
    pub takes_s: f64,
    /// Out of the bank \[J\].
    pub energy_j: f64,
    /// Share left on arrival.
    pub share: f64,
}

/// A step of the kept plan, for reading.
#[derive(Debug, Clone, PartialEq)]
pub struct StepRow {
    /// The leg, from 0.
    pub leg: usize,
    /// From when \[s\].
    pub begins_s: f64,
    /// Until when \[s\].
    pub ends_s: f64,
    /// Along the leg \[m\].
    pub length_m: f64,
    /// Through the water \[m/s\]; none at a stop.
    pub speed_m_s: Option<f64>,
    /// Of the propeller shaft \[rev/s\].
    pub shaft_rev_s: Option<f64>,
    /// Share left at its end.
    pub share: f64,
}

/// Where to turn back at the latest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TurnBack {
    /// When \[s\].
    pub at_s: f64,
    /// The leg, and how far along it \[m\].
    pub leg: usize,
    /// As above.
    pub along_m: f64,
    /// Whether that is the end of the way.
    pub is_end: bool,
}

/// What was found.
#[derive(Debug)]
pub struct Found {
    /// What was asked.
    pub case: Case,
    /// The plan.
    pub planned: Planned,
    /// As it is kept.
    pub kept: Kept,
    /// The samples.
    pub study: PassageStudy,
    /// The kept plan's steps.
    pub steps: Vec<StepRow>,
    /// Where she can turn back above the reserve in nine cases of ten.
    pub turn: Option<TurnBack>,
    /// Other departures, hour by hour.
    pub departures: Vec<Departure>,
    /// Share below which she is in her reserve.
    pub reserve: f64,
    /// Share as she leaves.
    pub share: f64,
    /// Under way in the dark \[s\], where it is known where she is.
    pub night_s: Option<f64>,
    /// Rated power of the panels counted \[W\].
    pub sun_w: f64,
}

/// Loads and sun by the hour, as expected and of a sample.
struct Days {
    sun: Option<DaySun>,
    /// Loads by the hour, where these alone are stated.
    loads: Vec<HouseLoad>,
    zero_s: f64,
}

impl Days {
    fn of(asked: &Asked<'_>, case: &Case) -> Result<Self, NoAnswer> {
        let day_s = seconds(&case.leaves)
            - seconds(&case.leaves.start_of_day().unwrap_or_else(|_| case.leaves.clone()));
        let loads = loads_by_hour(asked.boat);
        if !has_place(asked.boat) {
            return Ok(Self { sun: None, loads, zero_s: day_s });
        }
        let plan = plan_of(asked.boat, case.leaves.year())?;
        // Hours of sun and loads are mean time at her longitude.
        let zero_s = (seconds(&case.leaves) + plan.place.longitude_rad / std::f64::consts::TAU * DAY_S)
            .rem_euclid(DAY_S);
        let sun = DaySun::of_month(&plan, case.leaves.month().unsigned_abs().into())
            .map_err(|error| NoAnswer::input(format!("{}: {error}", asked.boat.place)))?;
        Ok(Self { sun: Some(sun), loads, zero_s })
    }

    fn expected(&self, boat: &Boat) -> Aboard {
        let sun_w = self.sun.as_ref().map_or([0.0; 24], DaySun::usual_w);
        Aboard::new(&self.house_w(boat, |power| power.spread.median), &sun_w, self.zero_s)
    }

    fn sampled(&self, boat: &Boat, sampler: Sampler, sample: u64) -> Aboard {
        let sun_w = self.sun.as_ref().map_or([0.0; 24], |sun| sun.sampled_w(sampler, sample));
        Aboard::new(&self.house_w(boat, |power| power.sampled(sampler, sample)), &sun_w, self.zero_s)
    }

    fn house_w(&self, boat: &Boat, of: impl Fn(&Unsure) -> f64) -> [f64; 24] {
        match self.loads.as_slice() {
            [] => [boat.house_power_w; 24],
            loads => HouseLoad::by_hour_w(loads, of),
        }
    }
}

impl Found {
    /// Reckons what is asked; with other departures where they are wanted.
    /// # Errors
    /// What is missing, and why there is no plan.
    pub fn of(asked: &Asked<'_>, has_departures: bool) -> Result<Self, NoAnswer> {
        const SPEEDS: usize = 40;
        const CHARGES: usize = 9;
        // By these her power is brought to the middle of the samples.
        const SOME: usize = 99;
        const FEW_SPEEDS: usize = 12;
        let spec = &asked.boat.spec;
        let failed = |error: BoatError| NoAnswer::of(asked.boat, &error);
        let case = Case::of(asked)?;
        let mut boat = spec.boat.clone();
        boat.bank.state_of_charge = case.charge.median;
        let full = PreparedBoat::new(&boat)
            .map_err(failed)?
            .value
            .full_throttle()
            .map_err(|error| failed(error.into()))?;
        let full_m_s = full.held.state.speed_m_s;
        let slowest_m_s = asked.replies.number("slowest").unwrap_or(STEERS_M_S);
        let (supply, left) =
            Supply::of(&boat).map_err(|error| NoAnswer::input(format!("{}: {error}", asked.boat.place)))?;
        let charges = supply.looked_at(&left, CHARGES);
        let speeds = (0.5 * slowest_m_s.min(0.9 * full_m_s), 1.1 * full_m_s);
        let mut tables = power_tables(&boat, &charges, &case.settings, speeds, SPEEDS).map_err(failed)?;
        let some = sampling::every(asked.samples.min(SOME), asked.seed, |sampler, n| {
            let mut boat = spec.sample(sampler, n);
            boat.bank.state_of_charge = case.charge.median;
            power_tables(&boat, &charges[..1], &case.settings, speeds, FEW_SPEEDS).ok()
        });
        for (place, table) in tables.iter_mut().enumerate() {
            let samples: Vec<PowerTable> =
                some.iter().flatten().map(|tables| tables[place].clone()).collect();
            table.to_middle(&samples);
        }
        let days = Days::of(asked, &case)?;
        let aboard = days.expected(&boat);
        let course = Course {
            legs: &case.legs,
            tables: &tables,
            aboard: &aboard,
            leaves_s: 0.0,
            window_s: case.window_s,
            slowest_m_s,
        };
        let grid = if asked.samples > super::CARD.samples.quick { FINE } else { MOVING };
        let planned =
            course.planned(&supply, &left, grid).map_err(|why| no_plan(asked, &case, &tables, why))?;
        let there_s = planned.plan.at_s.last().copied().unwrap_or(0.0);
        if let Some(known_s) = case.known_s.filter(|known_s| *known_s < there_s) {
            return Err(NoAnswer::input(format!(
                "the waters of the standard port end at {}, and she is under way until {}: paste the waters of more days",
                case.clock(known_s),
                case.clock(there_s)
            )));
        }
        if let Some((leg, at_s)) = unknown_on(&case, &planned) {
            let unknown_s = case.unknown_s.iter().find(|(of, _)| *of == leg);
            let known = unknown_s.and_then(|(_, unknown_s)| known_next(unknown_s, at_s));
            let next = known.map_or_else(String::new, |(from_s, to_s)| {
                format!(" (it is told next from {} to {})", case.clock(from_s), case.clock(to_s))
            });
            return Err(NoAnswer::input(format!(
                "the stream on the way to {} is told for some hours of the tide alone, and at {}, when she is there, for none{next}: leave \
                 at another hour, or say the stream of the other hours as well",
                case.route.legs[leg].to,
                case.clock(at_s)
            )));
        }
        let kept = course.kept(&planned.pieces, &planned.plan, &supply, &left);
        let free = match case.window_s {
            (None, None) => planned.policy.clone(),
            _ => {
                let free = Course { window_s: (None, None), ..course.clone() };
                free.policy_like(&planned, grid).map_err(|why| no_plan(asked, &case, &tables, why))?
            }
        };
        let chance = ChanceAsked {
            course: &course,
            settings: &case.settings,
            planned: &planned,
            kept: &kept,
            free: &free,
            charge: case.charge,
            spreads: case.spreads,
        };
        let samples = sampling::every(asked.samples, asked.seed, |sampler, n| {
            chance.sample(spec, |boat| days.sampled(boat, sampler, n), sampler, n)
        });
        let study = summarise_passage(spec, &chance, Sampler::new(asked.seed), &samples);
        let turn = turns_back(&course, &planned.pieces, &kept, &supply, study.more, COARSE);
        let turn = turn.map(|(place, at_s, _)| turn_of(&planned.pieces, place, at_s));
        let steps = step_rows(&case, &planned, &kept, &boat, &charges);
        let departures = if has_departures && case.is_tidal() {
            others(asked, &case, &course, &supply, &left)
                .ok_or_else(|| NoAnswer::input("the departures were stopped before all were looked at"))?
        } else {
            Vec::new()
        };
        let (reserve, share) = (supply.reserve_share(), supply.share(&left));
        let night_s = place_of(asked, &case).map(|place| {
            let (from_s, to_s) = (seconds(&case.leaves), seconds(&case.leaves) + there_s);
            there_s - shared_s((from_s, to_s), &daylight(place, from_s - DAY_S, to_s + DAY_S))
        });
        let sun_w = if days.sun.is_some() { plan_of(asked.boat, case.leaves.year())?.rated_w() } else { 0.0 };
        Ok(Self { planned, kept, study, steps, turn, departures, reserve, share, night_s, sun_w, case })
    }

    /// Name of the point at which a leg ends, or of the start.
    #[must_use]
    pub fn point(&self, place: usize) -> &str {
        place
            .checked_sub(1)
            .map_or(self.case.route.from.as_str(), |leg| self.case.route.legs[leg].to.as_str())
    }

    /// The whole way \[m\].
    #[must_use]
    pub fn distance_m(&self) -> f64 {
        self.case.route.legs.iter().map(|leg| leg.distance_m).sum()
    }

    /// The best of the other departures, where it leaves more than the one asked for by a hundredth.
    #[must_use]
    pub fn best_departure(&self) -> Option<&Departure> {
        self.departures.iter().max_by(|a, b| a.share.total_cmp(&b.share))
    }
}

fn place_of(asked: &Asked<'_>, case: &Case) -> Option<Place> {
    case.route
        .start
        .or(case.route.legs.iter().find_map(|leg| leg.end))
        .or_else(|| crate::tide::lies_at(asked.boat))
}

fn no_plan(asked: &Asked<'_>, case: &Case, tables: &[PowerTable], why: NoPlan) -> NoAnswer {
    let full_m_s = tables.iter().map(|table| table.fastest_m_s(1.0)).fold(f64::INFINITY, f64::min);
    NoAnswer::Finding(words::no_plan(&asked.boat.name, case, full_m_s, why))
}

/// A leg on which she is while its stream is not known, and when.
fn unknown_on(case: &Case, planned: &Planned) -> Option<(usize, f64)> {
    case.unknown_s.iter().find_map(|(leg, unknown_s)| {
        let on = |(i, piece): (usize, &Piece)| (piece.leg() == *leg).then(|| planned.plan.at_s[i + 1]);
        let first = planned.pieces.iter().position(|piece| piece.leg() == *leg)?;
        let (from_s, to_s) =
            (planned.plan.at_s[first], planned.pieces.iter().enumerate().filter_map(on).next_back()?);
        let meets = unknown_s.iter().find(|unknown| unknown.0 < to_s && unknown.1 > from_s)?;
        Some((*leg, meets.0.max(from_s)))
    })
}

fn turn_of(pieces: &[Piece], place: usize, at_s: f64) -> TurnBack {
    let leg = pieces[place - 1].leg();
    let along_m =
        pieces[..place].iter().filter(|piece| piece.leg() == leg).map(|piece| piece.length_m()).sum();
    TurnBack { at_s, leg, along_m, is_end: place == pieces.len() }
}

fn step_rows(case: &Case, planned: &Planned, kept: &Kept, boat: &Boat, charges: &[Held]) -> Vec<StepRow> {
    let run = &kept.run;
    let at = |place: usize| run.at_s.get(place).or(run.at_s.last()).copied().unwrap_or(0.0);
    let share = |place: usize| run.shares.get(place).or(run.shares.last()).copied().unwrap_or(0.0);
    let rows = kept.steps.iter().map(|step| {
        let (from, to) = step.pieces;
        let held = charges
            .iter()
            .min_by(|a, b| (a.share - share(from)).abs().total_cmp(&(b.share - share(from)).abs()));
        let setting = &case.settings[case.legs[step.leg].table];
        let revs = step.speed_m_s.zip(held).and_then(|(speed, held)| shaft_rev_s(boat, held, setting, speed));
        StepRow {
            leg: step.leg,
            begins_s: at(from),
            ends_s: at(to),
            length_m: planned.pieces[from..to].iter().map(|piece| piece.length_m()).sum(),
            speed_m_s: step.speed_m_s,
            shaft_rev_s: revs,
            share: share(to),
        }
    });
    // A stop that is not used is no step.
    rows.filter(|row| row.speed_m_s.is_some() || row.ends_s > row.begins_s + 1.0).collect()
}

/// Days over which other departures are tried.
pub fn days_tried(asked: &Asked<'_>) -> u32 {
    asked.replies.whole("later").unwrap_or(14)
}

/// Departures of every hour, with as much time for the way as the one asked for.
fn others(
    asked: &Asked<'_>,
    case: &Case,
    course: &Course<'_>,
    supply: &Supply,
    left: &wakewright_core::passage::Left,
) -> Option<Vec<Departure>> {
    const SPARE_S: f64 = 2.0 * HOUR_S;
    let days = f64::from(days_tried(asked));
    let allowed_s = case.window_s.1;
    let last_s = case.known_s.unwrap_or(0.0).min(days * DAY_S);
    let found = sampling::every_watched((last_s / HOUR_S).max(0.0) as usize, asked.watch, |hour| {
        let leaves_s = hour as f64 * HOUR_S;
        let then = Course {
            leaves_s,
            window_s: (None, allowed_s.map(|allowed_s| leaves_s + allowed_s)),
            ..course.clone()
        };
        let planned = then.planned(supply, left, COARSE).ok()?;
        let there_s = *planned.plan.at_s.last()?;
        let is_known =
            there_s + SPARE_S < case.known_s.unwrap_or(f64::INFINITY) && unknown_on(case, &planned).is_none();
        let share = if planned.run.is_there { *planned.run.shares.last()? } else { 0.0 };
        is_known.then_some(Departure {
            leaves_s,
            takes_s: there_s - leaves_s,
            energy_j: planned.plan.energy_j,
            share,
        })
    });
    Some(found?.into_iter().flatten().collect())
}
