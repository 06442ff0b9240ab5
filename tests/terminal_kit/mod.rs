//! The real program in a pseudo-terminal: keys and clicks in, a terminal emulator's screen out.

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};
use std::{
    io::{Read, Write},
    num::NonZero,
    path::Path,
    sync::{Arc, Mutex},
    thread,
    time::{Duration, Instant},
};
use vt100::{MouseProtocolMode, Parser};

/// Longest wait for anything: generous, so that a slow machine fails no test.
const LIMIT: Duration = Duration::from_mins(1);

pub(crate) const ENTER: &str = "\r";
pub(crate) const ESCAPE: &str = "\x1b";
pub(crate) const F2: &str = "\x1bOQ";
pub(crate) const F3: &str = "\x1bOR";
pub(crate) const F11: &str = "\x1b[23~";
pub(crate) const F12: &str = "\x1b[24~";

/// The program and the terminal it runs in.
pub(crate) struct Term {
    child: Box<dyn Child + Send + Sync>,
    master: Box<dyn MasterPty + Send>,
    writer: Box<dyn Write + Send>,
    parser: Arc<Mutex<Parser>>,
    #[cfg(unix)]
    before: String,
}

impl Term {
    /// Starts the program on a data folder in a terminal of 80 columns and 24 rows.
    pub(crate) fn start(data: &Path) -> Self {
        Self::start_with(data, &[])
    }

    /// The same, with variables of the environment set.
    pub(crate) fn start_with(data: &Path, variables: &[(&str, &str)]) -> Self {
        let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_rackshade"));
        command.arg("--data");
        command.arg(data);
        Self::start_command(command, variables)
    }

    /// Starts a shell that runs `script`, in which `"$0" --data "$1"` is the program on a data folder.
    #[cfg(unix)]
    pub(crate) fn start_shell(script: &str, data: &Path) -> Self {
        let mut command = CommandBuilder::new("sh");
        command.args(["-c", script, env!("CARGO_BIN_EXE_rackshade")]);
        command.arg(data);
        Self::start_command(command, &[])
    }

    fn start_command(mut command: CommandBuilder, variables: &[(&str, &str)]) -> Self {
        let pair = native_pty_system().openpty(size(80, 24)).unwrap();
        #[cfg(unix)]
        let before = format!("{:?}", pair.master.get_termios());
        command.env("TERM", "xterm-256color");
        command.env("COLORTERM", "truecolor");
        command.env_remove("NO_COLOR");
        command.env("RUST_BACKTRACE", "0");
        for (name, value) in variables {
            command.env(name, value);
        }
        let child = pair.slave.spawn_command(command).unwrap();
        drop(pair.slave);
        let parser = Arc::new(Mutex::new(Parser::new(above_0(24), above_0(80), 0)));
        let theirs = Arc::clone(&parser);
        let mut reader = pair.master.try_clone_reader().unwrap();
        thread::spawn(move || {
            let mut bytes = [0; 4096];
            while let Ok(count) = reader.read(&mut bytes) {
                if count == 0 {
                    break;
                }
                theirs.lock().unwrap().process(&bytes[..count]);
            }
        });
        Self {
            child,
            writer: pair.master.take_writer().unwrap(),
            master: pair.master,
            parser,
            #[cfg(unix)]
            before,
        }
    }

    /// Types keys as a terminal sends them.
    pub(crate) fn send(&mut self, keys: &str) {
        self.writer.write_all(keys.as_bytes()).unwrap();
        self.writer.flush().unwrap();
    }

    /// Types keys as soon as the screen shows `text`.
    pub(crate) fn follow(&mut self, text: &str, keys: &str) {
        self.wait_for(text);
        self.send(keys);
    }

    /// Returns what stands on the screen.
    pub(crate) fn text(&self) -> String {
        self.parser.lock().unwrap().screen().contents()
    }

    /// Tells whether any cell has a colour of its own.
    pub(crate) fn has_colour(&self) -> bool {
        let parser = self.parser.lock().unwrap();
        let screen = parser.screen();
        let (rows, columns) = screen.size();
        (0..rows.get())
            .flat_map(|row| (0..columns.get()).map(move |column| (row, column)))
            .filter_map(|(row, column)| screen.cell(row, column))
            .any(|c| c.fgcolor() != vt100::Color::Default || c.bgcolor() != vt100::Color::Default)
    }

