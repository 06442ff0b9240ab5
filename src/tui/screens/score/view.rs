//! Drawing of the scoring screen: the rack, the shade card, and the map as it grows.

use super::{LEAST_SCORES, Score};
use crate::tui::prelude::*;
use crate::workflow::{catalogue::shade_card, scoring::ScoreKey, view::MapView};
use crate::{
    model::{Reading, Slice, ToastTest},
    report::{Quantity, Scale},
    tui::widgets::{
        Overlay, Overlays, RackRaster, ShadeCard, SliceMark,
        rack::{self, RackPicture},
        rack_raster::cells,
    },
};

/// Rows of the shade card: one a shade.
const CARD_ROWS: u16 = 10;

struct Parts {
    tabs: Rect,
    picture: Rect,
    card: Rect,
    map: Rect,
}

fn parts(body: Rect) -> Parts {
    let side = if body.width >= 110 { 46 } else { 28 };
    let [left, _, right] = Layout::horizontal([
        Constraint::Min(40),
        Constraint::Length(1),
        Constraint::Length(side),
    ])
    .areas(body);
    let [tabs, picture] = Layout::vertical([Constraint::Length(1), Constraint::Min(5)]).areas(left);
    let [card, _, map] = Layout::vertical([
        Constraint::Length(CARD_ROWS),
        Constraint::Length(1),
        Constraint::Min(3),
    ])
    .areas(right);
    Parts {
        tabs,
        picture,
        card,
        map,
    }
}

pub(super) fn draw(screen: &Score, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
    let theme = &shared.theme;
    let parts = parts(body);
    tabs(screen, theme, frame, parts.tabs);
    with_picture(screen, |picture| {
        rack::draw(picture, theme, frame, parts.picture);
    });
    card(screen, theme, frame, parts.card);
    live_map(screen, shared, frame, parts.map);
}

pub(super) fn hit(screen: &Score, body: Rect, at: Position) -> Option<ScoreKey> {
    let parts = parts(body);
    if parts.tabs.contains(at) {
        let tab = tab_areas(screen.test(), parts.tabs)
            .into_iter()
            .find(|(_, area, _)| area.contains(at))?;
        let first = screen.test().slices.iter().position(|s| s.rack == tab.0)?;
        return Some(ScoreKey::To(first));
    }
    with_picture(screen, |picture| rack::slice_at(picture, parts.picture, at))?.map(ScoreKey::To)
}

/// Builds the picture of the rack position in sight and hands it on; drawing and mouse share it.
fn with_picture<T>(screen: &Score, then: impl FnOnce(&RackPicture<'_>) -> T) -> Option<T> {
    let rack = screen.rack_in_sight()?;
    let test = screen.test();
    let slices: Vec<(usize, &Slice)> = test
        .slices
        .iter()
        .enumerate()
        .filter(|(_, s)| s.rack == rack)
        .collect();
    let heading = format!(" rack {rack} ");
    Some(then(&RackPicture {
        cavity: screen.oven.cavity,
        size: test.bread.slice,
        slices: &slices,
        cursor: Some(screen.scoring.cursor()),
        untoasted: test.untoasted(),
        heading: &heading,
    }))
}

/// Returns rack position, place and words of every tab, in the longest form of which all fit.
pub(super) fn tab_areas(test: &ToastTest, area: Rect) -> Vec<(u8, Rect, String)> {
    let laid = |words: fn(u8, usize, usize) -> String| {
        let mut x = area.x + 1;
        let racks = test.setup.racks.iter().map(|rack| {
            let of_rack = || test.slices.iter().filter(|s| s.rack == *rack);
            let settled = of_rack().filter(|s| s.reading.is_settled()).count();
            let words = words(*rack, settled, of_rack().count());
            let place = Rect::new(x, area.y, cells(words.chars().count()), 1);
            x = place.right() + 1;
            (*rack, place, words)
        });
        racks.collect::<Vec<_>>()
    };
    let fits = |tabs: &Vec<(u8, Rect, String)>| tabs.iter().all(|t| t.1.right() <= area.right());
    let long = laid(|rack, settled, all| format!(" rack {rack}: {settled} of {all} "));
    let short = |rack, settled, all| format!(" {rack}: {settled}/{all} ");
    Some(long).filter(fits).unwrap_or_else(|| {
        let tabs = laid(short).into_iter();
        tabs.filter(|t| t.1.right() <= area.right()).collect()
    })
}

fn tabs(screen: &Score, theme: &Theme, frame: &mut Frame<'_>, area: Rect) {
    for (rack, place, words) in tab_areas(screen.test(), area) {
        let here = screen.rack_in_sight() == Some(rack);
        let role = if here { Role::Chosen } else { Role::Quiet };
        frame.render_widget(Span::styled(words, theme.style(role)), place);
    }
}

/// Draws the shade card, pointing at the shade given last.
fn card(screen: &Score, theme: &Theme, frame: &mut Frame<'_>, area: Rect) {
    let last = screen.scoring.last_scored();
    let chosen = last.and_then(|i| match screen.test().slices.get(i)?.reading {
        Reading::ByEye(shade) => Some(shade),
        Reading::Unscored | Reading::Skipped | Reading::Missing | Reading::Measured { .. } => None,
    });
    let card = ShadeCard {
        shades: shade_card(),
        chosen,
    };
    card.draw(area, frame.buffer_mut(), theme);
}

/// The map of what is scored so far; the worker fits it, so it may lag a key or two behind.
fn live_map(screen: &Score, shared: &Shared, frame: &mut Frame<'_>, area: Rect) {
    let theme = &shared.theme;
    let test = screen.test();
    let held = shared
        .map
        .held()
        .filter(|(key, _)| key.tests.as_slice() == std::slice::from_ref(&test.id));
    let words = match held {
        _ if test.scored() == 0 => format!(
            "Pull every slice at once when the lightest one is golden, then compare each with this card. \
             The map begins with {LEAST_SCORES} scores."
        ),
        _ if test.scored() < LEAST_SCORES => format!(
            "The map begins with {LEAST_SCORES} scores; {} so far.",
            test.scored()
        ),
        Some((_, Ok(view))) => {
            if let Some(rack) = screen.rack_in_sight() {
                raster(view, rack, test, (theme, frame, area));
            }
            return;
        }
        Some((_, Err(why))) => why.to_string(),
        None => "The map is being worked out.".to_owned(),
    };
    let text = Paragraph::new(words).style(theme.style(Role::Quiet));
    frame.render_widget(text.wrap(Wrap { trim: true }), area);
}

/// Draws the map of one rack position, small: shades, zones and doubt, no more.
fn raster(
    view: &MapView,
    rack: u8,
    test: &ToastTest,
    (theme, frame, area): (&Theme, &mut Frame<'_>, Rect),
) {
    let Some(map) = view.map.racks.iter().find(|m| m.rack == rack) else {
        return;
    };
    let heading = Rect::new(area.x, area.y, area.width, 1.min(area.height));
    let title = Line::styled("Map so far, in shades", theme.style(Role::Heading));
    frame.render_widget(title, heading);
    let below = below(area, heading.height);
    let scale = Scale::over(Quantity::Shade, &view.map.racks);
    let roomy = below.width >= 40;
    let marks = if roomy {
        SliceMark::of(test)
    } else {
        Vec::new()
    };
    let picture = RackRaster {
        map,
        scale: &scale,
        zones: &view.zones,
        slices: &marks,
        overlays: Overlays::none()
            .with(Overlay::Zones)
            .with(Overlay::Scores)
            .with(Overlay::Doubt),
        cursor: None,
    };
    picture.draw(below, frame.buffer_mut(), theme);
}
