//! A ramp prepared for one colour depth: full strength, weak, lines on it, and ink to write on it.

use crate::{
    colour::{Lab, Ramp, Rgb, lab_to_srgb, srgb_to_lab},
    report::Quantity,
    tui::theme::{Depth, Theme, ink_on},
};
use ratatui::style::Color;
use std::sync::LazyLock;

/// The colours of a ramp's 256 entries in their four uses.
#[derive(Debug)]
pub(super) struct Brush {
    /// Full strength.
    pub(super) strong: Vec<Color>,
    /// For doubtful places: most of the colour taken out, and nearer to middle grey.
    pub(super) weak: Vec<Color>,
    /// For lines that cross the shading without shouting.
    pub(super) line: Vec<Color>,
    /// For text on the shading.
    pub(super) ink: Vec<Color>,
}

/// Share of the colour left in doubtful places.
const WEAK_CHROMA: f64 = 0.25;
/// How far doubtful places move towards middle grey, 0..1.
const WEAK_LIGHTNESS: f64 = 0.35;
/// Lightness between a line and its ground, L*.
const LINE_CONTRAST: f64 = 30.0;

impl Brush {
    fn new(ramp: &Ramp, depth: Depth) -> Self {
        let theme = Theme::new(depth);
        let each = |change: fn(Rgb) -> Rgb| -> Vec<Color> {
            ramp.table()
                .iter()
                .map(|&c| theme.colour(change(c)))
                .collect()
        };
        Self {
            strong: each(|c| c),
            weak: each(weakened),
            line: each(lined),
            ink: each(ink_on),
        }
    }

    /// Returns the brush of a quantity at a theme's depth; each is made once.
    pub(super) fn of(quantity: Quantity, theme: &Theme) -> &'static Self {
        static BRUSHES: LazyLock<[[Brush; 2]; 2]> = LazyLock::new(|| {
            [Ramp::browning(), Ramp::hot_cool()].map(|ramp| {
                [Depth::TrueColour, Depth::Indexed256].map(|depth| Brush::new(ramp, depth))
            })
        });
        let ramp = match quantity {
            Quantity::Shade => 0,
            Quantity::Degrees { .. } => 1,
        };
        let depth = match theme.depth {
            Depth::TrueColour => 0,
            // Without shades to show the brush is not used; the smaller palette does no harm.
            Depth::Indexed256 | Depth::Ansi16 | Depth::NoColour => 1,
        };
        &BRUSHES[ramp][depth]
    }
}

fn weakened(rgb: Rgb) -> Rgb {
    let lab = srgb_to_lab(rgb);
    lab_to_srgb(Lab::new(
        lab.l + (55.0 - lab.l) * WEAK_LIGHTNESS,
        lab.a * WEAK_CHROMA,
        lab.b * WEAK_CHROMA,
    ))
}

fn lined(rgb: Rgb) -> Rgb {
    let lab = srgb_to_lab(rgb);
    let l = if lab.l > 50.0 {
        lab.l - LINE_CONTRAST
    } else {
        lab.l + LINE_CONTRAST
    };
    lab_to_srgb(Lab::new(l, lab.a, lab.b))
}
