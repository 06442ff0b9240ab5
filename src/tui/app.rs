//! The state of the program: a stack of screens and what they share.

use super::{
    effect::Save,
    outside::Conflict,
    popups::Popup,
    screens::{
        Screen,
        clock::{WATCH_TICK, running},
    },
    theme::Theme,
    worker::{
        CompareJob, FitJob, HistoryJob, Job, OvenJob, PaperJob, PhotoAnswer, PhotoJob, PhotoTask,
        Ticket, VerdictJob,
    },
};
use crate::workflow::{
    after::agree::Verdict, choice::Choices, compare::CompareView, history::History,
    kitchen::Kitchen, map::MapView,
};
use crate::{
    model::{BakeLog, Mode, Oven, OvenId, Plan, TestId, ToastTest, Warning},
    sampling::Side,
    workflow::pool::{bakes_beside, tests_beside},
};
use jiff::civil::DateTime;
use std::{sync::Arc, time::Duration};

/// Columns and rows of the grid maps are fitted on; drawing interpolates between its cells.
pub const MAP_GRID: (usize, usize) = (48, 36);

/// How often a window that only looks looks again.
const LOOK_TICK: Duration = Duration::from_secs(1);

/// The whole state. Only [`super::update::update`] changes it; [`super::view::view`] reads it.
#[derive(Debug)]
pub struct App {
    /// Screens, the one in sight last; never empty.
    pub(crate) screens: Vec<Screen>,
    /// What every screen may read and change.
    pub(crate) shared: Shared,
}

/// A message over the hint bar.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Banner {
    /// Something was done; goes away with the next key.
    Done(String),
    /// Something is wrong; stays until it is put right or closed with Escape.
    Wrong(String),
}

/// What a map is made of: one oven and the tests pooled into it.
#[derive(Debug, Clone, PartialEq)]
pub struct MapKey {
    /// The oven.
    pub oven: OvenId,
    /// The tests, as they were when the fit was asked for.
    pub tests: Vec<TestId>,
}

/// What a comparison is made of: the tests of both sides.
#[derive(Debug, Clone, PartialEq)]
pub struct CompareKey {
    /// The tests before.
    pub before: Vec<TestId>,
    /// The tests after.
    pub after: Vec<TestId>,
}

/// An answer of the worker that is asked for, waited for and held.
#[derive(Debug)]
pub struct Slot<K, T> {
    wanted: Option<(Ticket, K)>,
    held: Option<(K, Result<Arc<T>, String>)>,
}

impl<K, T> Default for Slot<K, T> {
    fn default() -> Self {
        Self {
            wanted: None,
            held: None,
        }
    }
}

impl<K: PartialEq, T> Slot<K, T> {
    /// Notes that an answer for `key` is wanted; every earlier question is stale from here on.
    pub fn ask(&mut self, ticket: Ticket, key: K) {
        self.wanted = Some((ticket, key));
    }

    /// Takes an answer, or drops it when it is stale; tells which.
    pub fn settle(&mut self, ticket: Ticket, answer: Result<Arc<T>, String>) -> bool {
        match self.wanted.take() {
            Some((wanted, key)) if wanted == ticket => {
                self.held = Some((key, answer));
                true
            }
            other => {
                self.wanted = other;
                false
            }
        }
    }

    /// Tells whether an answer is still to come.
    pub fn is_waiting(&self) -> bool {
        self.wanted.is_some()
    }

    /// Returns the last answer and what it was for, which may be older than the question that waits.
    pub fn held(&self) -> Option<(&K, Result<&Arc<T>, &str>)> {
        self.held
            .as_ref()
            .map(|(key, answer)| (key, answer.as_ref().map_err(String::as_str)))
    }

    /// Returns the last answer when it was for exactly `key`.
    pub fn held_for(&self, key: &K) -> Option<Result<&Arc<T>, &str>> {
        self.held().filter(|(k, _)| *k == key).map(|(_, a)| a)
    }

    /// Forgets question and answer.
    pub fn clear(&mut self) {
        *self = Self::default();
    }
}

/// A change of screen that a screen asks for; carried out after its `update` returned.
#[derive(Debug)]
pub(crate) enum Step {
    /// Put a screen on top.
    Open(Box<Screen>),
    /// Put a screen in place of the one on top.
    Replace(Box<Screen>),
    /// Take the top screen away.
    Back,
}

/// What was said of the last photo: asked once, taken for the next one.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PhotoHabits {
    /// Where the back wall is in the picture; `None` before it was asked.
    pub back: Option<Side>,
    /// The folder the last photo came from, as typed, with its last separator.
    pub folder: String,
}

