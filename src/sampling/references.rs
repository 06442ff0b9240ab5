//! The things of known lightness a reading rests on: those that were named, or those found.

use super::{
    ground,
    laid::Laid,
    light::Light,
    patch::{self, Measured, Tone},
    picture::{Picture, luminance},
    planes::{Search, warmth},
    request::{Rectangle, Reference, Request, SamplingError},
};
use crate::{geometry::Point, model::Warning, numeric::quantile::quantile};

/// Makes the words of a reference that cannot be used.
fn refusal(picture: &Picture, kind: &Reference) -> impl Fn(&str) -> SamplingError {
    let (width, height) = picture.photo_size();
    let what = describe(kind);
    move |why: &str| SamplingError::Reference {
        what: what.clone(),
        why: why.to_owned(),
        width,
        height,
    }
}

/// Measures a reference that was named, and checks that it is one.
pub(super) fn measure(
    picture: &Picture,
    request: &Request,
    laid: &Laid,
    kind: &Reference,
) -> Result<Measured, SamplingError> {
    let refuse = refusal(picture, kind);
    let Reference::Slice { .. } = kind else {
        let found = measure_card(picture, &laid.light, kind)?;
        return match no_card(picture, laid, kind) {
            Some(why) => Err(refuse(why)),
            None => Ok(found),
        };
    };
    let cell = patch::cell_of(kind, (request.rows, request.cols))
        .ok_or_else(|| refuse("there is no such row and column"))?;
    let crumb = laid.crumbs[cell].as_ref().map_err(|e| match e {
        None => refuse("no slice lies there"),
        Some(why) => refuse(why.words()),
    })?;
    let (truth, sd) = patch::taken(kind, request.untoasted);
    // the median: an untoasted slice is even, and a trace of its crust would pull a mean
    let pixels: Vec<([f32; 3], Point)> = crumb.pixels.iter().map(|&p| (p, crumb.centre)).collect();
    let (seen, _) = patch::median_colour(&pixels, &laid.light);
    let seen = seen.map(|v| v * (-laid.offset(cell)).exp());
    if patch::luminance64(seen) < 1e-3 {
        return Err(refuse("it is black in the picture"));
    }
    if let Some(why) = no_untoasted(laid, request, cell) {
        return Err(refuse(why));
    }
    Ok(Measured {
        kind: *kind,
        looked_for: false,
        truth,
        sd,
        seen,
        centre: crumb.centre,
    })
}

/// Measures a white or grey patch at a place that was named.
pub(super) fn measure_card(
    picture: &Picture,
    light: &Light,
    kind: &Reference,
) -> Result<Measured, SamplingError> {
    let refuse = refusal(picture, kind);
    let place = match kind {
        Reference::White(place) | Reference::Grey(place, _) => place,
        Reference::Slice { .. } => return Err(refuse("no slices are looked for")),
    };
    let pixels = patch::pixels_inside(picture, &patch::named(picture, place));
    if pixels.len() < 16 {
        return Err(refuse("it is too small or lies outside the picture"));
    }
    let (seen, clipped) = patch::median_colour(&pixels, light);
    if clipped > 0.5 {
        return Err(refuse("it is blown out to white, so it holds no figure"));
    }
    if patch::luminance64(seen) < 1e-3 {
        return Err(refuse("it is black in the picture"));
    }
    let c = place.corners();
    let (truth, sd) = patch::taken(kind, 0.0);
    Ok(Measured {
        kind: *kind,
        looked_for: false,
        truth,
        sd,
        seen,
        centre: picture.from_photo(c[0].towards(c[2], 0.5)),
    })
}

/// Greatest scatter of ln Y over a card that was named: no shadow's edge, no print.
const CARD_UNEVEN: f64 = 0.15;
/// How much less warm than the least warm toast a card is at least, natural logarithm.
const CARD_COOLER: f64 = 0.1;
/// How much darker than the lightest other slice an untoasted one may look, natural logarithm of luminance: the
/// light is not known better.
const NOT_LIGHTEST: f64 = 0.1;
/// How much less warm than the palest toasted slice an untoasted one is at least: in photos drawn by another hand untoasted
/// slices were cooler by .67 and more (20 of 20), the palest of toasted ones by up to .16 (24 of 25).
const UNTOASTED_COOLER: f64 = 0.3;

