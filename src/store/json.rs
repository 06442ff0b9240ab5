//! JSON as files are written: indented down to the lists, then one entry a line.
//!
//! A slice on one line keeps a toast test readable as a table, and a difference between two
//! versions of a file small.

use serde::Serialize;
use serde_json::ser::{Formatter, Serializer};
use std::io::{self, Write};

/// Values nested deeper than this stay on one line.
const OPEN_LEVELS: usize = 2;

/// Writes a value as file text, with a line end behind it.
///
/// # Errors
/// What `serde` says of a value that has no JSON form.
pub(super) fn to_text(value: &impl Serialize) -> Result<String, serde_json::Error> {
    let mut out = Vec::new();
    value.serialize(&mut Serializer::with_formatter(&mut out, Lines::default()))?;
    out.push(b'\n');
    String::from_utf8(out).map_err(serde::ser::Error::custom)
}

#[derive(Default)]
struct Lines {
    level: usize,
    filled: bool,
}

impl Lines {
    fn line<W: ?Sized + Write>(&self, out: &mut W) -> io::Result<()> {
        out.write_all(b"\n")?;
        for _ in 0..self.level {
            out.write_all(b"  ")?;
        }
        Ok(())
    }

    fn open<W: ?Sized + Write>(&mut self, out: &mut W, bracket: &[u8]) -> io::Result<()> {
        self.level += 1;
        self.filled = false;
        out.write_all(bracket)
    }

    fn close<W: ?Sized + Write>(&mut self, out: &mut W, bracket: &[u8]) -> io::Result<()> {
        let was_open = self.level <= OPEN_LEVELS;
        self.level -= 1;
        if was_open && self.filled {
            self.line(out)?;
        }
        self.filled = true;
        out.write_all(bracket)
    }

    fn entry<W: ?Sized + Write>(&mut self, out: &mut W, first: bool) -> io::Result<()> {
        if !first {
            out.write_all(b",")?;
        }
        if self.level <= OPEN_LEVELS {
            self.line(out)
        } else if first {
            Ok(())
        } else {
            out.write_all(b" ")
        }
    }
}

impl Formatter for Lines {
    fn begin_array<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.open(out, b"[")
    }
    fn end_array<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.close(out, b"]")
    }
    fn begin_array_value<W: ?Sized + Write>(&mut self, out: &mut W, first: bool) -> io::Result<()> {
        self.entry(out, first)
    }
    fn end_array_value<W: ?Sized + Write>(&mut self, _out: &mut W) -> io::Result<()> {
        self.filled = true;
        Ok(())
    }
    fn begin_object<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.open(out, b"{")
    }
    fn end_object<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.close(out, b"}")
    }
    fn begin_object_key<W: ?Sized + Write>(&mut self, out: &mut W, first: bool) -> io::Result<()> {
        self.entry(out, first)
    }
    fn begin_object_value<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        out.write_all(b": ")
    }
    fn end_object_value<W: ?Sized + Write>(&mut self, _out: &mut W) -> io::Result<()> {
        self.filled = true;
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn lists_stand_one_entry_a_line_and_read_back_the_same() {
        let value = json!({"a": 1, "list": [{"x": 1.5, "y": [1, 2]}, {"x": 2}], "none": []});
        let text = to_text(&value).unwrap();
        let expected = "{\n  \"a\": 1,\n  \"list\": [\n    {\"x\": 1.5, \"y\": [1, 2]},\n    {\"x\": 2}\n  ],\n  \"none\": []\n}\n";
        assert_eq!(text, expected);
        assert_eq!(
            serde_json::from_str::<serde_json::Value>(&text).unwrap(),
            value
        );
    }
}
