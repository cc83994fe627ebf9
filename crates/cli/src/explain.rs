//! `explain`: where a figure comes from.

use std::path::Path;

use clap::Args;
use wakewright_core::causes::{CausesFigure, CausesOptions};
use wakewright_core::study::Opening;
use wakewright_rooms::Rooms;
use wakewright_rooms::text::{explain_list, explain_text};
use wakewright_rooms::view::explain_view;
use wakewright_store::Store;
use wakewright_units::nearest;

use super::{BoatArgs, Done, Failure, output};
use wakewright_rooms::boats::{Loaded, load};
use wakewright_rooms::diagnosing::{diagnose_boat, epochs_of_store};
use wakewright_rooms::explain::{
    Occasion, OfTrial, USUAL_MONTH, USUAL_YEARS, figure_named, of_diagnosis, open, open_in,
};
use wakewright_rooms::no_answer::NoAnswer;
use wakewright_rooms::range::{read_month, read_years};
use wakewright_rooms::room::Asked;
use wakewright_rooms::trials::LogShelf;

/// Arguments of `explain`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wakewright explain myboat.toml resistance\n  wakewright explain myboat.toml held_drag\n  wakewright explain \"My boat\" knots_by_hull --trial 2\n\nWithout a figure it lists them."
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
    /// The trial of a boat in the store, for figures found from trials; the latest when not given
    #[arg(long, value_name = "NUMBER")]
    trial: Option<u32>,
}

/// Runs the command.
pub fn run(args: &ExplainArgs, rooms: Rooms) -> Done {
    let paper = output::paper(&args.boat.output);
    let Some(key) = &args.figure else { return output::write(&explain_list(rooms, &paper)) };
    let key = &key.replace(['-', ' '], "_");
    if let Some((room, figure)) = figure_named(rooms, key) {
        let boat = load(&args.boat.boat, &args.boat.set)?;
        let asked = Asked { seed: args.boat.seed, ..Asked::of(&boat, args.boat.samples) };
        let opened = open_in(room, figure, &asked, &paper)?;
        if args.boat.output.json {
            return output::write_json(&explain_view(&boat.name, &opened, &paper));
        }
        return output::write(&explain_text(&boat.name, &opened, &paper));
    }
    let Some(opening) = Opening::from_key(key) else {
        let keys = Opening::all().map(|opening| opening.origin().key);
        let hint = nearest(key, keys).map_or(String::new(), |near| format!(" Did you mean {near}?"));
        let list = explain_list(rooms, &paper);
        return Err(Failure::input(format!("{key}: no such figure.{hint} These can be asked:\n{list}")));
    };
    let boat = load(&args.boat.boat, &args.boat.set)?;
    let asked =
        Occasion { month: args.month, years: args.years, samples: args.boat.samples, seed: args.boat.seed };
    let opened = open(opening, &boat, &asked, |figure| found_from_trials(figure, args, &boat))?;
    if args.boat.output.json {
        return output::write_json(&explain_view(&boat.name, &opened, &paper));
    }
    output::write(&explain_text(&boat.name, &opened, &paper))
}

/// `figure` from the trials of a boat of the store.
fn found_from_trials(figure: CausesFigure, args: &ExplainArgs, boat: &Loaded) -> Result<OfTrial, NoAnswer> {
    let place = &args.boat.boat;
    if Path::new(place).exists() {
        return Err(NoAnswer::input(format!(
            "{}: this figure is found from trials, and {place} is a file. Name a boat of the store; `wakewright trial \
             import LOG --boat NAME` keeps a trial of hers.",
            figure.origin().key
        )));
    }
    let store = Store::open_default()?;
    let id = store.find(place)?.id;
    let epochs = epochs_of_store(&store, &LogShelf::default(), id, boat, args.trial, false)?;
    let epochs: Vec<_> = epochs.into_iter().map(|(_, epoch)| epoch).collect();
    let options = CausesOptions { seed: args.boat.seed, ..CausesOptions::default() };
    let diagnosis = diagnose_boat(boat, &epochs, &options).map_err(|why| NoAnswer::input(why))?;
    Ok(of_diagnosis(figure, &diagnosis))
}
