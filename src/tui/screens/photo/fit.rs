//! The lattice over the photo: its corners, counts and the side of the back wall, and what is in sight.

use super::way::Way;
use crate::{
    geometry::{Homography, Point},
    model::ToastTest,
    sampling::{Picture, Side, request::MOST_CELLS},
    tui::widgets::{
        photo_view::{Lattice, Projection, Window, size_of},
        rack_raster::whole,
    },
};

/// How much nearer one key goes.
const NEARER: f64 = 1.5;
/// Cells around a corner that the mouse takes hold of it in.
const REACH: (f64, f64) = (4.0, 2.0);

/// Where the lattice lies and how it is looked at.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Fit {
    pub(super) rows: usize,
    pub(super) cols: usize,
    /// Pixels of the photo: back-left, back-right, front-right, front-left.
    pub(super) corners: [Point; 4],
    /// The corners were set by hand, so nothing is looked for.
    pub(super) by_hand: bool,
    /// Where the back wall is in the picture.
    pub(super) back: Side,
    /// The corner in hand.
    pub(super) corner: usize,
    /// The mouse holds it.
    pub(super) held: bool,
    pub(super) window: Window,
}

impl Fit {
    /// Starts with corners a little inside the picture.
    pub(super) fn new(picture: &Picture, (rows, cols): (usize, usize), back: Side) -> Self {
        let (w, h) = size_of(picture);
        let at = |x: f64, y: f64| Point::new(x * w, y * h);
        let mut corners = [
            at(0.15, 0.15),
            at(0.85, 0.15),
            at(0.85, 0.85),
            at(0.15, 0.85),
        ];
        corners.rotate_left(quarters(back));
        Self {
            rows,
            cols,
            corners,
            by_hand: false,
            back,
            corner: 0,
            held: false,
            window: Window::whole((w, h)),
        }
    }

    pub(super) fn lattice(&self) -> Lattice {
        Lattice {
            corners: self.corners,
            rows: self.rows,
            cols: self.cols,
        }
    }

    /// Names the next side of the picture as the back wall; the corners change names, not places.
    pub(super) fn turn(&mut self) {
        self.back = next_side(self.back);
        self.corners.rotate_left(1);
    }

    pub(super) fn next_corner(&mut self, by: i8) {
        self.corner = (self.corner + if by > 0 { 1 } else { 3 }) % 4;
        if self.window.zoom() > 1.0 {
            self.window = self.window.about(self.corners[self.corner]);
        }
    }

    pub(super) fn change_counts(&mut self, rows: i8, cols: i8) {
        let step = |n: usize, by: i8| {
            n.saturating_add_signed(isize::from(by))
                .clamp(1, MOST_CELLS)
        };
        self.rows = step(self.rows, rows);
        self.cols = step(self.cols, cols);
    }

    /// Moves the corner in hand by steps of one column.
    pub(super) fn nudge(&mut self, way: Way, steps: f64, projection: &Projection) {
        let by = steps * projection.step();
        let (dx, dy) = way.direction();
        let here = self.corners[self.corner];
        self.put(Point::new(here.x + dx * by, here.y + dy * by));
        if projection.cell_of(self.corners[self.corner]).is_none() {
            self.window = self.window.about(self.corners[self.corner]);
        }
    }

    /// Puts the corner in hand at `p`, or as near as the rim around the photo allows.
    pub(super) fn put(&mut self, p: Point) {
        self.corners[self.corner] = p;
        self.by_hand = true;
    }

    /// Takes hold of the corner nearest to a cell, where one is near.
    pub(super) fn grasp(&mut self, p: Point, projection: &Projection) {
        let off = |c: &Point| {
            let (dx, dy) = (
                (c.x - p.x) / projection.step(),
                (c.y - p.y) / projection.step() / 2.0,
            );
            (dx / REACH.0).hypot(dy / REACH.1)
        };
        let nearest =
            (0..4).min_by(|&a, &b| off(&self.corners[a]).total_cmp(&off(&self.corners[b])));
        if let Some(i) = nearest.filter(|&i| off(&self.corners[i]) <= 1.0) {
            self.corner = i;
            self.held = true;
        }
    }

    pub(super) fn zoom(&mut self, by: i8, about: Point) {
        let factor = if by > 0 { NEARER } else { 1.0 / NEARER };
        self.window = self.window.zoomed(factor, about);
    }

    /// Brings the whole photo into sight.
    pub(super) fn zoom_out(&mut self) {
        self.window = self.window.zoomed(0.0, self.corners[self.corner]);
    }

    /// Returns where the middle of a place lies, pixels of the photo.
    pub(super) fn place(&self, row: usize, col: usize) -> Option<Point> {
        let map = Homography::of_unit_square(&self.corners).ok()?;
        let share = |i: usize, n: usize| (i as f64 + 0.5) / n.max(1) as f64;
        Some(map.map(Point::new(share(col, self.cols), share(row, self.rows))))
    }

    /// Returns the row and column a point of the photo lies in.
    pub(super) fn place_at(&self, p: Point) -> Option<(usize, usize)> {
        let map = Homography::of_unit_square(&self.corners).ok()?;
        let unit = map.unmap(p);
        let inside = (0.0..1.0).contains(&unit.x) && (0.0..1.0).contains(&unit.y);
        let nth = |share: f64, of: usize| usize::from(whole((share * of as f64).floor()));
        inside.then(|| (nth(unit.y, self.rows), nth(unit.x, self.cols)))
    }
}

/// Returns by how many corners the names go on from those of a back wall at the top.
fn quarters(back: Side) -> usize {
    match back {
        Side::Top => 0,
        Side::Right => 1,
        Side::Bottom => 2,
        Side::Left => 3,
    }
}

/// Returns the next side, clockwise.
fn next_side(back: Side) -> Side {
    match back {
        Side::Top => Side::Right,
        Side::Right => Side::Bottom,
        Side::Bottom => Side::Left,
        Side::Left => Side::Top,
    }
}

/// Returns the word for a side of the picture.
pub(super) fn side_word(back: Side) -> &'static str {
    match back {
        Side::Top => "top",
        Side::Right => "right",
        Side::Bottom => "bottom",
        Side::Left => "left",
    }
}

/// Returns rows and columns of the slices a test has on a rack position, as the scores are taken by.
pub(super) fn counts_of(test: &ToastTest, rack: u8) -> (usize, usize) {
    let here: Vec<usize> = (0..test.slices.len())
        .filter(|&i| test.slices[i].rack == rack)
        .collect();
    let rows = test.rows_of(&here);
    let longest = rows.iter().map(Vec::len).max().unwrap_or(1);
    (
        rows.len().clamp(1, MOST_CELLS),
        longest.clamp(1, MOST_CELLS),
    )
}
