//! The search against brute force that knows no symmetry, no bound and no factorisation.

use super::*;
use crate::{
    field::Evidence,
    model::{Cavity, Tray},
    planner::{
        BrowningSource,
        space::{Load, Site},
    },
    units::Centimetres,
};
use proptest::prelude::*;

/// A smooth field with random coefficients for each rack.
#[derive(Debug, Clone)]
struct Smooth {
    racks: Vec<[f64; 6]>,
}

impl BrowningSource for Smooth {
    fn browning(&self, rack: u8, x: f64, y: f64) -> Option<f64> {
        let c = self.racks.get(usize::from(rack) - 1)?;
        let (u, v) = ((x - 25.0) / 25.0, (y - 20.0) / 20.0);
        Some(0.6 + 0.1 * (c[0] + c[1] * u + c[2] * v + c[3] * u * u + c[4] * u * v + c[5] * v * v))
    }

    fn samples(&self, _: &[(u8, f64, f64)], _: usize) -> Vec<Vec<f64>> {
        Vec::new()
    }
}

fn load(trays: usize, racks: u8, width: f64) -> Load {
    Load {
        cavity: Cavity::new(Centimetres(50.0), Centimetres(40.0), Centimetres(40.0)),
        tray: Tray::new(Centimetres(width), Centimetres(30.0), 2, 2),
        trays,
        sites: (1..=racks)
            .map(|rack| Site {
                rack,
                height: Centimetres(f64::from(rack) * 8.0),
                evidence: Evidence::Tested,
            })
            .collect(),
    }
}

fn smooth(racks: usize) -> impl Strategy<Value = Smooth> {
    prop::collection::vec(prop::array::uniform6(-1.0..1.0_f64), racks..=racks)
        .prop_map(|racks| Smooth { racks })
}

/// Browning of every piece of every tray, written out.
fn pieces(space: &Space, arrangement: &[TrayAt]) -> Vec<f64> {
    arrangement
        .iter()
        .flat_map(|at| {
            let spot = &space.spots[at.spot];
            (0..space.cells.count()).map(move |i| spot.browning[spot.place_of(i, at.turned)])
        })
        .collect()
}

fn variance(vectors: &[&Vec<f64>], shares: &[f64]) -> f64 {
    let n = vectors[0].len();
    let mixed: Vec<f64> = (0..n)
        .map(|i| vectors.iter().zip(shares).map(|(v, f)| v[i] * f).sum())
        .collect();
    let mean = mixed.iter().sum::<f64>() / n as f64;
    mixed.iter().map(|m| (m - mean).powi(2)).sum::<f64>() / n as f64
}

/// Every arrangement of one configuration, without any symmetry taken off.
fn every_arrangement(trays: usize, spots: &[usize]) -> Vec<Arrangement> {
    let mut all: Vec<Arrangement> = vec![Vec::new()];
    for _ in 0..trays {
        all = all
            .into_iter()
            .flat_map(|arrangement| {
                spots
                    .iter()
                    .flat_map(|spot| {
                        [false, true].map(|turned| TrayAt {
                            spot: *spot,
                            turned,
                        })
                    })
                    .filter(|at| arrangement.iter().all(|other| other.spot != at.spot))
                    .map(|at| [arrangement.clone(), vec![at]].concat())
                    .collect::<Vec<_>>()
            })
            .collect();
    }
    all
}

/// Every configuration: each rack of each pool with each of its spots.
fn every_configuration(space: &Space) -> Vec<Vec<usize>> {
    space
        .pools()
        .iter()
        .flat_map(|pool| {
            pool.iter().fold(vec![Vec::new()], |sets, site| {
                sets.into_iter()
                    .flat_map(|set: Vec<usize>| {
                        space
                            .spots_of(*site)
                            .map(move |spot| [set.clone(), vec![spot]].concat())
                    })
                    .collect()
            })
        })
        .collect()
}

