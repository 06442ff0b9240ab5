//! Laws a reading must keep, on drawn pictures whose truth is known.

use super::{
    Flag, Picture, Piece, Rectangle, Reference, Request, SamplingError, Scores, Side, Verdict,
    crumb::Unreadable,
    read, read_pieces,
    scene::{HEIGHT, Scene, WIDTH, toast},
};
use crate::{
    colour::lab::Lab,
    geometry::{Homography, Point},
};
use proptest::prelude::*;

pub(super) fn lightness(scores: &Scores) -> Vec<Option<f64>> {
    scores
        .places
        .iter()
        .map(|p| match p.verdict {
            Verdict::Read(s) => Some(s.colour.l),
            Verdict::Missing | Verdict::Unread(_) => None,
        })
        .collect()
}

fn relative(scores: &Scores) -> Vec<f64> {
    scores
        .places
        .iter()
        .filter_map(|p| match p.verdict {
            Verdict::Read(s) => s.relative,
            Verdict::Missing | Verdict::Unread(_) => None,
        })
        .collect()
}

/// Largest difference of L* from the truth over the slices that lie there.
pub(super) fn worst(scores: &Scores, scene: &Scene) -> f64 {
    let found = lightness(scores);
    assert_eq!(found.len(), scene.lightness.len());
    found
        .iter()
        .zip(&scene.lightness)
        .map(|(f, t)| match (f, t) {
            (Some(f), Some(t)) => (f - t).abs(),
            (None, None) => 0.0,
            _ => f64::INFINITY,
        })
        .fold(0.0, f64::max)
}

#[test]
fn a_plain_picture_is_read_to_the_truth_with_and_without_corners() {
    let scene = Scene::ordinary();
    let picture = scene.draw();
    let given = read(&picture, &scene.request()).unwrap();
    assert!(worst(&given, &scene) < 1.5, "{}", worst(&given, &scene));
    let found = read(
        &picture,
        &Request {
            corners: None,
            ..scene.request()
        },
    )
    .unwrap();
    assert!(worst(&found, &scene) < 1.5, "{}", worst(&found, &scene));
    for (a, b) in found.corners.iter().zip(&scene.corners) {
        assert!(a.distance(*b) < 12.0, "{a:?} {b:?}");
    }
    let untoasted = &found.places[9];
    assert_eq!(untoasted.flags, [Flag::Reference]);
    assert_eq!(found.references.len(), 1);
}

#[test]
fn missing_turned_and_shifted_slices_are_told_apart() {
    let mut scene = Scene::ordinary();
    scene.lightness[6] = None;
    scene.turned = vec![(5, 20.0)];
    scene.shifted = vec![(3, 0.06, -0.22)];
    let scores = read(&scene.draw(), &scene.request()).unwrap();
    for place in &scores.places {
        let i = place.row * 4 + place.col;
        assert_eq!(place.verdict == Verdict::Missing, i == 6, "place {i}");
        assert_eq!(place.flags.contains(&Flag::Turned), i == 5, "place {i}");
        assert_eq!(place.flags.contains(&Flag::Shifted), i == 3, "place {i}");
    }
    assert!(worst(&scores, &scene) < 2.0);
}

#[test]
fn the_back_wall_may_be_on_any_side() {
    let scene = Scene::ordinary();
    let picture = scene.draw();
    let read_from = |back| {
        let (rows, cols) = match back {
            Side::Top | Side::Bottom => (3, 4),
            Side::Left | Side::Right => (4, 3),
        };
        let request = Request {
            rows,
            cols,
            back,
            corners: None,
            ..scene.request()
        };
        lightness(&read(&picture, &request).unwrap())
    };
    let top = read_from(Side::Top);
    let close = |a: Option<f64>, b: Option<f64>| (a.unwrap() - b.unwrap()).abs() < 0.5;
    for (i, l) in read_from(Side::Bottom).iter().enumerate() {
        assert!(close(*l, top[11 - i]));
    }
    // the back at the right: back-left is the picture's upper right
    for (i, l) in read_from(Side::Right).iter().enumerate() {
        let (row, col) = (i / 3, i % 3);
        assert!(close(*l, top[col * 4 + 3 - row]), "row {row} col {col}");
    }
    for (i, l) in read_from(Side::Left).iter().enumerate() {
        let (row, col) = (i / 3, i % 3);
        assert!(close(*l, top[(2 - col) * 4 + row]), "row {row} col {col}");
    }
}

