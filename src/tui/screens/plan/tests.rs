use super::{Page, view::Sheet};
use crate::workflow::catalogue::oven_templates;
use crate::{
    model::Plan,
    tui::{
        theme::{Depth, Theme},
        widgets::synthetic::{plain, plan},
    },
};
use ratatui::{buffer::Buffer, layout::Rect};

fn drawn(plan: &Plan, page: Page, move_shown: usize, size: (u16, u16)) -> String {
    let oven = &oven_templates()[0].oven;
    let mut buf = Buffer::empty(Rect::new(0, 0, size.0, size.1));
    Sheet {
        plan,
        oven,
        page,
        move_shown,
    }
    .draw(buf.area, &mut buf, &Theme::new(Depth::NoColour));
    plain(&buf)
}

#[test]
fn moves_are_said_and_drawn_in_80_columns() {
    insta::assert_snapshot!(drawn(&plan(), Page::Moves, 1, (80, 20)));
}

#[test]
fn evenness_stands_against_minutes_for_every_number_of_openings() {
    let text = drawn(&plan(), Page::Ways, 0, (80, 20));
    insta::assert_snapshot!(text);
    for way in ["door stays shut", "1 opening", "turned at half-time"] {
        assert!(text.contains(way), "{way}");
    }
}

#[test]
fn a_tall_window_shows_both_pages() {
    let text = drawn(&plan(), Page::Moves, 0, (120, 36));
    assert!(text.contains("load: tray 1 on rack 2") && text.contains("turned at half-time"));
    insta::assert_snapshot!(text);
}
