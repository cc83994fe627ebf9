//! `trial` on the store: logs kept, trials listed, shown, noted about, taken out as tables.
//! Not for: logs that are only looked at, nor causes.

use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

use clap::Args;
use wakewright_core::notice::{Notice, Severity};
use wakewright_logs::table::run_rows;
use wakewright_logs::trial::{Condition, Correction, LONGEST_TEXT, TrialAddress, TrialDocument};
use wakewright_records::boat::unread;
use wakewright_rooms::story::Story;
use wakewright_rooms::text::Paper;
use wakewright_rooms::trial::trial_answer;
use wakewright_store::{Boat, RecordSave, Store, TRIAL_KIND, UnixMs};
use wakewright_units::UnitSystem;

use super::trial::ToldArgs;
use super::{Done, Failure, OutputArgs, output, room, trial};
use wakewright_rooms::boats::understand;
use wakewright_rooms::logs::file_name;
use wakewright_rooms::moment;
use wakewright_rooms::trials::{
    IncomingLog, KeptTrial, LogShelf, PackedLog, TrialError, forget_source, keep_logs, known_mappings,
    other_bank, pack, remembered_words, samples_csv,
};

impl From<TrialError> for Failure {
    fn from(error: TrialError) -> Self {
        Self::input(format!("{error}\n"))
    }
}

fn now() -> UnixMs {
    UnixMs(jiff::Timestamp::now().as_millisecond())
}

/// Reads `files` and keeps them as a trial of `boat`.
pub fn keep(
    (boat, number): (&str, Option<u32>),
    title: &str,
    files: &[String],
    told: &ToldArgs,
    args: &OutputArgs,
) -> Done {
    let mut store = Store::open_default()?;
    let boat = store.find(boat)?;
    if told.forgets() {
        let known = known_mappings(&store)?;
        for file in files {
            forget_source(&mut store, &wakewright_rooms::logs::open(file, &known), now())?;
        }
    }
    let known = known_mappings(&store)?;
    let mut mappings = told.mappings(&known)?;
    if told.says_more() {
        // What was answered just now stands before what is remembered.
        let opened = told.open(files, &known)?;
        let answered = opened.iter().filter(|opened| opened.is_mapping_told());
        mappings.splice(0..0, answered.filter_map(|opened| opened.mapping.clone()));
    }
    let mut packed: Vec<PackedLog> = Vec::new();
    for file in files {
        let incoming = IncomingLog { name: file_name(file), path: PathBuf::from(file) };
        packed.push(pack(&incoming, &mappings)?);
    }
    for log in &packed {
        if let Some(words) = remembered_words(&store, &log.opened, &told.keys())? {
            output::complain(&words);
        }
    }
    let entered = keep_logs(&mut store, boat.id, number, &packed, title, now())?;
    if told.says_more() || !told.mappings(&[])?.is_empty() {
        let mut kept = KeptTrial::load(&store, &LogShelf::default(), boat.id, entered.number, None)?;
        let left_out: Vec<&str> = told.left_out().iter().map(String::as_str).collect();
        if !left_out.is_empty() {
            kept.leave_out(&left_out).map_err(|why| Failure::input(format!("--leave-out: {why}\n")))?;
            store.save_record(kept.trial.id, kept.trial.version, &kept.document.to_json(), &[], now())?;
        }
        kept.remember_answers(&mut store, now())?;
    }
    let paper = output::paper(args);
    let opened: Vec<_> = packed.iter().map(|log| &log.opened).collect();
    trial::show_logs(&opened, args, &paper)?;
    if args.json {
        return Ok(0);
    }
    // Read with her document beside it: her bank says whose volts they are.
    let text = store.latest(boat.id)?.text;
    let about = understand(&text, &boat.name, &[]).ok();
    let about = about.as_ref().map(|loaded| (&loaded.document, &loaded.spec));
    let kept = KeptTrial::load(&store, &LogShelf::default(), boat.id, entered.number, about)?;
    if let Some((_, spec)) = about {
        for question in other_bank(&kept.opened, &spec.boat) {
            output::write(&format!("\n{}\n", question.remark(&paper).text))?;
        }
    }
    let (plain, small) = packed.iter().map(PackedLog::sizes).fold((0, 0), |(a, b), (c, d)| (a + c, b + d));
    let name = &boat.name;
    output::write(&format!(
        "\nKept as trial {number} of {name}, {} packed to {}. `wakewright trial show \"{name}\" {number}` shows its \
         runs.\n",
        size_text(plain),
        size_text(small),
        number = entered.number,
    ))
}

