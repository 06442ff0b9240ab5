//! Sentences broken into lines.

use unicode_width::UnicodeWidthStr;

/// The widest line, columns.
pub const WIDTH: usize = 78;

pub(super) fn centred(text: &str, width: usize, fill: char) -> String {
    let spare = width.saturating_sub(text.width());
    let before = spare / 2;
    let fill = |n: usize| fill.to_string().repeat(n);
    format!("{}{text}{}", fill(before), fill(spare - before))
}

/// Breaks a sentence into lines of at most [`WIDTH`] columns, the first led by `first`, the others by `rest`.
pub fn wrapped(text: &str, first: &str, rest: &str) -> String {
    let mut out = wrap(text, WIDTH, first, rest).join("\n");
    out.push('\n');
    out
}

/// Breaks a sentence into lines of at most `width` columns; only a single word may be longer.
pub fn wrap(text: &str, width: usize, first: &str, rest: &str) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::from(first);
    let mut fresh = true;
    for word in text.split_whitespace() {
        if !fresh && line.width() + 1 + word.width() > width {
            lines.push(std::mem::replace(&mut line, String::from(rest)));
            fresh = true;
        }
        if !fresh {
            line.push(' ');
        }
        line.push_str(word);
        fresh = false;
    }
    lines.push(line);
    lines
}