#[test]
fn corners_in_a_mirror_are_read_and_said() {
    let scene = Scene::ordinary();
    let [a, b, c, d] = scene.corners;
    let request = Request {
        corners: Some([b, a, d, c]),
        ..scene.request()
    };
    let mirrored = read(&scene.draw(), &request).unwrap();
    let straight = read(&scene.draw(), &scene.request()).unwrap();
    assert!(mirrored.warnings[0].what.contains("mirror"));
    assert!(mirrored.grid.is_doubtful() && !straight.grid.is_doubtful());
    assert!(!straight.warnings.iter().any(|w| w.what.contains("mirror")));
    let (m, s) = (lightness(&mirrored), lightness(&straight));
    for (i, mirrored) in m.iter().enumerate() {
        let there = i / 4 * 4 + 3 - i % 4;
        assert!((mirrored.unwrap() - s[there].unwrap()).abs() < 0.5);
    }
}

#[test]
fn what_cannot_be_read_is_refused_and_says_why() {
    let scene = Scene::ordinary();
    let request = Request {
        corners: None,
        ..scene.request()
    };
    let ground = Scene {
        lightness: vec![None; 12],
        ..scene.clone()
    };
    assert!(matches!(
        read(&ground.draw(), &request),
        Err(SamplingError::NoLattice { .. })
    ));
    assert!(matches!(
        read(&ground.draw(), &scene.request()),
        Err(SamplingError::NoBread { .. })
    ));
    let with_gain = |gain: f64| {
        let lit = Scene {
            gains: [gain; 3],
            ..scene.clone()
        };
        read(&lit.draw(), &scene.request())
    };
    assert!(matches!(
        with_gain(5.0),
        Err(SamplingError::TooBright { .. })
    ));
    assert!(matches!(
        with_gain(0.03),
        Err(SamplingError::TooDark { .. })
    ));
    assert!(with_gain(0.3).is_ok());
    assert!(matches!(
        read(&smeared(&scene.draw(), 24), &scene.request()),
        Err(SamplingError::Blurred { .. })
    ));
    let mut grey = scene.draw();
    for pixel in &mut grey.pixels {
        *pixel = [pixel[1]; 3];
    }
    assert!(matches!(
        read(&grey, &scene.request()),
        Err(SamplingError::NotBread { .. })
    ));
}

/// The picture moved sideways by so many pixels while it was taken.
fn smeared(picture: &Picture, length: usize) -> Picture {
    let mut out = picture.clone();
    for y in 0..HEIGHT {
        for x in 0..WIDTH {
            let mut sum = [0.0_f32; 3];
            for k in 0..length {
                let q = picture.at((x + k).min(WIDTH - 1), y);
                for c in 0..3 {
                    sum[c] += q[c] / length as f32;
                }
            }
            out.pixels[y * WIDTH + x] = sum;
        }
    }
    out
}

#[test]
fn the_tray_is_seen_straight_from_above_in_an_even_light() {
    let mut scene = Scene::ordinary();
    scene.slant = (0.3, 0.0);
    let picture = scene.draw();
    let scores = read(&picture, &scene.request()).unwrap();
    let flat = scores.rectified(&picture, (3, 4), 40).unwrap();
    assert_eq!((flat.width, flat.height), (160, 120));
    for (i, truth) in scene.lightness.iter().enumerate() {
        let (x, y) = (i % 4 * 40 + 20, i / 4 * 40 + 20);
        let mut sum = [0.0_f64; 3];
        for dy in 0..9 {
            for dx in 0..9 {
                let pixel = flat.at(x + dx - 4, y + dy - 4);
                for c in 0..3 {
                    sum[c] += f64::from(pixel[c]) / 81.0;
                }
            }
        }
        let l = crate::colour::lab::linear_to_lab(sum).l;
        assert!((l - truth.unwrap()).abs() < 2.5, "place {i}: {l} {truth:?}");
    }
}

