use super::*;
use crate::model::{dough::Dough, id::DoughId};
use jiff::civil::date;

fn at(minutes: f64) -> Moment {
    let began: Moment = date(2026, 5, 1).at(9, 0, 0, 0).into();
    began + SignedDuration::from_secs_f64(minutes * 60.0)
}

fn dough() -> OwnDough {
    OwnDough {
        id: DoughId::new("rolls").unwrap(),
        name: "rolls".to_owned(),
        leaven: Dough::Yeast,
        known: Minutes(60.0),
        known_at: Celsius(24.0),
        grams: 500.0,
        rises: Vec::new(),
        note: String::new(),
    }
}

fn put_in(dough: &mut OwnDough, began: Moment) {
    dough.rises.push(RiseLog {
        started: began,
        oven: None,
        set: Celsius(24.0),
        air: Celsius(24.0),
        air_doubt: CelsiusDelta(0.0),
        start: Celsius(24.0),
        looks: Vec::new(),
        ended: None,
    });
}

/// The definition: in its own place and as warm, it takes its known time.
#[test]
fn without_a_look_it_takes_its_known_time() {
    let mut dough = dough();
    put_in(&mut dough, at(0.0));
    let now = rising_now(&dough, dough.rising().unwrap(), at(30.0)).unwrap();
    assert!((now.total.0.0 - 60.0).abs() < 0.1, "{now:?}");
    assert!((now.share - 0.5).abs() < 0.01 && (now.left.0 - 30.0).abs() < 0.1);
    assert!(now.total.1 < now.total.0 && now.total.0 < now.total.2);
}

/// Half grown after 40 min where 30 were expected: the rest is longer, but less than the eye alone would say (80 min).
#[test]
fn a_look_corrects_the_rest_and_narrows_it() {
    let mut dough = dough();
    put_in(&mut dough, at(0.0));
    let before = rising_now(&dough, dough.rising().unwrap(), at(40.0)).unwrap();
    look(&mut dough, Grown::Half, at(40.0)).unwrap();
    let after = rising_now(&dough, dough.rising().unwrap(), at(40.0)).unwrap();
    assert!((61.0..80.0).contains(&after.total.0.0), "{after:?}");
    let width = |n: &RisingNow| (n.total.2.0 / n.total.1.0).ln();
    assert!(width(&after) < width(&before));
    let less = look(&mut dough, Grown::Quarter, at(50.0)).unwrap_err();
    assert!(less.to_string().contains("grown by half"), "{less}");
    look(&mut dough, Grown::Doubled, at(76.0)).unwrap();
    let done = rising_now(&dough, dough.rising().unwrap(), at(76.0)).unwrap();
    assert!(done.left.0.abs() < 0.1, "{done:?}");
}

/// Doubled at the known hour and still so an hour later: the pace is that of the first time.
#[test]
fn the_same_step_again_teaches_nothing() {
    let mut dough = dough();
    put_in(&mut dough, at(0.0));
    for minutes in [60.0, 90.0, 120.0] {
        look(&mut dough, Grown::Doubled, at(minutes)).unwrap();
    }
    let now = rising_now(&dough, dough.rising().unwrap(), at(120.0)).unwrap();
    assert!((now.pace.factor - 1.0).abs() < 0.02, "{now:?}");
    take_out(&mut dough, at(121.0)).unwrap();
    let (pace, looked) = pace_of(&dough);
    assert!((pace.factor - 1.0).abs() < 0.02 && looked == 1, "{pace:?}");
}

/// Half grown after 3 min tells nothing; the same step again, after 40 min of the 30 expected, does.
#[test]
fn a_look_that_told_nothing_shuts_out_none_that_does() {
    let mut dough = dough();
    put_in(&mut dough, at(0.0));
    for minutes in [3.0, 40.0] {
        look(&mut dough, Grown::Half, at(minutes)).unwrap();
    }
    take_out(&mut dough, at(80.0)).unwrap();
    let (pace, looked) = pace_of(&dough);
    assert!(pace.factor < 0.95 && looked == 1, "{pace:?}");
}

/// In a refrigerator no time is told, and that it rises there is still known.
#[test]
fn a_cold_dough_has_no_time_and_is_not_forgotten() {
    let mut dough = dough();
    put_in(&mut dough, at(0.0));
    dough.rises[0].air = Celsius(4.0);
    let log = dough.rising().unwrap();
    assert_eq!(rising_now(&dough, log, at(600.0)), None);
    assert!((elapsed(log, at(600.0)).0 - 600.0).abs() < 1e-9);
}

