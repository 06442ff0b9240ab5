//! Study of the map: how far it is from the truth, whether its intervals hold it, and what its zones tell,
//! on ovens of two generators, against a stock Gaussian process and bilinear interpolation.
//!
//! `cargo bench --bench study` runs 50 ovens of each open kind; `-- fast` eight of each; `-- 3` three times
//! as many. `-- sealed` runs the kinds that nothing is chosen by, `-- all` every kind. `-- possible` says
//! instead what one would reach who knows how the ovens are drawn. Ovens, scatter and seeds are invented
//! here; the truth of each is known.

#![expect(
    clippy::print_stdout,
    clippy::disallowed_methods,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a bench prints and takes the time, and draws whole numbers"
)]

use known_ovens::{Choice, Kind, kinds};
use map_trial::{Tally, four_racks, possible::Known, run, targets};
use std::time::Instant;

mod known_ovens;
mod map_trial;
mod ovens_second;
mod stock;
#[path = "synthetic/oven.rs"]
mod synthetic;

fn main() {
    let fast = std::env::args().any(|a| a == "fast");
    let times: usize = std::env::args().find_map(|a| a.parse().ok()).unwrap_or(1);
    let each = times * if fast { 8 } else { 50 };
    let started = Instant::now();
    let kinds = kinds(Choice::of_arguments());
    let known = std::env::args()
        .any(|a| a == "possible")
        .then(|| Known::draw(&kinds));
    let tallies: Vec<Tally> = kinds
        .iter()
        .map(|kind| {
            let mut tally = Tally::default();
            for repeat in 0..each {
                match &known {
                    Some(known) => known.run(kind, repeat, &mut tally),
                    None => run(kind, repeat, &mut tally),
                }
            }
            tally
        })
        .collect();
    let mut all = Tally::default();
    for tally in &tallies {
        all.add(tally);
    }
    report(&kinds, &tallies, &all);
    if known.is_some() {
        return;
    }
    targets::set_beside(&kinds, &tallies, &all);
    let four = four_racks::run(&kinds, each.div_ceil(6));
    println!("\nfour racks of 5 x 4, scatter 1.6: {four}");
    println!(
        "fit and map {:.1} ms each; the study {:.1} s",
        1e3 * all.seconds / all.ovens as f64,
        started.elapsed().as_secs_f64()
    );
}

fn report(kinds: &[Kind], tallies: &[Tally], all: &Tally) {
    println!(
        "                                RMSE, L*            90 % interval      F1 of the hot area"
    );
    println!(
        "oven                  ovens  map   stock  bilin.  cover width contr. stock  map  stock bilin. zones"
    );
    let lines = || {
        let named = kinds.iter().map(|k| k.name).zip(tallies);
        named.chain([("all", all)])
    };
    for (name, t) in lines() {
        let [map, stock, bilinear] = t.errors();
        let per_cell = |v: f64| v / t.cells;
        println!(
            "{name:21} {:4}  {map:5.2} {stock:6.2} {bilinear:6.2}   {:4.2}  {:5.2}  {:4.2}  {:4.2}  {}",
            t.ovens,
            t.cover(),
            per_cell(t.width),
            per_cell(t.contrast_covered),
            per_cell(t.stock_covered),
            t.f1().map(or_dash).join("  "),
        );
    }
    println!(
        "\n                      zones: right             of the off area     no   spread in its        off   scatter"
    );
    println!(
        "oven                  plainly  both  (a quarter)  plainly  both    zone  interval above width   area  told/true"
    );
    for (name, t) in lines() {
        let [plain, both, plain_of, both_of] = t.zones().map(or_dash);
        println!(
            "{name:21}  {plain}   {both}     {}       {plain_of}    {both_of}    {:4.2}    {:4.2}   {:4.2}  {:4.2}   {:4.2}    {:4.2}",
            or_dash(t.nearly_right()),
            t.share(t.called_even),
            t.share(t.spread_covered),
            t.share(t.spread_above),
            t.spread_width / t.ovens as f64,
            t.off / t.cells,
            (t.ln_scatter / t.ovens as f64).exp(),
        );
    }
}

fn or_dash(share: Option<f64>) -> String {
    share.map_or("   -".to_owned(), |v| format!("{v:4.2}"))
}
