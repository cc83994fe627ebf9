//! Parts of the page of causes. Not for: finding causes, or the words that the command says too
//! (`wakewright_rooms::causes`).

use maud::{Markup, html};
use wakewright_core::causes::{
    CRUISE_SHORT, Diagnosis, FULL_SHORT, Forecast, HeldForecast, Measure, Score, causes_value,
    figure_of_cause,
};
use wakewright_core::caution::{of_remedies, of_trials};
use wakewright_core::sheet::Filled;
use wakewright_records::boat::field_named;
use wakewright_rooms::causes::{
    ForecastRecord, apart_sentences, band_pictures, fit_sentence, forecast_answer, forecast_picture,
    held_answer, look_first, next_block, odd_block, point_title, readings_block, remarks, sampling_sentence,
    shares_picture, small_causes,
};
use wakewright_rooms::room::Block;
use wakewright_store::ForecastId;
use wakewright_units::Quantity;

use super::causes::OWN_REMEDY;
use super::field::sentence;
use super::{OnTrial, sheet};
use crate::address;
use crate::pages::explain::TRIAL;
use crate::parts::{self, Widths, figure};
use crate::query::Query;
use wakewright_rooms::diagnosing::{forecast_remedies, value_text};
use wakewright_rooms::remedies::{CHANGES, read_remedy};

/// A remedy of one's own, as typed, with its forecast or what is wrong.
#[derive(Debug)]
pub struct Own {
    typed: String,
    forecast: Result<Forecast, String>,
}

impl Own {
    /// Reads and forecasts it.
    pub fn of(typed: &str, diagnosis: &Diagnosis) -> Self {
        let forecast = read_remedy(typed).and_then(|remedy| {
            forecast_remedies(diagnosis, &[remedy]).pop().ok_or_else(|| "nothing was forecast".to_owned())
        });
        Self { typed: typed.to_owned(), forecast }
    }
}

/// A forecast that was kept, and how it fared.
#[derive(Debug)]
pub struct Held {
    /// Its number in the store.
    pub id: ForecastId,
    /// What it says, or why it cannot be read.
    pub record: Result<ForecastRecord, String>,
    /// Held against this trial; `None` where it was made from this or a later one.
    pub scores: Option<Result<Vec<Score>, String>>,
}

/// Width of a picture that shares a row with another; follows `.columns` of the style sheet.
fn half(width_px: f64) -> f64 {
    if width_px >= 916.0 { (width_px - 40.0) / 2.0 } else { width_px }
}

/// A part of the page under its heading; on a phone folded, with its chief figure beside the name.
fn part(key: &str, title: &str, chief: &str, width_px: f64, contents: &Markup) -> Markup {
    if Widths::of(width_px).unfolds() {
        return html! { h2 id=(key) { (title) } (contents) };
    }
    html! { div id=(key) { (parts::fold(key, title, chief, false, contents)) } }
}

fn counted(count: usize, one: &str) -> String {
    match count {
        0 => format!("no {one}"),
        1 => format!("one {one}"),
        count => format!("{count} {one}s"),
    }
}

/// What the last step did.
pub fn done(query: &Query, slug: &str) -> Markup {
    match query.get("done") {
        Some("kept") => {
            html! { p.notice role="status" { "Kept with today’s date, to be held against the next trial." } }
        }
        Some("adopted") => html! {
            p.notice role="status" {
                "Her document has a new revision with what this trial knows better. It can be undone on the page "
                a href=(address::of_boat(slug, "history")) { "Revisions" } "."
            }
        },
        _ => html! {},
    }
}

/// Why there is no answer.
pub fn nothing(on: &OnTrial, why: &str) -> Markup {
    html! {
        h1.sentence { "No cause can be found from this trial." }
        p.under-sentence { (sentence(why)) }
        (ways(on))
    }
}

/// What each cause takes, at full throttle and at cruising power.
pub fn shares(on: &OnTrial, diagnosis: &Diagnosis, width_px: f64) -> Markup {
    let paper = sheet();
    let taking = diagnosis.points.first().map_or(&[][..], |point| &point.shares);
    let figures: Vec<_> = [&FULL_SHORT, &CRUISE_SHORT]
        .into_iter()
        .chain(taking.iter().map(|share| figure_of_cause(share.cause)))
        .map(|figure| (figure, causes_value(figure, diagnosis)))
        .collect();
    let query = format!("{TRIAL}={}", on.kept.trial.number);
    html! {
        div.columns {
            @for (number, point) in diagnosis.points.iter().enumerate() {
                @let title = point_title(point, &paper);
                @let small = small_causes(point);
                @let picture = html! {
                    (figure(&shares_picture(diagnosis, number, &paper), half(width_px), &format!("shares-{number}"), &title))
                    @if !small.is_empty() { p.aside { "Next to nothing: " (small.join("; ")) "." } }
                };
                // The first picture carries the sentence.
                @if number == 0 || Widths::of(width_px).unfolds() { div { (picture) } }
                @else { (parts::fold(&format!("shares-{number}"), &title, &counted(point.shares.len(), "cause"), false, &picture)) }
            }
        }
        p.aside { "Each bar: the speed that a cause takes, four times in five within the bar. “Main”: how probable it is that it takes most of all." }
        details.part {
            summary { h3 { "In figures, and where each comes from" } }
            (crate::pages::explain::openings("At full throttle, but for the second", &figures, &on.entry.slug, &query, &paper))
        }
    }
}

