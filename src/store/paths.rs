//! Where the data folder is and what lies in it.

use super::error::StoreError;
use etcetera::BaseStrategy;
use std::path::{Path, PathBuf};

/// Ending of every stored file.
pub(super) const ENDING: &str = "json";
/// Folder for files that could not be read.
pub(super) const DAMAGED: &str = "damaged";
/// Folder for what the user removed.
pub(super) const REMOVED: &str = "removed";
/// Folder for versions of a file that something else changed meanwhile.
pub(super) const CONFLICTS: &str = "conflicts";
/// Folder for what was printed.
pub(super) const PAPERS: &str = "papers";

/// Returns the data folder: the one given, else `rackshade` under the platform's own data folder.
///
/// # Errors
/// [`StoreError::NoHome`] when none is given and the user has no home folder.
pub fn data_folder(given: Option<&Path>) -> Result<PathBuf, StoreError> {
    match given {
        Some(dir) => Ok(dir.to_owned()),
        None => etcetera::choose_base_strategy()
            .map(|base| base.data_dir().join("rackshade"))
            .map_err(|_no_home| StoreError::NoHome),
    }
}

/// Returns the folder for what is printed, and makes it.
///
/// # Errors
/// [`StoreError`] when it cannot be made.
pub fn papers(root: &Path) -> Result<PathBuf, StoreError> {
    let path = root.join(PAPERS);
    std::fs::create_dir_all(&path).map_err(|e| StoreError::write(&path, e))?;
    Ok(path)
}

/// Returns the file of a thing of kind `folder` with this id.
pub(super) fn file(root: &Path, folder: &str, id: &str) -> PathBuf {
    root.join(folder).join(format!("{id}.{ENDING}"))
}
/// Returns the folder a name stands in.
pub(super) fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        Some(_) | None => Path::new("."),
    }
}
