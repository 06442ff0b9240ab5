//! Samples of an oven from a CSV file: places on a rack with a shade or a lightness.

use crate::{
    field::{Bound, Observation},
    model::{
        Browning, SliceSize,
        shade::{HIGHEST_SHADE, ROUNDING_SD_SHADE, UNTOASTED_LIGHTNESS, browning_per_shade},
    },
    store::{self, StoreError},
    workflow::{
        csv::{self, CellError, Line, LineError},
        observe::take_by_eye,
    },
};
use std::path::Path;

/// Standard error of a measured lightness where none is given: a fair instrument's, in L*. The
/// scatter from slice to slice comes on top and is fitted.
const LIGHTNESS_SD: f64 = 0.5;

/// Most samples in one file: the work of a map grows with their cube.
const MOST_SAMPLES: usize = 1000;

/// The samples of one file.
#[derive(Debug, Clone, PartialEq)]
pub struct Samples {
    /// One for each line.
    pub observations: Vec<Observation>,
    /// Shades without a stated error: read by eye, so the eye's own scatter is to be expected.
    pub by_eye: bool,
}

/// What is wrong with a file of samples.
#[derive(Debug, thiserror::Error)]
pub enum SampleError {
    /// The file could not be read.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The columns are not those of samples.
    #[error(
        "the columns are '{found}': {problem}; name them rack,x_cm,y_cm and shade or lightness, with sd and size_cm if you like"
    )]
    Columns {
        /// The header found.
        found: String,
        /// What is wrong with it.
        problem: String,
    },
    /// A cell cannot be used.
    #[error(transparent)]
    Cell(#[from] CellError),
    /// The file is not well-formed.
    #[error("{0}; write one line for each sample, with a comma between the columns")]
    Line(#[from] LineError),
    /// More than a map is made of.
    #[error(
        "there are more than {MOST_SAMPLES} samples in it; leave some out, a map gains little from more than a few hundred"
    )]
    TooMany,
    /// There is nothing in it.
    #[error("there is no sample in it; write one line for each slice under the column names")]
    Empty,
    /// The cavity's size cannot be.
    #[error("a cavity {side} of {cm} cm is not an oven's; give 15 to 120 cm")]
    Cavity {
        /// Which side.
        side: &'static str,
        /// The value given.
        cm: f64,
    },
}

/// Reads a file of samples; see [`read_samples`].
///
/// # Errors
/// [`SampleError`] when the file cannot be read, or names the first thing wrong in it.
pub fn read_samples_file(path: &Path, width: f64, depth: f64) -> Result<Samples, SampleError> {
    read_samples(&store::read_input(path)?, width, depth)
}

/// Reads samples from CSV text with the columns `rack`, `x_cm` (from the left wall), `y_cm` (from
/// the door) and `shade` or `lightness`; optional `sd` (standard error, in the unit of the score)
/// and `size_cm` (side of the slice, 0 for a point; 10 where it is not given).
///
/// A shade read by eye of 8 or more is taken as "at least", below 1 as "at most"; a measured
/// lightness stands as it is. Lightness is turned into browning with an untoasted L* of 84.
///
/// # Errors
/// [`SampleError`] with line, column and value of the first thing wrong.
pub fn read_samples(text: &str, width: f64, depth: f64) -> Result<Samples, SampleError> {
    for (side, cm) in [("width", width), ("depth", depth)] {
        if !(15.0..=120.0).contains(&cm) {
            return Err(SampleError::Cavity { side, cm });
        }
    }
    let (names, lines) = csv::open(text)?;
    let columns = Columns::of(&names)?;
    let mut out = Vec::new();
    for record in lines {
        let row = Row {
            columns: &columns,
            line: Line {
                names: &names,
                record: &record.map_err(LineError::from)?,
            },
        };
        out.push(row.observation(width, depth)?);
        if out.len() > MOST_SAMPLES {
            return Err(SampleError::TooMany);
        }
    }
    if out.is_empty() {
        return Err(SampleError::Empty);
    }
    let by_eye = columns.score.0 == Score::Shade && columns.sd.is_none();
    Ok(Samples {
        observations: out,
        by_eye,
    })
}

