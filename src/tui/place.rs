//! Where one can go: the address of every screen, so that screens need not know one another.

use crate::{
    model::{BakeLog, Oven, OvenId, RecipeId, TestId, ToastTest},
    workflow::plan::PlanRequest,
};

/// The address of a screen, with what it opens on.
#[derive(Debug, Clone)]
pub enum Place {
    /// The ovens and their toast tests.
    Home,
    /// The description of a new oven.
    NewOven,
    /// The description of a known oven.
    EditOven(Box<Oven>),
    /// The lay-out of a toast test.
    Layout(Box<Oven>),
    /// The clock of a toast test that is about to begin, or in the oven.
    Toasting(Box<Oven>, Box<ToastTest>),
    /// A quick check of an oven: where to lay its slices.
    Check(Box<Oven>),
    /// What a scored quick check says.
    Checked(Box<Oven>, TestId),
    /// The scores of a toast test.
    Score(Box<Oven>, Box<ToastTest>),
    /// The scores of a toast that has just come out, by its clock.
    ScoreToasted(Box<Oven>, Box<ToastTest>),
    /// The map of an oven, of these tests.
    Map(OvenId, Vec<TestId>),
    /// A plan in an oven, on the map of these tests.
    Plan(OvenId, Vec<TestId>),
    /// A plan of a recipe in an oven, on the map of these tests.
    PlanRecipe(OvenId, Vec<TestId>, RecipeId),
    /// A plan of a bake that was asked for elsewhere, on the map of these tests.
    PlanOf(OvenId, Vec<TestId>, Box<PlanRequest>),
    /// The baker's own recipes, to be planned in an oven.
    Recipes(Option<OvenId>),
    /// A baking day of such loads in an oven, on the map of these tests.
    Batches(OvenId, Vec<TestId>, Box<PlanRequest>),
    /// The baking day that runs.
    RunningDay,
    /// The ways on record to do a bake.
    Choice(Box<PlanRequest>),
    /// The clock of a bake that is about to begin.
    Clock(Box<BakeLog>),
    /// The clock of a bake that runs.
    RunningClock(Box<BakeLog>),
    /// What came out of the oven.
    Outcome(Box<BakeLog>),
    /// An oven's record.
    Record(OvenId),
    /// An oven before and after.
    Compare {
        /// The oven.
        oven: OvenId,
        /// The tests before.
        before: Vec<TestId>,
        /// The tests after.
        after: Vec<TestId>,
    },
    /// The thermometer.
    Air(OvenId),
    /// A dough that rises, in an oven's proofing mode where it has one.
    Rising(Box<Oven>),
    /// An oven's history.
    History(OvenId),
    /// Scores from a photo.
    Photo {
        /// The oven.
        oven: Box<Oven>,
        /// The toast test.
        test: Box<ToastTest>,
        /// The rack position looked at.
        rack: Option<u8>,
        /// The scoring screen of this test lies behind.
        from_score: bool,
    },
}
