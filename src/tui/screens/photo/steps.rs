//! What the keys do, step by step, and what the worker's answers change.

use super::{
    file::FileChoice,
    fit::Fit,
    state::{CornersAct, FileAct, PhotoAction, PhotoAnswer, PhotoScreen, Sheet, Step, Wait, Work},
    way::Way,
};
use crate::tui::prelude::*;
use crate::{
    report::png::tray_png,
    sampling::{Side, request::MOST_CELLS},
    workflow::{
        browse::{folder_of, path_of},
        output::write_picture,
        photo::{OpenPhoto, open_photo, read_photo},
    },
};
use std::sync::Arc;

/// How many steps a fast key takes.
const FAST: f64 = 5.0;

impl PhotoScreen {
    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: PhotoAction, shared: &mut Shared) {
        match self.step {
            Step::File { turned } => self.choose_file(action, turned, shared),
            Step::Corners => self.set_corners(action, shared),
            Step::References => self.name_references(action, shared),
            Step::Scores => self.look_over(action, shared),
            Step::Rack => self.name_rack(action, shared),
        }
    }

    fn choose_file(&mut self, action: PhotoAction, turned: bool, shared: &mut Shared) {
        self.trouble = None;
        match action {
            PhotoAction::Move(Way::Down) => self.file.step(1),
            PhotoAction::Move(Way::Up) => self.file.step(-1),
            PhotoAction::File(FileAct::Complete) => self.file.complete(),
            PhotoAction::File(FileAct::ToName(row)) if self.file.row == Some(row) => {
                self.open_file(turned, shared);
            }
            PhotoAction::File(FileAct::ToName(row)) => self.file.to(row),
            PhotoAction::Next => self.open_file(turned, shared),
            _ => {}
        }
    }

    fn open_file(&mut self, turned: bool, shared: &mut Shared) {
        let Some(path) = self.file.take() else {
            return;
        };
        self.wait = Some(Wait {
            what: Work::Opening { turned },
            since: shared.elapsed,
        });
        let path = path_of(&path);
        self.asked.ask(shared, Lane::Photo, move || {
            Ok(PhotoAnswer::Opened(Arc::new(open_photo(&path)?)))
        });
    }

    fn set_corners(&mut self, action: PhotoAction, shared: &mut Shared) {
        let Some(projection) = self.projection(shared) else {
            return;
        };
        let Some(sheet) = &mut self.sheet else {
            return;
        };
        let fit = &mut sheet.fit;
        match action {
            PhotoAction::Next => self.confirm_corners(shared),
            PhotoAction::Corners(CornersAct::Back) => {
                fit.turn();
                shared.photo_habits.back = Some(fit.back);
                self.places_changed(shared);
            }
            PhotoAction::Corners(CornersAct::Rows(by)) => {
                self.change_counts((by, 0), shared);
            }
            PhotoAction::Corners(CornersAct::Cols(by)) => {
                self.change_counts((0, by), shared);
            }
            PhotoAction::Anew => {
                fit.by_hand = false;
                self.look(shared);
            }
            PhotoAction::Corners(CornersAct::OtherFile) => self.choose_again(false, shared),
            PhotoAction::Corners(CornersAct::Corner(by)) => fit.next_corner(by),
            PhotoAction::Zoom(by) => fit.zoom(by, fit.corners[fit.corner]),
            PhotoAction::ZoomAt(by, p) => fit.zoom(by, p),
            PhotoAction::Corners(CornersAct::Whole) => fit.zoom_out(),
            PhotoAction::Move(way) => self.move_corner(way, 1.0, shared),
            PhotoAction::Far(way) => self.move_corner(way, FAST, shared),
            PhotoAction::Press(p) => fit.grasp(p, &projection),
            PhotoAction::Pull(p) if fit.held => {
                fit.put(p);
                self.corner_moved();
            }
            PhotoAction::Release => fit.held = false,
            _ => {}
        }
    }

    fn move_corner(&mut self, way: Way, steps: f64, shared: &mut Shared) {
        let Some(projection) = self.projection(shared) else {
            return;
        };
        if let Some(sheet) = &mut self.sheet {
            sheet.fit.nudge(way, steps, &projection);
        }
        self.corner_moved();
    }

    /// A corner that is moved by hand ends the search: its answer must not move it back.
    fn corner_moved(&mut self) {
        self.stop();
        self.trouble = None;
        if let Some(sheet) = &mut self.sheet {
            sheet.forget_scores();
        }
    }

    fn change_counts(&mut self, (rows, cols): (i8, i8), shared: &mut Shared) {
        let Some(sheet) = &mut self.sheet else {
            return;
        };
        let before = (sheet.fit.rows, sheet.fit.cols);
        sheet.fit.change_counts(rows, cols);
        if before == (sheet.fit.rows, sheet.fit.cols) {
            shared.say(format!("rows and columns go from 1 to {MOST_CELLS}"));
            return;
        }
        self.places_changed(shared);
    }

    /// Rows and columns are other places now: nothing said of them holds, and a reading under way answers the old question.
    fn places_changed(&mut self, shared: &mut Shared) {
        self.stop();
        self.trouble = None;
        let Some(sheet) = &mut self.sheet else {
            return;
        };
        if sheet.forget_places() {
            shared.say("the places changed; what you said of single slices is cleared");
        }
        if !sheet.fit.by_hand {
            self.look(shared);
        }
    }

    /// Goes on from the corners: with the scores they came with, or by reading again.
    fn confirm_corners(&mut self, shared: &mut Shared) {
        let Some(sheet) = &mut self.sheet else {
            return;
        };
        shared.photo_habits.back = Some(sheet.fit.back);
        // asked once: the second Enter says that the grid is right
        if sheet.asked {
            sheet.confirm();
        }
        self.go_to(Step::References, shared);
    }

    /// Looks for the slices in the whole photo.
    fn look(&mut self, shared: &mut Shared) {
        self.ask(Work::Looking, shared);
    }

    /// Goes to a step that needs scores; reads them first where those in hand are of another question.
    pub(super) fn go_to(&mut self, step: Step, shared: &mut Shared) {
        let Some(sheet) = &self.sheet else {
            return;
        };
        let request = sheet.request(self.test.untoasted());
        if sheet.scores.as_ref().is_some_and(|(r, _)| *r == request) {
            self.stop();
            self.trouble = None;
            self.enter(step);
            return;
        }
        self.ask(Work::Reading(step), shared);
    }

    /// Enters a step, unless the grid is doubted: then it is asked about, drawn over the photo.
    fn enter(&mut self, step: Step) {
        let Some(sheet) = &mut self.sheet else {
            return;
        };
        sheet.asked = sheet.doubt().is_some();
        self.step = if sheet.asked { Step::Corners } else { step };
    }

    fn ask(&mut self, what: Work, shared: &mut Shared) {
        let Some(sheet) = &self.sheet else {
            return;
        };
        self.trouble = None;
        self.wait = Some(Wait {
            what,
            since: shared.elapsed,
        });
        let (shot, turned) = (Arc::clone(&sheet.shot), sheet.turned.clone());
        let request = sheet.request(self.test.untoasted());
        self.asked.ask(shared, Lane::Photo, move || {
            let turned = turned.as_deref().map(|turned| (turned, None));
            let scores = read_photo(&shot, &request, turned)?;
            Ok(PhotoAnswer::Read(Box::new(request), Arc::new(scores)))
        });
    }

    /// Lets the worker draw the tray as it was read.
    pub(super) fn draw(&mut self, shared: &mut Shared) {
        let Some(sheet) = &self.sheet else {
            return;
        };
        let Some((request, scores)) = &sheet.scores else {
            return;
        };
        let stem = sheet.shot.file.file_stem().unwrap_or_default();
        let name = format!("{} {}.png", self.test.id, stem.display());
        let path = match shared.kitchen.paper_path(&name) {
            Ok(path) => path,
            Err(e) => {
                self.trouble = Some(e.to_string());
                return;
            }
        };
        let (shot, scores) = (Arc::clone(&sheet.shot), Arc::clone(scores));
        let counts = (request.rows, request.cols);
        self.trouble = None;
        self.wait = Some(Wait {
            what: Work::Drawing,
            since: shared.elapsed,
        });
        self.asked.ask(shared, Lane::Photo, move || {
            let drawn = tray_png(&shot.photo.picture, &scores, counts)?;
            write_picture(&path, &drawn)?;
            Ok(PhotoAnswer::Drawn(path))
        });
    }

    /// Gives up what the worker is doing: its answer is dropped when it comes.
    pub(super) fn stop(&mut self) {
        if self.wait.take().is_some() {
            self.asked.clear();
        }
    }

    /// Takes the worker's answer.
    pub(super) fn take_answer(&mut self, shared: &mut Shared) {
        // What was asked for is told by the wait; an answer nobody waits for is not ours.
        let Some(wait) = self.wait else {
            return;
        };
        let Some(answer) = self.asked.held() else {
            return;
        };
        self.wait = None;
        let answer = answer.map(Arc::clone).map_err(ToString::to_string);
        match (wait.what, answer.as_deref()) {
            (Work::Opening { turned }, Ok(PhotoAnswer::Opened(shot))) => {
                let path = shot.file.display().to_string();
                folder_of(&path).clone_into(&mut shared.photo_habits.folder);
                self.take_photo(turned, shot, shared);
            }
            (Work::Looking | Work::Reading(_), Ok(PhotoAnswer::Read(request, scores))) => {
                if let Some(sheet) = &mut self.sheet {
                    sheet.take((**request).clone(), Arc::clone(scores));
                }
                if let Work::Reading(step) = wait.what {
                    self.enter(step);
                }
            }
            (Work::Drawing, Ok(PhotoAnswer::Drawn(path))) => {
                shared.say(format!("the picture is in {}", path.display()));
            }
            (what, Err(words)) => {
                self.trouble = Some(words.clone());
                // a second photo that does not fit is left out; the first is read alone with the next key
                if what == Work::Reading(Step::Scores)
                    && self.step == Step::Scores
                    && let Some(sheet) = &mut self.sheet
                {
                    sheet.turned = None;
                }
            }
            // The worker answers what it was asked.
            (Work::Opening { .. }, Ok(PhotoAnswer::Read(..) | PhotoAnswer::Drawn(_)))
            | (
                Work::Looking | Work::Reading(_),
                Ok(PhotoAnswer::Opened(_) | PhotoAnswer::Drawn(_)),
            )
            | (Work::Drawing, Ok(PhotoAnswer::Opened(_) | PhotoAnswer::Read(..))) => {}
        }
    }

    fn take_photo(&mut self, turned: bool, shot: &Arc<OpenPhoto>, shared: &mut Shared) {
        if turned {
            if let Some(sheet) = &mut self.sheet {
                sheet.turned = Some(Arc::clone(shot));
                sheet.forget_scores();
            }
            self.step = Step::Scores;
            return self.go_to(Step::Scores, shared);
        }
        let back = shared.photo_habits.back.unwrap_or(Side::Top);
        let fit = Fit::new(&shot.photo.picture, self.counts(), back);
        self.sheet = Some(Box::new(Sheet::new(Arc::clone(shot), fit)));
        self.step = Step::Corners;
        self.look(shared);
    }

    /// Opens the choice of a file where the last one came from.
    pub(super) fn choose_again(&mut self, turned: bool, shared: &mut Shared) {
        self.stop();
        self.trouble = None;
        self.file = FileChoice::new(&shared.photo_habits.folder);
        self.step = Step::File { turned };
    }

    /// Closes what is open inside, stops what runs, or goes one step back.
    pub(super) fn step_back(&mut self, shared: &mut Shared) {
        if self.wait.is_some() {
            self.stop();
            shared.say("stopped; nothing is changed");
            return;
        }
        if self.trouble.take().is_some() {
            return;
        }
        if let Some(sheet) = &mut self.sheet
            && sheet.patch.take().is_some()
        {
            return;
        }
        self.step = match self.step {
            Step::File { turned: true } | Step::Rack => Step::Scores,
            Step::Scores => Step::References,
            Step::References => Step::Corners,
            Step::File { turned: false } | Step::Corners => {
                shared.back();
                return;
            }
        };
    }
}
