//! The photo screen over a drawn tray that is decoded from a file, as a photo is: from the path to the
//! map, and what it says of a photo without bread.

use crate::{
    photo_kit::{LIGHTNESS, counter, tray, turned_tray},
    screens_kit::{Stage, pictures, snapshots},
};
use rackshade::{
    model::{Reading, ToastTest},
    tui::{keys::Key, theme::Depth},
};
use tempfile::TempDir;

/// A toast test whose slices were photographed; the photo is open and its corners are found.
fn opened(size: (u16, u16), depth: Depth) -> Stage {
    let folder = TempDir::new().unwrap();
    let photo = tray(folder.path());
    let mut stage = Stage::toasted(size, depth);
    stage.keys("f");
    // as a terminal pastes a dropped file with a blank in its name
    stage.paste(&format!("'{}'\n", photo.display()));
    stage.press(Key::Enter);
    stage
}

fn test_of(stage: &Stage) -> &ToastTest {
    stage.app.shared().kitchen.tests().last().unwrap()
}

pictures! {
    corners "photo-corners" opened "";
    references_with_a_patch_being_drawn "photo-references" opened "\ng↑";
    scores "photo-scores" opened "\n\n↓4.→";
}

#[test]
fn the_cautions_beside_a_photo_are_whole_in_80_columns() {
    let mut stage = Stage::toasted((80, 24), Depth::NoColour);
    stage.keys("f");
    let text = stage.text();
    let words: Vec<&str> = text.split_whitespace().collect();
    let end = ["Keep", "children", "away."];
    assert!(words.windows(3).any(|w| w == end), "{text}");
}

#[test]
fn a_photo_without_bread() {
    snapshots("photo-refused", |size, depth| {
        let folder = TempDir::new().unwrap();
        let photo = counter(folder.path());
        let mut stage = Stage::toasted(size, depth);
        stage.keys("f");
        stage.paste(&photo.display().to_string());
        stage.press(Key::Enter);
        stage
    });
}

#[test]
fn a_photo_becomes_scores_in_the_test() {
    let mut stage = opened((80, 24), Depth::NoColour);
    let text = stage.text();
    assert!(text.contains("corners found by themselves"), "{text}");
    stage.press(Key::Enter);
    let text = stage.text();
    assert!(text.contains("found: untoasted slice"), "{text}");
    stage.press(Key::Enter);
    assert!(stage.text().contains("missing"), "{}", stage.text());
    // the first slice is corrected by eye
    stage.keys("5.\n");
    // the score screen opens, not a bake
    let text = stage.text();
    assert!(
        text.contains("all slices are done") || text.contains("minutes"),
        "{text}"
    );
    let test = test_of(&stage);
    let [note] = test.photos.as_slice() else {
        panic!("{:?}", test.photos)
    };
    assert!(note.file.ends_with("toast tray.png") && note.sha256.len() == 64);
    assert_eq!((note.rack, note.counts), (test.setup.racks[0], (3, 4)));
    let mut measured = 0;
    for (i, (slice, truth)) in test.slices.iter().zip(LIGHTNESS).enumerate() {
        match (slice.reading, truth) {
            (Reading::ByEye(shade), _) => assert_eq!((i, shade.half_steps()), (0, 11)),
            (Reading::Missing, truth) => assert_eq!(truth, None, "slice {i}"),
            (Reading::Skipped, truth) => assert_eq!(truth, Some(84.0), "slice {i}"),
            (Reading::Measured { lightness, .. }, Some(truth)) => {
                // a drawn tray under even light: as near as the contract asks of photos
                assert!(
                    (lightness - truth).abs() < 1.5,
                    "{i}: {lightness} for {truth}"
                );
                measured += 1;
            }
            (other, _) => panic!("slice {i}: {other:?}"),
        }
    }
    assert_eq!(measured, 9);
    stage.press(Key::Escape);
    assert!(stage.text().contains("kitchen"));
}

#[test]
fn corners_are_moved_by_keys_and_mouse_and_read_as_they_stand() {
    let mut stage = opened((120, 40), Depth::NoColour);
    let before = stage.find("\u{25c6} back-left");
    stage.drag(before, (before.0 + 2, before.1 + 1));
    assert_eq!(
        stage.find("\u{25c6} back-left"),
        (before.0 + 2, before.1 + 1)
    );
    assert!(stage.text().contains("corners set by hand"));
    stage.keys("←←↑↑");
    let there = stage.find("\u{25c6} back-left");
    assert!(there.0.abs_diff(before.0) <= 1 && there.1.abs_diff(before.1) <= 1);
    stage.press(Key::Tab);
    assert!(stage.text().contains("\u{25b8} back-right"));
    stage.press(Key::FastRight);
    stage.press(Key::FastLeft);
    stage.press(Key::Enter);
    assert!(stage.text().contains("Known lightness"), "{}", stage.text());
    // looked for again: as at first
    stage.keys("\x1ba");
    assert!(stage.text().contains("corners found by themselves"));
    assert_eq!(stage.find("\u{25c6} back-left"), before);
}