/// Returns why a named patch is no card.
fn no_card(picture: &Picture, laid: &Laid, kind: &Reference) -> Option<&'static str> {
    let (Reference::White(place) | Reference::Grey(place, _)) = kind else {
        return None;
    };
    let pixels = patch::pixels_inside(picture, &patch::named(picture, place));
    let steps: Vec<f64> = pixels
        .iter()
        .map(|(p, _)| f64::from(luminance(*p).max(1e-5).ln()))
        .collect();
    if (quantile(&steps, 0.9) - quantile(&steps, 0.1)) / 2.0 > CARD_UNEVEN {
        return Some("it is not of one even tone: a print, an edge or a shadow lies on it");
    }
    let card: Vec<f64> = pixels.iter().map(|(p, _)| f64::from(warmth(*p))).collect();
    let toast: Vec<f64> = tones(laid).iter().flatten().map(|t| t.warmth).collect();
    let least_warm = quantile(&toast, 0.2);
    (quantile(&card, 0.5) > least_warm - CARD_COOLER)
        .then_some("it is as warm in colour as the bread, and a card is white or grey")
}

/// Returns why a slice is not untoasted.
fn no_untoasted(laid: &Laid, request: &Request, cell: usize) -> Option<&'static str> {
    let tones = tones(laid);
    let named_too = likely_slices(request, laid);
    let named = tones.get(cell).copied().flatten()?;
    let others = || {
        let rest = tones
            .iter()
            .enumerate()
            .filter(|(i, _)| *i != cell && !named_too.contains(i) && laid.local[*i].out.is_none());
        rest.filter_map(|(_, t)| *t)
    };
    let lightest = others().map(|t| t.level).fold(f64::MIN, f64::max);
    if lightest - named.level > NOT_LIGHTEST {
        return Some("another slice is lighter, and an untoasted one is the lightest");
    }
    let palest = others().map(|t| t.warmth).fold(f64::MAX, f64::min);
    (named.warmth > palest - UNTOASTED_COOLER)
        .then_some("it is as golden as the toasted slices, and an untoasted one is paler in colour")
}

/// Returns the cells of slices that are named as untoasted, or look it where none is.
pub(super) fn likely_slices(request: &Request, laid: &Laid) -> Vec<usize> {
    let counts = (request.rows, request.cols);
    if request.references.is_empty() {
        patch::untoasted(&tones(laid)).into_iter().collect()
    } else {
        let named = request.references.iter();
        named.filter_map(|r| patch::cell_of(r, counts)).collect()
    }
}

/// Returns the tone of every slice that was read.
fn tones(laid: &Laid) -> Vec<Option<Tone>> {
    laid.crumbs
        .iter()
        .map(|c| {
            let crumb = c.as_ref().ok()?;
            Some(patch::tone_of(&crumb.pixels, &laid.light, crumb.centre))
        })
        .collect()
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
    let tones = tones(laid);
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
        // a card is no background: the light is told again without it
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
            "nothing of known lightness was found in the picture, so shades are a guess, and only how the slices differ counts",
            "lay an untoasted slice on the tray, or a white card beside it, and name it as the reference",
        ));
    }
    found
}

/// Standard error of the lightness of a white patch that nobody has named: it may be a plate.
const UNNAMED_WHITE: f64 = 2.5;
/// The same of a slice that nobody has named: glare on toast looks just like it.
const UNNAMED_SLICE: f64 = 5.0;
/// How far (natural logarithm of luminance) a patch may lie from where a surer reference puts it.
const DISAGREES: f64 = 0.35;

/// Leaves out patches that disagree with a surer reference, and grey ones that stand alone: a grey thing of
/// unknown lightness tells no level.
///
/// Surest is an untoasted slice, as it stands in the lattice; then what looks white; then grey.
fn doubt(found: &mut Vec<Measured>) -> Option<Warning> {
    let doubts = |m: &Measured| match m.kind {
        Reference::Slice { .. } => 0,
        Reference::White(_) => 1,
        Reference::Grey(..) => 2,
    };
    found.sort_by_key(doubts);
    let surest = level(found.first()?);
    found.retain(|m| (level(m) - surest).abs() <= DISAGREES);
    let [alone] = found.as_mut_slice() else {
        return None;
    };
    match alone.kind {
        Reference::Slice { row, col } => {
            alone.sd = UNNAMED_SLICE;
            Some(Warning::minor(
                format!(
                    "the slice in row {}, column {} was taken for untoasted, as the palest of all",
                    row + 1,
                    col + 1
                ),
                "name it if it is, or a card if glare lies on it",
            ))
        }
        Reference::White(_) => {
            alone.sd = UNNAMED_WHITE;
            Some(Warning::new(
                "a white patch was taken for a white card, but it may be anything white",
                "name it if it is one, or lay an untoasted slice on the tray",
            ))
        }
        Reference::Grey(..) => {
            found.clear();
            Some(Warning::new(
                "a grey patch is in sight, but how light it is was not said",
                "name it with the L* printed on the card",
            ))
        }
    }
}

