//! `range`: what each speed costs and how far it carries.

use clap::Args;
use wakewright_core::study::Questions;
use wakewright_report::text::range_text;
use wakewright_report::view::range_view;
use wakewright_units::factors::KNOT_M_S;

use super::drive::study_of;
use super::{BoatArgs, Done, output};
use crate::boats::{Loaded, load};

/// Arguments of `range`.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  wakewright range myboat.toml --set bank.state_of_charge=\"60 %\"")]
pub struct RangeArgs {
    #[command(flatten)]
    boat: BoatArgs,
}

/// Runs the command.
pub fn run(args: &RangeArgs) -> Done {
    let boat = load(&args.boat.boat, &args.boat.set)?;
    let questions = Questions { speeds_m_s: half_knots(&boat), ..Questions::default() };
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
