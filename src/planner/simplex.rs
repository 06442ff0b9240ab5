//! The least variance that a few points can be mixed to: an exact search over small sets.
//!
//! Given the Gram matrix G of centred vectors, a mixture with shares f >= 0, sum f = 1 has variance
//! f' G f. Over the affine hull of a set S the optimum is closed: with G' = G + c 11' (which adds only the
//! constant c, because the shares sum to 1) and G'_S = L L', z = L^-1 1, it is 1/|z|^2 - c at
//! f = G'^-1 1 / |z|^2. Sets are grown one member at a time, so each step adds one row to L. A set whose
//! affine optimum has a negative share has its true optimum on a smaller set, which is visited anyway; so
//! has a set whose new member depends affinely on the others. The least value over all visited sets is
//! therefore the global optimum.

/// Largest set searched: four openings make five segments.
pub const LARGEST_SET: usize = 5;
/// A pivot below this share of the matrix's scale is an affine dependence.
const DEPENDENT: f64 = 1e-12;
/// A share above the negative of this is taken as zero.
const ZERO_SHARE: f64 = 1e-12;

/// A symmetric matrix of inner products, row by row.
#[derive(Debug, Clone, PartialEq)]
pub struct Gram {
    /// Count of vectors.
    pub size: usize,
    /// `size` x `size` entries.
    pub entries: Vec<f64>,
}

impl Gram {
    /// Fills the matrix from a symmetric function.
    pub fn from_fn(size: usize, entry: impl Fn(usize, usize) -> f64) -> Self {
        let mut entries = vec![0.0; size * size];
        for a in 0..size {
            for b in a..size {
                let value = entry(a, b);
                entries[a * size + b] = value;
                entries[b * size + a] = value;
            }
        }
        Self { size, entries }
    }

    /// Returns an entry.
    pub fn at(&self, a: usize, b: usize) -> f64 {
        self.entries[a * self.size + b]
    }

    /// Returns the variance f' G f of a mixture of `members` with `shares`.
    pub fn variance(&self, members: &[usize], shares: &[f64]) -> f64 {
        let mut sum = 0.0;
        for (a, fa) in members.iter().zip(shares) {
            for (b, fb) in members.iter().zip(shares) {
                sum += fa * fb * self.at(*a, *b);
            }
        }
        sum.max(0.0)
    }
}

/// A mixture of a few vectors.
#[derive(Debug, Clone, PartialEq)]
pub struct Mixture {
    /// Indices of the vectors, rising.
    pub members: Vec<usize>,
    /// Their shares, summing to 1.
    pub shares: Vec<f64>,
    /// Its variance.
    pub variance: f64,
}

/// Finds the best mixture of each size up to `below.len()`, if its variance is below that size's entry.
///
/// Only sets that hold one of the first `firsts` vectors are visited; where the vectors fall into orbits of
/// a symmetry, one representative of each orbit in front is enough. Entry `s` of the answer belongs to
/// sets of `s + 1` members; `None` where nothing is below the entry given.
pub fn best_mixtures(gram: &Gram, firsts: usize, below: &[f64]) -> Vec<Option<Mixture>> {
    let mut search = Search::new(gram, below);
    for first in 0..firsts.min(gram.size) {
        search.start(first);
    }
    search.best
}

struct Search<'g> {
    gram: &'g Gram,
    /// The constant c.
    lift: f64,
    /// A set of size s + 1 is of interest when |z|^2 exceeds this.
    wanted: Vec<f64>,
    below: Vec<f64>,
    best: Vec<Option<Mixture>>,
    chosen: [usize; LARGEST_SET],
    z: [f64; LARGEST_SET],
    /// Rows of L' of the chosen members, over all vectors.
    rows: Vec<Vec<f64>>,
    /// Pivot that each vector would have as the next member, by depth.
    pivot: Vec<Vec<f64>>,
    /// 1 - l'z of each vector as the next member, by depth.
    rest: Vec<Vec<f64>>,
}

impl<'g> Search<'g> {
    fn new(gram: &'g Gram, below: &[f64]) -> Self {
        let n = gram.size;
        let diagonal: f64 = (0..n).map(|i| gram.at(i, i)).sum::<f64>() / n.max(1) as f64;
        let lift = diagonal.max(f64::MIN_POSITIVE.sqrt());
        let sizes = below.len().min(LARGEST_SET);
        let mut search = Self {
            gram,
            lift,
            wanted: vec![f64::INFINITY; sizes],
            below: below[..sizes].to_vec(),
            best: vec![None; sizes],
            chosen: [0; LARGEST_SET],
            z: [0.0; LARGEST_SET],
            rows: vec![vec![0.0; n]; LARGEST_SET],
            pivot: vec![vec![0.0; n]; LARGEST_SET + 1],
            rest: vec![vec![1.0; n]; LARGEST_SET + 1],
        };
        for size in 0..sizes {
            search.set_wanted(size);
        }
        search
    }

