//! The table of the Options page: the boat as she is and a column for each alternative. Not for: the
//! figures and their wording (`wakewright_rooms::options`).

use maud::{Markup, html};
use wakewright_core::options::{Column, MeasureKind, Verdict};
use wakewright_rooms::options::{
    OptionCell, OptionRow, OptionStep, OptionsScene, option_sections, work_words,
};
use wakewright_rooms::text::Paper;

use crate::address;
use crate::parts;
use wakewright_rooms::sources::citation;

/// The whole table; `numbers` are the alternatives' places in the document.
pub fn side_by_side(scene: &OptionsScene<'_>, numbers: &[usize], slug: &str, paper: &Paper) -> Markup {
    let columns = &scene.comparison.columns;
    html! {
        div.scroll.beside role="region" aria-label="Alternatives side by side" tabindex="0" {
            table {
                thead { tr {
                    td {}
                    th scope="col" { (columns[0].name) }
                    @for (column, number) in columns.iter().skip(1).zip(numbers) {
                        th scope="col" {
                            (column.name)
                            a.change href={ "#alternative-" (number) } aria-label={ "Change “" (column.name) "”" } { "change" }
                        }
                    }
                } }
                tbody {
                    tr {
                        th scope="row" { "what changes" }
                        td { "–" }
                        @for (column, words) in columns.iter().skip(1).zip(scene.words) {
                            td.words {
                                @for change in &words.changes { span.line { (change) } }
                                @if let Some(work) = work_words(column.work) { span.line.aside { (work) } }
                                @for mass in &words.masses { span.line.aside { (mass) } }
                                @if let Some(note) = &words.note { span.line.aside { (note) } }
                            }
                        }
                    }
                    @if scene.words.iter().any(|words| words.cost.is_some()) {
                        tr {
                            th scope="row" { "cost" }
                            td { "–" }
                            @for words in scene.words { td { (words.cost.as_deref().unwrap_or("–")) } }
                        }
                    }
                    tr {
                        th scope="row" { "what stops her" }
                        @for column in columns { td.words { (stopped_by(column)) } }
                    }
                }
                @for section in option_sections(scene, paper) {
                    tbody {
                        tr.heading { th scope="rowgroup" { (section.heading) } @for _ in columns { td {} } }
                        @for row in &section.rows { (measure_row(row, slug)) }
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

fn stopped_by(column: &Column) -> Markup {
    let limit = column.full.held.limit;
    let share = column.binds_in.iter().find(|(other, _)| *other == limit).map(|(_, share)| *share);
    html! {
        (limit.words())
        @if let Some(share) = share { span.line.aside { "in " (parts::percent(share)) " of all samples" } }
    }
}

fn measure_row(row: &OptionRow, slug: &str) -> Markup {
    html! {
        tr {
            th scope="row" {
                (opened(row.measure.kind, &[row.words, row.unit].join(if row.unit.is_empty() { "" } else { ", " }), slug))
            }
            @for cell in &row.cells { (figure(cell)) }
        }
    }
}

fn figure(cell: &OptionCell) -> Markup {
    if cell.value.is_empty() {
        return html! { td { "–" } };
    }
    let tone = cell.step.as_ref().map_or("", |step| verdict_class(step.verdict));
    html! {
        td class=[(!tone.is_empty()).then_some(tone)] {
            span.value { (cell.value) }
            @match &cell.step {
                None => @if !cell.band.is_empty() { span.line.aside { (dashed(&cell.band)) } },
                Some(step) => (difference(step)),
            }
        }
    }
}

fn difference(step: &OptionStep) -> Markup {
    html! {
        @match step.verdict {
            Verdict::Same => span.line.aside { "the same" },
            verdict => {
                span.line.step { (step.value) }
                @if !step.band.is_empty() { span.line.aside { (step.band) } }
                @match verdict {
                    Verdict::Noise => span.line.noise { "within the noise" },
                    _ => @if !step.share.is_empty() { span.line { (step.share) } },
                }
            }
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

/// The name of a measure, which opens to where it comes from.
fn opened(kind: MeasureKind, words: &str, slug: &str) -> Markup {
    if let MeasureKind::State(figure) = kind {
        let key = figure.origin().key;
        let place = address::of_boat(slug, &format!("explain/{key}?"));
        return html! {
            details.origin data-origin=(key) data-from=(place) {
                summary { (words) }
                div.basis { a href=(place) { "Where this comes from" } }
            }
        };
    }
    let Some(basis) = kind.basis() else { return html! { (words) } };
    html! {
        details.origin data-origin=(kind.key()) {
            summary { (words) }
            div.basis {
                dl {
                    dt { "Formula" } dd { (basis.formula) }
                    dt { "Source" }
                    dd { @for key in basis.sources { p {
                        @match citation(key) {
                            text if text.is_empty() => (key),
                            text => { (text) " " span.aside { "[" (key) "]" } }
                        }
                    } } }
                    dt { "Holds for" } dd { (basis.validity) }
                }
            }
        }
    }
}
