//! The whole reading of one picture: lattice, slices, light, references, and a score for each slice.

use super::{
    crumb::{Crumb, Unreadable, crumb},
    lattice::{self, NoLattice},
    light::Light,
    locate::{Cell, Matched, locate},
    patch::{self, Measured, Tone},
    picture::Picture,
    planes::Search,
    quality::{Quality, sharpness},
    request::{Reference, Request, SamplingError},
    tone::ToneCurve,
};
use crate::{
    colour::lab::{Lab, linear_to_lab},
    geometry::{Homography, Point},
    model::{
        Warning,
        shade::{Browning, HIGHEST_SHADE},
    },
    numeric::{normal::Z90, quantile::quantile},
};

/// Independent looks that the speckled crumb of one slice is worth.
const SPECKS: f64 = 60.0;
/// Mean luminance of the crumb below which a picture is too dark, share of full brightness.
const TOO_DARK: f64 = 0.012;
/// Sharpness below which a picture is refused.
const BLURRED: f64 = 0.33;
/// Share of slices that must be blown out before the picture is refused.
const MOST_BLOWN: f64 = 0.34;
/// Share of the places that must hold a slice.
const LEAST_PRESENT: f64 = 0.5;

/// A score and what it rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SliceScore {
    /// Mean colour of the crumb, light and reference taken into account.
    pub colour: Lab,
    /// Standard error of L* against the other slices of the picture.
    pub se: f64,
    /// Standard error of L* that all slices share: the reference's, the light's towards it, the tone
    /// curve's.
    pub shared_se: f64,
    /// Browning against an untoasted slice.
    pub browning: Browning,
    /// Shade on the card, 0..9, with its 90 % interval.
    pub shade: (f64, f64, f64),
    /// Browning over the mean browning of the slices read; `None` for an untoasted reference.
    pub relative: Option<f64>,
}

/// What became of one place of the lattice.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Verdict {
    /// No slice lies here.
    Missing,
    /// A slice lies here and cannot be read.
    Unread(Unreadable),
    /// A slice was read.
    Read(SliceScore),
}

/// Something to know about a slice.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Flag {
    /// It is the untoasted reference.
    Reference,
    /// It lies more than a fifth of a step off its place.
    Shifted,
    /// It is turned by more than 12 degrees.
    Turned,
    /// It touches a neighbour.
    Touching,
    /// Part of it was left out as glare.
    Glare,
}

impl Flag {
    /// Returns the word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Reference => "reference",
            Self::Shifted => "shifted",
            Self::Turned => "turned",
            Self::Touching => "touching",
            Self::Glare => "glare",
        }
    }
}

/// One place of the lattice.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// Row from the back, from 0.
    pub row: usize,
    /// Column from the left, from 0.
    pub col: usize,
    /// Where the slice, or its empty place, lies in the photo; pixels.
    pub centre: Point,
    /// What became of it.
    pub verdict: Verdict,
    /// What else is to know.
    pub flags: Vec<Flag>,
}

/// What the light did, and how it was told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LightShare {
    /// How the light was corrected.
    pub kind: LightKind,
    /// By how much the brightest lit slice got more light than the least lit, as a share: 0.2 for 20 %.
    pub removed: f64,
}

/// How the light was corrected.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LightKind {
    /// From what is seen around the slices.
    Background,
    /// From a second photo with the tray turned end for end, and the background.
    Turned,
    /// Hardly any background: only the falling off that lenses have was taken out.
    LensOnly,
}

/// All that was read from a picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Scores {
    /// Outer corners of the lattice in the photo: back-left, back-right, front-right, front-left.
    pub corners: [Point; 4],
    /// References used.
    pub references: Vec<Measured>,
    /// What was done about the light.
    pub light: LightShare,
    /// One for each place, row by row from the back.
    pub places: Vec<Place>,
    /// How well the picture could be read.
    pub quality: Quality,
    /// What else the user should know.
    pub warnings: Vec<Warning>,
}

