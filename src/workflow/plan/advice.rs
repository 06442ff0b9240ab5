//! The sentences beside a plan: what it rests on, what is not worth doing, what to leave empty.

use super::{
    bake::Bake,
    notes::{clearance_note, door_note, uncorrected},
    outcome::{NEGLIGIBLE, Outcome},
    words::{ordinal, plural, said, said_whole},
};
use crate::{
    field::{Evidence, Range},
    model::{Oven, Warning, kinetics::equivalent_delta, text::listed},
    planner::{
        door::{DoorClock, DoorSource, Timeline},
        dose::{Dose, earlier},
        evenness::{LOOKS_ALIKE, Verdict, WORTH_AN_OPENING, WORTH_ONE_MORE},
        placement::misfits,
        schedule::{BETWEEN_OPENINGS, Schedule, earliest},
    },
    units::{CelsiusDelta, Minutes, no_negative_zero},
    workflow::catalogue::base_of,
};

/// A gain that may be less than this, shades, is told as one that may be.
const SHOWS: f64 = 0.05;
/// Most places named to be left empty.
const MOST_PLACES: usize = 4;
/// Rack positions whose mean differs by more than this from that of the tested ones are told, C (10 F, about
/// what a baker corrects by; common practice, no source).
const OFF_LEVEL_C: f64 = 10.0 / 1.8;
/// A plan not looked at must be more even by more than this, in shades, to be spoken of.
const SEARCH_CUT_SHORT: f64 = 0.02;

