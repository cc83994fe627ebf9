//! Why she is slow, for command and page: trials made into evidence, all cores put to work, what was found
//! written into her document. Not for: the inference (`wakewright_core::causes`), wording.

use crate::causes::ForecastRecord;
use rayon::prelude::*;
use wakewright_core::causes::{
    Calibrated, CalibratedField, CausesOptions, Diagnosis, Epoch, Forecast, LeftOut, Observed, Remedy, Score,
    TrialRun, Workers, diagnose, forecast, score,
};
use wakewright_core::field;
use wakewright_core::trial::sailed_text;
use wakewright_core::water::Water;
use wakewright_logs::trial::{Conditions, RunState, TrialDocument, TrialReading};
use wakewright_records::boat::{BoatDocument, Fault, FieldKind, WaterKind, field_named};
use wakewright_store::{BoatId, Store, TRIAL_KIND, UnixMs};
use wakewright_units::factors::YEAR_S;

use crate::boats::{Loaded, understand};
use crate::trials::{KeptTrial, LogShelf, TrialError};

/// All cores; the result is the same for any number of them.
#[derive(Debug, Clone, Copy, Default)]
pub struct AllCores;

impl Workers for AllCores {
    fn map<T: Send>(&self, count: usize, job: impl Fn(usize) -> T + Sync + Send) -> Vec<T> {
        (0..count).into_par_iter().map(job).collect()
    }
}

/// Looks into the causes of the latest of `epochs`.
/// # Errors
/// In words.
pub fn diagnose_boat(boat: &Loaded, epochs: &[Epoch], options: &CausesOptions) -> Result<Diagnosis, String> {
    diagnose(&boat.spec, epochs, options, &AllCores).map_err(|error| format!("{}: {error}", boat.name))
}

/// Forecasts `remedies` on all cores.
#[must_use]
pub fn forecast_remedies(diagnosis: &Diagnosis, remedies: &[Remedy]) -> Vec<Forecast> {
    forecast(diagnosis, remedies, &AllCores)
}

/// Evidence of one trial: its runs, and what was noted. `full_throttle` are runs known to have been made with the
/// throttle fully open, counted from 1, beside those marked so in the trial itself.
#[must_use]
pub fn epoch_of(
    document: &TrialDocument,
    reading: &TrialReading,
    boat: &Loaded,
    full_throttle: &[usize],
) -> Epoch {
    let runs =
        reading.runs.iter().filter(|read| read.state == RunState::Used).enumerate().map(|(place, read)| {
            TrialRun {
                run: read.run,
                is_full_throttle: read.is_full_throttle || full_throttle.contains(&(place + 1)),
                left_out: reading.conditions.is_confined.then_some(LeftOut::Confined),
            }
        });
    let day = document.date.trim();
    let date = if day.is_empty() { day_of_logs(reading) } else { day.to_owned() };
    let label = match (document.title.trim(), date.as_str()) {
        ("", "") => "the trial".to_owned(),
        ("", date) => format!("trial of {date}"),
        (title, _) => title.to_owned(),
    };
    let is_house_in_power = document.meter.house.trim().is_empty();
    let counted = charge_left(&reading.conditions, boat);
    Epoch {
        label,
        date,
        runs: runs.collect(),
        observed: observed_of(&reading.conditions, boat, counted, is_house_in_power),
        remark: remark_of(reading, counted),
        ..Epoch::default()
    }
}

/// What is to be known before any of it is used.
fn remark_of(reading: &TrialReading, counted: Option<Option<f64>>) -> String {
    let mut said: Vec<String> = sailed_text(&reading.used()).into_iter().collect();
    if counted == Some(None) {
        said.push("More amp-hours were used than her bank holds: they are left out.".to_owned());
    }
    let is_charged = |read: &wakewright_logs::trial::ReadRun| {
        read.state == RunState::Used
            && !read.run.is_sailed
            && [read.run.power_w, read.run.current_a].into_iter().flatten().any(|drawn| drawn < 0.0)
    };
    if reading.runs.iter().any(is_charged) {
        said.push(
            "Power or amps are negative on runs that were driven: what is drawn seems to be written as negative. Say so (turned=yes), \
             and the sign is turned; nothing here holds before."
                .to_owned(),
        );
    }
    said.join(" ")
}

/// The day on which the logs begin, where their clocks know it.
fn day_of_logs(reading: &TrialReading) -> String {
    use wakewright_logs::{TimeBase, clock};
    reading
        .outings
        .iter()
        .find(|outing| outing.time_base == TimeBase::Utc)
        .map_or_else(String::new, |outing| clock::date_time_text(outing.time_s(0)).chars().take(10).collect())
}

