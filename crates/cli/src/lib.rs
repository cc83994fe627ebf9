//! The command line: arguments, and which command runs. Each command has a file of its own.
//! Not for: computing or wording.

mod args;
mod backup;
mod check;
mod dated;
mod demo;
mod draw;
mod explain;
mod failure;
mod generate;
mod meter;
mod new;
mod output;
mod paper;
mod room;
mod serve;
mod store;
mod transfer;

mod trial;
mod trial_causes;
mod trial_store;

pub use args::{BoatArgs, Colour, OutputArgs, Units};
pub use failure::{BAD_INPUT, CHECK_FAILED, Done, Failure};
pub use serve::{Serve, ServeWish};

use std::ffi::OsString;
use std::process::ExitCode;

use clap::builder::PossibleValuesParser;
use clap::{CommandFactory, FromArgMatches, Parser, Subcommand};
use wakewright_rooms::Rooms;
use wakewright_rooms::boats::{self, LoadError, Loaded};
use wakewright_rooms::dated::kind_named;
use wakewright_units::UnitSystem;

/// From a tape measure to a verdict: battery-electric drives in displacement boats.
///
/// Describe a boat in one file, with the units that a tape, a motor's plate or an old engine's plate
/// have; ask what stops her at full throttle, how far she goes, and where each figure comes from.
/// Begin with `wakewright demo`, then `wakewright new myboat.toml`.
#[derive(Debug, Parser)]
#[command(name = "wakewright", version, arg_required_else_help = true, max_term_width = 80)]
#[command(after_help = "Exit codes: 0 done, 1 a check failed, 2 bad input.\n\
    Results are estimates with 80 % bands. Passage figures are not for navigation. Where current or a turning shaft can \
    hurt, local codes, the makers' instructions and licensed practice go before anything said here.")]
pub struct Cli {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Write a commented boat document to start from
    New(new::NewArgs),
    /// Check a document, and hold the boat against common practice
    Check(check::CheckArgs),
    /// Draw a picture into a file: torque, ladder, range, sail, day, year, resistance, profile
    Draw(draw::DrawArgs),
    /// Logs in, steady runs found, the stream taken out
    Trial(trial::TrialArgs),
    /// Where a figure comes from: formula, source, inputs, validity, band
    Explain(explain::ExplainArgs),
    /// Run the whole job on an invented boat
    Demo(demo::DemoArgs),
    /// A report for her owner, a fitter or a surveyor, to print and keep
    Report(paper::ReportArgs),
    /// A sheet for the phone: range, the way home, steps in an emergency, forms
    Pocket(paper::PocketArgs),
    /// List the boats in the store
    Boats(store::BoatsArgs),
    /// Enter boat documents into the store
    Import(transfer::ImportArgs),
    /// Write boat documents out of the store
    Export(transfer::ExportArgs),
    /// Write everything of a boat to one file: documents, revisions, trials, logs, records, photographs
    Archive(transfer::ArchiveArgs),
    /// Copy the whole store, every revision in it, to one file
    Backup(backup::BackupArgs),
    /// Put a backup in the place of the store; what was there is kept beside it
    Restore(backup::RestoreArgs),
    /// Serve the page on this computer, or on the boat's network
    Serve(serve::ServeArgs),
    /// Print the schema of the boat document or of a command's JSON
    Schema(generate::SchemaArgs),
    /// List every field of the boat document with its help
    Fields(generate::FieldsArgs),
    /// Print shell completions
    Completions(generate::CompletionsArgs),
    /// Print the manual page
    Man(generate::ManArgs),
}

impl From<Units> for UnitSystem {
    fn from(units: Units) -> Self {
        match units {
            Units::Trade => Self::Trade,
            Units::Metric => Self::Metric,
            Units::Us => Self::Us,
        }
    }
}

/// Runs what was asked, the page by `serve`, and gives the exit code.
pub fn run(rooms: Rooms, serve: Serve) -> ExitCode {
    run_with(std::env::args_os(), rooms, serve)
}

/// As [`run`], with the arguments `args`, the program's name first.
pub fn run_with(args: impl Iterator<Item = OsString>, rooms: Rooms, serve: Serve) -> ExitCode {
    let matches = command(rooms).get_matches_from(args);
    let of_room = matches.subcommand().and_then(|(name, args)| Some((room::named(rooms, name)?, args)));
    let done = match of_room {
        Some((room, args)) => match kind_named(room.card().key).filter(|_| args.subcommand().is_some()) {
            Some(kind) => dated::run(kind, args),
            None => room::run(rooms, room, args),
        },
        None => Cli::from_arg_matches(&matches)
            .map_or_else(|error| error.exit(), |cli| run_other(cli.command, rooms, serve)),
    };
    match done {
        Ok(code) => ExitCode::from(code),
        Err(failure) => {
            output::complain(&failure.message);
            ExitCode::from(failure.code)
        }
    }
}

fn run_other(command: Command, rooms: Rooms, serve: Serve) -> Done {
    match command {
        Command::New(args) => new::run(&args),
        Command::Check(args) => check::run(&args),
        Command::Draw(args) => draw::run(&args, rooms),
        Command::Trial(args) => trial::run(&args),
        Command::Explain(args) => explain::run(&args, rooms),
        Command::Demo(args) => demo::run(&args, rooms),
        Command::Report(args) => paper::report(&args, rooms),
        Command::Pocket(args) => paper::pocket(&args, rooms),
        Command::Boats(args) => store::boats(&args),
        Command::Import(args) => transfer::import(&args),
        Command::Export(args) => transfer::export(&args),
        Command::Archive(args) => transfer::archive(&args),
        Command::Backup(args) => backup::backup(&args),
        Command::Restore(args) => backup::restore(&args),
        Command::Serve(args) => serve::run(&args, serve),
        Command::Schema(args) => generate::schema(&args, rooms),
        Command::Fields(args) => generate::fields(&args),
        Command::Completions(args) => generate::completions(&args, rooms),
        Command::Man(args) => generate::man(&args, rooms),
    }
}

/// The command tree, for completions and the manual page.
pub fn command(rooms: Rooms) -> clap::Command {
    let of_rooms = rooms.iter().fold(Cli::command(), |command, &of| {
        let own = room::command(of);
        command.subcommand(match kind_named(of.card().key) {
            Some(kind) => dated::with_subcommands(kind, own),
            None => own,
        })
    });
    of_rooms
        .mut_subcommand("schema", |schema| {
            schema
                .mut_arg("of", |of| of.value_parser(PossibleValuesParser::new(generate::schema_names(rooms))))
        })
        .mut_subcommand("draw", |draw| {
            draw.mut_arg("picture", |of| {
                of.value_parser(PossibleValuesParser::new(draw::picture_names(rooms)))
            })
        })
}

/// The boat at `place` with `changes`; doubts about her document are said above the answer, on the error channel so
/// that they are in no file.
fn load(place: &str, changes: &[String]) -> Result<Loaded, LoadError> {
    let loaded = boats::load(place, changes)?;
    let doubts = loaded.doubts_text();
    if !doubts.is_empty() {
        output::complain(&doubts);
    }
    Ok(loaded)
}
