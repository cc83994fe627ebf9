//! Getting hold of a boat: from a file, with changes typed on the command line.
//! Not for: what the document means.

use std::path::Path;

use wakewright_core::boat::BoatSpec;
use wakewright_records::boat::{BoatDocument, Fault, all_fields, build_spec, field_named, render_faults};
use wakewright_units::nearest;

/// A boat, read and understood.
#[derive(Debug)]
pub struct Loaded {
    /// Her name.
    pub name: String,
    /// The document.
    pub document: BoatDocument,
    /// The boat of the computation.
    pub spec: BoatSpec,
    /// Where the document came from, for messages.
    pub place: String,
}

/// Why a boat could not be had.
#[derive(Debug)]
pub enum LoadError {
    /// The file could not be read.
    Unreadable(String),
    /// The document has faults.
    Faulty {
        /// All of them.
        faults: Vec<Fault>,
        /// The text they stand in.
        text: String,
        /// Where it came from.
        place: String,
    },
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

/// The boat in the file `place`, with `changes` (`field=value`) made to the document first.
/// # Errors
/// [`LoadError`] with everything that is wrong.
pub fn load(place: &str, changes: &[String]) -> Result<Loaded, LoadError> {
    let path = Path::new(place);
    let text = std::fs::read_to_string(path).map_err(|error| {
        let what = match error.kind() {
            std::io::ErrorKind::NotFound => "there is no such file; `wakewright new` writes one".to_owned(),
            std::io::ErrorKind::InvalidData => {
                "this is no text file; a boat document is TOML in UTF-8".to_owned()
            }
            _ => error.to_string(),
        };
        LoadError::Unreadable(format!("{place}: {what}"))
    })?;
    understand(&text, place, changes)
}

/// The boat that `text` describes.
/// # Errors
/// [`LoadError::Faulty`] with every fault.
pub fn understand(text: &str, place: &str, changes: &[String]) -> Result<Loaded, LoadError> {
    let faulty = |faults: Vec<Fault>, text: &str| LoadError::Faulty {
        faults,
        text: text.to_owned(),
        place: place.to_owned(),
    };
    let mut document = BoatDocument::parse(text).map_err(|faults| faulty(faults, text))?;
    // Changes may only make sense together (cells and voltage): judged when all are made.
    for change in changes {
        let Some((field, value)) = change.split_once('=') else {
            let example = "--set propeller.pitch=\"11 in\"";
            return Err(LoadError::Unreadable(format!(
                "--set {change}: write field=value, for example {example}"
            )));
        };
        if let Some(advice) = unknown_field(field.trim()) {
            return Err(LoadError::Unreadable(format!("--set {change}: {advice}")));
        }
        match document.set_lenient(field.trim(), value.trim()) {
            (Some(changed), _) if changed.to_toml() != document.to_toml() => document = changed,
            (_, faults) if faults.is_empty() => {}
            (_, faults) => return Err(faulty(faults, document.to_toml())),
        }
    }
    if !changes.is_empty() {
        let changed = document.to_toml().to_owned();
        document = BoatDocument::parse(&changed).map_err(|faults| faulty(faults, &changed))?;
    }
    let spec = build_spec(&document).map_err(|faults| faulty(faults, document.to_toml()))?;
    let name = document.text("boat.name").unwrap_or("she").to_owned();
    Ok(Loaded { name, document, spec, place: place.to_owned() })
}
