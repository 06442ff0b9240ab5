//! One line of text that a baker fills in.

use crate::{model::text::steers, tui::keys::Typed};
use std::path::MAIN_SEPARATOR;

/// Longest text a field takes, characters; more is cut.
const LONGEST: usize = 120;
/// Longest path a field takes, characters.
const LONGEST_PATH: usize = 4096;

/// A line of text with the cursor at its end.
///
/// The first character typed after the cursor arrived replaces what stood there, so that a default
/// never has to be erased first; taking characters away keeps it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Field {
    text: String,
    fresh: bool,
    is_path: bool,
}

impl Field {
    /// Makes a field that holds `text`.
    pub fn new(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            fresh: true,
            is_path: false,
        }
    }

    /// Makes a field for a path; typing goes on after what stands there, and it may be long.
    pub fn path(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            fresh: false,
            is_path: true,
        }
    }

    /// Returns the text without blanks around it.
    pub fn text(&self) -> &str {
        self.text.trim()
    }

    /// Returns the text as it stands.
    pub fn raw(&self) -> &str {
        &self.text
    }

    /// Tells the field that the cursor has come to it.
    pub fn arrive(&mut self) {
        self.fresh = true;
    }

    /// Takes what was typed.
    pub fn typed(&mut self, typed: &Typed) {
        match typed {
            Typed::Char(c) => {
                self.start();
                // Right behind a folder a path begins anew that begins at the root, or at home.
                if self.is_path && matches!(c, '/' | '~') && self.text.ends_with(MAIN_SEPARATOR) {
                    self.text.clear();
                }
                self.push(*c);
            }
            Typed::Text(text) => {
                self.start();
                for c in text.lines().next().unwrap_or_default().chars() {
                    self.push(c);
                }
            }
            Typed::Erase => {
                self.text.pop();
                self.fresh = false;
            }
        }
    }

    fn start(&mut self) {
        if self.fresh {
            self.text.clear();
            self.fresh = false;
        }
    }

    fn push(&mut self, c: char) {
        let longest = if self.is_path { LONGEST_PATH } else { LONGEST };
        if !steers(c) && self.text.chars().count() < longest {
            self.text.push(c);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_character_replaces_a_default_and_erasing_keeps_it() {
        let mut field = Field::new("350");
        field.typed(&Typed::Char('4'));
        field.typed(&Typed::Char('0'));
        assert_eq!(field.text(), "40");
        let mut field = Field::new("350");
        field.typed(&Typed::Erase);
        field.typed(&Typed::Char('5'));
        assert_eq!(field.text(), "355");
    }

    #[test]
    fn a_path_from_the_root_takes_the_place_of_the_folder_offered() {
        let mut field = Field::path("/photos/");
        field.typed(&Typed::Char('a'));
        assert_eq!(field.text(), "/photos/a");
        field.typed(&Typed::Char('/'));
        for c in "/b.jpg".chars() {
            field.typed(&Typed::Char(c));
        }
        assert_eq!(field.text(), "/b.jpg");
    }

    #[test]
    fn a_paste_is_one_line_without_control_characters() {
        let mut field = Field::default();
        field.typed(&Typed::Text("wall\toven\u{1b}[31m\nsecond".to_owned()));
        assert_eq!(field.text(), "walloven[31m");
        field.typed(&Typed::Text("x".repeat(500)));
        assert_eq!(field.raw().chars().count(), LONGEST);
    }
}
