//! What a map says in plain sentences, and what speaks against trusting it.

use super::{
    next::{FEW, Outlook, outlook},
    view::{Doubted, MapView, NOTICEABLE_SHADE, ReadOut},
};
use crate::{
    field::{
        Bound, Evenness, Evidence, Fit, FitReport, MOST_PLACES, Observation, Strength, Zone,
        ZoneKind, map::RackMap,
    },
    model::{
        PlaceName, ToastTest, Warning,
        shade::browning_per_shade,
        text::{counted, listed},
    },
    numeric::normal::{Z90, cdf, quantile},
    report::quantity::signed,
    units::{CelsiusDelta, LengthUnit, TemperatureUnit, no_negative_zero},
};

/// A slice this many standard deviations off its neighbours is worth another look.
const DISAGREES: f64 = 3.0;
/// Below this mean shade slice-to-slice noise rules the map.
const PALE: f64 = 1.5;
/// Where a difference of this many shades would not show, a rack is not called even.
const STILL_EVEN: f64 = 1.5;
/// How much further than one place, by its 90 % interval, the most different of a rack's many places may stray: told as
/// 2.6 standard deviations are (see `field::evenness`).
const OF_MANY: f64 = 2.6 / Z90;
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

/// What is said of a rack position without a zone, where one would have shown.
const LOOKS_EVEN: &str = "looks even";

fn zone_sentence(view: &MapView, zone: &Zone, unit: TemperatureUnit) -> String {
    let place = view.place_of(zone);
    let figure = |c: f64| no_negative_zero(unit.delta_figure(CelsiusDelta(c)), 0);
    let c = zone.peak_c;
    let tested = |r: &RackMap| r.evidence == Evidence::Tested;
    let between = if view.rack(zone.rack).is_some_and(tested) {
        ""
    } else {
        ", by the tested racks around it"
    };
    let (runs, value, low, high) = match zone.kind {
        ZoneKind::Hot => ("hotter", c.value, c.lo, c.hi),
        ZoneKind::Cool => ("cooler", -c.value, -c.hi, -c.lo),
    };
    format!(
        "{} is {}about {:.0} {} {runs} than the rest of rack {} ({:.0} to {:.0}){}{}.",
        place.title(),
        zone.strength.adverb(),
        figure(value),
        unit.letter(),
        zone.rack,
        figure(low),
        figure(high),
        between,
        view.if_right(zone)
    )
}

/// Says how sure something is that holds with probability `p`: nothing from 95 %, `probably `, `perhaps `; `None` where
/// it can't be told.
pub(super) fn adverb(p: f64) -> Option<&'static str> {
    match p {
        p if p >= 0.95 => Some(""),
        p if p >= 0.8 => Some("probably "),
        p if p >= 0.6 => Some("perhaps "),
        _ => None,
    }
}

impl MapView {
    fn place_of(&self, zone: &Zone) -> PlaceName {
        let domain = self.fit.domain();
        PlaceName::of(zone.centre.0, zone.centre.1, domain.width, domain.depth)
    }

    /// Returns the rack position of the zone that the verdict names.
    pub fn strongest_rack(&self) -> Option<u8> {
        self.strongest(|_| true).map(|z| z.rack)
    }

    /// Returns the zone to name first: what burns before what stays pale, what is plain before what is probable.
    fn strongest(&self, of: impl Fn(&Zone) -> bool) -> Option<&Zone> {
        self.zones.iter().filter(|z| of(z)).max_by(|a, b| {
            let weight = |z: &Zone| (z.kind == ZoneKind::Hot, z.strength);
            let size = |z: &Zone| z.peak_c.value.abs();
            weight(a).cmp(&weight(b)).then(size(a).total_cmp(&size(b)))
        })
    }

