//! What is to be saved: put on disk, and kept in memory while the disk refuses.

use super::{app::App, conflict::Conflict, effect::Save};

/// Puts a save last in the row of unsaved things, in place of an older state of the same thing.
pub(crate) fn put_by(app: &mut App, save: Save) {
    app.shared.unsaved.retain(|old| !old.same_thing(&save));
    app.shared.unsaved.push(save);
}

/// Puts everything unsaved on disk; what the disk refuses stays, with a lasting message. Tells whether all there was
/// is on disk now.
pub(crate) fn save_all(app: &mut App) -> bool {
    let mut refused = Vec::new();
    // Asked anew from here on: of several, the first.
    app.shared.conflict = None;
    let mut reason = None;
    let rows = std::mem::take(&mut app.shared.unsaved);
    let any = !rows.is_empty();
    for save in rows {
        let kitchen = &mut app.shared.kitchen;
        let saved = match save.clone() {
            Save::Oven(oven) => kitchen.save_oven(*oven),
            Save::Test(test) => kitchen.save_test(*test),
            Save::Bake(bake) => kitchen.save_bake(*bake),
            Save::Round(round) if round.readings.is_empty() => kitchen.remove_round(&round.id),
            Save::Round(round) => kitchen.save_round(*round),
            Save::Thermometer(it) => kitchen.save_thermometer(*it),
            Save::Recipe(it) => kitchen.save_recipe(*it),
            Save::RecipeGone(it) if kitchen.recipe(&it.id).is_none() => Ok(()),
            Save::RecipeGone(it) => kitchen.remove_recipe(&it.id),
            Save::Dough(dough) => kitchen.save_dough(*dough),
            Save::Day(day) => kitchen.save_day(*day),
        };
        if let Err(error) = saved {
            app.shared.conflict = app
                .shared
                .conflict
                .take()
                .or_else(|| Conflict::of(&save, &error, &app.shared.kitchen));
            reason = Some(error.to_string());
            refused.push(save);
        }
    }
    app.shared.unsaved = refused;
    if let Some(conflict) = &app.shared.conflict {
        let question = conflict.question();
        app.shared.complain(question);
        return false;
    }
    if let Some(reason) = &reason {
        app.shared.complain(format!(
            "not saved: {reason}; all is kept on screen and tried again with every key"
        ));
    }
    any && reason.is_none()
}
