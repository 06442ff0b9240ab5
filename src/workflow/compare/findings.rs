//! What a comparison says in plain sentences: a verdict for every rack position, then where, how much,
//! and what would settle what is open.

use super::view::CompareView;
use crate::{
    compare::{ChangedZone, RackComparison, Settle, Verdict},
    field::{Range, ZoneKind},
    model::{PlaceName, shade::browning_per_shade},
    units::{CelsiusDelta, TemperatureUnit, no_negative_zero},
    workflow::findings::adverb,
};

/// Returns the findings, rack by rack.
pub(super) fn findings(view: &CompareView) -> Vec<String> {
    let mut out = Vec::new();
    for rack in &view.comparison.racks {
        out.push(verdict_sentence(view, rack));
        out.extend(rack.zones.iter().map(|z| zone_sentence(rack, z, view.unit)));
        out.push(level_sentence(rack));
        out.extend(if rack.hangs_on_level {
            Some(hangs_sentence(rack))
        } else {
            rack.settle.as_ref().and_then(|s| settle_sentence(rack, s))
        });
    }
    let together = match view.comparison.racks.len() {
        0 | 1 => String::new(),
        n => format!(
            "The {n} racks together are wrongly called better or worse in 4 of 100 comparisons at most. "
        ),
    };
    out.push(format!(
        "Evenness is compared with after brought to the level of before by a factor, so that a test pulled later counts as \
         level, not as unevenness; of two probabilities the other holds if all slices changed by the same step. {together}\
         Intervals are 90 %. Degrees are what would brown alike, not air temperatures; they rest on {}.",
        view.sensitivity.basis()
    ));
    out
}

/// Tells whether a finding is of rack position `rack`.
pub fn is_of_rack(finding: &str, rack: u8) -> bool {
    finding.starts_with(&format!("Rack {rack}:"))
}

/// Shows a probability, with a decimal where little is left to certainty.
fn per_cent(probability: f64) -> String {
    let share = 100.0 * probability;
    if share > 99.9 {
        "more than 99.9 %".to_owned()
    } else if share < 0.1 {
        "less than 0.1 %".to_owned()
    } else if (5.0..=95.0).contains(&share) {
        format!("{share:.0} %")
    } else {
        format!("{share:.1} %")
    }
}

impl CompareView {
    /// Returns the rack position whose pattern changed most: first those of which better or worse is said.
    pub fn changed_most(&self) -> Option<u8> {
        let told = |r: &RackComparison| r.verdict != Verdict::NoChange;
        let most = self.comparison.racks.iter().max_by(|a, b| {
            let off = |r: &RackComparison| (r.more_even - 0.5).abs();
            told(a).cmp(&told(b)).then(off(a).total_cmp(&off(b)))
        });
        most.map(|r| r.rack)
    }

    /// Answers for the whole oven, in a dozen words; `visited` tells whether a service visit lies between.
    pub fn verdict(&self, visited: bool) -> String {
        let racks = |verdict: Verdict| -> Vec<u8> {
            let all = self.comparison.racks.iter();
            all.filter(|r| r.verdict == verdict)
                .map(|r| r.rack)
                .collect()
        };
        let (better, worse) = (racks(Verdict::Better), racks(Verdict::Worse));
        let says = |racks: &[u8], how: &str| {
            let names: Vec<String> = racks.iter().map(u8::to_string).collect();
            match names.as_slice() {
                [one] => format!("rack {one} bakes {how} evenly"),
                many => format!("racks {} bake {how} evenly", many.join(" and ")),
            }
        };
        match (better.as_slice(), worse.as_slice()) {
            ([], []) => match self.leaning() {
                Some(words) => words,
                None => "Can't tell yet whether anything changed. Toast once more.".to_owned(),
            },
            (better, []) if visited => format!("The visit helped: {}.", says(better, "more")),
            (better, []) => format!("Better: {}.", says(better, "more")),
            ([], worse) => format!("Worse: {}.", says(worse, "less")),
            (better, worse) => format!("Mixed: {}, {}.", says(better, "more"), says(worse, "less")),
        }
    }

    /// Says which way the rack position leans of which most is known, where nothing is told plainly.
    fn leaning(&self) -> Option<String> {
        let rack = self.rack(self.changed_most()?)?;
        let p = rack.more_even.max(1.0 - rack.more_even);
        adverb(p)?;
        let way = if rack.more_even > 0.5 { "more" } else { "less" };
        Some(format!(
            "Rack {} is {}: it bakes {way} evenly than before.",
            rack.rack,
            state_words(rack)
        ))
    }
}

/// Says in a word or two what is told of the evenness of a rack position; every face says these.
pub fn state_words(rack: &RackComparison) -> String {
    let way = if rack.more_even > 0.5 {
        "better"
    } else {
        "worse"
    };
    let how = match rack.verdict {
        Verdict::Better | Verdict::Worse => "",
        // At most "probably": what is said plainly holds for all rack positions together.
        Verdict::NoChange => match adverb(rack.more_even.max(1.0 - rack.more_even)) {
            Some("") => "probably ",
            Some(how) => how,
            None => return "can't tell yet".to_owned(),
        },
    };
    format!("{how}{way}")
}

/// Says how probable it is that a rack position browns more evenly: one figure, or two where it depends on
/// whether the level changed by a factor or alike everywhere.
pub fn more_even_words(rack: &RackComparison) -> String {
    share_words(rack.more_even_ways)
}

fn share_words((factor, step): (f64, f64)) -> String {
    let (least, most) = (per_cent(factor.min(step)), per_cent(factor.max(step)));
    if least == most {
        return least;
    }
    let least = least.strip_suffix(" %").unwrap_or(&least);
    format!("{least} to {most}")
}

