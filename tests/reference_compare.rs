//! The plain paired tests against figures published or computed outside this project.

use rackshade::{
    compare::{PairedTests, paired_tests},
    numeric::student,
};

/// Data rows of a CSV table, without `#` lines and header; asserts how many there are.
fn rows(text: &str, count: usize) -> Vec<Vec<f64>> {
    let rows: Vec<Vec<f64>> = text
        .lines()
        .filter(|l| !l.starts_with('#') && !l.trim().is_empty())
        .skip(1)
        .map(|l| {
            l.split(',')
                .map(|cell| cell.parse().expect("a number in the reference table"))
                .collect()
        })
        .collect();
    assert_eq!(rows.len(), count, "the reference table changed");
    rows
}

#[track_caller]
fn close(got: f64, wanted: f64) {
    assert!(
        (got - wanted).abs() <= 0.5e-6 * wanted.abs(),
        "{got} against {wanted}"
    );
}

fn interval(t: &PairedTests) -> (f64, f64) {
    let half = student::half_width(0.95, (t.n - 1) as f64) * t.standard_error;
    (t.mean - half, t.mean + half)
}

/// scipy 1.17.1, the figures in the table's own header: `ttest_rel`, and `wilcoxon` counted out.
#[test]
fn sixteen_pairs_give_the_computed_t_and_rank_sum() {
    let table = rows(include_str!("reference/paired_tests_scipy.csv"), 16);
    let pairs: Vec<_> = table.iter().map(|r| (r[0], r[1])).collect();
    let got = paired_tests(&pairs).unwrap();
    close(got.t.unwrap(), 4.422_287_430_07);
    close(got.p, 0.000_494_355_214_857);
    let (lo, hi) = interval(&got);
    close(lo, 0.032_149_680_104_6);
    close(hi, 0.091_975_319_895_4);
    close(got.w, 10.0);
    close(got.p_w, 0.001_312_255_859_38);
}

/// Student 1908, the sleep of ten people (Cushny and Peebles 1905); the paired result from memory and
/// recomputed, as the table's header says. One difference is nothing and two are alike: the signed
/// ranks are those of scipy 1.17.1 `wilcoxon`, which counts ten pairs out.
#[test]
fn students_sleep_gives_the_published_t() {
    let table = rows(include_str!("reference/student_sleep_paired.csv"), 10);
    let pairs: Vec<_> = table.iter().map(|r| (r[1], r[2])).collect();
    let got = paired_tests(&pairs).unwrap();
    close(got.t.unwrap(), -4.062_127_683_4);
    close(got.p, 0.002_832_890_2);
    close(got.mean, -1.58);
    close(got.standard_error * 10_f64.sqrt(), 1.229_995_483_3);
    let (lo, hi) = interval(&got);
    close(lo, -2.459_885_8);
    close(hi, -0.700_114_2);
    assert!(got.w.abs() < 1e-12);
    close(got.p_w, 0.003_906_25);
}

const BEFORE: [f64; 16] = [
    5.0, 5.5, 4.0, 4.5, 3.5, 6.0, 5.5, 5.0, 4.0, 4.5, 3.5, 4.0, 6.0, 5.0, 5.5, 4.5,
];
const AFTER: [f64; 16] = [
    4.5, 5.0, 4.0, 4.0, 3.5, 5.0, 5.0, 5.5, 3.5, 4.5, 4.0, 4.0, 5.0, 4.5, 5.0, 4.0,
];

/// Half steps of the shade card tie often. Computed with scipy 1.17.1 for these very figures:
/// `ttest_rel`, and `wilcoxon` with every one of the 65 536 patterns of signs (`PermutationMethod`).
#[test]
fn tied_half_steps_are_counted_out() {
    let pairs: Vec<_> = BEFORE.into_iter().zip(AFTER).collect();
    let got = paired_tests(&pairs).unwrap();
    close(got.w, 11.0);
    close(got.p_w, 0.027_343_75);
    close(got.t.unwrap(), 2.824_663_414_330);
    close(got.p, 0.012_805_919_279_760);
}

/// The same sixteen pairs five times over are too many to count out: scipy 1.17.1
/// `wilcoxon(method="asymptotic")`, ties corrected for, no continuity correction.
#[test]
fn many_tied_pairs_give_the_computed_approximation() {
    let pairs: Vec<_> = BEFORE.into_iter().zip(AFTER).collect();
    let got = paired_tests(&pairs.repeat(5)).unwrap();
    close(got.w, 255.0);
    close(got.p_w, 1.555_149_467_658_727_8e-7);
}
