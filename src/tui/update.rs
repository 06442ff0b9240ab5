//! `update(&mut App, Event) -> Handled`: the only place where state changes.

use super::{
    app::App,
    bell::{dough, ring_elsewhere, running, toast},
    chrome::Chrome,
    day::RunningDay,
    effect::Effect,
    event::{Event, Mouse, MouseAct},
    everywhere::{EVERYWHERE, POPUP, ShellAct, is_why},
    hints::{self, Click},
    keys::Key,
    place::Place,
    popup::{Content, Popup},
    popups,
    screens::open,
    shared::{Banner, Shared, Step},
    trouble::Trouble,
    worker::{Answer, Job, Lane},
};
use ratatui::layout::Position;

/// How an event was dealt with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Handled {
    /// It meant something.
    pub(crate) meant: bool,
    /// A hand did it, not a clock, the worker or the system.
    pub(crate) by_hand: bool,
}

/// Changes the state as an event asks; what the outer world is to do waits in [`super::shared::Shared`].
pub(crate) fn update(app: &mut App, event: Event) -> Handled {
    let by_hand = match &event {
        // A mouse dragged or let go finishes what a press began.
        Event::Mouse(mouse) => !matches!(mouse.act, MouseAct::Drag | MouseAct::Release),
        other => matches!(other, Event::Key(_) | Event::Paste(_)),
    };
    let said = match app.shared.banner.take() {
        Some(Banner::Done(words)) if by_hand => Some(Banner::Done(words)),
        other => {
            app.shared.banner = other;
            None
        }
    };
    let meant = deal(app, event);
    if !meant {
        app.shared.banner = said;
    }
    take_steps(app);
    Handled { meant, by_hand }
}

fn deal(app: &mut App, event: Event) -> bool {
    match event {
        Event::Key(key) => return press(app, key),
        Event::Paste(text) => {
            let App { screens, shared } = app;
            let top = screens.last_mut().filter(|_| shared.popup.is_none());
            return top.is_some_and(|top| top.on_paste(text, shared));
        }
        Event::Mouse(mouse) => point(app, mouse),
        Event::Resize(columns, rows) => app.shared.size = (columns, rows),
        Event::Tick => tick(app),
        Event::Finished(answer) => settle(app, &answer),
        Event::Terminate => app.shared.effect(Effect::Quit),
        // The run loop's own.
        Event::Suspend | Event::Resume => return false,
    }
    true
}

/// Deals with a key: the window over the screen comes first, then the screen, then what holds everywhere.
fn press(app: &mut App, key: Key) -> bool {
    let App { screens, shared } = app;
    shared.quit_asked = shared.quit_asked.saturating_sub(1);
    let own = if shared.popup.is_some() {
        POPUP.act(key)
    } else if screens
        .last_mut()
        .is_some_and(|top| top.on_key(key, shared))
    {
        return true;
    } else {
        None
    };
    let breaks = match key {
        Key::Function(11) if cfg!(debug_assertions) => Some(ShellAct::BreakWorkers),
        Key::Function(12) if cfg!(debug_assertions) => Some(ShellAct::Break),
        _ => None,
    };
    let act = own.or_else(|| EVERYWHERE.act(key));
    match act.or(breaks) {
        Some(act) => shell(app, act),
        None => return false,
    }
    true
}

fn shell(app: &mut App, act: ShellAct) {
    match act {
        ShellAct::Quit => quit(app),
        ShellAct::Back => back(app),
        ShellAct::Help => toggle_help(app),
        ShellAct::Why => toggle_why(app),
        ShellAct::Scroll(lines) => scroll(app, lines),
        ShellAct::Break => break_off(),
        ShellAct::BreakWorkers => {
            for lane in Lane::ALL {
                let job = || -> Result<(), Trouble> { break_off() };
                app.shared.effect(Effect::Work(Job::new(0, lane, job)));
            }
        }
    }
}

#[expect(
    clippy::panic,
    reason = "the one purpose of these acts, reached in debug builds only"
)]
fn break_off() -> ! {
    panic!("broken on purpose");
}

