//! Slices that are spoilt, grids that do not fit and references that are none, on drawn pictures.

use super::{
    Flag, Rectangle, Reference, Request, Scores, Verdict, crumb::Unreadable, read, scene::Scene,
};
use crate::{
    colour::lab::Lab,
    geometry::{Homography, Point},
    model::Warning,
};

/// Returns the largest error of a slice, L*.
fn worst(scores: &Scores, scene: &Scene) -> f64 {
    let read = scores.places.iter().zip(&scene.lightness);
    read.filter_map(|(place, truth)| match place.verdict {
        Verdict::Read(score) => Some((score.colour.l - (*truth)?).abs()),
        Verdict::Missing | Verdict::Unread(_) => None,
    })
    .fold(0.0, f64::max)
}

/// A lobe of glare on one slice takes the colour out of it; its fellows tell.
#[test]
fn a_slice_under_glare_is_left_out() {
    let scene = Scene::ordinary();
    let mut picture = scene.draw();
    scene.shine(&mut picture, Point::new(0.625, 0.5));
    let scores = read(&picture, &scene.request()).unwrap();
    assert_eq!(
        scores.places[6].verdict,
        Verdict::Unread(Unreadable::Glare),
        "{:?}",
        scores.places[6]
    );
    assert!(scores.places[6].left_out.unwrap() > 62.0 + 5.0);
    let out = scores.places.iter().filter(|p| p.left_out.is_some());
    assert_eq!(out.count(), 1);
}

/// Half of a slice burnt: both halves count, it is said, and its error is wide.
#[test]
fn a_half_burnt_slice_is_read_whole_and_said_to_be_uneven() {
    let mut scene = Scene::ordinary();
    scene.burnt = Some((5, 30.0));
    let scores = read(&scene.draw(), &scene.request()).unwrap();
    assert_eq!(scores.places[5].flags, [Flag::Uneven]);
    let Verdict::Read(score) = scores.places[5].verdict else {
        panic!("{:?}", scores.places[5]);
    };
    assert!(
        (score.colour.l - f64::midpoint(57.0, 30.0)).abs() < 3.0,
        "{score:?}"
    );
    assert!(score.se > 1.5);
}

/// Counts, corners and references that are wrong: refused, doubted or said, never silent.
#[test]
fn a_grid_that_does_not_fit_is_refused_with_what_is_seen() {
    let scene = Scene::ordinary();
    let picture = scene.draw();
    let map = Homography::of_unit_square(&scene.corners).unwrap();
    let corners = |x0: f64, y0: f64, x1: f64, y1: f64| {
        [(x0, y0), (x1, y0), (x1, y1), (x0, y1)].map(|(x, y)| map.map(Point::new(x, y)))
    };
    let wrong = [
        (3, 5, corners(0.0, 0.0, 1.0, 1.0)),
        (3, 3, corners(0.0, 0.0, 1.0, 1.0)),
        (4, 4, corners(0.0, 0.0, 1.0, 1.0)),
        (2, 4, corners(0.0, 0.0, 1.0, 1.0)),
        (3, 4, corners(0.25, 0.0, 1.25, 1.0)),
        (3, 4, corners(0.125, 1.0 / 6.0, 0.875, 5.0 / 6.0)),
    ];
    for (rows, cols, corners) in wrong {
        let request = Request {
            rows,
            cols,
            corners: Some(corners),
            ..scene.request()
        };
        let refused = match read(&picture, &request) {
            Err(_) => true,
            Ok(scores) => scores.grid.is_doubtful(),
        };
        assert!(refused, "{rows} x {cols} {corners:?}");
    }
    // a little off, it goes on working
    let near = Request {
        corners: Some(corners(0.02, -0.02, 1.02, 0.98)),
        ..scene.request()
    };
    let scores = read(&picture, &near).unwrap();
    assert!(!scores.grid.is_doubtful(), "{:?}", scores.grid);
    assert!(worst(&scores, &scene) < 2.0);
}

#[test]
fn a_reference_that_is_none_is_blamed() {
    let scene = Scene::ordinary();
    let picture = scene.draw();
    let named = |reference| {
        let request = Request {
            references: vec![reference],
            ..scene.request()
        };
        read(&picture, &request).unwrap_err().to_string()
    };
    let toast = named(Reference::Slice { row: 0, col: 0 });
    assert!(
        toast.contains("an untoasted one is the lightest"),
        "{toast}"
    );
    let bread = Rectangle::new(130.0, 110.0, 40.0, 40.0);
    let card = named(Reference::White(bread));
    assert!(
        card.contains("white or grey") || card.contains("even tone"),
        "{card}"
    );
}

