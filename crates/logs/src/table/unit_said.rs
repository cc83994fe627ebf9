//! The unit that stands in the name of a column or in a cell. Not for: what the column measures (`meaning`).

use std::collections::HashMap;
use std::sync::LazyLock;

use wakewright_units::{Dimension, Quantity, Unit, units_of};

use super::words::{Idea as I, ideas, words};
use crate::fold::fold;
use crate::measured::Measured;

/// A unit as it stands in a name or a cell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum UnitSaid {
    /// Nothing.
    None,
    /// A unit that is known.
    Known(&'static Unit),
    /// Something that is no unit of any quantity here: amps-hours a mile, say.
    Odd,
}

/// Spellings of units in names that are no units of the units' own table, folded and without blanks.
static SPELLINGS: &[(&[&str], Dimension, &str)] = &[
    (&["ms", "mps", "msec", "m/sec", "ms-1", "m.s-1", "m*s-1", "ms^-1", "m/s"], Dimension::Speed, "m/s"),
    (
        &["kmh", "kph", "km/t", "km/tim", "km/u", "kmu", "km/std", "kmph", "kmh-1", "km/h"],
        Dimension::Speed,
        "km/h",
    ),
    (
        &[
            "knoten", "noeud", "noeuds", "nud", "nuds", "nudo", "nudos", "nodo", "nodi", "knopen", "knoop",
            "knop", "knob", "knut", "solmu", "solmua", "nos", "nd", "nds", "kn", "kt", "kts", "nm/h",
            "nmi/h", "sm/h", "mn/h", "mpk", "knot", "knots", "kns",
        ],
        Dimension::Speed,
        "kn",
    ),
    (&["mph", "mi/h"], Dimension::Speed, "mph"),
    (
        &[
            "u/min",
            "1/min",
            "min-1",
            "min^-1",
            "tr/min",
            "t/min",
            "trmin",
            "omw/min",
            "opm",
            "giri/min",
            "g/min",
            "varv/min",
            "v/min",
            "o/min",
            "omdr/min",
            "omdr./min",
            "kierr/min",
            "k/min",
            "r/min",
            "rev/min",
            "rpm",
            "rev/m",
            "upm",
            "trs/min",
            "rot/min",
            "giri",
            "tours/min",
            "toeren/min",
            "varv",
            "omdr",
            "rpm/min",
        ],
        Dimension::RotationalSpeed,
        "rpm",
    ),
    (&["1/s", "s-1", "s^-1", "u/s", "tr/s", "r/s", "rps", "rev/s"], Dimension::RotationalSpeed, "rev/s"),
    (
        &["c", "degc", "gradc", "celsius", "°c", "ºc", "deg.c", "℃", "grader", "gradcelsius"],
        Dimension::Temperature,
        "°C",
    ),
    (&["degf", "°f", "fahrenheit", "f", "ºf", "℉"], Dimension::Temperature, "°F"),
    (
        &[
            "pct",
            "prozent",
            "percent",
            "pourcent",
            "procent",
            "porcentaje",
            "prosent",
            "prosenttia",
            "%",
            "proc",
            "percento",
        ],
        Dimension::Ratio,
        "%",
    ),
    (
        &[
            "°", "deg", "grad", "gr", "degree", "degrees", "degres", "grados", "gradi", "graden", "astetta",
            "graus", "degt", "degm", "°t", "°m", "deg.",
        ],
        Dimension::Angle,
        "°",
    ),
    (&["volt", "volts", "v", "vdc", "vcc", "vdc."], Dimension::Voltage, "V"),
    (&["mv", "millivolt"], Dimension::Voltage, "mV"),
    (
        &["ampere", "ampere(s)", "amp", "amps", "amperes", "a", "adc", "amperios", "amperi", "ampeeria"],
        Dimension::Current,
        "A",
    ),
    (&["ma", "milliamp", "milliampere"], Dimension::Current, "mA"),
    (&["watt", "watts", "w", "vatios", "watti", "wattia"], Dimension::Power, "W"),
    (&["kw", "kilowatt"], Dimension::Power, "kW"),
    (&["m", "meter", "metre", "metres", "metros", "metri", "metria"], Dimension::Length, "m"),
    (&["ft", "feet", "fuss", "pieds", "voet"], Dimension::Length, "ft"),
    (&["s", "sec", "sek", "secs", "seconds", "secondes", "sekunden", "sekunder"], Dimension::Duration, "s"),
    (
        &["h", "hrs", "hr", "hours", "std", "stunden", "heures", "uur", "horas", "ore", "timmar", "timer"],
        Dimension::Duration,
        "h",
    ),
    (&["min", "mins", "minutes", "minuten", "minuter"], Dimension::Duration, "min"),
    (&["rad", "radian", "radians"], Dimension::Angle, "rad"),
    (&["k", "kelvin"], Dimension::Temperature, "K"),
];

