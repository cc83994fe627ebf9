//! The runs of a trial: on the strip, as a table with pairs and stream, with what the day did to them;
//! and the places where those of a log are added, trimmed and dropped.

use maud::{Markup, PreEscaped, html};
use wakewright_core::trial::IterativeError;
use wakewright_logs::TimeBase;
use wakewright_logs::trial::{CORRECTIONS, ReadRun, RunMark, RunOrigin, RunState};
use wakewright_picture::{Frame, Picture, Theme};
use wakewright_rooms::draw::trial_strip;
use wakewright_rooms::trial::{DayFacts, duration_text, flag_words};
use wakewright_units::factors::{DEGREE_RAD, RPM_REV_S};
use wakewright_units::{Quantity, UnitSystem, format_number, unit_for};

use super::field::{Kind, TYPED, TrialField, id_of, note};
use super::sheet;
use wakewright_rooms::scene::strips;
use wakewright_rooms::trials::KeptTrial;

/// Stretches of log that are drawn; more than these are named.
const MOST_STRIPS: usize = 6;

/// The strips of the log.
#[must_use]
pub fn strip(kept: &KeptTrial, width_px: f64) -> Markup {
    let logs = strips(&kept.reading);
    let base = kept.reading.outings.first().map_or("time-of-day", |outing| match outing.time_base {
        TimeBase::Utc => "utc",
        TimeBase::TimeOfDay => "time-of-day",
        TimeBase::Elapsed | TimeBase::Lines => "elapsed",
    });
    let count = logs.len();
    html! {
        @for (number, log) in logs.iter().take(MOST_STRIPS).enumerate() {
            @let svg = trial_strip(log, width_px, UnitSystem::Trade).to_svg(&Frame::new(width_px, Theme::Page, &format!("strip-{number}")));
            figure.strip data-base=(base) {
                figcaption { "The log over time" @if count > 1 { ", stretch " (number + 1) " of " (count) } }
                (PreEscaped(svg))
                p.readout role="status" data-strip-text {}
            }
        }
        @if count > MOST_STRIPS { p.aside { (count - MOST_STRIPS) " more stretches are not drawn; their runs are in the table." } }
    }
}

/// The runs that are used, with pairs, stream and the day.
#[must_use]
pub fn results(kept: &KeptTrial) -> Markup {
    let used: Vec<&ReadRun> = kept.reading.runs.iter().filter(|run| run.state == RunState::Used).collect();
    if used.is_empty() {
        return html! {};
    }
    let facts = kept.facts(&sheet());
    html! {
        div.scroll role="region" aria-label="Runs" tabindex="0" {
            table {
                caption { "Runs" }
                thead { tr {
                    th.number scope="col" { "run" } th scope="col" { "from" } th.number scope="col" { "course" }
                    @for head in ["over ground, kn", "by the log, kn", "shaft, rpm", "V", "A", "kW"] { th.number scope="col" { (head) } }
                    th scope="col" { "pair" }
                } }
                tbody { @for (place, (read, fact)) in used.iter().zip(&facts.runs).enumerate() { (run_row(kept, place, read, &fact.from, fact.is_short)) } }
            }
        }
        (pairs(kept))
        (flags(kept))
    }
}

fn cell(value: Option<f64>, decimals: usize) -> String {
    value.map_or_else(|| "–".to_owned(), |value| format_number(value, decimals))
}

fn run_row(kept: &KeptTrial, place: usize, read: &ReadRun, from: &str, is_short: bool) -> Markup {
    let run = &read.run;
    let knots = |si: f64| unit_for(Quantity::Speed, UnitSystem::Trade).from_si(si);
    let pair =
        kept.analysis.pairs.iter().position(|found| found.pair.first == place || found.pair.second == place);
    html! {
        tr {
            th.number scope="row" { (place + 1) }
            td.when { (of_the_day(from)) @if run.duration_s > 0.0 { ", " (duration_text(run.duration_s)) } @if is_short { " (short)" }
                @if !read.note.is_empty() { span.line { (read.note) } } }
            td.number { (cell(run.course_rad.map(|c| c / DEGREE_RAD), 0)) }
            td.number { (cell(run.speed_over_ground_m_s.map(knots), 2)) }
            td.number { (cell(run.speed_through_water_m_s.map(knots), 2)) }
            td.number { (cell(run.shaft_speed_rev_s.map(|n| n / RPM_REV_S), 0))
                @if run.shaft_speed_rev_s.is_none() && let Some(motor) = run.motor_speed_rev_s { " (motor " (format_number(motor / RPM_REV_S, 0)) ")" } }
            td.number { (cell(run.voltage_v, 1)) }
            td.number { (cell(run.current_a, 0)) }
            td.number { (cell(run.power_w.map(|p| p / 1000.0), 2)) }
            td { @match pair { Some(pair) => { "pair " (pair + 1) } None => "alone" } }
        }
    }
}

