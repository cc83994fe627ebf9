//! The unit of a column: said, in a column beside it, or what the values leave; in doubt, several.
//! Not for: units as they stand in names (`unit_said`).

use wakewright_units::{Dimension, Quantity, Unit};

use super::mapping::ColumnMapping;
use super::meaning::Meaning;
use super::numbers::number_in;
use super::propose::{Doubt, DoubtKind, Sheet, Step};
use super::unit_said::{UnitSaid, unit_named, usual_unit};
use crate::checks::median;
use crate::measured::Measured as M;

/// The unit of a column: said, or that which its values leave; in doubt, several.
pub(super) fn unit_of(
    sheet: &Sheet,
    column: usize,
    meaning: &Meaning,
    numbers: &[f64],
    in_cells: Option<(&'static Unit, Dimension)>,
    has_thousandths: bool,
    doubts: &mut Vec<Doubt>,
    scale: &mut f64,
) -> Option<String> {
    let greatest = numbers.iter().map(|n| n.abs()).fold(0.0, f64::max);
    let is_whole = numbers.iter().all(|n| n.fract() == 0.0);
    let stepped = if is_whole { steps_of(meaning.measured, numbers) } else { Vec::new() };
    // `bat_v` beside `bat_i`: the letter is the quantity's, no unit that somebody wrote.
    let is_letter = sheet.heads[column].ends_with(['v', 'a', 'u', 'i'])
        && meaning.unit.is_some_and(|unit| matches!(unit.symbol(), "V" | "A"))
        && !stepped.is_empty();
    if let Some(unit) = meaning.unit.filter(|_| !is_letter) {
        return Some(unit.symbol().to_owned());
    }
    // `kW`: a name that is nothing but a unit says it.
    let name = sheet.heads[column].trim();
    if name.len() > 1
        && let Some(unit) =
            unit_named(name).filter(|unit| unit.dimension == meaning.measured.quantity().dimension())
    {
        return Some(unit.symbol().to_owned());
    }
    // The open standard of boat data is in SI throughout, in whatever form its paths come.
    const PATHS: [&str; 4] = ["navigation.", "electrical.", "propulsion.", "environment."];
    if PATHS.iter().any(|path| sheet.heads[column].starts_with(path)) {
        let unit = match meaning.measured.quantity() {
            Quantity::Speed => "m/s",
            Quantity::Angle => "rad",
            Quantity::RotationalSpeed => "rev/s",
            Quantity::Temperature => "K",
            Quantity::Share => "",
            _ => usual_unit(meaning.measured),
        };
        return Some(unit.to_owned());
    }
    if in_cells.is_some() {
        return Some(usual_unit(meaning.measured).to_owned());
    }
    let middle = median(numbers).unwrap_or(0.0);
    if let Some(first) = stepped.first().copied() {
        *scale = first.scale;
        if stepped.len() > 1 {
            let kind = DoubtKind::Scale(stepped, column);
            doubts.push(Doubt { key: format!("step/{}", sheet.heads[column]), column, kind });
        }
        return Some(first.unit.to_owned());
    }
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
        // Thousandths, or something else than the charge: never taken unasked.
        Quantity::Share if greatest > 100.5 && meaning.measured == M::StateOfCharge => {
            if greatest <= 1000.0 {
                let mapped = ColumnMapping::new(column, M::StateOfCharge, "‰");
                let kind = DoubtKind::Taken(vec![mapped]);
                doubts.push(Doubt { key: format!("taken/{column}"), column, kind });
            }
            return None;
        }
        Quantity::Share if meaning.measured == M::StateOfCharge && is_whole && middle > 0.0 => {
            if has_thousandths {
                doubt(&["‰", "%"])
            } else if greatest <= 1.0 {
                doubt(&["", "%"])
            } else {
                "%"
            }
        }
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

const VOLT_STEPS: [Step; 4] = [
    Step { word: "1 V", unit: "V", scale: 1.0 },
    Step { word: "0.1 V", unit: "V", scale: 0.1 },
    Step { word: "0.01 V", unit: "V", scale: 0.01 },
    Step { word: "1 mV", unit: "mV", scale: 1.0 },
];
const AMP_STEPS: [Step; 4] = [
    Step { word: "1 mA", unit: "mA", scale: 1.0 },
    Step { word: "0.01 A", unit: "A", scale: 0.01 },
    Step { word: "0.1 A", unit: "A", scale: 0.1 },
    Step { word: "1 A", unit: "A", scale: 1.0 },
];

/// What whole volts or amps without a unit may count in, the likeliest first; nothing where they can be as they stand.
fn steps_of(measured: M, numbers: &[f64]) -> Vec<Step> {
    /// Banks of boats.
    const BANKS_V: (f64, f64) = (9.0, 450.0);
    const FLOWS_A: (f64, f64) = (3.0, 1000.0);
    let greatest = numbers.iter().map(|n| n.abs()).fold(0.0, f64::max);
    let fits = |step: &Step, value: f64, (low, high): (f64, f64)| {
        let factor = if step.unit.starts_with('m') { 1e-3 } else { step.scale };
        (low..=high).contains(&(factor * value))
    };
    let (steps, value, bounds) = match measured.quantity() {
        Quantity::Voltage => (&VOLT_STEPS, median(numbers).unwrap_or(0.0).abs(), BANKS_V),
        Quantity::Current => (&AMP_STEPS, greatest, FLOWS_A),
        _ => return Vec::new(),
    };
    let as_it_stands = match measured.quantity() {
        Quantity::Voltage => value <= BANKS_V.1,
        _ => value <= MANY_A,
    };
    if as_it_stands {
        Vec::new()
    } else {
        steps.iter().filter(|step| fits(step, value, bounds)).copied().collect()
    }
}

/// What many whole amps may count in, the likelier first.
pub(super) fn steps_of_many(greatest: f64) -> Vec<Step> {
    let mut steps = vec![AMP_STEPS[3], AMP_STEPS[2], AMP_STEPS[1]];
    if greatest > MANY_A {
        steps.swap(0, 1);
    }
    steps
}

/// From so many amps on a whole number is seldom amps.
const MANY_A: f64 = 450.0;

/// Amps of a table whose volts count in parts of a volt count in parts of an amp as well, or nobody knows.
pub(super) fn join_steps(taken: &mut [ColumnMapping], sheet: &Sheet, doubts: &mut Vec<Doubt>) {
    let volts: Vec<f64> =
        taken.iter().filter(|t| t.measured == M::Voltage && t.scale != 1.0).map(|t| t.scale).collect();
    let Some(first) = volts.first().copied() else { return };
    for mapped in
        taken.iter_mut().filter(|t| t.measured == M::Current && matches!(t.unit.as_str(), "A" | "mA"))
    {
        let is_unsaid = matches!(super::unit_said::split_unit(&sheet.heads[mapped.column]).1, UnitSaid::None);
        let cells = sheet.column(mapped.column);
        let numbers: Vec<f64> =
            cells.iter().filter_map(|cell| Some(number_in(cell, sheet.decimal_comma)?.0)).collect();
        let is_whole = !numbers.is_empty() && numbers.iter().all(|n| n.fract() == 0.0);
        if !is_unsaid || !is_whole {
            continue;
        }
        let known = doubts
            .iter()
            .position(|d| matches!(d.kind, DoubtKind::Scale(_, column) if column == mapped.column));
        let mut steps = match known.map(|at| doubts.remove(at).kind) {
            Some(DoubtKind::Scale(steps, _)) => steps,
            _ => vec![AMP_STEPS[3], AMP_STEPS[2], AMP_STEPS[1]],
        };
        steps.sort_by_key(|step| step.scale != first);
        (mapped.scale, mapped.unit) = (steps[0].scale, steps[0].unit.to_owned());
        let key = format!("step/{}", sheet.heads[mapped.column]);
        doubts.push(Doubt { key, column: mapped.column, kind: DoubtKind::Scale(steps, mapped.column) });
    }
}

/// `speed.value` beside `speed.unit`, whose cells all hold one unit.
pub(super) fn unit_beside(sheet: &Sheet, column: usize) -> Option<(&'static Unit, Dimension)> {
    const ENDS: [&str; 4] = ["value", "val", "v", "magnitude"];
    let head = sheet.heads[column].as_str();
    let stem =
        head.rsplit_once(['.', '_']).filter(|(_, end)| ENDS.contains(end)).map_or(head, |(stem, _)| stem);
    let is_unit = |end: &str| {
        matches!(
            crate::fold::fold(end).as_str(),
            "unit"
                | "units"
                | "uom"
                | "einheit"
                | "unite"
                | "eenheid"
                | "unidad"
                | "unita"
                | "enhet"
                | "enhed"
                | "yksikko"
                | "unidade"
        )
    };
    let named = sheet.heads.iter().position(|other| {
        other.strip_prefix(stem).is_some_and(|end| is_unit(end.trim_start_matches(['.', '_', ' '])))
    });
    // `Speed`, `Unit`, `Current`, `Unit`: the next column's; or `Speed`, `kn` over cells that all say `kn`.
    let is_its_own = |next: usize, head: &str| {
        unit_named(head).is_some() && {
            let cells = sheet.column(next);
            !cells.is_empty() && cells.iter().all(|cell| *cell == head.trim())
        }
    };
    let next = || {
        Some(column + 1).filter(|next| {
            sheet.heads.get(*next).is_some_and(|head| is_unit(head) || is_its_own(*next, head))
        })
    };
    let beside = named.or_else(next)?;
    let mut cells = sheet.column(beside);
    cells.sort_unstable();
    cells.dedup();
    let [one] = cells.as_slice() else { return None };
    unit_named(one).map(|unit| (unit, unit.dimension))
}

/// Speeds over ground and through the water without a unit have one in common; one question for both.
pub(super) fn join_unit_doubts(doubts: &mut Vec<Doubt>) {
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
pub(super) fn settle_power_unit(taken: &mut [ColumnMapping], sheet: &Sheet, doubts: &mut Vec<Doubt>) {
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
