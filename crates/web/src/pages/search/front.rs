//! The front of a search: the picture with its frame, the list of what lies within, and the candidate that
//! is looked at. The same parts are sent alone when the frame moves. Not for: the search itself.

use maud::{Markup, html};
use wakewright_core::propeller::PropellerChange;
use wakewright_core::search::{Candidate, Merit, Outcome, spread_out};
use wakewright_rooms::scale::Scale;
use wakewright_rooms::search::{
    FrontScene, candidate_figures, candidate_remarks, candidate_words, compared_with, front_picture,
    merit_key, merit_scale, size_words,
};
use wakewright_rooms::text::Paper;
use wakewright_units::format_number;

use crate::parts::{self, live};
use crate::query::Query;

/// Rows of the list.
const MOST_ROWS: usize = 24;

/// A frame on the front: two merits and from where to where on each, SI divided as shown.
pub struct Frame {
    /// Along and up.
    pub axes: [Axis; 2],
    /// Which members lie within.
    pub within: Vec<bool>,
    /// The member that is looked at.
    pub chosen: Option<usize>,
}

/// One side of the frame.
pub struct Axis {
    /// The merit.
    pub merit: Merit,
    scale: Scale,
    /// Ends of the front.
    ends: (f64, f64),
    /// Ends of the frame.
    from: f64,
    to: f64,
}

impl Axis {
    fn of(name: &str, usual: Merit, outcome: &Outcome, query: &Query) -> Self {
        let asked = query.get(name);
        let merit = Merit::ALL.into_iter().find(|merit| asked == Some(merit_key(*merit))).unwrap_or(usual);
        let (_, scale) = merit_scale(merit, outcome, &parts::paper());
        let values = outcome.candidates.iter().map(|candidate| scale.number(candidate.merits.get(merit)));
        let ends =
            values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)));
        let at = |end: &str, usual: f64| {
            let typed = query.get(&format!("{name}-{end}")).and_then(|text| text.trim().parse::<f64>().ok());
            typed.filter(|value| value.is_finite()).map_or(usual, |value| value.clamp(ends.0, ends.1))
        };
        // A frame of another merit's numbers means nothing here.
        let is_same = query.get(&format!("{name}-of")).is_none_or(|of| of == merit_key(merit));
        let (from, to) = if is_same { (at("from", ends.0), at("to", ends.1)) } else { ends };
        Self { merit, scale, ends, from: from.min(to), to: to.max(from) }
    }

    fn value(&self, candidate: &Candidate) -> f64 {
        self.scale.number(candidate.merits.get(self.merit))
    }

    fn holds(&self, candidate: &Candidate) -> bool {
        // A browser may hand the end of a slider back rounded.
        let slack = 1e-6 * (self.ends.1 - self.ends.0);
        let value = self.value(candidate);
        value >= self.from - slack && value <= self.to + slack
    }

    fn words(&self, value: f64) -> String {
        let number = format_number(value, self.scale.decimals);
        format!("{number} {}", self.scale.unit.symbol()).trim_end().to_owned()
    }
}

impl Frame {
    /// The frame of a query.
    pub fn of(outcome: &Outcome, query: &Query) -> Self {
        let x = Axis::of("x", Merit::Energy, outcome, query);
        let usual_y = if x.merit == Merit::TopSpeed { Merit::Energy } else { Merit::TopSpeed };
        let y = Axis::of("y", usual_y, outcome, query);
        let within = outcome.candidates.iter().map(|c| x.holds(c) && y.holds(c)).collect();
        let chosen = query.get("chosen").and_then(|text| text.parse().ok());
        Self {
            axes: [x, y],
            within,
            chosen: chosen.filter(|place: &usize| *place < outcome.candidates.len()),
        }
    }
}

/// Where the parts stand and what they lead to.
pub struct Place<'a> {
    /// Address of the page with wish and job, without the frame.
    pub page: &'a str,
    /// Address that makes a candidate an alternative.
    pub keep: &'a str,
    /// The wish as hidden fields.
    pub hidden: &'a Markup,
    /// Width for pictures, px.
    pub width_px: f64,
}

