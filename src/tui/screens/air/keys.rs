//! The keys of the thermometer screen, scope by scope.

use super::AirAction;
use crate::tui::{
    action::Action,
    keys::{Binding, Key},
};

const fn row(
    keys: &'static [Key],
    action: AirAction,
    hint: &'static str,
    help: &'static str,
) -> Binding {
    Binding {
        keys,
        action: Action::Air(action),
        hint,
        help,
    }
}

const CAUTIONS: Binding = Binding {
    keys: &[Key::Char('c')],
    action: Action::Cautions,
    hint: "",
    help: "read the cautions",
};

/// The keys over the record and its charts.
pub const KEYS: &[Binding] = &[
    row(
        &[Key::Char('n'), Key::Enter],
        AirAction::Prepare,
        "new round",
        "prepare a round with the thermometer",
    ),
    row(
        &[Key::Char('v'), Key::Tab],
        AirAction::Chart,
        "chart",
        "next chart: a round over time, dial against air, offset over months",
    ),
    row(
        &[Key::Char('w')],
        AirAction::Want,
        "wanted",
        "what to set for a wanted temperature",
    ),
    row(
        &[Key::Char('p')],
        AirAction::Plan,
        "plan",
        "plan a bake with these readings",
    ),
    row(
        &[Key::Char('m')],
        AirAction::Mode,
        "mode",
        "the next way of heating",
    ),
    row(
        &[Key::Left],
        AirAction::Round(-1),
        "",
        "the round before, on the chart over time",
    ),
    row(
        &[Key::Right],
        AirAction::Round(1),
        "",
        "the round after, on the chart over time",
    ),
    row(
        &[Key::PageDown, Key::Down],
        AirAction::Scroll(1),
        "",
        "next figures and advice",
    ),
    row(
        &[Key::PageUp, Key::Up],
        AirAction::Scroll(-1),
        "",
        "figures and advice before",
    ),
    CAUTIONS,
];

/// The keys before a round.
pub const SETUP_KEYS: &[Binding] = &[
    row(
        &[Key::Enter],
        AirAction::Begin,
        "begin",
        "begin the round: the stop-watch runs",
    ),
    row(
        &[Key::Up, Key::BackTab],
        AirAction::Line(-1),
        "",
        "line above",
    ),
    row(
        &[Key::Down, Key::Tab],
        AirAction::Line(1),
        "line",
        "line below",
    ),
    row(
        &[Key::Right],
        AirAction::Change(1),
        "more",
        "the next choice, or the dial a step higher (digits set it outright)",
    ),
    row(
        &[Key::Left],
        AirAction::Change(-1),
        "less",
        "the choice before, or the dial a step lower",
    ),
    row(
        &[Key::Function(3)],
        AirAction::Describe,
        "describe thermometer",
        "describe the thermometer it is read with: step, accuracy, lag, age",
    ),
];

/// The keys while a thermometer is described; characters go into the line that has the cursor.
pub const THERMOMETER_KEYS: &[Binding] = &[
    row(
        &[Key::Enter, Key::Tab],
        AirAction::NextPart,
        "next",
        "next line; on the last one, save",
    ),
    row(
        &[Key::Function(2), Key::PageDown],
        AirAction::KeepThermometer,
        "save",
        "save the thermometer as it stands, and read with it",
    ),
    row(&[Key::Down], AirAction::Part(1), "", "line below"),
    row(
        &[Key::Up, Key::BackTab],
        AirAction::Part(-1),
        "",
        "line above",
    ),
];

/// The keys of a round.
pub const ROUND_KEYS: &[Binding] = &[
    row(
        &[
            Key::Char('0'),
            Key::Char('1'),
            Key::Char('2'),
            Key::Char('3'),
            Key::Char('4'),
            Key::Char('5'),
            Key::Char('6'),
            Key::Char('7'),
            Key::Char('8'),
            Key::Char('9'),
        ],
        AirAction::Type('0'),
        "",
        "type what the thermometer shows",
    ),
    row(
        &[Key::Char('.')],
        AirAction::Type('.'),
        "",
        "the point, for a thermometer that shows tenths",
    ),
    row(
        &[Key::Enter],
        AirAction::Keep,
        "keep",
        "keep the reading, with the time from the clock",
    ),
    row(
        &[Key::Char('s')],
        AirAction::Signal,
        "signal",
        "the oven says that it is hot",
    ),
    row(
        &[Key::Char('h')],
        AirAction::Holds,
        "holds",
        "it truly holds now, sooner than the usual 20 minutes",
    ),
    row(
        &[Key::Char('o')],
        AirAction::Door,
        "door",
        "the door is open; again: it is shut",
    ),
    row(
        &[Key::Char('u')],
        AirAction::Undo,
        "undo",
        "take the last reading or mark back",
    ),
    row(
        &[Key::Char('p')],
        AirAction::Spot,
        "place",
        "the thermometer stands in the next corner, or in the middle",
    ),
    row(
        &[Key::Char('r')],
        AirAction::Rack,
        "",
        "the thermometer stands on the next rack position, or in the middle of the oven",
    ),
    row(
        &[Key::Char('t')],
        AirAction::Time,
        "time",
        "type the time of a reading that was taken earlier",
    ),
    row(
        &[Key::Char('v'), Key::Tab],
        AirAction::Chart,
        "",
        "the chart of this round, or its figures",
    ),
    row(
        &[Key::Backspace, Key::Delete],
        AirAction::Erase,
        "",
        "take the last digit away",
    ),
    CAUTIONS,
];

/// The keys while a wanted temperature or a time is typed.
pub const ENTRY_KEYS: &[Binding] = &[row(
    &[Key::Enter],
    AirAction::Done,
    "done",
    "close the line; a time goes to the next reading",
)];
