//! Which columns are taken, in which unit, and what stays in doubt about them: of several of one
//! quantity the right one, volts and amps of one battery.
//! Not for: which of several whole batteries is the drive's (that shows in the samples).

use wakewright_units::{Dimension, Quantity, Unit};

use super::mapping::{ColumnMapping, Shape};
use super::meaning::{Meaning, Part, meaning_of, usual_unit};
use super::numbers::{Decimals, angle_of_place, decimals_of, hemisphere, number_in, unit_in_cells};
use super::propose::{Doubt, DoubtKind, Sheet, unit_said};
use super::unit_said::UnitSaid;
use crate::checks::median;
use crate::measured::Measured as M;

/// A column that measures something.
struct Candidate {
    column: usize,
    meaning: Meaning,
    mapped: ColumnMapping,
    /// SI values of the first rows, as the column is taken.
    values: Vec<f64>,
}

/// Two columns whose middles differ by less say the same.
const ALIKE: f64 = 0.03;

/// The columns that are taken.
pub(super) fn columns_of(
    sheet: &Sheet,
    times: &[usize],
    shape: Shape,
    doubts: &mut Vec<Doubt>,
    remarks: &mut Vec<String>,
) -> Vec<ColumnMapping> {
    let mut found = Vec::new();
    for column in (0..sheet.heads.len()).filter(|column| !times.contains(column)) {
        if let Some(candidate) = candidate(sheet, column, shape, doubts) {
            found.push(candidate);
        }
    }
    // A mean over some time holds only where nothing says what is now.
    found.sort_by_key(|candidate| candidate.meaning.is_mean);
    let (plant, others): (Vec<Candidate>, Vec<Candidate>) =
        found.into_iter().partition(|c| matches!(c.meaning.measured, M::Voltage | M::Current | M::Power));
    let mut taken = one_each(others, sheet, doubts);
    taken.extend(batteries(plant, sheet, doubts, remarks));
    taken.sort_by_key(|mapped| mapped.column);
    join_unit_doubts(doubts);
    settle_power_unit(&mut taken, sheet, doubts);
    doubts.retain(|doubt| match &doubt.kind {
        DoubtKind::Unit(_, columns) => columns.iter().any(|column| taken.iter().any(|t| t.column == *column)),
        DoubtKind::Decimals(_) => taken.iter().any(|t| t.column == doubt.column),
        _ => true,
    });
    taken
}

fn candidate(sheet: &Sheet, column: usize, shape: Shape, doubts: &mut Vec<Doubt>) -> Option<Candidate> {
    let head = &sheet.heads[column];
    let cells = sheet.column(column);
    let in_cells = unit_in_cells(cells.iter().copied());
    let mut meaning = if shape == Shape::Labels { label_meaning(head) } else { None };
    if meaning.is_none() {
        // A unit in the cells says what the name leaves out.
        let said = unit_said(head);
        let with_unit = in_cells
            .filter(|_| said == UnitSaid::None)
            .map(|(unit, _)| format!("{head} [{}]", unit.symbol()));
        meaning = meaning_of(with_unit.as_deref().unwrap_or(head));
    }
    let meaning = meaning?;
    let measured = meaning.measured;
    let is_place = matches!(measured, M::Latitude | M::Longitude);
    let mut mapped = ColumnMapping::new(column, measured, "");
    mapped.of.clone_from(&meaning.of);
    let said = decimals_of(cells.iter().copied());
    let comma = match said {
        Some(Decimals::Comma) => true,
        Some(Decimals::Point) => false,
        _ => sheet.decimal_comma,
    };
    let read = |comma: bool| -> Vec<f64> {
        cells.iter().filter_map(|cell| number_in(cell, comma).map(|(number, _)| number)).collect()
    };
    let mut numbers = read(comma);
    let places =
        if is_place { cells.iter().filter(|cell| angle_of_place(cell, comma).is_some()).count() } else { 0 };
    // Half of the cells at least are numbers; a word in some is counted when they are read.
    if 2 * numbers.len().max(places) < cells.len() || (numbers.is_empty() && places == 0) {
        return None;
    }
    let mut decimal_comma = comma;
    if let Some(Decimals::Doubtful(mark)) = said {
        (decimal_comma, numbers) = doubtful(sheet, column, mark, &meaning, &read, doubts);
    }
    if decimal_comma != sheet.decimal_comma {
        mapped.decimal_comma = Some(decimal_comma);
    }
    if is_place {
        mapped.hemisphere = letters_beside(sheet, column);
        let limit = if measured == M::Latitude { 90.0 } else { 180.0 };
        mapped.is_degrees_minutes = places == 0
            && numbers.iter().any(|n| n.abs() > limit)
            && numbers.iter().all(|n| n.abs() % 100.0 < 60.0);
    }
    mapped.unit = unit_of(sheet, column, &meaning, &numbers, in_cells, doubts)?;
    if meaning.unit.is_none()
        && let Some((unit, dimension)) = in_cells
    {
        if dimension != measured.quantity().dimension() {
            return None;
        }
        mapped.unit = unit.symbol().to_owned();
    }
    let unit = measured.quantity().unit(&mapped.unit)?;
    let values = numbers.iter().map(|number| unit.to_si(*number)).collect();
    Some(Candidate { column, meaning, mapped, values })
}

