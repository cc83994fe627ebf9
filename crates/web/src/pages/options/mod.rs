//! The Options page: her alternatives as columns beside the boat as she is, pictures of the differences
//! and of both shafts, and the forms by which alternatives are added, changed, moved and taken out.
//! Not for: computing, the words that the command says too.

mod alternative;
mod cards;
mod change;
mod form;
mod lines;
mod table;
mod typed;

pub use change::{Sent, change};

use maud::{Markup, html};
use wakewright_core::field;
use wakewright_core::options::Comparison;
use wakewright_core::propeller::REPITCH_AT_MOST_M;
use wakewright_records::boat::Alternative;
use wakewright_rooms::Rooms;
use wakewright_rooms::boats::Loaded;
use wakewright_rooms::options::{Beside, Options, fastest, lay, read_speeds, shaft_power_words, usual_speed};
use wakewright_rooms::room::{Answer, Asked, Block, Replies, Reply, answer_of};
use wakewright_rooms::sampling::DEFAULT_SEED;
use wakewright_rooms::sheets::{answer_csv, answer_json};
use wakewright_rooms::text::Paper;
use wakewright_rooms::whatif::Tried;
use wakewright_units::Quantity;

use crate::address;
use crate::error::WebError;
use crate::pages::kept::told_of;
use crate::parts::{self, SETTLED_SAMPLES, Widths};
use crate::query::Query;
use crate::sent::{DONE, Done};
use crate::state::BoatOnPage;
use crate::visitor::Visitor;
use typed::Typed;

/// The contents of the page.
///
/// # Errors
/// When there is no result at her own numbers.
pub fn contents(
    rooms: Rooms,
    boat: &BoatOnPage,
    query: &Query,
    visitor: &Visitor,
) -> Result<Markup, WebError> {
    page(rooms, boat, query, visitor, None)
}

/// The page with a form as it was typed.
fn page(
    rooms: Rooms,
    boat: &BoatOnPage,
    query: &Query,
    visitor: &Visitor,
    typed: Option<&Typed>,
) -> Result<Markup, WebError> {
    let paper = parts::paper();
    let speeds = Speeds::of(&boat.loaded, query, &paper);
    let laying = Laying::of(&boat.loaded, &speeds.m_s)?;
    let widths = Widths::of(parts::contents_width(query, visitor));
    let slug = &boat.entry.slug;
    let forms = html! {
        (form::forms(boat, &Tried::new(&boat.loaded, query.all("set"), Vec::new()), typed))
    };
    let Some(found) = &laying.laid else {
        return Ok(html! {
            (nothing(boat, &paper, told(boat, query)))
            @if !laying.left_out.is_empty() { (left_out(&laying)) }
            (ways_on(slug))
            (forms)
        });
    };
    let chosen = chosen(found, query);
    let answer = answer(boat, found, chosen);
    let beside = Beside::of(&boat.loaded, found, &paper);
    Ok(html! {
        (parts::finding(&answer.finding)) (told(boat, query))
        @if !laying.left_out.is_empty() { (left_out(&laying)) }
        (ways_on(slug))
        (cards::cards(&beside, &laying.numbers))
        (parts::fold("figures", "Every figure", &format!("{} side by side", found.columns.len()), widths.unfolds(), &html! {
            (speeds_form(&speeds, slug))
            (table::side_by_side(rooms, &beside, &laying.numbers, slug))
            (downloads(slug, &speeds))
        }))
        (parts::fold("pictures", "Why they differ", &found.columns[chosen].name, widths.unfolds(), &html! {
            (pictures(&answer, (found, chosen), query, &widths, slug))
        }))
        (parts::cautions(&answer.notices))
        (forms)
        (parts::notices(&answer.notices, widths.unfolds()))
    })
}

/// Number of the alternative whose shaft is drawn.
fn chosen(found: &Comparison, query: &Query) -> usize {
    let asked = query.get("shaft").and_then(|text| text.parse::<usize>().ok());
    asked.filter(|number| (1..found.columns.len()).contains(number)).unwrap_or_else(|| fastest(found))
}

/// Everything that shows what was found.
fn answer(boat: &BoatOnPage, found: &Comparison, chosen: usize) -> Answer {
    let name = Reply::Text(found.columns[chosen].name.clone());
    let replies = Replies::default().with("alternative", name);
    let asked = Asked { replies, ..Asked::of(&boat.loaded, SETTLED_SAMPLES) };
    answer_of(&Options, &asked, found, None, &parts::paper())
}

fn ways_on(slug: &str) -> Markup {
    html! {
        p.ways-on {
            a.button href="#new" { "Add an alternative" } " "
            a.button href=(address::of_boat(slug, "search")) { "Search for one" }
        }
    }
}

/// What the last step did.
fn told(boat: &BoatOnPage, query: &Query) -> Markup {
    let text = match Done::in_field(query, DONE) {
        Some(Done::Kept | Done::Removed | Done::Moved | Done::BroughtBack) => {
            return told_of((&boat.entry.slug, "options"), &boat.revision.head, query, &html! {});
        }
        Some(Done::Unchanged) => "Nothing was different from what is kept.",
        Some(
            Done::Beside | Done::Checked | Done::Doubtful | Done::Discarded | Done::Settled | Done::NameTaken,
        )
        | None => {
            return html! {};
        }
    };
    html! { p.notice role="status" { (text) } }
}

