//! The front of the door card: read from two steps away, so nothing on it is under 12 points.
//!
//! Each rack position is one map: bare paper where it bakes like the rest, tinted and ruled, dotted or hatched where
//! not, with HOT and COOL written in. Without colour the words say it all.

use super::{
    document::{Front, MapFigure, Maps, PageSize},
    figure,
    font::{Fonts, Weight},
    page::{Anchor, Frame, INK, Item, PAPER, Page, QUIET, Words},
};
use crate::{
    colour::Rgb,
    field::{Evidence, Strength, Zone},
    report::quantity::Scale,
};

/// Millimetres in a point of print.
pub(super) const POINT: f64 = 25.4 / 72.0;
/// The smallest letters of the front, points.
const LEAST: f64 = 12.0;
/// The oven's name, points: as large as fits its line.
const NAME: [f64; 4] = [44.0, 38.0, 32.0, 24.0];
/// What to set, points.
const SET: f64 = 30.0;
/// What to do, points: as large as fits under the maps.
const TO_DO: [f64; 7] = [22.0, 20.0, 18.0, 16.0, 15.0, 14.0, 13.0];
/// HOT and COOL, points.
const ZONE: f64 = 28.0;
/// Names of the racks, points.
const RACK: f64 = 17.0;
/// Space around what is printed, mm.
const MARGIN: f64 = 13.0;
/// Space between two maps, mm.
const GAP: f64 = 8.0;
/// From one base line to the next, as a share of the letter size.
const LEADING: f64 = 1.3;
/// Zones named on one map at most, the plainest and largest first.
const MOST_ZONES: usize = 3;
/// Lines of what to do at most, unless the letters would be the smallest.
const MOST_LINES: f64 = 6.0;
/// A map is never smaller than this, mm across.
const LEAST_MAP: f64 = 42.0;

/// Lays the front on one page.
pub(super) fn page(front: &Front, size: PageSize, fonts: &Fonts) -> Page {
    let (width, height) = size.millimetres();
    let ground = Frame::new(0.0, 0.0, width, height);
    let mut sheet = Sheet {
        fonts,
        width,
        items: vec![Item::Fill(ground, PAPER)],
    };
    let top = sheet.head(front);
    let foot = height - MARGIN;
    sheet.line(
        &front.tested,
        (MARGIN, foot),
        14.0,
        (Weight::Regular, QUIET),
    );
    let bottom = foot - 14.0 * POINT - 3.0;
    let (lines, points) = sheet.broken(&front.to_do, bottom - top, &front.maps);
    let text = lines.len() as f64 * points * POINT * LEADING;
    sheet.maps(&front.maps, top, bottom - text - 5.0);
    let mut y = bottom - text;
    for line in lines {
        y += points * POINT * LEADING;
        sheet.line(&line, (MARGIN, y), points, (Weight::Bold, INK));
    }
    Page {
        width,
        height,
        items: sheet.items,
    }
}

/// Draws one rack's map with its name above, `width` across; returns where it ends.
pub(super) fn rack(
    items: &mut Vec<Item>,
    drawn: &MapFigure,
    scale: &Scale,
    fonts: &Fonts,
    (x, y, width): (f64, f64, f64),
) -> f64 {
    let base = y + RACK * POINT;
    let evidence = match drawn.map.evidence {
        Evidence::Tested => "",
        Evidence::Interpolated => " (not tested)",
    };
    let title = format!("{}{evidence}", drawn.title);
    let points = fitting(fonts, &title, width * 0.8, RACK);
    items.push(words(title, (x, base), points, Weight::Bold).into());
    let back = words("back", (x + width, base), LEAST, Weight::Regular);
    items.push(back.anchored(Anchor::End).into());
    let map = &drawn.map;
    let field = Frame {
        x,
        y: base + 1.8,
        width,
        height: width * map.grid.depth / map.grid.width,
    };
    figure::tinted(items, drawn, scale, field);
    named(items, drawn, fonts, field);
    items.push(Item::Outline(field, 0.5, INK));
    let door = Frame {
        y: field.y + field.height,
        height: 2.0,
        ..field
    };
    items.push(Item::Fill(door, INK));
    let under = door.y + door.height + LEAST * POINT;
    let below = words("door", (x + width / 2.0, under), LEAST, Weight::Regular);
    items.push(below.anchored(Anchor::Middle).into());
    under + 1.2
}

/// Returns how high [`rack`] draws a map that is `width` across.
pub(super) fn rack_height(drawn: &MapFigure, width: f64) -> f64 {
    let grid = &drawn.map.grid;
    RACK * POINT + 1.8 + width * grid.depth / grid.width + 2.0 + LEAST * POINT + 1.2
}

