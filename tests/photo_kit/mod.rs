//! A drawn photo of a toasted tray, written as a PNG: slices of known lightness on a speckled ground,
//! in perspective.

use rackshade::{
    colour::lab::{Lab, lab_to_linear, linear_to_srgb},
    geometry::{Homography, Point},
    numeric::random::Stream,
};
use std::path::{Path, PathBuf};

const WIDTH: u32 = 640;
const HEIGHT: u32 = 480;
/// Lightness L* of three rows of four slices, back row first; one is untoasted, one place is empty.
pub(crate) const LIGHTNESS: [Option<f64>; 12] = [
    Some(44.0),
    Some(52.0),
    Some(58.0),
    Some(63.0),
    Some(50.0),
    Some(57.0),
    None,
    Some(66.0),
    Some(55.0),
    Some(84.0),
    Some(67.0),
    Some(71.0),
];
/// Corners of the lattice in the photo: back-left, back-right, front-right, front-left.
pub(crate) const CORNERS: [(f64, f64); 4] =
    [(110.0, 80.0), (520.0, 95.0), (570.0, 410.0), (70.0, 395.0)];

/// Draws the tray and writes it into `folder`.
pub(crate) fn tray(folder: &Path) -> PathBuf {
    written(folder, "toast tray.png", |map, p, speck| {
        slices(map.unmap(p), speck)
    })
}

/// Draws the same tray turned end for end.
pub(crate) fn turned_tray(folder: &Path) -> PathBuf {
    written(folder, "turned tray.png", |map, p, speck| {
        let unit = map.unmap(p);
        slices(Point::new(1.0 - unit.x, 1.0 - unit.y), speck)
    })
}

/// Returns the colour at a place of the tray, given as shares of its width and depth.
fn slices(unit: Point, speck: f64) -> Lab {
    let (u, v) = (unit.x * 4.0, unit.y * 3.0);
    let inside = (0.0..4.0).contains(&u) && (0.0..3.0).contains(&v);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "inside the lattice"
    )]
    let place = inside
        .then(|| LIGHTNESS[v as usize * 4 + u as usize])
        .flatten();
    let far = (u.fract() - 0.5).abs().max((v.fract() - 0.5).abs());
    match place {
        Some(l) if far < 0.365 => toast(l + 2.0 * speck),
        Some(_) if far < 0.4 => Lab::new(32.0, 10.0, 14.0),
        Some(_) | None => Lab::new(45.0 + 1.5 * speck, 0.5, 1.5),
    }
}

/// Draws a counter without bread and writes it into `folder`.
pub(crate) fn counter(folder: &Path) -> PathBuf {
    written(folder, "counter.png", |_, _, speck| {
        Lab::new(60.0 + 1.5 * speck, 0.5, 1.5)
    })
}

fn written(folder: &Path, name: &str, colour: impl Fn(&Homography, Point, f64) -> Lab) -> PathBuf {
    let map = Homography::of_unit_square(&CORNERS.map(|(x, y)| Point::new(x, y))).unwrap();
    let mut stream = Stream::new(7);
    let picture = image::RgbImage::from_fn(WIDTH, HEIGHT, |x, y| {
        let p = Point::new(f64::from(x), f64::from(y));
        let linear = lab_to_linear(colour(&map, p, stream.normal())).map(|v| 0.75 * v);
        let rgb = linear_to_srgb(linear);
        image::Rgb([rgb.0, rgb.1, rgb.2])
    });
    let path = folder.join(name);
    picture.save(&path).unwrap();
    path
}

/// Returns the colour of crumb of a lightness, on a toast path through (84, 0, 15), (68, 8, 32),
/// (48, 14, 28) and (30, 9, 12).
fn toast(l: f64) -> Lab {
    let path = [
        Lab::new(30.0, 9.0, 12.0),
        Lab::new(48.0, 14.0, 28.0),
        Lab::new(68.0, 8.0, 32.0),
        Lab::new(84.0, 0.0, 15.0),
    ];
    let i = path.iter().skip(1).position(|p| l < p.l).unwrap_or(2);
    let t = (l - path[i].l) / (path[i + 1].l - path[i].l);
    Lab {
        l,
        ..path[i].towards(path[i + 1], t)
    }
}