/// All parts that follow the frame.
pub fn live_parts(outcome: &Outcome, frame: &Frame, place: &Place<'_>, paper: &Paper) -> Markup {
    let scene = FrontScene {
        outcome,
        axes: (frame.axes[0].merit, frame.axes[1].merit),
        within: &frame.within,
        chosen: frame.chosen,
    };
    let picture = front_picture(&scene, paper);
    html! {
        (live("front", &parts::figure(&picture, place.width_px, "front-picture", "What no other beats in everything")))
        (live("chosen", &html! { @if let Some(position) = frame.chosen { (looked_at(outcome, position, place, paper)) } }))
        (live("list", &list(outcome, frame, place, paper)))
    }
}

/// The form of the frame, which is typed into or slid, and drawn on the picture where scripts run.
pub fn frame_form(outcome: &Outcome, frame: &Frame, place: &Place<'_>, address: &str) -> Markup {
    html! {
        form.frame method="get" action=(address) data-frame novalidate {
            (place.hidden)
            @for (name, words, axis) in [("x", "along", &frame.axes[0]), ("y", "up", &frame.axes[1])] {
                fieldset data-axis=(name) {
                    legend { (words) }
                    input type="hidden" name={ (name) "-of" } value=(merit_key(axis.merit));
                    label.visually-hidden for=(name) { "what is shown " (words) }
                    select id=(name) name=(name) {
                        @for merit in Merit::ALL {
                            option value=(merit_key(merit)) selected[merit == axis.merit] { (merit.words(outcome.search.has_prices()).0) }
                        }
                    }
                    (ends(name, axis))
                }
            }
            div.buttons {
                button.show { "Show" }
                a.button href=(place.page) data-whole { "The whole front" }
            }
        }
    }
}

fn ends(name: &str, axis: &Axis) -> Markup {
    html! {
        @for (end, value) in [("from", axis.from), ("to", axis.to)] {
            @let id = format!("{name}-{end}");
            div.end {
                label for=(id) { (end) }
                output for=(id) { (axis.words(value)) }
                input type="range" id=(id) name=(id) min=(axis.ends.0) max=(axis.ends.1) step="any" value=(value)
                    aria-valuetext=(axis.words(value)) data-unit=(axis.scale.unit.symbol()) data-decimals=(axis.scale.decimals);
            }
        }
    }
}

/// The list of what lies within the frame.
fn list(outcome: &Outcome, frame: &Frame, place: &Place<'_>, paper: &Paper) -> Markup {
    let inside: Vec<usize> = (0..outcome.candidates.len()).filter(|&i| frame.within[i]).collect();
    let members: Vec<Candidate> = inside.iter().map(|&i| outcome.candidates[i].clone()).collect();
    let picked = outcome.pick.map(|pick| pick.position);
    let first = picked.and_then(|pick| inside.iter().position(|&i| i == pick)).unwrap_or(0);
    let mut shown: Vec<usize> = match members.is_empty() {
        true => Vec::new(),
        false => spread_out(&members, first, MOST_ROWS).into_iter().map(|i| inside[i]).collect(),
    };
    // The one that the pick is held against is seen beside it.
    let compared = compared_with(outcome).map(|(place, _)| place);
    if let Some(compared) = compared.filter(|place| inside.contains(place) && !shown.contains(place)) {
        shown.push(compared);
        shown.sort_unstable();
    }
    // The boat as she is has a row of her own.
    let listed = shown.iter().filter(|&&i| outcome.candidates[i].change.parts() > 0);
    html! {
        h2 id="list" { "Within the frame" }
        p role="status" {
            @if inside.len() == outcome.candidates.len() { "All " (inside.len()) " of the Pareto front" }
            @else { (inside.len()) " of the " (outcome.candidates.len()) " of the Pareto front" }
            @match (inside.len(), shown.len()) {
                (0, _) => ". Widen the frame.",
                (all, some) if all > some => { "; shown are " (some) " that stand for them, thriftiest first. Narrow the frame to see the rest." },
                _ => ", thriftiest first.",
            }
        }
        @if !shown.is_empty() {
            div.scroll role="region" aria-label="Candidates within the frame" tabindex="0" {
                table.candidates.stacks {
                    thead { tr {
                        th scope="col" { "what changes" }
                        @for merit in Merit::ALL {
                            th.number scope="col" { (head(outcome, merit, paper)) }
                        }
                        th scope="col" { span.visually-hidden { "look at it" } }
                    } }
                    tbody {
                        @if let Some(present) = &outcome.present {
                            tr.aside {
                                th scope="row" { "as she is" }
                                (figures(outcome, present, paper))
                                td {}
                            }
                        }
                        @for &position in listed { (row(outcome, frame, position, place, paper)) }
                    }
                }
            }
        }
    }
}

