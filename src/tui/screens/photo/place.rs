//! Where the photo lies on the screen.

use super::state::{PhotoScreen, Sheet};
use crate::tui::prelude::*;
use crate::tui::{
    chrome::Chrome,
    widgets::photo_view::{Projection, size_of},
};

/// The photo, and the words beside it.
pub(super) struct Parts {
    pub(super) photo: Rect,
    pub(super) panel: Rect,
}

pub(super) fn parts(body: Rect) -> Parts {
    let side = if body.width >= 110 { 40 } else { 28 };
    let [photo, _, panel] = Layout::horizontal([
        Constraint::Min(40),
        Constraint::Length(1),
        Constraint::Length(side),
    ])
    .areas(body);
    Parts { photo, panel }
}

/// Returns how the photo lies inside `body`.
pub(super) fn projection(sheet: &Sheet, body: Rect) -> Projection {
    Projection::new(
        parts(body).photo,
        size_of(&sheet.shot.photo.picture),
        sheet.fit.window,
    )
}

impl PhotoScreen {
    /// Returns how the photo lies on the screen now.
    pub(super) fn projection(&self, shared: &Shared) -> Option<Projection> {
        let body = Chrome::of(shared.size)?.body;
        self.sheet.as_ref().map(|sheet| projection(sheet, body))
    }
}
