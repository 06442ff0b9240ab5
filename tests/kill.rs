//! Kills the scorer at random moments: every score it acknowledged must be there afterwards.
//!
//! `RACKSHADE_KILLS` sets how often (25 when it is not set). The moments come from a fixed seed.

#![expect(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use std::{
    fs,
    io::{BufRead, BufReader, Write},
    path::Path,
    process::{Child, Command, Stdio},
    time::Duration,
};

const TEST: &str = "2026-04-12-counter-oven";
/// Index of the first slice not yet scored in the demo's half scored test, and their count.
const FIRST: usize = 7;
const SLICES: usize = 12;

/// A small fixed generator.
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        (self.0 >> 33) % n
    }
}

fn scorer(folder: &Path) -> Child {
    Command::new(env!("CARGO_BIN_EXE_rackshade"))
        .args(["score", TEST, "--stdin", "--data"])
        .arg(folder)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

/// The shades on the disk, as the program itself reads them, and what it had to remark.
fn shades(folder: &Path) -> (Vec<Option<f64>>, String) {
    let shown = Command::new(env!("CARGO_BIN_EXE_rackshade"))
        .args(["tests", "show", TEST, "--json", "--data"])
        .arg(folder)
        .output()
        .unwrap();
    assert!(shown.status.success(), "{shown:?}");
    let json: serde_json::Value = serde_json::from_slice(&shown.stdout).unwrap();
    let slices = json["slices"].as_array().unwrap();
    assert_eq!(slices.len(), SLICES);
    let shades = slices.iter().map(|s| s["shade"].as_f64()).collect();
    (shades, String::from_utf8(shown.stderr).unwrap())
}

/// Gives digits round and round, kills the scorer after `delay`, and returns how many keys it
/// acknowledged and how many were sent.
fn score_and_kill(folder: &Path, digits: &[u8], delay: Duration) -> (usize, usize) {
    let mut child = scorer(folder);
    let mut input = child.stdin.take().unwrap();
    let output = BufReader::new(child.stdout.take().unwrap());
    let all = digits.to_vec();
    // A thread of its own feeds, so that the kill can fall anywhere: before, in or after a save.
    let feeder = std::thread::spawn(move || {
        let mut sent = 0;
        for (i, digit) in all.iter().enumerate() {
            let slice = FIRST + i % (SLICES - FIRST) + 1;
            // Jump and score: the jump is no score and gets its own answer.
            if writeln!(input, "@{slice}\n{digit}").is_err() {
                break;
            }
            sent += 1;
        }
        // Held open until the end: an end of input would let the scorer leave by itself.
        (input, sent)
    });
    let reader = std::thread::spawn(move || output.lines().map_while(Result::ok).count());
    std::thread::sleep(delay);
    child.kill().unwrap();
    child.wait().unwrap();
    let answers = reader.join().unwrap();
    let (_input, sent) = feeder.join().unwrap();
    (answers, sent)
}

#[test]
#[expect(
    clippy::disallowed_methods,
    reason = "the count is the one choice of whoever runs it"
)]
fn every_acknowledged_score_outlives_a_kill() {
    let kills: usize = std::env::var("RACKSHADE_KILLS")
        .map_or(25, |text| text.parse().expect("RACKSHADE_KILLS is a count"));
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data");
    let mut dice = Dice(20_261_125);
    let (mut acknowledged, mut cut_short) = (0, 0);
    for round in 0..kills {
        let folder = tempfile::tempdir().unwrap();
        for part in ["ovens/counter-oven.json", &format!("tests/{TEST}.json")] {
            let target = folder.path().join(part);
            fs::create_dir_all(target.parent().unwrap()).unwrap();
            fs::copy(demo.join(part), target).unwrap();
        }
        let digits: Vec<u8> = (0..400)
            .map(|_| u8::try_from(dice.below(10)).unwrap())
            .collect();
        let delay = Duration::from_micros(2_000 + dice.below(60_000));
        let (answers, sent) = score_and_kill(folder.path(), &digits, delay);
        // Two answers a score: one for the jump, one for the digit.
        let surely = answers / 2;
        acknowledged += surely;
        cut_short += usize::from(surely < sent);
        let (stored, remarks) = shades(folder.path());
        assert_eq!(remarks, "", "round {round}: nothing is damaged");
        check(&stored, &digits, surely, round);
        // And the folder is usable at once: the lock went with the process.
        let next = Command::new(env!("CARGO_BIN_EXE_rackshade"))
            .args([
                "ovens",
                "visit",
                "counter-oven",
                "--what",
                "after",
                "--data",
            ])
            .arg(folder.path())
            .output()
            .unwrap();
        assert!(next.status.success(), "round {round}: {next:?}");
    }
    assert!(
        acknowledged > kills,
        "only {acknowledged} scores in {kills} rounds: too slow to tell"
    );
    assert!(
        cut_short * 10 >= kills * 9,
        "only {cut_short} of {kills} were killed at work"
    );
}

/// The stored scores are those after `surely` digits, or after one more that was saved but not
/// acknowledged any more.
fn check(stored: &[Option<f64>], digits: &[u8], surely: usize, round: usize) {
    let after = |count: usize| {
        let mut slices = vec![None; SLICES - FIRST];
        for (i, &digit) in digits[..count.min(digits.len())].iter().enumerate() {
            slices[i % (SLICES - FIRST)] = Some(f64::from(digit));
        }
        slices
    };
    let found = &stored[FIRST..];
    assert!(
        found == after(surely) || found == after(surely + 1),
        "round {round}: {surely} scores were acknowledged, the disk has {found:?}, expected {:?}",
        after(surely)
    );
}
