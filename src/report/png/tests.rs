use super::*;
use crate::{
    colour::toast_colour, field::Evidence, model::shade::browning_per_shade, report::Quantity,
};

fn map(sd: f64) -> RackMap {
    let grid = Grid {
        cols: 24,
        rows: 18,
        width: 60.0,
        depth: 45.0,
    };
    let per = browning_per_shade();
    let mean: Vec<f64> = (0..grid.len())
        .map(|i| (2.5 + grid.x(i % 24) / 15.0) * per)
        .collect();
    let rack_mean = mean.iter().sum::<f64>() / mean.len() as f64;
    RackMap {
        rack: 3,
        evidence: Evidence::Tested,
        grid,
        contrast: mean.iter().map(|b| b - rack_mean).collect(),
        sd: vec![sd; mean.len()],
        contrast_sd: vec![sd; mean.len()],
        mean,
        rack_mean,
        rack_mean_sd: 0.01,
    }
}

fn decoded(bytes: &[u8]) -> RgbImage {
    image::load_from_memory_with_format(bytes, ImageFormat::Png)
        .unwrap()
        .to_rgb8()
}

fn lightness(picture: &RgbImage, x: u32, y: u32) -> f64 {
    let p = picture.get_pixel(x, y);
    srgb_to_lab(Rgb(p[0], p[1], p[2])).l
}

#[test]
fn a_map_darkens_where_it_browns_and_keeps_the_cavitys_proportions() {
    let map = map(0.01);
    let scale = Scale::over(Quantity::Shade, [&map]);
    let picture = decoded(&rack_png(&map, &scale, &[], 432).unwrap());
    assert_eq!(picture.width(), 432);
    let (inner, y) = (400, MARGIN + 40);
    assert_eq!(picture.height(), 300 + DOOR + RAMP + FIGURES + 4 * MARGIN);
    let left = lightness(&picture, MARGIN + 8, y);
    let right = lightness(&picture, MARGIN + inner - 8, y);
    assert!(left > right + 25.0, "{left} {right}");
    // The door is dark from wall to wall, and the paper above the map is not.
    assert!(lightness(&picture, 200, MARGIN + 300 + 6) < 20.0);
    assert!(lightness(&picture, 200, 4) > 99.0);
}

#[test]
fn contours_cross_the_map_at_whole_shades() {
    // Shade 2.5 + x / 15 passes 3, 4, 5 and 6 at x = 7.5, 22.5, 37.5 and 52.5 cm of 60.
    let map = map(0.01);
    let scale = Scale::over(Quantity::Shade, [&map]);
    let picture = decoded(&rack_png(&map, &scale, &[], 432).unwrap());
    let y = MARGIN + 150;
    let dips: Vec<u32> = (2..398)
        .filter(|&x| {
            let at = |x: u32| lightness(&picture, MARGIN + x, y);
            (at(x) - f64::midpoint(at(x - 2), at(x + 2))).abs() > 15.0
        })
        .collect();
    for cm in [7.5, 22.5, 37.5, 52.5] {
        let expected = cm / 60.0 * 400.0;
        assert!(
            dips.iter().any(|&x| (f64::from(x) - expected).abs() < 2.5),
            "{cm}: {dips:?}"
        );
    }
}

#[test]
fn doubtful_places_are_hatched() {
    let scale = Scale::over(Quantity::Shade, [&map(0.01)]);
    let roughness = |sd: f64| {
        let picture = decoded(&rack_png(&map(sd), &scale, &[], 232).unwrap());
        (60..160_u32)
            .map(|x| (lightness(&picture, x, 60) - lightness(&picture, x + 1, 60)).abs())
            .sum::<f64>()
    };
    assert!(roughness(0.3) > 2.0 * roughness(0.01));
}

#[test]
fn the_printed_card_carries_the_computed_colours() {
    let patches: Vec<(u8, Lab)> = (0..10)
        .map(|d| (d, toast_colour(84.0 - 6.0 * f64::from(d))))
        .collect();
    let picture = decoded(&shade_card_png(&patches, 50).unwrap());
    for (i, (_, lab)) in (0..).zip(&patches) {
        let p = picture.get_pixel(MARGIN + i * 55 + 25, MARGIN + 25);
        assert_eq!(Rgb(p[0], p[1], p[2]), lab_to_srgb(*lab));
    }
}

#[test]
fn what_cannot_be_drawn_is_refused_with_a_reason() {
    assert!(matches!(shade_card_png(&[], 50), Err(PngError::Empty(_))));
    let card = shade_card_png(&[(1, Lab::new(50.0, 0.0, 0.0))], 100_000);
    assert!(card.unwrap_err().to_string().contains("too large"));
    let mut empty = map(0.01);
    empty.grid.cols = 0;
    let scale = Scale::over(Quantity::Shade, []);
    assert!(matches!(
        rack_png(&empty, &scale, &[], 400),
        Err(PngError::Empty(_))
    ));
}
