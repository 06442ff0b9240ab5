//! How dark a bake came out on the whole, from whole trays, and where some of it is burnt.

use super::{
    compare,
    tests::{begun, by_share, fit_of, planned, score_all, wall},
};
use crate::{
    model::{BakeLog, Forecast, PieceScore, Shade},
    units::Minutes,
    workflow::kitchen::Kitchen,
};

/// A bake whose second tray is expected to come out as the first.
fn of_two_trays(kitchen: &Kitchen) -> BakeLog {
    let mut plan = planned(kitchen, &wall(kitchen), 0);
    let second: Vec<_> = plan
        .forecast
        .iter()
        .map(|f| Forecast { tray: 2, ..*f })
        .collect();
    plan.forecast.extend(second);
    begun(&plan, 1)
}

#[test]
fn a_piece_pulled_early_leaves_the_score_of_its_tray() {
    let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let mut bake = of_two_trays(&kitchen);
    let whole = Shade::from_value(4.5).unwrap();
    bake.score_tray(1, whole);
    bake.score_tray(2, whole);
    let before = compare(&bake).unwrap();
    bake.score_piece(PieceScore {
        tray: 1,
        row: 0,
        col: 0,
        shade: Shade::from_value(3.0).unwrap(),
        pulled: Some(Minutes(9.0)),
    });
    assert_eq!(compare(&bake).unwrap().level, before.level);
}

#[test]
fn what_is_burnt_is_not_left_out_of_how_dark_it_came_out() {
    let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let oven = wall(&kitchen);
    let fit = fit_of(&kitchen, &oven);
    let mut bake = begun(&planned(&kitchen, &oven, 0), 1);
    let field = |rack, x, y| fit.at(rack, x, y).unwrap().mean;
    score_all(&mut bake, &oven, 4.0, |s| by_share(s, field), || 0.0);
    bake.wanted = Some(Shade::from_value(4.0).unwrap());
    let before = compare(&bake).unwrap();
    let black = |bake: &mut BakeLog, n: usize| {
        for piece in bake.pieces.clone().into_iter().take(n) {
            bake.score_piece(PieceScore {
                shade: Shade::from_value(9.0).unwrap(),
                ..piece
            });
        }
        compare(bake).unwrap()
    };
    // one alone: the rest tell the level, and it is named
    let one = black(&mut bake, 1);
    assert!((one.level.shade.value - before.level.shade.value).abs() < 0.2);
    assert!(
        one.places[0].surprises() && one.verdict().contains("1 of 12"),
        "{}",
        one.verdict()
    );
    assert!(one.level.words().starts_with("Burnt: 1 of 12 scores"));
    // nearly all: the shade is a least one, and so are the minutes
    let most = black(&mut bake, 10);
    let shade = most.level.shade;
    assert!(shade.value > 6.5 && shade.hi > 8.75, "{shade:?}");
    let words = most.level.words();
    assert!(
        words.contains("10 of 12") && words.contains("or darker, "),
        "{words}"
    );
    assert!(words.contains("Next time at least"), "{words}");
    let all = black(&mut bake, 12);
    assert!(all.level.shade.lo > 7.0, "{:?}", all.level);
}

#[test]
fn how_much_longer_is_said_no_further_than_a_bake_tells() {
    let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let mut bake = of_two_trays(&kitchen);
    bake.wanted = Some(Shade::from_value(8.0).unwrap());
    let mut minutes = |shade| {
        for tray in 1..=2 {
            bake.score_tray(tray, Shade::from_value(shade).unwrap());
        }
        compare(&bake).unwrap().level.minutes
    };
    assert_eq!([minutes(0.0), minutes(0.5)], [None, None]);
    assert!(minutes(4.0).is_some_and(|m| m.0 > 1.0));
}
