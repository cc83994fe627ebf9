//! What the name of a column says: quantity, unit, which part of the plant, which of several.
//! Not for: the values below it.

use std::collections::BTreeSet;

use wakewright_units::{Dimension, Unit};

use super::left::{is_electric_turning, is_mechanical};
use super::unit_said::{UnitSaid, split_unit, unit_named};
use super::words::{Idea, ideas, words};
use crate::fold::fold;
use crate::measured::Measured as M;

/// Part of the plant that a volt, amp or watt belongs to. The earlier is the likelier to be the
/// drive's.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Part {
    /// Battery, bank, pack, total, input, or nothing said.
    Bank,
    /// Motor or controller.
    Motor,
    /// A battery that is said to be another's: house, start, bow.
    House,
    /// What charges or draws: sun, charger, load.
    Other,
}

/// What a name says.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Meaning {
    pub measured: M,
    pub unit: Option<&'static Unit>,
    pub part: Part,
    /// Which of several: numbers and words beside the quantity. Empty for the only one.
    pub of: String,
    /// The name says that it is the drive's.
    pub is_drive: bool,
    /// The name says that it is a controller's, before the motor.
    pub is_controllers: bool,
    /// The name says that it is a battery's.
    pub is_battery: bool,
    /// The name says that it is all together.
    pub is_total: bool,
    /// The name says that what flows out counts.
    pub is_out: bool,
    /// The name says that it is a mean over some time, not what is now.
    pub is_mean: bool,
    /// The quantity stands in the name by a word or a unit, not by a letter alone.
    pub is_worded: bool,
}

/// What a single letter stands for, alone or beside its unit.
fn letter(name: &str) -> Option<Idea> {
    match name.trim() {
        "U" | "V" | "u" | "v" => Some(Idea::Volt),
        "I" | "A" | "i" | "a" => Some(Idea::Amp),
        "P" | "W" | "p" | "w" => Some(Idea::Watt),
        "n" => Some(Idea::Turning),
        _ => None,
    }
}

fn letter_of_part(letter: &str) -> Option<Idea> {
    match letter {
        "u" | "v" => Some(Idea::Volt),
        "i" => Some(Idea::Amp),
        "p" => Some(Idea::Watt),
        _ => None,
    }
}

pub(super) fn idea_of_unit(unit: &Unit) -> Option<Idea> {
    match unit.dimension {
        Dimension::Voltage => Some(Idea::Volt),
        Dimension::Current => Some(Idea::Amp),
        Dimension::Power => Some(Idea::Watt),
        Dimension::Speed => Some(Idea::Speed),
        Dimension::RotationalSpeed => Some(Idea::Turning),
        Dimension::Temperature => Some(Idea::Temperature),
        Dimension::Charge => Some(Idea::Charge),
        Dimension::Energy => Some(Idea::Energy),
        _ => None,
    }
}

