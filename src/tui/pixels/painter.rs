//! Puts a photo's pixels onto the terminal behind the words, when they change, and takes them away.

use super::encode;
use crate::{
    report::PngError,
    tui::{graphics::Pixels, widgets::photo_view::Painting},
};
use ratatui::{
    backend::{Backend, CrosstermBackend},
    buffer::{Buffer, Cell, CellDiffOption},
    layout::{Position, Rect, Size},
};
use std::io::{self, Write};

/// Most pixels that are sent: more would take the terminal longer than a key may.
const MOST: usize = 400_000;
/// A cell where the system does not tell its size, pixels; kitty and iTerm2 stretch a picture to its cells.
const CELL: (u16, u16) = (10, 20);

/// What a terminal is like: how it takes pixels, and how many there are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Canvas {
    how: Pixels,
    cells: Size,
    /// Width and height of a cell, pixels.
    cell: (u16, u16),
}

impl Canvas {
    /// Describes a terminal of `cells` and `pixels`; zero pixels where the system does not tell.
    pub(crate) fn new(how: Pixels, cells: Size, pixels: Size) -> Self {
        let of = |pixels: u16, cells: u16, usual: u16| match pixels / cells.max(1) {
            0 => usual,
            n => n,
        };
        let cell = (
            of(pixels.width, cells.width, CELL.0),
            of(pixels.height, cells.height, CELL.1),
        );
        Self { how, cells, cell }
    }
}

/// What is on the terminal.
#[derive(Debug)]
struct Shown {
    canvas: Canvas,
    painting: Painting,
    /// The cells that lie over the picture.
    words: Vec<Position>,
}

/// Why a picture is not on the terminal.
#[derive(Debug, thiserror::Error)]
pub(crate) enum PaintError {
    /// It could not be put into the form that the terminal takes; the terminal itself is well.
    #[error("{0}")]
    Picture(#[from] PngError),
    /// The terminal took nothing.
    #[error("{0}")]
    Terminal(#[from] io::Error),
}

/// Keeps in mind which picture the terminal shows.
#[derive(Debug, Default)]
pub(crate) struct Painter {
    shown: Option<Shown>,
}

impl Painter {
    /// Writes what brings the terminal from the picture it shows to `wanted`, once the cells of `buffer` are drawn.
    ///
    /// # Errors
    /// The system's error.
    pub(crate) fn paint(
        &mut self,
        wanted: Option<(Canvas, Painting)>,
        buffer: &Buffer,
        out: &mut impl Write,
    ) -> Result<(), PaintError> {
        let Some((canvas, painting)) = wanted else {
            return Ok(self.take_away(out)?);
        };
        let area = painting.area.intersection(buffer.area);
        if area.is_empty() {
            return Ok(());
        }
        let (under, words): (Vec<Position>, Vec<Position>) =
            area.positions().partition(|&p| is_under(&buffer[p]));
        let shown = self.shown.as_ref();
        let known = shown.filter(|s| s.canvas == canvas && s.painting == painting);
        // where words lay that are gone
        let bared: Option<Vec<Position>> = known.map(|s| {
            s.words
                .iter()
                .copied()
                .filter(|&p| is_under(&buffer[p]))
                .collect()
        });
        let blank = Cell::default();
        let blanks = |these: &[Position], bytes: &mut Vec<u8>| {
            cells(these.iter().map(|&p| (p, &blank)), bytes)
        };
        // shown at once: without this the blank cells would flicker
        let mut bytes = b"\x1b[?2026h".to_vec();
        match bared {
            Some(bared) if bared.is_empty() => bytes.clear(),
            // kitty keeps the whole picture below its cells; elsewhere words take its place
            Some(bared) if canvas.how == Pixels::Kitty => blanks(&bared, &mut bytes)?,
            Some(_) | None => {
                let picture = picture(canvas, &painting, area)?;
                blanks(&under, &mut bytes)?;
                write!(bytes, "\x1b[{};{}H", area.y + 1, area.x + 1)?;
                bytes.extend_from_slice(picture.as_bytes());
                cells(words.iter().map(|&p| (p, &buffer[p])), &mut bytes)?;
            }
        }
        if !bytes.is_empty() {
            bytes.extend_from_slice(b"\x1b[?2026l");
            out.write_all(&bytes)?;
            out.flush()?;
        }
        self.shown = Some(Shown {
            canvas,
            painting,
            words,
        });
        Ok(())
    }

    /// Takes the picture off the terminal; the cells it lay under are drawn by whoever comes next.
    ///
    /// # Errors
    /// The system's error.
    pub(crate) fn take_away(&mut self, out: &mut impl Write) -> io::Result<()> {
        match self.shown.take().map(|shown| shown.canvas.how) {
            Some(Pixels::Kitty) => {
                out.write_all(encode::kitty_away().as_bytes())?;
                out.flush()
            }
            // the words of the next screen take the place of these
            Some(Pixels::Iterm | Pixels::Sixel) | None => Ok(()),
        }
    }
}

/// Returns what the terminal is sent for a picture.
fn picture(canvas: Canvas, painting: &Painting, area: Rect) -> Result<String, PngError> {
    let (width, height) = (
        usize::from(canvas.cell.0) * usize::from(area.width),
        usize::from(canvas.cell.1) * usize::from(area.height),
    );
    let grain = (1..64)
        .find(|g| width * height / (g * g) <= MOST)
        .unwrap_or(64);
    let raster = painting.raster((width / grain, height / grain));
    let over = (area.width, area.height);
    match canvas.how {
        Pixels::Kitty => encode::kitty(&raster, over),
        Pixels::Iterm => encode::iterm(&raster, over),
        Pixels::Sixel => Ok(encode::sixel(&raster, grain)),
    }
}

/// Tells whether a cell was left to the picture.
fn is_under(cell: &Cell) -> bool {
    cell.diff_option == CellDiffOption::Skip
}

/// Draws cells as the screen itself does.
fn cells<'a>(
    these: impl Iterator<Item = (Position, &'a Cell)>,
    bytes: &mut Vec<u8>,
) -> io::Result<()> {
    CrosstermBackend::new(bytes).draw(these.map(|(p, cell)| (p.x, p.y, cell)))
}
