use super::*;
use crate::{
    model::{
        Mode,
        shade::{EYE_SD_SHADE, browning_per_shade},
    },
    numeric::random::Stream,
    units::Celsius,
};

const COOKIE: DoseCurve = DoseCurve {
    start: Celsius(20.0),
    rise_s: 150.0,
    plateau_min: 2.5,
    approach_s: 180.0,
    reach: 0.85,
};
const HEAT: Heat = Heat::new(Celsius(176.7), 70_000.0);
fn course() -> Course {
    Course {
        heat: HEAT,
        door: DoorModel::typical(Mode::StillAir, 1),
        shut: Vec::new(),
    }
}

const USUAL: Minutes = Minutes(11.0);

/// Bakes of six pieces at each of `pulls` minutes, all at one rate; full browning is shade 5.
fn bakes(
    log: [f64; 2],
    pulls: &[f64],
    count: usize,
    noise: &mut dyn FnMut() -> f64,
) -> Vec<Sample> {
    let curve = stretched(&COOKIE, log);
    let dose = Dose::new(&curve, &HEAT, USUAL);
    let shade = browning_per_shade();
    let mut out = Vec::new();
    for bake in 0..count {
        for &pull in pulls {
            for _ in 0..6 {
                let exact = 5.0 * dose.share(Minutes(pull));
                let read = ((exact + EYE_SD_SHADE * noise()) * 2.0).round() / 2.0;
                out.push(Sample {
                    bake,
                    stretches: vec![Stretch {
                        from: Minutes(0.0),
                        to: Minutes(pull),
                        rate: 1.0,
                    }],
                    browning: read.clamp(0.0, 9.0) * shade,
                    sd: EYE_SD_SHADE.hypot(0.144) * shade,
                });
            }
        }
    }
    out
}

/// One bake's pieces at a place of this rate, pulled at these minutes and read without error.
fn exact(dose: &Dose, pulls: [f64; 4], rate: f64) -> Vec<Sample> {
    let of = |pull| Sample {
        bake: 0,
        stretches: vec![Stretch {
            from: Minutes(0.0),
            to: Minutes(pull),
            rate,
        }],
        browning: dose.share(Minutes(pull)),
        sd: 1e-5,
    };
    pulls.map(of).to_vec()
}

#[test]
fn pieces_without_noise_bring_the_curve_back_up_to_the_priors_pull() {
    let log = [-0.3, 0.2];
    let curve = stretched(&COOKIE, log);
    let dose = Dose::new(&curve, &HEAT, USUAL);
    let samples = exact(&dose, [6.0, 7.5, 9.0, 11.0], 2.0);
    let found = refit(&COOKIE, &[course()], &samples, USUAL).unwrap();
    assert!(found.converged && found.learned > 0.99, "{found:?}");
    assert!(
        (found.warming.value.ln() - log[0]).abs() < 0.01,
        "{found:?}"
    );
    assert!(
        (found.approach.value.ln() - log[1]).abs() < 0.01,
        "{found:?}"
    );
    assert!((found.half.value - dose.time_of(0.5).0 / USUAL.0).abs() < 1e-3);
}

#[test]
fn a_turn_at_another_time_teaches_too() {
    // Two halves of a tray, one on a side twice as hot, changed over at 8 minutes.
    let curve = stretched(&COOKIE, [-0.4, -0.4]);
    let dose = Dose::new(&curve, &HEAT, USUAL);
    let piece = |first: f64, second: f64| {
        let turn = Minutes(8.0);
        let stretches = vec![
            Stretch {
                from: Minutes(0.0),
                to: turn,
                rate: first,
            },
            Stretch {
                from: turn,
                to: USUAL,
                rate: second,
            },
        ];
        let browning = first * dose.share(turn) + second * (1.0 - dose.share(turn));
        Sample {
            bake: 0,
            stretches,
            browning,
            sd: 0.01,
        }
    };
    let samples = [piece(1.0, 2.0), piece(2.0, 1.0), piece(1.0, 1.0)];
    let found = refit(&COOKIE, &[course()], &samples, USUAL).unwrap();
    let truth = dose.time_of(0.5).0 / USUAL.0;
    assert!(found.is_enough(), "{found:?}");
    assert!(
        found.half.lo < truth && truth < found.half.hi,
        "{found:?} {truth}"
    );
    assert!((found.half.value - truth).abs() < (found.half_before.value - truth).abs() / 2.0);
}

