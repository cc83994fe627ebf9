//! `checkup add`, `call set` and the like: dated records of a boat of the store, with their photographs. Not for: what the
//! rooms find of them.

use std::path::Path;

use clap::{ArgMatches, Args, Command, FromArgMatches, Subcommand};
use wakewright_records::boat::unread;
use wakewright_rooms::boats::{Loaded, understand};
use wakewright_rooms::dated::{DatedError, Entry, KeptRecord, Kind, begin, save_entries};
use wakewright_rooms::moment;
use wakewright_rooms::photograph::{Carried, LONGEST_PHOTOGRAPH_BYTES, take_in};
use wakewright_rooms::sentence::capitalised;
use wakewright_rooms::sheets::answer_text;
use wakewright_rooms::text::Paper;
use wakewright_store::{Boat, RecordSave, Store, UnixMs};
use wakewright_units::UnitSystem;

use super::{Done, Failure, output};

impl From<DatedError> for Failure {
    fn from(error: DatedError) -> Self {
        Self::input(format!("{error}\n"))
    }
}

/// What is done with a record.
#[derive(Debug, Subcommand)]
enum DatedCommand {
    /// Begin a record of a day
    Add(AddArgs),
    /// Write what was found, measured and noted
    Set(SetArgs),
    /// Show a record as it is written, with what of it cannot be used
    Show(WhichRecord),
    /// List the records of a boat
    List(ListArgs),
    /// Keep photographs with a record: JPEG or PNG, shrunk, without position and time
    Photo(PhotoArgs),
    /// Write a record and its photographs into a folder
    Export(ExportArgs),
    /// List what stood in a record before, or show one of these
    History(HistoryArgs),
    /// Take a record off the list; everything of it is kept
    Remove(WhichRecord),
    /// Put a record back on the list
    Reinstate(WhichRecord),
}

#[derive(Debug, Args)]
struct AddArgs {
    /// A boat of the store
    #[arg(value_name = "BOAT")]
    boat: String,
    /// The day; today when left out
    #[arg(long, value_name = "DAY")]
    on: Option<String>,
}

#[derive(Debug, Args)]
struct ListArgs {
    /// A boat of the store
    #[arg(value_name = "BOAT")]
    boat: String,
    /// Those that were taken off the list
    #[arg(long)]
    removed: bool,
}

/// Which record.
#[derive(Debug, Args)]
struct WhichRecord {
    /// A boat of the store
    #[arg(value_name = "BOAT")]
    boat: String,
    /// The record's number
    #[arg(value_name = "NUMBER")]
    number: u32,
}

#[derive(Debug, Args)]
struct HistoryArgs {
    #[command(flatten)]
    which: WhichRecord,
    /// Show the record as it was then
    #[arg(long)]
    version: Option<u32>,
    /// Write that back: what stands there now is kept as a revision
    #[arg(long, requires = "version")]
    bring_back: bool,
}

#[derive(Debug, Args)]
struct SetArgs {
    #[command(flatten)]
    which: WhichRecord,
    /// What is noted
    #[arg(required = true, value_name = "WHAT=VALUE")]
    changes: Vec<String>,
}

#[derive(Debug, Args)]
struct PhotoArgs {
    #[command(flatten)]
    which: WhichRecord,
    /// The entry that they belong to: an item of the list, a question; the whole record when left out
    #[arg(long, value_name = "ENTRY")]
    of: Option<String>,
    /// Photographs
    #[arg(required = true, value_name = "FILE")]
    files: Vec<String>,
    /// Keep the file as it came, with the place and time that it carries
    #[arg(long)]
    as_it_came: bool,
}

#[derive(Debug, Args)]
struct ExportArgs {
    #[command(flatten)]
    which: WhichRecord,
    /// A folder; it is made where there is none
    #[arg(value_name = "FOLDER")]
    folder: String,
    /// Replace files that exist
    #[arg(long)]
    overwrite: bool,
}

/// The room's command with these below it.
pub fn with_subcommands(kind: &'static Kind, command: Command) -> Command {
    let about = command.get_about().cloned().unwrap_or_default();
    DatedCommand::augment_subcommands(command)
        .about(about)
        .args_conflicts_with_subcommands(true)
        .subcommand_negates_reqs(true)
        .subcommand_required(false)
        .arg_required_else_help(true)
        .mut_subcommand("set", |set| set.after_help(kind.help))
}

/// Runs one of them.
pub fn run(kind: &'static Kind, matches: &ArgMatches) -> Done {
    match DatedCommand::from_arg_matches(matches).map_err(|error| Failure::input(error.to_string()))? {
        DatedCommand::Add(args) => add(kind, &args),
        DatedCommand::Set(args) => set(kind, &args),
        DatedCommand::Show(which) => show(kind, &which),
        DatedCommand::List(args) => list(kind, &args),
        DatedCommand::Photo(args) => photo(kind, &args),
        DatedCommand::Export(args) => export(kind, &args),
        DatedCommand::History(args) => history(kind, &args),
        DatedCommand::Remove(which) => shelve(kind, &which, true),
        DatedCommand::Reinstate(which) => shelve(kind, &which, false),
    }
}

