//! How a reading of a drawn photo compares with its truth.

use super::Drawn;
use rackshade::{
    geometry::Point,
    numeric::normal::Z90,
    photo::Photo,
    sampling::{Flag, Rectangle, Reference, Request, Scores, Side, Verdict},
};

/// Off by more than this, L*, is bad; off by less than half of it is good.
const BAD: f64 = 8.0;

/// Sums over many photos.
#[derive(Debug, Clone, Default)]
pub(crate) struct Tally {
    pub(crate) photos: f64,
    pub(crate) refused: Vec<String>,
    slices: f64,
    squares: f64,
    pattern_squares: f64,
    own_covered: f64,
    covered: f64,
    sides: f64,
    sides_covered: f64,
    levels: f64,
    levels_covered: f64,
    bad: f64,
    bad_caught: f64,
    good: f64,
    good_flagged: f64,
    missing: f64,
    missing_told: f64,
    lost: f64,
}

/// Returns what is to be asked of a drawn photo; `named` names its references, else they are looked for.
pub(crate) fn request(drawn: &Drawn, corners: bool, named: bool) -> Request {
    let untoasted = drawn.untoasted.and_then(|i| drawn.slices[i].lightness);
    let mut references = Vec::new();
    if named {
        references.extend(drawn.untoasted.map(|i| Reference::Slice {
            row: i / drawn.cols,
            col: i % drawn.cols,
        }));
        references.extend(drawn.cards.iter().map(|(r, l)| {
            let place = Rectangle {
                x: r[0],
                y: r[1],
                width: r[2],
                height: r[3],
            };
            if *l > 80.0 {
                Reference::White(place)
            } else {
                Reference::Grey(place, *l)
            }
        }));
    }
    Request {
        rows: drawn.rows,
        cols: drawn.cols,
        corners: corners.then(|| drawn.corners.map(|(x, y)| Point::new(x, y))),
        back: Side::Top,
        references,
        untoasted: untoasted.unwrap_or(84.0),
    }
}

struct Read {
    error: f64,
    own: f64,
    shared: f64,
    loads: [f64; 2],
    place: [f64; 2],
}

impl Tally {
    /// Adds one reading.
    pub(crate) fn add(&mut self, drawn: &Drawn, scores: &Scores) {
        self.photos += 1.0;
        let mut read = Vec::new();
        // a level that is off is another matter
        let mut errors: Vec<f64> = drawn
            .slices
            .iter()
            .zip(&scores.places)
            .filter_map(|(slice, place)| match place.verdict {
                Verdict::Read(s) => Some(s.colour.l - slice.lightness?),
                Verdict::Missing | Verdict::Unread(_) => None,
            })
            .collect();
        errors.sort_by(f64::total_cmp);
        let usual = errors.get(errors.len() / 2).copied().unwrap_or(0.0);
        for (i, (slice, place)) in drawn.slices.iter().zip(&scores.places).enumerate() {
            if drawn.untoasted == Some(i) {
                continue;
            }
            let is_flagged = place
                .flags
                .iter()
                .any(|f| matches!(f, Flag::Glare | Flag::Shadow | Flag::Uneven));
            let as_seen = match (&place.verdict, place.left_out) {
                (Verdict::Read(s), _) => Some(s.colour.l),
                (Verdict::Missing | Verdict::Unread(_), l) => l,
            };
            match (slice.lightness, as_seen) {
                (None, _) => {
                    self.missing += 1.0;
                    self.missing_told += f64::from(place.verdict == Verdict::Missing);
                }
                (Some(_), None) => self.lost += f64::from(place.verdict == Verdict::Missing),
                (Some(truth), Some(l)) => {
                    let caught = is_flagged || !matches!(place.verdict, Verdict::Read(_));
                    let off = (l - truth - usual).abs();
                    if off > BAD {
                        self.bad += 1.0;
                        self.bad_caught += f64::from(caught);
                    } else if off < BAD / 2.0 && !slice.torn {
                        self.good += 1.0;
                        self.good_flagged += f64::from(caught);
                    }
                }
            }
            if let (Some(truth), Verdict::Read(s)) = (slice.lightness, &place.verdict) {
                let (u, v) = (scale(place.col, drawn.cols), scale(place.row, drawn.rows));
                let lean = scores.light.lean * (s.colour.l + 16.0) / 3.0;
                read.push(Read {
                    error: s.colour.l - truth,
                    own: s.se,
                    shared: s.shared_se,
                    loads: [lean * u, lean * v],
                    place: [u, v],
                });
            }
        }
        if read.len() > 2 {
            self.weigh(&read);
        }
    }

