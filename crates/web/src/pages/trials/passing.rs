//! A log on its way in: its bytes in a file of their own until they are kept, swept when left over.

use crate::visitor::random_name;
use std::fs::{File, OpenOptions};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// All files of one sending may be this large together.
pub const UPLOAD_LIMIT_BYTES: usize = 300_000_000;

/// And on their way so long, over a weak wireless network.
pub const UPLOAD_TIME: Duration = Duration::from_secs(15 * 60);

/// A file on its way in, on the disk and not in memory; gone when it is dropped.
#[derive(Debug)]
pub(super) struct Passing {
    pub(super) name: String,
    pub(super) path: PathBuf,
    file: File,
}

impl Drop for Passing {
    fn drop(&mut self) {
        // What cannot be removed is left to the system, whose folder it is.
        let _ = std::fs::remove_file(&self.path);
    }
}

const PASSING_PREFIX: &str = "wakewright-log-";

/// A sending is over by then, whole or not.
const LEFT_OVER_AFTER: Duration = Duration::from_secs(24 * 3600);

/// Removes what a server that was killed left of files on their way in.
pub fn sweep_left_over() {
    let Ok(entries) = std::fs::read_dir(std::env::temp_dir()) else { return };
    for entry in entries.flatten() {
        let is_ours = entry.file_name().to_string_lossy().starts_with(PASSING_PREFIX);
        let age = entry.metadata().and_then(|about| about.modified()).ok().and_then(|at| at.elapsed().ok());
        if is_ours && age.is_some_and(|age| age > LEFT_OVER_AFTER) {
            // What cannot be removed belongs to somebody else.
            let _ = std::fs::remove_file(entry.path());
        }
    }
}

/// What was sent.
#[derive(Debug, Default)]
pub struct Upload {
    pub(super) files: Vec<Passing>,
}

impl Upload {
    /// Where its files stand, as long as this does.
    pub fn paths(&self) -> impl Iterator<Item = &Path> {
        self.files.iter().map(|passing| passing.path.as_path())
    }

    /// Begins a file; what arrives next belongs to it.
    ///
    /// # Errors
    /// The disk.
    pub fn begin(&mut self, name: &str) -> std::io::Result<()> {
        let path = std::env::temp_dir().join(format!("{PASSING_PREFIX}{}", random_name()));
        let mut options = OpenOptions::new();
        options.write(true).create_new(true);
        #[cfg(unix)]
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
        let file = options.open(&path)?;
        let bare =
            Path::new(name).file_name().map_or_else(|| name.to_owned(), |n| n.to_string_lossy().into_owned());
        self.files.push(Passing { name: bare, path, file });
        Ok(())
    }

    /// Adds to the file that was begun last.
    ///
    /// # Errors
    /// The disk.
    pub fn add(&mut self, bytes: &[u8]) -> std::io::Result<()> {
        self.files.last_mut().map_or(Ok(()), |passing| passing.file.write_all(bytes))
    }
}