fn now() -> UnixMs {
    UnixMs(jiff::Timestamp::now().as_millisecond())
}

/// The boat of the store with her document.
fn boat_of(store: &Store, name: &str) -> Result<(Boat, Loaded), Failure> {
    let boat = store.find(name)?;
    let loaded = understand(&store.latest(boat.id)?.text, &boat.name, &[])?;
    Ok((boat, loaded))
}

fn load(
    store: &Store,
    kind: &'static Kind,
    which: &WhichRecord,
) -> Result<(Boat, Loaded, KeptRecord), Failure> {
    let (boat, loaded) = boat_of(store, &which.boat)?;
    let kept = KeptRecord::load(store, boat.id, kind, which.number)?;
    Ok((boat, loaded, kept))
}

fn faults(kept: &KeptRecord, boat: &Loaded) -> String {
    let faults = kept.kind.faults(&kept.document, boat, moment::today());
    faults.iter().map(|fault| format!("  {}: {}\n", fault.address, fault.problem)).collect()
}

fn add(kind: &'static Kind, args: &AddArgs) -> Done {
    let today = moment::today();
    let day = args.on.clone().unwrap_or_else(|| today.to_string());
    match day.parse::<jiff::civil::Date>() {
        Ok(day) if day <= today => {}
        Ok(_) => {
            return Err(Failure::input(format!("--on {day}: that day has not come yet; today is {today}\n")));
        }
        Err(_) => return Err(Failure::input(format!("--on {day}: no day; write it like {today}\n"))),
    }
    let mut store = Store::open_default()?;
    let boat = store.find(&args.boat)?;
    let number = begin(&mut store, boat.id, kind, &day, now())?.number;
    let (name, key) = (&boat.name, kind.key);
    output::write(&format!(
        "{} {number} of {name}, {day}. `wakewright {key} set --help` tells what can be noted in it, `wakewright {key} \"{name}\"` \
         what is asked; the page takes it all in one go.\n",
        capitalised(kind.name)
    ))
}

fn set(kind: &'static Kind, args: &SetArgs) -> Done {
    let mut store = Store::open_default()?;
    let (boat, loaded) = boat_of(&store, &args.which.boat)?;
    let mut entries = Vec::new();
    for change in &args.changes {
        let (typed, text) = change
            .split_once('=')
            .ok_or_else(|| Failure::input(format!("{change}: write it as what=value\n")))?;
        entries.push(Entry { address: kind.address(typed.trim()), was: None, text: text.to_owned() });
    }
    save_entries(&mut store, (boat.id, &loaded), (kind, args.which.number), &entries, now())?;
    let (_, _, kept) = load(&store, kind, &args.which)?;
    let words: Vec<&str> = entries.iter().map(|entry| entry.address.as_str()).collect();
    output::write(&format!(
        "Noted in {} {} of {}: {}.\n{}",
        kind.name,
        args.which.number,
        boat.name,
        words.join(", "),
        faults(&kept, &loaded)
    ))
}

fn show(kind: &'static Kind, which: &WhichRecord) -> Done {
    let store = Store::open_default_to_read()?;
    let (_, boat, kept) = load(&store, kind, which)?;
    let mut text = kept.document.to_toml();
    for photograph in store.enclosures(kept.record.id)? {
        text += &format!(
            "# photograph {}: {}{}, {} kB\n",
            photograph.id.0,
            photograph.name,
            if photograph.place.is_empty() { String::new() } else { format!(" of {}", photograph.place) },
            photograph.kept_bytes / 1000
        );
    }
    let faults = faults(&kept, &boat);
    if !faults.is_empty() {
        output::complain(&format!("Not used:\n{faults}"));
    }
    if let Some(room) = kind.room.filter(|_| faults.is_empty()) {
        let paper = Paper::plain(UnitSystem::Trade);
        let asked = kind.asked(&kept.document, &boat, room.card().samples.usual);
        text += &format!("\n{}", answer_text(&room.answer(&asked, None, &paper)?, &paper));
    }
    output::write(&text)
}

fn list(kind: &'static Kind, args: &ListArgs) -> Done {
    let store = Store::open_default_to_read()?;
    let boat = store.find(&args.boat)?;
    let records = if args.removed {
        store.removed_records(boat.id, kind.key)?
    } else {
        store.records(boat.id, kind.key)?
    };
    let mut text = String::new();
    for record in records {
        let photographs = store.enclosures(record.id)?.len();
        let kept = KeptRecord::of(record, kind)?;
        text += &format!(
            "{:>3}  {}; {} entries, {photographs} photograph{}, changed {}\n",
            kept.record.number,
            kept.label(),
            kept.document.entries(),
            if photographs == 1 { "" } else { "s" },
            moment::local(kept.record.changed)
        );
    }
    if text.is_empty() {
        let (name, key) = (&boat.name, kind.key);
        text = format!(
            "{name} has no {}; `wakewright {key} add \"{name}\"` or the page begins one.\n",
            kind.name
        );
    }
    output::write(&text)
}

