//! `energy`: a day and a year of sun, loads, motoring, sailing and shore power.

use clap::Args;
use wakewright_core::energy::{Alternative, Day, EnergyPlan, EnergyRequest, Store, day, under_way};
use wakewright_core::solar::position::unix_of_day;
use wakewright_records::boat::{energy_plan, panel_unit_w, render_faults};
use wakewright_report::text::{day_text, year_text};
use wakewright_report::view::energy_view;

use super::{Done, Failure, OutputArgs, output};
use crate::boats::{Loaded, load};
use crate::sampling::{DEFAULT_SEED, energy_study};

/// Arguments of `energy`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wakewright energy myboat.toml\n  wakewright energy myboat.toml --date 2026-03-15\n  \
    wakewright energy myboat.toml --date 2026-06-20 --under-way\n  wakewright energy myboat.toml --date 2026-12-21 --year"
)]
pub struct EnergyArgs {
    /// The boat document
    #[arg(value_name = "FILE")]
    boat: String,
    /// Try a change without touching the file, for example `panel[1].count=3`
    #[arg(long = "set", value_name = "FIELD=VALUE")]
    set: Vec<String>,
    /// A day hour by hour
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = read_date)]
    date: Option<(i64, u32, u32)>,
    /// On that day she goes out as in her week
    #[arg(long, requires = "date")]
    under_way: bool,
    /// The year as well (without --date it is always shown)
    #[arg(long)]
    year: bool,
    /// Weathers sampled, each with a sample of the unsure inputs
    #[arg(long, default_value_t = DEFAULT_WEATHERS, value_parser = weathers_in_range)]
    samples: usize,
    /// Seed of the samples; the same seed gives the same figures
    #[arg(long, default_value_t = DEFAULT_SEED)]
    seed: u64,
    #[command(flatten)]
    output: OutputArgs,
}

/// Weathers sampled when nothing else is said.
pub const DEFAULT_WEATHERS: usize = 200;

/// Year whose sun is taken when no day is asked for: the sun of any year is the same within a tenth of a
/// degree.
pub const USUAL_YEAR: i64 = 2026;

fn weathers_in_range(text: &str) -> Result<usize, String> {
    match text.parse::<usize>() {
        Ok(count @ 20..=20_000) => Ok(count),
        _ => Err("give a whole number from 20 to 20000".to_owned()),
    }
}

fn read_date(text: &str) -> Result<(i64, u32, u32), String> {
    let wrong = || format!("{text} is no day; write it like 2026-06-21");
    let mut parts = text.split('-');
    let (Some(year), Some(month), Some(day), None) = (parts.next(), parts.next(), parts.next(), parts.next())
    else {
        return Err(wrong());
    };
    let year: i64 = year.parse().map_err(|_| wrong())?;
    let date = (year, month.parse().map_err(|_| wrong())?, day.parse().map_err(|_| wrong())?);
    let is_a_day = (1900..=2200).contains(&year) && unix_of_day(date.0, date.1, date.2).is_some();
    if is_a_day { Ok(date) } else { Err(wrong()) }
}

/// The plan of `boat` with the sun of `year`.
/// # Errors
/// The faults of the document, with line and field.
pub fn plan_of(boat: &Loaded, year: i64) -> Result<EnergyPlan, Failure> {
    energy_plan(&boat.document, &boat.spec, year)
        .map_err(|faults| Failure::input(render_faults(&faults, boat.document.to_toml(), &boat.place)))
}

/// What is asked for the year: as she is and, when `with_more`, with one more panel and one more pack.
/// # Errors
/// When the sun's position cannot be found.
pub fn request_of(boat: &Loaded, plan: EnergyPlan, with_more: bool) -> Result<EnergyRequest, Failure> {
    let alternatives = if with_more { alternatives_of(boat) } else { Vec::new() };
    EnergyRequest::new(plan, alternatives).map_err(|error| said(boat, &error))
}

/// One more panel like the first, where there is one, and one more pack.
#[must_use]
pub fn alternatives_of(boat: &Loaded) -> Vec<Alternative> {
    let panel = panel_unit_w(&boat.document).map(Alternative::MorePanel);
    panel.into_iter().chain([Alternative::MorePack]).collect()
}

/// The day `date` of `plan`, lying still or under way as in her week.
/// # Errors
/// When bank or sun cannot be computed.
pub fn day_of(
    boat: &Loaded,
    plan: &EnergyPlan,
    date: (i64, u32, u32),
    is_under_way: bool,
) -> Result<Day, Failure> {
    let store = Store::new(&boat.spec.boat.bank).map_err(|error| said(boat, &error))?;
    let powers = is_under_way.then(|| under_way(&boat.spec.boat, plan, None).0);
    day(plan, &store, date, boat.spec.boat.bank.state_of_charge, powers.as_ref())
        .map_err(|error| said(boat, &error))
}

fn said(boat: &Loaded, error: &dyn std::error::Error) -> Failure {
    Failure::input(format!("{}: {error}\n", boat.place))
}

/// Runs the command.
pub fn run(args: &EnergyArgs) -> Done {
    let boat = load(&args.boat, &args.set)?;
    let plan = plan_of(&boat, args.date.map_or(USUAL_YEAR, |date| date.0))?;
    let found_day = args.date.map(|date| day_of(&boat, &plan, date, args.under_way)).transpose()?;
    let study = if args.year || args.date.is_none() {
        let request = request_of(&boat, plan.clone(), true)?;
        let study = energy_study(&boat.spec, &request, args.samples, args.seed);
        Some(study.map_err(|error| said(&boat, &error))?)
    } else {
        None
    };
    let paper = output::paper(&args.output);
    if args.output.json {
        return output::write_json(&energy_view(&boat.name, &plan, found_day.as_ref(), study.as_ref()));
    }
    let mut out = found_day.map_or_else(String::new, |day| day_text(&boat.name, &day, &paper));
    if let Some(study) = study {
        if !out.is_empty() {
            out.push('\n');
        }
        out += &year_text(&boat.name, &boat.spec, &plan, &study, &paper);
    }
    output::write(&out)
}
