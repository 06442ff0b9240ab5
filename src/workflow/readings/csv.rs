//! Readings from a CSV file: a logging probe's own, or one written by hand.

use super::{
    csv_times::{Clock, DateAndTime, When, longest_rise, may_be_of_the_day, separator, when},
    figures::Row,
};
use crate::{
    model::{AirPlace, Phase, air::check_bare, text::joined},
    store::{self, StoreError},
    units::{Celsius, TemperatureUnit},
};
use std::path::Path;

/// Most lines in one file: more than a day of a reading every second.
const MOST_LINES: usize = 100_000;

/// One usable line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CsvReading {
    /// The line, from 1.
    pub line: u64,
    /// Seconds since the first reading.
    pub seconds: f64,
    /// The date and time, where the file gives it.
    pub at: Option<DateAndTime>,
    /// What the thermometer showed.
    pub air: Celsius,
    /// The dial setting, where the file gives it.
    pub dial: Option<Celsius>,
    /// What the oven was doing, where the file gives it.
    pub phase: Option<Phase>,
    /// Where the thermometer stood, where the file gives it.
    pub place: Option<AirPlace>,
}

/// A line that cannot be used, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LineIssue {
    /// The line, from 1.
    pub line: u64,
    /// What is wrong with which value.
    pub what: String,
}

/// What a file held: the good lines, and the others with their reasons.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CsvReadings {
    /// Usable lines in order of time.
    pub readings: Vec<CsvReading>,
    /// The others.
    pub issues: Vec<LineIssue>,
}

/// Why a file of readings gives nothing.
#[derive(Debug, thiserror::Error)]
pub enum CsvError {
    /// The file could not be read.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The columns are not those of readings.
    #[error(
        "the columns are '{found}': {problem}; name them seconds,celsius,dial_c,phase (or time, fahrenheit, dial_f, place)"
    )]
    Columns {
        /// The header found.
        found: String,
        /// What is wrong with it.
        problem: String,
    },
    /// Times that may be of the day, or minutes and seconds.
    #[error(
        "the times begin at '{0}', which may be a time of day or so many minutes; write the seconds too, as in {0}:00, or begin at 0:00"
    )]
    HoursOrMinutes(String),
    /// More than one file may hold.
    #[error("there are more than {MOST_LINES} lines in it; split the file, or leave lines out")]
    TooMany,
    /// There is nothing in it.
    #[error("there is no reading in it; write one line for each reading under the column names")]
    Empty,
    /// Some lines cannot be used.
    #[error(
        "{count} of {of} lines cannot be used, the first is line {line}: {first}; correct them, or give --skip-bad to leave them out: nothing was taken"
    )]
    BadLines {
        /// How many.
        count: usize,
        /// Lines in the file.
        of: usize,
        /// The first of them.
        line: u64,
        /// What is wrong with it.
        first: String,
    },
    /// No line can be used: leaving them out would leave nothing.
    #[error(
        "none of the {of} lines can be used, the first is line {line}: {first}; correct them: nothing was taken"
    )]
    NoGoodLine {
        /// Lines in the file.
        of: usize,
        /// The first of them.
        line: u64,
        /// What is wrong with it.
        first: String,
    },
    /// No dial setting is given anywhere.
    #[error(
        "line {0} gives no dial setting; add a column dial_c or dial_f, or name it with --dial"
    )]
    NoDial(u64),
}

/// Reads a file of readings; see [`read_readings`].
///
/// # Errors
/// [`CsvError`] when the file cannot be read or has other columns.
pub fn read_readings_file(path: &Path, unit: TemperatureUnit) -> Result<CsvReadings, CsvError> {
    read_readings(&store::read_input(path)?, unit)
}

#[derive(Debug, Clone, Copy, Default)]
struct Columns {
    time: usize,
    air: usize,
    air_unit: Option<TemperatureUnit>,
    dial: Option<usize>,
    dial_unit: Option<TemperatureUnit>,
    phase: Option<usize>,
    place: Option<usize>,
    header: bool,
    /// What parts them.
    parted_by: u8,
    /// How many there are.
    width: usize,
}