/// What is left in the bank by the amp-hours that a shunt has counted since it was full; none within where they are
/// more than it holds.
fn charge_left(noted: &Conditions, boat: &Loaded) -> Option<Option<f64>> {
    let used = noted.used_charge_c?;
    let holds: f64 = boat.spec.boat.bank.groups.iter().map(|group| group.aged_capacity_coulomb()).sum();
    Some((used <= holds).then(|| 1.0 - used / holds))
}

fn observed_of(
    noted: &Conditions,
    boat: &Loaded,
    counted: Option<Option<f64>>,
    is_house_in_power: bool,
) -> Observed {
    let is_fresh = boat.document.chosen(field::sea::WATER) == Some(WaterKind::Fresh);
    Observed {
        bottom: noted.bottom,
        blades: noted.blades,
        months_since_cleaning: noted.since_cleaning_s.map(|s| 12.0 * s / YEAR_S),
        water: noted.water_temperature_k.map(|k| if is_fresh { Water::fresh(k) } else { Water::sea(k) }),
        water_temperature_k: noted.water_temperature_k,
        displacement_kg: noted.displacement_kg,
        true_wind_m_s: noted.true_wind_m_s,
        wind_from_rad: noted.wind_from_rad,
        wave_height_m: noted.wave_height_m,
        state_of_charge: noted.state_of_charge.or(counted.flatten()),
        rest_voltage_v: noted.rest_voltage_v,
        is_house_in_power,
    }
}

/// Trials of a boat in the store as evidence, oldest first, the last of them number `number` (the latest when not
/// given), each with its number. Trials without runs that can be used are passed over, but for the last.
/// # Errors
/// The store fails, or there is no such trial.
pub fn epochs_of_store(
    store: &Store,
    shelf: &LogShelf,
    id: BoatId,
    boat: &Loaded,
    number: Option<u32>,
    is_alone: bool,
) -> Result<Vec<(u32, Epoch)>, TrialError> {
    let about = Some((&boat.document, &boat.spec));
    let mut numbers: Vec<u32> = store.records(id, TRIAL_KIND)?.iter().map(|trial| trial.number).collect();
    // One that was taken off the list may be asked for; the store says which there are.
    numbers.extend(number.filter(|number| !numbers.contains(number)));
    let mut found: Vec<(u32, Epoch, UnixMs)> = Vec::new();
    for number in numbers {
        let kept = KeptTrial::load(store, shelf, id, number, about)?;
        let epoch = epoch_of(&kept.document, &kept.reading, boat, &[]);
        found.push((number, epoch, kept.trial.created));
    }
    // By day where both have one, else as they were entered.
    found.sort_by(|(a, x, _), (b, y, _)| {
        let by_day = if x.date.is_empty() || y.date.is_empty() {
            std::cmp::Ordering::Equal
        } else {
            x.date.cmp(&y.date)
        };
        by_day.then(a.cmp(b))
    });
    let last = number.and_then(|number| found.iter().position(|(known, ..)| *known == number));
    found.truncate(last.map_or(found.len(), |last| last + 1));
    if is_alone {
        found.drain(..found.len().saturating_sub(1));
    }
    let now = found.len().saturating_sub(1);
    let usable = found.into_iter().enumerate();
    let usable = usable.filter(|(i, (_, epoch, _))| *i == now || !epoch.runs.is_empty());
    let read = usable.map(|(i, (number, mut epoch, entered))| {
        if i != now {
            read_as_she_was(&mut epoch, number, entered, (store, id, boat))?;
        }
        Ok((number, epoch))
    });
    read.collect()
}

/// Has an earlier trial read under the revision of her document that was the latest on its day, or when it was
/// entered where no revision is that old; says so where that is not her document of today.
fn read_as_she_was(
    epoch: &mut Epoch,
    number: u32,
    entered: UnixMs,
    (store, id, boat): (&Store, BoatId, &Loaded),
) -> Result<(), TrialError> {
    let revisions = store.revisions(id)?;
    let Some(latest) = revisions.first() else { return Ok(()) };
    let in_force = |at: UnixMs| revisions.iter().find(|revision| revision.time <= at);
    let on_its_day = end_of_day(&epoch.date).and_then(in_force);
    let when_entered = in_force(entered).or(revisions.last());
    let Some(then) = [on_its_day, when_entered].into_iter().flatten().min_by_key(|head| head.number) else {
        return Ok(());
    };
    let when = if on_its_day.is_some() { "on its day" } else { "when it was entered" };
    if then.number != latest.number {
        let text = store.get(id, then.number)?.text;
        match understand(&text, &boat.name, &[]) {
            Ok(then) if then.spec == boat.spec => {}
            Ok(loaded) => {
                epoch.then = Some(Box::new(loaded.spec));
                add_remark(
                    &mut epoch.remark,
                    &format!(
                        "Trial {number} is read under revision {} of her document, the latest {when}; she is judged by the latest, \
                     {}.",
                        then.number, latest.number
                    ),
                );
            }
            Err(_) => {
                add_remark(
                    &mut epoch.remark,
                    &format!(
                        "Trial {number} was made under revision {} of her document, which cannot be read; it is read under the \
                     latest. If she was changed since, leave earlier trials aside (--alone).",
                        then.number
                    ),
                );
            }
        }
    }
    if on_its_day.is_none() && revisions.len() > 1 {
        add_remark(
            &mut epoch.remark,
            &format!(
                "No revision of her document is as old as trial {number}: whether she was then as it says is not known."
            ),
        );
    }
    Ok(())
}