    /// Tells whether nowhere in the oven browns more than in a hot zone, or less than in a cool one: a zone is told against
    /// its own rack, and another rack may be darker on the whole.
    fn is_extreme(&self, zone: &Zone) -> bool {
        let per_c = self.sensitivity.per_c;
        let there = |z: &Zone| Some(self.rack(z.rack)?.rack_mean * (z.peak_c.value * per_c).exp());
        let Some(own) = there(zone) else { return false };
        let zones = self.zones.iter().filter_map(there);
        let racks = self.map.racks.iter().map(|r| r.rack_mean);
        let mut all = zones.chain(racks);
        match zone.kind {
            ZoneKind::Hot => all.all(|b| b <= own),
            ZoneKind::Cool => all.all(|b| b >= own),
        }
    }

    /// Says so where a zone rests on a slice that all its neighbours speak against, as a slip of a key would look.
    pub(super) fn if_right(&self, zone: &Zone) -> String {
        let grid = self.rack(zone.rack).map(|r| r.grid);
        let in_zone = |d: &&Doubted| {
            let cell = grid.and_then(|g| g.cell_at(d.at.0, d.at.1));
            let of = |c| zone.cells.contains(&c) || zone.around.contains(&c);
            (d.rack, d.kind) == (zone.rack, zone.kind) && cell.is_some_and(of)
        };
        let slice = self.doubted.iter().find(in_zone);
        slice.map_or_else(String::new, |d| format!(", if slice {} is right", d.number))
    }

    /// Says what is so, in a dozen words: where it browns fastest, and which rack position is the more even.
    pub fn verdict(&self) -> String {
        let strongest = self.strongest(|_| true);
        let even = self.more_even();
        let first = match strongest {
            Some(zone) => {
                let way = match (zone.kind, self.is_extreme(zone)) {
                    (ZoneKind::Hot, true) => "fastest",
                    (ZoneKind::Cool, true) => "slowest",
                    (ZoneKind::Hot, false) => "faster than the rest of it",
                    (ZoneKind::Cool, false) => "slower than the rest of it",
                };
                let (place, adverb) = (self.place_of(zone), zone.strength.adverb());
                if let Some(before) = self.before {
                    let place = place.spoken();
                    let rack = zone.rack;
                    return format!(
                        "Before {before}: {place} of rack {rack} {adverb}browned {way}."
                    );
                }
                format!(
                    "{} of rack {} {adverb}browns {way}{}.",
                    place.title(),
                    zone.rack,
                    self.if_right(zone)
                )
            }
            None if even.is_some() => String::new(),
            None => {
                let racks = &self.map.racks;
                let tested = || racks.iter().filter(|r| r.evidence == Evidence::Tested);
                if let (Some(before), true) = (self.before, self.tested_look_even()) {
                    format!("Before {before}: no hot or cool zone, as far as the test shows.")
                } else if self.tested_look_even() {
                    "No hot or cool zone, as far as this test can show.".to_owned()
                } else {
                    let helps = |o: Outlook| o.best().is_some();
                    let more = |rack| outlook(&self.fit, self.by_eye, rack).is_some_and(helps);
                    let said = "Can't tell yet where this oven runs hot.";
                    if tested().any(|r| more(r.rack)) {
                        format!("{said} Toast more slices.")
                    } else {
                        said.to_owned()
                    }
                }
            }
        };
        [first, even.unwrap_or_default()]
            .into_iter()
            .filter(|words| !words.is_empty())
            .collect::<Vec<_>>()
            .join(" ")
    }

    /// Says in a few words how the oven bakes: its strongest zone, or that it has none.
    pub fn short_verdict(&self) -> String {
        if let Some(zone) = self.strongest(|_| true) {
            return format!("{}, rack {}", self.rack_words(zone.rack), zone.rack);
        }
        let racks = self.map.racks.iter();
        let mut tested = racks.filter(|r| r.evidence == Evidence::Tested);
        let even = tested.all(|r| self.looks_even(r.rack));
        if even { LOOKS_EVEN } else { "can't tell yet" }.to_owned()
    }

