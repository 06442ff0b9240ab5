//! Drives the screens without a terminal: keys in, a picture out.

mod picture;
mod readings;

use jiff::civil::date;
use rackshade::{
    tui::{
        app::App,
        effect::Effect,
        event::{Event, Mouse, MouseAct},
        keys::Key,
        step,
        theme::{Depth, Role, Theme},
        view::view,
        worker::{Job, work},
    },
    workflow::kitchen::{Access, Kitchen},
};
use ratatui::{
    Terminal,
    backend::TestBackend,
    buffer::{Buffer, Cell},
    layout::Rect,
    style::{Color, Modifier},
};
use std::{collections::BTreeSet, time::Duration};
use tempfile::TempDir;

/// The program over a kitchen in a temporary folder.
pub(crate) struct Stage {
    pub(crate) app: App,
    pub(crate) quit: bool,
    pub(crate) bells: usize,
    /// Keys pressed so far.
    pub(crate) pressed: usize,
    /// Time that has passed on the clock.
    passed: Duration,
    /// The worker does nothing for now: of many maps only the last is looked at, and made when it wakes.
    idle: bool,
    /// The last job it was given while idle.
    put_off: Option<Job>,
    terminal: Terminal<TestBackend>,
    _folder: TempDir,
}

impl Stage {
    /// A kitchen without ovens.
    pub(crate) fn empty(size: (u16, u16), depth: Depth) -> Self {
        let folder = TempDir::new().unwrap();
        let (kitchen, _) = Kitchen::open(folder.path(), Access::Write).unwrap();
        Self::over(kitchen, folder, size, depth)
    }

    /// The demo kitchen, with the first and the third toast test of the wall oven in still air, before
    /// and after the service visit, compared.
    pub(crate) fn compared(size: (u16, u16), depth: Depth) -> Self {
        let mut stage = Self::on_record(size, depth);
        for day in ["2026-04-10", "2026-03-07"] {
            for _ in 0..12 {
                if !stage.on_row_of(day) {
                    stage.press(Key::Down);
                }
            }
            stage.keys(" ");
        }
        stage.keys("c");
        stage
    }

    /// The demo kitchen.
    pub(crate) fn demo(size: (u16, u16), depth: Depth) -> Self {
        let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
        Self::over(kitchen, TempDir::new().unwrap(), size, depth)
    }

    /// The demo kitchen's record of the wall oven.
    fn on_record(size: (u16, u16), depth: Depth) -> Self {
        let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
        let mut stage = Self::over(kitchen, TempDir::new().unwrap(), size, depth);
        for _ in 0..4 {
            stage.keys("r");
            if stage.text().contains("record of wall oven") {
                break;
            }
            stage.keys("\x1b↓");
        }
        stage
    }

    /// The history of the demo kitchen's wall oven, its cursor on the day before the service visit.
    pub(crate) fn remembered(size: (u16, u16), depth: Depth) -> Self {
        let mut stage = Self::on_record(size, depth);
        stage.keys("h");
        for _ in 0..20 {
            if !stage.on_row_of("2026-03-2") {
                stage.press(Key::Down);
            }
        }
        stage
    }

    /// Tells whether the list's cursor is on the row of a day.
    fn on_row_of(&mut self, day: &str) -> bool {
        let screen = self.text();
        screen
            .lines()
            .any(|l| l.contains('\u{25b8}') && l.contains(day))
    }

    fn over(kitchen: Kitchen, folder: TempDir, size: (u16, u16), depth: Depth) -> Self {
        let now = date(2026, 11, 25).at(9, 30, 0, 0);
        let mut app = App::new(kitchen, Theme::new(depth), now, &[]);
        app.set_size(size.0, size.1);
        Self {
            app,
            quit: false,
            bells: 0,
            pressed: 0,
            passed: Duration::ZERO,
            idle: false,
            put_off: None,
            terminal: Terminal::new(TestBackend::new(size.0, size.1)).unwrap(),
            _folder: folder,
        }
    }

