use maud::{Markup, html};
use wakewright_core::options::{Difference, Laid, Verdict};
use wakewright_core::sheet::{Figure, Origin};
use wakewright_rooms::Rooms;
use wakewright_rooms::explain::figure_named;
use wakewright_rooms::options::{Beside, Line, mass_words, sections, sureness, work_words};

use crate::parts;
use wakewright_rooms::sources::citation;

/// The whole table; `numbers` are the alternatives' places in the document.
pub fn side_by_side(rooms: Rooms, beside: &Beside<'_>, numbers: &[usize], slug: &str) -> Markup {
    let columns = &beside.found.columns;
    html! {
        div.scroll.beside role="region" aria-label="Alternatives side by side" tabindex="0" {
            table {
                thead { tr {
                    td {}
                    th scope="col" { (columns[0].name) }
                    @for (laid, number) in columns.iter().skip(1).zip(numbers) {
                        th scope="col" {
                            (laid.name)
                            a.change href={ "#alternative-" (number) } aria-label={ "Change “" (laid.name) "”" } { "change" }
                        }
                    }
                } }
                tbody {
                    tr {
                        th scope="row" { "what changes" }
                        td { "–" }
                        @for (number, laid) in columns.iter().enumerate().skip(1) {
                            td.words {
                                @for change in &laid.about.changes { span.line { (change) } }
                                @if let Some(work) = work_words(laid.work) { span.line.aside { (work) } }
                                @for mass in mass_words(beside, number) { span.line.aside { (mass) } }
                                @if let Some(note) = &laid.about.note { span.line.aside { (note) } }
                            }
                        }
                    }
                    @if columns.iter().any(|laid| laid.about.cost.is_some()) {
                        tr {
                            th scope="row" { "cost" }
                            @for laid in columns { td { (laid.about.cost.as_deref().unwrap_or("–")) } }
                        }
                    }
                    tr {
                        th scope="row" { "what stops her" }
                        @for laid in columns { td.words { (stopped_by(laid)) } }
                    }
                }
                @for (heading, lines) in sections(beside) {
                    tbody {
                        tr.heading { th scope="rowgroup" { (heading) } @for _ in columns { td {} } }
                        @for line in &lines {
                            tr {
                                th scope="row" { (opened(rooms, line.of.figure, &line.scale.label(line.of.words), slug)) }
                                @for laid in columns { (figure(laid, line)) }
                            }
                        }
                    }
                }
            }
        }
        p.aside {
            "Under each figure stands its difference from the boat as she is, and the 80 % band of that difference: taken sample by sample in the \
             same sea with the same hull, it is surer than either figure. A changed part has an error of its own. A crash stop counts from the \
             moment the shaft turns astern."
        }
    }
}

pub(super) fn stopped_by(laid: &Laid) -> Markup {
    let limit = laid.full.held.limit;
    let share = laid.binds_in.iter().find(|(other, _)| *other == limit).map(|(_, share)| *share);
    html! {
        (limit.words())
        @if let Some(share) = share { span.line.aside { "in " (parts::percent(share)) " of all samples" } }
    }
}

pub(super) fn figure(laid: &Laid, line: &Line) -> Markup {
    let Some(value) = laid.values[line.m] else { return html! { td { "–" } } };
    let difference = laid.differences.get(line.m).copied().flatten();
    let tone = difference.map_or("", |difference| verdict_class(difference.verdict(line.of.better)));
    let band = line.scale.band(value);
    html! {
        td class=[(!tone.is_empty()).then_some(tone)] {
            span.value { (line.scale.value(value.value)) }
            @match difference {
                None => @if !band.is_empty() { span.line.aside { (dashed(&band)) } },
                Some(difference) => (step(&difference, line)),
            }
        }
    }
}

fn step(difference: &Difference, line: &Line) -> Markup {
    let (verdict, band) = (difference.verdict(line.of.better), line.scale.signed_ends(difference.interval));
    let share = sureness(difference, line.of.better);
    html! {
        @if verdict == Verdict::Same { span.line.aside { "the same" } } @else {
            span.line.step { (line.scale.signed(difference.interval.value)) }
            @if !band.is_empty() { span.line.aside { (band) } }
            @if verdict == Verdict::Noise { span.line.noise { "within the noise" } }
            @else if !share.is_empty() { span.line { (share) } }
        }
    }
}

const fn verdict_class(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Better => "is-better",
        Verdict::Worse => "is-worse",
        Verdict::Noise => "is-noise",
        Verdict::Differs | Verdict::Same => "",
    }
}

/// A band as pages write it.
fn dashed(band: &str) -> String {
    band.replace('-', "–")
}

/// The name of a figure, which opens to where it comes from.
fn opened(rooms: Rooms, figure: &'static Figure, words: &str, slug: &str) -> Markup {
    let key = match figure.origin {
        Origin::Of(key) => key,
        _ => figure.key,
    };
    if figure_named(rooms, key).is_some() {
        return parts::origin_in(key, words, slug, "");
    }
    let Origin::Formula { formula, sources, validity, .. } = figure.origin else { return html! { (words) } };
    html! {
        details.origin data-origin=(figure.key) {
            summary { (words) }
            div.basis {
                dl {
                    dt { "Formula" } dd { (formula) }
                    dt { "Source" }
                    dd { @for key in sources { p {
                        @match citation(key) {
                            text if text.is_empty() => (key),
                            text => { (text) " " span.aside { "[" (key) "]" } }
                        }
                    } } }
                    dt { "Holds for" } dd { (validity) }
                }
            }
        }
    }
}