fn interval(r: Range, decimals: i32) -> String {
    let places = usize::try_from(decimals).unwrap_or(1);
    let show = |v: f64| format!("{:+.places$}", no_negative_zero(v, decimals));
    format!("{} ({} to {})", show(r.value), show(r.lo), show(r.hi))
}

fn verdict_sentence(view: &CompareView, rack: &RackComparison) -> String {
    let (factor, step) = rack.more_even_ways;
    let (way, ways) = if rack.more_even >= 0.5 {
        ("more", (factor, step))
    } else {
        ("less", (1.0 - factor, 1.0 - step))
    };
    let why = match rack.verdict {
        Verdict::Better | Verdict::Worse => format!(
            "it browns {way} evenly than before ({} sure)",
            per_cent(rack.probability())
        ),
        Verdict::NoChange => format!(
            "that it browns {way} evenly is {} sure, and {} is needed to say it plainly",
            share_words(ways),
            per_cent(rack.told_from)
        ),
    };
    let says = state_words(rack);
    let (sd, spread) = (rack.sd, rack.spread);
    let level = rack.before.rack_mean.max(browning_per_shade());
    let degrees = |shades: f64| {
        let c = shades * browning_per_shade() / level / view.sensitivity.per_c;
        view.unit.delta_figure(CelsiusDelta(c))
    };
    format!(
        "Rack {}: evenness: {says}: {why}. From place to place it differs by {:.2} shades before, {:.2} after, change {} shades, about {:+.0} {}; \
         lightest to darkest {:.1} before, {:.1} after, change {} shades.",
        rack.rack,
        sd.before.value,
        sd.after.value,
        interval(sd.change, 2),
        no_negative_zero(degrees(sd.change.value), 0),
        view.unit.letter(),
        spread.before.value,
        spread.after.value,
        interval(spread.change, 1),
    )
}

fn zone_sentence(rack: &RackComparison, zone: &ChangedZone, unit: TemperatureUnit) -> String {
    let grid = rack.difference.grid;
    let place = PlaceName::of(zone.centre.0, zone.centre.1, grid.width, grid.depth).words();
    let (way, warmth) = match zone.kind {
        ZoneKind::Hot => ("more", "hotter"),
        ZoneKind::Cool => ("less", "cooler"),
    };
    // Told in the direction of the change, so that the figures are mostly positive.
    let turned = |r: Range| match zone.kind {
        ZoneKind::Hot => r,
        ZoneKind::Cool => Range::new(-r.value, -r.hi, -r.lo),
    };
    let (shades, c) = (turned(zone.peak_shade), turned(zone.peak_c));
    let figure = |v: f64| unit.delta_figure(CelsiusDelta(v));
    // Where the level is low, or itself unsure, degrees say something else than shades do: then shades alone.
    let degrees = if (shades.lo > 0.0) == (c.lo > 0.0) {
        format!(
            ", as if {:.0} {} {warmth} ({:.0} to {:.0})",
            figure(c.value),
            unit.letter(),
            figure(c.lo),
            figure(c.hi)
        )
    } else {
        String::new()
    };
    format!(
        "Rack {}: {place} {}browns {way} than before against the rest of the rack, up to {:.1} shades \
         ({:.1} to {:.1}){degrees}.",
        rack.rack,
        zone.strength.adverb(),
        shades.value,
        shades.lo,
        shades.hi,
    )
}

/// A level known less well than this, shades to either side, is not said to be as it was: half a shade is noticed.
const LEVEL_KNOWN: f64 = 0.5;

fn level_sentence(rack: &RackComparison) -> String {
    let change = rack.level.change;
    if change.lo <= 0.0 && change.hi >= 0.0 {
        let known = change.lo >= -LEVEL_KNOWN && change.hi <= LEVEL_KNOWN;
        let said = if known {
            "as a whole as dark as before, as far as these slices tell"
        } else {
            "can't tell yet whether it is darker or lighter as a whole"
        };
        let figures = interval(change, 1);
        return format!("Rack {}: {said}: {figures} shades.", rack.rack);
    }
    let way = if change.value > 0.0 {
        "darker"
    } else {
        "lighter"
    };
    format!(
        "Rack {}: as a whole {way}, {} shades; minutes, loaf and how well the oven was heated do that too.",
        rack.rack,
        interval(change, 1)
    )
}

/// Why nothing is said although the pattern changed against its level.
fn hangs_sentence(rack: &RackComparison) -> String {
    format!(
        "Rack {}: measured against how dark it came out it looks changed, but slices that all came out darker or lighter by \
         the same step look so too. Toast both to the same shade to tell.",
        rack.rack
    )
}

fn settle_sentence(rack: &RackComparison, settle: &Settle) -> Option<String> {
    match rack.verdict {
        Verdict::Better | Verdict::Worse => return None,
        Verdict::NoChange => {}
    }
    let slices = settle.slices;
    let tests = |k: u32| {
        if k == 1 {
            format!("one more test ({slices} slices)")
        } else {
            format!("{k} more tests ({slices} slices each)")
        }
    };
    let more = match (settle.more_after, settle.more_on_both) {
        (Some(k), _) => format!(
            "If the change is as large as it looks and the scatter stays, {} of how it is now would show it",
            tests(k)
        ),
        (None, Some(k)) => format!(
            "If the change is as large as it looks and the scatter stays, {} on either side would show it; tests of how \
             it is now alone would not, for what was toasted before stays as uncertain as it is",
            tests(k)
        ),
        (None, None) => {
            "No reasonable number of tests would show a change as small as it looks".to_owned()
        }
    };
    Some(format!(
        "Rack {}: a change by {:.1} shades from place to place would have shown nine times in ten. {more}.",
        rack.rack,
        settle.detectable_sd / browning_per_shade()
    ))
}
