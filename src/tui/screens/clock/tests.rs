use super::{
    Clock,
    state::{Act, Phase},
    view::Sheet,
};
use crate::tui::bell::run::{Next, Run};
use crate::tui::prelude::*;
use crate::workflow::kitchen::Kitchen;
use crate::{
    model::{BakeId, BakeLog, DoorOpening, Mode, Opened, OvenId},
    tui::{
        app::App,
        event::Event,
        fixture::Fixture,
        run::step,
        theme::Depth,
        widgets::synthetic::{plain, plan},
    },
    units::{LengthUnit, Minutes},
};
use jiff::civil::date;
use std::time::Duration;

fn clock() -> Clock {
    Clock::new(BakeLog::begin(
        BakeId::new("bake-1").unwrap(),
        OvenId::new("no-such-oven").unwrap(),
        Mode::Fan,
        date(2026, 3, 1).at(9, 0, 0, 0).into(),
        plan(),
    ))
}

fn app() -> App {
    let (kitchen, warnings) = Kitchen::throwaway_copy().unwrap();
    let now = date(2026, 3, 1).at(9, 0, 0, 0);
    let mut app = App::new(kitchen, Theme::new(Depth::NoColour), now, &warnings);
    // The kitchen behind the clock has asked for its map.
    drop(app.shared.take_effects());
    app
}

/// Does something on the clock and returns what it asked for.
fn act(clock: &mut Clock, act: Act, shared: &mut Shared) -> Vec<Effect> {
    clock.act(act, shared);
    shared.take_effects()
}

/// Lets the clock tick and returns what it asked for.
fn ticked(clock: &mut Clock, shared: &mut Shared) -> Vec<Effect> {
    clock.ticked(shared);
    shared.take_effects()
}

fn go(shared: &mut Shared, minutes: f64) {
    shared.elapsed = Duration::from_secs_f64(minutes * 60.0);
}

/// The clock of the bake that runs.
fn run(clock: &Clock) -> &Run {
    match &clock.phase {
        Phase::Baking(run) => run,
        other => panic!("{other:?}"),
    }
}

/// What the screen shows at a minute after the program started.
fn drawn(clock: &Clock, racks: &[u8], minutes: f64) -> String {
    let sheet = Sheet {
        clock,
        racks,
        lengths: LengthUnit::Inches,
        dial: "325 F".to_owned(),
        now: Duration::from_secs_f64(minutes * 60.0),
    };
    let mut buf = Buffer::empty(Rect::new(0, 0, 80, 20));
    sheet.draw(buf.area, &mut buf, &Theme::default());
    plain(&buf)
}

fn rang(effects: &[Effect]) -> bool {
    matches!(effects, [Effect::Bell(_)])
}

fn saved(effects: &[Effect]) -> Option<&BakeLog> {
    effects.iter().rev().find_map(|e| match e {
        Effect::Save(Save::Bake(bake)) => Some(bake.as_ref()),
        _ => None,
    })
}

