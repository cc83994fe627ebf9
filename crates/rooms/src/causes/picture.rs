//! Pictures of the causes: measured points on the band that she should lie in, what each cause takes, what
//! each remedy gives. Not for: drawing (`picture`).

use wakewright_core::causes::{CurveRow, DatumKind, Diagnosis, Forecast, Measure, PointKind};
use wakewright_core::study::Interval;
use wakewright_units::factors::RPM_REV_S;
use wakewright_units::{Quantity, unit_for};

use super::finding::capitalised;
use super::words::{knots, percent};
use crate::draw::round_up;
use crate::text::Paper;
use wakewright_picture::{
    Axis, Band, Dash, IntervalRow, Intervals, Label, LabelPlace, Line, MarkedPoint, Plot, Tone, Weight,
};

/// Speed, and power, against shaft speed: the band in which she should lie, the curve of the causes, and the
/// measured runs of the latest trial.
#[must_use]
pub fn band_pictures(diagnosis: &Diagnosis, paper: &Paper) -> [Plot; 2] {
    let speed = |row: &CurveRow| row.speed;
    let power = |row: &CurveRow| row.power;
    [
        band_picture(diagnosis, paper, Quantity::Speed, DatumKind::Speed, &speed),
        band_picture(diagnosis, paper, Quantity::Power, DatumKind::Power, &power),
    ]
}

fn band_picture(
    diagnosis: &Diagnosis,
    paper: &Paper,
    quantity: Quantity,
    kind: DatumKind,
    of: &dyn Fn(&CurveRow) -> Interval,
) -> Plot {
    let unit = unit_for(quantity, paper.units);
    let shown = |si: f64| unit.from_si(si);
    let rpm = |rev_s: f64| rev_s / RPM_REV_S;
    let words = if quantity == Quantity::Speed { "speed through the water" } else { "drive power" };
    let now = diagnosis.problem.now();
    let measured: Vec<(f64, f64, String)> = diagnosis
        .runs
        .iter()
        .filter(|fit| fit.epoch == now)
        .filter_map(|fit| {
            let is_log = |k: DatumKind| kind == DatumKind::Speed && k == DatumKind::LogSpeed;
            let reading = fit.readings.iter().find(|(datum, ..)| datum.kind == kind || is_log(datum.kind))?;
            let numbers: Vec<String> = fit.runs.iter().map(|run| (run + 1).to_string()).collect();
            Some((rpm(fit.shaft_rev_s?), shown(reading.0.value), numbers.join("+")))
        })
        .collect();
    let right =
        diagnosis.promised.iter().chain(&diagnosis.found).map(|row| rpm(row.shaft_rev_s)).fold(0.0, f64::max);
    let highest = measured.iter().map(|(_, y, _)| *y).fold(0.0, f64::max);
    let curve_top = diagnosis.promised.iter().map(|row| shown(of(row).p90)).fold(highest, f64::max);
    let mut plot = Plot {
        title: format!("{} against shaft speed: measured, and as she should", capitalised(words)),
        description: format!(
            "The band holds four in five boats such as her document describes, clean and in a calm; {} measured points lie on it \
             or off it.",
            measured.len()
        ),
        x: Axis::new("shaft speed", "rpm", 0).over(0.0, round_up(right)),
        y: Axis::new(words, unit.symbol(), if quantity == Quantity::Speed { 1 } else { 0 })
            .over(0.0, round_up(curve_top)),
        ..Plot::default()
    };
    plot.bands.push(Band {
        label: Label::new("as she should, 80 %", "80 %"),
        points: diagnosis
            .promised
            .iter()
            .map(|row| (rpm(row.shaft_rev_s), shown(of(row).p10), shown(of(row).p90)))
            .collect(),
        ..Band::default()
    });
    plot.lines.push(Line {
        label: Label::new("as she should", "should"),
        points: diagnosis.promised.iter().map(|row| (rpm(row.shaft_rev_s), shown(of(row).value))).collect(),
        weight: Weight::Medium,
        tone: Tone::Muted,
        dash: Dash::Dashed,
        place: LabelPlace::Along,
        has_readout: true,
        ..Line::default()
    });
    plot.lines.push(Line {
        label: Label::new("as she does", "does"),
        points: diagnosis.found.iter().map(|row| (rpm(row.shaft_rev_s), shown(of(row).value))).collect(),
        weight: Weight::Heavy,
        has_readout: true,
        ..Line::default()
    });
    plot.points = measured
        .into_iter()
        .map(|(x, y, numbers)| MarkedPoint {
            label: Label::new(&format!("runs {numbers}"), &numbers),
            x,
            y,
            ..MarkedPoint::default()
        })
        .collect();
    plot
}

/// What each cause takes, with its 80 % band, at point number `point` (0 is full throttle).
#[must_use]
pub fn shares_picture(diagnosis: &Diagnosis, point: usize, paper: &Paper) -> Intervals {
    let unit = unit_for(Quantity::Speed, paper.units);
    let Some(shortfall) = diagnosis.points.get(point) else { return Intervals::default() };
    let at = match shortfall.kind {
        PointKind::FullThrottle => "at full throttle".to_owned(),
        PointKind::Power(watts) => format!("with {} out of the bank", paper.quantity(watts, Quantity::Power)),
    };
    // What surely takes nothing is left to the table.
    let visible = shortfall.shares.iter().filter(|s| s.taken.p90.abs().max(s.taken.p10.abs()) > 0.012);
    let mut rows: Vec<IntervalRow> = visible
        .map(|share| {
            let main = if share.main_probability < 0.005 {
                String::new()
            } else {
                format!(", main {}", percent(share.main_probability))
            };
            IntervalRow {
                label: share.cause.words().to_owned(),
                median: unit.from_si(share.taken.value),
                low: unit.from_si(share.taken.p10),
                high: unit.from_si(share.taken.p90),
                text: format!("{}{main}", knots(paper, share.taken.value)),
                tone: if share.main_probability > 0.5 { Tone::Binds } else { Tone::Ink },
            }
        })
        .collect();
    rows.push(IntervalRow {
        label: "together".to_owned(),
        median: unit.from_si(shortfall.shortfall.value),
        low: unit.from_si(shortfall.shortfall.p10),
        high: unit.from_si(shortfall.shortfall.p90),
        text: knots(paper, shortfall.shortfall.value),
        tone: Tone::Muted,
    });
    Intervals {
        title: format!("What each cause takes {at}"),
        description: format!("Medians and 80 % bands; together {}.", knots(paper, shortfall.shortfall.value)),
        axis: Axis::new("speed taken", unit.symbol(), 2),
        reference: Some(0.0),
        rows,
    }
}

/// What each remedy gives at full throttle, with its 80 % band.
#[must_use]
pub fn forecast_picture(forecasts: &[Forecast], paper: &Paper) -> Intervals {
    let unit = unit_for(Quantity::Speed, paper.units);
    let rows = forecasts.iter().filter_map(|forecast| {
        let gain = forecast.of(Measure::FullSpeed)?.gain;
        Some(IntervalRow {
            label: forecast.remedy.name.clone(),
            median: unit.from_si(gain.value),
            low: unit.from_si(gain.p10),
            high: unit.from_si(gain.p90),
            text: knots(paper, gain.value),
            tone: if forecast.helps_probability > 0.8 { Tone::Passes } else { Tone::Ink },
        })
    });
    Intervals {
        title: "What each remedy gives at full throttle".to_owned(),
        description: "Medians and 80 % bands of the gain, in a calm.".to_owned(),
        axis: Axis::new("gain", unit.symbol(), 2),
        reference: Some(0.0),
        rows: rows.collect(),
    }
}
