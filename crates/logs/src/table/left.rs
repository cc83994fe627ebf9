//! Columns that look like volts, amps, watts, speeds or turns and are none that a trial can use, each with the reason.
//! Not for: what a name measures (`meaning`).

use std::collections::BTreeSet;

use super::meaning::idea_of_unit;
use super::unit_said::{UnitSaid, split_unit};
use super::words::{Idea, ideas, words};
use crate::fold::fold;

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
    (is_vetoed && costly.iter().any(|idea| has.contains(idea)))
        .then_some("the unit in its name is none of that quantity that is known here")
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
