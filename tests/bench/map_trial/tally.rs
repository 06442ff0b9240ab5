//! Sums over many ovens, and the figures drawn from them.

/// Cells that are, that are said to be, and that are both.
#[derive(Clone, Copy, Default)]
pub(crate) struct Hits {
    pub(crate) there: f64,
    pub(crate) told: f64,
    pub(crate) right: f64,
}

impl Hits {
    pub(crate) fn count(&mut self, is: bool, said: bool) {
        let one = |yes: bool| f64::from(u8::from(yes));
        self.there += one(is);
        self.told += one(said);
        self.right += one(is && said);
    }

    fn add(&mut self, other: &Self) {
        self.there += other.there;
        self.told += other.told;
        self.right += other.right;
    }

    /// Harmonic mean of how much of it is told and how much of what is told is so; `None` where there is none.
    pub(crate) fn f1(&self) -> Option<f64> {
        (self.there > 0.0).then(|| 2.0 * self.right / (self.there + self.told))
    }
}

/// Cells told off the rack's mean at one strength.
#[derive(Clone, Copy, Default)]
pub(crate) struct Telling {
    pub(crate) told: f64,
    /// Truly at least half a shade off.
    pub(crate) right: f64,
    /// Truly at least a quarter of a shade off.
    pub(crate) half_right: f64,
}

impl Telling {
    fn add(&mut self, other: &Self) {
        self.told += other.told;
        self.right += other.right;
        self.half_right += other.half_right;
    }
}

/// Sums over the ovens of a kind, or of all.
#[derive(Clone, Default)]
pub(crate) struct Tally {
    pub(crate) ovens: usize,
    pub(crate) cells: f64,
    pub(crate) squares: f64,
    pub(crate) covered: f64,
    pub(crate) width: f64,
    pub(crate) contrast_covered: f64,
    pub(crate) stock: f64,
    pub(crate) stock_covered: f64,
    pub(crate) bilinear: f64,
    pub(crate) hot: Hits,
    pub(crate) stock_hot: Hits,
    pub(crate) bilinear_hot: Hits,
    pub(crate) zone_hot: Hits,
    pub(crate) plainly: Telling,
    pub(crate) probably: Telling,
    /// Cells truly at least half a shade off.
    pub(crate) off: f64,
    pub(crate) called_even: usize,
    pub(crate) spread_covered: usize,
    pub(crate) spread_above: usize,
    pub(crate) spread_width: f64,
    /// Sum of ln (scatter told / true scatter).
    pub(crate) ln_scatter: f64,
    /// Time of fit and map.
    pub(crate) seconds: f64,
}

impl Tally {
    pub(crate) fn add(&mut self, o: &Self) {
        self.ovens += o.ovens;
        self.called_even += o.called_even;
        self.spread_covered += o.spread_covered;
        self.spread_above += o.spread_above;
        let sums = [
            (&mut self.cells, o.cells),
            (&mut self.squares, o.squares),
            (&mut self.covered, o.covered),
            (&mut self.width, o.width),
            (&mut self.contrast_covered, o.contrast_covered),
            (&mut self.stock, o.stock),
            (&mut self.stock_covered, o.stock_covered),
            (&mut self.bilinear, o.bilinear),
            (&mut self.off, o.off),
            (&mut self.spread_width, o.spread_width),
            (&mut self.ln_scatter, o.ln_scatter),
            (&mut self.seconds, o.seconds),
        ];
        for (sum, more) in sums {
            *sum += more;
        }
        self.hot.add(&o.hot);
        self.stock_hot.add(&o.stock_hot);
        self.bilinear_hot.add(&o.bilinear_hot);
        self.zone_hot.add(&o.zone_hot);
        self.plainly.add(&o.plainly);
        self.probably.add(&o.probably);
    }

    /// Root mean square error of the map, of the stock process and of bilinear interpolation, L*.
    pub(crate) fn errors(&self) -> [f64; 3] {
        [self.squares, self.stock, self.bilinear].map(|s| (s / self.cells).sqrt())
    }

    /// Share of cells whose truth lies in the field's 90 % interval.
    pub(crate) fn cover(&self) -> f64 {
        self.covered / self.cells
    }

    /// F1 of the hot area by the map, the stock process, bilinear interpolation and the zones.
    pub(crate) fn f1(&self) -> [Option<f64>; 4] {
        [self.hot, self.stock_hot, self.bilinear_hot, self.zone_hot].map(|hits| hits.f1())
    }

    /// Share of the cells told plainly that are truly half a shade off, the same at both strengths, and the
    /// shares of the truly off area so told; `None` where nothing is told or off.
    pub(crate) fn zones(&self) -> [Option<f64>; 4] {
        let mut both = self.plainly;
        both.add(&self.probably);
        let share = |a: f64, b: f64| (b > 0.0).then(|| a / b);
        [
            share(self.plainly.right, self.plainly.told),
            share(both.right, both.told),
            share(self.plainly.right, self.off),
            share(both.right, self.off),
        ]
    }

    /// Share of the cells told plainly that are truly at least a quarter of a shade off.
    pub(crate) fn nearly_right(&self) -> Option<f64> {
        (self.plainly.told > 0.0).then(|| self.plainly.half_right / self.plainly.told)
    }

    /// Share of the ovens.
    pub(crate) fn share(&self, ovens: usize) -> f64 {
        ovens as f64 / self.ovens as f64
    }
}
