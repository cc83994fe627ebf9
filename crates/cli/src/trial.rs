//! `trial`: logs in, steady runs found, the stream taken out.

use clap::{Args, Subcommand};
use wakewright_logs::table::Mapping;
use wakewright_logs::{JoinOptions, Packs, RunBounds};
use wakewright_records::boat::unread;
use wakewright_rooms::room::Answer;
use wakewright_rooms::sheets::answer_text;
use wakewright_rooms::text::Paper;
use wakewright_rooms::trial::{log_answer, logs_json, trial_answer};
use wakewright_units::{Quantity, parse_typed};

use super::{CHECK_FAILED, Done, Failure, OutputArgs, output, room, trial_causes, trial_store};
use wakewright_rooms::logs::{
    Opened, Told, key_in_log, log_facts, open_answered, propose_mapping, read_answer, trial_facts,
};

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

/// What is told of logs that are read.
#[derive(Debug, Args)]
pub(super) struct ToldArgs {
    /// What the columns of a table mean, as `trial import --propose` writes it and you corrected it
    #[arg(long = "mapping", value_name = "FILE")]
    mappings: Vec<String>,
    /// An answer to a question about a log, as the question says: sign=drawing
    #[arg(long = "answer", value_name = "QUESTION=ANSWER", value_parser = read_answer)]
    answers: Vec<Told>,
    /// Leave a channel out, as it is listed: "voltage/column 3"
    #[arg(long = "leave-out", value_name = "CHANNEL")]
    left_out: Vec<String>,
    /// Forget what was answered before about logs of the same source
    #[arg(long)]
    forget: bool,
}

impl ToldArgs {
    /// What tables mean, with `known` behind what is told here.
    pub(super) fn mappings(&self, known: &[Mapping]) -> Result<Vec<Mapping>, Failure> {
        let mut mappings = read_mappings(&self.mappings)?;
        mappings.extend_from_slice(if self.forget { &[] } else { known });
        Ok(mappings)
    }

    /// The files, read as it is told.
    pub(super) fn open(&self, files: &[String], known: &[Mapping]) -> Result<Vec<Opened>, Failure> {
        let mappings = self.mappings(known)?;
        let mut answered: Vec<String> = Vec::new();
        let mut missing: Vec<Vec<String>> = Vec::new();
        let mut all = Vec::new();
        for (number, file) in files.iter().enumerate() {
            let (mut opened, keys) = open_answered(file, &mappings, &self.answers)
                .map_err(|why| Failure::input(format!("--answer: {why}\n")))?;
            answered.extend(keys);
            let meant: Vec<(&String, Option<&str>)> =
                self.left_out.iter().map(|key| (key, key_in_log(key, number + 1))).collect();
            let keys: Vec<&str> = meant.iter().filter_map(|(_, key)| *key).collect();
            let strange = opened.leave_out(&keys);
            let is_strange =
                |(_, key): &&(&String, Option<&str>)| key.is_none_or(|key| strange.contains(&key));
            missing.push(meant.iter().filter(is_strange).map(|(typed, _)| (*typed).clone()).collect());
            all.push(opened);
        }
        if let Some((key, word)) = self.answers.iter().find(|(key, _)| !answered.contains(key)) {
            let open = all.iter().flat_map(|opened| &opened.questions).map(|question| question.key.as_str());
            let open: Vec<&str> = open.collect();
            let open = if open.is_empty() {
                "none is open".to_owned()
            } else {
                format!("open are {}", open.join(", "))
            };
            return Err(Failure::input(format!("--answer {key}={word}: no log asks {key}; {open}\n")));
        }
        let strange = |key: &&String| missing.iter().all(|missing| missing.contains(key));
        if let Some(key) = self.left_out.iter().find(strange) {
            let logs = all.iter().filter_map(|opened| opened.log.as_ref().ok());
            let keys: Vec<String> = logs.flat_map(|log| &log.channels).map(|channel| channel.key()).collect();
            return Err(Failure::input(format!(
                "--leave-out {key}: no log has such a channel; there are {}\n",
                keys.join(", ")
            )));
        }
        Ok(all)
    }

    /// True when a question is answered or a channel left out.
    pub(super) fn says_more(&self) -> bool {
        !self.answers.is_empty() || !self.left_out.is_empty()
    }

    /// True when what was answered before counts no longer.
    pub(super) fn forgets(&self) -> bool {
        self.forget
    }

    /// Keys of the questions that are answered.
    pub(super) fn keys(&self) -> Vec<&str> {
        self.answers.iter().map(|(key, _)| key.as_str()).collect()
    }

    /// The channels that are left out.
    pub(super) fn left_out(&self) -> &[String] {
        &self.left_out
    }
}

