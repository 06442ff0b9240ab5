//! Many trays, a few at a time: in which loads, in which oven, so that all are out soonest.
//!
//! An oven bakes loads one after another. The first goes into settled air; each later one waits until the load before
//! it is out, the air is back, and it is put in itself. What these take is handed in, from the plan of each load and its
//! door figures ([`super::door`]). The search is exact: for every oven the least time for every number of trays, by
//! the load that came last, then every way to share the trays out among the ovens.

/// Most trays that are planned in batches.
pub const MOST_IN_BATCHES: usize = 12;
/// Two ways whose ends differ by less than this are as soon, minutes.
const SAME: f64 = 1e-9;

/// What one load takes in one oven.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    /// Trays in it.
    pub trays: usize,
    /// Minutes in an oven that holds.
    pub first: f64,
    /// Minutes where it follows another load.
    pub later: f64,
    /// Minutes the door stands open to put it in, and again to take it out.
    pub handling: f64,
    /// Minutes after it is out until the air is back.
    pub wait: f64,
    /// How uneven it comes out, shades; 0 where that is not known.
    pub uneven: f64,
}

/// An oven in one mode: the loads it can take.
pub type Way = Vec<Load>;

/// One load in the sequence.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Batch {
    /// Which oven, from 0.
    pub oven: usize,
    /// Which of its ways.
    pub way: usize,
    /// Which load of that way.
    pub load: usize,
    /// Minutes from the start at which its door shuts.
    pub start: f64,
    /// Minutes from the start at which it is done.
    pub end: f64,
}

/// The whole sequence.
#[derive(Debug, Clone, PartialEq)]
pub struct Sequence {
    /// Every load, by its start.
    pub batches: Vec<Batch>,
    /// Minutes until the last is done.
    pub total: f64,
    /// How uneven the worst load comes out, shades.
    pub worst: f64,
}

/// Returns the minutes between the end of one load and the start of the next in the same oven.
pub fn between(out: &Load, into: &Load) -> f64 {
    out.handling + out.wait + into.handling
}

/// One oven's loads for some number of trays, and when they are done.
#[derive(Debug, Clone, PartialEq)]
struct Chain {
    way: usize,
    loads: Vec<usize>,
    end: f64,
}

impl Chain {
    /// Sooner, or as soon with fewer loads.
    fn beats(&self, other: &Self) -> bool {
        self.end < other.end - SAME
            || (self.end <= other.end + SAME && self.loads.len() < other.loads.len())
    }
}

/// Finds the sequence that has all `trays` out soonest, no load less even than `least_even`; among the soonest, the
/// one whose worst load is the most even. `ovens` lists the ways of each oven.
///
/// `None` where the loads allowed cannot make up so many trays.
pub fn sequence(ovens: &[Vec<Way>], trays: usize, least_even: f64) -> Option<Sequence> {
    let soonest = with_limit(ovens, trays, least_even)?;
    let loads = ovens.iter().flatten().flatten();
    let mut limits: Vec<f64> = loads
        .map(|l| l.uneven)
        .filter(|u| *u < soonest.worst)
        .collect();
    limits.sort_by(f64::total_cmp);
    limits
        .into_iter()
        .filter_map(|limit| with_limit(ovens, trays, limit))
        .find(|found| found.total <= soonest.total + SAME)
        .or(Some(soonest))
}

/// The soonest sequence with loads no less even than `limit`.
fn with_limit(ovens: &[Vec<Way>], trays: usize, limit: f64) -> Option<Sequence> {
    let chains: Vec<Vec<Option<Chain>>> = ovens
        .iter()
        .map(|ways| chains_of(ways, trays, limit))
        .collect();
    // Trays given to the ovens so far -> end of the latest, and trays of each oven.
    let mut shared: Vec<Option<(f64, usize, Vec<usize>)>> = vec![None; trays + 1];
    shared[0] = Some((0.0, 0, Vec::new()));
    for oven in &chains {
        let mut next: Vec<Option<(f64, usize, Vec<usize>)>> = vec![None; trays + 1];
        for (before, found) in shared.iter().enumerate() {
            let Some((end, loads, split)) = found else {
                continue;
            };
            for (more, chain) in oven.iter().enumerate().take(trays + 1 - before) {
                let Some(chain) = chain else { continue };
                let candidate = (end.max(chain.end), loads + chain.loads.len());
                let better = next[before + more].as_ref().is_none_or(|(e, l, _)| {
                    candidate.0 < e - SAME || (candidate.0 <= e + SAME && candidate.1 < *l)
                });
                if better {
                    let split = split.iter().copied().chain([more]).collect();
                    next[before + more] = Some((candidate.0, candidate.1, split));
                }
            }
        }
        shared = next;
    }
    let (total, _, split) = shared.pop().flatten()?;
    Some(laid_out(ovens, &chains, &split, total))
}

