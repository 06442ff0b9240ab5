use super::*;
use crate::model::samples::two_racks;
use proptest::prelude::*;

fn eye(value: f64) -> Reading {
    Reading::ByEye(Shade::from_value(value).unwrap())
}

fn press(scoring: &mut Scoring, keys: &[ScoreKey]) {
    for &key in keys {
        scoring.apply(key).unwrap();
    }
}

fn readings(scoring: &Scoring) -> Vec<Reading> {
    scoring.test().slices.iter().map(|s| s.reading).collect()
}

#[test]
fn digits_move_on_and_the_half_step_goes_to_the_slice_just_scored() {
    let mut s = Scoring::new(two_racks());
    assert_eq!(s.apply(ScoreKey::Half), Err(ScoreError::NothingToHalve));
    press(
        &mut s,
        &[ScoreKey::Digit(3), ScoreKey::Digit(4), ScoreKey::Half],
    );
    assert_eq!((s.cursor(), s.last_scored()), (2, Some(1)));
    assert_eq!(readings(&s)[..3], [eye(3.0), eye(4.5), Reading::Unscored]);
    press(&mut s, &[ScoreKey::Half, ScoreKey::Skip, ScoreKey::Missing]);
    assert_eq!(
        readings(&s)[1..4],
        [eye(4.0), Reading::Skipped, Reading::Missing]
    );
    assert_eq!(s.apply(ScoreKey::Half), Err(ScoreError::NothingToHalve));
    assert!(matches!(
        s.apply(ScoreKey::Digit(12)),
        Err(ScoreError::Shade(_))
    ));
    assert_eq!(s.cursor(), 4);
}

#[test]
fn a_half_step_goes_to_no_slice_that_the_last_key_was_not_about() {
    let mut s = Scoring::new(two_racks());
    let count = s.test().slices.len();
    press(&mut s, &vec![ScoreKey::Digit(4); count]);
    assert_eq!(s.last_scored(), Some(count - 1));
    assert!(matches!(
        s.apply(ScoreKey::Digit(1)),
        Err(ScoreError::AllDone(_))
    ));
    // 1 and then the half step meant 1.5 somewhere, and not 4.5 on the last slice.
    assert_eq!(s.apply(ScoreKey::Half), Err(ScoreError::NothingToHalve));
    assert!(readings(&s).iter().all(|r| *r == eye(4.0)));
    press(&mut s, &[ScoreKey::To(2), ScoreKey::Half]);
    assert_eq!(readings(&s)[2], eye(4.5), "the one gone to");
    let done = Scoring::new(s.test().clone());
    assert_eq!(done.last_scored(), None, "opened again when it was done");
}

#[test]
fn shade_nine_takes_no_half_step() {
    let mut s = Scoring::new(two_racks());
    press(&mut s, &[ScoreKey::Digit(9)]);
    let nine = Shade::whole(9).unwrap();
    assert_eq!(s.apply(ScoreKey::Half), Err(ScoreError::NoHalf(nine)));
    assert_eq!(readings(&s)[0], eye(9.0));
}

#[test]
fn a_session_goes_on_where_the_last_one_stopped() {
    let mut first = Scoring::new(two_racks());
    press(&mut first, &[ScoreKey::Digit(3), ScoreKey::Digit(4)]);
    let mut again = Scoring::new(first.test().clone());
    assert_eq!((again.cursor(), again.last_scored()), (2, Some(1)));
    assert_eq!(again.clone().apply(ScoreKey::Undo), Ok(false));
    press(&mut again, &[ScoreKey::Half]);
    assert_eq!(readings(&again)[1], eye(4.5));
}

