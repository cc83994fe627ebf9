//! A day and a year of the bank as strips: sun, loads, under way, shore, state of charge.
//! Not for: the figures (`wakewright_core::energy`).

use wakewright_core::energy::{Day, DayHour, EnergyPlan, EnergyStudy, MONTH_WORDS};
use wakewright_core::solar::weather::MONTH_DAYS;
use wakewright_units::format_number;

use super::words::{day_finding, year_finding};
use crate::draw::round_up;
use crate::text::Paper;
use wakewright_picture::{Axis, Lane, LaneMarks, Strip, Tone};

const KILOWATT_HOUR_J: f64 = 3.6e6;
const WEEK_DAYS: f64 = 7.0;

fn bars(values: impl Iterator<Item = (f64, f64, f64, bool)>) -> LaneMarks {
    LaneMarks::Bars(values.filter(|bar| bar.2 > 0.0).collect())
}

fn hourly(day: &Day, of: impl Fn(&DayHour) -> f64, is_hatched: bool) -> LaneMarks {
    bars(day.hours.iter().enumerate().map(|(i, hour)| (i as f64, i as f64 + 1.0, of(hour), is_hatched)))
}

/// Part of an hour below which nothing is drawn: three minutes on the sun of a bank at its reserve are no motoring.
const LEAST_SHARE: f64 = 0.05;

/// What lasts over hours in a row as spans of time; `begin` is where in its hour it begins.
fn spans(
    day: &Day,
    begin: fn(&DayHour) -> f64,
    share: fn(&DayHour) -> f64,
    words: &dyn Fn(f64) -> String,
) -> Vec<(f64, f64, String)> {
    let mut found: Vec<(f64, f64)> = Vec::new();
    for (i, hour) in day.hours.iter().enumerate().filter(|(_, hour)| share(hour) > LEAST_SHARE) {
        let start = i as f64 + begin(hour);
        match found.last_mut() {
            Some(last) if (last.1 - start).abs() < 1e-6 => last.1 = start + share(hour),
            _ => found.push((start, start + share(hour))),
        }
    }
    found.into_iter().map(|(from, to)| (from, to, words(to - from))).collect()
}

/// The line of the reserve among shares of charge.
fn reserve_level(reserve: f64) -> (f64, String) {
    let percent = 100.0 * reserve;
    (percent, format!("reserve {} %", format_number(percent, 0)))
}

/// The usual sky as bars for a terminal, a line for each hour with sun.
pub fn usual_bars(day: &Day) -> String {
    const LONGEST: f64 = 60.0;
    let most = day.hours.iter().map(|hour| hour.usual_w).fold(1.0, f64::max);
    let lit = day.hours.iter().enumerate().filter(|(_, hour)| hour.usual_w > 0.0);
    lit.map(|(i, hour)| {
        let bar = "#".repeat((hour.usual_w / most * LONGEST).round() as usize);
        format!("  {i:02}-{:02} {bar}\n", i + 1)
    })
    .collect()
}

/// One day, hour by hour. `plan` gives the reserve and the shore; the sky is that of a usual day.
pub fn day_strip(name: &str, plan: &EnergyPlan, day: &Day, paper: &Paper) -> Strip {
    let finding = day_finding(name, day, paper);
    let most = day.hours.iter().map(|h| h.clear_w.max(h.usual_w)).fold(10.0, f64::max);
    let house = day.hours.iter().map(|h| h.house_w).fold(10.0, f64::max);
    let band = day.hours.iter().enumerate().filter(|(_, h)| h.clear_w > 0.0 || h.usual_w > 0.0);
    let band = band.map(|(i, h)| (i as f64 + 0.5, h.dark_w, h.usual_w, h.clear_w.max(h.usual_w))).collect();
    let mut lanes = Vec::new();
    if plan.rated_w() > 0.0 {
        lanes.push(Lane {
            axis: Axis::new("sun, usual sky, between dark and clear", "W", 0).over(0.0, round_up(most)),
            marks: vec![LaneMarks::Band(band), hourly(day, |h| h.surplus_w, true)],
            tone: Tone::Ink,
            level: None,
        });
    }
    lanes.push(Lane {
        axis: Axis::new("loads aboard", "W", 0).over(0.0, round_up(house)),
        marks: vec![hourly(day, |h| h.house_w, false)],
        tone: Tone::Ink,
        level: None,
    });
    lanes.extend(span_lane(day));
    let mut charge = vec![(0.0, 100.0 * day.start)];
    charge.extend(day.hours.iter().enumerate().map(|(i, h)| (i as f64 + 1.0, 100.0 * h.state_of_charge)));
    lanes.push(Lane {
        axis: Axis::new("state of charge", "%", 0).over(0.0, 100.0),
        marks: vec![LaneMarks::Line(charge)],
        tone: Tone::Ink,
        level: Some(reserve_level(day.reserve)),
    });
    Strip {
        shaded: Vec::new(),
        is_marked: false,
        title: "The day hour by hour".into(),
        description: format!("{} {}", finding.sentence, finding.further),
        reading: (0..24).map(|hour| (f64::from(hour), format!("{hour:02}–{:02} h", hour + 1))).collect(),
        x: Axis {
            quantity: "hour, local mean time".into(),
            named_ticks: (0..=8).map(|i| (f64::from(3 * i), format!("{:02}:00", 3 * i))).collect(),
            range: Some((0.0, 24.0)),
            ..Axis::default()
        },
        lanes,
    }
}

