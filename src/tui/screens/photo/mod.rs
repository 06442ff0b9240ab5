//! From a photo of the toasted slices to their scores: the file, the corners of the lattice, what in
//! the photo is of known lightness, the scores over the picture, and into the toast test.

mod file;
mod fit;
mod keys;
mod patch;
mod reading;
mod steps;
#[cfg(test)]
mod tests;
mod view;
mod words;

pub(crate) use keys::with_figure;
pub use keys::{CORNER_KEYS, FILE_KEYS, RACK_KEYS, REFERENCE_KEYS, SCORE_KEYS};

use super::ScreenState;
use crate::{
    geometry::Point,
    model::{Oven, Reading, ToastTest},
    sampling::{Reference, Request, Scores},
    tui::{
        action::{Action, Typed},
        app::Shared,
        effect::Effect,
        event::MouseAct,
        keys::Scope,
        widgets::photo_view::Projection,
    },
    workflow::{browse::usual_folder, catalogue::Occasion, photo::OpenPhoto},
};
use file::FileChoice;
use fit::{Fit, counts_of};
use patch::Patch;
use ratatui::{
    Frame,
    layout::{Position, Rect},
};
use std::{sync::Arc, time::Duration};

/// How often the time that work takes is drawn anew.
const TICK: Duration = Duration::from_millis(500);

/// A way to move on the picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// Up in the picture.
    Up,
    /// Down in the picture.
    Down,
    /// To the left in the picture.
    Left,
    /// To the right in the picture.
    Right,
}

impl Way {
    /// Returns the step in x and y, y downwards.
    fn direction(self) -> (f64, f64) {
        match self {
            Self::Up => (0.0, -1.0),
            Self::Down => (0.0, 1.0),
            Self::Left => (-1.0, 0.0),
            Self::Right => (1.0, 0.0),
        }
    }
}

/// What can be done on the photo screen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PhotoAction {
    /// This step is right: go on.
    Next,
    /// Move the cursor, the corner or the patch in hand.
    Move(Way),
    /// The same, five steps at once.
    Far(Way),
    /// Nearer or farther, about what is in hand.
    Zoom(i8),
    /// Nearer or farther, about a place of the photo.
    ZoomAt(i8, Point),
    /// The mouse was pressed on a place of the photo.
    Press(Point),
    /// The mouse was dragged to a place of the photo.
    Pull(Point),
    /// The mouse was let go.
    Release,
    /// Look for the slices, or for something known, by itself.
    Anew,
    /// A shade by eye, or the number of a rack position.
    Digit(u8),
    /// The photo shows the next rack position.
    Rack(i8),
    /// While a file is chosen.
    File(FileAct),
    /// While the corners are set.
    Corners(CornersAct),
    /// While it is said what is known.
    References(ReferenceAct),
    /// Over the scores.
    Scores(ScoresAct),
}

/// What can be done while a file is chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileAct {
    /// Write the path on as far as the names agree.
    Complete,
    /// Put the cursor on a name; on it already, open it.
    ToName(usize),
}

/// What can be done while the corners are set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CornersAct {
    /// The back wall is at the next side of the picture.
    Back,
    /// Take the next corner (or the one before) in hand.
    Corner(i8),
    /// The whole photo in sight.
    Whole,
    /// Rows of slices, more or less.
    Rows(i8),
    /// Columns of slices, more or less.
    Cols(i8),
    /// Another photo.
    OtherFile,
}

/// What can be done while it is said what is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReferenceAct {
    /// The slice under the cursor is untoasted.
    Untoasted,
    /// Draw a white patch.
    White,
    /// Draw a grey patch.
    Grey,
    /// Leave out the reference named last.
    Drop,
    /// The patch larger or smaller.
    Larger(i8),
    /// The grey patch lighter or darker.
    Lighter(i8),
}

/// What can be done over the scores.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ScoresAct {
    /// Half a step on a shade by eye.
    Half,
    /// Leave the slice out.
    Skip,
    /// No slice lay there.
    Missing,
    /// What the photo says counts again.
    Measured,
    /// Add a photo of the turned tray, or leave it out again.
    Turned,
    /// Keep a picture of the tray with its scores.
    Picture,
}

/// The step that is on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Step {
    /// Choosing a file; of the turned tray when told.
    File { turned: bool },
    /// Setting the corners.
    Corners,
    /// Saying what is known.
    References,
    /// Looking over the scores.
    Scores,
    /// Saying which rack position it is.
    Rack,
}

/// What the worker is doing, and since when.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Wait {
    what: Work,
    since: Duration,
}

