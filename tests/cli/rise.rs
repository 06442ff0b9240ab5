//! A dough's time at another temperature.

use crate::kit::Kitchen;

const KNOWN: [&str; 5] = ["rise", "--known", "60min@75F", "--at", "85F"];

#[test]
fn a_warmer_place_takes_less_time() {
    let k = Kitchen::empty();
    let told = k
        .run(&[&KNOWN[..], &["--dough", "yeast", "--json"]].concat())
        .json();
    let figure = |key: &str| told[key].as_f64().unwrap();
    assert!(figure("minutes") < 60.0 && figure("rate_ratio") > 1.0);
    assert!(figure("minutes_lo") < figure("minutes"));
    assert!(figure("minutes") < figure("minutes_hi"));
    // common practice, no source: about a tenth faster a degree C, here over 5.6 of them
    assert!(
        (1.3..2.2).contains(&figure("rate_ratio")),
        "{}",
        figure("rate_ratio")
    );
    let text = k.run(&[&KNOWN[..], &["--dough", "sourdough"]].concat());
    assert!(text.done().contains("min"));
}

#[test]
fn what_cannot_rise_is_refused() {
    let k = Kitchen::empty();
    for at in ["200F", "-5C", "85"] {
        let args = [
            "rise",
            "--known",
            "60min@75F",
            "--at",
            at,
            "--dough",
            "yeast",
        ];
        assert_eq!(k.run(&args).code, Some(2), "{at}");
    }
    // a weight tells nothing without the dough's own temperature
    let args = [&KNOWN[..], &["--dough", "yeast", "--mass-g", "900"]].concat();
    assert_eq!(k.run(&args).code, Some(2));
    let args = [
        &KNOWN[..],
        &["--dough", "yeast", "--start", "68F", "--mass-g", "0"],
    ]
    .concat();
    k.run(&args).refused("no dough's weight", "--mass-g 0");
}
