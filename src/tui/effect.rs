//! What `update` asks the outer world to do; only the run loop carries it out.

use super::worker::Job;
use crate::model::{
    AirRound, BakeLog, Oven, Recipe, TestId, Thermometer, ToastTest, day::BakingDay,
    rising::OwnDough, text::counted,
};

/// Something to be put on disk before the next frame is drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Save {
    /// An oven.
    Oven(Box<Oven>),
    /// A toast test.
    Test(Box<ToastTest>),
    /// A bake log.
    Bake(Box<BakeLog>),
    /// A round of readings; one whose readings were all taken back is set aside.
    Round(Box<AirRound>),
    /// A thermometer.
    Thermometer(Box<Thermometer>),
    /// A recipe.
    Recipe(Box<Recipe>),
    /// A recipe that is set aside.
    RecipeGone(Box<Recipe>),
    /// A baker's own dough.
    Dough(Box<OwnDough>),
    /// A baking day.
    Day(Box<BakingDay>),
}

impl Save {
    /// Tells whether `other` is a later state of the same thing.
    pub(crate) fn same_thing(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Oven(a), Self::Oven(b)) => a.id == b.id,
            (Self::Test(a), Self::Test(b)) => a.id == b.id,
            (Self::Bake(a), Self::Bake(b)) => a.id == b.id,
            (Self::Round(a), Self::Round(b)) => a.id == b.id,
            (Self::Thermometer(a), Self::Thermometer(b)) => a.id == b.id,
            (Self::Recipe(a) | Self::RecipeGone(a), Self::Recipe(b) | Self::RecipeGone(b)) => {
                a.id == b.id
            }
            (Self::Dough(a), Self::Dough(b)) => a.id == b.id,
            (Self::Day(a), Self::Day(b)) => a.id == b.id,
            (_, _) => false,
        }
    }

    /// Names what is to be saved and how much is in it: `the toast test of 2026-11-25 with 12 scores`.
    pub(crate) fn words(&self) -> String {
        if let Self::Test(test) = self {
            format!("{} with {} scores", self.name(), test.scored())
        } else if let Self::Round(round) = self {
            format!("a round of {}", counted(round.readings.len(), "reading"))
        } else {
            self.name()
        }
    }

    /// Names what is to be saved: `the toast test of 2026-11-25`.
    pub(crate) fn name(&self) -> String {
        match self {
            Self::Oven(oven) => format!("the oven {}", oven.name),
            Self::Test(test) => format!("the toast test of {}", test.when.date()),
            Self::Bake(bake) => format!("the bake of {}", bake.started.date()),
            Self::Round(_) => "a round of readings".to_owned(),
            Self::Thermometer(it) => format!("the thermometer {}", it.name),
            Self::Recipe(it) | Self::RecipeGone(it) => format!("the recipe {}", it.name),
            Self::Dough(dough) => format!("the dough {}", dough.name),
            Self::Day(day) => format!("the baking day of {}", day.begun.date()),
        }
    }
}

/// Something for the outer world.
#[derive(Debug)]
pub enum Effect {
    /// Put something on disk before the next frame; a refusal becomes a lasting message.
    Save(Save),
    /// Set a toast test aside under the data folder's `removed/`.
    SetAside(TestId),
    /// Give the worker a job; a job of the same kind that still waits is dropped.
    Work(Job),
    /// Ring the terminal's bell, and say what for on the desktop, where there are words and it takes them.
    Bell(String),
    /// Leave the program.
    Quit,
}
