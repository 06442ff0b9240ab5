//! The rows of the oven form: what each one is called, means and takes.

use crate::{
    tui::widgets::form::rows,
    units::{Centimetres, LengthUnit},
};

rows! {
    /// One row of the form, in the order the cursor goes through them.
    pub(super) enum Row [label] {
        Name: "Name";
        Lengths: "Lengths in";
        Width: "Cavity width";
        Depth: "Cavity depth";
        Height: "Cavity height";
        Count: "Rack positions";
        Lowest: "Lowest one at";
        Spacing: "Spacing";
        Heights: "Rack heights";
        Heat: "Heat sources";
        Modes: "Modes";
        DialUnit: "Dial in";
        DialStep: "Dial step";
        DialLowest: "Dial from";
        DialHighest: "Dial up to";
        Make: "Make";
        Model: "Model";
        Serial: "Serial number";
        Contact: "Contact";
        Save: "Save this oven";
    }
}

/// How a row is filled in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// By typing.
    Text,
    /// By choosing one of two.
    Choice,
    /// By switching several on or off.
    Switches,
    /// By pressing Enter.
    Button,
}

impl Row {
    /// Returns what to fill in, for the line under the form.
    pub(super) fn help(self) -> &'static str {
        match self {
            Self::Name => "what you call it, like wall oven",
            Self::Lengths => "\u{2190} \u{2192} inches or centimetres",
            Self::Width => "inside, left wall to right wall",
            Self::Depth => "inside, closed door to back wall",
            Self::Height => "inside, floor to ceiling",
            Self::Count => "how many guides a rack can sit on",
            Self::Lowest => "height of the lowest guide above the floor",
            Self::Spacing => "from one guide to the next",
            Self::Heights => {
                "each guide's height above the floor, rising; change one here if they are uneven"
            }
            Self::Heat | Self::Modes => "\u{2190} \u{2192} to move, Space to switch on or off",
            Self::DialUnit => "\u{2190} \u{2192} Fahrenheit or Celsius",
            Self::DialStep => "the smallest change the dial can be set by",
            Self::DialLowest => "its lowest setting",
            Self::DialHighest => "its highest setting",
            Self::Make | Self::Model | Self::Serial => {
                "from its plate, for the technician's sheet; may stay empty"
            }
            Self::Contact => "whom to call about it; may stay empty",
            Self::Save => "Enter: save, then lay out the first toast test",
        }
    }

    pub(super) fn kind(self) -> Kind {
        match self {
            Self::Lengths | Self::DialUnit => Kind::Choice,
            Self::Heat | Self::Modes => Kind::Switches,
            Self::Save => Kind::Button,
            _ => Kind::Text,
        }
    }
}

/// Writes a figure with at most two decimals and none that say nothing.
pub(super) fn figure(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Writes rack heights as the form's row holds them: `1.5, 4, 6.5`.
pub(super) fn heights_text(heights: &[Centimetres], unit: LengthUnit) -> String {
    let figures: Vec<String> = heights.iter().map(|h| figure(unit.figure(*h))).collect();
    figures.join(", ")
}
