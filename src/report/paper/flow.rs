//! Puts a document's blocks on pages: from the top down, a new page where one is full.

use super::{
    document::{Block, Document, Maps, PageSize, PaperError, Table},
    figure,
    font::{Fonts, Weight},
    page::{Anchor, Frame, INK, Item, PAPER, Page, QUIET, Words},
    table,
};

/// Space around what is printed, mm: what office printers leave blank, and room for a hole.
const MARGIN: f64 = 13.0;
/// Letter size of running text, mm (8.8 points).
const LETTERS: f64 = 3.1;
/// Sizes tried until one page holds what must be on one page, as shares of [`LETTERS`].
const SHRINK: [f64; 9] = [1.0, 0.95, 0.9, 0.85, 0.8, 0.75, 0.7, 0.65, 0.6];
/// Sizes tried for what may be longer, so that no last page stands nearly empty.
const SPARED: [f64; 4] = [1.0, 0.97, 0.94, 0.9];
/// From one base line to the next, as a share of the letter size.
const LEADING: f64 = 1.32;
/// Maps side by side at most.
const ABREAST: usize = 4;

/// Lays a document out.
///
/// # Errors
/// [`PaperError::TooLong`] when one page must hold it and cannot.
pub(super) fn pages(
    document: &Document,
    size: PageSize,
    fonts: &Fonts,
) -> Result<Vec<Page>, PaperError> {
    if !document.one_page {
        let tried = SPARED.map(|share| Flow::new(size, fonts, share).run(document));
        // Of equally many pages the first, which has the largest print.
        let fewest = tried.into_iter().min_by_key(Vec::len);
        return Ok(fewest.unwrap_or_default());
    }
    SHRINK
        .iter()
        .map(|&share| Flow::new(size, fonts, share).run(document))
        .find(|pages| pages.len() == 1)
        .ok_or_else(|| PaperError::TooLong(document.kind.to_owned()))
}

/// A page being filled.
struct Flow<'f> {
    fonts: &'f Fonts,
    width: f64,
    height: f64,
    letters: f64,
    y: f64,
    items: Vec<Item>,
    done: Vec<Vec<Item>>,
}

impl<'f> Flow<'f> {
    fn new(size: PageSize, fonts: &'f Fonts, share: f64) -> Self {
        let (width, height) = size.millimetres();
        Self {
            fonts,
            width,
            height,
            letters: LETTERS * share,
            y: MARGIN,
            items: Vec::new(),
            done: Vec::new(),
        }
    }

    fn run(mut self, document: &Document) -> Vec<Page> {
        self.words(&document.title, self.letters * 2.0, Weight::Bold, 0.0);
        self.y += self.letters * 0.3;
        self.words(&document.subtitle, self.letters, Weight::Regular, 0.0);
        self.y += self.letters * 0.5;
        let mut blocks = document.blocks.iter().peekable();
        while let Some(block) = blocks.next() {
            if let Block::Heading(text) = block {
                // A heading stays with what follows it.
                let below = blocks.peek().map_or(0.0, |next| self.beginning(next));
                self.need(self.letters * 3.0 + below);
                self.heading(text);
            } else {
                self.block(block);
            }
        }
        self.end(&document.foot, document.front.is_some())
    }

    fn inner(&self) -> f64 {
        self.width - 2.0 * MARGIN
    }

    /// Returns where the foot begins.
    fn bottom(&self) -> f64 {
        self.height - MARGIN - self.letters * 1.6
    }

    fn need(&mut self, height: f64) {
        if self.y + height > self.bottom() && !self.items.is_empty() {
            self.done.push(std::mem::take(&mut self.items));
            self.y = MARGIN;
        }
    }

    /// Returns how much of a block must stand under its heading.
    fn beginning(&self, block: &Block) -> f64 {
        match block {
            Block::Maps(maps) => self.maps_height(maps),
            Block::Table(_) => self.letters * 5.0,
            Block::Finding(_)
            | Block::Heading(_)
            | Block::Text(_)
            | Block::Points(_)
            | Block::Cautions(_) => self.letters * 3.0,
        }
    }