#[test]
fn a_whole_bake_is_kept_in_the_log() {
    let mut app = app();
    let (mut clock, shared) = (clock(), &mut app.shared);
    go(shared, 5.0);
    assert!(
        saved(&act(&mut clock, Act::Step, shared)).is_some(),
        "the start is saved"
    );
    assert!(clock.tick().is_some());

    // A look at 3 minutes into the bake, open for half a minute.
    go(shared, 8.0);
    let effects = act(&mut clock, Act::Look, shared);
    let opening = saved(&effects).unwrap().openings[0].clone();
    assert_eq!((opening.at, opening.open_for), (Minutes(3.0), None));
    go(shared, 8.5);
    let effects = act(&mut clock, Act::Look, shared);
    assert_eq!(saved(&effects).unwrap().openings[0].what, Opened::Look);

    // The bell rings at 9 minutes; the move is done half a minute late.
    go(shared, 13.9);
    assert!(ticked(&mut clock, shared).is_empty());
    go(shared, 14.0);
    assert!(rang(&ticked(&mut clock, shared)));
    go(shared, 14.5);
    act(&mut clock, Act::Step, shared);
    go(shared, 15.0);
    let effects = act(&mut clock, Act::Step, shared);
    let log = saved(&effects).unwrap();
    assert_eq!(log.openings.len(), 2);
    assert!(
        log.openings[1]
            .what
            .words()
            .starts_with("swap racks 2 and 4, turn both trays")
    );
    assert!((log.openings[1].at.0 - 9.5).abs() < 1e-9);
    assert!((log.openings[1].open_for.unwrap().0 - 0.5).abs() < 1e-9);

    // Space before the end does nothing; at the end it finishes.
    go(shared, 16.0);
    assert!(act(&mut clock, Act::Step, shared).is_empty());
    go(shared, 17.0);
    assert!(rang(&ticked(&mut clock, shared)));
    let effects = act(&mut clock, Act::Step, shared);
    assert!((saved(&effects).unwrap().baked.unwrap().0 - 12.0).abs() < 1e-9);
    assert!(clock.tick().is_none());

    // One tray is scored, the other skipped.
    act(&mut clock, Act::Shade(4), shared);
    let effects = act(&mut clock, Act::Skip, shared);
    let outcome = &saved(&effects).unwrap().outcome;
    assert_eq!(outcome.len(), 1);
    assert_eq!((outcome[0].0, outcome[0].1.value()), (1, 4.0));
    assert_eq!(clock.phase, Phase::Done);
}

#[test]
fn leaving_while_it_bakes_is_asked_twice() {
    let mut app = app();
    let (mut clock, shared) = (clock(), &mut app.shared);
    act(&mut clock, Act::Step, shared);
    clock.leave(shared);
    assert!(shared.steps.is_empty());
    clock.leave(shared);
    assert_eq!(shared.steps.len(), 1);
}

#[test]
fn a_minute_longer_moves_the_end_and_nothing_else() {
    let mut app = app();
    let (mut clock, shared) = (clock(), &mut app.shared);
    assert!(
        act(&mut clock, Act::Lengthen(1), shared).is_empty(),
        "not before it bakes"
    );
    act(&mut clock, Act::Step, shared);
    act(&mut clock, Act::Lengthen(1), shared);
    let longer = run(&clock);
    assert_eq!(
        (longer.end().0, longer.next(shared.elapsed).1.0),
        (13.0, 9.0)
    );
    act(&mut clock, Act::Undo, shared);
    assert_eq!(run(&clock).end(), Minutes(12.0));
}

#[test]
fn the_clock_is_large_in_every_phase() {
    let mut app = app();
    let (mut clock, shared) = (clock(), &mut app.shared);
    let draw = |clock: &Clock, minutes: f64| drawn(clock, &[1, 2, 3, 4, 5], minutes);
    let loading = draw(&clock, 0.0);
    act(&mut clock, Act::Step, shared);
    let (early, due) = (draw(&clock, 3.25), draw(&clock, 9.5));
    go(shared, 9.5);
    act(&mut clock, Act::Step, shared);
    go(shared, 10.0);
    act(&mut clock, Act::Step, shared);
    go(shared, 12.0);
    act(&mut clock, Act::Finish, shared);
    let after = draw(&clock, 12.0);
    insta::assert_snapshot!(format!("{loading}{early}{due}{after}"));
}

#[test]
fn a_stray_key_after_the_start_spends_no_move() {
    let mut app = app();
    let (mut clock, shared) = (clock(), &mut app.shared);
    let is_open = |clock: &Clock| matches!(&clock.phase, Phase::Baking(run) if run.is_open());
    act(&mut clock, Act::Step, shared);
    // A bounce, then a held key: both only ask.
    for seconds in [0.1, 0.3, 0.4] {
        go(shared, seconds / 60.0);
        act(&mut clock, Act::Step, shared);
        assert!(!is_open(&clock), "at {seconds} s");
    }
    let banner = format!("{:?}", shared.banner);
    assert!(banner.contains("move 1 is due at 9 min"), "{banner}");
    // An answer a second later does it; within a minute of its time nothing is asked.
    go(shared, 2.0 / 60.0);
    act(&mut clock, Act::Step, shared);
    assert!(is_open(&clock));
    let mut clock = self::clock();
    go(shared, 0.0);
    act(&mut clock, Act::Step, shared);
    go(shared, 8.1);
    act(&mut clock, Act::Step, shared);
    assert!(is_open(&clock));
}