fn size_text(bytes: u64) -> String {
    match bytes {
        0..10_000 => format!("{bytes} bytes"),
        10_000..10_000_000 => format!("{} kB", bytes / 1000),
        _ => format!("{} MB", bytes / 1_000_000),
    }
}

/// Keeps the runs of a table, a row for each, as a new trial of `boat` or with that of `number`.
pub fn keep_written((boat, number): (&str, Option<u32>), title: &str, file: &str) -> Done {
    /// Bytes of a table that somebody wrote by hand.
    const MOST_BYTES: u64 = 1_000_000;
    let wrong = |error: std::io::Error| Failure::input(format!("{file}: {}\n", unread(&error)));
    let mut bytes = Vec::new();
    File::open(file).and_then(|open| open.take(MOST_BYTES + 1).read_to_end(&mut bytes)).map_err(wrong)?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(Failure::input(format!(
            "{file}: longer than a table written by hand; bring it in as a log\n"
        )));
    }
    let found = run_rows(&bytes).map_err(|error| Failure::input(format!("{file}: {error}\n")))?;
    let mut store = Store::open_default()?;
    let boat = store.find(boat)?;
    let number = match number {
        Some(number) => number,
        None => {
            store
                .enter_record(boat.id, TRIAL_KIND, &TrialDocument::titled(title).to_json(), &[], now())?
                .number
        }
    };
    let mut kept = KeptTrial::load(&store, &LogShelf::default(), boat.id, number, None)?;
    let count = found.rows.len();
    kept.document.notebook.extend(found.rows);
    let save = store.save_record(kept.trial.id, kept.trial.version, &kept.document.to_json(), &[], now())?;
    if let RecordSave::Overtaken(theirs) = save {
        return Err(TrialError::Overtaken(theirs.number).into());
    }
    let kept = KeptTrial::load(&store, &LogShelf::default(), boat.id, number, None)?;
    let plural = if count == 1 { "" } else { "s" };
    let mut text = format!("{count} run{plural} written into trial {number} of {}.\n", boat.name);
    if !found.unused.is_empty() {
        text += &format!("  Not used: {}.\n", found.unused.join(", "));
    }
    if found.is_turned {
        text += "  The amps are negative in every run: taken as current out of the bank.\n";
    }
    for fault in &kept.reading.faults {
        text += &format!("  {}: {}\n", fault.field, fault.problem);
    }
    output::write(&text)
}

/// Which trial.
#[derive(Debug, Args)]
pub struct WhichTrial {
    /// A boat of the store
    #[arg(value_name = "BOAT")]
    boat: String,
    /// The trial's number
    #[arg(value_name = "NUMBER")]
    number: u32,
}

/// Arguments of `trial list`.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  wakewright trial list \"Sea Campion\"")]
pub struct ListArgs {
    /// A boat of the store
    #[arg(value_name = "BOAT")]
    boat: String,
    /// Those that were taken off the list
    #[arg(long)]
    removed: bool,
}

