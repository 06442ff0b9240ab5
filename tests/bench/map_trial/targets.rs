//! What the map is meant to reach, with the figures of a study beside it.

use super::Tally;
use crate::known_ovens::Kind;

/// Kinds that are a plain tilt.
const TILTS: [&str; 2] = ["front-back", "warm wall"];
/// Kinds with patterns finer than slices, which no slice can see.
const FINE: [&str; 1] = ["bars"];

/// Prints each target with its figure.
pub(crate) fn set_beside(kinds: &[Kind], tallies: &[Tally], all: &Tally) {
    println!("\nmeant to be, and is");
    errors(kinds, tallies, all);
    cover(kinds, tallies, all);
    telling(kinds, tallies, all);
}

fn say(holds: bool, what: &str, figure: &str) {
    println!("  {} {what}: {figure}", if holds { "yes" } else { "NO " });
}

fn percent(share: f64) -> String {
    format!("{:.1} %", 100.0 * share)
}

fn errors(kinds: &[Kind], tallies: &[Tally], all: &Tally) {
    let [map, stock, bilinear] = all.errors();
    let (by_stock, by_bilinear) = (1.0 - map / stock, 1.0 - map / bilinear);
    say(
        by_stock >= 0.20,
        "error 20 % below the stock process",
        &percent(by_stock),
    );
    say(
        by_bilinear >= 0.12,
        "error 12 % below bilinear",
        &percent(by_bilinear),
    );
    let worst = |yardstick: usize, among: &dyn Fn(&Kind) -> bool| {
        let (name, ratio) = kinds
            .iter()
            .zip(tallies)
            .filter(|(k, _)| among(k))
            .map(|(k, t)| (k.name, t.errors()[0] / t.errors()[yardstick]))
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .unwrap_or(("none", 0.0));
        (ratio, format!("at most {ratio:.2} times it, {name}"))
    };
    let (ratio, figure) = worst(2, &|_| true);
    say(ratio < 1.0, "error below bilinear in every kind", &figure);
    let (ratio, figure) = worst(1, &|k| k.flat || TILTS.contains(&k.name));
    say(
        ratio <= 1.18,
        "within 18 % of the stock process on tilts and flat ovens",
        &figure,
    );
}

fn cover(kinds: &[Kind], tallies: &[Tally], all: &Tally) {
    let cover = all.cover();
    say(
        (0.88..=0.94).contains(&cover),
        "cover .88 to .94",
        &format!("{cover:.3}"),
    );
    let outside: Vec<String> = kinds
        .iter()
        .zip(tallies)
        .filter(|(kind, t)| {
            let least = if FINE.contains(&kind.name) {
                0.60
            } else {
                0.80
            };
            !(least..=0.98).contains(&t.cover())
        })
        .map(|(kind, t)| format!("{} {:.3}", kind.name, t.cover()))
        .collect();
    say(
        outside.is_empty(),
        "cover of every kind .80 (bars .60) to .98",
        &if outside.is_empty() {
            "all".to_owned()
        } else {
            outside.join(", ")
        },
    );
    let spread = all.share(all.spread_covered);
    say(
        (0.85..=0.95).contains(&spread),
        "spread in its interval 85 to 95 %",
        &percent(spread),
    );
}

fn telling(kinds: &[Kind], tallies: &[Tally], all: &Tally) {
    let [f1, stock, bilinear, _] = all.f1().map(|v| v.unwrap_or(0.0));
    say(
        f1 >= stock.max(bilinear) + 0.05,
        "F1 of the hot area .05 above both",
        &format!("{f1:.3} for {stock:.3} and {bilinear:.3}"),
    );
    let [right, both_right, _, told] = all.zones().map(|v| v.unwrap_or(0.0));
    say(right >= 0.95, "plain zones right in 95 %", &percent(right));
    say(
        both_right >= 0.80,
        "zones at both strengths right in 80 %",
        &percent(both_right),
    );
    say(
        told >= 0.35,
        "both strengths tell 35 % of the area",
        &percent(told),
    );
    let mut flat = Tally::default();
    for (_, tally) in kinds.iter().zip(tallies).filter(|(k, _)| k.flat) {
        flat.add(tally);
    }
    if flat.ovens > 0 {
        let even = flat.share(flat.called_even);
        say(
            even >= 0.97,
            "flat ovens without a zone 97 %",
            &percent(even),
        );
    }
}
