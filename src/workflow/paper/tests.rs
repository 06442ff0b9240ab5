use super::*;
use jiff::civil::date;

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
        "# wall oven",
        "3 toast tests in still air, 2026-04-10 to 2026-04-11",
        "| 350 F |",
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
        "Before and after the visit of 2026-04-02",
        "| before |",
        "| after |",
        "better",
        "licensed technician",
        "standard deviation, shades",
    ] {
        assert!(text.contains(expected), "{expected}\n{text}");
    }
    for blame in ["fault", "mistake", "should have", "failed to"] {
        assert!(!text.to_lowercase().contains(blame), "{blame}");
    }
    let wrong = PaperRequest {
        visit: Some(date(2020, 1, 1)),
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
        text.contains("Not tested yet") && text.contains("trade default"),
        "{text}"
    );
    let sheet = text_of(&sheet(&kitchen, &oven, &request()).unwrap());
    assert!(sheet.contains("No toast test in still air yet"), "{sheet}");
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
            assert_eq!(pages.len(), 1, "{}: a card is one page", oven.id);
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