    /// A kitchen of a class: many ovens, none tested yet.
    pub(crate) fn of_a_class(ovens: usize, size: (u16, u16), depth: Depth) -> Self {
        let folder = TempDir::new().unwrap();
        let (mut kitchen, _) = Kitchen::open(folder.path(), Access::Write).unwrap();
        for n in 1..=ovens {
            readings::add_oven(&mut kitchen, &format!("Oven {n:02} by the window"));
        }
        Self::over(kitchen, folder, size, depth)
    }

    /// A new oven from the first template, its lay-out in sight.
    pub(crate) fn laid_out(size: (u16, u16), depth: Depth) -> Self {
        let mut stage = Self::empty(size, depth);
        stage.keys("n\nWall oven");
        stage.press(Key::Function(2));
        stage
    }

    /// The same, its toast test ready to be scored.
    pub(crate) fn toasted(size: (u16, u16), depth: Depth) -> Self {
        let mut stage = Self::laid_out(size, depth);
        stage.keys("\n\ns");
        stage
    }

    /// A toast test over two rack positions, scored, and its map in sight.
    pub(crate) fn mapped(size: (u16, u16), depth: Depth) -> Self {
        let mut stage = Self::laid_out(size, depth);
        stage.keys("5\n\n");
        stage.idle = true;
        // Rack 3 darkens towards the back-left, rack 5 is lighter and even.
        stage.keys("765565444443");
        stage.keys("444434433333");
        stage.wake();
        stage.press(Key::Enter);
        stage
    }

    /// Does the last of the work that was put off.
    fn wake(&mut self) {
        self.idle = false;
        if let Some(job) = self.put_off.take() {
            self.event(Event::Finished(work(job)));
        }
    }

    /// Presses one key and does the worker's work at once.
    pub(crate) fn press(&mut self, key: Key) {
        self.pressed += 1;
        self.event(Event::Key(key));
    }

    /// Presses one key after the other: letters, `\n`, `\t`, `\x1b` and arrows.
    pub(crate) fn keys(&mut self, keys: &str) {
        for c in keys.chars() {
            self.press(match c {
                '\n' => Key::Enter,
                '\t' => Key::Tab,
                '\x1b' => Key::Escape,
                '←' => Key::Left,
                '→' => Key::Right,
                '↑' => Key::Up,
                '↓' => Key::Down,
                letter => Key::Char(letter),
            });
        }
    }

    /// Presses keys that the screen itself has named.
    pub(crate) fn follow(&mut self, named: &str, keys: &str) {
        let text = self.text();
        assert!(text.contains(named), "no '{named}' on the screen:\n{text}");
        self.keys(keys);
    }

    /// Lets time pass on the clock.
    pub(crate) fn pass(&mut self, seconds: u64) {
        self.passed += Duration::from_secs(seconds);
        self.event(Event::Tick);
    }

    /// An oven read with a thermometer over months, with a service visit between; its charts in sight.
    pub(crate) fn measured(size: (u16, u16), depth: Depth) -> Self {
        let folder = TempDir::new().unwrap();
        let (mut kitchen, _) = Kitchen::open(folder.path(), Access::Write).unwrap();
        readings::fill(&mut kitchen);
        let mut stage = Self::over(kitchen, folder, size, depth);
        stage.keys("a");
        stage
    }

    /// Presses the mouse where `text` stands.
    pub(crate) fn click_on(&mut self, text: &str) {
        let (column, row) = self.find(text);
        self.event(Event::Mouse(Mouse {
            column,
            row,
            act: MouseAct::Press,
        }));
    }

    /// Returns column and row where `text` stands.
    pub(crate) fn find(&mut self, text: &str) -> (u16, u16) {
        let screen = self.text();
        // From below: hints before what the guide says of them.
        let rows: Vec<&str> = screen.lines().collect();
        let found = rows.iter().enumerate().rev().find_map(|(row, line)| {
            let at = line.find(text)?;
            Some((line[..at].chars().count(), row))
        });
        let (column, row) = found.unwrap_or_else(|| panic!("no '{text}' here:\n{screen}"));
        (u16::try_from(column).unwrap(), u16::try_from(row).unwrap())
    }