/// What cannot be kept apart, what may be odd.
pub fn doubts(diagnosis: &Diagnosis, sheets: &[Filled], width_px: f64) -> Markup {
    let apart = apart_sentences(diagnosis, &sheet());
    html! {
        div.columns {
            @if !apart.is_empty() {
                @let list = html! { ul { @for said in &apart { li { (sentence(said)) } } } };
                div { (part("apart", "What these runs cannot tell apart", &counted(apart.len(), "pair"), width_px, &list)) }
            }
            div { (folded_block("odd", &odd_block(diagnosis, sheets), width_px)) }
        }
    }
}

/// A table that is folded on a phone under its title and how many rows it has.
fn folded_block(key: &str, block: &Block, width_px: f64) -> Markup {
    match block {
        Block::Sheet(filled) if !filled.rows.is_empty() && !Widths::of(width_px).unfolds() => {
            parts::fold(key, &filled.title, &counted(filled.rows.len(), "row"), false, &parts::block(block))
        }
        block => parts::block(block),
    }
}

/// What to do next, most telling first.
pub fn next(diagnosis: &Diagnosis, sheets: &[Filled], width_px: f64) -> Markup {
    let telling = next_block(diagnosis, sheets);
    let is_empty = matches!(&telling, Block::Sheet(filled) if filled.rows.is_empty());
    html! {
        h2 { "What to do next" }
        @if !is_empty { (parts::cautions_for("Before she runs", &of_trials())) }
        @if let Some(look) = look_first(diagnosis) { p { (look) } }
        @if is_empty { p { "Nothing that can be done in an afternoon would tell much more." } }
        (folded_block("telling", &telling, width_px))
    }
}

/// What remedies will give, to be kept; and one of one's own.
pub fn remedies(on: &OnTrial, usual: &[Forecast], own: Option<&Own>, width_px: f64) -> Markup {
    let paper = sheet();
    let made = own.and_then(|own| own.forecast.as_ref().ok());
    let all: Vec<Forecast> = made.into_iter().chain(usual).cloned().collect();
    let answer = forecast_answer(&on.entry.name, &all, &paper);
    let keep = |row: usize| {
        let name = &all[row].remedy.name;
        let is_own = made.is_some() && row == 0;
        let (field, value) = match own.filter(|_| is_own) {
            Some(own) => ("own", own.typed.as_str()),
            None => ("keep", name.as_str()),
        };
        html! { button.small name=(field) value=(value) { "Keep" span.visually-hidden { " the forecast: " (name) } } }
    };
    let fault = own.and_then(|own| own.forecast.as_ref().err());
    let contents = html! {
        form.one-line method="get" action={ (on.address("/causes")) "#remedies" } {
            label for="own-remedy" { "A remedy of your own: a name, a colon, changes" }
            input id="own-remedy" name=(OWN_REMEDY) value=[own.map(|own| own.typed.as_str())] placeholder="pulleys and polish: ratio 3; clean blades"
                autocomplete="off" spellcheck="false" aria-invalid=[fault.map(|_| "true")] aria-describedby="own-remedy-note";
            button { "Forecast it" }
            div.note id="own-remedy-note" {
                @if let Some(fault) = fault { p.fault { (sentence(fault)) } }
                p.aside { "Changes: " (CHANGES) "." }
            }
        }
        (figure(&forecast_picture(&all, &paper), width_px, "remedies-picture", "What each gives at full throttle"))
        form method="post" action=(on.address("/causes")) {
            @if made.is_some() && let Some(own) = own { input type="hidden" name="typed" value=(own.typed); }
            @for block in &answer.blocks { (parts::block_with(block, &keep)) }
        }
        (parts::cautions(&of_remedies()))
    };
    let title = "What a remedy will give";
    if own.is_some() {
        return html! { h2 id="remedies" { (title) } (contents) };
    }
    let best = usual.first().and_then(|best| Some((best, best.of(Measure::FullSpeed)?)));
    let chief = best.map_or_else(
        || "nothing forecast".to_owned(),
        |(best, full)| {
            format!("{}: {} more", best.remedy.name, paper.decimals(full.gain.value, Quantity::Speed, 1))
        },
    );
    part("remedies", title, &chief, width_px, &contents)
}

