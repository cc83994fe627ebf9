//! `bank`: what it holds, how it sags, one pack lost, charging, years.

use clap::Args;
use wakewright_rooms::bank::questions;
use wakewright_rooms::text::bank_text;
use wakewright_rooms::view::bank_view;

use super::{BoatArgs, Done, Failure, output};
use wakewright_rooms::boats::load;
use wakewright_rooms::sampling::bank_study;

/// Arguments of `bank`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wakewright bank myboat.toml\n  wakewright bank myboat.toml --set bank.temperature=\"2 °C\""
)]
pub struct BankArgs {
    #[command(flatten)]
    boat: BoatArgs,
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