/// Dimensions in whose units a log may write, the likelier first.
const DIMENSIONS: [Dimension; 15] = [
    Dimension::Speed,
    Dimension::Power,
    Dimension::Voltage,
    Dimension::Current,
    Dimension::Charge,
    Dimension::Energy,
    Dimension::RotationalSpeed,
    Dimension::Temperature,
    Dimension::Angle,
    Dimension::Length,
    Dimension::Duration,
    Dimension::Ratio,
    Dimension::Pressure,
    Dimension::Resistance,
    Dimension::Torque,
];

/// Units by their names as they stand.
static BY_NAME: LazyLock<HashMap<&'static str, &'static Unit>> = LazyLock::new(|| {
    let mut units = HashMap::new();
    for unit in DIMENSIONS.iter().flat_map(|dimension| units_of(*dimension)) {
        for name in unit.names.iter().filter(|name| !name.is_empty()) {
            units.entry(*name).or_insert(unit);
        }
    }
    units
});

/// Units by their spellings, folded and without blanks; those of logs before the table's own.
static BY_SPELLING: LazyLock<HashMap<String, &'static Unit>> = LazyLock::new(|| {
    let mut units = HashMap::new();
    for (names, dimension, symbol) in SPELLINGS {
        if let Some(unit) = units_of(*dimension).find(|unit| unit.symbol() == *symbol) {
            for name in *names {
                units.entry((*name).to_owned()).or_insert(unit);
            }
        }
    }
    for unit in DIMENSIONS.iter().flat_map(|dimension| units_of(*dimension)) {
        for name in unit.names.iter().filter(|name| !name.is_empty()) {
            units.entry(fold(name).replace(' ', "")).or_insert(unit);
        }
    }
    units
});

/// The unit that a text is, when it is nothing else. `None` for what is no unit.
pub(super) fn unit_named(text: &str) -> Option<&'static Unit> {
    let text = text.trim().trim_end_matches('.');
    if text.is_empty() || text.len() > 24 {
        return None;
    }
    // Case tells millivolts from megavolts and kelvin from kilo; the table decides where it knows the text as it stands.
    // A year's `a` heads no column: amps do.
    let exact = BY_NAME.get(text).filter(|_| text != "a");
    exact.copied().or_else(|| {
        let folded: String = fold(text).chars().filter(|c| !c.is_whitespace()).collect();
        BY_SPELLING.get(&folded).copied()
    })
}