fn photo(kind: &'static Kind, args: &PhotoArgs) -> Done {
    let mut store = Store::open_default()?;
    let (boat, _, kept) = load(&store, kind, &args.which)?;
    let place = args.of.as_deref().unwrap_or_default();
    if !kind.takes_photographs_of(place) {
        return Err(Failure::input(format!(
            "--of {place}: nothing of this name is noted in a {}\n",
            kind.name
        )));
    }
    let carried = if args.as_it_came { Carried::Kept } else { Carried::LeftOut };
    let mut taken = Vec::new();
    // All are looked at before one is kept.
    for file in &args.files {
        let wrong = |why: String| Failure::input(format!("{file}: {why}\n"));
        let length = std::fs::metadata(file).map_err(|error| wrong(unread(&error)))?.len();
        if length > LONGEST_PHOTOGRAPH_BYTES as u64 {
            return Err(wrong(format!(
                "a photograph has at most {} MB",
                LONGEST_PHOTOGRAPH_BYTES / 1_000_000
            )));
        }
        let bytes = std::fs::read(file).map_err(|error| wrong(unread(&error)))?;
        taken.push(take_in(file, &bytes, carried).map_err(|why| Failure::input(format!("{why}\n")))?);
    }
    let mut text = String::new();
    for photograph in &taken {
        store.add_enclosure(kept.record.id, &photograph.enclosed_at(place), now())?;
        text += &format!("Kept {} ({} kB) ", photograph.name, photograph.bytes.len() / 1000);
        text += &format!("with {} {} of {}", kind.name, args.which.number, boat.name);
        text += if args.as_it_came { ", as it came.\n" } else { ", without position and time.\n" };
    }
    output::write(&text)
}

fn export(kind: &'static Kind, args: &ExportArgs) -> Done {
    let store = Store::open_default_to_read()?;
    let (boat, _, kept) = load(&store, kind, &args.which)?;
    let folder = Path::new(&args.folder);
    std::fs::create_dir_all(folder).map_err(|error| Failure::input(format!("{}: {error}\n", args.folder)))?;
    let stem = format!("{}-{}-{}", boat.slug, kind.key, args.which.number);
    output::write_file(
        &folder.join(format!("{stem}.toml")),
        kept.document.to_toml(),
        args.overwrite,
        "--overwrite",
    )?;
    let photographs = store.enclosures(kept.record.id)?;
    for photograph in &photographs {
        let bytes = store.enclosed(boat.id, photograph.id)?;
        let file = folder.join(format!("{stem}-{}-{}", photograph.id.0, photograph.name));
        let overwrite = if args.overwrite {
            wakewright_store::Overwrite::Replace
        } else {
            wakewright_store::Overwrite::Refuse
        };
        wakewright_store::write_file(&file, &bytes, overwrite)?;
    }
    output::write(&format!(
        "Wrote {} {} of {} and its photographs ({}) into {}.\n",
        kind.name,
        args.which.number,
        boat.name,
        photographs.len(),
        args.folder
    ))
}

fn history(kind: &'static Kind, args: &HistoryArgs) -> Done {
    let mut store = Store::open_default()?;
    let boat = store.find(&args.which.boat)?;
    let record = store.record(boat.id, kind.key, args.which.number)?;
    let before = store.record_revisions(record.id)?;
    let Some(wanted) = args.version else {
        let line = |version, time, what: &str| format!("{version:>4}  {}{what}\n", moment::local(time));
        let former = before.iter().map(|one| line(one.version, one.time, ""));
        let lines: String = former.collect();
        return output::write(&(line(record.version, record.changed, "  as it stands") + &lines));
    };
    let Some(found) = before.iter().find(|one| one.version == wanted) else {
        return Err(Failure::input(format!(
            "--version {wanted}: there is none; `wakewright {} history \"{}\" {}` lists them\n",
            kind.key, boat.name, args.which.number
        )));
    };
    if !args.bring_back {
        return output::write(&found.text);
    }
    match store.save_record(record.id, record.version, &found.text, &[], now())? {
        RecordSave::Saved(_) => output::write(&format!(
            "{} {} is as it was in version {wanted}.\n",
            capitalised(kind.name),
            record.number
        )),
        RecordSave::Overtaken(_) => Err(DatedError::Busy(kind.name).into()),
    }
}

fn shelve(kind: &'static Kind, which: &WhichRecord, is_removed: bool) -> Done {
    let mut store = Store::open_default()?;
    let boat = store.find(&which.boat)?;
    let record = store.record(boat.id, kind.key, which.number)?;
    store.shelve_record(record.id, is_removed.then(now))?;
    let (number, name, what, key) = (which.number, &boat.name, capitalised(kind.name), kind.key);
    output::write(&if is_removed {
        format!(
            "{what} {number} of {name} is off the list; `wakewright {key} reinstate \"{name}\" {number}` puts it back.\n"
        )
    } else {
        format!("{what} {number} of {name} is on the list again.\n")
    })
}
