//! Any plan and any bake log, for the tests that stored files come back the same.

use super::tests::{any_id, any_mode, any_time, any_words};
use crate::{
    model::{
        Alternative, BakeId, BakeLog, DialStep, DoorOpening, Forecast, Opened, OvenId, PieceScore,
        Plan, RecipeId, RecipeName, Segment, Shade, Tray, TrayPlacement, Yardstick,
        bake::TrayPhoto,
    },
    units::{Celsius, Centimetres, Minutes},
};
use proptest::{option, prelude::*};

fn any_yardstick() -> impl Strategy<Value = Yardstick> {
    (
        0.0_f64..9.0,
        (0.0_f64..9.0, 0.0_f64..9.0),
        0.0_f64..9.0,
        1.0_f64..90.0,
    )
        .prop_map(|(spread, spread_range, sd, minutes)| Yardstick {
            spread,
            spread_range,
            sd,
            sd_range: spread_range,
            minutes: Minutes(minutes),
        })
}

fn any_segment() -> impl Strategy<Value = Segment> {
    let tray = (
        1_usize..4,
        any::<u8>(),
        any::<bool>(),
        -9.0_f64..9.0,
        -9.0_f64..9.0,
    )
        .prop_map(|(tray, rack, turned, x, y)| TrayPlacement {
            tray,
            rack,
            turned,
            shift_x: Centimetres(x),
            shift_y: Centimetres(y),
        });
    (
        0.0_f64..60.0,
        0.0_f64..60.0,
        0.0_f64..1.0,
        prop::collection::vec(tray, 0..4),
    )
        .prop_map(|(from, to, share, trays)| Segment {
            from: Minutes(from),
            to: Minutes(to),
            share,
            trays,
        })
}

fn any_tray() -> impl Strategy<Value = Tray> {
    (1.0_f64..99.0, 1.0_f64..99.0, 1_usize..13, 1_usize..13).prop_map(
        |(width, depth, across, deep)| {
            Tray::new(Centimetres(width), Centimetres(depth), across, deep)
        },
    )
}

fn any_forecast() -> impl Strategy<Value = Forecast> {
    (1_usize..4, 0_usize..12, 0_usize..12, 0.1_f64..3.0).prop_map(|(tray, row, col, ratio)| {
        Forecast {
            tray,
            row,
            col,
            ratio,
            range: (ratio * 0.9, ratio * 1.1),
        }
    })
}

fn any_piece() -> impl Strategy<Value = PieceScore> {
    let place = (1_usize..4, 0_usize..12, 0_usize..12);
    (place, 0_u8..=18, option::of(0.0_f64..600.0)).prop_map(|((tray, row, col), half, pulled)| {
        PieceScore {
            tray,
            row,
            col,
            shade: Shade::from_half_steps(half).unwrap(),
            pulled: pulled.map(Minutes),
        }
    })
}

fn any_plan() -> impl Strategy<Value = Plan> {
    let segments = || prop::collection::vec(any_segment(), 0..4);
    let alternative =
        (0_usize..5, any_yardstick(), segments()).prop_map(|(openings, evenness, segments)| {
            Alternative {
                openings,
                evenness,
                segments,
            }
        });
    let step =
        (any_words(), 0.0_f64..300.0).prop_map(|(what, to)| DialStep::new(what, Celsius(to)));
    (
        (
            (any_id(), option::of((any_id(), any_words()))),
            0.0_f64..6000.0,
            0.0_f64..400.0,
        ),
        segments(),
        prop::collection::vec(step, 0..4),
        (any_yardstick(), any_yardstick(), any_yardstick()),
        prop::collection::vec(alternative, 0..4),
        (
            option::of(any_tray()),
            prop::collection::vec(any_forecast(), 0..4),
        ),
    )
        .prop_map(
            |((kind, bake, dial), segments, steps, yards, alternatives, more)| Plan {
                kind: kind.0,
                recipe: kind.1.map(|(id, name)| RecipeName {
                    id: RecipeId::new(&id).unwrap(),
                    name,
                }),
                segments,
                bake: Minutes(bake),
                dial: Celsius(dial),
                steps_to_dial: steps,
                evenness: yards.0,
                unturned: yards.1,
                halfway: yards.2,
                alternatives,
                tray: more.0,
                forecast: more.1,
            },
        )
}

pub(super) fn any_bake() -> impl Strategy<Value = BakeLog> {
    let opening = (
        0.0_f64..600.0,
        option::of(0.0_f64..60.0),
        option::of(any_words()),
    )
        .prop_map(|(at, open_for, what)| DoorOpening {
            at: Minutes(at),
            open_for: open_for.map(Minutes),
            what: match what {
                Some(words) if words != "looked in" => Opened::Move(words),
                Some(_) | None => Opened::Look,
            },
        });
    let photo =
        (1_usize..4, 0.0_f64..5.0, 0.0_f64..1.0).prop_map(|(tray, level_shade, lean)| TrayPhoto {
            tray,
            pieces: vec![(0, tray)],
            level_shade,
            lean,
        });
    let outcome = (1_usize..4, 0_u8..=18)
        .prop_map(|(tray, half)| (tray, Shade::from_half_steps(half).unwrap()));
    (
        (any_id(), any_id(), any_mode(), any_words()),
        any_time(),
        any_plan(),
        prop::collection::vec(opening, 0..4),
        option::of(0.0_f64..6000.0),
        (
            prop::collection::vec(outcome, 0..4),
            prop::collection::vec(any_piece(), 0..6),
            option::of(0_u8..=18),
            any::<bool>(),
            -30.0_f64..30.0,
            prop::collection::vec(photo, 0..3),
        ),
        any_words(),
    )
        .prop_map(
            |((id, oven, mode, kind), started, plan, openings, baked, after, note)| BakeLog {
                id: BakeId::new(&id).unwrap(),
                oven: OvenId::new(&oven).unwrap(),
                mode,
                kind,
                started: started.into(),
                plan,
                openings,
                baked: baked.map(Minutes),
                outcome: after.0,
                pieces: after.1,
                photos: after.5,
                wanted: after.2.map(|half| Shade::from_half_steps(half).unwrap()),
                in_map: after.3,
                added: Minutes(after.4.round()),
                note,
            },
        )
}
