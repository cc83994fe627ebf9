//! Volts, amps and watts of one battery: what belongs together, and which batteries are left out.
//! Not for: which of several whole batteries is the drive's (that shows in the samples).

use super::mapping::ColumnMapping;
use super::meaning::Part;
use super::numbers::number_in;
use super::propose::{Doubt, DoubtKind, Sheet};
use super::settle::{Candidate, ask_which, is_alike};
use super::unit_said::{split_unit, unit_named};
use super::words::{Idea, ideas, words};
use crate::measured::Measured as M;

/// Volts, amps and watts of one battery each.
struct Battery {
    part: Part,
    of: String,
    is_drive: bool,
    columns: Vec<Candidate>,
}

impl Battery {
    fn has(&self, measured: M) -> bool {
        self.columns.iter().any(|c| c.meaning.measured == measured)
    }

    fn is_whole(&self, has_shared_volts: bool) -> bool {
        self.has(M::Power) || (self.has(M::Current) && (self.has(M::Voltage) || has_shared_volts))
    }

    fn names(&self, sheet: &Sheet) -> String {
        let names: Vec<String> =
            self.columns.iter().map(|c| format!("{:?}", sheet.heads[c.column])).collect();
        names.join(", ")
    }
}

/// The columns of the drive's battery; the others are left out with a word why.
pub(super) fn batteries(
    plant: Vec<Candidate>,
    sheet: &Sheet,
    doubts: &mut Vec<Doubt>,
    remarks: &mut Vec<String>,
) -> Vec<ColumnMapping> {
    let mut all: Vec<Battery> = Vec::new();
    let mut several: Vec<Candidate> = Vec::new();
    for mut candidate in plant {
        // Names that come again word for word are those of another battery.
        let head = |column: usize| sheet.heads[column].trim();
        let is_again = |other: &usize| head(*other) == head(candidate.column);
        if (0..sheet.heads.len()).filter(is_again).count() > 1 {
            let number = (0..candidate.column).filter(is_again).count() + 1;
            candidate.meaning.of = format!("{} no. {number}", candidate.meaning.of).trim().to_owned();
        }
        let (part, of) = (candidate.meaning.part, candidate.meaning.of.clone());
        let battery = match all.iter_mut().position(|b| b.part == part && b.of == of) {
            Some(at) => &mut all[at],
            None => {
                all.push(Battery { part, of, is_drive: false, columns: Vec::new() });
                let last = all.len() - 1;
                &mut all[last]
            }
        };
        battery.is_drive |= candidate.meaning.is_drive;
        let is_unnamed = battery.of.is_empty();
        match battery.columns.iter_mut().find(|k| k.meaning.measured == candidate.meaning.measured) {
            None => battery.columns.push(candidate),
            Some(known) if candidate.meaning.is_mean && !known.meaning.is_mean => {}
            Some(known)
                if part == Part::Bank
                    && is_unnamed
                    && !(known.meaning.is_total || candidate.meaning.is_total)
                    && !says_the_same(known, &candidate) =>
            {
                several.push(candidate);
            }
            Some(known) => {
                ask_which(known, &candidate, doubts);
                let is_better = (candidate.meaning.is_total && !known.meaning.is_total)
                    || (candidate.meaning.is_battery && !known.meaning.is_battery)
                    || (known.meaning.unit.is_none() && candidate.meaning.unit.is_some())
                    || (!known.meaning.is_worded && candidate.meaning.is_worded);
                if is_better && !known.meaning.is_total {
                    *known = candidate;
                }
            }
        }
    }
    let is_split = part_several(&mut all, &mut several, sheet);
    balance(&mut all, sheet, doubts, remarks);
    let named_one = merge_lone(&mut all);
    let shared_volts = all.iter().any(|b| b.part == Part::Bank && b.of.is_empty() && b.has(M::Voltage));
    let whole = |b: &Battery| b.is_whole(shared_volts && b.part == Part::Bank);
    let mut kept: Vec<Battery> = Vec::new();
    let mut spare: Vec<ColumnMapping> = Vec::new();
    let is_controllers = |b: &Battery| b.columns.iter().all(|c| c.meaning.is_controllers);
    let has_bank = all.iter().any(|b| b.part == Part::Bank && whole(b));
    let has_motor = all.iter().any(|b| b.part == Part::Motor && b.is_whole(false));
    let together = if has_bank || has_motor { Vec::new() } else { ask_of_motors(&all, doubts) };
    for battery in all {
        // Volts and amps behind the controller by their name: before it, where no battery's amps move with her speed.
        if has_bank && battery.part == Part::Motor && battery.has(M::Voltage) && battery.has(M::Current) {
            let of = format!("controller {}", battery.of).trim().to_owned();
            spare.extend(battery.columns.into_iter().map(|c| ColumnMapping {
                of: of.clone(),
                is_spare: true,
                ..c.mapped
            }));
            continue;
        }
        let is_taken = match battery.part {
            Part::Bank => true,
            Part::Motor => !has_bank && has_motor && battery.is_whole(false),
            Part::House | Part::Other => false,
        };
        if is_taken {
            if battery.part == Part::Motor && !is_controllers(&battery) {
                let columns: Vec<usize> = battery.columns.iter().map(|c| c.column).collect();
                let (column, kind) = (columns[0], DoubtKind::MotorSide(columns));
                doubts.push(Doubt { key: "motor-side".to_owned(), column, kind });
            }
            kept.push(battery);
            continue;
        }
        let why = match battery.part {
            Part::House => "another battery than the drive's",
            Part::Motor => "behind the controller, where amps are not those of the battery",
            _ => "what charges or draws, not the battery",
        };
        if !has_bank && !has_motor && !battery.columns.iter().any(|c| together.contains(&c.column)) {
            ask_taken(&battery, doubts);
        }
        remarks.push(format!("{} left out: {why}.", battery.names(sheet)));
    }
    // Names that say which is the drive's leave no question.
    if kept.iter().any(|b| b.is_drive && b.is_whole(shared_volts)) && !named_one && !is_split {
        kept.retain(|battery| {
            let is_kept = battery.is_drive || battery.of.is_empty();
            if !is_kept {
                remarks.push(format!("{} left out: another battery than the drive's.", battery.names(sheet)));
            }
            is_kept
        });
    }
    kept.into_iter()
        .flat_map(|battery| {
            let of = if battery.part == Part::Motor { String::new() } else { battery.of };
            battery
                .columns
                .into_iter()
                .map(move |candidate| ColumnMapping { of: of.clone(), ..candidate.mapped })
        })
        .chain(spare)
        .collect()
}

