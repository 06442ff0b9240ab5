//! The card for the oven door: what to set, where it runs hot, where and how to turn what is baked.

use super::{
    super::{
        after::learn::with_own_curve,
        catalogue::{Occasion, bake_kind, bake_kinds, cautions_at},
        ground::ground_of_oven,
        history::test_again,
        kitchen::Kitchen,
        map::MapView,
        plan::{PlanRequest, measured_for, plan_bake},
        pool::tests_now,
    },
    DOUBTS, GRID, NoPaper, PaperRequest, data,
    dial::dial_table,
    mode_for, words,
};
use crate::{
    model::{BakeKind, Mode, Oven, Plan, ToastTest, Tray},
    report::{
        paper::{Block, DataTable, Document, Table, Value},
        words::{move_words, placement_words},
    },
    units::Centimetres,
};

/// Bakes on a card at most: each takes a plan, and the page is one.
const BAKES: usize = 4;
/// Bakes that fill the card up beside those on record, with their trays: two thin ones, a tall one and a loaf.
const USUAL: [(&str, usize); 3] = [("thin-cookie", 2), ("layer-cake", 1), ("lean-loaf", 1)];
/// Openings of the door that the rules count on.
const OPENINGS: usize = 1;
/// A half sheet pan of 18 x 13 in, cm, and the air it needs to either wall.
const TRAY_CM: (f64, f64, f64) = (45.72, 33.02, 2.5);
/// Pieces on it, along the door and front to back.
const PIECES: (usize, usize) = (4, 3);

/// Makes the card of an oven.
///
/// # Errors
/// [`NoPaper::Ground`] when the oven has no such mode or its tests give no map.
pub fn card(kitchen: &Kitchen, oven: &Oven, request: &PaperRequest) -> Result<Document, NoPaper> {
    let mode = mode_for(kitchen, oven, request.mode);
    let ground = ground_of_oven(kitchen, oven, mode, GRID)?;
    let mode = ground.mode;
    let (tests, _) = tests_now(kitchen, oven, mode);
    let dial = dial_table(kitchen, oven);
    let mut blocks = vec![
        Block::Heading("What to set".to_owned()),
        Block::Table(dial.table),
        Block::Points(dial.words),
    ];
    let mut tables = vec![dial.data];
    blocks.push(Block::Heading(format!(
        "Where it browns more and less, {}",
        mode.words()
    )));
    match &ground.view {
        Some(view) => {
            blocks.push(Block::Maps(words::maps(view, oven)));
            tables.extend([data::cells(view), data::zones(view), data::evenness(view)]);
        }
        None => blocks.push(Block::Text(
            "Not tested yet: lay out and score a toast test to see its hot and cool zones."
                .to_owned(),
        )),
    }
    let (rules, rule_data) = rules(kitchen, oven, mode, ground.view.as_ref());
    blocks.push(Block::Heading(
        "Where to put it and when to turn it".to_owned(),
    ));
    blocks.push(Block::Table(rules));
    blocks.push(Block::Text(reckoned_for(oven)));
    tables.push(rule_data);
    let remarks: Vec<String> = ground
        .view
        .iter()
        .flat_map(|v| &v.warnings)
        .map(ToString::to_string)
        .collect();
    if !remarks.is_empty() {
        blocks.push(Block::Heading(DOUBTS.to_owned()));
        blocks.push(Block::Points(remarks));
    }
    if !tests.is_empty() {
        let again = test_again(kitchen, oven, request.today);
        blocks.push(Block::Text(format!("{}.", again.sentence())));
    }
    blocks.push(Block::Cautions(cautions_at(Occasion::Bake, oven)));
    Ok(Document {
        kind: "card",
        title: oven.name.clone(),
        subtitle: format!(
            "Card for the oven door, {}. {}",
            request.today,
            rests_on(&tests, mode)
        ),
        foot: "Degrees are what would brown alike, not air temperatures; intervals in brackets are 90 %. rackshade"
            .to_owned(),
        one_page: true,
        lengths: oven.lengths,
        blocks,
        data: tables,
    })
}

/// Says what the maps rest on.
pub(super) fn rests_on(tests: &[&ToastTest], mode: Mode) -> String {
    let slices: usize = tests.iter().map(|t| t.scored()).sum();
    match tests {
        [] => format!("No toast test {} yet.", mode.phrase()),
        [one] => format!(
            "Learnt from one toast test {} of {} ({slices} slices).",
            mode.phrase(),
            one.when.date()
        ),
        [first, .., last] => format!(
            "Learnt from {} toast tests {}, {} to {} ({slices} slices).",
            tests.len(),
            mode.phrase(),
            first.when.date(),
            last.when.date()
        ),
    }
}

/// A bake on the card.
struct Bake {
    kind: &'static BakeKind,
    trays: usize,
    /// It was baked in this oven; others fill the card up by custom.
    on_record: bool,
}

