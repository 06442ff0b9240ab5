//! Pixels as the three ways of sending them want them.

use crate::{
    report::{PngError, rgb_png},
    tui::widgets::photo_view::Raster,
};
use base64::{Engine, engine::general_purpose::STANDARD};
use std::fmt::{Arguments, Write};

/// Our picture among those the terminal keeps; any number will do.
const ID: u32 = 7101;
/// Most characters of one message of kitty's protocol.
const MESSAGE: usize = 4096;
/// Levels of red, green and blue: 252 of the 256 colours that sixels have at most.
const LEVELS: [u8; 3] = [6, 7, 6];
/// Rows in a band of sixels.
const BAND: usize = 6;
/// Height of a picture that lies under the grounds of words too: kitty draws what is below half of the least number
/// under them, and what is between that and 0 over them and under the letters.
const UNDER: i32 = i32::MIN / 2 - 1;
/// Thresholds of an ordered dither (Bayer 1973, IEEE Int. Conf. Communications 26-11), sixteenths.
const BAYER: [[u8; 4]; 4] = [[0, 8, 2, 10], [12, 4, 14, 6], [3, 11, 1, 9], [15, 7, 13, 5]];

/// Returns a picture over `cells` (columns, rows) for kitty's graphics protocol, under the words, with no answer
/// wanted and the cursor left alone.
pub(super) fn kitty(raster: &Raster, cells: (u16, u16)) -> Result<String, PngError> {
    let data = STANDARD.encode(rgb_png(raster.size(), raster.rgb.clone())?);
    let mut out = String::with_capacity(data.len() + data.len() / 100 + 100);
    let mut rest = data.as_str();
    let mut head = format!(
        "a=T,f=100,i={ID},p=1,c={},r={},C=1,z={UNDER},q=2,",
        cells.0, cells.1
    );
    while !rest.is_empty() {
        let (now, later) = rest.split_at(rest.len().min(MESSAGE));
        let more = u8::from(!later.is_empty());
        put(&mut out, format_args!("\x1b_G{head}m={more};{now}\x1b\\"));
        "q=2,".clone_into(&mut head);
        rest = later;
    }
    Ok(out)
}

/// Returns what takes the picture away again where kitty's protocol holds.
pub(super) fn kitty_away() -> String {
    format!("\x1b_Ga=d,d=I,i={ID},q=2\x1b\\")
}

/// Returns a picture over `cells` (columns, rows) as an inline image of iTerm2.
pub(super) fn iterm(raster: &Raster, cells: (u16, u16)) -> Result<String, PngError> {
    let png = rgb_png(raster.size(), raster.rgb.clone())?;
    Ok(format!(
        "\x1b]1337;File=inline=1;size={};width={};height={};preserveAspectRatio=0:{}\x07",
        png.len(),
        cells.0,
        cells.1,
        STANDARD.encode(&png)
    ))
}

/// Returns a picture as sixels, each pixel `grain` pixels of the terminal on a side.
pub(super) fn sixel(raster: &Raster, grain: usize) -> String {
    let (width, height) = (raster.width * grain, raster.height * grain);
    // a band that is not full would reach into the row below
    let height = height - height % BAND;
    let mut out = format!("\x1bP0;1;0q\"1;1;{width};{height}");
    for code in 0..252_u16 {
        let [r, g, b] = levels_of(code).map(u16::from);
        let share = |level: u16, of: u8| level * 100 / u16::from(of - 1);
        let (r, g, b) = (
            share(r, LEVELS[0]),
            share(g, LEVELS[1]),
            share(b, LEVELS[2]),
        );
        put(&mut out, format_args!("#{code};2;{r};{g};{b}"));
    }
    let codes: Vec<u8> = (0..raster.width * raster.height)
        .map(|i| code_of(raster, i % raster.width, i / raster.width))
        .collect();
    // for each colour the sixels of one band
    let mut bands: Vec<Vec<u8>> = vec![Vec::new(); 252];
    for top in (0..height).step_by(BAND) {
        for band in &mut bands {
            band.clear();
        }
        for x in 0..raster.width {
            for dy in 0..BAND {
                let code = codes[(top + dy) / grain * raster.width + x];
                let band = &mut bands[usize::from(code)];
                if band.is_empty() {
                    band.resize(raster.width, 0);
                }
                band[x] |= 1 << dy;
            }
        }
        let mut first = true;
        for (code, band) in bands
            .iter()
            .enumerate()
            .filter(|(_, band)| !band.is_empty())
        {
            // back to the left edge for every further colour
            out += if first { "" } else { "$" };
            first = false;
            put(&mut out, format_args!("#{code}"));
            runs(band, grain, &mut out);
        }
        out.push('-');
    }
    out + "\x1b\\"
}

/// Adds to what is sent; writing into a `String` cannot fail.
fn put(out: &mut String, what: Arguments<'_>) {
    out.write_fmt(what).unwrap_or_default();
}

/// Writes a band of one colour, equal sixels as a count.
fn runs(band: &[u8], grain: usize, out: &mut String) {
    let mut rest = band;
    while let Some(&bits) = rest.first() {
        let same = rest.iter().take_while(|&&b| b == bits).count();
        rest = &rest[same..];
        if bits == 0 && rest.is_empty() {
            return;
        }
        let sixel = char::from(63 + bits);
        match same * grain {
            1 => out.push(sixel),
            n => put(out, format_args!("!{n}{sixel}")),
        }
    }
}

/// Returns the levels of red, green and blue of a colour.
fn levels_of(code: u16) -> [u8; 3] {
    let [_, g, b] = LEVELS.map(u16::from);
    [code / (g * b), code / b % g, code % b].map(|level| u8::try_from(level).unwrap_or(0))
}

/// Returns the colour of a pixel, between two levels the one the dither tells.
fn code_of(raster: &Raster, x: usize, y: usize) -> u8 {
    let at = 3 * (y * raster.width + x);
    let threshold = u16::from(BAYER[y % 4][x % 4]) * 2 + 1;
    let mut code = 0_u16;
    for (value, levels) in raster.rgb[at..at + 3].iter().zip(LEVELS) {
        // in steps of 1/32 of a level
        let steps = u16::from(levels - 1);
        let level = (u16::from(*value) * steps * 32 / 255 + threshold) / 32;
        code = code * u16::from(levels) + level.min(steps);
    }
    u8::try_from(code).unwrap_or(0)
}
