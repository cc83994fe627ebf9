//! The Search page: a form of what may change and must hold, the search behind it with its progress, the
//! front that it found, and the way of a candidate into her document. Not for: searching, drawing.

mod form;
mod front;
mod wish;

use std::sync::Arc;

use maud::{Markup, html};
use wakewright_core::notice::{Notice, Severity};
use wakewright_core::search::{Candidate, Keep, Outcome};
use wakewright_records::boat::{Alternative, BoatDocument};
use wakewright_rooms::room::{Answer, Asked, Block, Watch, answer_of};
use wakewright_rooms::sampling::DEFAULT_SEED;
use wakewright_rooms::search::{Searching, Wish, WishFault, changes_of, mass_words, run};
use wakewright_rooms::sentence::capitalised;
use wakewright_rooms::sheets::{answer_csv, answer_json, titled_of};
use wakewright_rooms::text::Finding;
use wakewright_rooms::text::Paper;
use wakewright_units::format_number;

use crate::address;
use crate::error::WebError;
use crate::job::{End, Job};
use crate::pages::keep::{free_name, save, sound_text};
use crate::parts::{self, SETTLED_SAMPLES};
use crate::query::Query;
use crate::state::{BoatOnPage, Site};
use crate::visitor::Visitor;

/// What comes of a form.
#[derive(Debug)]
pub enum Sent {
    /// It was done; the address to show next.
    Done(String),
    /// The page again, with the form as typed.
    Again(Markup),
}

/// The contents of the page.
///
/// # Errors
/// The store fails.
pub fn contents(
    site: &Site,
    boat: &BoatOnPage,
    query: &Query,
    visitor: &Visitor,
) -> Result<Markup, WebError> {
    let wish = if query.pairs().next().is_none() {
        Wish::propeller_first(&boat.loaded)
    } else {
        wish::wish_of(query)
    };
    let job = query.get("job").and_then(|name| site.jobs().find(boat.entry.id, name));
    let end = job.as_ref().map(|job| job.end());
    let unfolds = parts::Widths::of(parts::contents_width(query, visitor)).unfolds();
    Ok(match (job, end) {
        (Some(job), Some(None)) => running(boat, &wish, &job),
        (Some(job), Some(Some(End::Searched(outcome)))) => {
            let is_stale = is_stale(site, boat, &job)?;
            found(boat, query, visitor, &Shown { wish: &wish, job: &job, outcome: &outcome, is_stale })
        }
        (_, end) => {
            let said = match end {
                Some(Some(End::Failed)) => {
                    Some("The search failed and nothing came of it. What was asked is still here.")
                }
                Some(_) => Some("The search was stopped. What was asked is still here."),
                None if query.get("job").is_some() => Some(
                    "This search is no longer held: the program was started anew, or others came after it. What was asked is still here.",
                ),
                None => None,
            };
            asking(boat, &wish, &[], said, unfolds || *query != Query::default())
        }
    })
}

/// Before a search: what could be tried, and the form.
fn asking(boat: &BoatOnPage, wish: &Wish, faults: &[WishFault], said: Option<&str>, is_open: bool) -> Markup {
    let action = address::of_boat(&boat.entry.slug, "search");
    let count = wish.search(&boat.loaded).ok().map(|search| search.space().len());
    html! {
        h1.sentence {
            @match count {
                Some(_) => { "Which " strong { "propeller" } " would serve " (boat.loaded.name) " best? " (stays_words(wish)) }
                None => { "The search for " (boat.loaded.name) " cannot begin with what is asked below." }
            }
        }
        p.under-sentence {
            @if let Some(count) = count { (format_number(count as f64, 0)) " candidates of stock sizes can be made of what is asked below. " }
            "What a search finds can become an alternative beside her."
        }
        @if let Some(said) = said { p.notice role="status" { (said) } }
        (form::form(wish, faults, &action, is_open))
    }
}

/// What the search leaves alone.
fn stays_words(wish: &Wish) -> String {
    let stays = Keep::ALL.into_iter().filter(|part| wish.keep.contains(part));
    let stays: Vec<String> = stays.map(|part| part.words().to_lowercase()).collect();
    match stays.as_slice() {
        [] => "Everything may change.".to_owned(),
        [one] => format!("{} stays as it is.", capitalised(one)),
        [first, middle @ .., last] => {
            let middle: String = middle.iter().map(|part| format!(", {part}")).collect();
            format!("{}{middle} and {last} stay as they are.", capitalised(first))
        }
    }
}

