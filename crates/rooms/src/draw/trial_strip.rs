//! What the log of a trial shows over time, one quantity to a lane, with the runs marked.
//! Not for: reading logs or finding runs.

use wakewright_units::{Quantity, UnitSystem, unit_for};

use wakewright_picture::{Axis, Lane, LaneMarks, Strip, Tone};

/// One quantity at even steps of time, SI; not a number where it is not known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StripSeries<'a> {
    /// What it is.
    pub label: &'a str,
    /// Kind of quantity.
    pub quantity: Quantity,
    /// Values.
    pub values: &'a [f64],
}

/// A run on the strip.
#[derive(Debug, Clone, PartialEq)]
pub struct StripRun {
    /// What it is called: its number.
    pub label: String,
    /// Begin \[s\].
    pub from_s: f64,
    /// End \[s\].
    pub to_s: f64,
    /// False for one that was looked at and dropped.
    pub is_used: bool,
}

/// A stretch of log without a long break.
#[derive(Debug, Clone, PartialEq)]
pub struct StripLog<'a> {
    /// Time of the first step \[s\].
    pub start_s: f64,
    /// Step \[s\].
    pub step_s: f64,
    /// Steps.
    pub steps: usize,
    /// What the times are, for the axis: "time, UTC".
    pub clock: &'a str,
    /// True where times count from midnight or from a date, so that they are written as a clock shows
    /// them; false where they count from some start.
    pub is_time_of_day: bool,
    /// In the order of the lanes.
    pub series: Vec<StripSeries<'a>>,
    /// In order of time.
    pub runs: Vec<StripRun>,
}

/// Steps between the times that are written \[s\].
const TICKS_S: [f64; 12] =
    [10.0, 30.0, 60.0, 120.0, 300.0, 600.0, 900.0, 1800.0, 3600.0, 7200.0, 10_800.0, 21_600.0];
/// Room for one written time, px.
const TICK_PX: f64 = 78.0;
/// What lies left of the lanes, px.
const MARGIN_PX: f64 = 60.0;

/// The strip, laid out for `width_px`. No value is left out: of all within a pixel the least and the
/// greatest are drawn.
#[must_use]
pub fn trial_strip(log: &StripLog<'_>, width_px: f64, units: UnitSystem) -> Strip {
    let end_s = log.start_s + log.step_s * log.steps.saturating_sub(1) as f64;
    let pixel_s = (end_s - log.start_s) / (width_px - MARGIN_PX).max(100.0);
    let runs: Vec<(f64, f64, String)> = log
        .runs
        .iter()
        .map(|run| (run.from_s, run.to_s, run.label.clone()))
        .fold(Vec::new(), |drawn, run| joined(drawn, run, pixel_s));
    let mut lanes = vec![Lane {
        axis: Axis { quantity: "runs".to_owned(), ..Axis::default() },
        marks: vec![LaneMarks::Spans(runs)],
        tone: Tone::Ink,
        level: None,
    }];
    let buckets = (width_px - MARGIN_PX).max(100.0) as usize;
    for series in &log.series {
        let unit = unit_for(series.quantity, units);
        let points: Vec<(f64, f64)> = thinned(series.values, buckets)
            .into_iter()
            .map(|(step, value)| (log.start_s + log.step_s * step as f64, unit.from_si(value)))
            .collect();
        lanes.push(Lane {
            axis: axis(series, unit.symbol(), &points),
            marks: pieces(points, 3.0 * log.step_s * (log.steps as f64 / buckets as f64).max(1.0))
                .into_iter()
                .map(LaneMarks::Line)
                .collect(),
            tone: Tone::Ink,
            level: None,
        });
    }
    let used = log.runs.iter().filter(|run| run.is_used).map(|run| (run.from_s, run.to_s, String::new()));
    let shaded = used.fold(Vec::new(), |drawn, run| joined(drawn, run, pixel_s));
    Strip {
        reading: Vec::new(),
        title: "The log over time, with its runs".to_owned(),
        description: format!(
            "{} run{} marked; the table of runs says from when to when.",
            log.runs.len(),
            if log.runs.len() == 1 { " is" } else { "s are" }
        ),
        x: Axis {
            quantity: log.clock.to_owned(),
            range: Some((log.start_s, end_s)),
            named_ticks: ticks(log, end_s, width_px),
            ..Axis::default()
        },
        lanes,
        shaded: shaded.into_iter().map(|(from_s, to_s, _)| (from_s, to_s)).collect(),
        is_marked: true,
    }
}