/// What the name says that the column measures; `None` where it says nothing, or something that no
/// trial needs.
pub(super) fn meaning_of(name: &str) -> Option<Meaning> {
    let (bare, said) = split_unit(name);
    if said == UnitSaid::Odd {
        return None;
    }
    let unit = if let UnitSaid::Known(unit) = said { Some(unit) } else { None };
    let parts = words(&bare);
    let mut has: BTreeSet<Idea> = parts.iter().flat_map(|word| ideas(word)).collect();
    // `FdW`: letters of several words.
    let whole = parts.concat();
    if parts.len() > 1 && whole.len() <= 4 {
        has.extend(ideas(&whole));
    }
    // `Prędkość (w)`: a small letter in brackets behind words that nobody knows here is no unit.
    let is_lone_letter = ["(w)", "(v)", "(a)"].iter().any(|end| name.trim_end().ends_with(end));
    if is_lone_letter && !bare.trim().is_empty() && has.is_empty() && letter(&bare).is_none() {
        return None;
    }
    let joined = parts.join(" ");
    if [
        "state of charge",
        "etat de charge",
        "stato di carica",
        "estado de carga",
        "estado da carga",
        "charge state",
        "charge level",
        "battery level",
        "batt level",
        "niveau de charge",
        "nivel de carga",
        "livello di carica",
    ]
    .iter()
    .any(|words| joined.contains(words))
    {
        has.insert(Idea::ChargeState);
        has.remove(&Idea::Charger);
        has.remove(&Idea::Status);
    }
    // `vVel`: up and down.
    if parts.windows(2).any(|two| two[0] == "v" && two[1] == "vel") {
        has.insert(Idea::Distance);
    }
    // `Strömung`, `courant marin`, `tidal current`: what runs in the water is no amp.
    if ["tid", "marin", "stromung", "stroemung", "drift", "set"]
        .iter()
        .any(|word| parts.iter().any(|p| p.starts_with(word)))
        && has.contains(&Idea::Amp)
    {
        has.remove(&Idea::Amp);
    }
    // `Current direction`: where the stream sets, unless amps stand in the name.
    if has.contains(&Idea::Direction)
        && has.contains(&Idea::Amp)
        && !has.contains(&Idea::Battery)
        && unit.is_none_or(|unit| unit.dimension != Dimension::Current)
        && parts.iter().any(|part| matches!(part.as_str(), "current" | "courant" | "corriente" | "corrente"))
    {
        return None;
    }
    // `UBatt`, `bms.i`: a letter before or behind the short name of a part, and nothing else that is a quantity.
    let plant = [Idea::Battery, Idea::Total, Idea::Input, Idea::Motor, Idea::Drive, Idea::House, Idea::Solar];
    let is_part = |word: &String| {
        matches!(word.as_str(), "bus" | "sys") || ideas(word).any(|idea| plant.contains(&idea))
    };
    // `Bat. A U`: the one between is which of several.
    let outer = match parts.as_slice() {
        [first, which, last] if which.len() == 1 && is_part(first) => Some((first, last)),
        [first, last] => Some((first, last)),
        _ => None,
    };
    if let Some((first, last)) = outer
        && ![Idea::Volt, Idea::Amp, Idea::Watt].iter().any(|idea| has.contains(idea))
        && unit.is_none_or(|unit| idea_of_unit(unit).is_some_and(|idea| electric_ideas().contains(&idea)))
    {
        let letter_said = if is_part(last) { letter_of_part(first) } else { None };
        has.extend(letter_said.or_else(|| is_part(first).then(|| letter_of_part(last)).flatten()));
        if first == "n" && ideas(last).any(|idea| matches!(idea, Idea::Motor | Idea::Shaft)) {
            has.insert(Idea::Turning);
        }
    }
    // `Current A (charge positive)`: how it counts, not whose it is.
    if parts
        .iter()
        .any(|part| matches!(part.as_str(), "positive" | "negative" | "positiv" | "negativ" | "pos" | "neg"))
    {
        has.remove(&Idea::Charger);
        has.remove(&Idea::Out);
    }
    // `Entladestrom`, `discharging`: out of the bank, not from a charger.
    if has.contains(&Idea::Out) {
        has.remove(&Idea::Charger);
    }
    // `Id [A]` is an axis of the motor, like `Iq`; within a name the word is a number's.
    if joined == "id" {
        return None;
    }
    // Millivolts of a shunt are amps that nobody has worked out.
    if parts.iter().any(|part| part == "shunt") && unit.is_some_and(|unit| unit.symbol() == "mV") {
        return None;
    }
    // `T_Mot [°C]`: a T beside a unit of temperature is no time.
    if unit.is_some_and(|unit| unit.dimension == Dimension::Temperature) {
        has.remove(&Idea::Time);
    }
    // `current speed`, `current time`: the one of now.
    let quantities = [
        Idea::Speed,
        Idea::Time,
        Idea::Date,
        Idea::Depth,
        Idea::Heading,
        Idea::Course,
        Idea::Watt,
        Idea::Volt,
        Idea::Throttle,
    ];
    if has.contains(&Idea::Amp)
        && parts.iter().any(|p| p == "current" || p == "actual")
        && unit.is_none_or(|u| u.dimension != Dimension::Current)
        && quantities.iter().any(|idea| has.contains(idea))
    {
        has.remove(&Idea::Amp);
    }
    let mut is_worded = true;
    let electric = [Idea::Volt, Idea::Amp, Idea::Watt];
    if !electric.iter().any(|idea| has.contains(idea))
        && let Some(idea) = letter(&bare)
        && unit.is_none_or(|unit| idea_of_unit(unit) == Some(idea))
    {
        has.insert(idea);
        is_worded = unit.is_some();
    } else if let Some(idea) = unit.and_then(idea_of_unit) {
        // `Bank 1 [A]`, `Motor A`, `GPS km/h`: the unit is the quantity where no other word is one.
        let others = [
            Idea::Volt,
            Idea::Amp,
            Idea::Watt,
            Idea::Turning,
            Idea::Speed,
            Idea::Temperature,
            Idea::Wind,
            Idea::Energy,
            Idea::Charge,
            Idea::Distance,
            Idea::Hours,
            Idea::ChargeState,
            Idea::Time,
        ];
        if !others.iter().any(|other| has.contains(other)) {
            has.insert(idea);
        }
    }
    if is_electric_turning(&bare)
        || (has.contains(&Idea::Watt) && (has.contains(&Idea::Shaft) || is_mechanical(&bare)))
    {
        return None;
    }
    let measured = measured_of(&has, &bare, unit)?;
    if let Some(unit) = unit
        && unit.dimension != measured.quantity().dimension()
    {
        return None;
    }
    let (part, of) = part_of(&has, &parts, unit.is_some());
    let is_plant = matches!(measured, M::Voltage | M::Current | M::Power);
    Some(Meaning {
        measured,
        unit,
        part: if is_plant { part } else { Part::Bank },
        of: if is_plant || matches!(measured, M::MotorSpeed | M::ShaftSpeed) { of } else { String::new() },
        is_drive: has.contains(&Idea::Drive),
        is_controllers: has.contains(&Idea::Controller) && !is_output(&parts),
        is_battery: has.contains(&Idea::Battery),
        is_total: has.contains(&Idea::Total),
        is_out: has.contains(&Idea::Out),
        is_mean: has.contains(&Idea::Mean),
        is_worded,
    })
}

