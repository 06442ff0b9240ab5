use super::{Page, view::Sheet};
use crate::workflow::catalogue::oven_templates;
use crate::{
    model::{Plan, Yardstick},
    tui::{
        theme::{Depth, Theme},
        widgets::synthetic::{plain, plan},
    },
};
use ratatui::{buffer::Buffer, layout::Rect};

fn drawn(plan: &Plan, page: Page, move_shown: usize, size: (u16, u16)) -> String {
    let advice = ["A second opening would cost a minute and buy 0.1 shade.".to_owned()];
    scrolled((plan, &advice), page, (move_shown, 0), size)
}

fn scrolled(
    (plan, sentences): (&Plan, &[String]),
    page: Page,
    (move_shown, first_advice): (usize, usize),
    size: (u16, u16),
) -> String {
    let oven = &oven_templates()[0].oven;
    let mut buf = Buffer::empty(Rect::new(0, 0, size.0, size.1));
    Sheet {
        plan,
        sentences,
        oven,
        page,
        move_shown,
        first_advice,
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

#[test]
fn long_advice_scrolls_and_says_so() {
    let plan = plan();
    let advice: Vec<String> = (1..=9)
        .map(|n| format!("Sentence {n} says something that takes more than one line of the page."))
        .collect();
    let top = scrolled((&plan, &advice), Page::Ways, (0, 0), (80, 20));
    assert!(top.contains("advice 1/9 PgUp PgDn"), "{top}");
    assert!(
        top.contains("Sentence 1 ") && !top.contains("Sentence 9 "),
        "{top}"
    );
    let end = scrolled((&plan, &advice), Page::Ways, (0, 8), (80, 20));
    assert!(
        end.contains("advice 9/9") && end.contains("Sentence 9 "),
        "{end}"
    );
}

#[test]
fn a_plan_without_a_map_tells_no_figures_it_does_not_have() {
    let mut plan = plan();
    let unknown = Yardstick::unknown(plan.bake);
    (plan.evenness, plan.unturned, plan.halfway) = (unknown, unknown, unknown);
    for way in &mut plan.alternatives {
        way.evenness = unknown;
    }
    for page in [Page::Moves, Page::Ways] {
        let text = drawn(&plan, page, 0, (80, 20));
        assert!(!text.contains("NaN"), "{text}");
        assert!(text.contains("not known"), "{text}");
    }
}

#[test]
fn three_trays_in_six_racks_keep_their_picture_in_80_columns() {
    let mut plan = plan();
    for segment in &mut plan.segments {
        let mut third = segment.trays[0];
        (third.tray, third.rack) = (3, 6);
        segment.trays.push(third);
    }
    let last = plan.segments[1].clone();
    plan.segments.push(last.clone());
    plan.segments.push(last);
    for shown in 0..plan.segments.len() {
        let text = drawn(&plan, Page::Moves, shown, (80, 20));
        assert!(text.contains("rack 6 "), "{shown}: {text}");
        assert!(text.contains("end at the door"), "{shown}: {text}");
    }
}
