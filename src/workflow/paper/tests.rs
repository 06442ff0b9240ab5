use super::{
    super::{ground::ground_of_oven, kitchen::Kitchen, plan::Told, readings::summary},
    *,
};
use crate::{
    model::{AirPlace, AirReading, CHECK_NOTE, Phase, Reading, ServiceVisit, Shade, Slice, TestId},
    report::paper::{DataTable, Value},
    units::{Celsius, LengthUnit, TemperatureUnit},
    workflow::readings::{Sitting, add_reading},
};
use jiff::{SignedDuration, civil::date};

fn request() -> PaperRequest {
    PaperRequest {
        mode: None,
        visit: None,
        today: date(2026, 4, 20),
    }
}

fn text_of(document: &Document) -> String {
    let fonts = fonts().unwrap();
    let bytes = write(document, PaperFormat::Markdown, PageSize::A4, &fonts).unwrap();
    String::from_utf8(bytes[0].clone()).unwrap()
}

#[test]
fn the_demo_card_says_what_to_set_where_it_is_hot_and_when_to_turn() {
    let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let oven = kitchen.find_oven("wall-oven").unwrap();
    let text = text_of(&card(&kitchen, oven, &request()).unwrap());
    for expected in [
        "# wall oven\n",
        "3 toast tests without a fan, 2026-04-10 to 2026-04-11",
        "| 350 F |",
        "Two trays of thin cookies at 350 F: racks 2 and 4. At 9 of 12 min swap racks 2 and 4, turn both trays front to back.",
        "thin cookies",
        "Rack 4",
        "shades",
        "dry mitts",
    ] {
        assert!(text.contains(expected), "{expected}\n{text}");
    }
}

#[test]
fn the_demo_sheet_has_evidence_conditions_and_the_visit_and_blames_nobody() {
    let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let oven = kitchen.find_oven("wall-oven").unwrap();
    let text = text_of(&sheet(&kitchen, oven, &request()).unwrap());
    for expected in [
        "**At 400 F the air is ",
        "back left on rack 5 is about 11 F hotter than the rest of the rack.**",
        "Before and after the visit of 2026-04-02",
        "| before |",
        "| after |",
        "better",
        "licensed technician",
        "from place to place, shades",
    ] {
        assert!(text.contains(expected), "{expected}\n{text}");
    }
    for blame in ["fault", "mistake", "should have", "failed to"] {
        assert!(!text.to_lowercase().contains(blame), "{blame}");
    }
    let wrong = PaperRequest {
        visit: Some(date(2020, 1, 1).into()),
        ..request()
    };
    let said = sheet(&kitchen, oven, &wrong).unwrap_err().to_string();
    assert!(
        said.contains("2020-01-01") && said.contains("2026-04-02"),
        "{said}"
    );
}

