//! Why she is slow: what each cause takes, what to do next, what a remedy will give, forecasts kept and
//! held, and what the trial knows better than her document. The diagnosis takes a second or two, so the
//! page stands first and asks for it. Not for: the parts (`causes_parts`), the inference, its words.

use maud::{Markup, html};
use wakewright_core::causes::CAUSES_SHEETS;
use wakewright_core::causes::{CausesOptions, Diagnosis, Epoch, Forecast, Measure, usual_remedies};
use wakewright_rooms::causes::{ForecastRecord, causes_finding, filled};
use wakewright_store::KeptForecast;

use super::causes_parts::{self, Held, Own};
use super::{OnTrial, sheet};
use crate::diagnoses::{Basis, Found, Looked};
use crate::error::WebError;
use crate::pages::boat::AboutBoat;
use crate::pages::keep::{save, sound_text};
use crate::parts::{self, contents_width};
use crate::query::Query;
use crate::state::{Site, now};
use crate::visitor::Visitor;
use wakewright_rooms::boats::Loaded;
use wakewright_rooms::diagnosing::{
    adopted, diagnose_boat, epochs_of_store, forecast_remedies, hold_against,
};
use wakewright_rooms::explain::{OfTrial, of_diagnosis};
use wakewright_rooms::moment;
use wakewright_rooms::remedies::read_remedy;

/// Name of the form field that holds a remedy of one's own.
pub const OWN_REMEDY: &str = "remedy";

/// The page: whole when the answer is held, else the place for it.
///
/// # Errors
/// There is no such boat or trial.
pub fn contents(
    site: &Site,
    slug: &str,
    number: u32,
    query: &Query,
    visitor: &Visitor,
) -> Result<AboutBoat, WebError> {
    let on = OnTrial::load(site, slug, number)?;
    let is_there = site.diagnoses().holds(&basis(site, &on, false)?) || query.get("now").is_some();
    let said = causes_parts::done(query, slug);
    let body = if is_there || on.loaded.is_none() {
        html! { (said) (whole(site, &on, query, visitor)?) }
    } else {
        let place = |rest: &str| {
            let own = query.get(OWN_REMEDY).map_or_else(String::new, |own| {
                form_urlencoded::Serializer::new(String::new()).append_pair(OWN_REMEDY, own).finish()
            });
            on.address(&format!("{rest}{own}"))
        };
        html! {
            (said)
            div data-later=(place("/causes/part?")) {
                h1.sentence { "Looking into what makes " (on.entry.name) " as fast as she is." }
                p.under-sentence role="status" { "Thousands of boats such as she may be are sailed through this trial; it takes a few seconds." }
                noscript { p { a.button href=(place("/causes?now=&")) { "Show what was found" } } }
            }
        }
    };
    Ok(AboutBoat { entry: on.entry, body })
}

/// What the place is filled with.
///
/// # Errors
/// There is no such boat or trial.
pub fn part(
    site: &Site,
    slug: &str,
    number: u32,
    query: &Query,
    visitor: &Visitor,
) -> Result<Markup, WebError> {
    whole(site, &OnTrial::load(site, slug, number)?, query, visitor)
}

/// The place on the trial's own page where the sentence appears; empty while no run can be used.
pub fn teaser(on: &OnTrial) -> Markup {
    let has_runs = !on.kept.reading.used().is_empty();
    html! {
        @if has_runs && on.loaded.is_some() {
            div.teaser data-later=(on.address("/causes/brief")) {
                p.ways-on { a.button href=(on.address("/causes")) { "Why: causes, next run, remedies" } }
            }
        }
    }
}

/// The sentence alone, with the way to the rest.
///
/// # Errors
/// There is no such boat or trial.
pub fn brief(site: &Site, slug: &str, number: u32) -> Result<Markup, WebError> {
    let on = OnTrial::load(site, slug, number)?;
    let looked = look(site, &on, false)?;
    let said = match looked.get() {
        Some(Ok(found)) => causes_finding(&on.entry.name, &found.diagnosis, &sheet()).sentence,
        Some(Err(why)) => format!("No cause can be found. {}", super::field::sentence(why)),
        None => String::new(),
    };
    Ok(html! {
        p.lead { (said) }
        p.ways-on { a.button href=(on.address("/causes")) { "Why: causes, next run, remedies" } }
    })
}

