//! Faces that need a kitchen: papers in every form, the picture of a map, the choice and the map screen.

use crate::{
    faces::{Faults, map_sheet, numbers, planned, quantities},
    small_tests::Drawn,
};
use jiff::civil::date;
use rackshade::{
    tui::{
        app::App,
        effect::Effect,
        event::Event,
        keys::Key,
        step,
        theme::{Depth, Theme},
        view::view as draw_screen,
        worker::work,
    },
    workflow::{
        choice::{Basis, choices},
        kitchen::{Access, Kitchen},
        map::map_of,
        paper::{
            Document, PageSize, PaperFormat, PaperRequest, card, fonts, map_picture, sheet, write,
        },
        plan::PlanRequest,
        pool::Pool,
    },
};
use ratatui::{Terminal, backend::TestBackend};
use std::time::Duration;
use tempfile::TempDir;

/// Papers in every form, the picture of a map, the choice and the screens: what needs a kitchen.
pub(crate) fn with_kitchen(drawn: &Drawn, request: &PlanRequest, faults: &mut Faults) {
    let folder = TempDir::new().expect("a temporary folder");
    let (mut kitchen, _) = Kitchen::open(folder.path(), Access::Write).expect("an empty kitchen");
    kitchen.save_oven(drawn.oven.clone()).expect("an oven kept");
    kitchen.hold_test(drawn.first.clone());
    kitchen.hold_test(drawn.second.clone());
    let today = date(2026, 4, 1);
    for choice in choices(&kitchen, request, today).ranked {
        faults.words("choice, text", &choice.evenness_words());
        // By custom nothing is known of evenness, and that is said.
        if choice.basis != Basis::Custom {
            planned(&drawn.oven, &choice.planned, faults);
        }
    }
    let about = PaperRequest {
        mode: None,
        visit: None,
        today,
    };
    let oven = kitchen.ovens().first().expect("the oven kept");
    for document in [card(&kitchen, oven, &about), sheet(&kitchen, oven, &about)] {
        match document {
            Ok(document) => printed(&document, faults),
            Err(why) => faults.words("refusal of a paper", &why.to_string()),
        }
    }
    pictured(drawn, faults);
    shown(kitchen, faults);
}

/// A document in every form that is text or a picture; PDF is drawn from the same pages as SVG.
fn printed(document: &Document, faults: &mut Faults) {
    let fonts = fonts().expect("the font carried along");
    faults.figures("paper, figures drawn", &document.blocks);
    let forms = [
        PaperFormat::Svg,
        PaperFormat::Png,
        PaperFormat::Html,
        PaperFormat::Markdown,
        PaperFormat::Csv,
        PaperFormat::Json,
    ];
    for form in forms {
        let face = format!("{} as {}", document.kind, form.key());
        let pages = match write(document, form, PageSize::A4, &fonts) {
            Ok(pages) => pages,
            Err(why) => {
                faults.note(&face, why.to_string());
                continue;
            }
        };
        for page in &pages {
            if form == PaperFormat::Png {
                drawn_picture(&face, page, faults);
                continue;
            }
            let text = without_embedded(&String::from_utf8_lossy(page));
            if form == PaperFormat::Json {
                let json = faults.json(&face, &text);
                for key in ["shade", "shade_lo"] {
                    let face = format!("{face}, {key} below zero");
                    faults.not_below_zero(&face, numbers(&json, key));
                }
            } else {
                faults.words(&face, &text);
            }
        }
    }
}

/// Leaves out pictures and fonts written as letters, in which any word may stand.
fn without_embedded(text: &str) -> String {
    let mut parts = text.split("base64,");
    let first = parts.next().unwrap_or_default().to_owned();
    parts.fold(first, |out, part| {
        let end = part.find(['"', '\'', ')', '<']).unwrap_or(part.len());
        out + &part[end..]
    })
}

/// A picture that can be read back and is not of one colour.
fn drawn_picture(face: &str, bytes: &[u8], faults: &mut Faults) {
    match image::load_from_memory(bytes) {
        Ok(picture) => {
            let picture = picture.to_rgb8();
            let first = picture.get_pixel(0, 0);
            if picture.pixels().all(|p| p == first) {
                faults.note(face, "an empty picture");
            }
        }
        Err(why) => faults.note(face, why.to_string()),
    }
}

fn pictured(drawn: &Drawn, faults: &mut Faults) {
    let Ok(view) = map_of(&Pool::of(&drawn.oven, &[&drawn.first]), (24, 18)) else {
        return;
    };
    let fonts = fonts().expect("the font carried along");
    for quantity in quantities(&drawn.oven, &view) {
        match map_picture(&map_sheet(&drawn.oven, &view, quantity), None, &fonts) {
            Ok((_, bytes)) => drawn_picture("picture of a map", &bytes, faults),
            Err(why) => faults.words("refusal of a picture", &why.to_string()),
        }
    }
}

/// The map screen in every view, in degrees and shades, each rack and each part of its words.
fn shown(kitchen: Kitchen, faults: &mut Faults) {
    let size = (100, 36);
    let now = date(2026, 4, 1).at(9, 30, 0, 0);
    let mut app = App::new(kitchen, Theme::new(Depth::NoColour), now, &[]);
    app.set_size(size.0, size.1);
    app.set_clock(now, Duration::from_secs(1));
    let mut terminal =
        Terminal::new(TestBackend::new(size.0, size.1)).expect("a terminal in memory");
    let keys = "mdcvdnvddnvndd".chars().map(Key::Char);
    for (i, key) in keys.chain([Key::PageDown, Key::Up, Key::Left]).enumerate() {
        press(&mut app, key);
        terminal
            .draw(|frame| draw_screen(&app, frame))
            .expect("a frame in memory");
        let buffer = terminal.backend().buffer();
        let rows = buffer.content.chunks(usize::from(size.0));
        let text: String = rows
            .map(|row| {
                row.iter()
                    .map(ratatui::buffer::Cell::symbol)
                    .collect::<String>()
                    + "\n"
            })
            .collect();
        assert!(
            i > 0 || text.contains("rackshade  small, no fan"),
            "no map screen:\n{text}"
        );
        faults.words("map screen", &text);
    }
}

fn press(app: &mut App, key: Key) {
    let mut events = vec![Event::Key(key)];
    while let Some(event) = events.pop() {
        for effect in step(app, event) {
            match effect {
                Effect::Work(job) => events.push(Event::Finished(work(job))),
                Effect::Bell(_) | Effect::Quit | Effect::Save(_) | Effect::SetAside(_) => {}
            }
        }
    }
}
