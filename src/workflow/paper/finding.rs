//! What the technician reads first: the finding in one sentence.

use super::{
    super::{
        readings::{OvenSummary, SettingSummary},
        view::MapView,
    },
    words,
};
use crate::{
    field::{Strength, Zone, ZoneKind},
    model::{Oven, PlaceName},
    units::{CelsiusDelta, no_negative_zero},
};

/// Says how far the air is from the dial, and where the oven is hottest or coolest, in one sentence.
pub(super) fn finding(found: &OvenSummary, view: Option<&MapView>, oven: &Oven) -> String {
    let of_dial = of_dial(found, oven);
    let of_map = view.map_or_else(
        || "no toast test shows yet where it is hot".to_owned(),
        |view| of_map(view, oven),
    );
    let mut said = format!("{of_dial}; {of_map}.");
    if let Some(first) = said.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    said
}

/// Says it of the setting that is farthest off.
fn of_dial(found: &OvenSummary, oven: &Oven) -> String {
    let unit = oven.dial.unit;
    let shown = |c: f64| no_negative_zero(unit.delta_figure(CelsiusDelta(c)), 0);
    let off = |s: &&SettingSummary| {
        let offset = words::ends(s.offset);
        shown(offset.lo) > 0.0 || shown(offset.hi) < 0.0
    };
    let size = |s: &&SettingSummary| s.offset.value.abs();
    let worst = found.settings.iter().filter(off);
    let worst = worst.max_by(|a, b| size(a).total_cmp(&size(b)));
    match worst {
        Some(s) => {
            let side = if s.offset.value < 0.0 {
                "cooler"
            } else {
                "hotter"
            };
            format!(
                "at {} the air is {:.0} {} {side} than the dial",
                unit.show(s.dial),
                shown(s.offset.value.abs()),
                unit.letter()
            )
        }
        None if found.settings.is_empty() => "the dial has not been checked".to_owned(),
        None => "the dial is right, as far as it was read".to_owned(),
    }
}

/// Says it of the plainest and strongest zone.
fn of_map(view: &MapView, oven: &Oven) -> String {
    let strongest = view.zones.iter().max_by(|a, b| {
        let size = |z: &Zone| z.peak_c.value.abs();
        a.strength
            .cmp(&b.strength)
            .then(size(a).total_cmp(&size(b)))
    });
    let Some(zone) = strongest else {
        return "it browns evenly, as far as the tests can show".to_owned();
    };
    let (x, y) = zone.centre;
    let place = PlaceName::of(x, y, oven.cavity.width.0, oven.cavity.depth.0);
    let place = place.title().to_lowercase();
    let probably = match zone.strength {
        Strength::Plain => "",
        Strength::Probable => "probably ",
    };
    let way = match zone.kind {
        ZoneKind::Hot => "hotter",
        ZoneKind::Cool => "cooler",
    };
    let unit = oven.dial.unit;
    format!(
        "{place} on rack {} is {probably}about {:.0} {} {way} than the rest of the rack",
        zone.rack,
        unit.delta_figure(CelsiusDelta(zone.peak_c.value.abs())),
        unit.letter()
    )
}
