//! The only module that opens files: the data folder, the embedded assets and the demo kitchen.
//!
//! Every oven, toast test, bake, round of readings, recipe or dough is one readable JSON file. Only inputs are stored; maps and
//! zones are computed again from them.

mod atomic;
mod browse;
mod cache;
mod demo;
mod error;
mod folder;
mod json;
mod litter;
mod lock;
mod migrate;
mod output;
mod paths;
mod photo;
mod read;
mod v1;

pub mod assets;

pub use browse::{Entry, entries, home, is_there};
pub use cache::{Figures, cached, fingerprint, keep_cached};
pub use demo::Throwaway;
pub use error::StoreError;
pub use folder::bundle::{
    BundleError, Imported, OnDifference, Plates, TakenBack, bundle, check_bundle, check_stored,
};
pub use folder::{Access, Moved, Store};
pub(crate) use migrate::Stored;
pub use migrate::{Contents, ReadError};
pub use output::{Existing, OutputRule, check_output, write_output};
pub use paths::{data_folder, papers};
pub use photo::{PhotoFile, read_photo};

use std::path::Path;

/// A text given on the command line as a file may be as large as this: a probe that writes a line of 40 letters
/// every second fills it in two days.
const MOST_INPUT_BYTES: u64 = 8 << 20;

/// Reads a text file that the user named (samples, scores).
///
/// # Errors
/// [`StoreError::Read`] when it cannot be read, is no ordinary file, is larger than 8 MiB, or is not UTF-8.
pub fn read_input(path: &Path) -> Result<String, StoreError> {
    read::text(path, MOST_INPUT_BYTES).map_err(|e| StoreError::read(path, e))
}

/// Writes a file of our own, a paper or a picture: whole on the disk when this returns, or as it was before.
///
/// # Errors
/// [`StoreError`] when it cannot be written.
pub fn write_own(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    atomic::put(path, bytes, atomic::write_and_flush).map_err(|e| StoreError::write(path, e))
}
