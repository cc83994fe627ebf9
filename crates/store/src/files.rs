//! Writing files so that what was there stays whole until the new one is: beside, then renamed.
//! Not for: what stands in them.

use std::ffi::OsString;
use std::fs::{File, OpenOptions};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};

use crate::backup::Overwrite;
use crate::error::{Result, StoreError};
use crate::store::is_store;

/// Endings of the files that an open store keeps beside itself.
const BESIDE: [&str; 3] = ["-wal", "-shm", "-journal"];

/// Writes `bytes` to `path`, beside it first and then in its place: a full disk or a crash leaves
/// the old file whole. What is no plain file (a terminal, a pipe) is written to as it is.
///
/// # Errors
/// [`StoreError::FileExists`], [`StoreError::LiveStore`] where a store would be written over, or
/// writing fails; then nothing was changed.
pub fn write_file(path: &Path, bytes: &[u8], overwrite: Overwrite) -> Result<()> {
    let there = std::fs::metadata(path);
    if there.as_ref().is_ok_and(|about| !about.is_file() && !about.is_dir()) {
        let mut file = OpenOptions::new().write(true).open(path).map_err(|e| StoreError::from_io(path, e))?;
        return file.write_all(bytes).map_err(|e| StoreError::from_io(path, e));
    }
    if overwrite == Overwrite::Refuse && path.symlink_metadata().is_ok() {
        return Err(StoreError::FileExists { path: path.to_owned() });
    }
    refuse_live_store(path)?;
    if is_store(path) {
        return Err(StoreError::LiveStore { path: path.to_owned() });
    }
    // Where the name is a link, the file that it leads to is replaced, not the link.
    let target = path.canonicalize().unwrap_or_else(|_| path.to_owned());
    let unfinished = unfinished_beside(&target);
    let written = File::create_new(&unfinished)
        .and_then(|mut file| {
            file.write_all(bytes)?;
            if let Ok(about) = &there {
                file.set_permissions(about.permissions())?;
            }
            file.sync_all()
        })
        .and_then(|()| put_in_place(&unfinished, &target, overwrite))
        .map_err(|e| match e.kind() {
            std::io::ErrorKind::AlreadyExists => StoreError::FileExists { path: path.to_owned() },
            _ => StoreError::from_io(path, e),
        });
    if written.is_err() {
        // Best effort: the error that matters is the first one.
        let _ = std::fs::remove_file(&unfinished);
    }
    written
}

/// Renames, and makes sure that the new name outlives a crash of the system.
pub(crate) fn put_in_place(from: &Path, to: &Path, overwrite: Overwrite) -> std::io::Result<()> {
    if overwrite == Overwrite::Refuse {
        // Unlike a rename, a link never takes the place of a file that came meanwhile.
        match std::fs::hard_link(from, to) {
            Ok(()) => return std::fs::remove_file(from),
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => return Err(error),
            // Some file systems (of memory sticks) know no links.
            Err(_) => {}
        }
    }
    std::fs::rename(from, to)?;
    #[cfg(unix)]
    if let Some(folder) = to.parent() {
        let folder = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
        // Some file systems cannot sync a folder; the file itself is synced.
        let _ = File::open(folder).and_then(|folder| folder.sync_all());
    }
    Ok(())
}

/// A name beside `path` that nobody takes: no other program, no other thread of this one, and none that
/// was killed while it wrote and whose number this one has come to bear.
pub(crate) fn unfinished_beside(path: &Path) -> PathBuf {
    static COUNT: AtomicU32 = AtomicU32::new(0);
    loop {
        let count = COUNT.fetch_add(1, Ordering::Relaxed);
        let beside = with_suffix(path, &format!(".{}-{count}.unfinished", std::process::id()));
        if beside.symlink_metadata().is_err() {
            return beside;
        }
    }
}

/// Refuses a file that belongs to a store which may be open: one of those beside it, or one that has
/// such a file itself.
pub(crate) fn refuse_live_store(path: &Path) -> Result<()> {
    let text = path.as_os_str().to_string_lossy();
    let belongs =
        BESIDE.iter().filter_map(|suffix| text.strip_suffix(suffix)).any(|of| is_store(Path::new(of)));
    let is_open = is_store(path) && BESIDE.iter().any(|suffix| with_suffix(path, suffix).exists());
    if belongs || is_open { Err(StoreError::LiveStore { path: path.to_owned() }) } else { Ok(()) }
}

pub(crate) fn with_suffix(path: &Path, suffix: &str) -> PathBuf {
    let mut name: OsString = path.as_os_str().to_owned();
    name.push(suffix);
    name.into()
}
