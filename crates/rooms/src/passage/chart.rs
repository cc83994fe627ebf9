//! Pictures of a passage: what is left over the hours, and what is left on arrival by the hour of leaving.

use wakewright_core::passage::PassageRow;
use wakewright_picture::{
    Axis, Band, Label, Line, MarkedPoint, Plot, Reference, ReferenceAt, Region, RegionFill, Tone, Weight,
};

use super::reckoned::Found;
use crate::text::percent;

const HOUR_S: f64 = 3600.0;
const DAY_S: f64 = 86_400.0;

fn reserve(found: &Found, last: f64) -> (Region, Reference) {
    let reserve = 100.0 * found.reserve;
    let region = Region {
        label: Label::new("below the reserve", ""),
        outline: vec![(0.0, 0.0), (last, 0.0), (last, reserve), (0.0, reserve)],
        fill: RegionFill::Hatched,
    };
    let label = Label::new(&format!("reserve {}", percent(found.reserve)), "reserve");
    (region, Reference { label, at: ReferenceAt::Y(reserve) })
}

/// What is left over the hours, the points of the route marked.
#[must_use]
pub fn left(found: &Found, description: String) -> Plot {
    let run = &found.kept.run;
    let hours = |at_s: f64| at_s / HOUR_S;
    let rows: Vec<&PassageRow> = found.study.rows.iter().filter(|row| row.at_s.value.is_finite()).collect();
    let ends = run.at_s.last().into_iter().copied().chain(rows.iter().map(|row| row.at_s.value));
    let last = hours(ends.fold(0.0, f64::max)).max(0.1);
    let every_h = (last / 4.0).ceil().max(1.0);
    let first_s = found.case.leaves.minute() as f64 * 60.0;
    let tick = |n: usize| {
        let at_s = n as f64 * every_h * HOUR_S - first_s;
        (hours(at_s), found.case.local(at_s).strftime("%H:%M").to_string())
    };
    let ticks = (0..40).map(tick).filter(|(x, _)| (0.0..=last).contains(x)).collect();
    let most = rows.iter().map(|row| 100.0 * row.share.p90).fold(100.0 * found.share, f64::max);
    let (region, line) = reserve(found, last);
    let zone = found.case.leaves.strftime("%Z").to_string();
    let mark = |(place, row): (usize, &&PassageRow)| {
        let name = found.point(place);
        let left = percent(row.share.value);
        MarkedPoint {
            label: Label::new(
                &format!("{name}: {left}"),
                if place + 1 == found.study.rows.len() { left.as_str() } else { "" },
            ),
            x: hours(row.at_s.value),
            y: 100.0 * row.share.value,
            tone: if row.above_kept >= 0.9 { Tone::Passes } else { Tone::Binds },
            ..MarkedPoint::default()
        }
    };
    let is_few = found.study.rows.len() <= 7;
    let marks = rows
        .iter()
        .enumerate()
        .skip(1)
        .filter(|(place, _)| is_few || place + 1 == rows.len())
        .map(mark)
        .collect();
    Plot {
        title: "What is left in the bank over the hours".to_owned(),
        description,
        x: Axis { named_ticks: ticks, ..Axis::new(&format!("hour ({zone})"), "", 1) }.over(0.0, last),
        y: Axis::new("left of all that the bank holds", "%", 0)
            .over(0.0, ((most / 10.0).ceil() * 10.0).min(100.0)),
        regions: vec![region],
        bands: vec![Band {
            label: "80 % band".into(),
            points: rows
                .iter()
                .map(|row| (hours(row.at_s.value), 100.0 * row.share.p10, 100.0 * row.share.p90))
                .collect(),
            ..Band::default()
        }],
        lines: vec![Line {
            points: run
                .at_s
                .iter()
                .zip(&run.shares)
                .map(|(at_s, share)| (hours(*at_s), 100.0 * share))
                .collect(),
            weight: Weight::Heavy,
            has_readout: true,
            ..Line::default()
        }],
        references: vec![line],
        points: marks,
        ..Plot::default()
    }
}

/// What is left on arrival by the hour of leaving.
#[must_use]
pub fn departures(found: &Found, description: String) -> Plot {
    let days = |at_s: f64| at_s / DAY_S;
    let last = found.departures.last().map_or(1.0, |row| days(row.leaves_s)).max(0.2);
    let midnight_s = found.case.leaves.start_of_day().map_or(0.0, |day| {
        crate::tide::known::seconds(&day) - crate::tide::known::seconds(&found.case.leaves)
    });
    let every = (last / 5.0).ceil().max(1.0);
    let tick = |n: usize| {
        let at_s = midnight_s + n as f64 * every * DAY_S;
        (days(at_s), found.case.local(at_s + HOUR_S).strftime("%d %b").to_string())
    };
    let ticks = (0..20).map(tick).filter(|(x, _)| (0.0..=last).contains(x)).collect();
    let (region, line) = reserve(found, last);
    // An hour without a plan breaks the line.
    let mut points: Vec<(f64, f64)> = Vec::new();
    for pair in found.departures.windows(2) {
        points.push((days(pair[0].leaves_s), 100.0 * pair[0].share));
        if pair[1].leaves_s - pair[0].leaves_s > 1.5 * HOUR_S {
            points.push((days(pair[0].leaves_s), f64::NAN));
        }
    }
    points.extend(found.departures.last().map(|row| (days(row.leaves_s), 100.0 * row.share)));
    let most =
        found.departures.iter().map(|row| 100.0 * row.share).fold(100.0 * found.reserve + 5.0, f64::max);
    let best = found.best_departure().map(|best| {
        let when = found.case.local(best.leaves_s).strftime("%a %d %b %H:%M").to_string();
        MarkedPoint {
            label: Label::new(&format!("{when}: {}", percent(best.share)), &percent(best.share)),
            x: days(best.leaves_s),
            y: 100.0 * best.share,
            tone: Tone::Passes,
            ..MarkedPoint::default()
        }
    });
    Plot {
        title: "What is left on arrival by the hour of leaving".to_owned(),
        description,
        is_low: true,
        x: Axis { named_ticks: ticks, ..Axis::new("day of leaving", "", 1) }.over(0.0, last),
        y: Axis::new("left on arrival", "%", 0).over(0.0, ((most / 10.0).ceil() * 10.0).min(100.0)),
        regions: vec![region],
        lines: vec![Line { points, weight: Weight::Medium, has_readout: true, ..Line::default() }],
        references: vec![line],
        points: best.into_iter().collect(),
        ..Plot::default()
    }
}
