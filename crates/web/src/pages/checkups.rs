//! Check-ups: their list beside what the room says of them, and the page on which one is entered with one hand, kept with
//! every key. Not for: what they say over the years (the room).

use axum::http::header::CONTENT_TYPE;
use axum::response::{IntoResponse, Response};
use maud::{Markup, html};
use serde_json::{Value, json};
use wakewright_core::caution::of_checkups;
use wakewright_core::upkeep::{CHECKLIST, Found, Item, Stage};
use wakewright_records::checkup::{CHECKUP_KIND, TEST_FIELDS, fitted};
use wakewright_rooms::boats::Loaded;
use wakewright_rooms::checkup::{CheckupError, Entry, KeptCheckup, begin as begin_checkup, save_entries};
use wakewright_rooms::moment;
use wakewright_rooms::photograph::{Carried, LONGEST_PHOTOGRAPH_BYTES, media_type, take_in};
use wakewright_store::{Boat, NewPhotograph, PhotographId, Store};

use super::boat::AboutBoat;
use crate::address;
use crate::error::WebError;
use crate::parts::{self, Widths, contents_width, live};
use crate::query::Query;
use crate::state::{BoatOnPage, Site, now};
use crate::visitor::Visitor;

/// The room to which all of this belongs.
pub const ROOM: &str = "checkup";

/// Start of the names of form fields that hold what is typed, and of those that say what stood there.
const TYPED: &str = "t:";
const WAS: &str = "was:";

impl From<CheckupError> for WebError {
    fn from(error: CheckupError) -> Self {
        match error {
            CheckupError::Store(error) => Self::Store(error),
            other => Self::BadRequest(format!("{other}.")),
        }
    }
}

/// An address about a check-up.
fn of_checkup(slug: &str, number: u32, rest: &str) -> String {
    address::of_boat(slug, &format!("checkups/{number}{rest}"))
}

/// A check-up with its boat.
struct OnCheckup {
    entry: Boat,
    loaded: Loaded,
    kept: KeptCheckup,
}

impl OnCheckup {
    fn load(site: &Site, slug: &str, number: u32) -> Result<Self, WebError> {
        let BoatOnPage { entry, loaded, .. } = site.boat(slug, &[])?;
        let kept = KeptCheckup::load(&site.store(), entry.id, number, &loaded, moment::today())?;
        Ok(Self { entry, loaded, kept })
    }

    fn address(&self, rest: &str) -> String {
        of_checkup(&self.entry.slug, self.kept.record.number, rest)
    }

    /// The items of her list: those that she has, and those of which something is written.
    fn items(&self) -> Vec<&'static Item> {
        let has = fitted(&self.loaded.document, &self.loaded.spec);
        let said = |key: &str| self.kept.reading.items.iter().any(|at| at.item.key == key);
        CHECKLIST.iter().filter(|item| (item.fits)(&has) || said(item.key)).collect()
    }

    fn fault(&self, address: &str) -> Option<&str> {
        let mut faults = self.kept.reading.faults.iter();
        faults.find(|fault| fault.address == address).map(|fault| fault.problem.as_str())
    }
}

/// Below what the room says: a button to begin one, and the list.
///
/// # Errors
/// The store fails.
pub fn section(site: &Site, boat: &BoatOnPage) -> Result<Markup, WebError> {
    let (store, slug) = (site.store(), boat.entry.slug.as_str());
    let mut shown = Vec::new();
    for record in store.records(boat.entry.id, CHECKUP_KIND)?.into_iter().rev() {
        let kept = KeptCheckup::load(&store, boat.entry.id, record.number, &boat.loaded, moment::today());
        let label = kept.map_or_else(|error| error.to_string(), |kept| kept.label());
        let photographs = store.photographs(record.id)?.len();
        shown.push((record, label, photographs));
    }
    let (removed, kept): (Vec<_>, Vec<_>) =
        shown.into_iter().partition(|(record, ..)| record.removed.is_some());
    let way = |number: u32, label: &str, way: &str, words: &str| {
        html! { form.inline method="post" action=(of_checkup(slug, number, way)) {
            button.small { (words) span.visually-hidden { ": " (label) } }
        } }
    };
    Ok(html! {
        form.buttons method="post" action=(address::of_boat(slug, "checkups")) { button.main { "Begin a check-up" } }
        @if !kept.is_empty() {
            h2 { "Kept" }
            ol.trials { @for (record, label, photographs) in &kept { li {
                h2 { a href=(of_checkup(slug, record.number, "")) { (label) } }
                p.aside { "Check-up " (record.number) "; " (photographs) " photographs, changed " (moment::local(record.changed)) "." }
                (way(record.number, label, "/remove", "Take it off the list"))
            } } }
        }
        @if !removed.is_empty() {
            h2 { "Removed" }
            p.aside { "Everything of theirs is kept." }
            ul.plain { @for (record, label, _) in &removed { li { (label) " " (way(record.number, label, "/reinstate", "Reinstate")) } } }
        }
    })
}

