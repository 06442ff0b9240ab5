use super::{Clock, ClockAction, Phase, view::Sheet};
use crate::workflow::kitchen::Kitchen;
use crate::{
    model::{BakeId, BakeLog, Mode, OvenId},
    tui::{
        app::{App, Shared},
        effect::{Effect, Save},
        screens::ScreenState,
        theme::{Depth, Theme},
        widgets::synthetic::{plain, plan},
    },
    units::LengthUnit,
};
use jiff::civil::date;
use ratatui::{buffer::Buffer, layout::Rect};
use std::time::Duration;

fn clock() -> Clock {
    Clock::new(BakeLog {
        id: BakeId::new("bake-1").unwrap(),
        oven: OvenId::new("no-such-oven").unwrap(),
        mode: Mode::Fan,
        kind: "thin-cookie".to_owned(),
        started: date(2026, 3, 1).at(9, 0, 0, 0),
        plan: plan(),
        openings: Vec::new(),
        baked: None,
        outcome: Vec::new(),
        note: String::new(),
    })
}

fn app() -> App {
    let (kitchen, warnings) = Kitchen::throwaway_copy().unwrap();
    App::new(
        kitchen,
        Theme::new(Depth::NoColour),
        date(2026, 3, 1).at(9, 0, 0, 0),
        &warnings,
    )
}

fn go(shared: &mut Shared, minutes: f64) {
    shared.elapsed = Duration::from_secs_f64(minutes * 60.0);
}

fn saved(effects: &[Effect]) -> Option<&BakeLog> {
    effects.iter().find_map(|e| match e {
        Effect::Save(Save::Bake(bake)) => Some(bake.as_ref()),
        Effect::Save(Save::Oven(_) | Save::Test(_))
        | Effect::SetAside(_)
        | Effect::Work(_)
        | Effect::Bell
        | Effect::Quit => None,
    })
}

#[test]
fn a_whole_bake_is_kept_in_the_log() {
    let mut app = app();
    let (mut clock, shared) = (clock(), &mut app.shared);
    go(shared, 5.0);
    assert!(
        saved(&clock.update(ClockAction::Step, shared)).is_some(),
        "the start is saved"
    );
    assert!(clock.tick().is_some());

    // A look at 3 minutes into the bake, open for half a minute.
    go(shared, 8.0);
    assert!(clock.update(ClockAction::Look, shared).is_empty());
    go(shared, 8.5);
    let effects = clock.update(ClockAction::Look, shared);
    assert_eq!(saved(&effects).unwrap().openings[0].what, "looked in");

    // The bell rings at 9 minutes; the move is done half a minute late.
    go(shared, 13.9);
    assert!(clock.ticked(shared).is_empty());
    go(shared, 14.0);
    assert!(matches!(clock.ticked(shared).as_slice(), [Effect::Bell]));
    go(shared, 14.5);
    clock.update(ClockAction::Step, shared);
    go(shared, 15.0);
    let effects = clock.update(ClockAction::Step, shared);
    let log = saved(&effects).unwrap();
    assert_eq!(log.openings.len(), 2);
    assert!(
        log.openings[1]
            .what
            .starts_with("swap racks 2 and 4, turn both trays")
    );
    assert!((log.openings[1].at.0 - 9.5).abs() < 1e-9);
    assert!((log.openings[1].open_for.unwrap().0 - 0.5).abs() < 1e-9);

    // Space before the end does nothing; at the end it finishes.
    go(shared, 16.0);
    assert!(clock.update(ClockAction::Step, shared).is_empty());
    go(shared, 17.0);
    assert!(matches!(clock.ticked(shared).as_slice(), [Effect::Bell]));
    let effects = clock.update(ClockAction::Step, shared);
    assert!((saved(&effects).unwrap().baked.unwrap().0 - 12.0).abs() < 1e-9);
    assert!(clock.tick().is_none());

    // One tray is scored, the other skipped.
    clock.update(ClockAction::Shade(4), shared);
    let effects = clock.update(ClockAction::Skip, shared);
    let outcome = &saved(&effects).unwrap().outcome;
    assert_eq!(outcome.len(), 1);
    assert_eq!((outcome[0].0, outcome[0].1.value()), (1, 4.0));
    assert_eq!(clock.phase, Phase::Done);
}

#[test]
fn leaving_while_it_bakes_is_asked_twice() {
    let mut app = app();
    let (mut clock, shared) = (clock(), &mut app.shared);
    clock.update(ClockAction::Step, shared);
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
        clock.update(ClockAction::Lengthen(1), shared).is_empty(),
        "not before it bakes"
    );
    clock.update(ClockAction::Step, shared);
    clock.update(ClockAction::Lengthen(1), shared);
    let Phase::Baking(run) = &clock.phase else {
        panic!("{:?}", clock.phase)
    };
    assert_eq!((run.end().0, run.next().1.0), (13.0, 9.0));
}

#[test]
fn the_clock_is_large_in_every_phase() {
    let mut app = app();
    let (mut clock, shared) = (clock(), &mut app.shared);
    let draw = |clock: &Clock, minutes: f64| {
        let sheet = Sheet {
            clock,
            racks: &[1, 2, 3, 4, 5],
            lengths: LengthUnit::Inches,
            dial: "325 F".to_owned(),
            now: Duration::from_secs_f64(minutes * 60.0),
        };
        let mut buf = Buffer::empty(Rect::new(0, 0, 80, 20));
        sheet.draw(buf.area, &mut buf, &Theme::default());
        plain(&buf)
    };
    let loading = draw(&clock, 0.0);
    clock.update(ClockAction::Step, shared);
    let (early, due) = (draw(&clock, 3.25), draw(&clock, 9.5));
    go(shared, 9.5);
    clock.update(ClockAction::Step, shared);
    go(shared, 10.0);
    clock.update(ClockAction::Step, shared);
    go(shared, 12.0);
    clock.update(ClockAction::Finish, shared);
    let after = draw(&clock, 12.0);
    insta::assert_snapshot!(format!("{loading}{early}{due}{after}"));
}
