//! `drive`: what stops her at full throttle.

use clap::Args;
use wakewright_core::study::{Questions, Study};
use wakewright_rooms::drive::THROTTLES;
use wakewright_rooms::text::drive_text;
use wakewright_rooms::view::drive_view;

use super::{BoatArgs, Done, Failure, no_answer, output};
use wakewright_rooms::boats::{Loaded, load};
use wakewright_rooms::sampling;

/// Arguments of `drive`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wakewright drive myboat.toml\n  wakewright drive myboat.toml --set propeller.pitch=\"11 in\""
)]
pub struct DriveArgs {
    #[command(flatten)]
    boat: BoatArgs,
}

/// Runs the command.
pub fn run(args: &DriveArgs) -> Done {
    let boat = load(&args.boat.boat, &args.boat.set)?;
    let questions = Questions { throttles: THROTTLES.to_vec(), ..Questions::default() };
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
