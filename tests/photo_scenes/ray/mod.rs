//! A camera that follows every pixel back to the tray: pinhole, tilt, a lamp far or near, a hand, a lobe of
//! glare, a sensor and a tone curve.

mod camera;

use super::{Drawn, Slice};
use camera::Camera;
use image::{ExtendedColorType, ImageEncoder, codecs::jpeg::JpegEncoder};
use rackshade::{
    colour::lab::{Lab, lab_to_linear},
    numeric::random::Stream,
};

const WIDTH: usize = 1200;
const HEIGHT: usize = 900;
/// Step of the grid and side of a slice, cm.
const STEP: f64 = 11.0;

/// What a tray lies on, drawn by this program.
pub(crate) const GROUNDS: [&str; 6] = ["bars", "parchment", "steel", "planks", "dark pan", "tiles"];
/// What may spoil a photo, drawn by this program.
pub(crate) const SPOILS: [&str; 6] = ["none", "glare", "torn", "lamp", "tone", "hand"];

/// A smooth random surface: a few long waves.
struct Waves(Vec<(f64, f64, f64, f64)>);

impl Waves {
    fn new(s: &mut Stream, count: usize, longest: f64, shortest: f64) -> Self {
        let waves = (0..count).map(|_| {
            let length = longest * (shortest / longest).powf(s.uniform());
            let angle = std::f64::consts::TAU * s.uniform();
            let k = std::f64::consts::TAU / length;
            (
                k * angle.cos(),
                k * angle.sin(),
                std::f64::consts::TAU * s.uniform(),
                s.normal(),
            )
        });
        Self(waves.collect())
    }

    /// Returns a value of standard deviation about 1.
    fn at(&self, x: f64, y: f64) -> f64 {
        let n = self.0.len() as f64;
        let sum: f64 = self
            .0
            .iter()
            .map(|w| w.3 * (w.0 * x + w.1 * y + w.2).sin())
            .sum();
        sum * (2.0 / n).sqrt()
    }
}

