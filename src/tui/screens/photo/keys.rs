//! The keys of the photo screen, one table for each of its steps.

use super::{CornersAct, FileAct, PhotoAction, ReferenceAct, ScoresAct, Way};
use crate::tui::{
    action::Action,
    keys::{Binding, Key},
};

const fn does(action: PhotoAction) -> Action {
    Action::Photo(action)
}

const fn row(
    keys: &'static [Key],
    action: PhotoAction,
    hint: &'static str,
    help: &'static str,
) -> Binding {
    Binding {
        keys,
        action: does(action),
        hint,
        help,
    }
}

const CAUTIONS: Binding = Binding {
    keys: &[Key::Char('c')],
    action: Action::Cautions,
    hint: "",
    help: "read the cautions",
};

const NEARER: Binding = row(
    &[Key::Char('+'), Key::Char('='), Key::Char('z')],
    PhotoAction::Zoom(1),
    "zoom",
    "nearer to what is in hand (the mouse wheel too)",
);
const FARTHER: Binding = row(
    &[Key::Char('-'), Key::Char('Z')],
    PhotoAction::Zoom(-1),
    "",
    "farther away",
);

/// The keys while a file is chosen; characters go into the path.
pub const FILE_KEYS: &[Binding] = &[
    row(
        &[Key::Enter],
        PhotoAction::Next,
        "open",
        "open the photo under the cursor, or go into the folder",
    ),
    row(
        &[Key::Tab],
        PhotoAction::File(FileAct::Complete),
        "complete",
        "write the path on as far as the names agree",
    ),
    row(
        &[Key::Down],
        PhotoAction::Move(Way::Down),
        "choose",
        "next name",
    ),
    row(&[Key::Up], PhotoAction::Move(Way::Up), "", "name before"),
];

/// The keys while the corners are set.
pub const CORNER_KEYS: &[Binding] = &[
    row(
        &[Key::Enter],
        PhotoAction::Next,
        "right",
        "the lattice lies right and the back wall is named: go on",
    ),
    row(
        &[Key::Char('b')],
        PhotoAction::Corners(CornersAct::Back),
        "back wall",
        "the back wall is at the next side of the picture: top, right, bottom, left",
    ),
    row(
        &[Key::Tab],
        PhotoAction::Corners(CornersAct::Corner(1)),
        "corner",
        "next corner in hand",
    ),
    row(
        &[Key::BackTab],
        PhotoAction::Corners(CornersAct::Corner(-1)),
        "",
        "corner before",
    ),
    NEARER,
    FARTHER,
    row(
        &[Key::Char('0')],
        PhotoAction::Corners(CornersAct::Whole),
        "",
        "the whole photo in sight",
    ),
    row(
        &[Key::Char('r')],
        PhotoAction::Corners(CornersAct::Rows(1)),
        "rows",
        "one row of slices more, back to door",
    ),
    row(
        &[Key::Char('R')],
        PhotoAction::Corners(CornersAct::Rows(-1)),
        "",
        "one row of slices less",
    ),
    row(
        &[Key::Char('o')],
        PhotoAction::Corners(CornersAct::Cols(1)),
        "columns",
        "one column of slices more, left to right",
    ),
    row(
        &[Key::Char('O')],
        PhotoAction::Corners(CornersAct::Cols(-1)),
        "",
        "one column of slices less",
    ),
    row(
        &[Key::Char('a')],
        PhotoAction::Anew,
        "",
        "look for the slices again by itself",
    ),
    row(
        &[Key::Char('f')],
        PhotoAction::Corners(CornersAct::OtherFile),
        "",
        "another photo",
    ),
    row(
        &[Key::Up],
        PhotoAction::Move(Way::Up),
        "",
        "move the corner up in the picture",
    ),
    row(
        &[Key::Down],
        PhotoAction::Move(Way::Down),
        "",
        "move the corner down",
    ),
    row(
        &[Key::Left],
        PhotoAction::Move(Way::Left),
        "",
        "move the corner to the left",
    ),
    row(
        &[Key::Right],
        PhotoAction::Move(Way::Right),
        "",
        "move the corner to the right",
    ),
    row(
        &[Key::FastUp, Key::Char('K')],
        PhotoAction::Far(Way::Up),
        "",
        "move it up by five steps",
    ),
    row(
        &[Key::FastDown, Key::Char('J')],
        PhotoAction::Far(Way::Down),
        "",
        "move it down by five steps",
    ),
    row(
        &[Key::FastLeft, Key::Char('H')],
        PhotoAction::Far(Way::Left),
        "",
        "move it to the left by five steps",
    ),
    row(
        &[Key::FastRight, Key::Char('L')],
        PhotoAction::Far(Way::Right),
        "",
        "move it to the right by five steps",
    ),
    CAUTIONS,
];

