//! Cost of a photo of 12 million pixels: the bare decode of the `image` crate, and the whole way
//! from the file to scores.
//!
//! `cargo bench --bench photo`. The aim for the whole way is no more than the bare decode, the
//! limit 1.5 times that.

use image::{ExtendedColorType, ImageEncoder, codecs::jpeg::JpegEncoder, imageops};
use rackshade::{
    geometry::Point,
    photo::{self, Limits},
    sampling::{self, Request, Side},
};
use std::{hint::black_box, sync::LazyLock};

const WIDTH: u32 = 4000;
const HEIGHT: u32 = 3000;

/// The drawn tray enlarged four times, with the noise of a sensor, as a JPEG of quality 92.
static PHOTO: LazyLock<Vec<u8>> = LazyLock::new(|| {
    let small = include_bytes!("../data/photos/two-missing.jpg");
    // it lies upside down in its file
    let small = imageops::rotate180(&image::load_from_memory(small).expect("a picture").to_rgb8());
    let mut large = imageops::resize(&small, WIDTH, HEIGHT, imageops::FilterType::CatmullRom);
    let mut state = 1_u32;
    for v in large.iter_mut() {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        *v = v.saturating_add((state >> 28) as u8).saturating_sub(8);
    }
    let mut out = Vec::new();
    JpegEncoder::new_with_quality(&mut out, 92)
        .write_image(&large, WIDTH, HEIGHT, ExtendedColorType::Rgb8)
        .expect("room for a picture");
    out
});

fn request(corners: bool) -> Request {
    // as drawn, for the small picture
    let corners = corners.then_some(
        [
            (175.6, 109.4),
            (835.1, 121.4),
            (892.2, 669.4),
            (96.4, 652.5),
        ]
        .map(|(x, y)| Point::new(x * 4.0 + 1.5, y * 4.0 + 1.5)),
    );
    Request {
        rows: 4,
        cols: 5,
        corners,
        back: Side::Top,
        references: Vec::new(),
        untoasted: 84.0,
    }
}

fn main() {
    // OpenCV is measured on the same file: RACKSHADE_BENCH_PHOTO names where to write it
    #[expect(
        clippy::disallowed_methods,
        reason = "a switch for the one who compares"
    )]
    if let Ok(path) = std::env::var("RACKSHADE_BENCH_PHOTO") {
        std::fs::write(path, &*PHOTO).expect("a place to write to");
    }
    divan::main();
}

#[divan::bench(sample_count = 30, sample_size = 1)]
fn bare_decode_by_the_image_crate(bencher: divan::Bencher<'_, '_>) {
    let bytes = &*PHOTO;
    bencher.bench_local(|| black_box(image::load_from_memory(bytes).expect("a picture")));
}

#[divan::bench(sample_count = 30, sample_size = 1)]
fn open(bencher: divan::Bencher<'_, '_>) {
    let bytes = &*PHOTO;
    bencher.bench_local(|| black_box(photo::open(bytes, &Limits::default()).expect("a picture")));
}

#[divan::bench(args = ["corners given", "corners looked for"], sample_count = 30, sample_size = 1)]
fn file_to_scores(bencher: divan::Bencher<'_, '_>, how: &str) {
    let bytes = &*PHOTO;
    let request = request(how == "corners given");
    bencher.bench_local(|| {
        let photo = photo::open(bytes, &Limits::default()).expect("a picture");
        black_box(sampling::read(&photo.picture, &request).expect("scores"))
    });
}