/// Writes HOT and COOL into a map, or that it is even.
fn named(items: &mut Vec<Item>, drawn: &MapFigure, fonts: &Fonts, field: Frame) {
    let map = &drawn.map;
    let zones = drawn.zones.iter().filter(|z| z.rack == map.rack);
    let zones: Vec<&Zone> = zones.take(MOST_ZONES).collect();
    let fit = |text: &str, points: f64, y: f64| {
        let at = (field.x + field.width / 2.0, y);
        let points = fitting(fonts, text, field.width * 0.9, points);
        rimmed(text, at, points, Weight::Regular)
    };
    if zones.is_empty() {
        let said = if drawn.even {
            "looks even"
        } else {
            "can't tell yet"
        };
        let middle = field.y + field.height / 2.0;
        items.push(fit(said, ZONE * 0.8, middle + ZONE * 0.8 * POINT * 0.35));
        return;
    }
    let mut taken: Vec<Frame> = Vec::new();
    for zone in zones {
        let label = Label::of(zone, fonts, field);
        let place = (
            zone.centre.0 / map.grid.width,
            1.0 - zone.centre.1 / map.grid.depth,
        );
        if let Some(frame) = label.place(place, field, &taken) {
            label.write(items, frame);
            taken.push(frame);
        }
    }
}

/// A zone's name as it is written into a map.
struct Label {
    /// The word, and a word of doubt above it.
    word: &'static str,
    doubt: Option<&'static str>,
    points: f64,
    width: f64,
    height: f64,
}

impl Label {
    fn of(zone: &Zone, fonts: &Fonts, field: Frame) -> Self {
        let word = zone.kind.word();
        let doubt = match zone.strength {
            Strength::Plain => None,
            Strength::Probable => Some("probably"),
        };
        let points = fitting(fonts, word, field.width * 0.45, ZONE);
        let of_doubt = doubt.map_or(0.0, |d| fonts.width(d, Weight::Regular, LEAST * POINT));
        Self {
            word,
            doubt,
            points,
            width: fonts
                .width(word, Weight::Bold, points * POINT)
                .max(of_doubt),
            height: points * POINT * 0.8 + doubt.map_or(0.0, |_| LEAST * POINT * 1.2),
        }
    }

    /// Returns where it stands: at its zone, wholly inside the map, and clear of the others.
    fn place(&self, at: (f64, f64), field: Frame, taken: &[Frame]) -> Option<Frame> {
        let pad = 2.0;
        let (w, h) = (self.width, self.height);
        let inside = |v: f64, low: f64, high: f64| v.clamp(low, high.max(low));
        let x = inside(
            field.x + at.0 * field.width - w / 2.0,
            field.x + pad,
            field.x + field.width - w - pad,
        );
        let wanted = inside(
            field.y + at.1 * field.height - h / 2.0,
            field.y + pad,
            field.y + field.height - h - pad,
        );
        let clear = |frame: &Frame| {
            taken.iter().all(|t| {
                frame.x + w + pad <= t.x
                    || t.x + t.width + pad <= frame.x
                    || frame.y + h + pad <= t.y
                    || t.y + t.height + pad <= frame.y
            })
        };
        // Tried ever farther up and down, by a quarter of its height.
        (0..40)
            .flat_map(|i| [f64::from(i), -f64::from(i)])
            .map(|i| wanted + i * h / 4.0)
            .filter(|y| *y >= field.y + pad && *y + h + pad <= field.y + field.height + 0.01)
            .map(|y| Frame::new(x, y, w, h))
            .find(clear)
    }

    fn write(&self, items: &mut Vec<Item>, frame: Frame) {
        let middle = frame.x + frame.width / 2.0;
        let base = frame.y + frame.height;
        if let Some(doubt) = self.doubt {
            let y = frame.y + LEAST * POINT * 0.85;
            items.push(rimmed(doubt, (middle, y), LEAST, Weight::Regular));
        }
        let at = (middle, base);
        items.push(rimmed(self.word, at, self.points, Weight::Bold));
    }
}

/// The front being drawn.
struct Sheet<'f> {
    fonts: &'f Fonts,
    width: f64,
    items: Vec<Item>,
}