#[test]
fn past_the_end_the_cursor_returns_to_what_was_jumped_over() {
    let mut test = two_racks();
    test.slices[3].reading = Reading::Missing;
    let mut s = Scoring::new(test);
    press(&mut s, &[ScoreKey::To(2), ScoreKey::Digit(5)]);
    assert_eq!(s.cursor(), 4, "nothing lies at 3, so the cursor passes it");
    press(&mut s, &[ScoreKey::Digit(5); 8]);
    assert_eq!(s.cursor(), 0, "0 and 1 are still open");
    press(&mut s, &[ScoreKey::Digit(1), ScoreKey::Digit(2)]);
    assert_eq!(s.cursor(), 12, "all are dealt with");
    assert_eq!(readings(&s)[..3], [eye(1.0), eye(2.0), eye(5.0)]);
}

#[test]
fn a_finished_test_takes_no_more_digits_but_can_be_corrected() {
    let mut s = Scoring::new(two_racks());
    press(&mut s, &[ScoreKey::Digit(4); 12]);
    assert_eq!(s.cursor(), 12);
    assert_eq!(s.apply(ScoreKey::Digit(4)), Err(ScoreError::AllDone(12)));
    press(&mut s, &[ScoreKey::Left]);
    assert_eq!(s.cursor(), 11);
    assert_eq!(
        s.apply(ScoreKey::To(12)),
        Err(ScoreError::NoSuchSlice {
            number: 13,
            count: 12
        })
    );
}

#[test]
fn up_is_towards_the_back_wall_of_the_same_rack() {
    let mut s = Scoring::new(two_racks());
    press(&mut s, &[ScoreKey::To(10), ScoreKey::Up]);
    assert_eq!(s.cursor(), 7);
    assert_eq!(
        s.apply(ScoreKey::Up),
        Ok(false),
        "nothing lies behind the back row"
    );
    press(&mut s, &[ScoreKey::Down, ScoreKey::Right]);
    assert_eq!(s.cursor(), 11);
    assert_eq!(s.apply(ScoreKey::Right), Ok(false));
}

#[test]
fn rows_of_digits_read_as_bakers_write_them() {
    let row = parse_scores("345 4.56+ 7 . -").unwrap();
    let expected = [
        eye(3.0),
        eye(4.0),
        eye(5.0),
        eye(4.5),
        eye(6.5),
        eye(7.0),
        Reading::Skipped,
        Reading::Missing,
    ];
    assert_eq!(row, expected);
    for (wrong, place) in [("34x", 3), ("3.4", 1), ("9.5", 1), ("9+", 1), ("+3", 1)] {
        match parse_scores(wrong) {
            Err(ScoreTextError::Sign { place: at, .. }) => assert_eq!(at, place, "{wrong}"),
            other => panic!("{wrong}: {other:?}"),
        }
    }
    for commas in ["4,5,6 5,6,7", "4,5,6\n5,6,7", "4, 5, 6", "4,5\n"] {
        let read = parse_scores(commas).unwrap();
        assert_eq!(read[..2], [eye(4.0), eye(5.0)], "{commas}");
    }
    let message = parse_scores("34x").unwrap_err().to_string();
    assert!(message.contains("'x' at place 3 of '34x'"), "{message}");
}

#[test]
fn a_figure_that_is_no_score_is_named_as_it_was_written() {
    for (row, sign, place) in [
        ("4.25 4 4 4", "4.25", 1),
        ("345.45", "5.4", 3),
        ("4,5 4 4 4", "4,5", 1),
    ] {
        let Err(ScoreTextError::Sign {
            sign: said,
            place: at,
            ..
        }) = parse_scores(row)
        else {
            panic!("{row} is taken");
        };
        assert_eq!((said.as_str(), at), (sign, place), "{row}");
    }
}

