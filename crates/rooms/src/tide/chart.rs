//! The height of the tide over the hours as a picture. What stands on the ground is drawn into it elsewhere.

use wakewright_core::drying_out::daylight;
use wakewright_picture::{Axis, Dash, Line, Plot, Region, RegionFill, Weight};
use wakewright_units::factors::KNOT_M_S;

use super::current::Stream;
use super::known::{Known, seconds};
use super::sheets::BAND_DEVIATE;

const HOUR_S: f64 = 3600.0;

/// Hours since the first instant asked for.
#[must_use]
pub fn hours(known: &Known, unix_s: f64) -> f64 {
    (unix_s - seconds(&known.first)) / HOUR_S
}

/// The curve with its band from `from_s` to `to_s`.
#[must_use]
pub fn curve(known: &Known, (from_s, to_s): (f64, f64), title: &str, description: String) -> Plot {
    let off_m = BAND_DEVIATE * known.level.sd_m();
    let shown = known.curve.iter().filter(|point| (from_s..=to_s).contains(&point.0));
    let points: Vec<(f64, f64)> = shown.map(|(at, height_m)| (hours(known, *at), *height_m)).collect();
    let (low, high) =
        points.iter().fold((0.0_f64, 0.0_f64), |(low, high), point| (low.min(point.1), high.max(point.1)));
    let y = Axis::new(&format!("height above {}", known.datum), "m", 2)
        .over((low - off_m).min(0.0), high + off_m);
    Plot {
        title: title.to_owned(),
        description,
        ..over_hours(known, (from_s, to_s), y, &points, (off_m, "80 % with weather"))
    }
}

/// The rate of a stream over the days asked for, flood above nought.
#[must_use]
pub fn rates(known: &Known, stream: &Stream, description: String) -> Plot {
    let span_s = (seconds(&known.first), seconds(&known.last));
    let points: Vec<(f64, f64)> =
        stream.rates.iter().map(|(at, rate)| (hours(known, *at), rate / KNOT_M_S)).collect();
    let off = stream.rate_m_s / KNOT_M_S;
    let most = points.iter().map(|point| point.1.abs()).fold(0.1, f64::max) + off;
    let y = Axis::new("rate, flood above nought", "kn", 1).over(-most, most);
    let title = "Rate of the stream over the hours".to_owned();
    Plot { title, description, ..over_hours(known, span_s, y, &points, (off, "80 %")) }
}

/// A line over the hours with its band, nights tinted where it is known where the place lies.
fn over_hours(
    known: &Known,
    (from_s, to_s): (f64, f64),
    y: Axis,
    points: &[(f64, f64)],
    (off, band): (f64, &str),
) -> Plot {
    let (low, high) = y.range.unwrap_or_default();
    let days = (to_s - from_s) / 86_400.0;
    let every_h = if days <= 1.2 {
        3.0
    } else if days <= 2.2 {
        6.0
    } else {
        24.0 * (days / 8.0).ceil()
    };
    let format = if days <= 2.2 { "%H:%M" } else { "%d %b" };
    let first = (hours(known, from_s) / every_h).ceil() as i64;
    let last = (hours(known, to_s) / every_h).floor() as i64;
    let tick = |n: i64| {
        let x = n as f64 * every_h;
        (x, known.local(seconds(&known.first) + x * HOUR_S).strftime(format).to_string())
    };
    let night = |(dusk, dawn): (f64, f64)| Region {
        outline: vec![(dusk, low), (dusk, high), (dawn, high), (dawn, low)],
        fill: RegionFill::Tinted,
        ..Region::default()
    };
    let edge = |by_m: f64, label: &str| Line {
        label: label.into(),
        points: points.iter().map(|(x, y)| (*x, y + by_m)).collect(),
        weight: Weight::Hair,
        dash: Dash::Dotted,
        ..Line::default()
    };
    Plot {
        x: Axis {
            quantity: format!("time of the place ({})", known.local(from_s).strftime("%Z")),
            named_ticks: (first..=last).map(tick).collect(),
            ..Axis::default()
        }
        .over(hours(known, from_s), hours(known, to_s)),
        y,
        regions: if days <= 4.0 {
            nights(known, from_s, to_s).into_iter().map(night).collect()
        } else {
            Vec::new()
        },
        // A tinted band would vanish where nights are tinted: its edges stand for it.
        lines: vec![
            edge(-off, ""),
            edge(off, band),
            Line { points: points.to_vec(), weight: Weight::Heavy, has_readout: true, ..Line::default() },
        ],
        ..Plot::default()
    }
}

/// From sunset to sunrise, in hours.
fn nights(known: &Known, from_s: f64, to_s: f64) -> Vec<(f64, f64)> {
    let Some(place) = known.position else { return Vec::new() };
    let days = daylight(place, from_s, to_s);
    let dusks = std::iter::once(from_s).chain(days.iter().map(|day| day.1));
    let dawns = days.iter().map(|day| day.0).chain(std::iter::once(to_s));
    let nights = dusks.zip(dawns).filter(|(dusk, dawn)| dusk < dawn);
    nights.map(|(dusk, dawn)| (hours(known, dusk), hours(known, dawn))).collect()
}
