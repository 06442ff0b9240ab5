//! Which toast tests belong into one map, and what is to be said of the choice.

use super::{kitchen::Records, observe::tells};
use crate::model::{BakeLog, Mode, Oven, ServiceVisit, TestId, ToastTest, Warning, text::joined};
use jiff::civil::{Date, DateTime};

/// Scored slices in one map at most. By then slice-to-slice scatter hardly counts any more beside what the oven
/// itself does from month to month, and the work grows with their third power.
const MOST_SLICES: usize = 240;

/// Why tests make no pool.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PoolError {
    /// No test was given.
    #[error("'{0}' has no scored toast test yet; lay one out and score it first")]
    NoTest(String),
    /// A test of another oven.
    #[error("test '{test}' belongs to oven '{belongs}', not to '{oven}'; choose tests of one oven")]
    OtherOven {
        /// The test.
        test: String,
        /// Its oven.
        belongs: String,
        /// The oven asked for.
        oven: String,
    },
    /// Tests in different modes.
    #[error(
        "tests '{first}' ({one}) and '{second}' ({other}) were made in different modes and cannot share a map; choose one mode"
    )]
    Modes {
        /// The first test.
        first: String,
        /// Its mode.
        one: &'static str,
        /// The second test.
        second: String,
        /// Its mode.
        other: &'static str,
    },
}

/// Which toast tests a map or a plan is to stand on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Which {
    /// Those that say how the oven is now in one mode.
    Now(Mode),
    /// One test by itself.
    Alone(TestId),
    /// Tests that were pooled before, by their ids.
    These(Vec<TestId>),
}

/// What is to be said of the tests that were chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Remark {
    /// A service visit came after the newest of them and may have changed the oven.
    OlderThanVisit {
        /// How the oven heated.
        mode: Mode,
        /// When the visit was, in words.
        visit: String,
        /// The day of a test since that visit, which was not chosen.
        newer: Option<Date>,
    },
    /// Some are as good as burnt or pale all over.
    Untold {
        /// The tests.
        tests: Vec<TestId>,
    },
    /// A quick check has found the oven changed since the newest full test.
    Changed {
        /// The day of the check.
        day: Date,
    },
    /// There are too many for one map.
    LeftOut {
        /// How the oven heated.
        mode: Mode,
        /// Tests that count.
        kept: usize,
        /// Tests there are.
        all: usize,
    },
}

impl Remark {
    /// Names what came after all the tests chosen and may have changed the oven, in short.
    pub fn since(&self) -> Option<&'static str> {
        match self {
            Self::OlderThanVisit { .. } => Some("the last visit"),
            Self::Changed { .. } => Some("the oven changed"),
            Self::Untold { .. } | Self::LeftOut { .. } => None,
        }
    }

    /// Says it.
    pub fn warning(&self) -> Warning {
        match self {
            Self::OlderThanVisit {
                mode,
                visit,
                newer: None,
            } => Warning::misleads(
                format!(
                    "every full test {} is older than the service visit of {visit}",
                    mode.phrase()
                ),
                "test again: the visit may have changed the oven",
            ),
            Self::OlderThanVisit {
                mode,
                visit,
                newer: Some(day),
            } => Warning::misleads(
                format!(
                    "this shows the oven {} before the service visit of {visit}",
                    mode.phrase()
                ),
                format!("go by the tests since, of {day}, for how it is now"),
            ),
            Self::Untold { tests } => Warning::minor(
                format!(
                    "as good as burnt or pale all over, so not in the map: {}",
                    joined(tests, ", ")
                ),
                "toast again and pull when the lightest slice is golden; `rackshade tests remove` sets a test aside",
            ),
            Self::Changed { day } => Warning::misleads(
                format!("the quick check of {day} found signs of a change"),
                "test it in full: until then this rests on what it was before",
            ),
            Self::LeftOut { mode, kept, all } => Warning::minor(
                format!(
                    "the {kept} newest of {all} toast tests {} are in the map, the older ones are not",
                    mode.phrase()
                ),
                "compare an older test with a new one to see what changed",
            ),
        }
    }
}

/// Tests of one oven and mode that share a map, with the bakes folded in: a snapshot that a thread can take along.
#[derive(Debug, Clone, PartialEq)]
pub struct Pool {
    /// The oven.
    pub oven: Oven,
    /// The tests, oldest first.
    pub tests: Vec<ToastTest>,
    /// Where one test stands alone, those beside it: what they tell of this bread holds for it too.
    pub beside: Vec<ToastTest>,
    /// Bakes that count in the map.
    pub bakes: Vec<BakeLog>,
    /// What is to be said of the choice.
    pub remarks: Vec<Remark>,
}

