//! How many colours the terminal has, and what the screens' own roles look like in them.
//!
//! Nothing here reads the environment: it is read once elsewhere and handed in.

use super::graphics::Pixels;
use crate::colour::{Lab, Rgb, srgb_to_lab};
use ratatui::style::{Color, Modifier, Style};
use std::{collections::BTreeMap, sync::LazyLock};
use termprofile::{DetectorSettings, IsTerminal, TermProfile, TermVars};

/// How many colours can be shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Depth {
    /// Any 8-bit colour.
    TrueColour,
    /// The 256 indexed colours.
    Indexed256,
    /// The 16 colours, whose exact look is the terminal's choice.
    Ansi16,
    /// No colour at all: only bold, underlined and reversed.
    NoColour,
}

/// What a stretch of text is for; the theme decides how that looks at its depth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Role {
    /// Ordinary text.
    Plain,
    /// Text that may be overlooked: axes, hints.
    Quiet,
    /// Headings and names.
    Heading,
    /// A key to press.
    Key,
    /// What the cursor is on.
    Chosen,
    /// All is well.
    Good,
    /// Worth a look.
    Caution,
    /// Something is wrong.
    Wrong,
    /// Hotter than the mean.
    Hot,
    /// Cooler than the mean.
    Cool,
}

/// Colours of the screens at one [`Depth`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Theme {
    /// How many colours can be shown.
    pub depth: Depth,
    /// Only the characters of ASCII can be shown: an old console, or a locale that is not UTF-8.
    pub plain: bool,
    /// How photos are shown as pixels; in half blocks when `None`.
    pub pixels: Option<Pixels>,
}

impl Default for Theme {
    /// Starts from no colour, which every terminal can show.
    fn default() -> Self {
        Self::new(Depth::NoColour)
    }
}

impl Theme {
    /// Makes the theme of a depth.
    pub const fn new(depth: Depth) -> Self {
        Self {
            depth,
            plain: false,
            pixels: None,
        }
    }

    /// Tells the depth from environment variables and whether the output is a terminal.
    ///
    /// A `NO_COLOR` that is not empty wins over everything (no-color.org).
    pub fn detect(vars: &BTreeMap<String, String>, is_terminal: bool) -> Self {
        let plain = has_plain_characters(vars);
        let depth = match Self::depth_of(vars, is_terminal).depth {
            // Two readings in a cell take a half block, which such a terminal lacks.
            Depth::TrueColour | Depth::Indexed256 if plain => Depth::Ansi16,
            other => other,
        };
        let coloured = is_terminal && depth != Depth::NoColour && !plain;
        Self {
            depth,
            plain,
            pixels: coloured.then(|| Pixels::detect(vars)).flatten(),
        }
    }

    fn depth_of(vars: &BTreeMap<String, String>, is_terminal: bool) -> Self {
        if vars.get("NO_COLOR").is_some_and(|v| !v.is_empty()) {
            return Self::new(Depth::NoColour);
        }
        // Asking tmux would start a process; its variables must do.
        let settings = DetectorSettings::new().enable_tmux_info(false);
        let found = TermVars::from_source(vars, &Attached(is_terminal), settings);
        // A multiplexer passes 24-bit colours on, or brings them down to what its own terminal has.
        let promised = vars
            .get("COLORTERM")
            .is_some_and(|v| matches!(v.as_str(), "truecolor" | "24bit"));
        Self::new(match TermProfile::detect_with_vars(found) {
            TermProfile::TrueColor => Depth::TrueColour,
            TermProfile::Ansi256 | TermProfile::Ansi16 if promised => Depth::TrueColour,
            TermProfile::Ansi256 => Depth::Indexed256,
            TermProfile::Ansi16 => Depth::Ansi16,
            TermProfile::NoColor | TermProfile::NoTty => Depth::NoColour,
        })
    }

