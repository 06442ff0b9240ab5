//! A quick check with a few slices: where to lay them, and whether the oven is still the one on record.

use super::{
    ground::{GroundError, mode_of},
    kitchen::{Kitchen, Records},
    layout::{Layout, LayoutError, LayoutRequest, lay_out},
    map::{MapError, map_of},
    observe::{domain_of, observations_of, priors_of},
    pool::{Pool, Which, tests_beside},
    view::MapView,
};
use crate::{
    field::{self, Bound, Fit, Judged, Observation, Seen, Spot, Verdict},
    model::{
        Bread, Mode, Oven, Place, PlaceName, Reading, Setup, Slice, SliceSize, ToastTest,
        shade::{ROUNDING_SD_SHADE, browning_per_shade},
    },
    units::{Celsius, CelsiusDelta, Centimetres, Minutes},
};
use jiff::civil::{Date, DateTime};

/// Fewest and most slices of a quick check.
pub const SLICES: (usize, usize) = (3, 8);
/// Slices of a quick check where nothing else is asked for.
pub const USUAL_SLICES: usize = 6;
/// The note of a toast test that was laid out as a quick check.
const CHECK_NOTE: &str = "quick check";
/// Cells of the map of earlier tests; no figure here depends on them.
const COARSE: (usize, usize) = (12, 9);
/// Seed of the unchanged ovens that are drawn.
const SEED: u64 = 20_261_125;
/// Where a change is not yet told but this rare in an unchanged oven, its place is named.
const HINT: f64 = 0.2;
/// An observation as vague as this says nothing: what is believed before any slice is toasted, B.
const VAGUE: f64 = 10.0;

/// What is known of the oven before the check.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Known {
    /// No scored toast test in this mode.
    Nothing,
    /// Tests up to this day.
    Tests(Date),
    /// Tests up to this day, and a service visit since.
    BeforeVisit(Date, Date),
}

impl Known {
    /// Says it in a sentence.
    pub fn sentence(&self) -> String {
        match self {
            Self::Nothing => {
                "No earlier test in this mode: the slices show what it is like.".to_owned()
            }
            Self::Tests(day) => format!("Checked against the tests up to {day}."),
            Self::BeforeVisit(day, visit) => {
                format!("Checked against the tests up to {day}, before the visit of {visit}.")
            }
        }
    }
}

/// What is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct CheckRequest {
    /// How it heats; the oven's first mode when `None`.
    pub mode: Option<Mode>,
    /// Rack positions; those of the newest test, else the middle one, when empty.
    pub racks: Vec<u8>,
    /// How many slices, 3 to 8.
    pub count: usize,
    /// Outer size of a slice; that of the newest test when `None`.
    pub slice: Option<SliceSize>,
    /// What the dial will be set to; that of the newest test when `None`.
    pub dial: Option<Celsius>,
}

impl Default for CheckRequest {
    fn default() -> Self {
        Self {
            mode: None,
            racks: Vec::new(),
            count: USUAL_SLICES,
            slice: None,
            dial: None,
        }
    }
}

