//! The only place that prints.

use super::trouble::Trouble;
use crate::{
    model::text::{shown, steers},
    report::json::JsonResult,
};
use std::{
    borrow::Cow,
    fmt::{Display, Write as _},
    io::{self, BufWriter, IsTerminal, Read, Stdout, Write},
    sync::OnceLock,
    time::{Duration, Instant},
};
use unicode_width::UnicodeWidthStr;

/// Work this quick needs no word of how far it is.
const QUIET: Duration = Duration::from_millis(500);

/// Standard output, buffered; and trouble to standard error.
///
/// Whatever names, notes, files and arguments held, nothing that steers the terminal gets through here.
pub(super) struct Output {
    out: BufWriter<Stdout>,
    /// Something was printed: only then can it matter whether it has left.
    printed: bool,
}

impl Output {
    pub(super) fn new() -> Self {
        Self {
            out: BufWriter::new(io::stdout()),
            printed: false,
        }
    }

    /// Prints one line.
    pub(super) fn line(&mut self, text: impl AsRef<str>) -> Result<(), Trouble> {
        self.text(text.as_ref())?;
        self.bytes(b"\n")
    }

    /// Prints sentences, each on a line of its own behind a mark.
    pub(super) fn marked<T: Display>(
        &mut self,
        mark: &str,
        sentences: impl IntoIterator<Item = T>,
    ) -> Result<(), Trouble> {
        let mut each = sentences.into_iter();
        each.try_for_each(|sentence| self.line(format!("{mark} {sentence}")))
    }

    /// Prints text that has its own line ends.
    pub(super) fn text(&mut self, text: &str) -> Result<(), Trouble> {
        self.bytes(shown(text).as_bytes())
    }

    /// Prints bytes as they are: the program's own words and colours, never what came from outside.
    pub(super) fn bytes(&mut self, bytes: &[u8]) -> Result<(), Trouble> {
        self.printed = true;
        self.out.write_all(bytes).map_err(|e| failed(&e))
    }

    /// Prints a result that was to go to a file; on a terminal only what can be read there.
    pub(super) fn result(&mut self, bytes: &[u8], is_terminal: bool) -> Result<(), Trouble> {
        match std::str::from_utf8(bytes) {
            _ if !is_terminal => self.bytes(bytes),
            Ok(text) if !text.starts_with("%PDF") => self.text(text),
            Ok(_) | Err(_) => Err(Trouble::user(
                "a picture or PDF cannot be shown on the terminal; name a file, or send it on with > FILE",
            )),
        }
    }

    /// Prints one result as JSON.
    pub(super) fn json(&mut self, result: &impl JsonResult) -> Result<(), Trouble> {
        let text = result.to_json_text().map_err(Trouble::bug)?;
        self.bytes(escaped(&text).as_bytes())?;
        self.bytes(b"\n")
    }

    /// Prints a table with columns as wide as their widest cell.
    pub(super) fn table(&mut self, head: &[&str], rows: &[Vec<String>]) -> Result<(), Trouble> {
        let cell = |text: &str| shown(text).replace('\n', " ");
        let head: Vec<String> = head.iter().map(|h| cell(h)).collect();
        let rows: Vec<Vec<String>> = rows
            .iter()
            .map(|row| row.iter().map(|text| cell(text)).collect())
            .collect();
        let width = |col: usize| {
            std::iter::once(&head)
                .chain(&rows)
                .filter_map(|row| row.get(col))
                .map(|cell| cell.width())
                .max()
                .unwrap_or_default()
        };
        let widths: Vec<usize> = (0..head.len()).map(width).collect();
        for row in std::iter::once(&head).chain(&rows) {
            let cells: Vec<String> = row
                .iter()
                .zip(&widths)
                .map(|(cell, width)| format!("{cell}{}", " ".repeat(width - cell.width())))
                .collect();
            self.line(cells.join("  ").trim_end())?;
        }
        Ok(())
    }

    /// Asks a question that is answered with yes or no; anything but yes is no.
    pub(super) fn asked(&mut self, question: &str) -> bool {
        self.flush().unwrap_or_default();
        let mut err = io::stderr();
        let asked = write!(err, "{} y or n: ", shown(question)).and_then(|()| err.flush());
        let mut answer = [0_u8; 64];
        let read = asked.and_then(|()| io::stdin().read(&mut answer));
        matches!(read, Ok(1..)) && matches!(answer[0], b'y' | b'Y')
    }

