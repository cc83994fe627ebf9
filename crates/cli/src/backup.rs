//! Commands `backup` and `restore`.

use super::store::now;
use super::{Done, Failure, output};
use clap::Args;
use std::path::PathBuf;
use wakewright_store::{Overwrite, Store, default_path};

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
    if args.file.as_os_str() == "-" {
        return Err(Failure::input("backup writes a file of its own, not to a pipe: give it a name\n"));
    }
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
