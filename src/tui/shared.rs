//! What every screen may read and change, and what it asks the shell for: save, ask the worker, go to, say.

use super::{
    conflict::Conflict,
    day::RunningDay,
    effect::{Effect, Save},
    place::Place,
    popup::{Content, Popup},
    theme::Theme,
    trouble::Trouble,
    worker::{Answer, Job, Lane, Ticket},
};
use crate::{
    model::{BakeId, Mode, Moment, OvenId, TestId, ToastTest, Warning, id::DoughId},
    sampling::Side,
    workflow::{
        catalogue::Occasion,
        history::History,
        kitchen::Kitchen,
        map::map_of,
        paper::papers,
        pool::{Pool, Which, tests_beside, tests_now},
        view::MapView,
    },
};
use jiff::{SignedDuration, civil::DateTime};
use std::{collections::BTreeMap, path::PathBuf, sync::Arc, time::Duration};

/// Columns and rows of the grid maps are fitted on; drawing interpolates between its cells.
pub const MAP_GRID: (usize, usize) = (48, 36);

/// Cells of the map behind a plan: a plan goes by its fit, and what is drawn is interpolated.
pub(crate) const PLAN_GRID: (usize, usize) = (12, 9);

/// A message over the hint bar.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Banner {
    /// Something was done; goes away with the next key.
    Done(String),
    /// Something is wrong; stays until it is put right or closed with Escape.
    Wrong(String),
}

/// Returns the first thing that reading the files had to say, and how many more there are.
pub(crate) fn first_of(warnings: &[Warning]) -> Option<String> {
    let first = warnings.first()?;
    Some(match warnings.len() {
        1 => first.to_string(),
        n => format!("{first} (and {} more)", n - 1),
    })
}

/// An answer of the worker that a screen asks for, waits for and holds.
#[derive(Debug)]
pub struct Asked<T> {
    wanted: Option<Ticket>,
    held: Option<Result<Arc<T>, Arc<Trouble>>>,
}

impl<T> Default for Asked<T> {
    fn default() -> Self {
        Self {
            wanted: None,
            held: None,
        }
    }
}

impl<T: Send + Sync + 'static> Asked<T> {
    /// Asks for an answer; every earlier question is stale from here on, its answer is held till then.
    pub fn ask(
        &mut self,
        shared: &mut Shared,
        lane: Lane,
        work: impl FnOnce() -> Result<T, Trouble> + Send + 'static,
    ) {
        let ticket = shared.ticket();
        self.wanted = Some(ticket);
        shared.effect(Effect::Work(Job::new(ticket, lane, work)));
    }

    /// Takes an answer when it is the one waited for; tells whether.
    pub fn settle(&mut self, answer: &Answer) -> bool {
        let answer = self.wanted.and_then(|ticket| answer.to(ticket));
        let settled = answer.is_some();
        if settled {
            self.wanted = None;
            self.held = answer;
        }
        settled
    }

    /// Tells whether an answer is still to come.
    pub fn is_waiting(&self) -> bool {
        self.wanted.is_some()
    }

    /// Returns the last answer, which may be older than the question that waits.
    pub fn held(&self) -> Option<Result<&Arc<T>, &Trouble>> {
        self.held
            .as_ref()
            .map(|answer| answer.as_ref().map_err(AsRef::as_ref))
    }

    /// Returns the answer to the last question, once it has come.
    pub fn fresh(&self) -> Option<Result<&Arc<T>, &Trouble>> {
        self.held().filter(|_| !self.is_waiting())
    }

    /// Forgets the answer to an earlier question; the last one still waits.
    pub fn let_go(&mut self) {
        self.held = None;
    }

    /// Forgets question and answer.
    pub fn clear(&mut self) {
        *self = Self::default();
    }
}

/// What a map is made of: one oven and the tests pooled into it.
#[derive(Debug, Clone, PartialEq)]
pub struct MapKey {
    /// The oven.
    pub oven: OvenId,
    /// The tests, as they were when the fit was asked for.
    pub tests: Vec<TestId>,
}

