//! A notice on the desktop beside the bell, for terminals that are known to take one; any other is sent nothing.
//!
//! Three forms are in use, each an operating system command (ECMA-48, 5th edition, 8.3.89): 9 with the words, 777
//! with `notify`, a title and the words, 99 with the words after an empty description. A multiplexer would have to
//! pass them on to a terminal that nothing here can know, so it is sent none.

use super::graphics::is_nested;
use crate::model::text::steers;
use std::collections::BTreeMap;

/// What stands before the words: then they begin with no digit, which the first form would take for another command.
const TITLE: &str = "rackshade";
/// Characters of a notice at most; a desktop shows no more in one line.
const MOST: usize = 120;

/// How a terminal takes a notice.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Form {
    Words,
    TitleAndWords,
    DescribedWords,
}

/// Writes notices as the terminal takes them.
#[derive(Debug, Clone, Copy)]
pub(super) struct Notices(Option<Form>);

impl Notices {
    /// Sends none.
    pub(super) const NONE: Self = Self(None);

    /// Tells from environment variables what the terminal takes.
    pub(super) fn detect(vars: &BTreeMap<String, String>) -> Self {
        let of = |name: &str| vars.get(name).map_or("", String::as_str);
        if is_nested(vars) {
            return Self(None);
        }
        Self(match (of("TERM_PROGRAM"), of("TERM")) {
            ("iTerm.app" | "WezTerm" | "ghostty", _) | (_, "xterm-ghostty") => Some(Form::Words),
            (_, "xterm-kitty") => Some(Form::DescribedWords),
            (_, "foot" | "foot-extra") => Some(Form::TitleAndWords),
            _ => None,
        })
    }

    /// Returns the bytes of a notice: none without words, or where the terminal takes no notice.
    pub(super) fn bytes(self, words: &str) -> Vec<u8> {
        // In the second form a semicolon would end the words.
        let plain = |c: char| if steers(c) || c == ';' { ' ' } else { c };
        let words: String = words.chars().map(plain).take(MOST).collect();
        let (Some(form), false) = (self.0, words.trim().is_empty()) else {
            return Vec::new();
        };
        let command = match form {
            Form::Words => format!("9;{TITLE}: {words}"),
            Form::TitleAndWords => format!("777;notify;{TITLE};{words}"),
            Form::DescribedWords => format!("99;;{TITLE}: {words}"),
        };
        format!("\x1b]{command}\x1b\\").into_bytes()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sent(vars: &[(&str, &str)], words: &str) -> String {
        let vars = vars
            .iter()
            .map(|(k, v)| ((*k).to_owned(), (*v).to_owned()))
            .collect();
        String::from_utf8(Notices::detect(&vars).bytes(words)).unwrap()
    }

    /// Takes a command apart as ECMA-48 has it: introducer, one string, terminator, nothing more.
    fn inside(bytes: &str) -> &str {
        let command = bytes.strip_prefix("\x1b]").unwrap();
        let command = command.strip_suffix("\x1b\\").unwrap();
        assert!(!command.chars().any(char::is_control), "{command:?}");
        command
    }

    #[test]
    fn each_known_terminal_gets_its_own_form() {
        let words = "take everything out";
        let cases = [
            (
                "TERM_PROGRAM",
                "WezTerm",
                "9;rackshade: take everything out",
            ),
            ("TERM", "xterm-kitty", "99;;rackshade: take everything out"),
            ("TERM", "foot", "777;notify;rackshade;take everything out"),
        ];
        for (name, value, form) in cases {
            assert_eq!(inside(&sent(&[(name, value)], words)), form);
        }
    }

    #[test]
    fn any_other_terminal_and_a_multiplexer_get_nothing() {
        for term in ["xterm", "xterm-256color", "linux", "dumb", "screen", ""] {
            assert_eq!(sent(&[("TERM", term)], "out"), "");
        }
        for inner in ["TMUX", "STY"] {
            assert_eq!(sent(&[("TERM", "foot"), (inner, "1")], "out"), "");
        }
        assert_eq!(sent(&[("TERM", "foot")], ""), "");
    }

    #[test]
    fn a_name_that_would_steer_the_terminal_does_not() {
        let name = "4;\x1b]0;x\x07\u{9c}\n\u{202e}rye";
        for (variable, value, parts) in [
            ("TERM", "foot", 3),
            ("TERM", "xterm-kitty", 2),
            ("TERM_PROGRAM", "ghostty", 1),
        ] {
            let sent = sent(&[(variable, value)], &name.repeat(40));
            let command = inside(&sent);
            assert!(command.chars().count() <= MOST + 30, "{command}");
            assert_eq!(command.matches(';').count(), parts, "{command}");
            assert!(command.contains("rye"));
        }
    }
}
