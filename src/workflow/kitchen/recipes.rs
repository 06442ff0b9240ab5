//! The kitchen's recipes.

use super::{Kitchen, KitchenError};
use crate::model::{Recipe, RecipeId, id::slug};

impl Kitchen {
    /// Takes a recipe, new or changed, and saves it.
    ///
    /// # Errors
    /// [`KitchenError::Recipe`] when a figure of it cannot be, [`KitchenError::NameTaken`] where another goes by its
    /// name: it is not taken. Otherwise memory is updated even if the disk refuses, and [`KitchenError::Store`] tells why
    /// it did.
    pub fn save_recipe(&mut self, recipe: Recipe) -> Result<(), KitchenError> {
        self.check_name(&recipe)?;
        self.keep(recipe.check()?)
    }

    /// Removes a recipe; bakes of it keep its name, and its file is set aside under `removed/`.
    ///
    /// # Errors
    /// [`KitchenError`] when there is none of that id or the disk refuses; it is then still there.
    pub fn remove_recipe(&mut self, id: &RecipeId) -> Result<(), KitchenError> {
        self.set_aside::<Recipe>(id.as_str())
    }

    /// Makes an id for a new recipe from its name, with a count for a second one.
    pub fn fresh_recipe_id(&self, name: &str) -> RecipeId {
        RecipeId::of_words(&self.fresh::<Recipe>(&slug(name, "recipe")))
    }
}
