//! The state of the screen of what came out, and what can be done on it.

use crate::tui::prelude::*;
use crate::workflow::after::verdict_beside;
use crate::{
    model::{BakeLog, PieceScore, Shade, Tray, bake::TrayPhoto},
    workflow::after::{agree::Verdict, fold::counts},
};

/// What can be done on the screen of what came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Act {
    Shade(u8),
    Half,
    Skip,
    Undo,
    /// Move the cursor: columns to the right, rows to the front.
    Move(i8, i8),
    /// Put the cursor on a piece, row and column from the back left.
    To(usize, usize),
    OtherTray,
    Wanted(i8),
    AskMap,
    Fold,
}

/// One score given since the screen was opened, so that it can be taken back: where, and all scores as they were before.
#[derive(Debug)]
pub(super) struct Given {
    /// Tray, row, column.
    at: (usize, usize, usize),
    pieces: Vec<PieceScore>,
    photos: Vec<TrayPhoto>,
}

/// The state of the screen.
#[derive(Debug)]
pub(crate) struct Outcome {
    pub(super) bake: Box<BakeLog>,
    pub(super) size: Tray,
    /// Index into the bake's trays.
    pub(super) tray: usize,
    pub(super) row: usize,
    pub(super) col: usize,
    pub(super) given: Vec<Given>,
    /// What would be written over, once it was asked: the piece and its new shade.
    doubted: Confirm<((usize, usize, usize), u8)>,
    /// The question whether the map is off, once it was asked.
    pub(super) asked: Asked<Option<Verdict>>,
}

impl Outcome {
    /// Opens on a bake that is out of the oven; says so and returns `None` for one that was kept without its tray's pieces.
    pub(crate) fn new(bake: BakeLog, shared: &mut Shared) -> Option<Self> {
        let Some(size) = bake.plan.tray else {
            shared.say("this bake was kept without its tray's pieces; only whole trays are scored");
            return None;
        };
        Some(Self {
            bake: Box::new(bake),
            size,
            tray: 0,
            row: 0,
            col: 0,
            given: Vec::new(),
            doubted: Confirm::default(),
            asked: Asked::default(),
        })
    }

    pub(super) fn tray_number(&self) -> usize {
        self.bake.trays().get(self.tray).copied().unwrap_or(1)
    }

    pub(super) fn at(&self) -> (usize, usize, usize) {
        (self.tray_number(), self.row, self.col)
    }

    /// Saves what was changed; an answer about the map was given without it.
    pub(super) fn save(&mut self, shared: &mut Shared) {
        self.asked.clear();
        shared.save(Save::Bake(self.bake.clone()));
    }

    /// Tells whether every piece of every tray is scored.
    pub(super) fn is_full(&self) -> bool {
        let pieces = self.size.across * self.size.deep * self.bake.trays().len();
        self.bake.pieces.len() >= pieces
    }

    /// Moves on in reading order, and to the next tray after the last piece, which is said; stops at the last of all.
    pub(super) fn advance(&mut self, shared: &mut Shared) {
        if self.col + 1 < self.size.across {
            self.col += 1;
        } else if self.row + 1 < self.size.deep {
            (self.row, self.col) = (self.row + 1, 0);
        } else if self.tray + 1 < self.bake.trays().len() {
            (self.tray, self.row, self.col) = (self.tray + 1, 0, 0);
            shared.say(format!("tray {} now", self.tray_number()));
        }
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: Act, shared: &mut Shared) {
        self.doubted.pressed();
        match action {
            Act::Shade(digit) => self.score(digit, shared),
            Act::Half => self.half(shared),
            Act::Undo => self.undo(shared),
            Act::Skip => self.advance(shared),
            Act::Move(across, deep) => {
                let to = |at: usize, by: i8, n: usize| {
                    at.saturating_add_signed(isize::from(by))
                        .min(n.saturating_sub(1))
                };
                self.col = to(self.col, across, self.size.across);
                self.row = to(self.row, deep, self.size.deep);
            }
            Act::To(row, col) => {
                self.row = row.min(self.size.deep.saturating_sub(1));
                self.col = col.min(self.size.across.saturating_sub(1));
            }
            Act::OtherTray => {
                self.tray = (self.tray + 1) % self.bake.trays().len().max(1);
            }
            Act::Wanted(by) => self.want(by, shared),
            Act::AskMap => {
                let records = shared.kitchen.snapshot();
                let bake = (*self.bake).clone();
                self.asked.ask(shared, Lane::Quick, move || {
                    Ok(verdict_beside(&records, &bake))
                });
            }
            Act::Fold => self.fold(shared),
        }
    }