/// A picture whose slices are found and whose light is known; not yet scored.
pub(super) struct Laid {
    pub(super) map: Homography,
    pub(super) cells: Vec<Cell>,
    pub(super) crumbs: Vec<Result<Crumb, Option<Unreadable>>>,
    pub(super) light: Light,
    pub(super) references: Vec<Measured>,
    pub(super) quality: Quality,
    pub(super) warnings: Vec<Warning>,
}

/// Reads one picture.
///
/// # Errors
/// [`SamplingError`] when the request cannot be, or the picture is refused: no bread in rows and
/// columns, blown out, too dark, blurred, or a reference that cannot be used.
pub fn read(picture: &Picture, request: &Request) -> Result<Scores, SamplingError> {
    let laid = lay(picture, request)?;
    let kind = if laid.light.seen {
        LightKind::Background
    } else {
        LightKind::LensOnly
    };
    Ok(finish(picture, request, laid, kind, |light, p, q| {
        light.sd_between(p, q)
    }))
}

/// Finds lattice, slices, crumb, light and references of a picture.
pub(super) fn lay(picture: &Picture, request: &Request) -> Result<Laid, SamplingError> {
    let (width, height) = photo_size(picture);
    request.check(width, height)?;
    let (map, cells, search) = place(picture, request)?;
    let found = cells.iter().filter(|c| c.outline.is_some()).count();
    if (found as f64) < LEAST_PRESENT * cells.len() as f64 || found < 2 {
        return Err(SamplingError::NoBread {
            found,
            wanted: cells.len(),
        });
    }
    let sides: Vec<f64> = cells
        .iter()
        .filter_map(|c| c.outline.as_ref().map(|o| o.side / c.pitch))
        .collect();
    let usual = quantile(&sides, 0.5);
    let crumbs: Vec<Result<Crumb, Option<Unreadable>>> = cells
        .iter()
        .map(|c| {
            let outline = c.outline.as_ref().ok_or(None)?;
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
    let mut warnings = Vec::new();
    if !light.seen {
        warnings.push(Warning::new(
            "hardly any background is seen around the slices, so a slant of the light stays in the scores",
            "step back, or take a second photo with the tray turned end for end",
        ));
    }
    let mut laid = Laid {
        map,
        cells,
        crumbs,
        light,
        references: Vec::new(),
        quality,
        warnings,
    };
    laid.references = if request.references.is_empty() {
        let search = search.unwrap_or_else(|| Search::new(picture, request.rows * request.cols));
        look_for(picture, request, &search, &mut laid)
    } else {
        request
            .references
            .iter()
            .map(|r| measure(picture, request, &laid, r))
            .collect::<Result<_, _>>()?
    };
    Ok(laid)
}

/// Returns width and height of the upright photo.
fn photo_size(picture: &Picture) -> (usize, usize) {
    let full = |n: usize| {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a count of pixels times a scale of at least 1"
        )]
        let size = (n as f64 * picture.scale).round() as usize;
        size
    };
    (full(picture.width), full(picture.height))
}

/// Finds the lattice, or takes the corners given, and the slices on it.
fn place(
    picture: &Picture,
    request: &Request,
) -> Result<(Homography, Vec<Cell>, Option<Search>), SamplingError> {
    let counts = (request.rows, request.cols);
    if let Some(corners) = &request.corners {
        let here = corners.map(|c| picture.from_photo(c));
        let map = Homography::of_unit_square(&here).map_err(|_e| {
            let (width, height) = photo_size(picture);
            SamplingError::Corners {
                corners: corners.map(|c| format!("{},{}", c.x, c.y)).join(" "),
                why: "three lie on a line",
                width,
                height,
            }
        })?;
        let cells = locate(picture, &map, counts, None);
        return Ok((map, cells, None));
    }
    let search = Search::new(picture, request.rows * request.cols);
    let lattice = lattice::find(&search.regions, counts).map_err(|e| match e {
        NoLattice::TooFew(found) => SamplingError::NoLattice {
            found,
            wanted: request.rows * request.cols,
            rows: request.rows,
            cols: request.cols,
        },
        NoLattice::OtherCounts { rows, cols } => SamplingError::OtherCounts {
            found_rows: rows,
            found_cols: cols,
            rows: request.rows,
            cols: request.cols,
        },
    })?;
    let corners = corners_of(&lattice.map).map(|p| search.up(p));
    let map = Homography::of_unit_square(&corners).map_err(|_e| SamplingError::NoLattice {
        found: 0,
        wanted: request.rows * request.cols,
        rows: request.rows,
        cols: request.cols,
    })?;
    let matched = Matched {
        planes: &search.planes,
        regions: &search.regions,
        cells: &lattice.matched,
        step: search.step,
    };
    let cells = locate(picture, &map, counts, Some(&matched));
    Ok((map, cells, Some(search)))
}

