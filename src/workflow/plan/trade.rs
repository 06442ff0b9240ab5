//! A plan without a map: what the trade does where nothing was tested (common practice, no source).

use super::{advice, bake::Bake, made::Planned, request::PlanError};
use crate::{
    model::{Alternative, Oven, Plan, RackPosition, Segment, TrayPlacement, Yardstick},
    planner::{
        PlannerError,
        door::Timeline,
        placement::{burns_from_below, trade_racks},
        schedule::{BETWEEN_OPENINGS, earliest},
        space::Load,
    },
    units::{Centimetres, Minutes},
};

/// Plans by custom: the middle or the thirds, and one swap and turn, timed by the browning.
pub(super) fn by_trade(oven: &Oven, bake: &Bake<'_>) -> Result<Planned, PlanError> {
    let request = bake.request;
    check(oven, bake)?;
    let off_lowest = request.kind.sugared_base && burns_from_below(oven, request.mode);
    let racks = racks(oven, request.trays, off_lowest);
    let clock = bake.clock();
    let still = Timeline {
        openings: Vec::new(),
        shares: vec![1.0],
        bake: bake.dose.bake(),
    };
    let least = f64::from(BETWEEN_OPENINGS);
    let half = clock.by_shares(&[0.5]).openings;
    let turned = half
        .first()
        .map(|t| t.0.round())
        .map(|t| t.max(f64::from(earliest(bake.set_at()))))
        .filter(|_| request.max_openings > 0)
        .map(|t| clock.at_minutes(&[Minutes(t)]))
        // Opened, the bake is longer than left alone, so what is left of it is seen only now.
        .filter(|opened| opened.openings.iter().all(|t| t.0 + least <= opened.bake.0));
    let halfway = clock.at_minutes(&[Minutes(bake.dose.bake().0 / 2.0)]);
    let best = turned.as_ref().unwrap_or(&still);
    let alternatives = (0..=request.max_openings)
        .map(|openings| {
            let timeline = if openings == 0 { &still } else { best };
            Alternative {
                openings,
                evenness: Yardstick::unknown(timeline.bake),
                segments: segments(&racks, timeline),
            }
        })
        .collect();
    let plan = Plan {
        kind: request.kind.key.clone(),
        recipe: request.kind.recipe_name(),
        segments: segments(&racks, best),
        bake: best.bake,
        dial: bake.setting.dial,
        steps_to_dial: bake.setting.steps.clone(),
        evenness: Yardstick::unknown(best.bake),
        unturned: Yardstick::unknown(still.bake),
        halfway: Yardstick::unknown(halfway.bake),
        alternatives,
        tray: Some(request.tray),
        forecast: Vec::new(),
    };
    Ok(Planned {
        plan,
        warnings: Vec::new(),
        advice: advice::by_trade(oven, bake, &racks, best),
        is_weighed: false,
        of_every_load: advice::of_every_load(bake),
        measured: bake.measured.clone(),
        expected: None,
        next: bake.next_load(&best.openings),
    })
}

/// The checks that a search makes by itself.
fn check(oven: &Oven, bake: &Bake<'_>) -> Result<(), PlanError> {
    let (request, cavity) = (bake.request, oven.cavity);
    if request.max_openings > 4 {
        return Err(PlannerError::Openings(request.max_openings).into());
    }
    let load = Load {
        cavity,
        tray: request.tray,
        trays: request.trays,
        sites: Vec::new(),
    };
    Ok(load.check()?)
}

/// The rack positions of custom; that there are enough was seen before.
fn racks(oven: &Oven, trays: usize, off_lowest: bool) -> Vec<u8> {
    let choose = |from: &[RackPosition]| trade_racks(from, oven.cavity.height.0, trays);
    if off_lowest {
        let free = oven.racks.iter().filter(|r| r.number > 1);
        let racks = choose(&free.copied().collect::<Vec<_>>());
        if racks.len() == trays {
            return racks;
        }
    }
    choose(&oven.racks)
}

/// The first arrangement, and after an opening the racks swapped and every tray turned.
fn segments(racks: &[u8], timeline: &Timeline) -> Vec<Segment> {
    let place = |turned: bool| -> Vec<TrayPlacement> {
        let order: Vec<u8> = if turned {
            racks.iter().rev().copied().collect()
        } else {
            racks.to_vec()
        };
        (1..)
            .zip(order)
            .map(|(tray, rack)| TrayPlacement {
                tray,
                rack,
                turned,
                shift_x: Centimetres(0.0),
                shift_y: Centimetres(0.0),
            })
            .collect()
    };
    let starts = std::iter::once(Minutes(0.0)).chain(timeline.openings.iter().copied());
    let ends = timeline.openings.iter().copied().chain([timeline.bake]);
    starts
        .zip(ends)
        .zip(&timeline.shares)
        .enumerate()
        .map(|(i, ((from, to), share))| Segment {
            from,
            to,
            share: *share,
            trays: place(i % 2 == 1),
        })
        .collect()
}
