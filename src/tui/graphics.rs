//! How, if at all, the terminal takes pixels.
//!
//! Its environment alone tells. It is asked nothing, so neither the start of the program nor a screen ever waits for an
//! answer, and no late answer is read as keys.

use std::collections::BTreeMap;

/// How a terminal takes pixels.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pixels {
    /// Kitty's graphics protocol.
    Kitty,
    /// iTerm2's inline images.
    Iterm,
    /// Sixels, as DEC's VT340 had them.
    Sixel,
}

impl Pixels {
    /// Tells from environment variables how the terminal takes pixels; `None` where it does not, or does not say.
    ///
    /// `RACKSHADE_PIXELS` (kitty, iterm2, sixel, none) says it where the terminal cannot. The names that terminals
    /// give themselves are from memory.
    pub fn detect(vars: &BTreeMap<String, String>) -> Option<Self> {
        let var = |name: &str| vars.get(name).map_or("", String::as_str);
        match var("RACKSHADE_PIXELS") {
            "kitty" => return Some(Self::Kitty),
            "iterm2" => return Some(Self::Iterm),
            "sixel" => return Some(Self::Sixel),
            "" => {}
            _ => return None,
        }
        let term = var("TERM");
        if is_nested(vars) {
            // it keeps cells and would leave the picture behind
            return None;
        }
        let program = var("TERM_PROGRAM");
        if term.contains("kitty") || term.contains("ghostty") || program == "ghostty" {
            return Some(Self::Kitty);
        }
        if matches!(program, "iTerm.app" | "WezTerm" | "mintty") || var("LC_TERMINAL") == "iTerm2" {
            return Some(Self::Iterm);
        }
        let sixel = ["foot", "mlterm", "contour"];
        let konsole = var("KONSOLE_VERSION")
            .parse::<u32>()
            .is_ok_and(|v| v >= 22_04_00);
        let konsole = konsole && program.is_empty() && term == "xterm-256color";
        (konsole || sixel.iter().any(|name| term.starts_with(name))).then_some(Self::Sixel)
    }
}

/// Tells whether another program stands between this one and the terminal, a multiplexer or an editor: what the
/// terminal said of itself then tells nothing. The variables are from memory.
pub(super) fn is_nested(vars: &BTreeMap<String, String>) -> bool {
    const INSIDE: [&str; 6] = [
        "TMUX",
        "STY",
        "ZELLIJ",
        "NVIM",
        "VIM_TERMINAL",
        "INSIDE_EMACS",
    ];
    let term = vars.get("TERM").map_or("", String::as_str);
    INSIDE
        .iter()
        .any(|name| vars.get(*name).is_some_and(|v| !v.is_empty()))
        || term.starts_with("tmux")
        || term.starts_with("screen")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(vars: &[(&str, &str)]) -> Option<Pixels> {
        let vars = vars.iter().map(|&(k, v)| (k.to_owned(), v.to_owned()));
        Pixels::detect(&vars.collect())
    }

    /// What terminals call themselves is from memory.
    #[test]
    fn the_environment_tells_how_pixels_are_taken() {
        assert_eq!(found(&[("TERM", "xterm-256color")]), None);
        assert_eq!(found(&[("TERM", "xterm-kitty")]), Some(Pixels::Kitty));
        assert_eq!(found(&[("TERM_PROGRAM", "WezTerm")]), Some(Pixels::Iterm));
        assert_eq!(found(&[("TERM", "foot-extra")]), Some(Pixels::Sixel));
        let konsole = |version| [("TERM", "xterm-256color"), ("KONSOLE_VERSION", version)];
        assert_eq!(found(&konsole("230801")), Some(Pixels::Sixel));
        assert_eq!(found(&konsole("211200")), None);
        for inside in ["TMUX", "ZELLIJ", "NVIM", "INSIDE_EMACS"] {
            assert_eq!(found(&[("TERM", "foot"), (inside, "1")]), None, "{inside}");
        }
        let inside = [("TERM", "xterm-kitty"), ("TMUX", "/tmp/x")];
        assert_eq!(found(&inside), None, "tmux keeps cells alone");
        let said = [inside[0], inside[1], ("RACKSHADE_PIXELS", "kitty")];
        assert_eq!(found(&said), Some(Pixels::Kitty), "what is said counts");
        assert_eq!(
            found(&[("TERM", "foot"), ("RACKSHADE_PIXELS", "none")]),
            None
        );
    }
}
