//! What a quick check says: as before, changed and where, or not to be told yet.

use super::known::{Before, COARSE, CheckError, Known, SLICES, UNSEEN, before, with_full};
use crate::{
    field::{self, Bound, Judged, Observation, Seen, Spot, Verdict},
    model::{
        CHECK_CHANGED, CHECK_NOTE, Oven, PlaceName, ToastTest, shade::browning_per_shade,
        worded::worded,
    },
    units::CelsiusDelta,
    workflow::{
        kitchen::Records,
        layout::{LayoutRequest, lay_out},
        map::map_of,
        observe::observations_of,
        pool::Pool,
        sensitivity::times_as_brown,
    },
};

use std::collections::BTreeMap;

/// Seed of the unchanged ovens that are drawn.
const SEED: u64 = 20_261_125;
/// Where a change is not yet told but this rare in an unchanged oven, its place is named.
const HINT: f64 = 0.2;

/// Slices that are all so many shades off what the dial and the time lead one to expect are remarked on: a dial 25 F off
/// makes about one and a half.
const FAR_OFF: f64 = 1.5;

worded! {
    /// What a quick check comes to.
    pub enum Answer [key] {
        /// Nothing changed by much.
        AsBefore: "as-before";
        /// A part changed.
        Changed: "changed";
        /// Neither can be said.
        CannotTell: "cannot-tell";
        /// Nothing was known: what it is like.
        First: "first-look";
    }
}

/// The part that changed most clearly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PartChange {
    /// Its rack position; `None` for the same part of all of them.
    pub rack: Option<u8>,
    /// Its name.
    pub place: PlaceName,
    /// By how many shades it browns more than before, beside the rest: value, lower and upper end (90 %).
    pub shades: (f64, f64, f64),
    /// The same as degrees; `None` where so little browned that they say nothing.
    pub degrees: Option<CelsiusDelta>,
    /// How plainly it is this part.
    pub told: PartTold,
}

worded! {
    /// How plainly it is told which part changed.
    pub enum PartTold [key] {
        /// It is this part, at least 95 times in 100.
        Plainly: "plainly";
        /// It is this part, or the one across from it the other way.
        OrAcross: "or-across";
        /// More likely this part than not, at least 80 times in 100.
        Probably: "probably";
        /// It may be this part.
        Perhaps: "perhaps";
    }
}

impl PartTold {
    fn of(judged: &Judged) -> Self {
        /// Said plainly, and said with "probably", from these on.
        const SURE: (f64, f64) = (0.95, 0.8);
        match judged {
            j if j.sure >= SURE.0 => Self::Plainly,
            j if j.sure_of_both >= SURE.0 => Self::OrAcross,
            j if j.sure >= SURE.1 => Self::Probably,
            _ => Self::Perhaps,
        }
    }
}

/// The answer to a quick check.
#[derive(Debug, Clone)]
pub struct Checked {
    /// What it comes to.
    pub answer: Answer,
    /// The answer in a sentence.
    pub headline: String,
    /// Why, and what to do, in sentences.
    pub reasons: Vec<String>,
    /// What it was checked against.
    pub known: Known,
    /// The part that stands out most; `None` where nothing was known.
    pub part: Option<PartChange>,
    /// How likely an unchanged oven is to look like this.
    pub chance: Option<f64>,
    /// No part changed by more than this, shades.
    pub at_most: Option<f64>,
    /// Slices that counted.
    pub scored: usize,
}

impl Checked {
    /// Returns what the test of a quick check carries as its note: other faces go by it.
    pub fn note(&self) -> &'static str {
        match self.answer {
            Answer::Changed => CHECK_CHANGED,
            Answer::AsBefore | Answer::CannotTell | Answer::First => CHECK_NOTE,
        }
    }
}

/// Tells what a scored quick check, or any scored test, says beside the tests before it.
///
/// # Errors
/// [`CheckError`] where too little is scored, or nothing browned.
pub fn check(records: &Records, oven: &Oven, test: &ToastTest) -> Result<Checked, CheckError> {
    let scored = test.scored();
    if scored < SLICES.0 {
        return Err(CheckError::Unscored(scored));
    }
    match before(records, oven, test.setup.mode, Some(test))? {
        Some(before) => beside(&before, oven, test),
        None => first(oven, test),
    }
}