    /// Names the more even of the tested rack positions, as firmly as their evenness is known.
    fn more_even(&self) -> Option<String> {
        let tested = |rack: u8| {
            self.rack(rack)
                .is_some_and(|r| r.evidence == Evidence::Tested)
        };
        let mut by: Vec<&Evenness> = self.evenness.iter().filter(|e| tested(e.rack)).collect();
        // In degrees: a paler rack differs by fewer shades for being paler alone.
        by.sort_by(|a, b| a.sd_c.value.total_cmp(&b.sd_c.value));
        let [best, next, ..] = by[..] else {
            return None;
        };
        let sd = |e: &Evenness| (e.sd_c.hi - e.sd_c.lo) / (2.0 * Z90);
        let apart = (next.sd_c.value - best.sd_c.value) / sd(best).hypot(sd(next)).max(1e-9);
        let how = adverb(cdf(apart))?;
        let which = if by.len() == 2 {
            "more even"
        } else {
            "the most even"
        };
        let is = if self.before.is_some() { "was" } else { "is" };
        let than = if by.len() == 2 {
            format!(" than rack {}", next.rack)
        } else {
            String::new()
        };
        Some(format!("Rack {} {is} {how}{which}{than}.", best.rack))
    }

    /// Says in two or three words how a rack position is, beside its number.
    pub fn rack_words(&self, rack: u8) -> String {
        let zone = self.strongest(|z| z.rack == rack);
        let untested = self
            .rack(rack)
            .is_none_or(|r| r.evidence == Evidence::Interpolated);
        match zone {
            _ if untested => "not tested".to_owned(),
            Some(z) => match z.strength {
                Strength::Plain => format!("{} {}", z.kind.word(), self.place_of(z).spoken()),
                // There is no room for the place too: the doubt goes before it.
                Strength::Probable => format!("{}{}", z.strength.adverb(), z.kind.word()),
            },
            None if self.looks_even(rack) => LOOKS_EVEN.to_owned(),
            None => "can't tell yet".to_owned(),
        }
    }

    /// Says what is known of one rack position: its zones, or that there are none.
    pub fn rack_sentences(&self, rack: u8, unit: TemperatureUnit) -> Vec<String> {
        let zones = self.zones.iter().filter(|z| z.rack == rack);
        let mut said: Vec<String> = zones.map(|z| zone_sentence(self, z, unit)).collect();
        if let (true, Some(map)) = (said.is_empty(), self.rack(rack)) {
            said.extend(no_zone_sentence(self, map, unit));
        }
        said
    }

    /// Says what one place of a rack position reads, with its ranges, and how steeply the heat rises there.
    pub fn place_sentences(
        &self,
        rack: u8,
        read: &ReadOut,
        (unit, lengths): (TemperatureUnit, LengthUnit),
    ) -> Vec<String> {
        let figure = |c: f64| signed(unit.delta_figure(CelsiusDelta(c)));
        let (shade, degrees, letter) = (read.shade, read.degrees_c, unit.letter());
        let mut said = vec![format!(
            "Under the cursor on rack {rack}: shade {:.1} ({:.1} to {:.1}), {} {letter} against the rest ({} to {}).",
            shade.value,
            shade.lo,
            shade.hi,
            figure(degrees.value),
            figure(degrees.lo),
            figure(degrees.hi),
        )];
        // Over an inch or over 10 cm: spans a hand can picture.
        let (span, over) = match lengths {
            LengthUnit::Inches => (2.54, "an inch"),
            LengthUnit::Centimetres => (10.0, "10 cm"),
        };
        let (right, back) = read.rise_c_per_cm;
        let rise = unit.delta_figure(CelsiusDelta(right.hypot(back) * span));
        // Where the place may be like the rest, nobody knows which way it gets hotter.
        let differs = degrees.lo > 0.0 || degrees.hi < 0.0;
        if differs && rise >= 0.05 && rise.is_finite() {
            // One step from the middle of a field of three by three, so that places name directions.
            let towards = PlaceName::of(
                1.5 + toward(right, back),
                1.5 + toward(back, right),
                3.0,
                3.0,
            );
            said.push(format!(
                "On this map it gets hotter towards the {}, by {rise:.1} {letter} over {over}.",
                towards.spoken()
            ));
        }
        said
    }

