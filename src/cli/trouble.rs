//! How a command ends, and trouble told in three lines: what is wrong, with which value, what to do.

use crate::model::text::joined;
use crate::workflow::{
    describe::DescribeError,
    kitchen::{KitchenError, StoreError},
};
use clap::error::{ContextKind, ContextValue, ErrorKind};
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
        // At the last one: what is wrong quotes what was typed, and that may hold anything.
        let (what, hint) = message.rsplit_once("; ").unwrap_or((&message, ""));
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
        if let Some(source) = std::error::Error::source(error) {
            return Self::of_value(error, source);
        }
        if let Some(ContextValue::Strings(missing)) = (error.kind()
            == ErrorKind::MissingRequiredArgument)
            .then(|| error.get(ContextKind::InvalidArg))
            .flatten()
        {
            return Self::of_missing(missing);
        }
        let text = error.render().to_string();
        // The first paragraph says what is wrong; list items of it follow on lines of their own.
        let first = text.lines().take_while(|line| !line.trim().is_empty());
        let what = joined(first.map(str::trim), " ");
        let what = what.strip_prefix("error: ").unwrap_or(&what);
        let tip = text
            .lines()
            .map(str::trim)
            .find_map(|line| line.strip_prefix("tip: "))
            .map(|tip| format!("{tip}; "))
            .unwrap_or_default();
        Self {
            what: what.to_owned(),
            value: argument(error),
            hint: format!("{tip}see the same command with --help"),
            ..Self::user("")
        }
    }

    /// Says what the command cannot do without: first what must be there, then what there is a choice of.
    fn of_missing(missing: &[String]) -> Self {
        let (choices, fixed): (Vec<_>, Vec<_>) = missing.iter().partition(|m| m.contains('|'));
        let choices = choices.iter().map(|choice| {
            let bare = choice.strip_prefix('<').and_then(|c| c.strip_suffix('>'));
            format!("one of {}", bare.unwrap_or(choice).replace('|', ", "))
        });
        let all = fixed.into_iter().cloned().chain(choices);
        Self {
            what: "something is missing".to_owned(),
            value: joined(all, ", and "),
            hint: "add it; the same command with --help has an example".to_owned(),
            ..Self::user("")
        }
    }

    /// Says what one of our own parsers, or a number's, has against a value.
    fn of_value(error: &clap::Error, source: &(dyn std::error::Error + 'static)) -> Self {
        let typed = error.get(ContextKind::InvalidValue);
        let typed = typed.map(ToString::to_string).unwrap_or_default();
        let message = if source.is::<std::num::ParseIntError>() {
            "it is no whole number in range; write it like 3".to_owned()
        } else if source.is::<std::num::ParseFloatError>() {
            "it is not a number; write it like 9.5".to_owned()
        } else {
            let said = source.to_string();
            // The bounds of a whole number, as the parser writes them: "4 is not in 1..=3".
            match said.strip_prefix(&format!("{typed} is not in ")) {
                Some(range) => format!("it is out of range; give {}", range.replace("..=", " to ")),
                None => said,
            }
        };
        let (what, hint) = match message.rsplit_once("; ") {
            Some((why, hint)) => (format!("'{typed}' cannot be used: {why}"), hint),
            None => (format!("'{typed}' cannot be used"), message.as_str()),
        };
        Self {
            what,
            value: argument(error),
            hint: format!("{hint}; see the same command with --help"),
            ..Self::user("")
        }
    }
}

/// Names the argument and its value: `--grid <CxR> = wide`.
fn argument(error: &clap::Error) -> String {
    let kinds = [ContextKind::InvalidArg, ContextKind::InvalidValue];
    joined(kinds.into_iter().filter_map(|kind| error.get(kind)), " = ")
}

impl From<KitchenError> for Trouble {
    fn from(error: KitchenError) -> Self {
        let mut told = Self::user(&error);
        if matches!(error, KitchenError::Store(StoreError::NoForm { .. })) {
            told.exit = Exit::Bug;
        }
        told
    }
}