fn beside(before: &Before, oven: &Oven, test: &ToastTest) -> Result<Checked, CheckError> {
    let seen = observations_of(test, 0);
    let spots: Vec<Spot> = seen.iter().map(|(_, o)| spot_seen(o)).collect();
    let mut racks: Vec<u8> = spots.iter().map(|s| s.rack).collect();
    racks.sort_unstable();
    racks.dedup();
    // One at an end of the shades would pull the level of all with it.
    let slices: Vec<Seen> = seen
        .iter()
        .enumerate()
        .filter(|(_, (_, o))| o.bound == Bound::Exact)
        .map(|(spot, (_, o))| Seen {
            spot,
            browning: o.browning,
            sd: o.sd,
            lean: o.lean,
        })
        .collect();
    if slices.len() < SLICES.0 {
        let ends = seen.len() - slices.len();
        let scored = test.scored();
        return Err(CheckError::Untold { ends, scored });
    }
    let full = full_test(before, oven, test, (&racks, &spots));
    let check = before.view.fit.check(&racks, spots, 0.0);
    let judged = check.as_ref().and_then(|c| c.judge(&slices, SEED));
    let judged = judged.ok_or(CheckError::Pale)?;
    let all: Vec<usize> = slices.iter().map(|s| s.spot).collect();
    let level = check.as_ref().map_or(0.0, |c| c.level(&all));
    let left_out = slices.len() < seen.len();
    let expected = level_then(before, test, &racks, level);
    let overall = expected.and_then(|level| overall(level, &seen));
    let part = part_of(&judged, oven, (level, before.view.sensitivity.per_c));
    let answer = match judged.verdict() {
        Verdict::AsBefore => Answer::AsBefore,
        Verdict::Changed => Answer::Changed,
        Verdict::CannotTell => Answer::CannotTell,
    };
    let at_most = judged.at_most / browning_per_shade();
    let (width, depth) = (oven.cavity.width.0, oven.cavity.depth.0);
    let other = judged.part.across((width, depth));
    let across = PlaceName::of(other.x, other.y, width, depth);
    let checked = Checked {
        headline: headline(answer, &part, across, judged.chance),
        reasons: overall
            .into_iter()
            .chain(reasons(answer, oven, (&part, at_most, left_out), full))
            .collect(),
        answer,
        known: before.known.clone(),
        part: Some(part),
        chance: Some(judged.chance),
        at_most: Some(at_most),
        scored: slices.len(),
    };
    // What a slice of an unchanged oven would have come out at, the whole test being as dark as it is.
    let now = slices.iter().map(|s| s.browning).sum::<f64>() / slices.len() as f64;
    let unchanged = |spot: usize| {
        check
            .as_ref()
            .map_or(0.0, |c| c.level(&[spot]) / level * now)
    };
    Ok(with_ends(checked, oven, &seen, unchanged))
}

/// Returns the level that an unchanged oven would have given the slices of a check, where the map has `level`: by the
/// earlier test on these rack positions that is nearest by dial and time, as much darker or lighter as that came out.
fn level_then(before: &Before, test: &ToastTest, racks: &[u8], level: f64) -> Option<f64> {
    let by = |earlier: &ToastTest| {
        let times = times_as_brown(std::slice::from_ref(earlier), test)?;
        let (mut seen, mut map, mut count) = (0.0, 0.0, 0);
        for (_, o) in observations_of(earlier, 0) {
            if o.bound == Bound::Exact && racks.contains(&o.rack) {
                (seen, map) = (
                    seen + o.browning,
                    map + before.view.fit.at(o.rack, o.x, o.y)?.mean,
                );
                count += 1;
            }
        }
        (count >= SLICES.0 && map > 0.0).then(|| (times.ln().abs(), level * times * seen / map))
    };
    let all = before.tests.iter().filter_map(by);
    all.min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, level)| level)
}

/// Says so where all slices came out far from what the dial and the time gave on their places in earlier tests: more likely
/// a slip of the hand than the oven. Nothing is said of what the level of a photo, never quite known, may make.
fn overall(expected: f64, seen: &[(usize, Observation)]) -> Option<String> {
    let exact = || {
        let all = seen.iter().map(|(_, o)| o);
        all.filter(|o| o.bound == Bound::Exact)
    };
    let count = exact().count() as f64;
    let level = exact().map(|o| o.browning).sum::<f64>() / count;
    // The slices of one photo are off alike, photos each by themselves.
    let mut photos: BTreeMap<usize, f64> = BTreeMap::new();
    for lean in exact().filter_map(|o| o.lean) {
        *photos.entry(lean.photo).or_default() += lean.loads[2] / count;
    }
    let sd = photos.values().map(|off| off * off).sum::<f64>().sqrt();
    if (level - expected).abs() < 2.0 * sd {
        return None;
    }
    let shades = (level - expected) / browning_per_shade();
    let how = if shades > 0.0 { "darker" } else { "lighter" };
    (shades.abs() >= FAR_OFF).then(|| {
        format!(
            "All slices came out about {:.0} shades {how} than this dial and time gave before: was it another dial setting, another time, other bread?",
            shades.abs()
        )
    })
}

