//! What looks wrong in a log that was read without fault: frozen sensors, units, sources that
//! disagree, amps without volts. All is asked about; no value is changed.
//! Not for: lines that cannot be used (the readers count them).

use wakewright_units::factors::KNOT_M_S;

use super::battery_moves::{bins, common};
use super::clock::{DAY_S, date_time_text};
use super::frozen::{find_clipped, find_frozen};
use super::log::{Channel, Log, TimeBase};
use super::measured::Measured as M;
use super::notice::LogNotice;

/// She moves from this speed on.
const MOVES_M_S: f64 = 1.0 * KNOT_M_S;
/// Samples below which medians are not held against each other.
const LEAST_SAMPLES: usize = 30;

/// Adds what is noticed to the log's notices.
pub fn check_log(log: &mut Log) {
    let mut found = Vec::new();
    find_implausible(log, &mut found);
    find_old_clock(log, &mut found);
    find_frozen(log, &mut found);
    find_clipped(log, &mut found);
    find_wrong_units(log, &mut found);
    find_disagreement(log, &mut found);
    super::late::find_late(log, &mut found);
    find_stiff_volts(log, &mut found);
    let has = |measured: M| log.of(measured).next().is_some();
    if has(M::CourseOverGroundMagnetic) && !has(M::CourseOverGround) && !has(M::MagneticVariation) {
        found.push(LogNotice::LeftOut(
            "The courses are magnetic: so is the direction of a stream that is found from them.".to_owned(),
        ));
    }
    if has(M::SpeedOverGround)
        && (has(M::HeadingMagnetic) || has(M::HeadingTrue))
        && ![M::CourseOverGround, M::CourseOverGroundMagnetic, M::Latitude, M::SpeedThroughWater]
            .into_iter()
            .any(has)
    {
        found.push(LogNotice::LeftOut(
            "Headings without courses or positions: what a stream sets across her way is seen by neither, and where no other log tells it her speed \
             through the water comes out too high (4.12 kn for 4.00 with 1 kn across)."
                .to_owned(),
        ));
    }
    if has(M::Current) && !has(M::Voltage) && !has(M::Power) {
        found.push(LogNotice::AmpsWithoutVolts);
    }
    log.notices.append(&mut found);
}

/// Times before logs of electric drives were kept: a count that began at another time than was taken, a receiver whose
/// weeks have turned over, a clock that was never set.
/// From memory: a receiver is told its week in ten bits, so modulo 1024; the starts, common practice, no source.
fn find_old_clock(log: &Log, found: &mut Vec<LogNotice>) {
    const FROM_2010_S: f64 = 1_262_304_000.0;
    const TO_2040_S: f64 = 2_208_988_800.0;
    const WEEKS_S: f64 = 1024.0 * 7.0 * DAY_S;
    const AHEAD: [(f64, &str); 5] = [
        (946_684_800.0, "a count from 2000"),
        (978_307_200.0, "a count from 2001"),
        (315_964_800.0, "a count from 1980"),
        (WEEKS_S, "a receiver whose weeks have turned over once"),
        (2.0 * WEEKS_S, "one whose weeks have turned over twice"),
    ];
    let Some((from_s, _)) =
        log.span_s().filter(|(from_s, _)| log.time_base == TimeBase::Utc && *from_s < FROM_2010_S)
    else {
        return;
    };
    let fitting: Vec<String> = AHEAD
        .iter()
        .filter(|(ahead_s, _)| (FROM_2010_S..TO_2040_S).contains(&(from_s + ahead_s)))
        .map(|(ahead_s, what)| {
            format!(" With {what} it would be {} (--shift {ahead_s:.0}).", date_time_text(from_s + ahead_s))
        })
        .collect();
    found.push(LogNotice::Question(format!(
        "The times begin {}, before logs of such drives were kept: is that when she ran?{}",
        date_time_text(from_s),
        fitting.concat()
    )));
}

