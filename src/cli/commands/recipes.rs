//! `recipes`: the baker's own.

use crate::cli::prelude::*;
use crate::{
    model::{Recipe, RecipeId},
    report::json_recipes::RecipeJson,
    units::LengthUnit,
    workflow::{
        catalogue::kind_name,
        recipe::{Field, RecipeDraft, Refusal, Way, still_air, with_fan},
    },
};

/// List, show, add, change and remove recipes of your own.
#[derive(Debug, Args)]
#[command(
    after_help = "A recipe is taken by 'plan --recipe-name' and 'where --recipe-name', and 'bakes learn' learns its own curve.\n\nExamples:\n  rackshade recipes add --name 'oat biscuits' --temperature 350F --minutes 12 --kind thin-cookie --shade 4\n  rackshade recipes add --name 'country loaf' --gas-mark 8 --minutes 38 --kind lean-loaf --pieces 2x1\n  rackshade plan --oven wall-oven --recipe-name 'oat biscuits'"
)]
pub(crate) struct RecipesArgs {
    #[command(subcommand)]
    what: Option<What>,
}

#[derive(Debug, Subcommand)]
enum What {
    /// List every recipe; the same as no verb.
    List,
    /// Show one recipe, with and without a fan.
    #[command(after_help = "Example:\n  rackshade recipes show 'oat biscuits'")]
    Show {
        /// Its id or name.
        recipe: String,
    },
    /// Write down a recipe.
    #[command(
        after_help = "Examples:\n  rackshade recipes add --name 'oat biscuits' --temperature 325F --fan --minutes 12 --kind thin-cookie\n  rackshade recipes add --name 'seeded rolls' --gas-mark 6 --minutes 18 --kind dinner-roll --tray 46x33cm --pieces 4x3"
    )]
    Add(RecipeArgs),
    /// Change what is given, and leave the rest as it is.
    #[command(
        after_help = "Example:\n  rackshade recipes edit 'oat biscuits' --minutes 11 --shade 4.5"
    )]
    Edit {
        /// Its id or name.
        recipe: String,
        #[command(flatten)]
        with: RecipeArgs,
    },
    /// Remove a recipe; bakes of it stay, and its file is kept in the data folder under `removed`.
    #[command(after_help = "Example:\n  rackshade recipes remove 'oat biscuits'")]
    Remove {
        /// Its id or name.
        recipe: String,
    },
}

#[derive(Debug, Args)]
struct RecipeArgs {
    /// Its name.
    #[arg(long, value_parser = values::name)]
    name: Option<String>,
    /// Its temperature as it was written, like 350F or 'gas 4'; a bare figure is in the unit of the recipe that is changed, else in the first oven's, or F.
    #[arg(long, value_name = "DEGREES", conflicts_with = "gas_mark")]
    temperature: Option<String>,
    /// The temperature was written for a fan.
    #[arg(long, conflicts_with_all = ["gas_mark", "no_fan"])]
    fan: bool,
    /// The temperature was written for an oven without a fan; so it is taken when nothing is said.
    #[arg(long, conflicts_with = "gas_mark")]
    no_fan: bool,
    /// Its gas mark instead: 1/4, 1/2, 1 to 10.
    #[arg(long, value_name = "MARK")]
    gas_mark: Option<String>,
    /// Minutes in the oven.
    #[arg(long, value_name = "MINUTES")]
    minutes: Option<String>,
    /// Kind of bake that it browns like, like thin-cookie.
    #[arg(long)]
    kind: Option<String>,
    /// The shade it should have, 0 to 9; an empty one leaves that open.
    #[arg(long, value_name = "SHADE")]
    shade: Option<String>,
    /// Outer size of its tray, along the door x front to back, like 46x33cm; bare figures in the first oven's unit, or in.
    #[arg(long, value_name = "WxD")]
    tray: Option<String>,
    /// Pieces on a tray, along the door x front to back, 12 x 12 at most.
    #[arg(long, value_name = "CxR")]
    pieces: Option<String>,
    /// Free words.
    #[arg(long, value_parser = values::note)]
    note: Option<String>,
}

impl RecipeArgs {
    fn draft(&self) -> RecipeDraft {
        let way = if self.gas_mark.is_some() {
            Some(Way::GasMark)
        } else if self.fan {
            Some(Way::Fan)
        } else if self.no_fan {
            Some(Way::NoFan)
        } else {
            None
        };
        RecipeDraft {
            name: self.name.clone(),
            temperature: self.gas_mark.clone().or_else(|| self.temperature.clone()),
            way,
            minutes: self.minutes.clone(),
            shade: self.shade.clone(),
            tray: self.tray.clone(),
            pieces: self.pieces.clone(),
            kind: self.kind.clone(),
            note: self.note.clone(),
        }
    }