    fn weigh(&mut self, read: &[Read]) {
        let n = read.len() as f64;
        let mean = read.iter().map(|r| r.error).sum::<f64>() / n;
        let contrast = |weights: &[f64]| -> (f64, f64) {
            let value: f64 = weights.iter().zip(read).map(|(w, r)| w * r.error).sum();
            let own: f64 = weights
                .iter()
                .zip(read)
                .map(|(w, r)| (w * r.own).powi(2))
                .sum();
            let lean: f64 = (0..2)
                .map(|k| {
                    weights
                        .iter()
                        .zip(read)
                        .map(|(w, r)| w * r.loads[k])
                        .sum::<f64>()
                        .powi(2)
                })
                .sum();
            (value, (own + lean).sqrt())
        };
        for (i, r) in read.iter().enumerate() {
            self.slices += 1.0;
            self.squares += r.error * r.error;
            self.pattern_squares += (r.error - mean).powi(2);
            let weights: Vec<f64> = (0..read.len())
                .map(|j| f64::from(i == j) - 1.0 / n)
                .collect();
            let (value, sd) = contrast(&weights);
            self.own_covered += f64::from(value.abs() <= Z90 * sd);
            let lean = r.loads[0].hypot(r.loads[1]);
            self.covered += f64::from(
                r.error.abs() <= Z90 * (r.own.powi(2) + r.shared.powi(2) + lean * lean).sqrt(),
            );
        }
        for k in 0..2 {
            let low = read.iter().filter(|r| r.place[k] < -0.5).count() as f64;
            let high = read.iter().filter(|r| r.place[k] > 0.5).count() as f64;
            if low > 0.0 && high > 0.0 {
                let weights: Vec<f64> = read
                    .iter()
                    .map(|r| {
                        f64::from(r.place[k] > 0.5) / high - f64::from(r.place[k] < -0.5) / low
                    })
                    .collect();
                let (value, sd) = contrast(&weights);
                self.sides += 1.0;
                self.sides_covered += f64::from(value.abs() <= Z90 * sd);
            }
        }
        let shared = read.iter().map(|r| r.shared).sum::<f64>() / n;
        let (_, own) = contrast(&vec![1.0 / n; read.len()]);
        self.levels += 1.0;
        self.levels_covered += f64::from(mean.abs() <= Z90 * shared.hypot(own));
    }

    /// Adds a photo that was refused.
    pub(crate) fn refuse(&mut self, drawn: &Drawn, why: &str) {
        self.photos += 1.0;
        self.refused.push(format!(
            "{}: {}",
            drawn.kind,
            why.chars().take(70).collect::<String>()
        ));
    }

    /// Adds another tally.
    pub(crate) fn join(&mut self, other: &Self) {
        let parts: [(&mut f64, f64); 17] = [
            (&mut self.photos, other.photos),
            (&mut self.slices, other.slices),
            (&mut self.squares, other.squares),
            (&mut self.pattern_squares, other.pattern_squares),
            (&mut self.own_covered, other.own_covered),
            (&mut self.covered, other.covered),
            (&mut self.sides, other.sides),
            (&mut self.sides_covered, other.sides_covered),
            (&mut self.levels, other.levels),
            (&mut self.levels_covered, other.levels_covered),
            (&mut self.bad, other.bad),
            (&mut self.bad_caught, other.bad_caught),
            (&mut self.good, other.good),
            (&mut self.good_flagged, other.good_flagged),
            (&mut self.missing, other.missing),
            (&mut self.missing_told, other.missing_told),
            (&mut self.lost, other.lost),
        ];
        for (mine, theirs) in parts {
            *mine += theirs;
        }
        self.refused.extend(other.refused.iter().cloned());
    }

    /// Writes a line of a table in Markdown.
    pub(crate) fn line(&self, name: &str) -> String {
        let rate = |a: f64, b: f64| {
            if b > 0.0 {
                format!("{:.0} %", 100.0 * a / b)
            } else {
                "-".to_owned()
            }
        };
        let root = |a: f64| {
            if self.slices > 0.0 {
                format!("{:.2}", (a / self.slices).sqrt())
            } else {
                "-".to_owned()
            }
        };
        format!(
            "| {name} | {:.0}, {} | {} | {} | {} | {} | {} | {} of {:.0} | {} | {:.0} of {:.0}, {:.0} |",
            self.photos,
            self.refused.len(),
            root(self.squares),
            root(self.pattern_squares),
            rate(self.own_covered, self.slices),
            rate(self.sides_covered, self.sides),
            rate(self.levels_covered, self.levels),
            rate(self.bad_caught, self.bad),
            self.bad,
            rate(self.good_flagged, self.good),
            self.missing_told,
            self.missing,
            self.lost,
        )
    }
}

/// The head of the table that [`Tally::line`] fills.
pub(crate) const HEAD: &str = "| photos | read, refused | RMSE, L* | pattern | pattern covered | sides covered | level covered | bad ones caught | good ones flagged | missing told, lost |\n| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |";

fn scale(i: usize, n: usize) -> f64 {
    if n > 1 {
        2.0 * i as f64 / (n - 1) as f64 - 1.0
    } else {
        0.0
    }
}

/// Reads a drawn photo into a tally.
pub(crate) fn judge(
    tally: &mut Tally,
    drawn: &Drawn,
    photo: &Photo,
    (corners, named): (bool, bool),
) {
    match rackshade::sampling::read(&photo.picture, &request(drawn, corners, named)) {
        Ok(scores) => tally.add(drawn, &scores),
        Err(why) => tally.refuse(drawn, &why.to_string()),
    }
}