    /// Tells whether shades can be shown as colours (true colour or 256).
    pub fn is_shaded(&self) -> bool {
        match self.depth {
            Depth::TrueColour | Depth::Indexed256 => true,
            Depth::Ansi16 | Depth::NoColour => false,
        }
    }

    /// Returns the nearest colour this depth can show; the terminal's own with no colour.
    pub fn colour(&self, rgb: Rgb) -> Color {
        match self.depth {
            Depth::TrueColour => Color::Rgb(rgb.0, rgb.1, rgb.2),
            Depth::Indexed256 => Color::Indexed(nearest(rgb, &INDEXED)),
            Depth::Ansi16 => Color::Indexed(nearest(rgb, &BASIC)),
            Depth::NoColour => Color::Reset,
        }
    }

    /// Returns the style of a role.
    pub fn style(&self, role: Role) -> Style {
        let plain = Style::new();
        let coloured = |rgb: Rgb, basic: Color, modifier: Modifier| match self.depth {
            Depth::TrueColour | Depth::Indexed256 => {
                plain.fg(self.colour(rgb)).add_modifier(modifier)
            }
            Depth::Ansi16 => plain.fg(basic).add_modifier(modifier),
            Depth::NoColour => plain.add_modifier(modifier),
        };
        match role {
            Role::Plain => plain,
            Role::Quiet => match self.depth {
                Depth::NoColour => plain,
                Depth::TrueColour | Depth::Indexed256 | Depth::Ansi16 => {
                    coloured(Rgb(138, 138, 138), Color::DarkGray, Modifier::empty())
                }
            },
            Role::Heading => coloured(Rgb(232, 190, 120), Color::Yellow, Modifier::BOLD),
            Role::Key => coloured(Rgb(120, 200, 220), Color::Cyan, Modifier::BOLD),
            Role::Chosen => plain.add_modifier(Modifier::REVERSED | Modifier::BOLD),
            Role::Good => coloured(Rgb(120, 200, 160), Color::Green, Modifier::empty()),
            Role::Caution => coloured(Rgb(240, 200, 80), Color::Yellow, Modifier::BOLD),
            Role::Wrong => coloured(Rgb(240, 110, 90), Color::LightRed, Modifier::BOLD),
            Role::Hot => coloured(Rgb(240, 150, 90), Color::LightRed, Modifier::BOLD),
            Role::Cool => coloured(Rgb(120, 175, 245), Color::LightBlue, Modifier::BOLD),
        }
    }
}

/// Tells whether the terminal has but the characters of ASCII, as its type or the locale says.
fn has_plain_characters(vars: &BTreeMap<String, String>) -> bool {
    const OLD: [&str; 6] = ["linux", "vt", "dumb", "ansi", "cons", "screen.linux"];
    let old = |term: &String| OLD.iter().any(|old| term.starts_with(old));
    if vars.get("TERM").is_some_and(old) {
        return true;
    }
    // The first of these that is set names the characters (POSIX.1-2017, 8.2).
    let locale = ["LC_ALL", "LC_CTYPE", "LANG"]
        .iter()
        .find_map(|name| vars.get(*name).filter(|v| !v.is_empty()));
    locale.is_some_and(|l| !l.to_uppercase().replace('-', "").contains("UTF8"))
}

/// Returns what stands for a character where only those of ASCII can be shown; letters of names stay.
pub fn ascii_for(c: char) -> char {
    match c {
        c if c.is_ascii() || c.is_alphabetic() => c,
        '═' => '=',
        '─' | '━' | '╌' | '┄' => '-',
        '│' | '┃' | '╎' | '┊' => '|',
        '▸' | '▶' | '→' | '↗' | '\u{203a}' => '>',
        '◀' | '←' | '↙' | '\u{2039}' => '<',
        '↑' | '▲' | '△' | '↖' => '^',
        '↓' | '▼' | '↘' => 'v',
        '…' | '·' => '.',
        '●' | '•' | '○' | '◆' => 'o',
        '█' | '▀' | '▄' | '▌' | '▐' => '#',
        '▁' => '_',
        '╱' => '/',
        '╲' => '\\',
        '½' | '\u{2500}'..='\u{257f}' => '+',
        '\u{2800}'..='\u{28ff}' => '*',
        _ => '?',
    }
}