fn measured_of(has: &BTreeSet<Idea>, bare: &str, unit: Option<&'static Unit>) -> Option<M> {
    let is = |idea: Idea| has.contains(&idea);
    let any = |all: &[Idea]| all.iter().any(|idea| has.contains(idea));
    if any(&[Idea::Status, Idea::Limit, Idea::Extreme, Idea::Hours, Idea::Distance]) {
        return None;
    }
    if is(Idea::Latitude) {
        return Some(M::Latitude);
    }
    if is(Idea::Longitude) && !is(Idea::Wind) {
        return Some(M::Longitude);
    }
    if is(Idea::Variation) {
        return Some(M::MagneticVariation);
    }
    if is(Idea::ChargeState) {
        return Some(M::StateOfCharge);
    }
    if any(&[Idea::Energy, Idea::Charge]) {
        return None;
    }
    if is(Idea::Wind) {
        let is_true = is(Idea::True) || ["tws", "twa", "twd"].contains(&fold(bare).as_str());
        return if is(Idea::Temperature) {
            None
        } else if is(Idea::Direction) {
            Some(M::TrueWindDirection)
        } else if is(Idea::Angle) {
            Some(if is_true { M::TrueWindAngle } else { M::ApparentWindAngle })
        } else if is(Idea::Speed) || unit.is_some_and(|u| u.dimension == Dimension::Speed) {
            Some(if is_true { M::TrueWindSpeed } else { M::ApparentWindSpeed })
        } else {
            None
        };
    }
    if is(Idea::Temperature) {
        return if is(Idea::Motor) {
            Some(M::MotorTemperature)
        } else if is(Idea::Battery) && !is(Idea::Cell) {
            Some(M::BatteryTemperature)
        } else if is(Idea::Water) && !any(&[Idea::Controller]) {
            Some(M::WaterTemperature)
        } else if is(Idea::Air) {
            Some(M::AirTemperature)
        } else {
            None
        };
    }
    if is(Idea::Throttle) {
        return unit.is_none_or(|u| u.dimension == Dimension::Ratio).then_some(M::Throttle);
    }
    if any(&[Idea::Cell, Idea::Phase]) {
        return None;
    }
    let is_turning = is(Idea::Turning)
        || (is(Idea::Speed)
            && (any(&[Idea::Motor, Idea::Shaft]) || unit.is_some())
            && unit.is_none_or(|u| u.dimension == Dimension::RotationalSpeed));
    // What turns there drives no boat.
    if is_turning
        && (fold(bare).contains("wheel") || any(&[Idea::Charger, Idea::Solar, Idea::House]))
        && !is(Idea::Drive)
    {
        return None;
    }
    if is_turning && !any(&electric_ideas()) {
        return Some(if is(Idea::Shaft) && !is(Idea::Motor) { M::ShaftSpeed } else { M::MotorSpeed });
    }
    // `Cap fond`: where she goes over ground; a receiver's heading may be a compass of satellites.
    let is_receivers = || words(bare).iter().any(|word| matches!(word.as_str(), "gps" | "gnss"));
    if is(Idea::Heading) && is(Idea::Ground) && !is(Idea::Speed) && !is_receivers() {
        return Some(M::CourseOverGround);
    }
    if is(Idea::Heading) && !is(Idea::Speed) {
        return Some(if is(Idea::True) { M::HeadingTrue } else { M::HeadingMagnetic });
    }
    if is(Idea::Course) && !is(Idea::Speed) {
        return Some(if is(Idea::Magnetic) { M::CourseOverGroundMagnetic } else { M::CourseOverGround });
    }
    // `Direction (°)` or `Suunta` alone: where she goes.
    let is_alone = || words(bare).len() == 1;
    if is(Idea::Direction)
        && has.len() == 1
        && unit.map_or_else(is_alone, |u| u.dimension == Dimension::Angle)
    {
        return Some(M::CourseOverGround);
    }
    if is(Idea::Depth) {
        return unit.is_none_or(|u| u.dimension == Dimension::Length).then_some(if is(Idea::Surface) {
            M::DepthBelowSurface
        } else {
            M::DepthBelowTransducer
        });
    }
    if is(Idea::Volt) {
        return Some(M::Voltage);
    }
    if is(Idea::Amp) {
        return Some(M::Current);
    }
    if is(Idea::Watt) {
        return Some(M::Power);
    }
    if is(Idea::Speed) {
        return if any(&[Idea::Air, Idea::Time, Idea::Direction]) {
            None
        } else if is(Idea::Ground) {
            Some(M::SpeedOverGround)
        } else if any(&[Idea::Water, Idea::Surface]) {
            Some(M::SpeedThroughWater)
        } else {
            Some(M::SpeedOverGround)
        };
    }
    if is(Idea::Heel) {
        return Some(M::Heel);
    }
    if is(Idea::Pitch) && unit.is_some_and(|u| u.dimension == Dimension::Angle) {
        return Some(M::Pitch);
    }
    None
}

