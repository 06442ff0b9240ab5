//! Cost of a map: fit, and mean with standard deviation on 200 x 150 cells.
//!
//! `cargo bench --bench fit`. One thread; the aim for 4 racks of 20 slices is 25 ms for both together.

use rackshade::{
    field::{self, Bound, Domain, Fit, Observation, Priors, Rack},
    numeric::random::Stream,
};

fn main() {
    divan::main();
}

/// Slices 5 x 4 on each of `racks` rack positions, with an invented hot corner and scatter.
fn slices(racks: u8) -> (Vec<Observation>, Domain) {
    let mut stream = Stream::new(5);
    let mut slices = Vec::new();
    for rack in 1..=racks {
        for i in 0..20_u8 {
            let (x, y) = (
                10.0 + 10.0 * f64::from(i % 5),
                10.0 + 8.0 * f64::from(i / 5),
            );
            let corner = (-((x - 5.0).powi(2) + (y - 40.0).powi(2)) / 400.0).exp();
            slices.push(Observation {
                rack,
                x,
                y,
                width: 10.0,
                depth: 10.0,
                browning: 0.4 + 0.15 * corner + 0.03 * stream.normal(),
                sd: 0.02,
                bound: Bound::Exact,
                batch: 0,
                lean: None,
            });
        }
    }
    let racks = (1..=racks).map(|number| Rack {
        number,
        height: 8.0 * f64::from(number),
    });
    (
        slices,
        Domain {
            width: 60.0,
            depth: 45.0,
            racks: racks.collect(),
        },
    )
}

fn fitted(racks: u8) -> Fit {
    let (slices, domain) = slices(racks);
    field::fit(&slices, &domain, &Priors::measured()).expect("sound slices fit")
}

#[divan::bench(args = [1, 2, 4])]
fn fit_and_map(bencher: divan::Bencher<'_, '_>, racks: u8) {
    let (slices, domain) = slices(racks);
    let priors = Priors::measured();
    bencher.bench(|| {
        field::fit(&slices, &domain, &priors)
            .expect("sound slices fit")
            .map(200, 150)
    });
}

#[divan::bench(args = [1, 4])]
fn map_only(bencher: divan::Bencher<'_, '_>, racks: u8) {
    let fit = fitted(racks);
    bencher.bench(|| fit.map(200, 150));
}
