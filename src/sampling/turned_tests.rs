//! What a second photo of the tray turned end for end is good for, and when it is refused.

use super::{
    LightKind, Request, SamplingError, Scores, Verdict, read, read_turned,
    scene::{Scene, WIDTH},
    tests::{lightness, worst},
};
use crate::{geometry::Point, model::Warning};

#[test]
fn a_second_photo_turned_end_for_end_cancels_the_light() {
    // a close-up on a ground that tells nothing: its own brightness follows the slant
    let mut scene = Scene::ordinary();
    scene.slant = (0.5, -0.3);
    let mut first = scene.draw();
    let mut second = Scene {
        end_for_end: true,
        ..scene.clone()
    }
    .draw();
    // every pixel outside the lattice is made black: no background tells of the light
    for picture in [&mut first, &mut second] {
        for (i, pixel) in picture.pixels.iter_mut().enumerate() {
            let p = Point::new((i % WIDTH) as f64, (i / WIDTH) as f64);
            let bread = pixel[0] > 1.25 * pixel[2];
            if !bread || !crate::geometry::point::contains(&scene.corners, p) {
                *pixel = [0.004, 0.004, 0.004];
            }
        }
    }
    let alone = read(&first, &scene.request()).unwrap();
    let pair = read_turned(&first, &scene.request(), &second, Some(scene.corners)).unwrap();
    assert!(worst(&alone, &scene) > 4.0, "{}", worst(&alone, &scene));
    assert!(worst(&pair, &scene) < 2.0, "{}", worst(&pair, &scene));
    assert_eq!(pair.light.kind, LightKind::Turned);
    assert!(pair.light.removed > 0.2);
}

#[test]
fn a_second_photo_makes_no_slice_surer_that_it_does_not_show() {
    let scene = Scene::ordinary();
    let second = Scene {
        end_for_end: true,
        ..scene.clone()
    };
    let mut fallen = second.clone();
    fallen.lightness[6] = None;
    let turned = |second: &Scene| {
        read_turned(
            &scene.draw(),
            &scene.request(),
            &second.draw(),
            Some(scene.corners),
        )
        .unwrap()
    };
    // its own error, and the lean that all slices of a photo share
    let se = |scores: &Scores| match scores.places[6].verdict {
        Verdict::Read(score) => {
            let slope = (score.colour.l + 16.0) / 3.0;
            score.se.hypot(slope * scores.light.lean)
        }
        Verdict::Missing | Verdict::Unread(_) => panic!("slice 6 lies in the first photo"),
    };
    let single = se(&read(&scene.draw(), &scene.request()).unwrap());
    let (pair, alone) = (turned(&second), turned(&fallen));
    assert!(se(&pair) < 0.7 * single, "{} {single}", se(&pair));
    assert!(se(&alone) > se(&pair), "{} {}", se(&alone), se(&pair));
    let told = "1 slice is read in the first photo only";
    assert!(
        alone.warnings.iter().any(|w| w.what.starts_with(told)),
        "{:?}",
        alone.warnings
    );
}

/// Glare that the second photo shows by itself does not lighten the slice in the first.
#[test]
fn glare_in_the_second_photo_is_kept_out_of_the_first() {
    let scene = Scene::ordinary();
    let mut second = Scene {
        end_for_end: true,
        ..scene.clone()
    }
    .draw();
    // over the place of slice 6 of the turned tray, which is that of slice 5
    scene.shine(&mut second, Point::new(0.375, 0.5));
    let alone = read(&scene.draw(), &scene.request()).unwrap();
    let pair = read_turned(
        &scene.draw(),
        &scene.request(),
        &second,
        Some(scene.corners),
    )
    .unwrap();
    let off = |scores: &Scores| lightness(scores)[6].unwrap() - scene.lightness[6].unwrap();
    assert!(
        off(&pair).abs() < off(&alone).abs() + 1.0,
        "{} {}",
        off(&pair),
        off(&alone)
    );
    let said = |w: &Warning| {
        w.what
            .starts_with("1 slice is read in the first photo only")
    };
    assert!(pair.warnings.iter().any(said), "{:?}", pair.warnings);
}

