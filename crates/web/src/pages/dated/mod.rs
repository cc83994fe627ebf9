//! Dated records: their list beside what the room says, and the page on which one is entered with one hand, kept with
//! every key. Not for: what they say over the years (the room).

mod fields;

use axum::http::header::CONTENT_TYPE;
use axum::response::{IntoResponse, Response};
use maud::{Markup, html};
use serde_json::{Value, json};
use wakewright_core::caution::of_checkups;
use wakewright_core::upkeep::{CHECKLIST, Item, Stage};
use wakewright_records::checkup::{CheckupReading, TEST_FIELDS, fitted, read_checkup};
use wakewright_records::dated::{EntryFault, NAME, OUTCOME, PLACE_KIND};
use wakewright_rooms::dated::{
    DatedError, Entry, KeptRecord, Kind, begin as begin_record, kind_named, save_entries,
};
use wakewright_rooms::moment;
use wakewright_rooms::photograph::{Carried, media_type, take_in};
use wakewright_rooms::room::Typed;
use wakewright_rooms::sentence::capitalised;
use wakewright_store::{EnclosureId, KeptEnclosure};

use self::fields::{asked, checklist, chief, finding, id_of, long, note, outcome, photographs, typed};
use super::boat::AboutBoat;
use super::room::Door;
use crate::address;
use crate::error::WebError;
use crate::parts::{self, Widths, contents_width};
use crate::query::Query;
use crate::state::{BoatOnPage, Site, now};
use crate::visitor::Visitor;

/// Start of the names of form fields that hold what is typed, and of those that say what stood there.
const TYPED: &str = "t:";
const WAS: &str = "was:";

/// A record: the boat's slug, its kind, its number.
type Which<'a> = (&'a str, &'static Kind, u32);

impl From<DatedError> for WebError {
    fn from(error: DatedError) -> Self {
        match error {
            DatedError::Store(error) => Self::Store(error),
            other => Self::BadRequest(format!("{other}.")),
        }
    }
}

/// The kind of an address.
///
/// # Errors
/// There is none.
pub fn kind(key: &str) -> Result<&'static Kind, WebError> {
    kind_named(key).ok_or(WebError::NoSuchPage)
}