#[test]
fn taking_it_out_early_is_asked_first_and_an_open_door_is_noted() {
    let mut app = app();
    let (mut clock, shared) = (clock(), &mut app.shared);
    act(&mut clock, Act::Step, shared);
    go(shared, 5.0);
    assert!(act(&mut clock, Act::Finish, shared).is_empty());
    assert!(format!("{:?}", shared.banner).contains("due out at 12 min"));
    act(&mut clock, Act::Look, shared);
    go(shared, 5.5);
    assert!(
        act(&mut clock, Act::Finish, shared).is_empty(),
        "another key between takes the question back"
    );
    go(shared, 6.0);
    let effects = act(&mut clock, Act::Finish, shared);
    let log = saved(&effects).unwrap();
    assert_eq!(log.baked.unwrap(), Minutes(6.0));
    assert_eq!(log.openings.len(), 1);
}

#[test]
fn trays_take_half_steps_and_can_be_scored_again() {
    let mut app = app();
    let (mut clock, shared) = (clock(), &mut app.shared);
    act(&mut clock, Act::Step, shared);
    go(shared, 12.0);
    act(&mut clock, Act::Finish, shared);
    assert!(
        act(&mut clock, Act::Half, shared).is_empty(),
        "nothing scored yet"
    );
    act(&mut clock, Act::Shade(4), shared);
    let effects = act(&mut clock, Act::Half, shared);
    assert_eq!(saved(&effects).unwrap().outcome[0].1.half_steps(), 9);
    let effects = act(&mut clock, Act::Half, shared);
    assert_eq!(saved(&effects).unwrap().outcome[0].1.half_steps(), 8);
    act(&mut clock, Act::Shade(6), shared);
    assert_eq!(clock.phase, Phase::Done);
    let effects = act(&mut clock, Act::Undo, shared);
    assert_eq!(saved(&effects).unwrap().outcome.len(), 1);
    let effects = act(&mut clock, Act::Shade(5), shared);
    let outcome = &saved(&effects).unwrap().outcome;
    assert_eq!((outcome[1].0, outcome[1].1.value()), (2, 5.0));
}

/// A kitchen where a bake began five minutes ago, its move done.
fn with_bake() -> Fixture {
    let mut fixture = Fixture::with_oven();
    let mut bake = *clock().bake;
    bake.oven = fixture.oven().id.clone();
    bake.started = date(2026, 11, 25).at(9, 25, 0, 0).into();
    bake.openings.push(DoorOpening {
        at: Minutes(2.0),
        open_for: None,
        what: Opened::Move("swap racks 2 and 4".to_owned()),
    });
    fixture.app.shared.kitchen.save_bake(bake).unwrap();
    fixture
}

fn assert_resumed(fixture: &Fixture) {
    let run = run(fixture.room::<Clock>());
    assert_eq!(run.elapsed(fixture.app.shared.elapsed), Minutes(5.0));
    assert_eq!(
        run.next(fixture.app.shared.elapsed).0,
        Next::End,
        "the move is done already"
    );
}

#[test]
fn a_running_bake_is_taken_up_again_from_the_wall_clock() {
    let mut fixture = with_bake();
    fixture.guides("a bake is running: thin cookies, out at 09:37");
    fixture.press(Key::Enter);
    assert_resumed(&fixture);
    let mut fixture = with_bake();
    fixture.keys("r\n");
    assert_resumed(&fixture);
    // A day later nobody waits for it any more.
    let again = with_bake().reopened();
    assert!(!again.guide().contains("running"));
}