/// A figure that was found from trial `number` of the boat of this slug, the latest when not given.
///
/// # Errors
/// There is no such boat or trial, or no cause can be found from it.
pub fn opened(
    site: &Site,
    slug: &str,
    number: Option<&str>,
    figure: &'static wakewright_core::sheet::Figure,
) -> Result<OfTrial, WebError> {
    let latest = || -> Result<Option<u32>, WebError> {
        let store = site.store();
        let trials = store.trials(store.find_by_slug(slug)?.id)?;
        Ok(trials.iter().map(|trial| trial.number).max())
    };
    let number = match number {
        Some(text) => text.parse().ok(),
        None => latest()?,
    };
    let number = number.ok_or_else(|| {
        WebError::NoResult("This figure is found from trials; she has none of that number yet.".to_owned())
    })?;
    let on = OnTrial::load(site, slug, number)?;
    match look(site, &on, false)?.get() {
        Some(Ok(found)) => Ok(of_diagnosis(figure, &found.diagnosis)),
        Some(Err(why)) => Err(WebError::NoResult(super::field::sentence(why))),
        None => Err(WebError::BrokenOff),
    }
}

/// What is held or found for the trial.
fn look(site: &Site, on: &OnTrial, is_alone: bool) -> Result<Looked, WebError> {
    let Some(loaded) = &on.loaded else {
        return Err(WebError::BadRequest(format!(
            "The document of {} has faults; no cause can be found before they are mended on her page Boat.",
            on.entry.name
        )));
    };
    let basis = basis(site, on, is_alone)?;
    let epochs: Vec<Epoch> = {
        let store = site.store();
        let number = on.kept.trial.number;
        epochs_of_store(&store, site.shelf(), on.entry.id, loaded, Some(number), is_alone)?
            .into_iter()
            .map(|(_, epoch)| epoch)
            .collect()
    };
    Ok(site.diagnoses().get(&basis, || find(loaded, &epochs)))
}

fn basis(site: &Site, on: &OnTrial, is_alone: bool) -> Result<Basis, WebError> {
    let trials = site.store().trials(on.entry.id)?;
    let number = on.kept.trial.number;
    let of_all = trials.iter().map(|trial| (trial.number, trial.version));
    let versions = if is_alone { vec![(number, on.kept.trial.version)] } else { of_all.collect() };
    Ok(Basis { boat: on.entry.id, revision: on.revision, number, versions, is_alone })
}

fn find(loaded: &Loaded, epochs: &[Epoch]) -> Result<Found, String> {
    let diagnosis = diagnose_boat(loaded, epochs, &CausesOptions::default())?;
    let mut forecasts = forecast_remedies(&diagnosis, &usual_remedies(&diagnosis));
    let gain = |forecast: &Forecast| forecast.of(Measure::FullSpeed).map_or(0.0, |full| full.gain.value);
    forecasts.sort_by(|a, b| gain(b).total_cmp(&gain(a)));
    Ok(Found { diagnosis, forecasts })
}

fn whole(site: &Site, on: &OnTrial, query: &Query, visitor: &Visitor) -> Result<Markup, WebError> {
    let looked = look(site, on, false)?;
    let found = match looked.get() {
        Some(Ok(found)) => found,
        Some(Err(why)) => return Ok(causes_parts::nothing(on, why)),
        None => return Err(WebError::BrokenOff),
    };
    let own = query.get(OWN_REMEDY).filter(|typed| !typed.trim().is_empty());
    let own = own.map(|typed| Own::of(typed, &found.diagnosis));
    let kept = site.store().forecasts(on.entry.id)?;
    let held = held(site, on, kept)?;
    let sheets = filled(&CAUSES_SHEETS, &found.diagnosis);
    let width_px = contents_width(query, visitor);
    let finding = causes_finding(&on.entry.name, &found.diagnosis, &sheet());
    Ok(html! {
        (parts::finding(&finding))
        @if !found.diagnosis.is_refused() { (causes_parts::shares(on, &found.diagnosis, width_px)) }
        (causes_parts::doubts(&found.diagnosis, &sheets, width_px))
        @if !found.diagnosis.is_refused() {
            (causes_parts::next(&found.diagnosis, &sheets, width_px))
            (causes_parts::remedies(on, &found.forecasts, own.as_ref(), width_px))
        }
        (causes_parts::held(on, &held, width_px))
        (causes_parts::curves(&found.diagnosis, width_px))
        (causes_parts::readings(&found.diagnosis, &sheets, width_px))
        (causes_parts::knows_better(on, &found.diagnosis, width_px))
        (causes_parts::ways(on))
    })
}