/// The column of letters N, S, E, W beside a position.
fn letters_beside(sheet: &Sheet, column: usize) -> Option<usize> {
    [column + 1, column.wrapping_sub(1)].into_iter().find(|beside| {
        *beside < sheet.heads.len() && {
            let cells = sheet.column(*beside);
            !cells.is_empty() && cells.iter().all(|cell| hemisphere(cell).is_some())
        }
    })
}

/// Three digits after each mark: decimals or thousands, by what else the table does and by what can be.
fn doubtful(
    sheet: &Sheet,
    column: usize,
    mark: char,
    meaning: &Meaning,
    read: &dyn Fn(bool) -> Vec<f64>,
    doubts: &mut Vec<Doubt>,
) -> (bool, Vec<f64>) {
    let as_decimals = mark == ',';
    let is_told = (0..sheet.heads.len()).any(|other| {
        other != column
            && matches!(decimals_of(sheet.column(other).into_iter()), Some(Decimals::Comma | Decimals::Point))
            && sheet
                .column(other)
                .iter()
                .any(|cell| number_in(cell, sheet.decimal_comma).is_some_and(|(_, rest)| rest.is_empty()))
    });
    if is_told {
        return (sheet.decimal_comma, read(sheet.decimal_comma));
    }
    let unit = meaning.unit.or_else(|| meaning.measured.quantity().unit(usual_unit(meaning.measured)));
    let (low, high) = meaning.measured.plausible();
    let fits = |comma: bool| {
        let Some(unit) = unit else { return true };
        let middle = median(&read(comma).iter().map(|n| unit.to_si(*n)).collect::<Vec<f64>>()).unwrap_or(0.0);
        // A motor that turns less than twenty times a minute stands.
        let is_still = meaning.measured.quantity() == Quantity::RotationalSpeed && middle.abs() < 0.33;
        (low..=high).contains(&middle) && !is_still
    };
    match (fits(as_decimals), fits(!as_decimals)) {
        (true, false) => (as_decimals, read(as_decimals)),
        (false, true) => (!as_decimals, read(!as_decimals)),
        _ => {
            doubts.push(Doubt {
                key: format!("decimals/{}", sheet.heads[column]),
                column,
                kind: DoubtKind::Decimals(mark),
            });
            (as_decimals, read(as_decimals))
        }
    }
}

