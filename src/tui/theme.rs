//! Colours and emphasis for every depth of colour a terminal may have, down to none.

use ratatui::style::{Color, Modifier, Style};

/// How many colours the terminal shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Depth {
    /// 24 bits.
    TrueColour,
    /// The 256 indexed colours.
    Indexed256,
    /// The 16 named colours.
    Ansi16,
    /// None: `NO_COLOR` is set or the terminal has none.
    NoColour,
}

impl Depth {
    /// Finds the depth from the environment alone; the terminal is asked nothing, so nothing blocks.
    pub fn detect() -> Self {
        use termprofile::{DetectorSettings, TermProfile};
        match TermProfile::detect(&std::io::stdout(), DetectorSettings::new()) {
            TermProfile::TrueColor => Self::TrueColour,
            TermProfile::Ansi256 => Self::Indexed256,
            TermProfile::Ansi16 => Self::Ansi16,
            TermProfile::NoColor | TermProfile::NoTty => Self::NoColour,
        }
    }
}

/// How things are drawn: calm text, few colours, emphasis that survives without any.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Theme {
    /// Colours the terminal shows.
    pub depth: Depth,
}

impl Theme {
    /// Style of the program's name.
    pub fn title(&self) -> Style {
        Style::new().add_modifier(Modifier::REVERSED | Modifier::BOLD)
    }

    /// Style of headings and big signs.
    pub fn strong(&self) -> Style {
        Style::new().add_modifier(Modifier::BOLD)
    }

    /// Style of what may be overlooked.
    pub fn quiet(&self) -> Style {
        Style::new().add_modifier(Modifier::DIM)
    }

    /// Style of the line that says what to do next.
    pub fn guide(&self) -> Style {
        self.tinted(Color::Yellow).add_modifier(Modifier::BOLD)
    }

    /// Style of keys in hints.
    pub fn key(&self) -> Style {
        self.tinted(Color::Cyan).add_modifier(Modifier::BOLD)
    }

    /// Style of the row or field that has the cursor.
    pub fn chosen(&self) -> Style {
        Style::new().add_modifier(Modifier::REVERSED)
    }

    /// Style of good news.
    pub fn good(&self) -> Style {
        self.tinted(Color::Green)
    }

    /// Style of what is wrong.
    pub fn wrong(&self) -> Style {
        match self.depth {
            Depth::NoColour => Style::new().add_modifier(Modifier::REVERSED),
            Depth::TrueColour | Depth::Indexed256 | Depth::Ansi16 => {
                Style::new().fg(Color::White).bg(Color::Red)
            }
        }
    }

    fn tinted(&self, colour: Color) -> Style {
        match self.depth {
            Depth::NoColour => Style::new(),
            Depth::TrueColour | Depth::Indexed256 | Depth::Ansi16 => Style::new().fg(colour),
        }
    }
}