/// Volts that stay where they are while many amps more are drawn: they may be those of another battery.
fn find_stiff_volts(log: &Log, found: &mut Vec<LogNotice>) {
    const LEAST_BINS: usize = 12;
    const LEAST_A: f64 = 20.0;
    /// Share of a bank's volts that an amp takes off: cells, cables and switches of a boat take ten times this and more.
    /// From memory.
    const SHARE_PER_A: f64 = 1e-5;
    let most = |measured: M| log.of(measured).max_by_key(|c| c.count);
    let (Some(volts), Some(amps)) = (most(M::Voltage), most(M::Current)) else { return };
    let (volts_bins, amps_bins) = (bins(volts, false), bins(amps, false));
    let pairs: Vec<(f64, f64)> = common(&amps_bins, &volts_bins).collect();
    let ends = |of: fn(&(f64, f64)) -> f64| {
        let mut all: Vec<f64> = pairs.iter().map(of).collect();
        all.sort_unstable_by(f64::total_cmp);
        let last = all.len().saturating_sub(1);
        Some((*all.get(last / 10)?, *all.get(last - last / 10)?))
    };
    let (Some((few, many)), Some((low, high))) = (ends(|p| p.0), ends(|p| p.1)) else { return };
    let (room, middle) = (many - few, (low + high) / 2.0);
    // Whole volts say nothing of it.
    let is_fine = volts.values.iter().any(|value| value.fract() != 0.0);
    if pairs.len() < LEAST_BINS || room < LEAST_A || !is_fine || middle <= 0.0 {
        return;
    }
    let count = pairs.len() as f64;
    let mean = pairs.iter().fold((0.0, 0.0), |sum, p| (sum.0 + p.0 / count, sum.1 + p.1 / count));
    let cross: f64 = pairs.iter().map(|p| (p.0 - mean.0) * (p.1 - mean.1)).sum();
    let square: f64 = pairs.iter().map(|p| (p.0 - mean.0).powi(2)).sum();
    // Whichever way the meter counts.
    if (cross / square).abs() < SHARE_PER_A * middle {
        found.push(LogNotice::Question(format!(
            "The volts ({middle:.1} V) stay where they are while {room:.0} A more are drawn: are they those of the battery that drives her, and not \
             of another or of a supply? She is reckoned with them until they are left out."
        )));
    }
}

fn find_implausible(log: &Log, found: &mut Vec<LogNotice>) {
    for channel in &log.channels {
        let (low, high) = channel.measured.plausible();
        let off = |value: f64| (low - value).max(value - high);
        let odd: Vec<f64> = channel.values.iter().copied().filter(|v| off(*v) > 0.0).collect();
        let worst = odd.iter().copied().max_by(|a, b| off(*a).total_cmp(&off(*b)));
        if let Some(worst) = worst {
            found.push(LogNotice::Implausible {
                measured: channel.measured,
                source: channel.source,
                count: odd.len(),
                worst,
            });
        }
    }
}

/// Median of all values; `None` when there are none.
pub(super) fn median(values: &[f64]) -> Option<f64> {
    let mut sorted = values.to_vec();
    let middle = sorted.len() / 2;
    if sorted.is_empty() {
        return None;
    }
    let (_, value, _) = sorted.select_nth_unstable_by(middle, f64::total_cmp);
    Some(*value)
}

/// True when another speed shows that she moved from one time to the other, and is not frozen itself.
pub(super) fn moved_between(log: &Log, but_not: &Channel, from_s: f64, to_s: f64) -> bool {
    let is_speed = |c: &Channel| matches!(c.measured, M::SpeedOverGround | M::SpeedThroughWater);
    // A lone speed that stands tells of itself that she moved: no receiver shows one hundredth of a knot for minutes.
    if is_speed(but_not) && !log.channels.iter().any(|c| is_speed(c) && c.measured != but_not.measured) {
        let held: Vec<f64> = (but_not.times_s.iter().zip(&but_not.values))
            .filter(|(time, _)| (from_s..=to_s).contains(*time))
            .map(|(_, value)| *value)
            .collect();
        // One that was typed in for the whole log is no receiver's.
        let is_read = but_not.values.iter().any(|value| *value != but_not.values[0]);
        return is_read && median(&held).is_some_and(|speed| speed >= MOVES_M_S);
    }
    let speeds = log.channels.iter().filter(|c| {
        matches!(c.measured, M::SpeedOverGround | M::SpeedThroughWater) && c.measured != but_not.measured
    });
    speeds.into_iter().any(|channel| {
        let during: Vec<f64> = channel
            .times_s
            .iter()
            .zip(&channel.values)
            .filter(|(time, _)| (from_s..=to_s).contains(*time))
            .map(|(_, value)| *value)
            .collect();
        let flickers = during.windows(2).any(|two| two[0] != two[1]);
        flickers && median(&during).is_some_and(|speed| speed >= MOVES_M_S)
    })
}

