//! A document: what goes on a paper, in which form and size, and what may go wrong.

use crate::model::worded::worded;
use crate::{
    field::{RackMap, Zone},
    report::quantity::Scale,
    units::LengthUnit,
};

/// Why a paper could not be made.
#[derive(Debug, thiserror::Error)]
pub enum PaperError {
    /// The font that is carried along cannot be read.
    #[error("the font cannot be used: {0}; this is a fault of the program, please report it")]
    Font(String),
    /// A page could not be drawn.
    #[error("the page cannot be drawn: {0}; this is a fault of the program, please report it")]
    Draw(String),
    /// There is nothing to draw.
    #[error("the map has nothing to draw; score some slices first")]
    Empty,
    /// The map has no such rack position.
    #[error("the map has no rack position {rack}; it has {known}")]
    NoSuchRack {
        /// The number asked for.
        rack: u8,
        /// The numbers there are.
        known: String,
    },
    /// What belongs on one page does not fit there.
    #[error(
        "the {0} does not fit on one page of this size even in the smallest print; use another format, like html"
    )]
    TooLong(String),
}

worded! {
    /// A size of paper.
    pub enum PageSize [key] {
        /// 210 x 297 mm (ISO 216).
        A4: "a4";
        /// 8.5 x 11 in (ANSI/ASME Y14.1, size A).
        Letter: "letter";
    }
}

impl PageSize {
    /// Returns width and height in mm.
    pub fn millimetres(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::Letter => (215.9, 279.4),
        }
    }
}

worded! {
    /// A form a document is written in.
    pub enum PaperFormat [key] {
        /// PDF, all pages in one file.
        Pdf: "pdf";
        /// SVG with its text as text and its font inside, a file for each page.
        Svg: "svg";
        /// PNG at 200 dots an inch, a file for each page.
        Png: "png";
        /// HTML in one file, pictures and font inside.
        Html: "html";
        /// Markdown, maps in plain characters.
        Markdown: "md";
        /// The figures behind the document, one value a line.
        Csv: "csv";
        /// The same as JSON.
        Json: "json";
    }
}

/// A table of words and figures, its units in the heads or beside the figures.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Table {
    /// What the columns are.
    pub head: Vec<String>,
    /// The rows, as long as the head each.
    pub rows: Vec<Vec<String>>,
}

impl Table {
    /// Splits heads at the lines between them: `rack | evenness`.
    pub fn heads(text: &str) -> Vec<String> {
        text.split(" | ").map(str::to_owned).collect()
    }
}

/// The map of one rack with the words under it.
#[derive(Debug, Clone, PartialEq)]
pub struct MapFigure {
    /// Name of the rack, above the picture.
    pub title: String,
    /// The map.
    pub map: RackMap,
    /// Its zones.
    pub zones: Vec<Zone>,
    /// It has none, and one that counts would have shown.
    pub even: bool,
    /// Zones in words, and what the map rests on.
    pub words: Vec<String>,
}

/// Maps side by side on one scale.
#[derive(Debug, Clone, PartialEq)]
pub struct Maps {
    /// Their common scale.
    pub scale: Scale,
    /// The maps, the lowest rack first.
    pub figures: Vec<MapFigure>,
    /// Each two belong together, before and after, and stand side by side.
    pub in_pairs: bool,
}

/// A part of a document.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// The finding of the whole paper, in one sentence.
    Finding(String),
    /// A heading.
    Heading(String),
    /// A paragraph.
    Text(String),
    /// Sentences, one a point.
    Points(Vec<String>),
    /// A table.
    Table(Table),
    /// Maps.
    Maps(Maps),
    /// Cautions, framed.
    Cautions(Vec<String>),
}

/// The front of a card: what is read from two steps away.
#[derive(Debug, Clone, PartialEq)]
pub struct Front {
    /// The oven's name.
    pub name: String,
    /// What to set, where that is not what the recipe says: `set 335 for 350`.
    pub set: Option<String>,
    /// How the oven heats, and the unit of the dial.
    pub mode: String,
    /// One map a rack position; none where nothing was tested.
    pub maps: Maps,
    /// Two to four sentences: where to put it, and when to turn it.
    pub to_do: Vec<String>,
    /// When it was tested.
    pub tested: String,
}

/// What goes on a paper.
#[derive(Debug, Clone, PartialEq)]
pub struct Document {
    /// What it is: `card`, `sheet`.
    pub kind: &'static str,
    /// The title.
    pub title: String,
    /// What stands under the title: date and evidence.
    pub subtitle: String,
    /// What stands at the foot of every page.
    pub foot: String,
    /// The front of a card; the rest is then its back.
    pub front: Option<Front>,
    /// Whether the rest must fit on one page.
    pub one_page: bool,
    /// Unit of lengths.
    pub lengths: LengthUnit,
    /// The parts.
    pub blocks: Vec<Block>,
    /// The figures behind them.
    pub data: Vec<DataTable>,
}

/// A value with no unit of its own: the column's name has it.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A figure; written as nothing where it is not a number.
    Number(f64),
    /// Words.
    Words(String),
}

/// Name of a column, with its unit: `x_cm`.
pub type Column = &'static str;

/// A table of figures.
#[derive(Debug, Clone, PartialEq)]
pub struct DataTable {
    /// Name of the table: `slices`.
    pub name: &'static str,
    /// Names of its columns.
    pub columns: Vec<Column>,
    /// Its rows.
    pub rows: Vec<Vec<Value>>,
}

impl DataTable {
    /// Makes a table of figures; blanks part the names of its columns.
    pub fn new(name: &'static str, columns: &'static str, rows: Vec<Vec<Value>>) -> Self {
        Self {
            name,
            columns: columns.split_whitespace().collect(),
            rows,
        }
    }
}
