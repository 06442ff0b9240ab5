//! Which toast tests belong into one map.

use super::app::Shared;
use crate::model::{TestId, ToastTest};

/// Returns the tests to pool with `test`, oldest first, itself among them: same oven, same mode, at
/// least one slice scored, and no service visit between them and it.
pub fn with<'s>(shared: &'s Shared, test: &ToastTest) -> Vec<&'s ToastTest> {
    let visits = shared
        .kitchen
        .oven(&test.setup.oven)
        .map_or(&[][..], |oven| &oven.visits);
    let day = |t: &ToastTest| t.when.date();
    let same_side = |other: &ToastTest| {
        visits
            .iter()
            .all(|v| (day(other) < v.date) == (day(test) < v.date))
    };
    shared
        .kitchen
        .tests_of(&test.setup.oven)
        .into_iter()
        .filter(|other| {
            other.setup.mode == test.setup.mode && other.scored() > 0 && same_side(other)
        })
        .collect()
}

/// Returns the ids of [`with`].
pub fn ids(shared: &Shared, test: &ToastTest) -> Vec<TestId> {
    with(shared, test).iter().map(|t| t.id.clone()).collect()
}
