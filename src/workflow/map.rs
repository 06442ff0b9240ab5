//! From toast tests, or bare samples, to a map with its zones, figures and findings.

use super::{
    after::fold::observations_of_bakes,
    findings,
    observe::{domain_of, observations_of, priors_of, read_by_eye, to_one_level, unscored_racks},
    pool::{Pool, PoolError, check_group},
    samples::Samples,
    sensitivity::sensitivity_of,
    unlike::other_way_round,
    view::{MapView, READ_ON, reading_of},
};
use crate::{
    field::{self, Domain, FieldError, Observation, Rack, Strength, Zone},
    model::{
        BakeLog, Mode, Sensitivity, ToastTest, Warning,
        shade::{UNTOASTED_LIGHTNESS, browning_per_shade},
        text::counted,
    },
    units::{Celsius, TemperatureUnit},
};
use std::collections::BTreeSet;

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
    /// The tests do not belong together, or there are none.
    #[error(transparent)]
    Pool(#[from] PoolError),
    /// The engine refused.
    #[error(transparent)]
    Field(#[from] FieldError),
}

/// Makes the map of pooled tests, and of the bakes folded in, on a grid of (columns, rows) cells.
///
/// Every face makes its maps here, so that all show the same figures with the same warnings. Tests at two dial
/// settings fit this bread's own sensitivity.
///
/// # Errors
/// [`MapError`] when the tests do not belong together or carry too few scores.
pub fn map_of(pool: &Pool, grid: (usize, usize)) -> Result<MapView, MapError> {
    let oven = &pool.oven;
    let tests: Vec<&ToastTest> = pool.tests.iter().collect();
    let first = check_group(oven, &tests)?;
    let numbered: Vec<(usize, Observation)> = tests
        .iter()
        .enumerate()
        .flat_map(|(i, t)| observations_of(t, i))
        .collect();
    let mut observations: Vec<Observation> = numbered.iter().map(|(_, o)| *o).collect();
    to_one_level(&mut observations);
    let domain = domain_of(oven);
    let of_bread: Vec<&ToastTest> = tests.iter().copied().chain(&pool.beside).collect();
    let dial = tests.iter().map(|t| t.setup.dial.0).sum::<f64>() / tests.len() as f64;
    let basis = Basis {
        sensitivity: sensitivity_of(&of_bread, Celsius(dial)),
        untoasted: first.untoasted(),
        mode: Some(first.setup.mode),
        unit: oven.dial.unit,
        by_eye: read_by_eye(&tests),
        numbers: numbered.iter().map(|(number, _)| *number).collect(),
        unscored: unscored_racks(&tests),
    };
    let mut view = view(&observations, &domain, &basis, grid)?;
    let mirrored = other_way_round(&observations);
    let bakes: Vec<&BakeLog> = pool.bakes.iter().collect();
    let more = observations_of_bakes(oven, &view.fit, &bakes, tests.len());
    let telling: BTreeSet<usize> = more.iter().map(|o| o.batch).collect();
    if !more.is_empty() {
        let warnings = std::mem::take(&mut view.warnings);
        observations.extend(more);
        view = self::view(&observations, &domain, &basis, grid)?;
        // Of toasted slices only: food on a tray has its own rules.
        view.warnings = warnings;
        view.findings.push(format!(
            "What came out of {} counts in this map too.",
            counted(telling.len(), "bake")
        ));
    }
    view.warnings
        .extend(findings::test_warnings(&view.doubted, &tests));
    view.warnings.extend(mirrored.iter().filter_map(|batch| {
        let what = format!(
            "'{}' fits the other tests better the other way round",
            tests.get(*batch)?.id
        );
        Some(Warning::misleads(
            what,
            "was it laid out or scored so? score it again, or set it aside",
        ))
    }));
    view.warnings
        .extend(pool.remarks.iter().map(super::pool::Remark::warning));
    Warning::gravest_first(&mut view.warnings);
    view.before = pool.remarks.iter().find_map(super::pool::Remark::since);
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
        numbers: Vec::new(),
        unscored: Vec::new(),
    };
    view(&samples.observations, &domain, &basis, grid)
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

/// Scatter of slices read by eye from which no zone is sure, shades: of zones that a scorer with twice the usual error was
/// sure of 15 in 100 were none.
const ROUGH_EYE: f64 = 0.7;
/// The most that is said of a zone then (85 in 100 were right).
const MOST_ROUGH: f64 = 0.85;

/// What a view rests on beside the slices.
struct Basis {
    sensitivity: Sensitivity,
    untoasted: f64,
    mode: Option<Mode>,
    unit: TemperatureUnit,
    by_eye: bool,
    /// The numbers of slices in their tests; none where they came from no test.
    numbers: Vec<usize>,
    /// Rack positions that have slices left to score.
    unscored: Vec<u8>,
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
    let read = fit.map(READ_ON.0, READ_ON.1);
    let mut zones: Vec<Zone> = field::zones(&fit, &read, &reading)
        .into_iter()
        .map(|zone| zone.shown_on(&read, &map))
        .collect();
    let mut warnings = findings::slice_warnings(observations, &basis.unscored);
    let scatter = read.noise_sd / browning_per_shade();
    if basis.by_eye && scatter > ROUGH_EYE {
        for zone in &mut zones {
            zone.strength = Strength::Probable;
            zone.probability = zone.probability.min(MOST_ROUGH);
        }
        warnings.push(Warning::new(
            format!("slices side by side differ by {scatter:.1} shade, more than an eye should: no zone is sure here"),
            "score them again in one go, in one light, beside the card",
        ));
    }
    let evenness = field::evenness(&fit, &read, &reading);
    let numbered = basis.numbers.iter().copied().zip(observations);
    let doubted = findings::doubted(numbered, &fit);
    let mut view = MapView {
        fit,
        map,
        zones,
        evenness,
        sensitivity: basis.sensitivity,
        untoasted: basis.untoasted,
        mode: basis.mode,
        by_eye: basis.by_eye,
        findings: Vec::new(),
        warnings,
        unscored: basis.unscored.clone(),
        before: None,
        doubted,
    };
    view.findings = findings::findings(&view, basis.unit);
    view.warnings.extend(findings::merged(view.fit.report()));
    Ok(view)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        field::ZoneKind,
        workflow::{kitchen::Kitchen, pool::Which},
    };

    fn wall_oven(tests: &Which) -> MapView {
        let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
        let oven = kitchen.find_oven("wall-oven").unwrap();
        map_of(&Pool::choose(&kitchen, oven, tests), (12, 9)).unwrap()
    }

    /// A line of 80 columns holds the verdict, whichever came first.
    #[test]
    fn a_map_older_than_the_visit_is_told_in_the_past() {
        let old = crate::model::TestId::new("2026-03-07-wall-oven").unwrap();
        let mut view = wall_oven(&Which::Alone(old));
        let said = view.verdict();
        assert!(said.starts_with("Before the last visit: "), "{said}");
        assert!(
            said.contains("browned fastest") && said.len() < 80,
            "{said}"
        );
        view.zones.clear();
        let said = view.verdict();
        assert!(!said.contains(" is ") && said.len() < 80, "{said}");
        let now = wall_oven(&Which::Now(Mode::StillAir)).verdict();
        assert!(now.contains("browns fastest"), "{now}");
    }

    /// Where another rack browns more all over, no place of this one is the fastest.
    #[test]
    fn the_fastest_place_is_that_of_the_whole_oven() {
        let mut view = wall_oven(&Which::Now(Mode::StillAir));
        assert!(view.verdict().contains("browns fastest"));
        let hot = view.zones[0].rack;
        let mut others = view.map.racks.iter_mut().filter(|r| r.rack != hot);
        others.next().unwrap().rack_mean *= 3.0;
        let said = view.verdict();
        assert!(said.contains("browns faster than the rest of it"), "{said}");
    }

    /// Beside a rack's number there are 17 columns.
    #[test]
    fn a_zone_that_is_only_probable_is_called_so_beside_its_rack() {
        let mut view = wall_oven(&Which::Now(Mode::StillAir));
        let zone = view.zones[0].clone();
        for strength in [Strength::Plain, Strength::Probable] {
            for (kind, word) in [(ZoneKind::Hot, "HOT"), (ZoneKind::Cool, "COOL")] {
                view.zones = vec![Zone {
                    kind,
                    strength,
                    ..zone.clone()
                }];
                let said = view.rack_words(zone.rack);
                assert!(said.contains(word) && said.len() <= 17, "{said}");
                let probably = said.starts_with("probably ");
                assert_eq!(probably, strength == Strength::Probable, "{said}");
            }
        }
    }
}
