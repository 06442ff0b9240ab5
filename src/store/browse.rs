//! What lies in a folder, so that a photo can be chosen from it.

use std::{
    path::{Path, PathBuf},
    time::SystemTime,
};

/// Most names read from one folder: enough for years of photos, and a bound on the wait.
const MOST: usize = 20_000;

/// A name in a folder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// The name alone.
    pub name: String,
    /// Whether it is a folder.
    pub is_folder: bool,
    /// When it was changed last, where the system tells.
    pub changed: Option<SystemTime>,
}

/// Returns the names in a folder that a user would see, in no order; none when it cannot be read.
pub fn entries(folder: &Path) -> Vec<Entry> {
    let Ok(found) = std::fs::read_dir(folder) else {
        return Vec::new();
    };
    found
        .flatten()
        .take(MOST)
        .filter_map(|entry| {
            let name = entry.file_name().into_string().ok()?;
            // a link says nothing of its goal until it is followed
            let about = std::fs::metadata(entry.path()).ok()?;
            Some(Entry {
                name,
                is_folder: about.is_dir(),
                changed: about.modified().ok(),
            })
        })
        .collect()
}

/// Returns the user's home folder, where there is one.
pub fn home() -> Option<PathBuf> {
    etcetera::home_dir().ok()
}

/// Tells whether something lies at a path.
pub fn is_there(path: &Path) -> bool {
    path.exists()
}