    fn set_wanted(&mut self, size: usize) {
        let below = self.below[size];
        self.wanted[size] = if below > 0.0 {
            1.0 / (below + self.lift)
        } else {
            f64::INFINITY
        };
    }

    fn start(&mut self, first: usize) {
        for x in 0..self.gram.size {
            self.pivot[0][x] = self.gram.at(x, x) + self.lift;
        }
        self.take(0, first, 0.0);
    }

    /// Adds vector `y` as member number `depth` to a set with |z|^2 = `sum`, and goes on from there.
    fn take(&mut self, depth: usize, y: usize, sum: f64) {
        let pivot = self.pivot[depth][y];
        if pivot <= DEPENDENT * self.lift {
            return;
        }
        let root = pivot.sqrt();
        self.chosen[depth] = y;
        self.z[depth] = self.rest[depth][y] / root;
        let sum = sum + self.z[depth] * self.z[depth];
        if sum > self.wanted[depth] {
            self.weigh(depth + 1);
        }
        if depth + 1 < self.wanted.len() {
            self.extend(depth, y, root);
            if depth + 2 == self.wanted.len() {
                self.scan(depth + 1, y + 1, sum);
            } else {
                for next in y + 1..self.gram.size {
                    self.take(depth + 1, next, sum);
                }
            }
        }
    }

    /// Tries every last member without growing the factor: only those that improve are looked at closely.
    fn scan(&mut self, depth: usize, from: usize, sum: f64) {
        let least = DEPENDENT * self.lift;
        for y in from..self.gram.size {
            let (pivot, rest) = (self.pivot[depth][y], self.rest[depth][y]);
            if rest * rest > (self.wanted[depth] - sum) * pivot && pivot > least {
                self.take(depth, y, sum);
            }
        }
    }

    /// Adds the row of member `y` to the factor and brings pivots and rests of all later vectors up to date.
    fn extend(&mut self, depth: usize, y: usize, root: f64) {
        let n = self.gram.size;
        let later = y + 1..n;
        let (earlier, new) = self.rows.split_at_mut(depth);
        let row = &mut new[0][later.clone()];
        let products = &self.gram.entries[y * n..(y + 1) * n][later.clone()];
        for (r, g) in row.iter_mut().zip(products) {
            *r = g + self.lift;
        }
        for old in earlier.iter() {
            let factor = old[y];
            for (r, o) in row.iter_mut().zip(&old[later.clone()]) {
                *r -= factor * o;
            }
        }
        let (inverse, z) = (root.recip(), self.z[depth]);
        let (before, after) = self.pivot.split_at_mut(depth + 1);
        let pivots = after[0][later.clone()]
            .iter_mut()
            .zip(&before[depth][later.clone()]);
        let (before, after) = self.rest.split_at_mut(depth + 1);
        let rests = after[0][later.clone()]
            .iter_mut()
            .zip(&before[depth][later]);
        for ((r, (p, p0)), (q, q0)) in row.iter_mut().zip(pivots).zip(rests) {
            *r *= inverse;
            *p = p0 - *r * *r;
            *q = q0 - *r * z;
        }
    }

    /// Works out the shares of the chosen set and keeps it when it is feasible and better.
    fn weigh(&mut self, size: usize) {
        let mut shares = [0.0; LARGEST_SET];
        for j in (0..size).rev() {
            let mut rest = self.z[j];
            for (share, member) in shares[j + 1..size].iter().zip(&self.chosen[j + 1..size]) {
                rest -= self.rows[j][*member] * share;
            }
            shares[j] = rest / self.pivot[j][self.chosen[j]].sqrt();
        }
        let shares = &mut shares[..size];
        let sum: f64 = shares.iter().sum();
        if shares.iter().any(|f| *f < -ZERO_SHARE * sum) {
            return;
        }
        for share in shares.iter_mut() {
            *share = share.max(0.0) / sum;
        }
        let members = self.chosen[..size].to_vec();
        let variance = self.gram.variance(&members, shares);
        if variance < self.below[size - 1] {
            self.below[size - 1] = variance;
            self.set_wanted(size - 1);
            self.best[size - 1] = Some(Mixture {
                members,
                shares: shares.to_vec(),
                variance,
            });
        }
    }
}
