//! The compare screen: before, after and what changed, under one cursor; one key blinks between them.

mod view;

use super::ScreenState;
use crate::{
    model::{Oven, OvenId, TestId, ToastTest},
    tui::{
        action::Action,
        app::{CompareKey, Shared},
        effect::Effect,
        event::MouseAct,
        keys::{Binding, Key, Scope},
    },
    workflow::compare::CompareView,
};
use ratatui::{
    Frame,
    layout::{Position, Rect},
};

/// Steps the cursor takes from wall to wall.
const STEPS: f64 = 40.0;

/// What can be done on the compare screen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CompareAction {
    /// Move the cursor: right and towards the back, in steps.
    Move(i8, i8),
    /// Put the cursor on a place, as shares of the cavity's width and depth.
    Point(f64, f64),
    /// Choose the next (1) or previous (-1) rack position.
    Rack(i8),
    /// Show before in place of after, or after in place of before.
    Blink,
    /// Show the change alone.
    Change,
    /// Show all three, where there is room.
    All,
    /// Scroll the findings, in sentences.
    Findings(i8),
    /// Pool each test with those beside it, or take the two alone again.
    Pool,
}

const fn row(
    keys: &'static [Key],
    action: CompareAction,
    hint: &'static str,
    help: &'static str,
) -> Binding {
    Binding {
        keys,
        action: Action::Compare(action),
        hint,
        help,
    }
}

/// The keys of the compare screen.
pub const KEYS: &[Binding] = &[
    row(
        &[Key::Char(' '), Key::Char('b')],
        CompareAction::Blink,
        "blink",
        "before and after in turn, in the same place",
    ),
    row(
        &[Key::Char('c')],
        CompareAction::Change,
        "change",
        "the change alone",
    ),
    row(
        &[Key::Char('v')],
        CompareAction::All,
        "all three",
        "before, after and change side by side, where there is room",
    ),
    row(
        &[Key::Tab, Key::Char('n')],
        CompareAction::Rack(1),
        "rack",
        "next rack position",
    ),
    row(
        &[Key::Char('p')],
        CompareAction::Pool,
        "pool",
        "pool each test with all others on its side of the service visit, or take the two alone again",
    ),
    row(
        &[Key::PageDown],
        CompareAction::Findings(1),
        "findings",
        "next findings",
    ),
    row(
        &[Key::PageUp],
        CompareAction::Findings(-1),
        "",
        "findings before",
    ),
    row(
        &[Key::BackTab],
        CompareAction::Rack(-1),
        "",
        "previous rack position",
    ),
    row(&[Key::Left], CompareAction::Move(-1, 0), "", "cursor left"),
    row(&[Key::Right], CompareAction::Move(1, 0), "", "cursor right"),
    row(
        &[Key::Up],
        CompareAction::Move(0, 1),
        "",
        "cursor towards the back wall",
    ),
    row(
        &[Key::Down],
        CompareAction::Move(0, -1),
        "",
        "cursor towards the door",
    ),
];

/// One of the three pictures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Pane {
    Before,
    After,
    Change,
}

/// The state of the compare screen.
#[derive(Debug)]
pub struct CompareScreen {
    oven: OvenId,
    before: Vec<TestId>,
    after: Vec<TestId>,
    /// The tests it was opened with, while those beside them are pooled with them.
    alone_before_pooling: Option<(Vec<TestId>, Vec<TestId>)>,
    /// The picture shown alone; all three where there is room when `None`.
    alone: Option<Pane>,
    /// The rack position chosen; until one is, the lowest.
    rack: Option<u8>,
    /// Where the cursor is, as shares of the cavity's width and depth; the same in every picture.
    cursor: (f64, f64),
    /// The first sentence of the findings in sight.
    first_finding: usize,
}

impl CompareScreen {
    /// Opens on an oven and the tests of both sides.
    pub(crate) fn new(oven: OvenId, before: Vec<TestId>, after: Vec<TestId>) -> Self {
        Self {
            oven,
            before,
            after,
            alone_before_pooling: None,
            alone: None,
            rack: None,
            cursor: (0.5, 0.5),
            first_finding: 0,
        }
    }

    fn key(&self) -> CompareKey {
        CompareKey {
            before: self.before.clone(),
            after: self.after.clone(),
        }
    }

