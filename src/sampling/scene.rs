//! Drawn pictures of trays for the tests of this module: slices of known lightness on a speckled
//! ground, in perspective, under a slanting light.

use super::{
    picture::{Picture, single},
    request::{Request, Side},
};
use crate::{
    colour::lab::{Lab, lab_to_linear},
    geometry::{Homography, Point},
    numeric::random::Stream,
};

/// What is drawn.
#[derive(Debug, Clone)]
pub(super) struct Scene {
    pub(super) rows: usize,
    pub(super) cols: usize,
    /// L* of each place's slice; `None` where none lies.
    pub(super) lightness: Vec<Option<f64>>,
    /// Corners of the lattice, pixels of the picture.
    pub(super) corners: [Point; 4],
    /// Natural logarithm of the light at the right edge over the left one, and bottom over top.
    pub(super) slant: (f64, f64),
    /// Colour of the ground.
    pub(super) ground: Lab,
    /// Even squares on the ground: middle in steps of the lattice from back-left, half side in steps, and
    /// colour.
    pub(super) squares: Vec<(Point, f64, Lab)>,
    /// Slices turned by so many degrees, and shifted by so many shares of a step, by place.
    pub(super) turned: Vec<(usize, f64)>,
    pub(super) shifted: Vec<(usize, f64, f64)>,
    /// Red, green and blue sensitivity, with exposure.
    pub(super) gains: [f64; 3],
    /// The light left of so many pixels, natural logarithm: a hard shadow.
    pub(super) shadow: Option<(f64, f64)>,
    /// The right half of a slice, by place, burnt to so many L*.
    pub(super) burnt: Option<(usize, f64)>,
    /// Turned end for end: the slices move, the light stays.
    pub(super) end_for_end: bool,
}

pub(super) const WIDTH: usize = 640;
pub(super) const HEIGHT: usize = 480;

impl Scene {
    /// Three rows of four slices, one of them untoasted, brown towards the back-left.
    pub(super) fn ordinary() -> Self {
        let lightness = [
            44.0, 52.0, 58.0, 63.0, 50.0, 57.0, 62.0, 66.0, 55.0, 84.0, 67.0, 71.0,
        ];
        Self {
            rows: 3,
            cols: 4,
            lightness: lightness.into_iter().map(Some).collect(),
            corners: [
                Point::new(110.0, 80.0),
                Point::new(520.0, 95.0),
                Point::new(570.0, 410.0),
                Point::new(70.0, 395.0),
            ],
            slant: (0.0, 0.0),
            ground: Lab::new(45.0, 0.5, 1.5),
            squares: Vec::new(),
            turned: Vec::new(),
            shifted: Vec::new(),
            gains: [0.75; 3],
            shadow: None,
            burnt: None,
            end_for_end: false,
        }
    }

    /// Returns a request with the corners given.
    pub(super) fn request(&self) -> Request {
        Request {
            rows: self.rows,
            cols: self.cols,
            corners: Some(self.corners),
            back: Side::Top,
            references: Vec::new(),
            untoasted: 84.0,
        }
    }

    /// Lays a lobe of glare over a place of the lattice, in shares of its width and depth.
    pub(super) fn shine(&self, picture: &mut Picture, place: Point) {
        let middle = Homography::of_unit_square(&self.corners)
            .unwrap()
            .map(place);
        for (i, pixel) in picture.pixels.iter_mut().enumerate() {
            let p = Point::new((i % WIDTH) as f64, (i / WIDTH) as f64);
            let shine = single(0.14 * (-(p.distance(middle) / 45.0).powi(2)).exp());
            *pixel = pixel.map(|v| v + shine);
        }
    }

    /// Draws the scene; the same every time.
    pub(super) fn draw(&self) -> Picture {
        let map = Homography::of_unit_square(&self.corners).unwrap();
        let mut stream = Stream::new(7);
        let specks: Vec<f64> = (0..WIDTH * HEIGHT).map(|_| stream.normal()).collect();
        let pixels = (0..WIDTH * HEIGHT)
            .map(|i| {
                let p = Point::new((i % WIDTH) as f64, (i / WIDTH) as f64);
                let lab = self.colour(map.unmap(p), specks[i]);
                let u = p.x / WIDTH as f64 - 0.5;
                let v = p.y / HEIGHT as f64 - 0.5;
                let shade = self
                    .shadow
                    .map_or(0.0, |s| if p.x < s.0 { s.1 } else { 0.0 });
                let light = (self.slant.0 * u + self.slant.1 * v + shade).exp();
                let linear = lab_to_linear(lab);
                std::array::from_fn(|c| single((linear[c] * self.gains[c] * light).clamp(0.0, 1.0)))
            })
            .collect();
        Picture {
            width: WIDTH,
            height: HEIGHT,
            pixels,
            scale: 1.0,
        }
    }

    /// Returns the colour at a point of the unit square.
    fn colour(&self, unit: Point, speck: f64) -> Lab {
        let ground = Lab {
            l: self.ground.l + 1.5 * speck,
            ..self.ground
        };
        let (u, v) = (unit.x * self.cols as f64, unit.y * self.rows as f64);
        for (place, lightness) in self.lightness.iter().enumerate() {
            let Some(lightness) = lightness else { continue };
            let n = self.lightness.len();
            let at = if self.end_for_end {
                n - 1 - place
            } else {
                place
            };
            let shift = self.shifted.iter().find(|s| s.0 == place);
            let (dx, dy) = shift.map_or((0.0, 0.0), |s| (s.1, s.2));
            let x = u - ((at % self.cols) as f64 + 0.5 + dx);
            let y = v - ((at / self.cols) as f64 + 0.5 + dy);
            let angle = self
                .turned
                .iter()
                .find(|t| t.0 == place)
                .map_or(0.0, |t| t.1);
            let (sin, cos) = angle.to_radians().sin_cos();
            let far = (x * cos + y * sin).abs().max((y * cos - x * sin).abs());
            let half = self.burnt.filter(|b| b.0 == place && x > 0.0);
            let lightness = half.map_or(*lightness, |b| b.1);
            if far < 0.365 {
                return toast(lightness + 2.0 * speck);
            }
            if far < 0.4 {
                return Lab::new(32.0, 10.0, 14.0);
            }
        }
        let on = |s: &&(Point, f64, Lab)| (u - s.0.x).abs().max((v - s.0.y).abs()) < s.1;
        self.squares.iter().find(on).map_or(ground, |s| s.2)
    }
}

/// Returns the colour of crumb of a lightness, on a toast path through (84, 0, 15), (68, 8, 32),
/// (48, 14, 28) and (30, 9, 12).
pub(super) fn toast(l: f64) -> Lab {
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