/// A boat without alternatives, and the ways to one.
fn nothing(boat: &BoatOnPage, paper: &Paper, told: Markup) -> Markup {
    let slug = &boat.entry.slug;
    let ideas = first_ideas(&boat.loaded, paper);
    html! {
        h1.sentence { "Nothing is laid beside " (boat.loaded.name) " yet." }
        (told)
        p.under-sentence {
            "An alternative is her own document with a few fields changed. Try one on "
            a href=(address::of_boat(slug, "drive")) { "Drive" } " and keep it there, let "
            a href=(address::of_boat(slug, "search")) { "Search" } " find one, or type it here."
        }
        @if !ideas.is_empty() {
            h2 { "To begin with" }
            ul.plain.ideas {
                @for (words, change) in ideas {
                    li { a href=(address::of_boat(slug, &format!("options?{change}#new"))) { (words) } }
                }
            }
        }
    }
}

/// What a fitter tries first, from her own numbers: the pitch that a shop can give, and the ratio a sixth
/// either way. Each with the query that fills the form.
fn first_ideas(boat: &Loaded, paper: &Paper) -> Vec<(String, String)> {
    let query = |address: &str, value: &str| {
        form_urlencoded::Serializer::new(String::new())
            .append_pair("set", &format!("{address}={value}"))
            .finish()
    };
    let mut ideas = Vec::new();
    let propeller = &boat.spec.boat.propeller;
    if !propeller.pattern.is_stowed_under_sail() {
        for (way, by_m) in [("more", REPITCH_AT_MOST_M), ("less", -REPITCH_AT_MOST_M)] {
            let pitch = paper.quantity(propeller.pitch_m + by_m, Quantity::PropellerLength);
            let words = format!("Re-pitch to {pitch}: two inches {way}, as much as a propeller shop can do");
            ideas.push((words, query(field::propeller::PITCH, &pitch)));
        }
    }
    let ratio = boat.spec.boat.drive_line.ratio;
    if (ratio - 1.0).abs() > 1e-9 {
        for (what, by) in [("a sixth less", 5.0 / 6.0), ("a sixth more", 7.0 / 6.0)] {
            let wanted = format!("{:.2}:1", ratio * by);
            ideas.push((format!("A reduction of {wanted}: {what}"), query(field::reduction::RATIO, &wanted)));
        }
    }
    ideas
}

/// The speeds of the query, as typed, and what is wrong with them.
struct Speeds {
    typed: String,
    m_s: Vec<f64>,
    fault: Option<String>,
}

impl Speeds {
    pub(super) fn of(boat: &Loaded, query: &Query, paper: &Paper) -> Self {
        let usual = usual_speed(&boat.spec);
        let typed = query.get("speeds").map(str::trim).filter(|typed| !typed.is_empty());
        match typed.map(read_speeds) {
            None => Self { typed: paper.decimals(usual, Quantity::Speed, 1), m_s: vec![usual], fault: None },
            Some(Ok(m_s)) => Self { typed: typed.unwrap_or_default().to_owned(), m_s, fault: None },
            Some(Err(fault)) => {
                Self { typed: typed.unwrap_or_default().to_owned(), m_s: vec![usual], fault: Some(fault) }
            }
        }
    }

    fn to_query(&self) -> String {
        form_urlencoded::Serializer::new(String::new()).append_pair("speeds", &self.typed).finish()
    }
}

fn speeds_form(speeds: &Speeds, slug: &str) -> Markup {
    let invalid = speeds.fault.as_ref().map(|_| "true");
    html! {
        form.one-line method="get" action=(address::of_boat(slug, "options")) {
            label for="speeds" { "Speeds to compare at, besides full throttle" }
            input id="speeds" name="speeds" value=(speeds.typed) autocomplete="off" spellcheck="false"
                aria-invalid=[invalid] aria-describedby="speeds-note";
            button { "Show" }
            div.note id="speeds-note" {
                @match &speeds.fault {
                    Some(fault) => p.fault { (capitalised(fault)) ". Shown is her cruising speed." },
                    None => p.aside { "In any unit, set off by commas: 3 kn, 4 kn" },
                }
            }
        }
    }
}

fn capitalised(text: &str) -> String {
    let text = text.trim_end_matches('.');
    let mut letters = text.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().collect::<String>() + letters.as_str())
}

/// The alternatives that can be laid side by side, and those that cannot.
struct Laying {
    laid: Option<Comparison>,
    /// Number in the document (from 1) of each column behind the first.
    numbers: Vec<usize>,
    /// Name and why.
    left_out: Vec<(String, String)>,
}

/// Samples that are enough to find out whether there is an answer.
const TRIAL_SAMPLES: usize = 8;

