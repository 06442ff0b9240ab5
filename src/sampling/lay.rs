//! Laying a picture out: where lattice, slices and crumb are, how the light falls, and what in it has
//! a known lightness.

use super::{
    agree,
    crumb::{Crumb, Unreadable, crumb},
    laid::{Laid, Local},
    lattice::{self, NoLattice},
    light::Light,
    locate::{Located, Matched, locate},
    patch,
    picture::{Picture, luminance},
    planes::{Search, warmth},
    quality::{Quality, sharpness},
    references,
    request::{Reference, Request, SamplingError, Side},
    spoil,
};
use crate::{
    geometry::{Homography, Point},
    model::Warning,
    numeric::quantile::quantile,
};

/// Mean luminance of the crumb below which a picture is too dark, share of full brightness.
const TOO_DARK: f64 = 0.02;
/// A channel above this share of full brightness is blown out.
const BLOWN: f32 = 0.98;
/// Every so many pixels are looked at for the exposure.
const EXPOSURE_STEP: usize = 37;
/// Sharpness below which a picture is refused.
const BLURRED: f64 = 0.75;
/// Sharpness of a picture in focus, about (rendered ones lie between 1.25 and 1.6).
const IN_FOCUS: f64 = 1.4;
/// Least warmth, ln(red / blue), of the middling slice: even pale crumb in bluish light has more.
pub(super) const LEAST_WARM: f64 = 0.25;
/// Scatter of hue beside bread's own path, natural logarithm, from which it is no bread.
const MANY_COLOURS: f64 = 0.6;
/// Share of slices that must be blown out before the picture is refused.
const MOST_BLOWN: f64 = 0.34;
/// Least contrast of the middling slice: below it bread and the figure of a wooden board are one.
/// Slices of rendered photos that read well have 0.52 and more, those that did not 0.44 and less.
const LEAST_USUAL: f64 = 0.48;
/// Share of the places that must hold a slice.
const LEAST_PRESENT: f64 = 0.5;

/// Finds lattice, slices, crumb, light and references of a picture.
///
/// Where nothing is found in a picture that is black or blown out, that is what is said.
pub(super) fn lay(picture: &Picture, request: &Request) -> Result<Laid, SamplingError> {
    let unseen = |why: &SamplingError| {
        matches!(
            why,
            SamplingError::NoLattice { .. }
                | SamplingError::OtherCounts { .. }
                | SamplingError::MoreSlices { .. }
                | SamplingError::NoBread { .. }
                | SamplingError::NoFit { .. }
                | SamplingError::Faint { .. }
        )
    };
    lay_out(picture, request).map_err(|why| {
        let badly_lit = unseen(&why).then(|| exposure(picture)).flatten();
        badly_lit.unwrap_or(why)
    })
}

/// Returns what is wrong with the exposure of the whole picture; `None` where it could be read.
fn exposure(picture: &Picture) -> Option<SamplingError> {
    let some = picture.pixels.iter().step_by(EXPOSURE_STEP);
    let levels: Vec<f64> = some.clone().map(|p| f64::from(luminance(*p))).collect();
    let middle = quantile(&levels, 0.5);
    let blown = some.filter(|p| p.iter().any(|v| *v > BLOWN)).count();
    let share = blown as f64 / levels.len().max(1) as f64;
    if middle < TOO_DARK {
        Some(SamplingError::TooDark {
            percent: 100.0 * middle,
        })
    } else {
        (share > MOST_BLOWN).then_some(SamplingError::Washed {
            percent: 100.0 * share,
        })
    }
}

