//! Trials: the list of a boat's, and one of them, put together for its page.
//! Not for: reading logs or judging runs (`wakewright_rooms::trials`), computing.

mod act;
mod band;
mod causes;
mod causes_act;
mod causes_found;
mod causes_parts;
mod change;
mod field;
mod list;
mod log_list;
mod logs;
mod mapping;
mod mapping_typed;
mod marks;
mod notebook;
mod one;
mod passing;
mod runs;

pub use causes::{brief as causes_brief, contents as causes, opened, part as causes_part};
pub use causes_act::submit as submit_causes;
pub use causes_found::hold;
pub use change::{draft, submit};
pub use list::{list, story};
pub use logs::bring_in;
pub use one::{contents, live_parts};
pub use passing::{UPLOAD_LIMIT_BYTES, UPLOAD_TIME, Upload, sweep_left_over};

use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use wakewright_logs::NotebookCell;
use wakewright_logs::trial::{TrialAddress, TrialDocument};
use wakewright_rooms::text::Paper;
use wakewright_store::{Boat, Store, TRIAL_KIND};
use wakewright_units::UnitSystem;

use self::field::id_of;
use crate::address;
use crate::error::WebError;
use crate::parts;
use crate::query::Query;
use crate::state::{Site, now};
use wakewright_rooms::boats::{Loaded, understand};
use wakewright_rooms::moment;
use wakewright_rooms::trials::{KeptTrial, LogShelf, TrialError, samples_csv};

impl From<TrialError> for WebError {
    fn from(error: TrialError) -> Self {
        match error {
            TrialError::Store(error) => Self::Store(error),
            TrialError::NobodyWaits => Self::BrokenOff,
            other => Self::BadRequest(format!("{other}")),
        }
    }
}

/// A trial with the boat that made it.
#[derive(Debug)]
pub struct OnTrial {
    /// The boat's entry.
    pub entry: Boat,
    /// Number of her latest revision.
    pub revision: u32,
    /// She as that has her; `None` while her document has faults.
    pub loaded: Option<Loaded>,
    /// The trial.
    pub kept: KeptTrial,
}

impl OnTrial {
    /// Trial `number` of the boat of this slug.
    ///
    /// # Errors
    /// There is no such boat or trial, or the trial cannot be read.
    pub fn load(site: &Site, slug: &str, number: u32) -> Result<Self, WebError> {
        Self::load_from(&site.store(), site.shelf(), slug, number)
    }

    /// The same of a store that is held.
    ///
    /// # Errors
    /// As [`Self::load`].
    pub fn load_from(store: &Store, shelf: &LogShelf, slug: &str, number: u32) -> Result<Self, WebError> {
        let entry = store.find_by_slug(slug)?;
        let revision = store.latest(entry.id)?;
        let loaded = understand(&revision.text, &entry.name, &[]).ok();
        let about = loaded.as_ref().map(|loaded| (&loaded.document, &loaded.spec));
        let kept = KeptTrial::load(store, shelf, entry.id, number, about)?;
        Ok(Self { entry, revision: revision.head.number, loaded, kept })
    }

    /// An address about this trial.
    #[must_use]
    pub fn address(&self, rest: &str) -> String {
        of_trial(&self.entry.slug, self.kept.trial.number, rest)
    }
}

/// An address about a trial.
#[must_use]
pub fn of_trial(slug: &str, number: u32, rest: &str) -> String {
    address::of_boat(slug, &format!("trials/{number}{rest}"))
}

/// Begins a trial without logs; gives its address.
///
/// # Errors
/// There is no such boat, or the store fails.
pub fn begin(site: &Site, slug: &str, _form: &Query) -> Result<String, WebError> {
    let mut store = site.store();
    let entry = store.find_by_slug(slug)?;
    let mut document = TrialDocument::default();
    document.date = moment::local(now()).chars().take(10).collect();
    let trial = store.enter_record(entry.id, TRIAL_KIND, &document.to_json(), &[], now())?;
    Ok(of_trial(slug, trial.number, &format!("#{}", id_of(&TrialAddress::Cell(0, NotebookCell::Direction)))))
}

/// Takes a trial off the list, or puts it back; gives the address of the list.
///
/// # Errors
/// There is no such trial, or the store fails.
pub fn shelve(site: &Site, slug: &str, number: u32, is_removed: bool) -> Result<String, WebError> {
    let mut store = site.store();
    let entry = store.find_by_slug(slug)?;
    let trial = store.record(entry.id, TRIAL_KIND, number)?;
    store.shelve_record(trial.id, is_removed.then(now))?;
    Ok(if is_removed { address::of_boat(slug, "trials") } else { of_trial(slug, number, "") })
}

/// The joined samples as a table, or the trial's own document.
///
/// # Errors
/// There is no such trial.
pub fn download(site: &Site, slug: &str, number: u32, is_table: bool) -> Result<Response, WebError> {
    let on = OnTrial::load(site, slug, number)?;
    let (kind, ending, text) = if is_table {
        ("text/csv; charset=utf-8", "csv", samples_csv(&on.kept.reading, UnitSystem::Trade))
    } else {
        ("application/json", "json", on.kept.document.to_json())
    };
    let name: String = on.entry.slug.chars().filter(char::is_ascii_alphanumeric).collect();
    let disposition = format!("attachment; filename=\"{name}-trial-{number}.{ending}\"");
    Ok(([(CONTENT_TYPE, kind.to_owned()), (CONTENT_DISPOSITION, disposition)], text).into_response())
}

/// A sheet to write on.
fn sheet() -> Paper {
    parts::paper()
}
