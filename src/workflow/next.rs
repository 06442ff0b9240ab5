//! Which slices to toast next, so that the map of a rack position gets sharper.

use crate::{
    field::{Design, Fit, LEAST_AIR, Spot},
    model::{
        Place, Reading, Slice,
        shade::{ROUNDING_SD_SHADE, browning_per_shade},
        worded::worded,
    },
    units::Centimetres,
};

/// A test that leaves more than this share of the doubt hardly helps.
const HARDLY: f64 = 0.85;

worded! {
    /// How a next test could be laid out.
    pub enum Way [words] {
        /// The same places once more.
        Again: "the same places again";
        /// The same lay-out moved by half a slice.
        Shifted: "all slices moved by half a slice";
        /// The places that tell most, chosen one by one.
        Chosen: "the most telling places";
    }
}

/// One way to lay out the next test, and what it would bring.
#[derive(Debug, Clone, PartialEq)]
pub struct NextTest {
    /// How it is laid out.
    pub way: Way,
    /// Where its slices go, unscored, in reading order.
    pub slices: Vec<Slice>,
    /// What the map is good to afterwards, shades (half the typical 90 % interval).
    pub then: f64,
}

/// What another test would bring to some rack positions.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlook {
    /// What the map is good to now, shades (half the typical 90 % interval).
    pub now: f64,
    /// Ways to go on, the one that helps most first.
    pub ways: Vec<NextTest>,
}

impl Outlook {
    /// Says what the best way would bring, and what the others would.
    pub fn sentences(&self) -> Vec<String> {
        let Some(best) = self.ways.first() else {
            return Vec::new();
        };
        let mut out = vec![match self.best() {
            Some(_) => format!(
                "Lay the next test on {}: the map is then good to {:.2} shade.",
                best.way.words(),
                best.then
            ),
            None if best.slices.len() < FEW => format!(
                "Another test of so few places would add little (now good to {:.2} shade): lay out twelve.",
                self.now
            ),
            None => format!(
                "Another test would add little to this map (now good to {:.2} shade).",
                self.now
            ),
        }];
        let others = self.ways.iter().skip(1);
        let others: Vec<String> = others
            .map(|w| format!("{} {:.2}", w.way.words(), w.then))
            .collect();
        if !others.is_empty() {
            out.push(format!(
                "Now it is good to {:.2} shade; {}.",
                self.now,
                others.join("; ")
            ));
        }
        out
    }

    /// Returns the best way to go on, where it helps at all.
    pub fn best(&self) -> Option<&NextTest> {
        self.ways.first().filter(|w| w.then < HARDLY * self.now)
    }
}

/// Fewer slices on a rack than this leave much open.
pub(super) const FEW: usize = 8;

/// What the slices of a next test are like.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Bread {
    width: f64,
    depth: f64,
    /// Cavity, cm.
    cavity: (f64, f64),
}

impl Bread {
    fn spot(&self, rack: u8, x: f64, y: f64) -> Spot {
        Spot::new(rack, x, y, self.width, self.depth)
    }

    /// Whether a slice lies in the cavity with air to its walls.
    fn inside(&self, s: &Spot) -> bool {
        let fits = |at: f64, side: f64, whole: f64| {
            let near = LEAST_AIR + side / 2.0 - 1e-9;
            at >= near && at <= whole - near
        };
        fits(s.x, self.width, self.cavity.0) && fits(s.y, self.depth, self.cavity.1)
    }
}

/// Tells what another test on rack position `rack` would bring, by repeating the last and by moving it.
///
/// `None` where the rack position was not tested.
pub fn outlook(fit: &Fit, by_eye: bool, rack: u8) -> Option<Outlook> {
    ways_on(fit, by_eye, &[rack], None)
}

/// Lays out the next test of `racks` in every way there is, the most telling `count` places on all of them
/// together among them; as many as in the last test when `None`.
///
/// `None` where a rack position was not tested.
pub fn next_test(fit: &Fit, by_eye: bool, racks: &[u8], count: Option<usize>) -> Option<Outlook> {
    let last = racks.iter().map(|r| fit.lain(*r).len()).sum();
    ways_on(fit, by_eye, racks, Some(count.unwrap_or(last)))
}

