//! What came out, and what it teaches, in plain words; the same on screen and on the command line.

use super::{After, Compared, Level, What, agree::LEVEL, agree::Verdict, learn::OwnCurve};
use crate::{numeric::normal::Z90, units::Minutes};
use std::fmt::Write as _;

/// A level known no better than over this many shades does not tell whether it is the one wanted.
const TELLS: f64 = 1.0;

impl Compared {
    /// Names the place: `tray 1, row 2, column 3`.
    pub fn name(&self) -> String {
        match self.what {
            What::Piece(row, col) => {
                format!("tray {}, row {}, column {}", self.tray, row + 1, col + 1)
            }
            What::WholeTray => format!("tray {}, all of it", self.tray),
        }
    }
}

impl Level {
    /// Says how dark it came out, and what would bring it to what was wanted.
    pub fn words(&self) -> String {
        let (shade, (burnt, of)) = (self.shade, self.burnt);
        if 2 * burnt > of {
            return self.words_of_burnt();
        }
        let figures = format!(
            "shade {:.1} ({:.1} to {:.1})",
            shade.value, shade.lo, shade.hi
        );
        let mut out = match burnt {
            0 => format!("On the whole {figures}"),
            _ => format!("Burnt: {burnt} of {of} scores, at 8 or above. The rest: {figures}"),
        };
        let Some(wanted) = self.wanted else {
            return out + ".";
        };
        let off = shade.value - wanted.value();
        if (shade.lo..=shade.hi).contains(&wanted.value()) && shade.hi - shade.lo > TELLS {
            let _ = write!(
                out,
                ": can't tell whether it is as dark as wanted ({wanted})."
            );
            return out;
        }
        if (shade.lo..=shade.hi).contains(&wanted.value()) {
            let _ = write!(out, ", as dark as wanted ({wanted}).");
            return out;
        }
        let way = if off < 0.0 { "lighter" } else { "darker" };
        let _ = write!(out, ", {:.1} {way} than the {wanted} wanted.", off.abs());
        if let Some(Minutes(m)) = self.minutes {
            let way = if m < 0.0 { "less" } else { "more" };
            let than = self.than();
            let _ = if m.abs() < 0.5 {
                write!(out, " Next time a little {way}{than}, under half a minute.")
            } else {
                write!(
                    out,
                    " Next time about {:.0} min {way}{than}.",
                    m.abs().max(1.0)
                )
            };
        }
        out
    }
}

impl Level {
    /// Says what the minutes are counted from: ` than the 14:20 min it was in`.
    fn than(&self) -> String {
        self.baked
            .map_or_else(String::new, |baked| format!(" than the {baked} it was in"))
    }

    /// Says it where most of it is burnt, so that only the least it may be is known.
    fn words_of_burnt(&self) -> String {
        let (burnt, of) = self.burnt;
        let least = self.shade.lo;
        let mut out = format!(
            "Burnt: {burnt} of {of} scores, at 8 or above. On the whole shade {least:.1} or darker"
        );
        match self.wanted {
            None => out.push('.'),
            Some(wanted) if wanted.value() < least => {
                let _ = write!(
                    out,
                    ", {:.1} or more darker than the {wanted} wanted.",
                    least - wanted.value()
                );
                if let Some(Minutes(m)) = self.minutes.filter(|m| m.0 <= -0.5) {
                    let least = m.abs().floor().max(1.0);
                    let _ = write!(
                        out,
                        " Next time at least {least:.0} min less{}.",
                        self.than()
                    );
                }
            }
            Some(wanted) => {
                let _ = write!(
                    out,
                    ": can't tell whether it is as dark as wanted ({wanted})."
                );
            }
        }
        out
    }
}

impl After {
    /// Returns how many places came out differently, and how many of them chance alone explains.
    fn surprising(&self) -> (usize, f64) {
        let n = self.places.len() as f64;
        let count = self.places.iter().filter(|p| p.surprises()).count();
        // One in ten is further off by chance; 95 % of such counts lie below the mean and 1.645 standard deviations.
        (count, 0.1 * n + Z90 * (0.09 * n).sqrt())
    }

    /// Says whether it came out as the map expected, in a dozen words.
    pub fn verdict(&self) -> String {
        if let Some(why) = &self.otherwise {
            return why.clone();
        }
        let ((count, chance), n) = (self.surprising(), self.places.len());
        match count {
            0 => "As the map expected.".to_owned(),
            _ if count as f64 <= chance => {
                format!("As the map expected, but for {count} of {n} pieces.")
            }
            _ => format!("{count} of {n} pieces came out differently from the map."),
        }
    }

