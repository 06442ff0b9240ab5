//! What a map says: the fitted field with its zones, evenness and sentences, read out at any place.

use crate::{
    field::{Evenness, FieldMap, Fit, Range, Reading as MapReading, Zone, ZoneKind, map::RackMap},
    model::{Mode, Sensitivity, Warning, shade::browning_per_shade},
    units::{CelsiusDelta, TemperatureUnit},
};

/// Least difference from a rack's own mean that counts, shades.
pub const NOTICEABLE_SHADE: f64 = 0.5;
/// Cells that every map is read on, whatever it is shown on: all faces then say the same of it.
pub(super) const READ_ON: (usize, usize) = (48, 36);
/// Seed of every joint sample: the same scores give the same answer, always.
const SEED: u64 = 20_261_125;

/// Everything that can be said from a set of slices.
#[derive(Debug, Clone)]
pub struct MapView {
    /// The fitted field, for points and joint samples.
    pub fit: Fit,
    /// The map on the grid asked for.
    pub map: FieldMap,
    /// Hot and cool zones.
    pub zones: Vec<Zone>,
    /// Evenness of each rack position.
    pub evenness: Vec<Evenness>,
    /// What a browning ratio is worth in degrees, and what that rests on.
    pub sensitivity: Sensitivity,
    /// L* of an untoasted slice.
    pub untoasted: f64,
    /// Mode of the tests; `None` for bare samples.
    pub mode: Option<Mode>,
    /// Whether any slice was read by eye.
    pub by_eye: bool,
    /// Rack positions that have slices left to score.
    pub unscored: Vec<u8>,
    /// Plain sentences, most useful first.
    pub findings: Vec<String>,
    /// What speaks against trusting it.
    pub warnings: Vec<Warning>,
    /// What came after every test behind it and may have changed the oven: `the last visit`.
    pub before: Option<&'static str>,
    /// Slices that disagree with their neighbours: a slip of a key looks like this.
    pub doubted: Vec<Doubted>,
}

/// A slice that disagrees with its neighbours.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Doubted {
    /// Its number in its test, from 1.
    pub number: usize,
    /// Its test, from 0 in the order of the map's.
    pub test: usize,
    /// Its rack position.
    pub rack: u8,
    /// Its middle, cm from the left wall and from the door.
    pub at: (f64, f64),
    /// Darker than its neighbours, or lighter.
    pub kind: ZoneKind,
}

/// The map at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadOut {
    /// Shade the toast would have there.
    pub shade: Range,
    /// Hotter (+) or cooler (-) than the rack's mean, C.
    pub degrees_c: Range,
    /// Steepest rise: C per cm to the right and towards the back.
    pub rise_c_per_cm: (f64, f64),
}

/// Returns how browning is read as shades and degrees with such a sensitivity.
pub(super) fn reading_of(sensitivity: &Sensitivity) -> MapReading {
    MapReading {
        per_shade: browning_per_shade(),
        noticeable: NOTICEABLE_SHADE,
        per_c: sensitivity.per_c,
        per_c_relative_sd: sensitivity.relative_sd,
        seed: SEED,
    }
}

impl ReadOut {
    /// Says how much hotter or cooler than the rest of its rack it is: `8 F hotter`, `like the rest`.
    pub fn heat_words(&self, unit: TemperatureUnit) -> String {
        let letter = unit.letter();
        match unit
            .delta_figure(CelsiusDelta(self.degrees_c.value))
            .round()
        {
            f if f >= 1.0 => format!("{f:.0} {letter} hotter"),
            f if f <= -1.0 => format!("{:.0} {letter} cooler", -f),
            _ => "like the rest".to_owned(),
        }
    }
}

impl MapView {
    /// Returns how browning is read as shades and degrees here.
    pub fn reading(&self) -> MapReading {
        reading_of(&self.sensitivity)
    }

    /// Returns the map of rack position `number`.
    pub fn rack(&self, number: u8) -> Option<&RackMap> {
        self.map.racks.iter().find(|r| r.rack == number)
    }

    /// Reads the map at a place; `None` outside the cavity or on a rack position not mapped.
    pub fn read_out(&self, rack: u8, x: f64, y: f64) -> Option<ReadOut> {
        let map = self.rack(rack)?;
        let (row, col) = map.grid.cell_at(x, y)?;
        let i = map.grid.index(row, col);
        let reading = self.reading();
        let point = self.fit.at(rack, x, y)?;
        let b = point.interval();
        let per_c = point.mean.max(reading.per_shade) * reading.per_c;
        Some(ReadOut {
            shade: Range {
                value: b.value / reading.per_shade,
                lo: b.lo / reading.per_shade,
                hi: b.hi / reading.per_shade,
            },
            degrees_c: reading.degrees(map.contrast[i], map.contrast_sd[i], map.level()),
            rise_c_per_cm: (point.gradient.0 / per_c, point.gradient.1 / per_c),
        })
    }
}
