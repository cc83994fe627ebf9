//! Columns that look like volts, amps, watts, speeds or turns and are none that a trial can use, each with the reason.
//! Not for: what a name measures (`meaning`).

use std::collections::BTreeSet;

use super::mapping::Mapping;
use super::meaning::idea_of_unit;
use super::unit_said::{UnitSaid, split_unit};
use super::words::{Idea, ideas, words};
use crate::fold::fold;
use crate::measured::Measured as M;

const VETOED: &str = "the unit in its name is none of that quantity that is known here";

/// Why a column that looks like a costly quantity is left, where its name says so.
pub(super) fn left_why(name: &str) -> Option<&'static str> {
    let (bare, said) = split_unit(name);
    let has: BTreeSet<Idea> = words(&bare).iter().flat_map(|word| ideas(word)).collect();
    if is_electric_turning(&bare) {
        return Some(
            "electrical revolutions are the motor's times its pairs of poles; write the motor's own",
        );
    }
    let aside = [
        Idea::Status,
        Idea::Limit,
        Idea::Extreme,
        Idea::Hours,
        Idea::Distance,
        Idea::Energy,
        Idea::Charge,
        Idea::Wind,
        Idea::Cell,
        Idea::Phase,
        Idea::ChargeState,
        Idea::Temperature,
        Idea::Throttle,
        Idea::Time,
        Idea::Solar,
        Idea::Charger,
        Idea::House,
        Idea::Load,
    ];
    if aside.iter().any(|idea| has.contains(idea)) {
        return None;
    }
    if has.contains(&Idea::Watt) && (has.contains(&Idea::Shaft) || is_mechanical(&bare)) {
        return Some("what the shaft gets, not what the battery gives");
    }
    let costly = [Idea::Volt, Idea::Amp, Idea::Watt, Idea::Speed, Idea::Turning];
    let is_vetoed = match said {
        UnitSaid::Odd => true,
        UnitSaid::Known(unit) => idea_of_unit(unit).is_none_or(|idea| !has.contains(&idea)),
        UnitSaid::None => false,
    };
    (is_vetoed && costly.iter().any(|idea| has.contains(idea))).then_some(VETOED)
}