impl From<DescribeError> for Trouble {
    fn from(error: DescribeError) -> Self {
        if let DescribeError::Kitchen(error) = error {
            error.into()
        } else {
            Self::user(error)
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

/// Reads what was typed for an option that may be left out.
pub(super) fn given<T, E: Display>(
    name: &str,
    typed: Option<&String>,
    read: impl FnOnce(&str) -> Result<T, E>,
) -> Result<Option<T>, Trouble> {
    let read = typed.map(|text| read(text).or_trouble(name, text));
    read.transpose()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cli::args::Cli;

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
    fn what_was_typed_never_parts_the_message() {
        let t = Trouble::user("'a; b' is no kind of bake; use one of c, d");
        assert_eq!(t.what, "'a; b' is no kind of bake");
        assert_eq!(t.hint, "use one of c, d");
        let t = Trouble::user("cannot read /x; y/z: gone; check that it exists");
        assert_eq!(t.what, "cannot read /x; y/z: gone");
        let typed = ["rackshade", "map", "--mode", "a; b"];
        let t = Trouble::of_usage(&Cli::read(typed).unwrap_err());
        assert_eq!(t.what, "'a; b' cannot be used");
        assert!(t.hint.starts_with("use one of still-air"), "{t:?}");
    }

    #[test]
    fn dates_and_numbers_are_refused_in_our_own_words() {
        let cases: [(&[&str], &str); 5] = [
            (&["plan", "--kind", "x", "--openings", "9"], "out of range"),
            (
                &["ovens", "visit", "x", "--what", "y", "--when", "soon"],
                "no such date",
            ),
            (
                &["tests", "new", "--oven", "x", "--racks", "1,a"],
                "whole number",
            ),
            (
                &[
                    "tests",
                    "new",
                    "--oven",
                    "x",
                    "--racks",
                    "1",
                    "--minutes",
                    "9 or so",
                ],
                "not a number",
            ),
            (
                &[
                    "map",
                    "--samples",
                    "x",
                    "--depth-cm",
                    "50",
                    "--width-cm",
                    "-5",
                ],
                "no oven's",
            ),
        ];
        for (typed, expected) in cases {
            let words = std::iter::once(&"rackshade").chain(typed);
            let t = Trouble::of_usage(&Cli::read(words).unwrap_err());
            assert!(t.what.contains(expected), "{t:?}");
            assert!(
                !t.what.contains("literal") && !t.what.contains("digit"),
                "{t:?}"
            );
        }
    }

    #[test]
    fn what_the_parser_refuses_has_three_lines_too() {
        let error = Cli::read(["rackshade", "map", "--grid", "wide"]).unwrap_err();
        let t = Trouble::of_usage(&error);
        assert!(
            t.what.contains("'wide'") && t.value.contains("--grid"),
            "{t:?}"
        );
        assert!(t.hint.contains("--help"));
        let error = Cli::read(["rackshade", "mop"]).unwrap_err();
        let t = Trouble::of_usage(&error);
        assert!(t.what.contains("'mop'"), "{t:?}");
        assert!(t.hint.contains("map"), "{t:?}");
    }

    #[test]
    fn what_is_missing_is_named_and_a_choice_is_called_one() {
        let typed = ["rackshade", "ovens", "edit"];
        let trouble = Trouble::of_usage(&Cli::read(typed).unwrap_err());
        assert_eq!(trouble.what, "something is missing");
        assert!(
            trouble
                .value
                .starts_with("<OVEN>, and one of --name <NAME>, ")
        );
        let typed = ["rackshade", "readings", "add"];
        let trouble = Trouble::of_usage(&Cli::read(typed).unwrap_err());
        assert_eq!(trouble.value, "--oven <OVEN>, and --reads <DEGREES>");
    }
}
