//! Trials: the list of a boat's, and one of them, put together for its page.
//! Not for: reading logs or judging runs (`wakewright_rooms::trials`), computing.

mod act;
mod band;
mod causes;
mod causes_parts;
mod change;
mod field;
mod logs;
mod mapping;
mod notebook;
mod one;
mod runs;

pub use causes::{
    brief as causes_brief, contents as causes, opened, part as causes_part, submit as submit_causes,
};
pub use change::{draft, submit};
pub use logs::{UPLOAD_LIMIT_BYTES, UPLOAD_TIME, Upload, bring_in, sweep_left_over};
pub use one::{contents, live_parts};

use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use maud::html;
use wakewright_core::caution::of_trials;
use wakewright_logs::NotebookCell;
use wakewright_logs::trial::{TrialAddress, TrialDocument};
use wakewright_rooms::text::Paper;
use wakewright_store::{Boat, Store, Trial};
use wakewright_units::UnitSystem;

use self::field::id_of;
use crate::address;
use crate::error::WebError;
use crate::pages::boat::AboutBoat;
use crate::parts;
use crate::query::Query;
use crate::state::{Site, now};
use wakewright_rooms::boats::{Loaded, understand};
use wakewright_rooms::moment;
use wakewright_rooms::trial::trial_finding;
use wakewright_rooms::trials::{KeptTrial, LogShelf, TrialError, document_of, samples_csv};

/// Logs of trials on a list are read up to this size together; beyond, a trial is only named.
const READ_FOR_LIST_BYTES: u64 = 16_000_000;

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

/// The list.
///
/// # Errors
/// There is no such boat, or the store fails.
pub fn list(site: &Site, slug: &str) -> Result<AboutBoat, WebError> {
    let store = site.store();
    let entry = store.find_by_slug(slug)?;
    let trials = store.trials(entry.id)?;
    let removed = store.removed_trials(entry.id)?;
    let mut left_bytes = READ_FOR_LIST_BYTES;
    let mut lines = Vec::new();
    for trial in trials.iter().rev() {
        lines.push((trial, line(&store, site.shelf(), &entry, trial, &mut left_bytes)?));
    }
    let to = |rest: &str| address::of_boat(slug, rest);
    let body = html! {
        h1.sentence {
            @match trials.len() {
                0 => { "No trial of " (entry.name) " yet. Bring in a log, or write down runs as they are made." }
                1 => { (entry.name) " has been tried " strong { "once" } "." }
                count => { (entry.name) " has been tried " strong { (count) " times" } "." }
            }
        }
        p.under-sentence { "Two runs for each setting, one with the stream and one against it; three minutes each, straight, at one throttle setting." }
        form.buttons method="post" action=(to("trials")) {
            button.main { "Write down runs" }
        }
        (parts::cautions_for("Before she runs", &of_trials()))
        @if !lines.is_empty() {
            ol.trials {
                @for (trial, line) in &lines {
                    li {
                        h2 { a href=(of_trial(slug, trial.number, "")) { (line.label) } }
                        p { (line.sentence) }
                        p.aside { "Trial " (trial.number) "; " (line.what) ", changed " (moment::local(trial.changed)) "." }
                        form.inline method="post" action=(of_trial(slug, trial.number, "/remove")) {
                            button.small { "Take it off the list" span.visually-hidden { ": " (line.label) } }
                        }
                    }
                }
            }
        }
        h2 { "Bring in logs" }
        (logs::upload_form(slug, None))
        @if !removed.is_empty() {
            h2 { "Removed" }
            p.aside { "Everything of theirs is kept." }
            ul.plain { @for trial in &removed { li {
                @let label = document_of(trial).map_or_else(|_| format!("trial {}", trial.number), |d| d.label());
                form.inline method="post" action=(of_trial(slug, trial.number, "/reinstate")) {
                    (label) " " button.small { "Reinstate" span.visually-hidden { " " (label) } }
                }
            } } }
        }
    };
    drop(store);
    Ok(AboutBoat { entry, body })
}

/// What the list says of a trial.
struct Line {
    label: String,
    sentence: String,
    what: String,
}

fn line(
    store: &Store,
    shelf: &LogShelf,
    boat: &Boat,
    trial: &Trial,
    left_bytes: &mut u64,
) -> Result<Line, WebError> {
    let document = match document_of(trial) {
        Ok(document) => document,
        Err(error) => {
            return Ok(Line {
                label: format!("trial {}", trial.number),
                sentence: format!("{error}."),
                what: "unread".to_owned(),
            });
        }
    };
    let bytes: u64 = store.logs(trial.id)?.iter().map(|log| log.plain_bytes).sum();
    let sentence = if bytes <= *left_bytes {
        *left_bytes -= bytes;
        let kept = KeptTrial::load(store, shelf, boat.id, trial.number, None)?;
        if kept.document.notebook.is_empty() && kept.document.logs.is_empty() {
            "Nothing is written down yet.".to_owned()
        } else {
            trial_finding(&kept.facts(&sheet()), &sheet()).sentence
        }
    } else {
        "Its logs are large; open it to have them read.".to_owned()
    };
    let count = |number: usize, one: &str, many: &str| match number {
        0 => format!("no {many}"),
        1 => format!("one {one}"),
        number => format!("{number} {many}"),
    };
    let what = format!(
        "{}, {}",
        count(document.logs.len(), "log", "logs"),
        count(document.notebook.len(), "written run", "written runs")
    );
    Ok(Line { label: document.label(), sentence, what })
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
    let trial = store.enter_trial(entry.id, &document.to_json(), &[], now())?;
    Ok(of_trial(slug, trial.number, &format!("#{}", id_of(&TrialAddress::Cell(0, NotebookCell::Direction)))))
}

/// Takes a trial off the list, or puts it back; gives the address of the list.
///
/// # Errors
/// There is no such trial, or the store fails.
pub fn shelve(site: &Site, slug: &str, number: u32, is_removed: bool) -> Result<String, WebError> {
    let mut store = site.store();
    let entry = store.find_by_slug(slug)?;
    let trial = store.trial(entry.id, number)?;
    if is_removed {
        store.remove_trial(trial.id, now())?;
        return Ok(address::of_boat(slug, "trials"));
    }
    store.reinstate_trial(trial.id)?;
    Ok(of_trial(slug, number, ""))
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
