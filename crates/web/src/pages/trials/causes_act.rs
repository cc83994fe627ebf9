//! What a form about causes asks for: a forecast kept or put aside, a finding adopted.

use super::OnTrial;
use super::causes_found::look;
use crate::error::WebError;
use crate::pages::keep::{save, sound_text};
use crate::query::Query;
use crate::state::{Site, now};
use wakewright_core::causes::{Diagnosis, Forecast};
use wakewright_rooms::causes::ForecastRecord;
use wakewright_rooms::diagnosing::{adopted, forecast_remedies};
use wakewright_rooms::moment;
use wakewright_rooms::remedies::read_remedy;

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
