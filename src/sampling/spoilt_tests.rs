//! Slices that are spoilt, grids that do not fit and references that are none, on drawn pictures.

use super::{
    Flag, Rectangle, Reference, Request, Scores, Verdict,
    crumb::Unreadable,
    picture::single,
    read,
    scene::{Scene, WIDTH},
};
use crate::geometry::{Homography, Point};

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
    let middle = Homography::of_unit_square(&scene.corners)
        .unwrap()
        .map(Point::new(0.625, 0.5));
    for (i, pixel) in picture.pixels.iter_mut().enumerate() {
        let p = Point::new((i % WIDTH) as f64, (i / WIDTH) as f64);
        let shine = single(0.14 * (-(p.distance(middle) / 45.0).powi(2)).exp());
        *pixel = pixel.map(|v| v + shine);
    }
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
