//! `report` and `pocket`: a paper into a file, and whether a report is still what would be written. Not for: what stands on it.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use wakewright_papers::{Claim, DryOut, Pocket, Reader, Record, RecordError, Report, Verdict, verify};
use wakewright_records::boat::unread;
use wakewright_rooms::Rooms;
use wakewright_rooms::room::{AnyRoom, Replies};
use wakewright_rooms::text::Paper;
use wakewright_rooms::trials::LogShelf;
use wakewright_store::{Store, StoreError, default_path};

use super::{BoatArgs, CHECK_FAILED, Done, Failure, Units, output};
use crate::load;

/// Arguments of `report`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wakewright report \"Sea Campion\" --for owner --out campion.html\n  wakewright report --verify campion.html\n\n\
    A browser prints the file, or saves it as PDF. A fingerprint is no signature: it shows whether something changed, not who wrote it."
)]
pub struct ReportArgs {
    /// A boat document, or the name of a boat in the store; with --verify the one that the paper names when left out
    #[arg(value_name = "BOAT", required_unless_present = "verify")]
    boat: Option<String>,
    /// For whom
    #[arg(long = "for", value_enum, default_value_t = For::Owner, value_name = "READER")]
    reader: For,
    /// The file to write: HTML, everything within, or PDF where its name ends in .pdf
    #[arg(long, value_name = "FILE", required_unless_present = "verify")]
    out: Option<PathBuf>,
    /// Write over a file that is there
    #[arg(long)]
    force: bool,
    /// Units
    #[arg(long, value_enum, default_value_t = Units::Trade)]
    units: Units,
    /// Say whether this report is still what is written of her today
    #[arg(long, value_name = "FILE", conflicts_with_all = ["reader", "out", "force", "units"])]
    verify: Option<PathBuf>,
}

/// Readers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum For {
    /// Whose boat she is: what she does, what to keep in mind
    Owner,
    /// Who works on her: everything
    Fitter,
    /// Who looks at her for somebody else: everything but alternatives
    Surveyor,
}

impl From<For> for Reader {
    fn from(reader: For) -> Self {
        match reader {
            For::Owner => Self::Owner,
            For::Fitter => Self::Fitter,
            For::Surveyor => Self::Surveyor,
        }
    }
}

impl From<RecordError> for Failure {
    fn from(error: RecordError) -> Self {
        Self::input(format!("{error}\n"))
    }
}

/// Runs the command.
pub fn report(args: &ReportArgs, rooms: Rooms) -> Done {
    if let Some(file) = &args.verify {
        return verified(file, args.boat.as_deref(), rooms);
    }
    // Both are there unless something is verified.
    let (Some(boat), Some(out)) = (&args.boat, &args.out) else {
        return Err(Failure::input("give a boat and --out FILE\n"));
    };
    let (record, _) = record_of(boat)?;
    let paper = Paper::plain(args.units.into());
    written(&Report::of(rooms, &record, args.reader.into(), &paper), &paper, (out, args.force))
}

/// The answer of one room as a paper.
pub fn of_room(
    rooms: Rooms,
    room: &'static dyn AnyRoom,
    args: &BoatArgs,
    replies: Replies,
    to: (&Path, bool),
) -> Done {
    let (record, _) = record_of(&args.boat)?;
    let paper = Paper::plain(args.output.units.into());
    written(&Report::of_room(rooms, &record, room, replies, &paper)?, &paper, to)
}

/// Writes a paper, as PDF where the name of the file says so.
fn written(report: &Report<'_>, paper: &Paper, (out, may_replace): (&Path, bool)) -> Done {
    let is_pdf = out.extension().is_some_and(|end| end.eq_ignore_ascii_case("pdf"));
    let file = if is_pdf { report.to_pdf() } else { Ok(report.to_html().into_bytes()) };
    let file = file.map_err(|why| Failure::input(format!("{}: {why}\n", out.display())))?;
    output::write_file(out, file, may_replace, "--force")?;
    let said = paper.wrap(&report.finding().sentence, 0);
    output::write(&format!(
        "{said}{} written, fingerprint {}. No certificate and no signature.\n",
        out.display(),
        report.fingerprint()
    ))
}

