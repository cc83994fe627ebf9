//! Measured runs on the band in which her document puts her. Not for: judging them (`standing`).

use wakewright_core::study::Interval;
use wakewright_units::factors::RPM_REV_S;
use wakewright_units::{Quantity, unit_for};

use super::round_up;
use crate::standing::{MeasuredPoint, PromisedRow, Standing};
use crate::text::Paper;
use wakewright_picture::{Axis, Band, Label, Line, MarkedPoint, Plot, Tone, Weight};

/// Speed against shaft speed; `None` where no shaft speed was measured.
#[must_use]
pub fn speed_on_band(points: &[MeasuredPoint], promised: &[PromisedRow], paper: &Paper) -> Option<Plot> {
    let knots = |si: f64| unit_for(Quantity::Speed, paper.units).from_si(si);
    let rpm = |rev_s: f64| rev_s / RPM_REV_S;
    let measured: Vec<(&MeasuredPoint, f64, f64)> = points
        .iter()
        .filter_map(|point| Some((point, rpm(point.shaft_rev_s?), knots(point.speed_m_s))))
        .collect();
    if measured.is_empty() || promised.len() < 2 {
        return None;
    }
    let at = |row: &PromisedRow| MeasuredPoint {
        shaft_rev_s: Some(row.shaft_rev_s.value),
        speed_m_s: row.speed_m_s,
        ..MeasuredPoint::default()
    };
    let rows: Vec<(f64, Interval)> = promised
        .iter()
        .filter_map(|row| Some((rpm(row.shaft_rev_s.value), Standing::of(&at(row), promised)?.should)))
        .collect();
    let mut plot = plot("speed through the water", "shaft speed", &measured, paper);
    plot.x = Axis::new("shaft speed", "rpm", 0)
        .over(0.0, round_up(greatest(&rows, &measured, |row| row.0, |m| m.1)));
    plot.y = Axis::new("speed through the water", unit_for(Quantity::Speed, paper.units).symbol(), 1)
        .over(0.0, round_up(greatest(&rows, &measured, |row| knots(row.1.p90), |m| m.2)));
    plot.bands = vec![band(rows.iter().map(|(x, y)| (*x, knots(y.p10), knots(y.p90))).collect())];
    plot.lines = vec![line(rows.iter().map(|(x, y)| (*x, knots(y.value))).collect())];
    Some(plot)
}

/// Power against speed; `None` where no power was measured.
#[must_use]
pub fn power_on_band(points: &[MeasuredPoint], promised: &[PromisedRow], paper: &Paper) -> Option<Plot> {
    let knots = |si: f64| unit_for(Quantity::Speed, paper.units).from_si(si);
    let kilowatts = |watts: f64| watts / 1000.0;
    let measured: Vec<(&MeasuredPoint, f64, f64)> = points
        .iter()
        .filter_map(|point| Some((point, knots(point.speed_m_s), kilowatts(point.power_w?))))
        .collect();
    if measured.is_empty() || promised.len() < 2 {
        return None;
    }
    let rows: Vec<(f64, Interval)> = promised.iter().map(|row| (knots(row.speed_m_s), row.power_w)).collect();
    let mut plot = plot("power of the drive", "speed", &measured, paper);
    plot.x = Axis::new("speed through the water", unit_for(Quantity::Speed, paper.units).symbol(), 1)
        .over(0.0, round_up(greatest(&rows, &measured, |row| row.0, |m| m.1)));
    plot.y = Axis::new("power of the drive", "kW", 2)
        .over(0.0, round_up(greatest(&rows, &measured, |row| kilowatts(row.1.value), |m| m.2)));
    plot.bands = vec![band(rows.iter().map(|(x, y)| (*x, kilowatts(y.p10), kilowatts(y.p90))).collect())];
    plot.lines = vec![line(rows.iter().map(|(x, y)| (*x, kilowatts(y.value))).collect())];
    Some(plot)
}

fn greatest(
    rows: &[(f64, Interval)],
    measured: &[(&MeasuredPoint, f64, f64)],
    of_row: impl Fn(&(f64, Interval)) -> f64,
    of_point: impl Fn(&(&MeasuredPoint, f64, f64)) -> f64,
) -> f64 {
    rows.iter().map(of_row).chain(measured.iter().map(of_point)).fold(0.0, f64::max)
}

fn band(points: Vec<(f64, f64, f64)>) -> Band {
    Band {
        label: Label::new("80 % band of what her document leaves open", "80 % band"),
        points,
        ..Band::default()
    }
}

fn line(points: Vec<(f64, f64)>) -> Line {
    Line {
        label: Label::new("as her document has her", "as she should"),
        points,
        weight: Weight::Medium,
        has_readout: true,
        ..Line::default()
    }
}

/// Points that are named with the numbers of their runs; of more than these none is, the table has them.
pub const MOST_NAMED: usize = 60;

/// The measured points, each with the numbers of its runs.
fn plot(what: &str, against: &str, measured: &[(&MeasuredPoint, f64, f64)], paper: &Paper) -> Plot {
    let said: Vec<String> = measured
        .iter()
        .take(MOST_NAMED)
        .map(|(point, ..)| {
            format!("runs {} {}", point.name(), paper.decimals(point.speed_m_s, Quantity::Speed, 1))
        })
        .collect();
    let is_named = measured.len() <= MOST_NAMED;
    let numbers = |point: &MeasuredPoint| match is_named {
        true => point.name().replace(" and ", "+"),
        false => String::new(),
    };
    let rest = measured.len().saturating_sub(MOST_NAMED);
    let rest = if rest > 0 { format!("; and {rest} more") } else { String::new() };
    Plot {
        title: format!("Measured {what} against {against}"),
        description: format!("On the band of her document: {}{rest}.", said.join("; ")),
        points: measured
            .iter()
            .map(|(point, x, y)| MarkedPoint {
                label: if point.is_held_back && is_named {
                    Label::new(&format!("{} shallow", numbers(point)), &numbers(point))
                } else {
                    Label::new(&numbers(point), "")
                },
                x: *x,
                y: *y,
                tone: if point.is_held_back { Tone::Muted } else { Tone::Binds },
                ..MarkedPoint::default()
            })
            .collect(),
        ..Plot::default()
    }
}
