//! A plan: where trays go, when they move, and what the dial is set to.

use super::id::RecipeName;
use crate::units::{Celsius, Centimetres, Minutes};

/// What carries the food.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tray {
    /// Outer extent along the door.
    pub width: Centimetres,
    /// Outer extent front to back.
    pub depth: Centimetres,
    /// Pieces along the door.
    pub across: usize,
    /// Pieces front to back.
    pub deep: usize,
}

impl Tray {
    /// A half sheet pan of 18 x 13 in with the pieces of thin cookies (common practice, no source): what is meant where none
    /// is named.
    pub const HALF_SHEET: Self = Self::new(Centimetres(45.72), Centimetres(33.02), 4, 3);

    /// Makes a tray: its outer size, and its pieces along the door and front to back.
    pub const fn new(width: Centimetres, depth: Centimetres, across: usize, deep: usize) -> Self {
        Self {
            width,
            depth,
            across,
            deep,
        }
    }
}

/// Where one tray is during one segment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrayPlacement {
    /// Tray number, from 1.
    pub tray: usize,
    /// Rack position.
    pub rack: u8,
    /// Turned front to back from how it first went in.
    pub turned: bool,
    /// How far its centre lies right of the cavity's centre.
    pub shift_x: Centimetres,
    /// How far its centre lies behind the cavity's centre (towards the back wall).
    pub shift_y: Centimetres,
}

/// A stretch of the bake between two moves.
#[derive(Debug, Clone, PartialEq)]
pub struct Segment {
    /// Minutes into the bake when it begins.
    pub from: Minutes,
    /// Minutes into the bake when it ends.
    pub to: Minutes,
    /// Share of all browning that happens in it, 0..1.
    pub share: f64,
    /// Where every tray is.
    pub trays: Vec<TrayPlacement>,
}

/// How even a bake comes out under some way of handling it.
#[derive(Debug, Clone, Copy)]
pub struct Yardstick {
    /// Lightest to darkest piece, shades.
    pub spread: f64,
    /// 90 % interval of `spread` over joint samples of the map, shades.
    pub spread_range: (f64, f64),
    /// Standard deviation over the pieces, shades.
    pub sd: f64,
    /// 90 % interval of `sd`, shades.
    pub sd_range: (f64, f64),
    /// Minutes the bake takes this way.
    pub minutes: Minutes,
}

impl Yardstick {
    /// Makes the yardstick of a bake of which nothing is known but its length: every figure is not a number.
    pub fn unknown(minutes: Minutes) -> Self {
        Self {
            spread: f64::NAN,
            spread_range: (f64::NAN, f64::NAN),
            sd: f64::NAN,
            sd_range: (f64::NAN, f64::NAN),
            minutes,
        }
    }

    /// Returns every figure, shades and minutes.
    fn figures(&self) -> [f64; 7] {
        [
            self.spread,
            self.spread_range.0,
            self.spread_range.1,
            self.sd,
            self.sd_range.0,
            self.sd_range.1,
            self.minutes.0,
        ]
    }

    /// Tells whether a map stood behind the figures.
    pub fn is_known(&self) -> bool {
        !self.sd.is_nan()
    }
}

/// Two of which nothing is known are alike, though no figure equals one that is not a number.
impl PartialEq for Yardstick {
    fn eq(&self, other: &Self) -> bool {
        let alike = |(a, b): (f64, f64)| a.total_cmp(&b).is_eq() || (a.is_nan() && b.is_nan());
        self.figures().into_iter().zip(other.figures()).all(alike)
    }
}

/// The best plan with a given number of door openings.
#[derive(Debug, Clone, PartialEq)]
pub struct Alternative {
    /// Door openings allowed; where one more gains nothing, `segments` uses fewer.
    pub openings: usize,
    /// What it gives.
    pub evenness: Yardstick,
    /// Its segments.
    pub segments: Vec<Segment>,
}

/// What a plan expects of one piece: its browning as a multiple of the mean over all pieces.
///
/// A ratio, because how far a bake browns is the baker's to choose, and differences grow with it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Forecast {
    /// Tray number, from 1.
    pub tray: usize,
    /// Row on the tray as it first went in, 0 at the back.
    pub row: usize,
    /// Column on the tray as it first went in, 0 at the left.
    pub col: usize,
    /// Browning over the mean of all pieces, 1 for a piece like the mean.
    pub ratio: f64,
    /// 90 % interval of `ratio` over joint samples of the map.
    pub range: (f64, f64),
}

/// One step from the recipe's temperature to the dial.
#[derive(Debug, Clone, PartialEq)]
pub struct DialStep {
    /// What was done: "recipe, no fan", "fan: 25 F lower", "dial runs 8 F cold", "rounded to the dial's 5 F".
    pub what: String,
    /// The temperature after it.
    pub to: Celsius,
}

impl DialStep {
    /// Makes a step: what it allows for, and the temperature it leads to.
    pub const fn new(what: String, to: Celsius) -> Self {
        Self { what, to }
    }
}

/// Placements, moves with their times, dial setting and bake time.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// Key of the kind of bake.
    pub kind: String,
    /// The baker's own recipe it was made for, if any.
    pub recipe: Option<RecipeName>,
    /// Segments in order; one more than there are door openings.
    pub segments: Vec<Segment>,
    /// The whole bake, openings paid for.
    pub bake: Minutes,
    /// What to set the dial to.
    pub dial: Celsius,
    /// How that came about.
    pub steps_to_dial: Vec<DialStep>,
    /// What this plan gives.
    pub evenness: Yardstick,
    /// What leaving the trays alone would give.
    pub unturned: Yardstick,
    /// What one move at half the time would give.
    pub halfway: Yardstick,
    /// The best plan for every number of openings tried.
    pub alternatives: Vec<Alternative>,
    /// Every tray; all are alike. `None` in plans kept before trays were.
    pub tray: Option<Tray>,
    /// What it expects of every piece; empty where no map stood behind it.
    pub forecast: Vec<Forecast>,
}

impl Plan {
    /// Returns the rack positions that carry a tray at any time, highest first.
    pub fn racks(&self) -> Vec<u8> {
        let mut racks: Vec<u8> = self
            .segments
            .iter()
            .flat_map(|s| s.trays.iter().map(|t| t.rack))
            .collect();
        racks.sort_unstable_by(|a, b| b.cmp(a));
        racks.dedup();
        racks
    }
}
