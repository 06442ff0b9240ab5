//! What all kinds of things on record have in common: a list with an order, an id, perhaps a name.

use crate::{
    model::{
        AirRound, BakeLog, Oven, Recipe, Thermometer, ToastTest, day::BakingDay, rising::OwnDough,
    },
    store::{Contents, Stored},
};
use std::cmp::Ordering;

pub(super) trait Kept: Stored {
    /// Whether its list goes by time, oldest first, rather than by id.
    const BY_TIME: bool;

    fn list(contents: &Contents) -> &[Self];

    fn list_mut(contents: &mut Contents) -> &mut Vec<Self>;

    fn order(&self, other: &Self) -> Ordering;

    /// Returns what the baker calls it, where it has a name.
    fn name(&self) -> Option<&str>;
}

macro_rules! kept {
    ($($kind:ident: $list:ident, $by_time:literal $when:expr, $name:expr;)+) => {
        $(impl Kept for $kind {
            const BY_TIME: bool = $by_time;

            fn list(contents: &Contents) -> &[Self] {
                &contents.$list
            }

            fn list_mut(contents: &mut Contents) -> &mut Vec<Self> {
                &mut contents.$list
            }

            fn order(&self, other: &Self) -> Ordering {
                let when: fn(&Self) -> _ = $when;
                (when(self), self.id()).cmp(&(when(other), other.id()))
            }

            fn name(&self) -> Option<&str> {
                let name: fn(&Self) -> Option<&String> = $name;
                name(self).map(String::as_str)
            }
        })+
    };
}

kept! {
    Oven: ovens, false |_| (), |o| Some(&o.name);
    ToastTest: tests, true |t| t.when, |_| None;
    BakeLog: bakes, true |b| b.started, |_| None;
    AirRound: rounds, true AirRound::span, |_| None;
    Thermometer: thermometers, false |_| (), |t| Some(&t.name);
    Recipe: recipes, false |_| (), |r| Some(&r.name);
    OwnDough: doughs, false |_| (), |d| Some(&d.name);
    BakingDay: days, true |d| d.begun, |_| None;
}
