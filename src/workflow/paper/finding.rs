//! What the technician reads first: the finding in one sentence.

use super::super::{
    readings::{OvenSummary, Standing, since_the_visit, standing},
    view::MapView,
};
use crate::{
    field::{Evidence, Strength, Zone, ZoneKind},
    model::{Oven, PlaceName},
    units::CelsiusDelta,
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

/// Says it of the setting that is farthest off, else whether the dial is right where it was read.
fn of_dial(found: &OvenSummary, oven: &Oven) -> String {
    let unit = oven.dial.unit;
    let all = &found.settings;
    let each: Vec<_> = all.iter().map(|s| (s, standing(found, oven, s))).collect();
    let off = each.iter().filter_map(|(s, how)| Some((s, how.runs(s)?)));
    if let Some((s, size)) = off.max_by(|a, b| a.1.abs().total_cmp(&b.1.abs())) {
        let side = if size < 0.0 { "cooler" } else { "hotter" };
        return format!(
            "at {} the air is {:.0} {} {side} than the dial",
            unit.show(s.dial),
            unit.delta_figure(CelsiusDelta(size.abs())),
            unit.letter()
        );
    }
    let close = each.iter().filter(|(_, how)| *how == Standing::Close);
    let right: Vec<String> = close.map(|(s, _)| unit.show(s.dial)).collect();
    if all.is_empty() {
        format!("the dial has not been checked{}", since_the_visit(found))
    } else if right.len() == all.len() {
        "the dial is close enough, as far as it was read".to_owned()
    } else if !right.is_empty() {
        format!("the dial is close enough at {}", right.join(" and "))
    } else if each.iter().all(|(_, how)| *how == Standing::NotHeld) {
        "the air never settled while the dial was checked".to_owned()
    } else {
        "can't tell yet whether the dial is right".to_owned()
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
        return if view.tested_look_even() {
            let tested = view
                .map
                .racks
                .iter()
                .filter(|r| r.evidence == Evidence::Tested);
            let racks: Vec<String> = tested.map(|r| r.rack.to_string()).collect();
            let brown = match racks.as_slice() {
                [one] => format!("rack {one} browns"),
                several => format!("racks {} brown", several.join(" and ")),
            };
            format!("{brown} evenly, as far as the tests can show")
        } else {
            "can't tell yet where it is hot".to_owned()
        };
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
        "{place} on rack {} is {probably}about {:.0} {} {way} than the rest of the rack{}",
        zone.rack,
        unit.delta_figure(CelsiusDelta(zone.peak_c.value.abs())),
        unit.letter(),
        view.if_right(zone)
    )
}