/// Why there is no check.
#[derive(Debug, thiserror::Error)]
pub enum CheckError {
    /// A number of slices that is not for a quick check.
    #[error("{0} slices are no quick check; take {least} to {most}, or lay out a whole test", least = SLICES.0, most = SLICES.1)]
    Count(usize),
    /// The slices cannot be laid out.
    #[error(transparent)]
    Layout(#[from] LayoutError),
    /// The mode, or the earlier tests.
    #[error(transparent)]
    Ground(#[from] GroundError),
    /// No map of the slices.
    #[error(transparent)]
    Map(#[from] MapError),
    /// The engine refused.
    #[error(transparent)]
    Field(#[from] field::FieldError),
    /// Too few places.
    #[error("only {0} slices of that size fit without touching; take fewer or smaller ones")]
    NoRoom(usize),
    /// Too few scores.
    #[error("{scored} scored slices say nothing yet; score at least {least}", least = SLICES.0)]
    Unscored {
        /// Slices with a score.
        scored: usize,
    },
    /// Scores for other slices than those laid.
    #[error("{given} scores for {slices} slices; give one for each, - where none lay")]
    Scores {
        /// Scores given.
        given: usize,
        /// Slices laid.
        slices: usize,
    },
    /// Nothing browned.
    #[error(
        "the slices hardly browned; toast again and pull later, when the lightest one is golden"
    )]
    Pale,
}

/// Where to lay the slices of a quick check, and what they can show.
#[derive(Debug, Clone)]
pub struct Places {
    /// How the oven heats.
    pub mode: Mode,
    /// The rack positions.
    pub racks: Vec<u8>,
    /// The slices, unscored, in reading order.
    pub slices: Vec<Slice>,
    /// Size of a slice.
    pub slice: SliceSize,
    /// Dial, time and when to pull.
    pub layout: Layout,
    /// What it is checked against.
    pub known: Known,
    /// The smallest change that these slices rule out, shades; `None` where nothing is known.
    pub shows: Option<f64>,
    /// How many slices a full test has, and the smallest change that it rules out, shades.
    pub full: (usize, Option<f64>),
}

impl Places {
    /// Says what to do and what it can show.
    pub fn sentences(&self, oven: &Oven) -> Vec<String> {
        let racks: Vec<String> = self.racks.iter().map(ToString::to_string).collect();
        let plural = if racks.len() == 1 { "" } else { "s" };
        let unit = oven.dial.unit;
        let mut said = vec![
            format!(
                "Lay {} slices on rack{plural} {}, {}, dial at {}.",
                self.slices.len(),
                racks.join(" and "),
                self.mode.words(),
                unit.show(self.layout.dial)
            ),
            self.known.sentence(),
        ];
        if let Some(shows) = self.shows {
            said.push(format!("They show a change from {shows:.1} shades on."));
        }
        let (count, full) = self.full;
        said.push(match full {
            Some(full) => {
                format!("A full test of {count} slices shows one from {full:.1} shades on.")
            }
            None => format!("A full test of {count} slices makes a map to plan on."),
        });
        said
    }

    /// Makes the toast test of these slices, not scored yet; it is not saved.
    pub fn test(&self, kitchen: &Kitchen, oven: &Oven, when: DateTime) -> ToastTest {
        let newest = newest_before(kitchen, oven, self.mode, None);
        let bread = newest.map_or_else(Bread::default, |t| t.bread.clone());
        ToastTest {
            id: kitchen.fresh_test_id(&oven.id, when.date()),
            setup: Setup {
                oven: oven.id.clone(),
                mode: self.mode,
                dial: self.layout.dial,
                racks: self.racks.clone(),
            },
            when,
            minutes: None,
            toasting: None,
            bread: Bread {
                slice: self.slice,
                ..bread
            },
            slices: self.slices.clone(),
            cursor: 0,
            note: CHECK_NOTE.to_owned(),
            photos: Vec::new(),
        }
    }
}

/// Makes the toast test of scored slices; it is not saved yet.
///
/// # Errors
/// [`CheckError::Scores`] where there are not as many scores as slices.
pub fn scored_test(
    kitchen: &Kitchen,
    oven: &Oven,
    (places, readings): (&Places, &[Reading]),
    (when, minutes): (DateTime, Option<Minutes>),
) -> Result<ToastTest, CheckError> {
    if readings.len() != places.slices.len() {
        return Err(CheckError::Scores {
            given: readings.len(),
            slices: places.slices.len(),
        });
    }
    let mut test = places.test(kitchen, oven, when);
    test.minutes = minutes;
    for (slice, reading) in test.slices.iter_mut().zip(readings) {
        slice.reading = *reading;
    }
    test.cursor = test.slices.len();
    Ok(test)
}

/// Tells whether a toast test was laid out as a quick check.
pub fn is_check(test: &ToastTest) -> bool {
    test.note == CHECK_NOTE
}

/// What a quick check comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Answer {
    /// Nothing changed by much.
    AsBefore,
    /// A part changed.
    Changed,
    /// Neither can be said.
    CannotTell,
    /// Nothing was known: what it is like.
    First,
}

impl Answer {
    /// Returns its key in JSON.
    pub fn key(self) -> &'static str {
        match self {
            Self::AsBefore => "as-before",
            Self::Changed => "changed",
            Self::CannotTell => "cannot-tell",
            Self::First => "first-look",
        }
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
    /// The same as degrees.
    pub degrees: CelsiusDelta,
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

/// The earlier tests with their map.
struct Before {
    view: MapView,
    known: Known,
}

/// Finds where the slices of a quick check tell most.
///
/// # Errors
/// [`CheckError`] names what cannot be.
pub fn places(records: &Records, oven: &Oven, asked: &CheckRequest) -> Result<Places, CheckError> {
    if !(SLICES.0..=SLICES.1).contains(&asked.count) {
        return Err(CheckError::Count(asked.count));
    }
    let mode = mode_of(oven, asked.mode)?;
    let newest = newest_before(records, oven, mode, None);
    let racks = match (asked.racks.is_empty(), newest) {
        (false, _) => asked.racks.clone(),
        (true, Some(test)) => test.setup.racks.clone(),
        (true, None) => middle_rack(oven),
    };
    let size = asked
        .slice
        .or(newest.map(|t| t.bread.slice))
        .unwrap_or(SliceSize::ORDINARY);
    let request = LayoutRequest {
        slice: size,
        dial: asked.dial.or(newest.map(|t| t.setup.dial)),
        ..LayoutRequest::ordinary(racks)
    };
    let layout = lay_out(oven, mode, &request)?;
    let mut racks = request.racks;
    racks.sort_unstable();
    let side = (size.width.0, size.depth.0);
    let cavity = (oven.cavity.width.0, oven.cavity.depth.0);
    let free: Vec<Spot> = racks
        .iter()
        .flat_map(|r| Spot::everywhere(*r, side, cavity))
        .collect();
    let before = before(records, oven, mode, None)?;
    let (chosen, shows, full) = match &before {
        Some(before) => against(before, &racks, &free, (asked.count, &layout))?,
        None => (first_look(oven, &racks, &free, asked.count)?, None, None),
    };
    if chosen.len() < asked.count {
        return Err(CheckError::NoRoom(chosen.len()));
    }
    Ok(Places {
        mode,
        racks,
        slices: chosen.iter().map(slice_on).collect(),
        slice: size,
        known: before.map_or(Known::Nothing, |b| b.known),
        shows,
        full: (layout.slices.len(), full),
        layout,
    })
}

/// Chooses against what is known; returns the places, what they rule out, and what a full test does, shades.
fn against(
    before: &Before,
    racks: &[u8],
    free: &[Spot],
    (count, layout): (usize, &Layout),
) -> Result<(Vec<Spot>, Option<f64>, Option<f64>), CheckError> {
    let reading = reading_sd(before.view.by_eye);
    let Some(check) = before.view.fit.check(racks, free.to_vec(), reading) else {
        return Err(CheckError::NoRoom(0));
    };
    let chosen = check.choose(count);
    let spots = chosen.iter().map(|i| check.spots()[*i]).collect();
    let shows = check.hides(&chosen) / browning_per_shade();
    let side = free.first().map_or((10.0, 10.0), |s| (s.width, s.depth));
    let whole: Vec<Spot> = layout.slices.iter().map(|s| spot_of(s, side)).collect();
    let all: Vec<usize> = (0..whole.len()).collect();
    let full = before
        .view
        .fit
        .check(racks, whole, reading)
        .map(|c| c.hides(&all) / browning_per_shade());
    Ok((spots, Some(shows), full))
}

/// Chooses where nothing is known yet: by what is believed of ovens before any slice is toasted.
fn first_look(
    oven: &Oven,
    racks: &[u8],
    free: &[Spot],
    count: usize,
) -> Result<Vec<Spot>, CheckError> {
    let fit = believed(oven, racks)?;
    let Some(design) = fit.design(racks, free.to_vec(), reading_sd(true)) else {
        return Err(CheckError::NoRoom(0));
    };
    let all: Vec<usize> = (0..free.len()).collect();
    Ok(design
        .choose(&all, count)
        .into_iter()
        .map(|i| design.spots()[i])
        .collect())
}

/// Fits the field to slices so vague that they say nothing.
fn believed(oven: &Oven, racks: &[u8]) -> Result<Fit, CheckError> {
    let domain = domain_of(oven);
    let vague = |rack: u8, share: f64| Observation {
        rack,
        x: share * domain.width,
        y: share * domain.depth,
        width: 10.0,
        depth: 10.0,
        browning: 4.0 * browning_per_shade(),
        sd: VAGUE,
        bound: Bound::Exact,
        batch: 0,
        lean: None,
    };
    let slices: Vec<Observation> = racks
        .iter()
        .flat_map(|r| [0.3, 0.5, 0.7].map(|share| vague(*r, share)))
        .collect();
    Ok(field::fit(&slices, &domain, &priors_of(true))?)
}

/// Tells what a scored quick check, or any scored test, says beside the tests before it.
///
/// # Errors
/// [`CheckError`] where too little is scored, or nothing browned.
pub fn check(records: &Records, oven: &Oven, test: &ToastTest) -> Result<Checked, CheckError> {
    let scored = test.scored();
    if scored < SLICES.0 {
        return Err(CheckError::Unscored { scored });
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
    let slices: Vec<Seen> = seen
        .iter()
        .enumerate()
        .map(|(spot, (_, o))| Seen {
            spot,
            browning: o.browning,
            sd: o.sd,
            is_bound: o.bound != Bound::Exact,
        })
        .collect();
    let check = before.view.fit.check(&racks, spots, 0.0);
    let judged = check.as_ref().and_then(|c| c.judge(&slices, SEED));
    let judged = judged.ok_or(CheckError::Pale)?;
    let all: Vec<usize> = (0..slices.len()).collect();
    let level = check.as_ref().map_or(0.0, |c| c.level(&all));
    let part = part_of(&judged, oven, (level, before.view.sensitivity.per_c));
    let full = full_test(before, oven, test, &racks);
    let answer = match judged.verdict() {
        Verdict::AsBefore => Answer::AsBefore,
        Verdict::Changed => Answer::Changed,
        Verdict::CannotTell => Answer::CannotTell,
    };
    let at_most = judged.at_most / browning_per_shade();
    Ok(Checked {
        headline: headline(answer, &part, judged.chance),
        reasons: reasons(answer, oven, (&part, at_most), full),
        answer,
        known: before.known.clone(),
        part: Some(part),
        chance: Some(judged.chance),
        at_most: Some(at_most),
        scored: test.scored(),
    })
}

fn part_of(judged: &Judged, oven: &Oven, (level, per_c): (f64, f64)) -> PartChange {
    let per_shade = browning_per_shade();
    let cavity = oven.cavity;
    let ratio = ((level + judged.change) / level).max(0.05);
    PartChange {
        rack: judged.part.rack,
        place: PlaceName::of(judged.part.x, judged.part.y, cavity.width.0, cavity.depth.0),
        shades: (
            judged.change / per_shade,
            (judged.change - field::Z90 * judged.sd) / per_shade,
            (judged.change + field::Z90 * judged.sd) / per_shade,
        ),
        degrees: CelsiusDelta(ratio.ln() / per_c),
    }
}

/// Returns how many slices a full test of these rack positions has, and the change it would rule out, shades.
fn full_test(before: &Before, oven: &Oven, test: &ToastTest, racks: &[u8]) -> Option<(usize, f64)> {
    let size = test.bread.slice;
    let request = LayoutRequest {
        slice: size,
        ..LayoutRequest::ordinary(racks.to_vec())
    };
    let layout = lay_out(oven, test.setup.mode, &request).ok()?;
    let side = (size.width.0, size.depth.0);
    let spots: Vec<Spot> = layout.slices.iter().map(|s| spot_of(s, side)).collect();
    let all: Vec<usize> = (0..spots.len()).collect();
    let reading = reading_sd(before.view.by_eye);
    let check = before.view.fit.check(racks, spots, reading)?;
    Some((all.len(), check.hides(&all) / browning_per_shade()))
}

fn headline(answer: Answer, part: &PartChange, chance: f64) -> String {
    let place = part.place.title();
    let on = part
        .rack
        .map_or_else(String::new, |r| format!(" of rack {r}"));
    let how = if part.shades.0 > 0.0 {
        "hotter"
    } else {
        "cooler"
    };
    let lower = {
        let mut letters = place.chars();
        letters.next().map_or_else(String::new, |c| {
            c.to_lowercase().collect::<String>() + letters.as_str()
        })
    };
    match answer {
        Answer::AsBefore => "As before.".to_owned(),
        Answer::Changed => format!("Changed: {lower}{on} is {how}."),
        Answer::CannotTell if chance <= HINT => {
            format!("Can't tell yet; {lower}{on} may be {how}.")
        }
        Answer::CannotTell | Answer::First => "Can't tell yet.".to_owned(),
    }
}

/// Says why, and what to do next.
fn reasons(
    answer: Answer,
    oven: &Oven,
    (part, at_most): (&PartChange, f64),
    full: Option<(usize, f64)>,
) -> Vec<String> {
    let up = |shades: f64| (shades * 2.0).ceil() / 2.0;
    let more = full.map_or_else(String::new, |(count, shades)| {
        format!("A full test of {count} slices shows a change from {shades:.1} shades on.")
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
            let degrees = oven
                .dial
                .unit
                .show_delta(CelsiusDelta(part.degrees.0.abs()));
            let degrees = degrees.trim_start_matches('+');
            vec![
                format!("It differs by about {size:.1} shades ({lo:.1} to {hi:.1}), or {degrees}."),
                "Test this oven in full before the next bake that matters.".to_owned(),
                "Note the change in its record: then older tests no longer count.".to_owned(),
            ]
        }
        Answer::CannotTell | Answer::First => vec![
            format!("A change of up to {:.1} shades could hide here.", at_most),
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

/// Returns the newest scored test in a mode before `check`, itself left out.
fn newest_before<'k>(
    records: &'k Records,
    oven: &Oven,
    mode: Mode,
    check: Option<&ToastTest>,
) -> Option<&'k ToastTest> {
    let earlier = |t: &&ToastTest| {
        check.is_none_or(|c| t.id != c.id && (t.when, t.id.as_str()) <= (c.when, c.id.as_str()))
    };
    records
        .tests_of(&oven.id)
        .into_iter()
        .filter(earlier)
        .rfind(|t| t.setup.mode == mode && t.scored() > 0)
}

/// Maps the tests before a check; `None` where there are none, or they give no map.
fn before(
    records: &Records,
    oven: &Oven,
    mode: Mode,
    check: Option<&ToastTest>,
) -> Result<Option<Before>, CheckError> {
    let Some(newest) = newest_before(records, oven, mode, check) else {
        return Ok(None);
    };
    let earlier = |t: &&ToastTest| {
        check.is_none_or(|c| t.id != c.id && (t.when, t.id.as_str()) <= (c.when, c.id.as_str()))
    };
    let ids = tests_beside(records, newest)
        .into_iter()
        .filter(earlier)
        .map(|t| t.id.clone())
        .collect();
    let pool = Pool::choose(records, oven, &Which::These(ids));
    let view = match map_of(&pool, COARSE) {
        Ok(view) => view,
        Err(MapError::Field(_too_little)) => return Ok(None),
        Err(other) => return Err(other.into()),
    };
    let day = newest.when.date();
    let visit = oven
        .visits
        .iter()
        .filter(|v| v.when > newest.when && check.is_none_or(|c| v.when <= c.when))
        .max_by_key(|v| v.when);
    let known = visit.map_or(Known::Tests(day), |v| {
        Known::BeforeVisit(day, v.when.date())
    });
    Ok(Some(Before { view, known }))
}

fn middle_rack(oven: &Oven) -> Vec<u8> {
    let middle = oven.racks.len().div_ceil(2).saturating_sub(1);
    oven.racks
        .get(middle)
        .map(|r| r.number)
        .into_iter()
        .collect()
}

fn spot_of(slice: &Slice, (width, depth): (f64, f64)) -> Spot {
    Spot {
        rack: slice.rack,
        x: slice.place.x.0,
        y: slice.place.y.0,
        width,
        depth,
    }
}

fn spot_seen(o: &Observation) -> Spot {
    Spot {
        rack: o.rack,
        x: o.x,
        y: o.y,
        width: o.width,
        depth: o.depth,
    }
}

fn slice_on(spot: &Spot) -> Slice {
    Slice {
        rack: spot.rack,
        place: Place {
            x: Centimetres(spot.x),
            y: Centimetres(spot.y),
        },
        reading: Reading::Unscored,
    }
}

/// Standard error of a reading, B.
fn reading_sd(by_eye: bool) -> f64 {
    if by_eye {
        ROUNDING_SD_SHADE * browning_per_shade()
    } else {
        0.0
    }
}
