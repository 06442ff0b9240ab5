//! The plan screen: what is to be baked, and from the map which rack, which turn and which dial setting.

mod form;
mod look;
mod state;
#[cfg(test)]
mod tests;
mod view;

pub(crate) use form::Row;
pub(crate) use state::PlanScreen;

use crate::tui::prelude::*;
use form::{Form, own_recipes};
use state::Act;

keys! {
    /// The keys of the plan screen.
    pub(crate) KEYS: Act, "Plan";
    Enter => Start, "bake", "bake this plan by the clock";
    Up => Go(-1), "", "line above";
    Down => Go(1), "", "line below";
    Right => Change(1), "change the line", "more, or the next choice";
    Left => Change(-1), "", "less, or the choice before";
    ' ' | 'm' => NextStage, "after the turn", "draw the trays after the next move, or as loaded again";
    'l' => Loads, "bake in loads", "bake more trays than go in at once, load after load";
    'w' => Where, "compare ovens", "rank the ovens, modes and rack positions on record for this bake";
    Tab => NextRack, "", "look at a place of the next rack position, then back to the lines";
    'c' => Cautions, "", "read the cautions";
}

keys! {
    /// The keys while a place is looked at.
    pub(crate) LOOK_KEYS: Act, "A place in the plan";
    Enter => Start, "bake", "bake this plan by the clock";
    Tab => NextRack, "next rack", "the same place on the next rack position, then back to the lines";
    Up => Move(0, 1), "", "towards the back";
    Down => Move(0, -1), "", "towards the door";
    Left => Move(-1, 0), "", "to the left";
    Right => Move(1, 0), "", "to the right";
    ' ' | 'm' => NextStage, "after the turn", "draw the trays after the next move, or as loaded again";
}

impl Room for PlanScreen {
    as_usual!([Act::Change(1), Act::Change(-1)]);

    fn table(&self) -> &'static Table<Act> {
        if self.look.is_some() {
            &LOOK_KEYS
        } else {
            &KEYS
        }
    }

    fn title(&self, shared: &Shared) -> String {
        let name = self
            .oven(shared)
            .map_or_else(String::new, |o| o.name.clone());
        let rests_on = match self.tests(shared).last() {
            Some(test) => format!("map of {}", test.when.date()),
            None => "nothing tested yet, planned by custom".to_owned(),
        };
        let kind = self.form.as_ref().and_then(Form::kind);
        let bake = kind.map_or("plan a bake", |k| k.name.as_str());
        format!("{bake}, {name}, {rests_on}")
    }

    fn guide(&self, _shared: &Shared) -> String {
        if self.look.is_some() {
            return "arrows: read a place. Tab: next rack. Esc: back to the lines".to_owned();
        }
        match self.plan() {
            Some(Ok(_)) if self.ready().is_some_and(|p| p.plan.segments.len() > 1) => {
                "Space: before and after the turn. Tab: read a place. Enter: bake".to_owned()
            }
            Some(Ok(_)) => "Tab: read a place. i: why. Enter: bake by the clock".to_owned(),
            Some(Err(_)) => "change a line with left and right until there is a plan".to_owned(),
            None => "the plan is being made; it appears by itself".to_owned(),
        }
    }

    fn verdict(&self, shared: &Shared) -> Option<String> {
        Some(self.ready()?.verdict(self.oven(shared)?))
    }

    fn why(&self, _shared: &Shared) -> Vec<Sentence> {
        let Some(planned) = self.ready() else {
            return Vec::new();
        };
        let warnings = planned.warnings.iter().map(Sentence::warning);
        let said = view::why(planned).into_iter().map(Sentence::finding);
        warnings.chain(said).collect()
    }

    fn leave(&mut self, shared: &mut Shared) {
        if self.look.take().is_none() {
            shared.back();
        }
    }

    fn press(&self, shared: &Shared, body: Rect, at: Position) -> Option<Act> {
        view::row_at(body, at)
            .map(Act::Choose)
            .or_else(|| view::look_at(self, shared, body, at).map(Act::LookAt))
    }

    fn entered(&mut self, shared: &mut Shared) {
        if self.form.is_none() {
            let mode = self.tests(shared).first().map(|t| t.setup.mode);
            let own = own_recipes(&shared.kitchen);
            let (chosen, request) = (self.recipe.take(), self.request.take());
            let form = self.oven(shared).map(|oven| Form::new(oven, mode));
            let form = form.map(|form| form.with_recipes(own, chosen.as_ref()));
            self.form = match request {
                Some(request) => form.map(|form| form.asked_for(&request)),
                None => form,
            };
        }
        self.ask(shared);
    }

    fn answered(&mut self, answer: &Answer, _shared: &mut Shared) {
        self.asked.settle(answer);
    }
}
