//! The map screen: every rack position shaded, read out under a cursor, in shades or degrees.

#[cfg(test)]
mod tests;
mod view;

use super::{Screen, ScreenState, plan::PlanScreen};
use crate::workflow::map::MapView;
use crate::{
    model::{Oven, OvenId, TestId, ToastTest},
    report::Quantity,
    tui::{
        action::Action,
        app::{MapKey, Shared},
        effect::Effect,
        event::MouseAct,
        keys::{Binding, Key, Scope},
        widgets::{Overlay, Overlays},
    },
};
use ratatui::{
    Frame,
    layout::{Position, Rect},
};
use std::sync::Arc;

/// Steps the cursor takes from wall to wall.
const STEPS: f64 = 40.0;

/// What can be done on the map screen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MapAction {
    /// Put the oven's card and technician's sheet on paper.
    Paper,
    /// Move the cursor: right and towards the back, in steps.
    Move(i8, i8),
    /// Put the cursor on a place of a rack position, cm from the left wall and from the door.
    Point(u8, f64, f64),
    /// Choose the next (1) or previous (-1) rack position.
    Rack(i8),
    /// Show the racks another way.
    Arrange,
    /// Show shades instead of degrees, or degrees instead of shades.
    Quantity,
    /// Show or hide an overlay.
    Toggle(Overlay),
    /// Show or hide what the uncertain rate of browning makes of the degrees.
    Spread,
    /// Scroll the findings, in sentences.
    Findings(i8),
    /// Plan a bake on this map.
    Plan,
}

const fn does(action: MapAction) -> Action {
    Action::Map(action)
}

const fn toggle(
    key: &'static [Key],
    overlay: Overlay,
    hint: &'static str,
    help: &'static str,
) -> Binding {
    Binding {
        keys: key,
        action: does(MapAction::Toggle(overlay)),
        hint,
        help,
    }
}

/// The keys of the map screen.
pub const KEYS: &[Binding] = &[
    Binding {
        keys: &[Key::Enter, Key::Char('p')],
        action: does(MapAction::Plan),
        hint: "plan",
        help: "plan a bake on this map",
    },
    Binding {
        keys: &[Key::Tab, Key::Char('n')],
        action: does(MapAction::Rack(1)),
        hint: "rack",
        help: "next rack position",
    },
    Binding {
        keys: &[Key::Char('v')],
        action: does(MapAction::Arrange),
        hint: "view",
        help: "racks side by side, one large, or from the side",
    },
    Binding {
        keys: &[Key::Char('d')],
        action: does(MapAction::Quantity),
        hint: "degrees",
        help: "degrees or shades",
    },
    toggle(
        &[Key::Char('c')],
        Overlay::Contours,
        "lines",
        "contour lines at whole shades or degrees",
    ),
    toggle(
        &[Key::Char('z')],
        Overlay::Zones,
        "zones",
        "outlines and names of hot and cool zones",
    ),
    toggle(
        &[Key::Char('a')],
        Overlay::Arrows,
        "arrows",
        "arrows towards the steepest rise",
    ),
    toggle(
        &[Key::Char('s')],
        Overlay::Scores,
        "scores",
        "the scores of the slices, of the newest test where several are pooled",
    ),
    toggle(
        &[Key::Char('u')],
        Overlay::Doubt,
        "",
        "weaker where little is known",
    ),
    Binding {
        keys: &[Key::Char('e')],
        action: does(MapAction::Spread),
        hint: "",
        help: "what the uncertain rate of browning makes of the degrees",
    },
    Binding {
        keys: &[Key::PageDown],
        action: does(MapAction::Findings(1)),
        hint: "",
        help: "next findings",
    },
    Binding {
        keys: &[Key::PageUp],
        action: does(MapAction::Findings(-1)),
        hint: "",
        help: "findings before",
    },
    Binding {
        keys: &[Key::BackTab],
        action: does(MapAction::Rack(-1)),
        hint: "",
        help: "previous rack position",
    },
    Binding {
        keys: &[Key::Left],
        action: does(MapAction::Move(-1, 0)),
        hint: "",
        help: "cursor left",
    },
    Binding {
        keys: &[Key::Right],
        action: does(MapAction::Move(1, 0)),
        hint: "",
        help: "cursor right",
    },
    Binding {
        keys: &[Key::Up],
        action: does(MapAction::Move(0, 1)),
        hint: "",
        help: "cursor towards the back wall",
    },
    Binding {
        keys: &[Key::Down],
        action: does(MapAction::Move(0, -1)),
        hint: "",
        help: "cursor towards the door",
    },
    Binding {
        keys: &[Key::Char('w')],
        action: does(MapAction::Paper),
        hint: "",
        help: "write the card for the oven door and the technician's sheet as PDF",
    },
];

