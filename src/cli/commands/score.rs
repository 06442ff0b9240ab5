//! `score`: a rack in one line, from a CSV file, or key by key from standard input.

use crate::cli::prelude::*;
use crate::{
    model::ToastTest,
    report::json_kitchen::TestJson,
    workflow::scoring::{
        ScoreKey, ScoreTextError, Scoring, read_scores_csv, read_scores_file, replaced_words,
        set_rack_scores,
    },
};
use std::{
    io::{self, BufRead, Read},
    path::PathBuf,
};

/// Score a toast test.
#[derive(Debug, Args)]
#[command(
    group(clap::ArgGroup::new("source").required(true).args(["row", "csv", "stdin"])),
    after_help = "Scores run in reading order: back row first, left to right. Digits 0 (untoasted) to 9 (burnt black),\n\
3.5 or 3+ for a half step, - for no slice, . to leave one as it is; a space may part the rows.\n\n\
Examples:\n  rackshade score 2026-03-07-wall-oven --rack 4 '5544 4.5444 443.5.'\n  \
rackshade score 2026-03-07-wall-oven --csv scores.csv   (slice,shade or rack,row,col,shade)\n  \
printf '5\\n+\\n4\\n' | rackshade score 2026-03-07-wall-oven --stdin\n\n\
Keys for --stdin, one a line: 0-9, + half step, . skip, - no slice, u undo, r redo, @7 go to slice 7,\n\
< > one back or on, ^ v towards the back or the door. Each is answered 'ok N' when it is on the disk,\n\
or 'no N' with the reason."
)]
pub(crate) struct ScoreArgs {
    /// The toast test.
    test: String,
    /// Scores of one rack.
    #[arg(requires = "rack", allow_hyphen_values = true)]
    row: Option<String>,
    /// The rack position they belong to.
    #[arg(long, value_name = "N")]
    rack: Option<u8>,
    /// Take the scores from a CSV file.
    #[arg(long, value_name = "FILE", conflicts_with = "rack")]
    csv: Option<PathBuf>,
    /// Read one key a line and answer each.
    #[arg(long, conflicts_with = "rack")]
    stdin: bool,
}

pub(crate) fn run(args: &ScoreArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let (mut kitchen, _) = session.kitchen(Access::Write)?;
    let mut test = kitchen
        .find_test(&args.test)
        .or_trouble("test", &args.test)?
        .clone();
    if args.stdin {
        session.no_json()?;
        return by_key(test, &mut kitchen, session);
    }
    if let Some(path) = &args.csv {
        let text = read_scores_file(path).or_trouble("--csv", path.display())?;
        read_scores_csv(&mut test, &text).or_trouble("--csv", path.display())?;
    }
    if let (Some(row), Some(rack)) = (&args.row, args.rack) {
        set_rack_scores(&mut test, rack, row).map_err(|why| {
            let (name, typed) = match &why {
                ScoreTextError::Sign { .. } | ScoreTextError::Row { .. } => ("scores", row.clone()),
                _of_the_rack => ("--rack", rack.to_string()),
            };
            Trouble::user(why).with(name, typed)
        })?;
    }
    let before = kitchen
        .find_test(&args.test)
        .or_trouble("test", &args.test)?;
    let replaced = replaced_words(before, &test);
    kitchen.save_test(test.clone())?;
    said(&test, session)?;
    if let (false, Some(words)) = (session.json, replaced) {
        session.out.line(words)?;
    }
    Ok(Exit::Done)
}

fn said(test: &ToastTest, session: &mut Session<'_>) -> Result<(), Trouble> {
    if session.json {
        return session.out.json(&TestJson::from(test));
    }
    let open = test
        .slices
        .iter()
        .filter(|s| !s.reading.is_settled())
        .count();
    let (scored, all) = (test.scored(), test.slices.len());
    session.out.line(format!(
        "{}: {scored} of {all} slices scored, {open} still to do",
        test.id
    ))
}

/// Answers every key once it is on the disk; a key that makes no sense there changes nothing.
fn by_key(
    test: ToastTest,
    kitchen: &mut Kitchen,
    session: &mut Session<'_>,
) -> Result<Exit, Trouble> {
    let mut scoring = Scoring::new(test);
    let mut exit = Exit::Done;
    let mut count = 0;
    let mut input = io::stdin().lock();
    while let Some(line) = line_of(&mut input, count + 1)? {
        let line = line.trim();
        if line.is_empty() {
            continue;
        }
        count += 1;
        let applied = key(line).and_then(|key| Ok(scoring.apply(key)?));
        match applied {
            Ok(changed) => {
                if changed {
                    kitchen.save_test(scoring.test().clone())?;
                }
                session.out.line(format!("ok {count}"))?;
            }
            Err(why) => {
                exit = Exit::No;
                session.out.line(format!("no {count} {why}"))?;
            }
        }
        session.out.flush()?;
    }
    Ok(exit)
}

/// Longest line a key can stand on, bytes.
const LONGEST_LINE: u64 = 200;

/// Reads one line; one without end is refused before it fills the memory.
fn line_of(input: &mut impl BufRead, number: usize) -> Result<Option<String>, Trouble> {
    const PLACE: &str = "standard input, line";
    let mut line = Vec::new();
    let read = input.take(LONGEST_LINE + 1).read_until(b'\n', &mut line);
    if read.or_trouble(PLACE, number)? == 0 {
        return Ok(None);
    }
    if line.len() as u64 > LONGEST_LINE {
        let long = format!(
            "the line is longer than {LONGEST_LINE} characters; give one key a line, what came before is scored"
        );
        return Err(Trouble::user(long).with(PLACE, number));
    }
    Ok(Some(String::from_utf8_lossy(&line).into_owned()))
}

fn key(text: &str) -> Result<ScoreKey, ValueError> {
    let unknown = || ValueError::Key(text.to_owned());
    match text {
        "+" => Ok(ScoreKey::Half),
        "." => Ok(ScoreKey::Skip),
        "-" => Ok(ScoreKey::Missing),
        "u" => Ok(ScoreKey::Undo),
        "r" => Ok(ScoreKey::Redo),
        "<" => Ok(ScoreKey::Left),
        ">" => Ok(ScoreKey::Right),
        "^" => Ok(ScoreKey::Up),
        "v" => Ok(ScoreKey::Down),
        _ => match text.strip_prefix('@') {
            Some(number) => number
                .parse::<usize>()
                .ok()
                .and_then(|n| n.checked_sub(1))
                .map(ScoreKey::To)
                .ok_or_else(unknown),
            None if text.len() == 1 => text.parse().map(ScoreKey::Digit).map_err(|_no| unknown()),
            None => Err(unknown()),
        },
    }
}
