//! `search` as text and as CSV: the front, the pick, what refused the others.
//! Not for: the words of the finding (`search_finding`).

use wakewright_core::propeller::PropellerChange;
use wakewright_core::search::{Candidate, Cause, Outcome, spread_out};
use wakewright_units::factors::{INCH_M, KNOT_M_S, NAUTICAL_MILE_M};
use wakewright_units::{Quantity, format_number, unit_for};

use super::drive::{finding_text, notices_text, number_in};
use super::paper::{Ink, Paper};
use super::table::{Align, Table};
use crate::search_finding::search_finding;

/// The whole text, with at most `rows` rows of the front.
#[must_use]
pub fn search_text(name: &str, outcome: &Outcome, rows: usize, paper: &Paper) -> String {
    let mut out = finding_text(&search_finding(name, outcome, paper), paper);
    if let Some(pick) = outcome.pick {
        let shown = spread_out(&outcome.candidates, pick.position, rows);
        out += &format!("\nThe front ({} of {}, thriftiest first)\n", shown.len(), outcome.candidates.len());
        out += &front_table(outcome, &shown, pick.position, paper).render(paper, 0);
        out += &legend(outcome, &shown, paper);
    }
    out += &refused_text(outcome, paper);
    out += &notices_text(outcome.search.notices(), paper);
    out
}

fn front_table(outcome: &Outcome, shown: &[usize], picked: usize, paper: &Paper) -> Table {
    let inches = unit_for(Quantity::PropellerLength, paper.units).symbol();
    let size = format!("D x P\n{inches}");
    let top = format!("top\n{}", unit_for(Quantity::Speed, paper.units).symbol());
    let mass = unit_for(Quantity::Mass, paper.units).symbol();
    let cost = if outcome.search.has_prices() { "cost" } else { "parts" };
    let mut table = Table::new(&[
        ("", Align::Left),
        (&size, Align::Left),
        ("blades\narea", Align::Left),
        ("ratio", Align::Right),
        ("motor", Align::Left),
        ("bank", Align::Left),
        ("Wh\n/nm", Align::Right),
        (&top, Align::Right),
        ("nm", Align::Right),
        ("tips\nm/s", Align::Right),
        (if mass == "t" { "kg" } else { mass }, Align::Right),
        (cost, Align::Right),
    ]);
    if let Some(present) = &outcome.present {
        table.row(Ink::Faint, cells("=", outcome, present, paper));
    }
    for &position in shown {
        let is_picked = position == picked;
        let ink = if is_picked { Ink::Passes } else { Ink::Plain };
        table
            .row(ink, cells(if is_picked { ">" } else { "" }, outcome, &outcome.candidates[position], paper));
    }
    table
}

fn cells(mark: &str, outcome: &Outcome, candidate: &Candidate, paper: &Paper) -> Vec<String> {
    let propeller = &candidate.boat.propeller;
    let length = |si: f64| {
        let text = paper.quantity(si, Quantity::PropellerLength);
        text.rsplit_once(' ').map_or(text.clone(), |(number, _)| number.to_owned())
    };
    let bank: Vec<String> = candidate
        .boat
        .bank
        .groups
        .iter()
        .map(|g| format!("{}x{}", g.packs_in_parallel, g.cells_in_series))
        .collect();
    vec![
        mark.to_owned(),
        format!("{}x{}", length(propeller.diameter_m), length(propeller.pitch_m)),
        format!("{}{} .{:02.0}", propeller.blades, pattern_letter(candidate), 100.0 * propeller.area_ratio),
        format!("{:.2}", candidate.boat.drive_line.ratio),
        motor_letter(outcome, candidate).to_string(),
        bank.join("+"),
        format_number(candidate.merits.energy_per_metre_j * NAUTICAL_MILE_M / 3600.0, 0),
        number_in(candidate.merits.top_speed_m_s, Quantity::Speed, paper, 2),
        candidate.distance_m().map_or_else(|| "-".to_owned(), |d| format_number(d / NAUTICAL_MILE_M, 0)),
        format_number(candidate.merits.tip_speed_m_s, 1),
        mass_cell(candidate.merits.mass_kg, paper),
        format_number(candidate.merits.cost, 0),
    ]
}

fn mass_cell(mass_kg: f64, paper: &Paper) -> String {
    let unit = unit_for(Quantity::Mass, paper.units);
    format_number(if unit.symbol() == "t" { mass_kg } else { unit.from_si(mass_kg) }, 0)
}

fn pattern_letter(candidate: &Candidate) -> &'static str {
    if candidate.boat.propeller.pattern.is_stowed_under_sail() { "f" } else { "" }
}

/// `-` for the motor aboard, letters for the others.
fn motor_letter(outcome: &Outcome, candidate: &Candidate) -> char {
    let Some(index) = candidate.index.filter(|_| candidate.change.motor) else { return '-' };
    let machine = outcome.search.space().place(index).machine;
    u8::try_from(machine).ok().and_then(|m| b'@'.checked_add(m)).map_or('?', char::from)
}

