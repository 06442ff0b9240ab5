//! What can be done with the trays: usable rack positions, shifts, and the browning of every piece.
//!
//! A tray's pieces lie on a lattice, row by row from the back. Turning a tray front to back turns it by
//! half a circle about its own centre, so the piece in place i changes with the one in place n - 1 - i: on
//! the lattice a turn is a reversal. Each rack's browning is therefore split once into an even and an
//! odd part, and everything the search needs are inner products of those parts.
//!
//! What is believed is not one browning but a mean and independent directions of doubt, and the variance over
//! the pieces that is to be expected is that of the mean plus that of every direction. Inner products are
//! therefore taken over pieces and directions alike.

use super::{BrowningSource, MOST_PIECES, PlannerError, cells::Cells};
use crate::{
    field::Evidence,
    model::{Cavity, Tray, shade::browning_per_shade},
    units::Centimetres,
};

/// Air to keep between a tray and each wall (owner's manuals: 4 to 5 cm).
pub const WALL_CLEARANCE: Centimetres = Centimetres(5.0);
/// Less air than this on either side, cm, and a tray does not pass the guides (common practice, no source).
const LEAST_AIR: f64 = 1.0;
/// Least difference in height of two loaded rack positions (common practice, no source).
pub const VERTICAL_ROOM: Centimetres = Centimetres(6.0);
/// Difference in height that lets air and radiation reach both trays: usually every other guide
/// (owner's manuals: two racks on the second and fourth guide).
pub const AIRY_ROOM: Centimetres = Centimetres(9.0);
/// A shift smaller than this is not worth a rule to a baker (common practice, no source).
const LEAST_SHIFT: f64 = 1.5;
/// Rack positions together may brown this many times more or less than the mean of all: about 18 F by the
/// default energy at 350 F. Beyond it the recipe's dial and time no longer fit, and a pale tray only looks even.
const LIKE_LEVEL: f64 = 1.5;
/// A rack position this much further from where custom puts it is as bad as a level one shade off (common practice, no
/// source): it only settles what is nearly equal.
const STEP_OFF_MIDDLE: f64 = 8.0;
/// Most trays at once.
pub const MOST_TRAYS: usize = 3;

/// A rack position that may be used.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Site {
    /// Its number, from the bottom.
    pub rack: u8,
    /// Its height above the cavity floor.
    pub height: Centimetres,
    /// What its map rests on.
    pub evidence: Evidence,
}

/// What is to be placed and where it may go.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// The inside of the oven.
    pub cavity: Cavity,
    /// Every tray; all are alike.
    pub tray: Tray,
    /// How many trays.
    pub trays: usize,
    /// Rack positions that may be used, from the bottom up.
    pub sites: Vec<Site>,
}

/// A tray on one rack position with one shift from the cavity's centre.
#[derive(Debug, Clone, PartialEq)]
pub struct Spot {
    /// Index into the sites of the load.
    pub site: usize,
    /// Rack position.
    pub rack: u8,
    /// How far the tray's centre lies right of the cavity's centre and behind it.
    pub shift: (Centimetres, Centimetres),
    /// Where each piece lies (x, y) in cm, or each part of it, unturned, row by row from the back.
    pub places: Vec<(f64, f64)>,
    /// Browning there, unturned.
    pub browning: Vec<f64>,
    /// How that browning may be off, in independent directions (`[piece][direction]`), unturned.
    doubts: Vec<Vec<f64>>,
}

impl Spot {
    /// Tells whether the tray stands in the middle of the rack.
    pub fn is_centred(&self) -> bool {
        self.shift.0.0 == 0.0 && self.shift.1.0 == 0.0
    }

    /// Returns the index of the place that piece `piece` lies on.
    pub fn place_of(&self, piece: usize, turned: bool) -> usize {
        if turned {
            self.places.len() - 1 - piece
        } else {
            piece
        }
    }
}

/// Everything that can be done with one tray, and the inner products between.
#[derive(Debug, Clone)]
pub struct Space {
    /// How many trays.
    pub trays: usize,
    /// Pieces on each tray, the large ones in parts: each counts for one in all that follows.
    pub cells: Cells,
    /// Spots; those of one site stand together, the centred one first.
    pub spots: Vec<Spot>,
    /// Heights of the sites.
    heights: Vec<f64>,
    /// Mean browning of all spots.
    mean: f64,
    /// Mean browning of each spot above the mean of all.
    level: Vec<f64>,
    /// Product of the levels of two spots, doubts included.
    levels: Vec<f64>,
    /// Mean product over the pieces of the even parts of two spots.
    even: Vec<f64>,
    /// Mean product over the pieces of the odd parts of two spots.
    odd: Vec<f64>,
}