/// Asks the screen in sight before leaving, and asks back where something runs out of sight.
fn quit(app: &mut App) {
    let App { screens, shared } = app;
    let was_asked = shared.quit_asked > 0;
    if !screens.last_mut().is_none_or(|top| top.may_quit(shared)) {
        shared.quit_asked = 2;
        return;
    }
    match runs(shared) {
        Some(what) if !was_asked => {
            shared.quit_asked = 2;
            shared.say(format!("{what} q again: quit"));
        }
        Some(_) | None => shared.effect(Effect::Quit),
    }
}

/// Says what runs and would not ring any more; of two things that by which more is lost.
fn runs(shared: &Shared) -> Option<&'static str> {
    if shared.day.as_ref().is_some_and(RunningDay::is_under_way) {
        return Some("A baking day is running, and the bell cannot ring after you quit.");
    }
    if running(shared).is_some() {
        return Some("A bake is running, and the bell cannot ring after you quit.");
    }
    if toast::is_running(shared) {
        return Some("Bread is in the oven, and the bell cannot ring after you quit.");
    }
    dough::running(shared).map(|_| "A dough is rising, and the bell cannot ring after you quit.")
}

fn back(app: &mut App) {
    let App { screens, shared } = app;
    let closed = shared.popup.take().is_some()
        || (shared.unsaved.is_empty() && shared.banner.take().is_some());
    if let (false, Some(top)) = (closed, screens.last_mut()) {
        top.leave(shared);
    }
}

fn toggle_help(app: &mut App) {
    app.shared.popup = match (app.shared.popup.take(), app.screen()) {
        (None, Some(screen)) => {
            let (here, _) = screen.keys();
            let mut everywhere = EVERYWHERE.keys();
            if screen.why(&app.shared).is_empty() {
                everywhere.lines.retain(|line| !is_why(line));
            }
            Some(Popup::of(Content::Help(here, everywhere)))
        }
        (Some(_), _) | (None, None) => None,
    };
}

/// Shows why, and how sure; says so where there is nothing behind the screen.
fn toggle_why(app: &mut App) {
    let open = app.shared.popup.take().is_some();
    let said = app.screen().map(|screen| screen.why(&app.shared));
    match said {
        Some(said) if !open && !said.is_empty() => {
            app.shared.popup = Some(Popup::of(Content::Why(said)));
        }
        Some(_) if !open => app.shared.say("there are no figures behind this screen"),
        Some(_) | None => {}
    }
}

/// Scrolls the popup by lines, up when negative.
fn scroll(app: &mut App, lines: i16) {
    let Some(chrome) = Chrome::of(app.shared.size) else {
        return;
    };
    if let Some(mut popup) = app.shared.popup.take() {
        let hidden = popups::hidden(&popup.content, &app.shared, chrome.body);
        popup.scroll(lines, hidden);
        app.shared.popup = Some(popup);
    }
}

/// Finds what lies under the mouse: a hint, or a part of the screen; then does what it stands for.
fn point(app: &mut App, mouse: Mouse) {
    if app.shared.popup.is_some() {
        match mouse.act {
            MouseAct::Press => app.shared.popup = None,
            MouseAct::WheelUp => scroll(app, -1),
            MouseAct::WheelDown => scroll(app, 1),
            MouseAct::Drag | MouseAct::Release => {}
        }
        return;
    }
    let Some(chrome) = Chrome::of(app.shared.size) else {
        return;
    };
    let at = Position::new(mouse.column, mouse.row);
    if mouse.act == MouseAct::Press
        && let Some(click) = hints::at(app, chrome.hints, at)
    {
        match click {
            Click::Press(key) => {
                press(app, key);
            }
            Click::Say(help) => app.shared.say(help),
        }
        return;
    }
    let App { screens, shared } = app;
    if let Some(top) = screens.last_mut() {
        top.on_mouse(mouse, chrome.body, shared);
    }
}