/// A slice that hardly browned where an unchanged oven would have browned it by so much more, shades, is looked at first.
const PALER: f64 = 1.0;

/// Adds what slices at an end of the shades say, which carry no figure. Whatever the others say, a burnt slice among
/// light ones, or one hardly browned that was to be golden, is no oven "as before".
///
/// `unchanged` gives the browning that a spot of an unchanged oven would have come out at.
fn with_ends(
    mut checked: Checked,
    oven: &Oven,
    seen: &[(usize, Observation)],
    unchanged: impl Fn(usize) -> f64,
) -> Checked {
    let at = |bound| {
        let all = seen.iter().enumerate();
        all.filter(move |(_, (_, o))| o.bound == bound)
    };
    let paler =
        |spot: usize, o: &Observation| unchanged(spot) - o.browning > PALER * browning_per_shade();
    let burnt: Vec<_> = at(Bound::AtLeast).map(|(_, s)| *s).collect();
    let pale: Vec<_> = at(Bound::AtMost).map(|(_, s)| *s).collect();
    let missed: Vec<_> = at(Bound::AtMost)
        .filter(|(spot, (_, o))| paler(*spot, o))
        .map(|(_, s)| *s)
        .collect();
    if !pale.is_empty() {
        let said = format!(
            "Left out, for they hardly browned: {} of {} slices.",
            pale.len(),
            seen.len()
        );
        checked.reasons.insert(0, said);
    }
    let (those, how) = if burnt.is_empty() {
        (missed, "hardly browned, against what was known")
    } else {
        (burnt, "as good as burnt")
    };
    let Some((number, first)) = those.first() else {
        return checked;
    };
    let place = PlaceName::of(first.x, first.y, oven.cavity.width.0, oven.cavity.depth.0);
    let (place, rack) = (place.title().to_lowercase(), first.rack);
    let others = checked.headline.to_lowercase();
    checked
        .reasons
        .insert(0, format!("The others by themselves: {others}"));
    checked.headline = match those.len() {
        1 => format!("Slice {number} is {how}: look at {place} of rack {rack} first."),
        n => format!("{n} slices are {how}: look at {place} of rack {rack} first."),
    };
    if checked.answer == Answer::AsBefore {
        checked.answer = Answer::CannotTell;
    }
    checked
}

fn part_of(judged: &Judged, oven: &Oven, (level, per_c): (f64, f64)) -> PartChange {
    let per_shade = browning_per_shade();
    let cavity = oven.cavity;
    let (from, to) = (level, level + judged.change);
    let browned = from.min(to) > per_shade;
    PartChange {
        rack: judged.part.rack,
        place: PlaceName::of(judged.part.x, judged.part.y, cavity.width.0, cavity.depth.0),
        shades: (
            judged.change / per_shade,
            (judged.change - field::Z90 * judged.sd) / per_shade,
            (judged.change + field::Z90 * judged.sd) / per_shade,
        ),
        degrees: browned.then(|| CelsiusDelta((to / from).ln() / per_c)),
        told: PartTold::of(judged),
    }
}

/// Returns how many slices a full test of these rack positions has, and the change it would rule out with these, shades.
fn full_test(
    before: &Before,
    oven: &Oven,
    test: &ToastTest,
    (racks, few): (&[u8], &[Spot]),
) -> Option<(usize, f64)> {
    let request = LayoutRequest {
        slice: test.bread.slice,
        ..LayoutRequest::ordinary(racks.to_vec())
    };
    let layout = lay_out(oven, test.setup.mode, &request).ok()?;
    let shows = with_full(before, racks, (few, &layout.slices))?;
    Some((layout.slices.len(), shows))
}

/// A change is told plainly where so few unchanged ovens look so: of ovens that change now and then, most that look changed
/// at four in a hundred have not (17 of 23 such words were right in kitchens drawn by another hand).
const SURELY: f64 = 0.01;

