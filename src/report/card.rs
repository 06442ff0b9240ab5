//! The shade card as text, with a patch of the true colour where the terminal shows colours.

use super::png::{PngError, shade_card_png};
use crate::{
    colour::lab::{Lab, Rgb, lab_to_srgb},
    model::Shade,
};
use std::fmt::Write as _;

/// One shade of the card.
#[derive(Debug, Clone, PartialEq)]
pub struct CardEntry<'w> {
    /// The shade.
    pub shade: Shade,
    /// Plain words.
    pub words: &'w str,
    /// L*, a*, b*.
    pub lab: (f64, f64, f64),
    /// The nearest sRGB, 0 to 255.
    pub srgb: (u8, u8, u8),
}

impl<'w> CardEntry<'w> {
    /// Takes a shade with its colour.
    pub fn new(shade: Shade, words: &'w str, lab: (f64, f64, f64)) -> Self {
        let (l, a, b) = lab;
        let Rgb(red, green, blue) = lab_to_srgb(Lab { l, a, b });
        Self {
            shade,
            words,
            lab,
            srgb: (red, green, blue),
        }
    }
}

/// Pixels on a side of one patch of the drawn card: 2 cm in print at 200 dots an inch.
const PATCH: u32 = 160;

/// Draws the card as a PNG picture for print.
///
/// # Errors
/// [`PngError`] when there is no shade.
pub fn card_png(entries: &[CardEntry<'_>]) -> Result<Vec<u8>, PngError> {
    let patches: Vec<(u8, Lab)> = (0..)
        .zip(entries)
        .map(|(digit, entry)| {
            let (l, a, b) = entry.lab;
            (digit, Lab { l, a, b })
        })
        .collect();
    shade_card_png(&patches, PATCH)
}

/// Writes the card, one shade a line; `colours` puts a patch in 24-bit colour before each.
pub fn card_text(entries: &[CardEntry<'_>], colours: bool) -> String {
    let mut out = String::from("shade  words          L*    colour\n");
    for entry in entries {
        let (r, g, b) = entry.srgb;
        let patch = if colours {
            format!("\u{1b}[48;2;{r};{g};{b}m      \u{1b}[0m ")
        } else {
            String::new()
        };
        // Writing to a string cannot fail.
        let _infallible = writeln!(
            out,
            "{:>5}  {:<13} {:>4.1}  {patch}#{r:02x}{g:02x}{b:02x}",
            entry.shade.to_string(),
            entry.words,
            entry.lab.0
        );
    }
    out.push_str("Half steps lie between two shades; below 1 and from 8 up a score only bounds the browning.\n");
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colours_are_only_written_where_they_are_wanted() {
        let gold = CardEntry::new(Shade::whole(3).unwrap(), "gold", (56.1, 11.6, 29.6));
        let plain = card_text(std::slice::from_ref(&gold), false);
        assert!(
            plain.contains("    3  gold") && plain.contains("56.1"),
            "{plain}"
        );
        assert!(!plain.contains('\u{1b}'));
        assert!(card_text(&[gold], true).contains("\u{1b}[48;2;"));
    }
}
