//! From shares of the browning to openings of the door at whole minutes.
//!
//! The order of the segments does not matter to the browning, so they are put in the order that moves the
//! fewest trays; the trays are then named so that they go in unturned, tray 1 lowest. Times are whole
//! minutes, the resolution recipes are written in, with three minutes at least between openings; they are
//! adjusted together until no single change makes the bake more even.

use super::{
    door::{DoorClock, Timeline},
    search::{Arrangement, Handling, gram_between},
    simplex::Gram,
    space::Space,
};
use crate::{
    model::{Segment, TrayPlacement, shade::browning_per_shade},
    units::Minutes,
};

/// Least time between two openings, and before the first and after the last (common practice, no source).
pub const BETWEEN_OPENINGS: u32 = 3;
/// What moving one tray less is worth, as a standard deviation in shades: it only settles what is nearly equal.
const PRICE_OF_A_MOVE: f64 = 0.01;

/// Arrangements in order, with their times.
#[derive(Debug, Clone, PartialEq)]
pub struct Schedule {
    /// Arrangements in order; all trays of the first are unturned.
    pub arrangements: Vec<Arrangement>,
    /// Openings, shares of the browning, and length of the bake.
    pub timeline: Timeline,
    /// Variance of the browning over all pieces with these times, on the map itself, B squared.
    pub variance: f64,
}

/// Orders a handling and times it, with no opening before `set_at`; `None` when the bake is too short for that
/// many openings.
pub fn schedule(
    space: &Space,
    handling: &Handling,
    clock: &DoorClock<'_>,
    set_at: Minutes,
) -> Option<Schedule> {
    let first = earliest(set_at);
    let gram = gram_between(space, &handling.arrangements);
    let mut best: Option<(f64, Vec<usize>, Vec<u32>)> = None;
    for order in orders(handling.arrangements.len()) {
        let times = first_guess(clock, handling, &order, first)?;
        let variance = variance_at(clock, &gram, &order, &times);
        let moves = tray_moves(handling, &order) as f64;
        let price = variance.sqrt() / browning_per_shade() + PRICE_OF_A_MOVE * moves;
        if best.as_ref().is_none_or(|(p, ..)| price < p - 1e-9) {
            best = Some((price, order, times));
        }
    }
    let (_, order, times) = best?;
    let times = adjusted(clock, &gram, &order, times, first);
    let timeline = clock.at_minutes(&minutes(&times));
    let variance = gram.variance(&order, &timeline.shares);
    let ordered: Vec<&Arrangement> = order.iter().map(|i| &handling.arrangements[*i]).collect();
    Some(Schedule {
        arrangements: renamed(space, &ordered),
        timeline,
        variance,
    })
}

impl Schedule {
    /// Writes the schedule as segments of a plan.
    pub fn segments(&self, space: &Space) -> Vec<Segment> {
        let starts = std::iter::once(Minutes(0.0)).chain(self.timeline.openings.iter().copied());
        let ends = self
            .timeline
            .openings
            .iter()
            .copied()
            .chain([self.timeline.bake]);
        self.arrangements
            .iter()
            .zip(&self.timeline.shares)
            .zip(starts.zip(ends))
            .map(|((arrangement, share), (from, to))| Segment {
                from,
                to,
                share: *share,
                trays: placements(space, arrangement),
            })
            .collect()
    }
}

/// Writes an arrangement as placements of a plan.
pub fn placements(space: &Space, arrangement: &Arrangement) -> Vec<TrayPlacement> {
    (1..)
        .zip(arrangement)
        .map(|(tray, at)| {
            let spot = &space.spots[at.spot];
            TrayPlacement {
                tray,
                rack: spot.rack,
                turned: at.turned,
                shift_x: spot.shift.0,
                shift_y: spot.shift.1,
            }
        })
        .collect()
}

/// Names the trays so that the first arrangement has them unturned and rising.
fn renamed(space: &Space, arrangements: &[&Arrangement]) -> Vec<Arrangement> {
    let Some(first) = arrangements.first() else {
        return Vec::new();
    };
    let mut names: Vec<usize> = (0..first.len()).collect();
    names.sort_by_key(|tray| space.spots[first[*tray].spot].rack);
    arrangements
        .iter()
        .map(|arrangement| {
            names
                .iter()
                .map(|tray| {
                    let mut at = arrangement[*tray];
                    at.turned ^= first[*tray].turned;
                    at
                })
                .collect()
        })
        .collect()
}

