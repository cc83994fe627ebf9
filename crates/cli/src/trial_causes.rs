//! `trial causes` and `trial forecast`: why she is slow, what remedies will give, and how forecasts fared.
//! Not for: computing or wording.

use std::path::{Path, PathBuf};

use clap::Args;
use wakewright_core::causes::{CausesOptions, Diagnosis, Epoch, HeldForecast, Remedy, usual_remedies};
use wakewright_logs::LogNotice;
use wakewright_logs::trial::{LogUse, TrialDocument, read_trial};
use wakewright_picture::{Frame, Picture, Theme};
use wakewright_rooms::causes::{
    ForecastRecord, band_pictures, causes_answer, forecast_answer, held_answer, keep_held, remarks,
    shares_picture,
};
use wakewright_rooms::room::Answer;
use wakewright_rooms::text::Paper;
use wakewright_store::{SaveOutcome, Store, UnixMs};
use wakewright_units::{Quantity, parse_certain};

use super::trial::ToldArgs;
use super::{CHECK_FAILED, Done, Failure, OutputArgs, output, room, trial_store};
use crate::load;
use wakewright_rooms::boats::Loaded;
use wakewright_rooms::diagnosing::{
    adopted, diagnose_boat, epoch_of, epochs_of_store, forecast_remedies, hold_against,
};
use wakewright_rooms::logs::{question_words, remark};
use wakewright_rooms::remedies::read_remedy;
use wakewright_rooms::sampling::DEFAULT_SEED;
use wakewright_rooms::trials::{LogShelf, known_mappings};

/// Where the evidence comes from.
#[derive(Debug, Args)]
pub struct EvidenceArgs {
    /// A boat of the store, or a boat document
    #[arg(value_name = "BOAT")]
    boat: String,
    /// Her trial, by number; the latest when not given. Earlier ones are evidence too
    #[arg(value_name = "NUMBER")]
    number: Option<u32>,
    /// Logs of an afternoon that is not in the store
    #[arg(long = "log", value_name = "FILE", conflicts_with = "number")]
    logs: Vec<String>,
    /// What was noted of that afternoon, as in `trial set`: bottom="light slime"
    #[arg(long = "noted", value_name = "WHAT=VALUE", requires = "logs")]
    noted: Vec<String>,
    /// Runs made at full throttle, by number
    #[arg(long, alias = "full-lever", value_name = "NUMBERS", value_delimiter = ',', requires = "logs")]
    full_throttle: Vec<usize>,
    #[command(flatten)]
    told: ToldArgs,
    /// Leave earlier trials aside
    #[arg(long)]
    alone: bool,
    /// Speed whose power is the second point; else her cruising speed
    #[arg(long, value_name = "SPEED")]
    cruise: Option<String>,
    /// Weighted samples of everything unknown
    #[arg(long, default_value_t = CausesOptions::default().samples, value_parser = samples_in_range)]
    samples: usize,
    /// Seed of the samples; the same seed gives the same figures
    #[arg(long, default_value_t = DEFAULT_SEED)]
    seed: u64,
    /// Print one sheet of figures as comma-separated values
    #[arg(long, value_name = "SHEET", conflicts_with = "json")]
    csv: Option<String>,
    #[command(flatten)]
    output: OutputArgs,
}

impl EvidenceArgs {
    fn show(&self, of: &str, found: &Found, answer: &Answer, paper: &Paper) -> Done {
        room::show(of, &found.boat.name, answer, (&self.output, self.csv.as_deref()), paper)
    }
}

fn samples_in_range(text: &str) -> Result<usize, String> {
    match text.parse::<usize>() {
        Ok(count @ 500..=100_000) => Ok(count),
        _ => Err("give a whole number from 500 to 100000".to_owned()),
    }
}

/// Arguments of `trial causes`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wakewright trial causes \"Sea Campion\" 2\n  wakewright trial causes boat.toml --log \
    sunday.csv --noted bottom=\"heavy slime\" --noted wind=\"4 kn\" --full-throttle 9,10\n  wakewright trial causes \"Sea \
    Campion\" 2 --adopt"
)]
pub struct CausesArgs {
    #[command(flatten)]
    evidence: EvidenceArgs,
    /// Save what the trial knows better as a revision of the boat's document
    #[arg(long, conflicts_with = "logs")]
    adopt: bool,
    /// Print the document with what the trial knows better, and keep nothing
    #[arg(long, conflicts_with = "adopt")]
    adopted: bool,
    /// Draw speed, power and shares into this folder, as causes-speed.svg and so on
    #[arg(long, value_name = "FOLDER")]
    draw: Option<PathBuf>,
    /// Width of the pictures, px
    #[arg(long, default_value_t = 760, requires = "draw")]
    width: u16,
}