/// Values of the fullest channel of a quantity from one time to the other.
fn during(log: &Log, measured: M, from_s: f64, to_s: f64) -> Vec<f64> {
    let channel = log.of(measured).max_by_key(|c| c.count);
    let pairs = channel.into_iter().flat_map(|c| c.times_s.iter().zip(&c.values));
    pairs.filter(|(time, _)| (from_s..=to_s).contains(*time)).map(|(_, value)| *value).collect()
}

/// Moored, in a stream or not: no way over ground, nothing drawn, and no faster through the water than streams run
/// past a mooring. A receiver that fell silent under sail shows no way either, and is told by her speed.
pub(super) fn is_moored(log: &Log, from_s: f64, to_s: f64) -> bool {
    /// Common practice, no source: boats lie in no faster stream.
    const STREAM_M_S: f64 = 3.0 * KNOT_M_S;
    const NO_WAY_M_S: f64 = 0.3 * KNOT_M_S;
    /// Instruments and lamps.
    const NO_POWER_W: f64 = 150.0;
    const NO_AMPS_A: f64 = 5.0;
    const ROOM_RAD: f64 = 0.05 / 60.0 / 57.3;
    let middle = |measured: M| median(&during(log, measured, from_s, to_s));
    let spread = |measured: M| {
        let values = during(log, measured, from_s, to_s);
        let (low, high) = values.iter().fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(*v), h.max(*v)));
        high - low
    };
    let draws = middle(M::Power).is_some_and(|power| power.abs() > NO_POWER_W)
        || middle(M::Current).is_some_and(|amps| amps.abs() > NO_AMPS_A)
        || [M::MotorSpeed, M::ShaftSpeed]
            .into_iter()
            .any(|m| middle(m).is_some_and(|turns| turns.abs() > 1.0));
    middle(M::SpeedOverGround).is_some_and(|speed| speed < NO_WAY_M_S)
        && middle(M::SpeedThroughWater).is_none_or(|speed| speed < STREAM_M_S)
        && spread(M::Latitude) <= ROOM_RAD
        && spread(M::Longitude) <= 2.0 * ROOM_RAD
        && !draws
}

/// The speed through the water against the speed over ground: a ratio that is just a factor of units.
fn find_wrong_units(log: &Log, found: &mut Vec<LogNotice>) {
    const GUESSES: [(f64, &str); 4] = [
        (1.852, "km/h taken for knots"),
        (1.0 / 1.852, "knots taken for km/h"),
        (3600.0 / 1852.0, "knots taken for m/s, read as knots twice"),
        (1852.0 / 3600.0, "m/s taken for knots"),
    ];
    const NEARNESS: f64 = 0.03;
    let over_ground = log.of(M::SpeedOverGround).max_by_key(|c| c.count);
    let Some(ground) = over_ground.and_then(|c| median(&c.values)).filter(|v| *v > 2.0 * MOVES_M_S) else {
        return;
    };
    for channel in log.of(M::SpeedThroughWater).filter(|c| c.values.len() >= LEAST_SAMPLES) {
        let Some(water) = median(&channel.values) else { continue };
        let ratio = water / ground;
        if let Some((_, guess)) = GUESSES.iter().find(|(factor, _)| (ratio / factor - 1.0).abs() < NEARNESS) {
            found.push(LogNotice::UnitsDoubtful { measured: M::SpeedThroughWater, ratio, guess });
        }
    }
}

/// Quantities whose sources are held against each other, and by how much they may differ in the middle, SI.
pub(super) const LIMITS: [(M, f64); 8] = [
    (M::DepthBelowTransducer, 0.3),
    (M::SpeedThroughWater, 0.3 * KNOT_M_S),
    (M::SpeedOverGround, 0.3 * KNOT_M_S),
    (M::ShaftSpeed, 0.5),
    (M::MotorSpeed, 0.5),
    (M::Voltage, 0.5),
    (M::Current, 2.0),
    (M::Power, 100.0),
];

fn find_disagreement(log: &Log, found: &mut Vec<LogNotice>) {
    for (measured, limit) in LIMITS {
        let mut channels: Vec<&Channel> =
            log.of(measured).filter(|c| c.values.len() >= LEAST_SAMPLES).collect();
        channels.sort_by_key(|c| std::cmp::Reverse(c.count));
        let [first, others @ ..] = channels.as_slice() else { continue };
        let Some(usual) = median(&first.values) else { continue };
        let others = others.iter().filter_map(|other| Some((other, median(&other.values)?)));
        for (other, value) in others.filter(|(_, value)| (value - usual).abs() > limit) {
            found.push(LogNotice::Disagree {
                measured,
                first: first.source,
                second: other.source,
                difference: (value - usual).abs(),
            });
        }
    }
}
