//! Scoring a toast test key by key, with undo and redo; shared by the screens and the commands.

mod text;

pub use crate::store::read_input as read_scores_file;
pub use text::{ScoreTextError, parse_scores, read_scores_csv, set_rack_scores};

use crate::{
    model::{
        Reading, Shade, ShadeError, Slice, ToastTest,
        text::{counted, joined},
    },
    units::Minutes,
};

/// Names scores that were there before and are others now: `2 earlier scores replaced: slice 5 was 4.0, slice 6 was 4.5`.
pub fn replaced_words(before: &ToastTest, after: &ToastTest) -> Option<String> {
    let pairs = before.slices.iter().zip(&after.slices);
    let was: Vec<String> = (1..)
        .zip(pairs)
        .filter(|(_, (b, a))| b.reading != a.reading)
        .filter_map(|(number, (b, _))| Some((number, b.reading.browning(before.untoasted())?.0)))
        .map(|(number, browning): (usize, _)| {
            format!("slice {number} was {:.1}", browning.shades())
        })
        .collect();
    let more = match was.len().saturating_sub(NAMED) {
        0 => String::new(),
        more => format!(", and {more} more"),
    };
    let named = joined(was.iter().take(NAMED), ", ");
    let count = counted(was.len(), "earlier score");
    (!was.is_empty()).then(|| format!("{count} replaced: {named}{more}"))
}

/// Replaced scores that are named; of more only the number is told.
const NAMED: usize = 6;

/// One key of the scorer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ScoreKey {
    /// A whole shade for the slice under the cursor, which then moves on.
    Digit(u8),
    /// Half a step more, or off again, on the slice scored just before, or the one gone to; the cursor stays.
    Half,
    /// Passes the slice over: it is left out of the map.
    Skip,
    /// No slice lay there.
    Missing,
    /// Takes the last change back.
    Undo,
    /// Makes the change taken back last again.
    Redo,
    /// Jumps to a slice by its index, from 0.
    To(usize),
    /// One slice back in reading order.
    Left,
    /// One slice on in reading order.
    Right,
    /// The slice behind, towards the back wall.
    Up,
    /// The slice in front, towards the door.
    Down,
}

/// Why a key did nothing.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ScoreError {
    /// The digit is no shade.
    #[error(transparent)]
    Shade(#[from] ShadeError),
    /// Every slice is dealt with already.
    #[error("all {0} slices are dealt with; jump to one to change it, or take the last one back")]
    AllDone(usize),
    /// There is no score to add a half step to.
    #[error("no slice was scored just before; give it a digit first, then the half step")]
    NothingToHalve,
    /// The card ends there.
    #[error(
        "shade {0} is the darkest on the card, so it takes no half step; give a lighter digit first"
    )]
    NoHalf(Shade),
    /// A slice that is not there.
    #[error("there is no slice {number}; this test has slices 1 to {count}")]
    NoSuchSlice {
        /// The number asked for, counted from 1.
        number: usize,
        /// How many there are.
        count: usize,
    },
}

/// What one key changed, so that it can be taken back.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Change {
    index: usize,
    before: Reading,
    after: Reading,
    cursor_before: usize,
    cursor_after: usize,
}

/// A scoring session over one toast test.
#[derive(Debug, Clone, PartialEq)]
pub struct Scoring {
    test: ToastTest,
    was_complete: bool,
    done: Vec<Change>,
    undone: Vec<Change>,
    /// What the last key was about.
    last: Option<usize>,
}

impl Scoring {
    /// Begins, or goes on at the slice where the test was left.
    pub fn new(mut test: ToastTest) -> Self {
        test.cursor = test.cursor.min(test.slices.len());
        let was_complete = test.is_complete();
        Self {
            was_complete,
            last: test.cursor.checked_sub(1).filter(|_| !was_complete),
            test,
            done: Vec::new(),
            undone: Vec::new(),
        }
    }

    /// Returns the test as scored so far.
    pub fn test(&self) -> &ToastTest {
        &self.test
    }

    /// Tells whether every slice was dealt with when this began: what follows corrects scores.
    pub fn was_complete(&self) -> bool {
        self.was_complete
    }

    /// Notes how long the slices were in the oven; no part of undo and redo.
    pub fn set_minutes(&mut self, minutes: Option<Minutes>) {
        self.test.minutes = minutes;
    }

    /// Returns the index of the slice to score next; the count of slices when all are done.
    pub fn cursor(&self) -> usize {
        self.test.cursor
    }

    /// Returns the index of the slice that [`ScoreKey::Half`] would change.
    ///
    /// That is the one that the last key scored or went to; after a fresh start, the one before the cursor of a test
    /// that is not done. None where the last key did nothing: what was meant to be halved then has no score.
    pub fn last_scored(&self) -> Option<usize> {
        let by_eye = |i: &usize| {
            let slice = self.test.slices.get(*i);
            slice.is_some_and(|s| matches!(s.reading, Reading::ByEye(_)))
        };
        self.last.filter(by_eye)
    }

    /// Notes that a key was not taken: the next half step has no slice to go to.
    pub fn refuse(&mut self) {
        self.last = None;
    }