impl Sheet<'_> {
    fn inner(&self) -> f64 {
        self.width - 2.0 * MARGIN
    }

    fn line(&mut self, text: &str, at: (f64, f64), points: f64, (weight, ink): (Weight, Rgb)) {
        let text = self.fonts.printable(text);
        let points = fitting(self.fonts, &text, self.inner(), points);
        let line = words(text, at, points, weight);
        self.items.push(line.inked(ink).into());
    }

    /// Writes the name, how it heats, and what to set; returns where it ends.
    fn head(&mut self, front: &Front) -> f64 {
        let name = self.fonts.printable(&front.name);
        let set_width = |f: &Fonts, text: &str| f.width(text, Weight::Bold, SET * POINT) + 6.0;
        let beside = front.set.as_ref().map_or(0.0, |s| set_width(self.fonts, s));
        let room = self.inner();
        let wide = |f: &Fonts, p: f64| f.width(&name, Weight::Bold, p * POINT);
        // Beside what is to be set if it then is large enough, else above it.
        let one_line = NAME
            .into_iter()
            .take(3)
            .find(|p| wide(self.fonts, *p) + beside <= room);
        let points = one_line
            .or_else(|| NAME.into_iter().find(|p| wide(self.fonts, *p) <= room))
            .unwrap_or(NAME[NAME.len() - 1]);
        let mut y = MARGIN;
        for text in self.fonts.wrap(&name, Weight::Bold, points * POINT, room) {
            y += points * POINT * 0.95;
            self.items
                .push(words(text, (MARGIN, y), points, Weight::Bold).into());
        }
        if let Some(set) = &front.set {
            if one_line.is_some() {
                let at = (self.width - MARGIN, y);
                let set = words(set, at, SET, Weight::Bold);
                self.items.push(set.anchored(Anchor::End).into());
            } else {
                y += SET * POINT * LEADING;
                self.line(set, (MARGIN, y), SET, (Weight::Bold, INK));
            }
        }
        y += 16.0 * POINT * 1.5;
        self.line(&front.mode, (MARGIN, y), 16.0, (Weight::Regular, INK));
        y + 4.0
    }

    /// Breaks what to do into lines as large as leave the maps room.
    fn broken(&self, to_do: &[String], room: f64, maps: &Maps) -> (Vec<String>, f64) {
        let rows = maps.figures.len().div_ceil(2);
        let for_maps = rows as f64 * (LEAST_MAP + 4.0 * LEAST * POINT);
        let lines = |points: f64| -> Vec<String> {
            to_do
                .iter()
                .flat_map(|text| {
                    self.fonts
                        .wrap(text, Weight::Bold, points * POINT, self.inner())
                })
                .collect()
        };
        let fits = |points: &f64| {
            let all = lines(*points).len() as f64;
            all <= MOST_LINES && all * points * POINT * LEADING + 5.0 + for_maps <= room
        };
        let points = TO_DO.into_iter().find(fits);
        let points = points.unwrap_or(TO_DO[TO_DO.len() - 1]);
        (lines(points), points)
    }

    /// Draws the maps as large as fits between `top` and `bottom`, the highest rack first, as in the oven.
    fn maps(&mut self, maps: &Maps, top: f64, bottom: f64) {
        let racks: Vec<&MapFigure> = maps.figures.iter().rev().collect();
        let Some(first) = racks.first() else {
            return;
        };
        // As many columns as make the maps largest. Height grows with width in a straight line.
        let fixed = rack_height(first, 0.0);
        let aspect = first.map.grid.width / first.map.grid.depth;
        let width_in = |cols: usize| {
            let rows = racks.len().div_ceil(cols) as f64;
            let across = (self.inner() - GAP * (cols as f64 - 1.0)) / cols as f64;
            let room = (bottom - top) / rows - 2.0;
            ((room - fixed) * aspect).min(across)
        };
        let sizes = (1..=racks.len().min(3)).map(|cols| (cols, width_in(cols)));
        let Some((cols, width)) = sizes.max_by(|a, b| a.1.total_cmp(&b.1)) else {
            return;
        };
        let row_width = cols as f64 * width + (cols as f64 - 1.0) * GAP;
        let left = MARGIN + (self.inner() - row_width) / 2.0;
        for (i, drawn) in racks.iter().enumerate() {
            let (row, col) = (i / cols, i % cols);
            let x = left + col as f64 * (width + GAP);
            let y = top + row as f64 * (rack_height(first, width) + 2.0);
            rack(
                &mut self.items,
                drawn,
                &maps.scale,
                self.fonts,
                (x, y, width),
            );
        }
    }
}

/// Returns the letter size at which a line fits a width: `points`, or smaller, but never under the least.
fn fitting(fonts: &Fonts, text: &str, width: f64, points: f64) -> f64 {
    let at_one = fonts.width(text, Weight::Bold, POINT).max(1e-6);
    (width / at_one).clamp(LEAST.min(points), points)
}

fn words(text: impl Into<String>, at: (f64, f64), points: f64, weight: Weight) -> Words {
    Words::new(text, at, points * POINT, weight)
}

fn rimmed(text: &str, at: (f64, f64), points: f64, weight: Weight) -> Item {
    let words = words(text, at, points, weight);
    words.anchored(Anchor::Middle).rimmed().into()
}