/// A number for a cell of a lattice, -1 to 1.
fn hash(x: i64, y: i64, seed: u64) -> f64 {
    let mut h = (x as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15)
        ^ (y as u64).wrapping_mul(0xC2B2_AE3D_27D4_EB4F)
        ^ seed;
    h ^= h >> 29;
    h = h.wrapping_mul(0xBF58_476D_1CE4_E5B9);
    h ^= h >> 32;
    (h >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
}

/// Speckle `size` cm wide, of standard deviation about 0.4.
fn speckle(x: f64, y: f64, size: f64, seed: u64) -> f64 {
    let (u, v) = (x / size, y / size);
    let (i, j) = (u.floor(), v.floor());
    let (fu, fv) = (u - i, v - j);
    let at = |di: i64, dj: i64| hash(i as i64 + di, j as i64 + dj, seed);
    let top = at(0, 0) * (1.0 - fu) + at(1, 0) * fu;
    let low = at(0, 1) * (1.0 - fu) + at(1, 1) * fu;
    top * (1.0 - fv) + low * fv
}

struct Bread {
    x: f64,
    y: f64,
    half: f64,
    round: f64,
    turn: (f64, f64),
    /// L* in its middle, and its slope over the slice.
    level: f64,
    slope: (f64, f64),
    untoasted: bool,
    /// L* of the burnt half, where it is torn, and the direction of the edge.
    torn: Option<(f64, f64)>,
}

impl Bread {
    /// How far outside (above 0) or inside a point lies, cm.
    fn depth(&self, x: f64, y: f64) -> f64 {
        let (dx, dy) = (x - self.x, y - self.y);
        let (u, v) = (
            dx * self.turn.1 + dy * self.turn.0,
            dy * self.turn.1 - dx * self.turn.0,
        );
        let p = self.round;
        self.half - (u.abs().powf(p) + v.abs().powf(p)).powf(1.0 / p)
    }

    /// L* of the crumb without its speckle.
    fn crumb(&self, x: f64, y: f64) -> f64 {
        let (dx, dy) = ((x - self.x) / self.half, (y - self.y) / self.half);
        let level = self.level + self.slope.0 * dx + self.slope.1 * dy;
        match self.torn {
            Some((dark, angle)) => {
                let t = 1.0 / (1.0 + (-(dx * angle.cos() + dy * angle.sin()) * 9.0).exp());
                level + (dark - level) * t
            }
            None => level,
        }
    }
}

struct Loaf {
    speck: f64,
    /// Added to a* and b* of the toast path.
    tint: (f64, f64),
    pale: f64,
    crust: Lab,
    holes: f64,
}

/// Hue of toast by lightness.
fn toast(l: f64, loaf: &Loaf) -> Lab {
    let path = [
        (15.0, 4.0, 5.0),
        (30.0, 9.0, 12.0),
        (48.0, 14.0, 28.0),
        (68.0, 8.0, 32.0),
        (loaf.pale, 0.0, 15.0),
        (100.0, -1.0, 11.0),
    ];
    let i = path[1..].iter().position(|p| l < p.0).unwrap_or(4);
    let t = ((l - path[i].0) / (path[i + 1].0 - path[i].0)).clamp(0.0, 1.0);
    let mix = |a: f64, b: f64| a + (b - a) * t;
    let share = (1.0 - (l / loaf.pale)).clamp(0.0, 0.4) / 0.4;
    Lab::new(
        l,
        mix(path[i].1, path[i + 1].1) + share * loaf.tint.0,
        mix(path[i].2, path[i + 1].2) + share * loaf.tint.1,
    )
}

struct Ground {
    kind: &'static str,
    seed: u64,
    angle: f64,
    pitch: f64,
}

impl Ground {
    fn colour(&self, x: f64, y: f64) -> (Lab, f64) {
        let (u, v) = (
            x * self.angle.cos() + y * self.angle.sin(),
            y * self.angle.cos() - x * self.angle.sin(),
        );
        let fine = speckle(x, y, 0.12, self.seed) + 0.7 * speckle(x, y, 0.9, self.seed ^ 5);
        match self.kind {
            "bars" => {
                let bar = (v / self.pitch - (v / self.pitch).round()).abs() * self.pitch < 0.22;
                if bar {
                    (Lab::new(64.0 + 4.0 * fine, 0.0, 1.0), 0.6)
                } else {
                    (Lab::new(30.0 + 2.0 * fine, 0.5, 1.0), 0.2)
                }
            }
            "parchment" => (Lab::new(84.0 + 1.5 * fine, 0.8, 7.0), 0.4),
            "steel" => (
                Lab::new(
                    66.0 + 2.5 * speckle(u, v * 12.0, 1.6, self.seed) + fine,
                    0.0,
                    -0.5,
                ),
                1.0,
            ),
            "planks" => {
                let plank = (v / 9.0).floor();
                let level = 52.0 + 7.0 * hash(plank as i64, 3, self.seed);
                let grain = 4.0 * speckle(u * 0.12, v, 0.25, self.seed ^ plank.to_bits());
                (Lab::new(level + grain, 9.0, 21.0), 0.3)
            }
            "dark pan" => (Lab::new(22.0 + 1.5 * fine, 0.5, 1.5), 0.8),
            _ => {
                let (a, b) = (u / 14.0, v / 14.0);
                let joint = (a - a.round()).abs().min((b - b.round()).abs()) < 0.025;
                let level = 74.0 + 3.0 * hash(a.round() as i64, b.round() as i64, self.seed);
                (
                    Lab::new(if joint { 55.0 } else { level + fine }, 0.0, 3.0),
                    0.9,
                )
            }
        }
    }
}

/// Where light comes from and what stands in its way.
struct Light {
    slant: (f64, f64),
    /// A lamp close by: place, height and share.
    lamp: Option<(f64, f64, f64, f64)>,
    /// Middle, widths and strength of a lobe of glare.
    glare: Vec<(f64, f64, f64, f64)>,
    /// A hand or a phone: a round end and a straight arm; penumbra and how much light is left.
    hand: Option<(f64, f64, f64, f64, f64)>,
    gains: [f64; 3],
}

impl Light {
    fn at(&self, x: f64, y: f64) -> f64 {
        let mut light = (self.slant.0 * x / 40.0 + self.slant.1 * y / 30.0).exp();
        if let Some((lx, ly, h, share)) = self.lamp {
            let d = ((x - lx).powi(2) + (y - ly).powi(2) + h * h).sqrt();
            light *= 1.0 - share + share * (h / d).powi(3) * 1.3;
        }
        if let Some((hx, hy, angle, soft, left)) = self.hand {
            let (dx, dy) = (x - hx, y - hy);
            let (u, v) = (
                dx * angle.cos() + dy * angle.sin(),
                dy * angle.cos() - dx * angle.sin(),
            );
            let far = if u > 0.0 { v.abs() } else { u.hypot(v) } - 5.5;
            light *= left + (1.0 - left) / (1.0 + (-far / soft).exp());
        }
        light
    }

    fn shine(&self, x: f64, y: f64) -> f64 {
        self.glare
            .iter()
            .map(|g| g.3 * (-((x - g.0).powi(2) + (y - g.1).powi(2)) / (2.0 * g.2 * g.2)).exp())
            .sum()
    }
}

struct Card {
    x: f64,
    y: f64,
    half: f64,
    lightness: f64,
}

struct Scene {
    loaf: Loaf,
    breads: Vec<Option<Bread>>,
    cards: Vec<Card>,
    ground: Ground,
    light: Light,
    seed: u64,
}

impl Scene {
    /// Light that comes back from a point of the tray.
    fn radiance(&self, x: f64, y: f64) -> [f64; 3] {
        let (lab, gloss, shade) = self.surface(x, y);
        let body = lab_to_linear(lab);
        let light = self.light.at(x, y) * shade;
        let shine = self.light.shine(x, y) * gloss;
        std::array::from_fn(|c| (body[c] * light + shine) * self.light.gains[c])
    }

    fn surface(&self, x: f64, y: f64) -> (Lab, f64, f64) {
        let near = |b: &&Bread| (x - b.x).abs().max((y - b.y).abs()) < 1.6 * b.half;
        for bread in self.breads.iter().flatten().filter(near) {
            let depth = bread.depth(x, y);
            if depth > 0.0 {
                let crust = 1.0 / (1.0 + ((depth - 0.38) * 14.0).exp());
                let specks = self.loaf.speck
                    * (speckle(x, y, 0.16, self.seed) + 0.8 * speckle(x, y, 0.5, self.seed ^ 9));
                let hole = speckle(x, y, 0.35, self.seed ^ 0x4d) < -0.62 - self.loaf.holes;
                let l =
                    (bread.crumb(x, y) + specks - if hole { 12.0 } else { 0.0 }).clamp(4.0, 96.0);
                let crumb = if bread.untoasted {
                    Lab::new(l, 0.2, 15.0)
                } else {
                    toast(l, &self.loaf)
                };
                return (crumb.towards(self.loaf.crust, crust), 1.0, 1.0);
            }
            if depth > -1.2 {
                // the wall below and the shadow it throws
                let (lab, gloss) = self.ground.colour(x, y);
                return (lab, gloss, 1.0 - 0.45 * (1.0 + depth / 1.2));
            }
        }
        for card in &self.cards {
            if (x - card.x).abs().max((y - card.y).abs()) < card.half {
                return (Lab::new(card.lightness, 0.0, 0.0), 0.3, 1.0);
            }
        }
        let (lab, gloss) = self.ground.colour(x, y);
        (lab, gloss, 1.0)
    }
}

/// Draws photo number `seed` with a ground and something that spoils it.
pub(crate) fn draw(seed: u64, ground: &'static str, spoil: &'static str) -> Drawn {
    let mut s = Stream::new(seed.wrapping_mul(7919).wrapping_add(13));
    let (rows, cols) = [(3, 4), (4, 5), (3, 3), (2, 4), (4, 4)][(s.uniform() * 5.0) as usize];
    let (w, h) = (cols as f64 * STEP, rows as f64 * STEP);
    let mut slices = Vec::new();
    let scene = scene(&mut s, (rows, cols), (ground, spoil), &mut slices);
    let reach = (w / 2.0 + 5.0).max((h / 2.0 + 5.0) * 4.0 / 3.0);
    let camera = Camera::new(&mut s, reach);
    let corners = [(-w, h), (w, h), (w, -h), (-w, -h)].map(|(x, y)| camera.pixel(x / 2.0, y / 2.0));
    let cards = scene.cards.iter().map(|c| {
        let m = camera.pixel(c.x, c.y);
        let edge = camera.pixel(c.x + c.half, c.y);
        let half = 0.55 * (edge.0 - m.0).hypot(edge.1 - m.1);
        (
            [m.0 - half, m.1 - half, 2.0 * half, 2.0 * half],
            c.lightness,
        )
    });
    let cards = cards.collect();
    Drawn {
        kind: format!("ray {ground} {spoil}"),
        jpeg: develop(&scene, &camera, &mut s, spoil == "tone"),
        rows,
        cols,
        corners,
        untoasted: scene
            .breads
            .iter()
            .position(|b| b.as_ref().is_some_and(|b| b.untoasted)),
        cards,
        slices,
    }
}

/// Lays the tray out and notes the truth.
#[expect(
    clippy::too_many_lines,
    reason = "a scene is drawn from the ground up, one thing after another"
)]
fn scene(
    s: &mut Stream,
    (rows, cols): (usize, usize),
    (ground, spoil): (&'static str, &'static str),
    slices: &mut Vec<Slice>,
) -> Scene {
    let n = rows * cols;
    let loaf = Loaf {
        speck: 2.0 + 3.0 * s.uniform(),
        tint: (3.0 * s.normal(), 4.0 * s.normal()),
        pale: 82.0 + 3.0 * s.uniform(),
        crust: Lab::new(30.0 + 8.0 * s.uniform(), 11.0, 16.0),
        holes: 0.2 * s.uniform(),
    };
    let oven = Waves::new(s, 5, 130.0, 35.0);
    let (middle, swing) = (50.0 + 14.0 * s.uniform(), 5.0 + 6.0 * s.uniform());
    let kind = s.uniform();
    let untoasted = (kind < 0.5).then(|| (s.uniform() * n as f64) as usize);
    let missing = (s.uniform() < 0.3)
        .then(|| (s.uniform() * n as f64) as usize)
        .filter(|m| Some(*m) != untoasted);
    let torn: Vec<usize> = (0..2).map(|_| (s.uniform() * n as f64) as usize).collect();
    let round = 4.0 + 8.0 * s.uniform();
    let half = 4.3 + 0.5 * s.uniform();
    let breads: Vec<Option<Bread>> = (0..n)
        .map(|i| {
            let x = ((i % cols) as f64 + 0.5 - cols as f64 / 2.0) * STEP + 0.35 * s.normal();
            let y = -((i / cols) as f64 + 0.5 - rows as f64 / 2.0) * STEP + 0.35 * s.normal();
            let is_untoasted = untoasted == Some(i);
            let field = |x: f64, y: f64| middle - swing * oven.at(x, y);
            let level = if is_untoasted {
                loaf.pale
            } else {
                (field(x, y) + 1.2 * s.normal()).clamp(22.0, 78.0)
            };
            let slope = if is_untoasted {
                (0.0, 0.0)
            } else {
                (
                    (field(x + 2.0, y) - field(x - 2.0, y)) / 4.0 * half,
                    (field(x, y + 2.0) - field(x, y - 2.0)) / 4.0 * half,
                )
            };
            let is_torn = spoil == "torn" && torn.contains(&i) && !is_untoasted;
            let tear = is_torn.then(|| {
                (
                    (level - 26.0).max(18.0),
                    std::f64::consts::TAU * s.uniform(),
                )
            });
            let bread = Bread {
                x,
                y,
                half: half * (1.0 + 0.03 * s.normal()),
                round,
                turn: (0.06 * s.normal()).sin_cos(),
                level,
                slope,
                untoasted: is_untoasted,
                torn: tear,
            };
            (missing != Some(i)).then_some(bread)
        })
        .collect();
    let (w, h) = (cols as f64 * STEP / 2.0, rows as f64 * STEP / 2.0);
    let mut cards = Vec::new();
    if kind >= 0.4 && ground != "parchment" || kind >= 0.5 {
        cards.push(Card {
            x: -w - 3.2,
            y: (s.uniform() - 0.5) * h,
            half: 2.4,
            lightness: 95.0 + 0.8 * s.normal(),
        });
    }
    if kind >= 0.7 {
        cards.push(Card {
            x: w + 3.2,
            y: (s.uniform() - 0.5) * h,
            half: 2.4,
            lightness: 49.5,
        });
    }
    let mut scene = Scene {
        loaf,
        breads,
        cards,
        ground: Ground {
            kind: ground,
            seed: (s.uniform() * 1e9) as u64,
            angle: 0.1 * s.normal(),
            pitch: 1.6 + s.uniform(),
        },
        light: light(s, spoil, (w, h)),
        seed: (s.uniform() * 1e9) as u64,
    };
    // the truth is what the surface has, speckle and holes with it
    slices.extend(scene.breads.iter().map(|b| Slice {
        lightness: b.as_ref().map(|b| {
            let looks = (0..1600).map(|i| {
                (
                    f64::from(i % 40) / 20.0 - 0.975,
                    f64::from(i / 40) / 20.0 - 0.975,
                )
            });
            let at = looks
                .map(|(u, v)| (b.x + u * b.half, b.y + v * b.half))
                .filter(|&(x, y)| b.depth(x, y) > 0.75);
            let values: Vec<f64> = at.map(|(x, y)| scene.surface(x, y).0.l).collect();
            values.iter().sum::<f64>() / values.len() as f64
        }),
        torn: b.as_ref().is_some_and(|b| b.torn.is_some()),
    }));
    // exposed so that the lightest bread does not burn out
    let most = scene
        .breads
        .iter()
        .flatten()
        .map(|b| scene.light.at(b.x, b.y) * ((b.level.max(70.0) + 16.0) / 116.0).powi(3));
    let gain = (0.5 + 0.3 * s.uniform()) / most.fold(0.1, f64::max);
    let most_white = scene
        .cards
        .iter()
        .map(|c| scene.light.at(c.x, c.y))
        .fold(0.1, f64::max);
    let gain = gain.min(0.93 / most_white / 1.06);
    for g in &mut scene.light.gains {
        *g *= gain;
    }
    scene
}

