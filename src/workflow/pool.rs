//! Which toast tests belong into one map.

use super::kitchen::Kitchen;
use crate::model::{BakeLog, Mode, Oven, ToastTest, Warning};

/// Scored slices in one map at most. By then slice-to-slice scatter hardly counts any more beside what the oven
/// itself does from month to month, and the work grows with their third power.
const MOST_SLICES: usize = 240;

/// Returns the tests to pool with `test`, oldest first, itself among them: same oven, same mode, at
/// least one slice scored, and no service visit between them and it; of very many those nearest in time.
pub fn tests_beside<'k>(kitchen: &'k Kitchen, test: &ToastTest) -> Vec<&'k ToastTest> {
    nearest_to(test, all_beside(kitchen, test))
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

fn all_beside<'k>(kitchen: &'k Kitchen, test: &ToastTest) -> Vec<&'k ToastTest> {
    let visits = kitchen
        .oven(&test.setup.oven)
        .map_or(&[][..], |oven| &oven.visits);
    let same_side = |other: &ToastTest| {
        visits
            .iter()
            .all(|v| (other.when < v.when) == (test.when < v.when))
    };
    kitchen
        .tests_of(&test.setup.oven)
        .into_iter()
        .filter(|other| {
            other.setup.mode == test.setup.mode && other.scored() > 0 && same_side(other)
        })
        .collect()
}

/// Returns the bakes that were folded into the map of `test`: same oven, same mode, no service visit between.
pub fn bakes_beside<'k>(kitchen: &'k Kitchen, test: &ToastTest) -> Vec<&'k BakeLog> {
    let mut bakes = bakes_like(kitchen, test);
    bakes.retain(|b| b.in_map);
    bakes
}

/// Returns the finished bakes in the oven and mode of `test` with no service visit between, oldest first.
pub fn bakes_like<'k>(kitchen: &'k Kitchen, test: &ToastTest) -> Vec<&'k BakeLog> {
    let visits = kitchen
        .oven(&test.setup.oven)
        .map_or(&[][..], |oven| &oven.visits);
    let same_side = |bake: &BakeLog| {
        visits
            .iter()
            .all(|v| (bake.started < v.when) == (test.when < v.when))
    };
    let mut bakes = kitchen.bakes_of(&test.setup.oven);
    bakes.retain(|b| b.mode == test.setup.mode && b.baked.is_some() && same_side(b));
    bakes
}

/// Returns the tests that say how an oven is now in one mode, oldest first, and what to remark.
///
/// They are the newest scored test and those beside it; remarks say when a service visit has come
/// since, for it may have changed the oven, and when older tests are left out.
pub fn tests_now<'k>(
    kitchen: &'k Kitchen,
    oven: &Oven,
    mode: Mode,
) -> (Vec<&'k ToastTest>, Vec<Warning>) {
    let newest = kitchen
        .tests_of(&oven.id)
        .into_iter()
        .rfind(|t| t.setup.mode == mode && t.scored() > 0);
    let Some(newest) = newest else {
        return (Vec::new(), Vec::new());
    };
    let last = oven.visits.iter().max_by_key(|v| v.when);
    let warning = last.filter(|visit| newest.when < visit.when).map(|visit| {
        Warning::new(
            format!(
                "every test {} is older than the service visit of {}",
                mode.phrase(),
                visit.moment()
            ),
            "test again: the visit may have changed the oven",
        )
    });
    let tests = tests_beside(kitchen, newest);
    let all = all_beside(kitchen, newest).len();
    let left_out = (tests.len() < all).then(|| {
        Warning::new(
            format!(
                "the {} newest of {all} toast tests {} are in the map, the older ones are not",
                tests.len(),
                mode.phrase()
            ),
            "compare an older test with a new one to see what changed",
        )
    });
    (tests, warning.into_iter().chain(left_out).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::ServiceVisit;
    use jiff::ToSpan;

    #[test]
    fn only_tests_since_the_last_visit_count() {
        let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
        let oven = kitchen.find_oven("wall-oven").unwrap();
        let (tests, warnings) = tests_now(&kitchen, oven, Mode::StillAir);
        let ids: Vec<_> = tests.iter().map(|t| t.id.as_str()).collect();
        let since = [
            "2026-04-10-wall-oven",
            "2026-04-11-wall-oven",
            "2026-04-11-wall-oven-2",
        ];
        assert_eq!((ids.as_slice(), warnings), (&since[..], Vec::new()));
        let (tests, warnings) = tests_now(&kitchen, oven, Mode::Fan);
        assert_eq!((tests.len(), warnings.len()), (1, 1));
        assert!(warnings[0].what.contains("2026-04-02"));
        let (tests, warnings) = tests_now(&kitchen, oven, Mode::Proofing);
        assert_eq!((tests.len(), warnings.len()), (0, 0));
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
        let (tests, warnings) = tests_now(&kitchen, &oven, Mode::StillAir);
        let slices: usize = tests.iter().map(|t| t.scored()).sum();
        assert!(
            slices <= MOST_SLICES && slices + first.scored() > MOST_SLICES,
            "{slices}"
        );
        assert!(tests.windows(2).all(|w| w[0].when <= w[1].when));
        assert_eq!(tests.last().unwrap().when, first.when + 480.hours());
        assert!(
            warnings[0].what.contains("of 23 toast tests"),
            "{warnings:?}"
        );
        let beside = tests_beside(&kitchen, &first);
        assert!(
            beside.iter().any(|t| t.id == first.id),
            "the test itself stays"
        );
        assert!(beside.iter().all(|t| t.when <= first.when + 240.hours()));
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
