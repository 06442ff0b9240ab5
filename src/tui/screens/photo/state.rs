//! The state of the photo screen, and what can be done on it.

use super::{
    file::FileChoice,
    fit::{Fit, counts_of},
    patch::Patch,
    way::Way,
};
use crate::tui::prelude::*;
use crate::{
    geometry::Point,
    model::{Oven, Reading, ToastTest},
    sampling::{Reference, Request, Scores},
    workflow::{browse::usual_folder, photo::OpenPhoto},
};
use std::{path::PathBuf, sync::Arc, time::Duration};

/// What can be done on the photo screen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum PhotoAction {
    Cautions,
    Next,
    Move(Way),
    Far(Way),
    Zoom(i8),
    /// Nearer or farther, about a place of the photo.
    ZoomAt(i8, Point),
    /// The mouse was pressed on a place of the photo.
    Press(Point),
    /// The mouse was dragged to a place of the photo.
    Pull(Point),
    /// The mouse was let go.
    Release,
    Anew,
    Digit(u8),
    Rack(i8),
    File(FileAct),
    Corners(CornersAct),
    References(ReferenceAct),
    Scores(ScoresAct),
}

/// What can be done while a file is chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum FileAct {
    Complete,
    /// Put the cursor on a name; on it already, open it.
    ToName(usize),
}

/// What can be done while the corners are set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum CornersAct {
    Back,
    Corner(i8),
    Whole,
    Rows(i8),
    Cols(i8),
    OtherFile,
}

/// What can be done while it is said what is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum ReferenceAct {
    Untoasted,
    White,
    Grey,
    Drop,
    Larger(i8),
    Lighter(i8),
}

/// What can be done over the scores.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum ScoresAct {
    Half,
    Skip,
    Missing,
    Measured,
    /// Add a photo of the turned tray, or leave it out again.
    Turned,
    Picture,
}

/// What became of a photo.
#[derive(Debug, Clone)]
pub(super) enum PhotoAnswer {
    /// It is open.
    Opened(Arc<OpenPhoto>),
    /// It was read, with what was asked: what stands on the screen by then may be another question.
    Read(Box<Request>, Arc<Scores>),
    /// The tray was drawn, into this file.
    Drawn(PathBuf),
}

/// The step that is on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Step {
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
pub(super) struct Wait {
    pub(super) what: Work,
    pub(super) since: Duration,
}

/// Work on a photo, as it is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Work {
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
pub(super) struct Sheet {
    pub(super) shot: Arc<OpenPhoto>,
    pub(super) turned: Option<Arc<OpenPhoto>>,
    pub(super) fit: Fit,
    pub(super) references: Vec<Reference>,
    pub(super) patch: Option<Patch>,
    /// Row and column of the slice in hand.
    pub(super) cursor: (usize, usize),
    /// The corners and counts that were said to be right though the grid was doubted.
    pub(super) confirmed: Option<([Point; 4], usize, usize)>,
    /// The question whether it is right stands on the screen.
    pub(super) asked: bool,
    /// The last scores, and what they were asked with.
    pub(super) scores: Option<(Request, Arc<Scores>)>,
    /// Readings by eye, by row and column.
    pub(super) by_hand: Vec<((usize, usize), Reading)>,
}

/// The state of the photo screen.
#[derive(Debug)]
pub(crate) struct PhotoScreen {
    pub(super) oven: Oven,
    pub(super) test: ToastTest,
    /// The scoring screen of this test lies behind.
    pub(super) from_score: bool,
    pub(super) rack: u8,
    /// The rack position was named by the baker.
    pub(super) rack_named: bool,
    pub(super) step: Step,
    pub(super) file: FileChoice,
    pub(super) sheet: Option<Box<Sheet>>,
    pub(super) wait: Option<Wait>,
    pub(super) asked: Asked<PhotoAnswer>,
    /// What is wrong: "what it is; what to do".
    pub(super) trouble: Option<String>,
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
            asked: Asked::default(),
            trouble: None,
        }
    }

    /// Returns rows and columns to begin with: those of the test's rack position.
    pub(super) fn counts(&self) -> (usize, usize) {
        counts_of(&self.test, self.rack)
    }
}