/// What the score column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Score {
    Shade,
    Lightness,
}

/// Where the columns stand.
struct Columns {
    rack: usize,
    x: usize,
    y: usize,
    score: (Score, usize),
    sd: Option<usize>,
    size: Option<usize>,
}

impl Columns {
    fn of(names: &[String]) -> Result<Self, SampleError> {
        const KNOWN: [&str; 7] = [
            "rack",
            "x_cm",
            "y_cm",
            "shade",
            "lightness",
            "sd",
            "size_cm",
        ];
        let wrong = |problem: String| SampleError::Columns {
            found: names.join(","),
            problem,
        };
        for (i, name) in names.iter().enumerate() {
            if !KNOWN.contains(&name.as_str()) {
                return Err(wrong(format!("'{name}' is not known")));
            }
            if names[..i].contains(name) {
                return Err(wrong(format!("'{name}' stands there twice")));
            }
        }
        let find = |name: &str| names.iter().position(|n| n == name);
        let need = |name: &str| find(name).ok_or_else(|| wrong(format!("'{name}' is missing")));
        let score = match (find("shade"), find("lightness")) {
            (Some(i), None) => (Score::Shade, i),
            (None, Some(i)) => (Score::Lightness, i),
            (None, None) => return Err(wrong("'shade' or 'lightness' is missing".to_owned())),
            (Some(_), Some(_)) => {
                return Err(wrong("give 'shade' or 'lightness', not both".to_owned()));
            }
        };
        Ok(Self {
            rack: need("rack")?,
            x: need("x_cm")?,
            y: need("y_cm")?,
            score,
            sd: find("sd"),
            size: find("size_cm"),
        })
    }
}

/// One line of the file.
struct Row<'f> {
    columns: &'f Columns,
    line: Line<'f>,
}