fn lay_out(picture: &Picture, request: &Request) -> Result<Laid, SamplingError> {
    let (width, height) = picture.photo_size();
    request.check(width, height)?;
    let (map, Located { cells, contrast }, search) = place(picture, request)?;
    let search = search.unwrap_or_else(|| Search::new(picture, request.rows * request.cols));
    let found = cells.iter().filter(|c| c.outline.is_some()).count();
    if (found as f64) < LEAST_PRESENT * cells.len() as f64 || found < 2 {
        return Err(SamplingError::NoBread {
            found,
            wanted: cells.len(),
        });
    }
    if contrast < LEAST_USUAL {
        return Err(SamplingError::Faint {
            percent: (contrast.exp() - 1.0) * 100.0,
            first: if request.corners.is_some() {
                "check that the corners stand around the places of the slices, or "
            } else {
                ""
            },
        });
    }
    let grid = agree::fit(request, &map, &cells, &search);
    let mut warnings: Vec<Warning> = agree::judge(&grid, request)?.into_iter().collect();
    warnings.extend(agree::mirrored(&grid));
    warnings.extend(request.corners.as_ref().and_then(agree::turned));
    let sides: Vec<f64> = cells
        .iter()
        .filter_map(|c| c.outline.as_ref().map(|o| o.side / c.pitch))
        .collect();
    let usual = quantile(&sides, 0.5);
    let crumbs: Vec<Result<Crumb, Option<Unreadable>>> = cells
        .iter()
        .map(|c| {
            let faint = c.faint.then_some(Unreadable::Faint);
            let outline = c.outline.as_ref().ok_or(faint)?;
            crumb(picture, outline, usual * c.pitch).map_err(Some)
        })
        .collect();
    let quality = judge(picture, &map, &crumbs)?;
    let named: Vec<[Point; 4]> = request
        .references
        .iter()
        .filter_map(|r| match r {
            Reference::White(place) | Reference::Grey(place, _) => {
                Some(patch::named(picture, place))
            }
            Reference::Slice { .. } => None,
        })
        .collect();
    let light = Light::fit(picture, &cells, &named);
    warnings.extend(unlit(&light));
    let mut laid = Laid {
        map,
        grid,
        offsets: vec![None; cells.len()],
        local: vec![Local::default(); cells.len()],
        cells,
        crumbs,
        light,
        references: Vec::new(),
        quality,
        warnings,
    };
    let untoasted = references::likely_slices(request, &laid);
    spoil::look(picture, &mut laid, |i| !untoasted.contains(&i));
    if request.references.is_empty() {
        laid.references = references::look_for(picture, request, &search, &mut laid);
    } else {
        let named = request.references.iter();
        let (good, said) =
            references::usable(named.map(|r| references::measure(picture, request, &laid, r)))?;
        laid.references = good;
        laid.warnings.extend(said);
        references::leave_shaded(picture, &mut laid);
    }
    laid.warnings
        .extend(references::disagreement(&laid.references));
    Ok(laid)
}

/// Says what light that is not seen does to the scores.
fn unlit(light: &Light) -> Option<Warning> {
    (!light.seen).then(|| {
        Warning::new(
            "too little background is seen around the slices, so a slant of the light stays in the scores",
            "step back, or take a second photo with the tray turned end for end",
        )
    })
}

/// Returns the counts in which the slices do stand, where a lattice of them fits: those seen from others, or exchanged.
fn counted(search: &Search, asked: (usize, usize), seen: (usize, usize)) -> Option<(usize, usize)> {
    let mut next = seen;
    for _ in 0..3 {
        match lattice::find(&search.regions, next) {
            Ok(_) => return Some(next),
            Err(NoLattice::OtherCounts { rows, cols }) if (rows, cols) != next => {
                next = (rows, cols);
            }
            Err(_) => break,
        }
    }
    let exchanged = (asked.1, asked.0);
    lattice::find(&search.regions, exchanged)
        .ok()
        .map(|_| exchanged)
}

/// Finds the lattice, or takes the corners given, and the slices on it.
fn place(
    picture: &Picture,
    request: &Request,
) -> Result<(Homography, Located, Option<Search>), SamplingError> {
    if let Some(corners) = &request.corners {
        let here = corners.map(|c| picture.from_photo(c));
        let map = Homography::of_unit_square(&here).map_err(|_e| {
            let (width, height) = picture.photo_size();
            SamplingError::Corners {
                corners: corners.map(|c| format!("{:.0},{:.0}", c.x, c.y)).join(" "),
                why: "three lie on a line",
                width,
                height,
            }
        })?;
        let located = locate(picture, &map, (request.rows, request.cols), None);
        return Ok((map, located, None));
    }
    let search = Search::new(picture, request.rows * request.cols);
    let seen = match request.back {
        Side::Top | Side::Bottom => (request.rows, request.cols),
        Side::Left | Side::Right => (request.cols, request.rows),
    };
    let none = |found: usize| SamplingError::NoLattice {
        found,
        wanted: request.rows * request.cols,
        rows: request.rows,
        cols: request.cols,
    };
    let lattice = lattice::find(&search.regions, seen).map_err(|e| match e {
        NoLattice::TooFew(found) => none(found),
        NoLattice::Others(others) => SamplingError::MoreSlices {
            others,
            rows: request.rows,
            cols: request.cols,
        },
        NoLattice::OtherCounts { rows, cols } => {
            let found = counted(&search, seen, (rows, cols));
            let (found_rows, found_cols) = found.unwrap_or((rows, cols));
            SamplingError::OtherCounts {
                found_rows,
                found_cols,
                rows: seen.0,
                cols: seen.1,
            }
        }
    })?;
    let [tl, tr, br, bl] = lattice::corners_of(&lattice.map).map(|p| search.up(p));
    let corners = match request.back {
        Side::Top => [tl, tr, br, bl],
        Side::Right => [tr, br, bl, tl],
        Side::Bottom => [br, bl, tl, tr],
        Side::Left => [bl, tl, tr, br],
    };
    let map = Homography::of_unit_square(&corners).map_err(|_e| none(0))?;
    // the lattice was found as the picture shows it, the cells are numbered as the oven has them
    let down = |p: Point| search.down(p);
    let matched: Vec<Option<usize>> = (0..request.rows * request.cols)
        .map(|i| {
            let here = down(map.map(lattice::cell_centre(i, (request.rows, request.cols))));
            lattice.matched[lattice::cell_at(lattice.map.unmap(here), seen)]
        })
        .collect();
    let matched = Matched {
        planes: &search.planes,
        regions: &search.regions,
        cells: &matched,
        step: search.step,
    };
    let located = locate(picture, &map, (request.rows, request.cols), Some(&matched));
    Ok((map, located, Some(search)))
}

