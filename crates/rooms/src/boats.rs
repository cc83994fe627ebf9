//! Getting hold of a boat: from a file or the store, with changes typed on the command line.
//! Not for: what the document means.

use std::path::Path;
use wakewright_core::field;

use wakewright_core::boat::BoatSpec;
use wakewright_core::energy::HouseLoad;
use wakewright_records::boat::{
    BoatDocument, Fault, all_fields, build_spec, field_named, house_loads, read_document_file, render_faults,
};
use wakewright_records::dated::PLACE_KIND;
use wakewright_store::{Record, Store, StoreError, default_path};
use wakewright_units::nearest;

/// A boat, read and understood.
#[derive(Debug, Clone)]
pub struct Loaded {
    /// Her name.
    pub name: String,
    /// The document.
    pub document: BoatDocument,
    /// The boat of the computation.
    pub spec: BoatSpec,
    /// Where the document came from, for messages.
    pub place: String,
    /// Changes that were read otherwise than they were typed: a bare number with its field's unit.
    pub read_as: Vec<String>,
    /// Dated records of her, where she is one of the store.
    pub records: Vec<Record>,
    /// Places of all boats of the store, which rooms find by name; why they cannot be read, where that is so.
    pub shop_places: Result<Vec<Record>, String>,
}

/// Why a boat could not be had.
#[derive(Debug, thiserror::Error)]
pub enum LoadError {
    /// There is no text to read, or a change is not written as one.
    #[error("{0}")]
    Unreadable(String),
    /// The document has faults.
    #[error("{}", self.message())]
    Faulty {
        /// All of them.
        faults: Vec<Fault>,
        /// The text they stand in.
        text: String,
        /// Where it came from.
        place: String,
    },
}

impl Loaded {
    /// What stands above every answer: changes that were read otherwise than typed, values of the document with
    /// two readings; empty when there are none.
    #[must_use]
    pub fn doubts_text(&self) -> String {
        let said: String = self.read_as.iter().map(|line| format!("{line}\n")).collect();
        let doubtful = self.document.doubtful_values();
        if doubtful.is_empty() {
            return said;
        }
        said + &render_faults(&doubtful, self.document.to_toml(), &self.place)
    }
}

/// Whether her document says where she lies, which sun and year need.
#[must_use]
pub fn has_place(boat: &Loaded) -> bool {
    boat.document.typed(field::place::LATITUDE).is_some()
}

/// Her loads by the hour of the day; none where her standing load is stated, which runs all the time.
#[must_use]
pub fn loads_by_hour(boat: &Loaded) -> Vec<HouseLoad> {
    let is_by_hour = boat.spec.fittings.has_load_from_hours;
    if is_by_hour { house_loads(&boat.document, &boat.spec) } else { Vec::new() }
}

/// Temperature of the water that she lies in, as her document has it, else 15 °C \[K\].
#[must_use]
pub fn water_k(boat: &Loaded) -> f64 {
    boat.document.number(field::sea::WATER_TEMPERATURE).map_or(288.15, |stated| stated.value_si)
}

impl LoadError {
    /// In words, with line, field, what is wrong and what to do.
    #[must_use]
    pub fn message(&self) -> String {
        match self {
            Self::Unreadable(message) => format!("{message}\n"),
            Self::Faulty { faults, text, place } => {
                let errors = faults.iter().filter(|f| is_error(f)).count();
                let lines = render_faults(faults, text, place);
                format!("{lines}\n{errors} fault{} in {place}; nothing was computed.\n", plural(errors))
            }
        }
    }
}

fn is_error(fault: &Fault) -> bool {
    fault.severity == wakewright_records::boat::Severity::Error
}

fn plural(count: usize) -> &'static str {
    if count == 1 { "" } else { "s" }
}

/// Volts of her bank at rest and nearly full, for examples of what is typed.
#[must_use]
pub fn example_volts(boat: &Loaded) -> f64 {
    const NEARLY_FULL: f64 = 0.9;
    boat.spec.boat.bank.groups.first().map_or(50.0, |group| group.rest_v(NEARLY_FULL))
}

/// What to say when there is no field of this address (`pack[2].capacity` counts as `pack.capacity`).
#[must_use]
pub fn unknown_field(address: &str) -> Option<String> {
    let (section, name) = address.split_once('.').unwrap_or((address, ""));
    let key = format!("{}.{name}", section.split_once('[').map_or(section, |(plain, _)| plain));
    if field_named(&key).is_some() {
        return None;
    }
    let near = nearest(&key, all_fields().map(|field| field.key));
    let hint = near.map_or(String::new(), |near| format!("; did you mean {near}?"));
    Some(format!("there is no field {address}{hint} `wakewright fields` lists them all."))
}