impl Laying {
    pub(super) fn of(boat: &Loaded, speeds_m_s: &[f64]) -> Result<Self, WebError> {
        let all = boat.document.alternatives();
        if all.is_empty() {
            return Ok(Self { laid: None, numbers: Vec::new(), left_out: Vec::new() });
        }
        let lay = |some: &[Alternative], samples: usize| lay(boat, some, speeds_m_s, (samples, DEFAULT_SEED));
        if let Ok(laid) = lay(&all, SETTLED_SAMPLES) {
            return Ok(Self { laid: Some(laid), numbers: (1..=all.len()).collect(), left_out: Vec::new() });
        }
        // One that cannot be computed does not keep the others off the page.
        let (mut good, mut numbers, mut left_out) = (Vec::new(), Vec::new(), Vec::new());
        for (number, alternative) in (1..).zip(all) {
            match lay(std::slice::from_ref(&alternative), TRIAL_SAMPLES) {
                Ok(_) => {
                    good.push(alternative);
                    numbers.push(number);
                }
                Err(no) => {
                    let why = bare(no.message(), boat, &alternative.name);
                    left_out.push((alternative.name, why));
                }
            }
        }
        let laid = match good.is_empty() {
            true => None,
            false => {
                let found = lay(&good, SETTLED_SAMPLES);
                Some(found.map_err(|no| WebError::NoResult(no.message().to_owned()))?)
            }
        };
        Ok(Self { laid, numbers, left_out })
    }
}

/// Why an alternative cannot be computed, without the names that the page has said already.
fn bare(why: &str, boat: &Loaded, name: &str) -> String {
    let why = why.trim();
    let named = [format!("{}, \"{name}\": ", boat.place), format!("{}, {name}: ", boat.place)];
    let bare = named.iter().find_map(|start| why.strip_prefix(start.as_str())).unwrap_or(why);
    if bare.ends_with('.') { bare.to_owned() } else { format!("{bare}.") }
}

fn left_out(laying: &Laying) -> Markup {
    html! {
        div.caution role="note" {
            strong { "Not among the columns" }
            ul { @for (name, why) in &laying.left_out { li { "“" (name) "” cannot be computed: " (why) } } }
        }
    }
}

fn downloads(slug: &str, speeds: &Speeds) -> Markup {
    let query = speeds.to_query();
    html! {
        p.downloads {
            "All of it as a file: "
            a href=(address::of_boat(slug, &format!("options.csv?{query}"))) download { "CSV" } ", "
            a href=(address::of_boat(slug, &format!("options.json?{query}"))) download { "JSON" } "."
        }
    }
}

/// The comparison as a file.
///
/// # Errors
/// There is nothing to compare, or the speeds cannot be read.
pub fn file(boat: &BoatOnPage, query: &Query, is_json: bool) -> Result<String, WebError> {
    let paper = parts::paper();
    let speeds = Speeds::of(&boat.loaded, query, &paper);
    if let Some(fault) = speeds.fault {
        return Err(WebError::BadRequest(format!("{}.", capitalised(&fault))));
    }
    let laying = Laying::of(&boat.loaded, &speeds.m_s)?;
    let Some(found) = laying.laid else {
        return Err(WebError::NoResult(format!("Nothing is laid beside {} yet.", boat.loaded.name)));
    };
    let answer = answer(boat, &found, fastest(&found));
    if is_json {
        return Ok(format!("{:#}", answer_json("options", &boat.loaded.name, &answer)));
    }
    let rows = answer.sheets.iter().find(|sheet| sheet.key == "rows");
    Ok(rows.map_or_else(String::new, answer_csv))
}

/// Differences with their intervals, and both shafts on one sheet.
fn pictures(
    answer: &Answer,
    (found, chosen): (&Comparison, usize),
    query: &Query,
    widths: &Widths,
    slug: &str,
) -> Markup {
    let with = |number: usize| {
        let mut out = form_urlencoded::Serializer::new(String::new());
        for (name, value) in query.pairs().filter(|(name, _)| *name == "speeds") {
            out.append_pair(name, value);
        }
        address::of_boat(
            slug,
            &format!("options?{}#shafts", out.append_pair("shaft", &number.to_string()).finish()),
        )
    };
    let drawn = |is_of_shafts: bool| {
        html! {
            @for block in &answer.blocks {
                @if let Block::Picture { key, caption, picture, .. } = block
                    && (*key == "shafts") == is_of_shafts
                {
                    (parts::figure(picture.as_ref(), widths.whole, &format!("{key}-picture"), caption))
                }
            }
        }
    };
    html! {
        (drawn(false))
        section id="shafts" {
            h2 { "Why they differ at the shaft" }
            @if found.columns.len() > 2 {
                nav.ways aria-label="Shaft of which alternative" {
                    ul { @for (number, laid) in found.columns.iter().enumerate().skip(1) {
                        li { a href=(with(number)) aria-current=[(number == chosen).then_some("true")] { (laid.name) } }
                    } }
                }
            }
            (drawn(true))
            @for sentence in shaft_power_words(found, &parts::paper()) { p { (sentence) } }
        }
    }
}