#[test]
fn the_back_wall_at_another_side_turns_names_and_rows() {
    let mut stage = opened((120, 40), Depth::NoColour);
    let upper_left = stage.find("\u{25c6} back-left");
    stage.keys("bb");
    let text = stage.text();
    assert!(text.contains("Back wall: picture's bottom (b)"), "{text}");
    let turned = stage.find("\u{25c6} front-right");
    assert!(
        turned.0.abs_diff(upper_left.0) <= 1 && turned.1.abs_diff(upper_left.1) <= 1,
        "{turned:?} {upper_left:?}"
    );
    stage.keys("\n\n\n");
    let test = test_of(&stage);
    // the empty place, second row and third column of the picture, is the second from the other end
    assert_eq!(test.slices[5].reading, Reading::Missing);
    assert_eq!(
        test.slices[2].reading,
        Reading::Skipped,
        "the untoasted one"
    );
}

#[test]
fn what_is_known_can_be_named_by_slice_and_by_patch() {
    let mut stage = opened((80, 24), Depth::NoColour);
    stage.press(Key::Enter);
    // the untoasted slice lies in the third row, second column
    stage.keys("↓↓→u");
    let text = stage.text();
    assert!(text.contains("untoasted slice, row 3"), "{text}");
    stage.press(Key::Enter);
    assert!(stage.text().contains("For rack"), "{}", stage.text());
    stage.keys("\x1bd");
    // an empty place cannot be the reference
    stage.keys("↑→u\n");
    let text = stage.text();
    assert!(text.contains("no slice lies there"), "{text}");
    stage.keys("\x1bdw]\n");
    assert!(
        stage.text().contains("white card or paper"),
        "{}",
        stage.text()
    );
}

#[test]
fn names_that_fit_are_listed_and_completed() {
    let folder = TempDir::new().unwrap();
    tray(folder.path());
    counter(folder.path());
    let mut stage = Stage::toasted((80, 24), Depth::NoColour);
    stage.keys("f");
    stage.paste(&format!("{}/", folder.path().display()));
    let text = stage.text();
    assert!(
        text.contains("toast tray.png") && text.contains("counter.png"),
        "{text}"
    );
    stage.keys("to");
    assert!(!stage.text().contains("counter.png"));
    stage.keys("\t\n");
    assert!(
        stage.text().contains("3 rows, back to door"),
        "{}",
        stage.text()
    );
    // a name that is not there
    stage.keys("f");
    stage.paste("/no/such/photo.jpg");
    stage.press(Key::Enter);
    let text = stage.text();
    assert!(text.contains("Wrong:") && text.contains("Do:"), "{text}");
}

#[test]
fn a_test_of_two_racks_asks_which_one_the_photo_shows() {
    let folder = TempDir::new().unwrap();
    let photo = tray(folder.path());
    let mut stage = Stage::laid_out((80, 24), Depth::NoColour);
    stage.keys("5\n\nsf");
    stage.paste(&photo.display().to_string());
    stage.keys("\n\n\n\n");
    let text = stage.text();
    assert!(text.contains("which rack position is it?"), "{text}");
    stage.keys("2");
    assert!(stage.text().contains("no slices on rack position 2"));
    stage.keys("5");
    let test = test_of(&stage);
    assert_eq!(test.photos.len(), 1);
    assert_eq!(test.photos[0].rack, 5);
    let settled = |rack| {
        let of_rack = test.slices.iter().filter(|s| s.rack == rack);
        of_rack.filter(|s| s.reading.is_settled()).count()
    };
    assert_eq!((settled(3), settled(5)), (0, 12));
}

#[test]
fn a_second_photo_is_added_and_one_that_does_not_fit_is_left_out() {
    let folder = TempDir::new().unwrap();
    let mut stage = opened((80, 24), Depth::NoColour);
    stage.keys("\n\nt");
    stage.paste(&counter(folder.path()).display().to_string());
    stage.press(Key::Enter);
    assert!(stage.text().contains("no bread found"), "{}", stage.text());
    stage.keys("\x1bt");
    stage.paste(&turned_tray(folder.path()).display().to_string());
    stage.press(Key::Enter);
    let text = stage.text();
    assert!(text.contains("cancelled by the turned"), "{text}");
    // and out again
    stage.keys("t");
    let text = stage.text();
    assert!(text.contains("told by the ground"), "{text}");
    stage.keys("t");
    stage.paste(&turned_tray(folder.path()).display().to_string());
    stage.keys("\n\n");
    let photos = &test_of(&stage).photos;
    let second = photos[0].turned.as_ref().unwrap();
    assert!(second.0.ends_with("turned tray.png"), "{second:?}");
}

#[test]
fn a_picture_of_the_tray_is_written_beside_the_data() {
    let mut stage = opened((80, 24), Depth::NoColour);
    stage.keys("\n\nw");
    let papers = stage.app.shared().kitchen.folder().join("papers");
    let name = format!("{} toast tray.png", test_of(&stage).id);
    let drawn = image::open(papers.join(name)).unwrap();
    // four columns and three rows, and the door below
    assert_eq!(drawn.width() % 4, 0);
    assert!(drawn.height() > drawn.width() / 4 * 3);
    assert!(
        stage.text().contains("the picture is in"),
        "{}",
        stage.text()
    );
    // and the scores are still to be accepted
    stage.press(Key::Enter);
    assert_eq!(test_of(&stage).photos.len(), 1);
}
