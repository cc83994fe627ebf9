//! Pieces that the result pages share: the finding, what is tried, tables of limits and figures,
//! notices. Not for: their wording where a command says the same (`wakewright_rooms`).

use std::cell::Cell;

use maud::{Markup, PreEscaped, html};
use wakewright_core::notice::{Notice, Severity};
use wakewright_core::sheet::Figure;
use wakewright_papers::printed;
pub use wakewright_papers::table as titled;
use wakewright_picture::{Frame, Picture, Theme};
use wakewright_rooms::room::Block;
use wakewright_rooms::sheets::titled_of;
use wakewright_rooms::sources::{citation, short, source_at_end};
use wakewright_rooms::text::{Align, Ink, Paper, Titled};
use wakewright_rooms::text::{Finding, Remedy};
use wakewright_units::{UnitSystem, format_number};

use super::sent::As;
use super::words::fault_words;
use super::{address, visitor};
use wakewright_rooms::whatif::{Tried, in_units};

thread_local! {
    /// Units of whoever is answered on this thread.
    pub static UNITS: Cell<UnitSystem> = const { Cell::new(UnitSystem::Trade) };
}

/// The sheet that pages write on, in the units of whoever asks.
pub fn paper() -> Paper {
    Paper::plain(UNITS.get())
}

/// Samples of a page at rest.
pub const SETTLED_SAMPLES: usize = 1000;

/// Widths that the pictures of a page are laid out for, px.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Widths {
    /// Of the chart beside the sliders, or above them on narrow pages.
    pub chart: f64,
    /// Of a picture across the page.
    pub whole: f64,
}

impl Widths {
    /// Whether what is folded away on a phone stands open.
    pub fn unfolds(self) -> bool {
        const NARROW_PX: f64 = 640.0;
        self.whole >= NARROW_PX
    }

    /// From the width of the page's contents; follows `.workbench` of the style sheet.
    pub fn of(contents_px: f64) -> Self {
        const PAIRED_FROM_PX: f64 = 916.0;
        const GAP_PX: f64 = 40.0;
        const CHART_SHARE: f64 = 2.2 / 3.2;
        let is_paired = contents_px >= PAIRED_FROM_PX;
        let chart = if is_paired { (contents_px - GAP_PX) * CHART_SHARE } else { contents_px };
        Self { chart, whole: contents_px }
    }
}

/// The width that is asked for, or the one that the device told.
pub fn contents_width(query: &super::query::Query, visitor: &visitor::Visitor) -> f64 {
    query.width_px().unwrap_or(visitor.width_px)
}

/// A part of the page that a moving slider exchanges.
pub fn live(name: &str, contents: &Markup) -> Markup {
    html! { div data-live=(name) { (contents) } }
}

/// A part under its name and chief figure; folded on a narrow page as first opened, open on a wide one and in print.
pub fn fold(key: &str, title: &str, chief: &str, is_open: bool, contents: &Markup) -> Markup {
    part(Some(key), title, chief, is_open, contents)
}

/// The same for what a page is for: it stands open on every screen, until a hand folds it.
pub fn chief_part(title: &str, contents: &Markup) -> Markup {
    part(None, title, "", true, contents)
}

fn part(key: Option<&str>, title: &str, chief: &str, is_open: bool, contents: &Markup) -> Markup {
    html! {
        details.fold data-fold=[key] open[is_open] {
            summary { span.title { (title) } " " span.chief { (chief) } }
            div { (contents) }
        }
    }
}

/// A picture in the page's own colours.
pub fn figure(picture: &(impl Picture + ?Sized), width_px: f64, id: &str, caption: &str) -> Markup {
    figure_to_save(picture, width_px, id, caption, None, &html! {})
}