/// Arguments of `trial forecast`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wakewright trial forecast \"Sea Campion\" 1\n  wakewright trial forecast \"Sea Campion\" 1 \
    --remedy \"limits and pulleys: limits as stated; ratio 3\" --keep\n  wakewright trial forecast \"Sea \
    Campion\" 2 --hold\n\nChanges, set off by semicolons: clean bottom; clean blades; pitch +1 in; propeller 20 in x 14 in; ratio \
    3; cells 28; cable 1 mohm; sound packs; limits as stated."
)]
pub struct ForecastArgs {
    #[command(flatten)]
    evidence: EvidenceArgs,
    /// A remedy: a name, a colon, changes set off by semicolons; without any, the usual ones
    #[arg(long = "remedy", value_name = "NAME: CHANGE; ...")]
    remedies: Vec<String>,
    /// Keep the forecasts with today's date, to be held against a later trial
    #[arg(long, conflicts_with_all = ["logs", "hold"])]
    keep: bool,
    /// Hold the forecasts kept for this boat against this trial
    #[arg(long, conflicts_with = "logs")]
    hold: bool,
}

/// Everything that a command needs of the evidence.
struct Found {
    boat: Loaded,
    epochs: Vec<Epoch>,
    /// Number of the last of them, of a trial of the store.
    number: Option<u32>,
    options: CausesOptions,
}

impl Found {
    fn diagnosis(&self) -> Result<Diagnosis, Failure> {
        diagnose_boat(&self.boat, &self.epochs, &self.options)
            .map_err(|why| Failure { message: format!("{why}\n"), code: CHECK_FAILED })
    }
}

fn gather(args: &EvidenceArgs, is_alone: bool) -> Result<Found, Failure> {
    let boat = load(&args.boat, &[])?;
    let cruise_speed_m_s = match &args.cruise {
        None => None,
        Some(text) => match parse_certain(text, Quantity::Speed, (0.2, 15.0)) {
            Ok(speed) if speed > 0.2 && speed < 15.0 => Some(speed),
            Ok(_) => return Err(Failure::input(format!("--cruise {text}: no speed of such a boat\n"))),
            Err(error) => return Err(Failure::input(format!("--cruise {text}: {error}\n"))),
        },
    };
    let options = CausesOptions {
        samples: args.samples,
        seed: args.seed,
        cruise_speed_m_s,
        ..CausesOptions::default()
    };
    let (number, epochs) = if args.logs.is_empty() {
        let store = Store::open_default()?;
        let id = store.find(&args.boat)?.id;
        let numbered = epochs_of_store(&store, &LogShelf::default(), id, &boat, args.number, is_alone)?;
        (numbered.last().map(|(number, _)| *number), numbered.into_iter().map(|(_, epoch)| epoch).collect())
    } else {
        (None, vec![epoch_of_files(args, &boat)?])
    };
    Ok(Found { boat, epochs, number, options })
}

