//! What a check-up says, read with every fault at once: numbers with their units, days that can be, tests of the bank.

use jiff::civil::{Date, Time};
use wakewright_core::battery::PackGroup;
use wakewright_core::boat::BoatSpec;
use wakewright_core::upkeep::{
    Bad, CHECKLIST, CapacityError, CapacityTest, Found, Fullness, Item, Reading, capacity,
};
use wakewright_core::upkeep::{Capacity, Measured};
use wakewright_units::{Quantity, read_quantity};

use super::document::TEST_FIELDS;
use crate::dated::{DatedDocument, EntryFault};

/// What was found at an item.
#[derive(Debug, Clone)]
pub struct FoundAt {
    /// The item.
    pub item: &'static Item,
    /// What, where it was said.
    pub found: Option<Found>,
    /// The reading.
    pub value: Option<(f64, f64)>,
    /// The note.
    pub note: String,
}

/// A test of the bank.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadTest {
    /// What was tested; empty for the whole bank.
    pub of: String,
    /// What it tells.
    pub capacity: Capacity,
}

/// What a check-up says.
#[derive(Debug, Clone, Default)]
pub struct CheckupReading {
    /// The day; none where it cannot be one.
    pub day: Option<Date>,
    /// Items of which something is said.
    pub items: Vec<FoundAt>,
    /// A test of the bank.
    pub test: Option<ReadTest>,
    /// What cannot be used.
    pub faults: Vec<EntryFault>,
}

impl CheckupReading {
    /// Its readings as those of its day.
    pub fn reading_of(&self, item: &Item) -> Option<Reading> {
        let at = self.items.iter().find(|at| at.item.key == item.key)?;
        let (value, error) = at.value?;
        Some(Reading { day: self.day?, value, error })
    }
}

/// Reads a check-up of a boat, as of `today`.
#[must_use]
pub fn read_checkup(document: &DatedDocument, spec: &BoatSpec, today: Date) -> CheckupReading {
    let mut read = CheckupReading::default();
    let mut faults = Vec::new();
    let mut wrong = |address: &str, problem: String| {
        faults.push(EntryFault { address: address.to_owned(), problem });
    };
    match document.day(today) {
        Ok(day) => read.day = Some(day),
        Err(problem) => wrong("date", problem),
    }
    for item in &CHECKLIST {
        let entry = |name: &str| format!("item.{}.{name}", item.key);
        let found_text = document.get(&entry("found"));
        let found = Found::ALL.into_iter().find(|found| found.words() == found_text);
        if found.is_none() && !found_text.is_empty() {
            let words = Found::ALL.map(Found::words).join(", ");
            wrong(&entry("found"), format!("\"{found_text}\" is none of {words}"));
        }
        let typed = document.get(&entry("value"));
        let value = match item.measured {
            _ if typed.is_empty() => None,
            None => {
                wrong(&entry("value"), "nothing is measured at this item; write it as its note".to_owned());
                None
            }
            Some(measured) => match read_value(typed, &measured) {
                Ok(value) => Some(value),
                Err(problem) => {
                    wrong(&entry("value"), problem);
                    None
                }
            },
        };
        let note = document.get(&entry("note")).to_owned();
        if found.is_some() || value.is_some() || !note.is_empty() {
            read.items.push(FoundAt { item, found, value, note });
        }
    }
    if TEST_FIELDS.iter().any(|field| !document.get(&format!("test.{}", field.key)).is_empty()) {
        let (test, of_test) = read_test(document, spec);
        read.test = test;
        for (name, problem) in of_test {
            wrong(&format!("test.{name}"), problem);
        }
    }
    read.faults = faults;
    read
}

/// A value and half of its 80 % band: as typed behind ±, else as usual for what is measured.
fn read_value(typed: &str, measured: &Measured) -> Result<(f64, f64), String> {
    if measured.quantity == Quantity::Resistance
        && let Some(lost) = lost_at(typed, measured)
    {
        return lost;
    }
    let (value, band) = split(typed);
    let si = read_one(value, measured.quantity)?;
    let is_below_nothing = measured.limit.is_some_and(|limit| limit < 0.0);
    if is_below_nothing && si > 0.0 {
        return Err(format!(
            "{value} is above nothing: with the electrode on the meter's minus it reads below; write -{value}, or turn the leads"
        ));
    }
    let possible = match measured.quantity {
        Quantity::Share => 0.0..=1.0,
        _ if is_below_nothing => f64::MIN..=0.0,
        _ => 0.0..=f64::MAX,
    };
    if !possible.contains(&si) {
        return Err(format!(
            "{value} cannot be: {} is not below nothing, and a share at most 100 %",
            measured.what
        ));
    }
    // Milliohms where megohms are meant are a thousand million times too few.
    if measured.quantity == Quantity::Resistance
        && measured.bad == Bad::Below
        && measured.limit.is_some_and(|limit| si < limit / 1e4)
    {
        return Err(format!(
            "{value} is next to nothing for {}: is it megohms? Write 20 Mohm, or 0.2 kohm where it is so little",
            measured.what
        ));
    }
    let usual = (measured.error_share * si).max(measured.error_least);
    match band {
        None => Ok((si, usual)),
        Some(band) => Ok((si, read_band(band, si, measured.quantity)?)),
    }
}

