//! What else is to be known of a slice than its score.

use super::{
    crumb::{Crumb, Unreadable},
    laid::Local,
    locate::Cell,
    scores::Flag,
};

/// Share of blown-out crumb from which it is said.
const MOST_CLIPPED: f64 = 0.01;

/// Returns what else is to be known of each place.
pub(super) fn flags(
    cells: &[Cell],
    crumbs: &[Result<Crumb, Option<Unreadable>>],
    local: &[Local],
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
            let glint = crumbs[i].as_ref().is_ok_and(|c| c.clipped > MOST_CLIPPED);
            let said = |flag: Flag| local[i].flag == Some(flag);
            [
                (is_reference(i), Flag::Reference),
                (
                    outline.centre.distance(cell.place) > 0.2 * cell.pitch,
                    Flag::Shifted,
                ),
                (angle.abs() > 12.0 && gain > 0.06, Flag::Turned),
                (touching, Flag::Touching),
                (glint || said(Flag::Glare), Flag::Glare),
                (said(Flag::Shadow), Flag::Shadow),
                (said(Flag::Uneven), Flag::Uneven),
            ]
            .into_iter()
            .filter_map(|(holds, flag)| holds.then_some(flag))
            .collect()
        })
        .collect()
}