/// How the racks are laid out on screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Arrangement {
    /// All of them, seen from above.
    SideBySide,
    /// The chosen one alone, large.
    Large,
    /// Their means, seen from the side.
    FromTheSide,
}

impl Arrangement {
    fn next(self) -> Self {
        match self {
            Self::SideBySide => Self::Large,
            Self::Large => Self::FromTheSide,
            Self::FromTheSide => Self::SideBySide,
        }
    }
}

/// The state of the map screen.
#[derive(Debug)]
pub struct MapScreen {
    oven: OvenId,
    tests: Vec<TestId>,
    arrangement: Arrangement,
    shows_degrees: bool,
    shows_spread: bool,
    overlays: Overlays,
    /// The rack position chosen; until one is, the lowest of the map.
    rack: Option<u8>,
    /// Where the cursor is, as shares of the cavity's width and depth; the same on every rack.
    cursor: (f64, f64),
    /// The first sentence of the findings in sight.
    first_finding: usize,
}

impl MapScreen {
    /// Opens on an oven and the tests to pool.
    pub(crate) fn new(oven: OvenId, tests: Vec<TestId>) -> Self {
        Self {
            oven,
            tests,
            arrangement: Arrangement::SideBySide,
            shows_degrees: false,
            shows_spread: false,
            overlays: Overlays::default(),
            rack: None,
            cursor: (0.5, 0.5),
            first_finding: 0,
        }
    }

    fn key(&self) -> MapKey {
        MapKey {
            oven: self.oven.clone(),
            tests: self.tests.clone(),
        }
    }

