//! The map engine against figures computed or published outside this project.

use nalgebra::{DMatrix, DVector};
use rackshade::field::{
    self, Bound, Domain, Fit, Matern52, Observation, Priors, Rack, kriging::Kriging,
};

/// Data rows of a CSV table, without `#` lines and header; asserts how many there are.
fn rows(text: &str, count: usize) -> Vec<Vec<&str>> {
    let rows: Vec<Vec<&str>> = text
        .lines()
        .filter(|l| !l.starts_with('#') && !l.trim().is_empty())
        .skip(1)
        .map(|l| l.split(',').collect())
        .collect();
    assert_eq!(rows.len(), count, "the reference table changed");
    rows
}

fn number(cell: &str) -> f64 {
    cell.parse().expect("a number in the reference table")
}

/// Isaaks and Srivastava 1989, An Introduction to Applied Geostatistics, ch. 12 (from memory, and
/// recomputed): ordinary kriging of seven samples at (65, 137), C(h) = 10 exp(-0.3 h).
#[test]
#[expect(
    clippy::approx_constant,
    reason = "0.318 is a printed weight, not 1 / pi"
)]
fn ordinary_kriging_gives_the_printed_weights_estimate_and_variance() {
    let table = rows(include_str!("reference/kriging_isaaks_srivastava.csv"), 7);
    let at: Vec<(f64, f64)> = table.iter().map(|r| (number(r[1]), number(r[2]))).collect();
    let z = DVector::from_iterator(7, table.iter().map(|r| number(r[3])));
    let c = |a: (f64, f64), b: (f64, f64)| 10.0 * (-0.3 * (a.0 - b.0).hypot(a.1 - b.1)).exp();
    let k = DMatrix::from_fn(7, 7, |i, j| c(at[i], at[j]));
    let ones = DMatrix::from_element(7, 1, 1.0);
    let kriging = Kriging::solve(k, &ones, &z).unwrap();
    let cross = DVector::from_iterator(7, at.iter().map(|&p| c(p, (65.0, 137.0))));
    let one = DVector::from_element(1, 1.0);
    let weights = kriging.weights(&cross, &one);
    let printed = [0.173, 0.318, 0.129, 0.086, 0.151, 0.057, 0.086];
    for (got, wanted) in weights.iter().zip(printed) {
        assert!((got - wanted).abs() <= 0.0005, "{got} against {wanted}");
    }
    let cross = DMatrix::from_column_slice(7, 1, cross.as_slice());
    let p = kriging.predict(&cross, &DMatrix::from_element(1, 1, 1.0), &[10.0]);
    assert!((p.mean[0] - 592.7).abs() < 0.05);
    assert!((p.variance[0] - 8.96).abs() < 0.005);
    assert!((p.mean[0] - 592.728_942_789_7).abs() < 1e-9);
    assert!((p.variance[0] - 8.956_052_788_7).abs() < 1e-9);
}

struct Table {
    at: Vec<(f64, f64)>,
    y: DVector<f64>,
    queries: Vec<[f64; 4]>,
}

fn matern_table() -> Table {
    let all = rows(include_str!("reference/gp_matern52_sklearn.csv"), 24);
    let observed: Vec<_> = all.iter().filter(|r| r[0] == "obs").collect();
    let queries: Vec<_> = all.iter().filter(|r| r[0] == "query").collect();
    assert_eq!((observed.len(), queries.len()), (12, 12));
    Table {
        at: observed
            .iter()
            .map(|r| (number(r[1]), number(r[2])))
            .collect(),
        y: DVector::from_iterator(12, observed.iter().map(|r| number(r[3]))),
        queries: queries
            .iter()
            .map(|r| [number(r[1]), number(r[2]), number(r[3]), number(r[4])])
            .collect(),
    }
}

/// Radial Matern 5/2 with length scales 18 and 14 cm and variance 0.01, as the tables use it.
fn radial(a: (f64, f64), b: (f64, f64)) -> f64 {
    0.01 * Matern52::new(1.0).at(((a.0 - b.0) / 18.0).hypot((a.1 - b.1) / 14.0))
}

fn noisy_covariance(at: &[(f64, f64)]) -> DMatrix<f64> {
    DMatrix::from_fn(at.len(), at.len(), |i, j| {
        radial(at[i], at[j]) + if i == j { 0.0004 } else { 0.0 }
    })
}

