use super::{
    decoded::{LONGEST_REDUCED, LONGEST_WHOLE, reduction},
    *,
};
use crate::{colour::lab::linear_to_lab, sampling::Picture};
use image::{
    ExtendedColorType, ImageEncoder,
    codecs::{jpeg::JpegEncoder, png::PngEncoder},
};
use moxcms::{ColorProfile, Layout, TransformOptions};
use proptest::prelude::*;

/// One file of every kind and coding, with its name.
fn every_kind() -> Vec<(&'static str, Vec<u8>)> {
    let upright = scene(64, 48);
    let mut kinds = vec![
        ("jpeg", jpeg(&upright, Some(6), Some(p3()))),
        (
            "progressive jpeg",
            include_bytes!("../../tests/data/photos/small-progressive.jpg").to_vec(),
        ),
        ("png", png(&upright, Some(6), Some(p3()))),
        (
            "lossless webp",
            include_bytes!("../../tests/data/photos/gravel.webp").to_vec(),
        ),
        (
            "webp",
            include_bytes!("../../tests/data/photos/small.webp").to_vec(),
        ),
    ];
    if cfg!(feature = "heic") {
        kinds.push(("heic", HEIC.to_vec()));
    }
    kinds
}

const HEIC: &[u8] = include_bytes!("../../tests/data/photos/small.heic");

struct Rgb8 {
    width: u32,
    height: u32,
    samples: Vec<u8>,
}

/// A smooth picture in which no row or column is like another.
fn scene(width: u32, height: u32) -> Rgb8 {
    let share = |v: u32, all: u32| u8::try_from(40 + v * 180 / all).unwrap();
    Rgb8 {
        width,
        height,
        samples: (0..height)
            .flat_map(|y| (0..width).map(move |x| (x, y)))
            .flat_map(|(x, y)| {
                [
                    share(x, width),
                    share(y, height),
                    share(x + 2 * y, width + 2 * height),
                ]
            })
            .collect(),
    }
}

fn p3() -> Vec<u8> {
    ColorProfile::new_display_p3().encode().unwrap()
}

/// An EXIF block with nothing but the orientation, EXIF 2.32, 4.6.
fn exif(orientation: u8) -> Vec<u8> {
    let mut block = b"II\x2a\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0".to_vec();
    block.extend([orientation, 0, 0, 0, 0, 0, 0, 0]);
    block
}

fn jpeg(p: &Rgb8, orientation: Option<u8>, icc: Option<Vec<u8>>) -> Vec<u8> {
    let mut out = Vec::new();
    let encoder = JpegEncoder::new_with_quality(&mut out, 95);
    encode(encoder, p, orientation, icc);
    out
}

fn png(p: &Rgb8, orientation: Option<u8>, icc: Option<Vec<u8>>) -> Vec<u8> {
    let mut out = Vec::new();
    encode(PngEncoder::new(&mut out), p, orientation, icc);
    out
}

fn encode(mut encoder: impl ImageEncoder, p: &Rgb8, orientation: Option<u8>, icc: Option<Vec<u8>>) {
    if let Some(orientation) = orientation {
        encoder.set_exif_metadata(exif(orientation)).unwrap();
    }
    if let Some(icc) = icc {
        encoder.set_icc_profile(icc).unwrap();
    }
    encoder
        .write_image(&p.samples, p.width, p.height, ExtendedColorType::Rgb8)
        .unwrap();
}

fn png_of(
    samples: &[u8],
    (width, height): (u32, u32),
    colour: ExtendedColorType,
    icc: Option<Vec<u8>>,
) -> Vec<u8> {
    let mut out = Vec::new();
    let mut encoder = PngEncoder::new(&mut out);
    if let Some(icc) = icc {
        encoder.set_icc_profile(icc).unwrap();
    }
    encoder.write_image(samples, width, height, colour).unwrap();
    out
}

fn read(bytes: &[u8]) -> Photo {
    open(bytes, &Limits::default()).unwrap()
}

fn furthest(one: &Picture, other: &Picture) -> f32 {
    assert_eq!((one.width, one.height), (other.width, other.height));
    let pairs = one
        .pixels
        .iter()
        .flatten()
        .zip(other.pixels.iter().flatten());
    pairs.map(|(a, b)| (a - b).abs()).fold(0.0, f32::max)
}