/// A time without its date, which all runs of an afternoon share.
fn of_the_day(time: &str) -> &str {
    time.split_once(' ')
        .filter(|(date, _)| date.len() == 10 && date.contains('-'))
        .map_or(time, |(_, time)| time)
}

/// Pairs with the stream taken out, and the other ways to take it out.
fn pairs(kept: &KeptTrial) -> Markup {
    let analysis = &kept.analysis;
    let paper = sheet();
    let speed = |si: f64| paper.decimals(si, Quantity::Speed, 2);
    html! {
        @if !analysis.pairs.is_empty() {
            table.stacks {
                caption { "Pairs, the stream taken out" }
                thead { tr { th scope="col" { "pair" } th.number scope="col" { "through the water" } th.number scope="col" { "stream" }
                    th.number scope="col" { "turning" } th.number scope="col" { "power" } th.number scope="col" { "the log shows" } } }
                tbody { @for (number, found) in analysis.pairs.iter().enumerate() { tr {
                    th scope="row" { (number + 1) ": runs " (found.pair.first + 1) " and " (found.pair.second + 1) }
                    td.number.wide data-head="through the water" { strong { (speed(found.estimate.speed_through_water_m_s)) } }
                    td.number data-head="stream" { (speed(found.estimate.stream_along_m_s.abs())) }
                    td.number data-head="turning" { (found.turning_rev_s.map_or_else(|| "–".to_owned(), |n| paper.quantity(n, Quantity::RotationalSpeed))) }
                    td.number data-head="power" { (found.power_w.map_or_else(|| "–".to_owned(), |p| paper.quantity(p, Quantity::Power))) }
                    td.number data-head="the log shows" { (found.log_factor.map_or_else(|| "–".to_owned(), |f| format!("{} % of that", format_number(100.0 * f, 0)))) }
                } } }
            }
        }
        @for alternating in &analysis.alternating {
            @let runs: Vec<String> = alternating.runs.iter().map(|run| (run + 1).to_string()).collect();
            p { "Runs " (runs.join(", ")) " in turn with and against: mean of means " strong { (speed(alternating.speed_through_water_m_s)) } "." }
        }
        @match &analysis.iterative {
            Some(Ok(solution)) if !solution.is_constant_stream => p { "The stream changed with the tide; over all pairs together power goes with the "
                (format_number(solution.power.exponent, 2)) "th power of speed." },
            Some(Err(error)) => p.notice { "Over all pairs together: " (iterative_words(error)) },
            _ => {},
        }
    }
}

fn iterative_words(error: &IterativeError) -> String {
    super::field::sentence(&error.to_string())
}

/// What to say of single runs before they are used.
fn flags(kept: &KeptTrial) -> Markup {
    html! {
        @for (place, stated) in kept.stated.iter().enumerate() {
            @for flag in &stated.flags { p.notice { "Run " (place + 1) ": " (flag_words(*flag)) "." } }
        }
        @if kept.reading.conditions.is_confined { p.notice { "Made in a narrow channel: shown, and not used for causes." } }
    }
}

/// What the day did, with the switches that take it off.
#[must_use]
pub fn corrections(kept: &KeptTrial) -> Markup {
    html! {
        p.aside { "What is ticked is taken off the power of each run, so that it stands beside her document in still air and flat water." }
        div.ticks {
            @for correction in CORRECTIONS {
                @let name = format!("correct.{}", correction.word());
                (TrialField { name: &name, label: correction.label(), hint: "", kind: Kind::Switch }.markup(kept))
            }
        }
    }
}

