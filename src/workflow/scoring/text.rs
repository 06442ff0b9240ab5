//! Scores as text: rows of digits as a baker jots them down, and CSV files.

use crate::{
    model::{Reading, Shade, ToastTest, text::joined},
    workflow::csv::{self, CellError, Line, LineError},
};

/// What is wrong with scores given as text.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ScoreTextError {
    /// A sign that means no score.
    #[error(
        "'{sign}' at place {place} of '{row}' is no score; use digits 0 to 9, 3.5 or 3+ for a half step, - for no slice, . to skip"
    )]
    Sign {
        /// The sign.
        sign: String,
        /// Its place in the row, from 1.
        place: usize,
        /// The whole row.
        row: String,
    },
    /// A rack that no slice lies on.
    #[error("rack {rack} carries no slice in this test; its slices lie on rack {racks}")]
    NoSuchRack {
        /// The number asked for.
        rack: u8,
        /// The racks there are.
        racks: String,
    },
    /// Too few or too many scores.
    #[error(
        "rack {rack} has {slices} slices but {given} scores were given; give one for each, back row first, - for no slice and . to skip"
    )]
    Count {
        /// The rack.
        rack: u8,
        /// Its slices.
        slices: usize,
        /// Scores given.
        given: usize,
    },
    /// A row that was written apart from the others has not its number of scores.
    #[error(
        "row {row} from the back has {slices} slices but {given} scores; look for one typed twice or left out, or write all in one"
    )]
    Row {
        /// The row, from 1 at the back.
        row: usize,
        /// Its slices.
        slices: usize,
        /// Scores given.
        given: usize,
    },
    /// The CSV file has not the columns it needs.
    #[error("the columns are '{0}'; the first line must be slice,shade or rack,row,col,shade")]
    Columns(String),
    /// A line of the CSV file is wrong.
    #[error(transparent)]
    Cell(#[from] CellError),
    /// The CSV file is not well-formed.
    #[error("{0}; write one line for each slice, with a comma between the columns")]
    Line(#[from] LineError),
    /// There is nothing in it.
    #[error("the file holds no scores; write one line for each slice under the column names")]
    Empty,
}

/// Reads rows of digits: `345 4567 .` with `3.5` or `3+` for half steps, `-` for no slice and `.`
/// for one to skip.
///
/// Spaces, commas, slashes and line ends only part the rows for the eye. A point right behind a
/// digit and before a 5 is a half step; elsewhere it skips a slice. A `4,5` between blanks is refused: it may be
/// one score, or two.
///
/// # Errors
/// [`ScoreTextError::Sign`] names the first sign that is no score.
pub fn parse_scores(row: &str) -> Result<Vec<Reading>, ScoreTextError> {
    let signs: Vec<char> = row.chars().collect();
    // Between scores that blanks part, the comma of a half step may be a decimal one.
    let parted = row.trim().contains(char::is_whitespace);
    let is_blank = |sign: Option<&char>| sign.is_none_or(|c| c.is_whitespace());
    let mut out: Vec<Reading> = Vec::new();
    let mut i = 0;
    while let Some(&sign) = signs.get(i) {
        let rest = (signs.get(i + 1), signs.get(i + 2));
        let wrong = |sign: &str| ScoreTextError::Sign {
            sign: sign.to_owned(),
            place: i + 1,
            row: row.to_owned(),
        };
        match (sign, rest) {
            (digit, (next, after)) if digit.is_ascii_digit() => {
                let shade = digit
                    .to_digit(10)
                    .and_then(|d| u8::try_from(d).ok())
                    .and_then(|d| Shade::whole(d).ok())
                    .ok_or_else(|| wrong(&digit.to_string()))?;
                let (half, width) = match (next, after) {
                    (Some(','), Some('5'))
                        if parted
                            && is_blank(i.checked_sub(1).and_then(|before| signs.get(before)))
                            && is_blank(signs.get(i + 3)) =>
                    {
                        return Err(wrong(&format!("{digit},5")));
                    }
                    (Some('+'), _) => (true, 2),
                    (Some('.'), Some('5')) => (true, 3),
                    (Some('.'), Some(after)) if after.is_ascii_digit() => {
                        let apart = i.checked_sub(1).is_none_or(|b| !signs[b].is_ascii_digit());
                        // A figure that stands alone is named as it was written.
                        let figure = signs[i..].iter().take(if apart { signs.len() } else { 3 });
                        let figure = figure.take_while(|c| c.is_ascii_digit() || **c == '.');
                        return Err(wrong(&figure.collect::<String>()));
                    }
                    _whole => (false, 1),
                };
                let read = if half { shade.toggle_half() } else { shade };
                if half && read == shade {
                    return Err(wrong(&format!("{digit} and a half")));
                }
                out.push(Reading::ByEye(read));
                i += width;
                continue;
            }
            ('-', _) => out.push(Reading::Missing),
            ('.', _) => out.push(Reading::Skipped),
            (space, _) if space.is_whitespace() || matches!(space, ',' | '/' | ';' | '|') => {}
            (other, _) => return Err(wrong(&other.to_string())),
        }
        i += 1;
    }
    Ok(out)
}

/// Puts the scores of one whole rack, as [`parse_scores`] takes them, into a test, in reading order.
///
/// A slice that is skipped keeps what it has. The cursor goes to the first slice that is not dealt with yet.
///
/// # Errors
/// [`ScoreTextError`] when a sign is no score, the rack carries no slices, or their count differs, in all or in one of
/// the rows where each was written apart; nothing is changed.
pub fn set_rack_scores(test: &mut ToastTest, rack: u8, text: &str) -> Result<(), ScoreTextError> {
    let scores = parse_scores(text)?;
    let indices = indices_on(test, rack)?;
    if indices.len() != scores.len() {
        return Err(ScoreTextError::Count {
            rack,
            slices: indices.len(),
            given: scores.len(),
        });
    }
    let rows = test.rows_of(&indices);
    let written: Vec<&str> = text.split_whitespace().collect();
    if written.len() == rows.len() {
        for ((row, part), number) in rows.iter().zip(written).zip(1..) {
            let given = parse_scores(part)?.len();
            if given != row.len() {
                return Err(ScoreTextError::Row {
                    row: number,
                    slices: row.len(),
                    given,
                });
            }
        }
    }
    for (&i, &reading) in indices.iter().zip(&scores) {
        let held = &mut test.slices[i].reading;
        if reading != Reading::Skipped || !held.is_settled() {
            *held = reading;
        }
    }
    test.cursor = test.next_unscored(0).unwrap_or(test.slices.len());
    Ok(())
}

/// Returns the indices of the slices on a rack.
fn indices_on(test: &ToastTest, rack: u8) -> Result<Vec<usize>, ScoreTextError> {
    let indices: Vec<usize> = (0..test.slices.len())
        .filter(|&i| test.slices[i].rack == rack)
        .collect();
    if indices.is_empty() {
        let mut racks: Vec<u8> = test.slices.iter().map(|s| s.rack).collect();
        racks.dedup();
        return Err(ScoreTextError::NoSuchRack {
            rack,
            racks: joined(racks, ", "),
        });
    }
    Ok(indices)
}

/// Which slice the columns of a CSV file point at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Address {
    Number,
    RackRowColumn,
}