/// The map in hand, which several screens show and rest on.
#[derive(Debug, Default)]
pub struct MapInHand {
    asked: Asked<MapView>,
    /// What was asked for last.
    pool: Option<Pool>,
    wanted: Option<MapKey>,
    key: Option<MapKey>,
}

impl MapInHand {
    /// Returns the last map and what it was of, which may be older than the one that is waited for.
    pub fn held(&self) -> Option<(&MapKey, Result<&Arc<MapView>, &Trouble>)> {
        Some((self.key.as_ref()?, self.asked.held()?))
    }

    /// Returns the last map when it is of exactly `key`.
    pub fn held_for(&self, key: &MapKey) -> Option<Result<&Arc<MapView>, &Trouble>> {
        self.held().filter(|(k, _)| *k == key).map(|(_, map)| map)
    }

    /// Tells whether the map of `key` is in hand, or on its way.
    pub(crate) fn is_about(&self, key: &MapKey) -> bool {
        self.wanted.as_ref().or(self.key.as_ref()) == Some(key)
    }

    /// Takes an answer when it is the map waited for; tells whether.
    pub(crate) fn settle(&mut self, answer: &Answer) -> bool {
        let settled = self.asked.settle(answer);
        if settled {
            self.key = self.wanted.take();
        }
        settled
    }

    /// Forgets the map.
    pub fn clear(&mut self) {
        *self = Self::default();
    }
}

/// A change of screen that a screen asks for; carried out when it is done with its key.
#[derive(Debug)]
pub(crate) enum Step {
    /// Put a screen on top.
    Open(Place),
    /// Put a screen in place of the one on top.
    Replace(Place),
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

/// Something that runs by the clock, whatever screen is in sight.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Timed {
    /// The baking day.
    Day,
    /// A bake.
    Bake(BakeId),
    /// A toast in the oven.
    Toast(TestId),
    /// A dough that rises.
    Dough(DoughId),
}

/// What the bell is to ring for now.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Call {
    /// A look, this one of several: it rings once.
    Look(u32),
    /// Something is due: it rings this often until it is done.
    Due(Duration),
}

/// What has rung for something timed, on whatever screen.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Rang {
    /// Looks that have rung.
    pub(crate) looks: u32,
    /// When the bell last rang because something is due.
    pub(crate) due: Option<Duration>,
}

/// What every screen may read, and what it asks the shell for.
#[derive(Debug)]
pub struct Shared {
    /// Ovens, tests and bakes.
    pub kitchen: Kitchen,
    /// How to draw.
    pub theme: Theme,
    /// Terminal size, columns and rows.
    pub size: (u16, u16),
    /// Local time of the last event, to show and to type.
    pub now: DateTime,
    /// The same as an instant, for whatever is measured or counted down.
    pub moment: Moment,
    /// Time since the program started, sleep included, as of the last event; never jumps with the wall clock.
    pub elapsed: Duration,
    /// The map of the tests in hand.
    pub map: MapInHand,
    /// The history told last: its tests are not mapped again.
    pub history: Option<Arc<History>>,
    /// What was said of the last photo, for the next one.
    pub photo_habits: PhotoHabits,
    /// Message over the hint bar.
    pub banner: Option<Banner>,
    /// Window over the screen.
    pub popup: Option<Popup>,
    /// The papers that are being written.
    pub(crate) papers: Asked<Vec<PathBuf>>,
    /// What the disk refused so far; tried again with every key.
    pub(crate) unsaved: Vec<Save>,
    /// Something else has changed what was to be saved: which of the two counts is asked for.
    pub(crate) conflict: Option<Conflict>,
    /// Leaving was asked for once while something was unsaved.
    pub(crate) leaving: bool,
    /// Keys, this one among them, for which the question before quitting still counts as asked.
    pub(crate) quit_asked: u8,
    /// The baking day that runs, whatever screen is in sight.
    pub(crate) day: Option<RunningDay>,
    /// What has rung for each thing that is timed.
    pub(crate) rang: BTreeMap<Timed, Rang>,
    /// When the program began.
    start: Moment,
    /// Where the stopwatch stood when something began.
    begun: BTreeMap<Moment, Duration>,
    pub(crate) steps: Vec<Step>,
    effects: Vec<Effect>,
    tickets: Ticket,
}