/// `RPM x1000`, `A*10`, `V /100`: cells that are to be multiplied, or were.
pub(super) fn says_factor(name: &str) -> bool {
    let folded: Vec<char> = fold(name).chars().filter(|c| !c.is_whitespace()).collect();
    let is_ten = |from: usize| {
        let digits: String =
            folded.iter().skip(from).take_while(|c| c.is_ascii_digit() || matches!(c, '.' | ',')).collect();
        matches!(digits.as_str(), "10" | "100" | "1000" | "0.1" | "0,1" | "0.01" | "0,01" | "0.001" | "0,001")
    };
    folded.iter().enumerate().any(|(at, c)| {
        let is_mark = match c {
            '*' | '×' | '·' | '/' => true,
            'x' => at == 0 || !folded[at - 1].is_alphabetic() || is_ten(at + 1) && name.contains(" x"),
            _ => false,
        };
        is_mark && is_ten(at + 1)
    })
}

/// Texts in brackets that are no units but say which.
fn is_remark(text: &str) -> bool {
    let folded = fold(text);
    // `Charger [258]`: which of several.
    if !text.is_empty() && text.len() <= 4 && text.bytes().all(|b| b.is_ascii_digit()) {
        return true;
    }
    words(text).iter().any(|word| ideas(word).next().is_some() && unit_named(word).is_none())
        || matches!(
            folded.as_str(),
            "wgs84"
                | "txt"
                | "raw"
                | "true"
                | "t"
                | "mag"
                | "avg"
                | "utc"
                | "dc"
                | "local"
                | "gps"
                | "rel"
                | "abs"
                | "1"
                | "2"
        )
}

/// A name without its unit, and the unit: in brackets, after a slash, comma or colon, or its last word.
pub(super) fn split_unit(name: &str) -> (String, UnitSaid) {
    // `pack_v_min`, `sog_kn_mean`: a word of statistics behind the unit.
    if let Some((front, of)) = name.trim().rsplit_once(['_', '.', ' '])
        && matches!(
            fold(of).as_str(),
            "mean" | "avg" | "average" | "min" | "max" | "median" | "last" | "now" | "raw"
        )
        && let (rest, UnitSaid::Known(unit)) = split_written(front)
        && !rest.trim().is_empty()
        && matches!(
            unit.dimension,
            Dimension::Voltage | Dimension::Current | Dimension::Power | Dimension::Speed
        )
        && !words(&rest).iter().flat_map(|word| ideas(word)).any(|idea| idea == I::Turning)
    {
        return (format!("{rest} {of}"), UnitSaid::Known(unit));
    }
    let (rest, said) = split_written(name);
    // `sog_ms`: metres a second, where the name is a speed's and no time's.
    let is_ms = matches!(said, UnitSaid::Known(unit) if unit.symbol() == "ms");
    let is_speed = || {
        let parts = words(&rest);
        let has = |idea: I| parts.iter().flat_map(|word| ideas(word)).any(|found| found == idea);
        has(I::Speed) && !has(I::Time)
    };
    if is_ms && is_speed() {
        let metres = units_of(Dimension::Speed).find(|unit| unit.symbol() == "m/s");
        return (rest, metres.map_or(said, UnitSaid::Known));
    }
    (rest, said)
}

