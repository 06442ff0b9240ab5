//! A tray of what was baked: cookies, rolls, whatever lies anywhere in pieces of much the same size.
//!
//! No lattice is looked for: the largest set of solid, warm patches of one size that do not overlap
//! is taken for the pieces. Only relative browning is told; what the dough was before is not known.

use super::{
    agree::GridFit,
    crumb::{Unreadable, crumb},
    flags::flags,
    laid::{Laid, Local},
    lay::judge,
    light::Light,
    locate::{Cell, contrast, is_distinct},
    outline::Outline,
    picture::Picture,
    planes::{Search, warmth},
    regions::Region,
    request::SamplingError,
    score::{LIGHTEST, Seen, middle_and_mean, score, set_against_mean},
    scores::{Flag, SliceScore},
    tone::ToneCurve,
};
use crate::{
    geometry::{Homography, Point},
    model::Warning,
    numeric::{quantile::quantile, whole},
};

/// Pieces that could fill the picture: the search looks for areas around that.
const COULD_FILL: usize = 24;
/// Greatest ratio of the areas of two pieces of one tray.
const AREA_RATIO: f64 = 1.6;
/// Fewest pieces worth comparing.
const FEWEST: usize = 2;
/// Most pieces told apart.
const MOST: usize = 60;

/// Share of the pieces that may touch before it is said that they hide one another.
const MANY_TOUCH: f64 = 0.25;

/// One piece of what was baked.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// Its middle in the photo, pixels.
    pub centre: Point,
    /// Square root of its area in the photo, pixels.
    pub side: f64,
    /// Its colour and browning, or why it was left out; the shade is that of bread of the same lightness.
    pub score: Result<SliceScore, Unreadable>,
    /// What else is to know.
    pub flags: Vec<Flag>,
}

/// The pieces of a tray.
#[derive(Debug, Clone, PartialEq)]
pub struct Pieces {
    /// Row by row from the top of the picture.
    pub pieces: Vec<Piece>,
    /// What else the user should know.
    pub warnings: Vec<Warning>,
}

/// Reads the pieces on a tray, row by row from the top of the picture.
///
/// `dough` is the L* of the unbaked dough; relative browning depends on it a little.
///
/// # Errors
/// [`SamplingError::NoPieces`] when fewer than two pieces of one size are seen, and as [`super::read`] where the
/// picture is too bright, too dark, blurred, or shows nothing baked.
pub fn read_pieces(picture: &Picture, dough: f64) -> Result<Pieces, SamplingError> {
    let search = Search::new(picture, COULD_FILL);
    let cells = cells(picture, &search);
    if cells.len() < FEWEST {
        return Err(SamplingError::NoPieces { found: cells.len() });
    }
    let mut laid = laid(picture, cells)?;
    super::spoil::look(picture, &mut laid, |_| true);
    let light = &laid.light;
    let seen = Seen::of_all(&laid);
    if seen.len() < FEWEST {
        return Err(SamplingError::NoPieces { found: seen.len() });
    }
    let (middle, mean) = middle_and_mean(&seen);
    let lightest = seen.iter().map(Seen::level).fold(f64::MIN, f64::max);
    // nothing is known of the level but that no piece is lighter than its dough
    let curve = ToneCurve::fit(&[], &[], mean).no_lighter(lightest, dough.min(LIGHTEST));
    let usual = usual_side(&laid.cells);
    let flags = flags(&laid.cells, &laid.crumbs, &laid.local, |_| false);
    let mut pieces: Vec<Piece> = outlines(&laid.cells)
        .enumerate()
        .map(|(i, outline)| Piece {
            centre: picture.to_photo(outline.centre),
            side: outline.side * picture.scale,
            score: match (&laid.crumbs[i], laid.local[i].out) {
                (Ok(crumb), None) => {
                    let sd = light
                        .sd_between(crumb.centre, middle)
                        .hypot(laid.local[i].sd);
                    let seen = Seen::of(crumb, light, laid.offset(i));
                    Ok(score(crumb, &seen, &curve, (sd, dough)))
                }
                (Ok(_), Some(why)) | (&Err(Some(why)), _) => Err(why),
                (Err(None), _) => Err(Unreadable::TooSmall),
            },
            flags: flags[i].clone(),
        })
        .collect();
    let touching = flags.iter().filter(|f| f.contains(&Flag::Touching)).count();
    set_against_mean(pieces.iter_mut().flat_map(|p| &mut p.score).collect());
    let mut warnings = laid.warnings;
    warnings.extend(cautions(touching, pieces.len()));
    Ok(Pieces {
        pieces: by_rows(pieces, usual * picture.scale),
        warnings,
    })
}

/// Says that pieces which touch may be read wrongly, and that no shade is sure.
fn cautions(touching: usize, all: usize) -> Vec<Warning> {
    let mut said = Vec::new();
    if touching as f64 > MANY_TOUCH * all as f64 {
        said.push(Warning::new(
            format!("{touching} of {all} pieces touch or overlap, so parts of them may be taken for pieces"),
            "lay them apart and photograph them again",
        ));
    }
    said.push(Warning::new(
        "nothing of known lightness is looked for, so shades are a guess, and only how the pieces differ counts",
        "",
    ));
    said
}

/// Lays pieces out as slices are, without a grid.
fn laid(picture: &Picture, cells: Vec<Cell>) -> Result<Laid, SamplingError> {
    let usual = usual_side(&cells);
    let crumbs: Vec<_> = outlines(&cells)
        .map(|o| crumb(picture, o, usual).map_err(Some))
        .collect();
    let (w, h) = (picture.width as f64, picture.height as f64);
    let frame = [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)].map(|(x, y)| Point::new(x, y));
    let map =
        Homography::of_unit_square(&frame).map_err(|_e| SamplingError::NoPieces { found: 0 })?;
    let quality = judge(picture, &map, &crumbs)?;
    Ok(Laid {
        map,
        grid: GridFit::of_no_grid(),
        offsets: vec![None; cells.len()],
        local: vec![Local::default(); cells.len()],
        light: Light::fit(picture, &cells, &[]),
        cells,
        crumbs,
        references: Vec::new(),
        quality,
        warnings: Vec::new(),
    })
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
        quantile(&steps, 0.5)
    }
}

fn outlines(cells: &[Cell]) -> impl Iterator<Item = &Outline> {
    cells.iter().filter_map(|c| c.outline.as_ref())
}

/// Returns the side of the middling piece.
fn usual_side(cells: &[Cell]) -> f64 {
    quantile(&outlines(cells).map(|o| o.side).collect::<Vec<_>>(), 0.5)
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
                let pixel = picture.at(
                    whole::floor(p.x).min(picture.width - 1),
                    whole::floor(p.y).min(picture.height - 1),
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
            flags: Vec::new(),
            score: Ok(SliceScore {
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
            }),
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