fn light(s: &mut Stream, spoil: &str, (w, h): (f64, f64)) -> Light {
    let lamp = (spoil == "lamp").then(|| {
        (
            w * 1.5 * s.normal().signum(),
            h * s.normal(),
            28.0 + 20.0 * s.uniform(),
            0.45 + 0.25 * s.uniform(),
        )
    });
    let glare = if spoil == "glare" {
        let one = (
            w * (1.4 * s.uniform() - 0.7),
            h * (1.4 * s.uniform() - 0.7),
            5.0 + 5.0 * s.uniform(),
            0.05 + 0.14 * s.uniform(),
        );
        vec![
            one,
            (
                one.0 + 9.0 * s.normal(),
                one.1 + 9.0 * s.normal(),
                4.0,
                0.5 * one.3,
            ),
        ]
    } else {
        Vec::new()
    };
    let hand = (spoil == "hand").then(|| {
        (
            w * (s.uniform() - 0.2),
            h * (s.uniform() - 0.5),
            -1.2 + 1.0 * s.uniform(),
            0.12 + 0.8 * s.uniform(),
            0.45 + 0.25 * s.uniform(),
        )
    });
    let warm = 0.25 * s.normal();
    Light {
        slant: (0.14 * s.normal(), 0.14 * s.normal()),
        lamp,
        glare,
        hand,
        gains: [(0.5 * warm).exp().min(1.15), 1.0, (-warm).exp().min(1.2)],
    }
}

