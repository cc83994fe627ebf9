//! `range` as text. Not for: the words of the finding (`sentence`).

use wakewright_core::boat::BoatSpec;
use wakewright_core::study::{Figure, Interval, Study};
use wakewright_units::factors::NAUTICAL_MILE_M;
use wakewright_units::{Quantity, format_number, unit_for};

use super::drive::{cautions_text, finding_text, number_in, percent};
use super::paper::{Ink, Paper};
use super::table::{Align, Table, Titled};
use crate::sentence::{is_endless, month_name, range_finding};

/// The whole text.
#[must_use]
pub fn range_text(name: &str, spec: &BoatSpec, study: &Study, paper: &Paper) -> String {
    let mut out = finding_text(&range_finding(name, spec, study, paper), paper);
    out.push('\n');
    let stands_on = format!(
        "Charge {} to {}, standing load {}, wind {} from ahead, sea margin {}",
        paper.quantity(spec.boat.bank.state_of_charge, Quantity::Share),
        paper.quantity(spec.boat.reserve, Quantity::Share),
        paper.quantity(spec.boat.house_power_w, Quantity::Power),
        paper.quantity(spec.boat.sea.true_head_wind_m_s, Quantity::Speed),
        paper.quantity(spec.boat.sea.sea_margin, Quantity::Share),
    );
    out += &paper.wrap(&stands_on, 0);
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
    // Beyond the first speed that no sample reaches there is nothing to plan with.
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
             share of all samples of the unsure inputs in which she reaches the speed; the bands of a row are over those samples. \
             Not for navigation.",
            paper.decimals(full, Quantity::Speed, 1)
        ),
        2,
    );
    out += &beyond_table(study, paper).map_or_else(String::new, |titled| titled.render(paper));
    out += &cautions_text(&study.notices, paper);
    out
}

/// The miles of each speed with the sun, and after years; `None` when neither is asked.
#[must_use]
pub fn beyond_table(study: &Study, paper: &Paper) -> Option<Titled> {
    if study.beyond.is_empty() {
        return None;
    }
    let speed = format!("speed\n{}", unit_for(Quantity::Speed, paper.units).symbol());
    let mut heads: Vec<(String, Align)> = vec![(speed, Align::Right), ("miles".to_owned(), Align::Right)];
    if study.beyond.sun.is_some() {
        for head in ["with\nsun", "80 % band", "on sun\na day", "80 % band"] {
            heads.push((head.to_owned(), Align::Right));
        }
    }
    if let Some(years) = study.beyond.years {
        heads.push((format!("in {}\nyears", format_number(years, 0)), Align::Right));
        heads.push(("80 % band".to_owned(), Align::Right));
    }
    let columns: Vec<(&str, Align)> = heads.iter().map(|(head, align)| (head.as_str(), *align)).collect();
    let mut table = Table::new(&columns);
    for row in study.speeds.iter().filter(|row| row.distance_m.is_some()) {
        // Both ends of a band have the digits of the lower.
        let said = |metres: f64, as_fine_as: f64| {
            if is_endless(metres, row.speed_m_s) {
                return "no end".to_owned();
            }
            format_number(metres / NAUTICAL_MILE_M, usize::from(as_fine_as < 20.0 * NAUTICAL_MILE_M))
        };
        let value =
            |interval: Option<Interval>| interval.map_or_else(|| "-".to_owned(), |i| said(i.value, i.value));
        let band = |interval: Option<Interval>| {
            interval.map_or_else(String::new, |i| format!("{}-{}", said(i.p10, i.p10), said(i.p90, i.p10)))
        };
        let mut cells = vec![number_in(row.speed_m_s, Quantity::Speed, paper, 1), value(row.distance_m)];
        if study.beyond.sun.is_some() {
            for interval in [row.beyond.with_sun_m, row.beyond.sun_alone_day_m] {
                cells.extend([value(interval), band(interval)]);
            }
        }
        if study.beyond.years.is_some() {
            cells.extend([value(row.beyond.aged_m), band(row.beyond.aged_m)]);
        }
        table.row(Ink::Plain, cells);
    }
    let mut notes = Vec::new();
    if let Some(sun) = &study.beyond.sun {
        notes.push(format!(
            "With sun: leaving at {:02}:00 local mean time, every day one of {}. On sun a day: what leaves the bank as it \
             was, the loads aboard served round the clock.",
            sun.leaves_at,
            month_name(sun.month)
        ));
    }
    if study.beyond.years.is_some() {
        notes.push("Years: lying charged at mild temperatures; cycling takes its own.".to_owned());
    }
    Some(Titled::new(beyond_heading(study), table, notes.join(" ")))
}

/// `With the sun of June, and after 6 years`.
#[must_use]
pub fn beyond_heading(study: &Study) -> String {
    let sun = study.beyond.sun.as_ref().map(|sun| format!("with the sun of {}", month_name(sun.month)));
    let years = study.beyond.years.map(|years| format!("after {} years", format_number(years, 0)));
    let said: Vec<String> = sun.into_iter().chain(years).collect();
    let said = said.join(", and ");
    let mut letters = said.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().collect::<String>() + letters.as_str())
}