/// Returns how far the slices scatter across the one path that bread takes as it browns: green against red and
/// blue, natural logarithm, beside what warmth explains.
fn hues(read: &[&Crumb]) -> f64 {
    let looks: Vec<(f64, f64)> = read
        .iter()
        .map(|c| {
            let n = c.pixels.len().max(1) as f64;
            let [r, g, b] = std::array::from_fn(|k| {
                (c.pixels
                    .iter()
                    .map(|p| f64::from(p[k].max(0.0)))
                    .sum::<f64>()
                    / n
                    + 0.004)
                    .ln()
            });
            (r - b, 2.0 * g - r - b)
        })
        .collect();
    let middle =
        |of: fn(&(f64, f64)) -> f64| quantile(&looks.iter().map(of).collect::<Vec<_>>(), 0.5);
    let (x, y) = (middle(|l| l.0), middle(|l| l.1));
    let (xx, xy) = looks.iter().fold((0.05, 0.0), |s, l| {
        (s.0 + (l.0 - x).powi(2), s.1 + (l.0 - x) * (l.1 - y))
    });
    let rest: Vec<f64> = looks
        .iter()
        .map(|l| (l.1 - y - xy / xx * (l.0 - x)).abs())
        .collect();
    quantile(&rest, 0.75)
}

/// Measures brightness, blown-out share and sharpness, and refuses what cannot be read.
pub(super) fn judge(
    picture: &Picture,
    map: &Homography,
    crumbs: &[Result<Crumb, Option<Unreadable>>],
) -> Result<Quality, SamplingError> {
    let read: Vec<&Crumb> = crumbs.iter().filter_map(|c| c.as_ref().ok()).collect();
    let blown = crumbs
        .iter()
        .filter(|c| matches!(c, Err(Some(Unreadable::BlownOut))))
        .count();
    let slices = read.len() + blown;
    if slices > 0 && blown as f64 >= MOST_BLOWN * slices as f64 {
        return Err(SamplingError::TooBright {
            clipped: blown,
            slices,
        });
    }
    let warmths: Vec<f64> = read
        .iter()
        .flat_map(|c| c.pixels.iter())
        .map(|&p| f64::from(warmth(p)))
        .collect();
    if quantile(&warmths, 0.5) < LEAST_WARM {
        return Err(SamplingError::NotBread { found: slices });
    }
    if hues(&read) > MANY_COLOURS {
        return Err(SamplingError::ManyColours { found: slices });
    }
    let levels: Vec<f64> = read
        .iter()
        .flat_map(|c| c.pixels.iter())
        .map(|&p| f64::from(luminance(p)))
        .collect();
    let brightness = levels.iter().sum::<f64>() / levels.len().max(1) as f64;
    if brightness < TOO_DARK {
        return Err(SamplingError::TooDark {
            percent: brightness * 100.0,
        });
    }
    let corners = lattice::corners_of(map);
    let low = Point::new(
        corners.iter().map(|c| c.x).fold(f64::MAX, f64::min),
        corners.iter().map(|c| c.y).fold(f64::MAX, f64::min),
    );
    let high = Point::new(
        corners.iter().map(|c| c.x).fold(f64::MIN, f64::max),
        corners.iter().map(|c| c.y).fold(f64::MIN, f64::max),
    );
    let quality = Quality {
        sharpness: sharpness(picture, low, high),
        brightness,
        clipped: read.iter().map(|c| c.clipped).sum::<f64>() / read.len().max(1) as f64,
    };
    if quality.sharpness < BLURRED {
        return Err(SamplingError::Blurred {
            percent: quality.sharpness / IN_FOCUS * 100.0,
        });
    }
    Ok(quality)
}
