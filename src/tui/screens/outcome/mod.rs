//! What came out of the oven, piece by piece: scored by keys, and held against what the plan expected.

#[cfg(test)]
mod tests;
mod view;

use super::{Screen, ScreenState, kind_name};
use crate::{
    model::{BakeLog, PieceScore, Shade, Tray},
    tui::{
        action::Action,
        app::Shared,
        effect::{Effect, Save},
        event::MouseAct,
        keys::{Binding, Key, Scope},
        worker::Ticket,
    },
    workflow::after::agree::Verdict,
};
use ratatui::{
    Frame,
    layout::{Position, Rect},
};

/// What can be done on the screen of what came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OutcomeAction {
    /// The shade of the piece under the cursor, which then moves on.
    Shade(u8),
    /// Half a step more on the piece scored last, or off again.
    Half,
    /// Leave the piece unscored, and move on.
    Skip,
    /// Take the last score back.
    Undo,
    /// Move the cursor: columns to the right, rows to the front.
    Move(i8, i8),
    /// Put the cursor on a piece, row and column from the back left.
    To(usize, usize),
    /// The next tray.
    OtherTray,
    /// The shade it was meant to have: half a step more or less.
    Wanted(i8),
    /// Ask all bakes like this one whether the map is off.
    AskMap,
    /// Let what came out count for the map, or no longer.
    Fold,
}

const fn does(action: OutcomeAction) -> Action {
    Action::Outcome(action)
}

