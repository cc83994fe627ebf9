//! `drive` as text: what stops her, the table over the throttle, the watt ladder.
//! Not for: the words of the finding (`sentence`).

use wakewright_core::boat::BoatSpec;
use wakewright_core::notice::{Notice, Severity};
use wakewright_core::study::{Figure, Study};
use wakewright_units::{Digits, Quantity, format_number, format_quantity, unit_for};

use super::paper::{Ink, Paper};
use super::table::{Align, Table};
use crate::sentence::{Finding, drive_finding, second_opinions_sentence};

/// The whole text.
#[must_use]
pub fn drive_text(name: &str, spec: &BoatSpec, study: &Study, paper: &Paper) -> String {
    let mut out = finding_text(&drive_finding(name, spec, study, paper), paper);
    out += "\nWhat can stop her\n";
    out += &limits_table(study, paper).render(paper, 0);
    out += "\nOver the throttle\n";
    out += &throttle_table(study, paper).render(paper, 2);
    for (throttle, why) in &study.throttles_without_way {
        out += &paper.wrap(&format!("At {} throttle: {why}.", percent(*throttle)), 2);
    }
    out += "\nWhere each watt goes at full throttle\n";
    out += &ladder_text(study, paper);
    out += "\nMore at full throttle\n";
    out += &details_text(study, paper);
    if let Some(sentence) = second_opinions_sentence(study, paper) {
        out += "\nSecond opinions on the hull\n";
        out += &paper.wrap(&sentence, 2);
    }
    if let Some(first) = study.width_of_speed.first() {
        let parts: Vec<String> = study
            .width_of_speed
            .iter()
            .take(4)
            .map(|w| format!("{} {}", w.input.words(), percent(w.share)))
            .collect();
        out += "\nWhat makes the top speed unsure\n";
        out += &paper.wrap(&format!("{}. {}", parts.join(", "), first.input.how_to_know_better()), 2);
    }
    out += &notices_text(&study.notices, paper);
    out
}

/// Sentence and what goes with it.
pub(crate) fn finding_text(finding: &Finding, paper: &Paper) -> String {
    let mut sentence = paper.wrap(&finding.sentence, 0);
    if paper.has_ink {
        sentence = sentence.lines().map(|line| paper.ink(Ink::Strong, line) + "\n").collect();
    }
    if finding.further.is_empty() { sentence } else { sentence + &paper.wrap(&finding.further, 0) }
}

pub(super) fn percent(share: f64) -> String {
    format!("{} %", format_number(100.0 * share, 0))
}

fn limits_table(study: &Study, paper: &Paper) -> Table {
    let mut table = Table::new(&[
        ("  limit", Align::Left),
        ("used", Align::Right),
        ("alone it stops\nher at", Align::Right),
        ("binds in", Align::Right),
    ]);
    let binding = study.answers.full.held.limit;
    for row in &study.limits {
        let ink = if row.limit == binding { Ink::Binds } else { Ink::Plain };
        let mark = if row.limit == binding { "> " } else { "  " };
        table.row(
            ink,
            vec![
                format!("{mark}{}", row.limit.words()),
                percent(row.share_used),
                row.alone_m_s
                    .map_or_else(|| "not reached".to_owned(), |v| paper.decimals(v, Quantity::Speed, 1)),
                if row.binds_in < 0.005 { String::new() } else { percent(row.binds_in) },
            ],
        );
    }
    table
}

fn throttle_table(study: &Study, paper: &Paper) -> Table {
    let speed = format!("speed\n{}", unit_for(Quantity::Speed, paper.units).symbol());
    let mut table = Table::new(&[
        ("throttle", Align::Right),
        (&speed, Align::Right),
        ("80 % band", Align::Right),
        ("shaft\nrpm", Align::Right),
        ("torque\nN m", Align::Right),
        ("at the\nshaft, kW", Align::Right),
        ("from the\nbank, kW", Align::Right),
        ("bank\nA", Align::Right),
        ("Wh/nm", Align::Right),
    ]);
    for row in &study.throttles {
        let value = |figure: Figure| row.figures[figure as usize].value;
        let band = row.figures[Figure::Speed as usize];
        let knots = |si: f64| number_in(si, Quantity::Speed, paper, 1);
        let is_last = (row.throttle - 1.0).abs() < 1e-9;
        table.row(
            if is_last { Ink::Binds } else { Ink::Plain },
            vec![
                percent(row.throttle),
                knots(band.value),
                format!("{}-{}", knots(band.p10), knots(band.p90)),
                format_number(value(Figure::ShaftSpeed) * 60.0, 0),
                format_number(value(Figure::ShaftTorque), 0),
                format_number(value(Figure::DeliveredPower) / 1000.0, 2),
                format_number(value(Figure::BankPower) / 1000.0, 2),
                format_number(value(Figure::BankCurrent), 0),
                format_number(value(Figure::EnergyPerMile) * 1852.0 / 3600.0, 0),
            ],
        );
    }
    table
}