/// The same with the address of its file, where it has one, and `further` ways beside it. Without a file of its own
/// the script saves what is drawn.
pub fn figure_to_save(
    picture: &(impl Picture + ?Sized),
    width_px: f64,
    id: &str,
    caption: &str,
    file: Option<&str>,
    further: &Markup,
) -> Markup {
    let svg = picture.to_svg(&Frame::new(width_px, Theme::Page, id));
    let place = file.map_or_else(|| format!("#{id}"), str::to_owned);
    html! {
        figure {
            figcaption { span.words { (caption) } " "
                a.save.drawn[file.is_none()] href=(place) download data-save="svg" aria-label={ "Save “" (caption) "” as SVG" } { "SVG" }
                a.save.drawn href=(place) data-save="png" aria-label={ "Save “" (caption) "” as PNG" } { "PNG" }
                " " (further) }
            (PreEscaped(svg))
            p.readout role="status" data-readout-text {}
        }
    }
}

/// The finding, its binding words and its figure set apart, and what goes with it.
pub fn finding(finding: &Finding) -> Markup {
    finding_with(finding, None, &html! {})
}

/// The same with what it gains over what is kept, and with what would end what binds, where it was sought.
pub fn finding_with(finding: &Finding, gain: Option<&str>, way_out: &Markup) -> Markup {
    let marks = [(finding.binding.as_str(), "binds"), (finding.figure.as_str(), "")];
    html! {
        div.finding data-live="finding" {
            h1.sentence data-finding {
                (emphasised(&finding.sentence, &marks))
                @if let Some(gain) = gain { " " span.gain { "That is " strong { (gain) } "." } }
            }
            (way_out)
        }
        div.further data-live="further" { p.under-sentence { (finding.further) } }
    }
}

/// The answer to a change that cannot be: why, and nothing to keep. All else stays on view.
pub fn impossible(tried: &Tried, page: &str) -> Markup {
    html! { (cannot_be(tried)) (live("tried", &tried_line(tried, page))) (live("keep", &html! {})) }
}

/// In the place of the finding: that what is tried cannot be, and why.
pub fn cannot_be(tried: &Tried) -> Markup {
    let list: Vec<String> =
        tried.changes.iter().map(|change| format!("{} {}", change.label, change.to)).collect();
    let why: Vec<String> = tried.faults.iter().map(fault_words).collect();
    let sentence = format!("This cannot be: {}.", list.join(", "));
    let further = format!("{} What is shown below is the last result that can be.", why.join(" "));
    finding(&Finding { sentence, further, ..Finding::default() })
}

fn emphasised(sentence: &str, marks: &[(&str, &str)]) -> Markup {
    let found = marks.iter().filter(|(words, _)| !words.is_empty()).filter_map(|(words, class)| {
        let at = sentence.find(words)?;
        Some((at, *words, *class))
    });
    match found.min_by_key(|(at, ..)| *at) {
        Some((at, words, class)) => html! {
            (sentence[..at]) strong class=[(!class.is_empty()).then_some(class)] { (words) }
            (emphasised(&sentence[at + words.len()..], marks))
        },
        None => html! { (sentence) },
    }
}

/// What differs from the boat as kept, with the way back; or why it cannot be.
pub fn tried_line(tried: &Tried, page: &str) -> Markup {
    if tried.changes.is_empty() {
        return html! {};
    }
    let list = html! {
        @for (place, change) in tried.changes.iter().enumerate() {
            @if place > 0 { ", " }
            (change.label) " " strong { (in_units(&change.address, &change.to, UNITS.get())) }
            @if !change.from.is_empty() { " instead of " (in_units(&change.address, &change.from, UNITS.get())) }
        }
    };
    if tried.faults.is_empty() {
        return html! {
            p.tried { "Tried, not kept: " (list) ". " a href=(page) data-back { "Back to what is kept" } }
        };
    }
    html! {
        div.caution.impossible role="alert" {
            strong { "This cannot be: " (list) }
            ul { @for fault in &tried.faults { li { (fault_words(fault)) } } }
            p { "What is shown is the last result that can be. " a href=(page) data-back { "Back to what is kept" } }
        }
    }
}

