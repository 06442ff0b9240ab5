//! References and scores of a photo: what is named, what is corrected, and into the toast test.

use super::{
    fit::Fit,
    patch::Patch,
    state::{PhotoAction, PhotoScreen, ReferenceAct, ScoresAct, Sheet, Step},
    way::Way,
};
use crate::tui::prelude::*;
use crate::{
    model::{Reading, Shade},
    sampling::{Reference, Request, Scores},
    workflow::{
        photo::{OpenPhoto, PhotoReading, accept},
        scoring::replaced_words,
    },
};
use std::sync::Arc;

impl Sheet {
    pub(super) fn new(shot: Arc<OpenPhoto>, fit: Fit) -> Self {
        Self {
            shot,
            turned: None,
            fit,
            references: Vec::new(),
            patch: None,
            cursor: (0, 0),
            confirmed: None,
            asked: false,
            scores: None,
            by_hand: Vec::new(),
        }
    }

    /// Returns what is to be asked of the photo as things stand.
    pub(super) fn request(&self, untoasted: f64) -> Request {
        Request {
            rows: self.fit.rows,
            cols: self.fit.cols,
            corners: self.fit.by_hand.then_some(self.fit.corners),
            back: self.fit.back,
            references: self.references.clone(),
            untoasted,
        }
    }

    /// Returns what speaks against the grid as it was read, unless it was said to be right.
    pub(super) fn doubt(&self) -> Option<String> {
        let (_, scores) = self.scores.as_ref()?;
        let is_open = self.confirmed != Some((scores.corners, self.fit.rows, self.fit.cols));
        (scores.grid.is_doubtful() && is_open).then(|| scores.grid.against())
    }

    /// Takes the grid that was doubted as right.
    pub(super) fn confirm(&mut self) {
        if let Some((_, scores)) = &self.scores {
            self.confirmed = Some((scores.corners, self.fit.rows, self.fit.cols));
        }
    }

    pub(super) fn forget_scores(&mut self) {
        self.asked = false;
        self.scores = None;
    }

    /// Takes what was asked and the scores; corners that were looked for are theirs.
    pub(super) fn take(&mut self, request: Request, scores: Arc<Scores>) {
        if !self.fit.by_hand {
            self.fit.corners = scores.corners;
        }
        let (row, col) = self.cursor;
        self.cursor = (row.min(self.fit.rows - 1), col.min(self.fit.cols - 1));
        self.scores = Some((request, scores));
    }

    /// Forgets what was said of slices by row and column, for those have changed; tells whether anything was.
    pub(super) fn forget_places(&mut self) -> bool {
        let said = |sheet: &Self| sheet.references.len() + sheet.by_hand.len();
        let before = said(self);
        self.forget_scores();
        self.cursor = (0, 0);
        self.references
            .retain(|r| !matches!(r, Reference::Slice { .. }));
        self.by_hand.clear();
        said(self) < before
    }

    /// Moves the cursor to the next slice that way in the picture.
    fn step(&mut self, way: Way) {
        let (dx, dy) = way.direction();
        let Some(here) = self.fit.place(self.cursor.0, self.cursor.1) else {
            return;
        };
        let mut best: Option<(f64, (usize, usize))> = None;
        for row in 0..self.fit.rows {
            for col in 0..self.fit.cols {
                let Some(there) = self.fit.place(row, col) else {
                    continue;
                };
                let (x, y) = (there.x - here.x, there.y - here.y);
                let (along, aside) = (x * dx + y * dy, (x * dy - y * dx).abs());
                // straight ahead is what the key means
                if along > aside && best.is_none_or(|(d, _)| along + 2.0 * aside < d) {
                    best = Some((along + 2.0 * aside, (row, col)));
                }
            }
        }
        if let Some((_, to)) = best {
            self.cursor = to;
        }
    }

    /// Returns what was read by eye at a place.
    pub(super) fn by_eye(&self, place: (usize, usize)) -> Option<Reading> {
        self.by_hand
            .iter()
            .find(|(at, _)| *at == place)
            .map(|(_, reading)| *reading)
    }

    fn correct(&mut self, reading: Option<Reading>) {
        let here = self.cursor;
        self.by_hand.retain(|(at, _)| *at != here);
        self.by_hand.extend(reading.map(|reading| (here, reading)));
    }
}

