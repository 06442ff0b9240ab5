//! Maps, zones and plans in plain characters, for a pipe, a log or a page.
//!
//! At most 78 columns wide and, unless asked otherwise, nothing but ASCII.

mod compare;
pub mod photo;
mod plan;

pub use compare::{CompareSheet, compare_text};
pub use plan::{plan_heading, plan_text};

use super::quantity::{Quantity, Scale};
use crate::{
    field::{Evenness, Evidence, FieldMap, RackMap, Range, Zone, ZoneKind},
    geometry::{Grid, Resampler},
    model::{Oven, PlaceName, Plan, ToastTest, Warning},
    units::{CelsiusDelta, Centimetres, no_negative_zero},
};
use unicode_width::UnicodeWidthStr;

/// The widest line, columns.
pub const WIDTH: usize = 78;
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

/// What a map's text is made from.
#[derive(Debug, Clone, Copy)]
pub struct MapSheet<'a> {
    /// The oven; its dial and lengths decide the units.
    pub oven: &'a Oven,
    /// The map.
    pub map: &'a FieldMap,
    /// Zones of all racks.
    pub zones: &'a [Zone],
    /// Evenness of each rack.
    pub evenness: &'a [Evenness],
    /// Plain sentences.
    pub findings: &'a [String],
    /// Remarks beside the map.
    pub warnings: &'a [Warning],
    /// What the pictures show.
    pub quantity: Quantity,
    /// Which characters may be used.
    pub characters: Characters,
}

/// Writes every rack's picture with its legend, then zones, evenness, findings and warnings.
pub fn map_text(sheet: &MapSheet) -> String {
    let mut out = String::new();
    let scale = Scale::over(sheet.quantity, &sheet.map.racks);
    for rack in &sheet.map.racks {
        out.push_str(&rack_text(rack, &scale, sheet.characters));
        out.push('\n');
    }
    out.push_str(&legend_text(&scale, sheet.characters));
    out.push('\n');
    out.push_str(&zones_text(sheet));
    out.push_str(&evenness_text(sheet));
    for finding in sheet.findings {
        out.push_str(&wrapped(finding, "* ", "  "));
    }
    for warning in sheet.warnings {
        out.push_str(&wrapped(&warning.to_string(), "! ", "  "));
    }
    out
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
fn picture(
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
            let from = (col + 1).saturating_sub(figure.len() / 2);
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
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to 7..30"
    )]
    let rows = rows as usize;
    // An odd count, so that the last line with figures has one below it.
    rows | 1
}

fn density(scale: &Scale, value: f64, characters: Characters) -> char {
    let of: &[char] = match characters {
        Characters::Ascii => &DENSITY,
        Characters::Unicode => &BLOCKS,
    };
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "share is clamped to 0..1; NaN casts to 0"
    )]
    let i = (scale.share(value) * of.len() as f64) as usize;
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

/// Writes every zone with its probability, size and peak, or that there is none.
pub fn zones_text(sheet: &MapSheet) -> String {
    if sheet.zones.is_empty() {
        return wrapped(
            "No hot or cool zone can be told apart from slice-to-slice noise.",
            "",
            "",
        );
    }
    let mut out = String::from("Zones\n");
    for zone in sheet.zones {
        let cavity = sheet.oven.cavity;
        let (x, y) = zone.centre;
        let place = PlaceName::of(x, y, cavity.width.0, cavity.depth.0).words();
        let kind = match zone.kind {
            ZoneKind::Hot => "hot",
            ZoneKind::Cool => "cool",
        };
        let line = format!(
            "rack {}, {kind} {place}: peak {}, {}, over {}; {} % sure",
            zone.rack,
            degrees(zone.peak_c, sheet.oven),
            shades(zone.peak_shade),
            area(zone.area, sheet.oven),
            sure(zone.probability),
        );
        out.push_str(&wrapped(&line, "  ", "    "));
    }
    out
}

/// Writes a probability in per cent; nothing estimated is ever certain.
fn sure(probability: f64) -> String {
    let percent = probability * 100.0;
    if percent > 99.0 {
        ">99".to_owned()
    } else {
        format!("{percent:.0}")
    }
}

fn area(cm2: f64, oven: &Oven) -> String {
    // A length's figure twice: square centimetres to the square of the oven's unit.
    let figure = |length| oven.lengths.figure(Centimetres(length));
    let area = figure(figure(cm2.max(0.0)));
    let decimals = usize::from(area < 10.0);
    format!("about {area:.decimals$} sq {}", oven.lengths.name())
}

/// Writes a signed range of degrees on the oven's scale: `+14 F (+9 to +19)`.
pub fn degrees(range: Range, oven: &Oven) -> String {
    let unit = oven.dial.unit;
    let bare = |c: f64| {
        format!(
            "{:+.0}",
            no_negative_zero(unit.delta_figure(CelsiusDelta(c)), 0)
        )
    };
    format!(
        "{} {} ({} to {})",
        bare(range.value),
        unit.letter(),
        bare(range.lo),
        bare(range.hi)
    )
}