/// Parts references that can be used from what is wrong with the others.
///
/// # Errors
/// What is wrong with the first, where none can be used.
pub(super) fn usable(
    all: impl Iterator<Item = Result<Measured, SamplingError>>,
) -> Result<(Vec<Measured>, Vec<Warning>), SamplingError> {
    let (mut good, mut bad) = (Vec::new(), Vec::new());
    for one in all {
        match one {
            Ok(measured) => good.push(measured),
            Err(why) => bad.push(why),
        }
    }
    if good.is_empty() && !bad.is_empty() {
        return Err(bad.swap_remove(0));
    }
    let said = bad.iter().map(|why| match why {
        SamplingError::Reference { what, why, .. } => Warning::new(
            format!("the reference {what} was left out: {why}"),
            "name it only if it is what you said",
        ),
        other => Warning::new(other.to_string(), ""),
    });
    Ok((good, said.collect()))
}

/// Returns ln of the luminance of a reference as seen over that in truth.
fn level(m: &Measured) -> f64 {
    (patch::luminance64(m.seen) / m.true_luminance()).ln()
}

/// How much darker (natural logarithm of luminance) than another reference says a card is, where a shadow is looked for.
const SHADED_CARD: f64 = 0.3;
/// How much darker the ground beside it is at least, in the mean and on every side that is seen.
const SHADED_GROUND: (f64, f64) = (0.2, 0.1);

/// Leaves out cards that are darker than another reference says and lie on ground that is darker too: a shadow
/// lies on them, and would bend the tone curve.
pub(super) fn leave_shaded(picture: &Picture, laid: &mut Laid) {
    let lightest = laid.references.iter().map(level).fold(f64::MIN, f64::max);
    let (shaded, lit): (Vec<Measured>, Vec<Measured>) = std::mem::take(&mut laid.references)
        .into_iter()
        .partition(|m| lightest - level(m) > SHADED_CARD && lies_in_shadow(picture, laid, m));
    laid.references = lit;
    laid.warnings.extend(shaded.iter().map(|m| {
        Warning::new(
            format!(
                "the reference {} was left out: it and the ground beside it are too dark, so a shadow lies on it",
                describe(&m.kind)
            ),
            "lay it where the light is that the slices have",
        )
    }));
}

/// Tells whether the ground beside a card is darker than that around the slices.
fn lies_in_shadow(picture: &Picture, laid: &Laid, card: &Measured) -> bool {
    let (Reference::White(place) | Reference::Grey(place, _)) = card.kind else {
        return false;
    };
    let half = (place.width + place.height) / 4.0 / picture.scale;
    let pixels = patch::pixels_inside(picture, &patch::named(picture, &place));
    let middling = |of: fn([f32; 3]) -> f32| {
        let all: Vec<f64> = pixels.iter().map(|p| f64::from(of(p.0))).collect();
        quantile(&all, 0.5)
    };
    let tone = (middling(|p| luminance(p).max(1e-5).ln()), middling(warmth));
    let around = (&laid.cells[..], &laid.light);
    let darker = ground::beside_card(picture, around, (card.centre, half), tone);
    let mean = darker.iter().sum::<f64>() / darker.len().max(1) as f64;
    darker.len() >= 2 && mean > SHADED_GROUND.0 && darker.iter().all(|side| *side > SHADED_GROUND.1)
}

/// Says which of the references used do not fit together.
pub(super) fn disagreement(used: &[Measured]) -> Option<Warning> {
    let low = used.iter().min_by(|a, b| level(a).total_cmp(&level(b)))?;
    let high = used.iter().max_by(|a, b| level(a).total_cmp(&level(b)))?;
    let apart = level(high) - level(low);
    (apart > DISAGREES).then(|| {
        Warning::new(
            format!(
                "the references {} and {} disagree by {:.0} % in light",
                describe(&low.kind),
                describe(&high.kind),
                (apart.exp() - 1.0) * 100.0
            ),
            "leave out the one that is shaded, shiny or not what it was said to be",
        )
    })
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
