//! The life of an oven: what happened when, how evenness, hottest place and offset went, when to test again.

mod evenness;

pub use evenness::{EvennessPoint, Mapped, Progress};

use super::{
    catalogue::bake_name,
    kitchen::Records,
    observe::tells,
    pool::changed_since,
    readings::{sittings, summary},
};
use crate::{
    field::{self, Range},
    model::{Mode, Oven, text::counted, worded::worded},
    store::{Figures, cached, keep_cached},
    units::CelsiusDelta,
};
use jiff::{
    ToSpan,
    civil::{Date, DateTime},
};

use std::path::Path;

/// Months after which an oven is tested again though nothing happened (common practice, no source).
const SEASON_MONTHS: i64 = 6;
/// Days in a year, leap years counted in.
const DAYS_IN_A_YEAR: f64 = 365.25;
/// Level of the offsets' intervals, as everywhere in plans.
const LEVEL: f64 = 0.9;

worded! {
    /// What kind of thing happened.
    #[derive(PartialOrd, Ord)]
    pub enum Happening [words] {
        /// A service visit.
        Visit: "service visit";
        /// A toast test.
        Test: "toast test";
        /// Readings of the air.
        Readings: "readings";
        /// A bake.
        Bake: "bake";
    }
}

/// One thing that happened.
#[derive(Debug, Clone, PartialEq)]
pub struct Moment {
    /// When, local time.
    pub when: DateTime,
    /// What kind.
    pub what: Happening,
    /// In words.
    pub words: String,
}

/// How far the oven was from its dial in one sitting.
#[derive(Debug, Clone, PartialEq)]
pub struct OffsetPoint {
    /// When.
    pub when: DateTime,
    /// How it heated.
    pub mode: Mode,
    /// The setting, C.
    pub dial_c: f64,
    /// True air less dial, C, the thermometer's own error included.
    pub offset_c: Range,
}

/// When to test again.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TestAgain {
    /// From this day on.
    pub from: Date,
    /// Whether that day has come.
    pub due: bool,
    /// Why.
    pub why: String,
}

impl TestAgain {
    /// Says in a few words whether anything is due.
    pub fn verdict(&self) -> String {
        if self.due {
            "Time to test again.".to_owned()
        } else {
            format!("Nothing is due before {}.", self.from)
        }
    }

    /// Says when, and why.
    pub fn sentence(&self) -> String {
        let when = if self.due {
            "now".to_owned()
        } else {
            format!("from {} on", self.from)
        };
        format!("Test again {when}: {}", self.why)
    }
}

/// The life of an oven.
#[derive(Debug, Clone, PartialEq)]
pub struct History {
    /// Everything that happened, oldest first.
    pub moments: Vec<Moment>,
    /// Every toast test mapped by itself, oldest first.
    pub mapped: Mapped,
    /// Offsets, oldest first.
    pub offsets: Vec<OffsetPoint>,
    /// When to test again.
    pub again: TestAgain,
}

/// Where maps of single tests are taken from and kept, and who is told how far the work is.
pub struct Desk<'d> {
    /// The data folder; nothing is kept without one.
    pub folder: Option<&'d Path>,
    /// What was told before.
    pub known: &'d Mapped,
    /// Is told how many of how many tests are mapped.
    pub progress: &'d Progress<'d>,
}

/// Tells the life of an oven up to `today`; tests that are known or kept as they are now are not mapped again.
pub fn history(kitchen: &Records, oven: &Oven, today: Date, desk: &Desk<'_>) -> History {
    let name = format!("history-{}", oven.id);
    let before = desk.folder.map_or_else(Figures::new, |f| cached(f, &name));
    let mut kept = before.clone();
    let tests = kitchen.tests_of(&oven.id);
    let mapped = desk
        .known
        .brought_up_to((oven, &tests), &mut kept, desk.progress);
    if let Some(folder) = desk.folder.filter(|_| kept != before) {
        keep_cached(folder, &name, kept);
    }
    History {
        moments: moments(kitchen, oven),
        mapped,
        offsets: offsets(kitchen, oven),
        again: test_again(kitchen, oven, None, today),
    }
}