/// Arguments of `pocket`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wakewright pocket \"Sea Campion\" --out pocket.html\n  wakewright pocket myboat.toml --place \"Renn Sound\" \
    --table waters.txt --ground \"2.20 m ± 0.10 m\" --day 2026-09-20 --zone UTC --out pocket.html\n\nSend the file to the phone and open it \
    there: it needs no network and no server."
)]
pub struct PocketArgs {
    /// A boat document, or the name of a boat in the store
    #[arg(value_name = "BOAT")]
    boat: String,
    /// The file to write (HTML, everything within)
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// Write over a file that is there
    #[arg(long)]
    force: bool,
    /// Units
    #[arg(long, value_enum, default_value_t = Units::Trade)]
    units: Units,
    /// A place where she dries out, as for `dryout`
    #[arg(long, value_name = "PLACE", requires = "ground", requires = "day")]
    place: Option<String>,
    /// Height of the ground there above chart datum
    #[arg(long, value_name = "HEIGHT", requires = "place")]
    ground: Option<String>,
    /// First day of the tides
    #[arg(long, value_name = "YYYY-MM-DD", requires = "place")]
    day: Option<String>,
    /// High and low waters from the official table
    #[arg(long, value_name = "FILE", requires = "place")]
    table: Option<PathBuf>,
    /// Time in which the table stands
    #[arg(long, value_name = "ZONE", requires = "place")]
    zone: Option<String>,
}

/// Runs the command.
pub fn pocket(args: &PocketArgs, rooms: Rooms) -> Done {
    let (record, _) = record_of(&args.boat)?;
    let table = args.table.as_ref().map(|file| {
        std::fs::read_to_string(file)
            .map_err(|why| Failure::input(format!("{}: {}\n", file.display(), unread(&why))))
    });
    let asked = [
        ("place", args.place.clone()),
        ("ground", args.ground.clone()),
        ("day", args.day.clone()),
        ("table", table.transpose()?),
        ("zone", args.zone.clone()),
    ];
    let dry_out = args.place.as_ref().map(|_| DryOut {
        replies: asked.into_iter().filter_map(|(key, text)| Some((key, text?))).collect(),
    });
    let paper = Paper::plain(args.units.into());
    let pocket = Pocket::of(rooms, &record, &paper, dry_out.as_ref())
        .map_err(|why| Failure::input(format!("{}\n", why.trim_end())))?;
    let html = pocket.to_html();
    output::write_file(&args.out, &html, args.force, "--force")?;
    let kb = html.len().div_ceil(1000);
    output::write(&format!("{} written, {kb} kB. It needs no network.\n", args.out.display()))
}

/// A boat with all that is kept of her, and the texts of her former revisions, the newest first. A path that exists
/// wins, as everywhere.
pub fn record_of(boat: &str) -> Result<(Record, Vec<(u32, String)>), Failure> {
    if Path::new(boat).exists() {
        return Ok((Record::of_file(load(boat, &[])?), Vec::new()));
    }
    // Her document is read first: it says best what is wrong with the name or with it.
    let loaded = load(boat, &[])?;
    let store = Store::open_to_read(default_path()?)?;
    let entry = store.find(boat)?;
    let latest = store.latest(entry.id)?;
    let heads = store.revisions(entry.id)?;
    let former = heads.iter().filter(|head| head.number != latest.head.number);
    let former = former.map(|head| Ok((head.number, store.get(entry.id, head.number)?.text)));
    let former = former.collect::<Result<Vec<_>, StoreError>>()?;
    Ok((Record::of_loaded(&store, &LogShelf::default(), &entry, &latest, loaded)?, former))
}

fn verified(file: &Path, boat: Option<&str>, rooms: Rooms) -> Done {
    const NO_SIGNATURE: &str = "A fingerprint is no signature: it shows whether something changed, not who wrote it or that it is true.";
    let bytes = std::fs::read(file)
        .map_err(|why| Failure::input(format!("{}: {}\n", file.display(), unread(&why))))?;
    let claimed = Claim::of(&bytes).map(|claim| claim.boat);
    let verdict = match (boat.map(str::to_owned).or(claimed), boat) {
        (None, _) => {
            Verdict::Unknown("it is no report of this program, or its head was taken off".to_owned())
        }
        (Some(name), given) => match record_of(&name) {
            Ok((record, former)) => verify(rooms, &bytes, &record, &former),
            Err(why) if given.is_some() => return Err(why),
            Err(why) => Verdict::Unknown(format!("{} Name her document after --verify", why.message.trim())),
        },
    };
    let (word, why) = match &verdict {
        Verdict::Same => ("same", "this is what the program writes of her today".to_owned()),
        Verdict::Changed(why) => ("changed", why.clone()),
        Verdict::Unknown(why) => ("unknown", why.clone()),
    };
    let why = why.trim_end_matches('.');
    let said = Paper::plain(Units::Trade.into())
        .wrap(&format!("{}: {word}: {why}. {NO_SIGNATURE}", file.display()), 0);
    output::write(&said)?;
    Ok(if verdict == Verdict::Same { 0 } else { CHECK_FAILED })
}