#[test]
fn an_untested_oven_still_has_a_card_by_custom() {
    let (mut kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let mut oven = kitchen.find_oven("wall-oven").unwrap().clone();
    oven.id = kitchen.fresh_oven_id("new oven");
    oven.name = "new oven".to_owned();
    oven.visits.clear();
    kitchen.save_oven(oven.clone()).unwrap();
    let text = text_of(&card(&kitchen, &oven, &request()).unwrap());
    assert!(
        text.contains("no fan, not tested yet; this is by custom"),
        "{text}"
    );
    // Common practice, no source: two trays are swapped and turned about halfway through.
    assert!(
        text.contains("swap racks 3 and 5, turn both trays front to back"),
        "{text}"
    );
    let sheet = text_of(&sheet(&kitchen, &oven, &request()).unwrap());
    assert!(sheet.contains("No toast test without a fan yet"), "{sheet}");
}

/// The wall oven without a test or a reading, and then read at 350 F, a minute apart.
fn read_anew(above: impl Fn(f64) -> f64, count: u32) -> (Kitchen, Oven) {
    let (mut kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let mut oven = kitchen.find_oven("wall-oven").unwrap().clone();
    oven.id = kitchen.fresh_oven_id("new oven");
    oven.visits.clear();
    kitchen.save_oven(oven.clone()).unwrap();
    let sitting = Sitting {
        oven: oven.id.clone(),
        mode: Mode::StillAir,
        thermometer: None,
    };
    let dial = oven.dial.unit.temperature(350.0);
    let began = date(2026, 4, 1).at(10, 0, 0, 0);
    for i in 0..count {
        let reading = AirReading {
            at: (began + SignedDuration::from_mins(i64::from(i))).into(),
            dial,
            air: Celsius(dial.0 + above(f64::from(i))),
            phase: Phase::Holding,
            place: AirPlace::CENTRE,
        };
        add_reading(
            &mut kitchen,
            &sitting,
            reading,
            request().today.at(9, 0, 0, 0).into(),
        )
        .unwrap();
    }
    (kitchen, oven)
}

#[test]
fn the_sheet_states_no_air_that_never_settled() {
    let (kitchen, oven) = read_anew(|minute| -40.0 + 0.5 * minute, 46);
    let text = text_of(&sheet(&kitchen, &oven, &request()).unwrap());
    for expected in [
        "The air never settled while the dial was checked",
        "At 350 F the air never settled while it was read.",
    ] {
        assert!(text.contains(expected), "{expected}\n{text}");
    }
    assert!(
        !text.contains("cooler than the dial") && !text.contains("it ran"),
        "{text}"
    );
}

#[test]
fn a_card_advises_nothing_that_spoils() {
    let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let mut oven = kitchen.find_oven("wall-oven").unwrap().clone();
    oven.modes = vec![Mode::TopOnly];
    let asked = PaperRequest {
        mode: Some(Mode::TopOnly),
        ..request()
    };
    let card = card(&kitchen, &oven, &asked).unwrap();
    let front = card.front.as_ref().unwrap();
    let first = front
        .to_do
        .iter()
        .find(|w| w.starts_with("Careful: top heat alone"));
    let named = first.is_some_and(|w| w.contains("thin cookies"));
    assert!(named, "{:#?}", front.to_do);
    assert!(
        !front.to_do.iter().any(|w| w.contains("tray of")),
        "{:#?}",
        front.to_do
    );
    let text = text_of(&card);
    assert!(text.contains("top heat alone browns the top"), "{text}");
}

#[test]
fn one_look_at_the_thermometer_is_no_word_on_the_dial() {
    let (kitchen, oven) = read_anew(|_| -20.0 / 1.8, 1);
    let text = text_of(&sheet(&kitchen, &oven, &request()).unwrap());
    assert!(
        text.contains("Can't tell yet whether the dial is right"),
        "{text}"
    );
    assert!(
        !text.contains("dial is right,") && !text.contains("close enough"),
        "{text}"
    );
    // The card's front, its table and its rules set by one rule.
    let card = card(&kitchen, &oven, &request()).unwrap();
    assert_eq!(card.front.as_ref().unwrap().set, None);
    let text = text_of(&card);
    assert!(text.contains("| 350 F | 350 F (by custom) |"), "{text}");
    assert!(text.contains("do not serve yet"), "{text}");
}

/// 12 F cold at 350 F on a dial with marks 25 F apart: the nearest mark is no setting for it.
#[test]
fn the_card_sets_what_was_read_beyond_its_marks_and_nothing_where_nothing_was() {
    let (mut kitchen, mut oven) = read_anew(|_| -12.0 / 1.8, 46);
    let set = |card: &Document| card.front.as_ref().unwrap().set.clone();
    oven.dial.step = 25.0;
    kitchen.save_oven(oven.clone()).unwrap();
    let marked = card(&kitchen, &oven, &request()).unwrap();
    let text = text_of(&marked);
    assert_eq!(set(&marked).as_deref(), Some("set 362 for 350 F"), "{text}");
    assert!(
        text.contains("| 350 F | 362, nearest mark 350 F (3"),
        "{text}"
    );
    assert!(!text.contains("446"), "{text}");
    // In the unit of the dial usual bakes are round figures, too; one's own recipe of 350 F stays what it is.
    oven.dial.unit = TemperatureUnit::Celsius;
    oven.dial.step = 5.0;
    let celsius = card(&kitchen, &oven, &request()).unwrap();
    let text = text_of(&celsius);
    assert!(
        text.contains("| 175 C |") && text.contains("| 177 C |"),
        "{text}"
    );
    assert!(!text.contains("446"), "{text}");
}

#[test]
fn a_rack_is_even_on_paper_where_the_screens_call_it_so() {
    let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let mut untested = 0;
    for oven in kitchen.ovens() {
        for mode in &oven.modes {
            let ground = ground_of_oven(&kitchen, oven, Some(*mode), request::GRID).unwrap();
            let Some(view) = ground.view() else { continue };
            for figure in words::maps(view, oven).figures {
                let screen = view.rack_words(figure.map.rack);
                let even = figure.words.iter().any(|w| w.starts_with("even,"));
                assert_eq!(even, screen == "looks even", "{} {screen}", figure.title);
                untested += usize::from(screen == "not tested");
            }
        }
    }
    assert!(untested > 0);
}

fn fan() -> PaperRequest {
    PaperRequest {
        mode: Some(Mode::Fan),
        ..request()
    }
}

fn table<'d>(document: &'d Document, name: &str) -> &'d DataTable {
    document.data.iter().find(|t| t.name == name).unwrap()
}

