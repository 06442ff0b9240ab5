//! Maps, zones and plans in plain characters, for a pipe, a log or a page.
//!
//! At most 78 columns wide and, unless asked otherwise, nothing but ASCII.

mod compare;
mod lines;
pub mod photo;
mod picture;
mod plan;

pub use compare::{CompareSheet, compare_text};
pub use lines::{WIDTH, wrap, wrapped};
pub use picture::{Characters, legend_text, rack_text};
pub use plan::{load_words, plan_heading, plan_text};

use super::quantity::{Quantity, Scale};
use crate::{
    field::{Evenness, FieldMap, Range, Zone, ZoneKind},
    model::{Oven, PlaceName, Plan, ToastTest, Warning, text::joined},
    units::{CelsiusDelta, Centimetres, no_negative_zero},
};
use unicode_width::UnicodeWidthStr;

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

/// Writes every zone with its probability, size and peak, or that there is none.
pub fn zones_text(sheet: &MapSheet) -> String {
    if sheet.zones.is_empty() {
        return wrapped("No hot or cool zone that this test can show.", "", "");
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
            "rack {}, {}{kind} {place}: peak {}, {}, over {}; {} % sure",
            zone.rack,
            zone.strength.adverb(),
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
    let mut out = String::from("Evenness (in brackets: between which figures)\n");
    for e in sheet.evenness {
        let r = |v: Range| format!("{:.1} ({:.1} to {:.1})", v.value, v.lo, v.hi);
        let unit = sheet.oven.dial.unit;
        let sd_c = unit.delta_figure(CelsiusDelta(e.sd_c.value));
        let line = format!(
            "rack {}: {} shades from lightest to darkest, {} from place to place, about {sd_c:.0} {}; {:.0} % of it ({:.0} to {:.0}) within half a shade of the middle",
            e.rack,
            r(e.spread),
            r(e.sd),
            unit.letter(),
            e.within_half.value * 100.0,
            e.within_half.lo * 100.0,
            e.within_half.hi * 100.0,
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
    /// A plan made from it, with the plain name of its kind of bake and the sentences beside it.
    pub plan: Option<(&'a str, &'a Plan, &'a [String])>,
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
    if let Some((name, plan, sentences)) = tour.plan {
        out.push_str(&heading(&format!("Plan: {name}")));
        out.push_str(&plan_text(plan, sentences, oven));
    }
    out
}

/// Says what an oven is: its cavity, rack positions, heat, modes and dial.
pub fn oven_words(oven: &Oven) -> [String; 5] {
    let show = |l| oven.lengths.show(l);
    let (c, dial) = (oven.cavity, &oven.dial);
    let racks = oven.racks.iter();
    let racks = racks.map(|r| format!("{} at {}", r.number, show(r.height)));
    let [width, depth, height] = [c.width, c.depth, c.height].map(show);
    let [lowest, highest] = [dial.lowest, dial.highest].map(|t| dial.unit.show(t));
    let (step, letter) = (dial.step, dial.unit.letter());
    [
        format!("{width} wide, {depth} deep, {height} high"),
        joined(racks, ", "),
        joined(oven.heat.iter().map(|h| h.words()), ", "),
        joined(oven.modes.iter().map(|m| m.words()), ", "),
        format!("{lowest} to {highest} in steps of {step} {letter}"),
    ]
}

/// Writes what an oven is.
pub fn oven_text(oven: &Oven) -> String {
    let [cavity, racks, heat, modes, dial] = oven_words(oven);
    let lines = [
        format!("Cavity {cavity}"),
        format!("Rack positions from the bottom: {racks}"),
        format!("Heat: {heat}; modes: {modes}"),
        format!("Dial {dial}"),
    ];
    lines.map(|line| wrapped(&line, "  ", "    ")).concat()
}

fn heading(text: &str) -> String {
    format!("\n{text}\n{}\n", "-".repeat(text.width().min(WIDTH)))
}

#[cfg(test)]
mod tests;
