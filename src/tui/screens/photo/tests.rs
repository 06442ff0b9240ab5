use super::fit::Fit;
use super::fit::counts_of;
use crate::geometry::Point;
use crate::model::Reading;
use crate::model::samples;
use crate::sampling::{Picture, Side};

fn fit() -> Fit {
    let picture = Picture {
        width: 40,
        height: 30,
        pixels: vec![[0.5; 3]; 1200],
        scale: 10.0,
    };
    Fit::new(&picture, (3, 4), Side::Top)
}

#[test]
fn four_turns_of_the_back_wall_are_none() {
    let before = fit();
    let mut turned = before.clone();
    turned.turn();
    assert_eq!(turned.back, Side::Right);
    // with the back wall at the right, back-left is the picture's upper right corner
    assert_eq!(turned.corners[0], before.corners[1]);
    assert_eq!(turned.corners[3], before.corners[0]);
    for _ in 0..3 {
        turned.turn();
    }
    assert_eq!(turned, before);
}

#[test]
fn a_place_and_the_point_in_its_middle_are_one() {
    let mut fit = fit();
    for _ in 0..4 {
        for row in 0..3 {
            for col in 0..4 {
                let middle = fit.place(row, col).unwrap();
                assert_eq!(fit.place_at(middle), Some((row, col)));
            }
        }
        fit.turn();
    }
    assert_eq!(fit.place_at(Point::new(0.0, 0.0)), None);
}

#[test]
fn rows_and_columns_are_told_from_the_slices_of_a_rack() {
    let slice = |rack, x, y| samples::slice(rack, x, y, Reading::Unscored);
    // two rows of three, one slice nudged; on rack 2 a single one
    let test = samples::toast_test([
        slice(1, 10.0, 30.0),
        slice(1, 21.0, 32.0),
        slice(1, 32.0, 30.0),
        slice(1, 10.0, 19.0),
        slice(1, 22.0, 19.0),
        slice(1, 32.0, 19.0),
        slice(2, 10.0, 30.0),
    ]);
    assert_eq!(counts_of(&test, 1), (2, 3));
    assert_eq!(counts_of(&test, 2), (1, 1));
}
