//! The shade card on screen: digit, plain word and a patch in the colour that maps and slices have there.
//!
//! The colours go by equal steps, not by the bread's own lightness: the dark shades are told apart on a black screen.

use super::rack_raster::cells;
use crate::{
    colour::{Ramp, Rgb},
    tui::theme::{Depth, Role, Theme, ink_on},
};
use ratatui::{
    buffer::Buffer,
    layout::Rect,
    style::{Modifier, Style},
};

/// One shade of the card.
#[derive(Debug, Clone, PartialEq)]
pub struct Patch {
    /// The digit scored with, 0..9.
    pub digit: u8,
    /// The plain word.
    pub word: String,
}

/// The shade card: upright where it is given a column, flat where it is given lines.
#[derive(Debug, Clone, Copy)]
pub struct ShadeCard<'a> {
    /// The shades, lightest first.
    pub patches: &'a [Patch],
    /// The shade to point at, in half steps; `None` points at nothing.
    pub chosen: Option<u8>,
}

/// Lines the flat form takes: patches and words.
pub const FLAT_ROWS: u16 = 2;

impl ShadeCard<'_> {
    /// Draws the upright form where there are lines enough for every shade, else the flat one.
    pub fn draw(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        if area.is_empty() || self.patches.is_empty() {
            return;
        }
        if usize::from(area.height) >= self.patches.len() {
            self.upright(area, buf, theme);
        } else {
            self.flat(area, buf, theme);
        }
    }

    fn upright(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let width = usize::from(area.width);
        let swatch = (width / 3).clamp(2, 6);
        for (patch, y) in self.patches.iter().zip(area.y..) {
            let pointer = if self.points_at(patch) { "▶" } else { " " };
            buf.set_stringn(area.x, y, pointer, width, theme.style(Role::Key));
            let text = format!("{:^swatch$}", patch.digit);
            buf.set_stringn(
                area.x + 1,
                y,
                text,
                width.saturating_sub(1),
                ground(patch, theme),
            );
            let from = swatch + 2;
            if from < width {
                let style = self.word_style(patch, theme);
                buf.set_stringn(area.x + cells(from), y, &patch.word, width - from, style);
            }
        }
    }

    fn flat(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let width = usize::from(area.width);
        let each = (width / self.patches.len()).max(1);
        let words_fit = self.patches.iter().all(|p| p.word.chars().count() < each);
        for (i, patch) in self.patches.iter().enumerate() {
            let x = area.x + cells(i * each);
            let text = if self.points_at(patch) {
                format!("{:^each$}", format!(">{}<", patch.digit))
            } else {
                format!("{:^each$}", patch.digit)
            };
            buf.set_stringn(x, area.y, text, each, ground(patch, theme));
            if area.height >= FLAT_ROWS && words_fit {
                let word = format!("{:^each$}", patch.word);
                buf.set_stringn(x, area.y + 1, word, each, self.word_style(patch, theme));
            }
        }
        // Without room for every word: the one pointed at, else the two ends.
        if area.height >= FLAT_ROWS && !words_fit {
            let said = self.patches.iter().find(|p| self.points_at(p)).map_or_else(
                || self.ends(),
                |patch| format!("{}: {}", patch.digit, patch.word),
            );
            buf.set_stringn(area.x, area.y + 1, said, width, theme.style(Role::Plain));
        }
    }

    fn ends(&self) -> String {
        match self.patches {
            [first, .., last] => {
                format!(
                    "{} {} ... {} {}",
                    first.digit, first.word, last.digit, last.word
                )
            }
            [only] => format!("{} {}", only.digit, only.word),
            [] => String::new(),
        }
    }

    fn points_at(&self, patch: &Patch) -> bool {
        self.chosen
            .is_some_and(|half_steps| half_steps / 2 == patch.digit)
    }

    fn word_style(&self, patch: &Patch, theme: &Theme) -> Style {
        theme.style(if self.points_at(patch) {
            Role::Heading
        } else {
            Role::Plain
        })
    }
}

/// Returns the colour that stands for a shade of the card on every screen.
pub fn shade_colour(shade: f64) -> Rgb {
    Ramp::browning().at(shade / 9.0)
}

/// The patch's own colour as a ground, and an ink that is read on it.
fn ground(patch: &Patch, theme: &Theme) -> Style {
    let rgb = shade_colour(f64::from(patch.digit));
    match theme.depth {
        Depth::TrueColour | Depth::Indexed256 => Style::new()
            .bg(theme.colour(rgb))
            .fg(theme.colour(ink_on(rgb)))
            .add_modifier(Modifier::BOLD),
        // Sixteen colours hold no brown worth the name; digit and word must do.
        Depth::Ansi16 | Depth::NoColour => Style::new().add_modifier(Modifier::BOLD),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::widgets::synthetic::{plain, styled};
    use ratatui::style::Color;

    fn patches() -> Vec<Patch> {
        let words = [
            "untoasted",
            "warm",
            "straw",
            "pale gold",
            "golden",
            "amber",
            "brown",
            "dark brown",
            "very dark",
            "burnt",
        ];
        (0_u8..)
            .zip(words)
            .map(|(digit, word)| Patch {
                digit,
                word: word.to_owned(),
            })
            .collect()
    }

    fn drawn(width: u16, height: u16, depth: Depth) -> Buffer {
        let patches = patches();
        let mut buf = Buffer::empty(Rect::new(0, 0, width, height));
        ShadeCard {
            patches: &patches,
            chosen: Some(9),
        }
        .draw(buf.area, &mut buf, &Theme::new(depth));
        buf
    }

    #[test]
    fn both_forms_show_every_digit_and_word() {
        insta::assert_snapshot!(format!(
            "{}{}{}{}",
            plain(&drawn(20, 10, Depth::NoColour)),
            plain(&drawn(120, 2, Depth::NoColour)),
            plain(&drawn(78, 2, Depth::NoColour)),
            plain(&drawn(40, 2, Depth::NoColour)),
        ));
    }

    #[test]
    fn patches_carry_the_colours_of_maps_and_slices() {
        let buf = drawn(20, 10, Depth::TrueColour);
        for (patch, y) in patches().iter().zip(0..) {
            let Rgb(r, g, b) = shade_colour(f64::from(patch.digit));
            assert_eq!(buf[(2, y)].bg, Color::Rgb(r, g, b));
        }
        insta::assert_snapshot!(styled(&drawn(50, 2, Depth::Indexed256)));
    }
}
