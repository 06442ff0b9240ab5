//! A tray of what was baked: cookies, rolls, whatever lies anywhere in pieces of much the same size.
//!
//! No lattice is looked for: the largest set of solid, warm patches of one size that do not overlap
//! is taken for the pieces. Only relative browning is told; what the dough was before is not known.

use super::{
    crumb::crumb,
    light::Light,
    locate::{Cell, contrast, is_distinct},
    outline::Outline,
    picture::Picture,
    planes::{Search, warmth},
    regions::Region,
    request::SamplingError,
    score::{Seen, score},
    scores::SliceScore,
    tone::ToneCurve,
};
use crate::geometry::Point;

/// Pieces that could fill the picture: the search looks for areas around that.
const COULD_FILL: usize = 24;
/// Greatest ratio of the areas of two pieces of one tray.
const AREA_RATIO: f64 = 1.6;
/// Fewest pieces worth comparing.
const FEWEST: usize = 2;
/// Most pieces told apart.
const MOST: usize = 60;

/// One piece of what was baked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Piece {
    /// Its middle in the photo, pixels.
    pub centre: Point,
    /// Square root of its area in the photo, pixels.
    pub side: f64,
    /// Its colour and browning; the shade is that of bread of the same lightness.
    pub score: SliceScore,
}

/// Reads the pieces on a tray, row by row from the top of the picture.
///
/// `dough` is the L* of the unbaked dough; relative browning depends on it a little.
///
/// # Errors
/// [`SamplingError::NoPieces`] when fewer than two pieces of one size are seen.
pub fn read_pieces(picture: &Picture, dough: f64) -> Result<Vec<Piece>, SamplingError> {
    let search = Search::new(picture, COULD_FILL);
    let cells = cells(picture, &search);
    if cells.len() < FEWEST {
        return Err(SamplingError::NoPieces { found: cells.len() });
    }
    let light = Light::fit(picture, &cells, &[]);
    let sides: Vec<f64> = outlines(&cells).map(|o| o.side).collect();
    let usual = crate::numeric::quantile::quantile(&sides, 0.5);
    let found: Vec<_> = outlines(&cells)
        .filter_map(|o| Some((o, crumb(picture, o, usual).ok()?)))
        .collect();
    if found.len() < FEWEST {
        return Err(SamplingError::NoPieces { found: found.len() });
    }
    let n = found.len() as f64;
    let middle = Point::new(
        found.iter().map(|f| f.1.centre.x).sum::<f64>() / n,
        found.iter().map(|f| f.1.centre.y).sum::<f64>() / n,
    );
    let seen: Vec<Seen> = found.iter().map(|f| Seen::of(&f.1, &light, 0.0)).collect();
    let mean = std::array::from_fn(|c| seen.iter().map(|s| s.mean[c]).sum::<f64>() / n);
    let curve = ToneCurve::fit(&[], &[], mean);
    let mut pieces: Vec<Piece> = found
        .iter()
        .zip(&seen)
        .map(|((outline, crumb), seen)| Piece {
            centre: picture.to_photo(outline.centre),
            side: outline.side * picture.scale,
            score: score(
                crumb,
                seen,
                &curve,
                (light.sd_between(crumb.centre, middle), dough),
            ),
        })
        .collect();
    let mean = pieces.iter().map(|p| p.score.browning.0).sum::<f64>() / n;
    for piece in &mut pieces {
        piece.score.relative = (mean > 1e-3).then(|| piece.score.browning.0 / mean);
    }
    Ok(by_rows(pieces, usual * picture.scale))
}

/// Puts pieces about `side` px large into reading order: rows from the top, each from the left, however the
/// camera was tilted.
fn by_rows(mut pieces: Vec<Piece>, side: f64) -> Vec<Piece> {
    let slant = slant(&pieces, side);
    let height = |p: &Piece| p.centre.y - slant * p.centre.x;
    pieces.sort_by(|a, b| height(a).total_cmp(&height(b)));
    pieces
        .chunk_by(|a, b| height(b) - height(a) < side / 2.0)
        .flat_map(|row| {
            let mut row = row.to_vec();
            row.sort_by(|a, b| a.centre.x.total_cmp(&b.centre.x));
            row
        })
        .collect()
}

