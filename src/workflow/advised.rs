//! Laying out the next toast test of an oven that has been tested.

use super::{
    ground::{GroundError, ground_of_oven},
    kitchen::Records,
    next::{Outlook, next_test},
};
use crate::model::{Mode, Oven};

/// Cells of the map that a next test is chosen on; its figures do not depend on them.
const COARSE: (usize, usize) = (12, 9);

/// Why no next test can be laid out.
#[derive(Debug, thiserror::Error)]
pub enum NextError {
    /// There is no map to sharpen.
    #[error(transparent)]
    Ground(#[from] GroundError),
    /// A rack position was not tested.
    #[error(
        "rack {0} has no toast test yet, so no place on it tells more than another; lay out a whole test first"
    )]
    Untested(u8),
}

/// Lays out the next test of an oven, given all its tests in one mode.
///
/// # Errors
/// [`NextError`] where there is no map, or a rack position was not tested.
pub fn next_on(
    records: &Records,
    oven: &Oven,
    mode: Mode,
    racks: &[u8],
    count: Option<usize>,
) -> Result<Outlook, NextError> {
    let ground = ground_of_oven(records, oven, Some(mode), COARSE)?;
    let view = ground.tested()?;
    for &rack in racks {
        if view.fit.lain(rack).is_empty() {
            return Err(NextError::Untested(rack));
        }
    }
    let first = racks.first().copied().unwrap_or(1);
    next_test(&view.fit, view.by_eye, racks, count).ok_or(NextError::Untested(first))
}