/// Minutes that a bake shows which began at one moment and is looked at from another, where it still runs.
fn baked_between(began: &str, now: &str) -> Option<f64> {
    let mut fixture = with_bake();
    let mut bake = fixture.app.shared.kitchen.bakes()[0].clone();
    bake.started = began.parse().unwrap();
    fixture.app.shared.kitchen.save_bake(bake).unwrap();
    let mut again = fixture.reopened_at(now.parse().unwrap());
    again.press(Key::Enter);
    let clock = again.app.screen()?.as_room::<Clock>()?;
    matches!(clock.phase, Phase::Baking(_)).then(|| run(clock).elapsed(Duration::ZERO).0)
}

#[test]
fn a_running_bake_survives_whatever_happens_to_the_wall_clock() {
    for (what, began, now, minutes) in [
        (
            "one hour east",
            "2026-11-25T09:25:00Z",
            "2026-11-25T10:30:00+01:00",
            5.0,
        ),
        (
            "one hour west",
            "2026-11-25T09:25:00Z",
            "2026-11-25T08:30:00-01:00",
            5.0,
        ),
        (
            "spring",
            "2026-03-29T01:55:00+01:00",
            "2026-03-29T03:05:00+02:00",
            10.0,
        ),
        (
            "autumn",
            "2026-10-25T02:55:00+02:00",
            "2026-10-25T02:05:00+01:00",
            10.0,
        ),
        (
            "five hours",
            "2026-11-25T09:25:00Z",
            "2026-11-25T14:25:00Z",
            300.0,
        ),
        // The move was noted at two minutes: no less has passed.
        (
            "set back",
            "2026-11-25T09:25:00Z",
            "2026-11-25T09:24:00Z",
            2.0,
        ),
    ] {
        let baked = baked_between(began, now);
        assert!(
            baked.is_some_and(|m| (m - minutes).abs() < 1e-9),
            "{what}: {baked:?}"
        );
    }
    let lost = baked_between("2026-11-25T09:25:00Z", "2026-11-26T09:25:00Z");
    assert_eq!(lost, None, "a day later it was given up without a word");
}

#[test]
fn leaving_the_program_while_it_bakes_is_asked_first() {
    let mut fixture = with_bake();
    fixture.press(Key::Enter);
    assert!(fixture.keys("q").is_empty());
    assert!(matches!(fixture.keys("q")[..], [Effect::Quit]));
    // From the kitchen too, where the clock is out of sight; another key takes the question back.
    let mut fixture = with_bake();
    assert!(fixture.keys("q").is_empty());
    assert!(fixture.keys("?q").is_empty());
    assert!(matches!(fixture.keys("q")[..], [Effect::Quit]));
}

#[test]
fn a_caution_is_in_sight_before_the_start() {
    let text = drawn(&clock(), &[2, 4], 0.0);
    assert!(
        text.contains("dry mitts") && text.contains("c: all"),
        "{text}"
    );
}

#[test]
fn a_look_is_not_told_to_take_anything_out_and_the_caution_stays() {
    let mut app = app();
    let (mut clock, shared) = (clock(), &mut app.shared);
    act(&mut clock, Act::Step, shared);
    go(shared, 1.0);
    act(&mut clock, Act::Look, shared);
    let text = drawn(&clock, &[2, 4], 1.0);
    assert!(
        text.contains("DOOR OPEN for a look: leave everything in"),
        "{text}"
    );
    assert!(
        !text.contains("take everything out") && text.contains("dry mitts"),
        "{text}"
    );
    assert_eq!(clock.guide(shared), "o: the door is shut again");
}