/// Mean L*, a* and b* over every square of `side` pixels.
fn labs(p: &Picture, side: usize) -> Vec<[f64; 3]> {
    let mut out = Vec::new();
    for y in (0..=p.height - side).step_by(side) {
        for x in (0..=p.width - side).step_by(side) {
            let mut sum = [0.0; 3];
            for (i, j) in (0..side).flat_map(|i| (0..side).map(move |j| (i, j))) {
                let lab = linear_to_lab(p.at(x + i, y + j).map(f64::from));
                for (s, v) in sum.iter_mut().zip([lab.l, lab.a, lab.b]) {
                    *s += v / (side * side) as f64;
                }
            }
            out.push(sum);
        }
    }
    out
}

fn furthest_lab(one: &Picture, other: &Picture) -> f64 {
    let (one, other) = (labs(one, 20), labs(other, 20));
    assert!(one.len() == other.len() && !one.is_empty());
    let pairs = one.iter().flatten().zip(other.iter().flatten());
    pairs.map(|(a, b)| (a - b).abs()).fold(0.0, f64::max)
}

#[test]
fn the_eight_ways_to_hold_a_camera_give_one_picture() {
    let upright = scene(96, 64);
    let wanted = read(&png(&upright, None, None));
    assert_eq!(wanted.orientation, 1);
    for orientation in 1..=8 {
        let stored = held(&upright, orientation);
        let exact = read(&png(&stored, Some(orientation), None));
        assert_eq!(exact.picture, wanted.picture, "{orientation}");
        let coded = read(&jpeg(&stored, Some(orientation), None));
        assert_eq!((coded.width, coded.height), (96, 64), "{orientation}");
        assert_eq!(coded.orientation, orientation);
        let off = furthest(&coded.picture, &wanted.picture);
        assert!(off < 0.03, "{orientation}: {off}");
    }
}

/// Stores an upright picture by the words of EXIF 2.32 for each orientation: which side of what is
/// seen the first row and the first column lie on.
fn held(upright: &Rgb8, orientation: u8) -> Rgb8 {
    let (first_row, first_column) = match orientation {
        1 => ("top", "left"),
        2 => ("top", "right"),
        3 => ("bottom", "right"),
        4 => ("bottom", "left"),
        5 => ("left", "top"),
        6 => ("right", "top"),
        7 => ("right", "bottom"),
        _ => ("left", "bottom"),
    };
    let (w, h) = (upright.width, upright.height);
    let across_rows = matches!(first_row, "left" | "right");
    let (width, height) = if across_rows { (h, w) } else { (w, h) };
    // where the step of number `n` away from a side lies: (column, row), one of them known
    let from = |side: &str, n: u32| match side {
        "top" => (None, Some(n)),
        "bottom" => (None, Some(h - 1 - n)),
        "left" => (Some(n), None),
        _ => (Some(w - 1 - n), None),
    };
    let mut samples = Vec::new();
    for row in 0..height {
        for column in 0..width {
            let (one, other) = (from(first_row, row), from(first_column, column));
            let (x, y) = (one.0.or(other.0).unwrap(), one.1.or(other.1).unwrap());
            let at = ((y * w + x) * 3) as usize;
            samples.extend(&upright.samples[at..at + 3]);
        }
    }
    Rgb8 {
        width,
        height,
        samples,
    }
}

#[test]
fn a_profile_changes_the_numbers_and_not_the_colours() {
    let plain = image_of(include_bytes!("../../tests/data/photos/cup.jpg"));
    let size = (plain.width, plain.height);
    let wanted = read(&png(&plain, None, None)).picture;
    for profile in [
        ColorProfile::new_display_p3(),
        ColorProfile::new_adobe_rgb(),
    ] {
        let to_own = ColorProfile::new_srgb()
            .create_transform_16bit(
                Layout::Rgb,
                &profile,
                Layout::Rgb,
                TransformOptions::default(),
            )
            .unwrap();
        let wide: Vec<u16> = plain.samples.iter().map(|v| u16::from(*v) * 257).collect();
        let mut copy = vec![0_u16; wide.len()];
        to_own.transform(&wide, &mut copy).unwrap();
        let bytes: Vec<u8> = copy.iter().flat_map(|v| v.to_ne_bytes()).collect();
        let icc = || Some(profile.encode().unwrap());
        let got = read(&png_of(&bytes, size, ExtendedColorType::Rgb16, icc()));
        assert!(
            got.profile.is_some() && got.warnings.is_empty(),
            "{:?}",
            got.warnings
        );
        let off = furthest_lab(&got.picture, &wanted);
        assert!(off < 0.05, "{:?}: {off}", got.profile);
        // the check can fail: without the profile the colours are others
        let bare = read(&png_of(&bytes, size, ExtendedColorType::Rgb16, None));
        assert!(furthest_lab(&bare.picture, &wanted) > 2.0);
    }
}

