use super::*;
use crate::{
    compare::Verdict,
    model::{Gravity, Mode, SensitivitySource, Shade, Surface},
    units::Minutes,
    workflow::{kitchen::Kitchen, samples::read_samples},
};
use jiff::ToSpan;
use std::fmt::Write as _;

const BEFORE: &str = "2026-03-07-wall-oven";
const AFTER: &str = "2026-04-10-wall-oven";
const AGAIN: &str = "2026-04-11-wall-oven";
const GRID: (usize, usize) = (12, 9);

fn demo() -> Kitchen {
    Kitchen::throwaway_copy().unwrap().0
}

fn compared(
    kitchen: &Kitchen,
    before: &[&str],
    after: &[&str],
) -> Result<CompareView, CompareTestsError> {
    let tests = |ids: &[&str]| -> Vec<ToastTest> {
        let found = ids.iter().map(|id| kitchen.find_test(id).unwrap().clone());
        found.collect()
    };
    of(kitchen, &tests(before), &tests(after))
}

fn of(
    kitchen: &Kitchen,
    before: &[ToastTest],
    after: &[ToastTest],
) -> Result<CompareView, CompareTestsError> {
    let (b, a): (Vec<&ToastTest>, Vec<&ToastTest>) =
        (before.iter().collect(), after.iter().collect());
    let oven = |tests: &[&ToastTest]| kitchen.find_oven(tests[0].setup.oven.as_str()).unwrap();
    let group = |tests| TestGroup {
        oven: oven(tests),
        tests,
    };
    compare_tests(group(&b), group(&a), GRID)
}

fn said(view: &CompareView) -> String {
    let warnings: Vec<String> = view.warnings.iter().map(ToString::to_string).collect();
    warnings.join("\n")
}

#[test]
fn the_service_visit_of_the_demo_reads_right() {
    let view = compared(&demo(), &[BEFORE], &[AFTER, AGAIN]).unwrap();
    assert!(!view.is_apart());
    let verdict = |rack: u8| view.rack(rack).unwrap().verdict;
    // The invented visit halves the hot back-left corner of racks 4 and 5; rack 2 was even before.
    assert_eq!(
        (verdict(2), verdict(4), verdict(5)),
        (Verdict::NoChange, Verdict::Better, Verdict::Better)
    );
    let five = view.rack(5).unwrap();
    let sd = five.sd.change;
    assert!(
        sd.lo < sd.value && sd.value < sd.hi && sd.hi < 0.0,
        "{sd:?}"
    );
    assert!(five.spread.change.hi < 0.0);
    let cooler = view
        .findings
        .iter()
        .find(|f| f.contains("back-left probably browns less"))
        .unwrap();
    assert!(
        cooler.contains("Rack 5") && cooler.contains(" F cooler"),
        "{cooler}"
    );
    assert!(
        view.findings[0].starts_with("Rack 2: evenness: ")
            && !view.findings[0].contains("evenness: better"),
        "{:?}",
        view.findings
    );
    assert!(view.warnings.is_empty(), "{}", said(&view));
}

#[test]
fn swapping_the_sides_turns_the_verdict() {
    let kitchen = demo();
    let there = compared(&kitchen, &[BEFORE], &[AFTER, AGAIN]).unwrap();
    let back = compared(&kitchen, &[AFTER, AGAIN], &[BEFORE]).unwrap();
    let five = back.rack(5).unwrap();
    assert_eq!(five.verdict, Verdict::Worse);
    let sum = five.more_even + there.rack(5).unwrap().more_even;
    assert!((sum - 1.0).abs() < 1e-3, "{sum}");
    assert!(said(&back).contains("name the earlier tests first"));
}

#[test]
fn the_same_oven_twice_is_no_change() {
    let view = compared(&demo(), &[AFTER], &[AGAIN]).unwrap();
    assert!(
        view.comparison
            .racks
            .iter()
            .all(|r| r.verdict == Verdict::NoChange)
    );
    assert!(view.comparison.racks.iter().all(|r| r.zones.is_empty()));
    assert!(
        view.findings
            .iter()
            .any(|f| f.contains("shown nine times in ten"))
    );
}

