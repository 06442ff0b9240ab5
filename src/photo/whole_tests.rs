//! Tests of what it takes to read a picture: rows that come in no order, and memory.

use super::{
    Kind, Limits, PhotoError,
    decoded::reduction,
    layout::Layout,
    limits::check_memory,
    profile::Encoding,
    shrink::{Laid, Shrink},
};

#[test]
fn rows_of_an_interlaced_picture_add_up_as_those_from_the_top() {
    let (width, height) = (1700, 41);
    let pixel = |x: usize, y: usize| [x * 7 + y, x + 31 * y, x * y].map(|v| v.to_le_bytes()[0]);
    let encoding = Encoding::new(None, Layout::Rgb);
    let factors = (reduction(width, height), 1);
    let begun = || Shrink::new::<u8>(&encoding, Layout::Rgb, (width, height), factors);
    let mut plain = begun();
    for y in 0..height {
        plain.push(&(0..width).flat_map(|x| pixel(x, y)).collect::<Vec<u8>>());
    }
    let mut laced = begun();
    for [first, top, across, down] in super::png::PASSES {
        for y in (top..height).step_by(down) {
            let row = (first..width).step_by(across).flat_map(|x| pixel(x, y));
            let at = Laid { y, first, across };
            laced.lay(&row.collect::<Vec<u8>>(), at);
        }
    }
    let (plain, laced) = (plain.finish(), laced.finish());
    assert_eq!((plain.width, plain.height), (850, 20));
    let apart = plain
        .pixels
        .iter()
        .flatten()
        .zip(laced.pixels.iter().flatten());
    // only the order of adding differs
    assert!(apart.clone().all(|(p, l)| (p - l).abs() < 1e-6));
    assert!(apart.count() > 50_000);
}

#[test]
fn a_small_picture_takes_little_or_is_refused() {
    let wide = Limits::default();
    let mib = |count: usize| count << 20;
    let check =
        |kind, size, needed, file| check_memory(kind, size, mib(needed), (mib(file), &wide));
    let (twelve, many) = ((4032, 3024), (8000, 6000));
    assert_eq!(check(Kind::Jpeg, twelve, 35, 20), Ok(()));
    let Err(PhotoError::Memory { mib, most_mib, .. }) = check(Kind::Jpeg, twelve, 70, 17) else {
        unreachable!("87 MiB are too many")
    };
    assert!(mib > 86.9 && most_mib < 64.0, "{mib} {most_mib}");
    // a larger picture may take more, and none more than 288 MiB
    assert_eq!(check(Kind::Jpeg, many, 200, 17), Ok(()));
    assert!(check(Kind::Jpeg, many, 220, 17).is_err());
    assert!(check(Kind::Png, (20_000, 10_000), 0, 290).is_err());
    assert_eq!(check(Kind::Heic, many, 240, 17), Ok(()));
}
