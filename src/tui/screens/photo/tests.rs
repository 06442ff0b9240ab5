use super::{
    PhotoScreen,
    fit::{Fit, counts_of},
    state::{CornersAct, PhotoAction, ReferenceAct, Sheet, Step},
    way::Way,
};
use crate::{
    geometry::Point,
    model::{Reading, samples},
    photo::{Kind, Photo},
    sampling::{Picture, Rectangle, Reference, Side},
    tui::{fixture::Fixture, shared::Banner},
    workflow::photo::OpenPhoto,
};
use std::sync::Arc;

fn picture() -> Picture {
    Picture {
        width: 40,
        height: 30,
        pixels: vec![[0.5; 3]; 1200],
        scale: 10.0,
    }
}

fn fit() -> Fit {
    Fit::new(&picture(), (3, 4), Side::Top)
}

/// The screen over a photo whose corners were set by hand.
fn by_hand() -> (Fixture, PhotoScreen) {
    let fixture = Fixture::scoring();
    let (oven, test) = (fixture.oven().clone(), fixture.test().clone());
    let mut screen = PhotoScreen::new(oven, test, None, true, &fixture.app.shared);
    let shot = OpenPhoto {
        photo: Photo {
            picture: picture(),
            width: 400,
            height: 300,
            kind: Kind::Png,
            orientation: 1,
            profile: None,
            warnings: Vec::new(),
        },
        file: "tray.png".into(),
        sha256: String::new(),
    };
    let fit = Fit {
        by_hand: true,
        ..fit()
    };
    screen.sheet = Some(Box::new(Sheet::new(Arc::new(shot), fit)));
    screen.step = Step::Corners;
    (fixture, screen)
}

#[test]
fn a_reading_under_way_is_stopped_by_whatever_changes_the_question() {
    use PhotoAction::{Anew, Corners, Move, Next, References};
    for (step, change) in [
        (Step::Corners, Corners(CornersAct::Back)),
        (Step::Corners, Corners(CornersAct::Rows(1))),
        (Step::Corners, Corners(CornersAct::Cols(-1))),
        (Step::Corners, Move(Way::Left)),
        (Step::References, References(ReferenceAct::Untoasted)),
        (Step::References, References(ReferenceAct::White)),
        (Step::References, References(ReferenceAct::Drop)),
        (Step::References, Anew),
    ] {
        let (mut fixture, mut screen) = by_hand();
        let shared = &mut fixture.app.shared;
        let sheet = screen.sheet.as_mut().unwrap();
        sheet.references = vec![Reference::Slice { row: 2, col: 1 }];
        screen.step = step;
        screen.update(Next, shared);
        assert!(screen.wait.is_some() && screen.asked.is_waiting());
        screen.update(change, shared);
        assert!(screen.wait.is_none(), "{change:?}");
        assert!(!screen.asked.is_waiting(), "{change:?}");
    }
    // A cursor that moves asks nothing else.
    let (mut fixture, mut screen) = by_hand();
    screen.step = Step::References;
    screen.update(Next, &mut fixture.app.shared);
    screen.update(Move(Way::Right), &mut fixture.app.shared);
    assert!(screen.wait.is_some() && screen.asked.is_waiting());
}

#[test]
fn what_was_said_of_a_row_and_column_goes_when_the_places_change() {
    let white = Reference::White(Rectangle::new(10.0, 10.0, 80.0, 80.0));
    for change in [CornersAct::Back, CornersAct::Rows(1)] {
        let (mut fixture, mut screen) = by_hand();
        let shared = &mut fixture.app.shared;
        let sheet = screen.sheet.as_mut().unwrap();
        sheet.references = vec![Reference::Slice { row: 2, col: 1 }, white];
        sheet.by_hand = vec![((1, 3), Reading::Missing)];
        sheet.cursor = (1, 3);
        screen.update(PhotoAction::Corners(change), shared);
        let sheet = screen.sheet.as_ref().unwrap();
        assert!(sheet.by_hand.is_empty(), "{change:?}");
        assert_eq!(sheet.references, [white], "a card stays where it lies");
        assert_eq!(sheet.cursor, (0, 0));
        let Some(Banner::Done(said)) = &shared.banner else {
            panic!("{:?}", shared.banner)
        };
        assert!(said.contains("cleared"), "{said}");
    }
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