/// The title of its pages.
pub fn title(kind: &'static Kind) -> &'static str {
    match kind.key {
        "checkup" => "Check-up",
        "call" => "Call",
        PLACE_KIND => "Place",
        _ => "Commissioning",
    }
}

/// An address about a record.
fn of_record((slug, kind, number): Which<'_>, rest: &str) -> String {
    address::of_boat(slug, &format!("kept/{}/{number}{rest}", kind.key))
}

/// A record with its boat.
struct OnRecord {
    boat: BoatOnPage,
    kept: KeptRecord,
    faults: Vec<EntryFault>,
    /// What a check-up says.
    reading: CheckupReading,
    photographs: Vec<KeptEnclosure>,
}

impl OnRecord {
    fn load(site: &Site, (slug, kind, number): Which<'_>) -> Result<Self, WebError> {
        let boat = match kind.room {
            Some(room) => site.boat_for(room, slug, &Query::default())?,
            None => site.boat(slug)?,
        };
        let kept = KeptRecord::load(&site.store(), boat.entry.id, kind, number)?;
        let photographs = site.store().enclosures(kept.record.id)?;
        let today = moment::today();
        let (faults, reading) = match kind.room {
            Some(_) => (kind.faults(&kept.document, &boat.loaded, today), CheckupReading::default()),
            None => {
                let reading = read_checkup(&kept.document, &boat.loaded.spec, today);
                (reading.faults.clone(), reading)
            }
        };
        Ok(Self { boat, kept, faults, reading, photographs })
    }

    fn address(&self, rest: &str) -> String {
        of_record((&self.boat.entry.slug, self.kept.kind, self.kept.record.number), rest)
    }

    /// The items of her list: those that she has, and those of which something is written.
    fn items(&self) -> Vec<&'static Item> {
        let has = fitted(&self.boat.loaded.document, &self.boat.loaded.spec);
        let said = |key: &str| self.reading.items.iter().any(|at| at.item.key == key);
        CHECKLIST.iter().filter(|item| (item.fits)(&has) || said(item.key)).collect()
    }

    /// The questions of its room, with those that the page of the room does not ask.
    fn typed(&self) -> Vec<Typed> {
        let Some(room) = self.kept.kind.room else { return Vec::new() };
        room.typed(&self.kept.kind.asked(&self.kept.document, &self.boat.loaded, 1))
    }

    /// Everything that can be typed.
    fn addresses(&self) -> Vec<String> {
        let mut all: Vec<String> = ["date", "who", "note"].map(str::to_owned).to_vec();
        all.extend(self.kept.kind.own.iter().map(|own| (*own).to_owned()));
        all.extend(self.typed().iter().map(|field| self.kept.kind.address(field.key)));
        if self.kept.kind.room.is_none() {
            for item in self.items() {
                all.extend(["found", "value", "note"].map(|name| format!("item.{}.{name}", item.key)));
            }
            all.extend(TEST_FIELDS.iter().map(|field| format!("test.{}", field.key)));
        }
        all
    }

    fn fault(&self, address: &str) -> Option<&str> {
        let mut faults = self.faults.iter();
        faults.find(|fault| fault.address == address).map(|fault| fault.problem.as_str())
    }

    /// What stands above: of a check-up its counts, of others what their room finds; and what stands below.
    fn said(&self, site: &Site, query: &Query, visitor: &Visitor) -> Result<(Markup, Markup), WebError> {
        let kind = self.kept.kind;
        let Some(room) = kind.room else { return Ok((finding(self), html! {})) };
        let pairs = kind.said(&self.kept.document);
        let pairs = pairs.into_iter().filter(|(key, _)| self.fault(&kind.address(key)).is_none());
        let width = query.get("width").map(|width| ("width", width));
        let said = Query::of(pairs.chain(width));
        let door = Door { site, room, boat: &self.boat, query: &said, visitor };
        door.said()
    }
}

