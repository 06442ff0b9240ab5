//! From scored slices to a map: browning over every rack position, with honest uncertainty.
//!
//! [`fit()`] takes observations (each the mean browning of a slice's area) and gives a [`Fit`], from
//! which maps, point estimates, gradients and joint samples are drawn; [`zones()`] and
//! [`evenness()`] read a map the way a baker does. The model is in `covariance`, what is believed
//! beforehand in `prior`, the linear algebra in `kriging`.

mod belief;
mod censor;
mod check;
pub mod covariance;
mod design;
mod domain;
mod error;
mod evenness;
mod explore;
mod fit;
mod kernel;
pub mod kriging;
mod likelihood;
pub mod map;
mod merge;
mod predict;
mod prior;
mod problem;
mod shapes;
mod target;
mod zones;

pub use crate::numeric::normal::Z90;
pub use belief::Belief;
pub use check::{Check, Judged, Part, Seen, TELLING, Verdict};
pub use covariance::{Drawn, Hyper};
pub use design::Design;
pub use domain::{Domain, LEAST_AIR, Rack, Spot};
pub use error::FieldError;
pub use evenness::{evenness, evenness_of};
pub use explore::Termination;
pub use fit::{FEWEST, Fit, FitReport, fit};
pub use kernel::Matern52;
pub use map::{
    Bound, Evenness, Evidence, FieldMap, Lean, Observation, PointEstimate, RackMap, Range,
    Strength, UNSEEN, Zone, ZoneKind,
};
pub use merge::MOST as MOST_PLACES;
pub use prior::{Axis, Likely, Priors};
pub use shapes::Shape;
pub use zones::{Reading, connected_cells, lattice, zones};
