//! Moving ovens with their records from one kitchen to another, as one file.

use super::Kitchen;
use crate::{
    model::OvenId,
    store::{BundleError, Imported, OnDifference, Plates, StoreError, TakenBack, bundle},
};
use std::path::{Path, PathBuf};

impl Kitchen {
    /// Returns the path for a paper of that name under the data folder's `papers/`, which is made.
    ///
    /// # Errors
    /// [`StoreError`] when the folder cannot be made.
    pub fn paper_path(&self, name: &str) -> Result<PathBuf, StoreError> {
        Ok(self.store.papers()?.join(name))
    }

    /// Returns one oven with all that belongs to it, or everything, as the bytes of one file; `plates` says whether make,
    /// model, serial number and contact go along.
    ///
    /// # Errors
    /// [`StoreError::NoForm`], a fault of the program.
    pub fn export(&self, oven: Option<&OvenId>, plates: Plates) -> Result<Vec<u8>, StoreError> {
        bundle(&self.records.0, oven, plates)
    }

    /// Takes in a file that [`Self::export`] wrote, or with `dry` only says what that would do.
    ///
    /// The disk is changed, not what is in memory: open the kitchen again.
    ///
    /// # Errors
    /// [`BundleError`] says what is wrong with the file; nothing was then taken in.
    pub fn import(
        &self,
        path: &Path,
        on: OnDifference,
        dry: bool,
    ) -> Result<Imported, BundleError> {
        self.store.import(path, on, dry)
    }

    /// Takes the last import back; what was changed since stays.
    ///
    /// The disk is changed, not what is in memory: open the kitchen again.
    ///
    /// # Errors
    /// [`BundleError::NothingToUndo`], or the disk's trouble.
    pub fn undo_import(&self) -> Result<TakenBack, BundleError> {
        self.store.undo_import()
    }
}