/// Amps of a battery that are the motor's less what the sun (or another source) gives, row by row: the drive's are the motor's,
/// which are on the same side of the controller then. Without the motor's it is said that the battery's are net of it.
fn balance(all: &mut Vec<Battery>, sheet: &Sheet, doubts: &mut Vec<Doubt>, remarks: &mut Vec<String>) {
    /// What gives less than this share of the battery's amps changes no figure that matters.
    const LEAST_SHARE: f64 = 0.1;
    /// Rows whose sums may be as far apart as rounding leaves them.
    const NEAR_A: f64 = 0.3;
    const NEAR: f64 = 0.03;
    fn amps(battery: &Battery) -> Option<&Candidate> {
        battery.columns.iter().find(|c| c.meaning.measured == M::Current)
    }
    // What gives: the sun, a generator, a charger; no load.
    let gives = |c: &Candidate| {
        let said: Vec<Idea> = words(&sheet.heads[c.column]).iter().flat_map(|word| ideas(word)).collect();
        [Idea::Solar, Idea::Charger]
            .iter()
            .any(|idea| said.contains(idea))
            .then(|| said.contains(&Idea::Solar))
    };
    let find = |part: Part| {
        let is_it = |battery: &Battery| {
            battery.part == part && amps(battery).is_some_and(|c| part != Part::Other || gives(c).is_some())
        };
        let mut found = (0..all.len()).filter(|at| is_it(&all[*at]));
        found.next().filter(|_| found.next().is_none())
    };
    let (Some(sun), Some(bank)) = (find(Part::Other), find(Part::Bank)) else { return };
    let (Some(given), Some(of_bank)) = (amps(&all[sun]), amps(&all[bank])) else { return };
    let source = if gives(given) == Some(true) { "the sun gives" } else { "charges her" };
    let most = given.values.iter().copied().fold(0.0, f64::max);
    if most < 1.0 {
        return;
    }
    let name = |c: &Candidate| format!("{:?}", sheet.heads[c.column]);
    if let Some(motor) = find(Part::Motor)
        && let Some(drawn) = amps(&all[motor])
        && drawn.values.len() == given.values.len()
        && drawn.values.len() == of_bank.values.len()
    {
        let near = |sign: f64| {
            let rows = drawn.values.iter().zip(&given.values).zip(&of_bank.values);
            let apart: Vec<f64> =
                rows.map(|((m, s), b)| (m - s - sign * b).abs() / NEAR_A.max(NEAR * m.abs())).collect();
            crate::checks::median(&apart).is_some_and(|apart| apart <= 1.0)
        };
        if near(1.0) || near(-1.0) {
            remarks.push(format!(
                "{} left out: it is {} less what {source}, so that the drive's amps are those.",
                name(of_bank),
                name(drawn)
            ));
            let column = drawn.column;
            let of = all[bank].of.clone();
            let part = &mut all[motor].columns;
            if let Some(at) = part.iter().position(|c| c.column == column) {
                let mut taken = part.remove(at);
                taken.meaning.part = Part::Bank;
                taken.mapped.of = of;
                all[bank].columns.retain(|c| c.meaning.measured != M::Current);
                all[bank].columns.push(taken);
                all.retain(|battery| !battery.columns.is_empty());
            }
            return;
        }
    }
    // Both together are what she took, where they can be added as they stand.
    let middle = |values: &[f64]| crate::checks::median(values).unwrap_or(0.0);
    let (net, given_a) = (middle(&of_bank.values), middle(&given.values));
    let is_alike = of_bank.mapped.unit == given.mapped.unit
        && (of_bank.mapped.scale, of_bank.mapped.decimal_comma)
            == (given.mapped.scale, given.mapped.decimal_comma);
    // Amps at other volts, as a panel's are, add up to nothing.
    let volts = |battery: &Battery| {
        Some(middle(&battery.columns.iter().find(|c| c.meaning.measured == M::Voltage)?.values))
    };
    let is_alike = is_alike
        && volts(&all[sun])
            .zip(volts(&all[bank]))
            .is_none_or(|(a, b)| (a - b).abs() <= LEAST_SHARE * b.abs());
    let in_one_row = |cells: &Vec<String>| {
        let is_told = |column: usize| {
            cells.get(column).is_some_and(|cell| number_in(cell, sheet.decimal_comma).is_some())
        };
        is_told(of_bank.column) && is_told(given.column)
    };
    let together = sheet.rows.iter().filter(|(_, cells)| in_one_row(cells)).count();
    let is_alike = is_alike && 2 * together > of_bank.values.len();
    if is_alike && net != 0.0 && given_a >= LEAST_SHARE * net.abs() {
        let kind = DoubtKind::Net { given: given.column, is_less: net < 0.0 };
        doubts.push(Doubt { key: "net".to_owned(), column: of_bank.column, kind });
    }
    remarks.push(format!(
        "{} is net of what {source} ({}, {most:.1} A at most): while that flowed the drive took more than the battery gave, and an amp that is \
         negative then is no sign written the other way round.",
        name(of_bank),
        name(given)
    ));
}

