//! Words that people type or that come in files: kept to one line that steers no terminal.

use std::borrow::Cow;

/// The longest name, characters: it stands in a column of every list.
pub const LONGEST_NAME: usize = 80;
/// The longest note, characters.
pub const LONGEST_NOTE: usize = 500;

/// What stands where a character was that would have steered the terminal.
const MARK: char = '\u{fffd}';

/// Tells whether a character does something to a terminal instead of standing on it.
///
/// These are the C0 and C1 controls with escape and delete, line and paragraph separators, the marks that
/// turn the direction of writing, and invisible tags (Unicode 16, categories Cc, Zl, Zp and part of Cf).
/// Joiners stay: letters of some scripts and pictures are made with them.
pub fn steers(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{206f}'
            | '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}')
}

/// Returns text for a terminal: its lines stay, and what would steer the terminal is marked.
pub fn shown(text: &str) -> Cow<'_, str> {
    let wrong = |c: char| c != '\n' && steers(c);
    if text.chars().any(wrong) {
        let mark = |c| match c {
            '\t' => ' ',
            c if wrong(c) => MARK,
            c => c,
        };
        Cow::Owned(text.chars().map(mark).collect())
    } else {
        Cow::Borrowed(text)
    }
}

/// Returns text as one line for storing: line ends and tabs become blanks, the rest that steers is left out.
pub fn one_line(text: &str) -> Cow<'_, str> {
    if text.chars().any(steers) {
        let kept = text.chars().filter_map(|c| match c {
            '\n' | '\r' | '\t' => Some(' '),
            c if steers(c) => None,
            c => Some(c),
        });
        Cow::Owned(kept.collect())
    } else {
        Cow::Borrowed(text)
    }
}

/// Why words cannot be a name or a note.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum WordsError {
    /// Something in them steers the terminal or breaks the line.
    #[error(
        "it has a line end or a control character in it; write it in one line of plain letters"
    )]
    Control,
    /// More than fits anywhere.
    #[error("it is {count} characters long; write it in at most {most}")]
    Long {
        /// How many there are.
        count: usize,
        /// How many there may be.
        most: usize,
    },
}

/// Writes how many there are: `1 reading`, `12 readings`.
pub fn counted(n: usize, one: &str) -> String {
    let s = if n == 1 { "" } else { "s" };
    format!("{n} {one}{s}")
}

/// Writes one after the other: `2+4`, `2, 3, 5`.
pub fn joined<T: ToString>(items: impl IntoIterator<Item = T>, between: &str) -> String {
    let words: Vec<String> = items.into_iter().map(|item| item.to_string()).collect();
    words.join(between)
}

/// Lists things as a sentence does: `2`, `2 and 3`, `2, 3 and 5`.
pub fn listed<T: ToString>(items: impl IntoIterator<Item = T>) -> String {
    let words: Vec<String> = items.into_iter().map(|item| item.to_string()).collect();
    match words.as_slice() {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

/// Names racks: `rack 2`, `racks 2, 3 and 5`.
pub fn racks_named(racks: &[u8]) -> String {
    let s = if racks.len() == 1 { "" } else { "s" };
    format!("rack{s} {}", listed(racks))
}

/// Checks words: one line of at most `most` characters, nothing that steers the terminal.
///
/// # Errors
/// [`WordsError`]
pub fn check_words(text: &str, most: usize) -> Result<(), WordsError> {
    if text.chars().any(steers) {
        return Err(WordsError::Control);
    }
    let count = text.chars().count();
    if count > most {
        return Err(WordsError::Long { count, most });
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A colour, a title with a bell, C1 controls, a turned direction, a tab and a line end.
    const NASTY: &str = "a\u{1b}[31mb\u{1b}]0;x\u{7}c\u{9b}2Jd\u{202e}e\tf\ng\u{2066}h";

    #[test]
    fn nothing_that_steers_is_shown_or_stored() {
        let seen = shown(NASTY);
        assert!(seen.chars().all(|c| c == '\n' || !steers(c)), "{seen:?}");
        assert_eq!(seen.chars().count(), NASTY.chars().count());
        assert_eq!(one_line(NASTY), "a[31mb]0;xc2Jde f gh");
        for plain in [
            "Wall oven",
            "Four à pizza",
            "תנור",
            "オーブン",
            "👩\u{200d}🍳",
        ] {
            assert!(matches!(shown(plain), Cow::Borrowed(_)), "{plain}");
            assert!(matches!(one_line(plain), Cow::Borrowed(_)), "{plain}");
            assert_eq!(check_words(plain, LONGEST_NAME), Ok(()));
        }
    }

    #[test]
    fn names_are_one_short_line() {
        assert_eq!(check_words(NASTY, LONGEST_NAME), Err(WordsError::Control));
        assert_eq!(
            check_words(&"é".repeat(81), LONGEST_NAME),
            Err(WordsError::Long {
                count: 81,
                most: 80
            })
        );
        assert_eq!(check_words(&"é".repeat(80), LONGEST_NAME), Ok(()));
    }
}