#[test]
fn pieces_pulled_together_teach_nothing_and_say_so() {
    let samples = bakes([-0.4, -0.4], &[11.0], 4, &mut || 0.0);
    let found = refit(&COOKIE, &vec![course(); 4], &samples, USUAL).unwrap();
    assert!(found.learned < 0.01 && !found.is_enough(), "{found:?}");
    assert!((found.half.value - found.half_before.value).abs() < 1e-3);
}

#[test]
fn what_cannot_be_is_refused() {
    let mut samples = bakes([0.0; 2], &[8.0, 11.0], 1, &mut || 0.0);
    assert_eq!(
        refit(&COOKIE, &[course()], &samples[..2], USUAL).unwrap_err(),
        RefitError::TooFew(2)
    );
    samples[3].browning = f64::NAN;
    assert_eq!(
        refit(&COOKIE, &[course()], &samples, USUAL).unwrap_err(),
        RefitError::Figure(4)
    );
}

/// Kitchens whose true curve is drawn from the prior, three bakes each, six pieces pulled at each of three
/// times, read by eye to half steps: how often the 90 % interval holds the true share of time at half of
/// the browning. The figure stands in tests/bench/RESULTS.md.
#[test]
fn intervals_hold_the_true_curve_as_often_as_they_say() {
    const RUNS: usize = 300;
    let mut stream = Stream::new(11);
    let (mut held, mut enough, mut error, mut before) = (0, 0, 0.0, 0.0);
    for _ in 0..RUNS {
        let log = [stream.normal() * PRIOR_SD, stream.normal() * PRIOR_SD];
        let samples = bakes(log, &[7.0, 9.0, 11.0], 3, &mut || stream.normal());
        let found = refit(&COOKIE, &vec![course(); 3], &samples, USUAL).unwrap();
        let truth = Dose::new(&stretched(&COOKIE, log), &HEAT, USUAL)
            .time_of(0.5)
            .0
            / USUAL.0;
        held += usize::from((found.half.lo..=found.half.hi).contains(&truth));
        enough += usize::from(found.is_enough());
        error += (found.half.value - truth).powi(2);
        before += (found.half_before.value - truth).powi(2);
    }
    let rate = |n: usize| n as f64 / RUNS as f64;
    let rms = |sum: f64| (sum / RUNS as f64).sqrt();
    println!(
        "held {:.3}, enough {:.3}, error {:.4}, of the default {:.4}",
        rate(held),
        rate(enough),
        rms(error),
        rms(before)
    );
    // 90 % less or more three standard errors of a share of 300 runs.
    assert!((0.85..=0.95).contains(&rate(held)), "{}", rate(held));
    assert!(rms(error) < rms(before) / 2.0);
}

/// Pieces turned at 5 minutes and pulled later than the plain course would have it: that the air fell meanwhile is no news
/// of the food.
#[test]
fn an_opening_is_not_taken_for_an_earlier_browning() {
    let turned = Course {
        shut: vec![Minutes(5.0)],
        ..course()
    };
    let dose = turned.dose(&COOKIE, USUAL);
    let samples = exact(&dose, [6.5, 8.0, 9.5, 11.0], 1.0);
    let half = |courses: &[Course]| refit(&COOKIE, courses, &samples, USUAL).unwrap().half.value;
    let truth = Dose::new(&COOKIE, &HEAT, USUAL).time_of(0.5).0 / USUAL.0;
    assert!((half(&[turned]) - truth).abs() < 1e-3);
    assert!((half(&[course()]) - truth).abs() > 3e-3);
}