fn split_written(name: &str) -> (String, UnitSaid) {
    let name = name.trim().trim_matches('"');
    if let Some(open) = name.rfind(['[', '(', '{'])
        && let Some(length) = name[open..].find([']', ')', '}'])
    {
        let inside = name[open + 1..open + length].trim();
        let rest = format!("{} {}", &name[..open], name.get(open + length + 1..).unwrap_or_default());
        // `Prędkość (w)`: beside another quantity a small letter in brackets is no unit.
        let is_other = || {
            let of = [I::Speed, I::Turning, I::Temperature, I::Depth, I::Course, I::Heading, I::Time];
            words(&rest).iter().flat_map(|word| ideas(word)).any(|idea| of.contains(&idea))
        };
        if matches!(inside, "w" | "v" | "a") && is_other() {
            return (rest.trim().to_owned(), UnitSaid::None);
        }
        if let Some(unit) = unit_named(inside) {
            return (rest.trim().to_owned(), UnitSaid::Known(unit));
        }
        if inside.is_empty() || is_remark(inside) {
            let (rest, unit) = split_unit(&rest);
            return (format!("{rest} {inside}"), unit);
        }
        return (rest.trim().to_owned(), UnitSaid::Odd);
    }
    for mark in [" / ", ", ", ": ", " in "] {
        if let Some((front, back)) = name.rsplit_once(mark)
            && !front.trim().is_empty()
            && let Some(unit) = unit_named(back)
        {
            return (front.trim().to_owned(), UnitSaid::Known(unit));
        }
    }
    // `current_dA`, `pack cV`: tenths and hundredths are no units of logs.
    let last = name.rsplit(['_', ' ', '.', '-']).next().unwrap_or_default();
    let is_scaled = matches!(
        last,
        "dV" | "cV" | "dA" | "cA" | "dW" | "hW" | "daA" | "daV" | "uA" | "uV" | "µA" | "µV" | "dC"
    );
    if is_scaled && last.len() < name.len() {
        return (name[..name.len() - last.len()].trim().to_owned(), UnitSaid::Odd);
    }
    // `tr/min hélice`, `Nodi GPS`, `kn`: a unit of speed or turning before the word, or alone.
    let (front, back) = name.split_once(' ').unwrap_or((name, ""));
    let is_first = |unit: &&Unit| {
        matches!(unit.dimension, Dimension::Speed | Dimension::RotationalSpeed)
            || (unit.dimension == Dimension::Power && matches!(unit.symbol(), "kW" | "W") && !back.is_empty())
    };
    if front.len() > 1
        && !matches!(front, "ms" | "nos" | "Nos")
        && let Some(unit) = unit_named(front).filter(is_first)
        && (!back.is_empty() || unit.dimension == Dimension::Speed)
        && !matches!(split_last(back), Some(UnitSaid::Known(_)))
    {
        return (back.trim().to_owned(), UnitSaid::Known(unit));
    }
    // `boat speed km/h`, `speed_m_s`, `volts_V`: a last word that is a unit, the longest first.
    for marks in [&[' '][..], &['/'][..], &['_', '.', '-', ' ', ':'][..]] {
        for (at, _) in name.match_indices(marks) {
            let (front, back) = name.split_at(at);
            let back = back.trim_start_matches(['_', '.', '-', ' ', ':', '/']);
            let slashed = back.replace("_per_", "/").replace('_', "/");
            // `current_in` flows in; inches are written with a bracket.
            let found =
                unit_named(back).or_else(|| unit_named(&slashed)).filter(|unit| unit.symbol() != "in");
            if let Some(unit) = found.filter(|_| !front.trim().is_empty()) {
                return (front.trim().to_owned(), UnitSaid::Known(unit));
            }
        }
    }
    // `speedKmh`, `currentMa`: a unit in the hump of a joined name.
    if let Some(at) = name.rfind(char::is_uppercase).filter(|at| *at > 0)
        && name[..at].ends_with(char::is_lowercase)
        && name.len() - at >= 2
        && let Some(unit) = unit_named(&name[at..]).or_else(|| unit_named(&name[at..].to_lowercase()))
    {
        return (name[..at].to_owned(), UnitSaid::Known(unit));
    }
    (name.to_owned(), UnitSaid::None)
}

/// A unit in what follows the first word holds before that word.
fn split_last(back: &str) -> Option<UnitSaid> {
    (!back.is_empty()).then(|| split_unit(&format!("x {back}")).1)
}

/// Unit that is usual where a name says none.
pub(super) fn usual_unit(measured: Measured) -> &'static str {
    match measured.quantity() {
        Quantity::Speed => "kn",
        Quantity::Angle => "°",
        Quantity::Length => "m",
        Quantity::RotationalSpeed => "rpm",
        Quantity::Voltage => "V",
        Quantity::Current => "A",
        Quantity::Power => "W",
        Quantity::Temperature => "°C",
        Quantity::Share => "%",
        _ => "",
    }
}