/// Runs `trial list`.
pub fn list(args: &ListArgs) -> Done {
    let store = Store::open_default_to_read()?;
    let boat = store.find(&args.boat)?;
    let trials = if args.removed {
        store.removed_records(boat.id, TRIAL_KIND)?
    } else {
        store.records(boat.id, TRIAL_KIND)?
    };
    if trials.is_empty() {
        return output::write(&format!(
            "{} has no trial yet; `wakewright trial import sunday.log --boat \"{}\"` or the page enters one.\n",
            boat.name, boat.name
        ));
    }
    let (story, paper) =
        (Story::of_store(&store, &LogShelf::default(), boat.id)?, Paper::plain(UnitSystem::Trade));
    if let Some(told) = story.finding(&boat.name, &paper).filter(|_| !args.removed) {
        output::write(&format!("{}{}\n", paper.wrap(&told.sentence, 0), paper.wrap(&told.further, 0)))?;
    }
    for trial in trials {
        let label = TrialDocument::from_json(&trial.text)
            .map_or_else(|error| format!("cannot be read: {error}"), |document| document.label());
        let logs = store.enclosures(trial.id)?.len();
        let plural = if logs == 1 { "" } else { "s" };
        output::write(&format!(
            "{:>3}  {label}; {logs} log{plural}, changed {}\n",
            trial.number,
            moment::local(trial.changed)
        ))?;
    }
    Ok(0)
}

/// Runs `trial remove` and `trial reinstate`: no log is opened for it.
pub fn shelve(which: &WhichTrial, is_removed: bool) -> Done {
    let mut store = Store::open_default()?;
    let boat = store.find(&which.boat)?;
    let trial = store.record(boat.id, TRIAL_KIND, which.number)?;
    let (number, name) = (which.number, &boat.name);
    store.shelve_record(trial.id, is_removed.then(now))?;
    if is_removed {
        return output::write(&format!(
            "Trial {number} of {name} is off the list; `wakewright trial reinstate \"{name}\" {number}` puts it back.\n"
        ));
    }
    output::write(&format!("Trial {number} of {name} is on the list again.\n"))
}

/// Arguments of `trial show`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wakewright trial show \"Sea Campion\" 1\n  wakewright trial show \"Sea Campion\" 1 \
    --document > trial.json"
)]
pub struct ShowArgs {
    #[command(flatten)]
    which: WhichTrial,
    /// Print the trial's own document, as it is kept
    #[arg(long)]
    document: bool,
    /// Print one sheet of figures as comma-separated values
    #[arg(long, value_name = "SHEET", conflicts_with = "json")]
    csv: Option<String>,
    #[command(flatten)]
    output: OutputArgs,
}

fn load(which: &WhichTrial) -> Result<(Store, Boat, KeptTrial), Failure> {
    let store = Store::open_default_to_read()?;
    let boat = store.find(&which.boat)?;
    let text = store.latest(boat.id)?.text;
    // A trial can be looked at while the boat's document has faults; then nothing is corrected.
    let loaded = understand(&text, &boat.name, &[]).ok();
    let about = loaded.as_ref().map(|loaded| (&loaded.document, &loaded.spec));
    let kept = KeptTrial::load(&store, &LogShelf::default(), boat.id, which.number, about)?;
    Ok((store, boat, kept))
}

/// Runs `trial show`.
pub fn show(args: &ShowArgs) -> Done {
    let (_, boat, kept) = load(&args.which)?;
    if args.document {
        return output::write(&kept.document.to_json());
    }
    let paper = output::paper(&args.output);
    let mut answer = trial_answer(&kept.facts(&paper), &paper);
    for fault in &kept.reading.faults {
        let text = format!("{}: {}.", fault.field, fault.problem.trim_end_matches('.'));
        answer.notices.push(Notice::Read { severity: Severity::Weak, text });
    }
    room::show("trial-kept", &boat.name, &answer, (&args.output, args.csv.as_deref()), &paper)
}

/// Arguments of `trial set`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wakewright trial set \"Sea Campion\" 1 bottom=\"light slime\" wind=\"8 kn\" \
    wind_from=SW\n  wakewright trial set \"Sea Campion\" 1 correct=wind,waves house=\"180 W\" title=\"as she \
    came\"\n\nWhat can be noted: date, title, done (since the trial before), note, zero, house, turned (yes: out of the bank is negative; no: as it is written, though a log seems to tell otherwise), beside (yes: the logs are of packs side by side, whose amps are added), series (yes: in series, their volts are added), throttle_held (yes: it was not touched between opposite runs), full_throttle (numbers of runs, as 9,10), answer (question=answer), left_out (channels), \
    shift (log: time, as 2:20 s), least_run, correct (wind, waves, \
    displacement, water), bottom, blades, months_since_cleaning, displacement, water_temperature, wind, wind_from, \
    wave_height, depth, confined, state_of_charge, used_charge (amp-hours since full), rest_voltage, \
    air_temperature, and a cell of a run written by hand, counted from 0: notebook.0.rpm. An empty value takes it away."
)]
pub struct SetArgs {
    #[command(flatten)]
    which: WhichTrial,
    /// What is noted
    #[arg(required = true, value_name = "WHAT=VALUE")]
    changes: Vec<String>,
}

