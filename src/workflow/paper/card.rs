//! The card for the oven door: what to set, where it runs hot, where and how to turn what is baked.

use super::{
    super::{
        catalogue::{Occasion, cautions_at},
        ground::{Ground, NoMap, ground_of_oven},
        history::test_again,
        kitchen::Records,
        plan::Told,
        readings::summary,
    },
    age::{days, heading, spoken_days, visit_since},
    data,
    dial::{dial_table, set_words},
    request::{DOUBTS, GRID, NoPaper, PaperRequest, mode_for},
    rules::{Ruled, bakes, reckoned_for, ruled, rules_table, spoilt, to_do},
    words,
};
use crate::{
    model::{Mode, Oven, ToastTest},
    report::{
        Quantity, Scale,
        paper::{Block, Document, Front, Maps},
    },
    units::Celsius,
};

/// Heading of the maps, of an oven as it is and as it was.
const WHERE: (&str, &str) = (
    "Where it browns more and less",
    "Where it browned more and less",
);

/// Makes the card of an oven.
///
/// # Errors
/// [`NoPaper::Ground`] when the oven has no such mode or its tests give no map.
pub fn card(kitchen: &Records, oven: &Oven, request: &PaperRequest) -> Result<Document, NoPaper> {
    let mode = mode_for(kitchen, oven, request.mode);
    let ground = ground_of_oven(kitchen, oven, mode, GRID)?;
    let mode = ground.mode;
    let tests: Vec<&ToastTest> = ground.pool.tests.iter().collect();
    let bakes = match mode {
        Mode::Proofing => Vec::new(),
        _ => bakes(kitchen, oven),
    };
    let recipes: Vec<Celsius> = bakes.iter().map(|b| b.recipe).collect();
    let found = summary(kitchen, oven, mode);
    let set = set_words(&found, oven, &recipes);
    let told = Told {
        air: Some(found),
        own: None,
    };
    let ruled = ruled((kitchen, &ground), &told, bakes);
    let dial = dial_table(kitchen, oven, &recipes);
    let mut tables = vec![dial.data];
    let mut blocks = vec![
        Block::Heading("What to set".to_owned()),
        Block::Table(dial.table),
        Block::Points(dial.words),
        Block::Heading(heading(WHERE, &tests, oven, mode)),
    ];
    match &ground.map {
        Ok(view) => {
            blocks.push(Block::Maps(words::maps(view, oven)));
            tables.extend([data::cells(view), data::zones(view), data::evenness(view)]);
        }
        Err(why) => blocks.push(Block::Text(no_map(why))),
    }
    let (rules, rule_data) = rules_table(&ruled, oven);
    if !rules.rows.is_empty() {
        blocks.push(Block::Heading(
            "Where to put it and when to turn it".to_owned(),
        ));
        blocks.push(Block::Table(rules));
        blocks.push(Block::Text(reckoned_for(oven)));
    }
    tables.push(rule_data);
    let doubts = ground.view().into_iter().flat_map(|v| &v.warnings);
    let mut remarks = spoilt(&ruled);
    remarks.extend(doubts.map(ToString::to_string));
    if !remarks.is_empty() {
        blocks.push(Block::Heading(DOUBTS.to_owned()));
        blocks.push(Block::Points(remarks));
    }
    if !tests.is_empty() {
        let again = test_again(kitchen, oven, Some(mode), request.today);
        blocks.push(Block::Text(format!("{}.", again.sentence())));
    }
    blocks.push(Block::Cautions(cautions_at(Occasion::Bake, oven)));
    Ok(Document {
        kind: "card",
        title: format!("{}: the figures behind the card", oven.name),
        subtitle: format!("{}. {}", request.today, rests_on(&tests, mode)),
        foot: "Degrees on the maps are what would brown alike, not air temperatures. rackshade"
            .to_owned(),
        front: Some(front(&ground, &tests, &ruled, set)),
        one_page: true,
        lengths: oven.lengths,
        blocks,
        data: tables,
    })
}

/// Makes the front of the card.
fn front(ground: &Ground, tests: &[&ToastTest], ruled: &[Ruled], set: Option<String>) -> Front {
    let oven = &ground.oven;
    let nothing = || {
        let quantity = Quantity::Shade;
        Maps {
            scale: Scale::over(quantity, []),
            figures: Vec::new(),
            in_pairs: false,
        }
    };
    let mut to_do = to_do(ruled, oven);
    let spoilt = spoilt(ruled).into_iter();
    if let Some(before) = ground.view().and_then(|view| view.before) {
        to_do.insert(
            0,
            format!("Careful: all of this is from before {before}. Toast it again."),
        );
    }
    to_do.splice(0..0, spoilt.map(|why| format!("Careful: {why}.")));
    if let Err(why) = &ground.map {
        to_do.insert(0, no_map(why));
    }
    let tested = match (spoken_days(tests), visit_since(oven, tests)) {
        (None, _) => "not tested yet; this is by custom".to_owned(),
        (Some(days), None) => format!("tested {days}"),
        (Some(days), Some(_)) => format!("tested {days}, before the last visit: test again"),
    };
    Front {
        name: oven.name.clone(),
        set,
        mode: ground.mode.words().to_owned(),
        maps: ground.view().map_or_else(nothing, |v| words::maps(v, oven)),
        to_do,
        tested,
    }
}

/// Says why there is no map, and what to do about it.
fn no_map(why: &NoMap) -> String {
    match why {
        NoMap::Untested { .. } => {
            "Not tested yet: toast a test to see its hot and cool zones.".to_owned()
        }
        NoMap::TooLittle(why) => format!("The tests give no map yet: {why}."),
    }
}

/// Says what the maps rest on.
pub(super) fn rests_on(tests: &[&ToastTest], mode: Mode) -> String {
    let slices: usize = tests.iter().map(|t| t.scored()).sum();
    let phrase = mode.phrase();
    match (tests.len(), days(tests)) {
        (_, None) => format!("No toast test {phrase} yet."),
        (1, Some(day)) => {
            format!("Learnt from one toast test {phrase} of {day} ({slices} slices).")
        }
        (n, Some(days)) => {
            format!("Learnt from {n} toast tests {phrase}, {days} ({slices} slices).")
        }
    }
}