fn number(table: &DataTable, row: usize, column: &str) -> f64 {
    let at = table.columns.iter().position(|c| *c == column).unwrap();
    match &table.rows[row][at] {
        Value::Number(number) => *number,
        Value::Words(words) => panic!("'{words}' is no number"),
    }
}

/// Settings of one mode with their recipes, C, rising.
fn settings(card: &Document, mode: Mode) -> Vec<(f64, f64)> {
    let dial = table(card, "dial");
    (0..dial.rows.len())
        .filter(|row| dial.rows[*row][1] == Value::Words(mode.key().to_owned()))
        .map(|row| (number(dial, row, "recipe_c"), number(dial, row, "set_c")))
        .collect()
}

#[test]
fn a_map_older_than_a_visit_is_spoken_of_in_the_past_and_due_for_a_test() {
    let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let oven = kitchen.find_oven("wall-oven").unwrap();
    let card = text_of(&card(&kitchen, oven, &fan()).unwrap());
    for expected in [
        "Where it browned more and less, fan, tested 2026-03-08, before the visit of 2026-04-02",
        "Test again now: the service visit of 2026-04-02",
    ] {
        assert!(card.contains(expected), "{expected}\n{card}");
    }
    let of_fan = text_of(&sheet(&kitchen, oven, &fan()).unwrap());
    assert!(of_fan.contains("## How it browned, fan"), "{of_fan}");
    // Tests counted are those of the map, not all on record.
    let sheet = text_of(&sheet(&kitchen, oven, &request()).unwrap());
    for expected in [
        "from 3 toast tests without a fan",
        "(108 slices)",
        "## How it browns, no fan",
    ] {
        assert!(sheet.contains(expected), "{expected}\n{sheet}");
    }
}

#[test]
fn no_setting_jumps_where_reading_ends_and_the_fans_custom_is_always_said() {
    let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let mut seen = 0;
    for oven in kitchen.ovens() {
        let card = card(&kitchen, oven, &request()).unwrap();
        let step = oven.dial.unit.delta(oven.dial.step).0;
        for mode in [Mode::StillAir, Mode::Fan] {
            for pair in settings(&card, mode).windows(2) {
                let rise = (pair[1].1 - pair[0].1) - (pair[1].0 - pair[0].0);
                assert!(rise.abs() < 1.01 * step, "{} {mode:?} {pair:?}", oven.id);
                seen += 1;
            }
        }
        let text = text_of(&card);
        assert!(
            text.contains("Fan: 25 F lower than the recipe, as is the custom"),
            "{text}"
        );
    }
    assert!(seen >= 24, "{seen}");
    let wall = kitchen.find_oven("wall-oven").unwrap();
    let text = text_of(&card(&kitchen, wall, &request()).unwrap());
    assert!(text.contains("395 F (not read there)"), "{text}");
}

