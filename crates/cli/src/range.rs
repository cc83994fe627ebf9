//! `range`: what each speed costs and how far it carries.

use clap::Args;
use wakewright_core::study::Questions;
use wakewright_rooms::range::{beyond_of, half_knots, read_month, read_years};
use wakewright_rooms::text::range_text;
use wakewright_rooms::view::range_view;

use super::drive::study_of;
use super::{BoatArgs, Done, output};
use wakewright_rooms::boats::load;

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