/// What leaves the controller is the motor's.
fn is_output(parts: &[String]) -> bool {
    parts.iter().any(|part| matches!(part.as_str(), "output" | "ausgang" | "sortie" | "uscita" | "salida"))
}

const fn electric_ideas() -> [Idea; 3] {
    [Idea::Volt, Idea::Amp, Idea::Watt]
}

/// The part of the plant, and which of several.
fn part_of(has: &BTreeSet<Idea>, parts: &[String], has_unit: bool) -> (Part, String) {
    let is = |idea: Idea| has.contains(&idea);
    let is_bank = is(Idea::Battery) || is(Idea::Total) || is(Idea::Input) || is(Idea::Drive);
    // `5V supply`: what the electronics live on.
    let is_small = parts.windows(2).any(|two| matches!(two[0].as_str(), "3" | "5") && two[1] == "v");
    let part = if is(Idea::House) || is_small {
        Part::House
    } else if is(Idea::Solar) || is(Idea::Charger) || (is(Idea::Load) && !is_bank) {
        Part::Other
    } else if (is(Idea::Motor) || is(Idea::Controller)) && !is_bank {
        Part::Motor
    } else {
        Part::Bank
    };
    const NOW: [&str; 8] =
        ["moment", "aktuel", "actual", "nuvarande", "instant", "istantan", "huidig", "hetkelli"];
    const EMPTY: [&str; 26] = [
        "string", "of", "the", "in", "de", "du", "der", "des", "di", "da", "van", "v", "a", "i", "u", "p",
        "w", "la", "le", "l", "d", "no", "nr", "value", "dc", "now",
    ];
    // `Pack A current`, `Pack A V`, `Batt P voltage`, `A V` beside `B V`: which of several, neither amps nor power.
    let is_letter = |at: usize| {
        let is_behind_battery = at > 0 && ideas(&parts[at - 1]).any(|idea| idea == Idea::Battery);
        match parts[at].as_str() {
            "a" if parts.len() == 1 => has_unit,
            "a" => is_behind_battery && (has_unit || at + 1 < parts.len()),
            "p" | "s" => is_behind_battery && at + 1 < parts.len() && !is(Idea::Watt),
            _ => false,
        }
    };
    let mut of: Vec<&str> = parts
        .iter()
        .enumerate()
        .map(|(at, word)| (is_letter(at), word.as_str()))
        .filter(|(is_letter, word)| {
            *is_letter
                || ideas(word).next().is_none()
                    && !EMPTY.contains(word)
                    && !NOW.iter().any(|now| word.starts_with(now))
                    && unit_named(word).is_none()
        })
        .map(|(_, word)| word)
        .collect();
    if is(Idea::House) {
        of.extend(
            parts.iter().map(String::as_str).filter(|word| ideas(word).any(|idea| idea == Idea::House)),
        );
    }
    (part, of.join(" "))
}

/// What a name alone tells of the drive, with its unit: `volts`, `amps`, `motor_rpm`, `power_kw`, `speed_kn`.
pub(crate) fn plant_by_name(name: &str) -> Option<(M, &'static Unit)> {
    let Meaning { measured, unit, part, .. } = meaning_of(name)?;
    let is_plant = matches!(measured, M::Voltage | M::Current | M::Power) && part == Part::Bank;
    let is_turns = matches!(measured, M::MotorSpeed | M::ShaftSpeed);
    let is_speed = matches!(measured, M::SpeedOverGround | M::SpeedThroughWater);
    let by_name = || match measured {
        M::Power | M::SpeedOverGround | M::SpeedThroughWater => None,
        _ => measured.quantity().unit(super::unit_said::usual_unit(measured)),
    };
    (is_plant || is_turns || is_speed).then(|| unit.or_else(by_name)).flatten().map(|unit| (measured, unit))
}

#[cfg(test)]
mod tests;