    /// Waits until the screen shows `text`.
    pub(crate) fn wait_for(&self, text: &str) {
        self.wait_until(&format!("'{text}' on the screen"), |t| t.contains(text));
    }

    /// Waits until the screen no longer shows `text`.
    pub(crate) fn wait_gone(&self, text: &str) {
        self.wait_until(&format!("'{text}' to go"), |t| !t.contains(text));
    }

    fn wait_until(&self, what: &str, holds: impl Fn(&str) -> bool) {
        let start = Instant::now();
        loop {
            let text = self.text();
            if holds(&text) {
                return;
            }
            assert!(
                start.elapsed() < LIMIT,
                "waited for {what} in vain:\n{text}"
            );
            thread::sleep(Duration::from_millis(5));
        }
    }

    /// Presses the mouse where `text` stands on the screen.
    pub(crate) fn click_on(&mut self, text: &str) {
        // A frame may be half on its way.
        self.wait_for(text);
        let screen = self.text();
        let found = screen.lines().enumerate().find_map(|(row, line)| {
            let at = line.find(text)?;
            Some((line[..at].chars().count() + 1, row + 1))
        });
        let (column, row) = found.unwrap_or_else(|| panic!("no '{text}' to click on:\n{screen}"));
        self.send(&format!("\x1b[<0;{column};{row}M\x1b[<0;{column};{row}m"));
    }

    /// Gives the terminal a new size.
    pub(crate) fn resize(&mut self, columns: u16, rows: u16) {
        self.parser
            .lock()
            .unwrap()
            .screen_mut()
            .set_size(above_0(rows), above_0(columns));
        self.master.resize(size(columns, rows)).unwrap();
    }

    /// Returns the process number.
    pub(crate) fn process(&self) -> u32 {
        self.child.process_id().unwrap()
    }

    /// Ends the program at once, as a power cut would.
    pub(crate) fn kill(&mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }

    /// Waits until the program has ended and tells whether it said all went well.
    pub(crate) fn ended(&mut self) -> bool {
        let start = Instant::now();
        loop {
            if let Some(status) = self.child.try_wait().unwrap() {
                return status.success();
            }
            assert!(start.elapsed() < LIMIT, "still running:\n{}", self.text());
            thread::sleep(Duration::from_millis(5));
        }
    }

    /// Checks that the terminal is as it was before the program ran.
    pub(crate) fn assert_sane(&self) {
        // The last bytes may still be on their way when the process is gone.
        let start = Instant::now();
        while !self.is_sane() && start.elapsed() < LIMIT {
            thread::sleep(Duration::from_millis(5));
        }
        let parser = self.parser.lock().unwrap();
        let screen = parser.screen();
        assert!(!screen.alternate_screen(), "still on the alternate screen");
        assert!(!screen.hide_cursor(), "the cursor is still hidden");
        assert!(!screen.bracketed_paste(), "pastes are still bracketed");
        assert_eq!(screen.mouse_protocol_mode(), MouseProtocolMode::None);
        #[cfg(unix)]
        assert_eq!(self.before, format!("{:?}", self.master.get_termios()));
    }

    fn is_sane(&self) -> bool {
        let parser = self.parser.lock().unwrap();
        let screen = parser.screen();
        !screen.alternate_screen()
            && !screen.hide_cursor()
            && !screen.bracketed_paste()
            && screen.mouse_protocol_mode() == MouseProtocolMode::None
    }

    /// Checks that the terminal is taken over.
    pub(crate) fn assert_taken(&self) {
        let parser = self.parser.lock().unwrap();
        let screen = parser.screen();
        assert!(screen.alternate_screen() && screen.hide_cursor());
        assert_ne!(screen.mouse_protocol_mode(), MouseProtocolMode::None);
    }
}

impl Drop for Term {
    fn drop(&mut self) {
        // A test that failed half-way leaves no program behind.
        self.child.kill().ok();
    }
}

fn above_0(cells: u16) -> NonZero<u16> {
    NonZero::new(cells).unwrap()
}

fn size(cols: u16, rows: u16) -> PtySize {
    PtySize {
        rows,
        cols,
        pixel_width: 0,
        pixel_height: 0,
    }
}