fn headline(answer: Answer, part: &PartChange, across: PlaceName, chance: f64) -> String {
    let place = part.place.title().to_lowercase();
    let on = part
        .rack
        .map_or_else(String::new, |r| format!(" of rack {r}"));
    let (how, otherwise) = if part.shades.0 > 0.0 {
        ("hotter", "cooler")
    } else {
        ("cooler", "hotter")
    };
    let (sure, changed) = if chance <= SURELY {
        (true, "Changed")
    } else {
        (false, "Probably changed")
    };
    match answer {
        Answer::AsBefore => "As before.".to_owned(),
        Answer::Changed => match part.told {
            PartTold::Plainly => format!("{changed}: {place}{on} is {how}."),
            PartTold::OrAcross => {
                let other = across.title().to_lowercase();
                format!("{changed}: {place}{on} is {how}, or {other} {otherwise}.")
            }
            PartTold::Probably if sure => format!("{changed}: probably {place}{on} is {how}."),
            PartTold::Probably | PartTold::Perhaps => {
                format!("{changed}; perhaps {place}{on} is {how}.")
            }
        },
        Answer::CannotTell if chance <= HINT => {
            format!("Can't tell yet; {place}{on} may be {how}.")
        }
        Answer::CannotTell | Answer::First => "Can't tell yet.".to_owned(),
    }
}

/// Says why, and what to do next.
fn reasons(
    answer: Answer,
    oven: &Oven,
    (part, at_most, left_out): (&PartChange, f64, bool),
    full: Option<(usize, f64)>,
) -> Vec<String> {
    let up = |shades: f64| (shades * 2.0).ceil() / 2.0;
    let more = full.map_or_else(String::new, |(count, shades)| {
        format!("With a full test of {count} slices too, changes under about {shades:.1} shades may not show.")
    });
    let mut said = match answer {
        Answer::AsBefore => vec![
            format!("No part differs by more than {} shades.", up(at_most)),
            more,
        ],
        Answer::Changed => {
            let (shades, lo, hi) = part.shades;
            let (size, lo, hi) = if shades < 0.0 {
                (-shades, -hi, -lo)
            } else {
                (shades, lo, hi)
            };
            let unit = oven.dial.unit;
            let degrees = part.degrees.map_or_else(String::new, |c| {
                let shown = unit.show_delta(CelsiusDelta(c.0.abs()));
                format!(", or {}", shown.trim_start_matches('+'))
            });
            let if_so = match part.told {
                PartTold::Plainly | PartTold::OrAcross => "",
                PartTold::Probably | PartTold::Perhaps => ", if it is that part",
            };
            vec![
                format!(
                    "It differs by about {size:.1} shades ({lo:.1} to {hi:.1}){degrees}{if_so}."
                ),
                "Test this oven in full before the next bake that matters.".to_owned(),
                "Note the change in its record: then older tests no longer count.".to_owned(),
            ]
        }
        Answer::CannotTell | Answer::First => vec![
            if left_out {
                "What the slices left out would show is not known.".to_owned()
            } else if at_most <= UNSEEN {
                format!("A change of up to {at_most:.1} shades could hide here.")
            } else {
                "The slices leave parts of it unseen.".to_owned()
            },
            more,
        ],
    };
    said.retain(|s| !s.is_empty());
    said.push("Whether the whole oven runs hotter, a thermometer tells.".to_owned());
    said
}

/// Says what the slices show where nothing was known.
fn first(oven: &Oven, test: &ToastTest) -> Result<Checked, CheckError> {
    let view = map_of(&Pool::of(oven, &[test]), COARSE)?;
    let headline = view.zones.first().map_or_else(
        || "Can't tell yet: no part stands out.".to_owned(),
        |_| "A first look: parts of it differ.".to_owned(),
    );
    let mut reasons: Vec<String> = view.findings.iter().take(3).cloned().collect();
    let full = lay_out(
        oven,
        test.setup.mode,
        &LayoutRequest::ordinary(test.setup.racks.clone()),
    );
    if let Ok(full) = full {
        reasons.push(format!(
            "A full test of {} slices makes a map to plan on.",
            full.slices.len()
        ));
    }
    Ok(Checked {
        answer: Answer::First,
        headline,
        reasons,
        known: Known::Nothing,
        part: None,
        chance: None,
        at_most: None,
        scored: test.scored(),
    })
}

fn spot_seen(o: &Observation) -> Spot {
    Spot::new(o.rack, o.x, o.y, o.width, o.depth)
}