/// Arguments of `trial import`.
#[derive(Debug, Args)]
#[command(
    after_help = "Reads NMEA 0183 sentences, NMEA 2000 frames as text, GPX tracks and tables with any columns; packed \
    with gzip or not.\n\nExamples:\n  wakewright trial import --dry-run sunday.log meter.csv\n  wakewright trial import \
    sunday.log meter.csv --boat \"Sea Campion\" --title \"as she came\"\n  wakewright trial import \
    --written sunday.csv --boat \"Sea Campion\"\n  wakewright trial import --propose \
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
    /// A table written by hand, a row for each run: direction, shaft rpm, motor rpm, volts, amps, speed (kn)
    #[arg(long, value_name = "TABLE", requires = "boat", conflicts_with_all = ["files", "mappings", "answers", "left_out"])]
    written: Option<String>,
    /// Logs
    #[arg(value_name = "FILE", required_unless_present = "written")]
    files: Vec<String>,
    #[command(flatten)]
    told: ToldArgs,
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
    #[command(flatten)]
    told: ToldArgs,
    /// Seconds to be added to the times of each log, in the order of the files
    #[arg(long = "shift", value_name = "SECONDS", allow_negative_numbers = true)]
    shifts: Vec<f64>,
    /// What the meter shows while no current flows
    #[arg(long, value_name = "AMPS", allow_hyphen_values = true)]
    zero: Option<String>,
    /// Current out of the bank is written as negative
    #[arg(long)]
    turn_current: bool,
    /// Current is taken as it is written, though a log seems to tell that its sign is turned
    #[arg(long, conflicts_with = "turn_current")]
    current_as_written: bool,
    /// The logs are of packs side by side, one each: their amps are added
    #[arg(long)]
    packs_beside: bool,
    /// The logs are of packs in series, one each: their volts are added
    #[arg(long, conflicts_with = "packs_beside")]
    packs_in_series: bool,
    /// Loads that are not the drive
    #[arg(long, value_name = "WATTS")]
    house: Option<String>,
    /// The throttle was not touched between opposite runs: they are pairs, though nothing says their setting
    #[arg(long)]
    throttle_held: bool,
    /// Shortest run
    #[arg(long, value_name = "TIME", default_value = "60 s")]
    least: String,
    /// Print one sheet of figures as comma-separated values
    #[arg(long, value_name = "SHEET", conflicts_with = "json")]
    csv: Option<String>,
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
    if let (Some(boat), Some(table)) = (&args.boat, &args.written) {
        return trial_store::keep_written((boat, args.trial), &args.title, table);
    }
    if let Some(boat) = &args.boat {
        return trial_store::keep((boat, args.trial), &args.title, &args.files, &args.told, &args.output);
    }
    let paper = output::paper(&args.output);
    let opened = args.told.open(&args.files, &[])?;
    show_logs(&opened.iter().collect::<Vec<_>>(), &args.output, &paper)?;
    Ok(if opened.iter().any(|opened| opened.log.is_err()) { CHECK_FAILED } else { 0 })
}

/// Writes what logs are, one after the other.
pub(super) fn show_logs(opened: &[&Opened], args: &OutputArgs, paper: &Paper) -> Done {
    let answers: Vec<Answer> = opened.iter().map(|opened| log_answer(&log_facts(opened, paper))).collect();
    if args.json {
        return output::write_json(&logs_json("trial-import", &answers));
    }
    let texts: Vec<String> = answers.iter().map(|answer| answer_text(answer, paper)).collect();
    output::write(&texts.join("\n"))
}

fn propose(args: &ImportArgs) -> Done {
    let [file] = args.files.as_slice() else {
        return Err(Failure::input("--propose takes one table\n"));
    };
    let mapping = propose_mapping(file).map_err(|why| Failure::input(format!("{file}: {why}\n")))?;
    output::write(&(mapping.to_json() + "\n"))
}

fn runs(args: &RunsArgs) -> Done {
    let quantity = |text: &Option<String>, quantity: Quantity| match text {
        None => Ok(0.0),
        Some(text) => read(text, quantity),
    };
    let options = JoinOptions {
        current_zero_a: quantity(&args.zero, Quantity::Current)?,
        house_power_w: quantity(&args.house, Quantity::Power)?,
        is_current_negated: args.turn_current,
        is_current_as_written: args.current_as_written,
        packs: match (args.packs_beside, args.packs_in_series) {
            (true, _) => Packs::Beside,
            (false, true) => Packs::Series,
            (false, false) => Packs::Apart,
        },
        ..JoinOptions::default()
    };
    let bounds =
        RunBounds { least_duration_s: read(&args.least, Quantity::Duration)?, ..RunBounds::default() };
    let paper = output::paper(&args.output);
    let opened = args.told.open(&args.files, &[])?;
    if let Some(why) = opened.iter().find_map(|o| o.log.as_ref().err().map(|why| (o.file.clone(), why))) {
        return Err(Failure::input(format!("{}: {}\n", why.0, why.1)));
    }
    let facts = trial_facts(&opened, &args.shifts, &options, &bounds, args.throttle_held, &paper)
        .map_err(|why| Failure::input(format!("{why}\n")))?;
    let answer = trial_answer(&facts, &paper);
    room::show("trial-runs", "", &answer, (&args.output, args.csv.as_deref()), &paper)
}

fn read(text: &str, quantity: Quantity) -> Result<f64, Failure> {
    parse_typed(text, quantity)
        .map_err(|error| Failure::input(format!("{}; {}\n", error.problem(), error.advice())))
}

/// Mappings as `--propose` writes them.
fn read_mappings(files: &[String]) -> Result<Vec<Mapping>, Failure> {
    files
        .iter()
        .map(|file| {
            let text = std::fs::read_to_string(file)
                .map_err(|error| Failure::input(format!("{file}: {}\n", unread(&error))))?;
            Mapping::from_json(&text).map_err(|error| Failure::input(format!("{file}: {error}\n")))
        })
        .collect()
}
