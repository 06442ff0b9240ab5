//! What a card says of each bake: where to put it, when to turn it, and how even it then comes out.

use super::super::{
    after::learn::own_curve,
    catalogue::{bake_kind, bake_kinds},
    ground::Ground,
    kitchen::Records,
    plan::{PlanError, PlanRequest, Planned, Told, plan_of},
    recipe::as_kind,
};
use crate::{
    model::{
        BakeKind, BakeLog, Gravity, Oven, Plan, Segment, Tray, Warning, Yardstick,
        text::racks_named,
    },
    report::{
        paper::{DataTable, Table, Value},
        words::{move_words, placement_words},
    },
    units::{Celsius, Centimetres, TemperatureUnit},
};

/// Bakes on a card at most: each takes a plan, and the page is one.
const BAKES: usize = 4;
/// Bakes that fill the card up beside those on record, with their trays: two thin ones, a tall one and a loaf.
const USUAL: [(&str, usize); 3] = [("thin-cookie", 2), ("layer-cake", 1), ("lean-loaf", 1)];
/// A half sheet pan of 18 x 13 in, cm, and the air it needs to either wall.
const TRAY_CM: (f64, f64, f64) = (45.72, 33.02, 2.5);
/// Temperatures of usual bakes are rounded to this, in the dial's unit.
const ROUND: f64 = 5.0;
/// Sentences of what to do on the front at most.
const MOST_WAYS: usize = 4;
/// Pieces on it, along the door and front to back.
const PIECES: (usize, usize) = (4, 3);

