//! Which part of a photo is in sight, and where its pixels lie among the terminal's cells.

use crate::{geometry::Point, tui::widgets::rack_raster::whole};
use ratatui::layout::{Position, Rect};

/// How far one can go in: a slice of a 12-megapixel photo then fills a small terminal.
const MOST_ZOOM: f64 = 24.0;

/// Which part of a photo is in sight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// What lies in the middle, pixels of the photo; kept inside it when shown.
    centre: Point,
    /// 1 shows the whole photo, 2 half of it each way.
    zoom: f64,
}

impl Window {
    /// Shows a whole photo of `size` (width, height), pixels.
    pub fn whole(size: (f64, f64)) -> Self {
        Self {
            centre: Point::new(size.0 / 2.0, size.1 / 2.0),
            zoom: 1.0,
        }
    }

    /// Goes in (`factor` above 1) or out, with `about` in the middle afterwards.
    #[must_use]
    pub fn zoomed(self, factor: f64, about: Point) -> Self {
        Self {
            centre: about,
            zoom: (self.zoom * factor).clamp(1.0, MOST_ZOOM),
        }
    }

    /// Returns how much larger than the whole photo in sight it is shown; 1 is whole.
    pub fn zoom(self) -> f64 {
        self.zoom
    }

    /// Brings `p` into the middle at the same size.
    #[must_use]
    pub fn about(self, p: Point) -> Self {
        Self { centre: p, ..self }
    }
}

/// How a photo lies in an area of the terminal; a row is taken as twice as high as a column is wide.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Projection {
    area: Rect,
    /// Photo pixel at the left edge of the area.
    left: f64,
    /// Photo pixel at its upper edge.
    top: f64,
    /// Photo pixels for a column.
    step: f64,
}

impl Projection {
    /// Lays a photo of `size` (width, height; pixels) into `area`, as `window` says.
    pub fn new(area: Rect, size: (f64, f64), window: Window) -> Self {
        let (columns, halves) = (
            f64::from(area.width.max(1)),
            f64::from(area.height.max(1)) * 2.0,
        );
        let step = (size.0 / columns).max(size.1 / halves) / window.zoom;
        // pixel centres have whole coordinates, so the photo begins half a pixel before 0
        let begin = |centre: f64, whole: f64, sight: f64| {
            let free = whole - sight;
            let at = if free <= 0.0 {
                free / 2.0
            } else {
                (centre + 0.5 - sight / 2.0).clamp(0.0, free)
            };
            at - 0.5
        };
        Self {
            area,
            left: begin(window.centre.x, size.0, columns * step),
            top: begin(window.centre.y, size.1, halves * step),
            step,
        }
    }

    /// Returns the cells the photo is laid into.
    pub fn area(&self) -> Rect {
        self.area
    }

    /// Returns how many photo pixels a column is wide; a row is twice that high.
    pub fn step(&self) -> f64 {
        self.step
    }

    /// Returns the photo pixel in the middle of a cell.
    pub fn photo_at(&self, cell: Position) -> Point {
        self.corner(
            f64::from(cell.x) - f64::from(self.area.x) + 0.5,
            f64::from(cell.y) - f64::from(self.area.y) + 0.5,
        )
    }

    /// Returns the photo pixel at `columns` and `rows` from the area's upper left corner.
    pub(super) fn corner(&self, columns: f64, rows: f64) -> Point {
        Point::new(
            self.left + columns * self.step,
            self.top + rows * 2.0 * self.step,
        )
    }

    /// Returns how far a photo pixel lies from the area's upper left corner, in columns and rows.
    pub(super) fn offset(&self, p: Point) -> (f64, f64) {
        (
            (p.x - self.left) / self.step,
            (p.y - self.top) / (2.0 * self.step),
        )
    }

    /// Returns the cell a photo pixel lies in; `None` when it is out of sight.
    pub fn cell_of(&self, p: Point) -> Option<Position> {
        let (columns, rows) = self.offset(p);
        let inside = (0.0..f64::from(self.area.width)).contains(&columns)
            && (0.0..f64::from(self.area.height)).contains(&rows);
        let [right, down] = [columns, rows].map(|n| whole(n.floor()));
        inside.then(|| Position::new(self.area.x + right, self.area.y + down))
    }
}