    fn block(&mut self, block: &Block) {
        match block {
            Block::Heading(text) => self.heading(text),
            Block::Finding(text) => {
                self.words(text, self.letters * 1.5, Weight::Bold, 0.0);
                self.y += self.letters * 0.6;
            }
            Block::Text(text) => {
                self.words(text, self.letters, Weight::Regular, 0.0);
                self.y += self.letters * 0.4;
            }
            Block::Points(points) => {
                for point in points {
                    self.point(point);
                }
                self.y += self.letters * 0.3;
            }
            Block::Table(table) => self.table(table),
            Block::Maps(maps) => self.maps(maps),
            Block::Cautions(cautions) => self.cautions(cautions),
        }
    }

    fn heading(&mut self, text: &str) {
        self.y += self.letters * 0.7;
        self.words(text, self.letters * 1.3, Weight::Bold, 0.0);
        let line = [(MARGIN, self.y), (self.width - MARGIN, self.y)];
        self.items.push(Item::Lines(vec![line], 0.2, INK));
        self.y += self.letters * 0.6;
    }

    /// Writes a paragraph, moved in by `indent`.
    fn words(&mut self, text: &str, size: f64, weight: Weight, indent: f64) {
        for line in self.fonts.wrap(text, weight, size, self.inner() - indent) {
            self.need(size * LEADING);
            let at = (MARGIN + indent, self.y + size);
            self.items.push(Words::new(line, at, size, weight).into());
            self.y += size * LEADING;
        }
    }

    fn point(&mut self, text: &str) {
        self.need(self.letters * LEADING);
        let at = (MARGIN, self.y + self.letters);
        let dot = Words::new("\u{2022}", at, self.letters, Weight::Regular);
        self.items.push(dot.into());
        self.words(text, self.letters, Weight::Regular, self.letters);
    }

    fn table(&mut self, rows: &Table) {
        let laid = table::lay(rows, self.fonts, self.letters * 0.93, self.inner());
        let first = laid.rows.first().map_or(0.0, |r| r.height);
        self.need(laid.head.height + first);
        laid.draw(&mut self.items, &laid.head, MARGIN, self.y);
        self.y += laid.head.height;
        for row in &laid.rows {
            let page = self.done.len();
            self.need(row.height);
            if self.done.len() > page {
                laid.draw(&mut self.items, &laid.head, MARGIN, self.y);
                self.y += laid.head.height;
            }
            laid.draw(&mut self.items, row, MARGIN, self.y);
            self.y += row.height;
        }
        self.y += self.letters * 0.8;
    }

    /// Returns how many maps stand in a row, how wide each is, and the gap between them.
    fn abreast(&self, maps: &Maps) -> (usize, f64, f64) {
        let count = maps.figures.len();
        let rows = count.div_ceil(ABREAST).max(1);
        let cols = if maps.in_pairs {
            // No pair is torn apart.
            count.clamp(1, ABREAST / 2 * 2)
        } else {
            count.div_ceil(rows).max(1)
        };
        let gap = self.letters * 1.6;
        // As if there were three at least, or a lone map would fill the page; small print, small maps.
        let shared = cols.max(3) as f64;
        let width = (self.inner() - gap * (shared - 1.0)) / shared;
        (cols, width * (self.letters / LETTERS).max(0.75), gap)
    }

    fn map_height(&self, maps: &Maps, i: usize) -> f64 {
        let (_, width, _) = self.abreast(maps);
        maps.figures.get(i).map_or(0.0, |f| {
            let title = self.fonts.wrap(&f.title, Weight::Bold, self.letters, width);
            let picture = width * f.map.grid.depth / f.map.grid.width;
            let words: usize = f
                .words
                .iter()
                .map(|w| {
                    self.fonts
                        .wrap(w, Weight::Regular, self.letters * 0.93, width)
                        .len()
                })
                .sum();
            picture
                + self.letters * (title.len() as f64 * 1.2 + 3.4)
                + words as f64 * self.letters * 0.93 * 1.25
        })
    }