/// Runs `trial set`.
pub fn set(args: &SetArgs) -> Done {
    let (mut store, boat, mut kept) = load(&args.which)?;
    for change in &args.changes {
        let (word, value) = change
            .split_once('=')
            .ok_or_else(|| Failure::input(format!("{change}: write it as what=value\n")))?;
        match word.trim() {
            "full_throttle" => {
                let numbers = run_numbers(value).map_err(Failure::input)?;
                kept.mark_full_throttle(&numbers)
                    .map_err(|why| Failure::input(format!("full_throttle: {why}")))?;
            }
            "answer" => {
                let (key, word) = value.split_once('=').unwrap_or((value, ""));
                kept.answer(key.trim(), word.trim())
                    .map_err(|why| Failure::input(format!("answer: {why}\n")))?;
            }
            "left_out" => {
                let keys: Vec<&str> = value.split(',').map(str::trim).filter(|key| !key.is_empty()).collect();
                kept.leave_out(&keys).map_err(|why| Failure::input(format!("left_out: {why}\n")))?;
            }
            "shift" => {
                let (log, shift) = value.split_once(':').unwrap_or(("1", value));
                let place = log.trim().parse::<usize>().ok().and_then(|log| log.checked_sub(1));
                let used = place.and_then(|place| kept.document.logs.get_mut(place));
                let used = used.ok_or_else(|| {
                    Failure::input(format!(
                        "shift={value}: write the number of the log, a colon, a time: 2:20 s\n"
                    ))
                })?;
                shift.trim().clone_into(&mut used.shift);
                let shifted = TrialAddress::Shift(place.unwrap_or_default());
                refuse_doubtful(&kept.document, &shifted, change).map_err(Failure::input)?;
            }
            word => note(&mut kept.document, word, value.trim()).map_err(Failure::input)?,
        }
    }
    let save = store.save_record(kept.trial.id, kept.trial.version, &kept.document.to_json(), &[], now())?;
    if let RecordSave::Overtaken(theirs) = save {
        return Err(TrialError::Overtaken(theirs.number).into());
    }
    let kept = KeptTrial::load(&store, &LogShelf::default(), boat.id, args.which.number, None)?;
    kept.remember_answers(&mut store, now())?;
    let words: Vec<&str> = args.changes.iter().filter_map(|change| Some(change.split_once('=')?.0)).collect();
    let mut text =
        format!("Noted about trial {} of {}: {}.\n", args.which.number, boat.name, words.join(", "));
    for fault in &kept.reading.faults {
        text += &format!("  {}: {}\n", fault.field, fault.problem);
    }
    output::write(&text)
}

/// Numbers of runs, set off by commas.
fn run_numbers(text: &str) -> Result<Vec<usize>, String> {
    let numbers = text.split(',').map(str::trim).filter(|number| !number.is_empty());
    numbers
        .map(|number| {
            number.parse().map_err(|_| format!("full_throttle={text}: write numbers of runs, as in 9,10\n"))
        })
        .collect()
}

