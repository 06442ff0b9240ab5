//! The card for the oven door: what to set, where it runs hot, where and how to turn what is baked.

use super::{
    super::{
        after::learn::with_own_curve,
        catalogue::{Occasion, bake_kind, bake_kinds, cautions_at},
        ground::ground_of_oven,
        kitchen::Kitchen,
        map::MapView,
        plan::{PlanRequest, measured_for, plan_bake},
        pool::tests_now,
    },
    GRID, NoPaper, PaperRequest, data,
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

/// Kinds of bake on a card at most: each takes a plan, and the page is one.
const KINDS: usize = 3;
/// Kinds taken where no bake is on record: a thin one, a tall one and a loaf.
const USUAL: [&str; KINDS] = ["thin-cookie", "layer-cake", "lean-loaf"];
/// Openings of the door that the rules count on.
const OPENINGS: usize = 1;
/// A half sheet pan, cm, and the air it needs to either wall.
const TRAY_CM: (f64, f64, f64) = (46.0, 33.0, 2.5);

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
    tables.push(rule_data);
    let remarks: Vec<String> = ground
        .view
        .iter()
        .flat_map(|v| &v.warnings)
        .map(ToString::to_string)
        .collect();
    if !remarks.is_empty() {
        blocks.push(Block::Points(remarks));
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

/// Returns the kinds this baker bakes in this oven, the most frequent first, with the most trays each.
fn kinds(kitchen: &Kitchen, oven: &Oven) -> Vec<(&'static BakeKind, usize)> {
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
    let mut kinds: Vec<_> = found.into_iter().map(|(k, _, t)| (k, t)).collect();
    // What was never baked here fills the card up by custom.
    for kind in bake_kinds() {
        let usual = USUAL.contains(&kind.key.as_str());
        if usual && !kinds.iter().any(|(k, _)| k.key == kind.key) {
            kinds.push((kind, 1));
        }
    }
    kinds.truncate(KINDS);
    kinds
}

fn tray_for(oven: &Oven) -> Tray {
    let (width, depth, air) = TRAY_CM;
    Tray {
        width: Centimetres(width.min(oven.cavity.width.0 - 2.0 * air)),
        depth: Centimetres(depth.min(oven.cavity.depth.0 - 2.0 * air)),
        across: 4,
        deep: 3,
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
    for (kind, trays) in kinds(kitchen, oven) {
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
    let even = if plan.evenness.is_known() {
        format!(
            "+-{:.1} shades (left alone +-{:.1})",
            plan.evenness.sd, plan.unturned.sd
        )
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