/// Keeping what is tried: as a new revision of her, as an alternative, or as a boat beside her.
pub fn keep_form(tried: &Tried, slug: &str, revision: u32, room: &str) -> Markup {
    if !tried.differs() {
        return html! {};
    }
    let words: Vec<String> = tried.changes.iter().map(|c| format!("{} {}", c.to, c.label)).collect();
    let copy = format!("{}, {}", tried.loaded.name, words.join(", "));
    html! {
        form.keep-tried method="post" action=(address::of_boat(slug, "keep")) {
            @for change in &tried.changes { input type="hidden" name="set" value=(change.to_set()); }
            input type="hidden" name="base" value=(revision);
            input type="hidden" name="room" value=(room);
            input type="hidden" name="copy" value=(copy);
            input type="hidden" name="name" value=(words.join(", "));
            div.buttons {
                button.main name="as" value=(As::Alternative.word()) { "Keep as an alternative" }
                button name="as" value=(As::Revision.word()) { "Keep as her new revision" }
                button name="as" value=(As::Copy.word()) { "Keep beside her" }
            }
            p.aside {
                "An alternative stands in her document, and she stays as she is. Beside her, it becomes a boat of its own in \
                 the list: “" (copy) "”."
            }
        }
    }
}

/// What only the page knows as a query, with the number of samples.
pub fn query_of_own(own: &[(String, String)], samples: usize) -> String {
    let mut query = form_urlencoded::Serializer::new(String::new());
    for (name, value) in own {
        query.append_pair(name, value);
    }
    query.append_pair("samples", &samples.to_string()).finish()
}

/// What is tried as a query, `set=…&set=…`, with what only the page knows, to be put behind an address.
pub fn query_of(tried: &Tried) -> String {
    let mut query = form_urlencoded::Serializer::new(String::new());
    for change in &tried.changes {
        query.append_pair("set", &change.to_set());
    }
    for (name, value) in &tried.own {
        query.append_pair(name, value);
    }
    query.finish()
}

/// What would end what binds, with the way to try it on the page `here` beside what `query` tries already.
pub fn way_out(remedy: &Remedy, here: &str, query: &str) -> Markup {
    let mut address = form_urlencoded::Serializer::for_suffix(format!("{here}?{query}"), here.len() + 1);
    for set in &remedy.sets {
        address.append_pair("set", set);
    }
    let address = address.finish();
    html! {
        p.way-out.none[remedy.sets.is_empty()] { (remedy.words) @if !remedy.sets.is_empty() { " " a href=(address) { "Try it" } } }
    }
}

/// A figure's name that opens to its origin.
pub fn origin_of(figure: &Figure, slug: &str, query: &str) -> Markup {
    origin_in(figure.key, figure.label, slug, query)
}

/// The same in other words.
pub fn origin_in(key: &str, words: &str, slug: &str, query: &str) -> Markup {
    let place = address::of_boat(slug, &format!("explain/{key}?{query}"));
    html! {
        details.origin data-origin=(key) data-from=(place) {
            summary { (words) }
            div.basis { a href=(place) { "Where this comes from" } }
        }
    }
}

/// Of what stands below a finding a sheet or words, as they are read; what else there is has parts of its own.
pub fn block(block: &Block) -> Markup {
    block_with(block, &|_| html! {})
}

/// A paragraph of a room; a source at its end opens to what it is and how surely it is known.
pub fn paragraph(text: &str) -> Markup {
    match source_at_end(text) {
        None => html! { p { (text) } },
        Some((said, key, known)) => html! {
            div.said { (said) " "
                details.origin {
                    summary { span { "why" } span.in-print { "(" (short(key).unwrap_or_else(|| key.to_owned())) ", " (known) ")" } }
                    div.basis {
                        p { strong { (short(key).unwrap_or_else(|| key.to_owned())) } ", " (known) "." }
                        p { (citation(key)) }
                    } }
            }
        },
    }
}

