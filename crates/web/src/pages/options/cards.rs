//! Alternatives on a phone: a card for each, with the few figures that decide; a wide page shows the table instead.
//! Not for: the whole table.

use maud::{Markup, html};
use wakewright_core::options::{Measure, ONE_PACK_LOST};
use wakewright_core::sheet::Figure;
use wakewright_core::study::{RANGE, STATE, StateFigure};
use wakewright_rooms::options::{Beside, Line, work_words};
use wakewright_units::Quantity;

use super::table::{figure, stopped_by};

/// The figures of a card: at full throttle, or at the first of the speeds asked.
const CHIEF: [(&Figure, Option<usize>); 4] = [
    (&STATE[StateFigure::Speed as usize], None),
    (&RANGE, Some(0)),
    (&STATE[StateFigure::EnergyPerMile as usize], Some(0)),
    (&ONE_PACK_LOST, None),
];

/// A card for each alternative; what must not be so stands in the place of its figures.
pub fn cards(beside: &Beside<'_>, numbers: &[usize]) -> Markup {
    let found = beside.found;
    let line = |(wanted, speed): (&Figure, Option<usize>)| {
        let m = found.measures.iter().position(|measure: &Measure| measure.is(wanted, speed))?;
        Some((speed, Line { m, of: found.measures[m].of, scale: beside.scale(m) }))
    };
    let lines: Vec<(Option<usize>, Line)> = CHIEF.into_iter().filter_map(line).collect();
    html! {
        div.laid {
            p.aside { "Under each figure stands its difference from the boat as she is, and where that lies four times in five." }
            @for (laid, number) in found.columns.iter().skip(1).zip(numbers) {
                article.laid-card {
                    h2 {
                        a href={ "#alternative-" (number) } { (laid.name) }
                        @if let Some(cost) = &laid.about.cost { span.count { (cost) } }
                    }
                    p.aside {
                        (laid.about.changes.join(", "))
                        @if let Some(work) = work_words(laid.work) { "; " (work) }
                    }
                    @if laid.forbidden.is_empty() {
                        table { tbody {
                            @for (speed, line) in &lines {
                                tr {
                                    th scope="row" {
                                        (line.scale.label(line.of.words))
                                        @if let Some(at) = speed { span.line.aside { "at " (beside.paper.decimals(found.speeds_m_s[*at], Quantity::Speed, 1)) } }
                                    }
                                    (figure(laid, line))
                                }
                            }
                            tr { th scope="row" { "what stops her" } td.words { (stopped_by(laid)) } }
                        } }
                    } @else {
                        ul { @for finding in &laid.forbidden { li { strong.binds { "Must not be: " } (finding.topic) } } }
                    }
                }
            }
        }
    }
}
