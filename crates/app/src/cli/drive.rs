//! `drive`: what stops her at full throttle.

use clap::Args;
use wakewright_core::study::{Questions, Study};
use wakewright_report::text::drive_text;
use wakewright_report::view::drive_view;

use super::{BoatArgs, Done, Failure, no_answer, output};
use crate::boats::{Loaded, load};
use crate::sampling;

/// Arguments of `drive`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wakewright drive myboat.toml\n  wakewright drive myboat.toml --set reduction.ratio=3:1"
)]
pub struct DriveArgs {
    #[command(flatten)]
    boat: BoatArgs,
}

/// Lever positions of the table.
pub const LEVERS: [f64; 9] = [0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0];

/// Runs the command.
pub fn run(args: &DriveArgs) -> Done {
    let boat = load(&args.boat.boat, &args.boat.set)?;
    let questions = Questions { levers: LEVERS.to_vec(), ..Questions::default() };
    let study = study_of(&boat, &questions, &args.boat)?;
    let paper = output::paper(&args.boat.output);
    if args.boat.output.json {
        return output::write_json(&drive_view(&boat.name, &boat.spec, &study, &paper));
    }
    output::write(&drive_text(&boat.name, &boat.spec, &study, &paper))
}

/// The study that `args` ask for.
/// # Errors
/// When the boat has no steady state: says why.
pub fn study_of(boat: &Loaded, questions: &Questions, args: &BoatArgs) -> Result<Study, Failure> {
    sampling::study(&boat.spec, questions, args.samples, args.seed)
        .map_err(|error| no_answer(boat, &error, &args.output))
}
