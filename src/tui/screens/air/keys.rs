//! The keys of the thermometer screen, scope by scope.

use super::state::Act;
use crate::tui::keys::keys;

keys! {
    /// The keys over the record and its charts.
    pub(crate) KEYS: Act, "Thermometer";
    'n' | Enter => Prepare, "new round", "prepare a round with the thermometer";
    'v' | Tab => Chart, "chart", "next chart: a round over time, dial against air, offset over months";
    'w' => Want, "wanted", "what to set for a wanted temperature";
    'p' => Plan, "plan", "plan a bake with these readings";
    'm' => Mode, "mode", "the next way of heating";
    Left => Round(-1), "", "the round before, on the chart over time";
    Right => Round(1), "", "the round after, on the chart over time";
    PageDown | Down => Scroll(1), "", "next figures and advice";
    PageUp | Up => Scroll(-1), "", "figures and advice before";
    'c' => Cautions, "", "read the cautions";
}

keys! {
    /// The keys before a round.
    pub(crate) SETUP_KEYS: Act, "Before a round with the thermometer";
    Enter => Begin, "begin", "begin the round: the stop-watch runs";
    Up | BackTab => Line(-1), "", "line above";
    Down | Tab => Line(1), "line", "line below";
    Right => Change(1), "more", "the next choice, or the dial a step higher (digits set it outright)";
    Left => Change(-1), "less", "the choice before, or the dial a step lower";
    F3 => Describe, "describe thermometer", "describe the thermometer it is read with: step, accuracy, lag, age";
}

keys! {
    /// The keys while a thermometer is described; characters go into the line that has the cursor.
    pub(crate) THERMOMETER_KEYS: Act, "Describing a thermometer";
    Enter | Tab => NextPart, "next", "next line; on the last one, save";
    F2 | PageDown => KeepThermometer, "save", "save the thermometer as it stands, and read with it";
    Down => Part(1), "", "line below";
    Up | BackTab => Part(-1), "", "line above";
}

keys! {
    /// The keys of a round.
    pub(crate) ROUND_KEYS: Act, "Round with the thermometer";
    Digits => |d| Type(char::from(b'0' + d)), "", "type what the thermometer shows";
    '.' | ',' => Type('.'), "", "the point, for a thermometer that shows tenths";
    'F' | 'f' => Type('F'), "", "what was typed is in F, on a dial in C";
    'C' => Type('C'), "", "what was typed is in C, on a dial in F";
    Enter => Keep, "keep", "keep the reading, with the time from the clock";
    's' => Signal, "signal", "the oven says that it is hot";
    'h' => Holds, "holds", "it truly holds now, sooner than the usual 20 minutes";
    'o' => Door, "door", "the door is open; again: it is shut";
    'u' => Undo, "undo", "take the last reading or mark back";
    'p' => Spot, "place", "the thermometer stands in the next corner, or in the middle";
    'r' => Rack, "", "the thermometer stands on the next rack position, or in the middle of the oven";
    't' => Time, "time", "type the time of a reading that was taken earlier";
    'v' | Tab => Chart, "", "the chart of this round, or its figures";
    Backspace | Delete => Erase, "", "take the last digit away";
    'c' => Cautions, "", "read the cautions";
}

keys! {
    /// The keys while a wanted temperature or a time is typed.
    pub(crate) ENTRY_KEYS: Act, "Wanted temperature, time of a reading";
    Enter => Done, "done", "close the line; a time goes to the next reading";
}
