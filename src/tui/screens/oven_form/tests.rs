use super::draft::Draft;
use super::*;
use crate::model::Mode;
use crate::tui::keys::Key;
use crate::tui::widgets::form::Rows as _;
use crate::workflow::catalogue::oven_templates;
use crate::{tui::fixture::Fixture, units::LengthUnit};

fn form() -> Form {
    Form::new(&oven_templates()[0].oven, true, 0)
}

fn type_into(form: &mut Form, row: Row, text: &str) {
    form.go(row.index());
    for c in text.chars() {
        form.typed(&Typed::Char(c));
    }
}

#[test]
fn every_template_makes_an_oven_as_it_stands() {
    assert!(oven_templates().len() > 3);
    for template in oven_templates() {
        let built = Draft::of(&template.oven).build();
        let oven = built.unwrap_or_else(|(row, why)| panic!("{}: {row:?} {why}", template.key));
        assert_eq!(oven.racks.len(), template.oven.racks.len());
        assert!((oven.cavity.width.0 - template.oven.cavity.width.0).abs() < 0.02);
    }
}

#[test]
fn count_lowest_and_spacing_write_the_heights() {
    let mut form = form();
    type_into(&mut form, Row::Count, "3");
    type_into(&mut form, Row::Lowest, "2");
    type_into(&mut form, Row::Spacing, "4");
    let oven = form.draft.build().unwrap();
    let heights: Vec<f64> = oven
        .racks
        .iter()
        .map(|r| LengthUnit::Inches.figure(r.height))
        .collect();
    assert_eq!(heights.len(), 3);
    for (got, expected) in heights.iter().zip([2.0, 6.0, 10.0]) {
        assert!((got - expected).abs() < 1e-9, "{heights:?}");
    }
}

#[test]
fn a_wrong_figure_is_named_at_once_on_its_own_row() {
    let mut form = form();
    type_into(&mut form, Row::Width, "250");
    assert!(form.draft.problem_on(Row::Width).unwrap().contains("width"));
    assert!(form.draft.problem_on(Row::Depth).is_none());
    type_into(&mut form, Row::Width, "wide");
    assert!(form.draft.problem_on(Row::Width).unwrap().contains("wide"));
    type_into(&mut form, Row::Width, "60cm");
    assert!(form.draft.problem_on(Row::Width).is_none());
    type_into(&mut form, Row::Heights, "4, 2");
    assert!(form.draft.problem_on(Row::Heights).is_some());
}

#[test]
fn changing_the_unit_keeps_the_oven_as_large_as_it_was() {
    let mut form = form();
    let before = form.draft.build().unwrap();
    form.go(Row::Lengths.index());
    form.sideways(1);
    form.go(Row::DialUnit.index());
    form.sideways(1);
    let after = form.draft.build().unwrap();
    assert_ne!(before.lengths, after.lengths);
    assert!((before.cavity.depth.0 - after.cavity.depth.0).abs() < 0.01);
    assert!((before.dial.highest.0 - after.dial.highest.0).abs() < 0.6);
}

#[test]
fn switches_keep_the_order_of_the_form_and_the_last_mode_is_asked_for() {
    let mut form = form();
    form.go(Row::Modes.index());
    for at in 0..Mode::ALL.len() {
        form.switch = at;
        if form.draft.modes.contains(&Mode::ALL[at]) {
            form.typed(&Typed::Char(' '));
        }
    }
    assert_eq!(form.draft.build().unwrap_err().0, Row::Modes);
    form.switch = 1;
    form.typed(&Typed::Char(' '));
    form.switch = 0;
    form.typed(&Typed::Char(' '));
    assert_eq!(form.draft.modes, [Mode::StillAir, Mode::Fan]);
}

#[test]
fn escape_from_an_unchanged_new_oven_goes_back_to_the_kinds_and_changes_are_asked_about() {
    let mut fixture = Fixture::new();
    fixture.keys("n↓\n\x1b");
    fixture.guides("most like yours");
    fixture.keys("\nMy oven\x1b");
    fixture.says("not saved");
    assert!(fixture.app.shows::<OvenForm>());
    fixture.press(Key::Escape);
    assert!(fixture.app.shows::<crate::tui::screens::home::Home>());
    assert!(fixture.app.shared.kitchen.ovens().is_empty());
}

#[test]
fn a_newcomer_has_an_oven_in_three_keys_and_goes_on_to_the_layout() {
    let mut fixture = Fixture::new();
    fixture.keys("n\n");
    fixture.press(Key::Function(2));
    assert!(
        fixture
            .app
            .shows::<crate::tui::screens::layout::LayoutScreen>()
    );
    let fixture = fixture.reopened();
    assert_eq!(fixture.oven().name, oven_templates()[0].name);
}

#[test]
fn a_changed_oven_keeps_its_id_and_its_visits() {
    let mut fixture = Fixture::with_oven();
    fixture.keys("rvseal\n\x1b");
    let before = fixture.oven().clone();
    fixture.keys("eDeck oven");
    fixture.press(Key::Function(2));
    let after = fixture.oven();
    assert_eq!((&after.id, &after.visits), (&before.id, &before.visits));
    assert_eq!(after.name, "Deck oven");
}

#[test]
fn heights_that_may_be_one_or_two_are_asked_about_and_others_tell_how_many_there_are() {
    let mut form = form();
    type_into(&mut form, Row::Heights, "4,5");
    let said = form.draft.problem_on(Row::Heights).unwrap();
    assert!(said.contains("is it 4.5, or 4 and 5?"), "{said}");
    assert_eq!(form.draft.build().unwrap_err().0, Row::Heights);
    type_into(&mut form, Row::Heights, "4 1/2; 9,5");
    let oven = form.draft.build().unwrap();
    let heights: Vec<String> = oven
        .racks
        .iter()
        .map(|r| LengthUnit::Inches.show(r.height))
        .collect();
    assert_eq!(heights, ["4.5 in", "9.5 in"]);
    let shown = |row| form.draft.field(row).unwrap().text().to_owned();
    assert_eq!(
        [Row::Count, Row::Lowest, Row::Spacing].map(shown),
        ["2", "4.5", "5"]
    );
}

#[test]
fn a_row_that_cannot_be_read_stops_the_save() {
    let mut fixture = Fixture::new();
    fixture.keys("n\n");
    fixture.keys(&"↓".repeat(Row::Lowest.index()));
    fixture.keys(" ");
    fixture.press(Key::Function(2));
    fixture.says("not saved yet");
    assert!(fixture.app.shared.kitchen.ovens().is_empty());
}

#[test]
fn a_figure_that_cannot_be_is_named_as_it_was_typed() {
    let mut form = form();
    type_into(&mut form, Row::Width, "12345678");
    let said = form.draft.problem_on(Row::Width).unwrap();
    assert!(said.contains("12345678 in"), "{said}");
}

#[test]
fn a_dial_step_is_taken_with_its_unit() {
    let mut form = form();
    type_into(&mut form, Row::DialStep, "5F");
    let step = form.draft.build().unwrap().dial.step;
    assert!((step - 5.0).abs() < 1e-9, "{step}");
}
