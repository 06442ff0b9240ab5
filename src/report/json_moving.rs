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

/// What an import did, or would do; names are `kind id`.
#[derive(Debug, Serialize)]
pub struct ImportJson {
    /// Whether it was only checked.
    pub dry_run: bool,
    /// New here.
    pub added: Vec<String>,
    /// Here already, the same.
    pub same: Vec<String>,
    /// Differ; what is here stays.
    pub kept: Vec<String>,
    /// Belong to an oven or thermometer that is another one here; not taken in.
    pub held_back: Vec<String>,
    /// Differ; the file's take their place.
    pub replaced: Vec<String>,
}

/// What taking an import back did.
#[derive(Debug, Serialize)]
pub struct TakenBackJson {
    /// Set aside, or as before.
    pub undone: Vec<String>,
    /// Changed since, left.
    pub left: Vec<String>,
    /// Left because something that stays belongs to it.
    pub needed: Vec<String>,
}