#[test]
fn a_test_pulled_later_is_level_and_not_pattern() {
    let kitchen = demo();
    let before = kitchen.find_test(AFTER).unwrap().clone();
    let mut after = kitchen.find_test(AGAIN).unwrap().clone();
    for slice in &mut after.slices {
        if let crate::model::Reading::ByEye(shade) = slice.reading {
            let darker = Shade::from_half_steps((shade.half_steps() * 5 / 4).min(15)).unwrap();
            slice.reading = crate::model::Reading::ByEye(darker);
        }
    }
    let view = of(&kitchen, &[before], &[after]).unwrap();
    for rack in &view.comparison.racks {
        assert!(rack.level.change.lo > 0.3, "{:?}", rack.level.change);
        assert_eq!(rack.verdict, Verdict::NoChange);
        // The plain paired test sees the level, and so it should.
        assert!(rack.paired.unwrap().p < 0.01);
    }
}

#[test]
fn a_step_alike_on_every_slice_is_neither_better_nor_worse() {
    let kitchen = demo();
    let before = kitchen.find_test(BEFORE).unwrap().clone();
    let mut lighter = kitchen.find_test(BEFORE).unwrap().clone();
    lighter.id = TestId::new("one-step-lighter").unwrap();
    let mut moved = 0;
    for slice in &mut lighter.slices {
        if let crate::model::Reading::ByEye(shade) = slice.reading {
            let step = Shade::from_half_steps(shade.half_steps() - 2).unwrap();
            slice.reading = crate::model::Reading::ByEye(step);
            moved += 1;
        }
    }
    assert!(moved >= 30, "{moved}");
    for (one, other) in [(&before, &lighter), (&lighter, &before)] {
        let view = of(
            &kitchen,
            std::slice::from_ref(one),
            std::slice::from_ref(other),
        )
        .unwrap();
        assert!(!view.is_apart());
        for rack in &view.comparison.racks {
            assert_eq!(rack.verdict, Verdict::NoChange, "rack {}", rack.rack);
            assert!((0.1..0.9).contains(&rack.more_even), "{}", rack.more_even);
        }
        assert!(
            view.findings.iter().all(|f| !f.contains("  ")),
            "{:?}",
            view.findings
        );
        // By a factor alone the strong pattern of position 5 would seem to have changed.
        assert!(view.rack(5).unwrap().hangs_on_level);
        assert!(
            view.findings
                .iter()
                .any(|f| f.starts_with("Rack 5") && f.contains("Toast both to the same shade")),
            "{:?}",
            view.findings
        );
    }
}

#[test]
fn what_stands_against_it_is_named() {
    let kitchen = demo();
    let before = kitchen.find_test(BEFORE).unwrap().clone();
    let mut after = kitchen.find_test(AFTER).unwrap().clone();
    after.setup.mode = Mode::Fan;
    after.setup.dial = Celsius(162.8);
    after.setup.racks = vec![2, 4];
    after.slices.retain(|s| s.rack != 5);
    after.minutes = Some(Minutes(12.0));
    after.bread.loaf = "rye".to_owned();
    after.bread.surface = Surface::Sheet;
    after.bread.untoasted_lightness = Some(78.0);
    after.when = jiff::civil::date(2027, 9, 1).at(9, 0, 0, 0);
    for slice in &mut after.slices {
        slice.place.x.0 += 5.0;
    }
    after.slices[0].reading = crate::model::Reading::ByEye(Shade::whole(9).unwrap());
    let view = of(&kitchen, &[before], &[after]).unwrap();
    let said = said(&view);
    for what in [
        "without a fan, after with the fan",
        "dial at 350 F, after 325 F",
        "on racks 2, 4 and 5, after on racks 2 and 4;",
        "9.5 minutes, after 12.0",
        "white sandwich bread, after rye",
        "on the bare rack, after on a sheet",
        "lightness 84 before and 78 after",
        "days lie between",
        "did not lie in the same places",
        "position 5 was tested before only",
        "after: 1 of 12 slices on rack 2 are so dark",
    ] {
        assert!(said.contains(what), "{what}:\n{said}");
    }
    assert!(view.is_apart());
    assert!(view.comparison.racks.iter().all(|r| r.paired.is_none()));
}

