//! Drawing of the lay-out: settings and what they come to, beside the rack seen from above.

use super::{Act, LayoutScreen, bench::Setting};
use crate::tui::prelude::*;
use crate::tui::widgets::form::{self, Rows as _};
use crate::{
    model::{Slice, shade::UNTOASTED_LIGHTNESS},
    report::text::wrap,
    tui::widgets::rack::{self, RackPicture},
    workflow::toasting::took_before,
};

struct Parts {
    settings: Rect,
    summary: Rect,
    picture: Rect,
}

fn parts(body: Rect) -> Parts {
    let [left, picture] =
        Layout::horizontal([Constraint::Length(35), Constraint::Min(40)]).areas(body);
    let rows = u16::try_from(Setting::ALL.len()).unwrap_or(0);
    let [settings, _, summary] = Layout::vertical([
        Constraint::Length(rows),
        Constraint::Length(1),
        Constraint::Min(1),
    ])
    .areas(left);
    Parts {
        settings,
        summary,
        picture,
    }
}

pub(super) fn draw(screen: &LayoutScreen, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
    let theme = &shared.theme;
    let parts = parts(body);
    let lines: Vec<Line<'_>> = Setting::ALL
        .iter()
        .map(|setting| setting_line(screen, *setting, theme))
        .collect();
    let settings = Rect {
        x: parts.settings.x + 1,
        width: parts.settings.width.saturating_sub(1),
        ..parts.settings
    };
    frame.render_widget(Paragraph::new(lines), settings);
    summary(screen, shared, frame, parts.summary);
    with_picture(screen, |picture| {
        rack::draw(picture, theme, frame, parts.picture);
    });
}

/// Builds the picture of the rack position in sight and hands it on; drawing and mouse share it.
fn with_picture<T>(screen: &LayoutScreen, then: impl FnOnce(&RackPicture<'_>) -> T) -> Option<T> {
    let bench = &screen.bench;
    let rack = bench.rack_in_sight()?;
    let slices: Vec<(usize, &Slice)> = bench
        .slices()
        .iter()
        .enumerate()
        .filter(|(_, s)| s.rack == rack)
        .collect();
    let height = bench.oven().rack(rack).ok()?.height;
    let heading = format!(" rack {rack} at {} ", bench.oven().lengths.show(height));
    Some(then(&RackPicture {
        cavity: bench.oven().cavity,
        size: bench.size(),
        slices: &slices,
        cursor: screen.on_slices.then_some(bench.cursor()),
        untoasted: UNTOASTED_LIGHTNESS,
        heading: &heading,
    }))
}

pub(super) fn hit(screen: &LayoutScreen, body: Rect, at: Position) -> Option<Act> {
    let parts = parts(body);
    if parts.settings.contains(at) {
        let row = usize::from(at.y - parts.settings.y);
        if row == Setting::Racks.index()
            && let Some(rack) = rack_under(screen, parts.settings, at)
        {
            return Some(Act::Rack(rack));
        }
        return Some(Act::ToSetting(row));
    }
    with_picture(screen, |picture| rack::slice_at(picture, parts.picture, at))?.map(Act::ToSlice)
}

/// Columns before the value of a setting.
const LABELS: u16 = 15;

/// Finds the rack position whose number is under the mouse: each takes three columns.
fn rack_under(screen: &LayoutScreen, area: Rect, at: Position) -> Option<u8> {
    let place = at.x.checked_sub(area.x + LABELS)? / 3;
    screen
        .bench
        .oven()
        .racks
        .get(usize::from(place))
        .map(|r| r.number)
}

fn setting_line(screen: &LayoutScreen, setting: Setting, theme: &Theme) -> Line<'static> {
    let chosen = screen.setting == setting && !screen.on_slices;
    let value = match (setting, chosen) {
        (Setting::Racks, _) => String::new(),
        (_, true) => format!("\u{2039} {} \u{203a}", screen.bench.words(setting)),
        (_, false) => format!("  {}", screen.bench.words(setting)),
    };
    let width = usize::from(LABELS) - 3;
    let mut line = form::line(setting.label(), width, value, chosen, theme);
    if setting == Setting::Racks {
        for rack in &screen.bench.oven().racks {
            let loaded = screen.bench.is_loaded(rack.number);
            let (words, role) = if loaded {
                (format!("[{}]", rack.number), Role::Chosen)
            } else {
                (format!(" {} ", rack.number), Role::Quiet)
            };
            line.push_span(Span::styled(words, theme.style(role)));
        }
    }
    line
}

/// Said of pulling the slices where the whole of it does not fit.
const PULL: &str =
    "Stay with the oven. Pull every slice at once when the lightest is golden. i: all of it";

fn summary(screen: &LayoutScreen, shared: &Shared, frame: &mut Frame<'_>, area: Rect) {
    let inside = Rect {
        x: area.x + 1,
        width: area.width.saturating_sub(2),
        ..area
    };
    let style = |(words, role): &(String, Role)| {
        let lines = wrap(words, usize::from(inside.width), "", "").into_iter();
        let style = shared.theme.style(*role);
        lines
            .map(|line| Line::styled(line, style))
            .collect::<Vec<_>>()
    };
    let drawn = |said: &[(String, Role)]| said.iter().flat_map(style).collect::<Vec<_>>();
    let forms = said(screen, shared);
    let fits = |lines: &Vec<Line<'_>>| lines.len() <= usize::from(inside.height);
    let least = forms.last().map(|said| drawn(said)).unwrap_or_default();
    let lines = forms.iter().map(|said| drawn(said)).find(fits);
    frame.render_widget(Paragraph::new(lines.unwrap_or(least)), inside);
}

/// Returns what the settings come to: whole, with the pulling in short, and with the cautions counted.
fn said(screen: &LayoutScreen, shared: &Shared) -> Vec<Vec<(String, Role)>> {
    let bench = &screen.bench;
    let layout = match bench.layout() {
        Err(words) => return vec![vec![(format!("! {words}"), Role::Wrong)]],
        Ok(layout) => layout,
    };
    let oven = bench.oven();
    let (mode, racks) = bench.setup();
    let took = took_before(&shared.kitchen, &oven.id, (mode, layout.dial), racks);
    let (count, loaves) = (bench.lying(), layout.loaves);
    let loaf = if loaves == 1 { "loaf" } else { "loaves" };
    let (minutes, dial) = (
        layout.minutes_words(took.as_ref()),
        oven.dial.unit.show(layout.dial),
    );
    let mut head = vec![
        (format!("{count} slices, {loaves} {loaf}"), Role::Heading),
        (format!("{minutes} at {dial}"), Role::Plain),
    ];
    if let Some((one, other)) = bench.overlap() {
        let words = format!("! slices {one} and {other} lie on each other");
        head.push((words, Role::Wrong));
    }
    let warnings = layout.warnings.iter();
    let cautions: Vec<_> = warnings
        .map(|w| (format!("! {w}"), Role::Caution))
        .collect();
    let counted: Vec<_> = match cautions.len() {
        0 => Vec::new(),
        1 => vec![("! One caution. i: read it".to_owned(), Role::Caution)],
        n => vec![(format!("! {n} cautions. i: read them"), Role::Caution)],
    };
    let whole = vec![(layout.pull_when.clone(), Role::Plain)];
    let short = vec![(PULL.to_owned(), Role::Plain)];
    vec![
        [head.clone(), cautions.clone(), whole].concat(),
        [head.clone(), cautions, short.clone()].concat(),
        [head, counted, short].concat(),
    ]
}
