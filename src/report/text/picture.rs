//! A rack's map in plain characters, with its legend.

use super::lines::centred;
use crate::{
    field::{Evidence, RackMap},
    geometry::{Grid, Resampler},
    numeric::whole,
    report::quantity::{Quantity, Scale},
    units::no_negative_zero,
};

/// Columns of a rack's picture, walls not included.
const COLS: usize = 60;
/// Characters from light to dense, ASCII.
const DENSITY: [char; 10] = [' ', '.', ':', '-', '=', '+', '*', '#', '%', '@'];
/// Characters from light to dense where more than ASCII may be used.
const BLOCKS: [char; 5] = [' ', '░', '▒', '▓', '█'];

/// Which characters may be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Characters {
    /// ASCII only.
    #[default]
    Ascii,
    /// Any character a terminal shows in one column.
    Unicode,
}

/// Writes one rack's picture: density characters with figures between, doubtful ones in brackets.
pub fn rack_text(map: &RackMap, scale: &Scale, characters: Characters) -> String {
    let evidence = match map.evidence {
        Evidence::Tested => "tested",
        Evidence::Interpolated => "interpolated between tested racks",
    };
    let title = format!(" rack {} ({evidence}) ", map.rack);
    let mut out = picture(map, scale, characters, (COLS, &title)).join("\n");
    out.push('\n');
    out
}

/// Draws one rack's picture `cols` columns wide inside its walls, line by line.
pub(super) fn picture(
    map: &RackMap,
    scale: &Scale,
    characters: Characters,
    (cols, title): (usize, &str),
) -> Vec<String> {
    let rows = rows_for(&map.grid, cols);
    let read = Resampler::centres(&map.grid, cols, rows);
    let (mean, sd, contrast_sd) = (
        read.read(&map.mean),
        read.read(&map.sd),
        read.read(&map.contrast_sd),
    );
    let quantity = scale.quantity;
    let value = |i: usize| quantity.value(mean[i], map.rack_mean);
    let doubtful = |i: usize| quantity.is_doubtful(mean[i] - map.rack_mean, contrast_sd[i], sd[i]);
    let pitch = 10;
    let mut out = vec![format!(
        "+{}+",
        centred(&format!("{title}-- back "), cols, '-')
    )];
    for row in 0..rows {
        let mut line: Vec<char> = (row * cols..(row + 1) * cols)
            .map(|i| density(scale, value(i), characters))
            .collect();
        let first = if row % 4 == 1 { pitch / 2 } else { pitch };
        for col in (first..cols - 1).step_by(pitch) {
            if row % 2 == 0 {
                continue;
            }
            let i = row * cols + col;
            let figure = match quantity {
                Quantity::Shade => format!("{:.1}", no_negative_zero(value(i), 1)),
                Quantity::Degrees { .. } => quantity.mark(value(i)),
            };
            let figure = if doubtful(i) {
                format!("({figure})")
            } else {
                format!(" {figure} ")
            };
            // At the right wall it moves in, whole.
            let from = (col + 1).saturating_sub(figure.len() / 2);
            let from = from.min(cols.saturating_sub(figure.len()));
            for (k, c) in figure.chars().enumerate() {
                if let Some(cell) = line.get_mut(from + k) {
                    *cell = c;
                }
            }
        }
        out.push(format!("|{}|", line.into_iter().collect::<String>()));
    }
    out.push(format!("+{}+", centred(" door ", cols, '=')));
    out
}

/// Returns the lines of a rack's picture; a character is about twice as high as wide.
fn rows_for(grid: &Grid, cols: usize) -> usize {
    let rows = (cols as f64 * grid.depth / grid.width / 2.0)
        .round()
        .clamp(7.0, 30.0);
    // An odd count, so that the last line with figures has one below it.
    whole::floor(rows) | 1
}

fn density(scale: &Scale, value: f64, characters: Characters) -> char {
    let of: &[char] = match characters {
        Characters::Ascii => &DENSITY,
        Characters::Unicode => &BLOCKS,
    };
    let i = whole::floor(scale.share(value) * of.len() as f64);
    of[i.min(of.len() - 1)]
}

/// Writes what the characters of the pictures stand for.
pub fn legend_text(scale: &Scale, characters: Characters) -> String {
    let n = 40;
    let bar: String = (0..n)
        .map(|i| {
            let share = (f64::from(i) + 0.5) / f64::from(n);
            density(scale, scale.lo + share * (scale.hi - scale.lo), characters)
        })
        .collect();
    let quantity = scale.quantity;
    let (low, high) = (quantity.show(scale.lo), quantity.show(scale.hi));
    let what = match quantity {
        Quantity::Shade => "",
        Quantity::Degrees { .. } => "; degrees are against the rack's own mean",
    };
    let note = format!("(figures in brackets are doubtful{what})");
    format!("{low} [{bar}] {high}\n{note}\n")
}