/// Forecasts that were kept, and how they fared.
pub fn held(on: &OnTrial, held: &[Held], width_px: f64) -> Markup {
    let contents = html! {
        @if held.is_empty() {
            p.aside { "None yet. Keep one before the work is done, and the next trial says whether it held." }
        } @else {
            form method="post" action=(on.address("/causes")) {
                @for held in held { (held_one(held)) }
            }
        }
    };
    // One that is held against this trial is why somebody came.
    if held.iter().any(|held| held.scores.is_some()) {
        return html! { h2 id="forecasts" { "Forecasts kept" } (contents) };
    }
    part("forecasts", "Forecasts kept", &counted(held.len(), "forecast"), width_px, &contents)
}

fn held_one(held: &Held) -> Markup {
    let paper = sheet();
    let aside = |name: &str| {
        html! { button.quiet name="aside" value=(held.id.0) { "Put aside" span.visually-hidden { " the forecast: " (name) } } }
    };
    let record = match &held.record {
        Ok(record) => record,
        Err(why) => return html! { section.forecast { p { (sentence(why)) } (aside("unread")) } },
    };
    let made = html! { "made on " (record.made_on) " from “" (record.from_trial) "”" };
    html! {
        section.forecast {
            @match &held.scores {
                None => p { strong { (record.remedy) } ", " (made) ": to be held against a later trial." },
                Some(Err(why)) => p { strong { (record.remedy) } ", " (made) ": this trial cannot judge it. " (sentence(why)) },
                Some(Ok(scores)) => {
                    @let held = HeldForecast { remedy: record.remedy.clone(), made_on: record.made_on.clone(), scores: scores.clone() };
                    @let answer = held_answer(&[held], &paper);
                    p { (answer.finding.sentence) }
                    @for block in &answer.blocks { (parts::block(block)) }
                }
            }
            (aside(&record.remedy))
        }
    }
}

/// Measured points between what she should do and what she does.
pub fn curves(diagnosis: &Diagnosis, width_px: f64) -> Markup {
    let [speed, power] = band_pictures(diagnosis, &sheet());
    let contents = html! {
        div.columns {
            (figure(&speed, half(width_px), "causes-speed", "Speed against shaft speed"))
            (figure(&power, half(width_px), "causes-power", "Power against shaft speed"))
        }
        p.aside { "The band is she as her document has her, clean and in a calm; numbers are those of the runs." }
    };
    part(
        "points",
        "Measured points on the band",
        &counted(diagnosis.fit.readings, "reading"),
        width_px,
        &contents,
    )
}

/// How well it fits, run by run.
pub fn readings(diagnosis: &Diagnosis, sheets: &[Filled], width_px: f64) -> Markup {
    let contents = html! {
        p { (fit_sentence(diagnosis, &sheet())) }
        @for misfit in &diagnosis.fit.misfits { p.notice { (misfit.text(diagnosis)) } }
        p.aside { (sampling_sentence(diagnosis)) }
        details.part {
            summary { h3 { "Run by run" } }
            (parts::block(&readings_block(diagnosis, sheets)))
        }
    };
    let misfits = diagnosis.fit.misfits.len();
    let chief = if misfits == 0 { "within its band".to_owned() } else { counted(misfits, "misfit") };
    html! {
        // What must be known of the ground it stands on is never folded.
        @for remark in remarks(diagnosis) { p.notice { (remark.text()) } }
        (part("fit", "How well it fits", &chief, width_px, &contents))
    }
}

/// What the trial knows better than her document, to be adopted.
pub fn knows_better(on: &OnTrial, diagnosis: &Diagnosis, width_px: f64) -> Markup {
    let Some(loaded) = &on.loaded else { return html! {} };
    let values: Vec<(&'static str, String)> = diagnosis.calibrated.iter().filter_map(value_text).collect();
    let contents = html! {
        @if values.is_empty() {
            p { "Nothing: her document stands as it is." }
        } @else {
            table.stacks {
                caption.visually-hidden { "Values to adopt" }
                thead { tr { th scope="col" { "field" } th scope="col" { "her document" } th scope="col" { "this trial" } } }
                tbody { @for (address, text) in &values { tr {
                    th scope="row" { (field_named(address).map_or(*address, |field| field.label)) }
                    td data-head="her document" { (loaded.document.typed(address).unwrap_or("not given")) }
                    td data-head="this trial" { strong { (text) } }
                } } }
            }
            form.buttons method="post" action=(on.address("/causes")) {
                input type="hidden" name="base" value=(on.revision);
                button name="adopt" value="yes" { "Adopt as a new revision" }
            }
            p.aside { "Drive, Range, Options and Search then count with it. Each value says which trial it comes from, and the revision can be undone." }
        }
    };
    let title = "What this trial knows better than her document";
    part("adopt", title, &counted(values.len(), "value"), width_px, &contents)
}

/// The way back.
pub fn ways(on: &OnTrial) -> Markup {
    html! {
        h2 { "Elsewhere" }
        p.ways-on {
            a.button href=(on.address("")) { "The trial and its runs" }
            a.button href=(address::of_boat(&on.entry.slug, "trials")) { "All her trials" }
        }
    }
}
