//! Choosing the file: a path with the names that fit, or one that is pasted or dropped.

use crate::tui::prelude::*;
use crate::{
    tui::widgets::field::Field,
    workflow::browse::{Candidate, candidates, completed, dropped, folder_of},
};

/// A path as it is written, and the names that fit.
#[derive(Debug)]
pub(super) struct FileChoice {
    pub(super) field: Field,
    pub(super) found: Vec<Candidate>,
    /// The name under the cursor; `None` while the path is written.
    pub(super) row: Option<usize>,
}

impl FileChoice {
    /// Begins in a folder, given with its last separator.
    pub(super) fn new(folder: &str) -> Self {
        let mut choice = Self {
            field: Field::path(folder),
            found: Vec::new(),
            row: None,
        };
        choice.look();
        choice
    }

    fn look(&mut self) {
        self.found = candidates(self.field.raw());
        self.row = None;
    }

    fn set(&mut self, path: impl Into<String>) {
        self.field = Field::path(path);
        self.look();
    }

    pub(super) fn typed(&mut self, typed: &Typed) {
        match typed {
            // a whole path takes the place of what stood there
            Typed::Text(text) => self.set(dropped(text)),
            Typed::Char(_) | Typed::Erase => {
                self.field.typed(typed);
                self.look();
            }
        }
    }

    /// Writes the path on as far as the names agree.
    pub(super) fn complete(&mut self) {
        let chosen = self.row.and_then(|row| self.found.get(row));
        let longer = chosen.map_or_else(
            || completed(self.field.raw(), &self.found),
            |candidate| candidate.path.clone(),
        );
        self.set(longer);
    }

    pub(super) fn step(&mut self, by: isize) {
        self.row = match self.row {
            _ if self.found.is_empty() => None,
            None if by > 0 => Some(0),
            Some(0) if by < 0 => None,
            Some(row) => Some(list::step(row, by, self.found.len())),
            None => None,
        };
    }

    pub(super) fn to(&mut self, row: usize) {
        if row < self.found.len() {
            self.row = Some(row);
        }
    }

    /// Returns the path to open; a folder is gone into instead.
    pub(super) fn take(&mut self) -> Option<String> {
        let only = match self.found.as_slice() {
            // the rest of the only name that fits need not be typed
            [one] if self.row.is_none() && !self.field.text().is_empty() => Some(one),
            _ => self.row.and_then(|row| self.found.get(row)),
        };
        let path = only.map_or_else(|| self.field.text().to_owned(), |c| c.path.clone());
        let exact = self.found.iter().find(|c| c.path == path);
        if path.is_empty() || exact.is_some_and(|c| c.is_folder) || folder_of(&path) == path {
            self.set(path);
            return None;
        }
        Some(path)
    }
}