/// scikit-learn 1.9.1 (Rasmussen and Williams 2006, algorithm 2.1), to 1e-8.
#[test]
fn a_zero_mean_process_agrees_with_scikit_learn() {
    let t = matern_table();
    let none = DMatrix::zeros(12, 0);
    let kriging = Kriging::solve(noisy_covariance(&t.at), &none, &t.y).unwrap();
    assert!((kriging.ln_restricted() - 20.695_577_994_410).abs() < 1e-8);
    for [x, y, mean, sd] in &t.queries {
        let cross = DMatrix::from_fn(12, 1, |i, _| radial(t.at[i], (*x, *y)));
        let p = kriging.predict(&cross, &DMatrix::zeros(0, 1), &[0.01]);
        assert!((p.mean[0] - mean).abs() < 1e-8);
        assert!((p.variance[0].sqrt() - sd).abs() < 1e-8);
    }
}

/// numpy 2.4.6 by the textbook formulae (Rasmussen and Williams 2006, eq. 2.41-2.42), to 1e-8.
#[test]
fn universal_kriging_agrees_with_the_textbook_formulae() {
    let t = matern_table();
    let table = rows(include_str!("reference/universal_kriging_numpy.csv"), 12);
    let trend = DMatrix::from_fn(12, 3, |i, j| [1.0, t.at[i].0, t.at[i].1][j]);
    let kriging = Kriging::solve(noisy_covariance(&t.at), &trend, &t.y).unwrap();
    let beta = [
        0.032_870_878_948_099_584,
        -0.001_247_888_718_925_398_8,
        0.003_004_497_141_613_027,
    ];
    for (got, wanted) in kriging.beta().iter().zip(beta) {
        assert!((got - wanted).abs() < 1e-10);
    }
    assert!((kriging.ln_restricted() - 10.120_254_823_297).abs() < 1e-8);
    for r in &table {
        let (x, y) = (number(r[0]), number(r[1]));
        let cross = DMatrix::from_fn(12, 1, |i, _| radial(t.at[i], (x, y)));
        let h = DMatrix::from_column_slice(3, 1, &[1.0, x, y]);
        let p = kriging.predict(&cross, &h, &[0.01]);
        assert!((p.mean[0] - number(r[2])).abs() < 1e-8);
        assert!((p.variance[0].sqrt() - number(r[3])).abs() < 1e-8);
    }
}

fn observation(rack: u8, x: f64, y: f64, browning: f64) -> Observation {
    Observation {
        rack,
        x,
        y,
        width: 10.0,
        depth: 10.0,
        browning,
        sd: 0.01,
        bound: Bound::Exact,
        batch: 0,
        lean: None,
    }
}

fn lattice(value: impl Fn(f64, f64) -> f64) -> Vec<Observation> {
    let mut out = Vec::new();
    for r in 0..3 {
        for c in 0..4 {
            let (x, y) = (8.0 + 10.0 * f64::from(c), 30.0 - 10.0 * f64::from(r));
            // a fixed wobble stands for scatter, so that the fit is not degenerate
            let wobble = 0.012 * (f64::from(r * 4 + c) * 2.4).sin();
            out.push(observation(2, x, y, value(x, y) + wobble));
        }
    }
    out
}

fn domain(racks: &[(u8, f64)]) -> Domain {
    Domain {
        width: 46.0,
        depth: 38.0,
        racks: racks
            .iter()
            .map(|&(number, height)| Rack { number, height })
            .collect(),
    }
}

fn corner_fit() -> Fit {
    let obs = lattice(|x, y| 0.4 + 0.2 * (-((x - 5.0).powi(2) + (y - 33.0).powi(2)) / 500.0).exp());
    field::fit(
        &obs,
        &domain(&[(1, 5.0), (2, 13.0), (3, 21.0)]),
        &Priors::measured(),
    )
    .expect("a sound test fits")
}

