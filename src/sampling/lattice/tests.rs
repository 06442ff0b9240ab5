//! Counts of rows and columns, right and wrong.

use crate::{
    colour::Lab,
    geometry::{Homography, Point},
    sampling::{Request, SamplingError, Verdict, read, scene::Scene},
};

#[test]
fn wrong_counts_are_refused_and_not_cut_to_size() {
    let scene = Scene::ordinary();
    for (rows, cols) in [(3, 3), (2, 4), (2, 3), (3, 5), (4, 4), (4, 3)] {
        let request = Request {
            rows,
            cols,
            corners: None,
            ..scene.request()
        };
        let answer = read(&scene.draw(), &request);
        assert!(
            matches!(
                answer,
                Err(SamplingError::OtherCounts { .. } | SamplingError::NoLattice { .. })
            ),
            "{rows} x {cols}"
        );
    }
}

#[test]
fn counts_far_too_small_are_told_the_true_ones() {
    let scene = Scene::ordinary();
    let request = Request {
        rows: 2,
        cols: 3,
        corners: None,
        ..scene.request()
    };
    let refused = read(&scene.draw(), &request).unwrap_err();
    assert!(
        matches!(
            refused,
            SamplingError::OtherCounts {
                found_rows: 3,
                found_cols: 4,
                ..
            }
        ),
        "{refused}"
    );
}

/// Where the middle of a place of the drawn tray lies.
fn middle(scene: &Scene, row: usize, col: usize) -> Point {
    let unit = super::cell_centre(row * scene.cols + col, (scene.rows, scene.cols));
    Homography::of_unit_square(&scene.corners)
        .unwrap()
        .map(unit)
}

/// One row of four, and one column of three, of an ordinary tray: the other places are bare.
#[test]
fn a_single_row_or_column_is_found() {
    let whole = Scene::ordinary();
    let only = |keep: &dyn Fn(usize) -> bool| {
        let mut scene = whole.clone();
        for (i, slice) in scene.lightness.iter_mut().enumerate() {
            if !keep(i) {
                *slice = None;
            }
        }
        scene
    };
    for (scene, (rows, cols), places) in [
        (only(&|i| i / 4 == 1), (1, 4), vec![4, 5, 6, 7]),
        (only(&|i| i % 4 == 1), (3, 1), vec![1, 5, 9]),
    ] {
        let request = Request {
            rows,
            cols,
            corners: None,
            references: Vec::new(),
            ..scene.request()
        };
        let scores = read(&scene.draw(), &request).unwrap();
        for (read, place) in scores.places.iter().zip(&places) {
            let (row, col) = (place / 4, place % 4);
            let wanted = middle(&scene, row, col);
            let off = read.centre.distance(wanted);
            assert!(off < 12.0, "{place}: {:?} against {wanted:?}", read.centre);
            assert!(matches!(read.verdict, Verdict::Read(_)), "{place}");
        }
        // A row of four is no row of five, nor two rows of four.
        for (rows, cols) in [(rows, cols + 1), (rows + 1, cols)] {
            let wrong = Request {
                rows,
                cols,
                ..request.clone()
            };
            assert!(read(&scene.draw(), &wrong).is_err(), "{rows} x {cols}");
        }
    }
}

/// A card of a slice's size stands where a fifth column would begin.
#[test]
fn a_card_in_line_with_the_slices_makes_no_column() {
    let mut scene = Scene::ordinary();
    let grey = Lab {
        l: 75.0,
        a: 0.0,
        b: 1.0,
    };
    scene.squares = vec![(Point::new(4.5, 1.5), 0.4, grey)];
    let ask = |cols: usize| Request {
        cols,
        corners: None,
        ..scene.request()
    };
    assert!(read(&scene.draw(), &ask(4)).is_ok());
    let refused = read(&scene.draw(), &ask(5)).unwrap_err();
    assert!(
        matches!(refused, SamplingError::OtherCounts { found_cols: 4, .. }),
        "{refused}"
    );
}