/// Whether the output is a terminal, as told by the caller.
struct Attached(bool);

impl IsTerminal for Attached {
    fn is_terminal(&self) -> bool {
        self.0
    }
}

/// Returns black or white, whichever is read better on a ground of `ground`.
pub fn ink_on(ground: Rgb) -> Rgb {
    // Rec. 709 luma on the coded values: good enough to choose between two inks.
    let luma =
        0.2126 * f64::from(ground.0) + 0.7152 * f64::from(ground.1) + 0.0722 * f64::from(ground.2);
    if luma > 125.0 {
        Rgb(20, 16, 12)
    } else {
        Rgb(250, 246, 240)
    }
}

/// Colours 16 to 255 of the indexed 256: a 6 x 6 x 6 cube and 24 greys.
static INDEXED: LazyLock<Vec<(u8, Lab)>> = LazyLock::new(|| {
    const LEVELS: [u8; 6] = [0, 95, 135, 175, 215, 255];
    let cube = (0..216_u8).map(|i| {
        let level = |v: u8| LEVELS[usize::from(v % 6)];
        (16 + i, Rgb(level(i / 36), level(i / 6), level(i)))
    });
    let greys = (0..24_u8).map(|i| (232 + i, Rgb(8 + 10 * i, 8 + 10 * i, 8 + 10 * i)));
    cube.chain(greys)
        .map(|(i, rgb)| (i, srgb_to_lab(rgb)))
        .collect()
});

/// The 16 basic colours with their customary values (xterm's defaults, from memory).
static BASIC: LazyLock<Vec<(u8, Lab)>> = LazyLock::new(|| {
    const VALUES: [Rgb; 16] = [
        Rgb(0, 0, 0),
        Rgb(205, 0, 0),
        Rgb(0, 205, 0),
        Rgb(205, 205, 0),
        Rgb(0, 0, 238),
        Rgb(205, 0, 205),
        Rgb(0, 205, 205),
        Rgb(229, 229, 229),
        Rgb(127, 127, 127),
        Rgb(255, 0, 0),
        Rgb(0, 255, 0),
        Rgb(255, 255, 0),
        Rgb(92, 92, 255),
        Rgb(255, 0, 255),
        Rgb(0, 255, 255),
        Rgb(255, 255, 255),
    ];
    (0..)
        .zip(VALUES)
        .map(|(i, rgb)| (i, srgb_to_lab(rgb)))
        .collect()
});

/// How much more a difference of hue weighs than one of lightness or chroma.
const OTHER_HUE: f64 = 4.0;