/// The soonest chain of loads of one oven for every number of trays, 0 included.
fn chains_of(ways: &[Way], trays: usize, limit: f64) -> Vec<Option<Chain>> {
    let mut best: Vec<Option<Chain>> = vec![None; trays + 1];
    best[0] = Some(Chain {
        way: 0,
        loads: Vec::new(),
        end: 0.0,
    });
    for (number, way) in ways.iter().enumerate() {
        // By the load that came last: what follows depends on that alone.
        let mut by_last: Vec<Vec<Option<Chain>>> = vec![vec![None; way.len()]; trays + 1];
        for done in 1..=trays {
            for (i, load) in way.iter().enumerate() {
                if load.uneven > limit || load.trays > done || load.trays == 0 {
                    continue;
                }
                let alone = (load.trays == done).then(|| Chain {
                    way: number,
                    loads: vec![i],
                    end: load.first,
                });
                let after = by_last[done - load.trays]
                    .iter()
                    .flatten()
                    .filter_map(|chain| {
                        let last = way.get(*chain.loads.last()?)?;
                        Some(Chain {
                            way: number,
                            loads: chain.loads.iter().copied().chain([i]).collect(),
                            end: chain.end + between(last, load) + load.later,
                        })
                    });
                let candidates = alone.into_iter().chain(after);
                by_last[done][i] = candidates.reduce(|a, b| if b.beats(&a) { b } else { a });
            }
            for chain in by_last[done].iter().flatten() {
                if best[done].as_ref().is_none_or(|b| chain.beats(b)) {
                    best[done] = Some(chain.clone());
                }
            }
        }
    }
    best
}

