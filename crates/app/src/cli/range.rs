//! `range`: what each speed costs and how far it carries.

use clap::Args;
use wakewright_core::energy::DaySun;
use wakewright_core::study::{Beyond, Questions};
use wakewright_report::sentence::month_name;
use wakewright_report::text::range_text;
use wakewright_report::view::range_view;
use wakewright_units::factors::KNOT_M_S;

use super::drive::study_of;
use super::energy::{USUAL_YEAR, plan_of};
use super::{BoatArgs, Done, Failure, output};
use crate::boats::{Loaded, load};

/// Arguments of `range`.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  wakewright range myboat.toml --set bank.state_of_charge=\"60 %\"\n  \
    wakewright range myboat.toml --month June --years 6 --set sea.head_wind=\"12 kn\" --set sea.sea_margin=\"15 %\"")]
pub struct RangeArgs {
    #[command(flatten)]
    boat: BoatArgs,
    /// With the sun of a month on her panels: 6, June or Jun
    #[arg(long, value_name = "MONTH", value_parser = read_month)]
    month: Option<u32>,
    /// After so many years of ageing as well
    #[arg(long, value_name = "YEARS", value_parser = read_years)]
    years: Option<f64>,
}

/// A month from 1 to 12, by number or by the beginning of its name.
pub(crate) fn read_month(text: &str) -> Result<u32, String> {
    let wanted = text.trim().to_lowercase();
    let named = |month: &u32| wanted.len() >= 3 && month_name(*month).to_lowercase().starts_with(&wanted);
    match wanted.parse() {
        Ok(month @ 1..=12) => Ok(month),
        _ => (1..=12).find(named).ok_or_else(|| format!("{text} is no month; write June, Jun or 6")),
    }
}

/// Years from 0 to 20.
pub(crate) fn read_years(text: &str) -> Result<f64, String> {
    match text.trim().parse::<f64>() {
        Ok(years) if (0.0..=20.0).contains(&years) => Ok(years),
        _ => Err("give a number of years from 0 to 20".to_owned()),
    }
}

/// What is asked beyond the bank as she is: the sun of a month, years.
/// # Errors
/// The faults of the document where it does not say what the sun needs.
pub fn beyond_of(boat: &Loaded, month: Option<u32>, years: Option<f64>) -> Result<Beyond, Failure> {
    let sun = match month {
        Some(month) => {
            let plan = plan_of(boat, USUAL_YEAR)?;
            let sun = DaySun::of_month(&plan, month);
            Some(sun.map_err(|error| Failure::input(format!("{}: {error}\n", boat.place)))?)
        }
        None => None,
    };
    Ok(Beyond { sun, years })
}

/// Runs the command.
pub fn run(args: &RangeArgs) -> Done {
    let boat = load(&args.boat.boat, &args.boat.set)?;
    let beyond = beyond_of(&boat, args.month, args.years)?;
    let questions = Questions { speeds_m_s: half_knots(&boat), beyond, ..Questions::default() };
    let study = study_of(&boat, &questions, &args.boat)?;
    let paper = output::paper(&args.boat.output);
    if args.boat.output.json {
        return output::write_json(&range_view(&boat.name, &boat.spec, &study, &paper));
    }
    output::write(&range_text(&boat.name, &boat.spec, &study, &paper))
}

/// Every half knot from 1.5 kn to where the hull methods end.
#[must_use]
pub fn half_knots(boat: &Loaded) -> Vec<f64> {
    const FASTEST_FROUDE: f64 = 0.5;
    let length = boat.spec.boat.form.length_waterline_m;
    let fastest = FASTEST_FROUDE * (wakewright_core::constants::GRAVITY_M_S2 * length).sqrt();
    (3..).map(|half| 0.5 * f64::from(half) * KNOT_M_S).take_while(|speed| *speed <= fastest).collect()
}
