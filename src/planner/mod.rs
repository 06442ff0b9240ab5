//! From a map to a plan: where trays go, when they move, and what the dial is set to.
//!
//! [`space`] lists what can be done with the trays, [`search`] finds the best few arrangements and how
//! long to hold each (an exact search, [`simplex`]), [`schedule`] turns that into openings of the door at
//! whole minutes by the browning over time ([`dose`]) and the cost of an opening ([`door`]), [`evenness`] weighs the result over joint samples of the map, and [`dial`]
//! leads from the recipe's temperature to the dial. [`batches`] puts many loads one after another.

pub mod batches;
pub mod cells;
pub mod dial;
pub mod door;
pub mod dose;
pub mod evenness;
pub mod placement;
pub mod refit;
pub mod rise;
pub mod schedule;
pub mod search;
pub mod simplex;
pub mod space;

/// Most pieces along either side of a tray, in every face of the program.
pub const MOST_PIECES: usize = 12;

/// Where the planner learns how much a place browns, so that it needs to know nothing of how a map is made.
pub trait BrowningSource {
    /// Returns the browning B of a small piece at `x`, `y` (cm from the left wall and from the door) on
    /// rack position `rack`, or `None` where the map says nothing.
    fn browning(&self, rack: u8, x: f64, y: f64) -> Option<f64>;

    /// Returns the browning of small pieces at many `places` of one rack position, or `None` where the map
    /// does not cover them all; the same figures as [`Self::browning`], which a map may give faster together.
    fn brownings(&self, rack: u8, places: &[(f64, f64)]) -> Option<Vec<f64>> {
        places
            .iter()
            .map(|(x, y)| self.browning(rack, *x, *y))
            .collect()
    }

    /// Returns how the browning at `places` of one rack position may be off: `[place][direction]`, B, for
    /// independent standard normal directions that all rack positions share.
    ///
    /// Empty when the source knows no uncertainty.
    fn doubts(&self, rack: u8, places: &[(f64, f64)]) -> Vec<Vec<f64>> {
        let _: (u8, &[(f64, f64)]) = (rack, places);
        Vec::new()
    }

    /// Returns `count` joint draws of the browning at `points` (rack, x, y): `[draw][point]`.
    ///
    /// Empty when the source knows no uncertainty.
    fn samples(&self, points: &[(u8, f64, f64)], count: usize) -> Vec<Vec<f64>>;
}

/// Why no plan can be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PlannerError {
    /// A number of trays that is not planned for.
    #[error("{0} trays cannot be planned; give 1, 2 or 3 (more than three at once is avoided)")]
    Trays(usize),
    /// More openings than are searched.
    #[error("{0} door openings are more than a bake stands; give 0 to 4")]
    Openings(usize),
    /// A tray without pieces, or without size.
    #[error(
        "a tray of {across} x {deep} pieces on {width:.1} x {depth:.1} cm cannot be; give at least one piece and a size above 0"
    )]
    Tray {
        /// Pieces along the door.
        across: usize,
        /// Pieces front to back.
        deep: usize,
        /// Extent along the door, cm.
        width: f64,
        /// Extent front to back, cm.
        depth: f64,
    },
    /// More pieces than a baker can place by row and column.
    #[error(
        "{across} x {deep} pieces on a tray are too many to place one by one; give at most {MOST_PIECES} x {MOST_PIECES}, and let a piece stand for its neighbours where they are smaller"
    )]
    Pieces {
        /// Pieces along the door.
        across: usize,
        /// Pieces front to back.
        deep: usize,
    },
    /// A tray that does not go in.
    #[error(
        "a tray of {width:.1} x {depth:.1} cm ({:.1} x {:.1} in) does not go into a cavity of {cavity_width:.1} x {cavity_depth:.1} cm ({:.1} x {:.1} in), guides and 1 cm of air on either side counted; {hint}",
        width / 2.54, depth / 2.54, cavity_width / 2.54, cavity_depth / 2.54
    )]
    TooLarge {
        /// What to do.
        hint: &'static str,
        /// Tray's extent along the door, cm.
        width: f64,
        /// Tray's extent front to back, cm.
        depth: f64,
        /// Cavity's width, cm.
        cavity_width: f64,
        /// Cavity's depth, cm.
        cavity_depth: f64,
    },
    /// Fewer usable rack positions than trays.
    #[error(
        "{trays} trays need {trays} rack positions at least 6 cm (2.4 in) apart whose map covers the whole tray, and there are {usable}; toast-test more rack positions or bake fewer trays at once"
    )]
    Racks {
        /// Trays to bake.
        trays: usize,
        /// Rack positions that can be used at once.
        usable: usize,
    },
    /// Guides so close together that not all trays have air, tested or not.
    #[error(
        "{trays} trays need as many rack positions 6 cm (2.4 in) or more one above the other, and this oven has {usable} such; bake {usable} at a time"
    )]
    TooClose {
        /// Trays to bake.
        trays: usize,
        /// Trays that go in at once.
        usable: usize,
    },
    /// A temperature the dial cannot be set to.
    #[error(
        "the dial would have to stand at {wanted}, and this one goes from {lowest} to {highest}; {hint}"
    )]
    Dial {
        /// The setting it would take.
        wanted: String,
        /// The dial's lowest setting.
        lowest: String,
        /// The dial's highest setting.
        highest: String,
        /// What to do.
        hint: &'static str,
    },
    /// A bake length that cannot be.
    #[error("a bake of {0} min cannot be planned; give 2 to 600 minutes")]
    Time(f64),
}
