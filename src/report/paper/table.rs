//! A table on paper: columns as wide as their words where there is room, broken into lines where not.

use super::{
    document::Table,
    font::{Fonts, Weight},
    page::{Frame, GROUND, INK, Item, QUIET, Words},
};

/// Space on both sides of a cell's words, as a share of the letter size.
const PAD: f64 = 0.45;
/// From one base line to the next, as a share of the letter size.
const LEADING: f64 = 1.28;

/// One row of a table, its words broken into lines.
pub(super) struct Row {
    cells: Vec<Vec<String>>,
    head: bool,
    shaded: bool,
    pub(super) height: f64,
}

/// A table laid out for a width.
pub(super) struct Laid {
    widths: Vec<f64>,
    size: f64,
    pub(super) head: Row,
    pub(super) rows: Vec<Row>,
}

/// Breaks a table's words into the width there is, with letters of `size`.
pub(super) fn lay(table: &Table, fonts: &Fonts, size: f64, width: f64) -> Laid {
    let widths = widths(table, fonts, size, width);
    let row = |cells: &[String], head: bool, shaded: bool| {
        let weight = if head { Weight::Bold } else { Weight::Regular };
        let cells: Vec<Vec<String>> = cells
            .iter()
            .zip(&widths)
            .map(|(cell, w)| fonts.wrap(cell, weight, size, w - 2.0 * PAD * size + 0.01))
            .collect();
        let lines = cells.iter().map(Vec::len).max().unwrap_or(1);
        Row {
            cells,
            head,
            shaded,
            height: size * (LEADING * lines as f64 + 0.35),
        }
    };
    Laid {
        head: row(&table.head, true, false),
        rows: table
            .rows
            .iter()
            .enumerate()
            .map(|(i, cells)| row(cells, false, i % 2 == 1))
            .collect(),
        widths,
        size,
    }
}

impl Laid {
    /// Draws a row with its upper edge at `y`.
    pub(super) fn draw(&self, items: &mut Vec<Item>, row: &Row, x: f64, y: f64) {
        let width = self.widths.iter().sum();
        let frame = Frame::new(x, y, width, row.height);
        if row.shaded {
            items.push(Item::Fill(frame, GROUND));
        }
        let weight = if row.head {
            Weight::Bold
        } else {
            Weight::Regular
        };
        let (mut left, pad) = (x, PAD * self.size);
        for (lines, w) in row.cells.iter().zip(&self.widths) {
            for (i, line) in lines.iter().enumerate() {
                let at = (left + pad, y + self.size * (LEADING * i as f64 + 1.1));
                items.push(Words::new(line.as_str(), at, self.size, weight).into());
            }
            left += w;
        }
        let (thick, ink) = if row.head { (0.3, INK) } else { (0.08, QUIET) };
        let base = y + row.height;
        items.push(Item::Lines(
            vec![[(x, base), (x + width, base)]],
            thick,
            ink,
        ));
    }
}

/// Gives each column what its words need; where that is too much, the widest give way first.
fn widths(table: &Table, fonts: &Fonts, size: f64, width: f64) -> Vec<f64> {
    let pads = 2.0 * PAD * size;
    let natural: Vec<f64> = table
        .head
        .iter()
        .enumerate()
        .map(|(i, head)| {
            let cells = table.rows.iter().filter_map(|r| r.get(i));
            let widest = cells
                .map(|c| fonts.width(&fonts.printable(c), Weight::Regular, size))
                .fold(0.0, f64::max);
            // A head may be broken at its blanks, into about two lines.
            let whole = fonts.width(head, Weight::Bold, size);
            let head = head
                .split_whitespace()
                .map(|w| fonts.width(w, Weight::Bold, size))
                .fold(whole * 0.6, f64::max);
            widest.max(head) + pads + 0.02
        })
        .collect();
    let total: f64 = natural.iter().sum();
    if total <= width {
        // What is left over goes to all alike, up to half as much again.
        let grow = (width / total).min(1.5);
        return natural.iter().map(|w| w * grow).collect();
    }
    // Columns are cut to one common limit, found by halving.
    let (mut low, mut high) = (0.0, width);
    for _ in 0..40 {
        let limit = f64::midpoint(low, high);
        let cut: f64 = natural.iter().map(|w| w.min(limit)).sum();
        if cut <= width {
            low = limit;
        } else {
            high = limit;
        }
    }
    natural.iter().map(|w| w.min(low)).collect()
}
