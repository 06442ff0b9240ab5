use super::*;
use crate::model::BakeLog;
use crate::model::Shade;
use crate::model::Tray;
use crate::tui::prelude::*;
use crate::{
    model::{BakeId, DoorOpening, Forecast, Mode, Opened, PieceScore, bake::TrayPhoto},
    tui::{event::Event, fixture::Fixture, run::step, widgets::synthetic::plan, worker::work},
    units::{Centimetres, Minutes},
};
use jiff::civil::date;

/// A finished bake of two trays of 3 x 2 pieces, the left column expected a fifth darker.
fn baked(fixture: &Fixture) -> BakeLog {
    let mut plan = plan();
    plan.tray = Some(Tray::new(Centimetres(33.0), Centimetres(24.0), 3, 2));
    for tray in 1..=2 {
        for i in 0..6 {
            let ratio = if i % 3 == 0 { 1.2 } else { 0.9 };
            plan.forecast.push(Forecast {
                tray,
                row: i / 3,
                col: i % 3,
                ratio,
                range: (ratio - 0.1, ratio + 0.1),
            });
        }
    }
    let mut bake = BakeLog::begin(
        BakeId::new("b").unwrap(),
        fixture.oven().id.clone(),
        Mode::Fan,
        date(2026, 11, 24).at(9, 0, 0, 0).into(),
        plan,
    );
    bake.baked = Some(Minutes(12.0));
    bake.openings.push(DoorOpening {
        at: Minutes(9.0),
        open_for: Some(Minutes(0.5)),
        what: Opened::Move("swap racks 2 and 4".to_owned()),
    });
    bake
}

fn opened() -> Fixture {
    let mut fixture = Fixture::with_oven();
    let bake = baked(&fixture);
    fixture.app.shared.kitchen.save_bake(bake).unwrap();
    fixture.keys("r\n");
    assert!(fixture.app.shows::<Outcome>());
    fixture
}

#[test]
fn pieces_are_scored_by_keys_over_both_trays_and_kept() {
    let mut fixture = opened();
    fixture.keys("5+44544u6");
    fixture.says("tray 2 now");
    fixture.keys("\t");
    // Over a score it asks once; any other key keeps what was there.
    fixture.keys("9");
    fixture.says("has shade 5.5; 9 again changes it");
    fixture.keys("33");
    let again = fixture.reopened();
    let bake = &again.app.shared.kitchen.bakes()[0];
    let got: Vec<(usize, usize, usize, f64)> = bake
        .pieces
        .iter()
        .map(|p| (p.tray, p.row, p.col, p.shade.value()))
        .collect();
    let wanted = [
        (1, 0, 0, 5.5),
        (1, 0, 1, 4.0),
        (1, 0, 2, 4.0),
        (1, 1, 0, 5.0),
        (1, 1, 1, 4.0),
        (1, 1, 2, 6.0),
        (1, 0, 0, 3.0),
    ];
    // After the sixth piece the cursor is on tray 2; Tab leads back to tray 1, whose first piece is scored again.
    let mut expected: Vec<_> = wanted[..6].to_vec();
    expected[0].3 = wanted[6].3;
    assert_eq!(got, expected);
}

#[test]
fn what_was_wanted_and_whether_it_counts_for_the_map_are_kept() {
    let mut fixture = opened();
    fixture.keys(">>f");
    fixture.says("once 3 pieces by themselves have shades short of burnt; 0 have");
    let again = fixture.reopened();
    let bake = &again.app.shared.kitchen.bakes()[0];
    assert_eq!(bake.wanted, Some(Shade::from_value(4.5).unwrap()));
    assert!(bake.in_map);
}

#[test]
fn whether_the_map_is_off_is_asked_of_the_worker_and_no_key_waits_for_it() {
    let mut fixture = opened();
    let mut asked = fixture.keys("m");
    let (Some(Effect::Work(job)), true) = (asked.pop(), asked.is_empty()) else {
        panic!("{asked:?}");
    };
    let said = |fixture: &Fixture| fixture.room::<Outcome>().verdict().unwrap();
    assert!(said(&fixture).contains("a moment"), "{}", said(&fixture));
    step(&mut fixture.app, Event::Finished(work(job)));
    let words = said(&fixture);
    assert!(words.contains("no map in this mode"), "{words}");
    // The answer rests on the scores: another score, and it has to be asked again, whether it has come or not.
    let about_map = |fixture: &Fixture| fixture.room::<Outcome>().verdict();
    for keys in ["4", "m4", "m+", "mu", "m>", "mf"] {
        fixture.keys(keys);
        assert_eq!(about_map(&fixture), None, "{keys}");
    }
}

#[test]
fn a_bake_without_its_trays_pieces_says_so() {
    let mut fixture = Fixture::with_oven();
    let mut bake = baked(&fixture);
    bake.plan.tray = None;
    fixture.app.shared.kitchen.save_bake(bake).unwrap();
    fixture.keys("r\n");
    assert!(fixture.app.shows::<crate::tui::screens::record::Record>());
    fixture.says("without its tray's pieces");
}

#[test]
fn expected_and_actual_stand_side_by_side() {
    use ratatui::{Terminal, backend::TestBackend};
    for (columns, rows) in [(80, 24), (120, 40)] {
        let mut fixture = opened();
        fixture.app.set_size(columns, rows);
        fixture.keys("544544844533>");
        let mut terminal = Terminal::new(TestBackend::new(columns, rows)).unwrap();
        terminal
            .draw(|frame| crate::tui::view::view(&fixture.app, frame))
            .unwrap();
        insta::assert_snapshot!(
            format!("what_came_out_{columns}x{rows}"),
            terminal.backend()
        );
    }
}

#[test]
fn what_is_taken_back_has_its_shade_from_the_photo_again() {
    let mut fixture = Fixture::with_oven();
    let mut bake = baked(&fixture);
    let four = Shade::whole(4).unwrap();
    bake.score_piece(PieceScore {
        tray: 1,
        row: 0,
        col: 0,
        shade: four,
        pulled: None,
    });
    bake.photos.push(TrayPhoto {
        tray: 1,
        pieces: vec![(0, 0)],
        level_shade: 0.9,
        lean: 0.07,
    });
    fixture.app.shared.kitchen.save_bake(bake.clone()).unwrap();
    fixture.keys("r\n66");
    assert!(fixture.on_disk().bakes()[0].photos.is_empty());
    fixture.keys("u");
    let kitchen = fixture.on_disk();
    let kept = &kitchen.bakes()[0];
    assert_eq!((&kept.pieces, &kept.photos), (&bake.pieces, &bake.photos));
}
