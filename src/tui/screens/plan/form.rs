//! What is to be baked: the lines a baker sets before a plan can be made.

use crate::tui::widgets::{
    form::rows,
    list::{neighbour, turn},
};
use crate::workflow::{
    catalogue::bake_kinds,
    kitchen::Records,
    plan::{PlanRequest, USUAL_OPENINGS},
    recipe::as_kind,
};
use crate::{
    model::{BakeKind, Mode, Oven, RecipeId, Tray, bake::BAKE_TIMES},
    units::{Celsius, Centimetres, Minutes},
};

/// Seed of the joint samples behind a plan's intervals: fixed, so that the same form gives the same plan.
const SEED: u64 = 1;
/// The most trays at once.
const MOST_TRAYS: usize = 3;
/// The most door openings.
const MOST_OPENINGS: usize = 4;
/// The most pieces in a row of a tray.
const MOST_PIECES: usize = 12;
/// Air kept between a tray and each wall (owner's manuals give 4 to 5 cm).
const CLEARANCE_CM: f64 = 5.0;

/// A tray size of the trade: name, extent along the door and front to back in inches, pieces each way.
///
/// Nominal outer sizes, common practice, no source.
const TRAYS: [(&str, f64, f64, usize, usize); 6] = [
    ("half sheet", 18.0, 13.0, 4, 3),
    ("half sheet, endways", 13.0, 18.0, 3, 4),
    ("quarter sheet", 13.0, 9.5, 3, 2),
    ("quarter sheet, endways", 9.5, 13.0, 2, 3),
    ("eighth sheet", 9.5, 6.5, 3, 2),
    ("round 9 in tin", 9.0, 9.0, 1, 1),
];

rows! {
    /// One line of the form.
    pub(crate) enum Row [label] {
        /// The kind of bake.
        Bake: "Bake";
        /// The recipe's temperature in still air.
        Recipe: "Recipe";
        /// The recipe's time.
        Time: "Time";
        /// How it heats.
        Mode: "Mode";
        /// How many trays.
        Trays: "Trays";
        /// The size of a tray.
        Size: "Tray";
        /// Pieces along the door.
        Across: "Across";
        /// Pieces front to back.
        Deep: "Deep";
        /// Door openings allowed.
        Openings: "Door";
        /// The rack position, where only one is free.
        Rack: "Rack";
    }
}

/// The form with its values.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Form {
    /// A kind of bake, or behind them all a recipe of the baker's own.
    kind: usize,
    /// Recipes taken for kinds of bake, with their trays.
    own: Vec<(BakeKind, Tray)>,
    /// The tray of the recipe chosen, until another size is.
    own_size: Option<Tray>,
    recipe: Celsius,
    time: Minutes,
    mode: Mode,
    trays: usize,
    /// The one rack position that is free; `None` for all of them.
    rack: Option<u8>,
    size: usize,
    across: usize,
    deep: usize,
    openings: usize,
}

impl Form {
    /// Starts with the first kind of bake on one tray as large as the oven takes.
    pub(super) fn new(oven: &Oven, mode: Option<Mode>) -> Self {
        let size = sizes(oven).first().copied().unwrap_or(TRAYS.len() - 1);
        let first = bake_kinds().first();
        Self {
            kind: 0,
            own: Vec::new(),
            own_size: None,
            recipe: first.map_or(Celsius(177.0), |k| k.recipe),
            time: first.map_or(Minutes(11.0), |k| k.time),
            mode: mode
                .or(oven.modes.first().copied())
                .unwrap_or(Mode::StillAir),
            trays: 1,
            rack: None,
            size,
            across: TRAYS[size].3,
            deep: TRAYS[size].4,
            openings: usize::from(USUAL_OPENINGS),
        }
    }

    /// Returns the kind of bake.
    pub(super) fn kind(&self) -> Option<&BakeKind> {
        let kinds = bake_kinds();
        let own = || self.own.get(self.kind - kinds.len());
        kinds.get(self.kind).or_else(|| Some(&own()?.0))
    }

    /// Offers the baker's own recipes behind the kinds of bake; begins with the one that was chosen.
    pub(super) fn with_recipes(
        mut self,
        own: Vec<(BakeKind, Tray)>,
        chosen: Option<&RecipeId>,
    ) -> Self {
        let at = chosen.and_then(|id| own.iter().position(|(k, _)| k.own.as_ref() == Some(id)));
        self.own = own;
        if let Some(at) = at {
            self.take(bake_kinds().len() + at);
        }
        self
    }