/// What every screen may read, and change through `update`.
#[derive(Debug)]
pub struct Shared {
    /// Ovens, tests and bakes.
    pub kitchen: Kitchen,
    /// How to draw.
    pub theme: Theme,
    /// Terminal size, columns and rows.
    pub size: (u16, u16),
    /// Local time of the last event.
    pub now: DateTime,
    /// Time since the program started, as of the last event; never jumps with the wall clock.
    pub elapsed: Duration,
    /// The map of the tests in hand.
    pub map: Slot<MapKey, MapView>,
    /// The plan in hand; its key counts the questions.
    pub plan: Slot<Ticket, Plan>,
    /// The photo in hand; its key counts the questions.
    pub photo: Slot<Ticket, PhotoAnswer>,
    /// What was said of the last photo, for the next one.
    pub photo_habits: PhotoHabits,
    /// The ways on record to bake; its key counts the questions.
    pub choices: Slot<Ticket, Choices>,
    /// The comparison in hand.
    pub compare: Slot<CompareKey, CompareView>,
    /// What the bakes say of a map; its key counts the questions.
    pub verdict: Slot<Ticket, Option<Verdict>>,
    /// The history in hand.
    pub history: Slot<OvenId, History>,
    /// Message over the hint bar.
    pub banner: Option<Banner>,
    /// Window over the screen.
    pub popup: Option<Popup>,
    /// What the disk refused so far; tried again with every key.
    pub(crate) unsaved: Vec<Save>,
    /// Something else has changed what was to be saved: which of the two counts is asked for.
    pub(crate) conflict: Option<Conflict>,
    /// Leaving was asked for once while something was unsaved.
    pub(crate) leaving: bool,
    pub(crate) steps: Vec<Step>,
    /// When the bell of a bake last rang while another screen was in sight.
    pub(crate) rang: Option<Duration>,
    tickets: Ticket,
}

impl Shared {
    /// Returns the ids of the tests to pool with `test`, oldest first, itself among them.
    pub fn beside(&self, test: &ToastTest) -> Vec<TestId> {
        tests_beside(&self.kitchen, test)
            .iter()
            .map(|t| t.id.clone())
            .collect()
    }

    /// Puts a screen on top of this one.
    pub fn open(&mut self, screen: Screen) {
        self.steps.push(Step::Open(Box::new(screen)));
    }

    /// Puts a screen in place of this one, so that going back passes it by.
    pub fn replace(&mut self, screen: Screen) {
        self.steps.push(Step::Replace(Box::new(screen)));
    }

    /// Goes back one screen.
    pub fn back(&mut self) {
        self.steps.push(Step::Back);
    }

    /// Says that something was done, until the next key.
    pub fn say(&mut self, words: impl Into<String>) {
        self.banner = Some(Banner::Done(words.into()));
    }

    /// Says that something is wrong, until it is put right or closed.
    pub fn complain(&mut self, words: impl Into<String>) {
        self.banner = Some(Banner::Wrong(words.into()));
    }

    /// Returns a ticket no question has had yet.
    pub fn ticket(&mut self) -> Ticket {
        self.tickets += 1;
        self.tickets
    }

    /// Makes the job that does `task`; the answer arrives in [`Self::photo`].
    pub fn ask_photo(&mut self, task: PhotoTask) -> Job {
        let ticket = self.ticket();
        self.photo.ask(ticket, ticket);
        Job::Photo(Box::new(PhotoJob { ticket, task }))
    }

    /// Makes the job that fits `oven` to `tests`; the answer arrives in [`Self::map`].
    pub fn ask_map(&mut self, oven: &Oven, tests: &[&ToastTest]) -> Job {
        let ticket = self.ticket();
        let key = MapKey {
            oven: oven.id.clone(),
            tests: tests.iter().map(|t| t.id.clone()).collect(),
        };
        self.map.ask(ticket, key);
        Job::Fit(Box::new(FitJob {
            ticket,
            oven: oven.clone(),
            tests: tests.iter().map(|t| (*t).clone()).collect(),
            bakes: tests.last().map_or_else(Vec::new, |t| {
                let bakes = bakes_beside(&self.kitchen, t);
                bakes.into_iter().cloned().collect()
            }),
            grid: MAP_GRID,
        }))
    }

    /// Makes the job that asks all bakes like `bake` whether the map is off; the answer arrives in [`Self::verdict`].
    pub fn ask_verdict(&mut self, bake: BakeLog) -> (Ticket, Job) {
        let ticket = self.ticket();
        self.verdict.ask(ticket, ticket);
        let folder = self.kitchen.folder().to_owned();
        let job = VerdictJob {
            ticket,
            folder,
            bake,
        };
        (ticket, Job::Verdict(Box::new(job)))
    }

