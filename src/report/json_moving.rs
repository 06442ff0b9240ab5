//! Exports and imports as JSON.

use serde::Serialize;

/// What an export wrote.
#[derive(Debug, Serialize)]
pub struct ExportJson {
    /// The file.
    pub file: String,
    /// Its size.
    pub bytes: usize,
    /// What could not be read, and so is not in it.
    pub warnings: Vec<String>,
}

/// The files that papers went into, in the order of pages.
#[derive(Debug, Serialize)]
pub struct WrittenJson {
    /// Their paths.
    pub files: Vec<String>,
}
