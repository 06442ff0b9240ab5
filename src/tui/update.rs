//! `update(&mut App, Action) -> Vec<Effect>`: the only place where state changes.

use super::{
    action::{Action, Typed},
    app::{App, Banner, Step},
    effect::Effect,
    event::{Drag, Event, Mouse, MouseAct},
    keys::{self, Scope},
    popups::Popup,
    screens::{Screen, clock::ring_elsewhere},
    view::Chrome,
    widgets::hints,
    worker::Finished,
};
use ratatui::layout::Position;

/// Finds what an event means for the program as it stands; `None` when it means nothing.
pub fn action_of(app: &App, event: Event) -> Option<Action> {
    match event {
        Event::Key(key) => {
            let (scope, takes_text) = scope_of(app)?;
            keys::action_for(scope, takes_text, key)
        }
        Event::Mouse(mouse) => Some(Action::Mouse(mouse)),
        Event::Drag(drag) => Some(Action::Drag(drag)),
        Event::Paste(text) => {
            let (_, takes_text) = scope_of(app)?;
            takes_text.then_some(Action::Typed(Typed::Text(text)))
        }
        Event::Resize(columns, rows) => Some(Action::Resize(columns, rows)),
        Event::Tick => Some(Action::Tick),
        Event::Finished(finished) => Some(Action::Finished(finished)),
        Event::Terminate => Some(Action::Terminate),
        // The run loop's own.
        Event::Suspend | Event::Resume => None,
    }
}

/// Returns the scope whose keys hold now, and whether characters are text in it.
pub(crate) fn scope_of(app: &App) -> Option<(Scope, bool)> {
    if app.shared.popup.is_some() {
        return Some((Scope::Popup, false));
    }
    let state = app.screen()?.state();
    Some((state.scope(), state.takes_text()))
}

/// Changes the state as `action` asks and returns what the outer world is to do.
pub fn update(app: &mut App, action: Action) -> Vec<Effect> {
    if is_from_hand(&action) && matches!(app.shared.banner, Some(Banner::Done(_))) {
        app.shared.banner = None;
    }
    let effects = match action {
        Action::Quit => quit(app),
        Action::Terminate => vec![Effect::Quit],
        Action::Back => back(app),
        Action::Help => {
            toggle_help(app);
            Vec::new()
        }
        Action::Cautions => {
            toggle_cautions(app);
            Vec::new()
        }
        Action::Scroll(lines) => {
            if let Some(popup) = &mut app.shared.popup {
                popup.scroll(lines);
            }
            Vec::new()
        }
        Action::Mouse(mouse) => return point(app, mouse),
        Action::Drag(drag) => return drag_to(app, drag),
        Action::Resize(columns, rows) => {
            app.shared.size = (columns, rows);
            Vec::new()
        }
        Action::Finished(finished) => settle(app, *finished),
        #[cfg(debug_assertions)]
        Action::Break => break_off(),
        Action::Tick => tick(app),
        Action::Typed(_)
        | Action::Home(_)
        | Action::Oven(_)
        | Action::Layout(_)
        | Action::Score(_)
        | Action::Map(_)
        | Action::Plan(_)
        | Action::Choice(_)
        | Action::Clock(_)
        | Action::Outcome(_)
        | Action::Record(_)
        | Action::Photo(_)
        | Action::Compare(_)
        | Action::Air(_)
        | Action::History(_) => to_screen(app, action),
    };
    take_steps(app, effects)
}

/// Tells actions that a key or click causes from those of clocks, worker and window.
pub(crate) fn is_from_hand(action: &Action) -> bool {
    match action {
        Action::Tick
        | Action::Finished(_)
        | Action::Resize(..)
        | Action::Drag(_)
        | Action::Terminate => false,
        Action::Quit
        | Action::Back
        | Action::Help
        | Action::Cautions
        | Action::Scroll(_)
        | Action::Typed(_)
        | Action::Mouse(_)
        | Action::Home(_)
        | Action::Oven(_)
        | Action::Layout(_)
        | Action::Score(_)
        | Action::Map(_)
        | Action::Plan(_)
        | Action::Choice(_)
        | Action::Clock(_)
        | Action::Outcome(_)
        | Action::Record(_)
        | Action::Photo(_)
        | Action::Compare(_)
        | Action::Air(_)
        | Action::History(_) => true,
        #[cfg(debug_assertions)]
        Action::Break => true,
    }
}

#[cfg(debug_assertions)]
#[expect(
    clippy::panic,
    reason = "the one purpose of this action, debug builds only"
)]
fn break_off() -> Vec<Effect> {
    panic!("broken on purpose");
}

/// Asks the screen in sight before leaving; it may want to be asked twice.
fn quit(app: &mut App) -> Vec<Effect> {
    let App { screens, shared } = app;
    let may = screens
        .last_mut()
        .is_none_or(|top| top.state_mut().may_quit(shared));
    if may { vec![Effect::Quit] } else { Vec::new() }
}

fn back(app: &mut App) -> Vec<Effect> {
    if app.shared.popup.take().is_some() {
        return Vec::new();
    }
    if app.shared.unsaved.is_empty() && app.shared.banner.take().is_some() {
        return Vec::new();
    }
    let App { screens, shared } = app;
    match screens.last_mut() {
        Some(top) => top.state_mut().leave(shared),
        None => Vec::new(),
    }
}