fn moments(kitchen: &Records, oven: &Oven) -> Vec<Moment> {
    let unit = oven.dial.unit;
    let visits = oven.visits.iter().map(|v| Moment {
        when: v.when,
        what: Happening::Visit,
        words: v.what.clone(),
    });
    let tests = kitchen.tests_of(&oven.id).into_iter().map(|t| Moment {
        when: t.when,
        what: Happening::Test,
        words: format!(
            "{}, dial at {}, {} of {} slices scored",
            t.setup.mode.words(),
            unit.show(t.setup.dial),
            t.scored(),
            t.slices.len()
        ),
    });
    let bakes = kitchen.bakes_of(&oven.id).into_iter().map(|b| Moment {
        when: b.started.civil(),
        what: Happening::Bake,
        words: {
            let kind = bake_name(&b.plan);
            let took = b
                .baked
                .map_or_else(|| "not finished".to_owned(), |minutes| minutes.to_string());
            format!("{kind}, {}, {took}", b.mode.words())
        },
    });
    let rounds = kitchen.rounds_of(&oven.id).into_iter().filter_map(|r| {
        let first = r.readings.first()?;
        Some(Moment {
            when: first.at.civil(),
            what: Happening::Readings,
            words: format!(
                "{}, {}",
                r.mode.words(),
                counted(r.readings.len(), "reading")
            ),
        })
    });
    let mut all: Vec<Moment> = visits.chain(tests).chain(bakes).chain(rounds).collect();
    all.sort_by_key(|m| (m.when, m.what));
    all
}

fn offsets(kitchen: &Records, oven: &Oven) -> Vec<OffsetPoint> {
    let mut all: Vec<OffsetPoint> = oven
        .modes
        .iter()
        .flat_map(|&mode| {
            sittings(kitchen, oven, mode)
                .into_iter()
                .map(move |s| (mode, s))
        })
        .filter_map(|(mode, sat)| {
            let offset = sat.offset()?;
            let (lo, hi) = offset.interval(LEVEL);
            Some(OffsetPoint {
                when: sat.when,
                mode,
                dial_c: sat.figures.dial.0,
                offset_c: Range::new(offset.value, lo, hi),
            })
        })
        .collect();
    all.sort_by_key(|p| p.when);
    all
}