/// The first of each side agree, the second of one does not: half of that side is of another setting.
#[test]
fn every_dial_setting_of_a_side_is_named() {
    let kitchen = demo();
    let test = |id: &str| kitchen.find_test(id).unwrap().clone();
    let mut lower = test(AGAIN);
    lower.setup.dial = Celsius(162.8);
    let view = of(&kitchen, &[test(BEFORE)], &[test(AFTER), lower]).unwrap();
    let said = said(&view);
    assert!(
        said.contains("dial at 350 F, after 325 F, or 350 F"),
        "{said}"
    );
    assert_eq!(view.warnings[0].gravity, Gravity::Blurs);
}

#[test]
fn two_ovens_are_compared_by_their_figures() {
    let view = compared(&demo(), &[BEFORE], &["2026-03-15-counter-oven"]).unwrap();
    let said = said(&view);
    assert!(
        said.contains("two ovens") && said.contains("wall to wall"),
        "{said}"
    );
    assert!(view.is_apart() && view.rack(2).is_some());
}

#[test]
fn groups_that_cannot_be_compared_are_refused() {
    let kitchen = demo();
    let refused = |before: &[&str], after: &[&str]| {
        compared(&kitchen, before, after).unwrap_err().to_string()
    };
    assert!(refused(&[BEFORE], &[BEFORE]).contains("both sides"));
    assert!(refused(&[BEFORE, "2026-03-08-wall-oven"], &[AFTER]).contains("different modes"));
    assert!(refused(&[BEFORE, "2026-03-15-counter-oven"], &[AFTER]).contains("belongs to oven"));
    let samples = |rack: u8| {
        let mut text = "rack,x_cm,y_cm,shade\n".to_owned();
        for i in 0..8 {
            let (x, y) = (10 + 10 * (i % 4), 10 + 20 * (i / 4));
            let _ = writeln!(text, "{rack},{x},{y},4");
        }
        read_samples(&text, 60.0, 45.0).unwrap()
    };
    let said = compare_samples(&samples(2), &samples(3), (60.0, 45.0), GRID).unwrap_err();
    assert!(
        said.to_string().contains("rack 2, after on rack 3"),
        "{said}"
    );
}

#[test]
fn of_very_many_tests_those_nearest_to_the_other_side_count_and_it_is_said() {
    let kitchen = demo();
    let before = [kitchen.find_test(BEFORE).unwrap().clone()];
    let newest = kitchen.find_test(AFTER).unwrap();
    let after: Vec<ToastTest> = (0..12_i64)
        .map(|day| {
            let mut test = newest.clone();
            test.when += (24 * day).hours();
            test.id = TestId::new(&format!("after-{day}")).unwrap();
            test
        })
        .collect();
    let view = of(&kitchen, &before, &after).unwrap();
    let told = "of the 12 tests after only the 6 nearest in time";
    assert!(said(&view).contains(told), "{}", said(&view));
    let few = of(&kitchen, &before, &after[..6]).unwrap();
    assert_eq!(view.comparison, few.comparison);
}

/// With a visit between, either stands for those beside it; without one, whatever its mode, just for itself.
#[test]
fn without_a_visit_between_just_the_tests_named_count() {
    let mut kitchen = demo();
    let mut fan = kitchen.find_test("2026-03-08-wall-oven").unwrap().clone();
    fan.when = jiff::civil::date(2026, 4, 20).at(10, 0, 0, 0);
    fan.id = TestId::new("2026-04-20-wall-oven").unwrap();
    kitchen.save_test(fan).unwrap();
    let count = |before: &str, after: &str| {
        let ids = [before, after].map(|id| [TestId::new(id).unwrap()]);
        let (before, after) = sides(&kitchen, (&ids[0], &ids[1]), Pooling::Beside);
        (before.len(), after.len())
    };
    assert_eq!(count(AFTER, "2026-04-20-wall-oven"), (1, 1));
    assert_eq!(count(AFTER, "2026-03-15-counter-oven"), (1, 1));
    assert_eq!(count(BEFORE, AFTER), (1, 3));
}