impl Pool {
    /// Pools tests just as they are given: no bakes, no remarks.
    pub fn of(oven: &Oven, tests: &[&ToastTest]) -> Self {
        Self {
            oven: oven.clone(),
            tests: tests.iter().map(|t| (*t).clone()).collect(),
            beside: Vec::new(),
            bakes: Vec::new(),
            remarks: Vec::new(),
        }
    }

    /// Chooses tests of an oven from the records.
    ///
    /// Every face chooses here. A pool is empty where nothing was scored in the mode asked for.
    pub fn choose(records: &Records, oven: &Oven, which: &Which) -> Self {
        let tests: Vec<&ToastTest> = match which {
            Which::Now(mode) => tests_now(records, oven, *mode),
            Which::Alone(id) => records.test(id).into_iter().collect(),
            Which::These(ids) => ids.iter().filter_map(|id| records.test(id)).collect(),
        };
        let mut pool = Self::of(oven, &tests);
        let Some(newest) = tests.iter().copied().max_by_key(|t| t.when) else {
            return pool;
        };
        pool.remarks.extend(older_than_visit(records, oven, newest));
        if !matches!(which, Which::Alone(_)) {
            pool.remarks.extend(untold(records, newest));
            pool.remarks.extend(found_changed(records, &tests));
        }
        match which {
            Which::Alone(_) => {
                let mut beside = on_one_side(&records.tests_of(&oven.id), oven, newest);
                beside.retain(|t| t.id != newest.id);
                pool.beside = beside.into_iter().cloned().collect();
            }
            Which::Now(_) | Which::These(_) => {
                let bakes = bakes_like(records, newest).into_iter();
                pool.bakes = bakes.filter(|b| b.in_map).cloned().collect();
                let (kept, all) = (tests.len(), all_beside(records, newest).len());
                if kept < all {
                    let mode = newest.setup.mode;
                    pool.remarks.push(Remark::LeftOut { mode, kept, all });
                }
            }
        }
        pool
    }

    /// Returns the day of the newest test.
    pub fn newest(&self) -> Option<Date> {
        self.tests.iter().map(|t| t.when.date()).max()
    }
}

/// Says so when a quick check after the newest full one of these tests has found the oven changed.
fn found_changed(records: &Records, tests: &[&ToastTest]) -> Option<Remark> {
    let full = tests
        .iter()
        .filter(|t| !t.is_check())
        .max_by_key(|t| t.when)?;
    let day = changed_since(records, full)?;
    Some(Remark::Changed { day })
}

/// Returns the day of the newest quick check that found the oven changed, in this mode, since a full test.
pub(super) fn changed_since(records: &Records, full: &ToastTest) -> Option<Date> {
    let setup = &full.setup;
    let mut later = records.tests_of(&setup.oven).into_iter();
    let changed =
        later.rfind(|t| t.found_change() && t.setup.mode == setup.mode && t.when > full.when);
    changed.map(|check| check.when.date())
}

/// Says which tests beside this one tell nothing.
fn untold(records: &Records, newest: &ToastTest) -> Option<Remark> {
    let tests: Vec<TestId> = scored_beside(records, newest)
        .into_iter()
        .filter(|t| t.id != newest.id && !tells(t))
        .map(|t| t.id.clone())
        .collect();
    (!tests.is_empty()).then_some(Remark::Untold { tests })
}

/// Says so when a service visit came after the newest test of a map.
fn older_than_visit(records: &Records, oven: &Oven, newest: &ToastTest) -> Option<Remark> {
    let last = oven.visits.iter().max_by_key(|v| v.when)?;
    let mode = newest.setup.mode;
    let since = newest_in(records, oven, mode).filter(|t| t.when >= last.when);
    (newest.when < last.when).then(|| Remark::OlderThanVisit {
        mode,
        visit: last.moment(),
        newer: since.map(|t| t.when.date()),
    })
}

/// Returns the newest scored test of an oven in one mode; a quick check, or one that tells nothing, only where there is
/// no other.
fn newest_in<'k>(records: &'k Records, oven: &Oven, mode: Mode) -> Option<&'k ToastTest> {
    let mut tests = records.tests_of(&oven.id);
    tests.retain(|t| t.setup.mode == mode && t.scored() > 0);
    let told = || tests.iter().filter(|t| tells(t));
    let full = told().rfind(|t| !t.is_check());
    full.or(told().next_back()).or(tests.last()).copied()
}