fn nearest(rgb: Rgb, among: &[(u8, Lab)]) -> u8 {
    let lab = srgb_to_lab(rgb);
    let chroma = lab.a.hypot(lab.b);
    let distance = |c: &Lab| {
        let all = (c.a - lab.a).powi(2) + (c.b - lab.b).powi(2);
        let duller = (c.a.hypot(c.b) - chroma).powi(2);
        // Another hue is worse than a duller or a brighter one: brown must not turn pink.
        (c.l - lab.l).powi(2) + duller + OTHER_HUE * (all - duller)
    };
    among
        .iter()
        .min_by(|one, other| distance(&one.1).total_cmp(&distance(&other.1)))
        .map_or(0, |c| c.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::Ramp;

    fn depth(vars: &[(&str, &str)], is_terminal: bool) -> Depth {
        let vars = vars
            .iter()
            .map(|&(k, v)| (k.to_owned(), v.to_owned()))
            .collect();
        Theme::detect(&vars, is_terminal).depth
    }

    #[test]
    fn the_depth_follows_the_environment_handed_in() {
        let modern = [("TERM", "xterm-256color"), ("COLORTERM", "truecolor")];
        assert_eq!(depth(&modern, true), Depth::TrueColour);
        assert_eq!(depth(&modern[..1], true), Depth::Indexed256);
        assert_eq!(depth(&[("TERM", "linux")], true), Depth::Ansi16);
        assert_eq!(depth(&[("TERM", "dumb")], true), Depth::NoColour);
        assert_eq!(depth(&modern, false), Depth::NoColour);
        let inside = [
            ("TERM", "tmux-256color"),
            ("TMUX", "x"),
            ("COLORTERM", "truecolor"),
        ];
        assert_eq!(depth(&inside, true), Depth::TrueColour);
        assert_eq!(depth(&inside[..2], true), Depth::Indexed256);
    }

    #[test]
    fn no_color_wins_whatever_it_says_unless_it_is_empty() {
        let with = |value| {
            let vars = [("TERM", "xterm-256color"), ("NO_COLOR", value)];
            depth(&vars, true)
        };
        assert_eq!(with("1"), Depth::NoColour);
        assert_eq!(with("0"), Depth::NoColour);
        assert_eq!(with(""), Depth::Indexed256);
    }

    /// CIEDE2000 of 5 and more is "two colours at a glance" (from memory, common practice).
    #[test]
    fn the_dark_shades_are_told_apart_and_no_brown_turns_pink() {
        let ramp = Ramp::browning();
        let at = |shade: u8| ramp.at(f64::from(shade) / 9.0);
        for shade in 0..9 {
            let (one, next) = (srgb_to_lab(at(shade)), srgb_to_lab(at(shade + 1)));
            let apart = crate::colour::ciede2000(one, next);
            assert!(apart >= 5.0, "shades {shade} and the next: {apart:.1}");
        }
        let theme = Theme::new(Depth::Indexed256);
        for &rgb in ramp.table() {
            let Color::Indexed(i) = theme.colour(rgb) else {
                panic!("{rgb:?}")
            };
            let lab = INDEXED.iter().find(|c| c.0 == i).unwrap().1;
            // Pink: reddish without being yellowish.
            assert!(lab.a < 8.0 || lab.b > lab.a, "{rgb:?} becomes {i}: {lab:?}");
        }
    }

    #[test]
    fn old_consoles_and_locales_get_ascii() {
        let plain = |vars: &[(&str, &str)]| {
            let vars = vars.iter().map(|&(k, v)| (k.to_owned(), v.to_owned()));
            Theme::detect(&vars.collect(), true).plain
        };
        assert!(plain(&[("TERM", "linux")]));
        assert!(plain(&[
            ("TERM", "xterm"),
            ("LC_ALL", "C"),
            ("LANG", "en_US.UTF-8")
        ]));
        assert!(!plain(&[("TERM", "xterm"), ("LANG", "en_US.utf8")]));
        assert!(!plain(&[("TERM", "xterm-256color")]));
        for c in "─│┌┐└┘═╘╛╭╮╰╯┏━╋▸½…▼△●█⠉ abcü".chars()
        {
            let kept = ascii_for(c);
            assert!(kept.is_ascii() || kept.is_alphabetic(), "{c}");
            assert!(kept != '?', "{c}");
        }
    }

    #[test]
    fn indexed_colours_are_the_nearest_there_are() {
        let theme = Theme::new(Depth::Indexed256);
        assert_eq!(theme.colour(Rgb(255, 255, 255)), Color::Indexed(231));
        assert_eq!(theme.colour(Rgb(8, 8, 8)), Color::Indexed(232));
        assert_eq!(theme.colour(Rgb(95, 135, 175)), Color::Indexed(67));
        assert_eq!(Theme::default().colour(Rgb(1, 2, 3)), Color::Reset);
    }
}