    /// Says what the verdict rests on: each piece that came out differently, then the figures over all of them.
    pub fn why(&self) -> Vec<String> {
        let named = self.places.iter().filter(|p| p.surprises()).map(|p| {
            let way = if p.off() < 0.0 { "lighter" } else { "darker" };
            let least = if super::is_burnt(p.actual) {
                "at least "
            } else {
                ""
            };
            format!(
                "{}: {least}{:.1} shades {way} than expected ({:.1}, between {:.1} and {:.1}).",
                p.name(),
                p.off().abs(),
                p.expected.value,
                p.expected.lo,
                p.expected.hi
            )
        });
        let mut said: Vec<String> = named.collect();
        said.push(self.figures());
        said
    }

    /// Says how far the pieces were off, against what map and eye explain.
    fn figures(&self) -> String {
        if self.otherwise.is_some() {
            return "The plan expected each piece at its own times, and these were others."
                .to_owned();
        }
        format!(
            "Typically off by {:.1} shades, where {:.1} was to be expected; by chance alone one piece in ten is marked.",
            self.pattern, self.pattern_expected
        )
    }

    /// Says the verdict and the figures behind it.
    pub fn pattern_words(&self) -> String {
        format!("{} {}", self.verdict(), self.figures())
    }
}

impl Verdict {
    /// Says what the bakes say of the map, and what can be done about it.
    pub fn words(&self) -> String {
        match self {
            Self::TooLittle { bakes, pairs } => format!(
                "Can't tell yet whether the map is right: scored bakes {bakes} of 3, places scored in two of them {pairs} of 12."
            ),
            Self::Fits { bakes, p } => format!(
                "Your last {bakes} bakes say nothing against the map (as much by chance alone: {:.0} %).",
                p * 100.0
            ),
            Self::Off {
                bakes,
                p,
                place: (rack, place),
                by,
            } => {
                let way = if *by < 0.0 { "lighter" } else { "darker" };
                let (place, off) = (place.words(), by.abs());
                let (chance, level) = (p * 100.0, LEVEL * 100.0);
                format!(
                    "Your last {bakes} bakes disagree with the map: rack {rack}, {place}, comes out {off:.1} shades {way} than it says. Toast-test again, or let these bakes count for the map (fold). By chance alone: {chance:.1} %, said below {level:.0} %."
                )
            }
        }
    }
}

impl OwnCurve {
    /// Says in a plan that turn times follow this baker's own curve.
    pub fn advice(&self) -> String {
        let half = self.refit.half;
        format!(
            "Turn times follow your own curve, {}: half of the browning is done at {:.0} % of the time ({:.0} to {:.0} %; by the default {:.0} %).",
            self.evidence(),
            half.value * 100.0,
            half.lo * 100.0,
            half.hi * 100.0,
            self.refit.half_before.value * 100.0
        )
    }

    /// Says when the kind called `name` browns in this kitchen, against the default, and whether that is enough.
    pub fn words(&self, name: &str) -> String {
        let refit = &self.refit;
        let at = |share: f64| self.usual.0 * share;
        let mut out = format!(
            "{name}, {}: half of the browning is done at {:.1} min of {} ({:.1} to {:.1}).\n",
            self.evidence(),
            at(refit.half.value),
            self.usual,
            at(refit.half.lo),
            at(refit.half.hi)
        );
        let _ = writeln!(
            out,
            "By the default curve alone: {:.1} min ({:.1} to {:.1}).",
            at(refit.half_before.value),
            at(refit.half_before.lo),
            at(refit.half_before.hi)
        );
        if refit.is_enough() {
            out.push_str("Plans of this kind use your own curve from now on.\n");
        } else {
            let _ = writeln!(
                out,
                "Not enough yet: the bakes removed {:.0} % of the doubt, and 50 % is needed. Plans stay on the default; pull pieces at two or three times near the end and score them.",
                refit.learned * 100.0
            );
        }
        if refit.scatter > 1.5 {
            let _ = writeln!(
                out,
                "The pieces differ {:.1} times as much as eye and map explain; the range is widened for it.",
                refit.scatter
            );
        }
        out
    }
}