/// Notes one thing about a trial.
pub(super) fn note(document: &mut TrialDocument, word: &str, value: &str) -> Result<(), String> {
    let address = match word {
        "correct" => {
            document.corrections.clear();
            for word in value.split(',').map(str::trim).filter(|word| !word.is_empty()) {
                let words = Correction::ALL.map(Correction::word).join(", ");
                let correction = Correction::of_word(word).ok_or_else(|| {
                    format!("{word}: nothing of this name is corrected; one of {words}\n")
                })?;
                document.corrections.insert(correction);
            }
            return Ok(());
        }
        "date" => TrialAddress::Date,
        "title" => TrialAddress::Title,
        "done" => TrialAddress::Done,
        "note" => TrialAddress::Note,
        "zero" => TrialAddress::MeterZero,
        "house" => TrialAddress::MeterHouse,
        // Said by hand that it is not: no log's own telling turns it then.
        "turned" if value.trim().eq_ignore_ascii_case("no") => {
            document.meter.is_current_turned = false;
            document.meter.is_current_as_written = true;
            return Ok(());
        }
        "turned" => TrialAddress::MeterTurned,
        "beside" => TrialAddress::MeterBeside,
        "series" => TrialAddress::MeterSeries,
        "throttle_held" => TrialAddress::ThrottleHeld,
        "least_run" => TrialAddress::LeastRun,
        word => TrialAddress::of_name(word).ok_or_else(|| {
            let near = wakewright_units::nearest(word, Condition::ALL.map(Condition::word));
            let hint = near.map_or_else(String::new, |near| format!("; did you mean {near}?"));
            format!(
                "{word}: nothing of this name is noted about a trial{hint} `wakewright trial set --help` lists all\n"
            )
        })?,
    };
    let change = format!("{word}={value}");
    if !document.set_typed(&address, value) {
        let why = if matches!(
            address,
            TrialAddress::MeterTurned
                | TrialAddress::MeterBeside
                | TrialAddress::MeterSeries
                | TrialAddress::ThrottleHeld
        ) {
            "write yes or no"
        } else if value.len() > LONGEST_TEXT {
            "longer than a trial holds"
        } else {
            "this cannot be written there; a switch takes yes or no"
        };
        return Err(format!("{change}: {why}\n"));
    }
    refuse_doubtful(document, &address, &change)
}

/// A number typed now is not guessed.
fn refuse_doubtful(document: &TrialDocument, address: &TrialAddress, change: &str) -> Result<(), String> {
    document.doubt_about(address).map_or(Ok(()), |doubt| Err(format!("{change}: {doubt}\n")))
}

/// Arguments of `trial export`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wakewright trial export \"Sea Campion\" 1 trial-1.csv\n  wakewright trial export \
    \"Sea Campion\" 1 - --units metric"
)]
pub struct ExportArgs {
    #[command(flatten)]
    which: WhichTrial,
    /// Where to write the joined samples; - prints them
    #[arg(value_name = "FILE")]
    file: String,
    /// Write Parquet into this folder instead, a part for each boat and month
    #[cfg(feature = "parquet")]
    #[arg(long)]
    parquet: bool,
    /// Replace a file that exists
    #[arg(long)]
    overwrite: bool,
    #[command(flatten)]
    output: OutputArgs,
}

/// Runs `trial export`.
pub fn export(args: &ExportArgs) -> Done {
    let (_, boat, kept) = load(&args.which)?;
    if kept.reading.outings.is_empty() {
        let why = "no samples: this trial has no log, or none that could be joined (`wakewright trial show` says why); its notebook \
                   is part of `wakewright trial show --document`";
        return Err(Failure::input(format!("{why}\n")));
    }
    #[cfg(feature = "parquet")]
    if args.parquet {
        let folder = Path::new(&args.file);
        let written = wakewright_rooms::parquet::write(folder, &boat.slug, args.which.number, &kept.reading)
            .map_err(|error| Failure::input(format!("{}: {error}\n", folder.display())))?;
        return output::write(
            &written.iter().map(|file| format!("Wrote {}.\n", file.display())).collect::<String>(),
        );
    }
    let text = samples_csv(&kept.reading, args.output.units.into());
    if args.file == "-" {
        return output::write(&text);
    }
    let place = Path::new(&args.file);
    output::write_file(place, &text, args.overwrite, "--overwrite")?;
    let place = place.display();
    output::write(&format!("Wrote {place}: {} samples of {}.\n", text.lines().count() - 1, boat.name))
}