    fn oven<'s>(&self, shared: &'s Shared) -> Option<&'s Oven> {
        shared.kitchen.oven(&self.oven)
    }

    fn tests<'s>(&self, shared: &'s Shared) -> Vec<&'s ToastTest> {
        self.tests
            .iter()
            .filter_map(|id| shared.kitchen.test(id))
            .collect()
    }

    fn map<'s>(&self, shared: &'s Shared) -> Option<Result<&'s Arc<MapView>, &'s str>> {
        shared.map.held_for(&self.key())
    }

    fn ready<'s>(&self, shared: &'s Shared) -> Option<&'s MapView> {
        self.map(shared).and_then(Result::ok).map(Arc::as_ref)
    }

    /// Tells whether to say whose scores are drawn: several tests are pooled.
    fn notes_scores(&self) -> bool {
        self.tests.len() > 1 && self.overlays.has(Overlay::Scores)
    }

    /// Returns the numbers of the racks on the map, lowest first.
    fn racks(&self, shared: &Shared) -> Vec<u8> {
        self.ready(shared)
            .map(|v| v.map.racks.iter().map(|r| r.rack).collect())
            .unwrap_or_default()
    }

    fn chosen(&self, racks: &[u8]) -> Option<u8> {
        self.rack
            .filter(|r| racks.contains(r))
            .or(racks.first().copied())
    }

    fn quantity(&self, oven: &Oven, view: &MapView) -> Quantity {
        if self.shows_degrees {
            Quantity::Degrees {
                unit: oven.dial.unit,
                per_c: view.sensitivity.per_c,
            }
        } else {
            Quantity::Shade
        }
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: MapAction, shared: &mut Shared) -> Vec<Effect> {
        match action {
            MapAction::Paper => {
                let mode = self.tests(shared).first().map(|t| t.setup.mode);
                return vec![Effect::Work(shared.ask_papers(self.oven.clone(), mode))];
            }
            MapAction::Move(right, back) => {
                let step = |v: f64, by: i8| (v + f64::from(by) / STEPS).clamp(0.0, 1.0);
                self.cursor = (step(self.cursor.0, right), step(self.cursor.1, back));
            }
            MapAction::Point(rack, x, y) => {
                self.rack = Some(rack);
                if let Some(oven) = self.oven(shared) {
                    let share = |v: f64, whole: f64| (v / whole).clamp(0.0, 1.0);
                    let c = oven.cavity;
                    self.cursor = (share(x, c.width.0), share(y, c.depth.0));
                }
            }
            MapAction::Rack(by) => self.rack = self.rack_beside(by, shared),
            MapAction::Arrange => self.arrangement = self.arrangement.next(),
            MapAction::Quantity => self.shows_degrees = !self.shows_degrees,
            MapAction::Toggle(overlay) => self.overlays.toggle(overlay),
            MapAction::Spread => self.shows_spread = !self.shows_spread,
            MapAction::Findings(by) => {
                let last = self.ready(shared).map_or(0, |v| {
                    (v.findings.len() + v.warnings.len()).saturating_sub(1)
                });
                let moved = if by < 0 {
                    self.first_finding.saturating_sub(1)
                } else {
                    self.first_finding + 1
                };
                self.first_finding = moved.min(last);
            }
            MapAction::Plan => {
                let plan = PlanScreen::new(self.oven.clone(), self.tests.clone());
                shared.open(Screen::Plan(plan));
            }
        }
        Vec::new()
    }

    fn rack_beside(&self, by: i8, shared: &Shared) -> Option<u8> {
        let racks = self.racks(shared);
        let here = self.chosen(&racks)?;
        let at = racks.iter().position(|&r| r == here)?;
        let n = racks.len();
        let next = if by < 0 { at + n - 1 } else { at + 1 };
        racks.get(next % n).copied()
    }
}

impl ScreenState for MapScreen {
    fn refreshed(&mut self, _shared: &mut Shared) -> bool {
        true
    }

    fn scope(&self) -> Scope {
        Scope::Map
    }

    fn title(&self, shared: &Shared) -> String {
        let name = self
            .oven(shared)
            .map_or_else(String::new, |o| o.name.clone());
        let tests = self.tests(shared);
        let mode = tests
            .first()
            .map_or_else(String::new, |t| format!(", {}", t.setup.mode.words()));
        let count = match tests.len() {
            1 => "1 toast test".to_owned(),
            n => format!("{n} toast tests"),
        };
        format!("map of {name}{mode}, {count}")
    }

    fn guide(&self, shared: &Shared) -> String {
        match self.map(shared) {
            None => "the map is being fitted; it appears by itself".to_owned(),
            Some(Err(_)) => "Esc: back".to_owned(),
            Some(Ok(_)) => {
                "arrows: read a place. d: degrees or shades. Enter: plan a bake".to_owned()
            }
        }
    }

    fn view(&self, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
        view::draw(self, shared, frame, body);
    }

    fn hit(&self, shared: &Shared, body: Rect, at: Position, act: MouseAct) -> Option<Action> {
        match act {
            MouseAct::WheelUp => Some(does(MapAction::Rack(1))),
            MouseAct::WheelDown => Some(does(MapAction::Rack(-1))),
            MouseAct::Press => view::hit(self, shared, body, at).map(does),
        }
    }

    fn entered(&mut self, shared: &mut Shared) -> Vec<Effect> {
        // Scores may have changed since the map in hand was fitted: ask anew, show the old till then.
        let Some(oven) = self.oven(shared).cloned() else {
            return Vec::new();
        };
        let tests: Vec<ToastTest> = self.tests(shared).into_iter().cloned().collect();
        let tests: Vec<&ToastTest> = tests.iter().collect();
        vec![Effect::Work(shared.ask_map(&oven, &tests))]
    }
}