/// Returns what this baker bakes in this oven, the most frequent first, with the most trays each.
fn bakes(kitchen: &Kitchen, oven: &Oven) -> Vec<Bake> {
    let mut found: Vec<(&'static BakeKind, usize, usize)> = Vec::new();
    for bake in kitchen.bakes_of(&oven.id) {
        let trays = bake.plan.segments.first().map_or(1, |s| s.trays.len());
        let Ok(kind) = bake_kind(&bake.kind) else {
            continue;
        };
        match found.iter_mut().find(|(k, ..)| k.key == kind.key) {
            Some((_, count, most)) => {
                *count += 1;
                *most = (*most).max(trays);
            }
            None => found.push((kind, 1, trays.max(1))),
        }
    }
    found.sort_by_key(|(_, count, _)| std::cmp::Reverse(*count));
    let mut bakes: Vec<Bake> = found
        .into_iter()
        .map(|(kind, _, trays)| Bake {
            kind,
            trays,
            on_record: true,
        })
        .collect();
    for (key, trays) in USUAL {
        let known = bakes.iter().any(|b| b.kind.key == key && b.trays == trays);
        let kind = bake_kinds().iter().find(|k| k.key == key);
        if let Some(kind) = kind.filter(|_| !known) {
            bakes.push(Bake {
                kind,
                trays,
                on_record: false,
            });
        }
    }
    bakes.truncate(BAKES);
    bakes
}

/// Says what the rules are reckoned for.
fn reckoned_for(oven: &Oven) -> String {
    let tray = tray_for(oven);
    format!(
        "Reckoned for trays of {} x {} with {} x {} pieces and at most one opening of the door. \u{b1} is the standard deviation over the pieces, with its 90 % interval.",
        oven.lengths.show(tray.width),
        oven.lengths.show(tray.depth),
        tray.across,
        tray.deep
    )
}

fn tray_for(oven: &Oven) -> Tray {
    let (width, depth, air) = TRAY_CM;
    Tray {
        width: Centimetres(width.min(oven.cavity.width.0 - 2.0 * air)),
        depth: Centimetres(depth.min(oven.cavity.depth.0 - 2.0 * air)),
        across: PIECES.0,
        deep: PIECES.1,
    }
}

fn rules(kitchen: &Kitchen, oven: &Oven, mode: Mode, view: Option<&MapView>) -> (Table, DataTable) {
    let head = ["bake", "set", "takes", "where", "then", "evenness"];
    let mut table = Table {
        head: head.map(str::to_owned).into(),
        rows: Vec::new(),
    };
    let mut figures = DataTable {
        name: "bakes",
        columns: vec![
            "kind",
            "trays",
            "dial_c",
            "bake_min",
            "sd_shade",
            "sd_lo_shade",
            "sd_hi_shade",
            "sd_unturned_shade",
        ],
        rows: Vec::new(),
    };
    for bake in bakes(kitchen, oven) {
        let (kind, trays) = (bake.kind, bake.trays);
        let request = PlanRequest {
            // The baker's own dose curve, where the bakes tell it.
            kind: with_own_curve(kitchen, kind).0,
            trays,
            tray: tray_for(oven),
            max_openings: OPENINGS,
            mode,
            recipe: None,
            time: None,
            seed: 1,
        };
        let measured = measured_for(kitchen, oven, &request);
        let name = if trays == 1 {
            kind.name.clone()
        } else {
            format!("{}, {trays} trays", kind.name)
        };
        match plan_bake(oven, view, &request, &measured) {
            Ok(plan) => {
                table.rows.push(rule(&name, &plan, oven));
                let e = &plan.evenness;
                let mut line = vec![Value::Words(kind.key.clone())];
                line.extend(
                    [
                        trays as f64,
                        plan.dial.0,
                        plan.bake.0,
                        e.sd,
                        e.sd_range.0,
                        e.sd_range.1,
                        plan.unturned.sd,
                    ]
                    .map(Value::Number),
                );
                figures.rows.push(line);
            }
            // What was never baked here and cannot be is left out.
            Err(_cannot) if !bake.on_record => {}
            Err(why) => {
                let mut row = vec![name];
                row.resize(head.len() - 1, String::new());
                row.push(why.to_string());
                table.rows.push(row);
            }
        }
    }
    (table, figures)
}

fn rule(name: &str, plan: &Plan, oven: &Oven) -> Vec<String> {
    let placed = plan.segments.first().map(|s| {
        let trays: Vec<String> = s
            .trays
            .iter()
            .map(|t| placement_words(t, oven.lengths))
            .collect();
        trays.join("; ")
    });
    let moves: Vec<String> = plan
        .segments
        .windows(2)
        .map(|pair| {
            let what = move_words(&pair[0], &pair[1], oven.lengths);
            format!("at {:.0} min {what}", pair[1].from.0)
        })
        .collect();
    let then = if moves.is_empty() {
        "leave the door shut".to_owned()
    } else {
        moves.join("; ")
    };
    let e = &plan.evenness;
    let even = if e.is_known() {
        let (lo, hi) = e.sd_range;
        let left_alone = if moves.is_empty() {
            String::new()
        } else {
            format!(", left alone \u{b1}{:.1}", plan.unturned.sd)
        };
        format!("\u{b1}{:.1} ({lo:.1} to {hi:.1}) shades{left_alone}", e.sd)
    } else {
        "not tested: by custom".to_owned()
    };
    vec![
        name.to_owned(),
        oven.dial.unit.show(plan.dial),
        format!("{:.0} min", plan.bake.0),
        placed.unwrap_or_default(),
        then,
        even,
    ]
}