/// Central differences (numerical analysis, no source needed).
#[test]
fn the_gradient_agrees_with_finite_differences() {
    let fit = corner_fit();
    let h = 1e-3;
    for (x, y) in [(5.0, 5.0), (12.3, 28.9), (30.0, 20.0), (44.0, 36.0)] {
        let at = |x: f64, y: f64| fit.at(2, x, y).unwrap().mean;
        let g = fit.at(2, x, y).unwrap().gradient;
        let dx = (at(x + h, y) - at(x - h, y)) / (2.0 * h);
        let dy = (at(x, y + h) - at(x, y - h)) / (2.0 * h);
        assert!(
            (g.0 - dx).abs() < 1e-7 && (g.1 - dy).abs() < 1e-7,
            "{g:?} against {dx} {dy}"
        );
    }
}

#[test]
fn samples_have_the_mean_and_spread_of_the_map() {
    let fit = corner_fit();
    let points = [(2, 6.0, 33.0), (2, 23.0, 19.0), (2, 40.0, 5.0)];
    let below = [(1, 6.0, 33.0)];
    assert!(
        fit.samples(&below, 10, 11).is_empty(),
        "below the tested range"
    );
    let samples = fit.samples(&points, 4000, 11);
    let first = |s: &[Vec<f64>]| s.iter().map(|v| v[0]).collect::<Vec<f64>>();
    assert!(
        first(&samples) == first(&fit.samples(&points, 4000, 11)),
        "one seed, one answer"
    );
    assert!(
        first(&samples) != first(&fit.samples(&points, 4000, 12)),
        "another seed, another"
    );
    for (j, &(rack, x, y)) in points.iter().enumerate() {
        let p = fit.at(rack, x, y).unwrap();
        let mean = samples.iter().map(|s| s[j]).sum::<f64>() / 4000.0;
        let sd = (samples.iter().map(|s| (s[j] - mean).powi(2)).sum::<f64>() / 4000.0).sqrt();
        // four standard errors of a mean and of an sd over 4000 draws; 40 picks stand for the mixture
        assert!((mean - p.mean).abs() < 4.0 * p.sd / 4000_f64.sqrt() + 0.02 * p.sd);
        assert!((sd / p.sd - 1.0).abs() < 0.08, "{sd} against {}", p.sd);
    }
}

#[test]
fn a_fine_map_agrees_with_point_estimates() {
    let fit = corner_fit();
    let map = fit.map(120, 90);
    let rack = &map.racks[0];
    assert_eq!((map.racks.len(), rack.rack), (1, 2));
    for (row, col) in [(0, 0), (10, 20), (45, 60), (89, 119), (70, 3)] {
        let p = fit.at(2, rack.grid.x(col), rack.grid.y(row)).unwrap();
        let i = rack.grid.index(row, col);
        // the cubic between nodes: under a hundredth of a shade in the mean, 2 % in the sd
        assert!(
            (rack.mean[i] - p.mean).abs() < 0.001,
            "{} {}",
            rack.mean[i],
            p.mean
        );
        assert!(
            (rack.sd[i] / p.sd - 1.0).abs() < 0.02,
            "{} {}",
            rack.sd[i],
            p.sd
        );
    }
}

#[test]
fn a_rack_between_tested_ones_is_interpolated_with_a_wider_interval() {
    let mut obs = lattice(|x, _| 0.3 + 0.004 * x);
    let upper: Vec<_> = obs
        .iter()
        .map(|o| Observation {
            rack: 4,
            browning: o.browning + 0.1,
            ..*o
        })
        .collect();
    obs.extend(upper);
    let domain = domain(&[(1, 5.0), (2, 12.0), (3, 19.0), (4, 26.0), (5, 33.0)]);
    let fit = field::fit(&obs, &domain, &Priors::measured()).unwrap();
    let map = fit.map(12, 10);
    let numbers: Vec<u8> = map.racks.iter().map(|r| r.rack).collect();
    assert_eq!(numbers, [2, 3, 4], "nothing outside the tested range");
    let (low, mid, high) = (&map.racks[0], &map.racks[1], &map.racks[2]);
    assert_eq!(mid.evidence, field::Evidence::Interpolated);
    assert!(low.rack_mean < mid.rack_mean && mid.rack_mean < high.rack_mean);
    assert!(mid.rack_mean_sd > 2.0 * low.rack_mean_sd);
}

