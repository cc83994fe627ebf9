//! What was found of a trial's causes, looked up or reckoned, in whole. Not for: its place on the page.

use super::causes::OWN_REMEDY;
use super::causes_parts::{self, Held, Own};
use super::{OnTrial, sheet};
use crate::diagnoses::{Basis, Found, Looked};
use crate::error::WebError;
use crate::parts::{self, contents_width};
use crate::query::Query;
use crate::state::{Site, now};
use crate::visitor::Visitor;
use maud::{Markup, html};
use wakewright_core::causes::CAUSES_SHEETS;
use wakewright_core::causes::{CausesOptions, Diagnosis, Epoch, Forecast, Measure, usual_remedies};
use wakewright_rooms::boats::Loaded;
use wakewright_rooms::causes::{ForecastRecord, causes_finding, filled, keep_held};
use wakewright_rooms::diagnosing::{diagnose_boat, epochs_of_store, forecast_remedies, hold_against};
use wakewright_store::{KeptForecast, TRIAL_KIND};

/// What is held or found for the trial.
pub(super) fn look(site: &Site, on: &OnTrial, is_alone: bool) -> Result<Looked, WebError> {
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

pub(super) fn basis(site: &Site, on: &OnTrial, is_alone: bool) -> Result<Basis, WebError> {
    let trials = site.store().records(on.entry.id, TRIAL_KIND)?;
    let number = on.kept.trial.number;
    let of_all = trials.iter().map(|trial| (trial.number, trial.version));
    let versions = if is_alone { vec![(number, on.kept.trial.version)] } else { of_all.collect() };
    Ok(Basis { boat: on.entry.id, revision: on.revision, number, versions, is_alone })
}

pub(super) fn find(loaded: &Loaded, epochs: &[Epoch]) -> Result<Found, String> {
    let diagnosis = diagnose_boat(loaded, epochs, &CausesOptions::default())?;
    let remedies = if diagnosis.tells_nothing() { Vec::new() } else { usual_remedies(&diagnosis) };
    let mut forecasts = forecast_remedies(&diagnosis, &remedies);
    let gain = |forecast: &Forecast| forecast.of(Measure::FullSpeed).map_or(0.0, |full| full.gain.value);
    forecasts.sort_by(|a, b| gain(b).total_cmp(&gain(a)));
    Ok(Found { diagnosis, forecasts })
}

pub(super) fn whole(site: &Site, on: &OnTrial, query: &Query, visitor: &Visitor) -> Result<Markup, WebError> {
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
        @if !found.diagnosis.tells_nothing() { (causes_parts::shares(on, &found.diagnosis, width_px)) }
        (causes_parts::doubts(&found.diagnosis, &sheets, width_px))
        @if !found.diagnosis.tells_nothing() {
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

/// Holds her forecasts against a trial that was kept, her latest where none is named: the page of all boats asks what came of
/// it and finds nothing out anew.
///
/// # Errors
/// There is no such trial, or the store fails.
pub fn hold(site: &Site, slug: &str, number: Option<u32>) -> Result<(), WebError> {
    let number = match number {
        Some(number) => number,
        None => {
            let store = site.store();
            let trials = store.records(store.find_by_slug(slug)?.id, TRIAL_KIND)?;
            trials.iter().map(|trial| trial.number).max().unwrap_or(0)
        }
    };
    let on = OnTrial::load(site, slug, number)?;
    if on.kept.reading.used().is_empty() || on.loaded.is_none() {
        return Ok(());
    }
    let rows = held(site, &on, site.store().forecasts(on.entry.id)?)?;
    let fared = rows
        .iter()
        .filter_map(|row| Some((row.record.as_ref().ok()?, row.scores.as_ref()?.as_ref().ok()?.as_slice())));
    Ok(keep_held(&mut site.store(), (on.entry.id, number), &fared.collect::<Vec<_>>(), now())?)
}