#[test]
fn a_display_p3_copy_of_a_jpeg_keeps_its_colours() {
    // 8 bits round the darkest patches (L* 9) by up to 0.41 in a* and b* before anything is read, and
    // the JPEG adds its own: they are held to 1, everything as light as burnt toast (L* 25) to half
    let plain = image_of(include_bytes!("../../tests/data/photos/cup.jpg"));
    let p3_profile = ColorProfile::new_display_p3();
    let to_p3 = ColorProfile::new_srgb()
        .create_transform_8bit(
            Layout::Rgb,
            &p3_profile,
            Layout::Rgb,
            TransformOptions::default(),
        )
        .unwrap();
    let mut samples = vec![0; plain.samples.len()];
    to_p3.transform(&plain.samples, &mut samples).unwrap();
    let copy = read(&jpeg(&Rgb8 { samples, ..plain }, None, Some(p3())));
    assert_eq!(copy.profile.as_deref(), Some("Display P3"));
    let plain = image_of(include_bytes!("../../tests/data/photos/cup.jpg"));
    let plain = read(&jpeg(&plain, None, None));
    // patches of the size of a crumb: the coder's own rounding of colour averages out over them
    let (copy, plain) = (labs(&copy.picture, 60), labs(&plain.picture, 60));
    assert_eq!(copy.len(), plain.len());
    let mut light = 0;
    for (a, b) in copy.iter().zip(&plain) {
        let off = a
            .iter()
            .zip(b)
            .map(|(a, b)| (a - b).abs())
            .fold(0.0, f64::max);
        let most = if b[0] < 25.0 { 1.0 } else { 0.5 };
        assert!(off < most, "L* {:.0}: {off}", b[0]);
        light += usize::from(b[0] >= 25.0);
    }
    assert!(light > 20, "{light}");
}

fn image_of(bytes: &[u8]) -> Rgb8 {
    let decoded = image::load_from_memory(bytes).unwrap().to_rgb8();
    Rgb8 {
        width: decoded.width(),
        height: decoded.height(),
        samples: decoded.into_raw(),
    }
}

#[test]
fn colours_outside_srgb_are_kept() {
    let green = Rgb8 {
        width: 8,
        height: 8,
        samples: [0, 255, 0].repeat(64),
    };
    let [r, g, b] = read(&png(&green, None, Some(p3()))).picture.at(4, 4);
    // Display P3 green (x 0.265, y 0.690) in linear sRGB, from the two sets of primaries
    assert!((r + 0.2249).abs() < 0.002, "{r}");
    assert!((g - 1.0421).abs() < 0.002, "{g}");
    assert!((b + 0.0786).abs() < 0.002, "{b}");
}

#[test]
fn a_profile_that_cannot_be_used_is_said() {
    let p = scene(16, 16);
    let plain = read(&png(&p, None, None));
    assert!(plain.profile.is_none() && plain.warnings.is_empty());
    let grey = ColorProfile::new_gray_with_gamma(1.0).encode().unwrap();
    for icc in [b"no profile".to_vec(), grey.clone()] {
        let got = read(&png(&p, None, Some(icc)));
        assert!(
            got.warnings[0].contains("taken as sRGB"),
            "{:?}",
            got.warnings
        );
        assert_eq!(got.picture, plain.picture);
    }
    // where it belongs, a grey profile counts: of gamma 1, 51 is a fifth of full light
    let got = read(&png_of(&[51], (1, 1), ExtendedColorType::L8, Some(grey)));
    assert!(got.warnings.is_empty(), "{:?}", got.warnings);
    for v in got.picture.at(0, 0) {
        assert!((v - 0.2).abs() < 1e-4, "{v}");
    }
}