impl Load {
    /// Checks the load and lays every spot on the map.
    ///
    /// # Errors
    /// [`PlannerError`] when the trays cannot be, do not go in, or find too few mapped rack positions.
    pub fn spread(&self, source: &dyn BrowningSource) -> Result<Space, PlannerError> {
        self.check()?;
        let mut spots = Vec::new();
        for (index, site) in self.sites.iter().enumerate() {
            for (i, shift) in self.shifts().into_iter().enumerate() {
                match self.spot(source, index, site.rack, shift) {
                    Some(spot) => spots.push(spot),
                    // A rack whose map does not cover a centred tray is not used at all.
                    None if i == 0 => break,
                    None => {}
                }
            }
        }
        let space = Space::new(self, spots);
        if space.pools().is_empty() {
            return Err(PlannerError::Racks {
                trays: self.trays,
                usable: space.most_at_once(),
            });
        }
        Ok(space)
    }

    /// Checks what needs no map: count, pieces and size of the trays.
    ///
    /// # Errors
    /// [`PlannerError`] names the figure that cannot be.
    pub fn check(&self) -> Result<(), PlannerError> {
        let (tray, cavity) = (self.tray, self.cavity);
        if !(1..=MOST_TRAYS).contains(&self.trays) {
            return Err(PlannerError::Trays(self.trays));
        }
        let sized = tray.width.0 > 0.0 && tray.depth.0 > 0.0;
        if tray.across == 0 || tray.deep == 0 || !sized {
            return Err(PlannerError::Tray {
                across: tray.across,
                deep: tray.deep,
                width: tray.width.0,
                depth: tray.depth.0,
            });
        }
        if tray.across > MOST_PIECES || tray.deep > MOST_PIECES {
            return Err(PlannerError::Pieces {
                across: tray.across,
                deep: tray.deep,
            });
        }
        let goes_in = |across: Centimetres, deep: Centimetres| {
            across.0 + 2.0 * LEAST_AIR <= cavity.width.0 + 1e-9
                && deep.0 + 2.0 * LEAST_AIR <= cavity.depth.0 + 1e-9
        };
        if !goes_in(tray.width, tray.depth) {
            return Err(PlannerError::TooLarge {
                hint: if goes_in(tray.depth, tray.width) {
                    "put it in the other way round, long side to the door or away from it"
                } else {
                    "use a smaller one"
                },
                width: tray.width.0,
                depth: tray.depth.0,
                cavity_width: cavity.width.0,
                cavity_depth: cavity.depth.0,
            });
        }
        Ok(())
    }

    /// Returns the shifts within the clearance, none first; half ones too for a tray alone.
    fn shifts(&self) -> Vec<(f64, f64)> {
        let room = |cavity: Centimetres, tray: Centimetres| {
            let c = (cavity.0 - tray.0) / 2.0 - WALL_CLEARANCE.0;
            if self.trays == 1 && c >= 2.0 * LEAST_SHIFT {
                vec![0.0, -c, c, -c / 2.0, c / 2.0]
            } else if c >= LEAST_SHIFT {
                vec![0.0, -c, c]
            } else {
                vec![0.0]
            }
        };
        let deep = room(self.cavity.depth, self.tray.depth);
        room(self.cavity.width, self.tray.width)
            .into_iter()
            .flat_map(|x| deep.iter().map(move |y| (x, *y)))
            .collect()
    }

    fn spot(
        &self,
        source: &dyn BrowningSource,
        site: usize,
        rack: u8,
        shift: (f64, f64),
    ) -> Option<Spot> {
        let lattice = Cells::of(self.tray).lattice(self.tray);
        let left = (self.cavity.width.0 - lattice.width) / 2.0 + shift.0;
        let front = (self.cavity.depth.0 - lattice.depth) / 2.0 + shift.1;
        let places: Vec<(f64, f64)> = (0..lattice.rows)
            .flat_map(|row| (0..lattice.cols).map(move |col| (row, col)))
            .map(|(row, col)| (left + lattice.x(col), front + lattice.y(row)))
            .collect();
        let browning = source.brownings(rack, &places)?;
        Some(Spot {
            doubts: source.doubts(rack, &places),
            site,
            rack,
            shift: (Centimetres(shift.0), Centimetres(shift.1)),
            places,
            browning,
        })
    }
}

