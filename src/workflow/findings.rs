//! What a map says in plain sentences, and what speaks against trusting it.

use super::{
    next::outlook,
    view::{MapView, NOTICEABLE_SHADE},
};
use crate::{
    field::{
        Bound, Evidence, Fit, FitReport, MOST_PLACES, Observation, Zone, ZoneKind, map::RackMap,
    },
    model::{PlaceName, ToastTest, Warning, shade::browning_per_shade},
    units::{CelsiusDelta, TemperatureUnit},
};

/// A slice this many standard deviations off its neighbours is worth another look.
const DISAGREES: f64 = 3.0;
/// Fewer slices on a rack than this leave much open.
const FEW: usize = 8;
/// Below this mean shade slice-to-slice noise rules the map.
const PALE: f64 = 1.5;
/// Where a difference of this many shades would not show, a rack is not called even.
const STILL_EVEN: f64 = 1.25;
/// Scored places closer than this, cm, are one place.
const ONE_PLACE: f64 = 1.0;
/// A rack with more than this share of its slices at an end of the card says too little.
const MANY_ENDS: f64 = 0.25;

/// Returns the findings: zones, then what could not be told, then how racks compare.
pub(super) fn findings(view: &MapView, unit: TemperatureUnit) -> Vec<String> {
    let mut out: Vec<String> = view
        .zones
        .iter()
        .map(|z| zone_sentence(view, z, unit))
        .collect();
    for rack in &view.map.racks {
        if !view.zones.iter().any(|z| z.rack == rack.rack) {
            out.extend(no_zone_sentence(view, rack, unit));
        }
    }
    out.extend(level_sentence(view, unit));
    out.push(format!(
        "Degrees are what would brown alike, not air temperatures; they rest on {}.",
        view.sensitivity.basis()
    ));
    out
}

fn zone_sentence(view: &MapView, zone: &Zone, unit: TemperatureUnit) -> String {
    let domain = view.fit.domain();
    let place = PlaceName::of(zone.centre.0, zone.centre.1, domain.width, domain.depth);
    let figure = |c: f64| unit.delta_figure(CelsiusDelta(c));
    let c = zone.peak_c;
    let (runs, value, low, high) = match zone.kind {
        ZoneKind::Hot => ("hotter", c.value, c.lo, c.hi),
        ZoneKind::Cool => ("cooler", -c.value, -c.hi, -c.lo),
    };
    format!(
        "{} is {}about {:.0} {} {runs} than the rest of rack {} ({:.0} to {:.0}).",
        place.title(),
        zone.strength.adverb(),
        figure(value),
        unit.letter(),
        zone.rack,
        figure(low),
        figure(high),
    )
}

/// Says that a rack position looks even, how large a difference would have shown, and what would sharpen that.
fn no_zone_sentence(view: &MapView, rack: &RackMap, unit: TemperatureUnit) -> Option<String> {
    let number = rack.rack;
    let show = |shade: f64| {
        let b = (NOTICEABLE_SHADE + shade) * browning_per_shade();
        let c = view.reading().degrees(b, 0.0, rack.rack_mean).value;
        format!(
            "{:.0} {}",
            unit.delta_figure(CelsiusDelta(c)),
            unit.letter()
        )
    };
    if rack.evidence == Evidence::Interpolated {
        return Some(format!(
            "Rack {number} was not tested: it lies between tested racks. Toast on it to know it."
        ));
    }
    let outlook = outlook(&view.fit, view.by_eye, number)?;
    let would_show = show(outlook.now);
    let verdict = if outlook.now + NOTICEABLE_SHADE <= STILL_EVEN {
        format!(
            "Rack {number} browns evenly, as far as this test can show (differences under about {would_show} would not)."
        )
    } else {
        format!(
            "Can't tell yet whether rack {number} browns evenly: differences under about {would_show} would not show."
        )
    };
    let next = outlook.best().map_or_else(
        || "Another test would add little.".to_owned(),
        |next| {
            format!(
                "Another test with {} would show {}.",
                next.way.words(),
                show(next.then)
            )
        },
    );
    Some(format!("{verdict} {next}"))
}

