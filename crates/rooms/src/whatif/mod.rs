//! What is tried on a page and not kept: the changes of the query, the boat with them, what they
//! differ in, and the sliders that make them. Not for: keeping them (`pages::keep`).

mod sliders;
pub mod stock;

pub use sliders::{
    Slider, USUAL_MONTH, USUAL_YEARS, cells_slider, counted, in_units, month_slider, own, placed, sized,
    standing_of, worded, years_slider,
};

use wakewright_core::field;
use wakewright_records::boat::{
    BoatDocument, Change as Restated, Fault, Row, Severity, build_spec, field_named, nominal_cell_voltage_v,
};

use crate::boats::Loaded;

/// Most changes that are tried at once; a page has fewer sliders.
const MOST_CHANGES: usize = 24;

/// The address by which all packs of the drive are changed together.
pub const ALL_CELLS: &str = field::pack::CELLS_IN_SERIES;

/// A boat with what is tried on her.
#[derive(Debug)]
pub struct Tried {
    /// Her with the changes; as she is kept when they cannot be.
    pub loaded: Loaded,
    /// The changes, those that change nothing left out.
    pub changes: Vec<Change>,
    /// Why the changes cannot be, in words; empty when they can.
    pub faults: Vec<Fault>,
    /// What only the page knows, as in the query: throttle, month, years.
    pub own: Vec<(String, String)>,
}

/// One thing that is tried.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// Address in the document, or [`ALL_CELLS`].
    pub address: String,
    /// In words.
    pub label: &'static str,
    /// As kept.
    pub from: String,
    /// As tried.
    pub to: String,
}

impl Change {
    /// As it stands in a query.
    #[must_use]
    pub fn to_set(&self) -> String {
        format!("{}={}", self.address, self.to)
    }
}

impl Tried {
    /// `kept` with the changes `sets` (`propeller.pitch=11 in`), and what only the page knows.
    #[must_use]
    pub fn new<'q>(kept: &Loaded, sets: impl Iterator<Item = &'q str>, own: Vec<(String, String)>) -> Self {
        let changes = changes_of(&kept.document, sets);
        let as_kept =
            |faults| Self { loaded: kept.clone(), changes: changes.clone(), faults, own: own.clone() };
        if changes.is_empty() {
            return as_kept(Vec::new());
        }
        let tried = kept.document.with_changes(&assignments(&kept.document, &changes));
        let tried = tried.and_then(|document| Ok((build_spec(&document)?, document)));
        match tried {
            Ok((spec, document)) => {
                let loaded = Loaded { spec, document, ..kept.clone() };
                Self { loaded, changes, faults: Vec::new(), own }
            }
            Err(faults) => {
                as_kept(faults.into_iter().filter(|fault| fault.severity == Severity::Error).collect())
            }
        }
    }

    /// The same changes, refused for `why`: she stands as she is kept.
    #[must_use]
    pub fn refused(self, kept: &Loaded, why: String) -> Self {
        let fault = Fault {
            line: 0,
            column: 0,
            field: String::new(),
            found: String::new(),
            problem: why,
            advice: String::new(),
            severity: Severity::Error,
            also: Vec::new(),
        };
        Self { loaded: kept.clone(), faults: vec![fault], ..self }
    }

    /// Whether what is shown differs from what is kept.
    #[must_use]
    pub fn differs(&self) -> bool {
        self.faults.is_empty() && !self.changes.is_empty()
    }
}

/// The lines of the document that the changes stand for.
fn assignments(document: &BoatDocument, changes: &[Change]) -> Vec<Restated> {
    let mut lines = Vec::new();
    for change in changes {
        if change.address != ALL_CELLS {
            lines.push(Restated::new(&change.address, &change.to));
            continue;
        }
        for pack in document.rows(field::pack::SECTION).into_iter().filter(Row::is_of_drive) {
            // The printed voltage is that of the cells that were there.
            let voltage = pack.address_of(field::pack::VOLTAGE);
            if document.typed(&voltage).is_some() {
                lines.push(Restated::new(&voltage, ""));
            }
            lines.push(Restated::new(&pack.address_of(field::pack::CELLS_IN_SERIES), &change.to));
        }
    }
    lines
}

/// The changes as an alternative of the document states them: the voltage of a bank with other cells is
/// written, since an alternative cannot leave a line out.
#[must_use]
pub fn as_alternative(document: &BoatDocument, changes: &[Change]) -> Vec<Restated> {
    let cells =
        changes.iter().find(|change| change.address == ALL_CELLS).and_then(|c| c.to.parse::<f64>().ok());
    let restated =
        |line: Restated| match line.address.strip_suffix(".voltage").filter(|_| line.text.is_empty()) {
            None => Some(line),
            Some(pack) => {
                let cells_in_it = document.chosen(&field::in_row(pack, field::pack::CHEMISTRY))?;
                let cell_v = nominal_cell_voltage_v(cells_in_it);
                Some(Restated::new(&line.address, &format!("{:.1} V", cell_v * cells?)))
            }
        };
    assignments(document, changes).into_iter().filter_map(restated).collect()
}

/// What stands in the document at `address`, or its usual value.
#[must_use]
pub fn kept_text(document: &BoatDocument, address: &str) -> Option<String> {
    if address == ALL_CELLS {
        let pack = document.rows(field::pack::SECTION).into_iter().find(Row::is_of_drive)?;
        return pack.integer(field::pack::CELLS_IN_SERIES).map(|cells| cells.to_string());
    }
    let usual =
        || document.choice(address).map(str::to_owned).or_else(|| document.number(address).map(|n| n.text));
    document.typed(address).map(str::to_owned).or_else(usual)
}

fn changes_of<'q>(document: &BoatDocument, sets: impl Iterator<Item = &'q str>) -> Vec<Change> {
    let mut changes: Vec<Change> = Vec::new();
    for set in sets.filter(|set| !set.is_empty()).take(MOST_CHANGES) {
        let Some((address, to)) = set.split_once('=') else { continue };
        let (address, to) = (address.trim(), to.trim());
        let Some(field) = field_named(address) else { continue };
        for (address, to) in document.as_typed(address, to) {
            let label = field_named(&address).map_or(field.label, |field| field.label);
            let from = kept_text(document, &address).unwrap_or_default();
            changes.retain(|change| change.address != address);
            if from != to && !to.is_empty() {
                changes.push(Change { address, label, from, to });
            }
        }
    }
    changes
}
