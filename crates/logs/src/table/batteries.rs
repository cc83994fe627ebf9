//! Volts, amps and watts of one battery: what belongs together, and which batteries are left out.
//! Not for: which of several whole batteries is the drive's (that shows in the samples).

use super::mapping::ColumnMapping;
use super::meaning::Part;
use super::propose::{Doubt, DoubtKind, Sheet};
use super::settle::{Candidate, ask_which};
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
        match battery.columns.iter_mut().find(|k| k.meaning.measured == candidate.meaning.measured) {
            None => battery.columns.push(candidate),
            Some(known) if candidate.meaning.is_mean && !known.meaning.is_mean => {}
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
    let named_one = merge_lone(&mut all);
    let shared_volts = all.iter().any(|b| b.part == Part::Bank && b.of.is_empty() && b.has(M::Voltage));
    let whole = |b: &Battery| b.is_whole(shared_volts && b.part == Part::Bank);
    let mut kept: Vec<Battery> = Vec::new();
    let is_controllers = |b: &Battery| b.columns.iter().all(|c| c.meaning.is_controllers);
    let has_bank = all.iter().any(|b| b.part == Part::Bank && whole(b));
    let has_motor = all.iter().any(|b| b.part == Part::Motor && b.is_whole(false));
    for battery in all {
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
        if !has_bank && !has_motor {
            ask_taken(&battery, doubts);
        }
        remarks.push(format!("{} left out: {why}.", battery.names(sheet)));
    }
    // Names that say which is the drive's leave no question.
    if kept.iter().any(|b| b.is_drive && b.is_whole(shared_volts)) && !named_one {
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
        .collect()
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

/// Amps (or watts) of the motor or of a load beside volts of a battery: only the owner knows.
fn ask_taken(battery: &Battery, doubts: &mut Vec<Doubt>) {
    for candidate in battery.columns.iter().filter(|c| matches!(c.meaning.measured, M::Current | M::Power)) {
        let mapped = ColumnMapping { of: String::new(), ..candidate.mapped.clone() };
        doubts.push(Doubt {
            key: format!("taken/{}", candidate.column),
            column: candidate.column,
            kind: DoubtKind::Taken(mapped),
        });
    }
}