/// Reads CSV text: `seconds` or `time`, `celsius` or `fahrenheit` or `temperature`, and if given
/// `dial_c` or `dial_f`, `phase`, `place`. A file without column names is taken as time and temperature.
///
/// Times are seconds, `mm:ss`, `hh:mm:ss` or dates and times, local or with an offset; where a time of day falls over midnight from
/// one line to the next, the next day began. Bare temperatures are in `unit`. Where the first line has semicolons and
/// no columns by commas, semicolons part the columns, and a comma in a figure is its decimal point.
/// Lines that are malformed, out of order, twice there or absurd are told one by one.
///
/// # Errors
/// [`CsvError::Columns`], [`CsvError::HoursOrMinutes`] or [`CsvError::Empty`].
pub fn read_readings(text: &str, unit: TemperatureUnit) -> Result<CsvReadings, CsvError> {
    let text = text.trim_start_matches('\u{feff}');
    let parted_by = separator(text);
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(parted_by)
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    let mut columns: Option<Columns> = None;
    let mut out = CsvReadings::default();
    let mut clock = Clock::default();
    for record in reader.records() {
        if out.readings.len() + out.issues.len() >= MOST_LINES {
            return Err(CsvError::TooMany);
        }
        let record = match record {
            Ok(record) => record,
            Err(e) => {
                let line = e.position().map_or(0, csv::Position::line);
                out.issues.push(LineIssue {
                    line,
                    what: "it is not well-formed".to_owned(),
                });
                continue;
            }
        };
        if record.iter().all(str::is_empty) {
            continue;
        }
        let line = record.position().map_or(0, csv::Position::line);
        let known = if let Some(known) = columns {
            known
        } else {
            let known = Columns {
                parted_by,
                ..named(&record)?
            };
            columns = Some(known);
            if known.header {
                continue;
            }
            known
        };
        let first = record.get(known.time).unwrap_or("");
        if out.readings.is_empty() && out.issues.is_empty() && may_be_of_the_day(first) {
            return Err(CsvError::HoursOrMinutes(first.to_owned()));
        }
        let read = one(&record, &known, unit, line).and_then(|(at, reading)| {
            let seconds = clock.seconds(at)?;
            Ok(CsvReading { seconds, ..reading })
        });
        match read {
            Ok(reading) => out.readings.push(reading),
            Err(what) => out.issues.push(LineIssue { line, what }),
        }
    }
    if out.readings.is_empty() && out.issues.is_empty() {
        return Err(CsvError::Empty);
    }
    out.readings = in_order(out.readings, &mut out.issues);
    Ok(out)
}

impl CsvError {
    /// Checks that there are only good lines; leaving the others out helps where there are any.
    ///
    /// # Errors
    /// [`CsvError::NoGoodLine`], else [`CsvError::BadLines`].
    pub(super) fn check(bad: &[LineIssue], good: usize) -> Result<(), Self> {
        let Some(LineIssue { line, what }) = bad.first() else {
            return Ok(());
        };
        let (line, first, count) = (*line, what.replace("; ", ", "), bad.len());
        let of = count + good;
        Err(if good == 0 {
            Self::NoGoodLine { of, line, first }
        } else {
            Self::BadLines {
                count,
                of,
                line,
                first,
            }
        })
    }
}

impl CsvReadings {
    /// Returns the good lines when all are good, or when the others are to be left out.
    ///
    /// # Errors
    /// [`CsvError::BadLines`] names the first line that cannot be used, [`CsvError::NoGoodLine`] too, where none can.
    pub fn take(self, skip_bad: bool) -> Result<(Vec<CsvReading>, Vec<LineIssue>), CsvError> {
        let none_good = self.readings.is_empty();
        if !skip_bad || none_good {
            CsvError::check(&self.issues, self.readings.len())?;
        }
        if none_good {
            return Err(CsvError::Empty);
        }
        Ok((self.readings, self.issues))
    }
}