/// Whether one of two columns is enough: they are alike, and not because nothing flows yet.
fn says_the_same(one: &Candidate, other: &Candidate) -> bool {
    is_alike(one, other) && one.values.iter().any(|value| value.abs() > 1.0)
}

/// Several columns of one quantity under the name of one battery are of as many: each is called by the words of its name that
/// are no quantity, and what is there once is of all of them. Which is the drive's shows in the samples. True where there were
/// such.
fn part_several(all: &mut Vec<Battery>, several: &mut Vec<Candidate>, sheet: &Sheet) -> bool {
    const QUANTITIES: [Idea; 3] = [Idea::Volt, Idea::Amp, Idea::Watt];
    let stem = |column: usize| -> String {
        let (bare, _) = split_unit(&sheet.heads[column]);
        let is_named = |word: &String| {
            word.chars().count() > 1
                && !ideas(word).any(|idea| QUANTITIES.contains(&idea))
                && unit_named(word).is_none()
        };
        let named = words(&bare).into_iter().filter(is_named).collect::<Vec<String>>().join(" ");
        // Not as packs are named: two readings of one flow are never added unasked.
        if named.is_empty() { named } else { format!("as {named}") }
    };
    let is_split = !several.is_empty();
    let measured: Vec<M> = several.iter().map(|c| c.meaning.measured).collect();
    for battery in all.iter_mut().filter(|b| b.part == Part::Bank && b.of.is_empty()) {
        let (twice, once): (Vec<Candidate>, Vec<Candidate>) =
            battery.columns.drain(..).partition(|c| measured.contains(&c.meaning.measured));
        battery.columns = once;
        several.extend(twice);
    }
    several.sort_by_key(|c| c.column);
    let mut parted: Vec<Battery> = Vec::new();
    for candidate in several.drain(..) {
        let (of, measured) = (stem(candidate.column), candidate.meaning.measured);
        // The same words again, or none: the whole name.
        let is_taken = parted.iter().any(|b| b.of == of && b.has(measured));
        let of = if is_taken { sheet.heads[candidate.column].trim().to_owned() } else { of };
        let is_drive = candidate.meaning.is_drive;
        match parted.iter_mut().find(|b| b.of == of && !b.has(measured)) {
            Some(battery) => battery.columns.push(candidate),
            None => parted.push(Battery { part: Part::Bank, of, is_drive, columns: vec![candidate] }),
        }
    }
    for battery in parted {
        match all.iter_mut().find(|b| b.part == Part::Bank && b.of == battery.of) {
            Some(known) => known.columns.extend(battery.columns),
            None => all.push(battery),
        }
    }
    all.retain(|battery| !battery.columns.is_empty());
    is_split
}