/// Work on a photo, as it is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Work {
    /// The file is being opened.
    Opening { turned: bool },
    /// The slices are being looked for.
    Looking,
    /// The scores are being read; afterwards this step comes.
    Reading(Step),
    /// The tray is being drawn.
    Drawing,
}

/// A photo with all that is said about it.
#[derive(Debug)]
struct Sheet {
    shot: Arc<OpenPhoto>,
    turned: Option<Arc<OpenPhoto>>,
    fit: Fit,
    references: Vec<Reference>,
    patch: Option<Patch>,
    /// Row and column of the slice in hand.
    cursor: (usize, usize),
    /// The corners and counts that were said to be right though the grid was doubted.
    confirmed: Option<([Point; 4], usize, usize)>,
    /// The question whether it is right stands on the screen.
    asked: bool,
    /// The last scores, and what they were asked with.
    scores: Option<(Request, Arc<Scores>)>,
    /// Readings by eye, by row and column.
    by_hand: Vec<((usize, usize), Reading)>,
}

/// The state of the photo screen.
#[derive(Debug)]
pub struct PhotoScreen {
    oven: Oven,
    test: ToastTest,
    /// The scoring screen of this test lies behind.
    from_score: bool,
    rack: u8,
    /// The rack position was named by the baker.
    rack_named: bool,
    step: Step,
    file: FileChoice,
    sheet: Option<Box<Sheet>>,
    wait: Option<Wait>,
    /// What is wrong: "what it is; what to do".
    trouble: Option<String>,
}

impl PhotoScreen {
    /// Opens on the choice of a file, for a toast test and the rack position looked at.
    pub(crate) fn new(
        oven: Oven,
        test: ToastTest,
        rack: Option<u8>,
        from_score: bool,
        shared: &Shared,
    ) -> Self {
        let folder = if shared.photo_habits.folder.is_empty() {
            usual_folder()
        } else {
            shared.photo_habits.folder.clone()
        };
        let first = test.setup.racks.first().copied().unwrap_or(1);
        Self {
            rack: rack.unwrap_or(first),
            rack_named: test.setup.racks.len() == 1,
            oven,
            test,
            from_score,
            step: Step::File { turned: false },
            file: FileChoice::new(&folder),
            sheet: None,
            wait: None,
            trouble: None,
        }
    }

    /// Returns how the photo lies on the screen now.
    fn projection(&self, shared: &Shared) -> Option<Projection> {
        let body = crate::tui::view::Chrome::of(shared.size)?.body;
        self.sheet
            .as_ref()
            .map(|sheet| view::projection(sheet, body))
    }

    /// Returns rows and columns to begin with: those of the test's rack position.
    fn counts(&self) -> (usize, usize) {
        counts_of(&self.test, self.rack)
    }
}

impl ScreenState for PhotoScreen {
    fn scope(&self) -> Scope {
        match self.step {
            Step::File { .. } => Scope::PhotoFile,
            Step::Corners => Scope::PhotoCorners,
            Step::References => Scope::PhotoReferences,
            Step::Scores => Scope::PhotoScores,
            Step::Rack => Scope::PhotoRack,
        }
    }

    fn title(&self, _shared: &Shared) -> String {
        format!(
            "scores from a photo, {}, test of {}",
            self.oven.name,
            self.test.when.date()
        )
    }

    fn guide(&self, shared: &Shared) -> String {
        words::guide(self, shared)
    }

    fn view(&self, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
        view::draw(self, shared, frame, body);
    }

    fn hit(&self, _shared: &Shared, body: Rect, at: Position, act: MouseAct) -> Option<Action> {
        view::hit(self, body, at, act).map(Action::Photo)
    }

    fn dragged(&self, _shared: &Shared, body: Rect, at: Position, ended: bool) -> Option<Action> {
        let action = if ended {
            PhotoAction::Release
        } else {
            PhotoAction::Pull(view::photo_at(self, body, at)?)
        };
        Some(Action::Photo(action))
    }

    fn takes_text(&self) -> bool {
        matches!(self.step, Step::File { .. })
    }

    fn typed(&mut self, typed: Typed, _shared: &mut Shared) -> Vec<Effect> {
        self.trouble = None;
        self.file.typed(&typed);
        Vec::new()
    }

    fn answered(&mut self, shared: &mut Shared) -> Vec<Effect> {
        self.take_answer(shared)
    }

    fn leave(&mut self, shared: &mut Shared) -> Vec<Effect> {
        self.step_back(shared);
        Vec::new()
    }

    fn tick(&self) -> Option<Duration> {
        self.wait.map(|_| TICK)
    }

    fn cautions(&self) -> Option<Occasion> {
        Some(Occasion::ToastTest)
    }
}