/// The same, each row of the sheet ending in what `last` gives for its number.
pub fn block_with(block: &Block, last: &dyn Fn(usize) -> Markup) -> Markup {
    match block {
        Block::Sheet(sheet) if sheet.rows.is_empty() => html! {},
        Block::Sheet(sheet) => {
            const MOST_STACKED: usize = 7;
            let sheet = titled_of(sheet, &paper());
            if sheet.table.columns().len() > MOST_STACKED { titled(&sheet) } else { stacked(&sheet, last) }
        }
        Block::Words { title, text, .. } => html! {
            @if !title.is_empty() { h2 { (title) } }
            @for text in text { (paragraph(text)) }
        },
        _ => html! {},
    }
}

/// A table that becomes a card for each row on a narrow page.
fn stacked(titled: &Titled, last: &dyn Fn(usize) -> Markup) -> Markup {
    let columns = titled.table.columns();
    let heads: Vec<String> =
        columns.iter().map(|(head, _)| head.replace('\n', " ").trim().to_owned()).collect();
    html! {
        table.stacks {
            caption { (titled.title) }
            thead { tr {
                @for (head, (_, align)) in heads.iter().zip(columns) {
                    th.number[*align == Align::Right] scope="col" { (head) }
                }
            } }
            tbody {
                @for (number, (ink, cells)) in titled.table.rows().iter().enumerate() {
                    tr.binds[*ink == Ink::Binds] .looked-at[*ink == Ink::Strong] .out[*ink == Ink::Faint] {
                        @for (place, ((cell, (_, align)), head)) in cells.iter().zip(columns).zip(&heads).enumerate() {
                            @let is_number = *align == Align::Right;
                            @if place == 0 {
                                th.number[is_number] scope="row" { (printed(cell)) }
                            } @else {
                                td.number[is_number] data-head=(head) { (printed(cell)) }
                            }
                        }
                        @let last = last(number);
                        @if !last.0.is_empty() { td.wide { (last) } }
                    }
                }
            }
        }
        @if !titled.note.is_empty() { p.aside { (titled.note.replace(" -: ", " –: ")) } }
    }
}

/// Cautions, together in one place; they belong where the decision is taken.
pub fn cautions(notices: &[Notice]) -> Markup {
    cautions_for("Before a hand is laid on any of it", notices)
}

/// Cautions under a heading of their own.
pub fn cautions_for(heading: &str, notices: &[Notice]) -> Markup {
    let cautions: Vec<String> =
        notices.iter().filter(|n| n.severity() == Severity::Caution).map(Notice::text).collect();
    if cautions.is_empty() {
        return html! {};
    }
    html! {
        details.caution data-caution=(heading) open {
            summary { strong { (heading) } }
            @for caution in cautions { p { (caution) } }
        }
    }
}

/// Remarks that weaken a figure, other remarks, and what was estimated in one line.
pub fn notices(notices: &[Notice], is_open: bool) -> Markup {
    let of = |severity: Severity| notices.iter().filter(move |notice| notice.severity() == severity);
    let estimated: Vec<&str> = notices.iter().filter_map(Notice::estimated).collect();
    let notes: Vec<String> =
        of(Severity::Note).filter(|n| n.estimated().is_none()).map(Notice::text).collect();
    let counts = [(notes.len(), "note", "notes"), (estimated.len(), "estimate", "estimates")];
    let counts: Vec<String> = counts
        .iter()
        .filter(|(count, ..)| *count > 0)
        .map(|(count, one, many)| format!("{count} {}", if *count == 1 { one } else { many }))
        .collect();
    html! {
        @for notice in of(Severity::Weak) { p.notice.weak { (notice.text()) } }
        @if !counts.is_empty() {
            (fold("notices", "Read with the figures", &counts.join(", "), is_open, &html! {
                @for note in &notes { p.notice { (note) } }
                @if !estimated.is_empty() {
                    p.notice { "Estimated because not given: " (estimated.join(", ")) "." }
                }
            }))
        }
    }
}

/// A share in per cent.
pub fn percent(share: f64) -> String {
    format!("{} %", format_number(100.0 * share, 0))
}