/// Lets time pass on both clocks, a second at a time, and returns how often the bell rang.
fn pass(fixture: &mut Fixture, seconds: u64) -> usize {
    let mut bells = 0;
    for _ in 0..seconds {
        let shared = &fixture.app.shared;
        let now = shared.moment + jiff::SignedDuration::from_secs(1);
        let elapsed = shared.elapsed + Duration::from_secs(1);
        fixture.app.set_clock(now, elapsed);
        let effects = step(&mut fixture.app, Event::Tick);
        bells += effects
            .iter()
            .filter(|e| matches!(e, Effect::Bell(_)))
            .count();
    }
    bells
}

/// A bake that was begun on its clock just now.
fn begun() -> Fixture {
    let mut fixture = Fixture::with_oven();
    let mut bake = *clock().bake;
    bake.oven = fixture.oven().id.clone();
    fixture.app.screens.push(Box::new(Clock::new(bake)));
    fixture.press(Key::Char(' '));
    fixture
}

#[test]
fn a_whole_bake_runs_through_its_move_in_sped_up_time() {
    let mut fixture = begun();
    // The move is due at 9 minutes, the end at 12.
    assert_eq!(pass(&mut fixture, 9 * 60 - 1), 0);
    assert_eq!(pass(&mut fixture, 30), 2, "at once, and again after 20 s");
    fixture.press(Key::Char(' '));
    assert_eq!(pass(&mut fixture, 40), 0, "the door is open");
    fixture.keys(" →");
    // 9:00 - 1 + 30 + 40 s have passed; the end is at 13 minutes now.
    assert_eq!(pass(&mut fixture, 13 * 60 - (9 * 60 + 69) - 1), 0);
    assert_eq!(pass(&mut fixture, 5), 1);
    fixture.press(Key::Char(' '));
    assert_eq!(pass(&mut fixture, 60), 0, "it is out");
    let again = fixture.reopened();
    let kept = &again.app.shared.kitchen.bakes()[0];
    assert_eq!(kept.added, Minutes(1.0));
    assert_eq!(kept.openings.len(), 1);
    assert!((kept.openings[0].open_for.unwrap().0 - 40.0 / 60.0).abs() < 1e-9);
    assert!((kept.baked.unwrap().0 - 13.0).abs() < 0.1);
}

#[test]
fn the_bell_rings_while_another_screen_is_in_sight() {
    // Five minutes are gone and the move is done: the end is at 12.
    let mut fixture = with_bake();
    fixture.keys("r");
    assert!(fixture.app.shows::<crate::tui::screens::record::Record>());
    assert!(fixture.app.tick().is_some());
    assert_eq!(pass(&mut fixture, 7 * 60 - 1), 0);
    assert_eq!(pass(&mut fixture, 30), 2, "at once, and again after 20 s");
    fixture.says("take everything out now");
    let idle = Fixture::with_oven();
    assert_eq!(idle.app.tick(), None, "nothing runs, nothing is drawn");
}

/// A bake under way whose door was opened for the move at nine minutes, half a minute ago.
fn opened_for_the_move() -> Fixture {
    let mut fixture = begun();
    pass(&mut fixture, 9 * 60);
    fixture.press(Key::Char(' '));
    fixture.guides("the door is shut again");
    assert_eq!(pass(&mut fixture, 30), 0);
    fixture
}

#[test]
fn a_move_under_way_is_not_asked_for_again_after_the_clock_was_left() {
    let mut fixture = opened_for_the_move();
    fixture.keys("\x1b\x1b");
    fixture.says("shut now; noted: swap");
    let openings = fixture.app.shared.kitchen.bakes()[0].openings.clone();
    assert_eq!(openings.len(), 1);
    assert!(openings[0].is_move() && openings[0].open_for == Some(Minutes(0.5)));
    assert_eq!(pass(&mut fixture, 60), 0, "nothing is due before the end");
    fixture.press(Key::Enter);
    fixture.guides("wait for the bell. f");
    // A program that ends in between knows of the move too.
    let fixture = opened_for_the_move();
    let now = fixture.app.shared.moment;
    let mut again = fixture.reopened_at(now);
    assert_eq!(pass(&mut again, 60), 0);
    again.press(Key::Enter);
    again.guides("wait for the bell. f");
}