/// The boat at `place`, with `changes` (`field=value`) made to the document first. A path that exists
/// wins; anything else is the name of a boat in the store.
/// # Errors
/// [`LoadError`] with everything that is wrong.
pub fn load(place: &str, changes: &[String]) -> Result<Loaded, LoadError> {
    if Path::new(place).exists() {
        let shop_places = places_of_default_store();
        return Ok(Loaded { shop_places, ..understand(&read_file(place)?, place, changes)? });
    }
    let (text, records, shop_places) = read_from_store(place)?;
    Ok(Loaded { records, shop_places: Ok(shop_places), ..understand(&text, place, changes)? })
}

/// Places of every boat of the default store; none where there is no store.
/// # Errors
/// Why they cannot be read.
pub fn places_of_default_store() -> Result<Vec<Record>, String> {
    let Some(path) = default_path().ok().filter(|path| path.exists()) else { return Ok(Vec::new()) };
    let places = Store::open_to_read(path).and_then(|store| store.records_of_all(PLACE_KIND));
    places.map_err(|error| error.to_string())
}

fn read_file(place: &str) -> Result<String, LoadError> {
    read_document_file(Path::new(place)).map_err(|why| LoadError::Unreadable(format!("{place}: {why}")))
}

/// A document with her records, and the places of all.
type FromStore = (String, Vec<Record>, Vec<Record>);

/// The latest revision of the boat called `name` with what the store has beside it; a store is not made for the asking.
fn read_from_store(name: &str) -> Result<FromStore, LoadError> {
    let nowhere = |hint: &str| {
        let what = "there is no such file, and no boat of that name in the store";
        LoadError::Unreadable(format!("{name}: {what}. {hint}"))
    };
    let new = "`wakewright new` writes a document; `wakewright boats` lists the store.";
    let path = default_path().map_err(|_| nowhere(new))?;
    if !path.exists() {
        return Err(nowhere(new));
    }
    let failed = |error: StoreError| LoadError::Unreadable(format!("{name}: {error}"));
    let store = Store::open_to_read(path).map_err(failed)?;
    match store.find(name) {
        Ok(boat) => {
            let records = store.all_records(boat.id).map_err(failed)?;
            let places = store.records_of_all(PLACE_KIND).map_err(failed)?;
            Ok((store.latest(boat.id).map_err(failed)?.text, records, places))
        }
        Err(StoreError::NoSuchBoat { near, .. }) if near.is_empty() => Err(nowhere(new)),
        Err(StoreError::NoSuchBoat { near, .. }) => {
            Err(nowhere(&format!("Did you mean {}?", near.join(" or "))))
        }
        Err(error) => Err(failed(error)),
    }
}

/// The boat that `text` describes.
/// # Errors
/// [`LoadError::Faulty`] with every fault.
pub fn understand(text: &str, place: &str, changes: &[String]) -> Result<Loaded, LoadError> {
    let read_from = if changes.is_empty() { place.to_owned() } else { format!("{place} with --set") };
    let faulty = |faults: Vec<Fault>, text: &str| LoadError::Faulty {
        faults,
        text: text.to_owned(),
        place: read_from.clone(),
    };
    let mut document = match changes {
        [] => BoatDocument::parse(text).map_err(|faults| faulty(faults, text))?,
        // A change may mend what is wrong in the text.
        _ => match BoatDocument::parse_lenient(text) {
            (Some(document), _) => document,
            (None, faults) => return Err(faulty(faults, text)),
        },
    };
    let written = document.clone();
    let mut read_as = Vec::new();
    // Changes may only make sense together (cells and voltage): judged when all are made.
    for change in changes {
        let Some((field, value)) = change.split_once('=') else {
            let example = "--set reduction.ratio=3:1";
            return Err(LoadError::Unreadable(format!(
                "--set {change}: write field=value, for example {example}"
            )));
        };
        if let Some(advice) = unknown_field(field.trim()) {
            return Err(LoadError::Unreadable(format!("--set {change}: {advice}")));
        }
        for (field, text) in written.as_typed(field.trim(), value) {
            if text != value.trim() {
                read_as.push(format!("--set {change}: read as {field} = {text}"));
            }
            match document.set_lenient(&field, &text) {
                (Some(changed), _) if changed.to_toml() != document.to_toml() => document = changed,
                // The value that she has already.
                (_, faults) if !faults.iter().any(is_error) => {}
                (_, faults) => return Err(faulty(faults, document.to_toml())),
            }
        }
    }
    if !changes.is_empty() {
        let changed = document.to_toml().to_owned();
        document = BoatDocument::parse(&changed).map_err(|faults| faulty(faults, &changed))?;
        let doubtful = document.doubtful_since(Some(&written));
        if !doubtful.is_empty() {
            return Err(faulty(doubtful, &changed));
        }
    }
    let spec = build_spec(&document).map_err(|faults| faulty(faults, document.to_toml()))?;
    let name = document.text(field::boat::NAME).unwrap_or("she").to_owned();
    Ok(Loaded {
        name,
        document,
        spec,
        place: place.to_owned(),
        read_as,
        records: Vec::new(),
        shop_places: Ok(Vec::new()),
    })
}