/// Turns good lines into rows for the figures; `dial` stands in where the file gives no setting.
///
/// # Errors
/// [`CsvError::NoDial`] where neither does.
pub fn rows(readings: &[CsvReading], dial: Option<Celsius>) -> Result<Vec<Row>, CsvError> {
    readings
        .iter()
        .filter(|r| r.place.is_none_or(|p| p == AirPlace::CENTRE))
        .map(|r| {
            Ok(Row {
                seconds: r.seconds,
                air: r.air,
                dial: r.dial.or(dial).ok_or(CsvError::NoDial(r.line))?,
                phase: r.phase.unwrap_or(Phase::Holding),
            })
        })
        .collect()
}

fn named(record: &csv::StringRecord) -> Result<Columns, CsvError> {
    const F: Option<TemperatureUnit> = Some(TemperatureUnit::Fahrenheit);
    const C: Option<TemperatureUnit> = Some(TemperatureUnit::Celsius);
    let has_letters = |cell: &str| {
        cell.len() > 1
            && cell
                .chars()
                .all(|c| c.is_alphabetic() || "_ ()°".contains(c))
    };
    if !record.iter().any(has_letters) {
        return Ok(Columns {
            air: 1,
            width: 2,
            ..Columns::default()
        });
    }
    let (mut time, mut air) = (None, None);
    let mut columns = Columns {
        header: true,
        width: record.len(),
        ..Columns::default()
    };
    for (i, cell) in record.iter().enumerate() {
        match cell.to_lowercase().as_str() {
            "seconds" | "time" | "t" | "s" | "at" => time = Some(i),
            "celsius" | "air_c" | "temperature_c" | "temp_c" => {
                (air, columns.air_unit) = (Some(i), C);
            }
            "fahrenheit" | "air_f" | "temperature_f" | "temp_f" => {
                (air, columns.air_unit) = (Some(i), F);
            }
            "temperature" | "temp" | "reads" | "reading" => air = Some(i),
            "dial_c" => (columns.dial, columns.dial_unit) = (Some(i), C),
            "dial_f" => (columns.dial, columns.dial_unit) = (Some(i), F),
            "dial" => columns.dial = Some(i),
            "phase" => columns.phase = Some(i),
            "place" => columns.place = Some(i),
            _ => {}
        }
    }
    let lacks = |what: &str| CsvError::Columns {
        found: joined(record, ","),
        problem: format!("there is none for the {what}"),
    };
    columns.time = time.ok_or_else(|| lacks("time"))?;
    columns.air = air.ok_or_else(|| lacks("temperature"))?;
    Ok(columns)
}

fn one(
    record: &csv::StringRecord,
    columns: &Columns,
    unit: TemperatureUnit,
    line: u64,
) -> Result<(When, CsvReading), String> {
    if let Some(more) = record.iter().skip(columns.width).find(|c| !c.is_empty()) {
        return Err(format!(
            "'{more}' stands beyond the last column; write decimals with a point, like 176.5, and name every column"
        ));
    }
    let cell = |i: usize| record.get(i).unwrap_or("");
    let time = cell(columns.time);
    let at = when(time, columns.parted_by == b';').ok_or_else(|| {
        format!(
            "'{time}' is no time; write seconds, mm:ss, or a date and time like 2026-11-20T14:05:30"
        )
    })?;
    let degrees = |text: &str, unit| Celsius::parse(text, unit).map_err(|e| e.to_string());
    let air_unit = columns.air_unit.unwrap_or(unit);
    let air = degrees(cell(columns.air), air_unit)?;
    check_bare(air, air_unit).map_err(|e| e.to_string())?;
    let dial = columns
        .dial
        .map(cell)
        .filter(|text| !text.is_empty())
        .map(|text| degrees(text, columns.dial_unit.unwrap_or(unit)))
        .transpose()?;
    let phase = columns
        .phase
        .map(cell)
        .map(|text| {
            Phase::from_words(text).ok_or_else(|| {
                let keys = joined(Phase::ALL.map(Phase::key), ", ");
                format!("'{text}' is no phase; use one of {keys}")
            })
        })
        .transpose()?;
    let place = columns.place.map(cell).filter(|text| !text.is_empty());
    let no_place = |text| format!("'{text}' is no place; write centre, or like 3:back-left");
    let place = place
        .map(|text| AirPlace::from_key(text).ok_or_else(|| no_place(text)))
        .transpose()?;
    let reading = CsvReading {
        line,
        seconds: 0.0,
        at: at.date_and_time(),
        air,
        dial,
        phase,
        place,
    };
    Ok((at, reading))
}

