//! What else is to be known of a slice than its score.

use super::{
    crumb::{Crumb, Unreadable},
    locate::Cell,
    scores::Flag,
};

/// Returns what else is to be known of each place.
pub(super) fn flags(
    cells: &[Cell],
    crumbs: &[Result<Crumb, Option<Unreadable>>],
    is_reference: impl Fn(usize) -> bool,
) -> Vec<Vec<Flag>> {
    (0..cells.len())
        .map(|i| {
            let cell = &cells[i];
            let Some(outline) = &cell.outline else {
                return Vec::new();
            };
            let touching = cells.iter().enumerate().any(|(j, other)| {
                j != i
                    && other.outline.as_ref().is_some_and(|o| {
                        let gap =
                            o.centre.distance(outline.centre) - f64::midpoint(o.side, outline.side);
                        gap < 0.04 * outline.side
                    })
            });
            let (angle, gain) = outline.turned(cell.along);
            let glare = crumbs[i]
                .as_ref()
                .is_ok_and(|c| c.clipped > 0.01 || c.left_out > 0.05);
            [
                (is_reference(i), Flag::Reference),
                (
                    outline.centre.distance(cell.place) > 0.2 * cell.pitch,
                    Flag::Shifted,
                ),
                (angle.abs() > 12.0 && gain > 0.06, Flag::Turned),
                (touching, Flag::Touching),
                (glare, Flag::Glare),
                (crumbs[i].as_ref().is_ok_and(|c| c.shadow), Flag::Shadow),
            ]
            .into_iter()
            .filter_map(|(holds, flag)| holds.then_some(flag))
            .collect()
        })
        .collect()
}