impl Row<'_> {
    /// Reads a figure in a range; `what` says what it is.
    fn figure(&self, column: usize, (lo, hi): (f64, f64), what: &str) -> Result<f64, CellError> {
        let hint = format!("give {what}, {lo} to {hi}");
        self.line
            .figure(column, |figure| (lo..=hi).contains(figure), hint)
    }

    fn optional(&self, column: Option<usize>) -> Option<usize> {
        column.filter(|&i| !self.line.cell(i).is_empty())
    }

    fn observation(&self, width: f64, depth: f64) -> Result<Observation, CellError> {
        let c = self.columns;
        let hint = "number rack positions from 1 at the bottom";
        let rack = self
            .line
            .figure(c.rack, |rack| (1..=50).contains(rack), hint)?;
        let x = self.figure(
            c.x,
            (0.0, width),
            "cm from the left wall, inside the cavity",
        )?;
        let y = self.figure(c.y, (0.0, depth), "cm from the door, inside the cavity")?;
        let size = match self.optional(c.size) {
            Some(i) => self.figure(i, (0.0, 50.0), "the side of a slice in cm")?,
            None => SliceSize::ORDINARY.width.0,
        };
        let (browning, sd, bound) = self.score()?;
        Ok(Observation {
            rack,
            x,
            y,
            width: size,
            depth: size,
            browning,
            sd,
            bound,
            batch: 0,
            lean: None,
        })
    }

    /// Returns browning, its standard error and how it is to be taken.
    fn score(&self) -> Result<(f64, f64, Bound), CellError> {
        let sd_column = self.optional(self.columns.sd);
        match self.columns.score {
            (Score::Shade, i) => {
                let shade = self.figure(i, (0.0, HIGHEST_SHADE), "a shade")?;
                let sd = match sd_column {
                    Some(i) => {
                        self.figure(i, (0.0, HIGHEST_SHADE), "a standard error in shades")?
                    }
                    None => ROUNDING_SD_SHADE,
                };
                let (browning, bound) = take_by_eye(shade);
                Ok((browning, sd * browning_per_shade(), bound))
            }
            (Score::Lightness, i) => {
                let lightness = self.figure(i, (1.0, 100.0), "a lightness L*")?;
                let sd = match sd_column {
                    Some(i) => self.figure(i, (0.0, 50.0), "a standard error in L*")?,
                    None => LIGHTNESS_SD,
                };
                let browning = Browning::from_lightness(lightness, UNTOASTED_LIGHTNESS);
                // dB = dL / L: the derivative of ln(L0 / L).
                Ok((browning.0, sd / lightness, Bound::Exact))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Vec<Observation>, SampleError> {
        read_samples(text, 60.0, 45.0).map(|s| s.observations)
    }

    #[test]
    fn shades_and_lightness_become_browning() {
        let text = "rack,x_cm,y_cm,shade\n2,10,35,4.5\n2,20,35,8\n3,30,10,0.5\n";
        let shades = read(text).unwrap();
        assert_eq!(shades.len(), 3);
        assert!((shades[0].browning - 4.5 * 0.134_7).abs() < 1e-3);
        assert!((shades[0].sd - 0.144 * 0.134_7).abs() < 1e-3);
        assert_eq!(
            (shades[0].rack, shades[0].width, shades[0].depth),
            (2, 10.0, 10.0)
        );
        let bounds: Vec<_> = shades.iter().map(|o| o.bound).collect();
        assert_eq!(bounds, [Bound::Exact, Bound::AtLeast, Bound::AtMost]);
        let text = "Lightness, sd, size_cm, y_cm, x_cm, rack\n42, 0.84, 9, 35, 10, 2\n86,,,1,1,1\n";
        let light = read(text).unwrap();
        // ln(84 / 42) = ln 2, and 0.84 / 42 = 0.02.
        assert!((light[0].browning - std::f64::consts::LN_2).abs() < 1e-12);
        assert!((light[0].sd - 0.02).abs() < 1e-12);
        assert_eq!((light[0].x, light[0].y, light[0].width), (10.0, 35.0, 9.0));
        assert!(
            light[1].browning < 0.0,
            "a little lighter than the default loaf is no error"
        );
        assert_eq!(light[1].bound, Bound::Exact);
    }

    #[test]
    fn what_is_wrong_is_named_with_its_line_column_and_value() {
        let head = "rack,x_cm,y_cm,shade\n";
        let cases = [
            (
                format!("{head}2,10,10,3\n0,10,10,3\n"),
                "line 3, column rack: '0'",
            ),
            (format!("{head}2,61,10,3\n"), "line 2, column x_cm: '61'"),
            (format!("{head}2,10,-1,3\n"), "line 2, column y_cm: '-1'"),
            (
                format!("{head}2,10,10,12\n"),
                "column shade: '12' cannot be used; give a shade, 0 to 9",
            ),
            (format!("{head}2,10,10,NaN\n"), "column shade: 'NaN'"),
            (format!("{head}2,10,10\n"), "line 2"),
            (head.to_owned(), "no sample"),
            (String::new(), "'shade' or 'lightness' is missing"),
            (
                "rack,x_cm,y_cm\n".to_owned(),
                "'shade' or 'lightness' is missing",
            ),
            ("rack,x_cm,y_cm,shade,lightness\n".to_owned(), "not both"),
            (
                "rack,x_cm,x_cm,shade\n".to_owned(),
                "'x_cm' stands there twice",
            ),
            ("rack,x,y_cm,shade\n".to_owned(), "'x' is not known"),
            ("x_cm,y_cm,shade\n".to_owned(), "'rack' is missing"),
            (
                "rack,x_cm,y_cm,lightness\n1,1,1,0\n".to_owned(),
                "give a lightness L*, 1 to 100",
            ),
        ];
        for (text, expected) in cases {
            let said = read(&text).unwrap_err().to_string();
            assert!(said.contains(expected), "{expected}: {said}");
        }
        assert!(
            read_samples(head, 600.0, 45.0)
                .unwrap_err()
                .to_string()
                .contains("600 cm")
        );
        let gone = read_samples_file(Path::new("/no/such.csv"), 60.0, 45.0).unwrap_err();
        assert!(gone.to_string().contains("/no/such.csv"), "{gone}");
    }
}