#[test]
fn grey_sixteen_bits_and_clear_pixels() {
    let values = [0_u8, 20, 90, 128, 200, 255];
    let size = (6, 1);
    let three: Vec<u8> = values.iter().flat_map(|v| [*v; 3]).collect();
    let wanted = read(&png_of(&three, size, ExtendedColorType::Rgb8, None)).picture;
    // IEC 61966-2-1: 128 of 255 is 0.215861 of full light
    assert!((wanted.at(3, 0)[1] - 0.215_861).abs() < 1e-5);
    let grey = read(&png_of(&values, size, ExtendedColorType::L8, None)).picture;
    assert!(furthest(&grey, &wanted) < 1e-6);
    let wide: Vec<u8> = three.iter().flat_map(|v| [*v, *v]).collect();
    let wide = read(&png_of(&wide, size, ExtendedColorType::Rgb16, None)).picture;
    assert!(furthest(&wide, &wanted) < 1e-6);
    let clear: Vec<u8> = values.iter().flat_map(|v| [*v, 51]).collect();
    let clear = read(&png_of(&clear, size, ExtendedColorType::La8, None)).picture;
    for (c, w) in clear.pixels.iter().zip(&wanted.pixels) {
        assert!((c[0] - (0.2 * w[0] + 0.8)).abs() < 1e-6, "{c:?} {w:?}");
    }
}

#[test]
fn a_large_picture_is_averaged_in_linear_light() {
    // black and white by turns: half the light, whatever the square
    let (width, height) = (2000, 1000);
    let samples: Vec<u8> = (0..height * width)
        .flat_map(|i| [if (i + i / width) % 2 == 0 { 0 } else { 255_u8 }; 3])
        .collect();
    let size = (
        u32::try_from(width).unwrap(),
        u32::try_from(height).unwrap(),
    );
    let got = read(&png_of(&samples, size, ExtendedColorType::Rgb8, None));
    assert_eq!((got.width, got.height), (width, height));
    assert_eq!((got.picture.width, got.picture.height), (1000, 500));
    assert!((got.picture.scale - 2.0).abs() < 1e-12);
    assert!(
        got.picture
            .pixels
            .iter()
            .flatten()
            .all(|v| (v - 0.5).abs() < 1e-6)
    );
}

/// A JPEG is made smaller while it is decoded, which averages the stored numbers and not the light;
/// over patches as large as a crumb that changes L* by less than 0.1.
#[test]
fn a_scaled_jpeg_keeps_the_lightness_of_patches() {
    let small = image_of(include_bytes!("../../tests/data/photos/two-missing.jpg"));
    let large = image::RgbImage::from_raw(small.width, small.height, small.samples).unwrap();
    let (w, h) = (4000, 3000);
    let mut large = image::imageops::resize(&large, w, h, image::imageops::FilterType::CatmullRom);
    let mut state = 1_u32;
    for v in large.iter_mut() {
        // noise as of a phone's sensor: evenly within 8 of 255
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        *v = v.saturating_add((state >> 28) as u8).saturating_sub(8);
    }
    let large = Rgb8 {
        width: w,
        height: h,
        samples: large.into_raw(),
    };
    let coded = jpeg(&large, None, None);
    let quick = read(&coded);
    assert_eq!(quick.picture.width, 1000);
    let whole = read(&png(&image_of(&coded), None, None));
    let (quick, whole) = (labs(&quick.picture, 60), labs(&whole.picture, 60));
    let off = quick.iter().zip(&whole).map(|(a, b)| (a[0] - b[0]).abs());
    let off = off.fold(0.0, f64::max);
    assert!(off < 0.1, "{off}");
}

#[test]
fn reductions_leave_about_a_thousand_pixels() {
    for long in 1..20_000 {
        let factor = reduction(long, long / 2 + 1);
        let left = long.div_ceil(factor);
        assert!(
            left <= if factor == 1 {
                LONGEST_WHOLE
            } else {
                LONGEST_REDUCED
            },
            "{long}"
        );
        assert!(factor == 1 || left >= 800, "{long}: {left}");
    }
    assert_eq!(reduction(3024, 4032), 4);
    assert_eq!(reduction(8064, 6048), 8);
}

#[test]
fn what_is_no_photo_says_so() {
    let said = |bytes: &[u8]| open(bytes, &Limits::default()).unwrap_err().to_string();
    assert!(said(b"").contains("empty"));
    assert!(said(b"row,col,score\n").contains("no picture file"));
    assert!(said(b"GIF89a\x01\0\x01\0").contains("GIF"));
    assert!(said(b"II*\0\x08\0\0\0").contains("raw"));
    assert!(said(b"\0\0\0\x18ftypavif\0\0\0\0").contains("AVIF"));
    assert!(said(include_bytes!("../../tests/data/photos/inks.jpg")).contains("CMYK"));
}

