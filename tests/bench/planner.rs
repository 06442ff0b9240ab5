//! How long the planner searches: three trays, five rack positions, up to four openings of the door.

use divan::{Bencher, black_box};
use rackshade::{
    field::Evidence,
    model::{
        Bread, Cavity, Mode, Reading, Setup, Shade, TestId, ToastTest, Tray,
        shade::browning_per_shade,
    },
    planner::{
        BrowningSource,
        search::{Effort, search},
        space::{Load, Site},
    },
    units::{Centimetres, Minutes},
    workflow::{
        catalogue::{bake_kind, oven_templates},
        ground::ground_of_pool,
        layout::{LayoutRequest, lay_out},
        plan::{PlanRequest, Told, plan_of},
        pool::Pool,
    },
};

/// A field with a slope across, a hot back and a hot corner, different on each rack position.
struct Uneven;

impl BrowningSource for Uneven {
    fn browning(&self, rack: u8, x: f64, y: f64) -> Option<f64> {
        let (u, v, r) = ((x - 30.0) / 30.0, (y - 22.0) / 22.0, f64::from(rack));
        let corner = (-((u + 0.7).powi(2) + (v - 0.6).powi(2)) / 0.3).exp();
        Some(
            0.6 + 0.06 * r.sin()
                + (0.05 + 0.02 * r) * u * (r * 0.7).cos()
                + 0.08 * v * v
                + 0.05 * v
                + 0.15 * corner / r,
        )
    }

    fn samples(&self, _: &[(u8, f64, f64)], _: usize) -> Vec<Vec<f64>> {
        Vec::new()
    }
}

fn load(trays: usize, width: f64) -> Load {
    Load {
        cavity: Cavity {
            width: Centimetres(60.0),
            depth: Centimetres(45.0),
            height: Centimetres(45.0),
        },
        tray: Tray {
            width: Centimetres(width),
            depth: Centimetres(width * 0.7),
            across: 4,
            deep: 3,
        },
        trays,
        sites: (1..=5)
            .map(|rack| Site {
                rack,
                height: Centimetres(f64::from(rack) * 7.5),
                evidence: Evidence::Tested,
            })
            .collect(),
    }
}

fn main() {
    divan::main();
}

/// Trays that leave room for shifts of 3 cm; a gain below 0.1 shade is negligible.
#[divan::bench(args = [1, 2, 3])]
fn five_racks_four_openings(bencher: Bencher, trays: usize) {
    let load = load(trays, 44.0);
    let effort = Effort {
        openings: 4,
        negligible: 0.1 * browning_per_shade(),
        configurations: Effort::CONFIGURATIONS,
    };
    bencher.bench(|| {
        let space = load.spread(&Uneven).expect("the load fits");
        search(black_box(&space), &effort).expect("the search ends")
    });
}

/// Trays so large that none can be shifted.
#[divan::bench]
fn no_room_to_shift(bencher: Bencher) {
    let load = load(3, 50.0);
    bencher.bench(|| {
        let space = load.spread(&Uneven).expect("the load fits");
        search(black_box(&space), &Effort::exhaustive(4)).expect("the search ends")
    });
}

/// The whole way from a fitted map to a plan: three trays, four openings, one toast test of three rack positions.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn whole_plan_on_a_fit(bencher: Bencher) {
    let oven = &oven_templates()[0].oven;
    let racks = vec![1, 3, 5];
    let laid = lay_out(
        oven,
        Mode::StillAir,
        &LayoutRequest::ordinary(racks.clone()),
    )
    .expect("the slices fit");
    let mut slices = laid.slices;
    for slice in &mut slices {
        let (x, y) = (slice.place.x.0, slice.place.y.0);
        let shade = Uneven.browning(slice.rack, x, y).expect("inside") / browning_per_shade();
        let on_card = (shade * 2.0).round().clamp(0.0, 18.0) / 2.0;
        slice.reading = Reading::ByEye(Shade::from_value(on_card).expect("on the card"));
    }
    let test = ToastTest {
        id: TestId::new("bench").expect("a sound id"),
        setup: Setup {
            oven: oven.id.clone(),
            mode: Mode::StillAir,
            dial: laid.dial,
            racks,
        },
        when: jiff::civil::date(2026, 3, 1).at(10, 0, 0, 0),
        minutes: Some(Minutes(12.0)),
        toasting: None,
        bread: Bread::default(),
        cursor: slices.len(),
        slices,
        note: String::new(),
        photos: Vec::new(),
    };
    let pool = Pool::of(oven, &[&test]);
    let ground = ground_of_pool(pool, Mode::StillAir, (24, 18)).expect("the scores give a map");
    let kind = bake_kind("thin-cookie").expect("a known kind").clone();
    let request = PlanRequest {
        trays: 3,
        max_openings: 4,
        ..PlanRequest::of(kind, Mode::StillAir, load(3, 40.0).tray)
    };
    bencher.bench(|| plan_of(black_box(&ground), &Told::default(), &request).expect("a plan"));
}
