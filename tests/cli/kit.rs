//! A kitchen in a folder of its own, and the program run on it.

use serde_json::Value;
use std::{
    fs,
    io::{Read, Write},
    path::{Path, PathBuf},
    process::{Child, Command, Output, Stdio},
};

pub(crate) struct Kitchen {
    folder: tempfile::TempDir,
}

pub(crate) struct Answer {
    pub(crate) code: Option<i32>,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Answer {
    pub(crate) fn of(output: Output) -> Self {
        Self {
            code: output.status.code(),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }

    #[track_caller]
    pub(crate) fn done(self) -> String {
        assert_eq!(self.code, Some(0), "{}\n{}", self.out, self.err);
        self.out
    }

    #[track_caller]
    pub(crate) fn json(self) -> Value {
        serde_json::from_str(&self.done()).unwrap()
    }

    /// Ends with 2 and tells, in three lines, what is wrong, with which value, and what to do.
    #[track_caller]
    pub(crate) fn refused(self, what: &str, value: &str) {
        assert_eq!(self.code, Some(2), "{}\n{}", self.out, self.err);
        let lines: Vec<_> = self
            .err
            .lines()
            .filter(|l| !l.starts_with("note:"))
            .collect();
        assert_eq!(lines.len(), 3, "{}", self.err);
        assert!(
            lines[0].starts_with("error: ") && lines[0].contains(what),
            "{}",
            self.err
        );
        assert!(
            lines[1].starts_with("value: ") && lines[1].contains(value),
            "{}",
            self.err
        );
        assert!(
            lines[2].starts_with("hint:  ") && lines[2].len() > 12,
            "{}",
            self.err
        );
        assert!(!self.err.contains("panicked"), "{}", self.err);
    }
}

pub(crate) fn program() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_rackshade"));
    command.env_remove("RACKSHADE_DATA").env_remove("NO_COLOR");
    command
}

pub(crate) fn demo_data() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data")
}

impl Kitchen {
    pub(crate) fn empty() -> Self {
        let kitchen = Self {
            folder: tempfile::tempdir().unwrap(),
        };
        fs::create_dir(kitchen.path()).unwrap();
        kitchen
    }

    /// A copy of the demo kitchen.
    pub(crate) fn demo() -> Self {
        let kitchen = Self::empty();
        let mut copied = 0;
        for part in [
            "ovens",
            "tests",
            "bakes",
            "thermometers",
            "readings",
            "recipes",
        ] {
            fs::create_dir(kitchen.path().join(part)).unwrap();
            for entry in fs::read_dir(demo_data().join(part)).unwrap() {
                let entry = entry.unwrap();
                fs::copy(
                    entry.path(),
                    kitchen.path().join(part).join(entry.file_name()),
                )
                .unwrap();
                copied += 1;
            }
        }
        assert_eq!(copied, 21);
        kitchen
    }

    /// The data folder.
    pub(crate) fn path(&self) -> PathBuf {
        self.folder.path().join("data")
    }

    /// A path outside the data folder.
    pub(crate) fn beside(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub(crate) fn run(&self, args: &[&str]) -> Answer {
        Answer::of(
            program()
                .arg("--data")
                .arg(self.path())
                .args(args)
                .output()
                .unwrap(),
        )
    }

    /// Runs a command line: the words between its blanks, and `'several words'` as one.
    pub(crate) fn say(&self, line: impl AsRef<str>) -> Answer {
        let mut args = Vec::new();
        for (i, part) in line.as_ref().split('\'').enumerate() {
            match i % 2 {
                0 => args.extend(part.split_whitespace()),
                _ => args.push(part),
            }
        }
        self.run(&args)
    }

    /// Starts scoring the counter oven's test key by key.
    pub(crate) fn scorer(&self) -> Child {
        program()
            .args(["score", COUNTER, "--stdin", "--data"])
            .arg(self.path())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap()
    }

    /// Starts scoring and gives the child back with its first answer read: it has the lock.
    pub(crate) fn scoring(&self) -> Child {
        let mut child = self.scorer();
        child.stdin.as_mut().unwrap().write_all(b"4\n").unwrap();
        let mut answer = [0; 5];
        let out = child.stdout.as_mut().unwrap();
        out.read_exact(&mut answer).unwrap();
        assert_eq!(&answer, b"ok 1\n");
        child
    }

    /// Scores key by key with these lines.
    pub(crate) fn score(&self, lines: &str) -> Answer {
        let mut child = self.scorer();
        let mut input = child.stdin.take().unwrap();
        input.write_all(lines.as_bytes()).unwrap();
        drop(input);
        Answer::of(child.wait_with_output().unwrap())
    }

    pub(crate) fn file(&self, name: &str, text: &str) -> String {
        let path = self.path().join(name);
        fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    }
}

pub(crate) const WALL: &str = "2026-04-10-wall-oven";
pub(crate) const COUNTER: &str = "2026-04-12-counter-oven";