/// Hands an answer on: a map and papers to what all screens share, the rest to the screen in sight.
fn settle(app: &mut App, answer: &Answer) {
    let App { screens, shared } = app;
    if shared.papers.settle(answer) {
        match shared.papers.held() {
            Some(Ok(written)) => {
                let names: Vec<String> = written.iter().map(|p| p.display().to_string()).collect();
                shared.say(format!("on paper: {}", names.join(", ")));
            }
            Some(Err(why)) => shared.complain(why.to_string()),
            None => {}
        }
        return;
    }
    shared.map.settle(answer);
    if let Some(top) = screens.last_mut() {
        top.answered(answer, shared);
    }
}

/// Tells the screen in sight that time has passed; the bell may ring for all that is timed and not shown there.
fn tick(app: &mut App) {
    let App { screens, shared } = app;
    let shown = screens.last().and_then(|top| top.shows());
    if let Some(top) = screens.last_mut() {
        top.ticked(shared);
    }
    ring_elsewhere(shared, shown.as_ref());
}

/// Carries out the screen changes asked for; a screen that comes into sight may ask for work.
fn take_steps(app: &mut App) {
    let App { screens, shared } = app;
    let steps = std::mem::take(&mut shared.steps);
    let moved = !steps.is_empty();
    for step in steps {
        match step {
            Step::Open(place) => screens.extend(open(place, shared)),
            Step::Replace(place) => {
                screens.pop();
                screens.extend(open(place, shared));
            }
            Step::Back if screens.len() > 1 => {
                screens.pop();
            }
            // Home has nothing behind it.
            Step::Back => {}
        }
    }
    if screens.is_empty() {
        screens.extend(open(Place::Home, shared));
    }
    if let (true, Some(top)) = (moved, screens.last_mut()) {
        top.entered(shared);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::fixture::Fixture;

    /// Lines of help are broken: the window counts them as they are drawn.
    #[test]
    fn a_window_is_scrolled_to_its_last_line_and_no_further() {
        let mut fixture = Fixture::scoring();
        let body = Chrome::of(fixture.app.shared.size).unwrap().body;
        fixture.keys("?↑");
        let shown = |fixture: &Fixture| fixture.app.shared.popup.clone().unwrap();
        assert_eq!(shown(&fixture).offset, 0);
        let hidden = popups::hidden(&shown(&fixture).content, &fixture.app.shared, body);
        let Content::Help(here, everywhere) = shown(&fixture).content else {
            panic!("no help");
        };
        let rows = here.lines.len() + everywhere.lines.len() + 4;
        assert!(usize::from(hidden + body.height) > rows, "none was broken");
        fixture.keys(&"↓".repeat(60));
        assert_eq!(shown(&fixture).offset, hidden);
    }

    #[test]
    fn a_click_on_a_row_of_digits_scores_nothing_and_says_what_they_do() {
        let mut fixture = Fixture::scoring();
        let hints = Chrome::of(fixture.app.shared.size).unwrap().hints;
        let clicks: Vec<(u16, Click)> = (hints.left()..hints.right())
            .filter_map(|x| Some((x, hints::at(&fixture.app, hints, (x, hints.y).into())?)))
            .collect();
        let digits = clicks.iter().find(|(_, c)| matches!(c, Click::Say(_)));
        let (column, act) = (digits.unwrap().0, MouseAct::Press);
        let row = hints.y;
        update(&mut fixture.app, Event::Mouse(Mouse { column, row, act }));
        fixture.says("0 untoasted to 9 burnt black");
        assert_eq!((fixture.test().scored(), fixture.test().cursor), (0, 0));
        let skip = |(_, c): &&(u16, Click)| *c == Click::Press(Key::Char('s'));
        assert!(clicks.iter().any(|c| skip(&c)), "one key is pressed");
    }

    #[test]
    fn a_message_stays_until_the_mouse_is_pressed_again() {
        let mut fixture = Fixture::with_oven();
        fixture.app.shared.say("done");
        for act in [MouseAct::Drag, MouseAct::Release, MouseAct::Press] {
            fixture.says("done");
            let (column, row) = (0, 0);
            update(&mut fixture.app, Event::Mouse(Mouse { column, row, act }));
        }
        assert_eq!(fixture.app.shared.banner, None);
    }
}
