//! What is in an oven now, and so stands against heating it or putting something in.

use super::{runs, toast};
use crate::{model::OvenId, tui::shared::Shared, workflow::catalogue::bake_name};

/// Says what stands against heating an oven: dough that rises in it, or what bakes or toasts there.
pub(crate) fn against_heating(oven: &OvenId, shared: &Shared) -> Option<String> {
    let mut doughs = shared.kitchen.doughs().iter();
    let rising = doughs.find(|dough| {
        let log = dough.rising();
        log.is_some_and(|log| log.oven.as_ref() == Some(oven))
    });
    match rising {
        Some(dough) => Some(format!(
            "{} is rising in {}: take the dough out before you heat it",
            dough.name,
            shared.kitchen.oven(oven)?.name
        )),
        None => in_use(oven, shared),
    }
}

/// Says what bakes or toasts in an oven.
pub(crate) fn in_use(oven: &OvenId, shared: &Shared) -> Option<String> {
    let name = &shared.kitchen.oven(oven)?.name;
    let mut bakes = shared.kitchen.bakes().iter();
    if let Some(bake) = bakes.find(|b| b.oven == *oven && runs(b, shared)) {
        let bake = bake_name(&bake.plan);
        return Some(format!("{name} is hot and in use: {bake} in it"));
    }
    let mut tests = shared.kitchen.tests().iter();
    let toasts = tests.any(|t| t.setup.oven == *oven && toast::runs(t, shared));
    toasts.then(|| format!("{name} is hot and in use: a toast test is in it"))
}