fn ways_on(fit: &Fit, by_eye: bool, racks: &[u8], chosen: Option<usize>) -> Option<Outlook> {
    let before: Vec<Spot> = racks.iter().flat_map(|r| fit.lain(*r)).collect();
    let bread = bread_of(fit, &before)?;
    let again = 0..before.len();
    let mut spots = before;
    spots.extend(shifted(&spots, &bread));
    let moved = again.end..spots.len();
    if chosen.is_some() {
        let size = (bread.width, bread.depth);
        let all = |&rack| Spot::everywhere(rack, size, bread.cavity);
        spots.extend(racks.iter().flat_map(all));
    }
    let design = fit.design(racks, spots, reading_sd(by_eye))?;
    let mut ways = vec![way(&design, Way::Again, again.collect())];
    if !moved.is_empty() {
        ways.push(way(&design, Way::Shifted, moved.clone().collect()));
    }
    if let Some(count) = chosen {
        let free: Vec<usize> = (moved.end..design.spots().len()).collect();
        ways.push(way(&design, Way::Chosen, design.choose(&free, count)));
    }
    ways.sort_by(|a, b| a.then.total_cmp(&b.then));
    Some(Outlook {
        now: design.now() / browning_per_shade(),
        ways,
    })
}

fn way(design: &Design, way: Way, chosen: Vec<usize>) -> NextTest {
    let then = design.after(&chosen) / browning_per_shade();
    let slices = chosen.into_iter().map(|i| {
        let s = design.spots()[i];
        Slice {
            rack: s.rack,
            place: Place::new(Centimetres(s.x), Centimetres(s.y)),
            reading: Reading::Unscored,
        }
    });
    NextTest {
        way,
        slices: slices.collect(),
        then,
    }
}

/// Moves a lay-out by half a slice, towards the side where there is room.
fn shifted(before: &[Spot], bread: &Bread) -> Vec<Spot> {
    let (dx, dy) = (bread.width / 2.0, bread.depth / 2.0);
    let moves = [
        (dx, dy),
        (-dx, dy),
        (dx, -dy),
        (-dx, -dy),
        (dx, 0.0),
        (-dx, 0.0),
        (0.0, dy),
        (0.0, -dy),
    ];
    let all = moves.into_iter().map(|(dx, dy)| -> Vec<Spot> {
        before
            .iter()
            .map(|s| bread.spot(s.rack, s.x + dx, s.y + dy))
            .collect()
    });
    all.into_iter()
        .find(|spots| spots.iter().all(|s| bread.inside(s)))
        .unwrap_or_default()
}

fn bread_of(fit: &Fit, before: &[Spot]) -> Option<Bread> {
    let domain = fit.domain();
    let first = before.first()?;
    Some(Bread {
        width: first.width,
        depth: first.depth,
        cavity: (domain.width, domain.depth),
    })
}

/// Standard error of a reading, B.
fn reading_sd(by_eye: bool) -> f64 {
    if by_eye {
        ROUNDING_SD_SHADE * browning_per_shade()
    } else {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A map warns of a rack position scored in fewer than eight places: the advice beside it asks for more of them.
    #[test]
    fn of_few_places_more_are_asked_for() {
        let said = |slices: usize| {
            let slice = Slice {
                rack: 2,
                place: Place::new(Centimetres(10.0), Centimetres(10.0)),
                reading: Reading::Unscored,
            };
            let outlook = Outlook {
                now: 0.3,
                ways: vec![NextTest {
                    way: Way::Again,
                    slices: vec![slice; slices],
                    then: 0.299,
                }],
            };
            assert!(outlook.best().is_none());
            outlook.sentences().join(" ")
        };
        assert!(said(6).contains("lay out twelve"), "{}", said(6));
        assert!(said(12).contains("add little to this map"), "{}", said(12));
    }
}
