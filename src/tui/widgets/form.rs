//! A form: rows that the cursor goes through, some of them filled in by typing.

use super::{field::Field, list};
use crate::tui::{
    keys::Typed,
    theme::{Role, Theme},
};
use ratatui::text::{Line, Span};

/// The rows of a form.
pub trait Rows: Copy + PartialEq + 'static {
    /// Every row from the top.
    const ALL: &'static [Self];

    /// Returns its place from the top.
    fn index(self) -> usize {
        Self::ALL.iter().position(|r| *r == self).unwrap_or(0)
    }

    /// Returns the row so many rows further down, or the last one there.
    #[must_use]
    fn stepped(self, by: isize) -> Self {
        let to = list::step(self.index(), by, Self::ALL.len());
        Self::ALL.get(to).copied().unwrap_or(self)
    }
}

/// Makes the rows of a form, one line a row, with a method for each column of words.
macro_rules! rows {
    ($(#[$meta:meta])* $vis:vis enum $name:ident $columns:tt $rows:tt) => {
        $crate::model::worded::worded! { $(#[$meta])* $vis enum $name $columns $rows }

        impl $crate::tui::widgets::form::Rows for $name {
            const ALL: &'static [Self] = &$name::ALL;
        }
    };
}
pub(crate) use rows;

/// Draws a row of a form: the mark of the cursor, its label in so many columns, and what stands in it.
pub fn line(
    label: &str,
    width: usize,
    value: String,
    chosen: bool,
    theme: &Theme,
) -> Line<'static> {
    let (of_label, of_value) = if chosen {
        (Role::Heading, Role::Chosen)
    } else {
        (Role::Plain, Role::Plain)
    };
    let label = format!("{} {label:<width$}", list::mark(chosen));
    Line::from(vec![
        Span::styled(label, theme.style(of_label)),
        Span::styled(value, theme.style(of_value)),
    ])
}

/// Returns a value that is changed by going left and right, as it stands in a row.
pub fn turned(value: &str, chosen: bool) -> String {
    if chosen {
        format!("\u{2039}{value}\u{203a}")
    } else {
        format!(" {value}")
    }
}

/// What is typed in a form, by its rows.
#[derive(Debug, Clone, PartialEq)]
pub struct Fields<R>(Vec<(R, Field)>);

impl<R: Rows> Fields<R> {
    /// Makes a field for each row that is typed, with what stands there.
    pub fn new(texts: impl IntoIterator<Item = (R, String)>) -> Self {
        let fields = texts.into_iter().map(|(row, text)| (row, Field::new(text)));
        Self(fields.collect())
    }

    /// Returns the field of a row; `None` where nothing is typed.
    pub fn get(&self, row: R) -> Option<&Field> {
        self.0.iter().find(|(r, _)| *r == row).map(|(_, f)| f)
    }

    fn get_mut(&mut self, row: R) -> Option<&mut Field> {
        let found = self.0.iter_mut().find(|(r, _)| *r == row);
        found.map(|(_, f)| f)
    }

    /// Returns what stands in a row, without blanks around it.
    pub fn text(&self, row: R) -> &str {
        self.get(row).map_or("", Field::text)
    }

    /// Writes a row anew.
    pub fn set(&mut self, row: R, text: impl Into<String>) {
        if let Some(field) = self.get_mut(row) {
            *field = Field::new(text);
        }
    }

    /// Is told that the cursor has come to a row.
    pub fn arrive(&mut self, row: R) {
        if let Some(field) = self.get_mut(row) {
            field.arrive();
        }
    }

    /// Takes what was typed into a row; tells whether it is one that takes text.
    pub fn typed(&mut self, row: R, typed: &Typed) -> bool {
        let field = self.get_mut(row);
        let takes = field.is_some();
        if let Some(field) = field {
            field.typed(typed);
        }
        takes
    }
}
