//! Values over the years with their line, its band and their limit. Not for: drawing.

use jiff::civil::Date;
use wakewright_core::sheet::Interval;
use wakewright_core::upkeep::{Bad, Reading, Trend, UpkeepStudy, ValueRow};
use wakewright_picture::{Axis, Band, Label, Line, MarkedPoint, Plot, Reference, ReferenceAt, Tone, Weight};
use wakewright_units::unit_for;

use crate::text::Paper;

/// Years ahead of the last reading to which a line is drawn.
const YEARS_AHEAD: i16 = 5;

/// What a bank holds, by its tests; none without a test.
pub(super) fn capacity(study: &UpkeepStudy, description: String) -> Option<Plot> {
    let readings: Vec<Reading> = study
        .asked
        .tests
        .iter()
        .filter(|test| test.of.is_empty())
        .map(|test| {
            let share = test.capacity.share;
            Reading { day: test.day, value: 100.0 * share.value, error: 50.0 * (share.p90 - share.p10) }
        })
        .collect();
    let mut limits = vec![(100.0 * study.asked.worn_share, "counts as worn".to_owned())];
    limits
        .extend(study.asked.trip_share.map(|need| (100.0 * need.value, "the longest trip takes".to_owned())));
    let line = study.fade.ok();
    let on = line.map(|line| move |day: Date| line.on(day).scaled(100.0));
    plot(&readings, on, &limits, ("capacity over the label", "%", 0), description)
}

/// The value that reaches its limit first, else the one that was read most often; none without a trend.
pub(super) fn value<'s>(study: &'s UpkeepStudy, paper: &Paper) -> Option<(&'s ValueRow, Plot)> {
    let with_line = || study.values.iter().filter(|row| row.trend.is_ok());
    let first = with_line()
        .filter_map(|row| Some((row.reached?.middle?, row)))
        .min_by_key(|(day, _)| *day)
        .map(|(_, row)| row);
    let row = first.or_else(|| with_line().max_by_key(|row| row.readings.len()))?;
    let unit = unit_for(row.measured.quantity, paper.units);
    let scale = unit.to_si(1.0) - unit.to_si(0.0);
    let shown = |si: f64| unit.from_si(si);
    let readings: Vec<Reading> = row
        .readings
        .iter()
        .map(|read| Reading { value: shown(read.value), error: read.error / scale, ..*read })
        .collect();
    let line: Trend = row.trend.ok()?;
    let on = move |day: Date| {
        let Interval { value, p10, p90 } = line.on(day);
        Interval { value: shown(value), p10: shown(p10), p90: shown(p90) }
    };
    let side = if row.measured.bad == Bad::Above { "no more than" } else { "no less than" };
    let limits: Vec<(f64, String)> =
        row.measured.limit.iter().map(|limit| (shown(*limit), side.to_owned())).collect();
    let description = format!("{} over the years, with its line.", row.measured.what);
    Some((row, plot(&readings, Some(on), &limits, (row.measured.what, unit.symbol(), 2), description)?))
}

fn plot(
    readings: &[Reading],
    on: Option<impl Fn(Date) -> Interval>,
    limits: &[(f64, String)],
    (what, unit, decimals): (&str, &str, usize),
    description: String,
) -> Option<Plot> {
    let (first, last) = (readings.first()?.day, readings.last()?.day);
    let end = last.year() + if on.is_some() { YEARS_AHEAD } else { 1 };
    let days = |day: Date| f64::from(day.day_of_year() - 1) / f64::from(day.days_in_year());
    let x = |day: Date| f64::from(day.year()) + days(day);
    let line: Vec<(f64, Interval)> = on.map_or_else(Vec::new, |on| {
        let months = (0..).map(|month| first.saturating_add(jiff::Span::new().months(month)));
        months.take_while(|day| day.year() < end).map(|day| (x(day), on(day))).collect()
    });
    let values = readings.iter().flat_map(|read| [read.value - read.error, read.value + read.error]);
    let all: Vec<f64> =
        values.chain(limits.iter().map(|limit| limit.0)).chain(line.iter().map(|(_, at)| at.value)).collect();
    let (low, high) = all.iter().fold((f64::MAX, f64::MIN), |(low, high), v| (low.min(*v), high.max(*v)));
    let room = 0.08 * (high - low).max(1e-9);
    let (low, high) = ((low - room).max(0.0), high + room);
    let within = |value: f64| value.clamp(low, high);
    let years = (first.year()..=end).map(|year| (f64::from(year), year.to_string()));
    Some(Plot {
        title: what.to_owned(),
        description,
        x: Axis { is_from_zero: false, named_ticks: years.collect(), ..Axis::new("year", "", 1) }
            .over(f64::from(first.year()), f64::from(end)),
        y: Axis { is_from_zero: false, ..Axis::new(what, unit, decimals) }.over(low, high),
        bands: vec![Band {
            label: "80 % band".into(),
            points: line.iter().map(|(x, at)| (*x, within(at.p10), within(at.p90))).collect(),
            ..Band::default()
        }],
        lines: vec![Line {
            points: line.iter().map(|(x, at)| (*x, within(at.value))).collect(),
            weight: Weight::Heavy,
            has_readout: true,
            ..Line::default()
        }],
        references: limits
            .iter()
            .map(|(at, words)| Reference { label: Label::new(words, ""), at: ReferenceAt::Y(*at) })
            .collect(),
        points: readings
            .iter()
            .map(|read| MarkedPoint {
                label: Label::new("", ""),
                x: x(read.day),
                y: read.value,
                tone: Tone::Passes,
                ..MarkedPoint::default()
            })
            .collect(),
        ..Plot::default()
    })
}