/// Compares the levels of the tested rack positions.
fn level_sentence(view: &MapView, unit: TemperatureUnit) -> Option<String> {
    let tested = || {
        view.map
            .racks
            .iter()
            .filter(|r| r.evidence == Evidence::Tested)
    };
    let darkest = tested().max_by(|a, b| a.rack_mean.total_cmp(&b.rack_mean))?;
    let lightest = tested().min_by(|a, b| a.rack_mean.total_cmp(&b.rack_mean))?;
    if darkest.rack == lightest.rack {
        return None;
    }
    let difference = darkest.rack_mean - lightest.rack_mean;
    let sd = darkest.rack_mean_sd.hypot(lightest.rack_mean_sd);
    let c = view.reading().degrees(difference, sd, lightest.rack_mean);
    let show = |v: f64| unit.delta_figure(CelsiusDelta(v));
    Some(if c.lo > 0.0 {
        format!(
            "Rack {} browns like one {:.0} {} hotter than rack {} ({:.0} to {:.0}).",
            darkest.rack,
            show(c.value),
            unit.letter(),
            lightest.rack,
            show(c.lo),
            show(c.hi)
        )
    } else {
        format!(
            "Racks {} and {} brown alike, as far as this test can show ({:.0} to {:.0} {} apart).",
            lightest.rack,
            darkest.rack,
            show(c.lo),
            show(c.hi),
            unit.letter()
        )
    })
}

/// Returns what the slices themselves warn of: too few, too pale, or at the ends of the card.
pub(super) fn slice_warnings(observations: &[Observation]) -> Vec<Warning> {
    let mut out = Vec::new();
    let mut racks: Vec<u8> = observations.iter().map(|o| o.rack).collect();
    racks.sort_unstable();
    racks.dedup();
    for rack in racks {
        let on: Vec<&Observation> = observations.iter().filter(|o| o.rack == rack).collect();
        let n = on.len();
        let places = distinct_places(&on);
        if places < FEW {
            let slices = if places == 1 { "place" } else { "places" };
            out.push(Warning::new(
                format!("rack {rack} is scored in only {places} {slices}"),
                "score more of them, or lay out twelve next time",
            ));
        }
        let share = |bound: Bound| on.iter().filter(|o| o.bound == bound).count();
        let (dark, light) = (share(Bound::AtLeast), share(Bound::AtMost));
        if dark > 0 {
            out.push(Warning::new(
                format!(
                    "{dark} of {n} slices on rack {rack} are so dark that they only say 'at least'"
                ),
                "pull the next test earlier",
            ));
        }
        if light as f64 > MANY_ENDS * n as f64 {
            out.push(Warning::new(
                format!("{light} of {n} slices on rack {rack} are barely toasted"),
                "pull the next test later",
            ));
        }
        let mean = on.iter().map(|o| o.browning).sum::<f64>() / n as f64 / browning_per_shade();
        if mean < PALE && light as f64 <= MANY_ENDS * n as f64 {
            out.push(Warning::new(
                format!("rack {rack} is pale (shade {mean:.1} on average): chance rules the map"),
                "toast the next test until the thinnest light slice is golden",
            ));
        }
    }
    out
}

/// Says that slices so many were merged with their neighbours.
pub(super) fn merged(report: &FitReport) -> Option<Warning> {
    (report.slices > MOST_PLACES && report.places < report.slices).then(|| {
        Warning::new(
            format!(
                "{} slices were merged into {} places",
                report.slices, report.places
            ),
            "a map gains little from more than a few hundred",
        )
    })
}

fn distinct_places(slices: &[&Observation]) -> usize {
    let mut places: Vec<(f64, f64)> = Vec::new();
    for o in slices {
        if !places
            .iter()
            .any(|p| (p.0 - o.x).hypot(p.1 - o.y) < ONE_PLACE)
        {
            places.push((o.x, o.y));
        }
    }
    places.len()
}

/// Returns what the tests behind a map warn of: slices that disagree, and slices not scored.
pub(super) fn test_warnings(
    numbered: &[(usize, Observation)],
    tests: &[&ToastTest],
    fit: &Fit,
) -> Vec<Warning> {
    let mut out = Vec::new();
    for ((number, o), z) in numbered.iter().zip(fit.disagreement()) {
        if z.abs() > DISAGREES {
            let darker = if z > 0.0 { "darker" } else { "lighter" };
            let test = tests.get(o.batch).map_or("", |t| t.id.as_str());
            out.push(Warning::new(
                format!("slice {number} of '{test}' is much {darker} than its neighbours"),
                "check it",
            ));
        }
    }
    for test in tests {
        let left = test
            .slices
            .iter()
            .filter(|s| !s.reading.is_settled())
            .count();
        if left > 0 {
            out.push(Warning::new(
                format!("{left} slices of '{}' are not scored yet", test.id),
                "score them for a sharper map",
            ));
        }
    }
    out
}
