//! What came out, and what it teaches, in plain words; the same on screen and on the command line.

use super::{After, Compared, Level, What, agree::LEVEL, agree::Verdict, learn::OwnCurve};
use crate::units::Minutes;
use std::fmt::Write as _;

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
        let shade = self.shade;
        let mut out = format!(
            "shade {:.1} ({:.1} to {:.1}) on the whole",
            shade.value, shade.lo, shade.hi
        );
        let Some(wanted) = self.wanted else {
            return out;
        };
        let off = shade.value - wanted.value();
        let _ = write!(out, ", {off:+.1} from the {wanted} wanted");
        if (shade.lo..=shade.hi).contains(&wanted.value()) {
            out.push_str(": as wanted, as far as the scores can tell");
        } else if let Some(Minutes(m)) = self.minutes {
            let way = if m < 0.0 { "shorter" } else { "longer" };
            let _ = write!(out, ": next time about {:.1} min {way}", m.abs());
        }
        out
    }
}

impl After {
    /// Says how far the pattern was off, against what map and eye explain.
    pub fn pattern_words(&self) -> String {
        let surprising = self.places.iter().filter(|p| p.surprises()).count();
        format!(
            "{surprising} of {} places came out differently from the map; typically off by {:.1} shades, where {:.1} was to be expected",
            self.places.len(),
            self.pattern,
            self.pattern_expected
        )
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
                "Your last {bakes} bakes fit the map (as much by chance alone: {:.0} %).",
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