    /// Pastes a text, as a terminal does when a file is dropped on it.
    pub(crate) fn paste(&mut self, text: &str) {
        self.event(Event::Paste(text.to_owned()));
    }

    /// Presses the mouse in a cell, drags it to another and lets it go.
    pub(crate) fn drag(&mut self, from: (u16, u16), to: (u16, u16)) {
        self.event(Event::Mouse(Mouse {
            column: from.0,
            row: from.1,
            act: MouseAct::Press,
        }));
        for act in [MouseAct::Drag, MouseAct::Release] {
            self.event(Event::Mouse(Mouse {
                column: to.0,
                row: to.1,
                act,
            }));
        }
    }

    /// Gives the terminal a new size.
    pub(crate) fn resize(&mut self, size: (u16, u16)) {
        self.terminal.backend_mut().resize(size.0, size.1);
        self.event(Event::Resize(size.0, size.1));
    }

    fn event(&mut self, event: Event) {
        let now = date(2026, 11, 25).at(9, 30, 0, 0) + self.passed;
        self.app
            .set_clock(now, Duration::from_secs(1) + self.passed);
        let mut events = vec![event];
        while let Some(event) = events.pop() {
            for effect in step(&mut self.app, event) {
                match effect {
                    Effect::Work(job) if self.idle => self.put_off = Some(job),
                    Effect::Work(job) => events.push(Event::Finished(work(job))),
                    Effect::Bell(_) => self.bells += 1,
                    Effect::Quit => self.quit = true,
                    Effect::Save(_) | Effect::SetAside(_) => {
                        panic!("step carries these out")
                    }
                }
            }
        }
    }

    /// Returns the terminal's area.
    pub(crate) fn area(&mut self) -> Rect {
        self.draw().area
    }

    fn draw(&mut self) -> Buffer {
        let app = &self.app;
        self.terminal.draw(|frame| view(app, frame)).unwrap();
        self.terminal.backend().buffer().clone()
    }

    /// Returns what can be read, row by row.
    pub(crate) fn text(&mut self) -> String {
        let buffer = self.draw();
        rows(&buffer).map(|row| text_of(&row) + "\n").collect()
    }

    /// Draws the screen as an SVG picture.
    pub(crate) fn picture(&mut self, label: &str) -> String {
        picture::svg(&self.draw(), label)
    }

    /// Returns what is drawn, row by row.
    fn cells(&mut self) -> Vec<Vec<Cell>> {
        let buffer = self.draw();
        rows(&buffer)
            .map(|row| row.into_iter().cloned().collect())
            .collect()
    }
}

fn rows(buffer: &Buffer) -> impl Iterator<Item = Vec<&Cell>> {
    let area = buffer.area;
    (area.top()..area.bottom()).map(move |y| {
        (area.left()..area.right())
            .map(|x| &buffer[(x, y)])
            .collect()
    })
}

fn text_of(row: &[&Cell]) -> String {
    let text: String = row.iter().map(|c| c.symbol()).collect();
    text.trim_end().to_owned()
}

/// The roles with their letters, in the order of the legend under a picture.
const LETTERS: [(Role, char); 9] = [
    (Role::Heading, 'H'),
    (Role::Key, 'K'),
    (Role::Chosen, 'C'),
    (Role::Good, 'G'),
    (Role::Caution, '!'),
    (Role::Wrong, 'W'),
    (Role::Hot, 'h'),
    (Role::Cool, 'c'),
    (Role::Quiet, '.'),
];

/// Returns the letter of what a cell in true colour is for: a role, `s` for shades and pictures.
fn letter_of(cell: &Cell) -> char {
    let theme = Theme::new(Depth::TrueColour);
    let worn = |role: Role| {
        let style = theme.style(role);
        let emphasis = Modifier::BOLD | Modifier::REVERSED;
        style.fg.unwrap_or(Color::Reset) == cell.fg
            && style.add_modifier == cell.modifier & emphasis
    };
    if cell.bg != Color::Reset {
        return 's';
    }
    if cell.fg == Color::Reset && cell.modifier.is_empty() {
        return ' ';
    }
    if cell.symbol() == " " && !cell.modifier.contains(Modifier::REVERSED) {
        return ' ';
    }
    let named = LETTERS.into_iter().find(|&(role, _)| worn(role));
    named.map_or('s', |(_, letter)| letter)
}