/// Exposes, blurs a little, adds noise, bends the tone and writes the file.
fn develop(scene: &Scene, camera: &Camera, s: &mut Stream, bent: bool) -> Vec<u8> {
    let noise = 0.004 + 0.008 * s.uniform();
    let power = if bent { 0.82 + 0.3 * s.uniform() } else { 1.0 };
    let toe = if bent { 0.25 * s.uniform() } else { 0.0 };
    let mut out = Vec::with_capacity(WIDTH * HEIGHT * 3);
    for py in 0..HEIGHT {
        for px in 0..WIDTH {
            let mut sum = [0.0; 3];
            for (dx, dy) in [(-0.28, -0.18), (0.28, 0.18)] {
                let (x, y) = camera.tray(px as f64 + dx, py as f64 + dy);
                let r = scene.radiance(x, y);
                for c in 0..3 {
                    sum[c] += r[c] / 2.0;
                }
            }
            let (u, v) = (
                px as f64 / WIDTH as f64 - 0.5,
                (py as f64 - HEIGHT as f64 / 2.0) / WIDTH as f64,
            );
            let dim = 1.0 - camera.vignette * (u * u + v * v) * 2.0;
            for value in sum {
                let v = (value * dim).max(0.0);
                let v = (v + noise * (v + 0.02).sqrt() * s.normal()).clamp(0.0, 1.0);
                let v = v.powf(power);
                let v = v * (1.0 - toe) + toe * v * v * (3.0 - 2.0 * v);
                let coded = if v <= 0.003_130_8 {
                    12.92 * v
                } else {
                    1.055 * v.powf(1.0 / 2.4) - 0.055
                };
                out.push((coded * 255.0).round().clamp(0.0, 255.0) as u8);
            }
        }
    }
    let mut jpeg = Vec::new();
    let quality = 82 + (12.0 * s.uniform()) as u8;
    JpegEncoder::new_with_quality(&mut jpeg, quality)
        .write_image(&out, WIDTH as u32, HEIGHT as u32, ExtendedColorType::Rgb8)
        .expect("room for a picture");
    jpeg
}