    /// Takes over a bake that was asked for elsewhere: what it is, its trays and its figures.
    pub(super) fn asked_for(mut self, request: &PlanRequest) -> Self {
        let same = |kind: &BakeKind| kind.key == request.kind.key && kind.own == request.kind.own;
        let mut kinds = bake_kinds().iter().chain(self.own.iter().map(|(k, _)| k));
        if let Some(at) = kinds.position(same) {
            self.take(at);
        }
        let tray = request.tray;
        let near = |inches: f64, side: Centimetres| (inches * 2.54 - side.0).abs() < 0.1;
        let named = TRAYS
            .iter()
            .position(|(_, width, depth, ..)| near(*width, tray.width) && near(*depth, tray.depth));
        self.size = named.unwrap_or(self.size);
        self.own_size = if named.is_some() { None } else { Some(tray) };
        Self {
            recipe: request.recipe.unwrap_or(self.recipe),
            time: request.time.unwrap_or(self.time),
            mode: request.mode,
            trays: request.trays,
            rack: request.racks.first().copied(),
            across: tray.across,
            deep: tray.deep,
            openings: request.max_openings,
            ..self
        }
    }

    /// Takes a kind of bake, or a recipe with its tray.
    fn take(&mut self, kind: usize) {
        self.kind = kind;
        if let Some((recipe, time)) = self.kind().map(|k| (k.recipe, k.time)) {
            (self.recipe, self.time) = (recipe, time);
        }
        let own = kind.checked_sub(bake_kinds().len());
        self.own_size = own.and_then(|at| Some(self.own.get(at)?.1));
        if let Some(tray) = self.own_size {
            (self.across, self.deep) = (tray.across, tray.deep);
        }
    }

    /// Returns the mode.
    pub(super) fn mode(&self) -> Mode {
        self.mode
    }

    /// Changes a line by one step up (1) or down (-1).
    pub(super) fn change(&mut self, row: Row, by: i8, oven: &Oven) {
        match row {
            Row::Bake => {
                let count = bake_kinds().len() + self.own.len();
                self.take(turn(self.kind, by, count));
            }
            Row::Recipe => {
                let unit = oven.dial.unit;
                let figure = unit.figure(self.recipe) + f64::from(by) * oven.dial.step;
                let t = unit.temperature(figure);
                if (oven.dial.lowest.0..=oven.dial.highest.0).contains(&t.0) {
                    self.recipe = t;
                }
            }
            Row::Time => {
                self.time = Minutes(
                    (self.time.0 + f64::from(by)).clamp(*BAKE_TIMES.start(), *BAKE_TIMES.end()),
                );
            }
            Row::Mode => {
                self.mode = neighbour(&oven.modes, self.mode, by).unwrap_or(self.mode);
            }
            Row::Trays => {
                self.trays = step(self.trays, by, 1, MOST_TRAYS.min(oven.racks.len().max(1)));
                if self.trays > 1 {
                    self.rack = None;
                }
            }
            Row::Rack => {
                if self.trays == 1 {
                    let numbers = oven.racks.iter().map(|r| Some(r.number));
                    let ways: Vec<Option<u8>> = std::iter::once(None).chain(numbers).collect();
                    self.rack = neighbour(&ways, self.rack, by).flatten();
                }
            }
            Row::Size => {
                self.own_size = None;
                if let Some(size) = neighbour(&sizes(oven), self.size, by) {
                    self.size = size;
                    (self.across, self.deep) = (TRAYS[size].3, TRAYS[size].4);
                }
            }
            Row::Across => self.across = step(self.across, by, 1, MOST_PIECES),
            Row::Deep => self.deep = step(self.deep, by, 1, MOST_PIECES),
            Row::Openings => self.openings = step(self.openings, by, 0, MOST_OPENINGS),
        }
    }

    /// Writes a line's value with its unit.
    pub(super) fn words(&self, row: Row, oven: &Oven) -> String {
        let pieces = |n: usize| {
            if n == 1 {
                "1 piece".to_owned()
            } else {
                format!("{n} pieces")
            }
        };
        match row {
            Row::Bake => self.kind().map_or_else(String::new, |k| k.name.clone()),
            Row::Recipe => format!("{}, no fan", oven.dial.unit.show(self.recipe)),
            Row::Time => self.time.to_string(),
            Row::Mode => self.mode.words().to_owned(),
            Row::Trays => match self.trays {
                1 => "1 tray".to_owned(),
                n => format!("{n} trays"),
            },
            Row::Rack => match self.rack {
                None => "any".to_owned(),
                Some(rack) => format!("only {rack}"),
            },
            Row::Size if self.own_size.is_some() => "the recipe's own".to_owned(),
            Row::Size => TRAYS[self.size].0.to_owned(),
            Row::Across => pieces(self.across),
            Row::Deep => pieces(self.deep),
            Row::Openings => match self.openings {
                0 => "stays shut".to_owned(),
                1 => "up to 1 opening".to_owned(),
                n => format!("up to {n} openings"),
            },
        }
    }