fn legend(outcome: &Outcome, shown: &[usize], paper: &Paper) -> String {
    let mut out = String::new();
    let cruise = paper.decimals(outcome.search.cruise_m_s()[0], Quantity::Speed, 1);
    let cost =
        if outcome.search.has_prices() { "cost: by the prices given" } else { "parts: how many are changed" };
    out += &paper.wrap(
        &format!(
            "= as she is, > the pick; f: folds or feathers; bank: packs x cells in series; Wh/nm, nm (to the reserve) and tips \
             (blade tips, for noise) at {cruise}; kg: motor and packs; {cost}."
        ),
        2,
    );
    let mut motors: Vec<(char, &str)> = shown
        .iter()
        .map(|&position| &outcome.candidates[position])
        .filter(|candidate| candidate.change.motor)
        .filter_map(|candidate| {
            let place = outcome.search.space().place(candidate.index?);
            Some((
                motor_letter(outcome, candidate),
                outcome.search.space().machines[place.machine].words.as_str(),
            ))
        })
        .collect();
    motors.sort_unstable();
    motors.dedup();
    for (letter, words) in motors {
        out += &paper.wrap_hanging(&format!("{letter} {words} (typical values)"), 2, 4);
    }
    out
}

fn refused_text(outcome: &Outcome, paper: &Paper) -> String {
    let counts = |cause: Cause| match &outcome.refusals {
        Some(refusals) => refusals.violated[cause as usize],
        None => outcome.tally.refused[cause as usize],
    };
    let mut rows: Vec<(Cause, u64)> =
        Cause::ALL.into_iter().map(|cause| (cause, counts(cause))).filter(|(_, count)| *count > 0).collect();
    rows.sort_by_key(|&(cause, count)| (std::cmp::Reverse(count), cause));
    if rows.is_empty() {
        return String::new();
    }
    let head = match outcome.refusals {
        Some(_) => "\nWhat refuses how many (a candidate may fail by several)\n",
        None => "\nWhat refused the others (each counts for the first that it fails)\n",
    };
    let mut table = Table::new(&[("limit", Align::Left), ("candidates", Align::Right)]);
    for (cause, count) in rows {
        table.row(Ink::Plain, vec![cause.words().to_owned(), format_number(count as f64, 0)]);
    }
    head.to_owned() + &table.render(paper, 2)
}

/// The whole front as CSV, units in the heads.
#[must_use]
pub fn search_csv(outcome: &Outcome) -> String {
    let mut out = String::from(
        "picked,diameter_in,pitch_in,blades,area_ratio,pattern,propeller_change,ratio,motor,cells_in_series,packs,\
         energy_per_mile_wh_nmi,top_speed_kn,limit,distance_nmi,tip_speed_m_s,mass_kg,cost_or_parts\n",
    );
    for (position, candidate) in outcome.candidates.iter().enumerate() {
        let propeller = &candidate.boat.propeller;
        let (cells, packs) =
            candidate.boat.bank.groups.first().map_or((0, 0), |g| (g.cells_in_series, g.packs_in_parallel));
        out += &format!(
            "{},{:.1},{:.1},{},{:.2},{},{},{:.3},\"{}\",{cells},{packs},{:.2},{:.3},{},{},{:.2},{:.1},{:.2}\n",
            outcome.pick.is_some_and(|pick| pick.position == position),
            propeller.diameter_m / INCH_M,
            propeller.pitch_m / INCH_M,
            propeller.blades,
            propeller.area_ratio,
            if propeller.pattern.is_stowed_under_sail() { "folding" } else { "fixed" },
            propeller_change_key(candidate.change.propeller),
            candidate.boat.drive_line.ratio,
            motor_words(outcome, candidate),
            candidate.merits.energy_per_metre_j * NAUTICAL_MILE_M / 3600.0,
            candidate.merits.top_speed_m_s / KNOT_M_S,
            candidate.full.held.limit.key(),
            candidate.distance_m().map_or(String::new(), |d| format!("{:.1}", d / NAUTICAL_MILE_M)),
            candidate.merits.tip_speed_m_s,
            candidate.merits.mass_kg,
            candidate.merits.cost,
        );
    }
    out
}

/// Short stable name of what happens to the propeller.
pub(crate) fn propeller_change_key(change: PropellerChange) -> &'static str {
    match change {
        PropellerChange::None => "none",
        PropellerChange::Repitch => "repitch",
        PropellerChange::New => "new",
    }
}

/// The motor of a candidate in words.
pub(crate) fn motor_words<'a>(outcome: &'a Outcome, candidate: &Candidate) -> &'a str {
    candidate.index.map_or("as aboard", |index| {
        let place = outcome.search.space().place(index);
        outcome.search.space().machines[place.machine].words.as_str()
    })
}
