//! Colour against published and independently computed numbers.
#![expect(
    clippy::unwrap_used,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a table that cannot be read fails the test; channels are 0 to 255"
)]

use rackshade::colour::{Lab, Ramp, Rgb, ciede2000, lab_to_srgb, srgb_to_lab, toast_colour};
use std::path::Path;

/// Rows of a reference table, comment lines and the heading left out.
fn rows(name: &str) -> Vec<Vec<f64>> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/reference")
        .join(name);
    std::fs::read_to_string(path)
        .unwrap()
        .lines()
        .filter(|l| !l.starts_with('#'))
        .skip(1)
        .map(|l| l.split(',').map(|v| v.parse().unwrap()).collect())
        .collect()
}

#[test]
fn ciede2000_gives_the_34_published_differences() {
    // Sharma, Wu and Dalal 2005, table 1: four decimals.
    let pairs = rows("ciede2000_sharma2005.csv");
    assert_eq!(pairs.len(), 34);
    for p in pairs {
        let (one, other) = (Lab::new(p[0], p[1], p[2]), Lab::new(p[3], p[4], p[5]));
        for got in [ciede2000(one, other), ciede2000(other, one)] {
            assert!(
                (got - p[6]).abs() < 0.000_05,
                "{one:?} {other:?}: {got}, published {}",
                p[6]
            );
        }
    }
}

#[test]
fn srgb_agrees_with_an_independent_lab_conversion() {
    // scikit-image 0.26.0, IEC 61966-2-1; 0.02 is agreement, as the table's heading says.
    let patches = rows("srgb_lab_skimage.csv");
    assert_eq!(patches.len(), 75);
    for p in patches {
        let channel = |v: f64| v as u8;
        let lab = srgb_to_lab(Rgb(channel(p[0]), channel(p[1]), channel(p[2])));
        for (got, expected) in [(lab.l, p[3]), (lab.a, p[4]), (lab.b, p[5])] {
            assert!((got - expected).abs() < 0.02, "{p:?}: {lab:?}");
        }
    }
}

/// CIEDE2000 between neighbours `stride` apart in a ramp's table.
fn steps(ramp: &Ramp, stride: usize) -> Vec<f64> {
    let table = ramp.table();
    let labs: Vec<Lab> = table
        .iter()
        .step_by(stride)
        .map(|&c| srgb_to_lab(c))
        .collect();
    labs.windows(2).map(|w| ciede2000(w[0], w[1])).collect()
}

fn ratio(steps: &[f64]) -> f64 {
    let high = steps.iter().copied().fold(0.0, f64::max);
    let low = steps.iter().copied().fold(f64::INFINITY, f64::min);
    high / low
}

#[test]
fn equal_steps_on_a_ramp_look_equal() {
    // Every 15th entry: 18 colours, 17 steps. Single entries lie within 8-bit rounding of each other.
    for ramp in [Ramp::browning(), Ramp::hot_cool()] {
        let steps = steps(ramp, 15);
        assert_eq!(steps.len(), 17);
        assert!(ratio(&steps) < 1.3, "{} {steps:?}", ratio(&steps));
    }
}

#[test]
fn the_browning_ramp_only_darkens_and_follows_the_toast() {
    let table = Ramp::browning().table();
    assert_eq!(table.len(), 256);
    let labs: Vec<Lab> = table.iter().map(|&c| srgb_to_lab(c)).collect();
    for w in labs.windows(2) {
        assert!(w[1].l < w[0].l + 0.3, "{w:?}");
    }
    assert!((labs[0].l - 84.0).abs() < 0.3 && (labs[255].l - 25.0).abs() < 0.3);
    for lab in labs {
        // What 8-bit rounding moves a colour, and no more: the whole path can be shown.
        assert!(ciede2000(lab, toast_colour(lab.l)) < 0.8, "{lab:?}");
    }
}