/// The keys of the screen.
pub const KEYS: &[Binding] = &[
    Binding {
        keys: &[
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
        action: does(OutcomeAction::Shade(0)),
        hint: "shade",
        help: "the shade of the piece under the cursor",
    },
    Binding {
        keys: &[Key::Char('.')],
        action: does(OutcomeAction::Half),
        hint: "half",
        help: "half a step more on the piece scored last, or off again",
    },
    Binding {
        keys: &[Key::Char('s'), Key::Char(' ')],
        action: does(OutcomeAction::Skip),
        hint: "skip",
        help: "leave the piece unscored",
    },
    Binding {
        keys: &[Key::Char('u'), Key::Backspace],
        action: does(OutcomeAction::Undo),
        hint: "undo",
        help: "take the last score back",
    },
    Binding {
        keys: &[Key::Left],
        action: does(OutcomeAction::Move(-1, 0)),
        hint: "",
        help: "piece to the left",
    },
    Binding {
        keys: &[Key::Right],
        action: does(OutcomeAction::Move(1, 0)),
        hint: "",
        help: "piece to the right",
    },
    Binding {
        keys: &[Key::Up],
        action: does(OutcomeAction::Move(0, -1)),
        hint: "",
        help: "piece behind",
    },
    Binding {
        keys: &[Key::Down],
        action: does(OutcomeAction::Move(0, 1)),
        hint: "",
        help: "piece in front",
    },
    Binding {
        keys: &[Key::Tab, Key::Char('t')],
        action: does(OutcomeAction::OtherTray),
        hint: "tray",
        help: "the next tray",
    },
    Binding {
        keys: &[Key::Char('+')],
        action: does(OutcomeAction::Wanted(1)),
        hint: "wanted",
        help: "the shade it was meant to have: half a step darker",
    },
    Binding {
        keys: &[Key::Char('-')],
        action: does(OutcomeAction::Wanted(-1)),
        hint: "",
        help: "the shade it was meant to have: half a step lighter",
    },
    Binding {
        keys: &[Key::Char('m')],
        action: does(OutcomeAction::AskMap),
        hint: "map?",
        help: "ask all bakes like this one whether the map is off",
    },
    Binding {
        keys: &[Key::Char('i')],
        action: does(OutcomeAction::Fold),
        hint: "into the map",
        help: "let what came out count for the oven's map, or no longer",
    },
];

/// Returns what a key's own figure makes of its action: the ten digits share one row.
pub(crate) fn with_figure(action: OutcomeAction, key: Key) -> OutcomeAction {
    match (action, key) {
        (OutcomeAction::Shade(_), Key::Char(c)) => c
            .to_digit(10)
            .and_then(|d| u8::try_from(d).ok())
            .map_or(action, OutcomeAction::Shade),
        (_, _) => action,
    }
}

/// One score given in this session, so that it can be taken back: tray, row, column, and what was there before.
type Given = ((usize, usize, usize), Option<PieceScore>);

/// The state of the screen.
#[derive(Debug)]
pub struct Outcome {
    bake: Box<BakeLog>,
    size: Tray,
    /// Index into the bake's trays.
    tray: usize,
    row: usize,
    col: usize,
    given: Vec<Given>,
    /// The question whether the map is off, once it was asked.
    asked: Option<Ticket>,
}

impl Outcome {
    /// Opens on a bake that is out of the oven; `None` for one that was kept without its tray's pieces.
    pub(crate) fn new(bake: BakeLog) -> Option<Self> {
        let size = bake.plan.tray?;
        Some(Self {
            bake: Box::new(bake),
            size,
            tray: 0,
            row: 0,
            col: 0,
            given: Vec::new(),
            asked: None,
        })
    }

    fn tray_number(&self) -> usize {
        self.bake.trays().get(self.tray).copied().unwrap_or(1)
    }

    fn at(&self) -> (usize, usize, usize) {
        (self.tray_number(), self.row, self.col)
    }

    fn save(&self) -> Vec<Effect> {
        vec![Effect::Save(Save::Bake(self.bake.clone()))]
    }

    /// Moves on in reading order, and to the next tray after the last piece.
    fn advance(&mut self) {
        self.col += 1;
        if self.col == self.size.across {
            self.col = 0;
            self.row += 1;
        }
        if self.row == self.size.deep {
            self.row = 0;
            self.tray = (self.tray + 1) % self.bake.trays().len().max(1);
        }
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: OutcomeAction, shared: &mut Shared) -> Vec<Effect> {
        match action {
            OutcomeAction::Shade(digit) => self.score(digit),
            OutcomeAction::Half => self.half(shared),
            OutcomeAction::Undo => self.undo(shared),
            OutcomeAction::Skip => {
                self.advance();
                Vec::new()
            }
            OutcomeAction::Move(across, deep) => {
                let to = |at: usize, by: i8, n: usize| {
                    at.saturating_add_signed(isize::from(by))
                        .min(n.saturating_sub(1))
                };
                self.col = to(self.col, across, self.size.across);
                self.row = to(self.row, deep, self.size.deep);
                Vec::new()
            }
            OutcomeAction::To(row, col) => {
                self.row = row.min(self.size.deep.saturating_sub(1));
                self.col = col.min(self.size.across.saturating_sub(1));
                Vec::new()
            }
            OutcomeAction::OtherTray => {
                self.tray = (self.tray + 1) % self.bake.trays().len().max(1);
                Vec::new()
            }
            OutcomeAction::Wanted(by) => self.want(by, shared),
            OutcomeAction::AskMap => {
                let (ticket, job) = shared.ask_verdict((*self.bake).clone());
                self.asked = Some(ticket);
                vec![Effect::Work(job)]
            }
            OutcomeAction::Fold => self.fold(shared),
        }
    }

    /// Says whether the map is off, once it was asked; the answer is a moment away while the bakes are weighed.
    fn verdict(&self, shared: &Shared) -> Option<String> {
        let asked = self.asked?;
        let answer = match shared.verdict.held_for(&asked) {
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

    fn score(&mut self, digit: u8) -> Vec<Effect> {
        let Ok(shade) = Shade::whole(digit) else {
            return Vec::new();
        };
        let (tray, row, col) = self.at();
        let before = self.bake.piece(tray, row, col).copied();
        self.given.push((self.at(), before));
        self.bake.score_piece(PieceScore {
            tray,
            row,
            col,
            shade,
            pulled: before.and_then(|b| b.pulled),
        });
        self.advance();
        self.save()
    }

    fn half(&mut self, shared: &mut Shared) -> Vec<Effect> {
        let last = self.given.last().map(|(at, _)| *at);
        let score = last.and_then(|(tray, row, col)| self.bake.piece(tray, row, col).copied());
        let Some(score) = score else {
            shared.say("score a piece first, 0 to 9; then . makes it half a step more");
            return Vec::new();
        };
        self.bake.score_piece(PieceScore {
            shade: score.shade.toggle_half(),
            ..score
        });
        self.save()
    }

    fn undo(&mut self, shared: &mut Shared) -> Vec<Effect> {
        let Some(((tray, row, col), before)) = self.given.pop() else {
            shared.say("nothing to take back");
            return Vec::new();
        };
        self.bake
            .pieces
            .retain(|p| (p.tray, p.row, p.col) != (tray, row, col));
        if let Some(before) = before {
            self.bake.score_piece(before);
        }
        let trays = self.bake.trays();
        self.tray = trays.iter().position(|t| *t == tray).unwrap_or(0);
        (self.row, self.col) = (row, col);
        self.save()
    }

    fn want(&mut self, by: i8, shared: &mut Shared) -> Vec<Effect> {
        /// Where the key starts from: a middling shade.
        const MIDDLING: u8 = 8;
        let now = self.bake.wanted.map_or(MIDDLING, |w| {
            w.half_steps().saturating_add_signed(by).min(18)
        });
        self.bake.wanted = Shade::from_half_steps(now).ok();
        if let Some(wanted) = self.bake.wanted {
            shared.say(format!("meant to have shade {wanted}"));
        }
        self.save()
    }

    fn fold(&mut self, shared: &mut Shared) -> Vec<Effect> {
        self.bake.in_map = !self.bake.in_map;
        // A map that is held was made without it, or with it.
        shared.map.clear();
        shared.say(if self.bake.in_map {
            "these scores count for the oven's map now, with the eye's own error and level"
        } else {
            "these scores no longer count for the oven's map"
        });
        self.save()
    }
}

impl ScreenState for Outcome {
    fn scope(&self) -> Scope {
        Scope::Outcome
    }

    fn title(&self, shared: &Shared) -> String {
        let oven = shared.kitchen.oven(&self.bake.oven);
        let name = oven.map_or("", |o| o.name.as_str());
        format!(
            "what came out, {}, {name}, {}",
            kind_name(&self.bake.kind),
            self.bake.started.date()
        )
    }

    fn guide(&self, _shared: &Shared) -> String {
        let (tray, row, col) = self.at();
        format!(
            "shade of tray {tray}, row {} from the back, column {}: 0 to 9. Esc: back",
            row + 1,
            col + 1
        )
    }

    fn view(&self, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
        view::draw(self, shared, frame, body);
    }

    fn hit(&self, _: &Shared, body: Rect, at: Position, act: MouseAct) -> Option<Action> {
        match act {
            MouseAct::Press => {
                view::piece_at(self, body, at).map(|(row, col)| does(OutcomeAction::To(row, col)))
            }
            MouseAct::WheelUp | MouseAct::WheelDown => None,
        }
    }
}

/// Opens the screen over a bake, or says why not; tells whether it opened.
pub(crate) fn open(bake: BakeLog, shared: &mut Shared) -> bool {
    if let Some(outcome) = Outcome::new(bake) {
        shared.open(Screen::Outcome(outcome));
        true
    } else {
        shared.say("this bake was kept without its tray's pieces; only whole trays are scored");
        false
    }
}
