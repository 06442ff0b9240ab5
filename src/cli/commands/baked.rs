//! What is to be baked and how: the options that `plan` and `where` share.

use crate::cli::prelude::*;
use crate::{
    model::{BakeKind, Mode, Recipe, Tray},
    units::{Celsius, LengthUnit, Minutes, TemperatureUnit},
    workflow::{
        catalogue::{bake_kind, bake_kinds},
        plan::{PlanRequest, USUAL_OPENINGS},
        recipe::as_kind,
        toast::parse_size,
    },
};

/// The bake asked for.
#[derive(Debug, Args)]
pub(crate) struct BakeArgs {
    /// Kind of bake, like thin-cookie.
    #[arg(long, visible_alias = "bake", conflicts_with = "recipe_name")]
    kind: Option<String>,
    /// A recipe of your own instead, by name.
    #[arg(long, value_name = "NAME")]
    recipe_name: Option<String>,
    /// Trays, 1 to 3; a plan with --at-once takes up to 12.
    #[arg(long, default_value_t = 1)]
    pub(super) trays: u8,
    /// Outer size of a tray, along the door x front to back, bare figures in the oven's own unit; the recipe's own or
    /// a half sheet, 18x13in, when not given.
    #[arg(long, value_name = "WxD")]
    tray: Option<String>,
    /// Pieces on a tray, along the door x front to back, 12 x 12 at most; the recipe's own or 4x3 when not given.
    #[arg(long, value_name = "CxR", value_parser = values::grid)]
    pieces: Option<(usize, usize)>,
    /// Door openings at most, 0 to 4.
    #[arg(long, default_value_t = USUAL_OPENINGS, value_parser = clap::value_parser!(u8).range(0..=4))]
    openings: u8,
    /// The recipe's temperature without a fan; the kind's own when not given.
    #[arg(long, value_name = "DEGREES")]
    recipe: Option<String>,
    /// The recipe's time in minutes; the kind's own when not given.
    #[arg(long, value_name = "MINUTES", value_parser = values::figure)]
    minutes: Option<f64>,
}

/// What is to be baked: a kind of bake, or a recipe of the baker's own.
pub(crate) struct Baked {
    pub(super) kind: BakeKind,
    recipe: Option<Recipe>,
}

impl BakeArgs {
    /// Finds the kind of bake that was named, or the recipe.
    pub(super) fn baked(&self, session: &Session<'_>) -> Result<Baked, Trouble> {
        let Some(name) = &self.recipe_name else {
            let key = self.kind.as_ref().ok_or_else(nothing_to_bake)?;
            return Ok(Baked {
                kind: bake_kind(key).or_trouble("--kind", key)?.clone(),
                recipe: None,
            });
        };
        let kitchen = session.kitchen_again()?;
        let recipe = kitchen
            .find_recipe(name)
            .or_trouble("--recipe-name", name)?;
        Ok(Baked {
            kind: as_kind(recipe).or_trouble("--recipe-name", name)?,
            recipe: Some(recipe.clone()),
        })
    }

    /// Blames what was named to be baked.
    pub(super) fn blamed(&self, why: String) -> Trouble {
        let (flag, typed) = match &self.recipe_name {
            Some(recipe) => ("--recipe-name", recipe.as_str()),
            None => ("--kind", self.kind.as_deref().unwrap_or_default()),
        };
        Trouble::user(why).with(flag, typed)
    }

    /// Refuses more trays than go in at once, or none; `more` says what else can be done.
    pub(super) fn few_trays(&self, more: &str) -> Result<(), Trouble> {
        let trays = self.trays;
        if (1..=3).contains(&trays) {
            return Ok(());
        }
        let why = format!("'{trays}' cannot be used: it is out of range; give 1 to 3{more}");
        Err(Trouble::user(why).with("--trays", trays))
    }

    /// Makes the question; bare figures are in these units.
    pub(super) fn request(
        &self,
        baked: &Baked,
        mode: Mode,
        (unit, lengths): (TemperatureUnit, LengthUnit),
    ) -> Result<PlanRequest, Trouble> {
        let read = |text: &str| Celsius::parse(text, unit);
        let recipe = given("--recipe", self.recipe.as_ref(), read)?;
        Ok(PlanRequest {
            kind: baked.kind.clone(),
            trays: usize::from(self.trays),
            tray: baked.tray(self.tray.as_deref(), self.pieces, lengths)?,
            racks: Vec::new(),
            max_openings: usize::from(self.openings),
            mode,
            recipe,
            time: self.minutes.map(Minutes),
            seed: 1,
        })
    }
}

/// Says that neither a kind of bake nor a recipe was named, and which kinds there are.
fn nothing_to_bake() -> Trouble {
    let kinds: Vec<&str> = bake_kinds().iter().map(|k| k.key.as_str()).collect();
    let kinds = kinds.join(", ");
    let why = format!("what to bake is missing; name one of {kinds}, or a --recipe-name");
    Trouble::user(why).with("--kind", "(nothing)")
}

impl Baked {
    /// Returns the tray: what was typed, else the recipe's own, else a half sheet with 4 x 3 pieces.
    fn tray(
        &self,
        size: Option<&str>,
        pieces: Option<(usize, usize)>,
        lengths: LengthUnit,
    ) -> Result<Tray, Trouble> {
        let own = self.recipe.as_ref().map(|r| r.tray);
        let (width, depth) = match (size, own) {
            (Some(text), _) => parse_size(text, lengths).or_trouble("--tray", text)?,
            (None, Some(own)) => (own.width, own.depth),
            (None, None) => (Tray::HALF_SHEET.width, Tray::HALF_SHEET.depth),
        };
        let own = own.map(|t| (t.across, t.deep));
        let (across, deep) = pieces.or(own).unwrap_or((4, 3));
        Ok(Tray::new(width, depth, across, deep))
    }

    /// Names it; a recipe with its temperature as it was written.
    pub(super) fn words(&self) -> String {
        match &self.recipe {
            Some(recipe) => format!("{} ({})", recipe.name, recipe.written_words()),
            None => self.kind.name.clone(),
        }
    }
}