/// Checks that tests are of this oven and in one mode; returns the first.
///
/// # Errors
/// [`PoolError`] names the first test that does not belong.
pub(super) fn check_group<'t>(
    oven: &Oven,
    tests: &[&'t ToastTest],
) -> Result<&'t ToastTest, PoolError> {
    let first = *tests
        .first()
        .ok_or_else(|| PoolError::NoTest(oven.name.clone()))?;
    for test in tests {
        if test.setup.oven != oven.id {
            return Err(PoolError::OtherOven {
                test: test.id.to_string(),
                belongs: test.setup.oven.to_string(),
                oven: oven.id.to_string(),
            });
        }
        if test.setup.mode != first.setup.mode {
            return Err(PoolError::Modes {
                first: first.id.to_string(),
                one: first.setup.mode.words(),
                second: test.id.to_string(),
                other: test.setup.mode.words(),
            });
        }
    }
    Ok(first)
}

/// Returns the tests to pool with `test`, oldest first, itself among them: same oven, same mode, at
/// least one slice scored, and no service visit between them and it; of very many those nearest in time. A quick
/// check asks whether the full tests still hold, so it never counts among them.
pub fn tests_beside<'k>(records: &'k Records, test: &ToastTest) -> Vec<&'k ToastTest> {
    nearest_to(test, all_beside(records, test))
}

/// Leaves as many tests as are worth their work, those nearest in time to `test`; oldest first.
pub(super) fn nearest_to<'t>(
    test: &ToastTest,
    mut tests: Vec<&'t ToastTest>,
) -> Vec<&'t ToastTest> {
    tests.sort_by_key(|other| {
        (
            other.when.duration_since(test.when).abs(),
            other.id != test.id,
        )
    });
    let mut slices = 0;
    let fitting = tests
        .iter()
        .take_while(|t| {
            slices += t.scored();
            slices <= MOST_SLICES
        })
        .count();
    tests.truncate(fitting.max(1));
    tests.sort_by(|a, b| (a.when, a.id.as_str()).cmp(&(b.when, b.id.as_str())));
    tests
}

/// Tells whether no service visit lies between two moments.
pub(super) fn same_side(visits: &[ServiceVisit], one: DateTime, other: DateTime) -> bool {
    visits.iter().all(|v| (one < v.when) == (other < v.when))
}

/// Returns those of an oven's tests that are in the mode of `test` with no service visit between, itself among them.
pub(super) fn on_one_side<'t>(
    tests: &[&'t ToastTest],
    oven: &Oven,
    test: &ToastTest,
) -> Vec<&'t ToastTest> {
    let alike = |t: &&&ToastTest| {
        t.setup.mode == test.setup.mode && same_side(&oven.visits, t.when, test.when)
    };
    tests.iter().filter(alike).copied().collect()
}

fn all_beside<'k>(records: &'k Records, test: &ToastTest) -> Vec<&'k ToastTest> {
    let mut all = scored_beside(records, test);
    all.retain(|other| other.id == test.id || tells(other));
    all
}

fn scored_beside<'k>(records: &'k Records, test: &ToastTest) -> Vec<&'k ToastTest> {
    let visits = records
        .oven(&test.setup.oven)
        .map_or(&[][..], |oven| &oven.visits);
    records
        .tests_of(&test.setup.oven)
        .into_iter()
        .filter(|other| {
            let counts = other.id == test.id || !test.is_check() && !other.is_check();
            let alike = other.setup.mode == test.setup.mode && other.scored() > 0;
            alike && counts && same_side(visits, other.when, test.when)
        })
        .collect()
}

/// Returns the finished bakes in the oven and mode of `test` with no service visit between, oldest first.
pub fn bakes_like<'k>(records: &'k Records, test: &ToastTest) -> Vec<&'k BakeLog> {
    let visits = records
        .oven(&test.setup.oven)
        .map_or(&[][..], |oven| &oven.visits);
    let mut bakes = records.bakes_of(&test.setup.oven);
    bakes.retain(|b| {
        let alike = b.mode == test.setup.mode && b.baked.is_some();
        alike && same_side(visits, b.started.civil(), test.when)
    });
    bakes
}

