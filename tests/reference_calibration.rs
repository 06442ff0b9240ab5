//! The calibration engine against figures published or computed outside this project.

use rackshade::{
    calibration::{
        Estimate, Line, Point, Surroundings, Told,
        drift::{slope, trend},
        recovery,
    },
    numeric::student,
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

fn pairs(text: &str, count: usize) -> Vec<(f64, f64)> {
    let number = |cell: &str| cell.parse().expect("a number in the reference table");
    rows(text, count)
        .iter()
        .map(|r| (number(r[0]), number(r[1])))
        .collect()
}

/// Asserts agreement to so many significant digits.
fn close(got: f64, wanted: f64, digits: i32, what: &str) {
    let miss = (got / wanted - 1.0).abs();
    assert!(
        miss < 0.5 * 10_f64.powi(1 - digits),
        "{what}: {got} against {wanted}"
    );
}

/// Asserts that a figure rounds to what is printed.
fn printed(got: f64, decimals: usize, wanted: &str) {
    assert_eq!(format!("{got:.decimals$}"), wanted);
}

/// JCGM 100:2008 (GUM), example H.3, "Calibration of a thermometer", Table H.6 and results; every digit.
#[test]
fn the_guide_to_uncertainty_calibrates_a_thermometer() {
    let points: Vec<Point> = pairs(include_str!("reference/gum_h3_thermometer.csv"), 11)
        .into_iter()
        .map(|(x, y)| Point { x, y, sd: None })
        .collect();
    let line = Line::fit(&points, 20.0).unwrap();
    printed(line.intercept, 4, "-0.1712");
    printed(line.sds().0, 4, "0.0029");
    printed(line.slope, 5, "0.00218");
    printed(line.sds().1, 5, "0.00067");
    printed(line.correlation().unwrap(), 3, "-0.930");
    printed(line.residual_sd, 4, "0.0035");
    let at = line.at(30.0);
    printed(at.value, 4, "-0.1494");
    printed(at.sd, 4, "0.0041");
}

/// NIST Statistical Reference Datasets, "Norris" (ozone monitor calibration): nine significant digits.
#[test]
fn nist_norris_to_nine_digits() {
    let points: Vec<Point> = pairs(include_str!("reference/nist_norris.csv"), 36)
        .into_iter()
        .map(|(y, x)| Point { x, y, sd: None })
        .collect();
    let line = Line::fit(&points, 0.0).unwrap();
    close(line.intercept, -0.262_323_073_774_029, 9, "intercept");
    close(line.slope, 1.002_116_818_020_45, 9, "slope");
    close(line.sds().0, 0.232_818_234_301_152, 9, "its error");
    close(line.sds().1, 0.429_796_848_199_937e-3, 9, "its error");
    close(line.residual_sd, 0.884_796_396_144_373, 9, "residual sd");
    close(line.r_squared, 0.999_993_745_883_712, 9, "r squared");
}

/// scipy 1.17.1 `curve_fit`, `sigma` the standard errors or the whole covariance, `absolute_sigma`: six digits. Two
/// thermometers, known to 0.3 and 2.5, read in shares.
#[test]
fn lines_with_given_errors_agree_with_scipy() {
    let x = [150.0, 165.0, 180.0, 200.0, 225.0];
    let y = [142.6, 156.5, 171.4, 190.6, 213.6];
    let sd = [0.4, 0.9, 0.3, 0.5, 0.8];
    let shares: [&[(usize, f64)]; 5] = [
        &[(0, 0.3)],
        &[(1, 2.5)],
        &[(0, 0.7 * 0.3), (1, 0.3 * 2.5)],
        &[(1, 2.5)],
        &[(0, 0.5 * 0.3), (1, 0.5 * 2.5)],
    ];
    let points: Vec<Point> = (0..5)
        .map(|i| Point {
            x: x[i],
            y: y[i],
            sd: Some(sd[i]),
        })
        .collect();
    let told: Vec<Told> = (0..5)
        .map(|i| Told {
            x: x[i],
            y: Estimate {
                value: y[i],
                sd: sd[i],
                df: f64::INFINITY,
            },
            shared: shares[i].to_vec(),
        })
        .collect();
    let weighted = (
        Line::fit(&points, 180.0).unwrap(),
        [171.295_311_6, 0.953_729_632],
        [0.204_690_976, 0.009_741_209_8],
        [204.675_848_71, 0.416_481_279],
    );
    let general = (
        Line::through(&told, 180.0).unwrap(),
        [171.254_957_31, 0.952_594_332],
        [0.465_871_566, 0.012_778_404_7],
        [204.595_758_94, 0.776_248_087],
    );
    for (line, values, sds, at) in [weighted, general] {
        close(line.intercept, values[0], 6, "intercept");
        close(line.slope, values[1], 6, "slope");
        close(line.sds().0, sds[0], 6, "its error");
        close(line.sds().1, sds[1], 6, "its error");
        close(line.at(215.0).value, at[0], 6, "the line");
        close(line.at(215.0).sd, at[1], 6, "its error");
    }
}

/// Graybill and Iyer 1994, Regression Analysis, crystal weights over hours of growth: the time at which the mean
/// weight is 8 g, with its 95 % interval, as the manual of the R package investr 1.4.2 prints it (`calibrate`,
/// mean response); a root search by scipy 1.17.1 on the band gives 15.888195, 14.658959 and 17.159632.
#[test]
fn an_inverse_prediction_agrees_with_a_published_example() {
    let points: Vec<Point> = pairs(include_str!("reference/crystal_growth.csv"), 14)
        .into_iter()
        .map(|(x, y)| Point { x, y, sd: None })
        .collect();
    for origin in [0.0, 15.0, 100.0] {
        let line = Line::fit(&points, origin).unwrap();
        let (x, lo, hi) = line.inverse(8.0, 0.95).unwrap();
        printed(x, 5, "15.88820");
        printed(lo, 5, "14.65896");
        printed(hi, 5, "17.15963");
    }
}

/// scipy 1.17.1 `curve_fit`: six digits.
#[test]
fn recovery_after_the_door_agrees_with_scipy() {
    let data = pairs(include_str!("reference/recovery_scipy.csv"), 21);
    let got = recovery(&data, &Surroundings::default()).unwrap();
    close(got.hold.value, 175.675_235_4, 6, "hold");
    close(got.drop.value, 31.408_463_4, 6, "drop");
    close(got.tau.value, 133.513_129_8, 6, "tau");
    close(got.hold.sd, 0.260_421_783_2, 6, "error of the hold");
    close(got.drop.sd, 0.457_298_756_3, 6, "error of the drop");
    close(got.tau.sd, 4.713_063_725_9, 6, "error of tau");
    let (lo, hi) = got.tau_interval(0.9);
    assert!(lo < got.tau.value && hi > got.tau.value && hi - lo < 25.0);
}

/// scipy 1.17.1 `theilslopes` (0.95) and `kendalltau` (exact): six digits.
#[test]
fn drift_agrees_with_scipy() {
    let data = pairs(include_str!("reference/drift_scipy.csv"), 12);
    let got = slope(&data, 0.95).unwrap();
    close(got.value, -0.042_241_707_968, 6, "slope");
    close(got.intercept, -6.203_393_061_38, 6, "intercept");
    close(got.lo, -0.05, 6, "lower end");
    close(got.hi, -0.035_096_153_846_2, 6, "upper end");
    let trend = trend(&data).unwrap();
    close(trend.tau, -0.909_090_909_091, 6, "tau");
    close(trend.p, 1.465_548_340_55e-6, 6, "exact p");
}

/// Small worked examples named in the table: S, Var(S), Z, p and slope; D has ties.
#[test]
fn small_trends_agree_with_their_published_figures() {
    let table = rows(include_str!("reference/trend_small_examples.csv"), 25);
    let set = |name: &str| -> Vec<(f64, f64)> {
        table
            .iter()
            .filter(|r| r[0] == name)
            .map(|r| (r[1].parse().unwrap(), r[2].parse().unwrap()))
            .collect()
    };
    for (name, n, score, variance, z, p, steep) in [
        (
            "B",
            4,
            4,
            8.666_666_667,
            1.019_049_330_7,
            0.308_179_547_5,
            2.916_666_666_7,
        ),
        ("C", 10, 37, 125.0, 3.219_937_887_6, 0.001_282_183_8, 0.25),
        (
            "D",
            11,
            30,
            159.333_333_3,
            2.297_442_638_6,
            0.021_593_531_8,
            0.6,
        ),
    ] {
        let data = set(name);
        assert_eq!(data.len(), n);
        let got = trend(&data).unwrap();
        assert_eq!(got.score, score, "set {name}");
        close(got.variance, variance, 6, "variance");
        close(got.z, z, 6, "z");
        close(got.p_normal, p, 6, "p");
        close(slope(&data, 0.95).unwrap().value, steep, 6, "slope");
    }
    // B by hand: exact one-sided p of S = 4 with n = 4 is 0.167 (Gilbert 1987, from memory).
    assert!((trend(&set("B")).unwrap().p / 2.0 - 0.167).abs() < 0.0005);
    // A: y = 1..100 has S = 4950, Var(S) = 112 750, z = 14.738 699 982 083 31, tau = 1.
    let rising: Vec<(f64, f64)> = (1..=100).map(|i| (f64::from(i), f64::from(i))).collect();
    let got = trend(&rising).unwrap();
    assert_eq!(got.score, 4950);
    close(got.variance, 112_750.0, 6, "variance");
    close(got.z, 14.738_699_982_083_31, 6, "z");
    close(got.tau, 1.0, 6, "tau");
}

/// scipy 1.17.1: the quantiles that every interval is made of.
#[test]
fn student_t_quantiles_agree_with_scipy() {
    for r in rows(include_str!("reference/student_t_scipy.csv"), 36) {
        let [df, p, wanted]: [f64; 3] = [0, 1, 2].map(|i| r[i].parse().unwrap());
        close(student::quantile(p, df), wanted, 8, "t");
    }
}
