//! The card for the oven door: what to set, where it runs hot, where and how to turn what is baked.

use super::{
    super::{
        after::learn::own_curve,
        catalogue::{Occasion, bake_kind, bake_kinds, cautions_at},
        ground::{Ground, NoMap, ground_of_oven},
        history::test_again,
        kitchen::Records,
        plan::{PlanError, PlanRequest, Planned, Told, plan_of},
        readings::summary,
        recipe::as_kind,
    },
    age::{days, heading},
    data,
    dial::{dial_table, in_round_figures},
    request::{DOUBTS, GRID, NoPaper, PaperRequest, mode_for},
    words,
};
use crate::{
    model::{BakeKind, BakeLog, Mode, Oven, Plan, ToastTest, Tray, Yardstick},
    report::{
        paper::{Block, DataTable, Document, Table, Value},
        words::{move_words, placement_words},
    },
    units::{Celsius, Centimetres},
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

/// Heading of the maps, of an oven as it is and as it was.
const WHERE: (&str, &str) = (
    "Where it browns more and less",
    "Where it browned more and less",
);

/// Makes the card of an oven.
///
/// # Errors
/// [`NoPaper::Ground`] when the oven has no such mode or its tests give no map.
pub fn card(kitchen: &Records, oven: &Oven, request: &PaperRequest) -> Result<Document, NoPaper> {
    let mode = mode_for(kitchen, oven, request.mode);
    let ground = ground_of_oven(kitchen, oven, mode, GRID)?;
    let mode = ground.mode;
    let tests: Vec<&ToastTest> = ground.pool.tests.iter().collect();
    let bakes = match mode {
        Mode::Proofing => Vec::new(),
        _ => bakes(kitchen, oven),
    };
    let recipes: Vec<Celsius> = bakes.iter().map(|b| b.recipe).collect();
    let dial = dial_table(kitchen, oven, &recipes);
    let mut blocks = vec![
        Block::Heading("What to set".to_owned()),
        Block::Table(dial.table),
        Block::Points(dial.words),
    ];
    let mut tables = vec![dial.data];
    blocks.push(Block::Heading(heading(WHERE, &tests, oven, mode)));
    match &ground.map {
        Ok(view) => {
            blocks.push(Block::Maps(words::maps(view, oven)));
            tables.extend([data::cells(view), data::zones(view), data::evenness(view)]);
        }
        Err(NoMap::Untested { .. }) => blocks.push(Block::Text(
            "Not tested yet: lay out and score a toast test to see its hot and cool zones."
                .to_owned(),
        )),
        Err(NoMap::TooLittle(why)) => {
            blocks.push(Block::Text(format!("The tests give no map yet: {why}.")));
        }
    }
    let baking = Baking {
        kitchen,
        ground: &ground,
        told: Told {
            air: Some(summary(kitchen, oven, mode)),
            own: None,
        },
    };
    let (rules, rule_data) = baking.rules(&bakes);
    if !rules.rows.is_empty() {
        blocks.push(Block::Heading(
            "Where to put it and when to turn it".to_owned(),
        ));
        blocks.push(Block::Table(rules));
        blocks.push(Block::Text(reckoned_for(oven)));
    }
    tables.push(rule_data);
    let remarks: Vec<String> = ground
        .view()
        .into_iter()
        .flat_map(|v| &v.warnings)
        .map(ToString::to_string)
        .collect();
    if !remarks.is_empty() {
        blocks.push(Block::Heading(DOUBTS.to_owned()));
        blocks.push(Block::Points(remarks));
    }
    if !tests.is_empty() {
        let again = test_again(kitchen, oven, Some(mode), request.today);
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
        foot: "Degrees on the maps are what would brown alike, not air temperatures; intervals are 90 %. rackshade"
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
    let phrase = mode.phrase();
    match (tests.len(), days(tests)) {
        (_, None) => format!("No toast test {phrase} yet."),
        (1, Some(day)) => {
            format!("Learnt from one toast test {phrase} of {day} ({slices} slices).")
        }
        (n, Some(days)) => {
            format!("Learnt from {n} toast tests {phrase}, {days} ({slices} slices).")
        }
    }
}

/// A bake on the card.
struct Bake {
    kind: BakeKind,
    /// Its recipe's temperature in round figures of the dial's unit.
    recipe: Celsius,
    trays: usize,
    /// It was baked in this oven; others fill the card up by custom.
    on_record: bool,
}

/// Returns the baker's own recipe that a bake was of, while there is one, else its kind.
fn kind_of(kitchen: &Records, bake: &BakeLog) -> Option<BakeKind> {
    let named = bake.plan.recipe.as_ref();
    let recipe = named.and_then(|named| kitchen.recipe(&named.id));
    let own = recipe.and_then(|recipe| as_kind(recipe).ok());
    own.or_else(|| bake_kind(&bake.kind).ok().cloned())
}

/// Returns what this baker bakes in this oven, the most frequent first, with the most trays each.
fn bakes(kitchen: &Records, oven: &Oven) -> Vec<Bake> {
    let recipe = |kind: &BakeKind| in_round_figures(kind.recipe, oven.dial.unit);
    let mut found: Vec<(BakeKind, usize, usize)> = Vec::new();
    for bake in kitchen.bakes_of(&oven.id) {
        let trays = bake.plan.segments.first().map_or(1, |s| s.trays.len());
        let Some(kind) = kind_of(kitchen, bake) else {
            continue;
        };
        let is_same = |k: &BakeKind| k.key == kind.key && k.own == kind.own;
        match found.iter_mut().find(|(k, ..)| is_same(k)) {
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
            recipe: recipe(&kind),
            kind,
            trays,
            on_record: true,
        })
        .collect();
    // Their own recipes come before what anybody bakes.
    for kind in kitchen.recipes().iter().filter_map(|r| as_kind(r).ok()) {
        if !bakes.iter().any(|b| b.kind.own == kind.own) {
            bakes.push(Bake {
                recipe: recipe(&kind),
                kind,
                trays: 1,
                on_record: false,
            });
        }
    }
    for (key, trays) in USUAL {
        let known = bakes.iter().any(|b| b.kind.key == key && b.trays == trays);
        let kind = bake_kinds().iter().find(|k| k.key == key);
        if let Some(kind) = kind.filter(|_| !known) {
            bakes.push(Bake {
                recipe: recipe(kind),
                kind: kind.clone(),
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
        "Reckoned for trays of {} x {}, judged at {} x {} places on each, and at most one opening of the door. \u{b1} is the standard deviation over these places, with its 90 % interval.",
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

/// What the rules are made from: the oven in one mode with its map, and what was read of it.
struct Baking<'a> {
    kitchen: &'a Records,
    ground: &'a Ground,
    told: Told,
}

impl Baking<'_> {
    fn rules(&self, bakes: &[Bake]) -> (Table, DataTable) {
        let head = [
            "bake", "recipe", "set", "takes", "where", "then", "evenness",
        ];
        let mut table = Table {
            head: head.map(str::to_owned).into(),
            rows: Vec::new(),
        };
        let mut figures = DataTable {
            name: "bakes",
            columns: vec![
                "kind",
                "trays",
                "recipe_c",
                "dial_c",
                "bake_min",
                "sd_shade",
                "sd_lo_shade",
                "sd_hi_shade",
                "sd_unturned_shade",
                "sd_unturned_lo_shade",
                "sd_unturned_hi_shade",
            ],
            rows: Vec::new(),
        };
        for bake in bakes {
            match self.plan(bake) {
                Ok((trays, planned)) => {
                    let ruled = Rule::of(&planned.plan);
                    table
                        .rows
                        .push(ruled.row(&named(bake, trays), bake, &self.ground.oven));
                    figures.rows.push(rule_figures(bake, trays, &ruled));
                }
                // What was never baked here and cannot be is left out.
                Err(_cannot) if !bake.on_record => {}
                Err(why) => {
                    let mut row = vec![named(bake, bake.trays)];
                    row.resize(head.len() - 1, String::new());
                    row.push(why.to_string());
                    table.rows.push(row);
                }
            }
        }
        (table, figures)
    }

    /// Plans a bake; where as many trays do not fit the racks that were tested, with as many as do.
    fn plan(&self, bake: &Bake) -> Result<(usize, Planned), PlanError> {
        let told = Told {
            own: own_curve(self.kitchen, &bake.kind),
            ..self.told.clone()
        };
        let with = |trays| {
            let request = PlanRequest {
                kind: bake.kind.clone(),
                trays,
                tray: tray_for(&self.ground.oven),
                max_openings: OPENINGS,
                mode: self.ground.mode,
                recipe: Some(bake.recipe),
                time: None,
                seed: 1,
            };
            plan_of(self.ground, &told, &request).map(|planned| (trays, planned))
        };
        let all = with(bake.trays);
        match all {
            Err(_) => (1..bake.trays)
                .rev()
                .find_map(|trays| with(trays).ok())
                .map_or(all, Ok),
            Ok(_) => all,
        }
    }
}

fn named(bake: &Bake, trays: usize) -> String {
    match (trays, bake.trays) {
        (1, 1) => bake.kind.name.clone(),
        (1, _) => format!("{}, 1 tray", bake.kind.name),
        (trays, _) => format!("{}, {trays} trays", bake.kind.name),
    }
}

/// What the card says of a bake: whether to open, and how even it comes out.
struct Rule<'p> {
    plan: &'p Plan,
    /// The door is to be opened: turning gains something that can be told, or is the custom.
    opens: bool,
    /// How it comes out this way.
    evenness: &'p Yardstick,
}

impl<'p> Rule<'p> {
    /// Takes the plan's opening only where the intervals with it and without it do not overlap.
    fn of(plan: &'p Plan) -> Self {
        let told = plan.evenness.sd_range.1 < plan.unturned.sd_range.0;
        let opens = plan.segments.len() > 1 && (told || !plan.evenness.is_known());
        Self {
            plan,
            opens,
            evenness: if opens {
                &plan.evenness
            } else {
                &plan.unturned
            },
        }
    }

    fn row(&self, name: &str, bake: &Bake, oven: &Oven) -> Vec<String> {
        let plan = self.plan;
        let placed = plan.segments.first().map(|s| {
            let trays: Vec<String> = s
                .trays
                .iter()
                .map(|t| placement_words(t, oven.lengths))
                .collect();
            trays.join("; ")
        });
        vec![
            name.to_owned(),
            oven.dial.unit.show(bake.recipe),
            oven.dial.unit.show(plan.dial),
            format!("{:.0} min", self.evenness.minutes.0),
            placed.unwrap_or_default(),
            self.then(oven),
            self.even(),
        ]
    }

    fn then(&self, oven: &Oven) -> String {
        let plan = self.plan;
        if self.opens {
            let moves: Vec<String> = plan
                .segments
                .windows(2)
                .map(|pair| {
                    let what = move_words(&pair[0], &pair[1], oven.lengths);
                    format!("at {:.0} min {what}", pair[1].from.0)
                })
                .collect();
            return moves.join("; ");
        }
        let why = if !plan.evenness.is_known() {
            ": too short to open"
        } else if plan.segments.len() > 1 {
            ": turning gains nothing that can be told"
        } else {
            ""
        };
        format!("leave the door shut{why}")
    }

    fn even(&self) -> String {
        let shown = |e: &Yardstick| {
            let (lo, hi) = e.sd_range;
            format!("\u{b1}{:.1} ({lo:.1} to {hi:.1})", e.sd)
        };
        if !self.evenness.is_known() {
            return "not tested: by custom".to_owned();
        }
        let even = format!("{} shades", shown(self.evenness));
        if self.opens {
            format!("{even}, left alone {}", shown(&self.plan.unturned))
        } else if self.plan.segments.len() > 1 {
            format!("{even}, turned {}", shown(&self.plan.evenness))
        } else {
            even
        }
    }
}

fn rule_figures(bake: &Bake, trays: usize, rule: &Rule<'_>) -> Vec<Value> {
    let (e, alone) = (rule.evenness, &rule.plan.unturned);
    let mut line = vec![Value::Words(bake.kind.key.clone())];
    line.extend(
        [
            trays as f64,
            bake.recipe.0,
            rule.plan.dial.0,
            e.minutes.0,
            e.sd,
            e.sd_range.0,
            e.sd_range.1,
            alone.sd,
            alone.sd_range.0,
            alone.sd_range.1,
        ]
        .map(Value::Number),
    );
    line
}
