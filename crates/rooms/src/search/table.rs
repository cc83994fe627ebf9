//! The front as a table for a terminal, a few that stand for all. Not for: the words of the finding.

use wakewright_core::search::{Candidate, Merit, Outcome, spread_out};
use wakewright_units::{Quantity, unit_for};

use super::finding::compared_with;
use super::front::merit_scale;
use crate::scale::Scale;
use crate::text::{Align, Ink, Paper, Table};

/// At most `rows` of the front, with what its marks mean.
pub(super) fn front_text(outcome: &Outcome, rows: usize, paper: &Paper) -> String {
    if outcome.candidates.is_empty() {
        return String::new();
    }
    let first = outcome.pick.map_or(0, |pick| pick.position);
    let mut shown = spread_out(&outcome.candidates, first, rows);
    // The one that the pick is held against is seen beside it.
    if let Some((compared, _)) = compared_with(outcome).filter(|(compared, _)| !shown.contains(compared)) {
        shown.push(compared);
        shown.sort_unstable();
    }
    let shown: Vec<&Candidate> = shown.into_iter().map(|position| &outcome.candidates[position]).collect();
    format!(
        "\nPareto front ({} of {}, thriftiest first)\n{}{}",
        shown.len(),
        outcome.candidates.len(),
        front_table(outcome, &shown, paper).render(paper, 0),
        legend(outcome, &shown, paper)
    )
}

/// The merits in the order of the table with their heads; miles stand behind the second.
const COLUMNS: [(Merit, &str); 5] = [
    (Merit::Energy, ""),
    (Merit::TopSpeed, "top\n"),
    (Merit::TipSpeed, "tips\n"),
    (Merit::Mass, ""),
    (Merit::Cost, ""),
];

fn front_table(outcome: &Outcome, shown: &[&Candidate], paper: &Paper) -> Table {
    let scales = COLUMNS.map(|(merit, _)| (merit, merit_scale(merit, outcome, paper).1));
    let size = format!("D x P\n{}", unit_for(Quantity::PropellerLength, paper.units).symbol());
    let cost = if outcome.search.has_prices() { "cost" } else { "parts" };
    let heads: Vec<String> = COLUMNS
        .iter()
        .zip(&scales)
        .map(|((merit, head), (_, scale))| match merit {
            Merit::Cost => cost.to_owned(),
            _ => format!(
                "{head}{}",
                scale.unit.symbol().replace('/', if head.is_empty() { "\n/" } else { "/" })
            ),
        })
        .collect();
    let mut columns = vec![
        ("", Align::Left),
        (size.as_str(), Align::Left),
        ("blades\narea", Align::Left),
        ("ratio", Align::Right),
        ("motor", Align::Left),
        ("bank", Align::Left),
    ];
    columns.extend(heads.iter().map(|head| (head.as_str(), Align::Right)));
    columns.insert(8, ("nm", Align::Right));
    let mut table = Table::new(&columns);
    for candidate in outcome.present.iter().chain(shown.iter().copied()) {
        let (mark, ink) = match (candidate.index, candidate.is_picked) {
            (None, _) => ("=", Ink::Faint),
            (_, true) => (">", Ink::Passes),
            (_, false) => ("", Ink::Plain),
        };
        table.row(ink, cells(mark, outcome, candidate, &scales, paper));
    }
    table
}

fn cells(
    mark: &str,
    outcome: &Outcome,
    candidate: &Candidate,
    scales: &[(Merit, Scale)],
    paper: &Paper,
) -> Vec<String> {
    let propeller = &candidate.boat.propeller;
    let length = |si: f64| {
        let text = paper.quantity(si, Quantity::PropellerLength);
        text.rsplit_once(' ').map_or(text.clone(), |(number, _)| number.to_owned())
    };
    let folds = if propeller.pattern.is_stowed_under_sail() { "f" } else { "" };
    let groups = candidate.boat.bank.groups.iter();
    let bank: Vec<String> =
        groups.map(|group| format!("{}x{}", group.packs_in_parallel, group.cells_in_series)).collect();
    let mut cells = vec![
        mark.to_owned(),
        format!("{}x{}", length(propeller.diameter_m), length(propeller.pitch_m)),
        format!("{}{folds} .{:02.0}", propeller.blades, 100.0 * propeller.area_ratio),
        format!("{:.2}", candidate.boat.drive_line.ratio),
        motor_letter(outcome, candidate).to_string(),
        bank.join("+"),
    ];
    cells.extend(scales.iter().map(|(merit, scale)| scale.value(candidate.merits.get(*merit))));
    let miles = candidate.distance_m().map(|way| paper.decimals(way, Quantity::Distance, 0));
    let miles = miles.map_or_else(|| "-".to_owned(), |text| text.trim_end_matches(" nm").to_owned());
    cells.insert(8, miles);
    cells
}

/// `-` for the motor aboard, letters for the others.
fn motor_letter(outcome: &Outcome, candidate: &Candidate) -> char {
    let Some(index) = candidate.index.filter(|_| candidate.change.motor) else { return '-' };
    let machine = outcome.search.space().place(index).machine;
    u8::try_from(machine).ok().and_then(|m| b'@'.checked_add(m)).map_or('?', char::from)
}

fn legend(outcome: &Outcome, shown: &[&Candidate], paper: &Paper) -> String {
    let mut out = String::new();
    let cruise = paper.decimals(outcome.search.cruise_m_s()[0], Quantity::Speed, 1);
    let cost =
        if outcome.search.has_prices() { "cost: by the prices given" } else { "parts: how many are changed" };
    let mass = unit_for(Quantity::Mass, paper.units).symbol();
    out += &paper.wrap(
        &format!(
            "= as she is, > the pick; f: folds or feathers; bank: packs x cells in series; Wh/nm, nm (to the reserve) and tips \
             (blade tips, for noise) at {cruise}; {mass}: motor and packs; {cost}. Rows are of one boat, what is \
             unsure at its typical values, and are for comparing; `range` gives her miles over all that is unsure."
        ),
        2,
    );
    let changed = shown.iter().filter(|candidate| candidate.change.motor);
    let mut motors: Vec<(char, &str)> =
        changed.map(|candidate| (motor_letter(outcome, candidate), candidate.motor.as_str())).collect();
    motors.sort_unstable();
    motors.dedup();
    for (letter, words) in motors {
        out += &paper.wrap_hanging(&format!("{letter} {words} (typical values)"), 2, 4);
    }
    out
}