/// Begins a check-up of today; gives its address.
///
/// # Errors
/// There is no such boat, or the store fails.
pub fn begin(site: &Site, slug: &str) -> Result<String, WebError> {
    let mut store = site.store();
    let entry = store.find_by_slug(slug)?;
    let record = begin_checkup(&mut store, entry.id, &moment::today().to_string(), now())?;
    Ok(of_checkup(slug, record.number, ""))
}

/// Takes a check-up off the list, or puts it back; gives the address of the list.
///
/// # Errors
/// There is no such check-up, or the store fails.
pub fn shelve(site: &Site, slug: &str, number: u32, is_removed: bool) -> Result<String, WebError> {
    let mut store = site.store();
    let boat = store.find_by_slug(slug)?.id;
    let record = store.record(boat, CHECKUP_KIND, number)?;
    store.shelve_record(record.id, is_removed.then(now))?;
    Ok(address::of_boat(slug, ROOM))
}

/// The page of one check-up.
///
/// # Errors
/// There is no such boat or check-up, or her document has faults.
pub fn contents(
    site: &Site,
    slug: &str,
    number: u32,
    query: &Query,
    visitor: &Visitor,
) -> Result<AboutBoat, WebError> {
    let on = OnCheckup::load(site, slug, number)?;
    let unfolds = Widths::of(contents_width(query, visitor)).unfolds();
    let items = on.items();
    let stages = Stage::ALL.into_iter().filter(|stage| items.iter().any(|item| item.stage == *stage));
    let body = html! {
        (finding(&on))
        (parts::cautions_for("Before anything is opened", &of_checkups()))
        form.trial id="survey" method="post" action=(on.address("")) autocomplete="off"
            data-draft=(on.address("/draft")) data-parts=(on.address("/live")) data-trial {
            input type="hidden" name="version" value=(on.kept.record.version);
            div.cells { (typed(&on, "date", "Day", "", "")) (typed(&on, "who", "By whom", "", "")) }
            @for stage in stages {
                details.part data-fold=[(unfolds).then(|| format!("checkup-{}", stage.words()))] open[unfolds || stage == Stage::Before] {
                    summary { h2 { (stage.words()) } (chief(&on, &items, stage)) }
                    @for item in items.iter().filter(|item| item.stage == stage) { (entry(&on, item)) }
                    @if stage == Stage::Battery { (test(&on)) }
                }
            }
            (long(&on, "note", "What else"))
            div.keep { p id="status" role="status" { "Kept as it is typed." } noscript { button { "Keep" } } }
        }
        (photographs(site, &on)?)
        p.ways-on { a.button href=(address::of_boat(slug, ROOM)) { "Over the years" } }
    };
    Ok(AboutBoat { entry: on.entry, body })
}

fn finding(on: &OnCheckup) -> Markup {
    let items = on.items();
    let of = |found: Found| on.kept.reading.items.iter().filter(|at| at.found == Some(found)).count();
    let looked = of(Found::Good) + of(Found::Watch) + of(Found::ActNow);
    let further = match &on.kept.reading.test {
        Some(test) => format!(
            "The test of the bank tells {} of what stands on it.",
            parts::paper().band(test.capacity.share, wakewright_units::Quantity::Share)
        ),
        None => String::new(),
    };
    live(
        "finding",
        &html! {
            h1.sentence { (looked) " of " (items.len()) " looked at: " (of(Found::ActNow)) " to act on now, " (of(Found::Watch)) " to watch." }
            @if !further.is_empty() { p.under-sentence { (further) } }
        },
    )
}

fn chief(on: &OnCheckup, items: &[&Item], stage: Stage) -> Markup {
    let of_stage = || items.iter().filter(|item| item.stage == stage);
    let is_said = |item: &&&Item| on.kept.reading.items.iter().any(|at| at.item.key == item.key);
    let key = format!("chief-{}", stage.words().to_lowercase().replace(' ', "-"));
    live(&key, &html! { span.chief { (of_stage().filter(is_said).count()) " of " (of_stage().count()) } })
}

fn id_of(address: &str) -> String {
    address.replace('.', "-")
}

fn note(on: &OnCheckup, address: &str) -> Markup {
    html! { @if let Some(problem) = on.fault(address) { p.fault { (problem) "." } } }
}