impl Outcome<'_> {
    /// Writes every sentence, the ones that change what is done first.
    pub(super) fn advice(&self, pieces: &[Range]) -> Vec<String> {
        let mut out = vec![self.worth()];
        out.extend(self.timing());
        out.extend(self.empty_places(pieces));
        out.extend(self.single_tray());
        if let Some(openings) = self.ways.too_short_for {
            out.push(format!(
                "{openings} opening{} at least {BETWEEN_OPENINGS} min apart {} not fit well into this bake, so fewer are planned.",
                plural(openings),
                if openings == 1 { "does" } else { "do" }
            ));
        }
        if self.off_lowest {
            out.push(
                "The lowest rack position is left out: heat from below would burn a sugared base."
                    .to_owned(),
            );
        }
        out.push(self.rests_on());
        if self.gap > NEGLIGIBLE + SEARCH_CUT_SHORT {
            out.push(format!(
                "The search was cut short: another plan could be more even by up to {:.2} shade from piece to piece.",
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

    /// Says so when the rack positions used brown unlike those that were tested, with figures.
    pub(super) fn off_level(&self) -> Option<Warning> {
        let best = self.best();
        let tested: Vec<usize> = self
            .space
            .sites()
            .into_iter()
            .filter(|site| {
                let rack = self.rack_of(*site);
                self.ground
                    .racks
                    .iter()
                    .any(|(n, e)| *n == rack && *e == Evidence::Tested)
            })
            .collect();
        let usual = self.space.mean_on(&tested);
        let used = best.arrangements.iter().zip(&best.timeline.shares).fold(
            0.0,
            |sum, (arrangement, share)| {
                let sites: Vec<usize> = arrangement
                    .iter()
                    .map(|at| self.space.spots[at.spot].site)
                    .collect();
                sum + share * self.space.mean_on(&sites)
            },
        );
        if !(used > 0.0 && usual > 0.0) {
            return None;
        }
        let off = equivalent_delta(used / usual, &self.ground.sensitivity);
        if off.0.abs() <= OFF_LEVEL_C {
            return None;
        }
        let racks = self.racks_used();
        let unit = self.oven.dial.unit;
        let other = tested
            .iter()
            .map(|site| {
                (
                    self.rack_of(*site),
                    (self.space.mean_on(&[*site]) - usual).abs(),
                )
            })
            .filter(|(rack, miss)| !racks.contains(rack) && *miss < (used - usual).abs())
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .filter(|_| self.bake.request.trays == 1)
            .map_or_else(String::new, |(rack, _)| {
                format!(", or bake on position {rack}")
            });
        Some(Warning::misleads(
            format!(
                "rack position{} {} brown{} on this map as if {:.0} {} {} than the positions tested together",
                plural(racks.len()),
                listed(&racks),
                if racks.len() == 1 { "s" } else { "" },
                unit.delta_figure(CelsiusDelta(off.0.abs())),
                unit.letter(),
                if off.0 < 0.0 { "cooler" } else { "hotter" },
            ),
            format!(
                "expect {}{other}",
                if off.0 < 0.0 { "paler" } else { "darker" }
            ),
        ))
    }

    fn rack_of(&self, site: usize) -> u8 {
        self.space
            .centred(site)
            .map_or(0, |spot| self.space.spots[spot].rack)
    }

    /// Returns the rack positions that are used, from the bottom.
    fn racks_used(&self) -> Vec<u8> {
        let used: std::collections::BTreeSet<u8> = self
            .best()
            .arrangements
            .iter()
            .flatten()
            .map(|at| self.space.spots[at.spot].rack)
            .collect();
        used.into_iter().collect()
    }

    /// Why this many openings, and what each of them brings.
    fn worth(&self) -> String {
        if self.verdicts.len() == 1 {
            return "No opening was allowed, so the trays stay where they go in.".to_owned();
        }
        // What does not fit into the bake was not weighed.
        let fitting = self.ways.too_short_for.unwrap_or(self.verdicts.len());
        if fitting <= 1 {
            return "The bake is too short to open the door, so the trays stay where they go in."
                .to_owned();
        }
        let last = fitting - 1;
        let each = Self::each_opening(&self.verdicts[..fitting], self.chosen > 0);
        let alike = self.verdicts[self.chosen].looks_alike();
        let surely = self.verdicts[self.chosen].surely_look_alike();
        let probably = if surely { "" } else { "probably " };
        if self.chosen == 0 {
            let why = if alike {
                format!("the pieces {probably}differ by less than {LOOKS_ALIKE} shade as they are")
            } else if last == 1 || self.verdicts[last].gain_over(&self.verdicts[1]) < 0.005 {
                format!("less than {WORTH_AN_OPENING} shade, which the open door costs again")
            } else {
                format!(
                    "the door costs {WORTH_AN_OPENING} shade, and {WORTH_ONE_MORE} for each opening more"
                )
            };
            let first = if self.verdicts[0].is_uneven() {
                "No turn evens it out"
            } else {
                "Nothing needs turning"
            };
            return format!("{first}: {each}; {why}.");
        }
        let used = self.best().timeline.openings.len();
        let minutes = Minutes(self.best().timeline.bake.0 - self.bake.dose.bake().0);
        let gain = self.verdicts[self.chosen].gain_told(&self.verdicts[0]);
        let pays = match (used, gain.lo < SHOWS) {
            (_, true) => "may pay",
            (1, false) => "pays",
            (_, false) => "pay",
        };
        let text = format!(
            "{used} opening{} {pays} and add{} {}: {each}.",
            plural(used),
            if used == 1 { "s" } else { "" },
            said_whole(minutes)
        );
        let more = self.verdicts[last].gain_over(&self.verdicts[self.chosen]);
        if self.chosen == last || more < 0.005 {
            return text;
        }
        if alike {
            return format!(
                "{text} More would not show: the pieces {probably}differ by less than {LOOKS_ALIKE} shade."
            );
        }
        format!("{text} More are not worth it (under {WORTH_ONE_MORE} shade for each).")
    }

    /// What each opening brings beyond the one before: `the first opening makes the pieces 0.25 shade more alike, the
    /// second 0.04`.
    ///
    /// With the interval of what the first brings where it is advised.
    fn each_opening(verdicts: &[Verdict], advised: bool) -> String {
        // Never rounded up to what it falls short of.
        let down = |gain: f64| (gain * 100.0 + 1e-9).floor() / 100.0;
        let gains: Vec<f64> = verdicts
            .windows(2)
            .map(|w| no_negative_zero(down(w[1].gain_over(&w[0]).max(0.0)), 2))
            .collect();
        let useful = gains.iter().rposition(|g| *g > 0.0).map_or(0, |i| i + 1);
        let mut words: Vec<String> = gains
            .iter()
            .take(useful.max(1))
            .enumerate()
            .map(|(i, gain)| {
                let nth = ordinal(i + 1);
                let told = verdicts[i + 1].gain_told(&verdicts[i]);
                match (i, told.lo < SHOWS) {
                    (0, _) if !advised => {
                        format!("the {nth} opening makes the pieces about {gain:.2} shade more alike")
                    }
                    (0, true) => format!(
                        "the {nth} opening may make the pieces up to {:.1} shade more alike",
                        told.hi
                    ),
                    (0, false) => format!(
                        "the {nth} opening makes the pieces {gain:.2} shade more alike ({:.1} to {:.1})",
                        told.lo, told.hi
                    ),
                    _ => format!("the {nth} about {gain:.2}"),
                }
            })
            .collect();
        if useful.max(1) < gains.len() {
            words.push("any further one nothing".to_owned());
        }
        words.join(", ")
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
                let size = lengths.show_roughly(crate::units::Centimetres(x.0.abs()));
                ways.push(format!("{size} to the {}", side(x.0, "left", "right")));
            }
            if y.0 != 0.0 {
                let size = lengths.show_roughly(crate::units::Centimetres(y.0.abs()));
                ways.push(format!("{size} to the {}", side(y.0, "front", "back")));
            }
            ways.join(" and ")
        };
        let free = match self.bake.request.racks.as_slice() {
            [] => "",
            _ => " on the racks that are free",
        };
        Some(format!(
            "The tray goes on rack position {}, {place}: on this map no other placement{free} that browns alike is more even by {NEGLIGIBLE} shade or more.",
            spot.rack
        ))
    }

    fn rests_on(&self) -> String {
        let mut between = self.racks_used();
        between.retain(|rack| {
            self.ground
                .racks
                .iter()
                .any(|(n, e)| n == rack && *e == Evidence::Interpolated)
        });
        let text = format!(
            "It rests on {}; browning answers to heat by {}.",
            self.ground.basis,
            self.ground.sensitivity.source.words()
        );
        if between.is_empty() {
            return text;
        }
        format!(
            "{text} Not tested, so only interpolated between neighbours: rack position{} {}.",
            plural(between.len()),
            listed(&between)
        )
    }
}

/// What is said of a plan by custom on the rack positions `racks`.
pub(super) fn by_trade(oven: &Oven, bake: &Bake<'_>, racks: &[u8], best: &Timeline) -> Vec<String> {
    let place = match racks.len() {
        1 => "one tray so that the food stands in the middle of the oven",
        2 => "two trays nearest a third and two thirds of the oven's height",
        _ => "three trays spaced evenly, which the trade avoids: bake fewer at once if you can",
    };
    let place = if bake.request.racks.is_empty() {
        format!(": {place},")
    } else {
        " as far as the free ones allow:".to_owned()
    };
    let mut out = vec![format!(
        "Nothing was tested in this mode that a plan could rest on, so this is the trade's custom{place} rack position{} {}. How even it comes out is not known; toast-test the rack positions you use.",
        plural(racks.len()),
        listed(racks)
    )];
    if !best.openings.is_empty() {
        let what = if racks.len() == 1 {
            "Turn the tray front to back once"
        } else {
            "Swap the racks and turn every tray front to back once"
        };
        out.push(format!("{what}, as is the custom."));
    } else if bake.request.max_openings > 0 {
        out.push(format!(
            "Leave the door shut: {} is too short for an opening with {BETWEEN_OPENINGS} min left after it.",
            said(best.bake)
        ));
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
        "Half of the browning is done at {} of {} ({:.0} % of the time); at half-time, {}, {} (modelled for {}).",
        said_whole(half),
        said(time),
        half.0 / time.0 * 100.0,
        said(Minutes(time.0 / 2.0)),
        share_words(dose.share(Minutes(time.0 / 2.0))),
        base_of(&bake.request.kind).name
    )];
    out.extend(left_alone(bake));
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
    let first = f64::from(earliest(bake.set_at()));
    let other = DoorClock::new(&sooner, &bake.door, &bake.heat).by_shares(&running);
    let list = |times: &[Minutes]| {
        let words: Vec<String> = times
            .iter()
            .map(|t| said_whole(Minutes(t.0.max(first))))
            .collect();
        words.join(", ")
    };
    let (now, then) = (list(&best.openings), list(&other.openings));
    if now != then {
        out.push(format!(
            "Should the food brown earlier than modelled (half of it by {} instead of {}), open at {then} instead of {now}.",
            said_whole(sooner.time_of(0.5)),
            said_whole(half),
        ));
    }
    out
}