#[test]
fn a_rack_is_scored_in_one_line_or_not_at_all() {
    let mut test = two_racks();
    set_rack_scores(&mut test, 2, "345 456").unwrap();
    assert_eq!((test.scored(), test.cursor), (6, 0));
    let before = test.clone();
    assert_eq!(
        set_rack_scores(&mut test, 1, "345 45"),
        Err(ScoreTextError::Count {
            rack: 1,
            slices: 6,
            given: 5
        })
    );
    // As many as there are slices, but one row is short and the other long: somebody slipped.
    let slipped = set_rack_scores(&mut test, 1, "34 5456").unwrap_err();
    assert!(matches!(
        slipped,
        ScoreTextError::Row {
            row: 1,
            slices: 3,
            given: 2
        }
    ));
    let error = set_rack_scores(&mut test, 4, "345 456").unwrap_err();
    assert!(error.to_string().contains("rack 1, 2"), "{error}");
    assert_eq!(test, before);
    // One is corrected, the others keep what they have.
    set_rack_scores(&mut test, 2, "..6 ...").unwrap();
    assert_eq!(test.scored(), 6);
    assert_ne!(test, before);
}

#[test]
fn csv_scores_are_taken_by_number_or_by_place() {
    let mut by_number = two_racks();
    let text = "slice,shade\n1,3\n8,4.5\n12,-\n";
    assert_eq!(read_scores_csv(&mut by_number, text), Ok(3));
    let mut by_place = two_racks();
    let text =
        "\u{feff}rack, row, col, shade\n# jotted at the oven\n1,1,1,3.0\n2,1,2,4.5\n2,2,3,-\n";
    assert_eq!(read_scores_csv(&mut by_place, text), Ok(3));
    assert_eq!(by_number, by_place);
    assert_eq!(by_place.cursor, 1);
}

#[test]
fn a_wrong_csv_cell_is_named_and_changes_nothing() {
    let cases = [
        ("slice,shade\n1,3\n99,4\n", "line 3, column slice: '99'"),
        ("slice,shade\n1,banana\n", "line 2, column shade: 'banana'"),
        ("slice,shade\n1,34\n", "line 2, column shade: '34'"),
        ("rack,row,col,shade\n7,1,1,3\n", "line 2, column rack: '7'"),
        ("rack,row,col,shade\n1,3,1,3\n", "line 2, column row: '3'"),
        ("rack,row,col,shade\n1,1,4,3\n", "line 2, column col: '4'"),
        ("place,shade\n1,3\n", "place,shade"),
        ("slice,shade\n1\n", "line 2"),
        ("slice,shade\n", "no scores"),
    ];
    for (text, expected) in cases {
        let mut test = two_racks();
        let message = read_scores_csv(&mut test, text).unwrap_err().to_string();
        assert!(message.contains(expected), "{text:?}: {message}");
        assert_eq!(test, two_racks(), "{text:?}");
    }
}

fn any_key() -> impl Strategy<Value = ScoreKey> {
    prop_oneof![
        4 => (0_u8..=9).prop_map(ScoreKey::Digit),
        2 => Just(ScoreKey::Half),
        1 => Just(ScoreKey::Skip),
        1 => Just(ScoreKey::Missing),
        1 => (0_usize..12).prop_map(ScoreKey::To),
        1 => Just(ScoreKey::Left),
        1 => Just(ScoreKey::Right),
        1 => Just(ScoreKey::Up),
        1 => Just(ScoreKey::Down),
    ]
}

proptest! {
    #[test]
    fn undoing_everything_gives_the_blank_test_and_redoing_the_scored_one(
        keys in prop::collection::vec(any_key(), 0..40)
    ) {
        let mut s = Scoring::new(two_racks());
        for key in keys {
            // A key that makes no sense there must leave everything that is kept as it is.
            let before = s.clone();
            if s.apply(key).is_err() {
                prop_assert_eq!(s.test(), before.test());
                prop_assert_eq!((&s.done, &s.undone), (&before.done, &before.undone));
            }
            prop_assert!(s.cursor() <= 12);
        }
        let scored = readings(&s);
        while s.apply(ScoreKey::Undo) == Ok(true) {}
        prop_assert!(readings(&s).iter().all(|r| *r == Reading::Unscored));
        while s.apply(ScoreKey::Redo) == Ok(true) {}
        prop_assert_eq!(readings(&s), scored);
    }
}