#[test]
fn a_bake_is_set_as_the_dial_table_says_for_its_recipe() {
    let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let mut seen = 0;
    for oven in kitchen.ovens() {
        for mode in [Mode::StillAir, Mode::Fan] {
            let asked = PaperRequest {
                mode: Some(mode),
                ..request()
            };
            let card = card(&kitchen, oven, &asked).unwrap();
            let (dial, bakes) = (settings(&card, mode), table(&card, "bakes"));
            for row in 0..bakes.rows.len() {
                let recipe = number(bakes, row, "recipe_c");
                let set = dial.iter().find(|(of, _)| (of - recipe).abs() < 0.05);
                let set = set.expect("a row of the dial table").1;
                assert!((number(bakes, row, "dial_c") - set).abs() < 0.05, "{row}");
                seen += 1;
            }
        }
    }
    assert!(seen >= 12, "{seen}");
}

/// The card opens the door where a plan of the same bake does, and at the same minute.
#[test]
fn the_card_turns_what_the_plan_turns() {
    let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let mut turned = 0;
    for oven in kitchen.ovens() {
        let text = text_of(&card(&kitchen, oven, &request()).unwrap());
        let ground = ground_of_oven(&kitchen, oven, None, request::GRID).unwrap();
        let told = Told {
            air: Some(summary(&kitchen, oven, ground.mode)),
            own: None,
        };
        let bakes = rules::bakes(&kitchen, oven);
        let ruled = rules::ruled((&kitchen, &ground), &told, bakes);
        for (_, planned) in ruled.iter().filter_map(|r| r.outcome.as_ref().ok()) {
            for pair in planned.plan.segments.windows(2) {
                let at = format!("at {:.0} min", pair[1].from.0);
                assert!(text.contains(&at), "{at} in {text}");
                turned += 1;
            }
        }
    }
    assert!(turned > 0);
}

#[test]
fn a_mode_that_is_not_the_first_stands_in_the_files_names() {
    let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let oven = kitchen.find_oven("counter-oven").unwrap();
    let names = |mode| -> Vec<String> {
        let written = papers(
            (&kitchen, kitchen.folder()),
            &oven.id,
            mode,
            request().today,
        )
        .unwrap();
        let names = written
            .iter()
            .map(|p| p.file_name().unwrap().to_string_lossy());
        names.map(std::borrow::Cow::into_owned).collect()
    };
    let first = [
        "2026-04-20-counter-oven-card.pdf",
        "2026-04-20-counter-oven-sheet.pdf",
    ];
    assert_eq!(names(None), first);
    let of_fan = [
        "2026-04-20-counter-oven-fan-card.pdf",
        "2026-04-20-counter-oven-fan-sheet.pdf",
    ];
    assert_eq!(names(Some(Mode::Fan)), of_fan);
}