/// Below what the room says: a button to begin one, and the list.
///
/// # Errors
/// The store fails.
pub fn section(
    site: &Site,
    boat: &BoatOnPage,
    kind: &'static Kind,
    query: &Query,
) -> Result<Markup, WebError> {
    let (store, slug) = (site.store(), boat.entry.slug.as_str());
    let mut shown = Vec::new();
    let mut records = store.records(boat.entry.id, kind.key)?;
    records.extend(store.removed_records(boat.entry.id, kind.key)?);
    for record in records.into_iter().rev() {
        let photographs = store.enclosures(record.id)?.len();
        let label =
            KeptRecord::of(record.clone(), kind).map_or_else(|error| error.to_string(), |kept| kept.label());
        shown.push((record, label, photographs));
    }
    let (removed, kept): (Vec<_>, Vec<_>) =
        shown.into_iter().partition(|(record, ..)| record.removed.is_some());
    let way = |number: u32, label: &str, way: &str, words: &str| {
        html! { form.inline method="post" action=(of_record((slug, kind, number), way)) {
            button.small { (words) span.visually-hidden { ": " (label) } }
        } }
    };
    // What was typed on the room's page goes into the record.
    let is_question =
        |name: &str| kind.room.is_some_and(|room| room.questions().iter().any(|one| one.key == name));
    Ok(html! {
        form.buttons method="post" action=(address::of_boat(slug, &format!("kept/{}", kind.key))) {
            @for (name, value) in query.pairs().filter(|(name, value)| is_question(name) && !value.is_empty()) {
                input type="hidden" name=(name) value=(value);
            }
            button.main { "Begin a " (kind.name) }
        }
        @if !kept.is_empty() {
            h2 { "Kept" }
            ol.trials { @for (record, label, photographs) in &kept { li {
                h2 { a href=(of_record((slug, kind, record.number), "")) { (label) } }
                p.aside { (capitalised(kind.name)) " " (record.number) "; " (photographs) " photographs, changed " (moment::local(record.changed)) "." }
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

/// Begins a record of today with what was said to its room; gives its address.
///
/// # Errors
/// There is no such boat, or the store fails.
pub fn begin(site: &Site, slug: &str, key: &str, form: &Query) -> Result<String, WebError> {
    let kind = kind(key)?;
    let boat = site.boat(slug)?;
    let mut store = site.store();
    let record = begin_record(&mut store, boat.entry.id, kind, &moment::today().to_string(), now())?;
    let questions = kind.room.map_or(&[][..], |room| room.questions());
    let said = form.pairs().filter(|(name, _)| questions.iter().any(|question| question.key == *name));
    let entries: Vec<Entry> = said
        .map(|(name, text)| Entry { address: kind.address(name), was: None, text: text.to_owned() })
        .collect();
    save_entries(&mut store, (boat.entry.id, &boat.loaded), (kind, record.number), &entries, now())?;
    Ok(of_record((slug, kind, record.number), ""))
}

/// Takes a record off the list, or puts it back; gives the address of the list.
///
/// # Errors
/// There is no such record, or the store fails.
pub fn shelve(site: &Site, (slug, kind, number): Which<'_>, is_removed: bool) -> Result<String, WebError> {
    let mut store = site.store();
    let boat = store.find_by_slug(slug)?.id;
    let record = store.record(boat, kind.key, number)?;
    store.shelve_record(record.id, is_removed.then(now))?;
    Ok(address::of_boat(slug, kind.key))
}

/// The page of one record.
///
/// # Errors
/// There is no such boat or record, or her document has faults.
pub fn contents(
    site: &Site,
    which: Which<'_>,
    query: &Query,
    visitor: &Visitor,
) -> Result<AboutBoat, WebError> {
    let on = OnRecord::load(site, which)?;
    let unfolds = Widths::of(contents_width(query, visitor)).unfolds();
    let (above, below) = on.said(site, query, visitor)?;
    let body = html! {
        (above)
        @if on.kept.kind.room.is_none() { (parts::cautions_for("Before anything is opened", &of_checkups())) }
        form.trial id="survey" method="post" action=(on.address("")) autocomplete="off"
            data-draft=(on.address("/draft")) data-parts=(on.address("/live")) data-trial {
            input type="hidden" name="version" value=(on.kept.record.version);
            @if on.kept.kind.own.contains(&NAME) { (typed(&on, NAME, "Name of the place, by which every boat finds it", "Creek quay", "")) }
            div.cells { (typed(&on, "date", "Day", "", "")) (typed(&on, "who", "By whom", "", "")) }
            (asked(&on))
            (checklist(&on, unfolds))
            (long(&on, "note", "What else", 3))
            @if on.kept.kind.own.contains(&OUTCOME) { (outcome(&on)) }
            div.keep { p id="status" role="status" { "Kept as it is typed." } noscript { button { "Keep" } } }
        }
        (below)
        (photographs(&on))
        p.ways-on { a.button href=(address::of_boat(which.0, on.kept.kind.key)) { "All " (on.kept.kind.names) } }
    };
    Ok(AboutBoat { entry: on.boat.entry, body })
}

/// The parts that follow what is typed.
///
/// # Errors
/// There is no such record.
pub fn live_parts(
    site: &Site,
    which: Which<'_>,
    query: &Query,
    visitor: &Visitor,
) -> Result<Markup, WebError> {
    let on = OnRecord::load(site, which)?;
    let (above, below) = on.said(site, query, visitor)?;
    let items = if which.1.room.is_none() { on.items() } else { Vec::new() };
    Ok(
        html! { (above) (below) @if !items.is_empty() { @for stage in Stage::ALL { (chief(&on, &items, stage)) } } },
    )
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

fn keep(site: &Site, (slug, kind, number): Which<'_>, form: &Query) -> Result<Vec<String>, WebError> {
    let boat = site.boat(slug)?;
    let mut store = site.store();
    Ok(save_entries(&mut store, (boat.entry.id, &boat.loaded), (kind, number), &entries(form), now())?)
}

/// Keeps what a page sends while it is typed in; gives what was read of it.
///
/// # Errors
/// There is no such record or entry, or the store fails.
pub fn draft(site: &Site, which: Which<'_>, form: &Query) -> Result<Value, WebError> {
    let aside = site.letters().in_turn(form, |is_overtaken| {
        let form = if is_overtaken { &Query::default() } else { form };
        keep(site, which, form)
    })?;
    let on = OnRecord::load(site, which)?;
    let notes: serde_json::Map<String, Value> = on
        .addresses()
        .iter()
        .map(|address| (format!("{}-note", id_of(address)), note(&on, address).into_string().into()))
        .collect();
    let invalid: Vec<String> = on.faults.iter().map(|fault| id_of(&fault.address)).collect();
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
pub fn submit(site: &Site, which: Which<'_>, form: &Query) -> Result<String, WebError> {
    keep(site, which, form)?;
    Ok(of_record(which, ""))
}

/// Keeps a photograph; says why where it cannot be kept.
///
/// # Errors
/// There is no such record, or the store fails.
pub fn bring_in(
    site: &Site,
    (slug, kind, number): Which<'_>,
    (name, bytes): (&str, &[u8]),
    place: &str,
    as_it_came: bool,
) -> Result<Option<String>, WebError> {
    let record = {
        let store = site.store();
        store.record(store.find_by_slug(slug)?.id, kind.key, number)?.id
    };
    if !kind.takes_photographs_of(place) {
        return Ok(Some(format!("{name}: there is no entry {place} that it could belong to.")));
    }
    // Shrinking takes its time; the store is free for other devices meanwhile.
    let taken = match take_in(name, bytes, if as_it_came { Carried::Kept } else { Carried::LeftOut }) {
        Ok(taken) => taken,
        Err(why) => return Ok(Some(why)),
    };
    site.store().add_enclosure(record, &taken.enclosed_at(place), now())?;
    Ok(None)
}

/// Where the photographs of a record stand.
///
/// # Errors
/// Some were refused, for these reasons.
pub fn brought_in(
    slug: &str,
    kind: &'static Kind,
    number: u32,
    refused: &[String],
) -> Result<String, WebError> {
    if refused.is_empty() {
        return Ok(of_record((slug, kind, number), "#photographs"));
    }
    Err(WebError::BadRequest(format!("Not kept: {} What came with them is kept.", refused.join(" "))))
}

/// A photograph as it is kept.
///
/// # Errors
/// She has no such photograph.
pub fn picture(site: &Site, (slug, kind, number): Which<'_>, id: i64) -> Result<Response, WebError> {
    let store = site.store();
    let boat = store.find_by_slug(slug)?.id;
    // One that was taken off is kept, and shown to nobody.
    let record = store.record(boat, kind.key, number)?.id;
    if !store.enclosures(record)?.iter().any(|kept| kept.id == EnclosureId(id)) {
        return Err(WebError::NoSuchPage);
    }
    let bytes = store.enclosed(boat, EnclosureId(id))?;
    let kind = media_type(&bytes);
    Ok(([(CONTENT_TYPE, kind)], bytes).into_response())
}

/// Takes a photograph off its record; gives the page's address.
///
/// # Errors
/// There is none.
pub fn take_off(site: &Site, which: Which<'_>, id: i64) -> Result<String, WebError> {
    let (slug, kind, number) = which;
    let mut store = site.store();
    let boat = store.find_by_slug(slug)?.id;
    let record = store.record(boat, kind.key, number)?.id;
    store.take_off_enclosure(record, EnclosureId(id), now())?;
    Ok(of_record(which, "#photographs"))
}
