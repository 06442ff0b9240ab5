//! Points of a line from a CSV file: `x,y`, and `sd` where each has its own error.

use crate::{
    calibration::{CalibrationError, Line, Point},
    store::{self, StoreError},
};
use std::path::Path;

/// Most points in one file.
const MOST_POINTS: usize = 100_000;

/// What is wrong with a file of points.
#[derive(Debug, thiserror::Error)]
pub enum PointsError {
    /// The file could not be read.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// A column is missing.
    #[error(
        "the columns are '{0}', and x and y are needed; name them x,y and, where each point has its own standard error, sd"
    )]
    Columns(String),
    /// More than can be of use.
    #[error("there are more than {MOST_POINTS} points in it; leave some out")]
    TooMany,
    /// A cell without a column: a decimal comma cut a figure in two.
    #[error(
        "line {line}: '{value}' stands beyond the last column; write decimals with a point, like 338.5"
    )]
    Beyond {
        /// The line, from 1.
        line: u64,
        /// What stands there.
        value: String,
    },
    /// A cell is no number.
    #[error("line {line}: '{value}' is not a number; write one point to a line, like 350,338")]
    Cell {
        /// The line, from 1.
        line: u64,
        /// What stands there.
        value: String,
    },
}

/// Reads a file of points; see [`read_points`].
///
/// # Errors
/// [`PointsError`] names the first thing wrong.
pub fn read_points_file(path: &Path) -> Result<Vec<Point>, PointsError> {
    read_points(&store::read_input(path)?)
}

/// Reads points from CSV text with the columns `x`, `y` and if given `sd`, in any order.
///
/// # Errors
/// [`PointsError`] names the first thing wrong.
pub fn read_points(text: &str) -> Result<Vec<Point>, PointsError> {
    let mut reader = csv::ReaderBuilder::new()
        .flexible(true)
        .trim(csv::Trim::All)
        .comment(Some(b'#'))
        .from_reader(text.trim_start_matches('\u{feff}').as_bytes());
    let broken = |e: &csv::Error| PointsError::Cell {
        line: e.position().map_or(0, csv::Position::line),
        value: "a line that is not well-formed".to_owned(),
    };
    let header = reader.headers().map_err(|e| broken(&e))?.clone();
    let column = |name: &str| header.iter().position(|h| h.eq_ignore_ascii_case(name));
    let (Some(x), Some(y)) = (column("x"), column("y")) else {
        return Err(PointsError::Columns(
            header.iter().collect::<Vec<_>>().join(","),
        ));
    };
    let sd = column("sd");
    let mut out = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|e| broken(&e))?;
        if record.iter().all(str::is_empty) {
            continue;
        }
        let line = record.position().map_or(0, csv::Position::line);
        if let Some(more) = record.iter().skip(header.len()).find(|c| !c.is_empty()) {
            let value = more.to_owned();
            return Err(PointsError::Beyond { line, value });
        }
        let number = |i: usize| {
            let cell = record.get(i).unwrap_or("");
            cell.parse::<f64>()
                .ok()
                .filter(|v| v.is_finite())
                .ok_or_else(|| PointsError::Cell {
                    line,
                    value: cell.to_owned(),
                })
        };
        out.push(Point {
            x: number(x)?,
            y: number(y)?,
            sd: sd.map(number).transpose()?,
        });
        if out.len() > MOST_POINTS {
            return Err(PointsError::TooMany);
        }
    }
    Ok(out)
}

/// Fits a line through points, its intercept at `origin`.
///
/// # Errors
/// [`CalibrationError`] says what is missing.
pub fn line_through(points: &[Point], origin: f64) -> Result<Line, CalibrationError> {
    Line::fit(points, origin)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_come_in_any_order_of_columns_and_slips_are_named() {
        let points = read_points("y,x\n338.8,337.4\n118.1,118.2\n").unwrap();
        assert_eq!(points.len(), 2);
        assert!((points[0].x - 337.4).abs() < 1e-12 && points[0].sd.is_none());
        assert_eq!(read_points("x,y,sd\n1,2,0.5\n").unwrap()[0].sd, Some(0.5));
        assert!(matches!(
            read_points("a,b\n1,2\n"),
            Err(PointsError::Columns(_))
        ));
        let said = read_points("x,y\n1,2\n3,warm\n").unwrap_err().to_string();
        assert!(said.contains("line 3") && said.contains("'warm'"), "{said}");
    }
}