/// Forecasts of the boat, each held against this trial if it was made from an earlier one.
fn held(site: &Site, on: &OnTrial, kept: Vec<KeptForecast>) -> Result<Vec<Held>, WebError> {
    let read: Vec<_> = kept.into_iter().map(|kept| (ForecastRecord::read(&kept.text), kept)).collect();
    let number = on.kept.trial.number;
    let is_later = |record: &ForecastRecord| record.from_number.is_none_or(|from| from < number);
    let needs_outcome = read.iter().any(|(record, _)| record.as_ref().is_ok_and(&is_later));
    // What the forecast stood on must not judge it: this trial by its own runs.
    let outcome = if needs_outcome { Some(look(site, on, true)?) } else { None };
    let outcome: Option<Result<&Diagnosis, &String>> = outcome
        .as_ref()
        .and_then(|looked| looked.get())
        .map(|looked| looked.as_ref().map(|found| &found.diagnosis));
    let rows = read.into_iter().map(|(record, kept)| match record {
        Err(error) => Held { id: kept.id, record: Err(error.to_string()), scores: None },
        Ok(record) => {
            let scores = outcome.filter(|_| is_later(&record)).map(|outcome| match outcome {
                Ok(diagnosis) => hold_against(&record, diagnosis),
                Err(why) => Err(why.clone()),
            });
            Held { id: kept.id, record: Ok(record), scores }
        }
    });
    Ok(rows.collect())
}

/// Does what a button says; gives the address to go to.
///
/// # Errors
/// There is no such trial, forecast or remedy, or the store fails.
pub fn submit(site: &Site, slug: &str, number: u32, form: &Query) -> Result<String, WebError> {
    let on = OnTrial::load(site, slug, number)?;
    if let Some(id) = form.get("aside") {
        put_aside(site, &on, id)?;
        return Ok(on.address("/causes#forecasts"));
    }
    let looked = look(site, &on, false)?;
    let found = match looked.get() {
        Some(Ok(found)) => found,
        Some(Err(why)) => return Err(WebError::BadRequest(super::field::sentence(why))),
        None => return Err(WebError::BrokenOff),
    };
    if form.get("adopt").is_some() {
        return adopt(site, &on, &found.diagnosis, form);
    }
    if let Some(typed) = form.get("own") {
        let remedy = read_remedy(typed).map_err(|why| WebError::BadRequest(super::field::sentence(&why)))?;
        let made = forecast_remedies(&found.diagnosis, &[remedy]);
        keep(site, &on, &found.diagnosis, &made)?;
    } else if let Some(name) = form.get("keep") {
        let wanted = |forecast: &&Forecast| name.is_empty() || forecast.remedy.name == name;
        let made: Vec<Forecast> = found.forecasts.iter().filter(wanted).cloned().collect();
        if made.is_empty() {
            return Err(WebError::BadRequest(format!(
                "Nothing was kept: “{name}” is no longer among the remedies of this trial."
            )));
        }
        keep(site, &on, &found.diagnosis, &made)?;
    }
    Ok(on.address("/causes?done=kept#forecasts"))
}

/// Keeps forecasts with today's date; one that is kept already is not kept twice.
fn keep(site: &Site, on: &OnTrial, diagnosis: &Diagnosis, made: &[Forecast]) -> Result<(), WebError> {
    let today: String = moment::local(now()).chars().take(10).collect();
    let label = &diagnosis.problem.epochs[diagnosis.problem.now()].label;
    let mut store = site.store();
    let kept = store.forecasts(on.entry.id)?;
    for forecast in made {
        let record =
            ForecastRecord::of(forecast, &on.entry.name, &today, (label, Some(on.kept.trial.number)));
        let text = record.to_text();
        if kept.iter().all(|other| other.text != text) {
            store.keep_forecast(on.entry.id, &text, now())?;
        }
    }
    Ok(())
}

fn put_aside(site: &Site, on: &OnTrial, id: &str) -> Result<(), WebError> {
    let mut store = site.store();
    let kept = store.forecasts(on.entry.id)?;
    // Gone already is as wished.
    if let Some(forecast) = kept.iter().find(|forecast| forecast.id.0.to_string() == id) {
        store.put_forecast_aside(forecast.id, now())?;
    }
    Ok(())
}

/// Makes a revision of her document with what the trial knows better.
fn adopt(site: &Site, on: &OnTrial, diagnosis: &Diagnosis, form: &Query) -> Result<String, WebError> {
    let Some(loaded) = &on.loaded else { return Err(WebError::BrokenOff) };
    let text = sound_text(adopted(&loaded.document, diagnosis))?;
    let base = form.get("base").and_then(|base| base.parse().ok()).unwrap_or(on.revision);
    let label = &diagnosis.problem.epochs[diagnosis.problem.now()].label;
    let note = format!("adopted from \"{label}\"");
    save(site, &on.entry, base, &text, &note, on.address("/causes?done=adopted"))
}