/// Returns where a map puts the corners of the unit square.
fn corners_of(map: &Homography) -> [Point; 4] {
    [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)].map(|(x, y)| map.map(Point::new(x, y)))
}

/// Measures brightness, blown-out share and sharpness, and refuses what cannot be read.
fn judge(
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
    let levels: Vec<f64> = read
        .iter()
        .flat_map(|c| c.pixels.iter())
        .map(|&p| f64::from(super::picture::luminance(p)))
        .collect();
    let brightness = levels.iter().sum::<f64>() / levels.len().max(1) as f64;
    if brightness < TOO_DARK {
        return Err(SamplingError::TooDark {
            percent: brightness * 100.0,
        });
    }
    let corners = corners_of(map);
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
            percent: quality.sharpness,
        });
    }
    Ok(quality)
}

/// Measures a reference that was named.
fn measure(
    picture: &Picture,
    request: &Request,
    laid: &Laid,
    kind: &Reference,
) -> Result<Measured, SamplingError> {
    let (width, height) = photo_size(picture);
    let refuse = |why: &str| SamplingError::Reference {
        what: describe(kind),
        why: why.to_owned(),
        width,
        height,
    };
    let (truth, sd) = patch::taken(kind, request.untoasted);
    let (seen, clipped, centre) = match kind {
        Reference::Slice { .. } => {
            let cell = patch::cell_of(kind, (request.rows, request.cols))
                .ok_or_else(|| refuse("there is no such row and column"))?;
            let crumb = laid.crumbs[cell].as_ref().map_err(|e| match e {
                None => refuse("no slice lies there"),
                Some(why) => refuse(why.words()),
            })?;
            // the median: an untoasted slice is even, and a trace of its crust would pull a mean
            let pixels: Vec<([f32; 3], Point)> =
                crumb.pixels.iter().map(|&p| (p, crumb.centre)).collect();
            let (seen, _) = patch::median_colour(&pixels, &laid.light);
            (seen, 0.0, crumb.centre)
        }
        Reference::White(place) | Reference::Grey(place, _) => {
            let pixels = patch::pixels_inside(picture, &patch::named(picture, place));
            if pixels.len() < 16 {
                return Err(refuse("it is too small or lies outside the picture"));
            }
            let (seen, clipped) = patch::median_colour(&pixels, &laid.light);
            let c = place.corners();
            (seen, clipped, picture.from_photo(c[0].towards(c[2], 0.5)))
        }
    };
    if clipped > 0.5 {
        return Err(refuse("it is blown out to white, so it holds no figure"));
    }
    if patch::luminance64(seen) < 1e-3 {
        return Err(refuse("it is black in the picture"));
    }
    Ok(Measured {
        kind: *kind,
        looked_for: false,
        truth,
        sd,
        seen,
        centre,
    })
}

/// Returns a reference in the words it can be given in.
pub fn describe(kind: &Reference) -> String {
    match kind {
        Reference::Slice { row, col } => format!("slice:{row},{col}"),
        Reference::White(r) => {
            format!("white:{:.0},{:.0},{:.0},{:.0}", r.x, r.y, r.width, r.height)
        }
        Reference::Grey(r, l) => {
            format!(
                "grey:{:.0},{:.0},{:.0},{:.0}:{l}",
                r.x, r.y, r.width, r.height
            )
        }
    }
}

/// Returns the mean colour of a crumb, the light at its middle taken out, and that middle.
fn mean_of(crumb: &Crumb, light: &Light) -> ([f64; 3], Point) {
    let n = crumb.pixels.len() as f64;
    let factor = (-light.at(crumb.centre)).exp();
    let mean = std::array::from_fn(|c| {
        crumb.pixels.iter().map(|p| f64::from(p[c])).sum::<f64>() / n * factor
    });
    (mean, crumb.centre)
}