/// Volts under one name and amps under another are of one battery where there is no second of either.
fn merge_lone(all: &mut Vec<Battery>) -> bool {
    let banks: Vec<usize> = (0..all.len()).filter(|i| all[*i].part == Part::Bank).collect();
    let with = |measured: M| banks.iter().filter(|i| all[**i].has(measured)).count();
    let is_lone =
        banks.len() > 1 && [M::Voltage, M::Current, M::Power].iter().all(|measured| with(*measured) <= 1);
    if !is_lone || !banks.iter().any(|i| all[*i].of.is_empty()) {
        return false;
    }
    let mut moved = Vec::new();
    for index in banks.iter().rev() {
        if !all[*index].of.is_empty() {
            moved.extend(all.remove(*index).columns);
        }
    }
    if let Some(first) = all.iter_mut().find(|b| b.part == Part::Bank) {
        first.columns.extend(moved);
    }
    true
}

/// Amps of two motors and more beside volts of one bank: both together, or none, are what the bank gives. Gives their columns.
fn ask_of_motors(all: &[Battery], doubts: &mut Vec<Doubt>) -> Vec<usize> {
    let has_volts = all.iter().any(|b| b.part == Part::Bank && b.has(M::Voltage));
    let is_motors =
        |b: &&Battery| b.part == Part::Motor && !b.of.is_empty() && b.has(M::Current) && !b.has(M::Voltage);
    let amps: Vec<ColumnMapping> = all
        .iter()
        .filter(is_motors)
        .flat_map(|b| b.columns.iter().map(|c| ColumnMapping { of: b.of.clone(), ..c.mapped.clone() }))
        .filter(|mapped| mapped.measured == M::Current)
        .collect();
    let columns: Vec<usize> = amps.iter().map(|mapped| mapped.column).collect();
    if !has_volts || columns.len() < 2 {
        return Vec::new();
    }
    let column = columns[0];
    doubts.push(Doubt { key: format!("taken/{column}"), column, kind: DoubtKind::Taken(amps) });
    columns
}

/// Amps (or watts) of the motor or of a load beside volts of a battery: only the owner knows.
fn ask_taken(battery: &Battery, doubts: &mut Vec<Doubt>) {
    // What is nought throughout is none that drives her.
    let is_flow = |c: &&Candidate| {
        matches!(c.meaning.measured, M::Current | M::Power) && c.values.iter().any(|value| *value != 0.0)
    };
    for candidate in battery.columns.iter().filter(is_flow) {
        let mapped = ColumnMapping { of: String::new(), ..candidate.mapped.clone() };
        doubts.push(Doubt {
            key: format!("taken/{}", candidate.column),
            column: candidate.column,
            kind: DoubtKind::Taken(vec![mapped]),
        });
    }
}