/// Returns how far rows fall to the right, px for each px: the middling step to the nearest piece beside.
fn slant(pieces: &[Piece], side: f64) -> f64 {
    let steps: Vec<f64> = pieces
        .iter()
        .filter_map(|p| {
            let beside = pieces
                .iter()
                .map(|o| (o.centre.x - p.centre.x, o.centre.y - p.centre.y))
                .filter(|(dx, dy)| *dx > side / 2.0 && *dx < 4.0 * side && dy.abs() < dx / 2.0);
            beside
                .min_by(|a, b| a.0.hypot(a.1).total_cmp(&b.0.hypot(b.1)))
                .map(|(dx, dy)| dy / dx)
        })
        .collect();
    if steps.is_empty() {
        0.0
    } else {
        crate::numeric::quantile::quantile(&steps, 0.5)
    }
}

fn outlines(cells: &[Cell]) -> impl Iterator<Item = &Outline> {
    cells.iter().filter_map(|c| c.outline.as_ref())
}

/// Finds the largest set of patches that can be pieces of one tray.
fn cells(picture: &Picture, search: &Search) -> Vec<Cell> {
    let mut best: (f64, Vec<&Region>) = (0.0, Vec::new());
    for leader in search.regions.iter().take(MOST) {
        let mut group: Vec<&Region> = Vec::new();
        for r in &search.regions {
            let ratio = r.area / leader.area;
            let apart =
                |k: &&Region| k.centre.distance(r.centre) > 0.45 * (k.area.sqrt() + r.area.sqrt());
            if (1.0 / AREA_RATIO..AREA_RATIO).contains(&ratio) && group.iter().all(apart) {
                group.push(r);
            }
        }
        let group: Vec<&Region> = group
            .into_iter()
            .filter(|r| {
                let p = search.up(r.centre);
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "a patch lies in the picture"
                )]
                let pixel = picture.at(
                    (p.x.max(0.0) as usize).min(picture.width - 1),
                    (p.y.max(0.0) as usize).min(picture.height - 1),
                );
                f64::from(warmth(pixel)) > super::lay::LEAST_WARM
            })
            .collect();
        let worth: f64 = group.iter().map(|r| r.merit()).sum();
        if worth > best.0 {
            best = (worth, group);
        }
    }
    let mut cells: Vec<Cell> = best
        .1
        .into_iter()
        .filter_map(|r| {
            let plane = &search.planes[r.plane];
            let outline = Outline::of_members(
                &plane.members(r),
                plane.width,
                |p| search.up(p),
                search.step,
            )?;
            Some(Cell {
                place: outline.centre,
                pitch: outline.side * 1.2,
                along: Point::new(1.0, 0.0),
                outline: Some(outline),
                faint: false,
            })
        })
        .collect();
    let keep: Vec<bool> = cells
        .iter()
        .map(|c| {
            let outline = c.outline.as_ref();
            outline.is_some_and(|o| contrast(picture, &cells, o).is_none_or(is_distinct))
        })
        .collect();
    let mut kept = keep.iter();
    cells.retain(|_| kept.next().copied().unwrap_or(false));
    cells
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{colour::Lab, model::Browning};

    fn piece(x: f64, y: f64) -> Piece {
        Piece {
            centre: Point::new(x, y),
            side: 100.0,
            score: SliceScore {
                colour: Lab {
                    l: 60.0,
                    a: 10.0,
                    b: 30.0,
                },
                se: 1.0,
                shared_se: 1.0,
                browning: Browning(0.3),
                shade: (2.0, 1.0, 3.0),
                relative: None,
            },
        }
    }

    /// Three rows of four, 260 px apart, the camera tilted by 2.6 degrees either way, the last row a piece short.
    #[test]
    fn a_tilted_tray_is_read_row_by_row() {
        for fall in [-0.045, 0.0, 0.045] {
            let grid: Vec<(f64, f64)> = (0..11)
                .map(|i| (f64::from(i % 4), f64::from(i / 4)))
                .map(|(c, r)| {
                    let (x, y) = (200.0 + 260.0 * c, 200.0 + 260.0 * r);
                    (x - fall * y, y + fall * x)
                })
                .collect();
            let mixed = (0..11)
                .map(|i| grid[(7 * i) % 11])
                .map(|(x, y)| piece(x, y));
            let ordered = by_rows(mixed.collect(), 100.0);
            let got: Vec<(f64, f64)> = ordered.iter().map(|p| (p.centre.x, p.centre.y)).collect();
            assert_eq!(got, grid, "{fall}");
        }
    }
}
