//! Versions 1 to 3 of the stored files: serde forms apart from the domain's own types.
//!
//! Lengths are centimetres, temperatures degrees Celsius and times minutes, with the unit in the
//! key. A field that no form knows is an error, not something to drop in silence: the next save
//! would lose it. Version 2, of bakes and readings, writes instants with their offset, where version 1 has civil times
//! of a zone not named; both are read by one form. Version 3 is that of recipes, and of bakes of one.

mod air;
mod bake;
mod day;
mod form;
mod oven;
mod photo;
mod plan;
mod recipe;
mod rising;
mod toast;
mod words;

pub(crate) use air::{RoundForm, ThermometerForm};
pub(crate) use bake::BakeForm;
pub(crate) use day::DayForm;
pub(crate) use form::{Form, FormError};
pub(crate) use oven::OvenForm;
pub(crate) use recipe::RecipeForm;
pub(crate) use rising::DoughForm;
pub(crate) use toast::TestForm;
pub(super) use words::{HeatForm, LengthForm, ModeForm, TemperatureForm};

macro_rules! form {
    ($form:ident) => {
        impl Form for $form {
            fn version(&self) -> u32 {
                self.version
            }
        }
    };
}
form!(OvenForm);
form!(TestForm);
form!(BakeForm);
form!(RoundForm);
form!(ThermometerForm);
form!(RecipeForm);
form!(DoughForm);
form!(DayForm);

#[cfg(test)]
mod any_bake;
#[cfg(test)]
mod any_recipe;
#[cfg(test)]
mod tests;
