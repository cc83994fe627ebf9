//! Fields that cannot be true together, or hardly. Each check names the fields and what to do.
//!
//! Limits are plausibility, common practice, no source unless said otherwise.
//! Not for: limits of one field alone (those are its descriptor's).

mod controls;
mod drive;
mod energy;
mod hull;
mod propeller;
mod towed;
mod wiring;

pub use drive::nominal_cell_voltage_v;

use super::document::BoatDocument;
use super::fault::{Fault, Severity};

/// Every contradiction of `document`.
pub(crate) fn check_contradictions(document: &BoatDocument) -> Vec<Fault> {
    let mut checks = Checks { document, faults: Vec::new() };
    hull::check(&mut checks);
    propeller::check(&mut checks);
    drive::check(&mut checks);
    energy::check(&mut checks);
    wiring::check(&mut checks);
    controls::check(&mut checks);
    checks.faults
}

/// What a check reads and where it leaves what it found.
struct Checks<'a> {
    document: &'a BoatDocument,
    faults: Vec<Fault>,
}

impl Checks<'_> {
    /// SI value at `address`, stated or usual.
    fn value(&self, address: &str) -> Option<f64> {
        self.document.number(address).map(|stated| stated.value_si)
    }

    /// SI value at `address` if it is written.
    fn written(&self, address: &str) -> Option<f64> {
        self.document.stated_number(address).map(|stated| stated.value_si)
    }

    fn error(&mut self, fields: &[&str], problem: String, advice: &str) {
        self.add(Severity::Error, fields, problem, advice);
    }

    fn doubt(&mut self, fields: &[&str], problem: String, advice: &str) {
        self.add(Severity::Doubt, fields, problem, advice);
    }

    /// A fault at the first of `fields` that is written; the others are named with it.
    fn add(&mut self, severity: Severity, fields: &[&str], problem: String, advice: &str) {
        let main = fields
            .iter()
            .find(|field| self.document.entry(field).is_some())
            .or_else(|| fields.iter().find(|field| self.document.line(field).is_some()))
            .or(fields.first());
        let Some(main) = main else { return };
        let (line, column, found) = match self.document.entry(main) {
            Some(entry) => (entry.line, entry.column, format!("\"{}\"", entry.text)),
            None => (self.document.line(main).unwrap_or(1), 1, String::new()),
        };
        self.faults.push(Fault {
            line,
            column,
            field: (*main).to_owned(),
            found,
            problem,
            advice: advice.to_owned(),
            severity,
            also: fields
                .iter()
                .filter(|field| *field != main)
                .map(|field| ((*field).to_owned(), self.document.line(field).unwrap_or(0)))
                .collect(),
        });
    }
}
