//! Where the slices of a quick check go: where a change would show most.

use super::known::{
    Before, CheckError, Known, SLICES, UNSEEN, before, newest_before, reading_sd, with_full,
};
use crate::{
    field::{self, Bound, Fit, Observation, Spot},
    model::{
        Bread, Mode, Oven, Place, Reading, Setup, Slice, SliceSize, ToastTest,
        shade::browning_per_shade, text::joined,
    },
    units::{Celsius, Centimetres, Minutes},
    workflow::{
        ground::mode_of,
        kitchen::{Kitchen, Records},
        layout::{Layout, LayoutRequest, Took, lay_out},
        observe::{domain_of, priors_of},
        toasting::took_before,
    },
};
use jiff::civil::DateTime;

/// Slices of a quick check where nothing else is asked for.
pub const USUAL_SLICES: usize = 6;
/// An observation as vague as this says nothing: what is believed before any slice is toasted, B.
const VAGUE: f64 = 10.0;

/// What is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct CheckRequest {
    /// How it heats; the oven's first mode when `None`.
    pub mode: Option<Mode>,
    /// Rack positions; the middle one of the newest test's, else of the oven's, when empty.
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
    /// How long the last test at this dial took.
    pub took: Option<Took>,
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
        let plural = if self.racks.len() == 1 { "" } else { "s" };
        let unit = oven.dial.unit;
        let mut said = vec![
            format!(
                "Lay {} slices on rack{plural} {}, {}, dial at {}.",
                self.slices.len(),
                joined(&self.racks, " and "),
                self.mode.words(),
                unit.show(self.layout.dial)
            ),
            self.known.sentence(),
            format!(
                "Toasting: {}.",
                self.layout.minutes_words(self.took.as_ref())
            ),
        ];
        match self.shows {
            Some(shows) if shows <= UNSEEN => {
                said.push(format!(
                    "Changes under about {shows:.1} shades may not show."
                ));
                if shows * browning_per_shade() > field::TELLING {
                    said.push(
                        "Too little is known of this oven for them to say 'as before'.".to_owned(),
                    );
                }
            }
            Some(_) => said.push("They leave parts unseen: take more, or one rack.".to_owned()),
            None => {}
        }
        let (count, full) = self.full;
        said.push(match full {
            Some(full) => {
                format!("With a full test of {count} slices too: under about {full:.1} shades.")
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
            note: crate::model::CHECK_NOTE.to_owned(),
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
        (true, Some(test)) => middle_of(&test.setup.racks),
        (true, None) => middle_of(&oven.racks.iter().map(|r| r.number).collect::<Vec<_>>()),
    };
    let size = asked
        .slice
        .or(newest.map(|t| t.bread.slice))
        .unwrap_or(SliceSize::ORDINARY);
    let request = LayoutRequest {
        slice: size,
        dial: asked.dial.or(newest
            .map(|t| t.setup.dial)
            .filter(|t| oven.dial.reaches(*t))),
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
    let chosen = match &before {
        Some(before) => against(before, &racks, &free, (asked.count, &layout))?,
        None => Chosen {
            spots: first_look(oven, &racks, &free, asked.count)?,
            shows: None,
            full: None,
        },
    };
    if chosen.spots.len() < asked.count {
        return Err(CheckError::NoRoom(chosen.spots.len()));
    }
    let took = took_before(records, &oven.id, (mode, layout.dial), &racks);
    Ok(Places {
        mode,
        racks,
        slices: chosen.spots.iter().map(slice_on).collect(),
        slice: size,
        known: before.map_or(Known::Nothing, |b| b.known),
        shows: chosen.shows,
        full: (layout.slices.len(), chosen.full),
        took,
        layout,
    })
}

/// Places chosen against what is known, and the smallest change, shades, that they rule out, and with a full test.
struct Chosen {
    spots: Vec<Spot>,
    shows: Option<f64>,
    full: Option<f64>,
}

/// Chooses against what is known.
fn against(
    before: &Before,
    racks: &[u8],
    free: &[Spot],
    (count, layout): (usize, &Layout),
) -> Result<Chosen, CheckError> {
    let reading = reading_sd(before.view.by_eye);
    let Some(check) = before.view.fit.check(racks, free.to_vec(), reading) else {
        return Err(CheckError::NoRoom(0));
    };
    let chosen = check.choose(count);
    let spots: Vec<Spot> = chosen.iter().map(|i| check.spots()[*i]).collect();
    let shows = check.hides(&chosen) / browning_per_shade();
    let full = with_full(before, racks, (&spots, &layout.slices));
    Ok(Chosen {
        spots,
        shows: Some(shows),
        full,
    })
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

/// Returns the middle one of some rack positions: few slices tell most of one.
fn middle_of(racks: &[u8]) -> Vec<u8> {
    let middle = racks.len().div_ceil(2).saturating_sub(1);
    racks.get(middle).copied().into_iter().collect()
}

fn slice_on(spot: &Spot) -> Slice {
    Slice {
        rack: spot.rack,
        place: Place::new(Centimetres(spot.x), Centimetres(spot.y)),
        reading: Reading::Unscored,
    }
}