impl PhotoScreen {
    pub(super) fn name_references(&mut self, action: PhotoAction, shared: &mut Shared) {
        let Some(projection) = self.projection(shared) else {
            return;
        };
        let Some(sheet) = &mut self.sheet else {
            return;
        };
        let step = projection.step();
        if action == PhotoAction::Next {
            return match sheet.patch.take() {
                Some(patch) => {
                    sheet.references.push(patch.reference());
                }
                None => self.go_to(Step::Scores, shared),
            };
        }
        self.trouble = None;
        let named = (sheet.references.clone(), sheet.patch.is_some());
        match (action, &mut sheet.patch) {
            (PhotoAction::Move(way), Some(patch)) => patch.nudge(way, step),
            (PhotoAction::Far(way), Some(patch)) => patch.nudge(way, 5.0 * step),
            (PhotoAction::Move(way) | PhotoAction::Far(way), None) => sheet.step(way),
            (PhotoAction::References(ReferenceAct::Larger(by)), Some(patch)) => {
                patch.grow(by, step);
            }
            (PhotoAction::References(ReferenceAct::Lighter(by)), Some(patch)) => patch.lighten(by),
            (PhotoAction::Press(p), Some(patch)) => patch.press(p),
            (PhotoAction::Pull(p), Some(patch)) => patch.pull(p),
            (PhotoAction::Release, Some(patch)) => patch.release(),
            (PhotoAction::Press(p), None) => {
                if let Some(place) = sheet.fit.place_at(p) {
                    sheet.cursor = place;
                }
            }
            (PhotoAction::Zoom(by), patch) => {
                let about = patch.map(|p| p.middle());
                sheet.zoom(by, about);
            }
            (PhotoAction::ZoomAt(by, p), _) => sheet.fit.zoom(by, p),
            (PhotoAction::References(ReferenceAct::Untoasted), _) => sheet.switch_untoasted(),
            (PhotoAction::References(ReferenceAct::White | ReferenceAct::Grey), _) => {
                let middle = projection.photo_at(middle_of(projection.area()));
                let is_grey = action == PhotoAction::References(ReferenceAct::Grey);
                sheet.patch = Some(Patch::new(middle, step, is_grey));
            }
            (PhotoAction::Anew, _) => {
                sheet.patch = None;
                sheet.references.clear();
            }
            (PhotoAction::References(ReferenceAct::Drop), patch) => {
                if patch.take().is_none() && sheet.references.pop().is_none() {
                    shared.say("none is named, so something known is looked for");
                }
            }
            (PhotoAction::References(ReferenceAct::Larger(_) | ReferenceAct::Lighter(_)), None) => {
                shared.say("draw a patch first: w white, g grey");
            }
            (PhotoAction::Pull(_) | PhotoAction::Release, None)
            | (
                PhotoAction::Next
                | PhotoAction::Cautions
                | PhotoAction::Digit(_)
                | PhotoAction::Rack(_)
                | PhotoAction::File(_)
                | PhotoAction::Corners(_)
                | PhotoAction::Scores(_),
                _,
            ) => {}
        }
        if named != (sheet.references.clone(), sheet.patch.is_some()) {
            // A reading under way was asked without it.
            self.stop();
        }
    }

    pub(super) fn look_over(&mut self, action: PhotoAction, shared: &mut Shared) {
        let Some(sheet) = &mut self.sheet else {
            return;
        };
        let here = sheet.cursor;
        match action {
            PhotoAction::Next if self.rack_named => self.accept(shared),
            PhotoAction::Next => self.step = Step::Rack,
            PhotoAction::Move(way) | PhotoAction::Far(way) => sheet.step(way),
            PhotoAction::Press(p) => {
                if let Some(place) = sheet.fit.place_at(p) {
                    sheet.cursor = place;
                }
            }
            PhotoAction::Zoom(by) => sheet.zoom(by, None),
            PhotoAction::ZoomAt(by, p) => sheet.fit.zoom(by, p),
            PhotoAction::Digit(digit) => match Shade::whole(digit) {
                Ok(shade) => sheet.correct(Some(Reading::ByEye(shade))),
                Err(error) => shared.say(error.to_string()),
            },
            PhotoAction::Scores(ScoresAct::Half) => match sheet.by_eye(here) {
                Some(Reading::ByEye(shade)) => {
                    sheet.correct(Some(Reading::ByEye(shade.toggle_half())));
                }
                Some(_) | None => shared.say("give the slice a digit first, then the half step"),
            },
            PhotoAction::Scores(ScoresAct::Skip) => sheet.correct(Some(Reading::Skipped)),
            PhotoAction::Scores(ScoresAct::Missing) => sheet.correct(Some(Reading::Missing)),
            PhotoAction::Scores(ScoresAct::Measured) => {
                if sheet.by_eye(here).is_none() {
                    shared.say("this slice was not corrected; what the photo says counts");
                }
                sheet.correct(None);
            }
            PhotoAction::Scores(ScoresAct::Turned) if sheet.turned.is_some() => {
                sheet.turned = None;
                sheet.forget_scores();
                shared.say("read without the second photo again");
                self.go_to(Step::Scores, shared);
            }
            PhotoAction::Scores(ScoresAct::Turned) => self.choose_again(true, shared),
            PhotoAction::Scores(ScoresAct::Picture) => self.draw(shared),
            PhotoAction::Rack(by) => self.next_rack(by, shared),
            _ => {}
        }
    }

