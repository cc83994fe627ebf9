//! What takes long on the page of a room: begun behind it, how far it is, stopped. Not for: what it finds.

use std::sync::Arc;

use maud::{Markup, html};
use wakewright_rooms::room::{Answer, AnyRoom, Asked, Watch};
use wakewright_rooms::whatif::Tried;

use super::{Door, asked, tried};
use crate::address;
use crate::job::{End, Job};
use crate::parts;
use crate::query::Query;
use crate::state::{BoatOnPage, Site};

/// What an answer was asked, in one line.
fn line_of(room: &dyn AnyRoom, tried: &Tried) -> String {
    format!("{}?{}", room.card().key, parts::query_of(tried))
}

impl Door<'_> {
    /// The long work that the address names, where it is about her as she is kept.
    fn job(&self) -> Option<Arc<Job>> {
        let job = self.site.jobs().find(self.boat.entry.id, self.query.get("job")?)?;
        (job.revision == self.boat.revision.head.number).then_some(job)
    }

    /// What it found, where the same is asked now.
    pub(super) fn found_at_length(&self, tried: &Tried) -> Option<Arc<Answer>> {
        match self.job()?.end()? {
            End::Answered(line, answer) if line == line_of(self.room, tried) => Some(answer),
            _ => None,
        }
    }

    /// The way to look for `what`: a button, how far it is once it was pressed, or that it was stopped. A script presses it
    /// by itself.
    pub(super) fn way_to_look(&self, what: &str, tried: &Tried) -> Markup {
        let (here, slug) = (self.address(), &self.boat.entry.slug);
        let job = self.job();
        let end = job.as_ref().and_then(|job| job.end());
        let progress = job.as_ref().map(|job| job.progress()).filter(|_| end.is_none());
        let is_stopped = matches!(end, Some(End::Stopped | End::Failed));
        let is_gone = job.is_none() && self.query.get("job").is_some();
        let name = job.as_ref().map_or("", |job| job.name.as_str());
        let query = Query::parse(parts::query_of(tried).as_bytes());
        html! {
            form.longer method="post" action=(format!("{here}/longer")) data-longer=(address::of_boat(slug, "search/progress"))
                data-job=[progress.map(|_| name)] data-stopped[is_stopped] {
                @for (name, value) in query.pairs() { input type="hidden" name=(name) value=(value); }
                @if is_stopped { p role="status" { "Looking for " (what) " was stopped." } }
                @else if is_gone {
                    p role="status" { "As much is being looked for as may at one time, or it is no longer held. Ask again." }
                }
                button hidden[progress.is_some()] { "Look for " (what) }
                div.running hidden[progress.is_none()] {
                    @if progress.is_some() { noscript { meta http-equiv="refresh" content="2"; } }
                    p id="longer-words" role="status" {
                        "Looking for " (what) ". " span { (progress.map_or_else(String::new, |progress| progress.words())) }
                    }
                    progress value=(progress.map_or(0, |progress| progress.done)) max=(progress.map_or(1, |progress| progress.total.max(1)))
                        aria-labelledby="longer-words" {}
                    button name="job" value=(name) formaction=(format!("{here}/longer/stop")) { "Stop" }
                }
            }
        }
    }
}

/// Begins the whole answer to a form; none when as much runs as may.
pub fn begin(site: &Site, room: &'static dyn AnyRoom, boat: BoatOnPage, form: &Query) -> Option<Arc<Job>> {
    let about = (boat.entry.id, boat.revision.head.number);
    let (tried, paper) = (tried(room, &boat.loaded, form), parts::paper());
    let work = move |watch: &Watch<'_>| {
        let samples = room.card().samples.settled;
        let asked = Asked { is_thorough: true, watch: Some(watch), ..asked(room, &boat, &tried, samples) };
        let answer = room.answer(&asked, None, &paper).ok()?;
        Some(End::Answered(line_of(room, &tried), Arc::new(answer)))
    };
    site.jobs().begin(about, 1, work)
}

/// The page of `room` with what a form asks and the work of that name.
pub fn address_of(room: &'static dyn AnyRoom, boat: &BoatOnPage, form: &Query, job: &str) -> String {
    let query = parts::query_of(&tried(room, &boat.loaded, form));
    address::of_boat(&boat.entry.slug, &format!("{}?{query}&job={job}", room.card().key))
}