/// The keys while it is said what in the photo is of known lightness.
pub const REFERENCE_KEYS: &[Binding] = &[
    row(
        &[Key::Enter],
        PhotoAction::Next,
        "right",
        "read the scores with these; while a patch is drawn: keep it",
    ),
    row(
        &[Key::Char('u')],
        PhotoAction::References(ReferenceAct::Untoasted),
        "untoasted",
        "the slice under the cursor is untoasted",
    ),
    row(
        &[Key::Char('w')],
        PhotoAction::References(ReferenceAct::White),
        "white",
        "draw a patch on a white card or plain white paper",
    ),
    row(
        &[Key::Char('g')],
        PhotoAction::References(ReferenceAct::Grey),
        "grey",
        "draw a patch on a grey card, or on anything of known lightness",
    ),
    row(
        &[Key::Char('a')],
        PhotoAction::Anew,
        "look",
        "name none: let something known be looked for",
    ),
    row(
        &[Key::Delete, Key::Char('d'), Key::Backspace],
        PhotoAction::References(ReferenceAct::Drop),
        "",
        "leave out the one named last",
    ),
    row(
        &[Key::Char(']')],
        PhotoAction::References(ReferenceAct::Larger(1)),
        "",
        "the patch a step larger",
    ),
    row(
        &[Key::Char('[')],
        PhotoAction::References(ReferenceAct::Larger(-1)),
        "",
        "the patch a step smaller",
    ),
    row(
        &[Key::PageUp, Key::Char('l')],
        PhotoAction::References(ReferenceAct::Lighter(1)),
        "",
        "the grey patch is lighter: half a unit of L* more",
    ),
    row(
        &[Key::PageDown, Key::Char('L')],
        PhotoAction::References(ReferenceAct::Lighter(-1)),
        "",
        "the grey patch is darker: half a unit of L* less",
    ),
    NEARER,
    FARTHER,
    row(
        &[Key::Up],
        PhotoAction::Move(Way::Up),
        "",
        "slice behind; a patch: up",
    ),
    row(
        &[Key::Down],
        PhotoAction::Move(Way::Down),
        "",
        "slice in front; a patch: down",
    ),
    row(
        &[Key::Left],
        PhotoAction::Move(Way::Left),
        "",
        "slice to the left; a patch: left",
    ),
    row(
        &[Key::Right],
        PhotoAction::Move(Way::Right),
        "",
        "slice to the right; a patch: right",
    ),
    CAUTIONS,
];

/// The keys over the scores.
pub const SCORE_KEYS: &[Binding] = &[
    row(
        &[Key::Enter],
        PhotoAction::Next,
        "accept",
        "accept the scores into the toast test and read the map",
    ),
    row(
        &[
            Key::Char('0'),
            Key::Char('1'),
            Key::Char('2'),
            Key::Char('3'),
            Key::Char('4'),
            Key::Char('5'),
            Key::Char('6'),
            Key::Char('7'),
            Key::Char('8'),
            Key::Char('9'),
        ],
        PhotoAction::Digit(0),
        "shade",
        "correct the slice under the cursor by eye; the cursor stays",
    ),
    row(
        &[Key::Char('+'), Key::Char('.')],
        PhotoAction::Scores(ScoresAct::Half),
        "half",
        "half a step more on a slice corrected by eye, or off again",
    ),
    row(
        &[Key::Char('s'), Key::Char(' ')],
        PhotoAction::Scores(ScoresAct::Skip),
        "leave out",
        "leave the slice out of the map",
    ),
    row(
        &[Key::Char('x')],
        PhotoAction::Scores(ScoresAct::Missing),
        "none",
        "no slice lay there",
    ),
    row(
        &[Key::Char('u'), Key::Backspace],
        PhotoAction::Scores(ScoresAct::Measured),
        "undo",
        "take the correction of this slice back: what the photo says counts",
    ),
    row(
        &[Key::Char('t')],
        PhotoAction::Scores(ScoresAct::Turned),
        "turned",
        "add a second photo with the tray turned end for end: the light cancels",
    ),
    row(
        &[Key::Char('w')],
        PhotoAction::Scores(ScoresAct::Picture),
        "",
        "write a picture of the tray seen from above, light taken out, with the scores of the photo",
    ),
    row(
        &[Key::Tab],
        PhotoAction::Rack(1),
        "rack",
        "the photo shows the next rack position of the test",
    ),
    row(
        &[Key::Char('z')],
        PhotoAction::Zoom(1),
        "",
        "nearer to the slice under the cursor (the mouse wheel too)",
    ),
    row(
        &[Key::Char('Z'), Key::Char('-')],
        PhotoAction::Zoom(-1),
        "",
        "farther away",
    ),
    row(
        &[Key::Up],
        PhotoAction::Move(Way::Up),
        "",
        "slice behind, towards the back wall",
    ),
    row(
        &[Key::Down],
        PhotoAction::Move(Way::Down),
        "",
        "slice in front, towards the door",
    ),
    row(
        &[Key::Left],
        PhotoAction::Move(Way::Left),
        "",
        "slice to the left",
    ),
    row(
        &[Key::Right],
        PhotoAction::Move(Way::Right),
        "",
        "slice to the right",
    ),
    CAUTIONS,
];

/// The keys while it is asked which rack position the photo shows.
pub const RACK_KEYS: &[Binding] = &[
    row(
        &[Key::Enter],
        PhotoAction::Next,
        "accept",
        "accept the scores into the rack position shown",
    ),
    row(
        &[
            Key::Char('1'),
            Key::Char('2'),
            Key::Char('3'),
            Key::Char('4'),
            Key::Char('5'),
            Key::Char('6'),
            Key::Char('7'),
            Key::Char('8'),
            Key::Char('9'),
        ],
        PhotoAction::Digit(1),
        "rack",
        "the photo shows that rack position",
    ),
    row(
        &[Key::Tab, Key::Down, Key::Up],
        PhotoAction::Rack(1),
        "next",
        "the next rack position of the test",
    ),
];

/// Returns what a key's own figure makes of its action: the digits share one row.
pub(crate) fn with_figure(action: PhotoAction, key: Key) -> PhotoAction {
    match (action, key) {
        (PhotoAction::Digit(_), Key::Char(c)) => c
            .to_digit(10)
            .and_then(|d| u8::try_from(d).ok())
            .map_or(action, PhotoAction::Digit),
        (_, _) => action,
    }
}