#[test]
fn minutes_added_by_hand_outlast_the_program() {
    let mut fixture = with_bake();
    fixture.press(Key::Enter);
    for key in [Key::Right, Key::Right, Key::Left, Key::Right] {
        fixture.press(key);
    }
    let id = fixture.app.shared.kitchen.bakes()[0].id.clone();
    let now = fixture.app.shared.moment;
    let mut again = fixture.reopened_at(now);
    let kept = &again.app.shared.kitchen.bakes()[0];
    assert_eq!((&kept.id, kept.added), (&id, Minutes(2.0)));
    again.press(Key::Enter);
    assert_eq!(run(again.room::<Clock>()).end(), Minutes(14.0));
}

#[test]
fn whatever_was_done_by_mistake_is_taken_back_one_by_one() {
    let mut app = app();
    let (mut clock, shared) = (clock(), &mut app.shared);
    act(&mut clock, Act::Step, shared);
    go(shared, 9.0);
    act(&mut clock, Act::Step, shared);
    go(shared, 9.5);
    act(&mut clock, Act::Step, shared);
    assert_eq!(clock.bake.openings.len(), 1);
    go(shared, 12.5);
    act(&mut clock, Act::Finish, shared);
    act(&mut clock, Act::Shade(4), shared);
    act(&mut clock, Act::Half, shared);
    act(&mut clock, Act::Undo, shared);
    assert_eq!(clock.bake.outcome[0].1.half_steps(), 8);
    act(&mut clock, Act::Undo, shared);
    assert!(clock.bake.outcome.is_empty() && clock.phase == Phase::Scoring(0));
    let effects = act(&mut clock, Act::Undo, shared);
    assert_eq!(saved(&effects).unwrap().baked, None, "it bakes again");
    assert!(matches!(clock.phase, Phase::Baking(_)));
    // The move's shutting, then its opening; the start itself stays.
    act(&mut clock, Act::Undo, shared);
    assert!(clock.bake.openings.is_empty());
    act(&mut clock, Act::Undo, shared);
    assert!(matches!(&clock.phase, Phase::Baking(run) if !run.is_open()));
    act(&mut clock, Act::Undo, shared);
    assert!(matches!(clock.phase, Phase::Baking(_)), "the start stays");
}

#[test]
fn shades_come_first_and_openings_that_find_no_room_are_counted() {
    let mut app = app();
    let (mut clock, shared) = (clock(), &mut app.shared);
    act(&mut clock, Act::Step, shared);
    for minute in 0..12 {
        go(shared, f64::from(minute));
        act(&mut clock, Act::Look, shared);
        act(&mut clock, Act::Look, shared);
    }
    go(shared, 12.5);
    act(&mut clock, Act::Finish, shared);
    act(&mut clock, Act::Shade(4), shared);
    let text = drawn(&clock, &[2, 4], 12.5);
    let tray = clock.bake.outcome[0].0;
    assert!(text.contains(&format!("tray {tray}: shade 4")), "{text}");
    let shown = text.matches("looked").count();
    assert!((1..12).contains(&shown), "{text}");
    assert!(text.contains(&format!("{} more", 12 - shown)), "{text}");
}

#[test]
fn a_tiny_window_keeps_the_countdown_and_the_next_move() {
    let mut app = app();
    let (mut clock, shared) = (clock(), &mut app.shared);
    act(&mut clock, Act::Step, shared);
    go(shared, 5.0);
    for (columns, rows) in [(20, 4), (30, 8), (79, 23)] {
        let backend = ratatui::backend::TestBackend::new(columns, rows);
        let mut terminal = ratatui::Terminal::new(backend).unwrap();
        let drawn = terminal.draw(|frame| {
            let area = frame.area();
            assert!(clock.view_small(shared, frame, area));
        });
        let text = plain(drawn.unwrap().buffer);
        let large = rows > 8;
        assert!(large || text.contains("4:00"), "{text}");
        assert!(text.contains("At 9 min: swap"), "{text}");
    }
}