/// Returns the tests that say how an oven is now in one mode, oldest first: the newest scored one and those beside it.
pub fn tests_now<'k>(records: &'k Records, oven: &Oven, mode: Mode) -> Vec<&'k ToastTest> {
    newest_in(records, oven, mode).map_or_else(Vec::new, |newest| tests_beside(records, newest))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{model::ServiceVisit, workflow::kitchen::Kitchen};
    use jiff::ToSpan;

    #[test]
    fn only_tests_since_the_last_visit_count() {
        let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
        let oven = kitchen.find_oven("wall-oven").unwrap();
        let now = |mode| Pool::choose(&kitchen, oven, &Which::Now(mode));
        let pool = now(Mode::StillAir);
        let ids: Vec<_> = pool.tests.iter().map(|t| t.id.as_str()).collect();
        let since = [
            "2026-04-10-wall-oven",
            "2026-04-11-wall-oven",
            "2026-04-11-wall-oven-2",
        ];
        assert_eq!((ids.as_slice(), pool.remarks), (&since[..], Vec::new()));
        let fan = now(Mode::Fan);
        assert_eq!((fan.tests.len(), fan.remarks.len()), (1, 1));
        assert!(fan.remarks[0].warning().what.contains("2026-04-02"));
        let proofing = now(Mode::Proofing);
        assert_eq!((proofing.tests.len(), proofing.remarks.len()), (0, 0));
    }

    #[test]
    fn of_very_many_tests_the_nearest_count_and_it_is_said() {
        let (mut kitchen, _) = Kitchen::throwaway_copy().unwrap();
        let oven = kitchen.find_oven("wall-oven").unwrap().clone();
        let first = kitchen.find_test("2026-04-10-wall-oven").unwrap().clone();
        for day in 1..=20_i64 {
            let mut test = first.clone();
            test.when += (day * 24).hours();
            test.id = kitchen.fresh_test_id(&oven.id, test.when.date());
            kitchen.save_test(test).unwrap();
        }
        let pool = Pool::choose(&kitchen, &oven, &Which::Now(Mode::StillAir));
        let tests = &pool.tests;
        let slices: usize = tests.iter().map(ToastTest::scored).sum();
        assert!(
            slices <= MOST_SLICES && slices + first.scored() > MOST_SLICES,
            "{slices}"
        );
        assert!(tests.windows(2).all(|w| w[0].when <= w[1].when));
        assert_eq!(tests.last().unwrap().when, first.when + 480.hours());
        let all = 23;
        let (mode, kept) = (Mode::StillAir, tests.len());
        assert_eq!(pool.remarks, [Remark::LeftOut { mode, kept, all }]);
        let said = pool.remarks[0].warning().what;
        assert!(said.contains("of 23 toast tests"), "{said}");
        let beside = tests_beside(&kitchen, &first);
        assert!(
            beside.iter().any(|t| t.id == first.id),
            "the test itself stays"
        );
        assert!(beside.iter().all(|t| t.when <= first.when + 240.hours()));
    }

    #[test]
    fn a_test_before_the_visit_names_the_tests_since() {
        let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
        let oven = kitchen.find_oven("wall-oven").unwrap();
        let old = kitchen.find_test("2026-03-07-wall-oven").unwrap();
        let pool = Pool::choose(&kitchen, oven, &Which::Alone(old.id.clone()));
        assert_eq!(pool.tests.len(), 1);
        let said = pool.remarks[0].warning().to_string();
        assert!(
            said.contains("2026-04-02") && said.contains("2026-04-11"),
            "{said}"
        );
    }

    #[test]
    fn a_test_before_the_visit_is_pooled_with_its_own_time_only() {
        let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
        let oven = kitchen.find_oven("wall-oven").unwrap();
        let visit = oven.visits.first().unwrap().when;
        let before = kitchen
            .tests_of(&oven.id)
            .into_iter()
            .find(|t| t.setup.mode == Mode::StillAir && t.when < visit)
            .unwrap();
        let beside = tests_beside(&kitchen, before);
        assert!(beside.iter().any(|t| t.id == before.id));
        assert!(beside.iter().all(|t| t.when < visit));
    }

    #[test]
    fn a_test_in_the_morning_of_a_visit_stays_before_it() {
        let (mut kitchen, _) = Kitchen::throwaway_copy().unwrap();
        let mut oven = kitchen.find_oven("wall-oven").unwrap().clone();
        let morning = kitchen.find_test("2026-04-10-wall-oven").unwrap().clone();
        let day = morning.when.date();
        let mut afternoon = kitchen.find_test("2026-04-11-wall-oven").unwrap().clone();
        afternoon.when = day.at(16, 0, 0, 0);
        let morning = ToastTest {
            when: day.at(10, 0, 0, 0),
            ..morning
        };
        oven.visits.push(ServiceVisit {
            when: day.at(14, 0, 0, 0),
            what: "new element".to_owned(),
        });
        kitchen.save_oven(oven).unwrap();
        for test in [&morning, &afternoon] {
            kitchen.save_test(test.clone()).unwrap();
        }
        let ids = |test: &ToastTest| -> Vec<String> {
            let beside = tests_beside(&kitchen, test);
            beside.iter().map(|t| t.id.to_string()).collect()
        };
        assert_eq!(ids(&morning), ["2026-04-10-wall-oven"]);
        assert!(!ids(&afternoon).contains(&"2026-04-10-wall-oven".to_owned()));
    }
}
