//! From scored slices to a map: browning over every rack position, with honest uncertainty.

pub mod map;

pub use map::{
    Bound, Evenness, Evidence, FieldMap, Observation, PointEstimate, RackMap, Range, Zone, ZoneKind,
};