/// Draws what can be read without colour.
fn characters(stage: &mut Stage) -> String {
    let rows = stage.cells();
    let line = |row: &Vec<Cell>| {
        let cells: Vec<&Cell> = row.iter().collect();
        format!("|{}\n", text_of(&cells))
    };
    rows.iter().map(line).collect()
}

/// Draws the letter of each cell's role under true colour.
fn roles(stage: &mut Stage) -> String {
    let rows = stage.cells();
    let line = |row: &Vec<Cell>| {
        let letters: String = row.iter().map(letter_of).collect();
        format!("|{}\n", letters.trim_end())
    };
    rows.iter().map(line).collect()
}

/// Finds words that end at a border and are whole only on a larger screen: somebody cut them.
pub(crate) fn cut_words(small: &str, large: &str) -> Vec<String> {
    let words = |text: &str| -> BTreeSet<String> {
        let all = text.split(|c: char| !c.is_alphabetic());
        all.filter(|w| !w.is_empty()).map(str::to_owned).collect()
    };
    let whole = words(large);
    let cut = |word: &str| {
        let longer = |w: &String| w.len() > word.len() && w.starts_with(word);
        word.len() > 1 && !whole.contains(word) && whole.iter().any(longer)
    };
    let mut found = Vec::new();
    for line in small.lines() {
        // Parts of a line: what stands between walls, or two blanks apart.
        for part in line.split(['│', '║', '|']).flat_map(|p| p.split("  ")) {
            let last = part.rsplit(|c: char| !c.is_alphabetic()).next();
            found.extend(last.filter(|w| cut(w)).map(str::to_owned));
        }
    }
    found
}

/// Checks that no word of a screen is cut: the same screen, larger, has them all whole.
fn assert_nothing_cut(name: &str, stage: &mut Stage, (columns, rows): (u16, u16)) {
    if stage.app.shared().popup.is_some() {
        // A window over the screen covers words; what it says itself is broken between words.
        return;
    }
    let small = stage.text();
    stage.resize((columns + 60, rows + 20));
    let cut = cut_words(&small, &stage.text());
    assert!(
        cut.is_empty(),
        "{name} at {columns}x{rows} cuts {cut:?}:\n{small}"
    );
}

/// Tests of one line each: `name "picture" where_it_begins "keys to get there";`.
macro_rules! pictures {
    ($($(#[$doc:meta])* $test:ident $picture:literal $($from:ident)::+ $keys:literal;)+) => {$(
        $(#[$doc])*
        #[test]
        fn $test() {
            $crate::screens_kit::snapshots($picture, |size, depth| {
                let mut stage = $($from)::+(size, depth);
                stage.keys($keys);
                stage
            });
        }
    )+};
}
pub(crate) use pictures;

/// Compares a screen with the pictures kept: its characters at both sizes as a terminal without colour
/// shows them, and under the small one the roles that colours stand for.
///
/// The colours of shades themselves are tested by numbers where they are made.
pub(crate) fn snapshots(name: &str, stage: impl Fn((u16, u16), Depth) -> Stage) {
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path("../golden");
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.bind(|| {
        let mut at_80 = stage((80, 24), Depth::NoColour);
        let small = characters(&mut at_80);
        assert_nothing_cut(name, &mut at_80, (80, 24));
        let worn = roles(&mut stage((80, 24), Depth::TrueColour));
        let legend = "roles: H heading, K key, C chosen, G good, ! caution, W wrong, h hot, c cool, . quiet, s shade";
        insta::assert_snapshot!(format!("{name}-80x24"), format!("{small}{legend}\n{worn}"));
        let mut at_120 = stage((120, 40), Depth::NoColour);
        let large = characters(&mut at_120);
        assert_nothing_cut(name, &mut at_120, (120, 40));
        insta::assert_snapshot!(format!("{name}-120x40"), large);
    });
}
