//! `explain`: where a figure comes from.

use std::path::Path;

use clap::Args;
use wakewright_core::causes::{CAUSES_FIGURES, CausesOptions, causes_figure};
use wakewright_core::sheet::Figure;
use wakewright_rooms::Rooms;
use wakewright_rooms::explain::explain_view;
use wakewright_rooms::explain::{explain_list, explain_text};
use wakewright_store::Store;
use wakewright_units::nearest;

use super::{BoatArgs, Done, Failure, output, room};
use crate::load;
use wakewright_rooms::boats::Loaded;
use wakewright_rooms::diagnosing::{diagnose_boat, epochs_of_store};
use wakewright_rooms::explain::{OfTrial, figure_named, figures, of_diagnosis, open, open_in};
use wakewright_rooms::no_answer::NoAnswer;
use wakewright_rooms::room::{AnyRoom, Asked, Replies, Reply, read_month, read_years};
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
    /// What the figure's question is asked beyond the boat, for example place=Boston
    #[arg(long, value_name = "QUESTION=REPLY")]
    ask: Vec<String>,
    /// Month of the sun on a passage; June when left out
    #[arg(long, value_name = "MONTH", value_parser = read_month)]
    month: Option<Reply>,
    /// Years of ageing; six when left out
    #[arg(long, value_name = "YEARS", value_parser = read_years)]
    years: Option<Reply>,
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
        // As on a page, sun and years are told of without being asked.
        let asked = Asked {
            seed: args.boat.seed,
            replies: replies(room, args)?,
            has_pictures: true,
            ..Asked::of(&boat, args.boat.samples)
        };
        let opened = open_in(room, figure, &asked, &paper)?;
        if args.boat.output.json {
            return output::write_json(&explain_view(&boat.name, &opened, &paper));
        }
        return output::write(&explain_text(&boat.name, &opened, &paper));
    }
    let Some(figure) = causes_figure(key) else {
        let of_rooms = figures(rooms).map(|(_, figure)| figure.key);
        let keys = CAUSES_FIGURES.0.iter().map(|column| column.figure.key).chain(of_rooms);
        let hint = nearest(key, keys).map_or(String::new(), |near| format!(" Did you mean {near}?"));
        let list = explain_list(rooms, &paper);
        return Err(Failure::input(format!("{key}: no such figure.{hint} These can be asked:\n{list}")));
    };
    let boat = load(&args.boat.boat, &args.boat.set)?;
    let opened = open(figure, &boat, |figure| found_from_trials(figure, args, &boat))?;
    if args.boat.output.json {
        return output::write_json(&explain_view(&boat.name, &opened, &paper));
    }
    output::write(&explain_text(&boat.name, &opened, &paper))
}

/// Month and years, where they are said and `room` asks for them, and what else it is asked.
fn replies(room: &dyn AnyRoom, args: &ExplainArgs) -> Result<Replies, Failure> {
    let said = [("month", &args.month), ("years", &args.years)];
    let asked =
        said.into_iter().filter(|(key, _)| room.questions().iter().any(|question| question.key == *key));
    Ok(asked.fold(room::replies(room, &args.ask)?, |replies, (key, said)| match said {
        Some(reply) => replies.with(key, reply.clone()),
        None => replies,
    }))
}

/// `figure` from the trials of a boat of the store.
fn found_from_trials(figure: &Figure, args: &ExplainArgs, boat: &Loaded) -> Result<OfTrial, NoAnswer> {
    let place = &args.boat.boat;
    if Path::new(place).exists() {
        return Err(NoAnswer::input(format!(
            "{}: this figure is found from trials, and {place} is a file. Name a boat of the store; `wakewright trial \
             import LOG --boat NAME` keeps a trial of hers.",
            figure.key
        )));
    }
    let store = Store::open_default_to_read()?;
    let id = store.find(place)?.id;
    let epochs = epochs_of_store(&store, &LogShelf::default(), id, boat, args.trial, false)?;
    let epochs: Vec<_> = epochs.into_iter().map(|(_, epoch)| epoch).collect();
    let options = CausesOptions { seed: args.boat.seed, ..CausesOptions::default() };
    let diagnosis = diagnose_boat(boat, &epochs, &options).map_err(NoAnswer::input)?;
    Ok(of_diagnosis(figure, &diagnosis))
}
