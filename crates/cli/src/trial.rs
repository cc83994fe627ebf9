//! `trial`: logs in, steady runs found, the stream taken out.

use clap::{Args, Subcommand};
use wakewright_logs::table::Mapping;
use wakewright_logs::{JoinOptions, RunBounds};
use wakewright_rooms::trial::{import_text, runs_text};
use wakewright_rooms::trial::{import_view, runs_view};
use wakewright_units::{Quantity, parse_typed};

use super::{CHECK_FAILED, Done, Failure, OutputArgs, output, trial_causes, trial_store};
use wakewright_rooms::logs::{Opened, log_facts, open, propose_mapping, trial_facts};

/// Arguments of `trial`.
#[derive(Debug, Args)]
pub struct TrialArgs {
    #[command(subcommand)]
    command: TrialCommand,
}

#[derive(Debug, Subcommand)]
enum TrialCommand {
    /// Read logs, say what is in them, and keep them as a trial of a boat
    Import(ImportArgs),
    /// List the trials of a boat
    List(trial_store::ListArgs),
    /// Show a trial: its runs, pairs and stream, and what the day did to them
    Show(trial_store::ShowArgs),
    /// Take a trial off the list; everything of it is kept
    Remove(trial_store::WhichTrial),
    /// Put a trial back on the list
    Reinstate(trial_store::WhichTrial),
    /// Note what it was like, and how its logs are taken
    Set(trial_store::SetArgs),
    /// Write the joined samples of a trial as a table
    Export(trial_store::ExportArgs),
    /// Why she is slow: the causes with their share in knots, and what would tell more
    Causes(Box<trial_causes::CausesArgs>),
    /// What remedies will give; kept, and held against a later trial
    Forecast(Box<trial_causes::ForecastArgs>),
    /// Find steady runs in logs, pair them, and take the stream out
    Runs(RunsArgs),
}

/// Arguments of `trial import`.
#[derive(Debug, Args)]
#[command(
    after_help = "Reads NMEA 0183 sentences, NMEA 2000 frames as text, GPX tracks and tables with any columns; packed \
    with gzip or not.\n\nExamples:\n  wakewright trial import --dry-run sunday.log meter.csv\n  wakewright trial import \
    sunday.log meter.csv --boat \"Sea Campion\" --title \"as she came\"\n  wakewright trial import --propose \
    meter.csv > meter.json\n\nExit code 1 when a file could not be read."
)]
struct ImportArgs {
    /// Read and report without keeping anything
    #[arg(long, required_unless_present_any = ["propose", "boat"])]
    dry_run: bool,
    /// The boat of the store whose trial it is
    #[arg(long, value_name = "BOAT", conflicts_with_all = ["dry_run", "propose"])]
    boat: Option<String>,
    /// Add them to this trial of hers, instead of a new one
    #[arg(long, value_name = "NUMBER", requires = "boat")]
    trial: Option<u32>,
    /// What the trial is called
    #[arg(long, default_value = "", requires = "boat", hide_default_value = true)]
    title: String,
    /// Logs
    #[arg(value_name = "FILE", required = true)]
    files: Vec<String>,
    /// What the columns of a table mean, as `--propose` writes it and you corrected it
    #[arg(long = "mapping", value_name = "FILE")]
    mappings: Vec<String>,
    /// Print what the columns of one table are taken for, to be corrected and given to --mapping
    #[arg(long)]
    propose: bool,
    #[command(flatten)]
    output: OutputArgs,
}

/// Arguments of `trial runs`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wakewright trial runs sunday.log\n  wakewright trial runs track.gpx meter.csv --shift 0 \
    --shift -20 --zero \"1.5 A\" --house \"180 W\""
)]
struct RunsArgs {
    /// Logs of one afternoon
    #[arg(value_name = "FILE", required = true)]
    files: Vec<String>,
    /// What the columns of a table mean
    #[arg(long = "mapping", value_name = "FILE")]
    mappings: Vec<String>,
    /// Seconds to be added to the times of each log, in the order of the files
    #[arg(long = "shift", value_name = "SECONDS", allow_negative_numbers = true)]
    shifts: Vec<f64>,
    /// What the meter shows while no current flows
    #[arg(long, value_name = "AMPS", allow_hyphen_values = true)]
    zero: Option<String>,
    /// Current out of the bank is written as negative
    #[arg(long)]
    turn_current: bool,
    /// Loads that are not the drive
    #[arg(long, value_name = "WATTS")]
    house: Option<String>,
    /// Shortest run
    #[arg(long, value_name = "TIME", default_value = "60 s")]
    least: String,
    #[command(flatten)]
    output: OutputArgs,
}