/// While it runs.
fn running(boat: &BoatOnPage, wish: &Wish, job: &Job) -> Markup {
    let progress = job.progress();
    let slug = &boat.entry.slug;
    html! {
        noscript { meta http-equiv="refresh" content="2"; }
        div.running data-progress=(address::of_boat(slug, &format!("search/progress?job={}", job.name))) {
            h1.sentence {
                "Searching " strong { (format_number(progress.total as f64, 0)) " candidates" } " for " (boat.loaded.name) "."
            }
            p.under-sentence id="progress-words" role="status" { (progress.words()) }
            progress value=(progress.done) max=(progress.total.max(1)) aria-labelledby="progress-words" {}
            form.inline method="post" action=(address::of_boat(slug, "search/stop")) {
                (hidden(wish, &job.name))
                button { "Stop" }
            }
        }
        p.aside { "Her document and everything else stay as they are while it runs. If this page is closed for a minute, the search stops." }
    }
}

/// How far a search has come, for a page that is open.
///
/// # Errors
/// It is no longer held.
pub fn progress(site: &Site, boat: &BoatOnPage, query: &Query) -> Result<serde_json::Value, WebError> {
    let job = query.get("job").and_then(|name| site.jobs().find(boat.entry.id, name));
    let job = job.ok_or(WebError::NoSuchPage)?;
    let progress = job.progress();
    Ok(serde_json::json!({
        "is_running": job.end().is_none(),
        "done": progress.done,
        "total": progress.total,
        "words": progress.words(),
    }))
}

/// The wish and the job as hidden fields.
fn hidden(wish: &Wish, job: &str) -> Markup {
    let query = Query::parse(wish::to_query(wish).as_bytes());
    html! {
        @for (name, value) in query.pairs() { input type="hidden" name=(name) value=(value); }
        input type="hidden" name="job" value=(job);
    }
}

struct Shown<'a> {
    wish: &'a Wish,
    job: &'a Arc<Job>,
    outcome: &'a Outcome,
    is_stale: bool,
}

/// After it.
fn found(boat: &BoatOnPage, query: &Query, visitor: &Visitor, result: &Shown<'_>) -> Markup {
    let Shown { wish, job, outcome, is_stale } = result;
    let paper = parts::paper();
    let slug = &boat.entry.slug;
    let answer = answer_of_job(boat, outcome);
    let finding = &answer.finding;
    let page = page_of(boat, wish, job);
    let hidden = hidden(wish, &job.name);
    let keep = address::of_boat(slug, "search/keep");
    let place = front::Place {
        page: &page,
        keep: &keep,
        hidden: &hidden,
        width_px: parts::contents_width(query, visitor),
    };
    let frame = front::Frame::of(outcome, query);
    html! {
        // Red is for what binds: a limit that refused all, not the pick.
        @if outcome.candidates.is_empty() { (parts::finding(finding)) }
        @else { (parts::finding(&Finding { binding: String::new(), figure: finding.binding.clone(), ..finding.clone() })) }
        (told(query, slug))
        @if *is_stale {
            p.notice { "Her document was changed since (revision " (job.revision) " was searched, " (boat.revision.head.number) " is kept now). Search again before anything is bought." }
        }
        @if outcome.candidates.is_empty() {
            (refusals(&answer))
        } @else {
            p.ways-on { @if let Some(pick) = outcome.pick {
                a.button href=(format!("{page}&chosen={}#chosen", pick.position)) data-choose=(pick.position) { "Look at the pick" }
            } }
            div.front data-front-from=(format!("{page}&part=front")) data-page=(page) {
                (front::frame_form(outcome, &frame, &place, &address::of_boat(slug, "search")))
                (front::live_parts(outcome, &frame, &place, &paper))
            }
            p.downloads {
                "The whole front as a file: "
                a href=(address::of_boat(slug, &format!("search.csv?job={}", job.name))) download { "CSV" } ", "
                a href=(address::of_boat(slug, &format!("search.json?job={}", job.name))) download { "JSON" } "."
            }
            details.part { summary { h3 { "What refused the others" } } (refusals(&answer)) }
        }
        (parts::cautions(&answer.notices))
        details.part open[outcome.candidates.is_empty()] id="asked" {
            summary { h3 { "Ask again" } span.count { "what was asked, to be changed" } }
            (form::form(wish, &[], &address::of_boat(slug, "search"), true))
        }
        (remarks(&answer.notices))
    }
}

