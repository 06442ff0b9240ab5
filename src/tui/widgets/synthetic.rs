//! Maps that follow a formula, and buffers written down as text, for tests of what is drawn.

use crate::{
    field::{RackMap, Range, Strength, Zone, ZoneKind},
    geometry::Grid,
    model::{
        Alternative, DialStep, Plan, Segment, TrayPlacement, Yardstick, shade::browning_per_shade,
    },
    units::{Celsius, Centimetres, Minutes},
};
use ratatui::{buffer::Buffer, style::Color};
use std::fmt::Write as _;

/// A cavity 60 x 45 cm on a grid of 40 x 30 whose shade at (x, y) cm is what `shade` says.
pub(crate) fn map(rack: u8, shade: impl Fn(f64, f64) -> f64, sd_shade: f64) -> RackMap {
    let grid = Grid::new(40, 30, 60.0, 45.0);
    let per = browning_per_shade();
    let mut mean = Vec::with_capacity(grid.len());
    for row in 0..grid.rows {
        for col in 0..grid.cols {
            mean.push(shade(grid.x(col), grid.y(row)) * per);
        }
    }
    // Better known in the middle than at the walls, as maps are.
    let sd = |i: usize| {
        let (col, row) = (i % grid.cols, i / grid.cols);
        let off = (grid.x(col) / grid.width - 0.5).hypot(grid.y(row) / grid.depth - 0.5);
        sd_shade * per * (0.6 + 1.2 * off)
    };
    RackMap {
        rack_mean_sd: sd_shade * per / 3.0,
        ..RackMap::tested(rack, grid, mean, (0..grid.len()).map(sd).collect())
    }
}

/// Hot at the back-left, rising from about shade 3 at the front-right to about 6.
pub(crate) fn hot_corner(rack: u8) -> RackMap {
    let shade = |x: f64, y: f64| {
        3.0 + 3.2 * (-((x - 10.0) / 22.0).powi(2) - ((y - 38.0) / 18.0).powi(2)).exp()
    };
    map(rack, shade, 0.22)
}

/// The zone of [`hot_corner`]: everything at least 4.6 shades dark.
pub(crate) fn hot_zone(map: &RackMap) -> Zone {
    let limit = 4.6 * browning_per_shade();
    let cells: Vec<(usize, usize)> = (0..map.grid.len())
        .filter(|&i| map.mean[i] >= limit)
        .map(|i| (i / map.grid.cols, i % map.grid.cols))
        .collect();
    Zone {
        rack: map.rack,
        kind: ZoneKind::Hot,
        strength: Strength::Plain,
        around: Vec::new(),
        centre: (12.0, 36.0),
        area: cells.len() as f64 * map.grid.cell_area(),
        probability: 0.98,
        peak_shade: Range::new(2.3, 1.8, 2.8),
        peak_c: Range::new(11.0, 8.0, 14.0),
        cells,
    }
}

fn placed(tray: usize, rack: u8, turned: bool, shift_x: f64) -> TrayPlacement {
    TrayPlacement {
        tray,
        rack,
        turned,
        shift_x: Centimetres(shift_x),
        shift_y: Centimetres(0.0),
    }
}

fn yardstick(spread: f64, minutes: f64) -> Yardstick {
    Yardstick {
        spread,
        spread_range: (spread * 0.7, spread * 1.4),
        sd: spread / 3.5,
        sd_range: (spread / 5.0, spread / 2.5),
        minutes: Minutes(minutes),
    }
}

/// Two trays of thin cookies, swapped and turned once late in the bake; the figures are made up.
pub(crate) fn plan() -> Plan {
    let segments = vec![
        Segment {
            from: Minutes(0.0),
            to: Minutes(9.0),
            share: 0.5,
            trays: vec![placed(1, 2, false, 0.0), placed(2, 4, false, 0.0)],
        },
        Segment {
            from: Minutes(9.0),
            to: Minutes(12.0),
            share: 0.5,
            trays: vec![placed(1, 4, true, 0.0), placed(2, 2, true, 3.0)],
        },
    ];
    Plan {
        kind: "thin-cookie".to_owned(),
        recipe: None,
        bake: Minutes(12.0),
        dial: Celsius(162.8),
        steps_to_dial: vec![
            DialStep::new("recipe, no fan".to_owned(), Celsius(176.7)),
            DialStep::new("fan: 25 F lower".to_owned(), Celsius(162.8)),
            DialStep::new("rounded to the dial's 5 F".to_owned(), Celsius(162.8)),
        ],
        evenness: yardstick(0.8, 12.0),
        unturned: yardstick(2.6, 11.0),
        halfway: yardstick(2.2, 12.0),
        alternatives: vec![
            Alternative {
                openings: 0,
                evenness: yardstick(2.6, 11.0),
                segments: segments[..1].to_vec(),
            },
            Alternative {
                openings: 1,
                evenness: yardstick(0.8, 12.0),
                segments: segments.clone(),
            },
        ],
        segments,
        tray: None,
        forecast: Vec::new(),
    }
}

/// The characters of a buffer, line by line, without trailing blanks.
pub(crate) fn plain(buf: &Buffer) -> String {
    let width = usize::from(buf.area.width);
    let mut out = String::new();
    for line in buf.content.chunks(width) {
        let text: String = line.iter().map(ratatui::buffer::Cell::symbol).collect();
        out.push_str(text.trim_end());
        out.push('\n');
    }
    out
}

/// A buffer with its styles: for each line runs of equal style, `text [foreground/background modifiers]`.
pub(crate) fn styled(buf: &Buffer) -> String {
    let width = usize::from(buf.area.width);
    let mut out = String::new();
    for line in buf.content.chunks(width) {
        let mut runs: Vec<(String, String)> = Vec::new();
        for cell in line {
            let style = format!("{}/{} {:?}", short(cell.fg), short(cell.bg), cell.modifier);
            match runs.last_mut() {
                Some((text, last)) if *last == style => text.push_str(cell.symbol()),
                Some(_) | None => runs.push((cell.symbol().to_owned(), style)),
            }
        }
        for (text, style) in runs {
            let style = style.replace(" NONE", "");
            write!(out, "{text}[{style}]").unwrap();
        }
        out.push('\n');
    }
    out
}

fn short(colour: Color) -> String {
    if let Color::Rgb(r, g, b) = colour {
        return format!("{r:02x}{g:02x}{b:02x}");
    }
    if colour == Color::Reset {
        "-".to_owned()
    } else {
        colour.to_string()
    }
}