    /// Makes the job that tells an oven's history; the answer arrives in [`Self::history`].
    ///
    /// What the history held now has mapped need not be mapped again.
    pub fn ask_history(&mut self, oven: OvenId) -> Job {
        let ticket = self.ticket();
        let known = self.history.held().and_then(|(_, life)| life.ok().cloned());
        self.history.ask(ticket, oven.clone());
        Job::History(Box::new(HistoryJob {
            of: self.oven_job(ticket, oven),
            known,
        }))
    }

    /// Makes the job that puts an oven's card and technician's sheet on paper, about the mode in sight where there
    /// is one, and says that it is under way.
    pub fn ask_papers(&mut self, oven: OvenId, mode: Option<Mode>) -> Job {
        let about = mode.map_or_else(String::new, |m| format!(" ({})", m.words()));
        self.say(format!(
            "the card and the technician's sheet{about} are being written"
        ));
        let ticket = self.ticket();
        Job::Paper(Box::new(PaperJob {
            of: self.oven_job(ticket, oven),
            mode,
        }))
    }

    fn oven_job(&self, ticket: Ticket, oven: OvenId) -> OvenJob {
        OvenJob {
            ticket,
            folder: self.kitchen.folder().to_owned(),
            oven,
            today: self.now.date(),
        }
    }

    /// Makes the job that compares tests of one oven; the answer arrives in [`Self::compare`].
    pub fn ask_compare(
        &mut self,
        oven: Oven,
        before: Vec<ToastTest>,
        after: Vec<ToastTest>,
    ) -> Job {
        let ticket = self.ticket();
        let ids = |tests: &[ToastTest]| tests.iter().map(|t| t.id.clone()).collect();
        let key = CompareKey {
            before: ids(&before),
            after: ids(&after),
        };
        self.compare.ask(ticket, key);
        Job::Compare(Box::new(CompareJob {
            ticket,
            oven,
            before,
            after,
            grid: MAP_GRID,
        }))
    }
}

impl App {
    /// Makes the state at start-up: the home screen over the stored ovens.
    ///
    /// `warnings` are what opening the store had to say; the first is shown at once.
    pub fn new(kitchen: Kitchen, theme: Theme, now: DateTime, warnings: &[Warning]) -> Self {
        let banner = warnings.first().map(|first| {
            let more = match warnings.len() {
                0 | 1 => String::new(),
                n => format!(" (and {} more)", n - 1),
            };
            Banner::Wrong(format!("{first}{more}"))
        });
        let shared = Shared {
            kitchen,
            theme,
            size: (80, 24),
            now,
            elapsed: Duration::ZERO,
            map: Slot::default(),
            plan: Slot::default(),
            photo: Slot::default(),
            photo_habits: PhotoHabits::default(),
            choices: Slot::default(),
            compare: Slot::default(),
            verdict: Slot::default(),
            history: Slot::default(),
            banner,
            popup: None,
            unsaved: Vec::new(),
            conflict: None,
            leaving: false,
            steps: Vec::new(),
            rang: None,
            tickets: 0,
        };
        Self {
            screens: vec![Screen::home(&shared)],
            shared,
        }
    }

    /// Returns the screen in sight.
    pub fn screen(&self) -> Option<&Screen> {
        self.screens.last()
    }

    /// Returns how often time must be told: by the screen in sight, or by the clock of a bake that runs.
    pub fn tick(&self) -> Option<Duration> {
        let top = self.screen().and_then(|s| s.state().tick());
        top.or_else(|| running(&self.shared).map(|_| WATCH_TICK))
            .or_else(|| self.shared.kitchen.is_looking().then_some(LOOK_TICK))
    }

    /// Returns what the screens share.
    pub fn shared(&self) -> &Shared {
        &self.shared
    }

    /// Sets size and clocks before an event is dealt with; the run loop and tests call it.
    pub fn set_clock(&mut self, now: DateTime, elapsed: Duration) {
        self.shared.now = now;
        self.shared.elapsed = elapsed;
    }

    /// Sets the terminal's size before the first frame.
    pub fn set_size(&mut self, columns: u16, rows: u16) {
        self.shared.size = (columns, rows);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stale_answer_is_dropped_and_the_old_one_stays() {
        let mut slot: Slot<&str, u8> = Slot::default();
        slot.ask(1, "first");
        assert!(slot.settle(1, Ok(Arc::new(10))));
        slot.ask(2, "second");
        slot.ask(3, "third");
        assert!(!slot.settle(2, Ok(Arc::new(20))));
        assert!(slot.is_waiting());
        assert_eq!(slot.held_for(&"first").unwrap().unwrap().as_ref(), &10);
        assert!(slot.settle(3, Err("no".to_owned())));
        assert_eq!(slot.held_for(&"third").unwrap().unwrap_err(), "no");
        assert!(!slot.is_waiting());
    }
}