/// Reads scores from CSV text into a test and returns how many it set.
///
/// Columns `slice,shade` (slice numbers as laid out, from 1) or `rack,row,col,shade` (row 1 at the
/// back, column 1 at the left). A shade is written as in [`parse_scores`]. Slices the file does not
/// name keep what they have.
///
/// # Errors
/// [`ScoreTextError`] with line, column and value of the first thing wrong; nothing is changed then.
pub fn read_scores_csv(test: &mut ToastTest, text: &str) -> Result<usize, ScoreTextError> {
    let (names, lines) = csv::open(text)?;
    let address = if names == ["slice", "shade"] {
        Address::Number
    } else if names == ["rack", "row", "col", "shade"] {
        Address::RackRowColumn
    } else {
        return Err(ScoreTextError::Columns(names.join(",")));
    };
    let mut changed = test.clone();
    let mut seen = vec![false; changed.slices.len()];
    let mut count = 0;
    for record in lines {
        let line = Line {
            names: &names,
            record: &record.map_err(LineError::from)?,
        };
        let index = match address {
            Address::Number => whole(&line, 0, changed.slices.len())? - 1,
            Address::RackRowColumn => by_place(&line, &changed)?,
        };
        if std::mem::replace(&mut seen[index], true) {
            let hint = "a line above gives this slice already; keep one of them";
            return Err(line.wrong(0, hint).into());
        }
        changed.slices[index].reading = reading(&line)?;
        count += 1;
    }
    if count == 0 {
        return Err(ScoreTextError::Empty);
    }
    changed.cursor = changed.next_unscored(0).unwrap_or(changed.slices.len());
    *test = changed;
    Ok(count)
}

fn whole(line: &Line<'_>, column: usize, highest: usize) -> Result<usize, CellError> {
    let hint = format!("give a number from 1 to {highest}");
    line.figure(column, |n| (1..=highest).contains(n), hint)
}

fn by_place(line: &Line<'_>, test: &ToastTest) -> Result<usize, ScoreTextError> {
    let rack = whole(line, 0, usize::from(u8::MAX))?;
    let rack = u8::try_from(rack).unwrap_or(u8::MAX);
    let indices = indices_on(test, rack).map_err(|e| {
        let ScoreTextError::NoSuchRack { racks, .. } = e else {
            return e;
        };
        let hint = format!("this test has slices on rack {racks}");
        line.wrong(0, hint).into()
    })?;
    let rows = test.rows_of(&indices);
    let row = &rows[whole(line, 1, rows.len())? - 1];
    Ok(row[whole(line, 2, row.len())? - 1])
}

fn reading(line: &Line<'_>) -> Result<Reading, CellError> {
    let column = line.names.len() - 1;
    let hint = "give one shade 0 to 9 in half steps, - for no slice or . to skip";
    let cell = line.cell(column);
    match parse_scores(cell.strip_suffix(".0").unwrap_or(cell)).as_deref() {
        Ok([reading]) => Ok(*reading),
        Ok([] | [_, _, ..]) | Err(_) => Err(line.wrong(column, hint)),
    }
}