    /// Writes the tray's size.
    pub(super) fn size_words(&self, oven: &Oven) -> String {
        let tray = self.tray();
        let figure = |l| oven.lengths.show(l);
        format!("{} x {}", figure(tray.width), figure(tray.depth))
    }

    fn tray(&self) -> Tray {
        let (_, width, depth, ..) = TRAYS[self.size];
        let inches = |v: f64| Centimetres(v * 2.54);
        let named = (inches(width), inches(depth));
        let own = self.own_size.map(|t| (t.width, t.depth));
        let (width, depth) = own.unwrap_or(named);
        Tray::new(width, depth, self.across, self.deep)
    }

    /// Returns the question for the planner; `None` when no kind of bake is known.
    pub(super) fn request(&self) -> Option<PlanRequest> {
        Some(PlanRequest {
            kind: self.kind()?.clone(),
            trays: self.trays,
            tray: self.tray(),
            racks: self.rack.into_iter().collect(),
            max_openings: self.openings,
            mode: self.mode,
            recipe: Some(self.recipe),
            time: Some(self.time),
            seed: SEED,
        })
    }
}

/// Takes every recipe for a kind of bake, with its tray.
pub(super) fn own_recipes(records: &Records) -> Vec<(BakeKind, Tray)> {
    let recipes = records.recipes().iter();
    recipes
        .filter_map(|r| Some((as_kind(r).ok()?, r.tray)))
        .collect()
}

/// Returns which tray sizes fit the oven with air to the walls, largest first as listed.
fn sizes(oven: &Oven) -> Vec<usize> {
    let room = |cavity: f64, inches: f64| inches * 2.54 <= cavity - 2.0 * CLEARANCE_CM;
    let fits = |&(_, (_, width, depth, ..)): &(usize, &(&str, f64, f64, usize, usize))| {
        room(oven.cavity.width.0, *width) && room(oven.cavity.depth.0, *depth)
    };
    TRAYS
        .iter()
        .enumerate()
        .filter(fits)
        .map(|(i, _)| i)
        .collect()
}

fn step(value: usize, by: i8, least: usize, most: usize) -> usize {
    value
        .saturating_add_signed(isize::from(by))
        .clamp(least, most)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workflow::catalogue::oven_templates;

    #[test]
    fn every_value_stays_in_its_range_however_often_it_is_changed() {
        for template in oven_templates() {
            let oven = &template.oven;
            let mut form = Form::new(oven, None);
            for row in Row::ALL {
                for by in [1_i8, -1] {
                    for _ in 0..300 {
                        form.change(row, by, oven);
                        let request = form.request().unwrap();
                        assert!((1..=3).contains(&request.trays));
                        assert!(request.max_openings <= 4);
                        assert!(request.tray.across >= 1 && request.tray.deep >= 1);
                        assert!(oven.modes.contains(&request.mode));
                        assert!(!form.words(row, oven).is_empty());
                    }
                }
            }
        }
    }

    #[test]
    fn another_bake_brings_its_own_recipe() {
        let oven = &oven_templates()[0].oven;
        let mut form = Form::new(oven, None);
        form.change(Row::Recipe, 1, oven);
        let kinds = bake_kinds();
        assert!(kinds.len() > 1);
        form.change(Row::Bake, 1, oven);
        let request = form.request().unwrap();
        assert_eq!(request.kind.key, kinds[1].key);
        assert_eq!(request.recipe, Some(kinds[1].recipe));
        assert_eq!(request.time, Some(kinds[1].time));
    }

    #[test]
    fn trays_that_leave_no_air_are_not_offered() {
        let mut small = oven_templates()[0].oven.clone();
        small.cavity.width = Centimetres(45.0);
        small.cavity.depth = Centimetres(36.0);
        // 45 cm less 10 cm of air is 13.8 in, 36 cm less 10 is 10.2 in: no half sheet goes in.
        let names: Vec<&str> = sizes(&small).into_iter().map(|i| TRAYS[i].0).collect();
        assert_eq!(names, ["quarter sheet", "eighth sheet", "round 9 in tin"]);
    }
}
