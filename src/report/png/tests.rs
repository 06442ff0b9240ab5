use super::*;
use crate::colour::{Rgb, toast_colour};
use image::{ImageFormat, RgbImage};

fn decoded(bytes: &[u8]) -> RgbImage {
    image::load_from_memory_with_format(bytes, ImageFormat::Png)
        .unwrap()
        .to_rgb8()
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
}