    fn build(&self, kitchen: &Kitchen, known: Option<&Recipe>) -> Result<Recipe, Trouble> {
        let mut draft = self.draft();
        // A plain temperature in place of a gas mark is one without a fan.
        let was_gas = known.is_some_and(|r| Way::of(r) == Way::GasMark);
        if draft.way.is_none() && draft.temperature.is_some() && was_gas {
            draft.way = Some(Way::NoFan);
        }
        draft
            .build(kitchen, known, kitchen.units())
            .map_err(trouble)
    }
}

fn trouble(refusal: Refusal) -> Trouble {
    let Refusal { field, typed, why } = refusal;
    let flag = match field {
        Field::GasMark => "--gas-mark".to_owned(),
        other => format!("--{}", other.key()),
    };
    let typed = if typed.is_empty() {
        "(nothing)".to_owned()
    } else {
        typed
    };
    Trouble::user(why).with(flag, typed)
}

pub(crate) fn run(args: RecipesArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    match args.what {
        None | Some(What::List) => {
            let (kitchen, warnings) = session.kitchen(Access::Read)?;
            list(kitchen.recipes(), texts(&warnings), session)
        }
        Some(What::Show { recipe }) => {
            let (kitchen, _) = session.kitchen(Access::Read)?;
            show(find(&kitchen, &recipe)?, kitchen.units().1, session)
        }
        Some(What::Add(with)) => {
            let (mut kitchen, _) = session.kitchen(Access::Write)?;
            let new = with.build(&kitchen, None)?;
            save(&mut kitchen, new, session)
        }
        Some(What::Edit { recipe, with }) => {
            let (mut kitchen, _) = session.kitchen(Access::Write)?;
            let known = find(&kitchen, &recipe)?.clone();
            let changed = with.build(&kitchen, Some(&known))?;
            save(&mut kitchen, changed, session)
        }
        Some(What::Remove { recipe }) => {
            let (mut kitchen, warnings) = session.kitchen(Access::Write)?;
            let id = find(&kitchen, &recipe)?.id.clone();
            kitchen.remove_recipe(&id)?;
            list(kitchen.recipes(), texts(&warnings), session)
        }
    }
}

fn find<'k>(kitchen: &'k Kitchen, typed: &str) -> Result<&'k Recipe, Trouble> {
    kitchen.find_recipe(typed).or_trouble("recipe", typed)
}

fn save(kitchen: &mut Kitchen, recipe: Recipe, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let id: RecipeId = recipe.id.clone();
    kitchen.save_recipe(recipe)?;
    match kitchen.recipe(&id) {
        Some(saved) => show(saved, kitchen.units().1, session),
        None => Err(Trouble::bug("the recipe just saved is not there")),
    }
}

fn json(recipe: &Recipe) -> RecipeJson {
    RecipeJson::new(recipe, still_air(recipe), with_fan(recipe))
}

fn show(recipe: &Recipe, lengths: LengthUnit, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    if session.json {
        return session.answer(&json(recipe));
    }
    let out = &mut *session.out;
    let unit = recipe.unit;
    out.line(format!("{}: {}", recipe.name, recipe.written_words()))?;
    out.line(format!(
        "  Without a fan {}, with one {} (by custom).",
        unit.show(still_air(recipe)),
        unit.show(with_fan(recipe))
    ))?;
    out.line(format!(
        "  {}, browns like {}.",
        recipe.time,
        kind_name(&recipe.kind)
    ))?;
    let tray = recipe.tray;
    out.line(format!(
        "  Tray of {} x {}, {} x {} pieces on it.",
        lengths.show(tray.width),
        lengths.show(tray.depth),
        tray.across,
        tray.deep
    ))?;
    if let Some(shade) = recipe.wanted {
        out.line(format!("  Wanted shade {shade}."))?;
    }
    if !recipe.note.is_empty() {
        out.line(format!("  {}", recipe.note))?;
    }
    Ok(Exit::Done)
}

fn list(
    recipes: &[Recipe],
    warnings: Vec<String>,
    session: &mut Session<'_>,
) -> Result<Exit, Trouble> {
    let rows: Vec<_> = recipes
        .iter()
        .map(|r| {
            vec![
                r.id.to_string(),
                r.name.clone(),
                r.written_words(),
                r.time.to_string(),
                r.wanted
                    .map_or_else(|| "left open".to_owned(), |s| format!("shade {s}")),
                kind_name(&r.kind).to_owned(),
            ]
        })
        .collect();
    session.list(
        &Listed::<RecipeJson>::new("recipes", recipes.iter().map(json), warnings),
        "no recipe yet: rackshade recipes add --name 'oat biscuits' --temperature 350F --minutes 12 --kind thin-cookie",
        &["id", "name", "as written", "time", "wanted", "browns like"],
        &rows,
    )
}