/// Returns every order of `n` segments.
fn orders(n: usize) -> Vec<Vec<usize>> {
    let mut all = vec![Vec::new()];
    for _ in 0..n {
        all = all
            .into_iter()
            .flat_map(|order: Vec<usize>| {
                (0..n)
                    .filter(|i| !order.contains(i))
                    .map(|i| [order.clone(), vec![i]].concat())
                    .collect::<Vec<_>>()
            })
            .collect();
    }
    all
}

/// Counts the trays that are touched over all openings.
fn tray_moves(handling: &Handling, order: &[usize]) -> usize {
    order
        .windows(2)
        .map(|w| {
            let (a, b) = (&handling.arrangements[w[0]], &handling.arrangements[w[1]]);
            a.iter().zip(b).filter(|(x, y)| x != y).count()
        })
        .sum()
}

/// Rounds the times that the shares ask for, with the least time between openings.
fn first_guess(
    clock: &DoorClock<'_>,
    handling: &Handling,
    order: &[usize],
    first: u32,
) -> Option<Vec<u32>> {
    let mut running = Vec::with_capacity(order.len());
    let mut sum = 0.0;
    for segment in &order[..order.len() - 1] {
        sum += handling.shares[*segment];
        running.push(sum);
    }
    let asked = clock.by_shares(&running);
    let last = last_opening(asked.bake)?;
    let count = u32::try_from(running.len()).ok()?;
    let mut times = Vec::with_capacity(running.len());
    let mut from = first;
    for (i, t) in (0..count).zip(&asked.openings) {
        let until = last.checked_sub((count - 1 - i) * BETWEEN_OPENINGS)?;
        if from > until {
            return None;
        }
        let time = whole(*t).clamp(from, until);
        times.push(time);
        from = time + BETWEEN_OPENINGS;
    }
    Some(times)
}

/// Moves single openings by up to two minutes until nothing gets better.
fn adjusted(
    clock: &DoorClock<'_>,
    gram: &Gram,
    order: &[usize],
    mut times: Vec<u32>,
    first: u32,
) -> Vec<u32> {
    let mut least = variance_at(clock, gram, order, &times);
    loop {
        let mut better = false;
        for i in 0..times.len() {
            for by in [-2, -1, 1, 2] {
                let Some(changed) = changed(clock, &times, (i, by), first) else {
                    continue;
                };
                let variance = variance_at(clock, gram, order, &changed);
                if variance < least - 1e-15 {
                    (least, times, better) = (variance, changed, true);
                }
            }
        }
        if !better {
            return times;
        }
    }
}

/// Moves opening `i` by some minutes, if it keeps its distance from its neighbours and from both ends.
fn changed(
    clock: &DoorClock<'_>,
    times: &[u32],
    (i, by): (usize, i32),
    first: u32,
) -> Option<Vec<u32>> {
    let mut changed = times.to_vec();
    changed[i] = times[i].checked_add_signed(by)?;
    let last = last_opening(clock.at_minutes(&minutes(&changed)).bake)?;
    let apart = changed.windows(2).all(|w| w[1] >= w[0] + BETWEEN_OPENINGS);
    (apart && changed[0] >= first && changed[changed.len() - 1] <= last).then_some(changed)
}

fn variance_at(clock: &DoorClock<'_>, gram: &Gram, order: &[usize], times: &[u32]) -> f64 {
    gram.variance(order, &clock.at_minutes(&minutes(times)).shares)
}

/// Returns the first whole minute at which the door may be opened of a bake that must not be opened before `set_at`.
pub fn earliest(set_at: Minutes) -> u32 {
    whole(Minutes(set_at.0.ceil())).max(BETWEEN_OPENINGS)
}

fn last_opening(bake: Minutes) -> Option<u32> {
    whole(bake).checked_sub(BETWEEN_OPENINGS)
}

fn minutes(times: &[u32]) -> Vec<Minutes> {
    times.iter().map(|t| Minutes(f64::from(*t))).collect()
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "lengths of a bake are not negative and far below the largest count"
)]
fn whole(t: Minutes) -> u32 {
    t.0.max(0.0).round() as u32
}

#[cfg(test)]
mod tests;