fn epoch_of_files(args: &EvidenceArgs, boat: &Loaded) -> Result<Epoch, Failure> {
    let known = Store::open_default().ok().and_then(|store| known_mappings(&store).ok()).unwrap_or_default();
    let mut document = TrialDocument::default();
    for noted in &args.noted {
        let usage = || {
            Failure::input(format!("--noted {noted}: write what=value, for example bottom=\"light slime\"\n"))
        };
        let (word, value) = noted.split_once('=').ok_or_else(usage)?;
        trial_store::note(&mut document, word.trim(), value.trim()).map_err(Failure::input)?;
    }
    let paper = output::paper(&args.output);
    let mut logs = Vec::new();
    for (file, opened) in args.logs.iter().zip(args.told.open(&args.logs, &known)?) {
        for question in &opened.questions {
            output::complain(&format!("{file}: {}\n", question_words(question, "--answer ")));
        }
        let log = opened.log.map_err(|why| Failure::input(format!("{file}: {why}\n")))?;
        for notice in &log.notices {
            let is_asked = |text: &str| opened.questions.iter().any(|question| question.text == text);
            if matches!(notice, LogNotice::Question(text) if !is_asked(text)) {
                output::complain(&format!("{file}: {}\n", remark(notice, &paper).text));
            }
        }
        document.logs.push(LogUse {
            digest: file.clone(),
            name: file.clone(),
            shift: String::new(),
            mapping: None,
            left_out: std::collections::BTreeSet::new(),
        });
        logs.push(log);
    }
    let given: Vec<Option<&_>> = logs.iter().map(Some).collect();
    let reading = read_trial(&document, &given);
    for apart in &reading.apart {
        let added = if apart.may_be_packs {
            " --noted beside=yes adds their amps, --noted series=yes their volts."
        } else {
            ""
        };
        output::complain(&format!("{}{added}\n", remark(&apart.notice, &paper).text));
    }
    // What was not written is asked; what was written wrongly is refused.
    let (wrong, asked): (Vec<_>, Vec<_>) =
        reading.faults.iter().partition(|fault| document.conditions.contains_key(&fault.field));
    for fault in asked {
        output::complain(&format!("{}: {}\n", fault.field, fault.problem));
    }
    if let Some(fault) = wrong.first() {
        return Err(Failure::input(format!("{}: {}\n", fault.field, fault.problem)));
    }
    let count = reading.used().len();
    if let Some(none) = args.full_throttle.iter().find(|run| **run == 0 || **run > count) {
        let problem = format!(
            "--full-throttle {none}: these logs hold {count} runs; `wakewright trial runs` lists them\n"
        );
        return Err(Failure::input(problem));
    }
    Ok(epoch_of(&document, &reading, boat, &args.full_throttle))
}

/// Runs `trial causes`.
pub fn causes(args: &CausesArgs) -> Done {
    let found = gather(&args.evidence, args.evidence.alone)?;
    let diagnosis = found.diagnosis()?;
    let paper = output::paper(&args.evidence.output);
    if args.adopt || args.adopted {
        return adopt(args, &found, &diagnosis);
    }
    if let Some(folder) = &args.draw {
        draw(folder, args.width, &diagnosis, &paper)?;
    }
    show_causes(&args.evidence, &found, &diagnosis, &paper)
}

/// Shows what was found; ends as a command without an answer where that is that nothing can be said.
fn show_causes(evidence: &EvidenceArgs, found: &Found, diagnosis: &Diagnosis, paper: &Paper) -> Done {
    let shown = evidence.show("causes", found, &causes_answer(&found.boat.name, diagnosis, paper), paper)?;
    Ok(if diagnosis.tells_nothing() { CHECK_FAILED } else { shown })
}

/// Writes the pictures; files of the same names are written over, no others touched.
fn draw(folder: &Path, width: u16, diagnosis: &Diagnosis, paper: &Paper) -> Result<(), Failure> {
    let fail =
        |place: &Path, error: std::io::Error| Failure::input(format!("{}: {error}\n", place.display()));
    std::fs::create_dir_all(folder).map_err(|error| fail(folder, error))?;
    let [speed, power] = band_pictures(diagnosis, paper);
    let shares = shares_picture(diagnosis, 0, paper);
    let frame = |id: &str| Frame::new(f64::from(width), Theme::Light, id);
    let drawn = [
        ("speed", speed.to_svg(&frame("speed"))),
        ("power", power.to_svg(&frame("power"))),
        ("shares", shares.to_svg(&frame("shares"))),
    ];
    for (name, svg) in drawn {
        let place = folder.join(format!("causes-{name}.svg"));
        output::write_file(&place, &svg, true, "")?;
    }
    Ok(())
}

fn adopt(args: &CausesArgs, found: &Found, diagnosis: &Diagnosis) -> Done {
    if diagnosis.tells_nothing() {
        return Err(Failure::input(
            "these readings fit no cause that is known here, or the stream is still in them: nothing is adopted. Look at the run list \
             first.\n",
        ));
    }
    let changed = adopted(&found.boat.document, diagnosis).map_err(|faults| {
        let said = faults.iter().map(|fault| format!("{}, {fault}\n", found.boat.place));
        Failure::input(said.collect::<String>())
    })?;
    if args.adopted {
        return output::write(changed.to_toml());
    }
    let mut store = Store::open_default()?;
    let boat = store.find(&args.evidence.boat)?;
    let base = store.latest(boat.id)?;
    let label = &found.epochs[found.epochs.len() - 1].label;
    let note = format!("adopted from \"{label}\"");
    match store.save(boat.id, base.head.number, changed.to_toml(), &note, now())? {
        SaveOutcome::Saved(head) => output::write(&format!(
            "Revision {} of {} holds {} values from \"{label}\".\n",
            head.number,
            boat.name,
            diagnosis.calibrated.len()
        )),
        SaveOutcome::Unchanged { .. } => {
            output::write("This trial knows nothing better than her document.\n")
        }
        SaveOutcome::Conflict { .. } => {
            Err(Failure::input("somebody saved her document meanwhile; nothing was overwritten, try again\n"))
        }
    }
}