    /// Applies one key and tells whether it changed anything that is kept (a reading or the cursor).
    ///
    /// # Errors
    /// [`ScoreError`] when the key makes no sense here; nothing is changed then.
    pub fn apply(&mut self, key: ScoreKey) -> Result<bool, ScoreError> {
        let before = self.test.cursor;
        let applied = self.applied(key, before);
        match key {
            _ if applied.is_err() => self.refuse(),
            ScoreKey::Digit(_) | ScoreKey::Skip | ScoreKey::Missing | ScoreKey::Half => {}
            ScoreKey::Undo | ScoreKey::Redo => self.last = self.done.last().map(|c| c.index),
            ScoreKey::To(_) | ScoreKey::Left | ScoreKey::Right | ScoreKey::Up | ScoreKey::Down => {
                self.last = Some(self.test.cursor);
            }
        }
        applied
    }

    fn applied(&mut self, key: ScoreKey, before: usize) -> Result<bool, ScoreError> {
        match key {
            ScoreKey::Digit(digit) => self.read(Reading::ByEye(Shade::whole(digit)?)),
            ScoreKey::Skip => self.read(Reading::Skipped),
            ScoreKey::Missing => self.read(Reading::Missing),
            ScoreKey::Half => self.half(),
            ScoreKey::Undo => Ok(self.undo()),
            ScoreKey::Redo => Ok(self.redo()),
            ScoreKey::To(index) => {
                let count = self.test.slices.len();
                if index >= count {
                    let number = index + 1;
                    return Err(ScoreError::NoSuchSlice { number, count });
                }
                self.test.cursor = index;
                Ok(index != before)
            }
            ScoreKey::Left => Ok(self.step(before.checked_sub(1))),
            ScoreKey::Right => Ok(self.step(before.checked_add(1))),
            ScoreKey::Up => Ok(self.step(self.beside(1.0))),
            ScoreKey::Down => Ok(self.step(self.beside(-1.0))),
        }
    }

    fn read(&mut self, after: Reading) -> Result<bool, ScoreError> {
        let index = self.test.cursor;
        let count = self.test.slices.len();
        let Some(slice) = self.test.slices.get_mut(index) else {
            return Err(ScoreError::AllDone(count));
        };
        let before = std::mem::replace(&mut slice.reading, after);
        // The last open slice ends the round; correcting one of a finished round moves on to the next.
        self.test.cursor = if before == Reading::Unscored && self.test.is_complete() {
            count
        } else {
            self.after(index)
        };
        self.record(index, before, index);
        self.last = Some(index);
        Ok(true)
    }

    /// The slice that comes after `index`: the next one in reading order that lies there, and past
    /// the last one whatever was jumped over.
    fn after(&self, index: usize) -> usize {
        let slices = &self.test.slices;
        (index + 1..slices.len())
            .find(|&i| slices[i].reading != Reading::Missing)
            .or_else(|| self.test.next_unscored(0))
            .unwrap_or(slices.len())
    }

    fn half(&mut self) -> Result<bool, ScoreError> {
        let index = self.last_scored().ok_or(ScoreError::NothingToHalve)?;
        let slice = &mut self.test.slices[index];
        let Reading::ByEye(shade) = slice.reading else {
            return Err(ScoreError::NothingToHalve);
        };
        let before = slice.reading;
        let halved = shade.toggle_half();
        if halved == shade {
            return Err(ScoreError::NoHalf(shade));
        }
        slice.reading = Reading::ByEye(halved);
        self.record(index, before, self.test.cursor);
        Ok(true)
    }

    fn record(&mut self, index: usize, before: Reading, cursor_before: usize) {
        self.undone.clear();
        self.done.push(Change {
            index,
            before,
            after: self.test.slices[index].reading,
            cursor_before,
            cursor_after: self.test.cursor,
        });
    }

    fn undo(&mut self) -> bool {
        let Some(change) = self.done.pop() else {
            return false;
        };
        self.test.slices[change.index].reading = change.before;
        self.test.cursor = change.cursor_before;
        self.undone.push(change);
        true
    }

    fn redo(&mut self) -> bool {
        let Some(change) = self.undone.pop() else {
            return false;
        };
        self.test.slices[change.index].reading = change.after;
        self.test.cursor = change.cursor_after;
        self.done.push(change);
        true
    }

    fn step(&mut self, to: Option<usize>) -> bool {
        match to {
            Some(index) if index < self.test.slices.len() && index != self.test.cursor => {
                self.test.cursor = index;
                true
            }
            Some(_) | None => false,
        }
    }

    /// The nearest slice of the same rack behind (`towards` 1) or in front (-1).
    fn beside(&self, towards: f64) -> Option<usize> {
        let slices = &self.test.slices;
        let last = slices.len().checked_sub(1)?;
        let here = slices[self.test.cursor.min(last)];
        let half = self.test.bread.slice.depth.0 / 2.0;
        let distance = |s: &Slice| {
            let (dx, dy) = (s.place.x.0 - here.place.x.0, s.place.y.0 - here.place.y.0);
            // Sideways counts double: straight ahead is what the key means.
            2.0 * dx.abs() + dy.abs()
        };
        slices
            .iter()
            .enumerate()
            .filter(|(_, s)| s.rack == here.rack)
            .filter(|(_, s)| (s.place.y.0 - here.place.y.0) * towards > half)
            .min_by(|(_, a), (_, b)| distance(a).total_cmp(&distance(b)))
            .map(|(i, _)| i)
    }
}

#[cfg(test)]
mod tests;