/// Says until when the door stays shut, and why.
fn left_alone(bake: &Bake<'_>) -> Option<String> {
    let set = bake.request.kind.set_at.as_ref()?;
    Some(format!(
        "Keep the door shut before {}: {}.",
        said_whole(Minutes(f64::from(earliest(bake.set_at())))),
        set.reason
    ))
}

/// Says how much of the browning is done: `only 12 % of it is`.
fn share_words(share: f64) -> String {
    let percent = no_negative_zero(share * 100.0, 0);
    if percent < 1.0 {
        "none of it is".to_owned()
    } else if percent < 40.0 {
        format!("only {percent:.0} % of it is")
    } else {
        format!("{percent:.0} % of it is")
    }
}

/// What holds for every load alike.
pub(super) fn of_every_load(bake: &Bake<'_>) -> Vec<String> {
    let notes = bake.setting.notes.iter().cloned();
    left_alone(bake).into_iter().chain(notes).collect()
}

/// What holds for every plan.
fn common(oven: &Oven, bake: &Bake<'_>, openings: usize) -> Vec<String> {
    let mut out = Vec::new();
    if openings > 0 && bake.door.source == DoorSource::Default {
        let unit = oven.dial.unit;
        out.push(format!(
            "Each opening is priced by typical values, {}: {:.0} {} lost, two thirds of it back after {}, open for {}; it costs up to {:.0} s of full browning besides.",
            if bake.measured.door_unsure {
                "as what was read of this oven's door is not sure enough yet"
            } else {
                "not by readings of this oven"
            },
            unit.delta_figure(bake.door.drop),
            unit.letter(),
            said(bake.door.recovery),
            said(bake.door.open),
            bake.door.lost_full_rate(&bake.heat).seconds()
        ));
    }
    if openings > 0 {
        out.extend(door_note(oven, bake));
    }
    if let Some(offset) = &bake.measured.offset {
        out.extend(uncorrected(oven, bake, offset));
    }
    out.extend(clearance_note(oven, bake));
    out.extend(bake.setting.notes.iter().cloned());
    out
}