/// Half grown after no time at all, or an eighth of it: the known hour stands until a look tells more.
#[test]
fn a_look_right_after_the_start_tells_no_pace() {
    for minutes in [0.0, 0.2, 7.0] {
        let mut dough = dough();
        put_in(&mut dough, at(0.0));
        look(&mut dough, Grown::Half, at(minutes)).unwrap();
        let now = |dough: &OwnDough, m| rising_now(dough, dough.rising().unwrap(), at(m));
        let told = now(&dough, minutes).unwrap();
        assert!(told.untold, "{told:?}");
        assert!((told.total.0.0 - 60.0).abs() < 0.1, "{told:?}");
        look(&mut dough, Grown::ThreeQuarters, at(36.0)).unwrap();
        let told = now(&dough, 36.0).unwrap();
        assert!(!told.untold && told.pace.factor > 1.1, "{told:?}");
        take_out(&mut dough, at(48.0)).unwrap();
        assert!(pace_of(&dough).0.factor < BEYOND);
    }
    // What takes five times as long as its known hour is no slower dough but another one.
    let mut slow = dough();
    put_in(&mut slow, at(0.0));
    look(&mut slow, Grown::Quarter, at(300.0)).unwrap();
    assert!(
        rising_now(&slow, slow.rising().unwrap(), at(300.0))
            .unwrap()
            .untold
    );
}

/// A dough that always takes 84 min for its known 60 is believed more with every rise.
#[test]
fn a_dough_teaches_its_own_pace() {
    let mut dough = dough();
    let mut told = vec![60.0];
    for day in 0..6 {
        let began = at(f64::from(day) * 1440.0);
        put_in(&mut dough, began);
        let out = at(f64::from(day) * 1440.0 + 84.0);
        look(&mut dough, Grown::Doubled, out).unwrap();
        take_out(&mut dough, out).unwrap();
        assert!(take_out(&mut dough, out).is_err(), "out is out");
        let mut next = dough.clone();
        put_in(&mut next, began);
        let now = rising_now(&next, next.rising().unwrap(), began).unwrap();
        told.push(now.total.0.0);
    }
    assert!(told.is_sorted(), "{told:?}");
    assert!((80.0..84.0).contains(&told[6]), "{told:?}");
}

#[test]
fn a_dough_forgotten_for_more_than_a_week_can_still_be_stored() {
    let (mut dough, later) = (dough(), at(9.0 * 1440.0));
    put_in(&mut dough, at(0.0));
    look(&mut dough, Grown::Doubled, later).unwrap();
    assert_eq!(take_out(&mut dough, later), Ok(LONGEST));
    let (mut kitchen, _) = crate::workflow::kitchen::Kitchen::throwaway_copy().unwrap();
    kitchen.save_dough(dough).unwrap();
}

#[test]
fn a_time_of_another_day_is_told_with_its_day() {
    let day = |day, hour| date(2026, 11, day).at(hour, 5, 0, 0).into();
    let plan = ReadyPlan {
        put_in: day(28, 20),
        take_out: day(29, 0),
        ready: day(30, 0),
        between: (day(29, 0), None),
        too_late_for: None,
    };
    let [first, rest] = plan.says(day(28, 19));
    assert_eq!(first, "Put it in at 20:05.");
    assert!(rest.starts_with("Take it out at 00:05 tomorrow and"));
    assert!(rest.ends_with("Ready at about 00:05 on Mon 30 Nov (00:05 tomorrow or later)."));
}

#[test]
fn it_is_ready_when_the_oven_is() {
    let mut dough = dough();
    put_in(&mut dough, at(0.0));
    let asked = request(&dough, dough.rising().unwrap(), Pace::as_known());
    let plan = ready_plan(&asked, at(600.0), Minutes(20.0)).unwrap();
    assert_eq!(plan.take_out, at(580.0));
    let whole = plan.ready.duration_since(plan.put_in).as_secs_f64() / 60.0;
    // the kitchen is cooler than 24 C, so it takes a little more than the known hour
    assert!((60.0..66.0).contains(&whole), "{whole}");
    assert!(ready_plan(&asked, at(600.0), Minutes(600.0)).is_none());
    assert_eq!(plan.no_earlier_than(at(100.0)), plan);
    // A dough put cold into a warm box is cooler than the box when it comes out of it, and gains nothing by that.
    let cold = RiseRequest {
        at: Celsius(30.0),
        start: Some(Start {
            temperature: Celsius(10.0),
            grams: 500.0,
        }),
        ..asked
    };
    let plan_of_cold = ready_plan(&cold, at(600.0), Minutes(20.0)).unwrap();
    let whole = plan_of_cold
        .ready
        .duration_since(plan_of_cold.put_in)
        .as_secs_f64()
        / 60.0;
    let inside = minutes(&cold).unwrap().0;
    assert!(whole > inside && whole < 1.5 * inside, "{whole} {inside}");
    // half an hour before it is wanted, only a later hour can be promised
    let late = plan.no_earlier_than(at(570.0));
    assert_eq!(late.put_in, at(570.0));
    assert_eq!(late.too_late_for, Some(plan.ready));
    assert_eq!(
        late.ready.duration_since(late.put_in),
        plan.ready.duration_since(plan.put_in)
    );
}