/// Runs the command.
pub fn run(args: &TrialArgs) -> Done {
    match &args.command {
        TrialCommand::Import(args) => import(args),
        TrialCommand::List(args) => trial_store::list(args),
        TrialCommand::Show(args) => trial_store::show(args),
        TrialCommand::Remove(which) => trial_store::shelve(which, true),
        TrialCommand::Reinstate(which) => trial_store::shelve(which, false),
        TrialCommand::Set(args) => trial_store::set(args),
        TrialCommand::Export(args) => trial_store::export(args),
        TrialCommand::Causes(args) => trial_causes::causes(args),
        TrialCommand::Forecast(args) => trial_causes::forecasts(args),
        TrialCommand::Runs(args) => runs(args),
    }
}

fn import(args: &ImportArgs) -> Done {
    if args.propose {
        return propose(args);
    }
    let mappings = read_mappings(&args.mappings)?;
    if let Some(boat) = &args.boat {
        return trial_store::keep(boat, args.trial, &args.title, &args.files, &mappings, &args.output);
    }
    let paper = output::paper(&args.output);
    let opened: Vec<Opened> = args.files.iter().map(|file| open(file, &mappings)).collect();
    let facts: Vec<_> = opened.iter().map(|opened| log_facts(opened, &paper)).collect();
    if args.output.json {
        output::write_json(&import_view(&facts))?;
    } else {
        output::write(&import_text(&facts, &paper))?;
    }
    Ok(if opened.iter().any(|opened| opened.log.is_err()) { CHECK_FAILED } else { 0 })
}

fn propose(args: &ImportArgs) -> Done {
    let [file] = args.files.as_slice() else {
        return Err(Failure::input("--propose takes one table\n"));
    };
    let mapping = propose_mapping(file).map_err(|why| Failure::input(format!("{file}: {why}\n")))?;
    output::write(&(mapping.to_json() + "\n"))
}

fn runs(args: &RunsArgs) -> Done {
    let mappings = read_mappings(&args.mappings)?;
    let quantity = |text: &Option<String>, quantity: Quantity| match text {
        None => Ok(0.0),
        Some(text) => read(text, quantity),
    };
    let options = JoinOptions {
        current_zero_a: quantity(&args.zero, Quantity::Current)?,
        house_power_w: quantity(&args.house, Quantity::Power)?,
        is_current_negated: args.turn_current,
        ..JoinOptions::default()
    };
    let bounds =
        RunBounds { least_duration_s: read(&args.least, Quantity::Duration)?, ..RunBounds::default() };
    let paper = output::paper(&args.output);
    let opened: Vec<Opened> = args.files.iter().map(|file| open(file, &mappings)).collect();
    if let Some(why) = opened.iter().find_map(|o| o.log.as_ref().err().map(|why| (o.file.clone(), why))) {
        return Err(Failure::input(format!("{}: {}\n", why.0, why.1)));
    }
    let facts = trial_facts(&opened, &args.shifts, &options, &bounds, &paper)
        .map_err(|why| Failure::input(format!("{why}\n")))?;
    if args.output.json {
        return output::write_json(&runs_view(&facts, &paper));
    }
    output::write(&runs_text(&facts, &paper))
}

fn read(text: &str, quantity: Quantity) -> Result<f64, Failure> {
    parse_typed(text, quantity)
        .map_err(|error| Failure::input(format!("{}; {}\n", error.problem(), error.advice())))
}

/// Mappings as `--propose` writes them.
pub(super) fn read_mappings(files: &[String]) -> Result<Vec<Mapping>, Failure> {
    files
        .iter()
        .map(|file| {
            let text = std::fs::read_to_string(file)
                .map_err(|error| Failure::input(format!("{file}: {error}\n")))?;
            Mapping::from_json(&text).map_err(|error| Failure::input(format!("{file}: {error}\n")))
        })
        .collect()
}
