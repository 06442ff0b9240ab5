//! Maps and their zones as a paper says them.

use super::super::{compare::CompareView, findings::sure_words, map::MapView};
use crate::{
    calibration::Estimate,
    compare::RackComparison,
    field::{Evenness, Evidence, RackMap, Range, Zone, ZoneKind},
    model::{Oven, PlaceName},
    report::{
        Quantity, Scale,
        paper::{MapFigure, Maps},
    },
    units::{CelsiusDelta, no_negative_zero},
};

/// Returns degrees of the oven's dial with their interval: `+14 F (+8 to +20)`.
pub(super) fn degrees(range: Range, oven: &Oven) -> String {
    let unit = oven.dial.unit;
    let f = |c: f64| crate::report::quantity::signed(unit.delta_figure(CelsiusDelta(c)));
    format!(
        "{} {} ({} to {})",
        f(range.value),
        unit.letter(),
        f(range.lo),
        f(range.hi)
    )
}

/// Level of the intervals of readings, as everywhere on paper.
const LEVEL: f64 = 0.9;

/// Returns an estimate with its 90 % interval.
pub(super) fn ends(e: Estimate) -> Range {
    let (lo, hi) = e.interval(LEVEL);
    Range {
        value: e.value,
        lo,
        hi,
    }
}

/// Returns degrees that have no direction with their interval: `20 F (18 to 22)`.
pub(super) fn unsigned(range: Range, oven: &Oven) -> String {
    let f = |c: f64| oven.dial.unit.delta_figure(CelsiusDelta(c));
    format!(
        "{:.0} {} ({:.0} to {:.0})",
        f(range.value),
        oven.dial.unit.letter(),
        f(range.lo),
        f(range.hi)
    )
}

/// Returns a figure with its interval: `1.8 (1.4 to 2.3)`.
pub(super) fn interval(range: Range) -> String {
    format!("{:.1} ({:.1} to {:.1})", range.value, range.lo, range.hi)
}

/// Returns a change with its sign and interval: `-0.3 (-0.5 to -0.1)`.
pub(super) fn change(range: Range) -> String {
    let shown = |v: f64| format!("{:+.1}", no_negative_zero(v, 1));
    format!(
        "{} ({} to {})",
        shown(range.value),
        shown(range.lo),
        shown(range.hi)
    )
}

/// Returns a share with its interval in per cent.
pub(super) fn per_cent(range: Range) -> String {
    format!(
        "{:.0} % ({:.0} to {:.0} %)",
        range.value * 100.0,
        range.lo * 100.0,
        range.hi * 100.0
    )
}

/// Returns what a zone is called and where it lies: `hot, back-left`.
pub(super) fn zone_name(zone: &Zone, oven: &Oven) -> (&'static str, &'static str) {
    let (x, y) = zone.centre;
    let place = PlaceName::of(x, y, oven.cavity.width.0, oven.cavity.depth.0).words();
    let kind = match zone.kind {
        ZoneKind::Hot => "hot",
        ZoneKind::Cool => "cool",
    };
    (kind, place)
}

/// Returns the maps of every rack position with their zones in words.
pub(super) fn maps(view: &MapView, oven: &Oven) -> Maps {
    let quantity = Quantity::Degrees {
        unit: oven.dial.unit,
        per_c: view.sensitivity.per_c,
    };
    let figures = view
        .map
        .racks
        .iter()
        .map(|map| {
            let even = view.evenness.iter().find(|e| e.rack == map.rack);
            let evidence = match map.evidence {
                Evidence::Tested => "tested",
                Evidence::Interpolated => "not tested: between its neighbours",
            };
            let mut words = vec![evidence.to_owned()];
            let zones: Vec<&Zone> = view.zones.iter().filter(|z| z.rack == map.rack).collect();
            words.extend(zones.iter().map(|z| {
                let (kind, place) = zone_name(z, oven);
                format!(
                    "{} {kind} {place}: {}",
                    sure_words(z.probability),
                    degrees(z.peak_c, oven)
                )
            }));
            if zones.is_empty() {
                words.push("no zone that can be told".to_owned());
            }
            words.extend(even.map(spread_words));
            MapFigure {
                title: format!("Rack {}", map.rack),
                map: map.clone(),
                zones: zones.into_iter().cloned().collect(),
                words,
            }
        })
        .collect();
    Maps {
        scale: Scale::over(quantity, &view.map.racks),
        figures,
    }
}

/// Maps that stand in one row at most; so many racks before stand above as many after.
const ROW: usize = 4;

/// Returns the maps before and after of every rack position that was tested both times, on one scale.
pub(super) fn both_maps(view: &CompareView, oven: &Oven) -> Maps {
    let quantity = Quantity::Degrees {
        unit: oven.dial.unit,
        per_c: view.sensitivity.per_c,
    };
    let racks = &view.comparison.racks;
    let figure = |rack: &RackComparison, when: &str, map: &RackMap, sd: Range| MapFigure {
        title: format!("Rack {} {when}", rack.rack),
        map: map.clone(),
        zones: Vec::new(),
        words: vec![format!("standard deviation {} shades", interval(sd))],
    };
    let before = |r: &RackComparison| figure(r, "before", &r.before, r.sd.before);
    let after = |r: &RackComparison| figure(r, "after", &r.after, r.sd.after);
    let figures: Vec<MapFigure> = if racks.len() <= ROW {
        racks
            .iter()
            .map(before)
            .chain(racks.iter().map(after))
            .collect()
    } else {
        racks.iter().flat_map(|r| [before(r), after(r)]).collect()
    };
    let all: Vec<RackMap> = figures.iter().map(|f| f.map.clone()).collect();
    Maps {
        scale: Scale::over(quantity, &all),
        figures,
    }
}

fn spread_words(even: &Evenness) -> String {
    format!("lightest to darkest {} shades", interval(even.spread))
}