/// A number in the unit of its kind, without the unit.
pub(super) fn number_in(si: f64, quantity: Quantity, paper: &Paper, decimals: usize) -> String {
    format_number(unit_for(quantity, paper.units).from_si(si), decimals)
}

/// Columns of the longest bar.
const LONGEST_BAR: f64 = 26.0;

fn ladder_text(study: &Study, paper: &Paper) -> String {
    let ladder = &study.ladder;
    let total = ladder.cells_w;
    let mut out = format!("  {:<36} {:>8}\n", "from the cells", format!("{} W", format_number(total, 0)));
    for (words, watts) in ladder.steps() {
        if watts.abs() < 0.5 {
            continue;
        }
        let length = (watts.abs() / total * LONGEST_BAR).round() as usize;
        let reaches_water = words.starts_with("hull") || !is_machinery(words);
        let bar = if reaches_water { "#".repeat(length) } else { "/".repeat(length) };
        let share = format!("{:>4.0} %", 100.0 * watts / total);
        out += &format!(
            "  {words:<36} {:>8} {share} {}\n",
            format!("{} W", format_number(watts, 0)),
            paper.ink(if reaches_water { Ink::Passes } else { Ink::Faint }, &bar)
        );
    }
    out += &paper.wrap("/ lost on the way, # spent on moving her", 2);
    out
}

/// Steps that are lost before the water.
pub(crate) fn is_machinery(words: &str) -> bool {
    matches!(
        words,
        "bank and cable"
            | "standing loads"
            | "controller"
            | "motor winding"
            | "motor iron and bearings"
            | "reduction and shaft line"
            | "propeller: slip, swirl, blade drag"
    )
}

fn details_text(study: &Study, paper: &Paper) -> String {
    let mut table = Table::new(&[("", Align::Left), ("", Align::Right), ("80 % band", Align::Right)]);
    let shown = [
        Figure::BankVolts,
        Figure::MotorVolts,
        Figure::PhaseCurrent,
        Figure::WindingTemperature,
        Figure::Thrust,
        Figure::Slip,
        Figure::PropellerEfficiency,
        Figure::OverallEfficiency,
        Figure::TipSpeed,
        Figure::CavitationShare,
    ];
    for figure in shown {
        let origin = figure.origin();
        let interval = study.at_full(figure);
        table.row(
            Ink::Plain,
            vec![
                origin.label.to_owned(),
                paper.quantity(interval.value, origin.quantity),
                paper.band(interval, origin.quantity),
            ],
        );
    }
    if let (Some(bollard), Some(interval)) = (study.answers.bollard, study.bollard_n) {
        table.row(
            Ink::Plain,
            vec![
                format!("pull against a quay, at {} rpm", format_number(bollard.shaft_rev_s * 60.0, 0)),
                format_quantity(interval.value, Quantity::Force, paper.units, Digits::Usual),
                paper.band(interval, Quantity::Force),
            ],
        );
    }
    table.render(paper, 2)
}

/// Cautions only.
pub(super) fn cautions_text(notices: &[Notice], paper: &Paper) -> String {
    graver_text(notices, Severity::Caution, paper)
}

/// Remarks, the grave ones first; estimates in one line.
pub(crate) fn notices_text(notices: &[Notice], paper: &Paper) -> String {
    graver_text(notices, Severity::Weak, paper) + &estimates_text(notices, paper)
}

fn graver_text(notices: &[Notice], least: Severity, paper: &Paper) -> String {
    let mut out = String::new();
    let mut graver: Vec<&Notice> = notices.iter().filter(|n| n.severity() >= least).collect();
    graver.sort_by_key(|notice| std::cmp::Reverse(notice.severity()));
    if !graver.is_empty() {
        out += "\nRead first\n";
    }
    for notice in graver {
        let (word, ink) = match notice.severity() {
            Severity::Caution => ("Caution: ", Ink::Binds),
            _ => ("Weak: ", Ink::Strong),
        };
        out += &paper.wrap_hanging(&format!("- {}{}", paper.ink(ink, word), notice.text()), 2, 4);
    }
    out
}

fn estimates_text(notices: &[Notice], paper: &Paper) -> String {
    let mut out = String::new();
    let estimated: Vec<&'static str> = notices
        .iter()
        .filter_map(|n| match n {
            Notice::Estimated { quantity, .. } => Some(*quantity),
            _ => None,
        })
        .collect();
    if !estimated.is_empty() {
        out += "\nEstimated because not given\n";
        out += &paper.wrap(&format!("{}. `check` shows the values.", estimated.join(", ")), 2);
    }
    out
}
