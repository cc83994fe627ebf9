//! Charge on arrival against speed through the water, leaving now.

use wakewright_core::passage::TryRow;
use wakewright_picture::{
    Axis, Band, Label, Line, MarkedPoint, Plot, Reference, ReferenceAt, Region, RegionFill, Tone, Weight,
};
use wakewright_units::{Quantity, unit_for};

use super::Found;
use crate::text::{Paper, percent};

/// The picture.
pub fn picture(found: &Found, description: String, paper: &Paper) -> Plot {
    let unit = unit_for(Quantity::Speed, paper.units);
    let now = found.departures().next();
    let mut rows: Vec<&TryRow> = found.speeds().chain(now).collect();
    rows.sort_by(|a, b| a.tried.speed_m_s.total_cmp(&b.tried.speed_m_s));
    let x = |row: &TryRow| unit.from_si(row.tried.speed_m_s);
    let (first, last) = (rows.first().map_or(2.0, |row| x(row)), rows.last().map_or(6.0, |row| x(row)));
    let most = rows.iter().map(|row| 100.0 * row.charge.p90).fold(100.0 * found.reserve + 5.0, f64::max);
    let top = (most / 10.0).ceil() * 10.0;
    let reserve = 100.0 * found.reserve;
    let mut plot = Plot {
        title: "Charge on arrival against speed".to_owned(),
        description,
        x: Axis { is_from_zero: false, ..Axis::new("speed through the water", unit.symbol(), 1) }
            .over(first, last),
        y: Axis::new("charge on arrival", "%", 0).over(0.0, top),
        regions: vec![Region {
            label: Label::new("below the reserve", ""),
            outline: vec![(first, 0.0), (last, 0.0), (last, reserve), (first, reserve)],
            fill: RegionFill::Hatched,
        }],
        bands: vec![Band {
            label: "80 % band".into(),
            points: rows.iter().map(|row| (x(row), 100.0 * row.charge.p10, 100.0 * row.charge.p90)).collect(),
            ..Band::default()
        }],
        lines: vec![Line {
            points: rows.iter().map(|row| (x(row), 100.0 * row.charge.value)).collect(),
            weight: Weight::Heavy,
            has_readout: true,
            ..Line::default()
        }],
        references: vec![Reference {
            label: Label::new(&format!("reserve {}", percent(found.reserve)), "reserve"),
            at: ReferenceAt::Y(reserve),
        }],
        ..Plot::default()
    };
    if let Some(row) = now {
        let left = percent(row.charge.value);
        let speed = paper.decimals(row.tried.speed_m_s, Quantity::Speed, 1);
        plot.points.push(MarkedPoint {
            label: Label::new(&format!("{speed}: {left} left at {}", found.clock(row.after_s.value)), &left),
            x: x(row),
            y: 100.0 * row.charge.value,
            tone: if row.above_share >= 0.9 { Tone::Passes } else { Tone::Binds },
            ..MarkedPoint::default()
        });
    }
    plot
}