#[test]
fn both_arms_of_the_hot_cool_ramp_darken_from_the_middle() {
    let labs: Vec<Lab> = Ramp::hot_cool()
        .table()
        .iter()
        .map(|&c| srgb_to_lab(c))
        .collect();
    for w in labs[..128].windows(2) {
        assert!(w[1].l > w[0].l - 0.3, "cool arm: {w:?}");
    }
    for w in labs[128..].windows(2) {
        assert!(w[1].l < w[0].l + 0.3, "hot arm: {w:?}");
    }
    assert!(labs[127].l - labs[0].l > 45.0 && labs[128].l - labs[255].l > 45.0);
}

/// Dichromat simulation at full severity, linear RGB (Machado, Oliveira and Fernandes 2009; from memory).
const PROTAN: [[f64; 3]; 3] = [
    [0.152_286, 1.052_583, -0.204_868],
    [0.114_503, 0.786_281, 0.099_216],
    [-0.003_882, -0.048_116, 1.051_998],
];
const DEUTAN: [[f64; 3]; 3] = [
    [0.367_322, 0.860_646, -0.227_968],
    [0.280_085, 0.672_501, 0.047_413],
    [-0.011_820, 0.042_940, 0.968_881],
];
const TRITAN: [[f64; 3]; 3] = [
    [1.255_528, -0.076_749, -0.178_779],
    [-0.078_411, 0.930_809, 0.147_602],
    [0.004_733, 0.691_367, 0.303_900],
];

fn as_seen_by(matrix: &[[f64; 3]; 3], Rgb(r, g, b): Rgb) -> Lab {
    // IEC 61966-2-1 transfer function, both ways.
    let linear = [r, g, b].map(|v| {
        let v = f64::from(v) / 255.0;
        if v <= 0.040_45 {
            v / 12.92
        } else {
            ((v + 0.055) / 1.055).powf(2.4)
        }
    });
    let out = matrix.map(|row| {
        let v: f64 = row.iter().zip(linear).map(|(m, v)| m * v).sum();
        let v = v.clamp(0.0, 1.0);
        let v = if v <= 0.003_130_8 {
            v * 12.92
        } else {
            1.055 * v.powf(1.0 / 2.4) - 0.055
        };
        (v * 255.0).round() as u8
    });
    srgb_to_lab(Rgb(out[0], out[1], out[2]))
}

#[test]
fn the_simulation_leaves_grey_alone_and_confuses_red_with_green() {
    for matrix in [PROTAN, DEUTAN, TRITAN] {
        let grey = as_seen_by(&matrix, Rgb(120, 120, 120));
        assert!(ciede2000(grey, srgb_to_lab(Rgb(120, 120, 120))) < 1.0);
    }
    let (red, green) = (
        lab_to_srgb(Lab::new(55.0, 35.0, 30.0)),
        lab_to_srgb(Lab::new(55.0, -10.0, 40.0)),
    );
    let plain = ciede2000(srgb_to_lab(red), srgb_to_lab(green));
    let deutan = ciede2000(as_seen_by(&DEUTAN, red), as_seen_by(&DEUTAN, green));
    assert!(deutan < plain / 2.0, "{plain} {deutan}");
}

#[test]
fn hot_cool_and_mean_stay_apart_for_colour_blind_eyes() {
    // 20 units of CIEDE2000 is many times what is told apart side by side; half-way marks must
    // differ too, since most ovens never reach the ends.
    let ramp = Ramp::hot_cool();
    for (name, matrix) in [("protan", PROTAN), ("deutan", DEUTAN), ("tritan", TRITAN)] {
        let see = |t: f64| as_seen_by(&matrix, ramp.at(t));
        for (one, other) in [(0.0, 1.0), (0.0, 0.5), (0.5, 1.0), (0.25, 0.75)] {
            let difference = ciede2000(see(one), see(other));
            assert!(difference > 20.0, "{name} {one} {other}: {difference}");
        }
    }
}