    pub(super) fn name_rack(&mut self, action: PhotoAction, shared: &mut Shared) {
        match action {
            PhotoAction::Next => self.accept(shared),
            PhotoAction::Digit(rack) if self.test.setup.racks.contains(&rack) => {
                self.rack = rack;
                self.accept(shared);
            }
            PhotoAction::Digit(rack) => {
                shared.say(format!("this test has no slices on rack position {rack}"));
            }
            PhotoAction::Rack(by) => self.next_rack(by, shared),
            PhotoAction::Move(_) => self.next_rack(1, shared),
            _ => {}
        }
    }

    fn next_rack(&mut self, by: i8, shared: &mut Shared) {
        let racks = &self.test.setup.racks;
        if racks.len() < 2 {
            shared.say("this test has slices on one rack position only");
            return;
        }
        self.rack = list::neighbour(racks, self.rack, by).unwrap_or(self.rack);
        self.rack_named = self.step == Step::Scores;
    }

    /// Puts the scores into the test, saves it, and shows them slice by slice.
    fn accept(&mut self, shared: &mut Shared) {
        let Some(sheet) = &self.sheet else {
            return;
        };
        let Some((request, scores)) = &sheet.scores else {
            self.step = Step::Scores;
            return self.go_to(Step::Scores, shared);
        };
        let corrections: Vec<(usize, Reading)> = sheet
            .by_hand
            .iter()
            .map(|((row, col), reading)| (row * request.cols + col, *reading))
            .collect();
        let reading = PhotoReading {
            rack: self.rack,
            open: &sheet.shot,
            turned: sheet.turned.as_deref(),
            request,
            scores,
            corrections: &corrections,
        };
        let mut test = self.test.clone();
        let scored = match accept(&mut test, &reading) {
            Ok(scored) => scored,
            Err(error) => {
                self.trouble = Some(error.to_string());
                self.step = Step::Scores;
                return;
            }
        };
        let replaced = replaced_words(&self.test, &test);
        shared.save(Save::Test(Box::new(test.clone())));
        if self.from_score {
            shared.back();
        }
        shared.replace(Place::Score(Box::new(self.oven.clone()), Box::new(test)));
        shared.say(format!(
            "rack {}: {scored} of {} slices scored from the photo{}",
            self.rack,
            scores.places.len(),
            replaced.map_or_else(String::new, |words| format!("; {words}"))
        ));
    }
}

fn middle_of(area: Rect) -> Position {
    Position::new(area.x + area.width / 2, area.y + area.height / 2)
}

impl Sheet {
    /// Nearer or farther, about the slice in hand where nothing else is.
    fn zoom(&mut self, by: i8, about: Option<crate::geometry::Point>) {
        let slice = self.fit.place(self.cursor.0, self.cursor.1);
        if let Some(about) = about.or(slice) {
            self.fit.zoom(by, about);
        }
    }

    /// Names the slice under the cursor as untoasted, or takes that back; patches stay.
    fn switch_untoasted(&mut self) {
        let (row, col) = self.cursor;
        let named = Reference::Slice { row, col };
        let was = self.references.contains(&named);
        self.references
            .retain(|r| !matches!(r, Reference::Slice { .. }));
        if !was {
            self.references.push(named);
        }
    }
}
