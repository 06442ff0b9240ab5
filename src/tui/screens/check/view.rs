//! Drawing of a quick check: the verdict in large words, the reasons, and the slices where they lie.

use super::CheckScreen;
use crate::tui::prelude::*;
use crate::{
    model::{Slice, SliceSize, shade::UNTOASTED_LIGHTNESS},
    tui::widgets::rack::{self, RackPicture},
    workflow::{
        catalogue::{Occasion, cautions},
        check::Answer,
    },
};

/// Columns of the words beside the picture.
const WORDS: u16 = 34;

pub(super) fn draw(screen: &CheckScreen, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
    let [words, picture] =
        Layout::horizontal([Constraint::Length(WORDS), Constraint::Min(20)]).areas(body);
    let theme = &shared.theme;
    let lines = if screen.test.is_some() {
        answer_lines(screen)
    } else {
        places_lines(screen)
    };
    let inner = words.inner(Margin::new(1, 0));
    sentences::say(lines, "  ", inner, frame.buffer_mut(), theme);
    draw_slices(screen, shared, frame, picture);
}

fn places_lines(screen: &CheckScreen) -> Vec<(Role, String)> {
    let places = match screen.places.held() {
        Some(Ok(places)) => places,
        Some(Err(why)) => return vec![(Role::Wrong, format!("! {why}"))],
        None if screen.places.is_waiting() => {
            return vec![(Role::Quiet, "choosing the places".to_owned())];
        }
        None => return vec![(Role::Caution, "No rack position is loaded.".to_owned())],
    };
    let mut lines = Vec::new();
    for (i, sentence) in places.sentences(&screen.oven).into_iter().enumerate() {
        let role = if i == 0 { Role::Heading } else { Role::Plain };
        lines.push((role, sentence));
    }
    if let Some(caution) = cautions(Occasion::ToastTest).first() {
        lines.push((Role::Caution, caution.clone()));
    }
    lines
}

fn answer_lines(screen: &CheckScreen) -> Vec<(Role, String)> {
    match screen.answer.held() {
        Some(Ok(checked)) => {
            let role = match checked.answer {
                Answer::AsBefore => Role::Good,
                Answer::Changed => Role::Chosen,
                Answer::CannotTell | Answer::First => Role::Heading,
            };
            let mut lines = vec![
                (role, checked.headline.clone()),
                (Role::Plain, String::new()),
            ];
            lines.extend(checked.reasons.iter().map(|r| (Role::Plain, r.clone())));
            lines.push((Role::Quiet, checked.known.sentence()));
            lines
        }
        Some(Err(why)) => vec![(Role::Wrong, format!("! {why}"))],
        None => vec![(Role::Quiet, "comparing with the earlier tests".to_owned())],
    }
}

/// Draws the slices, as many rack positions side by side as find room.
fn draw_slices(screen: &CheckScreen, shared: &Shared, frame: &mut Frame<'_>, area: Rect) {
    let theme = &shared.theme;
    let scored = screen.test.as_ref().and_then(|id| shared.kitchen.test(id));
    if let Some(test) = scored {
        let size = test.bread.slice;
        racks(
            screen,
            (&test.slices, size, test.untoasted()),
            (theme, frame),
            area,
        );
    } else if let Some(Ok(places)) = screen.places.held() {
        let all = (&places.slices[..], places.slice, UNTOASTED_LIGHTNESS);
        racks(screen, all, (theme, frame), area);
    }
}

fn racks(
    screen: &CheckScreen,
    (all, size, untoasted): (&[Slice], SliceSize, f64),
    (theme, frame): (&Theme, &mut Frame<'_>),
    area: Rect,
) {
    let mut numbers: Vec<u8> = all.iter().map(|s| s.rack).collect();
    numbers.dedup();
    let like = RackPicture {
        cavity: screen.oven.cavity,
        size,
        slices: &[],
        cursor: None,
        untoasted,
        heading: "",
    };
    rack::side_by_side(&like, &numbers, all, (theme, frame), area);
}
