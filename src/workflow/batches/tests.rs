use super::*;
use crate::{
    model::Tray,
    planner::door::DoorModel,
    units::Centimetres,
    workflow::{catalogue::bake_kind, kitchen::Kitchen, readings::door_of},
};

fn request(trays: usize, at_once: usize) -> DayRequest {
    let kind = bake_kind("thin-cookie").unwrap().clone();
    let tray = Tray::new(Centimetres(33.0), Centimetres(24.0), 3, 2);
    DayRequest {
        load: PlanRequest {
            trays: at_once,
            ..PlanRequest::of(kind, Mode::StillAir, tray)
        },
        trays,
        least_even: None,
    }
}

fn wall(kitchen: &Kitchen) -> (Ground, Told) {
    let oven = kitchen.find_oven("wall-oven").unwrap().clone();
    let ground = ground_of_oven(kitchen, &oven, Some(Mode::StillAir), GRID).unwrap();
    let told = Told::look_up(kitchen, &ground, &request(1, 1).load.kind);
    (ground, told)
}

#[test]
fn six_trays_two_at_a_time_are_three_loads_with_the_plans_own_door_between() {
    let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let (ground, told) = wall(&kitchen);
    let day = day_in(&ground, &told, &request(6, 2)).unwrap();
    let trays: Vec<usize> = day.batches.iter().flat_map(|b| b.trays.clone()).collect();
    assert_eq!(trays, [1, 2, 3, 4, 5, 6]);
    assert_eq!(day.batches.len(), 3);
    let plan = plan_of(&ground, &told, &request(6, 2).load).unwrap();
    let (first, second) = (&day.batches[0], &day.batches[1]);
    assert_eq!(first.start, Minutes(0.0));
    assert_eq!(first.end, plan.plan.bake);
    assert_eq!(second.plan.segments[0].trays[0].tray, 3);
    // The door the plan itself counts with: this oven's where it was read, else the typical one.
    let door = told.air.as_ref().and_then(|air| door_of(air, 2));
    let door = door.unwrap_or_else(|| DoorModel::typical(Mode::StillAir, 2));
    let wait = door.recovery.0 * (door.drop.0 / (5.0 / 1.8)).ln();
    let gap = second.start.0 - first.end.0;
    assert!(
        (gap - (2.0 * door.open.0 + wait)).abs() < 1e-9,
        "{gap} {wait}"
    );
    assert!(second.end.0 - second.start.0 >= plan.plan.bake.0);
    assert_eq!(day.total, day.batches[2].end);
    assert!(day.worst.unwrap() <= LEAST_EVEN);
}

#[test]
fn all_ovens_are_no_slower_than_the_best_of_them() {
    let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let (ground, told) = wall(&kitchen);
    let alone = day_in(&ground, &told, &request(4, 1)).unwrap();
    let shared = day_everywhere(&kitchen, &request(4, 1)).unwrap();
    assert!(shared.total.0 <= alone.total.0 + 1e-9);
    assert_eq!(
        shared.batches.iter().map(|b| b.trays.len()).sum::<usize>(),
        4
    );
    let mut strict = request(4, 1);
    strict.least_even = Some(0.001);
    let said = day_everywhere(&kitchen, &strict).unwrap_err().to_string();
    assert!(
        said.contains("0.0 shades") && said.contains("--least-even"),
        "{said}"
    );
}

/// What is limited is what is printed, and the limit named in a refusal is one that serves.
#[test]
fn the_limit_is_of_lightest_to_darkest_and_the_one_named_serves() {
    let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let (ground, told) = wall(&kitchen);
    let mut odd = request(3, 2);
    odd.least_even = Some(0.001);
    let Err(DayError::Uneven { least, .. }) = day_in(&ground, &told, &odd) else {
        panic!("a thousandth of a shade is within no oven's reach")
    };
    odd.least_even = Some(tenth_above(least).parse().unwrap());
    let day = day_in(&ground, &told, &odd).unwrap();
    let spread = |b: &Batch| b.plan.evenness.spread;
    let worst = day.batches.iter().map(spread).fold(0.0, f64::max);
    assert!(worst <= odd.least_even.unwrap());
    assert!((day.worst.unwrap() - worst).abs() < 1e-9);
}

#[test]
fn the_rack_positions_that_are_free_in_one_oven_leave_no_other_out() {
    let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let anywhere = day_everywhere(&kitchen, &request(4, 1)).unwrap();
    let mut asked = request(4, 1);
    asked.load.racks = vec![4];
    assert_eq!(day_everywhere(&kitchen, &asked).unwrap(), anywhere);
}

#[test]
fn what_cannot_be_a_day_is_refused_with_what_can() {
    let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let (ground, told) = wall(&kitchen);
    for (trays, at_once, said) in [
        (0, 2, "0 trays"),
        (13, 2, "13 trays"),
        (6, 0, "0 trays at once"),
        (6, 5, "5 trays at once"),
    ] {
        let why = day_in(&ground, &told, &request(trays, at_once));
        let why = why.unwrap_err().to_string();
        assert!(why.contains(said) && why.contains("; give"), "{why}");
    }
    for limit in [f64::NAN, 0.0, -1.0, 1e9] {
        let mut odd = request(4, 2);
        odd.least_even = Some(limit);
        let why = day_in(&ground, &told, &odd).unwrap_err();
        assert!(matches!(why, DayError::Limit(_)), "{why}");
    }
}

#[test]
fn the_day_runs_one_trays_moves_after_another() {
    let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let (ground, told) = wall(&kitchen);
    let day = day_in(&ground, &told, &request(4, 2)).unwrap();
    let (first, second) = (day.batches[0].clone(), day.batches[1].clone());
    let late_day = day.clone();
    let mut run = DayRun::new(day);
    let mut seen = Vec::new();
    let (mut late, mut now) = (0.0, Minutes(0.0));
    while let Some(due) = run.next(now) {
        if due.what == What::Out && due.batch == 0 {
            // Two minutes late out: everything after it moves along.
            late = 2.0;
        }
        seen.push((due.batch, due.what));
        let behind = if due.batch == 0 { late } else { 0.0 };
        now = Minutes(due.at.0 + behind);
        run.done(now);
    }
    let mut slow = DayRun::new(late_day);
    slow.done(Minutes(0.0));
    let end = first.plan.bake.0;
    assert_eq!(slow.next(Minutes(end - 0.1)).unwrap().what, What::Move(1));
    assert_eq!(
        slow.next(Minutes(end)).unwrap().what,
        What::Out,
        "too late to move"
    );
    let moves = first.plan.segments.len() - 1;
    assert_eq!(seen.len(), 2 * (moves + 2));
    assert_eq!((seen[0], seen[moves + 1]), ((0, What::In), (0, What::Out)));
    assert_eq!(seen[moves + 2], (1, What::In));
    assert_eq!(run.out(), (2, 2));
    let ready = first.end.0 + 2.0 + first.handling.0 + first.wait.0;
    // Put in the moment the air was back: it was planned to take its handling longer.
    let planned = second.start.0 + 2.0 - second.handling.0;
    assert!((ready - planned).abs() < 1e-9);
}