impl Space {
    fn new(load: &Load, spots: Vec<Spot>) -> Self {
        let cells = Cells::of(load.tray);
        let pieces = cells.count();
        let n = spots.len();
        let all = (n * pieces).max(1) as f64;
        // Taking the common level off first keeps the products small beside the differences that matter.
        let mean = spots.iter().flat_map(|s| &s.browning).sum::<f64>() / all;
        let directions = spots
            .iter()
            .flat_map(|s| &s.doubts)
            .map(Vec::len)
            .max()
            .unwrap_or(0);
        // the mean first, then every direction, each over all pieces
        let part = |spot: &Spot, sign: f64| -> Vec<f64> {
            let of = |direction: usize, i: usize| match direction.checked_sub(1) {
                None => spot.browning[i] - mean,
                Some(k) => spot
                    .doubts
                    .get(i)
                    .and_then(|d| d.get(k))
                    .copied()
                    .unwrap_or(0.0),
            };
            (0..=directions)
                .flat_map(|d| (0..pieces).map(move |i| (d, i)))
                .map(|(d, i)| 0.5 * (of(d, i) + sign * of(d, pieces - 1 - i)))
                .collect()
        };
        let products = |parts: &[Vec<f64>], over: usize| -> Vec<f64> {
            let product = |a: &[f64], b: &[f64]| {
                a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>() / over as f64
            };
            parts
                .iter()
                .flat_map(|a| parts.iter().map(move |b| product(a, b)))
                .collect()
        };
        let even: Vec<Vec<f64>> = spots.iter().map(|s| part(s, 1.0)).collect();
        let odd: Vec<Vec<f64>> = spots.iter().map(|s| part(s, -1.0)).collect();
        let levels: Vec<Vec<f64>> = even
            .iter()
            .map(|e| {
                e.chunks(pieces)
                    .map(|c| c.iter().sum::<f64>() / pieces as f64)
                    .collect()
            })
            .collect();
        Self {
            trays: load.trays,
            cells,
            heights: load.sites.iter().map(|s| s.height.0).collect(),
            level: levels.iter().map(|l| l[0]).collect(),
            levels: products(&levels, 1),
            even: products(&even, pieces),
            odd: products(&odd, pieces),
            mean,
            spots,
        }
    }

    /// Returns the sets of sites that may be loaded over one bake, the ones to prefer first: as few rack
    /// positions as trays, near where custom puts them, browning much as the mean of all does, with air
    /// between them where the guides allow it.
    ///
    /// Sets that brown far more or far less than the mean of all are left out where others remain.
    /// Up to one more rack position than trays for one or two trays, never more than three.
    pub fn pools(&self) -> Vec<Vec<usize>> {
        let sites = self.sites();
        let airy = self.pools_with_room(&sites, AIRY_ROOM);
        let all = if airy.is_empty() {
            self.pools_with_room(&sites, VERTICAL_ROOM)
        } else {
            airy
        };
        let of_like_level: Vec<Vec<usize>> = all
            .iter()
            .filter(|pool| self.is_of_like_level(pool))
            .cloned()
            .collect();
        if of_like_level.is_empty() {
            all
        } else {
            of_like_level
        }
    }

    /// Returns the mean browning of centred trays on `sites`, B; not a number for none.
    pub fn mean_on(&self, sites: &[usize]) -> f64 {
        let levels: Vec<f64> = sites
            .iter()
            .filter_map(|s| self.centred(*s))
            .map(|spot| self.level[spot] + self.mean)
            .collect();
        levels.iter().sum::<f64>() / levels.len() as f64
    }

    /// Returns every site whose map covers a tray.
    pub fn sites(&self) -> Vec<usize> {
        (0..self.heights.len())
            .filter(|s| self.centred(*s).is_some())
            .collect()
    }

    fn is_of_like_level(&self, pool: &[usize]) -> bool {
        let (own, all) = (self.mean_on(pool), self.mean_on(&self.sites()));
        own * LIKE_LEVEL >= all && own <= all * LIKE_LEVEL
    }