    /// Makes sure that everything printed so far has left.
    pub(super) fn flush(&mut self) -> Result<(), Trouble> {
        if !self.printed {
            return Ok(());
        }
        if closed::at_the_start() {
            return Err(Trouble::user(
                "standard output is closed, so the answer is lost; leave it open, or send it to a file with > FILE",
            ));
        }
        self.out.flush().map_err(|e| failed(&e))
    }

    /// Tells a remark beside the result; a lost remark is no trouble.
    pub(super) fn remark(&mut self, text: &str) {
        self.flush().unwrap_or_default();
        let text = shortened(&shown(text));
        writeln!(io::stderr(), "note: {text}").unwrap_or_default();
    }

    /// Tells remarks beside the result, one a line.
    pub(super) fn remarks(&mut self, text: &str) {
        for line in text.lines() {
            self.remark(line.trim());
        }
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
            [&trouble.what, value, hint].map(|part| shortened(&shown(part)).replace('\n', " "));
        let text = format!("error: {what}\nvalue: {value}\nhint:  {hint}\n");
        io::stderr().write_all(text.as_bytes()).unwrap_or_default();
    }
}

/// Writes what steers a terminal as JSON's own escapes; the text means the same.
fn escaped(json: &str) -> Cow<'_, str> {
    let wrong = |c: char| c != '\n' && steers(c);
    if !json.chars().any(wrong) {
        return Cow::Borrowed(json);
    }
    let mut out = String::with_capacity(json.len() + 16);
    for c in json.chars() {
        if wrong(c) {
            for unit in c.encode_utf16(&mut [0; 2]) {
                // Writing to a string cannot fail.
                write!(out, "\\u{unit:04x}").unwrap_or_default();
            }
        } else {
            out.push(c);
        }
    }
    Cow::Owned(out)
}

/// Most characters of one line of trouble: what was typed or read is quoted in it, and may be a whole book.
const LONGEST_LINE: usize = 1000;

fn shortened(text: &str) -> String {
    match text.char_indices().nth(LONGEST_LINE) {
        None => text.to_owned(),
        Some((end, _)) => format!("{}...", &text[..end]),
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

/// Shows on a terminal how far slow work is: `tests mapped: 120 of 2500`, gone again with the last.
///
/// The first half second says nothing, and so does whatever is no terminal.
pub(super) fn progress(what: &str, done: usize, of: usize) {
    static BEGUN: OnceLock<Instant> = OnceLock::new();
    let begun = BEGUN.get_or_init(now);
    let mut err = io::stderr();
    if !err.is_terminal() || begun.elapsed() < QUIET || (!done.is_multiple_of(10) && done < of) {
        return;
    }
    if done < of {
        write!(err, "\r{what}: {done} of {of}").unwrap_or_default();
    } else {
        let blank = " ".repeat(what.len() + 24);
        write!(err, "\r{blank}\r").unwrap_or_default();
    }
    err.flush().unwrap_or_default();
}

#[expect(
    clippy::disallowed_methods,
    reason = "how long somebody has been waiting"
)]
fn now() -> Instant {
    Instant::now()
}

#[cfg(unix)]
mod closed {
    //! Whether standard output was closed when the program started: the standard library opens the null
    //! device in its place before `main`, which swallows every answer and calls that success.

    use std::sync::atomic::{AtomicBool, Ordering};

    static CLOSED: AtomicBool = AtomicBool::new(false);

    #[ctor::ctor(unsafe)]
    fn look() {
        let lost = rustix::io::fcntl_getfd(rustix::stdio::stdout()).is_err();
        CLOSED.store(lost, Ordering::SeqCst);
    }

    pub(super) fn at_the_start() -> bool {
        CLOSED.load(Ordering::SeqCst)
    }
}

#[cfg(not(unix))]
mod closed {
    pub(super) fn at_the_start() -> bool {
        false
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn json_keeps_its_meaning_without_anything_that_steers() {
        let value = "a\u{9b}2J\u{202e}\u{e0041}\u{7f}b";
        let text = serde_json::to_string_pretty(&[value]).unwrap();
        let safe = escaped(&text);
        assert!(safe.chars().all(|c| c == '\n' || !steers(c)), "{safe:?}");
        let back: Vec<String> = serde_json::from_str(&safe).unwrap();
        assert_eq!(back, [value]);
    }
}