#[test]
fn a_seal_that_was_removed_moves_no_oven() {
    for (what, moved) in [
        ("door seal removed and replaced", false),
        ("Moved to the other wall", true),
    ] {
        let mut kitchen = demo();
        let mut oven = kitchen.find_oven("wall-oven").unwrap().clone();
        oven.visits[0].what = what.to_owned();
        kitchen.save_oven(oven).unwrap();
        let said = said(&compared(&kitchen, &[BEFORE], &[AFTER]).unwrap());
        assert_eq!(said.contains("the oven was moved"), moved, "{what}: {said}");
    }
}

/// The visit may have changed the air as much as the dial did.
#[test]
fn two_dial_settings_either_side_of_a_visit_tell_no_sensitivity() {
    let kitchen = demo();
    let before = [kitchen.find_test(BEFORE).unwrap().clone()];
    let mut after = kitchen.find_test(AFTER).unwrap().clone();
    after.setup.dial = Celsius(190.6);
    let source = |tests: &[ToastTest]| of(&kitchen, &before, tests).unwrap().sensitivity.source;
    assert_eq!(source(&[after.clone()]), SensitivitySource::Default);
    let again = kitchen.find_test(AGAIN).unwrap().clone();
    assert_eq!(source(&[after, again]), SensitivitySource::TwoDials);
}

#[test]
fn one_state_has_one_word_wherever_it_is_said() {
    let mut view = compared(&demo(), &[BEFORE], &[AFTER]).unwrap();
    view.comparison.racks.truncate(1);
    for (more_even, word) in [
        (0.982, "probably better"),
        (0.85, "probably better"),
        (0.3, "perhaps worse"),
        (0.45, "can't tell yet"),
    ] {
        let rack = &mut view.comparison.racks[0];
        (rack.more_even, rack.verdict) = (more_even, Verdict::NoChange);
        assert_eq!(state_words(rack), word);
        let found = findings::findings(&view);
        assert!(
            found[0].starts_with(&format!("Rack 2: evenness: {word}: ")),
            "{found:?}"
        );
        let said = view.verdict(true).to_lowercase();
        assert!(said.contains(word), "{said}");
    }
}

#[test]
fn few_places_are_remarked_on_once_with_what_can_still_be_done() {
    let kitchen = demo();
    let mut tests = [BEFORE, AFTER].map(|id| {
        let mut test = kitchen.find_test(id).unwrap().clone();
        let mut laid = [0; 8];
        test.slices.retain(|s| {
            laid[usize::from(s.rack)] += 1;
            laid[usize::from(s.rack)] <= 6
        });
        test
    });
    let remarks = |tests: &[ToastTest; 2]| -> Vec<String> {
        let view = of(&kitchen, &tests[..1], &tests[1..]).unwrap();
        let all = view.warnings.iter().map(ToString::to_string);
        all.filter(|w| w.contains("in only")).collect()
    };
    let said = remarks(&tests);
    let once =
        said.len() == 1 && said[0].starts_with("before and after: rack 2 is scored in only 6");
    assert!(
        once && said[0].contains("lay out more next time"),
        "{said:?}"
    );
    let mut left = tests[0].slices[0];
    left.reading = crate::model::Reading::Unscored;
    for test in &mut tests {
        test.slices.push(left);
    }
    let said = remarks(&tests);
    let rest = said.iter().find(|w| w.contains("score the rest"));
    assert!(
        rest.is_some_and(|w| w.contains("rack 2 is") && !w.contains("rack 4")),
        "{said:?}"
    );
}

#[test]
fn two_probabilities_are_told_where_the_level_decides() {
    let view = compared(&demo(), &[BEFORE], &[AFTER]).unwrap();
    let mut rack = view.rack(4).unwrap().clone();
    let mut words = |ways| {
        rack.more_even_ways = ways;
        more_even_words(&rack)
    };
    assert_eq!(words((0.976, 0.304)), "30 to 97.6 %");
    assert_eq!(words((0.62, 0.618)), "62 %");
    assert_eq!(words((0.9995, 0.9999)), "more than 99.9 %");
    assert_eq!(words((0.0001, 0.03)), "less than 0.1 to 3.0 %");
}
