//! What a map says in plain sentences, and what speaks against trusting it.

use super::view::{MapView, NOTICEABLE_SHADE};
use crate::{
    field::{Bound, Evidence, Fit, Observation, Zone, ZoneKind, map::RackMap},
    model::{PlaceName, ToastTest, Warning, shade::browning_per_shade},
    units::{CelsiusDelta, TemperatureUnit},
};

/// A slice this many standard deviations off its neighbours is worth another look.
const DISAGREES: f64 = 3.0;
/// Fewer slices on a rack than this leave much open.
const FEW: usize = 8;
/// Below this mean shade slice-to-slice noise rules the map.
const PALE: f64 = 1.5;
/// Intervals that shrink to no less than this share are hardly sharper.
const SHARPER: f64 = 0.85;
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

/// How sure something is, in words.
pub fn sure_words(probability: f64) -> &'static str {
    if probability >= 0.99 {
        "surely"
    } else if probability >= 0.95 {
        "almost surely"
    } else {
        "very likely"
    }
}

fn zone_sentence(view: &MapView, zone: &Zone, unit: TemperatureUnit) -> String {
    let domain = view.fit.domain();
    let place = PlaceName::of(zone.centre.0, zone.centre.1, domain.width, domain.depth).words();
    let figure = |c: f64| unit.delta_figure(CelsiusDelta(c)).abs();
    let c = zone.peak_c;
    let (runs, low, high) = match zone.kind {
        ZoneKind::Hot => ("hot", c.lo, c.hi),
        ZoneKind::Cool => ("cool", -c.hi, -c.lo),
    };
    let signed = |v: f64| unit.delta_figure(CelsiusDelta(v));
    format!(
        "Rack {}: {place} runs up to {:.0} {} {runs} ({:.0} to {:.0}), {}.",
        zone.rack,
        figure(c.value),
        unit.letter(),
        signed(low),
        signed(high),
        sure_words(zone.probability)
    )
}

fn no_zone_sentence(view: &MapView, rack: &RackMap, unit: TemperatureUnit) -> Option<String> {
    let outlook = view.fit.outlook(rack.rack)?;
    let per_shade = browning_per_shade();
    let (now, then) = (outlook.now / per_shade, outlook.with_one_more / per_shade);
    let smallest = NOTICEABLE_SHADE + now;
    let degrees = view
        .reading()
        .degrees(smallest * per_shade, 0.0, rack.rack_mean)
        .value;
    let tested = match rack.evidence {
        Evidence::Tested => "",
        Evidence::Interpolated => " (not tested itself: between tested racks)",
    };
    let settle = match rack.evidence {
        Evidence::Interpolated => "toast on this rack to know it".to_owned(),
        Evidence::Tested if then > SHARPER * now => {
            "another such test would hardly sharpen it".to_owned()
        }
        Evidence::Tested => format!("one more such test would make that +-{then:.1}"),
    };
    Some(format!(
        "Rack {}{tested}: no part is surely half a shade off its mean. A part would have to be about {smallest:.1} \
         shades ({:.0} {}) off to be told: the map is good to +-{now:.1} shades (90 %); {settle}.",
        rack.rack,
        unit.delta_figure(CelsiusDelta(degrees)),
        unit.letter(),
    ))
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
            "Rack {} browns as if {:.0} {} hotter than rack {} ({:.0} to {:.0}).",
            darkest.rack,
            show(c.value),
            unit.letter(),
            lightest.rack,
            show(c.lo),
            show(c.hi)
        )
    } else {
        format!(
            "Racks {} and {} brown alike as far as these slices tell ({:.0} to {:.0} {} apart).",
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
                format!("position {rack} is scored in only {places} {slices}"),
                "score more of them, or lay out twelve next time",
            ));
        }
        let share = |bound: Bound| on.iter().filter(|o| o.bound == bound).count();
        let (dark, light) = (share(Bound::AtLeast), share(Bound::AtMost));
        if dark > 0 {
            out.push(Warning::new(
                format!("{dark} of {n} slices on position {rack} are so dark that they only say 'at least'"),
                "pull the next test earlier",
            ));
        }
        if light as f64 > MANY_ENDS * n as f64 {
            out.push(Warning::new(
                format!("{light} of {n} slices on position {rack} are hardly toasted"),
                "pull the next test later",
            ));
        }
        let mean = on.iter().map(|o| o.browning).sum::<f64>() / n as f64 / browning_per_shade();
        if mean < PALE && light as f64 <= MANY_ENDS * n as f64 {
            out.push(Warning::new(
                format!("position {rack} is pale (mean shade {mean:.1}): scatter rules the map"),
                "toast the next test until the thinnest light slice is golden",
            ));
        }
    }
    out
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
                format!("slice {number} of '{test}' is much {darker} than its neighbours say"),
                "look at it again",
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