fn remarks(notices: &[Notice]) -> Markup {
    html! { @if notices.iter().any(|notice| notice.severity() != Severity::Caution) { (parts::notices(notices, false)) } }
}

fn page_of(boat: &BoatOnPage, wish: &Wish, job: &Job) -> String {
    let query = wish::to_query(wish);
    let joint = if query.is_empty() { "" } else { "&" };
    address::of_boat(&boat.entry.slug, &format!("search?{query}{joint}job={}", job.name))
}

fn told(query: &Query, slug: &str) -> Markup {
    let Some(name) = query.get("kept") else { return html! {} };
    html! {
        p.notice role="status" {
            "“" (name) "” is an alternative in her document now. "
            a href=(address::of_boat(slug, "options")) { "See it beside her on Options" }
        }
    }
}

/// What refused how many.
fn refusals(answer: &Answer) -> Markup {
    let shown = answer.blocks.iter().find_map(|block| match block {
        Block::Sheet(sheet) => Some(titled_of(sheet, &parts::paper())),
        _ => None,
    });
    html! { div.refusals { @if let Some(titled) = shown { (parts::titled(&titled)) } } }
}

/// Everything that shows what was found.
fn answer_of_job(boat: &BoatOnPage, outcome: &Outcome) -> Answer {
    answer_of(&Searching, &Asked::of(&boat.loaded, SETTLED_SAMPLES), outcome, None, &parts::paper())
}

/// The parts that follow the frame, alone.
///
/// # Errors
/// The search is no longer held, or found nothing.
pub fn front_parts(
    site: &Site,
    boat: &BoatOnPage,
    query: &Query,
    visitor: &Visitor,
) -> Result<Markup, WebError> {
    let (job, outcome) = outcome_of(site, boat, query)?;
    let wish = wish::wish_of(query);
    let page = page_of(boat, &wish, &job);
    let hidden = hidden(&wish, &job.name);
    let keep = address::of_boat(&boat.entry.slug, "search/keep");
    let place = front::Place {
        page: &page,
        keep: &keep,
        hidden: &hidden,
        width_px: parts::contents_width(query, visitor),
    };
    let frame = front::Frame::of(&outcome, query);
    let address = address::of_boat(&boat.entry.slug, "search");
    Ok(html! {
        (front::frame_form(&outcome, &frame, &place, &address))
        (front::live_parts(&outcome, &frame, &place, &parts::paper()))
    })
}

fn outcome_of(site: &Site, boat: &BoatOnPage, query: &Query) -> Result<(Arc<Job>, Arc<Outcome>), WebError> {
    let job = query.get("job").and_then(|name| site.jobs().find(boat.entry.id, name));
    let gone = || {
        WebError::BadRequest("This search is no longer held: the program was started anew, or others came after it. Search again.".to_owned())
    };
    let job = job.ok_or_else(gone)?;
    match job.end() {
        Some(End::Searched(outcome)) => Ok((job, outcome)),
        _ => Err(WebError::BadRequest("This search has found nothing yet.".to_owned())),
    }
}

/// Begins a search.
///
/// # Errors
/// None of its own.
pub fn begin(site: &Site, boat: &BoatOnPage, form: &Query) -> Result<Sent, WebError> {
    let wish = wish::wish_of(form);
    let search = match wish.search(&boat.loaded) {
        Ok(search) => search,
        Err(faults) => return Ok(Sent::Again(asking(boat, &wish, &faults, None, true))),
    };
    let about = (boat.entry.id, boat.revision.head.number);
    let (parts, prefer, spec) = (search.space().len(), wish.prefer.clone(), boat.loaded.spec.clone());
    let work = move |watch: &Watch<'_>| {
        let found = run(&search, &prefer, &spec, (SETTLED_SAMPLES, DEFAULT_SEED), watch)?;
        Some(End::Searched(Arc::new(found)))
    };
    Ok(match site.jobs().begin(about, parts, work) {
        Some(job) => Sent::Done(page_of(boat, &wish, &job)),
        None => {
            let said =
                "As many searches run as may at one time. Wait for one to end, or stop it, and ask again.";
            Sent::Again(asking(boat, &wish, &[], Some(said), true))
        }
    })
}

