//! Parts that screens are drawn with: data and a theme in, styled cells out; nothing is kept or changed.

pub(crate) mod beside;
pub mod big;
pub mod captioned;
pub(crate) mod cursor;
pub mod field;
pub mod form;
pub mod legend;
pub mod list;
mod list_with_details;
pub mod minutes;
pub mod move_picture;
pub mod photo_view;
pub mod plan_timeline;
pub mod plot;
pub mod rack;
pub mod rack_raster;
pub mod rack_tabs;
pub mod sentences;
pub mod shade_card;
#[cfg(test)]
pub(crate) mod synthetic;
pub mod tray_picture;
pub mod vertical;

pub use captioned::Captioned;
pub(crate) use cursor::RackCursor;
pub use legend::Legend;
pub(crate) use list_with_details::ListWithDetails;
pub use move_picture::MovePicture;
pub use photo_view::PhotoView;
pub use plan_timeline::PlanTimeline;
pub use plot::{Layer, Plot};
pub use rack_raster::{Overlay, Overlays, RackRaster, SliceMark};
pub use rack_tabs::{RackTabs, Tab};
pub use sentences::{Sentence, Severity};
pub use shade_card::ShadeCard;
pub use tray_picture::TrayPicture;
pub use vertical::{RackBar, VerticalView};