/// The palest of the toasted slices is no untoasted one, though none is lighter.
#[test]
fn the_palest_toast_is_not_taken_for_untoasted() {
    let mut scene = Scene::ordinary();
    // the untoasted slice is gone
    scene.lightness[9] = None;
    let lightest = |i: &usize| scene.lightness[*i].unwrap_or(0.0);
    let palest = (0..12)
        .max_by(|a, b| lightest(a).total_cmp(&lightest(b)))
        .unwrap();
    let request = Request {
        references: vec![Reference::Slice {
            row: palest / 4,
            col: palest % 4,
        }],
        ..scene.request()
    };
    let refused = read(&scene.draw(), &request).unwrap_err().to_string();
    assert!(refused.contains("paler in colour"), "{refused}");
}

/// Tells whether a reading of a scene by these references warns in such words.
fn warned(scene: &Scene, references: Vec<Reference>, words: &str) -> bool {
    let request = Request {
        references,
        ..scene.request()
    };
    let scores = read(&scene.draw(), &request).unwrap();
    scores.warnings.iter().any(|w| w.what.contains(words))
}

/// What lies over slices is read for them; that they are of another sort than the rest is said.
#[test]
fn slices_far_lighter_than_all_the_others_are_doubted() {
    let told = |light: f64| {
        let mut scene = Scene::ordinary();
        scene.lightness = (0..12)
            .map(|i| {
                Some(if i / 4 == 1 {
                    light
                } else {
                    44.0 + f64::from(i)
                })
            })
            .collect();
        warned(&scene, Vec::new(), "4 slices are far lighter")
    };
    assert!(told(78.0) && !told(60.0));
}

/// A white card named as a grey one makes every slice too dark.
#[test]
fn a_white_card_named_grey_is_doubted() {
    let mut scene = Scene::ordinary();
    scene.squares = vec![(Point::new(4.5, 1.5), 0.25, Lab::new(95.0, 0.0, 0.0))];
    let map = Homography::of_unit_square(&scene.corners).unwrap();
    let middle = map.map(Point::new(4.5 / 4.0, 0.5));
    let place = Rectangle::new(middle.x - 14.0, middle.y - 14.0, 28.0, 28.0);
    let said = |reference| warned(&scene, vec![reference], "as good as burnt");
    assert!(said(Reference::Grey(place, 49.5)) && !said(Reference::White(place)));
}

/// A grey card in a shadow would bend the tone curve: the ground beside it tells, and it is left out.
#[test]
fn a_card_in_a_shadow_is_left_out() {
    let mut scene = Scene::ordinary();
    let cards = [(4.5, 95.0), (-0.5, 49.5)];
    scene.squares = cards
        .map(|(u, l)| (Point::new(u, 1.5), 0.25, Lab::new(l, 0.0, 0.0)))
        .to_vec();
    let map = Homography::of_unit_square(&scene.corners).unwrap();
    let named = cards.map(|(u, l)| {
        let middle = map.map(Point::new(u / 4.0, 0.5));
        let place = Rectangle::new(middle.x - 14.0, middle.y - 14.0, 28.0, 28.0);
        if l > 90.0 {
            Reference::White(place)
        } else {
            Reference::Grey(place, l)
        }
    });
    let request = Request {
        references: named.to_vec(),
        ..scene.request()
    };
    let lit = read(&scene.draw(), &request).unwrap();
    assert_eq!(lit.references.len(), 2, "{:?}", lit.warnings);
    scene.shadow = Some((74.0, -0.6));
    let scores = read(&scene.draw(), &request).unwrap();
    let kept: Vec<Reference> = scores.references.iter().map(|r| r.kind).collect();
    assert_eq!(kept, named[..1]);
    let said = |w: &Warning| w.what.contains("a shadow lies on it");
    assert!(scores.warnings.iter().any(said), "{:?}", scores.warnings);
    assert!(worst(&scores, &scene) < 3.0, "{}", worst(&scores, &scene));
}

/// Boards of many shades, of which few lie across the picture, pass for a light: the error is told wider.
#[test]
fn boards_widen_the_error() {
    let mut scene = Scene::ordinary();
    let even = read(&scene.draw(), &scene.request()).unwrap();
    // boards across the whole picture: squares far wider than it, each over the next
    let shades = [40.0, 58.0, 44.0, 36.0, 55.0];
    scene.squares = shades
        .iter()
        .enumerate()
        .map(|(i, l)| {
            let top = i as f64 - 1.0;
            (Point::new(2.0, top - 10.0), 10.5, Lab::new(*l, 0.5, 1.5))
        })
        .collect();
    let boards = read(&scene.draw(), &scene.request()).unwrap();
    assert!(even.light.lean < 0.05, "{}", even.light.lean);
    assert!(boards.light.lean > 0.05, "{}", boards.light.lean);
}
