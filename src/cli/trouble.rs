//! How a command ends, and trouble told in three lines: what is wrong, with which value, what to do.

use crate::workflow::{
    describe::DescribeError,
    kitchen::{KitchenError, StoreError},
};
use clap::error::{ContextKind, ContextValue};
use std::{fmt::Display, process::ExitCode};

/// How a command ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Exit {
    /// Done.
    Done,
    /// The answer is no.
    No,
    /// The user must change something.
    User,
    /// A fault of the program.
    Bug,
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        match exit {
            Exit::Done => Self::SUCCESS,
            Exit::No => Self::from(1),
            Exit::User => Self::from(2),
            Exit::Bug => Self::from(3),
        }
    }
}

/// What stopped a command.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Trouble {
    /// How the program ends.
    pub(super) exit: Exit,
    /// What is wrong.
    pub(super) what: String,
    /// With which value; the command as typed when empty.
    pub(super) value: String,
    /// What to do.
    pub(super) hint: String,
    /// Nobody reads any more: say nothing.
    pub(super) quiet: bool,
}

impl Trouble {
    /// Makes trouble that the user can mend, from a message "what is wrong; what to do".
    pub(super) fn user(message: impl Display) -> Self {
        let message = message.to_string();
        let (what, hint) = message.split_once("; ").unwrap_or((&message, ""));
        Self {
            exit: Exit::User,
            what: what.to_owned(),
            value: String::new(),
            hint: hint.to_owned(),
            quiet: false,
        }
    }

    /// Makes trouble that is our fault.
    pub(super) fn bug(what: impl Display) -> Self {
        Self {
            exit: Exit::Bug,
            hint: "please report this with the command you typed; nothing saved is lost".to_owned(),
            ..Self::user(what)
        }
    }

    /// The reader of our output has gone: end without a word.
    pub(super) fn broken_pipe() -> Self {
        Self {
            exit: Exit::Done,
            quiet: true,
            ..Self::user("")
        }
    }

    /// Names the value that is wrong.
    pub(super) fn with(self, name: impl Display, value: impl Display) -> Self {
        Self {
            value: format!("{name} {value}").trim().to_owned(),
            ..self
        }
    }

    /// Puts what the argument parser refused into our three lines.
    pub(super) fn of_usage(error: &clap::Error) -> Self {
        let text = error.render().to_string();
        // The first paragraph says what is wrong; list items of it follow on lines of their own.
        let first: Vec<_> = text
            .lines()
            .take_while(|line| !line.trim().is_empty())
            .map(str::trim)
            .collect();
        let what = first.join(" ");
        let what = what.strip_prefix("error: ").unwrap_or(&what);
        let value = [ContextKind::InvalidArg, ContextKind::InvalidValue]
            .into_iter()
            .filter_map(|kind| error.get(kind))
            .map(show)
            .collect::<Vec<_>>()
            .join(" = ");
        let tip = text
            .lines()
            .map(str::trim)
            .find_map(|line| line.strip_prefix("tip: "))
            .map(|tip| format!("{tip}; "))
            .unwrap_or_default();
        Self {
            value,
            hint: format!("{tip}see the same command with --help"),
            ..Self::user(what)
        }
    }
}

fn show(value: &ContextValue) -> String {
    value.to_string()
}

impl From<KitchenError> for Trouble {
    fn from(error: KitchenError) -> Self {
        match &error {
            KitchenError::Store(StoreError::NoForm { .. }) => Self {
                exit: Exit::Bug,
                ..Self::user(&error)
            },
            KitchenError::Store(_)
            | KitchenError::Oven(_)
            | KitchenError::NoSuchOven { .. }
            | KitchenError::NoSuchTest { .. } => Self::user(&error),
        }
    }
}

impl From<DescribeError> for Trouble {
    fn from(error: DescribeError) -> Self {
        match error {
            DescribeError::Kitchen(error) => error.into(),
            error @ (DescribeError::Unit { .. }
            | DescribeError::Word { .. }
            | DescribeError::FutureVisit { .. }
            | DescribeError::Template(_)
            | DescribeError::Oven(_)) => Self::user(error),
        }
    }
}

/// Turns any error of the lower layers into trouble the user can mend, naming the value.
pub(super) trait OrTrouble<T> {
    /// Names the argument and its value.
    ///
    /// # Errors
    /// The error itself, as [`Trouble`].
    fn or_trouble(self, name: &str, value: impl Display) -> Result<T, Trouble>;
}

impl<T, E: Display> OrTrouble<T> for Result<T, E> {
    fn or_trouble(self, name: &str, value: impl Display) -> Result<T, Trouble> {
        self.map_err(|e| Trouble::user(e).with(name, value))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cli::args::Cli;
    use clap::Parser;

    #[test]
    fn a_message_falls_into_what_and_hint() {
        let t = Trouble::user("'hot' is not a number; write it like 350F").with("--dial", "hot");
        assert_eq!(
            (t.what.as_str(), t.value.as_str()),
            ("'hot' is not a number", "--dial hot")
        );
        assert_eq!(t.hint, "write it like 350F");
    }

    #[test]
    fn what_the_parser_refuses_has_three_lines_too() {
        let error = Cli::try_parse_from(["rackshade", "map", "--grid", "wide"]).unwrap_err();
        let t = Trouble::of_usage(&error);
        assert!(
            t.what.contains("'wide'") && t.value.contains("--grid"),
            "{t:?}"
        );
        assert!(t.hint.contains("--help"));
        let error = Cli::try_parse_from(["rackshade", "mop"]).unwrap_err();
        let t = Trouble::of_usage(&error);
        assert!(t.what.contains("'mop'"), "{t:?}");
        assert!(t.hint.contains("map"), "{t:?}");
    }
}
