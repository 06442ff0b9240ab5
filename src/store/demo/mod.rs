//! The demo kitchen, carried in the program so that it can be tried anywhere.

use super::error::StoreError;
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
];

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
            .prefix("rackshade-try-")
            .tempdir()
            .map_err(failed)?;
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