#[test]
fn tests_that_another_visit_cuts_off_are_counted_or_named_by_their_side() {
    let (mut kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let mut oven = kitchen.find_oven("wall-oven").unwrap().clone();
    oven.visits.push(ServiceVisit {
        when: date(2026, 4, 11).at(11, 0, 0, 0),
        what: "new gasket".to_owned(),
    });
    kitchen.save_oven(oven.clone()).unwrap();
    let latest = text_of(&sheet(&kitchen, &oven, &request()).unwrap());
    assert!(
        latest.contains("One more, of 2026-03-07, is on record and not used here."),
        "{latest}"
    );
    let first = PaperRequest {
        visit: Some(date(2026, 4, 2).into()),
        ..request()
    };
    let first = text_of(&sheet(&kitchen, &oven, &first).unwrap());
    assert!(first.contains("| 2026-04-11 11:30 | later |"), "{first}");
}

#[test]
fn racks_without_a_change_take_one_line_and_no_map() {
    let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let oven = kitchen.find_oven("wall-oven").unwrap();
    let text = text_of(&sheet(&kitchen, oven, &request()).unwrap());
    let of_two = text.matches("Rack 2:").count();
    assert!(
        of_two == 1 && text.contains("Rack 2: evenness: "),
        "{of_two}\n{text}"
    );
    assert!(text.contains("Rack 4 before") && !text.contains("Rack 2 before"));
    assert!(!text.to_lowercase().contains("position"), "{text}");
}

/// What `compare` leaves out does not count on the sheet.
#[test]
fn quick_checks_and_burnt_tests_change_nothing_before_and_after_a_visit() {
    let (mut kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let oven = kitchen.find_oven("wall-oven").unwrap().clone();
    let part = |kitchen: &Kitchen| {
        let text = text_of(&sheet(kitchen, &oven, &request()).unwrap());
        let (_, from) = text.split_once("## Before and after the visit").unwrap();
        from.split("\n## ").next().unwrap().to_owned()
    };
    let told = part(&kitchen);
    let full = kitchen.find_test("2026-04-11-wall-oven").unwrap().clone();
    for (day, note, shade) in [(12, CHECK_NOTE, 2), (13, "", 9)] {
        let mut test = full.clone();
        test.when = date(2026, 4, day).at(8, 0, 0, 0);
        test.id = kitchen.fresh_test_id(&oven.id, test.when.date());
        note.clone_into(&mut test.note);
        let front = |s: &&mut Slice| note.is_empty() || s.place.y.0 < 20.0;
        for slice in test.slices.iter_mut().filter(front) {
            slice.reading = Reading::ByEye(Shade::whole(shade).unwrap());
        }
        kitchen.save_test(test).unwrap();
        assert_eq!(part(&kitchen), told, "{note}");
    }
    for id in [
        "2026-04-10-wall-oven",
        "2026-04-11-wall-oven",
        "2026-04-11-wall-oven-2",
    ] {
        kitchen.remove_test(&TestId::new(id).unwrap()).unwrap();
    }
    let said = part(&kitchen);
    assert!(
        said.contains("There is no full toast test") && !said.contains("Rack "),
        "{said}"
    );
}

/// An inch is 2.54 cm by definition.
#[test]
fn areas_are_in_the_ovens_own_unit() {
    assert_eq!(words::area(426.0, LengthUnit::Inches), "66 sq in");
    assert_eq!(words::area(426.0, LengthUnit::Centimetres), "426 cm2");
}

#[test]
fn every_demo_oven_prints_in_every_format_and_size() {
    let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let fonts = fonts().unwrap();
    let mut seen = 0;
    for oven in kitchen.ovens() {
        let card = card(&kitchen, oven, &request()).unwrap();
        for size in PageSize::ALL {
            let pages = write(&card, PaperFormat::Svg, size, &fonts).unwrap();
            assert_eq!(pages.len(), 2, "{}: a card is one sheet", oven.id);
            let largest = pages.iter().map(Vec::len).max();
            assert!(largest < Some(300_000), "{largest:?}");
        }
        let sheet = sheet(&kitchen, oven, &request()).unwrap();
        for document in [&card, &sheet] {
            for format in PaperFormat::ALL {
                for file in write(document, format, PageSize::A4, &fonts).unwrap() {
                    let starts = |with: &[u8]| file.starts_with(with);
                    let right = match format {
                        PaperFormat::Pdf => starts(b"%PDF-"),
                        PaperFormat::Svg => starts(b"<svg "),
                        PaperFormat::Png => starts(b"\x89PNG"),
                        PaperFormat::Html => starts(b"<!DOCTYPE html>"),
                        PaperFormat::Markdown => starts(b"# "),
                        PaperFormat::Csv => starts(b"table,row,column,value"),
                        PaperFormat::Json => starts(b"{"),
                    };
                    assert!(right && file.len() > 1000, "{} {format:?}", oven.id);
                    seen += 1;
                }
            }
        }
    }
    assert!(seen >= 28, "{seen}");
}

#[test]
fn further_pages_stand_beside_the_first() {
    assert_eq!(page_path(Path::new("a/b.svg"), 1), Path::new("a/b.svg"));
    assert_eq!(page_path(Path::new("a/b.svg"), 2), Path::new("a/b-2.svg"));
}