    /// How little a set is to be preferred where evenness does not decide: racks far from where custom puts them, or that
    /// brown unlike the mean of all, each by itself, for a turn may be missed.
    fn reluctance(&self, set: &[usize]) -> f64 {
        let usual = self.mean_on(&self.sites());
        let off = |site: &usize| (self.mean_on(&[*site]) - usual).abs();
        let off_level = set.iter().map(off).sum::<f64>() / set.len() as f64;
        self.off_custom(set) / STEP_OFF_MIDDLE + off_level / browning_per_shade()
    }

    fn pools_with_room(&self, sites: &[usize], room: Centimetres) -> Vec<Vec<usize>> {
        let sizes = [self.trays, self.trays + 1];
        let mut pools: Vec<Vec<usize>> = Vec::new();
        for size in sizes.into_iter().filter(|s| *s <= MOST_TRAYS) {
            let mut sets = subsets(sites.len(), size)
                .into_iter()
                .map(|set| set.into_iter().map(|i| sites[i]).collect::<Vec<_>>())
                .filter(|set| self.has_vertical_room(set, room))
                .collect::<Vec<_>>();
            sets.sort_by(|a, b| self.reluctance(a).total_cmp(&self.reluctance(b)));
            pools.extend(sets);
        }
        pools
    }

    /// Returns the spots of a site, the centred one first.
    pub fn spots_of(&self, site: usize) -> impl Iterator<Item = usize> + '_ {
        (0..self.spots.len()).filter(move |i| self.spots[*i].site == site)
    }

    /// Returns the centred spot of a site.
    pub fn centred(&self, site: usize) -> Option<usize> {
        self.spots_of(site).next()
    }

    /// Returns the product of two spots' levels, doubts included.
    pub fn levels(&self, a: usize, b: usize) -> f64 {
        self.levels[a * self.spots.len() + b]
    }

    /// Returns the mean product of the even parts (those a turn leaves alone) of two spots.
    pub fn even(&self, a: usize, b: usize) -> f64 {
        self.even[a * self.spots.len() + b]
    }

    /// Returns the mean product of the odd parts (those a turn changes the sign of) of two spots.
    pub fn odd(&self, a: usize, b: usize) -> f64 {
        self.odd[a * self.spots.len() + b]
    }

    fn has_vertical_room(&self, set: &[usize], room: Centimetres) -> bool {
        set.windows(2)
            .all(|w| self.heights[w[1]] - self.heights[w[0]] >= room.0 - 1e-9)
    }

    /// Mean distance of a set's racks from where custom spreads so many over the guides: the middle, or evenly.
    fn off_custom(&self, set: &[usize]) -> f64 {
        let (low, high) = (
            self.heights.first().copied().unwrap_or(0.0),
            self.heights.last().copied().unwrap_or(0.0),
        );
        let n = set.len() as f64;
        let wanted = |i: usize| low + (high - low) * (i as f64 + 0.5) / n;
        let off = |(i, s): (usize, &usize)| (self.heights[*s] - wanted(i)).abs();
        set.iter().enumerate().map(off).sum::<f64>() / n
    }

    fn most_at_once(&self) -> usize {
        let usable = self.sites().into_iter();
        most_at_once(usable.map(|site| self.heights[site]))
    }
}

/// Returns how many trays go at once on rack positions at these heights, cm, from the bottom, with room between them.
pub fn most_at_once(heights: impl Iterator<Item = f64>) -> usize {
    let mut last = f64::NEG_INFINITY;
    let room = |height: &f64| {
        let fits = height - last >= VERTICAL_ROOM.0 - 1e-9;
        if fits {
            last = *height;
        }
        fits
    };
    heights.filter(room).count()
}

/// Returns every set of `size` numbers below `n`, each rising.
pub(super) fn subsets(n: usize, size: usize) -> Vec<Vec<usize>> {
    let mut out = Vec::new();
    let mut set = Vec::with_capacity(size);
    grow(n, size, 0, &mut set, &mut out);
    out
}

fn grow(n: usize, size: usize, from: usize, set: &mut Vec<usize>, out: &mut Vec<Vec<usize>>) {
    if set.len() == size {
        out.push(set.clone());
        return;
    }
    for i in from..n {
        set.push(i);
        grow(n, size, i + 1, set, out);
        set.pop();
    }
}
