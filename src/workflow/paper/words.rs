//! Maps and their zones as a paper says them.

use super::super::{compare::CompareView, view::MapView};
use crate::{
    calibration::Estimate,
    compare::{RackComparison, Verdict},
    field::{Evenness, Evidence, RackMap, Range, Zone, ZoneKind},
    model::{Oven, PlaceName},
    report::{
        Quantity, Scale,
        paper::{MapFigure, Maps},
    },
    units::{CelsiusDelta, LengthUnit, no_negative_zero},
};

/// Returns an area: `66 sq in`, `426 cm2`.
pub(super) fn area(cm2: f64, unit: LengthUnit) -> String {
    // The side of one unit, squared, is the unit of area.
    let side = unit.length(1.0).0;
    let name = match unit {
        LengthUnit::Inches => "sq in",
        LengthUnit::Centimetres => "cm2",
    };
    format!("{:.0} {name}", cm2 / (side * side))
}

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
    Range::new(e.value, lo, hi)
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
    let shown = |v: f64| match no_negative_zero(v, 1) {
        0.0 => "0.0".to_owned(),
        v => format!("{v:+.1}"),
    };
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

/// What is said of a rack position without a zone where a noticeable one would have shown.
const EVEN: &str = "even, as far as the test can show";

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
                    "{}{kind} {place}: {}{}",
                    z.strength.adverb(),
                    degrees(z.peak_c, oven),
                    view.if_right(z)
                )
            }));
            let tested = map.evidence == Evidence::Tested;
            let looks_even = tested && view.looks_even(map.rack);
            if zones.is_empty() && tested {
                let said = if looks_even {
                    EVEN
                } else {
                    "can't tell yet whether it is even"
                };
                words.push(said.to_owned());
            }
            words.extend(even.map(spread_words));
            MapFigure {
                title: format!("Rack {}", map.rack),
                map: map.clone(),
                even: zones.is_empty() && looks_even,
                zones: zones.into_iter().cloned().collect(),
                words,
            }
        })
        .collect();
    Maps {
        scale: Scale::over(quantity, &view.map.racks),
        figures,
        in_pairs: false,
    }
}

/// Tells whether anything of a rack is told to have changed: its evenness, a part of it, or its level.
pub(super) fn has_changed(rack: &RackComparison) -> bool {
    let level = rack.level.change;
    let evenness = match rack.verdict {
        Verdict::Better | Verdict::Worse => true,
        Verdict::NoChange => rack.hangs_on_level,
    };
    evenness || !rack.zones.is_empty() || level.lo > 0.0 || level.hi < 0.0
}

/// Returns the maps of the racks that changed, before beside after, on one scale; `None` where none did.
pub(super) fn both_maps(view: &CompareView, oven: &Oven) -> Option<Maps> {
    let quantity = Quantity::Degrees {
        unit: oven.dial.unit,
        per_c: view.sensitivity.per_c,
    };
    let figure = |rack: &RackComparison, when: &str, map: &RackMap, sd: Range| MapFigure {
        title: format!("Rack {} {when}", rack.rack),
        map: map.clone(),
        zones: Vec::new(),
        even: false,
        words: vec![format!("{} shades from place to place", interval(sd))],
    };
    let changed = view.comparison.racks.iter().filter(|r| has_changed(r));
    let figures: Vec<MapFigure> = changed
        .flat_map(|r| {
            [
                figure(r, "before", &r.before, r.sd.before),
                figure(r, "after", &r.after, r.sd.after),
            ]
        })
        .collect();
    if figures.is_empty() {
        return None;
    }
    let all: Vec<RackMap> = figures.iter().map(|f| f.map.clone()).collect();
    Some(Maps {
        scale: Scale::over(quantity, &all),
        figures,
        in_pairs: true,
    })
}

fn spread_words(even: &Evenness) -> String {
    format!("lightest to darkest {} shades", interval(even.spread))
}

/// Makes a row of a table.
pub(super) fn row(cells: &[&str]) -> Vec<String> {
    cells.iter().map(|&c| c.to_owned()).collect()
}
