//! Commands `import`, `export` and `archive`.

use super::store::now;
use super::{BAD_INPUT, Done, Failure, output};
use clap::Args;
use std::io::{BufReader, Cursor, Read};
use std::path::{Path, PathBuf};
use wakewright_records::boat::read_document_file;
use wakewright_records::boat::unread;
use wakewright_rooms::archive::ArchiveError;
use wakewright_rooms::transfer::{SameName, bring_in, file_name};
use wakewright_store::{Store, StoreError};

/// Arguments of `import`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wakewright import myboat.toml\n  wakewright import *.toml --add-revision"
)]
pub struct ImportArgs {
    /// Boat documents, archives of boats, or forms of a pocket sheet
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
    /// Where a boat of that name is there, add the document to her as a new revision
    #[arg(long)]
    add_revision: bool,
    /// The name that she is to have, whatever her document or archive says
    #[arg(long = "as", value_name = "NAME")]
    name: Option<String>,
}

/// Runs `import`: each file by itself, so that one bad file does not keep the others out.
pub fn import(args: &ImportArgs) -> Done {
    let mut store = Store::open_default()?;
    let same_name = if args.add_revision { SameName::AddRevision } else { SameName::Refuse };
    let mut code = 0;
    for file in &args.files {
        let got = if is_archive(file) {
            import_archive(&mut store, file, args.name.as_deref())
        } else {
            import_one(&mut store, file, args.name.as_deref(), same_name)
        };
        match got {
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

fn import_one(
    store: &mut Store,
    file: &Path,
    name: Option<&str>,
    same_name: SameName,
) -> Result<String, String> {
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
    let got = bring_in(store, &text, name, same_name, &note, now()).map_err(|error| {
        let hint = match error {
            wakewright_rooms::transfer::TransferError::Store(StoreError::NameTaken { .. }) => {
                " With --add-revision the document is added to that boat."
            }
            _ => "",
        };
        format!("{place}: {error}{hint}\n")
    })?;
    let name = &got.boat.name;
    if let Some(record) = got.record {
        let entries = if got.faults == 0 {
            String::new()
        } else {
            "; not all of it can be used, her page says why".to_owned()
        };
        return Ok(format!("{name}: {record}, from {place}{entries}\n"));
    }
    let faults = match got.faults {
        0 => String::new(),
        1 => format!("; 1 fault in it (wakewright check \"{name}\")"),
        count => format!("; {count} faults in it (wakewright check \"{name}\")"),
    };
    let what = if got.is_new { "a new boat".to_owned() } else { format!("revision {}", got.revision) };
    Ok(format!("{name}: {what} from {place}{faults}\n"))
}

/// Arguments of `archive`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wakewright archive \"Sea Campion\" campion.zip\n  wakewright import campion.zip\n  wakewright import campion.zip --as \"Sea Campion, copy\""
)]
pub struct ArchiveArgs {
    /// A boat of the store
    boat: String,
    /// The file to write: her documents, revisions, trials with logs, forecasts, records with photographs
    file: PathBuf,
    /// Replace a file that exists
    #[arg(long)]
    overwrite: bool,
}

/// Runs `archive`.
pub fn archive(args: &ArchiveArgs) -> Done {
    let store = Store::open_default_to_read()?;
    let boat = store.find(&args.boat)?;
    let mut bytes = Cursor::new(Vec::new());
    let held = wakewright_rooms::archive::write(&store, &boat, &mut bytes)
        .map_err(|error| Failure::input(format!("{error}\n")))?;
    output::write_file(&args.file, bytes.get_ref(), args.overwrite, "--overwrite")?;
    output::write(&format!("Wrote {}: {}, {}.\n", args.file.display(), boat.name, held.words()))
}

/// Whether a file is packed as an archive is.
fn is_archive(file: &Path) -> bool {
    let mut head = [0; 4];
    std::fs::File::open(file).and_then(|mut file| file.read_exact(&mut head)).is_ok()
        && head == *b"PK\x03\x04"
}

fn import_archive(store: &mut Store, file: &Path, name: Option<&str>) -> Result<String, String> {
    let place = file.display();
    let opened = std::fs::File::open(file).map_err(|error| format!("{place}: {}\n", unread(&error)))?;
    let (boat, held) =
        wakewright_rooms::archive::bring_in(store, BufReader::new(opened), name).map_err(|error| {
            let is_taken = matches!(error, ArchiveError::Store(StoreError::NameTaken { .. }));
            let hint = if is_taken { " --as gives her another." } else { "" };
            format!("{place}: {error}.{hint}\n")
        })?;
    Ok(format!("{}: a new boat from {place}, {}\n", boat.name, held.words()))
}

/// Arguments of `export`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wakewright export \"Sea Campion\" campion.toml\n  wakewright export --all documents/"
)]
pub struct ExportArgs {
    /// A boat of the store, then the file or folder to write to; with --all the folder alone
    #[arg(required_unless_present = "parquet", num_args = 1..=2, value_names = ["BOAT", "TARGET"])]
    words: Vec<String>,
    /// Write what the store has of all boats into this folder as Parquet, for engines that read it
    #[arg(long, value_name = "FOLDER", conflicts_with_all = ["words", "all", "revision"])]
    parquet: Option<PathBuf>,
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

#[cfg(feature = "parquet")]
fn export_shop(store: &Store, folder: &Path) -> Done {
    let (written, unread) =
        wakewright_rooms::parquet::write_shop(folder, store, wakewright_rooms::moment::today())
            .map_err(|error| Failure::input(format!("{}: {error}\n", folder.display())))?;
    unread.iter().for_each(|line| output::complain(&format!("{line}\n")));
    output::write(&format!("Wrote {} files under {}.\n", written.len(), folder.display()))
}

#[cfg(not(feature = "parquet"))]
fn export_shop(_: &Store, folder: &Path) -> Done {
    Err(Failure::input(format!(
        "--parquet {}: this program was built without Parquet. Build it with `cargo build --release -p wakewright --features \
         parquet`, or take documents with `wakewright export --all FOLDER` and all of a boat with `wakewright archive`\n",
        folder.display()
    )))
}

/// Runs `export`.
pub fn export(args: &ExportArgs) -> Done {
    let store = Store::open_default_to_read()?;
    if let Some(folder) = &args.parquet {
        return export_shop(&store, folder);
    }
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