#[test]
fn what_is_too_large_is_refused_before_it_is_made() {
    for (name, bytes) in every_kind() {
        let with = |limits: Limits| open(&bytes, &limits).map(|p| p.kind);
        let wide = Limits::default();
        assert!(with(wide).is_ok(), "{name}");
        let few = Limits {
            pixels: 3000,
            ..wide
        };
        assert!(matches!(with(few), Err(PhotoError::Size { .. })), "{name}");
        let short = Limits { bytes: 100, ..wide };
        assert!(
            matches!(with(short), Err(PhotoError::TooManyBytes { .. })),
            "{name}"
        );
        // a PNG is read row by row and takes next to none
        let tight = with(Limits {
            memory: 2000,
            ..wide
        });
        assert!(
            name == "png" || matches!(tight, Err(PhotoError::Memory { .. })),
            "{name}: {tight:?}"
        );
    }
}

#[test]
fn a_small_file_that_claims_to_be_huge_is_refused() {
    let mut bomb = jpeg(&scene(64, 48), None, None);
    let frame = bomb.windows(2).position(|m| m == [0xFF, 0xC0]).unwrap();
    bomb[frame + 5..frame + 9].copy_from_slice(&[0xFF; 4]);
    let got = open(&bomb, &Limits::default());
    assert!(
        matches!(got, Err(PhotoError::Size { width: 65535, .. })),
        "{got:?}"
    );
    let mut bomb = Vec::new();
    drop(::png::Encoder::new(&mut bomb, 60_000, 60_000).write_header());
    let got = open(&bomb, &Limits::default());
    assert!(
        matches!(got, Err(PhotoError::Size { width: 60_000, .. })),
        "{got:?}"
    );
}

#[test]
fn a_file_cut_short_is_never_taken_as_whole() {
    for (name, bytes) in every_kind() {
        // every length near the start and the end, and many between
        let steps = (0..bytes.len()).step_by((bytes.len() / 150).max(1));
        for length in steps.chain(0..40).chain(bytes.len() - 40..bytes.len()) {
            let got = open(&bytes[..length], &Limits::default());
            assert!(
                got.is_err(),
                "{name} of {} bytes cut to {length}",
                bytes.len()
            );
        }
    }
}

#[test]
fn a_jpeg_that_ends_early_and_is_closed_is_not_taken_as_whole() {
    for bytes in [
        jpeg(&scene(640, 480), None, None),
        include_bytes!("../../tests/data/photos/two-missing.jpg").to_vec(),
        include_bytes!("../../tests/data/photos/small-progressive.jpg").to_vec(),
    ] {
        let tail = bytes.len() / 3;
        for length in (bytes.len() - tail..bytes.len() - 12).step_by(tail / 20) {
            let mut closed = bytes[..length].to_vec();
            if closed.last() == Some(&0xFF) {
                closed.pop();
            }
            closed.extend([0xFF, 0xD9]);
            let got = open(&closed, &Limits::default());
            assert!(got.is_err(), "{length} of {}", bytes.len());
        }
        // what phones append after the picture is no harm
        let mut longer = bytes.clone();
        longer.extend(b"a film of the moment before");
        assert_eq!(open(&longer, &Limits::default()).unwrap(), read(&bytes));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn a_damaged_file_never_stops_the_program(
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..12),
        at_the_start in any::<bool>(),
    ) {
        for (_, mut bytes) in every_kind() {
            // half of the time where the sizes and tables stand
            let reach = if at_the_start { bytes.len().min(600) } else { bytes.len() };
            for (place, value) in &changes {
                bytes[place.index(reach)] = *value;
            }
            let limits = Limits { pixels: 4_000_000, ..Limits::default() };
            if let Ok(photo) = open(&bytes, &limits) {
                let picture = &photo.picture;
                prop_assert_eq!(picture.pixels.len(), picture.width * picture.height);
            }
        }
    }

    #[test]
    fn bytes_of_no_meaning_never_stop_the_program(
        mut bytes in prop::collection::vec(any::<u8>(), 0..400),
        start in prop::sample::select(vec![
            &b"\xFF\xD8\xFF"[..], b"\x89PNG\r\n\x1A\n", b"RIFF\0\x01\0\0WEBPVP8 ", b"\0\0\0\x18ftypheic",
        ]),
    ) {
        bytes.splice(0..0, start.iter().copied());
        prop_assert!(open(&bytes, &Limits::default()).is_err());
    }
}