#[test]
fn a_burnt_slice_counts_as_at_least() {
    let mut obs = lattice(|_, _| 0.9);
    obs[0].browning = 1.04;
    obs[0].bound = Bound::AtLeast;
    let bound = field::fit(&obs, &domain(&[(2, 13.0)]), &Priors::measured()).unwrap();
    let without = field::fit(&obs[1..], &domain(&[(2, 13.0)]), &Priors::measured()).unwrap();
    let mean = |fit: &Fit| fit.at(2, 8.0, 30.0).unwrap().mean;
    assert!(
        mean(&bound) > mean(&without) + 0.01,
        "a bound above the neighbours pulls up"
    );
    // a bound far below what the neighbours say says nothing: same as leaving the slice out
    obs[0].browning = 0.1;
    let vacuous = field::fit(&obs, &domain(&[(2, 13.0)]), &Priors::measured()).unwrap();
    let (v, w) = (mean(&vacuous), mean(&without));
    assert!((v - w).abs() < 0.003, "{v} against {w}");
}

#[test]
fn what_cannot_be_mapped_is_refused_by_name() {
    use rackshade::field::FieldError;
    let d = domain(&[(2, 13.0)]);
    let p = Priors::measured();
    let obs = lattice(|_, _| 0.4);
    assert!(matches!(
        field::fit(&obs[..2], &d, &p),
        Err(FieldError::TooFew { scored: 2, .. })
    ));
    let mut bad = obs.clone();
    bad[4].x = 99.0;
    assert!(matches!(
        field::fit(&bad, &d, &p),
        Err(FieldError::Outside { number: 5, .. })
    ));
    let mut bad = obs.clone();
    bad[1].browning = f64::NAN;
    assert!(matches!(
        field::fit(&bad, &d, &p),
        Err(FieldError::Figure { number: 2, .. })
    ));
    let mut bad = obs.clone();
    bad[0].rack = 7;
    assert!(matches!(
        field::fit(&bad, &d, &p),
        Err(FieldError::UnknownRack { number: 1, rack: 7 })
    ));
    // every slice in one spot, and twice over: no crash, an answer with wide intervals
    let stacked: Vec<_> = obs
        .iter()
        .map(|o| Observation {
            x: 20.0,
            y: 20.0,
            ..*o
        })
        .collect();
    let fit = field::fit(&stacked, &d, &p).unwrap();
    assert!(fit.at(2, 2.0, 2.0).unwrap().sd > 1.2 * fit.at(2, 20.0, 20.0).unwrap().sd);
}

#[test]
fn a_test_that_is_all_burnt_or_all_pale_tells_nothing() {
    use rackshade::field::FieldError;
    let d = domain(&[(2, 13.0)]);
    for bound in [Bound::AtLeast, Bound::AtMost] {
        let mut obs = lattice(|_, _| 0.5);
        for o in &mut obs {
            o.bound = bound;
        }
        let refused = field::fit(&obs, &d, &Priors::measured());
        let Err(FieldError::NothingTold {
            exact: 0,
            scored: 12,
            advice,
            ..
        }) = refused
        else {
            panic!("{refused:?}");
        };
        assert!(advice.contains(if bound == Bound::AtLeast {
            "earlier"
        } else {
            "later"
        }));
        // three figures among the bounds are enough for an answer within reason
        for o in obs.iter_mut().take(3) {
            o.bound = Bound::Exact;
        }
        let fit = field::fit(&obs, &d, &Priors::measured()).unwrap();
        let p = fit.at(2, 23.0, 19.0).unwrap();
        assert!((-0.2..1.6).contains(&p.mean) && p.sd < 1.0, "{p:?}");
    }
}

#[test]
fn an_even_oven_may_have_no_spread_at_all() {
    let reading = field::Reading {
        per_shade: 0.1347,
        noticeable: 0.5,
        per_c: 0.041,
        per_c_relative_sd: 0.15,
        seed: 1,
    };
    let flat = field::fit(
        &lattice(|_, _| 0.4),
        &domain(&[(2, 13.0)]),
        &Priors::measured(),
    );
    let flat = flat.unwrap();
    let even = &field::evenness(&flat, &flat.map(12, 10), &reading)[0];
    assert!(even.spread.lo.abs() < 1e-12 && even.sd_c.lo.abs() < 1e-12);
    assert!((even.within_half.hi - 1.0).abs() < 1e-12);
    let corner = corner_fit();
    let uneven = &field::evenness(&corner, &corner.map(12, 10), &reading)[0];
    assert!(uneven.spread.lo > 0.3, "{uneven:?}");
}