/// Least value of a convex function on 0..1 by golden section.
fn golden(f: impl Fn(f64) -> f64) -> f64 {
    let ratio = (5.0_f64.sqrt() - 1.0) / 2.0;
    let (mut a, mut b) = (0.0, 1.0);
    let (mut c, mut d) = (b - ratio * (b - a), a + ratio * (b - a));
    let (mut fc, mut fd) = (f(c), f(d));
    for _ in 0..60 {
        if fc < fd {
            (b, d, fd) = (d, c, fc);
            c = b - ratio * (b - a);
            fc = f(c);
        } else {
            (a, c, fc) = (c, d, fd);
            d = a + ratio * (b - a);
            fd = f(d);
        }
    }
    f(0.0).min(f(1.0)).min(f(f64::midpoint(a, b)))
}

/// Least variance of each pair by the closed form of a parabola on 0..1.
fn pairs(vectors: &[Vec<f64>]) -> f64 {
    let mut least = f64::INFINITY;
    for a in vectors {
        for b in vectors {
            let at = |t: f64| variance(&[a, b], &[1.0 - t, t]);
            let (v0, v1, vm) = (at(0.0), at(1.0), at(0.5));
            let curvature = 2.0 * (v0 + v1 - 2.0 * vm);
            let t = if curvature > 1e-15 {
                (0.5 - (v1 - v0) / (2.0 * curvature)).clamp(0.0, 1.0)
            } else {
                0.0
            };
            least = least.min(v0).min(v1).min(at(t));
        }
    }
    least
}

/// Least variance of each triple by a golden section inside a golden section (both convex).
fn triples(vectors: &[Vec<f64>]) -> f64 {
    let n = vectors.len();
    let mut least = f64::INFINITY;
    for [a, b, c] in (0..n).flat_map(|a| (a..n).flat_map(move |b| (b..n).map(move |c| [a, b, c]))) {
        let v = [&vectors[a], &vectors[b], &vectors[c]];
        let value =
            golden(|s| golden(|t| variance(&v, &[s, (1.0 - s) * t, (1.0 - s) * (1.0 - t)])));
        least = least.min(value);
    }
    least
}

/// Least variance over all mixtures of any size by steps towards the best vertex with exact line search, and how
/// far it may be above the true one (the duality gap).
fn frank_wolfe(vectors: &[Vec<f64>]) -> (f64, f64) {
    let n = vectors[0].len() as f64;
    let centred: Vec<Vec<f64>> = vectors
        .iter()
        .map(|v| {
            let mean = v.iter().sum::<f64>() / n;
            v.iter().map(|b| b - mean).collect()
        })
        .collect();
    let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>() / n;
    let mut at = centred[0].clone();
    let mut gap = f64::INFINITY;
    for _ in 0..400 {
        let toward = centred
            .iter()
            .min_by(|a, b| dot(&at, a).total_cmp(&dot(&at, b)))
            .unwrap();
        let step: Vec<f64> = toward.iter().zip(&at).map(|(t, a)| t - a).collect();
        gap = -2.0 * dot(&at, &step);
        let square = dot(&step, &step);
        if gap < 1e-12 || square < 1e-15 {
            break;
        }
        let by = (gap / 2.0 / square).clamp(0.0, 1.0);
        at = at.iter().zip(&step).map(|(a, s)| a + by * s).collect();
    }
    (dot(&at, &at), gap.max(0.0))
}

/// Least variance of each set of four, the first of them the first arrangement (every plan is equivalent to one
/// that holds it: naming the trays otherwise or turning one throughout changes nothing), on every face of the simplex by the
/// normal equations solved by elimination.
fn quadruples(vectors: &[Vec<f64>]) -> f64 {
    let n = vectors.len();
    let gram: Vec<Vec<f64>> = vectors
        .iter()
        .map(|a| vectors.iter().map(|b| covariance(a, b)).collect())
        .collect();
    let mut least = gram[0][0];
    for b in 1..n {
        for c in b..n {
            for d in c..n {
                let mut set = vec![0, b, c, d];
                set.dedup();
                // Smaller sets come along as b = c = d.
                if let Some(value) = inside(&gram, &set) {
                    least = least.min(value);
                }
            }
        }
    }
    least
}