    fn maps_height(&self, maps: &Maps) -> f64 {
        let (cols, _, _) = self.abreast(maps);
        let first = (0..cols.min(maps.figures.len())).map(|i| self.map_height(maps, i));
        first.fold(0.0, f64::max)
    }

    fn maps(&mut self, maps: &Maps) {
        let (cols, width, gap) = self.abreast(maps);
        for first in (0..maps.figures.len()).step_by(cols) {
            let row = first..(first + cols).min(maps.figures.len());
            let tallest = row
                .clone()
                .map(|i| self.map_height(maps, i))
                .fold(0.0, f64::max);
            self.need(tallest);
            for i in row {
                let x = MARGIN + (i - first) as f64 * (width + gap);
                self.map(maps, i, x, width);
            }
            self.y += tallest + self.letters * 0.4;
        }
        self.need(self.letters * 4.0);
        let place = (MARGIN, self.y, self.inner(), self.letters);
        let zoned = maps.figures.iter().any(|f| !f.zones.is_empty());
        self.y = figure::legend(&mut self.items, &maps.scale, zoned, place) + self.letters * 0.9;
    }

    fn map(&mut self, maps: &Maps, i: usize, x: f64, width: f64) {
        let Some(drawn) = maps.figures.get(i) else {
            return;
        };
        let size = self.letters * 0.93;
        let place = (x, self.y, width, self.letters);
        let mut y = figure::draw(&mut self.items, drawn, &maps.scale, self.fonts, place);
        for text in &drawn.words {
            for line in self.fonts.wrap(text, Weight::Regular, size, width) {
                y += size * 1.25;
                self.items
                    .push(Words::new(line, (x, y), size, Weight::Regular).into());
            }
        }
    }

    fn cautions(&mut self, cautions: &[String]) {
        let pad = self.letters * 0.7;
        let size = self.letters * 0.93;
        let lines: Vec<String> = cautions
            .iter()
            .flat_map(|c| {
                self.fonts.wrap(
                    &format!("! {c}"),
                    Weight::Regular,
                    size,
                    self.inner() - 2.0 * pad,
                )
            })
            .collect();
        let height = lines.len() as f64 * size * LEADING + 1.4 * pad;
        self.y += self.letters * 0.4;
        self.need(height);
        let frame = Frame::new(MARGIN, self.y, self.inner(), height);
        self.items.push(Item::Outline(frame, 0.35, INK));
        for (i, text) in lines.into_iter().enumerate() {
            let y = self.y + pad * 0.6 + size * (LEADING * i as f64 + 1.0);
            let line = Words::new(text, (MARGIN + pad, y), size, Weight::Regular);
            self.items.push(line.into());
        }
        self.y += height + self.letters * 0.5;
    }

    /// Ends the last page and writes the foot of every one.
    fn end(mut self, foot: &str, behind_a_front: bool) -> Vec<Page> {
        self.done.push(std::mem::take(&mut self.items));
        let fronts = usize::from(behind_a_front);
        let count = self.done.len() + fronts;
        let (width, height, size) = (self.width, self.height, self.letters * 0.85);
        let room = self.inner() - size * 8.0;
        let foot = self.fonts.wrap(foot, Weight::Regular, size, room);
        let foot = foot.into_iter().next().unwrap_or_default();
        let page = |(i, mut items): (usize, Vec<Item>)| {
            let ground = Frame::new(0.0, 0.0, width, height);
            items.insert(0, Item::Fill(ground, PAPER));
            let words = |x, text, anchor| {
                let line: Words = Words::new(text, (x, height - MARGIN), size, Weight::Regular);
                line.anchored(anchor).inked(QUIET).into()
            };
            items.push(words(MARGIN, foot.clone(), Anchor::Start));
            let number = format!("page {} of {count}", i + 1 + fronts);
            items.push(words(width - MARGIN, number, Anchor::End));
            Page {
                width,
                height,
                items,
            }
        };
        self.done.into_iter().enumerate().map(page).collect()
    }
}
