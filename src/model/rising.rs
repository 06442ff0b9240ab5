//! A baker's own dough: its known time, and how it rose whenever it was looked at.

use super::worded::worded;
use super::{
    dough::Dough,
    id::{DoughId, OvenId},
    moment::Moment,
};
use crate::units::{Celsius, CelsiusDelta, Minutes};

worded! {
    /// How far a dough has grown, as a baker says it.
    #[derive(PartialOrd, Ord)]
    pub enum Grown [key, words] {
        /// By a quarter.
        Quarter: "quarter", "grown by a quarter";
        /// By half.
        Half: "half", "grown by half";
        /// By three quarters.
        ThreeQuarters: "three-quarters", "grown by three quarters";
        /// To twice its size: risen.
        Doubled: "doubled", "doubled";
    }
}

impl Grown {
    /// Returns the share of the whole rise, to twice the size, that has gone on.
    pub fn share(self) -> f64 {
        match self {
            Self::Quarter => 0.25,
            Self::Half => 0.5,
            Self::ThreeQuarters => 0.75,
            Self::Doubled => 1.0,
        }
    }
}

/// A look at a dough while it rises.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DoughLook {
    /// How long it had been rising.
    pub after: Minutes,
    /// How far it had grown.
    pub grown: Grown,
}

/// One time that a dough was put to rise.
#[derive(Debug, Clone, PartialEq)]
pub struct RiseLog {
    /// When it went in.
    pub started: Moment,
    /// The oven it rose in; `None` for any other warm place.
    pub oven: Option<OvenId>,
    /// What the oven was set to, or how warm the place was said to be.
    pub set: Celsius,
    /// How warm the air truly was, by what was known then.
    pub air: Celsius,
    /// Half the width of its 90 % interval.
    pub air_doubt: CelsiusDelta,
    /// How warm the dough was when it went in.
    pub start: Celsius,
    /// The looks at it, in the order they were taken.
    pub looks: Vec<DoughLook>,
    /// How long it rose, once it was taken out.
    pub ended: Option<Minutes>,
}

/// A dough that is made again and again.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnDough {
    /// Its id.
    pub id: DoughId,
    /// Its name, in the baker's words.
    pub name: String,
    /// What makes it rise.
    pub leaven: Dough,
    /// How long it takes to double.
    pub known: Minutes,
    /// How warm the dough is then.
    pub known_at: Celsius,
    /// Weight of one piece, grams.
    pub grams: f64,
    /// Every time it was put to rise, oldest first.
    pub rises: Vec<RiseLog>,
    /// Free words.
    pub note: String,
}

impl OwnDough {
    /// Returns the rise that is going on.
    pub fn rising(&self) -> Option<&RiseLog> {
        self.rises.last().filter(|r| r.ended.is_none())
    }

    /// Returns the same, to be changed.
    pub fn rising_mut(&mut self) -> Option<&mut RiseLog> {
        self.rises.last_mut().filter(|r| r.ended.is_none())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_step_is_found_by_its_word_and_the_shares_rise() {
        for grown in Grown::ALL {
            assert_eq!(Grown::from_key(grown.key()), Some(grown));
        }
        let shares = Grown::ALL.map(Grown::share);
        assert!(shares.is_sorted() && (shares[3] - 1.0).abs() < 1e-12);
        assert_eq!(Grown::from_key("huge"), None);
    }
}
