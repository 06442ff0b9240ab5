//! The only place that prints.

use super::trouble::Trouble;
use crate::report::json::JsonResult;
use std::io::{self, BufWriter, Stdout, Write};

/// Standard output, buffered; and trouble to standard error.
pub(super) struct Output {
    out: BufWriter<Stdout>,
}

impl Output {
    pub(super) fn new() -> Self {
        Self {
            out: BufWriter::new(io::stdout()),
        }
    }

    /// Prints one line.
    pub(super) fn line(&mut self, text: impl AsRef<str>) -> Result<(), Trouble> {
        writeln!(self.out, "{}", text.as_ref()).map_err(|e| failed(&e))
    }

    /// Prints text that has its own line ends.
    pub(super) fn text(&mut self, text: &str) -> Result<(), Trouble> {
        self.bytes(text.as_bytes())
    }

    /// Prints bytes as they are.
    pub(super) fn bytes(&mut self, bytes: &[u8]) -> Result<(), Trouble> {
        self.out.write_all(bytes).map_err(|e| failed(&e))
    }

    /// Prints one result as JSON.
    pub(super) fn json(&mut self, result: &impl JsonResult) -> Result<(), Trouble> {
        self.line(result.to_json_text().map_err(Trouble::bug)?)
    }

    /// Prints a table with columns as wide as their widest cell.
    pub(super) fn table(&mut self, head: &[&str], rows: &[Vec<String>]) -> Result<(), Trouble> {
        let head: Vec<String> = head.iter().map(|&h| h.to_owned()).collect();
        let width = |col: usize| {
            std::iter::once(&head)
                .chain(rows)
                .filter_map(|row| row.get(col))
                .map(|cell| cell.chars().count())
                .max()
                .unwrap_or_default()
        };
        let widths: Vec<usize> = (0..head.len()).map(width).collect();
        for row in std::iter::once(&head).chain(rows) {
            let cells: Vec<String> = row
                .iter()
                .zip(&widths)
                .map(|(cell, &width)| format!("{cell:<width$}"))
                .collect();
            self.line(cells.join("  ").trim_end())?;
        }
        Ok(())
    }

    /// Makes sure that everything printed so far has left.
    pub(super) fn flush(&mut self) -> Result<(), Trouble> {
        self.out.flush().map_err(|e| failed(&e))
    }

    /// Tells a remark beside the result; a lost remark is no trouble.
    pub(super) fn remark(&mut self, text: &str) {
        self.flush().unwrap_or_default();
        writeln!(io::stderr(), "note: {text}").unwrap_or_default();
    }

    /// Tells trouble in its three lines.
    pub(super) fn trouble(&mut self, trouble: &Trouble, typed: &str) {
        if trouble.quiet {
            return;
        }
        self.flush().unwrap_or_default();
        let value = if trouble.value.is_empty() {
            typed
        } else {
            &trouble.value
        };
        let hint = if trouble.hint.is_empty() {
            "see the same command with --help"
        } else {
            &trouble.hint
        };
        // What was typed may hold line ends; three lines stay three.
        let [what, value, hint] =
            [&trouble.what, value, hint].map(|part| part.replace(['\n', '\r'], " "));
        let text = format!("error: {what}\nvalue: {value}\nhint:  {hint}\n");
        io::stderr().write_all(text.as_bytes()).unwrap_or_default();
    }
}

/// A reader that has gone is no trouble to tell; anything else is.
fn failed(error: &io::Error) -> Trouble {
    if error.kind() == io::ErrorKind::BrokenPipe {
        Trouble::broken_pipe()
    } else {
        Trouble::user(format!(
            "standard output cannot be written: {error}; check where it goes to"
        ))
    }
}