/// Adds a run to those that are drawn; where it is narrower than can be told, and lies within a pixel of the one
/// before, that one grows instead, and loses its number.
fn joined(
    mut drawn: Vec<(f64, f64, String)>,
    (from_s, to_s, label): (f64, f64, String),
    pixel_s: f64,
) -> Vec<(f64, f64, String)> {
    const LEAST_PX: f64 = 4.0;
    match drawn.last_mut() {
        Some(last) if from_s - last.1 < pixel_s && to_s - from_s < LEAST_PX * pixel_s => {
            last.1 = last.1.max(to_s);
            last.2.clear();
        }
        _ => drawn.push((from_s, to_s, label)),
    }
    drawn
}

/// Least height of a lane that does not begin at zero, as a share of its values: noise is no change.
const LEAST_HEIGHT: f64 = 0.1;
/// Room above the greatest value, as a share of the lane.
const ROOM: f64 = 0.06;

/// The upright axis of a lane.
fn axis(series: &StripSeries<'_>, unit: &str, points: &[(f64, f64)]) -> Axis {
    let axis = Axis::new(series.label, unit, 1);
    let low = points.iter().map(|point| point.1).reduce(f64::min);
    let high = points.iter().map(|point| point.1).reduce(f64::max);
    let (Some(low), Some(high)) = (low, high) else { return axis };
    match series.quantity {
        Quantity::Angle => {
            let named_ticks = [0.0, 180.0, 360.0].map(|degrees| (degrees, format!("{degrees:.0}"))).to_vec();
            Axis { named_ticks, ..axis.over(low.min(0.0), high.max(360.0)) }
        }
        Quantity::Voltage => {
            let lacking = (LEAST_HEIGHT * high.abs() - (high - low)).max(ROOM * (high - low));
            axis.over(low - 0.5 * lacking, high + 0.5 * lacking)
        }
        _ => axis.over(low.min(0.0), (high + ROOM * (high - low.min(0.0))).max(f64::MIN_POSITIVE)),
    }
}

/// Round times, as many as there is room for.
fn ticks(log: &StripLog<'_>, end_s: f64, width_px: f64) -> Vec<(f64, String)> {
    let most = ((width_px - MARGIN_PX) / TICK_PX).max(2.0);
    let span_s = end_s - log.start_s;
    let step_s = TICKS_S
        .into_iter()
        .find(|step| span_s / step <= most)
        .unwrap_or(86_400.0 * (span_s / 86_400.0 / most).ceil().max(1.0));
    let origin_s = if log.is_time_of_day { 0.0 } else { log.start_s };
    let first = ((log.start_s - origin_s) / step_s).ceil();
    (0..=most.ceil() as usize)
        .map(|number| origin_s + (first + number as f64) * step_s)
        .filter(|time_s| *time_s <= end_s)
        .map(|time_s| (time_s, tick_text(time_s - origin_s, step_s, log.is_time_of_day)))
        .collect()
}

fn tick_text(time_s: f64, step_s: f64, is_time_of_day: bool) -> String {
    let seconds = time_s.round() as i64;
    let (hours, minutes, rest) =
        (seconds.div_euclid(3600), seconds.div_euclid(60) % 60, seconds.rem_euclid(60));
    match (is_time_of_day, step_s < 60.0) {
        (true, false) => format!("{:02}:{minutes:02}", hours.rem_euclid(24)),
        (true, true) => format!("{:02}:{minutes:02}:{rest:02}", hours.rem_euclid(24)),
        (false, _) if seconds < 7200 => format!("{}:{rest:02}", seconds / 60),
        (false, _) => format!("{hours} h {minutes:02}"),
    }
}

