//! The keys of the photo screen, one table for each of its steps.

use super::{
    state::{CornersAct, FileAct, PhotoAction, ReferenceAct, ScoresAct},
    way::Way,
};
use crate::tui::keys::keys;

keys! {
    /// The keys while a file is chosen; characters go into the path.
    pub(crate) FILE_KEYS: PhotoAction, "Photo: the file";
    Enter => Next, "open", "open the photo under the cursor, or go into the folder";
    Tab => File(FileAct::Complete), "complete", "write the path on as far as the names agree";
    Down => Move(Way::Down), "choose", "next name";
    Up => Move(Way::Up), "", "name before";
}

keys! {
    /// The keys while the corners are set.
    pub(crate) CORNER_KEYS: PhotoAction, "Photo: the corners";
    Enter => Next, "right", "the grid fits: go on";
    'b' => Corners(CornersAct::Back), "back wall", "the back wall is at the next side of the picture: top, right, bottom, left";
    Tab => Corners(CornersAct::Corner(1)), "corner", "next corner in hand";
    BackTab => Corners(CornersAct::Corner(-1)), "", "corner before";
    '+' | '=' | 'z' => Zoom(1), "zoom", "nearer to what is in hand (the mouse wheel too)";
    '-' | 'Z' => Zoom(-1), "", "farther away";
    '0' => Corners(CornersAct::Whole), "", "the whole photo in sight";
    'r' => Corners(CornersAct::Rows(1)), "rows", "one row of slices more, back to door";
    'R' => Corners(CornersAct::Rows(-1)), "", "one row of slices less";
    'o' => Corners(CornersAct::Cols(1)), "columns", "one column of slices more, left to right";
    'O' => Corners(CornersAct::Cols(-1)), "", "one column of slices less";
    'a' => Anew, "", "look for the slices again by itself";
    'f' => Corners(CornersAct::OtherFile), "", "another photo";
    Up => Move(Way::Up), "", "move the corner up in the picture";
    Down => Move(Way::Down), "", "move the corner down";
    Left => Move(Way::Left), "", "move the corner to the left";
    Right => Move(Way::Right), "", "move the corner to the right";
    FastUp | 'K' => Far(Way::Up), "", "move it up by five steps";
    FastDown | 'J' => Far(Way::Down), "", "move it down by five steps";
    FastLeft | 'H' => Far(Way::Left), "", "move it to the left by five steps";
    FastRight | 'L' => Far(Way::Right), "", "move it to the right by five steps";
    'c' => Cautions, "", "read the cautions";
}

keys! {
    /// The keys while it is said what in the photo is of known lightness.
    pub(crate) REFERENCE_KEYS: PhotoAction, "Photo: what is known";
    Enter => Next, "right", "read the scores with these; while a patch is drawn: keep it";
    'u' => References(ReferenceAct::Untoasted), "untoasted", "the slice under the cursor is untoasted";
    'w' => References(ReferenceAct::White), "white", "draw a patch on a white card or plain white paper";
    'g' => References(ReferenceAct::Grey), "grey", "draw a patch on a grey card, or on anything of known lightness";
    'a' => Anew, "look", "look for a reference automatically";
    Delete | 'd' | Backspace => References(ReferenceAct::Drop), "", "leave out the one named last";
    ']' => References(ReferenceAct::Larger(1)), "", "the patch a step larger";
    '[' => References(ReferenceAct::Larger(-1)), "", "the patch a step smaller";
    PageUp | 'l' => References(ReferenceAct::Lighter(1)), "", "the grey patch is lighter: half a unit of L* more";
    PageDown | 'L' => References(ReferenceAct::Lighter(-1)), "", "the grey patch is darker: half a unit of L* less";
    '+' | '=' | 'z' => Zoom(1), "zoom", "nearer to what is in hand (the mouse wheel too)";
    '-' | 'Z' => Zoom(-1), "", "farther away";
    Up => Move(Way::Up), "", "slice behind; a patch: up";
    Down => Move(Way::Down), "", "slice in front; a patch: down";
    Left => Move(Way::Left), "", "slice to the left; a patch: left";
    Right => Move(Way::Right), "", "slice to the right; a patch: right";
    'c' => Cautions, "", "read the cautions";
}

keys! {
    /// The keys over the scores.
    pub(crate) SCORE_KEYS: PhotoAction, "Photo: the scores";
    Enter => Next, "accept", "accept the scores into the toast test and read the map";
    Digits => Digit, "shade", "correct the slice under the cursor by eye; the cursor stays";
    '+' | '.' => Scores(ScoresAct::Half), "half", "half a step more on a slice corrected by eye, or off again";
    's' | ' ' => Scores(ScoresAct::Skip), "leave out", "leave the slice out of the map";
    'x' => Scores(ScoresAct::Missing), "none", "no slice lay there";
    'u' | Backspace => Scores(ScoresAct::Measured), "undo", "take the correction of this slice back: what the photo says counts";
    't' => Scores(ScoresAct::Turned), "turned", "add a second photo with the tray turned end for end: the light cancels";
    'w' => Scores(ScoresAct::Picture), "", "write a picture of the tray seen from above, light taken out, with the scores of the photo";
    Tab => Rack(1), "rack", "the photo shows the next rack position of the test";
    'z' => Zoom(1), "", "nearer to the slice under the cursor (the mouse wheel too)";
    'Z' | '-' => Zoom(-1), "", "farther away";
    Up => Move(Way::Up), "", "slice behind, towards the back wall";
    Down => Move(Way::Down), "", "slice in front, towards the door";
    Left => Move(Way::Left), "", "slice to the left";
    Right => Move(Way::Right), "", "slice to the right";
    'c' => Cautions, "", "read the cautions";
}

keys! {
    /// The keys while it is asked which rack position the photo shows.
    pub(crate) RACK_KEYS: PhotoAction, "Photo: the rack position";
    Enter => Next, "accept", "accept the scores into the rack position shown";
    DigitsFrom1 => Digit, "rack", "the photo shows that rack position";
    Tab | Down | Up => Rack(1), "next", "the next rack position of the test";
}