/// Four opposite slices lie on a plane, so the same photo twice would make any pattern vanish.
#[test]
fn two_rows_of_two_cannot_be_told_from_a_tray_that_was_not_turned() {
    let scene = Scene {
        rows: 2,
        cols: 2,
        lightness: [46.0, 52.0, 51.0, 60.0].map(Some).to_vec(),
        ..Scene::ordinary()
    };
    let request = Request {
        references: Vec::new(),
        ..scene.request()
    };
    let answer = read_turned(&scene.draw(), &request, &scene.draw(), Some(scene.corners));
    let refused = answer.unwrap_err();
    assert!(
        matches!(refused, SamplingError::Unlike { both: 4, needed: 5 }),
        "{refused}"
    );
}

#[test]
fn a_second_photo_of_another_tray_is_refused() {
    let scene = Scene::ordinary();
    let mut other = Scene {
        end_for_end: true,
        ..scene.clone()
    };
    other.lightness.rotate_left(3);
    // and one as even, but that browned from one side to the other
    let sloping = Scene {
        lightness: (0..12)
            .map(|i| Some(42.0 + 8.0 * f64::from(i % 4)))
            .collect(),
        ..other.clone()
    };
    let even = Scene {
        lightness: (0..12)
            .map(|i| Some(70.0 - 8.0 * f64::from(i % 4)))
            .collect(),
        ..scene.clone()
    };
    for (scene, other) in [(scene, other), (even, sloping)] {
        let request = Request {
            references: Vec::new(),
            ..scene.request()
        };
        let answer = read_turned(&scene.draw(), &request, &other.draw(), Some(scene.corners));
        let refused = answer.unwrap_err();
        assert!(
            matches!(refused, SamplingError::OtherTray { .. }),
            "{refused}"
        );
    }
}

#[test]
fn a_second_photo_that_was_not_turned_is_refused_however_the_oven_bakes() {
    // a hot corner, a tilt, and slices that differ by chance alone; no untoasted slice lies among them
    let scatter = [
        0.6, -1.1, 0.3, 1.4, -0.5, -1.6, 0.9, 0.1, -0.8, 1.2, -0.2, -0.3,
    ];
    let ovens: [fn(f64, f64) -> f64; 3] = [
        |x, y| 61.0 - 24.0 * (-(x * x + y * y) / 2.0).exp(),
        |x, y| 46.0 + 4.0 * x + 3.0 * y,
        |_, _| 55.0,
    ];
    for oven in ovens {
        let place = |i: usize| oven((i % 4) as f64, (i / 4) as f64) + scatter[i];
        let scene = Scene {
            lightness: (0..12).map(|i| Some(place(i))).collect(),
            slant: (0.2, -0.1),
            ..Scene::ordinary()
        };
        let request = Request {
            references: Vec::new(),
            ..scene.request()
        };
        let twice = Scene {
            slant: (0.25, -0.15),
            ..scene.clone()
        };
        let turned = Scene {
            end_for_end: true,
            ..scene.clone()
        };
        let second =
            |s: &Scene| read_turned(&scene.draw(), &request, &s.draw(), Some(scene.corners));
        assert!(matches!(second(&twice), Err(SamplingError::NotTurned)));
        let pair = second(&turned).unwrap();
        let errors: Vec<f64> = lightness(&pair)
            .iter()
            .zip(&scene.lightness)
            .map(|(found, truth)| found.unwrap() - truth.unwrap())
            .collect();
        let level = errors.iter().sum::<f64>() / 12.0;
        for error in errors {
            assert!((error - level).abs() < 2.5, "{error} {level}");
        }
        // corners named the other way round, as the slices now lie, are the same tray
        let [a, b, c, d] = scene.corners;
        let named = read_turned(&scene.draw(), &request, &turned.draw(), Some([c, d, a, b]));
        assert_eq!(lightness(&named.unwrap()), lightness(&pair));
    }
}
