//! `checkup add`, `set` and the like: check-ups of a boat of the store, with their photographs. Not for: what they say
//! over the years, which is the room's.

use std::path::Path;

use clap::{ArgMatches, Args, Command, FromArgMatches, Subcommand};
use wakewright_core::upkeep::item_named;
use wakewright_records::boat::unread;
use wakewright_records::checkup::CHECKUP_KIND;
use wakewright_rooms::boats::{Loaded, understand};
use wakewright_rooms::checkup::{CheckupError, Entry, KeptCheckup, begin, save_entries};
use wakewright_rooms::moment;
use wakewright_rooms::photograph::{Carried, LONGEST_PHOTOGRAPH_BYTES, take_in};
use wakewright_store::{Boat, NewPhotograph, Store, UnixMs};

use super::{Done, Failure, output};

impl From<CheckupError> for Failure {
    fn from(error: CheckupError) -> Self {
        Self::input(format!("{error}\n"))
    }
}

/// What is done with a check-up.
#[derive(Debug, Subcommand)]
enum CheckupCommand {
    /// Begin a check-up of a day
    Add(AddArgs),
    /// Write what was found, measured and noted
    Set(SetArgs),
    /// Show a check-up as it is written, with what of it cannot be used
    Show(WhichCheckup),
    /// List the check-ups of a boat
    List(ListArgs),
    /// Keep photographs with a check-up: JPEG or PNG, shrunk, without position and time
    Photo(PhotoArgs),
    /// Write a check-up and its photographs into a folder
    Export(ExportArgs),
    /// Take a check-up off the list; everything of it is kept
    Remove(WhichCheckup),
    /// Put a check-up back on the list
    Reinstate(WhichCheckup),
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

/// Which check-up.
#[derive(Debug, Args)]
struct WhichCheckup {
    /// A boat of the store
    #[arg(value_name = "BOAT")]
    boat: String,
    /// The check-up's number
    #[arg(value_name = "NUMBER")]
    number: u32,
}

#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  wakewright checkup set \"Sea Campion\" 1 gland=watch gland.value=14 \
    gland.note=\"new packing next time\"\n  wakewright checkup set \"Sea Campion\" 1 who=\"J. Orr\" test.amps=\"20 A ± 1 %\" \
    test.hours=\"4 h 50 min\" test.temperature=\"18 °C\"\n\nWhat can be noted: date, who, note; of an item of the list \
    (`wakewright checkup BOAT` has their names in brackets) what was found (good, watch, act now, not looked at), its .value with \
    unit and band, its .note; of a test of the bank test.of, .amps, .hours, .begun, .ended, .counted, .pause, .from, .to, \
    .temperature, .rated. An empty value takes it away.")]
struct SetArgs {
    #[command(flatten)]
    which: WhichCheckup,
    /// What is noted
    #[arg(required = true, value_name = "WHAT=VALUE")]
    changes: Vec<String>,
}

#[derive(Debug, Args)]
struct PhotoArgs {
    #[command(flatten)]
    which: WhichCheckup,
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
    which: WhichCheckup,
    /// A folder; it is made where there is none
    #[arg(value_name = "FOLDER")]
    folder: String,
    /// Replace files that exist
    #[arg(long)]
    overwrite: bool,
}

/// The room's command with these below it.
pub fn with_subcommands(command: Command) -> Command {
    let about = command.get_about().cloned().unwrap_or_default();
    CheckupCommand::augment_subcommands(command)
        .about(about)
        .args_conflicts_with_subcommands(true)
        .subcommand_negates_reqs(true)
        .subcommand_required(false)
        .arg_required_else_help(true)
}