/// Of all values within a bucket the least and the greatest, in their order.
fn thinned(values: &[f64], buckets: usize) -> Vec<(usize, f64)> {
    let known = |step: usize| (step, values[step]);
    if values.len() <= 2 * buckets {
        return (0..values.len()).map(known).filter(|(_, value)| value.is_finite()).collect();
    }
    let mut thin = Vec::with_capacity(2 * buckets);
    for bucket in 0..buckets {
        let steps = bucket * values.len() / buckets..(bucket + 1) * values.len() / buckets;
        let finite = || steps.clone().map(known).filter(|(_, value)| value.is_finite());
        let least = finite().min_by(|a, b| a.1.total_cmp(&b.1));
        let greatest = finite().max_by(|a, b| a.1.total_cmp(&b.1));
        let (Some(least), Some(greatest)) = (least, greatest) else { continue };
        thin.push(if least.0 <= greatest.0 { least } else { greatest });
        if least.0 != greatest.0 {
            thin.push(if least.0 <= greatest.0 { greatest } else { least });
        }
    }
    thin
}

/// The line broken where nothing is known for longer than `gap_s`.
fn pieces(points: Vec<(f64, f64)>, gap_s: f64) -> Vec<Vec<(f64, f64)>> {
    let mut pieces: Vec<Vec<(f64, f64)>> = Vec::new();
    for point in points {
        match pieces.last_mut() {
            Some(piece) if piece.last().is_some_and(|last| point.0 - last.0 <= gap_s) => piece.push(point),
            _ => pieces.push(vec![point]),
        }
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_spike_of_one_sample_stays() {
        let mut values = vec![1.0; 100_000];
        values[54_321] = 9.0;
        let thin = thinned(&values, 300);
        assert!(thin.len() <= 600 && thin.contains(&(54_321, 9.0)), "{}", thin.len());
        assert!(thin.windows(2).all(|two| two[0].0 < two[1].0));
    }

    /// A season's thousands of runs are as many elements as there are pixels at most; a day's stand each by itself.
    #[test]
    fn runs_that_cannot_be_told_apart_are_one_mark() {
        let marks = |steps: usize| {
            let values = vec![1.0; steps];
            let runs = (0..steps / 300).map(|n| StripRun {
                label: n.to_string(),
                from_s: 300.0 * n as f64,
                to_s: 300.0 * n as f64 + 290.0,
                is_used: true,
            });
            let log = StripLog {
                start_s: 0.0,
                step_s: 1.0,
                steps,
                clock: "time of day",
                is_time_of_day: true,
                series: vec![StripSeries { label: "speed", quantity: Quantity::Speed, values: &values }],
                runs: runs.collect(),
            };
            trial_strip(&log, 720.0, UnitSystem::Trade).shaded.len()
        };
        assert!(marks(1_000_000) < 700 && marks(3_000) == 10, "{} {}", marks(1_000_000), marks(3_000));
    }

    #[test]
    fn a_gap_breaks_the_line() {
        let values = [vec![1.0; 50], vec![f64::NAN; 50], vec![1.0; 50]].concat();
        let log = StripLog {
            start_s: 36_000.0,
            step_s: 1.0,
            steps: values.len(),
            clock: "time of day",
            is_time_of_day: true,
            series: vec![StripSeries { label: "speed", quantity: Quantity::Speed, values: &values }],
            runs: Vec::new(),
        };
        let strip = trial_strip(&log, 720.0, UnitSystem::Trade);
        assert_eq!(strip.lanes[1].marks.len(), 2);
        let words: Vec<&str> = strip.x.named_ticks.iter().map(|(_, words)| words.as_str()).collect();
        assert_eq!(words, ["10:00:00", "10:00:30", "10:01:00", "10:01:30", "10:02:00"]);
    }
}