fn add_remark(remark: &mut String, more: &str) {
    if !remark.is_empty() {
        remark.push(' ');
    }
    remark.push_str(more);
}

/// The end of a day written like `2026-05-02`, where this computer is.
fn end_of_day(date: &str) -> Option<UnixMs> {
    let day: jiff::civil::Date = date.trim().parse().ok()?;
    let next = day.tomorrow().ok()?.to_zoned(jiff::tz::TimeZone::system()).ok()?;
    Some(UnixMs(next.timestamp().as_millisecond() - 1))
}

/// A kept forecast held against `later`, a diagnosis of the trial after the work by its own runs alone.
/// # Errors
/// The text is no forecast, or of a later version.
pub fn hold_against(record: &ForecastRecord, later: &Diagnosis) -> Result<Vec<Score>, String> {
    let forecast = record.forecast().map_err(|error| error.to_string())?;
    Ok(score(&forecast, later, &AllCores))
}

/// The document with what the trial knows better, each value with a remark that says so.
/// # Errors
/// Faults of the changed document.
pub fn adopted(document: &BoatDocument, diagnosis: &Diagnosis) -> Result<BoatDocument, Vec<Fault>> {
    let epoch = &diagnosis.problem.epochs[diagnosis.problem.now()];
    let from = if epoch.date.is_empty() { epoch.label.clone() } else { format!("trial of {}", epoch.date) };
    let mut changed = document.clone();
    for calibrated in &diagnosis.calibrated {
        let Some((address, text)) = value_text(calibrated) else { continue };
        changed = changed.set(address, &text)?;
        let remarked = with_remark(&changed, address, &format!("from {from}"));
        changed = BoatDocument::parse(&remarked)?;
    }
    Ok(changed)
}

/// Address and text of a value, with its band.
#[must_use]
pub fn value_text(calibrated: &Calibrated) -> Option<(&'static str, String)> {
    match calibrated.field {
        CalibratedField::Bottom(condition) => Some((field::hull::BOTTOM, condition.word().to_owned())),
        CalibratedField::Blades(condition) => {
            Some((field::propeller::BLADES_STATE, condition.word().to_owned()))
        }
        CalibratedField::Field(input) => {
            let field = field_named(input.key())?;
            let FieldKind::Quantity(_) = field.kind else { return None };
            let half = 0.5 * (calibrated.value.p90 - calibrated.value.p10);
            // The band as a share stands for any unit; what can be zero takes it in the unit itself.
            let share = 100.0 * half / calibrated.value.value.abs().max(1e-9);
            let value = field.value_text(calibrated.value.value);
            let unit_less = value.chars().all(|c| c.is_ascii_digit() || c == '.' || c == '-');
            let band = if unit_less && calibrated.value.value.abs() < 0.5 {
                format!("{half:.3}")
            } else {
                format!("{share:.1} %")
            };
            Some((input.key(), format!("{value} ± {band}")))
        }
    }
}

/// The text with a remark behind the value at `address`; one that stands there is replaced if it was made here.
fn with_remark(document: &BoatDocument, address: &str, remark: &str) -> String {
    let text = document.to_toml();
    let Some(line) = document.line(address) else { return text.to_owned() };
    let newline = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let lines = text.split(newline).enumerate().map(|(i, old)| {
        if i + 1 != line {
            return old.to_owned();
        }
        match old.rsplit_once("  # ") {
            None => format!("{}  # {remark}", old.trim_end()),
            Some((value, before)) if before.starts_with("from ") => {
                format!("{}  # {remark}", value.trim_end())
            }
            Some(_) => format!("{}; {remark}", old.trim_end()),
        }
    });
    lines.collect::<Vec<_>>().join(newline)
}
