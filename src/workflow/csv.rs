//! What CSV files of samples and of scores have in common: names in the first line, cells that are named when wrong.

use csv::{Position, ReaderBuilder, StringRecord, Trim};
use std::str::FromStr;

/// A cell that cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("line {line}, column {column}: '{value}' cannot be used; {hint}")]
pub struct CellError {
    /// The line, from 1.
    pub line: u64,
    /// The column's name.
    pub column: String,
    /// What stands there.
    pub value: String,
    /// What is expected.
    pub hint: String,
}

/// A line that is not well-formed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {what}")]
pub struct LineError {
    /// The line, from 1.
    pub line: u64,
    /// What is wrong.
    pub what: String,
}

impl From<csv::Error> for LineError {
    fn from(error: csv::Error) -> Self {
        Self {
            line: error.position().map_or(1, Position::line),
            what: error.to_string(),
        }
    }
}

/// The lines of a file below the first.
type Records<'t> = csv::StringRecordsIntoIter<&'t [u8]>;

/// Reads the names of the columns, in small letters, and returns the lines below them.
pub(super) fn open(text: &str) -> Result<(Vec<String>, Records<'_>), LineError> {
    let mut reader = ReaderBuilder::new()
        .trim(Trim::All)
        .comment(Some(b'#'))
        .from_reader(text.trim_start_matches('\u{feff}').as_bytes());
    let header = reader.headers()?.iter();
    let names = header.map(str::to_ascii_lowercase).collect();
    Ok((names, reader.into_records()))
}

/// One line with the names of its columns.
pub(super) struct Line<'f> {
    /// The names of the columns.
    pub(super) names: &'f [String],
    /// The cells.
    pub(super) record: &'f StringRecord,
}

impl Line<'_> {
    /// Returns what stands in a column; nothing where there is none.
    pub(super) fn cell(&self, column: usize) -> &str {
        self.record.get(column).unwrap_or_default()
    }

    /// Reads a cell that must be such a figure.
    pub(super) fn figure<T: FromStr>(
        &self,
        column: usize,
        is_right: impl FnOnce(&T) -> bool,
        hint: impl Into<String>,
    ) -> Result<T, CellError> {
        let figure = self.cell(column).parse().ok().filter(is_right);
        figure.ok_or_else(|| self.wrong(column, hint))
    }

    /// Says what is wrong with a cell.
    pub(super) fn wrong(&self, column: usize, hint: impl Into<String>) -> CellError {
        CellError {
            line: self.record.position().map_or(1, Position::line),
            column: self.names.get(column).cloned().unwrap_or_default(),
            value: self.cell(column).to_owned(),
            hint: hint.into(),
        }
    }
}
