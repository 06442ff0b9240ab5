//! The thermometer's record: adding readings, what they say of an oven, and what a plan takes from them.

mod add;
mod advice;
mod air_map;
mod csv;
mod csv_times;
mod dial;
mod door;
mod figures;
mod over_time;
mod points;
mod sat;
mod summary;

pub use add::{AddError, Added, Defaults, Sitting, add_reading, add_readings};
pub use advice::{Advice, Verdict, advice};
pub use air_map::{PlaceOffset, air_map};
pub use csv::{
    CsvError, CsvReading, CsvReadings, LineIssue, read_readings, read_readings_file, rows,
};
pub use csv_times::{DateAndTime, moment_on};
pub use dial::{
    DialAnswer, DialError, DialState, NoOffset, OffsetTold, Standing, dial_for, dial_of,
    dial_verdict, offset_for, since_the_visit, standing, sureness_words,
};
pub use door::door_of;
pub use figures::{RoundFigures, Row, figures, habits, rows_at};
pub use over_time::{Drift, LEAST_DATES, LEAST_DAYS, VisitJump};
pub use points::{PointsError, line_through, read_points, read_points_file};
pub use sat::Sat;
pub use summary::{OvenSummary, SettingSummary, sittings, summary, thermometer_of};

#[cfg(test)]
mod dial_tests;
#[cfg(test)]
mod months_tests;
#[cfg(test)]
mod tests;