/// Sees that time only goes forwards: as many lines as can be stay, so one wrong time costs one line.
fn in_order(readings: Vec<CsvReading>, issues: &mut Vec<LineIssue>) -> Vec<CsvReading> {
    let times: Vec<f64> = readings.iter().map(|r| r.seconds).collect();
    let keep = longest_rise(&times);
    let next_kept: Vec<Option<f64>> = {
        let mut next = None;
        let mut out: Vec<Option<f64>> = readings
            .iter()
            .zip(&keep)
            .rev()
            .map(|(reading, kept)| {
                let after = next;
                if *kept {
                    next = Some(reading.seconds);
                }
                after
            })
            .collect();
        out.reverse();
        out
    };
    let mut out: Vec<CsvReading> = Vec::new();
    let mut places: Vec<AirPlace> = Vec::new();
    for ((reading, kept), next) in readings.into_iter().zip(keep).zip(next_kept) {
        let last = out.last().map(|r| r.seconds);
        let what = match (kept, next, last) {
            (false, Some(next), _) if reading.seconds > next => format!(
                "its time lies {:.0} s after the lines that follow, so it is out of order; correct it, or sort the lines by time",
                reading.seconds - next
            ),
            (false, _, last) => format!(
                "its time lies {:.0} s before the line above, so it is out of order; sort the lines by time",
                last.map_or(0.0, |last| last - reading.seconds)
            ),
            (true, _, last) => {
                if last.is_none_or(|last| reading.seconds > last) {
                    places.clear();
                }
                let place = reading.place.unwrap_or(AirPlace::CENTRE);
                if !places.contains(&place) {
                    places.push(place);
                    out.push(reading);
                    continue;
                }
                "there is already a reading of that time at this place; leave one out".to_owned()
            }
        };
        issues.push(LineIssue {
            line: reading.line,
            what,
        });
    }
    issues.sort_by_key(|issue| issue.line);
    let began = out.first().map_or(0.0, |r| r.seconds);
    for reading in &mut out {
        reading.seconds -= began;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    const C: TemperatureUnit = TemperatureUnit::Celsius;

    #[test]
    fn a_loggers_file_and_one_by_hand_are_read() {
        let read = read_readings(
            "seconds,celsius,dial_c,phase\n0,20.5,180,preheat\n60,175,180,signal\n",
            C,
        )
        .unwrap();
        assert_eq!((read.readings.len(), read.issues.len()), (2, 0));
        assert_eq!(read.readings[1].phase, Some(Phase::Signal));
        let bare = read_readings("0:00,338F\n0:30,340F\n", C).unwrap();
        assert_eq!(bare.readings.len(), 2);
        assert!((bare.readings[0].air.0 - 170.0).abs() < 1e-9);
        assert!((bare.readings[1].seconds - 30.0).abs() < 1e-9);
        let dated = read_readings("time,fahrenheit,place\n2026-11-20T14:05:00,338,3:back-left\n2026-11-20T14:06:00,340,centre\n", C).unwrap();
        assert!((dated.readings[1].seconds - 60.0).abs() < 1e-9);
        assert_eq!(dated.readings[0].place.unwrap().rack, Some(3));
        assert!(rows(&dated.readings, None).is_err(), "no dial");
        assert_eq!(
            rows(&dated.readings, Some(Celsius(180.0))).unwrap().len(),
            1
        );
    }

    #[test]
    fn every_bad_line_is_told_and_the_good_ones_are_kept() {
        let text = "seconds,celsius,phase\n0,170,holding\n30,warm,holding\n60,-3,holding\n90,900,holding\n80,171,holding\n70,171,holding\n80,172,holding\nsoon,170,holding\n120,170,asleep\n150,171,holding\n";
        let read = read_readings(text, C).unwrap();
        let said: Vec<(u64, &str)> = read
            .issues
            .iter()
            .map(|i| (i.line, i.what.as_str()))
            .collect();
        let expect = [
            (3, "not a number"),
            (4, "below freezing"),
            (5, "more than this oven's air reaches"),
            (7, "out of order"),
            (8, "already a reading"),
            (9, "no time"),
            (10, "no phase"),
        ];
        assert_eq!(said.len(), expect.len(), "{said:?}");
        for ((line, what), (wanted_line, wanted)) in said.iter().zip(expect) {
            assert!(
                *line == wanted_line && what.contains(wanted),
                "{line}: {what}"
            );
        }
        assert_eq!(read.readings.len(), 3);
        let refused = read.clone().take(false).unwrap_err().to_string();
        assert!(
            refused.contains("7 of 10 lines") && refused.contains("--skip-bad"),
            "{refused}"
        );
        let (good, left) = read.take(true).unwrap();
        assert_eq!((good.len(), left.len()), (3, 7));
    }

    #[test]
    fn times_of_the_day_are_not_taken_for_minutes() {
        let kitchen = "time,celsius\n14:05,170\n14:06,172\n14:07,171\n";
        let refused = read_readings(kitchen, C).unwrap_err();
        assert!(
            matches!(&refused, CsvError::HoursOrMinutes(first) if first == "14:05"),
            "{refused}"
        );
        let whole = kitchen.replace(",17", ":00,17");
        let read = read_readings(&whole, C).unwrap();
        assert_eq!((read.readings.len(), read.issues.len()), (3, 0));
        assert!((read.readings[2].seconds - read.readings[0].seconds - 120.0).abs() < 1e-9);
        assert!(read_readings("time,celsius\n0:30,170\n1:00,172\n", C).is_ok());
    }

    #[test]
    fn one_wrong_time_costs_one_line_wherever_it_stands() {
        let times = ["0", "60", "120", "180", "240", "300"];
        // Of the last two alone nothing says which is wrong.
        for at in 0..4 {
            let lines: Vec<String> = times
                .iter()
                .enumerate()
                .map(|(i, time)| format!("{},{}", if i == at { "99999" } else { time }, 170 + i))
                .collect();
            let text = format!("seconds,celsius\n{}\n", lines.join("\n"));
            let (good, left) = read_readings(&text, C).unwrap().take(true).unwrap();
            assert_eq!(left.len(), 1, "{left:?}");
            assert_eq!(left[0].line, at as u64 + 2);
            assert!(
                left[0].what.contains("after the lines that follow"),
                "{left:?}"
            );
            assert_eq!(good.len(), 5);
            assert!(good[0].seconds.abs() < 1e-9 && good[4].seconds <= 300.0);
        }
    }

    #[test]
    fn other_files_are_refused() {
        assert!(matches!(read_readings("", C), Err(CsvError::Empty)));
        assert!(matches!(
            read_readings("rack,shade\n1,4\n", C),
            Err(CsvError::Columns { .. })
        ));
    }

    #[test]
    fn a_file_with_semicolons_and_decimal_commas_is_read() {
        for text in [
            "23:10:00;70,0\n23:11:00;71,5\n",
            "time;celsius;dial_c\n0,5;70,0;180\n60,5;71,5;180\n",
            "# a logger's\n\ntime;celsius\n0;70\n60;71.5\n",
        ] {
            let read = read_readings(text, C).unwrap();
            assert_eq!(read.issues, [], "{text}");
            let seen: Vec<(f64, f64)> =
                read.readings.iter().map(|r| (r.seconds, r.air.0)).collect();
            assert_eq!(seen, [(0.0, 70.0), (60.0, 71.5)], "{text}");
        }
        let commas = read_readings("time,celsius,note;more\n0,70,x\n", C).unwrap();
        assert_eq!((commas.readings.len(), commas.issues.len()), (1, 0));
    }

    #[test]
    fn where_no_line_can_be_used_nobody_is_told_to_leave_them_out() {
        let text = "time,celsius\nx,70\ny,71\n";
        for skip_bad in [false, true] {
            let said = read_readings(text, C)
                .unwrap()
                .take(skip_bad)
                .unwrap_err()
                .to_string();
            assert!(!said.contains("--skip-bad"), "{said}");
            assert!(
                said.contains("none of the 2 lines") && said.contains("'x' is no time"),
                "{said}"
            );
        }
    }
}