/// Looks for an untoasted slice and for cards.
fn look_for(
    picture: &Picture,
    request: &Request,
    search: &Search,
    laid: &mut Laid,
) -> Vec<Measured> {
    let tones: Vec<Option<Tone>> = laid
        .crumbs
        .iter()
        .map(|c| {
            let crumb = c.as_ref().ok()?;
            Some(patch::tone_of(&crumb.pixels, &laid.light, crumb.centre))
        })
        .collect();
    let mut found = Vec::new();
    if let Some(cell) = patch::untoasted(&tones) {
        let kind = Reference::Slice {
            row: cell / request.cols,
            col: cell % request.cols,
        };
        found.extend(measure(picture, request, laid, &kind));
    }
    let known: Vec<Tone> = tones.iter().flatten().copied().collect();
    let cards = patch::cards(
        picture,
        (&laid.cells, &laid.map),
        search,
        &known,
        &laid.light,
    );
    if !cards.is_empty() {
        // a card is no background: the light is told anew without it
        let squares: Vec<[Point; 4]> = cards.iter().map(|(_, o)| o.square(1.3)).collect();
        laid.light = Light::fit(picture, &laid.cells, &squares);
    }
    for (kind, outline) in cards {
        let kind = in_photo(picture, kind);
        let (truth, sd) = patch::taken(&kind, request.untoasted);
        let pixels = patch::pixels_inside(picture, &outline.square(0.7));
        let (seen, clipped) = patch::median_colour(&pixels, &laid.light);
        if clipped < 0.5 {
            found.push(Measured {
                kind,
                looked_for: true,
                truth,
                sd,
                seen,
                centre: outline.centre,
            });
        }
    }
    for f in &mut found {
        f.looked_for = true;
    }
    if found.is_empty() {
        laid.warnings.push(Warning::new(
            "nothing of known lightness was found in the picture, so shades are a guess and only relative browning counts",
            "lay an untoasted slice on the tray, or a white card beside it, and name it as the reference",
        ));
    }
    found
}

/// Moves a card's rectangle from pixels of the picture to pixels of the photo.
fn in_photo(picture: &Picture, kind: Reference) -> Reference {
    let moved = |r: super::request::Rectangle| {
        let low = picture.to_photo(Point::new(r.x, r.y));
        super::request::Rectangle {
            x: low.x,
            y: low.y,
            width: r.width * picture.scale,
            height: r.height * picture.scale,
        }
    };
    match kind {
        Reference::Slice { .. } => kind,
        Reference::White(r) => Reference::White(moved(r)),
        Reference::Grey(r, l) => Reference::Grey(moved(r), l),
    }
}

