//! The shade card on screen: digit, plain word and a patch in the colour that maps and slices have there.
//!
//! The colours go by equal steps, not by the bread's own lightness: the dark shades are told apart on a black screen.

use super::rack_raster::cells;
use crate::{
    colour::{Ramp, Rgb},
    model::Shade,
    tui::theme::{Depth, Role, Theme, ink_on},
    workflow::catalogue::CardShade,
};
use ratatui::{
    buffer::Buffer,
    layout::Rect,
    style::{Modifier, Style},
};

/// The shade card, one shade a line.
#[derive(Debug, Clone, Copy)]
pub struct ShadeCard<'a> {
    /// The shades, lightest first.
    pub shades: &'a [CardShade],
    /// The shade to point at; `None` points at nothing.
    pub chosen: Option<Shade>,
}

impl ShadeCard<'_> {
    /// Draws the card into the first lines of `area`.
    pub fn draw(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let width = usize::from(area.width);
        let swatch = (width / 3).clamp(2, 6);
        for (card, y) in self.shades.iter().zip(area.y..area.bottom()) {
            let digit = card.shade.half_steps() / 2;
            let chosen = self.chosen.is_some_and(|s| s.half_steps() / 2 == digit);
            let (pointer, role) = if chosen {
                ("▶", Role::Heading)
            } else {
                (" ", Role::Plain)
            };
            buf.set_stringn(area.x, y, pointer, width, theme.style(Role::Key));
            let text = format!("{digit:^swatch$}");
            let room = width.saturating_sub(1);
            buf.set_stringn(area.x + 1, y, text, room, ground(digit, theme));
            let from = swatch + 2;
            if from < width {
                let style = theme.style(role);
                buf.set_stringn(area.x + cells(from), y, &card.words, width - from, style);
            }
        }
    }
}

/// Returns the colour that stands for a shade of the card on every screen.
pub fn shade_colour(shade: f64) -> Rgb {
    Ramp::browning().at(shade / 9.0)
}

/// The shade's own colour as a ground, and an ink that is read on it.
fn ground(digit: u8, theme: &Theme) -> Style {
    let rgb = shade_colour(f64::from(digit));
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
    use crate::{
        tui::widgets::synthetic::{plain, styled},
        workflow::catalogue::shade_card,
    };
    use ratatui::style::Color;

    fn drawn(depth: Depth) -> Buffer {
        let mut buf = Buffer::empty(Rect::new(0, 0, 20, 10));
        ShadeCard {
            shades: shade_card(),
            chosen: Shade::from_half_steps(9).ok(),
        }
        .draw(buf.area, &mut buf, &Theme::new(depth));
        buf
    }

    #[test]
    fn every_shade_has_its_digit_and_word() {
        insta::assert_snapshot!(plain(&drawn(Depth::NoColour)));
    }

    #[test]
    fn patches_carry_the_colours_of_maps_and_slices() {
        let buf = drawn(Depth::TrueColour);
        for (digit, y) in (0_u8..10).zip(0..) {
            let Rgb(r, g, b) = shade_colour(f64::from(digit));
            assert_eq!(buf[(2, y)].bg, Color::Rgb(r, g, b));
        }
        insta::assert_snapshot!(styled(&drawn(Depth::Indexed256)));
    }
}
