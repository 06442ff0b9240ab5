//! The things of known lightness a reading rests on: those that were named, or those found.

use super::{
    lay::{Laid, photo_size},
    light::Light,
    patch::{self, Measured, Tone},
    picture::Picture,
    planes::Search,
    request::{Rectangle, Reference, Request, SamplingError},
};
use crate::{geometry::Point, model::Warning};

/// Measures a reference that was named.
pub(super) fn measure(
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
            let seen = seen.map(|v| v * (-laid.offsets[cell].unwrap_or(0.0)).exp());
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

/// Measures slices that serve as references again, after the light on each slice has become known
/// better.
pub(super) fn refresh(
    picture: &Picture,
    request: &Request,
    laid: &mut Laid,
) -> Result<(), SamplingError> {
    for i in 0..laid.references.len() {
        let old = laid.references[i].clone();
        if let Reference::Slice { .. } = old.kind {
            laid.references[i] = Measured {
                looked_for: old.looked_for,
                ..measure(picture, request, laid, &old.kind)?
            };
        }
    }
    Ok(())
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

/// Looks for an untoasted slice and for cards.
pub(super) fn look_for(
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
    let pale = patch::untoasted(&tones);
    if let Some(cell) = pale {
        let kind = Reference::Slice {
            row: cell / request.cols,
            col: cell % request.cols,
        };
        found.extend(measure(picture, request, laid, &kind));
    }
    // an untoasted slice is nearly as cool as a card: only toast tells them apart
    let toasted = tones.iter().enumerate().filter(|(i, _)| pale != Some(*i));
    let known: Vec<Tone> = toasted.filter_map(|(_, t)| *t).collect();
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
    laid.warnings.extend(doubt(&mut found));
    if found.is_empty() {
        laid.warnings.push(Warning::new(
            "nothing of known lightness was found in the picture, so shades are a guess and only relative browning counts",
            "lay an untoasted slice on the tray, or a white card beside it, and name it as the reference",
        ));
    }
    found
}

/// Standard error of the lightness of a grey patch that nobody has named: it may be a tile or a plate.
const UNNAMED_GREY: f64 = 5.0;
/// The same of a white one.
const UNNAMED_WHITE: f64 = 2.5;
/// How far (natural logarithm of luminance) a patch may lie from where a surer reference puts it.
const DISAGREES: f64 = 0.35;

/// Leaves out patches that disagree with a surer reference, and trusts one that stands alone no
/// further than a white or grey thing of unknown lightness.
///
/// Surest is an untoasted slice, as it stands in the lattice; then what looks white; then grey.
fn doubt(found: &mut Vec<Measured>) -> Option<Warning> {
    let doubts = |m: &Measured| match m.kind {
        Reference::Slice { .. } => 0,
        Reference::White(_) => 1,
        Reference::Grey(..) => 2,
    };
    found.sort_by_key(doubts);
    let level = |m: &Measured| (patch::luminance64(m.seen) / m.true_luminance()).ln();
    let surest = level(found.first()?);
    found.retain(|m| (level(m) - surest).abs() <= DISAGREES);
    let [alone] = found.as_mut_slice() else {
        return None;
    };
    let (sd, what) = match alone.kind {
        Reference::Slice { .. } => return None,
        Reference::White(_) => (UNNAMED_WHITE, "white"),
        Reference::Grey(..) => (UNNAMED_GREY, "grey"),
    };
    alone.sd = sd;
    Some(Warning::new(
        format!(
            "a {what} patch was taken for a {what} card, but it may be anything {what}, so shades may all be off alike"
        ),
        "name it if it is one, or lay an untoasted slice on the tray",
    ))
}

/// Moves a card's rectangle from pixels of the picture to pixels of the photo.
fn in_photo(picture: &Picture, kind: Reference) -> Reference {
    let moved = |r: Rectangle| {
        let low = picture.to_photo(Point::new(r.x, r.y));
        Rectangle {
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