fn toggle_help(app: &mut App) {
    app.shared.popup = match (app.shared.popup.take(), app.screen()) {
        (None, Some(screen)) => Some(Popup::help(screen.state().scope())),
        (Some(_), _) | (None, None) => None,
    };
}

fn toggle_cautions(app: &mut App) {
    app.shared.popup = match (app.shared.popup.take(), app.screen()) {
        (None, Some(screen)) => screen.state().cautions().map(Popup::cautions),
        (Some(_), _) | (None, None) => None,
    };
}

/// Finds what lies under the mouse: a hint, or a part of the screen; then does what it stands for.
fn point(app: &mut App, mouse: Mouse) -> Vec<Effect> {
    if let Some(popup) = &mut app.shared.popup {
        match mouse.act {
            MouseAct::Press => app.shared.popup = None,
            MouseAct::WheelUp => popup.scroll(-1),
            MouseAct::WheelDown => popup.scroll(1),
        }
        return Vec::new();
    }
    let at = Position::new(mouse.column, mouse.row);
    let Some(chrome) = Chrome::of(app.shared.size) else {
        return Vec::new();
    };
    let hint = match mouse.act {
        MouseAct::Press if chrome.hints.contains(at) => hints::at(app, chrome.hints, at),
        MouseAct::Press | MouseAct::WheelUp | MouseAct::WheelDown => None,
    };
    let hit = hint.or_else(|| {
        let state = app.screen()?.state();
        state.hit(&app.shared, chrome.body, at, mouse.act)
    });
    match hit {
        // A hit never is a mouse action again, so this ends.
        Some(Action::Mouse(_) | Action::Drag(_)) | None => Vec::new(),
        Some(action) => update(app, action),
    }
}

/// Tells the screen where the mouse was dragged to.
fn drag_to(app: &mut App, drag: Drag) -> Vec<Effect> {
    if app.shared.popup.is_some() {
        return Vec::new();
    }
    let Some(chrome) = Chrome::of(app.shared.size) else {
        return Vec::new();
    };
    let at = Position::new(drag.column, drag.row);
    let hit = app.screen().and_then(|screen| {
        let state = screen.state();
        state.dragged(&app.shared, chrome.body, at, drag.ended)
    });
    match hit {
        // As with a click, what comes back is no mouse action, so this ends.
        Some(Action::Mouse(_) | Action::Drag(_)) | None => Vec::new(),
        Some(action) => update(app, action),
    }
}

fn settle(app: &mut App, finished: Finished) -> Vec<Effect> {
    let App { screens, shared } = app;
    let wanted = match finished {
        Finished::Map(ticket, answer) => shared.map.settle(ticket, answer),
        Finished::Plan(ticket, answer) => shared.plan.settle(ticket, answer),
        Finished::Photo(ticket, answer) => shared.photo.settle(ticket, answer),
        Finished::Choices(ticket, answer) => shared.choices.settle(ticket, answer),
        Finished::Compare(ticket, answer) => shared.compare.settle(ticket, answer),
        Finished::Verdict(ticket, answer) => shared.verdict.settle(ticket, answer),
        Finished::History(ticket, answer) => shared.history.settle(ticket, answer),
        Finished::Paper(answer) => {
            match answer {
                Ok(written) => {
                    let names: Vec<String> =
                        written.iter().map(|p| p.display().to_string()).collect();
                    shared.say(format!("on paper: {}", names.join(", ")));
                }
                Err(why) => shared.complain(why),
            }
            false
        }
    };
    match screens.last_mut() {
        Some(top) if wanted => top.state_mut().answered(shared),
        Some(_) | None => Vec::new(),
    }
}

/// Tells the screen in sight that time has passed; where it keeps no time itself, the bake's bell may ring.
fn tick(app: &mut App) -> Vec<Effect> {
    let keeps_time = app.screen().is_some_and(|s| s.state().tick().is_some());
    let mut effects = to_screen(app, Action::Tick);
    if !keeps_time {
        effects.extend(ring_elsewhere(&mut app.shared));
    }
    effects
}

/// Hands an action to the screen in sight, when it is that screen's own.
fn to_screen(app: &mut App, action: Action) -> Vec<Effect> {
    let App { screens, shared } = app;
    let Some(top) = screens.last_mut() else {
        return Vec::new();
    };
    top.update(action, shared)
}

/// Carries out the screen changes asked for; a screen that comes into sight may ask for work.
fn take_steps(app: &mut App, mut effects: Vec<Effect>) -> Vec<Effect> {
    let steps = std::mem::take(&mut app.shared.steps);
    let moved = !steps.is_empty();
    for step in steps {
        match step {
            Step::Open(screen) => app.screens.push(*screen),
            Step::Replace(screen) => {
                app.screens.pop();
                app.screens.push(*screen);
            }
            Step::Back if app.screens.len() > 1 => {
                app.screens.pop();
            }
            // Home has nothing behind it.
            Step::Back => {}
        }
    }
    if app.screens.is_empty() {
        app.screens.push(Screen::home(&app.shared));
    }
    if moved {
        let App { screens, shared } = app;
        if let Some(top) = screens.last_mut() {
            effects.extend(top.state_mut().entered(shared));
        }
    }
    effects
}