/// A resistance by the volts lost at a current, "31 mV at 104 A"; `None` where it is typed as one.
fn lost_at(typed: &str, measured: &Measured) -> Option<Result<(f64, f64), String>> {
    let (volts, amps) = typed.split_once(" at ").map_or((typed, None), |(volts, amps)| (volts, Some(amps)));
    let (value, band) = split(volts);
    let lost_v = read_quantity(value, Quantity::Voltage).ok()?.si;
    let of = |amps: &str| {
        let amps = read_one(amps.trim(), Quantity::Current)?;
        if !(lost_v > 0.0 && amps > 0.0) {
            return Err(format!(
                "{typed}: volts lost and current must be above nothing; turn the leads, or leave out the sign"
            ));
        }
        let usual_v = (measured.error_share * lost_v).max(measured.error_least * amps);
        let half_v = band.map_or(Ok(usual_v), |band| read_band(band, lost_v, Quantity::Voltage))?;
        Ok((lost_v / amps, half_v / amps))
    };
    Some(amps.map_or_else(
        || Err(format!("{typed}: volts alone do not compare; write the current with them: {value} at 100 A")),
        of,
    ))
}

fn split(typed: &str) -> (&str, Option<&str>) {
    let at = ["±", "+/-", "+-"].iter().find_map(|mark| typed.split_once(mark));
    at.map_or((typed.trim(), None), |(value, band)| (value.trim(), Some(band.trim())))
}

fn read_one(text: &str, quantity: Quantity) -> Result<f64, String> {
    let read = read_quantity(text, quantity).map_err(|error| error.to_string())?;
    if let Some(other) = read.doubt_within((0.0, f64::MAX)) {
        return Err(format!(
            "{text} has two readings ({} and {other}); write it without the separator",
            read.si
        ));
    }
    Ok(read.si)
}

/// Half a band, in the unit or in per cent of the value.
fn read_band(band: &str, si: f64, quantity: Quantity) -> Result<f64, String> {
    let half = match band.strip_suffix('%') {
        Some(percent) if quantity != Quantity::Share => {
            read_one(&format!("{percent} %"), Quantity::Share)? * si.abs()
        }
        _ => read_one(band, quantity)?,
    };
    if half > 0.0 { Ok(half) } else { Err("the band behind ± must be above nothing".to_owned()) }
}

type OfField = (&'static str, String);

/// The test, and what is wrong with its entries.
fn read_test(document: &DatedDocument, spec: &BoatSpec) -> (Option<ReadTest>, Vec<OfField>) {
    let mut faults: Vec<OfField> = Vec::new();
    let entry = |name: &'static str| document.get(&format!("test.{name}"));
    let mut number = |name: &'static str, quantity: Quantity, is_needed: bool| {
        let text = entry(name);
        if text.is_empty() {
            if is_needed {
                faults.push((name, "a test needs it".to_owned()));
            }
            return None;
        }
        read_one(split(text).0, quantity).map_err(|problem| faults.push((name, problem))).ok()
    };
    let amps = number("amps", Quantity::Current, true);
    let hours = number("hours", Quantity::Duration, true);
    let counted = number("counted", Quantity::Charge, false);
    let temperature = number("temperature", Quantity::Temperature, true);
    let rated = number("rated", Quantity::Charge, false);
    let group = tested_group(entry("of"), spec);
    if let Err(problem) = &group {
        faults.push(("of", problem.clone()));
    }
    let amps_error = match (split(entry("amps")).1, amps) {
        (Some(band), Some(amps)) => read_band(band, amps, Quantity::Current).map(|half| half / amps.abs()),
        _ => Ok(USUAL_AMPS_ERROR),
    };
    if let Err(problem) = &amps_error {
        faults.push(("amps", problem.clone()));
    }
    let lasted = lasted_s(entry("begun"), entry("ended"));
    if let Err((name, problem)) = &lasted {
        faults.push((name, problem.clone()));
    }
    let from = read_fullness("from", entry("from"), Fullness::Full);
    let to = read_fullness("to", entry("to"), Fullness::CutOff);
    for problem in [&from, &to].into_iter().filter_map(|read| read.as_ref().err()) {
        faults.push(problem.clone());
    }
    let pause = entry("pause").to_lowercase();
    let (
        Some(amps),
        Some(hours),
        Some(temperature_k),
        Ok((group, rated_of_bank)),
        Ok(amps_error),
        Ok(lasted_s),
    ) = (amps, hours, temperature, group, amps_error, lasted)
    else {
        return (None, faults);
    };
    let (Ok(from), Ok(to)) = (from, to) else { return (None, faults) };
    let test = CapacityTest {
        chemistry: group.chemistry,
        cells: group.cells_in_series,
        rated_coulomb: rated.unwrap_or(rated_of_bank),
        current_a: amps,
        current_error: amps_error,
        flowed_s: hours,
        lasted_s,
        counted_coulomb: counted,
        is_pause_told: !["", "no", "none", "0"].contains(&pause.as_str()),
        from,
        to,
        temperature_k,
    };
    match capacity(&test) {
        Ok(capacity) => (Some(ReadTest { of: entry("of").trim().to_lowercase(), capacity }), faults),
        Err(error) => {
            let name = match error {
                CapacityError::FlatVolts | CapacityError::NoRestVolts(_) | CapacityError::TooLittle => "to",
                CapacityError::BrokenOff { .. } | CapacityError::LeadPaused => "pause",
                CapacityError::CountDisagrees { .. } => "counted",
                CapacityError::Temperature(_) => "temperature",
                _ => "amps",
            };
            faults.push((name, error.to_string()));
            (None, faults)
        }
    }
}