fn shades(range: Range) -> String {
    format!(
        "{:+.1} shades ({:+.1} to {:+.1})",
        range.value, range.lo, range.hi
    )
}

/// Writes each rack's evenness, one line a rack.
pub fn evenness_text(sheet: &MapSheet) -> String {
    if sheet.evenness.is_empty() {
        return String::new();
    }
    let mut out = String::from("Evenness (90 % intervals)\n");
    for e in sheet.evenness {
        let r = |v: Range| format!("{:.1} ({:.1} to {:.1})", v.value, v.lo, v.hi);
        let unit = sheet.oven.dial.unit;
        let sd_c = unit.delta_figure(CelsiusDelta(e.sd_c.value));
        let line = format!(
            "rack {}: darkest minus lightest {} shades, standard deviation {} shades, about {sd_c:.0} {}; {:.0} % of it within half a shade of its mean",
            e.rack,
            r(e.spread),
            r(e.sd),
            unit.letter(),
            e.within_half.value * 100.0,
        );
        out.push_str(&wrapped(&line, "  ", "    "));
    }
    out
}

/// What the printed tour shows, in this order.
#[derive(Debug, Clone, Copy)]
pub struct Tour<'a> {
    /// The map and its oven.
    pub sheet: MapSheet<'a>,
    /// The tests it rests on.
    pub tests: &'a [&'a ToastTest],
    /// A plan made from it, with the plain name of its kind of bake.
    pub plan: Option<(&'a str, &'a Plan)>,
}

/// Writes a readable round: the oven, its toast tests, a map per rack, zones and the plan.
pub fn tour(tour: &Tour) -> String {
    let oven = tour.sheet.oven;
    let mut out = heading(&oven.name);
    out.push_str(&oven_text(oven));
    out.push_str(&heading("Toast tests"));
    for test in tour.tests {
        let line = format!(
            "{}: {}, dial at {}, {} of {} slices scored, {}",
            test.when.date(),
            test.setup.mode.words(),
            oven.dial.unit.show(test.setup.dial),
            test.scored(),
            test.slices.len(),
            test.bread.loaf,
        );
        out.push_str(&wrapped(&line, "  ", "    "));
    }
    out.push_str(&heading("Map"));
    out.push_str(&map_text(&tour.sheet));
    if let Some((name, plan)) = tour.plan {
        out.push_str(&heading(&format!("Plan: {name}")));
        out.push_str(&plan_text(plan, oven));
    }
    out
}

/// Writes what an oven is: sizes, rack positions, heat, modes, dial.
pub fn oven_text(oven: &Oven) -> String {
    let show = |l| oven.lengths.show(l);
    let racks: Vec<String> = oven
        .racks
        .iter()
        .map(|r| format!("{} at {}", r.number, show(r.height)))
        .collect();
    let heat: Vec<&str> = oven.heat.iter().map(|h| h.words()).collect();
    let modes: Vec<&str> = oven.modes.iter().map(|m| m.words()).collect();
    let c = oven.cavity;
    let mut out = String::new();
    for line in [
        format!(
            "Cavity {} wide, {} deep, {} high",
            show(c.width),
            show(c.depth),
            show(c.height)
        ),
        format!("Rack positions from the bottom: {}", racks.join(", ")),
        format!("Heat: {}; modes: {}", heat.join(", "), modes.join(", ")),
        format!(
            "Dial {} to {} in steps of {} {}",
            oven.dial.unit.show(oven.dial.lowest),
            oven.dial.unit.show(oven.dial.highest),
            oven.dial.step,
            oven.dial.unit.letter()
        ),
    ] {
        out.push_str(&wrapped(&line, "  ", "    "));
    }
    out
}

fn heading(text: &str) -> String {
    format!("\n{text}\n{}\n", "-".repeat(text.width().min(WIDTH)))
}

fn centred(text: &str, width: usize, fill: char) -> String {
    let spare = width.saturating_sub(text.width());
    let before = spare / 2;
    let fill = |n: usize| fill.to_string().repeat(n);
    format!("{}{text}{}", fill(before), fill(spare - before))
}

/// Breaks a sentence into lines of at most [`WIDTH`] columns, the first led by `first`, the others by `rest`.
pub fn wrapped(text: &str, first: &str, rest: &str) -> String {
    let mut out = wrap(text, WIDTH, first, rest).join("\n");
    out.push('\n');
    out
}

/// Breaks a sentence into lines of at most `width` columns; only a single word may be longer.
pub fn wrap(text: &str, width: usize, first: &str, rest: &str) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::from(first);
    let mut fresh = true;
    for word in text.split_whitespace() {
        if !fresh && line.width() + 1 + word.width() > width {
            lines.push(std::mem::replace(&mut line, String::from(rest)));
            fresh = true;
        }
        if !fresh {
            line.push(' ');
        }
        line.push_str(word);
        fresh = false;
    }
    lines.push(line);
    lines
}

#[cfg(test)]
mod tests;