    /// Tells whether a rack position without a zone may be called even: a noticeable one would have shown.
    pub(super) fn looks_even(&self, rack: u8) -> bool {
        self.would_show(rack).is_some_and(|o| o <= STILL_EVEN)
    }

    /// Tells the same of every rack position that was tested.
    pub(super) fn tested_look_even(&self) -> bool {
        let mut tested = self
            .map
            .racks
            .iter()
            .filter(|r| r.evidence == Evidence::Tested);
        tested.all(|r| self.looks_even(r.rack))
    }

    /// Returns how large a difference would show on a rack position, shades.
    fn would_show(&self, rack: u8) -> Option<f64> {
        Some(shows_from(outlook(&self.fit, self.by_eye, rack)?.now))
    }
}

/// Returns from which difference on one shows, shades, on a map that is good to so many at a place.
fn shows_from(good_to: f64) -> f64 {
    NOTICEABLE_SHADE + OF_MANY * good_to
}

/// Sorts one part of a direction into -1, 0 or 1, eighths of a turn wide.
fn toward(part: f64, other: f64) -> f64 {
    // tan(22.5 degrees): below it the other part alone names the direction.
    if part.abs() < 0.414 * other.abs() {
        0.0
    } else {
        part.signum()
    }
}

/// Says that a rack position looks even, how large a difference would have shown, and what would sharpen that.
fn no_zone_sentence(view: &MapView, rack: &RackMap, unit: TemperatureUnit) -> Option<String> {
    let number = rack.rack;
    let show = |shade: f64| {
        let b = shows_from(shade) * browning_per_shade();
        let c = view.reading().degrees(b, 0.0, (rack.rack_mean, 0.0)).value;
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
    let is_even = shows_from(outlook.now) <= STILL_EVEN;
    let verdict = if is_even {
        format!(
            "Rack {number} browns evenly where slices lay, as far as this test can show (differences under about {would_show} would not)."
        )
    } else {
        format!(
            "Can't tell yet whether rack {number} browns evenly: differences under about {would_show} would not show."
        )
    };
    let next = match outlook.best() {
        Some(next) => format!(
            "Another test with {} would show {}.",
            next.way.words(),
            show(next.then)
        ),
        None if is_even && view.fit.lain(number).len() >= FEW => {
            "Another test would add little.".to_owned()
        }
        None if view.unscored.contains(&number) => "Score the rest of its slices.".to_owned(),
        None => "Lay out more slices on it next time, smaller or closer together.".to_owned(),
    };
    Some(format!("{verdict} {next}"))
}

/// How often any two of racks that brown alike may be told apart.
const LEVEL_DOUBT: f64 = 0.05;

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
    // Chosen after looking, among so many pairs: in 39 of 94 even kitchens two were told apart by the interval of one.
    let count = tested().count();
    let pairs = (count * (count - 1) / 2) as f64;
    let widened = quantile(1.0 - 0.5 * LEVEL_DOUBT / pairs) / Z90;
    let sd = darkest.rack_mean_sd.hypot(lightest.rack_mean_sd) * widened;
    let c = view.reading().degrees(difference, sd, lightest.level());
    let show = |v: f64| no_negative_zero(unit.delta_figure(CelsiusDelta(v)), 0);
    let apart = (difference + Z90 * sd) / browning_per_shade();
    // What would be written as nothing is not told as something.
    Some(if show(c.lo) >= 1.0 {
        format!(
            "Rack {} browns like one {:.0} {} hotter than rack {} ({:.0} to {:.0}).",
            darkest.rack,
            show(c.value),
            unit.letter(),
            lightest.rack,
            show(c.lo),
            show(c.hi)
        )
    } else if apart > STILL_EVEN {
        let (one, other) = (
            darkest.rack.min(lightest.rack),
            darkest.rack.max(lightest.rack),
        );
        format!(
            "Can't tell yet whether racks {one} and {other} brown alike: they may be up to {:.0} {} apart.",
            show(c.hi.max(-c.lo)),
            unit.letter()
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
/// `unscored` are rack positions that have slices left to score.
pub(super) fn slice_warnings(observations: &[Observation], unscored: &[u8]) -> Vec<Warning> {
    let mut out = few_places(observations, unscored);
    let mut racks: Vec<u8> = observations.iter().map(|o| o.rack).collect();
    racks.sort_unstable();
    racks.dedup();
    for rack in racks {
        let on: Vec<&Observation> = observations.iter().filter(|o| o.rack == rack).collect();
        let n = on.len();
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

/// Says which rack positions are scored in few places: those with slices left to score, and the others, each in one.
fn few_places(observations: &[Observation], unscored: &[u8]) -> Vec<Warning> {
    let mut few: [Vec<String>; 2] = Default::default();
    let mut racks: Vec<u8> = observations.iter().map(|o| o.rack).collect();
    racks.sort_unstable();
    racks.dedup();
    for rack in racks {
        let on: Vec<&Observation> = observations.iter().filter(|o| o.rack == rack).collect();
        let places = distinct_places(&on);
        if places < FEW {
            let words = format!("rack {rack} is scored in only {}", counted(places, "place"));
            few[usize::from(!unscored.contains(&rack))].push(words);
        }
    }
    few.into_iter()
        .zip([
            "score the rest of them",
            "lay out more next time: smaller slices, or closer together",
        ])
        .filter(|(racks, _)| !racks.is_empty())
        .map(|(racks, advice)| Warning::new(listed(racks), advice))
        .collect()
}

/// Says that slices so many were merged with their neighbours.
pub(super) fn merged(report: &FitReport) -> Option<Warning> {
    (report.slices > MOST_PLACES && report.places < report.slices).then(|| {
        Warning::minor(
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

/// Returns the slices that disagree with their neighbours, of those with their numbers.
pub(super) fn doubted<'o>(
    numbered: impl Iterator<Item = (usize, &'o Observation)>,
    fit: &Fit,
) -> Vec<Doubted> {
    numbered
        .zip(fit.disagreement())
        .filter(|(_, z)| z.abs() > DISAGREES)
        .map(|((number, o), z)| Doubted {
            number,
            test: o.batch,
            rack: o.rack,
            at: (o.x, o.y),
            kind: if z > 0.0 {
                ZoneKind::Hot
            } else {
                ZoneKind::Cool
            },
        })
        .collect()
}

/// Returns what the tests behind a map warn of: slices that disagree, and slices not scored.
pub(super) fn test_warnings(doubted: &[Doubted], tests: &[&ToastTest]) -> Vec<Warning> {
    let mut out = Vec::new();
    for slice in doubted {
        let darker = match slice.kind {
            ZoneKind::Hot => "darker",
            ZoneKind::Cool => "lighter",
        };
        let test = tests.get(slice.test).map_or("", |t| t.id.as_str());
        let number = slice.number;
        out.push(Warning::new(
            format!("slice {number} of '{test}' is much {darker} than its neighbours"),
            "check it",
        ));
    }
    for test in tests {
        for photo in test.photos.iter().filter(|p| p.references.is_empty()) {
            out.push(Warning::new(
                format!(
                    "nothing of known lightness lay in the photo of rack {} of '{}', so how dark it is on the whole is a guess",
                    photo.rack, test.id
                ),
                "photograph an untoasted slice or a grey card along with the slices",
            ));
        }
        let left = test
            .slices
            .iter()
            .filter(|s| !s.reading.is_settled())
            .count();
        if left > 0 {
            out.push(Warning::minor(
                format!("{left} slices of '{}' are not scored yet", test.id),
                "score them for a sharper map",
            ));
        }
    }
    out
}
