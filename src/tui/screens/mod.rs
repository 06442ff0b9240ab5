//! The screens, one room each. This list is all the shell knows of them.

pub(crate) mod air;
pub(crate) mod batches;
pub(crate) mod check;
pub(crate) mod choice;
pub(crate) mod clock;
pub(crate) mod compare;
pub(crate) mod history;
pub(crate) mod home;
pub(crate) mod layout;
pub(crate) mod map;
pub(crate) mod outcome;
pub(crate) mod oven_form;
pub(crate) mod photo;
pub(crate) mod plan;
pub(crate) mod recipes;
pub(crate) mod record;
pub(crate) mod rising;
pub(crate) mod score;
pub(crate) mod toasting;

use super::{
    bell::{
        dough,
        in_oven::{against_heating, in_use},
        toast,
    },
    keys::Keys,
    place::Place,
    screen::{Room, Screen},
    shared::Shared,
};

/// Makes the screen at an address; `None` when it cannot be opened, which is then said.
pub(crate) fn open(place: Place, shared: &mut Shared) -> Option<Box<dyn Screen>> {
    fn screen(room: impl Room) -> Box<dyn Screen> {
        Box::new(room)
    }
    let in_the_way = match &place {
        Place::Clock(bake) => against_heating(&bake.oven, shared),
        Place::Toasting(oven, test) if !toast::runs(test, shared) => {
            against_heating(&oven.id, shared)
        }
        Place::Rising(oven) if dough::running(shared).is_none() => in_use(&oven.id, shared),
        _ => None,
    };
    if let Some(words) = in_the_way {
        shared.complain(words);
    }
    Some(match place {
        Place::Home => {
            let mut home = home::Home::new(shared);
            home.ask(shared);
            screen(home)
        }
        Place::NewOven => screen(oven_form::OvenForm::templates()),
        Place::EditOven(oven) => screen(oven_form::OvenForm::edit(&oven)),
        Place::Layout(oven) => screen(layout::LayoutScreen::new(*oven, shared)),
        Place::Toasting(oven, test) => screen(toasting::Toasting::new(*oven, *test, shared)),
        Place::Check(oven) => screen(check::CheckScreen::new(*oven)),
        Place::Checked(oven, test) => screen(check::CheckScreen::of(*oven, test)),
        Place::Score(oven, test) => screen(score::Score::new(*oven, *test)),
        Place::ScoreToasted(oven, test) => screen(score::Score::new(*oven, *test).just_out()),
        Place::Map(oven, tests) => screen(map::MapScreen::new(oven, tests)),
        Place::Plan(oven, tests) => screen(plan::PlanScreen::new(oven, tests)),
        Place::PlanRecipe(oven, tests, recipe) => {
            screen(plan::PlanScreen::new(oven, tests).of_recipe(recipe))
        }
        Place::PlanOf(oven, tests, request) => {
            screen(plan::PlanScreen::new(oven, tests).of_request(*request))
        }
        Place::Recipes(oven) => screen(recipes::RecipesScreen::new(oven)),
        Place::Batches(oven, tests, load) => {
            screen(batches::BatchesScreen::new(oven, tests, *load))
        }
        Place::RunningDay => screen(batches::BatchesScreen::running()),
        Place::Choice(request) => screen(choice::ChoiceScreen::new(*request)),
        Place::Clock(bake) => screen(clock::Clock::new(*bake)),
        Place::RunningClock(bake) => screen(clock::Clock::resume(*bake, shared)),
        Place::Outcome(bake) => screen(outcome::Outcome::new(*bake, shared)?),
        Place::Record(oven) => screen(record::Record::new(oven)),
        Place::Compare {
            oven,
            before,
            after,
        } => screen(compare::CompareScreen::new(oven, before, after)),
        Place::Air(oven) => screen(air::AirScreen::new(oven, shared)),
        Place::Rising(oven) => screen(rising::Rising::new(*oven, shared)),
        Place::History(oven) => screen(history::HistoryScreen::new(oven)),
        Place::Photo {
            oven,
            test,
            rack,
            from_score,
        } => screen(photo::PhotoScreen::new(
            *oven, *test, rack, from_score, shared,
        )),
    })
}

/// Returns every table of keys, in the order the README shows them.
pub(crate) fn tables() -> Vec<Keys> {
    vec![
        home::KEYS.keys(),
        home::SEARCH_KEYS.keys(),
        oven_form::TEMPLATE_KEYS.keys(),
        oven_form::KEYS.keys(),
        layout::KEYS.keys(),
        toasting::KEYS.keys(),
        check::KEYS.keys(),
        check::ANSWER_KEYS.keys(),
        score::KEYS.keys(),
        map::KEYS.keys(),
        plan::KEYS.keys(),
        plan::LOOK_KEYS.keys(),
        batches::KEYS.keys(),
        batches::CLOCK_KEYS.keys(),
        recipes::KEYS.keys(),
        recipes::FORM_KEYS.keys(),
        choice::KEYS.keys(),
        clock::KEYS.keys(),
        clock::OUT_KEYS.keys(),
        outcome::KEYS.keys(),
        record::KEYS.keys(),
        record::VISIT_KEYS.keys(),
        photo::FILE_KEYS.keys(),
        photo::CORNER_KEYS.keys(),
        photo::REFERENCE_KEYS.keys(),
        photo::SCORE_KEYS.keys(),
        photo::RACK_KEYS.keys(),
        compare::KEYS.keys(),
        air::KEYS.keys(),
        air::SETUP_KEYS.keys(),
        air::THERMOMETER_KEYS.keys(),
        air::ROUND_KEYS.keys(),
        air::ENTRY_KEYS.keys(),
        history::KEYS.keys(),
        rising::KEYS.keys(),
        rising::CLOCK_KEYS.keys(),
    ]
}

#[cfg(test)]
mod tests {
    use super::tables;

    /// Every table that some screen's source declares, by its heading.
    #[test]
    fn no_table_of_keys_is_left_out_of_the_list() {
        let listed: Vec<&str> = tables().iter().map(|t| t.title).collect();
        let mut declared = 0;
        for room in std::fs::read_dir("src/tui/screens").unwrap() {
            let room = room.unwrap().path();
            let Ok(files) = std::fs::read_dir(&room) else {
                continue;
            };
            for file in files.map(|f| f.unwrap().path()).filter(|f| f.is_file()) {
                let source = std::fs::read_to_string(&file).unwrap();
                for line in source
                    .lines()
                    .filter(|l| l.contains("KEYS: ") && l.ends_with("\";"))
                {
                    let title = line.split('"').nth(1).unwrap();
                    declared += 1;
                    assert!(listed.contains(&title), "{}: {title}", file.display());
                }
            }
        }
        assert_eq!(declared, listed.len());
    }
}