/// Runs one of them.
pub fn run(matches: &ArgMatches) -> Done {
    match CheckupCommand::from_arg_matches(matches).map_err(|error| Failure::input(error.to_string()))? {
        CheckupCommand::Add(args) => add(&args),
        CheckupCommand::Set(args) => set(&args),
        CheckupCommand::Show(which) => show(&which),
        CheckupCommand::List(args) => list(&args),
        CheckupCommand::Photo(args) => photo(&args),
        CheckupCommand::Export(args) => export(&args),
        CheckupCommand::Remove(which) => shelve(&which, true),
        CheckupCommand::Reinstate(which) => shelve(&which, false),
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

fn load(store: &Store, which: &WhichCheckup) -> Result<(Boat, KeptCheckup), Failure> {
    let (boat, loaded) = boat_of(store, &which.boat)?;
    let kept = KeptCheckup::load(store, boat.id, which.number, &loaded, moment::today())?;
    Ok((boat, kept))
}

fn faults(kept: &KeptCheckup) -> String {
    kept.reading.faults.iter().map(|fault| format!("  {}: {}\n", fault.address, fault.problem)).collect()
}

fn add(args: &AddArgs) -> Done {
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
    let number = begin(&mut store, boat.id, &day, now())?.number;
    let name = &boat.name;
    output::write(&format!(
        "Check-up {number} of {name}, {day}. `wakewright checkup \"{name}\"` has her list; `wakewright checkup set \"{name}\" {number} \
         gland=good` notes what was found, the page a whole list.\n"
    ))
}

/// `gland` stands for what was found there, `gland.value` for its value.
fn address_of(typed: &str) -> String {
    let (item, rest) = typed.split_once('.').unwrap_or((typed, "found"));
    if item_named(item).is_some() { format!("item.{item}.{rest}") } else { typed.to_owned() }
}

fn set(args: &SetArgs) -> Done {
    let mut store = Store::open_default()?;
    let (boat, _) = load(&store, &args.which)?;
    let mut entries = Vec::new();
    for change in &args.changes {
        let (typed, text) = change
            .split_once('=')
            .ok_or_else(|| Failure::input(format!("{change}: write it as what=value\n")))?;
        let address = address_of(typed.trim());
        entries.push(Entry { address, was: None, text: text.to_owned() });
    }
    save_entries(&mut store, boat.id, args.which.number, &entries, now())?;
    let (boat, kept) = load(&store, &args.which)?;
    let words: Vec<&str> = entries.iter().map(|entry| entry.address.as_str()).collect();
    output::write(&format!(
        "Noted in check-up {} of {}: {}.\n{}",
        args.which.number,
        boat.name,
        words.join(", "),
        faults(&kept)
    ))
}

fn show(which: &WhichCheckup) -> Done {
    let store = Store::open_default_to_read()?;
    let (_, kept) = load(&store, which)?;
    let mut text = kept.document.to_toml();
    for photograph in store.photographs(kept.record.id)? {
        text += &format!(
            "# photograph {}: {}, {} kB\n",
            photograph.id.0,
            photograph.name,
            photograph.bytes / 1000
        );
    }
    let faults = faults(&kept);
    if !faults.is_empty() {
        output::complain(&format!("Not used:\n{faults}"));
    }
    output::write(&text)
}

fn list(args: &ListArgs) -> Done {
    let store = Store::open_default_to_read()?;
    let (boat, loaded) = boat_of(&store, &args.boat)?;
    let mut text = String::new();
    for record in store.records(boat.id, CHECKUP_KIND)? {
        if record.removed.is_some() != args.removed {
            continue;
        }
        let kept = KeptCheckup::load(&store, boat.id, record.number, &loaded, moment::today())?;
        let photographs = store.photographs(record.id)?.len();
        text += &format!(
            "{:>3}  {}; {} of her list said, {photographs} photograph{}, changed {}\n",
            record.number,
            kept.label(),
            kept.reading.items.len(),
            if photographs == 1 { "" } else { "s" },
            moment::local(record.changed)
        );
    }
    if text.is_empty() {
        let name = &boat.name;
        text =
            format!("{name} has no check-up; `wakewright checkup add \"{name}\"` or the page begins one.\n");
    }
    output::write(&text)
}

fn photo(args: &PhotoArgs) -> Done {
    let mut store = Store::open_default()?;
    let (boat, kept) = load(&store, &args.which)?;
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
        let new =
            NewPhotograph { name: &photograph.name, digest: &photograph.digest, bytes: &photograph.bytes };
        store.add_photograph(kept.record.id, &new, now())?;
        text += &format!("Kept {} ({} kB) ", photograph.name, photograph.bytes.len() / 1000);
        text += &format!("with check-up {} of {}", args.which.number, boat.name);
        text += if args.as_it_came { ", as it came.\n" } else { ", without position and time.\n" };
    }
    output::write(&text)
}

fn export(args: &ExportArgs) -> Done {
    let store = Store::open_default_to_read()?;
    let (boat, kept) = load(&store, &args.which)?;
    let folder = Path::new(&args.folder);
    std::fs::create_dir_all(folder).map_err(|error| Failure::input(format!("{}: {error}\n", args.folder)))?;
    let stem = format!("{}-checkup-{}", boat.slug, args.which.number);
    output::write_file(
        &folder.join(format!("{stem}.toml")),
        kept.document.to_toml(),
        args.overwrite,
        "--overwrite",
    )?;
    let photographs = store.photographs(kept.record.id)?;
    for photograph in &photographs {
        let bytes = store.picture(boat.id, photograph.id)?;
        let file = folder.join(format!("{stem}-{}-{}", photograph.id.0, photograph.name));
        let overwrite = if args.overwrite {
            wakewright_store::Overwrite::Replace
        } else {
            wakewright_store::Overwrite::Refuse
        };
        wakewright_store::write_file(&file, &bytes, overwrite)?;
    }
    output::write(&format!(
        "Wrote check-up {} of {} and its photographs ({}) into {}.\n",
        args.which.number,
        boat.name,
        photographs.len(),
        args.folder
    ))
}

fn shelve(which: &WhichCheckup, is_removed: bool) -> Done {
    let mut store = Store::open_default()?;
    let boat = store.find(&which.boat)?;
    let record = store.record(boat.id, CHECKUP_KIND, which.number)?;
    store.shelve_record(record.id, is_removed.then(now))?;
    let (number, name) = (which.number, &boat.name);
    output::write(&if is_removed {
        format!(
            "Check-up {number} of {name} is off the list; `wakewright checkup reinstate \"{name}\" {number}` puts it back.\n"
        )
    } else {
        format!("Check-up {number} of {name} is on the list again.\n")
    })
}
