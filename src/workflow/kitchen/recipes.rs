//! The kitchen's recipes.

use super::{Kitchen, KitchenError, put};
use crate::model::{
    Recipe, RecipeId,
    id::slug,
    text::{LONGEST_NAME, check_words},
};

impl Kitchen {
    /// Takes a recipe, new or changed, and saves it.
    ///
    /// Fails with [`KitchenError::Recipe`] when a figure of it cannot be: it is not taken. Otherwise memory is
    /// updated even if the disk refuses, and [`KitchenError::Store`] tells why it did.
    pub fn save_recipe(&mut self, recipe: Recipe) -> Result<(), KitchenError> {
        let recipe = recipe.check()?;
        let known = self.recipe(&recipe.id);
        if known.is_none_or(|old| old.name != recipe.name) {
            check_words(&recipe.name, LONGEST_NAME)?;
        }
        let saved = self.store.save_recipe(&recipe);
        put(&mut self.contents().recipes, recipe, |a, b| a.id.cmp(&b.id));
        Ok(saved?)
    }

    /// Removes a recipe; bakes of it keep its name, and its file is set aside under `removed/`.
    ///
    /// Fails with [`KitchenError`] when there is none of that id or the disk refuses; it is then still there.
    pub fn remove_recipe(&mut self, id: &RecipeId) -> Result<(), KitchenError> {
        self.store.remove_recipe(self.find_recipe(id.as_str())?)?;
        self.contents().recipes.retain(|r| r.id != *id);
        Ok(())
    }

    /// Makes an id for a new recipe from its name, with a count for a second one.
    pub fn fresh_recipe_id(&self, name: &str) -> RecipeId {
        let taken = |id: &str| self.records.0.recipes.iter().any(|r| r.id.as_str() == id);
        let sayable = name.chars().any(|c| c.is_ascii_alphanumeric());
        let base = if sayable {
            slug(name)
        } else {
            "recipe".to_owned()
        };
        RecipeId::of_words(&self.fresh(&base, taken))
    }
}