/// Says when to test again, an oven as a whole or in one mode: after a visit, when readings drift, else by season.
pub fn test_again(kitchen: &Records, oven: &Oven, mode: Option<Mode>, today: Date) -> TestAgain {
    let mut tests = kitchen.tests_of(&oven.id);
    tests.retain(|t| t.scored() > 0 && !t.is_check() && mode.is_none_or(|m| m == t.setup.mode));
    let any = !tests.is_empty();
    let newest = tests
        .into_iter()
        .rfind(|t| tells(t) && t.scored() >= field::FEWEST);
    let how = mode.map_or_else(String::new, |m| format!(" {}", m.phrase()));
    let Some(newest) = newest else {
        return TestAgain {
            from: today,
            due: true,
            why: if any {
                format!("its tests{how} give no map yet")
            } else {
                format!("it was never tested{how}")
            },
        };
    };
    if let Some(visit) = oven
        .visits
        .iter()
        .filter(|v| v.when > newest.when)
        .max_by_key(|v| v.when)
    {
        return TestAgain {
            from: visit.when.date().min(today),
            due: true,
            why: format!(
                "the service visit of {} came after the newest test{how} and may have changed the oven",
                visit.moment()
            ),
        };
    }
    if let Some(day) = changed_since(kitchen, newest) {
        return TestAgain {
            from: day.min(today),
            due: true,
            why: format!("the quick check of {day} found a change"),
        };
    }
    let drifting = summary(kitchen, oven, newest.setup.mode)
        .drift
        .filter(|d| d.is_told_since(newest.when));
    if let Some(drift) = drifting {
        let year = CelsiusDelta(drift.slope.value * DAYS_IN_A_YEAR);
        return TestAgain {
            from: today,
            due: true,
            why: format!(
                "the thermometer's offset moves by {} a year",
                oven.dial.unit.show_delta(year)
            ),
        };
    }
    let day = newest.when.date();
    let from = day.checked_add(SEASON_MONTHS.months()).unwrap_or(today);
    TestAgain {
        from,
        due: from <= today,
        why: format!(
            "the newest test{how} is of {day}; test every {SEASON_MONTHS} months, and after a visit or a move"
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        model::{ServiceVisit, TestId},
        workflow::{
            kitchen::Kitchen,
            map::map_of,
            pool::{Pool, Which},
        },
    };
    use jiff::civil::date;

    /// Nothing is known, nothing kept, nobody told.
    fn desk() -> Desk<'static> {
        static NOTHING: std::sync::LazyLock<Mapped> = std::sync::LazyLock::new(Mapped::default);
        Desk {
            folder: None,
            known: &NOTHING,
            progress: &|_, _| {},
        }
    }

    #[test]
    fn the_demo_ovens_life_is_told_in_order_and_its_corner_cools_at_the_visit() {
        let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
        let oven = kitchen.find_oven("wall-oven").unwrap();
        let life = history(&kitchen, oven, date(2026, 4, 20), &desk());
        assert!(life.moments.windows(2).all(|w| w[0].when <= w[1].when));
        let of = |what| life.moments.iter().filter(|m| m.what == what).count();
        assert_eq!(
            (
                of(Happening::Visit),
                of(Happening::Test),
                of(Happening::Bake)
            ),
            (1, 5, 1)
        );
        let visit = oven.visits[0].when;
        let worst = |after: bool| {
            life.mapped
                .points()
                .filter(|p| p.mode == Mode::StillAir && (p.when > visit) == after)
                .map(|p| p.hottest_c.value)
                .fold(0.0, f64::max)
        };
        assert!(
            worst(false) > worst(true) + 2.0,
            "{} {}",
            worst(false),
            worst(true)
        );
        assert!(!life.again.due, "{:?}", life.again);
        assert_eq!(life.again.from, date(2026, 10, 11));
    }

    /// A test's map by itself and its line here are one figure.
    #[test]
    fn a_test_is_as_hot_as_on_its_own_map() {
        let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
        let oven = kitchen.find_oven("wall-oven").unwrap();
        let life = history(&kitchen, oven, date(2026, 4, 20), &desk());
        let mut seen = 0;
        for point in life.mapped.points().filter(|p| p.hottest_c.lo > 4.0) {
            let alone = Which::Alone(TestId::new(&point.test).unwrap());
            let view = map_of(&Pool::choose(&kitchen, oven, &alone), (12, 9)).unwrap();
            let on = view.zones.iter().filter(|z| z.rack == point.rack);
            let peak = on
                .map(|z| z.peak_c)
                .max_by(|a, b| a.value.total_cmp(&b.value));
            assert_eq!(peak, Some(point.hottest_c), "{} {}", point.test, point.rack);
            seen += 1;
        }
        assert!(seen >= 2, "{seen}");
        let basis = life.mapped.basis(Mode::StillAir).unwrap();
        let (before, since) = basis.split_once("; from 2026-04-10 on, on ").unwrap();
        assert!(
            before.contains("published") && since.contains("two dial"),
            "{basis}"
        );
    }

    #[test]
    fn a_visit_or_half_a_year_makes_a_test_due() {
        let (mut kitchen, _) = Kitchen::throwaway_copy().unwrap();
        let mut oven = kitchen.find_oven("wall-oven").unwrap().clone();
        let late = history(&kitchen, &oven, date(2026, 11, 1), &desk()).again;
        assert!(late.due && late.why.contains("6 months"), "{late:?}");
        oven.visits.push(ServiceVisit {
            when: date(2026, 4, 15).at(10, 0, 0, 0),
            what: "new gasket".to_owned(),
        });
        kitchen.save_oven(oven.clone()).unwrap();
        let again = history(&kitchen, &oven, date(2026, 4, 20), &desk()).again;
        assert!(again.due && again.why.contains("2026-04-15"), "{again:?}");
    }
}