/// Motoring, sailing and shore; none when she lies still on her own.
fn span_lane(day: &Day) -> Option<Lane> {
    let drive_w = day.hours.iter().find(|h| h.motoring > 0.0).map_or(0.0, |h| h.drive_w / h.motoring);
    let motoring = |hours: f64| {
        let power = format!("{} kW", format_number(drive_w / 1000.0, 1));
        if hours >= 2.0 { format!("motoring, {power}") } else { "motoring".to_owned() }
    };
    let mut all = spans(day, |_| 0.0, |h| h.motoring, &motoring);
    all.extend(spans(day, |h| h.motoring, |h| h.sailing, &|_| "sailing".to_owned()));
    all.extend(spans(day, |_| 0.0, |h| f64::from(u8::from(h.shore_w > 0.0)), &|_| "shore".to_owned()));
    let axis = Axis::new("under way, and on shore power", "", 0);
    (!all.is_empty()).then(|| Lane { axis, marks: vec![LaneMarks::Spans(all)], tone: Tone::Ink, level: None })
}

/// First day of each month, and the year's end, in days.
fn month_starts() -> [f64; 13] {
    let mut starts = [0.0; 13];
    for (i, days) in MONTH_DAYS.iter().enumerate() {
        starts[i + 1] = starts[i] + f64::from(*days);
    }
    starts
}

/// `8 Jan` for a day of the year from 0.
fn date_words(day: f64) -> String {
    let starts = month_starts();
    let month = starts.iter().rposition(|start| *start <= day).unwrap_or(0).min(11);
    format!("{} {}", (day - starts[month]) as u32 + 1, MONTH_WORDS[month])
}

/// The year: sun of each month with what was thrown away, shore, and the state of charge week by week.
pub fn year_strip(name: &str, plan: &EnergyPlan, study: &EnergyStudy, paper: &Paper) -> Strip {
    let starts = month_starts();
    let months = |of: &dyn Fn(usize) -> f64, is_hatched: bool| {
        bars((0..12).map(|i| (starts[i], starts[i + 1], of(i), is_hatched)))
    };
    let sun = |i: usize| study.months[i].sun_day_j.value / KILOWATT_HOUR_J;
    let wasted = |i: usize| study.months[i].surplus_day_j.value / KILOWATT_HOUR_J;
    let shore = |i: usize| study.months[i].shore_hours.value;
    let house = study.months.iter().map(|m| m.house_day_j.value / KILOWATT_HOUR_J).sum::<f64>() / 12.0;
    let most = |of: &dyn Fn(usize) -> f64| (0..12).map(of).fold(0.1, f64::max);
    let week = |i: usize| WEEK_DAYS * (i as f64 + 0.5);
    let charge = study.weeks.iter().enumerate();
    let charge =
        charge.map(|(i, w)| (week(i), 100.0 * w.lowest, 100.0 * w.mean, 100.0 * w.highest)).collect();
    let mut lanes = Vec::new();
    if plan.rated_w() > 0.0 {
        lanes.push(Lane {
            axis: Axis::new("sun by month, hatched what the bank did not take", "kWh a day", 2)
                .over(0.0, round_up(most(&sun).max(1.15 * house))),
            marks: vec![months(&sun, false), months(&wasted, true)],
            tone: Tone::Ink,
            level: Some((house, format!("loads aboard {}", format_number(house, 2)))),
        });
    }
    lanes.push(Lane {
        axis: Axis::new("state of charge by week: mean, lowest and highest of nine weathers in ten", "%", 0)
            .over(0.0, 100.0),
        marks: vec![LaneMarks::Band(charge)],
        tone: Tone::Ink,
        level: Some(reserve_level(study.reserve)),
    });
    lanes.push(Lane {
        axis: Axis::new("on shore power", "h a month", 0).over(0.0, round_up(most(&shore).max(10.0))),
        marks: vec![months(&shore, false)],
        tone: Tone::Binds,
        level: None,
    });
    let finding = year_finding(name, plan, study, paper);
    Strip {
        shaded: Vec::new(),
        is_marked: false,
        title: "The year month by month".into(),
        description: format!("{} {}", finding.sentence, finding.further),
        reading: (0..52).map(|i| (WEEK_DAYS * f64::from(i), date_words(WEEK_DAYS * f64::from(i)))).collect(),
        x: Axis {
            quantity: String::new(),
            named_ticks: (0..12)
                .map(|i| (0.5 * (starts[i] + starts[i + 1]), MONTH_WORDS[i].to_owned()))
                .collect(),
            range: Some((0.0, 365.0)),
            ..Axis::default()
        },
        lanes,
    }
}