#[test]
fn a_hard_shadow_across_a_slice_is_left_out_of_it() {
    let mut scene = Scene::ordinary();
    let whole = lightness(&read(&scene.draw(), &scene.request()).unwrap());
    // an edge through the first column: x runs from 110 at the back to 70 at the door
    scene.shadow = Some((150.0, -0.7));
    let scores = read(&scene.draw(), &scene.request()).unwrap();
    let shaded = lightness(&scores);
    for row in [0, 1, 2] {
        let i = row * 4;
        let off = shaded[i].unwrap() - whole[i].unwrap();
        assert!(off.abs() < 2.5, "row {row}: {off}");
        let Verdict::Read(score) = scores.places[i].verdict else {
            panic!("row {row}: {:?}", scores.places[i]);
        };
        assert!(score.se > 1.0, "row {row}: {score:?}");
    }
    let said = scores.warnings.iter().map(ToString::to_string);
    assert!(
        said.into_iter().any(|w| w.contains("on 3 of")),
        "{:?}",
        scores.warnings
    );
}

#[test]
fn requests_that_cannot_be_are_refused_before_looking() {
    let scene = Scene::ordinary();
    let picture = scene.draw();
    let refused = |request: Request| read(&picture, &request).unwrap_err();
    let with = |corners| Request {
        corners: Some(corners),
        ..scene.request()
    };
    let [a, b, c, d] = scene.corners;
    assert!(matches!(
        refused(with([a, c, b, d])),
        SamplingError::Corners { .. }
    ));
    assert!(matches!(
        refused(with([a, b, c, Point::new(f64::NAN, 0.0)])),
        SamplingError::Corners { .. }
    ));
    assert!(matches!(
        refused(with([a, b, c, Point::new(-4000.0, 0.0)])),
        SamplingError::Corners { .. }
    ));
    assert!(matches!(
        refused(Request {
            rows: 0,
            ..scene.request()
        }),
        SamplingError::Counts { .. }
    ));
    let nowhere = Reference::Slice { row: 3, col: 0 };
    assert!(matches!(
        refused(Request {
            references: vec![nowhere],
            ..scene.request()
        }),
        SamplingError::Reference { .. }
    ));
}

#[test]
fn pieces_anywhere_on_a_tray_are_compared() {
    let mut scene = Scene::ordinary();
    scene.lightness[9] = Some(60.0);
    scene.shifted = vec![(0, 0.05, 0.04), (7, -0.06, 0.05)];
    let pieces = read_pieces(&scene.draw(), 84.0).unwrap().pieces;
    assert_eq!(pieces.len(), 12);
    let darkest = pieces
        .iter()
        .max_by(|a, b| {
            let relative = |p: &Piece| p.score.as_ref().unwrap().relative.unwrap();
            relative(a).total_cmp(&relative(b))
        })
        .unwrap();
    assert!(darkest.centre.x < 200.0 && darkest.centre.y < 180.0);
    let ground = Scene {
        lightness: vec![None; 12],
        ..scene
    };
    assert!(matches!(
        read_pieces(&ground.draw(), 84.0),
        Err(SamplingError::NoPieces { .. })
    ));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn exposure_and_white_balance_do_not_change_relative_browning(
        exposure in 0.35..0.95_f64,
        warm in 0.8..1.25_f64,
    ) {
        let scene = Scene::ordinary();
        let plain = relative(&read(&scene.draw(), &scene.request()).unwrap());
        let other = Scene { gains: [exposure * warm.min(1.05), exposure, exposure / warm], ..scene };
        let changed = relative(&read(&other.draw(), &other.request()).unwrap());
        prop_assert_eq!(plain.len(), 11);
        for (a, b) in plain.iter().zip(&changed) {
            prop_assert!((a / b - 1.0).abs() < 0.02, "{} {}", a, b);
        }
    }

    #[test]
    fn a_tray_turned_end_for_end_gives_the_same_scores_elsewhere(
        seed in 0_usize..40,
    ) {
        let mut scene = Scene::ordinary();
        scene.lightness.rotate_left(seed % 12);
        let rotated = Scene { end_for_end: true, ..scene.clone() };
        let a = lightness(&read(&scene.draw(), &scene.request()).unwrap());
        let b = lightness(&read(&rotated.draw(), &rotated.request()).unwrap());
        for i in 0..12 {
            prop_assert!((a[i].unwrap() - b[11 - i].unwrap()).abs() < 1.0, "{:?} {:?}", a, b);
        }
    }
}

