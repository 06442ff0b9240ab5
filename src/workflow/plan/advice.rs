//! The sentences beside a plan: what it rests on, what is not worth doing, what to leave empty.

use super::{Bake, Outcome, trade::clearance_note};
use crate::{
    field::{Evidence, Range},
    model::Oven,
    planner::{
        door::{DoorClock, DoorSource, Timeline},
        dose::{Dose, earlier},
        evenness::WORTH_AN_OPENING,
        placement::misfits,
        schedule::Schedule,
    },
    units::{Minutes, no_negative_zero},
};

/// Most places named to be left empty.
const MOST_PLACES: usize = 4;

impl Outcome<'_> {
    /// Writes every sentence, the ones that change what is done first.
    pub(super) fn advice(&self, pieces: &[Range]) -> Vec<String> {
        let mut out = vec![self.worth()];
        out.extend(self.timing());
        out.extend(self.empty_places(pieces));
        out.extend(self.single_tray());
        if let Some(openings) = self.ways.too_short_for {
            out.push(format!(
                "{openings} openings at least 2 min apart do not fit well into this bake, so fewer are planned."
            ));
        }
        if self.off_lowest {
            out.push(
                "The lowest rack position is left out: heat from below would burn a sugared base (common practice, no source)."
                    .to_owned(),
            );
        }
        out.push(self.rests_on());
        if self.gap > 0.03 {
            out.push(format!(
                "Not every shift was searched: another plan could be more even by a standard deviation of at most {:.2} shade.",
                self.gap
            ));
        }
        out.extend(common(
            self.oven,
            self.bake,
            self.best().timeline.openings.len(),
        ));
        out
    }

    fn best(&self) -> &Schedule {
        &self.ways.schedules[self.chosen]
    }

    /// Why this many openings.
    fn worth(&self) -> String {
        let last = self.verdicts.len() - 1;
        let (chosen, still) = (&self.verdicts[self.chosen], &self.verdicts[0]);
        if self.chosen == 0 {
            if last == 0 {
                return "No opening was allowed, so the trays stay where they go in.".to_owned();
            }
            let (gain, _) = self.verdicts[last].gain_over(still);
            return format!(
                "Turning does not help here: even {last} opening{} would make the standard deviation only {:.2} shade smaller, or not surely.",
                plural(last),
                no_negative_zero(gain.max(0.0), 2)
            );
        }
        let (gain, _) = chosen.gain_over(still);
        let used = self.best().timeline.openings.len();
        let minutes = self.best().timeline.bake.0 - self.bake.dose.bake().0;
        let text = format!(
            "{used} opening{} bring{} the standard deviation down by {gain:.2} shade and add{} {}.",
            plural(used),
            if used == 1 { "s" } else { "" },
            if used == 1 { "s" } else { "" },
            Minutes(minutes.max(0.0).round())
        );
        if self.chosen == last {
            return text;
        }
        let (more, _) = self.verdicts[last].gain_over(chosen);
        if more < 0.005 {
            return format!("{text} More openings would gain nothing.");
        }
        format!(
            "{text} More would gain {:.2} shade, not enough (under {WORTH_AN_OPENING} shade for each) or not surely.",
            no_negative_zero(more.max(0.0), 2)
        )
    }

    fn timing(&self) -> Vec<String> {
        timing(self.bake, &self.best().timeline)
    }

    /// Pieces that surely come out too dark or too light even so.
    fn empty_places(&self, pieces: &[Range]) -> Vec<String> {
        let tray = self.bake.request.tray;
        let list = misfits(&tray, pieces);
        let mut out: Vec<String> = list
            .iter()
            .take(MOST_PLACES)
            .map(|m| {
                let side = if m.shades.value > 0.0 { "darker" } else { "lighter" };
                format!(
                    "Leave a place empty on tray {}: row {} from the back, {} from the left ({}) comes out {:.1} shades {side} than the mean ({:+.1} to {:+.1}).",
                    m.tray,
                    m.row,
                    m.col,
                    m.place.words(),
                    m.shades.value.abs(),
                    m.shades.lo,
                    m.shades.hi
                )
            })
            .collect();
        if list.len() > MOST_PLACES {
            out.push(format!(
                "{} more places are as far off; fewer pieces, or another mode, would serve better.",
                list.len() - MOST_PLACES
            ));
        }
        out
    }

    /// Where a tray alone goes.
    fn single_tray(&self) -> Option<String> {
        let [at] = self.best().arrangements[0].as_slice() else {
            return None;
        };
        let spot = &self.space.spots[at.spot];
        let place = if spot.is_centred() {
            "in the middle".to_owned()
        } else {
            let lengths = self.oven.lengths;
            let (x, y) = spot.shift;
            let side =
                |v: f64, less: &'static str, more: &'static str| if v < 0.0 { less } else { more };
            let mut ways = Vec::new();
            if x.0 != 0.0 {
                let size = lengths.show(crate::units::Centimetres(x.0.abs()));
                ways.push(format!("{size} to the {}", side(x.0, "left", "right")));
            }
            if y.0 != 0.0 {
                let size = lengths.show(crate::units::Centimetres(y.0.abs()));
                ways.push(format!("{size} to the {}", side(y.0, "front", "back")));
            }
            ways.join(" and ")
        };
        Some(format!(
            "A tray alone is most even on rack position {}, {place}.",
            spot.rack
        ))
    }

    fn rests_on(&self) -> String {
        let between: Vec<String> = self
            .best()
            .arrangements
            .iter()
            .flatten()
            .map(|at| self.space.spots[at.spot].rack)
            .filter(|rack| {
                self.ground
                    .racks
                    .iter()
                    .any(|(n, e)| n == rack && *e == Evidence::Interpolated)
            })
            .collect::<std::collections::BTreeSet<u8>>()
            .iter()
            .map(u8::to_string)
            .collect();
        let text = format!(
            "It rests on {}; browning answers to heat by {}.",
            self.ground.basis,
            self.ground.sensitivity.source.words()
        );
        if between.is_empty() {
            return text;
        }
        format!(
            "{text} Rack position {} was not tested: its map is interpolated between its neighbours.",
            between.join(" and ")
        )
    }
}

