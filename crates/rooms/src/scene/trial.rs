//! A trial beside what her document says of her: measured points, the promised curves, where each
//! point stands.

use crate::draw::{StripLog, StripRun, StripSeries};
use crate::standing::{FullThrottle, MeasuredPoint, PromisedRow, Standing};
use wakewright_core::steady::BoatError;
use wakewright_core::study::{Interval, Questions, StateFigure};
use wakewright_core::trial::{Run, RunFlag};
use wakewright_logs::trial::{RunState, TrialReading};
use wakewright_logs::{Measured, Outing, TimeBase};

use crate::boats::Loaded;
use crate::range::speeds;
use crate::sampling;
use crate::trials::KeptTrial;

/// What is measured and what was promised.
#[derive(Debug)]
pub struct TrialScene {
    /// Points, the stream out.
    pub points: Vec<MeasuredPoint>,
    /// Curves of her document.
    pub promised: Vec<PromisedRow>,
    /// Points that can be compared.
    pub standings: Vec<Standing>,
    /// What her document says of full throttle.
    pub full: FullThrottle,
}

impl TrialScene {
    /// Puts `kept` beside `boat`, with `samples` samples.
    /// # Errors
    /// [`BoatError`] when her document gives no answer.
    pub fn new(boat: &Loaded, kept: &KeptTrial, samples: usize) -> Result<Self, BoatError> {
        let points = measured_points(kept, boat.spec.boat.drive_line.ratio);
        let questions = Questions { speeds_m_s: speeds(boat, None, true)?, ..Questions::default() };
        let study = sampling::study(&boat.spec, &questions, samples, sampling::DEFAULT_SEED)?;
        let house_w = study.answers.full.held.state.house_power_w;
        // The document's standing loads are no work of the drive, and a trial takes out its own.
        let of_drive = |bank: Interval| Interval {
            value: bank.value - house_w,
            p10: bank.p10 - house_w,
            p90: bank.p90 - house_w,
        };
        let promised: Vec<PromisedRow> = study
            .speeds
            .iter()
            .filter_map(|row| {
                Some(PromisedRow {
                    speed_m_s: row.speed_m_s,
                    shaft_rev_s: row.figure(StateFigure::ShaftSpeed)?,
                    power_w: of_drive(row.figure(StateFigure::BankPower)?),
                })
            })
            .collect();
        let standings = points.iter().filter_map(|point| Standing::of(point, &promised)).collect();
        let full = FullThrottle {
            speed_m_s: study.at_full(StateFigure::Speed),
            shaft_rev_s: study.at_full(StateFigure::ShaftSpeed).value,
        };
        Ok(Self { points, promised, standings, full })
    }
}

/// The speeds through the water that the trial gives: one for each pair, and one for each run by itself
/// that has a log. `ratio` is that of the reduction, for motors whose own speed was measured.
#[must_use]
pub fn measured_points(kept: &KeptTrial, ratio: f64) -> Vec<MeasuredPoint> {
    let (used, open): (Vec<&Run>, Vec<bool>) = (kept.reading.runs.iter())
        .filter(|read| read.state == RunState::Used)
        .map(|read| (&read.run, read.is_full_throttle))
        .unzip();
    let pairs = &kept.analysis.pairs;
    let shaft = |run: &Run| run.shaft_speed_rev_s.or(run.motor_speed_rev_s.map(|motor| motor / ratio));
    let power = |place: usize| match kept.stated.get(place) {
        Some(stated) => stated.power_w,
        None => used[place].power_w,
    };
    let is_held_back = |place: usize| {
        let is_shallow =
            kept.stated.get(place).is_some_and(|stated| stated.flags.contains(&RunFlag::Shallow));
        is_shallow || kept.reading.conditions.is_confined
    };
    let mean = |both: [Option<f64>; 2]| match both {
        [Some(a), Some(b)] => Some(0.5 * (a + b)),
        [a, b] => a.or(b),
    };
    let mut points: Vec<MeasuredPoint> = pairs
        .iter()
        .map(|found| {
            let both = [found.pair.first, found.pair.second];
            MeasuredPoint {
                runs: both.map(|place| place + 1).to_vec(),
                speed_m_s: found.estimate.speed_through_water_m_s,
                band_m_s: found.band_m_s,
                shaft_rev_s: mean(both.map(|place| shaft(used[place]))),
                power_w: mean(both.map(power)),
                is_held_back: both.into_iter().any(is_held_back),
                is_full_throttle: both.into_iter().all(|place| open[place]),
            }
        })
        .collect();
    for (place, run) in used.iter().enumerate() {
        let is_paired = pairs.iter().any(|found| found.pair.first == place || found.pair.second == place);
        let Some(speed_m_s) = run.speed_through_water_m_s.filter(|_| !is_paired) else { continue };
        points.push(MeasuredPoint {
            runs: vec![place + 1],
            speed_m_s,
            band_m_s: None,
            shaft_rev_s: shaft(run),
            power_w: power(place),
            is_held_back: is_held_back(place),
            is_full_throttle: open[place],
        });
    }
    points
}

/// Lanes of the strip: of quantities that say the same the first that is known.
const LANES: [&[Measured]; 6] = [
    &[Measured::SpeedThroughWater],
    &[Measured::SpeedOverGround],
    &[Measured::ShaftSpeed, Measured::MotorSpeed],
    &[Measured::Power, Measured::Current],
    &[Measured::Voltage],
    &[Measured::CourseOverGround, Measured::HeadingTrue, Measured::HeadingMagnetic],
];

/// The strip of each outing, with its runs numbered as everywhere.
#[must_use]
pub fn strips(reading: &TrialReading) -> Vec<StripLog<'_>> {
    reading.outings.iter().enumerate().map(|(number, outing)| strip(reading, number, outing)).collect()
}

fn strip<'a>(reading: &'a TrialReading, number: usize, outing: &'a Outing) -> StripLog<'a> {
    let series = LANES
        .iter()
        .filter_map(|lane| lane.iter().find_map(|measured| outing.of(*measured)))
        .map(|series| StripSeries {
            label: series.measured.label(),
            quantity: series.measured.quantity(),
            values: &series.values,
        })
        .collect();
    let mut used = 0;
    let mut runs = Vec::new();
    for read in &reading.runs {
        let is_used = read.state == RunState::Used;
        used += usize::from(is_used);
        let Some((_, first, last)) = read.place.filter(|(outing, ..)| *outing == number) else { continue };
        runs.push(StripRun {
            label: if is_used { used.to_string() } else { "dropped".to_owned() },
            from_s: outing.time_s(first),
            to_s: outing.time_s(last),
            is_used,
        });
    }
    let (clock, is_time_of_day) = match outing.time_base {
        TimeBase::Utc => ("time, UTC", true),
        TimeBase::TimeOfDay => ("time of day", true),
        TimeBase::Elapsed => ("minutes from the start", false),
        TimeBase::Lines => ("lines", false),
    };
    StripLog {
        start_s: outing.start_s,
        step_s: outing.step_s,
        steps: outing.steps,
        clock,
        is_time_of_day,
        series,
        runs,
    }
}