fn row(outcome: &Outcome, frame: &Frame, position: usize, place: &Place<'_>, paper: &Paper) -> Markup {
    let candidate = &outcome.candidates[position];
    let is_picked = outcome.pick.is_some_and(|pick| pick.position == position);
    let is_chosen = frame.chosen == Some(position);
    let words = candidate_words(outcome, candidate, paper);
    html! {
        tr data-key=(position) .looked-at[is_chosen] {
            th scope="row" { @if is_picked { strong { "the pick: " } } (words) }
            (figures(outcome, candidate, paper))
            td {
                @if candidate.change.parts() > 0 {
                    a.button.small href=(format!("{}&chosen={position}#chosen", place.page)) data-choose=(position)
                        aria-label={ "Look at " (words) } aria-current=[is_chosen.then_some("true")] { "look at it" }
                }
            }
        }
    }
}

fn head(outcome: &Outcome, merit: Merit, paper: &Paper) -> String {
    let (words, scale) = merit_scale(merit, outcome, paper);
    scale.label(words)
}

fn figures(outcome: &Outcome, candidate: &Candidate, paper: &Paper) -> Markup {
    html! {
        @for merit in Merit::ALL {
            td.number data-head=(head(outcome, merit, paper)) {
                (merit_scale(merit, outcome, paper).1.value(candidate.merits.get(merit)))
            }
        }
    }
}

/// The candidate that is looked at: what it is, what to know of it, and the way into her document.
fn looked_at(outcome: &Outcome, position: usize, place: &Place<'_>, paper: &Paper) -> Markup {
    let candidate = &outcome.candidates[position];
    let words = candidate_words(outcome, candidate, paper);
    html! {
        section.chosen id="chosen" tabindex="-1" aria-label="The candidate looked at" {
            h2 { (words) }
            dl.figures {
                @for (label, figure) in candidate_figures(outcome, candidate, paper) { div { dt { (label) } dd { (figure) } } }
            }
            @for remark in candidate_remarks(outcome, candidate, paper) { p.notice { (remark) } }
            @if candidate.change.parts() > 0 {
                form.one-line method="post" action=(place.keep) {
                    (place.hidden)
                    input type="hidden" name="chosen" value=(position);
                    label for="candidate-name" { "Name of the alternative" }
                    input id="candidate-name" name="name" value=(short_name(candidate, paper)) autocomplete="off";
                    button.main { "Make it an alternative" }
                }
            }
        }
    }
}

/// A name that is short enough for a column's head: the propeller's size, what else changes behind it.
pub fn short_name(candidate: &Candidate, paper: &Paper) -> String {
    let change = &candidate.change;
    let mut parts = Vec::new();
    let size = size_words(&candidate.boat, paper);
    match change.propeller {
        PropellerChange::None => {}
        PropellerChange::Repitch => parts.push(format!("re-pitched {size}")),
        PropellerChange::New => parts.push(format!("{} blades {size}", candidate.boat.propeller.blades)),
    }
    if change.reduction {
        parts.push(format!("{:.2}:1", candidate.boat.drive_line.ratio));
    }
    if change.motor {
        parts.extend(candidate.motor.split(" at ").next().map(str::to_owned));
    }
    let group = candidate.boat.bank.groups.first();
    if let (true, Some(group)) = (change.voltage || change.packs != 0, group) {
        parts.push(format!("{} x {} cells", group.packs_in_parallel, group.cells_in_series));
    }
    parts.join(", ")
}