/// Stops a search; gives the address to show next.
///
/// # Errors
/// None of its own.
pub fn stop(site: &Site, boat: &BoatOnPage, form: &Query) -> Result<String, WebError> {
    let wish = wish::wish_of(form);
    let job = form.get("job").and_then(|name| site.jobs().find(boat.entry.id, name));
    let Some(job) = job else { return Ok(address::of_boat(&boat.entry.slug, "search")) };
    job.stop_now();
    Ok(page_of(boat, &wish, &job))
}

/// Makes a candidate an alternative; gives the address to show next.
///
/// # Errors
/// The search is no longer held, the candidate cannot be an alternative, or the store fails.
pub fn keep(site: &Site, boat: &BoatOnPage, form: &Query) -> Result<String, WebError> {
    let (job, outcome) = outcome_of(site, boat, form)?;
    let paper = parts::paper();
    let position = form.number("chosen")? as usize;
    let candidate = outcome.candidates.get(position).ok_or(WebError::NoSuchPage)?;
    if is_stale(site, boat, &job)? {
        return Err(WebError::BadRequest(
            "Her document was changed since this was searched, so the candidate is no longer what was found. Search again."
                .to_owned(),
        ));
    }
    let changes = changes_of(&boat.loaded, candidate)
        .map_err(|why| WebError::BadRequest(format!("It cannot be an alternative: {why}.")))?;
    let wished = form.get("name").map(str::trim).filter(|name| !name.is_empty());
    let short = front::short_name(candidate, &paper);
    let name = free_name(&boat.loaded.document, wished.unwrap_or(&short))?;
    let wanted = Alternative {
        name: name.clone(),
        note: Some(note(&outcome, candidate, &paper)),
        cost: None,
        changes,
    };
    let text = sound_text(boat.loaded.document.with_alternative(&wanted))?;
    let kept = form_urlencoded::Serializer::new(String::new()).append_pair("kept", &name).finish();
    let to = format!("{}&{kept}&chosen={position}", page_of(boat, &wish::wish_of(form), &job));
    // It is added to the latest revision, so nobody's work is in the way.
    let base = boat.revision.head.number;
    save(site, &boat.entry, base, &text, &format!("alternative found: {name}"), to)
}

/// Whether her document says something else than what was searched, alternatives apart.
fn is_stale(site: &Site, boat: &BoatOnPage, job: &Job) -> Result<bool, WebError> {
    if job.revision == boat.revision.head.number {
        return Ok(false);
    }
    let before = site.store().get(boat.entry.id, job.revision)?;
    let Ok(before) = BoatDocument::parse(&before.text) else { return Ok(true) };
    let differences = before.differences(&boat.loaded.document);
    let is_aside = |section: &str| matches!(section, "alternative" | "mass");
    Ok(!differences.iter().all(|difference| is_aside(difference.field.section())))
}

fn note(outcome: &Outcome, candidate: &Candidate, paper: &Paper) -> String {
    let mass = mass_words(outcome, candidate, paper);
    ["Found by a search.".to_owned()].into_iter().chain(mass).collect::<Vec<_>>().join(" ")
}

/// The front as a file.
///
/// # Errors
/// The search is no longer held.
pub fn file(site: &Site, boat: &BoatOnPage, query: &Query, is_json: bool) -> Result<String, WebError> {
    let (_, outcome) = outcome_of(site, boat, query)?;
    let answer = answer_of_job(boat, &outcome);
    if is_json {
        return Ok(format!("{:#}", answer_json("search", &boat.loaded.name, &answer)));
    }
    let front = answer.sheets.iter().find(|sheet| sheet.key == "front");
    Ok(front.map_or_else(String::new, answer_csv))
}