/// What each correction does to each run.
#[must_use]
pub fn effects(kept: &KeptTrial) -> Markup {
    let days: Vec<DayFacts> = kept.day_facts();
    if days.iter().all(|day| day.measured_w.is_none()) {
        return html! { p.aside { "No run has a power yet, so there is nothing to correct." } };
    }
    let watts = |watts: Option<f64>| {
        watts.map_or_else(|| "not known".to_owned(), |w| format!("{} W", format_number(w, 0)))
    };
    html! {
        div.scroll role="region" aria-label="What the day added" tabindex="0" {
            table {
                caption { "What the day added to her power" }
                thead { tr { th.number scope="col" { "run" } th.number scope="col" { "measured" }
                    @for correction in CORRECTIONS { th.number scope="col" { (correction.word())
                        @if kept.document.corrections.contains(&correction) { " (off)" } } }
                    th.number scope="col" { "as stated" } } }
                tbody { @for day in &days { tr {
                    th.number scope="row" { (day.run) }
                    td.number { (watts(day.measured_w)) }
                    @for part in &day.parts { td.number { (watts(part.watts)) } }
                    td.number { strong { (watts(day.stated_w)) } }
                } } }
            }
        }
        @if CORRECTIONS.iter().any(|c| kept.document.corrections.contains(c)) { p.aside { "“(off)”: taken off." } }
        @if days.iter().flat_map(|day| &day.parts).any(|part| part.watts.is_none()) { p.aside { "“Not known”: note wind, waves, displacement or water under “The day”." } }
    }
}

/// From when to when each run of the log goes; one line more for a run to be added.
#[must_use]
pub fn marks(kept: &KeptTrial) -> Markup {
    let found: Vec<RunMark> = marks_of(kept);
    html! {
        p.aside {
            @match kept.document.marks {
                None => "These were found. Change one, and all of them are yours: they stay as you set them.",
                Some(_) => "Set by hand.",
            }
            " On the strip, drag an edge to trim a run, or drag across an empty stretch to add one."
        }
        div.marks-table role="group" aria-label="Runs in the log" {
            @for (number, mark) in found.iter().enumerate() { (mark_row(kept, number, mark, &label_of(kept, number))) }
            (mark_row(kept, found.len(), &RunMark::default(), "new"))
        }
        div.buttons {
            button name="do" value="set-runs" { "Set these runs" }
            @if kept.document.marks.is_some() { button.quiet name="do" value="find-runs" { "Find them anew" } }
        }
        @let least = TrialField { name: "least_run", label: "Shortest run that is found", hint: "60 s", kind: Kind::Text };
        div.named { (least.markup(kept)) }
    }
}

/// The runs of the log as marks, set or found.
#[must_use]
pub fn marks_of(kept: &KeptTrial) -> Vec<RunMark> {
    kept.marks()
}

/// The number that a mark's run bears everywhere, from its place among the used.
fn label_of(kept: &KeptTrial, number: usize) -> String {
    let mut found = 0;
    let mut used = 0;
    for read in &kept.reading.runs {
        used += usize::from(read.state == RunState::Used);
        let is_this = match read.origin {
            RunOrigin::Mark(mark) => mark == number,
            RunOrigin::Found => {
                found += 1;
                found == number + 1
            }
            RunOrigin::Notebook(_) => false,
        };
        if is_this {
            return if read.state == RunState::Used { format!("run {used}") } else { "dropped".to_owned() };
        }
    }
    "not read".to_owned()
}

fn mark_row(kept: &KeptTrial, number: usize, mark: &RunMark, label: &str) -> Markup {
    let name = |field: &str| format!("marks.{number}.{field}");
    let fault = format!("marks.{number}");
    let is_wrong = super::field::faults_of(kept, &fault).next().is_some();
    let input = |field: &str, words: &str, value: &str| {
        let (name, described) = (name(field), format!("{}-note", id_of(&fault)));
        html! {
            input id=(id_of(&name)) name={ (TYPED) (name) } value=(value) aria-label={ (label) ", " (words) } placeholder=(words)
                autocomplete="off" spellcheck="false" aria-invalid=[is_wrong.then_some("true")] aria-describedby=(described);
        }
    };
    let switch = |field: &str, words: &str, is_on: bool| {
        let name = name(field);
        html! {
            label.tick { input type="hidden" name="switch" value=(name);
                input type="checkbox" id=(id_of(&name)) name={ (TYPED) (name) } value="yes" checked[is_on] aria-label={ (label) ", " (words) };
                span aria-hidden="true" { (words) } }
        }
    };
    html! {
        div.mark-row data-mark=(number) {
            span.which { (label) }
            (input("from", "from", &mark.from))
            (input("to", "to", &mark.to))
            (switch("full", "full throttle", mark.is_full_throttle))
            (switch("dropped", "drop", mark.is_dropped))
            div.note id={ (id_of(&fault)) "-note" } { (note(kept, &fault)) }
        }
    }
}
