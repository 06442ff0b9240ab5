//! From toast tests, or bare samples, to a map with its zones, figures and findings.

use super::{
    after::fold::observations_of_bakes,
    findings,
    observe::{observations_of, to_one_level},
    samples::Samples,
    sensitivity::sensitivity_of,
};
use crate::{
    field::{
        self, Domain, Evenness, FieldError, FieldMap, Fit, Observation, Priors, Rack, Range,
        Reading as MapReading, Zone, map::RackMap,
    },
    model::{
        BakeLog, Mode, Oven, Reading, Sensitivity, ToastTest, Warning,
        shade::{EYE_SD_SHADE, UNTOASTED_LIGHTNESS, browning_per_shade},
    },
    numeric::normal::Z90,
    units::{Celsius, TemperatureUnit},
};

/// Least difference from a rack's own mean that counts, shades.
pub const NOTICEABLE_SHADE: f64 = 0.5;
/// Seed of every joint sample: the same scores give the same answer, always.
const SEED: u64 = 20_261_125;
/// Air temperature that bare samples are taken to stand for: the middling setting of a toast test.
pub(super) const MIDDLING: Celsius = Celsius(176.7);
/// Spacing of rack positions where heights are unknown, cm (common practice, no source).
const USUAL_SPACING: f64 = 8.0;

/// Returns the height that rack position `number` is taken to have where a file of samples does not say.
pub fn sample_rack_height(number: u8) -> f64 {
    USUAL_SPACING * (f64::from(number) - 0.5)
}

/// Why no map could be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum MapError {
    /// No test was given.
    #[error("'{0}' has no toast test yet; lay one out and score it first")]
    NoTest(String),
    /// A test of another oven.
    #[error("test '{test}' belongs to oven '{belongs}', not to '{oven}'; choose tests of one oven")]
    OtherOven {
        /// The test.
        test: String,
        /// Its oven.
        belongs: String,
        /// The oven asked for.
        oven: String,
    },
    /// Tests in different modes.
    #[error(
        "tests '{first}' ({one}) and '{second}' ({other}) were made in different modes and cannot share a map; choose one mode"
    )]
    Modes {
        /// The first test.
        first: String,
        /// Its mode.
        one: &'static str,
        /// The second test.
        second: String,
        /// Its mode.
        other: &'static str,
    },
    /// The engine refused.
    #[error(transparent)]
    Field(#[from] FieldError),
}

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
    /// Plain sentences, most useful first.
    pub findings: Vec<String>,
    /// What speaks against trusting it.
    pub warnings: Vec<Warning>,
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

/// Maps tests of one oven in one mode on a grid of (columns, rows) cells.
///
/// Repeated tests are pooled; tests at two dial settings fit this bread's own sensitivity.
///
/// # Errors
/// [`MapError`] when the tests do not belong together or carry too few scores.
pub fn map_of(
    oven: &Oven,
    tests: &[&ToastTest],
    grid: (usize, usize),
) -> Result<MapView, MapError> {
    map_with_bakes(oven, tests, &[], grid)
}

/// Maps tests as [`map_of`] does, with what came out of `bakes` in the same oven and mode folded in.
///
/// # Errors
/// [`MapError`] when the tests do not belong together or carry too few scores.
pub fn map_with_bakes(
    oven: &Oven,
    tests: &[&ToastTest],
    bakes: &[&BakeLog],
    grid: (usize, usize),
) -> Result<MapView, MapError> {
    let first = check_group(oven, tests)?;
    let numbered: Vec<(usize, Observation)> = tests
        .iter()
        .enumerate()
        .flat_map(|(i, t)| observations_of(t, i))
        .collect();
    let mut observations: Vec<Observation> = numbered.iter().map(|(_, o)| *o).collect();
    to_one_level(&mut observations);
    let domain = domain_of(oven);
    let by_eye = read_by_eye(tests);
    let dial = tests.iter().map(|t| t.setup.dial.0).sum::<f64>() / tests.len() as f64;
    let basis = Basis {
        sensitivity: sensitivity_of(tests, Celsius(dial)),
        untoasted: first.untoasted(),
        mode: Some(first.setup.mode),
        unit: oven.dial.unit,
        by_eye,
    };
    let mut view = view(&observations, &domain, &basis, grid)?;
    let more = observations_of_bakes(oven, &view.fit, bakes, tests.len());
    if !more.is_empty() {
        let warnings = std::mem::take(&mut view.warnings);
        observations.extend(more);
        view = self::view(&observations, &domain, &basis, grid)?;
        // Of toasted slices only: food on a tray has its own rules.
        view.warnings = warnings;
        let plural = if bakes.len() == 1 { "" } else { "s" };
        view.findings.push(format!(
            "What came out of {} bake{plural} counts in this map too.",
            bakes.len()
        ));
    }
    view.warnings
        .extend(findings::test_warnings(&numbered, tests, &view.fit));
    Ok(view)
}