fn covariance(a: &[f64], b: &[f64]) -> f64 {
    let n = a.len() as f64;
    let (ma, mb) = (a.iter().sum::<f64>() / n, b.iter().sum::<f64>() / n);
    a.iter()
        .zip(b)
        .map(|(x, y)| (x - ma) * (y - mb))
        .sum::<f64>()
        / n
}

/// Least value of shares' G shares with the shares summing to 1, if it lies inside the simplex.
fn inside(gram: &[Vec<f64>], set: &[usize]) -> Option<f64> {
    let k = set.len();
    // Differences from the first member take the sum's constraint off.
    let g = |i: usize, j: usize| gram[set[i]][set[j]];
    let mut rows: Vec<Vec<f64>> = (1..k)
        .map(|i| {
            let mut row: Vec<f64> = (1..k)
                .map(|j| g(i, j) - g(0, j) - g(i, 0) + g(0, 0))
                .collect();
            row.push(g(0, 0) - g(i, 0));
            row
        })
        .collect();
    for col in 0..k - 1 {
        let pivot = (col..k - 1)
            .max_by(|a, b| rows[*a][col].abs().total_cmp(&rows[*b][col].abs()))
            .filter(|p| rows[*p][col].abs() > 1e-13)?;
        rows.swap(col, pivot);
        for row in 0..k - 1 {
            if row != col {
                let factor = rows[row][col] / rows[col][col];
                let from = rows[col].clone();
                for (v, f) in rows[row].iter_mut().zip(&from) {
                    *v -= factor * f;
                }
            }
        }
    }
    let mut shares: Vec<f64> = (0..k - 1).map(|i| rows[i][k - 1] / rows[i][i]).collect();
    shares.insert(0, 1.0 - shares.iter().sum::<f64>());
    shares.iter().all(|s| *s >= -1e-12).then(|| {
        (0..k)
            .flat_map(|i| (0..k).map(move |j| (i, j)))
            .map(|(i, j)| shares[i] * shares[j] * g(i, j))
            .sum()
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn one_opening_with_shifts_equals_brute_force(field in smooth(3), trays in 1..=3_usize) {
        let space = load(trays, 3, 36.0).spread(&field).unwrap();
        let found = search(&space, &Effort::exhaustive(1)).unwrap();
        let mut still = f64::INFINITY;
        let mut once = f64::INFINITY;
        for spots in every_configuration(&space) {
            let vectors: Vec<Vec<f64>> = every_arrangement(trays, &spots)
                .iter()
                .map(|a| pieces(&space, a))
                .collect();
            for v in &vectors {
                still = still.min(variance(&[v], &[1.0]));
            }
            once = once.min(pairs(&vectors));
        }
        prop_assert!((found.handlings[0].variance - still).abs() < 1e-9);
        prop_assert!((found.handlings[1].variance - once).abs() < 1e-9,
            "{} against {once}", found.handlings[1].variance);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn two_openings_equal_brute_force(field in smooth(2), trays in 1..=2_usize) {
        let space = load(trays, 2, 40.0).spread(&field).unwrap();
        let found = search(&space, &Effort::exhaustive(2)).unwrap();
        let least = every_configuration(&space)
            .iter()
            .map(|spots| {
                let vectors: Vec<Vec<f64>> = every_arrangement(trays, spots)
                    .iter()
                    .map(|a| pieces(&space, a))
                    .collect();
                triples(&vectors)
            })
            .fold(f64::INFINITY, f64::min);
        prop_assert!((found.handlings[2].variance - least).abs() < 1e-9,
            "{} against {least}", found.handlings[2].variance);
    }

    /// Two trays on two rack positions: by symmetry the mixture of all eight arrangements in equal shares is the
    /// best of any size, and four of them reach it, so three and four openings must find exactly that.
    #[test]
    fn three_and_four_openings_reach_all_arrangements_mixed(field in smooth(2)) {
        let space = load(2, 2, 40.0).spread(&field).unwrap();
        let found = search(&space, &Effort::exhaustive(4)).unwrap();
        let spots: Vec<usize> = (0..2).filter_map(|s| space.centred(s)).collect();
        let vectors: Vec<Vec<f64>> = every_arrangement(2, &spots)
            .iter()
            .map(|a| pieces(&space, a))
            .collect();
        // By symmetry the mixture of all eight in equal shares is the best one of any size.
        let all: Vec<&Vec<f64>> = vectors.iter().collect();
        let equal = variance(&all, &[0.125; 8]);
        prop_assert!((orbit_bound(&space, &spots) - equal).abs() < 1e-12);
        // Two trays: each in both places, both ways round, takes four arrangements.
        prop_assert!((found.handlings[4].variance - equal).abs() < 1e-9);
        prop_assert!((found.handlings[3].variance - equal).abs() < 1e-9);
    }

    /// Three trays on three rack positions, three openings: no set of four arrangements is better, nor any mixture
    /// of all 48 (Frank-Wolfe, with its own bound), and the answer is one of its own arrangements.
    #[test]
    fn three_trays_three_openings_against_a_dense_optimum(field in smooth(3)) {
        let space = load(3, 3, 40.0).spread(&field).unwrap();
        let found = search(&space, &Effort::exhaustive(3)).unwrap();
        let spots: Vec<usize> = (0..3).filter_map(|s| space.centred(s)).collect();
        let vectors: Vec<Vec<f64>> = every_arrangement(3, &spots)
            .iter()
            .map(|a| pieces(&space, a))
            .collect();
        let got = found.handlings[3].variance;
        let (dense, gap) = frank_wolfe(&vectors);
        prop_assert!(got >= dense - gap - 1e-12, "{got} below {dense} - {gap}");
        let brute = quadruples(&vectors);
        prop_assert!((got - brute).abs() < 1e-9, "{got} against {brute}");
    }

    #[test]
    fn what_is_found_is_what_it_says(field in smooth(4), trays in 1..=3_usize) {
        let space = load(trays, 4, 36.0).spread(&field).unwrap();
        let effort = Effort { openings: 3, negligible: 0.002, configurations: 8 };
        let found = search(&space, &effort).unwrap();
        prop_assert_eq!(found.handlings.len(), 4);
        let mut last = f64::INFINITY;
        for (k, handling) in found.handlings.iter().enumerate() {
            prop_assert!(handling.arrangements.len() <= k + 1);
            prop_assert!((handling.shares.iter().sum::<f64>() - 1.0).abs() < 1e-12);
            let vectors: Vec<Vec<f64>> =
                handling.arrangements.iter().map(|a| pieces(&space, a)).collect();
            let refs: Vec<&Vec<f64>> = vectors.iter().collect();
            prop_assert!((variance(&refs, &handling.shares) - handling.variance).abs() < 1e-12);
            prop_assert!(handling.variance <= last);
            last = handling.variance;
        }
    }

    /// A budget and a negligible gain leave a gap, and the optimum lies inside it.
    #[test]
    fn the_gap_holds_the_optimum(field in smooth(3)) {
        let space = load(2, 3, 36.0).spread(&field).unwrap();
        let exact = search(&space, &Effort::exhaustive(2)).unwrap();
        let quick = search(
            &space,
            &Effort { openings: 2, negligible: 0.003, configurations: 2 },
        ).unwrap();
        for k in 0..=2 {
            let (a, b) = (exact.handlings[k].variance.sqrt(), quick.handlings[k].variance.sqrt());
            prop_assert!(b >= a - 1e-9);
            prop_assert!(b - a <= quick.gap[k] + 1e-9, "{a} {b} {}", quick.gap[k]);
        }
    }

    /// Naming the trays otherwise and turning each twice changes nothing.
    #[test]
    fn names_and_double_turns_change_nothing(field in smooth(2)) {
        let space = load(2, 2, 40.0).spread(&field).unwrap();
        for arrangement in every_arrangement(2, &[0, 1]) {
            let own = pieces(&space, &arrangement);
            let renamed: Arrangement = arrangement.iter().rev().copied().collect();
            let other = pieces(&space, &renamed);
            prop_assert!((variance(&[&own], &[1.0]) - variance(&[&other], &[1.0])).abs() < 1e-15);
            // Turning one tray in every arrangement alike only renames its pieces.
            let mut turned = arrangement.clone();
            turned[0].turned = !turned[0].turned;
            let other = pieces(&space, &turned);
            prop_assert!((variance(&[&own], &[1.0]) - variance(&[&other], &[1.0])).abs() < 1e-15);
        }
        let spot = &space.spots[0];
        for piece in 0..space.cells.count() {
            prop_assert_eq!(spot.place_of(spot.place_of(piece, true), true), piece);
            prop_assert_ne!(spot.place_of(piece, true), piece);
        }
    }
}

#[test]
fn a_left_to_right_slope_takes_one_turn() {
    let field = Smooth {
        racks: vec![[0.0, 1.0, 0.0, 0.0, 0.0, 0.0]],
    };
    let space = load(1, 1, 40.0).spread(&field).unwrap();
    let found = search(&space, &Effort::exhaustive(4)).unwrap();
    assert!(found.handlings[0].variance > 1e-4);
    for handling in &found.handlings[1..] {
        assert!(handling.variance < 1e-12);
        assert_eq!(handling.arrangements.len(), 2);
        assert!((handling.shares[0] - 0.5).abs() < 1e-9);
    }
}

/// The middle rack slopes much and turns even but for little; the other slopes little and turns fully even. Turned, the
/// other gains too little to leave the middle for it; unturned, it is the one to use, and then it is the one to turn.
#[test]
fn a_plan_that_left_a_rack_for_another_is_turned_there() {
    let source = Smooth {
        racks: vec![
            [0.0, 0.0, 0.2, 0.0, 0.0, 0.0],
            [0.0, 0.0, 1.0, 0.0, 0.1, 0.0],
            [0.0, 0.0, 1.0, 0.0, 0.1, 0.0],
        ],
    };
    let space = load(1, 3, 40.0).spread(&source).unwrap();
    let effort = Effort {
        negligible: 0.01,
        ..Effort::exhaustive(1)
    };
    let found = search(&space, &effort).unwrap().handlings;
    let rack_of = |h: &Handling| space.spots[h.arrangements[0][0].spot].rack;
    assert_eq!((rack_of(&found[0]), rack_of(&found[1])), (1, 1));
    assert_eq!(found[1].arrangements.len(), 2);
    assert!(found[1].variance < 1e-12, "{}", found[1].variance);
}

#[test]
fn a_flat_oven_needs_no_opening() {
    let field = Smooth {
        racks: vec![[0.0; 6]; 5],
    };
    let space = load(2, 5, 36.0).spread(&field).unwrap();
    let found = search(&space, &Effort::exhaustive(4)).unwrap();
    for handling in &found.handlings {
        assert!(handling.variance < 1e-15);
        assert_eq!(handling.arrangements.len(), 1);
        // Middle racks, centred.
        assert!(
            handling.arrangements[0]
                .iter()
                .all(|at| space.spots[at.spot].is_centred())
        );
    }
}

#[test]
fn too_many_openings_and_too_few_racks_are_said() {
    let field = Smooth {
        racks: vec![[0.0; 6]; 2],
    };
    let space = load(1, 2, 40.0).spread(&field).unwrap();
    assert_eq!(
        search(&space, &Effort::exhaustive(5)),
        Err(PlannerError::Openings(5))
    );
    let error = load(3, 2, 40.0).spread(&field).unwrap_err();
    assert_eq!(
        error,
        PlannerError::Racks {
            trays: 3,
            usable: 2
        }
    );
    assert!(error.to_string().contains("3 trays need 3"));
}