/// Columns of numbers that nobody knows here, where the table has no volts, amps or speed that are known: they may be those.
pub(crate) fn unread(mapping: &Mapping, kept: &[csv::ByteRecord], remarks: &[String]) -> Option<String> {
    const HARMLESS: [&str; 17] = [
        "alt", "ele", "hoh", "dop", "sat", "fix", "index", "nr", "no", "id", "count", "row", "press", "hum",
        "acc", "name", "line",
    ];
    const COSTLY: [M; 5] = [M::Voltage, M::Current, M::Power, M::SpeedOverGround, M::SpeedThroughWater];
    let has = |all: &[M]| mapping.columns.iter().any(|column| all.contains(&column.measured));
    let missing: Vec<&str> = [
        (has(&[M::Voltage, M::Power]), "volts"),
        (has(&[M::Current, M::Power]), "amps"),
        (has(&[M::SpeedOverGround, M::SpeedThroughWater, M::Latitude]), "a speed"),
        (has(&[M::MotorSpeed, M::ShaftSpeed]), "turns"),
    ]
    .into_iter()
    .filter_map(|(is_there, what)| (!is_there).then_some(what))
    .collect();
    if missing.is_empty() {
        return None;
    }
    let mut used: Vec<usize> = mapping.columns.iter().map(|c| c.column).collect();
    used.extend(mapping.columns.iter().flat_map(|c| [c.hemisphere, c.direction]).flatten());
    used.extend(mapping.time.iter().flat_map(|time| time.columns.clone()));
    used.extend(mapping.clocks.iter().flat_map(|clock| clock.time.columns.clone()));
    used.extend(mapping.parted.iter().map(|parted| parted.column));
    let is_unknown = |(column, head): &(usize, &String)| {
        let folded = fold(head);
        let has: Vec<Idea> =
            words(&split_unit(head).0).iter().flat_map(|word| ideas(word).collect::<Vec<_>>()).collect();
        let costly = [Idea::Volt, Idea::Amp, Idea::Watt, Idea::Speed, Idea::Turning];
        let is_costly = has.iter().any(|idea| costly.contains(idea)) && has.len() == 1;
        // Its name says what is missing, and a unit of something else.
        let is_missing = |idea: &Idea| {
            let what = match idea {
                Idea::Volt => "volts",
                Idea::Amp => "amps",
                Idea::Speed => "a speed",
                Idea::Turning => "turns",
                _ => return false,
            };
            missing.contains(&what)
        };
        let is_vetoed = left_why(head) == Some(VETOED) && has.iter().any(is_missing);
        // Only the least and the greatest of what is missing, or what was counted of it.
        let is_extreme = has.contains(&Idea::Extreme) && has.iter().any(is_missing);
        let counts = [(Idea::Energy, "amps"), (Idea::Charge, "amps"), (Idea::Distance, "a speed")];
        let is_count = counts.iter().any(|(idea, what)| has.contains(idea) && missing.contains(what));
        let is_odd = has.is_empty() || is_costly || is_vetoed || is_extreme || is_count;
        let mut cells: Vec<&[u8]> =
            kept.iter().filter_map(|row| row.get(*column)).map(<[u8]>::trim_ascii).collect();
        cells.retain(|cell| !cell.is_empty());
        let count = cells.len();
        cells.retain(|cell| cell.iter().any(u8::is_ascii_digit) && !cell.iter().any(u8::is_ascii_alphabetic));
        // Formulas of a sheet whose values were never kept leave no cell at all.
        let is_numbers = 2 * cells.len() > count && cells.windows(2).any(|two| two[0] != two[1])
            || count == 0 && super::meaning::meaning_of(head).is_some_and(|m| COSTLY.contains(&m.measured));
        !used.contains(column)
            && is_odd
            && is_numbers
            && head.chars().any(char::is_alphabetic)
            && !HARMLESS.iter().any(|word| folded.starts_with(word) || folded.ends_with(word))
            && !remarks.iter().any(|remark| {
                remark.contains(&format!("{head:?}")) && !remark.contains("a factor") && !is_vetoed
            })
    };
    const MOST_NAMED: usize = 6;
    let names: Vec<String> =
        mapping.heads.iter().enumerate().filter(is_unknown).map(|(_, head)| format!("{head:?}")).collect();
    if names.is_empty() {
        return None;
    }
    let more = if names.len() > MOST_NAMED { " and more" } else { "" };
    Some(format!(
        "Not read: {}{more}; of {} no column is known here. If one of them is that, name it so or say it in the columns; cells that are empty \
         throughout may be formulas: save the sheet once more by hand.",
        names[..names.len().min(MOST_NAMED)].join(", "),
        missing.join(", ")
    ))
}

/// `eRPM`, `electrical rpm`: of the field, not of the motor.
pub(super) fn is_electric_turning(bare: &str) -> bool {
    let folded = fold(bare);
    let words = words(bare);
    let is_said = ["_elec", " elec", "electrical", "elektrisch", "electrique", "electric rpm"]
        .iter()
        .any(|word| folded.contains(word));
    words.iter().any(|word| word == "erpm")
        || words.windows(2).any(|two| two[0] == "e" && two[1] == "rpm")
        || (is_said && words.iter().flat_map(|word| ideas(word)).any(|idea| idea == Idea::Turning))
}

/// `Mechanical power`, `puissance mécanique`, `Wellenleistung`.
pub(super) fn is_mechanical(bare: &str) -> bool {
    let folded = fold(bare);
    ["mechan", "mekan", "meccan", "mecan", "abtrieb"].iter().any(|word| folded.contains(word))
}