/// Half of the 80 % band of a current of which nothing is said, as a share of it: a shunt of the usual kind. Common
/// practice, no source.
const USUAL_AMPS_ERROR: f64 = 0.015;

/// The packs that were tested, and what stands on them all together: a bank, a group of like packs (a `[[pack]]` table),
/// or one pack, counted through her groups.
fn tested_group(of: &str, spec: &BoatSpec) -> Result<(PackGroup, f64), String> {
    let of = of.trim().to_lowercase();
    let further = spec.boat.further.iter().find(|further| further.name.to_lowercase() == of);
    let bank = further.map_or(&spec.boat.bank, |further| &further.bank);
    let all = |group: &PackGroup| group.capacity_coulomb * f64::from(group.packs_in_parallel);
    let first = *bank.groups.first().ok_or("she has no packs")?;
    if further.is_some() || of.is_empty() {
        return Ok((first, bank.groups.iter().map(all).sum()));
    }
    let packs: Vec<PackGroup> = bank
        .groups
        .iter()
        .flat_map(|group| std::iter::repeat_n(*group, group.packs_in_parallel as usize))
        .collect();
    let place = |word: &str| of.strip_prefix(word)?.trim().parse::<usize>().ok()?.checked_sub(1);
    let group = place("group").and_then(|at| bank.groups.get(at)).map(|group| (*group, all(group)));
    let pack = place("pack").and_then(|at| packs.get(at)).map(|group| (*group, group.capacity_coulomb));
    group.or(pack).ok_or_else(|| {
        let mut parts = vec![format!("pack 1 to pack {}", packs.len())];
        parts.push(format!("group 1 to group {} (her pack tables)", bank.groups.len()));
        parts.extend(spec.boat.further.iter().map(|further| further.name.clone()));
        format!("leave it empty for the drive's bank, or write one of: {}", parts.join("; "))
    })
}

/// By the clock; over midnight where it ends earlier than it began.
fn lasted_s(begun: &str, ended: &str) -> Result<Option<f64>, (&'static str, String)> {
    let read = |name: &'static str, text: &str| match text.parse::<Time>() {
        Ok(time) => Ok(Some(time)),
        Err(_) if text.is_empty() => Ok(None),
        Err(_) => Err((name, format!("{text} is no time of day; write it like 09:10"))),
    };
    let (begun, ended) = (read("begun", begun)?, read("ended", ended)?);
    Ok(begun.zip(ended).map(|(begun, ended)| {
        let seconds = ended.duration_since(begun).as_secs_f64();
        if seconds <= 0.0 { seconds + 86_400.0 } else { seconds }
    }))
}

fn read_fullness(name: &'static str, text: &str, usual: Fullness) -> Result<Fullness, OfField> {
    match text.to_lowercase().as_str() {
        "" => return Ok(usual),
        "full" => return Ok(Fullness::Full),
        "cut-off" | "cut off" | "cutoff" | "empty" => return Ok(Fullness::CutOff),
        _ => {}
    }
    if let Ok(read) = read_quantity(text, Quantity::Share)
        && (0.0..=1.0).contains(&read.si)
    {
        return Ok(Fullness::Shown(read.si));
    }
    read_quantity(text, Quantity::Voltage).map(|read| Fullness::RestVolts(read.si)).map_err(|_| {
        (name, format!("\"{text}\": write full, cut-off, a share (20 %) or rest volts (48.6 V)"))
    })
}