/// A bake on the card.
pub(super) struct Bake {
    kind: BakeKind,
    /// Its recipe's temperature, of a usual bake in round figures of the dial's unit.
    pub(super) recipe: Celsius,
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
pub(super) fn bakes(kitchen: &Records, oven: &Oven) -> Vec<Bake> {
    // One's own recipes stay as they are written.
    let recipe = |kind: &BakeKind| match kind.own {
        Some(_) => kind.recipe,
        None => round_figure(kind.recipe, oven.dial.unit),
    };
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

/// Returns the nearest figure that ends in 0 or 5, as recipes are written.
fn round_figure(recipe: Celsius, unit: TemperatureUnit) -> Celsius {
    unit.temperature((unit.figure(recipe) / ROUND).round() * ROUND)
}

/// Says what the rules are reckoned for.
pub(super) fn reckoned_for(oven: &Oven) -> String {
    let tray = tray_for(oven);
    format!(
        "Reckoned for trays of {} x {} with {} x {} pieces, recipes of your own for their own trays, opening the door once at most. Half a shade is the least a baker notices.",
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

/// A bake with the plan made for it.
pub(super) struct Ruled {
    bake: Bake,
    /// How many trays the plan has, and the plan; or why there is none.
    pub(super) outcome: Result<(usize, Planned), PlanError>,
}

/// Plans every bake on the map of `ground`; what was never baked here and cannot be is left out.
pub(super) fn ruled(
    (kitchen, ground): (&Records, &Ground),
    told: &Told,
    bakes: Vec<Bake>,
) -> Vec<Ruled> {
    let plan = |bake: &Bake| planned(kitchen, ground, told, bake);
    let all = bakes.into_iter().map(|bake| Ruled {
        outcome: plan(&bake),
        bake,
    });
    let mut ruled: Vec<Ruled> = Vec::new();
    for one in all.filter(|one| one.outcome.is_ok() || one.bake.on_record) {
        // With fewer trays than meant it may be what stands there already.
        if !ruled.iter().any(|other| other.is_same(&one)) {
            ruled.push(one);
        }
    }
    ruled
}

/// What would spoil bakes, with the names of those: `top heat alone browns ...; it is for finishing only (thin cookies)`.
pub(super) fn spoilt(ruled: &[Ruled]) -> Vec<String> {
    let mut said: Vec<(&Warning, Vec<&str>)> = Vec::new();
    for (name, warning) in ruled.iter().flat_map(Ruled::spoils) {
        match said.iter_mut().find(|(w, _)| *w == warning) {
            Some((_, names)) => names.push(name),
            None => said.push((warning, vec![name])),
        }
    }
    said.iter()
        .map(|(warning, names)| format!("{warning} ({})", names.join(", ")))
        .collect()
}

impl Ruled {
    /// Tells whether both are the same bake of as many trays.
    fn is_same(&self, other: &Self) -> bool {
        let of = |ruled: &Self| {
            let kind = &ruled.bake.kind;
            let trays = ruled.outcome.as_ref().map(|(trays, _)| *trays).ok();
            (kind.key.clone(), kind.own.clone(), trays)
        };
        of(self) == of(other)
    }

    /// Returns what would spoil this bake, each with its name.
    fn spoils(&self) -> impl Iterator<Item = (&str, &Warning)> {
        let warnings = self.outcome.iter().flat_map(|(_, p)| &p.warnings);
        warnings
            .filter(|w| w.gravity == Gravity::Spoils)
            .map(|w| (self.bake.kind.name.as_str(), w))
    }

    /// Tells whether the card is to say how to bake it: not what it would spoil.
    fn is_advised(&self) -> bool {
        self.spoils().next().is_none()
    }
}

/// Plans a bake; where as many trays do not fit the racks that were tested, with as many as do.
fn planned(
    kitchen: &Records,
    ground: &Ground,
    told: &Told,
    bake: &Bake,
) -> Result<(usize, Planned), PlanError> {
    let told = Told {
        own: own_curve(kitchen, &bake.kind),
        ..told.clone()
    };
    let own = bake.kind.own.as_ref().and_then(|id| kitchen.recipe(id));
    let tray = own.map_or_else(|| tray_for(&ground.oven), |recipe| recipe.tray);
    let with = |trays| {
        let request = PlanRequest {
            trays,
            recipe: Some(bake.recipe),
            ..PlanRequest::of(bake.kind.clone(), ground.mode, tray)
        };
        plan_of(ground, &told, &request).map(|planned| (trays, planned))
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

/// Makes the table of rules for the back of the card, and the figures behind it.
pub(super) fn rules_table(ruled: &[Ruled], oven: &Oven) -> (Table, DataTable) {
    let mut table = Table {
        head: Table::heads("bake | recipe | set | takes | where | then | lightest to darkest"),
        rows: Vec::new(),
    };
    let mut figures = DataTable::new(
        "bakes",
        "kind trays recipe_c dial_c bake_min sd_shade sd_lo_shade sd_hi_shade sd_unturned_shade \
         sd_unturned_lo_shade sd_unturned_hi_shade",
        Vec::new(),
    );
    for Ruled { bake, outcome } in ruled.iter().filter(|r| r.is_advised()) {
        match outcome {
            Ok((trays, planned)) => {
                let rule = Rule::of(&planned.plan);
                table.rows.push(rule.row(&named(bake, *trays), bake, oven));
                figures.rows.push(rule_figures(bake, *trays, &rule));
            }
            Err(why) => {
                let mut row = vec![named(bake, bake.trays)];
                row.resize(table.head.len() - 1, String::new());
                row.push(why.to_string());
                table.rows.push(row);
            }
        }
    }
    (table, figures)
}

/// What several bakes have in common: trays, their places, and when they are turned.
struct Way {
    trays: usize,
    places: String,
    then: String,
    names: Vec<String>,
}

/// Says in two to four sentences where to put what, and when to turn it.
pub(super) fn to_do(ruled: &[Ruled], oven: &Oven) -> Vec<String> {
    let mut ways: Vec<Way> = Vec::new();
    for Ruled { bake, outcome } in ruled.iter().filter(|r| r.is_advised()) {
        let Ok((trays, planned)) = outcome else {
            continue;
        };
        let rule = Rule::of(&planned.plan);
        let first = planned.plan.segments.first();
        let places = first.map_or_else(String::new, |s| places_words(s, oven));
        let then = rule.briefly(oven);
        let dial = oven.dial.unit.show(planned.plan.dial);
        // In large print there is no room for a doubt.
        let name = if planned.measured.guessed {
            bake.kind.name.clone()
        } else {
            format!("{} at {dial}", bake.kind.name)
        };
        let same = ways
            .iter_mut()
            .find(|w| w.trays == *trays && w.places == places && w.then == then);
        match same {
            Some(way) => way.names.push(name),
            None => ways.push(Way {
                trays: *trays,
                places,
                then,
                names: vec![name],
            }),
        }
    }
    // The most trays first: that is where turning counts.
    ways.sort_by_key(|w| std::cmp::Reverse(w.trays));
    ways.truncate(MOST_WAYS);
    ways.iter()
        .map(|way| {
            let trays = match way.trays {
                1 => "One tray".to_owned(),
                2 => "Two trays".to_owned(),
                3 => "Three trays".to_owned(),
                n => format!("{n} trays"),
            };
            let names = way.names.join(", ");
            format!("{trays} of {names}: {}. {}.", way.places, way.then)
        })
        .collect()
}

/// Says where the trays of a segment stand: `rack 2`, `racks 2 and 5`, with shifts where there are any.
fn places_words(segment: &Segment, oven: &Oven) -> String {
    let each: Vec<String> = segment
        .trays
        .iter()
        .map(|t| {
            let words = placement_words(t, oven.lengths);
            let tray = format!("tray {} on ", t.tray);
            words.strip_prefix(&tray).unwrap_or(&words).to_owned()
        })
        .collect();
    let bare = |words: &String| words.strip_prefix("rack ").map(|r| r.parse::<u8>().is_ok());
    match each.as_slice() {
        [_] => each.concat(),
        many if many.iter().all(|w| bare(w) == Some(true)) => {
            let mut racks: Vec<u8> = segment.trays.iter().map(|t| t.rack).collect();
            racks.sort_unstable();
            racks_named(&racks)
        }
        many => many.join("; "),
    }
}

fn named(bake: &Bake, trays: usize) -> String {
    match (trays, bake.trays) {
        (1, 1) => bake.kind.name.clone(),
        (1, _) => format!("{}, 1 tray", bake.kind.name),
        (trays, _) => format!("{}, {trays} trays", bake.kind.name),
    }
}

/// What the card says of a bake: the same as a plan of it says on the screen.
struct Rule<'p> {
    plan: &'p Plan,
}

impl<'p> Rule<'p> {
    fn of(plan: &'p Plan) -> Self {
        Self { plan }
    }

    /// Tells whether the door is to be opened.
    fn opens(&self) -> bool {
        self.plan.segments.len() > 1
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
            format!("{:.0} min", self.plan.evenness.minutes.0),
            placed.unwrap_or_default(),
            self.then(oven),
            self.even(),
        ]
    }

    fn moves(&self, oven: &Oven) -> Vec<(f64, String)> {
        let segments = &self.plan.segments;
        segments
            .windows(2)
            .map(|pair| {
                let what = move_words(&pair[0], &pair[1], oven.lengths);
                (pair[1].from.0, what)
            })
            .collect()
    }

    fn then(&self, oven: &Oven) -> String {
        if self.opens() {
            let moves: Vec<String> = self
                .moves(oven)
                .into_iter()
                .map(|(minute, what)| format!("at {minute:.0} min {what}"))
                .collect();
            return moves.join("; ");
        }
        let why = if self.plan.evenness.is_known() {
            ""
        } else {
            ": too short to open"
        };
        format!("leave the door shut{why}")
    }

    /// Says the same for the front: `At 9 of 13 min swap racks 2 and 5, turn both trays front to back`.
    fn briefly(&self, oven: &Oven) -> String {
        if !self.opens() {
            return "No turning".to_owned();
        }
        let whole = self.plan.evenness.minutes.0;
        let moves: Vec<String> = self
            .moves(oven)
            .into_iter()
            .map(|(minute, what)| format!("At {minute:.0} of {whole:.0} min {what}"))
            .collect();
        moves.join(". ")
    }

    fn even(&self) -> String {
        let shown = |e: &Yardstick| {
            let (lo, hi) = e.spread_range;
            format!("{:.1} ({lo:.1} to {hi:.1})", e.spread)
        };
        if !self.plan.evenness.is_known() {
            return "not tested: by custom".to_owned();
        }
        let even = format!("{} shades", shown(&self.plan.evenness));
        if self.opens() {
            format!("{even}; never turned, {}", shown(&self.plan.unturned))
        } else {
            even
        }
    }
}

fn rule_figures(bake: &Bake, trays: usize, rule: &Rule<'_>) -> Vec<Value> {
    let (e, alone) = (&rule.plan.evenness, &rule.plan.unturned);
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