/// Maps bare samples in a cavity `width` x `depth` cm on a grid of (columns, rows) cells.
///
/// Heights of the rack positions are unknown here: they are taken as 8 cm apart, which matters only
/// for how much of their pattern they share.
///
/// # Errors
/// [`MapError::Field`] names the sample that cannot be used.
pub fn map_samples(
    samples: &Samples,
    width: f64,
    depth: f64,
    grid: (usize, usize),
) -> Result<MapView, MapError> {
    let domain = domain_of_samples(samples, width, depth);
    let basis = Basis {
        sensitivity: Sensitivity::default_at(MIDDLING),
        untoasted: UNTOASTED_LIGHTNESS,
        mode: None,
        unit: TemperatureUnit::Celsius,
        by_eye: samples.by_eye,
    };
    view(&samples.observations, &domain, &basis, grid)
}

/// Checks that tests are of this oven and in one mode; returns the first.
///
/// # Errors
/// [`MapError`] names the first test that does not belong.
pub(super) fn check_group<'t>(
    oven: &Oven,
    tests: &[&'t ToastTest],
) -> Result<&'t ToastTest, MapError> {
    let first = *tests
        .first()
        .ok_or_else(|| MapError::NoTest(oven.name.clone()))?;
    for test in tests {
        if test.setup.oven != oven.id {
            return Err(MapError::OtherOven {
                test: test.id.to_string(),
                belongs: test.setup.oven.to_string(),
                oven: oven.id.to_string(),
            });
        }
        if test.setup.mode != first.setup.mode {
            return Err(MapError::Modes {
                first: first.id.to_string(),
                one: first.setup.mode.words(),
                second: test.id.to_string(),
                other: test.setup.mode.words(),
            });
        }
    }
    Ok(first)
}

/// Returns cavity and rack positions of an oven for the engine.
pub(super) fn domain_of(oven: &Oven) -> Domain {
    Domain {
        width: oven.cavity.width.0,
        depth: oven.cavity.depth.0,
        racks: oven
            .racks
            .iter()
            .map(|r| Rack {
                number: r.number,
                height: r.height.0,
            })
            .collect(),
    }
}

/// Returns cavity and rack positions of bare samples, whose heights are taken as usual.
pub(super) fn domain_of_samples(samples: &Samples, width: f64, depth: f64) -> Domain {
    let mut racks: Vec<u8> = samples.observations.iter().map(|o| o.rack).collect();
    racks.sort_unstable();
    racks.dedup();
    let racks = racks
        .into_iter()
        .map(|number| Rack {
            number,
            height: sample_rack_height(number),
        })
        .collect();
    Domain {
        width,
        depth,
        racks,
    }
}

/// Tells whether any slice was read by eye.
pub(super) fn read_by_eye(tests: &[&ToastTest]) -> bool {
    tests
        .iter()
        .flat_map(|t| &t.slices)
        .any(|s| matches!(s.reading, Reading::ByEye(_)))
}

/// Returns what is believed before a slice is scored, by eye or measured.
pub(super) fn priors_of(by_eye: bool) -> Priors {
    if by_eye {
        Priors::by_eye(EYE_SD_SHADE * browning_per_shade())
    } else {
        Priors::measured()
    }
}

/// What a view rests on beside the slices.
struct Basis {
    sensitivity: Sensitivity,
    untoasted: f64,
    mode: Option<Mode>,
    unit: TemperatureUnit,
    by_eye: bool,
}

fn view(
    observations: &[Observation],
    domain: &Domain,
    basis: &Basis,
    grid: (usize, usize),
) -> Result<MapView, MapError> {
    let priors = priors_of(basis.by_eye);
    let fit = field::fit(observations, domain, &priors)?;
    let map = fit.map(grid.0, grid.1);
    let reading = reading_of(&basis.sensitivity);
    let zones = field::zones(&fit, &map, &reading);
    let evenness = field::evenness(&fit, &map, &reading);
    let mut view = MapView {
        fit,
        map,
        zones,
        evenness,
        sensitivity: basis.sensitivity,
        untoasted: basis.untoasted,
        mode: basis.mode,
        findings: Vec::new(),
        warnings: findings::slice_warnings(observations),
    };
    view.findings = findings::findings(&view, basis.unit);
    Ok(view)
}

pub(super) fn reading_of(sensitivity: &Sensitivity) -> MapReading {
    MapReading {
        per_shade: browning_per_shade(),
        noticeable: NOTICEABLE_SHADE,
        per_c: sensitivity.per_c,
        per_c_relative_sd: sensitivity.relative_sd,
        seed: SEED,
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
        let (value, half) = (
            point.mean / reading.per_shade,
            Z90 * point.sd / reading.per_shade,
        );
        let per_c = point.mean.max(1e-3) * reading.per_c;
        Some(ReadOut {
            shade: Range {
                value,
                lo: value - half,
                hi: value + half,
            },
            degrees_c: reading.degrees(map.contrast[i], map.contrast_sd[i], map.rack_mean),
            rise_c_per_cm: (point.gradient.0 / per_c, point.gradient.1 / per_c),
        })
    }
}