fn around(on: &OnCheckup, address: &str, label: &str, control: &Markup) -> Markup {
    html! { div.one {
        label for=(id_of(address)) { (label) }
        (control)
        div.note id=(format!("{}-note", id_of(address))) { (note(on, address)) }
    } }
}

fn typed(on: &OnCheckup, address: &str, label: &str, hint: &str, mode: &str) -> Markup {
    let invalid = on.fault(address).map(|_| "true");
    let mode = (!mode.is_empty()).then_some(mode);
    around(
        on,
        address,
        label,
        &html! {
            input id=(id_of(address)) name=(format!("{TYPED}{address}")) value=(on.kept.document.get(address)) placeholder=(hint)
                autocomplete="off" spellcheck="false" inputmode=[mode] aria-invalid=[invalid]
                aria-describedby=(format!("{}-note", id_of(address)));
        },
    )
}

fn long(on: &OnCheckup, address: &str, label: &str) -> Markup {
    around(
        on,
        address,
        label,
        &html! {
            textarea id=(id_of(address)) name=(format!("{TYPED}{address}")) rows="3" { "\n" (on.kept.document.get(address)) }
        },
    )
}

/// An item: what to do, what was found, its value, a note.
fn entry(on: &OnCheckup, item: &Item) -> Markup {
    let at = |name: &str| format!("item.{}.{name}", item.key);
    let found = on.kept.document.get(&at("found"));
    let choices = Found::ALL.map(Found::words);
    html! {
        fieldset.card {
            legend.visually-hidden { (item.key.replace('_', " ")) }
            p { (item.what) " " span.aside { "(" (item.standing.words()) ")" } }
            div.cells {
                (around(on, &at("found"), "Found", &html! {
                    select id=(id_of(&at("found"))) name=(format!("{TYPED}{}", at("found"))) {
                        option value="" selected[found.is_empty()] { "–" }
                        @for word in choices { option value=(word) selected[word == found] { (word) } }
                        @if !found.is_empty() && !choices.contains(&found) { option value=(found) selected { (found) } }
                    }
                }))
                @if let Some(measured) = item.measured { (typed(on, &at("value"), &wakewright_rooms::sentence::capitalised(measured.what), "with its unit", "text")) }
                (typed(on, &at("note"), "Note", "", ""))
            }
        }
    }
}

/// The test of the bank.
fn test(on: &OnCheckup) -> Markup {
    html! {
        fieldset.card {
            legend { "Test of the bank" }
            p.aside { "From full at one steady current down to the cut-off, in one go; charge it again at once." }
            div.cells { @for field in &TEST_FIELDS { (typed(on, &format!("test.{}", field.key), field.label, field.hint, "")) } }
        }
    }
}

fn photographs(site: &Site, on: &OnCheckup) -> Result<Markup, WebError> {
    let kept = site.store().photographs(on.kept.record.id)?;
    let to = format!("{}/checkup/{}", address::bring_in(&on.entry.slug), on.kept.record.number);
    Ok(html! {
        h2 id="photographs" { "Photographs" }
        @if !kept.is_empty() {
            ul.photographs { @for photograph in &kept { li {
                a href=(on.address(&format!("/photographs/{}", photograph.id.0))) {
                    img src=(on.address(&format!("/photographs/{}", photograph.id.0))) alt=(photograph.name) loading="lazy";
                }
                p.aside { (photograph.name) ", " (photograph.bytes / 1000) " kB" }
                form.inline method="post" action=(on.address(&format!("/photographs/{}/remove", photograph.id.0))) {
                    button.small { "Take it off" span.visually-hidden { ": " (photograph.name) } }
                }
            } } }
        }
        form.bring-in method="post" action=(to) enctype="multipart/form-data" {
            // Sent before the files that it is about.
            label.tick { input type="checkbox" name="as-it-came" value="yes"; span { "Keep it as it came, with the place and time that it carries" } }
            p { label for="photographs-new" { "JPEG or PNG" } input id="photographs-new" type="file" name="file" accept="image/jpeg,image/png" multiple required; }
            p.aside { "Up to " (LONGEST_PHOTOGRAPH_BYTES / 1_000_000) " MB each. They are shrunk; place, time and camera are left out. They stay on this computer." }
            div.buttons { button { "Add" } }
        }
    })
}

/// The parts that follow what is typed.
///
/// # Errors
/// There is no such check-up.
pub fn live_parts(site: &Site, slug: &str, number: u32) -> Result<Markup, WebError> {
    let on = OnCheckup::load(site, slug, number)?;
    let items = on.items();
    Ok(html! { (finding(&on)) @for stage in Stage::ALL { (chief(&on, &items, stage)) } })
}

