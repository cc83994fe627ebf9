//! `explain`: where a figure comes from.

use clap::Args;
use wakewright_core::study::Opening;
use wakewright_report::text::{explain_list, explain_text};
use wakewright_report::view::explain_view;
use wakewright_units::nearest;

use super::range::{read_month, read_years};
use super::{BoatArgs, Done, Failure, output};
use crate::boats::load;
use crate::explain::{Occasion, USUAL_MONTH, USUAL_YEARS, open};

/// Arguments of `explain`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wakewright explain myboat.toml resistance\n  wakewright explain myboat.toml held_drag\n\nWithout a figure it lists them."
)]
pub struct ExplainArgs {
    #[command(flatten)]
    boat: BoatArgs,
    /// The figure, for example speed, resistance, bank_volts
    figure: Option<String>,
    /// Month of the sun on a passage
    #[arg(long, value_name = "MONTH", default_value_t = USUAL_MONTH, value_parser = read_month)]
    month: u32,
    /// Years of ageing
    #[arg(long, value_name = "YEARS", default_value_t = USUAL_YEARS, value_parser = read_years)]
    years: f64,
}

/// Runs the command.
pub fn run(args: &ExplainArgs) -> Done {
    let paper = output::paper(&args.boat.output);
    let Some(key) = &args.figure else { return output::write(&explain_list(&paper)) };
    let Some(opening) = Opening::from_key(&key.replace(['-', ' '], "_")) else {
        let keys = Opening::all().map(|opening| opening.origin().key);
        let hint = nearest(key, keys).map_or(String::new(), |near| format!(" Did you mean {near}?"));
        let list = explain_list(&paper);
        return Err(Failure::input(format!("{key}: no such figure.{hint} These can be asked:\n{list}")));
    };
    let boat = load(&args.boat.boat, &args.boat.set)?;
    let asked =
        Occasion { month: args.month, years: args.years, samples: args.boat.samples, seed: args.boat.seed };
    let opened = open(opening, &boat, &asked)?;
    if args.boat.output.json {
        return output::write_json(&explain_view(&boat.name, &opened, &paper));
    }
    output::write(&explain_text(&boat.name, &opened, &paper))
}