    fn oven<'s>(&self, shared: &'s Shared) -> Option<&'s Oven> {
        shared.kitchen.oven(&self.oven)
    }

    fn answer<'s>(&self, shared: &'s Shared) -> Option<Result<&'s CompareView, &'s str>> {
        let answer = shared.compare.held_for(&self.key())?;
        Some(answer.map(AsRef::as_ref))
    }

    fn ready<'s>(&self, shared: &'s Shared) -> Option<&'s CompareView> {
        self.answer(shared).and_then(Result::ok)
    }

    fn racks(view: &CompareView) -> Vec<u8> {
        view.comparison.racks.iter().map(|r| r.rack).collect()
    }

    fn chosen(&self, view: &CompareView) -> Option<u8> {
        let racks = Self::racks(view);
        self.rack
            .filter(|r| racks.contains(r))
            .or(racks.first().copied())
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: CompareAction, shared: &mut Shared) -> Vec<Effect> {
        match action {
            CompareAction::Move(right, back) => {
                let step = |v: f64, by: i8| (v + f64::from(by) / STEPS).clamp(0.0, 1.0);
                self.cursor = (step(self.cursor.0, right), step(self.cursor.1, back));
            }
            CompareAction::Point(x, y) => self.cursor = (x.clamp(0.0, 1.0), y.clamp(0.0, 1.0)),
            CompareAction::Rack(by) => {
                self.rack = self.rack_beside(by, shared);
                self.first_finding = 0;
            }
            CompareAction::Blink => {
                // The first press goes to what is not in sight yet on a narrow screen.
                self.alone = Some(match self.shown_alone(shared) {
                    Some(Pane::Before) => Pane::After,
                    Some(Pane::After | Pane::Change) | None => Pane::Before,
                });
            }
            CompareAction::Change => self.alone = Some(Pane::Change),
            CompareAction::All => {
                self.alone = None;
                if shared.size.0 < view::ROOM_FOR_THREE {
                    shared.say(format!(
                        "three pictures side by side need {} columns; Space and c show them one by one",
                        view::ROOM_FOR_THREE
                    ));
                }
            }
            CompareAction::Pool => return self.pool(shared),
            CompareAction::Findings(by) => {
                let last = self
                    .ready(shared)
                    .map_or(0, |v| view::sentences(self, v).len().saturating_sub(1));
                let moved = if by < 0 {
                    self.first_finding.saturating_sub(1)
                } else {
                    self.first_finding + 1
                };
                self.first_finding = moved.min(last);
            }
        }
        Vec::new()
    }

    /// Pools each side with the tests beside it, which only a service visit between the sides tells apart.
    fn pool(&mut self, shared: &mut Shared) -> Vec<Effect> {
        if let Some((before, after)) = self.alone_before_pooling.take() {
            (self.before, self.after) = (before, after);
            return self.entered(shared);
        }
        let beside = |ids: &[TestId]| -> Vec<TestId> {
            let tests = ids.iter().filter_map(|id| shared.kitchen.test(id));
            let mut all: Vec<TestId> = tests.flat_map(|t| shared.beside(t)).collect();
            all.sort();
            all.dedup();
            all
        };
        let (before, after) = (beside(&self.before), beside(&self.after));
        if before.iter().any(|id| after.contains(id)) {
            shared.complain(
                "no service visit lies between the two, so the record does not tell which other tests belong to which side; \
                 note the visit, or name the tests on the command line",
            );
            return Vec::new();
        }
        if before.len() + after.len() == self.before.len() + self.after.len() {
            shared.say("neither has another test beside it: toast one more like it and pool again");
            return Vec::new();
        }
        let alone = (
            std::mem::replace(&mut self.before, before),
            std::mem::replace(&mut self.after, after),
        );
        self.alone_before_pooling = Some(alone);
        self.entered(shared)
    }

    /// Returns the picture that stands alone on a screen of this width.
    fn shown_alone(&self, shared: &Shared) -> Option<Pane> {
        self.alone
            .or((shared.size.0 < view::ROOM_FOR_THREE).then_some(Pane::Change))
    }

    fn rack_beside(&self, by: i8, shared: &Shared) -> Option<u8> {
        let view = self.ready(shared)?;
        let racks = Self::racks(view);
        let here = self.chosen(view)?;
        let at = racks.iter().position(|&r| r == here)?;
        let n = racks.len();
        let next = if by < 0 { at + n - 1 } else { at + 1 };
        racks.get(next % n).copied()
    }
}

impl ScreenState for CompareScreen {
    fn refreshed(&mut self, _shared: &mut Shared) -> bool {
        true
    }

    fn scope(&self) -> Scope {
        Scope::Compare
    }

    fn title(&self, shared: &Shared) -> String {
        let name = self
            .oven(shared)
            .map_or_else(String::new, |o| o.name.clone());
        let days = |ids: &[TestId]| -> String {
            let days: Vec<String> = ids
                .iter()
                .filter_map(|id| shared.kitchen.test(id))
                .map(|t| t.when.date().to_string())
                .collect();
            days.join(" + ")
        };
        format!(
            "{name} before ({}) and after ({})",
            days(&self.before),
            days(&self.after)
        )
    }

    fn guide(&self, shared: &Shared) -> String {
        match self.answer(shared) {
            None => "both tests are being compared; the answer appears by itself".to_owned(),
            Some(Err(_)) => "Esc: back".to_owned(),
            Some(Ok(view)) if !view.warnings.is_empty() && self.first_finding == 0 => format!(
                "what stands against comparing ({}) comes first below. Space: blink. PgDn: on",
                view.warnings.len()
            ),
            Some(Ok(_)) => {
                "Space: blink. c: change. Tab: next rack. p: pool. PgDn: more below".to_owned()
            }
        }
    }

    fn view(&self, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
        view::draw(self, shared, frame, body);
    }

    fn hit(&self, shared: &Shared, body: Rect, at: Position, act: MouseAct) -> Option<Action> {
        let action = match act {
            MouseAct::WheelUp => CompareAction::Rack(1),
            MouseAct::WheelDown => CompareAction::Rack(-1),
            MouseAct::Press => view::hit(self, shared, body, at)?,
        };
        Some(Action::Compare(action))
    }

    fn entered(&mut self, shared: &mut Shared) -> Vec<Effect> {
        // Scores may have changed since the last answer: ask anew, show the old till then.
        let tests = |ids: &[TestId]| -> Vec<ToastTest> {
            ids.iter()
                .filter_map(|id| shared.kitchen.test(id).cloned())
                .collect()
        };
        let (before, after) = (tests(&self.before), tests(&self.after));
        let Some(oven) = self.oven(shared).cloned() else {
            return Vec::new();
        };
        vec![Effect::Work(shared.ask_compare(oven, before, after))]
    }
}