/// The unit of a column: said, or that which its values leave; in doubt, several.
fn unit_of(
    sheet: &Sheet,
    column: usize,
    meaning: &Meaning,
    numbers: &[f64],
    in_cells: Option<(&'static Unit, Dimension)>,
    doubts: &mut Vec<Doubt>,
) -> Option<String> {
    if let Some(unit) = meaning.unit {
        return Some(unit.symbol().to_owned());
    }
    if in_cells.is_some() {
        return Some(usual_unit(meaning.measured).to_owned());
    }
    let greatest = numbers.iter().map(|n| n.abs()).fold(0.0, f64::max);
    let middle = median(numbers).unwrap_or(0.0);
    let mut doubt = |units: &[&'static str]| {
        doubts.push(Doubt {
            key: format!("unit/{}", sheet.heads[column]),
            column,
            kind: DoubtKind::Unit(units.to_vec(), vec![column]),
        });
        units[0]
    };
    let unit = match meaning.measured.quantity() {
        Quantity::Voltage if middle.abs() > 2000.0 => "mV",
        Quantity::Current if middle.abs() > 2000.0 => "mA",
        Quantity::RotationalSpeed if greatest > 0.0 && greatest <= 60.0 => doubt(&["rpm", "rev/s"]),
        Quantity::Power if greatest > 200.0 => "W",
        Quantity::Power if greatest > 0.0 => doubt(&["kW", "W"]),
        Quantity::Temperature if middle > 200.0 => "K",
        Quantity::Temperature
            if matches!(meaning.measured, M::WaterTemperature | M::AirTemperature) && middle > 45.0 =>
        {
            "°F"
        }
        Quantity::Share if greatest <= 1.0 && numbers.iter().any(|n| n.fract() != 0.0) => "",
        Quantity::Share if greatest > 100.5 && meaning.measured == M::StateOfCharge => return None,
        Quantity::Angle
            if !matches!(meaning.measured, M::Latitude | M::Longitude)
                && greatest <= 6.3
                && numbers.iter().filter(|n| n.fract() != 0.0).count() > numbers.len() / 2 =>
        {
            doubt(&["rad", "°"])
        }
        Quantity::Speed if greatest > 0.0 => doubt(&["kn", "km/h", "m/s"]),
        Quantity::Length if greatest > 0.0 => doubt(&["m", "ft"]),
        _ => usual_unit(meaning.measured),
    };
    Some(unit.to_owned())
}

/// Labels of batteries' monitors: thousandths of volts and amps, a thousandth as the unit of charge.
fn label_meaning(label: &str) -> Option<Meaning> {
    let (measured, unit) = match label {
        "V" => (M::Voltage, "mV"),
        "I" => (M::Current, "mA"),
        "P" => (M::Power, "W"),
        _ => return None,
    };
    Some(Meaning {
        measured,
        unit: measured.quantity().unit(unit),
        part: Part::Bank,
        of: String::new(),
        is_drive: false,
        is_total: false,
        is_out: false,
        is_mean: false,
        is_worded: true,
    })
}

/// One column of each quantity; others that do not say the same are asked about.
fn one_each(found: Vec<Candidate>, sheet: &Sheet, doubts: &mut Vec<Doubt>) -> Vec<ColumnMapping> {
    let mut taken: Vec<Candidate> = Vec::new();
    for candidate in found {
        let Some(known) = taken.iter_mut().find(|k| k.meaning.measured == candidate.meaning.measured) else {
            taken.push(candidate);
            continue;
        };
        if candidate.meaning.is_mean && !known.meaning.is_mean {
            continue;
        }
        ask_which(known, &candidate, sheet, doubts);
        // What says its unit is worth more than what does not, and what says anything more than a blank.
        if known.meaning.unit.is_none() && candidate.meaning.unit.is_some() {
            *known = candidate;
        }
    }
    taken.into_iter().map(|candidate| candidate.mapped).collect()
}

/// Whether two columns of one quantity say the same in their middle.
fn is_alike(one: &Candidate, other: &Candidate) -> bool {
    let (Some(a), Some(b)) = (median(&one.values), median(&other.values)) else { return true };
    let zero = match one.meaning.measured.quantity() {
        Quantity::Temperature => 3.0,
        Quantity::Angle => 0.05,
        _ => 0.0,
    };
    (a - b).abs() <= (ALIKE * a.abs().max(b.abs())).max(zero)
}

fn ask_which(known: &Candidate, other: &Candidate, sheet: &Sheet, doubts: &mut Vec<Doubt>) {
    let moves = [
        M::SpeedOverGround,
        M::SpeedThroughWater,
        M::MotorSpeed,
        M::ShaftSpeed,
        M::Voltage,
        M::Current,
        M::Power,
    ];
    if is_alike(known, other) || !moves.contains(&known.meaning.measured) {
        return;
    }
    let key = format!("which/{}", known.meaning.measured.word());
    let columns = [known.column, other.column];
    match doubts.iter_mut().find(|doubt| doubt.key == key) {
        Some(Doubt { kind: DoubtKind::Which(known), .. }) => {
            if !known.contains(&other.column) {
                known.push(other.column);
            }
        }
        _ => doubts.push(Doubt { key, column: columns[0], kind: DoubtKind::Which(columns.to_vec()) }),
    }
    let _ = sheet;
}

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

fn batteries(
    plant: Vec<Candidate>,
    sheet: &Sheet,
    doubts: &mut Vec<Doubt>,
    remarks: &mut Vec<String>,
) -> Vec<ColumnMapping> {
    let mut all: Vec<Battery> = Vec::new();
    for candidate in plant {
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
                ask_which(known, &candidate, sheet, doubts);
                let is_better = (candidate.meaning.is_total && !known.meaning.is_total)
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
    let has_bank = all.iter().any(|b| b.part == Part::Bank && whole(b));
    let has_motor = all.iter().any(|b| b.part == Part::Motor && b.is_whole(false));
    for battery in all {
        let is_taken = match battery.part {
            Part::Bank => true,
            Part::Motor => !has_bank && has_motor && battery.is_whole(false),
            Part::House | Part::Other => false,
        };
        if is_taken {
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

/// Speeds over ground and through the water without a unit have one in common; one question for both.
fn join_unit_doubts(doubts: &mut Vec<Doubt>) {
    let mut speeds: Option<usize> = None;
    let mut index = 0;
    while index < doubts.len() {
        let DoubtKind::Unit(units, columns) = doubts[index].kind.clone() else {
            index += 1;
            continue;
        };
        if units.first() == Some(&"kn") && units.len() == 3 {
            match speeds {
                None => speeds = Some(index),
                Some(first) => {
                    if let DoubtKind::Unit(_, known) = &mut doubts[first].kind {
                        known.extend(columns);
                    }
                    doubts.remove(index);
                    continue;
                }
            }
        }
        index += 1;
    }
}

/// Watts or kilowatts without a unit: volts times amps tell.
fn settle_power_unit(taken: &mut [ColumnMapping], sheet: &Sheet, doubts: &mut Vec<Doubt>) {
    let of = |measured: M| {
        let mapped = taken.iter().find(|t| t.measured == measured)?;
        let comma = mapped.decimal_comma.unwrap_or(sheet.decimal_comma);
        let unit = measured.quantity().unit(&mapped.unit)?;
        let cell = |cells: &Vec<String>| Some(unit.to_si(number_in(cells.get(mapped.column)?, comma)?.0));
        Some(sheet.rows.iter().map(|(_, cells)| cell(cells)).collect::<Vec<Option<f64>>>())
    };
    let (Some(volts), Some(amps), Some(power)) = (of(M::Voltage), of(M::Current), of(M::Power)) else {
        return;
    };
    let ratios: Vec<f64> = (0..volts.len())
        .filter_map(|i| {
            let product = volts[i]? * amps[i]?;
            (product.abs() > 20.0).then_some(power[i]? / product)
        })
        .collect();
    let Some(ratio) = median(&ratios).map(f64::abs) else { return };
    let Some(at) = doubts.iter().position(|doubt| {
        // Taken as kilowatts.
        matches!(&doubt.kind, DoubtKind::Unit(units, _) if units.first() == Some(&"kW"))
    }) else {
        return;
    };
    let is_watts = (500.0..2000.0).contains(&ratio);
    if is_watts || (0.5..2.0).contains(&ratio) {
        let column = doubts.remove(at).column;
        if let Some(mapped) = taken.iter_mut().find(|mapped| mapped.column == column && is_watts) {
            "W".clone_into(&mut mapped.unit);
        }
    }
}
