//! The things a baker talks about: ovens, setups, toast tests, slices, shades, recipes, bakes and plans.
//!
//! Plain data with its checks; no engine, no file and no drawing lives here.

pub mod air;
pub mod bake;
pub mod bread;
pub mod day;
pub mod dough;
pub(crate) mod formed;
pub mod id;
pub mod kinetics;
pub mod moment;
pub mod oven;
pub mod photo;
pub mod place;
pub mod plan;
pub mod recipe;
pub mod rising;
#[cfg(test)]
pub(crate) mod samples;
pub mod shade;
pub mod text;
pub mod thermometer;
pub mod toast;
pub mod warning;
pub(crate) mod worded;

pub use air::{AirPlace, AirReading, AirReadingError, AirRound, Phase, Spot};
pub use bake::{BakeKind, BakeLog, DoorOpening, DoseCurve, Opened, PieceScore, SetAt};
pub use bread::{Bread, Surface};
pub use id::{BakeId, IdError, OvenId, RecipeId, RecipeName, RoundId, TestId, ThermometerId};
pub use kinetics::{Sensitivity, SensitivitySource};
pub use moment::Moment;
pub use oven::{
    Cavity, Dial, HeatSource, Mode, NotOnDial, Oven, OvenError, Plate, RackPosition, ServiceVisit,
};
pub use photo::PhotoNote;
pub use place::{Place, PlaceName, SliceSize};
pub use plan::{Alternative, DialStep, Forecast, Plan, Segment, Tray, TrayPlacement, Yardstick};
pub use recipe::{GasMark, Recipe, RecipeError, Written};
pub use shade::{Browning, Shade, ShadeError};
pub use thermometer::{Thermometer, ThermometerError};
pub use toast::{CHECK_CHANGED, CHECK_NOTE, Reading, Setup, Slice, ToastTest};
pub use warning::{Gravity, Warning};
