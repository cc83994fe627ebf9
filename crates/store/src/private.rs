//! Files and folders that only their owner may read, and which file is which.

use std::fs::OpenOptions;
use std::path::Path;

/// Makes the folders above `path`, where they are not there, for their owner alone.
pub(crate) fn make_private_folder(path: &Path) -> std::io::Result<()> {
    let Some(folder) = path.parent().filter(|folder| !folder.as_os_str().is_empty() && !folder.exists())
    else {
        return Ok(());
    };
    let mut builder = std::fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(folder)
}

/// Makes `path` readable by its owner alone, empty if it is not there.
pub(crate) fn make_private(path: &Path) -> std::io::Result<()> {
    if path.exists() {
        keep_to_owner(path, 0o600);
        return Ok(());
    }
    match make_new_private(path) {
        // Another program was faster.
        Err(error) if error.kind() != std::io::ErrorKind::AlreadyExists => Err(error),
        _ => Ok(()),
    }
}

/// Makes an empty file that is readable by its owner alone; one that is there, and a link that leads
/// anywhere, is an error.
pub(crate) fn make_new_private(path: &Path) -> std::io::Result<()> {
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(path).map(|_| ())
}

/// Takes away what others may do with `path`; what the system does not allow stays as it is.
pub(crate) fn keep_to_owner(path: &Path, mode: u32) {
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let found = std::fs::metadata(path).map_or(0, |about| about.permissions().mode() & 0o777);
        if found & !mode != 0 {
            let _ = std::fs::set_permissions(path, std::fs::Permissions::from_mode(found & mode));
        }
    }
    #[cfg(not(unix))]
    let _ = (path, mode);
}

/// Which file a name leads to, as long as that is there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Identity(u64, u64);

/// The file that is at `path` now; none where there is none, or where the system keeps an open file in its place.
pub(crate) fn identity(path: &Path) -> Option<Identity> {
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt;
        std::fs::metadata(path).ok().map(|about| Identity(about.dev(), about.ino()))
    }
    #[cfg(not(unix))]
    {
        let _ = path;
        None
    }
}