    /// Says whether the map is off, once it was asked; the answer is a moment away while the bakes are weighed.
    pub(super) fn verdict(&self) -> Option<String> {
        let answer = match self.asked.fresh() {
            None if !self.asked.is_waiting() => return None,
            None => "All bakes like this one are being held against the map; a moment.".to_owned(),
            Some(Err(why)) => format!("{why}."),
            Some(Ok(found)) => found.as_ref().as_ref().map_or_else(
                || {
                    "This oven has no map in this mode to be held against; toast-test it."
                        .to_owned()
                },
                Verdict::words,
            ),
        };
        Some(answer)
    }

    /// Scores the piece under the cursor; over a score it asks once, the same digit again changes it.
    fn score(&mut self, digit: u8, shared: &mut Shared) {
        let Ok(shade) = Shade::whole(digit) else {
            return;
        };
        let (tray, row, col) = self.at();
        let before = self.bake.piece(tray, row, col).copied();
        if let Some(was) = before {
            let words = format!(
                "this piece has shade {}; {digit} again changes it",
                was.shade
            );
            if !self.doubted.is_sure((self.at(), digit), words, shared) {
                return;
            }
        }
        self.given.push(Given {
            at: self.at(),
            pieces: self.bake.pieces.clone(),
            photos: self.bake.photos.clone(),
        });
        self.bake.score_piece(PieceScore {
            tray,
            row,
            col,
            shade,
            pulled: before.and_then(|b| b.pulled),
        });
        self.advance(shared);
        self.save(shared);
    }

    pub(super) fn half(&mut self, shared: &mut Shared) {
        let last = self.given.last().map(|g| g.at);
        let score = last.and_then(|(tray, row, col)| self.bake.piece(tray, row, col).copied());
        let Some(score) = score else {
            shared.say("score a piece first, 0 to 9; then + makes it half a step more");
            return;
        };
        self.bake.score_piece(PieceScore {
            shade: score.shade.toggle_half(),
            ..score
        });
        self.save(shared);
    }

    pub(super) fn undo(&mut self, shared: &mut Shared) {
        let Some(given) = self.given.pop() else {
            shared.say("nothing to take back");
            return;
        };
        (self.bake.pieces, self.bake.photos) = (given.pieces, given.photos);
        let (tray, row, col) = given.at;
        let trays = self.bake.trays();
        self.tray = trays.iter().position(|t| *t == tray).unwrap_or(0);
        (self.row, self.col) = (row, col);
        self.save(shared);
    }

    pub(super) fn want(&mut self, by: i8, shared: &mut Shared) {
        /// Where the key starts from: a middling shade.
        const MIDDLING: u8 = 8;
        let now = self.bake.wanted.map_or(MIDDLING, |w| {
            w.half_steps().saturating_add_signed(by).min(18)
        });
        self.bake.wanted = Shade::from_half_steps(now).ok();
        if let Some(wanted) = self.bake.wanted {
            shared.say(format!("meant to have shade {wanted}"));
        }
        self.save(shared);
    }

    pub(super) fn fold(&mut self, shared: &mut Shared) {
        self.bake.in_map = !self.bake.in_map;
        // A map that is held was made without it, or with it.
        shared.map.clear();
        shared.say(if self.bake.in_map {
            counts(&self.bake)
        } else {
            "what came out no longer counts for this oven's map".to_owned()
        });
        self.save(shared);
    }
}
