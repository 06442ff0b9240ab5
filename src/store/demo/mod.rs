//! The demo kitchen, carried in the program so that it can be tried anywhere.

use super::{error::StoreError, litter, lock::Lock};
use std::{
    fs,
    path::{Path, PathBuf},
};

/// Names a demo file once, for its place in the folder and for its text.
macro_rules! carried {
    ($($name:literal),+ $(,)?) => {
        &[$(($name, include_str!(concat!("../../../demo-data/", $name)))),+]
    };
}

/// Every file of the demo kitchen: its place in the data folder and its text.
const FILES: &[(&str, &str)] = carried![
    "ovens/counter-oven.json",
    "ovens/wall-oven.json",
    "tests/2026-03-07-wall-oven.json",
    "tests/2026-03-08-wall-oven.json",
    "tests/2026-03-15-counter-oven.json",
    "tests/2026-03-15-counter-oven-2.json",
    "tests/2026-04-10-wall-oven.json",
    "tests/2026-04-11-wall-oven.json",
    "tests/2026-04-11-wall-oven-2.json",
    "tests/2026-04-12-counter-oven.json",
    "bakes/2026-03-21-wall-oven.json",
    "thermometers/dial-type.json",
    "thermometers/wire-probe.json",
    "readings/2026-03-06-wall-oven.json",
    "readings/2026-03-14-wall-oven.json",
    "readings/2026-04-09-wall-oven.json",
    "readings/2026-04-13-wall-oven.json",
    "readings/2026-04-14-wall-oven.json",
    "readings/2026-04-16-counter-oven.json",
    "recipes/harvest-rolls.json",
    "recipes/oat-biscuits.json",
];

/// What begins the name of every copy.
const MARK: &str = "rackshade-try-";

/// Removes the copies beside `mine` that were left because the program that worked on them was killed: nobody
/// holds their lock. One without a lock may just be being made, and goes only when it is a day old.
///
/// What cannot be removed, or is another user's, stays.
fn sweep(mine: &Path) {
    let (Some(place), Ok(ours)) = (mine.parent(), fs::metadata(mine)) else {
        return;
    };
    let Ok(entries) = fs::read_dir(place) else {
        return;
    };
    for entry in entries.flatten() {
        let path = entry.path();
        let is_copy = entry
            .file_name()
            .to_str()
            .is_some_and(|n| n.starts_with(MARK));
        // Of the entry itself: a link is no copy of ours.
        let about = entry
            .metadata()
            .ok()
            .filter(|about| is_copy && about.is_dir());
        let Some(about) = about.filter(|about| path != mine && is_same_users(about, &ours)) else {
            continue;
        };
        let orphan = if path.join("lock").exists() {
            Lock::take(&path).is_ok()
        } else {
            ours.modified().is_ok_and(|now| litter::is_old(&about, now))
        };
        if orphan {
            fs::remove_dir_all(&path).ok();
        }
    }
}

#[cfg(unix)]
fn is_same_users(one: &fs::Metadata, other: &fs::Metadata) -> bool {
    use std::os::unix::fs::MetadataExt;
    one.uid() == other.uid()
}

/// Elsewhere each user has a folder for temporary files.
#[cfg(not(unix))]
fn is_same_users(_one: &fs::Metadata, _other: &fs::Metadata) -> bool {
    true
}

/// A copy of the demo kitchen in a temporary folder, removed when this goes.
#[derive(Debug)]
pub struct Throwaway {
    folder: tempfile::TempDir,
}

impl Throwaway {
    /// Lays the demo kitchen out in a fresh temporary folder.
    ///
    /// # Errors
    /// [`StoreError`] when there is no room for temporary files.
    pub fn of_demo() -> Result<Self, StoreError> {
        let failed = |e| StoreError::write(&std::env::temp_dir(), e);
        let folder = tempfile::Builder::new()
            .prefix(MARK)
            .tempdir()
            .map_err(failed)?;
        sweep(folder.path());
        for (name, text) in FILES {
            let path: PathBuf = folder.path().join(name);
            if let Some(parent) = path.parent() {
                fs::create_dir_all(parent).map_err(|e| StoreError::write(parent, e))?;
            }
            // A throwaway copy: nothing is lost if it is torn, so it is written plainly.
            fs::File::create(&path)
                .and_then(|mut file| std::io::Write::write_all(&mut file, text.as_bytes()))
                .map_err(|e| StoreError::write(&path, e))?;
        }
        Ok(Self { folder })
    }

    /// Returns the folder.
    pub fn path(&self) -> &Path {
        self.folder.path()
    }
}

#[cfg(test)]
mod tests;
