//! One frame at 200 x 60 cells: four maps side by side with every overlay, true colour.

use rackshade::{
    field::{Evidence, RackMap},
    geometry::Grid,
    model::shade::browning_per_shade,
    report::{Quantity, Scale},
    tui::{
        theme::{Depth, Theme},
        widgets::{Legend, Overlay, Overlays, RackRaster},
    },
    units::TemperatureUnit,
};
use ratatui::{buffer::Buffer, layout::Rect};

fn main() {
    divan::main();
}

/// A smooth made-up map on the finest grid in use.
fn map(rack: u8) -> RackMap {
    let grid = Grid {
        cols: 200,
        rows: 150,
        width: 60.0,
        depth: 45.0,
    };
    let at = |i: usize| (grid.x(i % grid.cols), grid.y(i / grid.cols));
    let wave = |i: usize| {
        let (x, y) = at(i);
        4.0 + 1.5 * (x / 12.0 + f64::from(rack)).sin() * (y / 10.0).cos()
    };
    let mean: Vec<f64> = (0..grid.len())
        .map(|i| wave(i) * browning_per_shade())
        .collect();
    let rack_mean = mean.iter().sum::<f64>() / mean.len() as f64;
    let sd: Vec<f64> = (0..grid.len()).map(|i| 0.02 + 0.0008 * at(i).0).collect();
    RackMap {
        rack,
        evidence: Evidence::Tested,
        grid,
        contrast: mean.iter().map(|b| b - rack_mean).collect(),
        contrast_sd: sd.clone(),
        sd,
        mean,
        rack_mean,
        rack_mean_sd: 0.01,
    }
}

#[divan::bench(args = ["shade", "degrees"])]
fn four_maps_200x60(bencher: divan::Bencher, shown: &str) {
    let quantity = match shown {
        "shade" => Quantity::Shade,
        _ => Quantity::Degrees {
            unit: TemperatureUnit::Fahrenheit,
            per_c: 0.041,
        },
    };
    let maps: Vec<RackMap> = (1..=4).map(map).collect();
    let theme = Theme::new(Depth::TrueColour);
    let overlays = Overlays::default()
        .with(Overlay::Arrows)
        .with(Overlay::Scores);
    let area = Rect::new(0, 0, 200, 60);
    let scale = Scale::over(quantity, &maps);
    bencher.bench_local(|| {
        let mut buf = Buffer::empty(area);
        for (i, map) in (0_u16..).zip(&maps) {
            let quarter = Rect::new(100 * (i % 2), 29 * (i / 2), 100, 29);
            let raster = RackRaster {
                map,
                scale: &scale,
                zones: &[],
                slices: &[],
                overlays,
                cursor: Some((20.0, 20.0)),
            };
            raster.draw(quarter, &mut buf, &theme);
        }
        Legend {
            scale: &scale,
            doubt: false,
        }
        .draw(Rect::new(0, 58, 200, 2), &mut buf, &theme);
        buf
    });
}

#[divan::bench]
fn scale_over_four_maps(bencher: divan::Bencher) {
    let maps: Vec<RackMap> = (1..=4).map(map).collect();
    bencher.bench_local(|| Scale::over(Quantity::Shade, &maps));
}
