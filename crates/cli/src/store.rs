//! Commands on the store: `boats`, `backup`, `restore`, `import`, `export`.
//! Not for: what a document means.

use std::path::{Path, PathBuf};

use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;
use wakewright_records::boat::read_document_file;
use wakewright_store::{BoatSummary, Overwrite, Store, StoreError, UnixMs, default_path};

use super::{BAD_INPUT, Done, Failure, output};
use wakewright_rooms::moment;
use wakewright_rooms::transfer::{SameName, bring_in, file_name};

impl From<StoreError> for Failure {
    fn from(error: StoreError) -> Self {
        Self::input(format!("{error}\n"))
    }
}

fn now() -> UnixMs {
    UnixMs(jiff::Timestamp::now().as_millisecond())
}

/// Arguments of `boats`.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  wakewright boats\n  wakewright drive \"Sea Campion\"")]
pub struct BoatsArgs {
    /// The boats that were removed (the page can reinstate them)
    #[arg(long)]
    removed: bool,
    /// Print JSON instead of text (see `wakewright schema boats`)
    #[arg(long)]
    json: bool,
}

/// The boats of the store.
#[derive(Debug, Serialize, JsonSchema)]
pub struct BoatsView {
    /// Name of the format: `wakewright/boats`.
    format: &'static str,
    /// Version of the format.
    version: u32,
    /// The boats, by name.
    boats: Vec<BoatLine>,
}

/// A boat of the store.
#[derive(Debug, Serialize, JsonSchema)]
struct BoatLine {
    /// Her name.
    name: String,
    /// Her name in addresses and file names.
    slug: String,
    /// How many revisions she has.
    revisions: u32,
    /// When the latest was saved, universal time.
    changed: String,
}

/// Runs `boats`.
pub fn boats(args: &BoatsArgs) -> Done {
    let store = Store::open_default_to_read()?;
    let list = if args.removed { store.removed()? } else { store.list()? };
    if args.json {
        let boats = list.iter().map(boat_line).collect();
        return output::write_json(&BoatsView { format: "wakewright/boats", version: 1, boats });
    }
    output::write(&boats_text(&list, args.removed))
}

fn boat_line(summary: &BoatSummary) -> BoatLine {
    BoatLine {
        name: summary.boat.name.clone(),
        slug: summary.boat.slug.clone(),
        revisions: summary.revisions,
        changed: moment::universal(summary.latest_time),
    }
}

fn boats_text(list: &[BoatSummary], is_removed: bool) -> String {
    let kind = if is_removed { "removed boat" } else { "boat" };
    if list.is_empty() {
        let hint = "`wakewright import myboat.toml` or the page (`wakewright serve`) enters one.";
        return if is_removed {
            format!("No {kind}.\n")
        } else {
            format!("No {kind} in the store yet; {hint}\n")
        };
    }
    let plural = if list.len() == 1 { "" } else { "s" };
    let width = list.iter().map(|line| line.boat.name.chars().count()).max().unwrap_or(0);
    let lines = list.iter().map(|line| {
        let (name, when) = (&line.boat.name, moment::local(line.latest_time));
        let revisions = if line.revisions == 1 { "revision" } else { "revisions" };
        format!("  {name:width$}  {when}  {} {revisions}\n", line.revisions)
    });
    format!("{} {kind}{plural}.\n\n{}", list.len(), lines.collect::<String>())
}

/// Arguments of `backup`.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  wakewright backup boats-2026-05-01.wakewright\n\nThe page may be in use meanwhile."
)]
pub struct BackupArgs {
    /// Where to write it
    file: PathBuf,
    /// Replace the file if it exists
    #[arg(long)]
    overwrite: bool,
}

/// Runs `backup`.
pub fn backup(args: &BackupArgs) -> Done {
    let store = Store::open_default_to_read()?;
    store.backup(&args.file, if args.overwrite { Overwrite::Replace } else { Overwrite::Refuse })?;
    let (boats, removed) = (store.list()?.len(), store.removed()?.len());
    output::write(&format!(
        "Wrote {}: {boats} in use, {removed} removed, with every revision.\n",
        args.file.display()
    ))
}

/// Arguments of `restore`.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  wakewright restore boats-2026-05-01.wakewright\n\nThe store as it is now is kept beside it."
)]
pub struct RestoreArgs {
    /// A file that `wakewright backup` wrote
    file: PathBuf,
}

