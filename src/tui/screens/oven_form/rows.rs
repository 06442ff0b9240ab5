//! The rows of the oven form: what each one is called, means and takes.

use crate::{
    tui::widgets::form::rows,
    units::{Centimetres, LengthUnit},
};

rows! {
    /// One row of the form, in the order the cursor goes through them; `help` is the line under the form.
    pub(super) enum Row [label, help] {
        Name: "Name", "what you call it, like wall oven";
        Lengths: "Lengths in", "\u{2190} \u{2192} inches or centimetres";
        Width: "Cavity width", "inside, left wall to right wall";
        Depth: "Cavity depth", "inside, closed door to back wall";
        Height: "Cavity height", "inside, floor to ceiling";
        Count: "Rack positions", "how many guides a rack can sit on";
        Lowest: "Lowest one at", "height of the lowest guide above the floor";
        Spacing: "Spacing", "from one guide to the next";
        Heights: "Rack heights", "each guide's height above the floor, rising; change one here if they are uneven";
        Heat: "Heat sources", "\u{2190} \u{2192} to move, Space to switch on or off";
        Modes: "Modes", "\u{2190} \u{2192} to move, Space to switch on or off";
        DialUnit: "Dial in", "\u{2190} \u{2192} Fahrenheit or Celsius";
        DialStep: "Dial step", "the smallest change the dial can be set by";
        DialLowest: "Dial from", "its lowest setting";
        DialHighest: "Dial up to", "its highest setting";
        Make: "Make", "from its plate, for the technician's sheet; may stay empty";
        Model: "Model", "from its plate, for the technician's sheet; may stay empty";
        Serial: "Serial number", "from its plate, for the technician's sheet; may stay empty";
        Contact: "Contact", "whom to call about it; may stay empty";
        Save: "Save this oven", "Enter: save, then lay out the first toast test";
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