/// Lays the chains out on one line of time.
fn laid_out(
    ovens: &[Vec<Way>],
    chains: &[Vec<Option<Chain>>],
    split: &[usize],
    total: f64,
) -> Sequence {
    let mut batches = Vec::new();
    let mut worst = 0.0_f64;
    for (oven, (chains, trays)) in chains.iter().zip(split).enumerate() {
        let Some(Some(chain)) = chains.get(*trays) else {
            continue;
        };
        let Some(way) = ovens[oven].get(chain.way) else {
            continue;
        };
        let mut before: Option<(&Load, f64)> = None;
        for load_number in &chain.loads {
            let load = &way[*load_number];
            let (start, length) = match before {
                None => (0.0, load.first),
                Some((out, end)) => (end + between(out, load), load.later),
            };
            worst = worst.max(load.uneven);
            batches.push(Batch {
                oven,
                way: chain.way,
                load: *load_number,
                start,
                end: start + length,
            });
            before = Some((load, start + length));
        }
    }
    batches.sort_by(|a, b| a.start.total_cmp(&b.start).then(a.oven.cmp(&b.oven)));
    Sequence {
        batches,
        total,
        worst,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numeric::random::Stream;

    /// Every sequence of loads, one by one: tray by tray to some oven in some way, no figure kept.
    struct Brute<'a> {
        ovens: &'a [Vec<Way>],
        limit: f64,
        soonest: f64,
        most_even: f64,
        tried: usize,
    }

    impl Brute<'_> {
        /// Bakes `left` trays in oven `oven` and those after it; `end` is when the ovens before are done.
        fn oven(&mut self, oven: usize, left: usize, end: f64, worst: f64) {
            let Some(ways) = self.ovens.get(oven) else {
                if left == 0 {
                    self.tried += 1;
                    if end < self.soonest - 1e-9 {
                        (self.soonest, self.most_even) = (end, worst);
                    } else if end <= self.soonest + 1e-9 {
                        self.most_even = self.most_even.min(worst);
                    }
                }
                return;
            };
            self.oven(oven + 1, left, end, worst);
            for way in ways {
                self.load(oven, way, (left, None), (0.0, end, worst));
            }
        }

        fn load(
            &mut self,
            oven: usize,
            way: &Way,
            (left, last): (usize, Option<Load>),
            (now, end, worst): (f64, f64, f64),
        ) {
            for load in way {
                if load.trays > left || load.uneven > self.limit {
                    continue;
                }
                let done = last.map_or(load.first, |out| {
                    now + out.handling + out.wait + load.handling + load.later
                });
                let worst = worst.max(load.uneven);
                let left = left - load.trays;
                self.oven(oven + 1, left, end.max(done), worst);
                self.load(oven, way, (left, Some(*load)), (done, end, worst));
            }
        }
    }

    fn any_oven(random: &mut Stream, ways: usize, most: usize) -> Vec<Way> {
        let draw = |random: &mut Stream, lo: f64, hi: f64| lo + (hi - lo) * random.uniform();
        (0..ways)
            .map(|_| {
                (1..=most)
                    .map(|trays| {
                        let first = draw(random, 8.0, 40.0);
                        Load {
                            trays,
                            first,
                            later: first + draw(random, 0.0, 3.0),
                            handling: draw(random, 0.2, 1.5),
                            wait: draw(random, 0.0, 9.0),
                            uneven: draw(random, 0.1, 1.5),
                        }
                    })
                    .collect()
            })
            .collect()
    }

    /// Up to 12 trays and 3 ovens, held to every sequence there is (brute force) to 1e-9 min.
    #[test]
    fn the_soonest_sequence_is_that_of_brute_force() {
        let mut random = Stream::new(20);
        let mut tried = 0;
        let cases = [
            (1, 1, 3, 12),
            (1, 2, 2, 9),
            (2, 1, 3, 9),
            (2, 2, 2, 7),
            (3, 1, 2, 8),
            (3, 1, 3, 12),
            (3, 2, 3, 6),
        ];
        for (ovens, ways, most, trays) in cases {
            for limit in [f64::INFINITY, 0.9] {
                let kitchen: Vec<Vec<Way>> = (0..ovens)
                    .map(|_| any_oven(&mut random, ways, most))
                    .collect();
                let mut brute = Brute {
                    ovens: &kitchen,
                    limit,
                    soonest: f64::INFINITY,
                    most_even: f64::INFINITY,
                    tried: 0,
                };
                brute.oven(0, trays, 0.0, 0.0);
                tried += brute.tried;
                let Some(found) = sequence(&kitchen, trays, limit) else {
                    assert_eq!(brute.tried, 0);
                    continue;
                };
                assert!((found.total - brute.soonest).abs() < 1e-9);
                assert!((found.worst - brute.most_even).abs() < 1e-9);
                assert!(found.worst <= limit);
                is_sound(&kitchen, &found, trays);
            }
        }
        assert!(tried > 40_000, "{tried}");
    }

    /// Every tray is baked once, and no load goes in before the one ahead of it is out and the air is back.
    fn is_sound(kitchen: &[Vec<Way>], found: &Sequence, trays: usize) {
        let load = |b: &Batch| kitchen[b.oven][b.way][b.load];
        let baked: usize = found.batches.iter().map(|b| load(b).trays).sum();
        assert_eq!(baked, trays);
        let last = found.batches.iter().map(|b| b.end).fold(0.0, f64::max);
        assert!((last - found.total).abs() < 1e-9);
        for oven in 0..kitchen.len() {
            let here: Vec<&Batch> = found.batches.iter().filter(|b| b.oven == oven).collect();
            for pair in here.windows(2) {
                let gap = pair[1].start - pair[0].end;
                let wanted = between(&load(pair[0]), &load(pair[1]));
                assert!((gap - wanted).abs() < 1e-9);
                assert_eq!(pair[0].way, pair[1].way, "an oven keeps its mode");
            }
        }
    }

    #[test]
    fn what_cannot_be_made_up_is_told() {
        let pair = Load {
            trays: 2,
            first: 12.0,
            later: 13.0,
            handling: 0.5,
            wait: 4.0,
            uneven: 0.4,
        };
        let oven = vec![vec![vec![pair]]];
        assert_eq!(sequence(&oven, 3, 9.0), None, "loads of two make no three");
        assert_eq!(sequence(&oven, 4, 0.3), None, "too uneven");
        assert_eq!(sequence(&[], 1, 9.0), None);
        // 12 + (0.5 + 4 + 0.5) + 13, by hand.
        let found = sequence(&oven, 4, 9.0).unwrap();
        assert!((found.total - 30.0).abs() < 1e-12);
    }
}