/// Runs `trial forecast`.
pub fn forecasts(args: &ForecastArgs) -> Done {
    if args.hold {
        return hold(args);
    }
    let found = gather(&args.evidence, args.evidence.alone)?;
    let diagnosis = found.diagnosis()?;
    if diagnosis.tells_nothing() {
        // What nothing can be said of is not forecast.
        return show_causes(&args.evidence, &found, &diagnosis, &output::paper(&args.evidence.output));
    }
    let remedies = if args.remedies.is_empty() {
        usual_remedies(&diagnosis)
    } else {
        args.remedies.iter().map(|text| remedy_of(text)).collect::<Result<Vec<_>, _>>()?
    };
    let made = forecast_remedies(&diagnosis, &remedies);
    let paper = output::paper(&args.evidence.output);
    let mut answer = forecast_answer(&found.boat.name, &made, &paper);
    answer.notices.splice(0..0, remarks(&diagnosis));
    args.evidence.show("forecast", &found, &answer, &paper)?;
    if !args.keep {
        return Ok(0);
    }
    let mut store = Store::open_default()?;
    let boat = store.find(&args.evidence.boat)?;
    let today = jiff::Zoned::now().date().to_string();
    let label = &found.epochs[found.epochs.len() - 1].label;
    for forecast in &made {
        let record = ForecastRecord::of(forecast, &found.boat.name, &today, (label, found.number));
        store.keep_forecast(boat.id, &record.to_text(), now())?;
    }
    if args.evidence.output.json || args.evidence.csv.is_some() {
        return Ok(0);
    }
    let what = if made.len() == 1 { "forecast" } else { "forecasts" };
    output::write(&format!(
        "\nKept {} {what} of {today}, to be held against a later trial with --hold.\n",
        made.len()
    ))
}

fn remedy_of(text: &str) -> Result<Remedy, Failure> {
    let help = "`wakewright trial forecast --help` lists changes";
    read_remedy(text).map_err(|why| Failure::input(format!("--remedy {text}: {why}; {help}\n")))
}

fn hold(args: &ForecastArgs) -> Done {
    // By its own runs alone: what the forecast stood on must not judge it.
    let found = gather(&args.evidence, true)?;
    let mut store = Store::open_default()?;
    let boat = store.find(&args.evidence.boat)?;
    let kept = store.forecasts(boat.id)?;
    if kept.is_empty() {
        return Err(Failure::input(format!("{} has no forecast kept; --keep keeps one\n", boat.name)));
    }
    let diagnosis = found.diagnosis()?;
    let paper = output::paper(&args.evidence.output);
    let (mut held, mut records) = (Vec::new(), Vec::new());
    for entry in kept {
        let record =
            ForecastRecord::read(&entry.text).map_err(|error| Failure::input(format!("{error}\n")))?;
        let scores = hold_against(&record, &diagnosis).map_err(|why| Failure::input(format!("{why}\n")))?;
        let (remedy, made_on) = (record.remedy.clone(), record.made_on.clone());
        records.push(record);
        held.push(HeldForecast { remedy, made_on, scores });
    }
    if let Some(number) = found.number {
        // One that was made from this trial or a later one is no forecast of it.
        let both = records.iter().zip(&held);
        let before = both.filter(|(record, _)| record.from_number.is_none_or(|from| from < number));
        let before: Vec<_> = before.map(|(record, held)| (record, held.scores.as_slice())).collect();
        keep_held(&mut store, (boat.id, number), &before, now())?;
    }
    args.evidence.show("forecast-held", &found, &held_answer(&held, &paper), &paper)
}

fn now() -> UnixMs {
    UnixMs(jiff::Timestamp::now().as_millisecond())
}