#[test]
fn bread_that_looks_like_its_ground_is_refused() {
    let mut scene = Scene::ordinary();
    scene.ground = toast(58.0);
    scene.lightness = vec![Some(49.0); 12];
    let refused = read(&scene.draw(), &scene.request()).unwrap_err();
    assert!(matches!(refused, SamplingError::Faint { .. }), "{refused}");
    // the same bread on steel is read
    scene.ground = Lab::new(58.0, 0.0, -1.0);
    assert!(read(&scene.draw(), &scene.request()).is_ok());
}

#[test]
fn a_scorched_slice_on_steel_is_not_called_missing() {
    let mut scene = Scene::ordinary();
    scene.ground = Lab::new(66.0, 0.0, -1.0);
    scene.lightness[0] = Some(31.0);
    scene.lightness[2] = None;
    let scores = read(&scene.draw(), &scene.request()).unwrap();
    let shade = |i: usize| match scores.places[i].verdict {
        Verdict::Read(s) => Some(s.colour.l),
        Verdict::Missing | Verdict::Unread(_) => None,
    };
    assert!((shade(0).unwrap() - 31.0).abs() < 2.0, "{:?}", shade(0));
    assert_eq!(scores.places[2].verdict, Verdict::Missing);
}

#[test]
fn cards_in_line_with_the_slices_are_no_column() {
    let mut scene = Scene::ordinary();
    let card = |row: f64| (Point::new(4.5, row + 0.5), 0.4, Lab::new(60.0, 0.0, 0.0));
    scene.squares = vec![card(0.0), card(1.0)];
    let request = Request {
        corners: None,
        ..scene.request()
    };
    let scores = read(&scene.draw(), &request).unwrap();
    assert!(worst(&scores, &scene) < 2.0, "{}", worst(&scores, &scene));
    // slices there are one
    let wide = Scene {
        squares: vec![0.0, 1.0, 2.0]
            .into_iter()
            .map(|row| (Point::new(4.5, row + 0.5), 0.4, toast(55.0)))
            .collect(),
        ..Scene::ordinary()
    };
    let refused = read(&wide.draw(), &request).unwrap_err();
    assert!(
        matches!(refused, SamplingError::OtherCounts { found_cols: 5, .. }),
        "{refused}"
    );
}

#[test]
fn a_place_that_may_be_bread_or_ground_is_left_unread() {
    let mut scene = Scene::ordinary();
    scene.ground = toast(58.0);
    scene.lightness = vec![Some(43.0); 12];
    scene.lightness[5] = Some(52.0);
    scene.lightness[7] = None;
    let scores = read(&scene.draw(), &scene.request()).unwrap();
    for (i, place) in scores.places.iter().enumerate() {
        match i {
            5 => assert_eq!(place.verdict, Verdict::Unread(Unreadable::Faint)),
            7 => assert_eq!(place.verdict, Verdict::Missing),
            _ => assert!(matches!(place.verdict, Verdict::Read(_)), "place {i}"),
        }
    }
}

