//! `explain`: where a figure comes from.

use clap::Args;
use wakewright_core::study::{Figure, Questions};
use wakewright_report::text::{explain_list, explain_text};
use wakewright_report::view::explain_view;
use wakewright_units::nearest;

use super::drive::study_of;
use super::{BoatArgs, Done, Failure, output};
use crate::boats::load;
use crate::explain::{inputs_of, sources_of};

/// Arguments of `explain`.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  wakewright explain myboat.toml resistance\n\nWithout a figure it lists them."
)]
pub struct ExplainArgs {
    #[command(flatten)]
    boat: BoatArgs,
    /// The figure, for example speed, resistance, bank_volts
    figure: Option<String>,
}

/// Runs the command.
pub fn run(args: &ExplainArgs) -> Done {
    let paper = output::paper(&args.boat.output);
    let Some(key) = &args.figure else { return output::write(&explain_list(&paper)) };
    let Some(figure) = Figure::from_key(&key.replace(['-', ' '], "_")) else {
        let keys = Figure::ALL.iter().map(|figure| figure.origin().key);
        let hint = nearest(key, keys).map_or(String::new(), |near| format!(" Did you mean {near}?"));
        let list = explain_list(&paper);
        return Err(Failure::input(format!("{key}: no such figure.{hint} These can be asked:\n{list}")));
    };
    let boat = load(&args.boat.boat, &args.boat.set)?;
    let study = study_of(&boat, &Questions::default(), &args.boat)?;
    let (inputs, sources) = (inputs_of(figure, &boat), sources_of(figure));
    if args.boat.output.json {
        return output::write_json(&explain_view(&boat.name, figure, &study, &inputs, &sources, &paper));
    }
    output::write(&explain_text(&boat.name, figure, &study, &inputs, &sources, &paper))
}
