//! Where the store lies when the user names no file. Creates nothing.

use std::ffi::OsString;
use std::path::{Path, PathBuf};

use crate::error::{Result, StoreError};

/// Environment variable that names another data folder.
pub const DATA_VARIABLE: &str = "WAKEWRIGHT_DATA";

/// Name of the store inside the data folder.
const FILE_NAME: &str = "boats.sqlite";

#[derive(Debug, Clone, Copy)]
enum Platform {
    Windows,
    Mac,
    Other,
}

/// Path of the store: in the folder that `WAKEWRIGHT_DATA` names, else in the place that the
/// system keeps for a user's data (`XDG_DATA_HOME`, the local `AppData`, `Library`).
///
/// # Errors
/// [`StoreError::NoDataFolder`] when the system names neither that folder nor a home.
pub fn default_path() -> Result<PathBuf> {
    let platform = if cfg!(windows) {
        Platform::Windows
    } else if cfg!(target_os = "macos") {
        Platform::Mac
    } else {
        Platform::Other
    };
    let folder = data_folder(platform, |name| std::env::var_os(name)).ok_or(StoreError::NoDataFolder)?;
    Ok(folder.join(FILE_NAME))
}

/// As [`default_path`]; the folder that is ours alone is closed to others, one that the user named is
/// left as it is.
pub(crate) fn private_default_path() -> Result<PathBuf> {
    let path = default_path()?;
    let is_named = std::env::var_os(DATA_VARIABLE).is_some_and(|value| !value.is_empty());
    if let Some(folder) = path.parent().filter(|_| !is_named) {
        crate::private::keep_to_owner(folder, 0o700);
    }
    Ok(path)
}

fn data_folder(platform: Platform, variable: impl Fn(&str) -> Option<OsString>) -> Option<PathBuf> {
    let folder = |name: &str| variable(name).filter(|v| !v.is_empty()).map(PathBuf::from);
    // The base directory specification tells programs to ignore relative paths.
    let absolute = |name: &str| folder(name).filter(|p| Path::is_absolute(p));
    if let Some(chosen) = folder(DATA_VARIABLE) {
        return Some(chosen);
    }
    match platform {
        // Local, not roaming: a database must not be copied about while it is open.
        Platform::Windows => folder("LOCALAPPDATA").map(|p| p.join("Wakewright")),
        Platform::Mac => absolute("HOME").map(|p| p.join("Library/Application Support/Wakewright")),
        Platform::Other => absolute("XDG_DATA_HOME")
            .or_else(|| absolute("HOME").map(|p| p.join(".local/share")))
            .map(|p| p.join("wakewright")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folder(platform: Platform, set: &[(&str, &str)]) -> Option<PathBuf> {
        data_folder(platform, |name| set.iter().find(|(n, _)| *n == name).map(|(_, v)| OsString::from(v)))
    }

    #[test]
    fn each_system_has_its_own_place() {
        let home = ("HOME", "/home/fitter");
        assert_eq!(folder(Platform::Other, &[home]), Some("/home/fitter/.local/share/wakewright".into()));
        assert_eq!(
            folder(Platform::Other, &[home, ("XDG_DATA_HOME", "/data")]),
            Some("/data/wakewright".into())
        );
        assert_eq!(
            folder(Platform::Other, &[home, ("XDG_DATA_HOME", "relative")]),
            Some("/home/fitter/.local/share/wakewright".into())
        );
        assert_eq!(
            folder(Platform::Mac, &[home]),
            Some("/home/fitter/Library/Application Support/Wakewright".into())
        );
        assert!(folder(Platform::Windows, &[("LOCALAPPDATA", "C:/u/AppData/Local")]).is_some());
        assert_eq!(folder(Platform::Other, &[]), None);
    }

    #[test]
    fn the_variable_wins_unless_empty() {
        let home = ("HOME", "/home/fitter");
        assert_eq!(folder(Platform::Mac, &[home, (DATA_VARIABLE, "here")]), Some("here".into()));
        assert_eq!(
            folder(Platform::Other, &[home, (DATA_VARIABLE, "")]),
            Some("/home/fitter/.local/share/wakewright".into())
        );
    }
}