fn entries(form: &Query) -> Vec<Entry> {
    let typed = form.pairs().filter_map(|(name, text)| Some((name.strip_prefix(TYPED)?, text)));
    typed
        .map(|(address, text)| {
            let was: Vec<String> = form.all(&format!("{WAS}{address}")).map(str::to_owned).collect();
            Entry {
                address: address.to_owned(),
                was: (!was.is_empty()).then_some(was),
                text: text.to_owned(),
            }
        })
        .collect()
}

fn keep(store: &mut Store, slug: &str, number: u32, form: &Query) -> Result<Vec<String>, WebError> {
    let boat = store.find_by_slug(slug)?.id;
    Ok(save_entries(store, boat, number, &entries(form), now())?)
}

/// Keeps what a page sends while it is typed in; gives what was read of it.
///
/// # Errors
/// There is no such check-up or entry, or the store fails.
pub fn draft(site: &Site, slug: &str, number: u32, form: &Query) -> Result<Value, WebError> {
    let aside = site.letters().in_turn(form, |is_overtaken| {
        let form = if is_overtaken { &Query::default() } else { form };
        keep(&mut site.store(), slug, number, form)
    })?;
    let on = OnCheckup::load(site, slug, number)?;
    let mut addresses: Vec<String> = ["date", "who", "note"].map(str::to_owned).to_vec();
    for item in on.items() {
        addresses.extend(["found", "value", "note"].map(|name| format!("item.{}.{name}", item.key)));
    }
    addresses.extend(TEST_FIELDS.iter().map(|field| format!("test.{}", field.key)));
    let notes: serde_json::Map<String, Value> = addresses
        .iter()
        .map(|address| (format!("{}-note", id_of(address)), note(&on, address).into_string().into()))
        .collect();
    let invalid: Vec<String> = on.kept.reading.faults.iter().map(|fault| id_of(&fault.address)).collect();
    let at = jiff::Zoned::now().strftime("%H:%M:%S").to_string();
    let status = if aside.is_empty() {
        format!("Kept at {at}.")
    } else {
        format!("Kept at {at}. What another page or device had written there is in the note.")
    };
    Ok(json!({ "version": on.kept.record.version, "status": status, "notes": notes, "invalid": invalid }))
}

/// Keeps the whole form, of a browser without scripts; gives the page's address.
///
/// # Errors
/// As [`draft`].
pub fn submit(site: &Site, slug: &str, number: u32, form: &Query) -> Result<String, WebError> {
    keep(&mut site.store(), slug, number, form)?;
    Ok(of_checkup(slug, number, ""))
}

/// Keeps a photograph; says why where it cannot be kept.
///
/// # Errors
/// There is no such check-up, or the store fails.
pub fn bring_in(
    site: &Site,
    slug: &str,
    number: u32,
    (name, bytes): (&str, &[u8]),
    as_it_came: bool,
) -> Result<Option<String>, WebError> {
    let record = {
        let store = site.store();
        store.record(store.find_by_slug(slug)?.id, CHECKUP_KIND, number)?.id
    };
    // Shrinking takes its time; the store is free for other devices meanwhile.
    let taken = match take_in(name, bytes, if as_it_came { Carried::Kept } else { Carried::LeftOut }) {
        Ok(taken) => taken,
        Err(why) => return Ok(Some(why)),
    };
    let new = NewPhotograph { name: &taken.name, digest: &taken.digest, bytes: &taken.bytes };
    site.store().add_photograph(record, &new, now())?;
    Ok(None)
}

/// Where the photographs of a check-up stand.
///
/// # Errors
/// Some were refused, for these reasons.
pub fn brought_in(slug: &str, number: u32, refused: &[String]) -> Result<String, WebError> {
    if refused.is_empty() {
        return Ok(of_checkup(slug, number, "#photographs"));
    }
    Err(WebError::BadRequest(format!("Not kept: {} What came with them is kept.", refused.join(" "))))
}

/// A photograph as it is kept.
///
/// # Errors
/// She has no such photograph.
pub fn picture(site: &Site, slug: &str, id: i64) -> Result<Response, WebError> {
    let store = site.store();
    let bytes = store.picture(store.find_by_slug(slug)?.id, PhotographId(id))?;
    Ok(([(CONTENT_TYPE, media_type(&bytes))], bytes).into_response())
}

/// Takes a photograph off its check-up; gives the page's address.
///
/// # Errors
/// There is none.
pub fn take_off(site: &Site, slug: &str, number: u32, id: i64) -> Result<String, WebError> {
    let mut store = site.store();
    let boat = store.find_by_slug(slug)?.id;
    let record = store.record(boat, CHECKUP_KIND, number)?.id;
    store.take_off_photograph(record, PhotographId(id), now())?;
    Ok(of_checkup(slug, number, "#photographs"))
}
