//! The photo itself, cell by cell.

use super::Projection;
use crate::{
    colour::{
        Rgb,
        lab::{linear_to_lab, linear_to_srgb},
    },
    geometry::Point,
    sampling::Picture,
    tui::{
        theme::{Depth, Theme},
        widgets::rack_raster::whole,
    },
};
use ratatui::{buffer::Buffer, layout::Rect, style::Color};
use std::collections::HashMap;

/// Most pixels looked at for one half cell, along a side: more would not be seen.
const MOST_LOOKS: f64 = 4.0;
/// Density characters from dark to bright, for light writing on a dark ground.
const DENSITY: [&str; 10] = [" ", ".", ":", "-", "=", "+", "*", "#", "%", "@"];

/// Columns and rows of half a cell.
const HALF: (f64, f64) = (1.0, 0.5);

/// Draws the part of the photo in sight; cells beside the photo are left empty.
pub(super) fn draw(picture: &Picture, projection: &Projection, buf: &mut Buffer, theme: &Theme) {
    match theme.depth {
        Depth::TrueColour | Depth::Indexed256 | Depth::Ansi16 => {
            blocks(picture, projection, buf, theme);
        }
        Depth::NoColour => characters(picture, projection, buf),
    }
}

/// Draws two pixels a cell.
fn blocks(picture: &Picture, projection: &Projection, buf: &mut Buffer, theme: &Theme) {
    let mut known: HashMap<Rgb, Color> = HashMap::new();
    let mut shown = |light: [f64; 3]| {
        let rgb = linear_to_srgb(light);
        match theme.depth {
            Depth::TrueColour => theme.colour(rgb),
            // the nearest of few colours takes a search, and few colours need no fine steps
            Depth::Indexed256 | Depth::Ansi16 | Depth::NoColour => {
                let coarse = Rgb(rgb.0 & 0xf8, rgb.1 & 0xf8, rgb.2 & 0xf8);
                *known.entry(coarse).or_insert_with(|| theme.colour(coarse))
            }
        }
    };
    for position in projection.area().positions() {
        let (column, row) = offset(projection.area(), position.x, position.y);
        let upper = light_in(picture, projection, (column, row), HALF).map(&mut shown);
        let lower = light_in(picture, projection, (column, row + 0.5), HALF).map(&mut shown);
        let cell = &mut buf[position];
        cell.reset();
        if upper.is_some() || lower.is_some() {
            cell.set_symbol("\u{2580}");
            cell.fg = upper.unwrap_or(Color::Reset);
            cell.bg = lower.unwrap_or(Color::Reset);
        }
    }
}

/// Draws one character a cell, the darkest in sight empty and the brightest full.
fn characters(picture: &Picture, projection: &Projection, buf: &mut Buffer) {
    let area = projection.area();
    let levels: Vec<Option<f64>> = area
        .positions()
        .map(|p| {
            let at = offset(area, p.x, p.y);
            light_in(picture, projection, at, (1.0, 1.0)).map(|light| linear_to_lab(light).l)
        })
        .collect();
    let (low, high) = levels
        .iter()
        .flatten()
        .fold((f64::MAX, f64::MIN), |(low, high), &l| {
            (low.min(l), high.max(l))
        });
    // a picture of one shade is no noise blown up
    let range = (high - low).max(10.0);
    for (position, level) in area.positions().zip(levels) {
        let cell = &mut buf[position];
        cell.reset();
        if let Some(level) = level {
            let step = whole(((level - low) / range * 10.0).clamp(0.0, 9.0).floor());
            cell.set_symbol(DENSITY[usize::from(step)]);
        }
    }
}

fn offset(area: Rect, x: u16, y: u16) -> (f64, f64) {
    (f64::from(x - area.x), f64::from(y - area.y))
}

/// Averages the light over so many columns and rows from `at`; `None` beside the photo.
pub(super) fn light_in(
    picture: &Picture,
    projection: &Projection,
    at: (f64, f64),
    (columns, rows): (f64, f64),
) -> Option<[f64; 3]> {
    let pixels = projection.step() / picture.scale;
    let along = (pixels * columns).ceil().clamp(1.0, MOST_LOOKS);
    let down = (along * rows / columns * 2.0)
        .ceil()
        .clamp(1.0, MOST_LOOKS * 2.0);
    let (across, deep) = (whole(along), whole(down));
    let mut sum = [0.0; 3];
    let mut count = 0.0;
    for j in 0..deep {
        for i in 0..across {
            let p = projection.corner(
                at.0 + (f64::from(i) + 0.5) / f64::from(across) * columns,
                at.1 + (f64::from(j) + 0.5) / f64::from(deep) * rows,
            );
            if let Some(light) = pixel(picture, p) {
                for (s, v) in sum.iter_mut().zip(light) {
                    *s += f64::from(v);
                }
                count += 1.0;
            }
        }
    }
    (count > 0.0).then(|| sum.map(|s| s / count))
}

/// Returns the pixel nearest to a point of the photo.
fn pixel(picture: &Picture, p: Point) -> Option<[f32; 3]> {
    let here = picture.from_photo(p);
    let (x, y) = (here.x.round(), here.y.round());
    let inside =
        (0.0..picture.width as f64).contains(&x) && (0.0..picture.height as f64).contains(&y);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "inside the picture"
    )]
    let light = inside.then(|| picture.at(x as usize, y as usize));
    light
}