impl Shared {
    /// Begins over a kitchen.
    pub(crate) fn new(
        kitchen: Kitchen,
        theme: Theme,
        moment: Moment,
        banner: Option<Banner>,
    ) -> Self {
        Self {
            kitchen,
            theme,
            size: (80, 24),
            now: moment.civil(),
            moment,
            elapsed: Duration::ZERO,
            map: MapInHand::default(),
            history: None,
            photo_habits: PhotoHabits::default(),
            banner,
            popup: None,
            papers: Asked::default(),
            unsaved: Vec::new(),
            conflict: None,
            leaving: false,
            quit_asked: 0,
            day: None,
            rang: BTreeMap::new(),
            start: moment,
            begun: BTreeMap::new(),
            steps: Vec::new(),
            effects: Vec::new(),
            tickets: 0,
        }
    }

    /// Puts a screen on top of this one.
    pub fn open(&mut self, place: Place) {
        self.steps.push(Step::Open(place));
    }

    /// Puts a screen in place of this one, so that going back passes it by.
    pub fn replace(&mut self, place: Place) {
        self.steps.push(Step::Replace(place));
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

    /// Shows the cautions for an occasion.
    pub fn caution(&mut self, occasion: Occasion) {
        self.popup = Some(Popup::of(Content::Cautions(occasion)));
    }

    /// Puts something on disk before the next frame; a test at once in memory, for the screen that comes into sight.
    pub fn save(&mut self, save: Save) {
        if let Save::Test(test) = &save {
            self.kitchen.hold_test((**test).clone());
        }
        self.effect(Effect::Save(save));
    }

    /// Sets a toast test aside under the data folder's `removed/`.
    pub fn set_aside(&mut self, test: TestId) {
        self.effect(Effect::SetAside(test));
    }

    /// Rings the terminal's bell; the words, if any, say on the desktop what for.
    pub fn ring(&mut self, words: impl Into<String>) {
        self.effect(Effect::Bell(words.into()));
    }

    /// Tells whether to ring for something now, and keeps that it rang; `None` where nothing is due.
    pub(crate) fn rings(&mut self, of: &Timed, call: Option<Call>) -> bool {
        let Some(call) = call else {
            self.rang.remove(of);
            return false;
        };
        let elapsed = self.elapsed;
        let rang = self.rang.entry(of.clone()).or_default();
        match call {
            Call::Look(number) => {
                let Rang { looks, .. } = *rang;
                *rang = Rang {
                    looks: number,
                    due: None,
                };
                number > looks
            }
            Call::Due(again) => {
                let lately = |at: Duration| elapsed.saturating_sub(at) < again;
                let rings = !rang.due.is_some_and(lately);
                if rings {
                    rang.due = Some(elapsed);
                }
                rings
            }
        }
    }

    /// Returns the moment to note for something that begins now; what it takes goes by the stopwatch from here on.
    pub(crate) fn begin(&mut self) -> Moment {
        self.begun.insert(self.moment, self.elapsed);
        self.moment
    }

    /// Returns how long ago something began, by the stopwatch; by the instants what lies before the program began.
    pub(crate) fn since(&self, began: Moment) -> SignedDuration {
        let (from, at) = match self.begun.get(&began) {
            Some(at) => (began, *at),
            None => (self.start, Duration::ZERO),
        };
        let passed = SignedDuration::try_from(self.elapsed.saturating_sub(at));
        from.duration_since(began)
            .saturating_add(passed.unwrap_or(SignedDuration::MAX))
    }

    /// Returns what a clock would show that was right when something began, and was not set since.
    pub(crate) fn now_since(&self, began: Moment) -> Moment {
        began.saturating_add(self.since(began))
    }

    pub(crate) fn effect(&mut self, effect: Effect) {
        self.effects.push(effect);
    }

    /// Takes what was asked for since the last time.
    pub(crate) fn take_effects(&mut self) -> Vec<Effect> {
        std::mem::take(&mut self.effects)
    }

    fn ticket(&mut self) -> Ticket {
        self.tickets += 1;
        self.tickets
    }

    /// Returns the ids of the tests to pool with `test`, oldest first, itself among them.
    pub fn beside(&self, test: &ToastTest) -> Vec<TestId> {
        tests_beside(&self.kitchen, test)
            .iter()
            .map(|t| t.id.clone())
            .collect()
    }

    /// Returns the ids of the tests that say how an oven is now in one mode, oldest first.
    pub fn now_in(&self, oven: &crate::model::Oven, mode: Mode) -> Vec<TestId> {
        tests_now(&self.kitchen, oven, mode)
            .iter()
            .map(|t| t.id.clone())
            .collect()
    }

    /// Returns what is planned on: the tests a screen was opened on in their own mode; in another one those of now.
    pub(crate) fn which(&self, tests: &[TestId], mode: Mode) -> Which {
        let first = tests.first().and_then(|id| self.kitchen.test(id));
        if first.is_some_and(|t| t.setup.mode == mode) {
            Which::These(tests.to_vec())
        } else {
            Which::Now(mode)
        }
    }

    /// Asks for the map of pooled tests; it arrives in [`Self::map`].
    ///
    /// A map of just these tests that is in hand, or on its way, is not worked out again.
    pub fn ask_map(&mut self, pool: Pool) {
        let failed = matches!(self.map.asked.fresh(), Some(Err(_)));
        if self.map.pool.as_ref() == Some(&pool) && !failed {
            return;
        }
        self.map.pool = Some(pool.clone());
        self.map.wanted = Some(MapKey {
            oven: pool.oven.id.clone(),
            tests: pool.tests.iter().map(|t| t.id.clone()).collect(),
        });
        let mut asked = std::mem::take(&mut self.map.asked);
        asked.ask(self, Lane::Quick, move || Ok(map_of(&pool, MAP_GRID)?));
        self.map.asked = asked;
    }

    /// Asks for an oven's card and technician's sheet on paper, about the mode in sight where there is one, and
    /// says that it is under way.
    pub fn ask_papers(&mut self, oven: OvenId, mode: Option<Mode>) {
        let about = mode.map_or_else(String::new, |m| format!(" ({})", m.words()));
        self.say(format!(
            "the card and the technician's sheet{about} are being written"
        ));
        let today = self.now.date();
        let (records, folder) = (self.kitchen.snapshot(), self.kitchen.folder().to_owned());
        let mut asked = std::mem::take(&mut self.papers);
        asked.ask(self, Lane::Slow, move || {
            Ok(papers((&records, &folder), &oven, mode, today)?)
        });
        self.papers = asked;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::worker::work;

    fn shared() -> Shared {
        let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
        let now = jiff::civil::date(2026, 5, 1).at(9, 0, 0, 0);
        Shared::new(kitchen, Theme::default(), now.into(), None)
    }

    fn answers(shared: &mut Shared) -> Vec<Answer> {
        let jobs = shared.take_effects().into_iter();
        jobs.map(|effect| match effect {
            Effect::Work(job) => work(job),
            other => panic!("{other:?}"),
        })
        .collect()
    }

    #[test]
    fn a_stale_answer_is_dropped_and_the_old_one_stays() {
        let mut shared = shared();
        let mut asked: Asked<u8> = Asked::default();
        asked.ask(&mut shared, Lane::Quick, || Ok(10));
        assert!(asked.settle(&answers(&mut shared)[0]));
        asked.ask(&mut shared, Lane::Quick, || Ok(20));
        asked.ask(&mut shared, Lane::Quick, || Err(Trouble::Gone));
        let [second, third] = &answers(&mut shared)[..] else {
            panic!("two jobs")
        };
        assert!(!asked.settle(second));
        assert!(asked.is_waiting() && asked.fresh().is_none());
        assert_eq!(**asked.held().unwrap().unwrap(), 10);
        assert!(asked.settle(third));
        assert!(matches!(asked.fresh(), Some(Err(Trouble::Gone))));
    }
}