/// A scene with an even grey square beside the lattice, and the request that looks for all of it.
fn beside(lightness: f64, untoasted: bool) -> (Scene, Request) {
    let mut scene = Scene::ordinary();
    if !untoasted {
        scene.lightness[9] = Some(60.0);
    }
    scene.ground = Lab::new(25.0, 0.5, 1.5);
    scene.squares = vec![(Point::new(-0.4, 1.4), 0.28, Lab::new(lightness, 0.0, 0.0))];
    let request = Request {
        corners: None,
        ..scene.request()
    };
    (scene, request)
}

/// Names a patch of the square beside the lattice as grey of so many L*.
fn grey(scene: &Scene, lightness: f64) -> Reference {
    let map = Homography::of_unit_square(&scene.corners).unwrap();
    let at = map.map(Point::new(-0.1, 1.4 / 3.0));
    Reference::Grey(
        Rectangle::new(at.x - 12.0, at.y - 12.0, 24.0, 24.0),
        lightness,
    )
}

/// Returns the widest error of the level that all slices share, L*.
fn shared(scores: &Scores) -> f64 {
    let read = scores.places.iter().filter_map(|p| match &p.verdict {
        Verdict::Read(score) => Some(score.shared_se),
        Verdict::Missing | Verdict::Unread(_) => None,
    });
    read.fold(0.0, f64::max)
}

#[test]
fn a_slice_taken_for_untoasted_tells_the_level_roughly_and_is_named() {
    let scene = Scene::ordinary();
    let picture = scene.draw();
    let found = read(&picture, &scene.request()).unwrap();
    let said = |s: &Scores| {
        let row = "row 3, column 2 was taken for untoasted";
        s.warnings.iter().any(|w| w.what.contains(row))
    };
    let request = Request {
        references: vec![Reference::Slice { row: 2, col: 1 }],
        ..scene.request()
    };
    let named = read(&picture, &request).unwrap();
    assert!(said(&found) && !said(&named), "{:?}", found.warnings);
    let (found, named) = (shared(&found), shared(&named));
    assert!(found > 4.0 && found > named, "{found} {named}");
}

#[test]
fn references_that_contradict_each_other_widen_the_level() {
    let (scene, looked) = beside(50.0, true);
    let picture = scene.draw();
    let with = |lightness: f64| {
        let request = Request {
            references: vec![Reference::Slice { row: 2, col: 1 }, grey(&scene, lightness)],
            ..looked.clone()
        };
        read(&picture, &request).unwrap()
    };
    let (right, wrong) = (with(50.0), with(75.0));
    let said = |s: &Scores| s.warnings.iter().any(|w| w.what.contains("disagree"));
    assert!(said(&wrong) && !said(&right), "{:?}", wrong.warnings);
    // off by more, and known to less
    assert!(worst(&wrong, &scene) > worst(&right, &scene));
    assert!(
        shared(&wrong) > 2.0 * shared(&right),
        "{} {}",
        shared(&wrong),
        shared(&right)
    );
}

#[test]
fn a_steel_plate_is_no_white_card_beside_an_untoasted_slice() {
    let kinds = |lightness| -> Vec<Reference> {
        let (scene, request) = beside(lightness, true);
        let scores = read(&scene.draw(), &request).unwrap();
        scores.references.iter().map(|r| r.kind).collect()
    };
    let slice = Reference::Slice { row: 2, col: 1 };
    assert_eq!(kinds(76.0), [slice]);
    // a white one agrees with the slice
    let found = kinds(95.0);
    assert!(
        matches!(found[..], [first, Reference::White(_)] if first == slice),
        "{found:?}"
    );
}

#[test]
fn a_grey_patch_that_nobody_named_tells_no_level() {
    let (scene, looked) = beside(49.5, false);
    let picture = scene.draw();
    let found = read(&picture, &looked).unwrap();
    assert!(found.references.is_empty(), "{:?}", found.references);
    let said = found.warnings.iter().any(|w| w.what.contains("grey patch"));
    assert!(said, "{:?}", found.warnings);
    let named = Request {
        references: vec![grey(&scene, 49.5)],
        ..looked
    };
    let named = read(&picture, &named).unwrap();
    assert!(worst(&named, &scene) < 2.0, "{}", worst(&named, &scene));
}