/// What is said of a plan by custom.
pub(super) fn by_trade(oven: &Oven, bake: &Bake<'_>, best: &Timeline) -> Vec<String> {
    let trays = bake.request.trays;
    let place = match trays {
        1 => "one tray in the middle of the oven",
        2 => "two trays in the upper and lower thirds",
        _ => "three trays spaced evenly, which the trade avoids: bake fewer at once if you can",
    };
    let mut out = vec![format!(
        "Nothing was tested in this mode, so this is the trade's custom: {place} (common practice, no source). How even it comes out cannot be told; toast-test the rack positions you use."
    )];
    if trays == 1 {
        out.push("Turn the tray front to back once (common practice, no source).".to_owned());
    } else {
        out.push(
            "Swap the racks and turn every tray front to back once (common practice, no source)."
                .to_owned(),
        );
    }
    out.extend(timing(bake, best));
    out.extend(common(oven, bake, best.openings.len()));
    out
}

/// When the browning is half done, what half-time would do, and the same if the food browns earlier.
fn timing(bake: &Bake<'_>, best: &Timeline) -> Vec<String> {
    let dose = &bake.dose;
    let time = dose.bake();
    let half = dose.time_of(0.5);
    let mut out = vec![format!(
        "Half of the browning is done at {} of {time} ({:.0} % of the time); at half-time, {}, only {:.0} % is (modelled for {}).",
        nearest(half),
        half.0 / time.0 * 100.0,
        nearest_half(Minutes(time.0 / 2.0)),
        dose.share(Minutes(time.0 / 2.0)) * 100.0,
        bake.request.kind.name
    )];
    if best.openings.is_empty() {
        return out;
    }
    let sooner = Dose::new(&earlier(&bake.request.kind.curve), &bake.heat, time);
    let running: Vec<f64> = best
        .shares
        .iter()
        .take(best.openings.len())
        .scan(0.0, |sum, share| {
            *sum += share;
            Some(*sum)
        })
        .collect();
    let other = DoorClock::new(&sooner, &bake.door, &bake.heat).by_shares(&running);
    let list = |times: &[Minutes]| {
        let words: Vec<String> = times.iter().map(|t| nearest(*t).to_string()).collect();
        words.join(", ")
    };
    out.push(format!(
        "Should the food brown earlier than modelled (half of it by {} instead of {}), open at {} instead of {}.",
        nearest(sooner.time_of(0.5)),
        nearest(half),
        list(&other.openings),
        list(&best.openings)
    ));
    out
}

/// What holds for every plan.
fn common(oven: &Oven, bake: &Bake<'_>, openings: usize) -> Vec<String> {
    let mut out = Vec::new();
    if openings > 0 && bake.door.source == DoorSource::Default {
        let unit = oven.dial.unit;
        out.push(format!(
            "Each opening is priced by typical values, not by readings of this oven: {:.0} {} lost, coming back with a time constant of {}, open for {}; it costs {:.0} s of full browning besides.",
            unit.delta_figure(bake.door.drop),
            unit.letter(),
            bake.door.recovery,
            bake.door.open,
            bake.door.lost_full_rate(&bake.heat).seconds()
        ));
    }
    out.extend(clearance_note(oven, bake));
    out.extend(bake.setting.notes.iter().cloned());
    out
}

fn nearest(t: Minutes) -> Minutes {
    Minutes(t.0.round())
}

fn nearest_half(t: Minutes) -> Minutes {
    Minutes((t.0 * 2.0).round() / 2.0)
}

fn plural(n: usize) -> &'static str {
    if n == 1 { "" } else { "s" }
}