/// Turns what was laid out into scores.
pub(super) fn finish(
    picture: &Picture,
    request: &Request,
    laid: Laid,
    kind: LightKind,
    light_sd: impl Fn(&Light, Point, Point) -> f64,
) -> Scores {
    let Laid {
        map,
        cells,
        crumbs,
        light,
        references,
        quality,
        mut warnings,
    } = laid;
    let means: Vec<Option<([f64; 3], Point)>> = crumbs
        .iter()
        .map(|c| c.as_ref().ok().map(|c| mean_of(c, &light)))
        .collect();
    let read: Vec<&([f64; 3], Point)> = means.iter().flatten().collect();
    let n = read.len().max(1) as f64;
    let middle = Point::new(
        read.iter().map(|m| m.1.x).sum::<f64>() / n,
        read.iter().map(|m| m.1.y).sum::<f64>() / n,
    );
    let mean = std::array::from_fn(|c| read.iter().map(|m| m.0[c]).sum::<f64>() / n);
    let towards: Vec<f64> = references
        .iter()
        .map(|r| light_sd(&light, r.centre, middle))
        .collect();
    let curve = ToneCurve::fit(&references, &towards, mean);
    let is_reference = |i: usize| {
        references
            .iter()
            .any(|r| patch::cell_of(&r.kind, (request.rows, request.cols)) == Some(i))
    };
    let mut verdicts: Vec<Verdict> = crumbs
        .iter()
        .map(|c| match c {
            Err(None) => Verdict::Missing,
            Err(Some(why)) => Verdict::Unread(*why),
            Ok(crumb) => Verdict::Read(score(
                crumb,
                (&light, &curve),
                light_sd(&light, crumb.centre, middle),
                request.untoasted,
            )),
        })
        .collect();
    let doses: Vec<f64> = verdicts
        .iter()
        .enumerate()
        .filter(|(i, _)| !is_reference(*i))
        .filter_map(|(_, v)| match v {
            Verdict::Read(s) => Some(s.browning.0),
            Verdict::Missing | Verdict::Unread(_) => None,
        })
        .collect();
    let mean_dose = doses.iter().sum::<f64>() / doses.len().max(1) as f64;
    for (i, v) in verdicts.iter_mut().enumerate() {
        if let Verdict::Read(s) = v {
            s.relative = (!is_reference(i) && mean_dose > 1e-3).then(|| s.browning.0 / mean_dose);
        }
    }
    if mean_dose < 0.13 {
        warnings.push(Warning::new(
            format!(
                "the slices are hardly toasted: on average {:.1} of a shade",
                mean_dose / crate::model::shade::browning_per_shade()
            ),
            "toast the next test longer, until the middling slice is golden",
        ));
    }
    let lights: Vec<f64> = read.iter().map(|m| light.at(m.1)).collect();
    let removed = (quantile(&lights, 1.0) - quantile(&lights, 0.0)).exp() - 1.0;
    let flags = flags(&cells, &crumbs, is_reference);
    let places = verdicts
        .into_iter()
        .zip(flags)
        .enumerate()
        .map(|(i, (verdict, flags))| Place {
            row: i / request.cols,
            col: i % request.cols,
            centre: picture.to_photo(
                cells[i]
                    .outline
                    .as_ref()
                    .map_or(cells[i].place, |o| o.centre),
            ),
            verdict,
            flags,
        })
        .collect();
    Scores {
        corners: request
            .corners
            .unwrap_or_else(|| corners_of(&map).map(|c| picture.to_photo(c))),
        references,
        light: LightShare { kind, removed },
        places,
        quality,
        warnings,
    }
}

/// Scores one crumb; `light_sd` is the error of its light against the other slices', natural logarithm.
fn score(
    crumb: &Crumb,
    (light, curve): (&Light, &ToneCurve),
    light_sd: f64,
    untoasted: f64,
) -> SliceScore {
    let factor = (-light.at(crumb.centre)).exp();
    let labs: Vec<Lab> = crumb
        .pixels
        .iter()
        .map(|p| linear_to_lab(curve.apply(p.map(|v| f64::from(v) * factor))))
        .collect();
    let n = labs.len() as f64;
    let mean = |f: fn(&Lab) -> f64| labs.iter().map(f).sum::<f64>() / n;
    let colour = Lab::new(mean(|l| l.l), mean(|l| l.a), mean(|l| l.b));
    let spread = labs.iter().map(|l| (l.l - colour.l).powi(2)).sum::<f64>() / n;
    // dL* = (L* + 16) / 3 d ln Y
    let slope = (colour.l + 16.0) / 3.0;
    let se = (spread / SPECKS + (slope * light_sd).powi(2)).sqrt();
    let (seen, _) = mean_of(crumb, light);
    let shared_se = slope * curve.sd(seen);
    let browning = Browning::from_lightness(colour.l.max(1.0), untoasted);
    let reach = Z90 * se.hypot(shared_se);
    let shade = |l: f64| {
        Browning::from_lightness(l.max(1.0), untoasted)
            .shades()
            .clamp(0.0, HIGHEST_SHADE)
    };
    SliceScore {
        colour,
        se,
        shared_se,
        browning,
        shade: (
            shade(colour.l),
            shade(colour.l + reach),
            shade(colour.l - reach),
        ),
        relative: None,
    }
}

/// Returns what else is to be known of each place.
fn flags(
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
            ]
            .into_iter()
            .filter_map(|(holds, flag)| holds.then_some(flag))
            .collect()
        })
        .collect()
}
