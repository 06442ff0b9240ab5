//! Pictures kept among the papers of the data folder.

use crate::store::{self, StoreError};
use std::path::Path;

/// Writes a picture: the file is whole on the disk when this returns, or as it was before.
///
/// # Errors
/// [`StoreError`] when it cannot be written there.
pub fn write_picture(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    store::write_own(path, bytes)
}
