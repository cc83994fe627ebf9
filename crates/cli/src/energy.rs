//! `energy`: a day and a year of sun, loads, motoring, sailing and shore power.

use clap::Args;
use wakewright_core::solar::position::unix_of_day;
use wakewright_rooms::energy::{DEFAULT_WEATHERS, USUAL_YEAR, day_of, plan_of, request_of, said};
use wakewright_rooms::text::{day_text, year_text};
use wakewright_rooms::view::energy_view;

use super::{Done, OutputArgs, output};
use wakewright_rooms::boats::load;
use wakewright_rooms::sampling::{DEFAULT_SEED, energy_study};

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
