//! 8-bit sRGB and CIE L*a*b* (D65, 2 degree observer).
//!
//! sRGB is IEC 61966-2-1; the table `tests/reference/srgb_lab_skimage.csv` holds the conversion to
//! 0.02 in L*, a* and b* (libraries differ in the last digits of the matrix).

use palette::{
    FromColor, Lab as PaletteLab, LinSrgb, Srgb, convert::FromColorUnclamped, white_point::D65,
};

/// A colour of the screen, 8 bits a channel, sRGB.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Rgb(pub u8, pub u8, pub u8);

/// A colour in CIE L*a*b*, white point D65, 2 degree observer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lab {
    /// Lightness L*, 0 black to 100 white.
    pub l: f64,
    /// Green (-) to red (+).
    pub a: f64,
    /// Blue (-) to yellow (+).
    pub b: f64,
}

impl Lab {
    /// Makes a colour from its three coordinates.
    pub const fn new(l: f64, a: f64, b: f64) -> Self {
        Self { l, a, b }
    }

    /// Returns the colour a share `t` (0..1) of the straight way to `other`.
    #[must_use]
    pub fn towards(self, other: Self, t: f64) -> Self {
        Self {
            l: self.l + (other.l - self.l) * t,
            a: self.a + (other.a - self.a) * t,
            b: self.b + (other.b - self.b) * t,
        }
    }

    pub(super) fn palette(self) -> PaletteLab<D65, f64> {
        PaletteLab::new(self.l, self.a, self.b)
    }
}

/// Converts a screen colour to L*a*b*.
pub fn srgb_to_lab(rgb: Rgb) -> Lab {
    let lab = PaletteLab::<D65, f64>::from_color(Srgb::new(rgb.0, rgb.1, rgb.2).into_format());
    Lab::new(lab.l, lab.a, lab.b)
}

/// Converts L*a*b* to the nearest screen colour, channel by channel; what the screen cannot show is clipped.
pub fn lab_to_srgb(lab: Lab) -> Rgb {
    let shown = Srgb::<f64>::from_color(lab.palette());
    Rgb(
        channel(shown.red),
        channel(shown.green),
        channel(shown.blue),
    )
}

/// Converts linear light in sRGB primaries (1 = white) to L*a*b*.
pub fn linear_to_lab([red, green, blue]: [f64; 3]) -> Lab {
    let lab = PaletteLab::<D65, f64>::from_color_unclamped(LinSrgb::new(red, green, blue));
    Lab::new(lab.l, lab.a, lab.b)
}

/// Converts linear light in sRGB primaries (1 = white) to the nearest screen colour, channel by channel.
pub fn linear_to_srgb([red, green, blue]: [f64; 3]) -> Rgb {
    let shown = Srgb::<f64>::from_linear(LinSrgb::new(red, green, blue));
    Rgb(
        channel(shown.red),
        channel(shown.green),
        channel(shown.blue),
    )
}

/// Converts L*a*b* to linear light in sRGB primaries (1 = white); nothing is clipped.
pub fn lab_to_linear(lab: Lab) -> [f64; 3] {
    let light = LinSrgb::<f64>::from_color_unclamped(lab.palette());
    [light.red, light.green, light.blue]
}

/// Rounds a channel of 0..1 to 8 bits, alike on every machine and in every build.
///
/// The last digits of a power differ between them, and a channel that falls on a half would follow;
/// a millionth of a step is settled first.
fn channel(share: f64) -> u8 {
    let settled = (share.clamp(0.0, 1.0) * 255.0 * 1e6).round() / 1e6;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to 0..255; NaN casts to 0"
    )]
    let rounded = settled.round() as u8;
    rounded
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn screen_colours_survive_the_way_to_lab_and_back() {
        for r in (0..=255_u8).step_by(15) {
            for g in (0..=255_u8).step_by(15) {
                for b in (0..=255_u8).step_by(15) {
                    let there = Rgb(r, g, b);
                    assert_eq!(lab_to_srgb(srgb_to_lab(there)), there);
                }
            }
        }
    }

    #[test]
    fn linear_light_and_lab_are_two_ways_to_say_one_colour() {
        for rgb in [Rgb(200, 140, 90), Rgb(20, 20, 25), Rgb(255, 255, 255)] {
            let lab = srgb_to_lab(rgb);
            let back = linear_to_lab(lab_to_linear(lab));
            // the two matrices are rounded to seven digits each
            assert!((back.l - lab.l).abs() < 1e-3 && (back.b - lab.b).abs() < 1e-3);
            assert_eq!(linear_to_srgb(lab_to_linear(lab)), rgb);
        }
        // beyond the screen's colours nothing is clipped
        let vivid = Lab::new(60.0, -90.0, 60.0);
        assert!(lab_to_linear(vivid)[0] < 0.0);
        assert!((linear_to_lab(lab_to_linear(vivid)).a + 90.0).abs() < 1e-3);
    }

    #[test]
    fn white_is_100_and_black_is_0() {
        let white = srgb_to_lab(Rgb(255, 255, 255));
        assert!((white.l - 100.0).abs() < 0.01 && white.a.abs() < 0.02 && white.b.abs() < 0.02);
        assert!(srgb_to_lab(Rgb(0, 0, 0)).l.abs() < 1e-9);
    }
}
