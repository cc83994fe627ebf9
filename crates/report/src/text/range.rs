//! `range` as text. Not for: the words of the finding (`sentence`).

use wakewright_core::boat::BoatSpec;
use wakewright_core::study::{Figure, Interval, Study};
use wakewright_units::{Quantity, format_number, unit_for};

use super::drive::{cautions_text, finding_text, number_in, percent};
use super::paper::{Ink, Paper};
use super::table::{Align, Table};
use crate::sentence::range_finding;

/// The whole text.
#[must_use]
pub fn range_text(name: &str, spec: &BoatSpec, study: &Study, paper: &Paper) -> String {
    let mut out = finding_text(&range_finding(name, spec, study, paper), paper);
    out += &format!(
        "\nFrom {} to {} state of charge, standing load {}\n",
        paper.quantity(spec.boat.bank.state_of_charge, Quantity::Share),
        paper.quantity(spec.boat.reserve, Quantity::Share),
        paper.quantity(spec.boat.house_power_w, Quantity::Power),
    );
    let speed = format!("speed\n{}", unit_for(Quantity::Speed, paper.units).symbol());
    let mut table = Table::new(&[
        (&speed, Align::Right),
        ("shaft\nrpm", Align::Right),
        ("bank\nkW", Align::Right),
        ("80 % band", Align::Right),
        ("Wh/nm", Align::Right),
        ("hours", Align::Right),
        ("miles", Align::Right),
        ("80 % band", Align::Right),
        ("reached\nin", Align::Right),
    ]);
    let full = study.answers.full.held.state.speed_m_s;
    // Beyond the first speed that no draw reaches there is nothing to plan with.
    let last = study.speeds.iter().position(|row| row.share_in_reach == 0.0).unwrap_or(study.speeds.len());
    for row in study.speeds.iter().take(last + 1) {
        let Some(power) = row.figure(Figure::BankPower) else { continue };
        let value = |figure: Figure| row.figure(figure).map_or(f64::NAN, |i| i.value);
        let band = |interval: Interval, scale: f64, decimals: usize| {
            format!(
                "{}-{}",
                format_number(interval.p10 * scale, decimals),
                format_number(interval.p90 * scale, decimals)
            )
        };
        let is_out = row.distance_m.is_none();
        let dash = || "-".to_owned();
        let miles_decimals = |d: f64| usize::from(d < 20.0 * 1852.0);
        table.row(
            if is_out { Ink::Faint } else { Ink::Plain },
            vec![
                number_in(row.speed_m_s, Quantity::Speed, paper, 1),
                format_number(value(Figure::ShaftSpeed) * 60.0, 0),
                format_number(power.value / 1000.0, 2),
                band(power, 1e-3, 2),
                format_number(value(Figure::EnergyPerMile) * 1852.0 / 3600.0, 0),
                row.duration_s.map_or_else(dash, |d| format_number(d.value / 3600.0, 1)),
                row.distance_m
                    .map_or_else(dash, |d| format_number(d.value / 1852.0, miles_decimals(d.value))),
                row.distance_m.map_or_else(dash, |d| band(d, 1.0 / 1852.0, miles_decimals(d.p10))),
                percent(row.share_in_reach),
            ],
        );
    }
    out += &table.render(paper, 2);
    out += &paper.wrap(
        &format!(
            "Full throttle is {}. Miles are through the water: a stream adds or takes its own. \"reached in\" is the \
             share of all draws of the unsure inputs in which she reaches the speed; the bands of a row are over those draws. \
             Not for navigation.",
            paper.decimals(full, Quantity::Speed, 1)
        ),
        2,
    );
    out += &cautions_text(&study.notices, paper);
    out
}
