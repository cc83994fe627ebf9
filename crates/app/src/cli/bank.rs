//! `bank`: what it holds, how it sags, one pack lost, charging, years.

use clap::Args;
use wakewright_core::study::BankQuestions;
use wakewright_records::boat::{charging_sources, further_banks};
use wakewright_report::text::bank_text;
use wakewright_report::view::bank_view;

use super::{BoatArgs, Done, Failure, output};
use crate::boats::{Loaded, load};
use crate::sampling::bank_study;

/// Arguments of `bank`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wakewright bank myboat.toml\n  wakewright bank myboat.toml --set bank.temperature=\"2 °C\""
)]
pub struct BankArgs {
    #[command(flatten)]
    boat: BoatArgs,
}

/// Throttle positions at which a pack is lost.
const THROTTLES: [f64; 5] = [0.3, 0.5, 0.7, 0.85, 1.0];

/// What is asked of the bank of `boat`.
#[must_use]
pub fn questions(boat: &Loaded) -> BankQuestions {
    BankQuestions {
        throttles: THROTTLES.to_vec(),
        sources: charging_sources(&boat.document),
        further: further_banks(&boat.document, &boat.spec),
    }
}

/// Runs the command.
pub fn run(args: &BankArgs) -> Done {
    let boat = load(&args.boat.boat, &args.boat.set)?;
    let study = bank_study(&boat.spec, &questions(&boat), args.boat.samples, args.boat.seed)
        .map_err(|error| Failure::input(format!("{}: {error}\n", boat.place)))?;
    let paper = output::paper(&args.boat.output);
    if args.boat.output.json {
        return output::write_json(&bank_view(&boat.name, &boat.spec, &study, &paper));
    }
    output::write(&bank_text(&boat.name, &boat.spec, &study, &paper))
}