/// Runs `restore`.
pub fn restore(args: &RestoreArgs) -> Done {
    let restored = Store::restore(default_path()?, &args.file, now())?;
    let boats = Store::open_default()?.list()?.len();
    let kept = restored.kept_aside.map_or_else(String::new, |path| {
        format!("The store as it was before is kept as {}.\n", path.display())
    });
    let noun = if boats == 1 { "boat" } else { "boats" };
    output::write(&format!("Restored {boats} {noun} from {}.\n{kept}", args.file.display()))
}

/// Arguments of `import`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wakewright import myboat.toml\n  wakewright import *.toml --add-revision"
)]
pub struct ImportArgs {
    /// Boat documents
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
    /// Where a boat of that name is there, add the document to her as a new revision
    #[arg(long)]
    add_revision: bool,
}

/// Runs `import`: each file by itself, so that one bad file does not keep the others out.
pub fn import(args: &ImportArgs) -> Done {
    let mut store = Store::open_default()?;
    let same_name = if args.add_revision { SameName::AddRevision } else { SameName::Refuse };
    let mut code = 0;
    for file in &args.files {
        match import_one(&mut store, file, same_name) {
            Ok(line) => {
                output::write(&line)?;
            }
            Err(message) => {
                output::complain(&message);
                code = BAD_INPUT;
            }
        }
    }
    Ok(code)
}

fn import_one(store: &mut Store, file: &Path, same_name: SameName) -> Result<String, String> {
    let place = file.display();
    let text = read_document_file(file).map_err(|why| {
        let hint = if wakewright_store::is_store(file) {
            "; a backup of the store comes back with `wakewright restore`"
        } else {
            ""
        };
        format!("{place}: {why}{hint}\n")
    })?;
    let note = format!("imported from {}", file.file_name().unwrap_or_default().to_string_lossy());
    let got = bring_in(store, &text, None, same_name, &note, now()).map_err(|error| {
        let hint = match error {
            wakewright_rooms::transfer::TransferError::Store(StoreError::NameTaken { .. }) => {
                " With --add-revision the document is added to that boat."
            }
            _ => "",
        };
        format!("{place}: {error}{hint}\n")
    })?;
    let name = &got.boat.name;
    let faults = match got.faults {
        0 => String::new(),
        1 => format!("; 1 fault in it (wakewright check \"{name}\")"),
        count => format!("; {count} faults in it (wakewright check \"{name}\")"),
    };
    let what = if got.is_new { "a new boat".to_owned() } else { format!("revision {}", got.revision) };
    Ok(format!("{name}: {what} from {place}{faults}\n"))
}

/// Arguments of `export`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wakewright export \"Sea Campion\" campion.toml\n  wakewright export --all documents/"
)]
pub struct ExportArgs {
    /// A boat of the store, then the file or folder to write to; with --all the folder alone
    #[arg(required = true, num_args = 1..=2, value_names = ["BOAT", "TARGET"])]
    words: Vec<String>,
    /// Every boat, a file for each
    #[arg(long)]
    all: bool,
    /// This revision instead of the latest
    #[arg(long, conflicts_with = "all")]
    revision: Option<u32>,
    /// Replace files that exist
    #[arg(long)]
    overwrite: bool,
}

/// Runs `export`.
pub fn export(args: &ExportArgs) -> Done {
    let store = Store::open_default_to_read()?;
    match (args.words.as_slice(), args.all) {
        ([folder], true) => {
            let folder = Path::new(folder);
            std::fs::create_dir_all(folder)
                .map_err(|error| Failure::input(format!("{}: {error}\n", folder.display())))?;
            let boats = store.list()?;
            for line in &boats {
                let text = store.latest(line.boat.id)?.text;
                output::write_file(
                    &folder.join(file_name(&line.boat)),
                    &text,
                    args.overwrite,
                    "--overwrite",
                )?;
            }
            output::write(&format!("Wrote {} documents to {}.\n", boats.len(), folder.display()))
        }
        ([name, target], false) => {
            let boat = store.find(name)?;
            let revision = match args.revision {
                Some(number) => store.get(boat.id, number)?,
                None => store.latest(boat.id)?,
            };
            if target == "-" {
                return output::write_exact(&revision.text);
            }
            let target = Path::new(target);
            let file = if target.is_dir() { target.join(file_name(&boat)) } else { target.to_owned() };
            output::write_file(&file, &revision.text, args.overwrite, "--overwrite")?;
            output::write(&format!(
                "Wrote {}: {}, revision {}.\n",
                file.display(),
                boat.name,
                revision.head.number
            ))
        }
        ([_], false) => {
            Err(Failure::input("say where to write it: wakewright export BOAT FILE (- prints it)\n"))
        }
        _ => Err(Failure::input("--all takes a folder alone: wakewright export --all FOLDER\n")),
    }
}
