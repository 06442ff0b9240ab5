//! A painter: the tray as a canvas of reflectances seen straight from above, bread that browns as a dye
//! darkens it, lamps with a size, glare as a mirror lobe; then bent into the picture by a perspective.

mod bend;
mod dice;

use super::{Drawn, Slice};
use bend::{apply, inverse, square_to};
use dice::{Dice, fog};

const WIDE: usize = 1280;
const HIGH: usize = 960;
/// Canvas pixels for a centimetre.
const DENSE: f64 = 9.0;

/// What a tray lies on, drawn by this program.
pub(crate) const GROUNDS: [&str; 6] = ["foil", "slate", "cloth", "board", "white tray", "mesh"];
/// What may spoil a photo, drawn by this program.
pub(crate) const SPOILS: [&str; 6] = ["none", "glare", "torn", "lamp", "tone", "hand"];

/// L* of a reflected linear colour, by the equations of CIE 1976 written out here again.
fn lightness(rgb: [f64; 3]) -> f64 {
    let y = 0.2126 * rgb[0] + 0.7152 * rgb[1] + 0.0722 * rgb[2];
    if y > 0.008_856 {
        116.0 * y.cbrt() - 16.0
    } else {
        903.3 * y
    }
}

/// Bread whose crumb carries so much dye: each channel is dimmed by its own share of it.
struct Dough {
    white: [f64; 3],
    dims: [f64; 3],
}

impl Dough {
    fn colour(&self, dye: f64) -> [f64; 3] {
        std::array::from_fn(|c| 0.012 + self.white[c] * (-dye * self.dims[c]).exp())
    }

    /// The dye that gives a lightness, by halving.
    fn dye_of(&self, l: f64) -> f64 {
        let (mut low, mut high) = (0.0, 12.0);
        for _ in 0..50 {
            let middle = 0.5 * (low + high);
            if lightness(self.colour(middle)) > l {
                low = middle;
            } else {
                high = middle;
            }
        }
        low
    }
}

struct Canvas {
    w: usize,
    h: usize,
    /// Canvas pixel of the middle of the tray.
    middle: (f64, f64),
    reflects: Vec<[f32; 3]>,
    gloss: Vec<f32>,
    shade: Vec<f32>,
}

impl Canvas {
    fn at(&self, x: f64, y: f64) -> (f64, f64) {
        (self.middle.0 + x * DENSE, self.middle.1 + y * DENSE)
    }
}

fn ground(dice: &mut Dice, kind: &str, size: (usize, usize)) -> Canvas {
    let (w, h) = size;
    let fine = fog(dice, size, 1, 1);
    let broad = fog(dice, size, 14, 14);
    let streak = fog(dice, size, 1, 60);
    let angle = dice.between(-0.12, 0.12);
    let pitch = dice.between(1.1, 2.4) * DENSE;
    let mut canvas = Canvas {
        w,
        h,
        middle: (w as f64 / 2.0, h as f64 / 2.0),
        reflects: vec![[0.0; 3]; w * h],
        gloss: vec![0.0; w * h],
        shade: vec![1.0; w * h],
    };
    for i in 0..w * h {
        let (x, y) = ((i % w) as f64, (i / w) as f64);
        let along = x * angle.cos() - y * angle.sin();
        let aside = x * angle.sin() + y * angle.cos();
        let (f, b, s) = (
            f64::from(fine[i]),
            f64::from(broad[i]),
            f64::from(streak[i]),
        );
        let line = |v: f64, wide: f64| (v / pitch - (v / pitch).round()).abs() * pitch < wide;
        let (level, hue, gloss): (f64, [f64; 3], f64) = match kind {
            "foil" => (0.42 * (0.10 * b + 0.05 * f).exp(), [1.0, 1.0, 1.01], 1.4),
            "slate" => (0.07 * (0.12 * f + 0.1 * b).exp(), [0.97, 1.0, 1.05], 0.5),
            "cloth" => {
                let check = ((along / (pitch * 3.0)).floor() + (aside / (pitch * 3.0)).floor())
                    .rem_euclid(2.0)
                    < 1.0;
                if check {
                    (0.66 + 0.02 * f, [1.0, 1.0, 1.0], 0.05)
                } else {
                    (0.30 + 0.015 * f, [0.55, 0.85, 1.5], 0.05)
                }
            }
            "board" => {
                let plank = (aside / (7.0 * DENSE)).floor();
                let own = (plank * 12.9898).sin() * 0.18;
                (
                    0.33 * (own + 0.10 * s + 0.03 * f).exp(),
                    [1.25, 0.97, 0.55],
                    0.25,
                )
            }
            "white tray" => (0.70 * (0.015 * f + 0.01 * b).exp(), [1.0, 1.0, 0.97], 1.1),
            _ => {
                if line(along, 0.12 * DENSE) || line(aside, 0.12 * DENSE) {
                    (0.38 + 0.03 * f, [1.0, 1.0, 1.0], 0.7)
                } else {
                    (0.16 * (0.05 * f).exp(), [1.03, 1.0, 0.95], 0.2)
                }
            }
        };
        canvas.reflects[i] = std::array::from_fn(|c| (level * hue[c]).clamp(0.004, 0.93) as f32);
        canvas.gloss[i] = gloss as f32;
    }
    canvas
}

/// An outline by a few waves around a tin loaf's slice: a head wider than its foot.
struct Outline {
    middle: (f64, f64),
    half: f64,
    head: f64,
    ripples: [(f64, f64, f64); 3],
    turn: f64,
}

impl Outline {
    /// Depth inside (above 0), cm.
    fn depth(&self, x: f64, y: f64) -> f64 {
        let (dx, dy) = (x - self.middle.0, y - self.middle.1);
        let (u, v) = (
            dx * self.turn.cos() + dy * self.turn.sin(),
            dy * self.turn.cos() - dx * self.turn.sin(),
        );
        let around = v.atan2(u);
        let wobble: f64 = self
            .ripples
            .iter()
            .map(|r| r.1 * (r.0 * around + r.2).sin())
            .sum();
        let wide = self.half * (1.0 - self.head * (v / self.half).clamp(-1.0, 1.0));
        let (a, b) = (wide - u.abs(), self.half - v.abs());
        // corners rounded by a centimetre
        let rounded = if a < 1.0 && b < 1.0 {
            1.0 - (1.0 - a).hypot(1.0 - b)
        } else {
            a.min(b)
        };
        rounded + wobble
    }
}

/// Draws photo number `seed` with a ground and something that spoils it.
#[expect(
    clippy::too_many_lines,
    reason = "a scene is drawn from the ground up, one thing after another"
)]
pub(crate) fn draw(seed: u64, kind: &'static str, spoil: &'static str) -> Drawn {
    let mut dice = Dice(seed.wrapping_mul(0x5851_F42D_4C95_7F2D) | 1);
    for _ in 0..20 {
        dice.next();
    }
    let (rows, cols) = [(3, 4), (4, 5), (3, 3), (3, 5), (2, 3)][dice.whole(5)];
    let step = dice.between(10.6, 12.2);
    let (tw, th) = (cols as f64 * step, rows as f64 * step);
    let margin = 9.0;
    let size = (
        ((tw + 2.0 * margin + 8.0) * DENSE) as usize,
        ((th + 2.0 * margin) * DENSE) as usize,
    );
    let mut canvas = ground(&mut dice, kind, size);
    let dough = Dough {
        white: [
            dice.between(0.70, 0.80),
            dice.between(0.62, 0.69),
            dice.between(0.42, 0.52),
        ],
        dims: [dice.between(0.48, 0.62), 1.0, dice.between(1.35, 1.8)],
    };
    let n = rows * cols;
    let style = dice.next();
    let untoasted = (style < 0.55).then(|| dice.whole(n));
    let missing = (dice.next() < 0.25)
        .then(|| dice.whole(n))
        .filter(|m| Some(*m) != untoasted);
    let torn = [dice.whole(n), dice.whole(n)];
    let (level, lean, bow) = (
        dice.between(48.0, 62.0),
        (dice.bell() * 5.0, dice.bell() * 5.0),
        dice.bell() * 4.0,
    );
    let (speck, head) = (dice.between(0.05, 0.16), dice.between(0.0, 0.07));
    let crumbs = fog(&mut dice, size, 1, 1);
    let lumps = fog(&mut dice, size, 4, 4);
    let half = step * dice.between(0.39, 0.44);
    let mut slices = Vec::new();
    for i in 0..n {
        if missing == Some(i) {
            slices.push(Slice {
                lightness: None,
                torn: false,
            });
            continue;
        }
        let place = (
            ((i % cols) as f64 + 0.5) * step - tw / 2.0,
            ((i / cols) as f64 + 0.5) * step - th / 2.0,
        );
        let outline = Outline {
            middle: (place.0 + 0.3 * dice.bell(), place.1 + 0.3 * dice.bell()),
            half,
            head,
            ripples: std::array::from_fn(|k| {
                (2.0 + k as f64, 0.06 * dice.bell(), dice.between(0.0, 6.0))
            }),
            turn: 0.05 * dice.bell(),
        };
        let shift = 1.3 * dice.bell();
        let oven = |x: f64, y: f64| {
            let (u, v) = (2.0 * x / tw, 2.0 * y / th);
            (level + lean.0 * u + lean.1 * v + bow * (u * u + v * v - 0.8) + shift)
                .clamp(20.0, 79.0)
        };
        let tear = (spoil == "torn" && torn.contains(&i) && untoasted != Some(i)).then(|| {
            (
                dice.between(0.0, std::f64::consts::TAU),
                dice.between(20.0, 30.0),
            )
        });
        let dye = |x: f64, y: f64| {
            if untoasted == Some(i) {
                return 0.0;
            }
            let l = oven(x, y);
            let l = match tear {
                Some((angle, drop)) => {
                    let side =
                        (x - outline.middle.0) * angle.cos() + (y - outline.middle.1) * angle.sin();
                    l - drop * (0.5 + 0.5 * (side * 1.8).tanh())
                }
                None => l,
            };
            dough.dye_of(l.max(14.0))
        };
        let truth = paint(
            &mut canvas,
            &outline,
            &dough,
            (&dye, speck),
            (&crumbs, &lumps),
        );
        slices.push(Slice {
            lightness: Some(truth),
            torn: tear.is_some(),
        });
    }
    let mut cards = Vec::new();
    if style >= 0.4 && kind != "white tray" || style >= 0.55 {
        let l = 94.8 + 0.8 * dice.bell();
        cards.push(((-tw / 2.0 - 4.2, dice.between(-0.3, 0.3) * th), l));
    }
    if style >= 0.75 {
        cards.push(((tw / 2.0 + 4.2, dice.between(-0.3, 0.3) * th), 49.5));
    }
    for ((x, y), l) in &cards {
        let level = ((l + 16.0) / 116.0_f64).powi(3) as f32;
        let (a, b) = canvas.at(x - 2.5, y - 2.5);
        for yy in b as usize..(b + 5.0 * DENSE) as usize {
            for xx in a as usize..(a + 5.0 * DENSE) as usize {
                let i = yy * canvas.w + xx;
                canvas.reflects[i] = [level; 3];
                canvas.gloss[i] = 0.1;
                canvas.shade[i] = 1.0;
            }
        }
    }
    photograph(
        &canvas,
        &mut dice,
        (kind, spoil),
        Laid {
            rows,
            cols,
            size: (tw, th),
            untoasted,
            slices,
            cards,
        },
    )
}

struct Laid {
    rows: usize,
    cols: usize,
    size: (f64, f64),
    untoasted: Option<usize>,
    slices: Vec<Slice>,
    cards: Vec<((f64, f64), f64)>,
}

/// Puts one slice on the canvas; returns the mean L* of its crumb.
fn paint(
    canvas: &mut Canvas,
    outline: &Outline,
    dough: &Dough,
    (dye, speck): (&dyn Fn(f64, f64) -> f64, f64),
    (crumbs, lumps): (&[f32], &[f32]),
) -> f64 {
    let reach = outline.half + 2.0;
    let (x0, y0) = canvas.at(outline.middle.0 - reach, outline.middle.1 - reach);
    let (x1, y1) = canvas.at(outline.middle.0 + reach, outline.middle.1 + reach);
    let (mut sum, mut count) = (0.0, 0.0);
    for yy in y0.max(0.0) as usize..(y1 as usize).min(canvas.h) {
        for xx in x0.max(0.0) as usize..(x1 as usize).min(canvas.w) {
            let (x, y) = (
                (xx as f64 - canvas.middle.0) / DENSE,
                (yy as f64 - canvas.middle.1) / DENSE,
            );
            let depth = outline.depth(x, y);
            let i = yy * canvas.w + xx;
            if depth > 0.0 {
                let rough = speck * f64::from(crumbs[i]) + 0.6 * speck * f64::from(lumps[i]);
                let hole = f64::from(crumbs[i]) < -2.2;
                let crumb = dough
                    .colour(dye(x, y))
                    .map(|v| v * rough.exp() * if hole { 0.5 } else { 1.0 });
                let crust = 1.0 / (1.0 + ((depth - 0.35) * 12.0).exp());
                let rind = [0.14, 0.075, 0.035];
                canvas.reflects[i] = std::array::from_fn(|c| {
                    (crumb[c] + (rind[c] - crumb[c]) * crust).clamp(0.003, 0.95) as f32
                });
                canvas.gloss[i] = 0.9;
                canvas.shade[i] = 1.0;
                if depth > 0.75 {
                    sum += lightness(canvas.reflects[i].map(f64::from));
                    count += 1.0;
                }
            } else if depth > -1.0 {
                canvas.shade[i] = canvas.shade[i].min((1.0 - 0.4 * (1.0 + depth)) as f32);
            }
        }
    }
    sum / f64::max(count, 1.0)
}

/// Lights the canvas, takes it into the picture and writes the file.
#[expect(
    clippy::too_many_lines,
    reason = "a scene is drawn from the ground up, one thing after another"
)]
fn photograph(
    canvas: &Canvas,
    dice: &mut Dice,
    (kind, spoil): (&'static str, &'static str),
    laid: Laid,
) -> Drawn {
    let (tw, th) = laid.size;
    // a window or a lamp as a field of points, far away unless it spoils
    let near = spoil == "lamp";
    let far = if near {
        dice.between(45.0, 70.0)
    } else {
        dice.between(140.0, 320.0)
    };
    let way = dice.between(0.0, std::f64::consts::TAU);
    let high = if near {
        dice.between(35.0, 50.0)
    } else {
        far * dice.between(0.8, 1.5)
    };
    let fill = if near {
        dice.between(0.35, 0.6)
    } else {
        dice.between(0.3, 0.7)
    };
    let points: Vec<(f64, f64, f64)> = (0..9)
        .map(|k| {
            (
                far * way.cos() + f64::from(k % 3 - 1) * 8.0,
                far * way.sin() + f64::from(k / 3 - 1) * 8.0,
                high,
            )
        })
        .collect();
    let lamp = |x: f64, y: f64| -> f64 {
        points
            .iter()
            .map(|p| {
                let d2 = (x - p.0).powi(2) + (y - p.1).powi(2) + p.2 * p.2;
                p.2 / d2.powf(1.5)
            })
            .sum::<f64>()
            / 9.0
    };
    let middle = lamp(0.0, 0.0);
    let shine = if spoil == "glare" {
        dice.between(0.06, 0.24)
    } else {
        0.0
    };
    let spot = (
        dice.between(-0.38, 0.38) * tw,
        dice.between(-0.38, 0.38) * th,
    );
    let (rx, ry, lie) = (
        dice.between(4.0, 9.0),
        dice.between(4.0, 9.0),
        dice.between(0.0, 3.0),
    );
    let fingers: Vec<(f64, f64, f64)> = if spoil == "hand" {
        let (hx, hy) = (dice.between(-0.1, 0.45) * tw, dice.between(-0.4, 0.4) * th);
        let mut all = vec![(hx, hy, 6.0)];
        all.extend((1..9).map(|k| (hx + 4.0 * f64::from(k), hy + 3.0 * f64::from(k), 5.0)));
        all
    } else {
        Vec::new()
    };
    let (soft, left) = (dice.between(0.2, 1.2), dice.between(0.4, 0.7));
    let light = |x: f64, y: f64| {
        let mut l = fill + (1.0 - fill) * lamp(x, y) / middle;
        let nearest = fingers
            .iter()
            .map(|f| (x - f.0).hypot(y - f.1) - f.2)
            .fold(f64::MAX, f64::min);
        if nearest < 6.0 {
            l *= left + (1.0 - left) * (0.5 + 0.5 * (nearest / soft).tanh());
        }
        l
    };
    let glint = |x: f64, y: f64| {
        let (dx, dy) = (x - spot.0, y - spot.1);
        let (u, v) = (
            dx * lie.cos() + dy * lie.sin(),
            dy * lie.cos() - dx * lie.sin(),
        );
        // a Lorentz lobe: longer tails than a bell
        shine / (1.0 + (u / rx).powi(2) + (v / ry).powi(2)).powi(2)
    };
    let warm = 0.14 * dice.bell();
    let hue = [1.0 + warm, 1.0, 1.0 - warm];
    let seen = |i: usize| -> [f64; 3] {
        let (x, y) = (
            ((i % canvas.w) as f64 - canvas.middle.0) / DENSE,
            ((i / canvas.w) as f64 - canvas.middle.1) / DENSE,
        );
        let (l, g) = (
            light(x, y) * f64::from(canvas.shade[i]),
            glint(x, y) * f64::from(canvas.gloss[i]),
        );
        std::array::from_fn(|c| (f64::from(canvas.reflects[i][c]) * l + g) * hue[c])
    };
    let lit: Vec<[f32; 3]> = (0..canvas.w * canvas.h)
        .map(|i| seen(i).map(|v| v as f32))
        .collect();
    let mut tops: Vec<f32> = lit
        .iter()
        .step_by(11)
        .map(|p| p[0].max(p[1]).max(p[2]))
        .collect();
    tops.sort_by(f32::total_cmp);
    let gain = dice.between(0.62, 0.9) / f64::from(tops[tops.len() * 995 / 1000]);
    // corners of the canvas in the picture: a trapezium with a little chance
    let squeeze = dice.between(0.0, 0.16);
    let fit = (WIDE as f64 / canvas.w as f64).min(HIGH as f64 / canvas.h as f64)
        * dice.between(0.9, 0.98);
    let (pw, ph) = (
        canvas.w as f64 * fit,
        canvas.h as f64 * fit * dice.between(0.82, 1.0),
    );
    let (ox, oy) = ((WIDE as f64 - pw) / 2.0, (HIGH as f64 - ph) / 2.0);
    let turn = dice.between(-0.05, 0.05);
    let spin = |x: f64, y: f64| {
        let (dx, dy) = (x - WIDE as f64 / 2.0, y - HIGH as f64 / 2.0);
        (
            WIDE as f64 / 2.0 + dx * turn.cos() - dy * turn.sin(),
            HIGH as f64 / 2.0 + dx * turn.sin() + dy * turn.cos(),
        )
    };
    let quad = [
        spin(ox + squeeze * pw / 2.0, oy),
        spin(ox + pw - squeeze * pw / 2.0, oy),
        spin(ox + pw, oy + ph),
        spin(ox, oy + ph),
    ];
    let to_picture = square_to(quad);
    let back = inverse(to_picture);
    let place = |x: f64, y: f64| {
        let (cx, cy) = canvas.at(x, y);
        apply(to_picture, cx / canvas.w as f64, cy / canvas.h as f64)
    };
    let corners =
        [(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)].map(|(u, v)| place(u * tw, v * th));
    let cards = laid.cards.iter().map(|((x, y), l)| {
        let (a, b) = (place(x - 1.3, y - 1.3), place(x + 1.3, y + 1.3));
        (
            [
                a.0.min(b.0),
                a.1.min(b.1),
                (a.0 - b.0).abs(),
                (a.1 - b.1).abs(),
            ],
            *l,
        )
    });
    Drawn {
        kind: format!("canvas {kind} {spoil}"),
        rows: laid.rows,
        cols: laid.cols,
        corners,
        cards: cards.collect(),
        slices: laid.slices,
        untoasted: laid.untoasted,
        jpeg: expose(canvas, &lit, (back, gain), dice, spoil == "tone"),
    }
}

fn expose(
    canvas: &Canvas,
    lit: &[[f32; 3]],
    (back, gain): ([[f64; 3]; 3], f64),
    dice: &mut Dice,
    bent: bool,
) -> Vec<u8> {
    let (grain, dim) = (dice.between(0.0005, 0.003), dice.between(0.0, 0.3));
    let knee = if bent { dice.between(0.15, 0.6) } else { 0.0 };
    let lift = if bent { dice.between(0.85, 1.12) } else { 1.0 };
    let mut file = image::RgbImage::new(WIDE as u32, HIGH as u32);
    for y in 0..HIGH {
        for x in 0..WIDE {
            let mut sum = [0.0; 3];
            for (dx, dy) in [(-0.25, -0.25), (0.25, -0.25), (-0.25, 0.25), (0.25, 0.25)] {
                let (u, v) = apply(back, x as f64 + dx, y as f64 + dy);
                // beyond its rim the canvas goes on as in a mirror
                let folded = |t: f64, n: usize| {
                    let t = (t.abs() % 2.0 - 1.0).abs();
                    (((1.0 - t) * n as f64) as usize).min(n - 1)
                };
                let (cx, cy) = (folded(u, canvas.w), folded(v, canvas.h));
                let p = lit[cy * canvas.w + cx];
                for c in 0..3 {
                    sum[c] += f64::from(p[c]) * gain / 4.0;
                }
            }
            let r2 = ((x as f64 / WIDE as f64 - 0.5).powi(2)
                + (y as f64 / HIGH as f64 - 0.5).powi(2))
                * 2.0;
            let pixel = sum.map(|v| {
                let v = v * (1.0 - dim * r2);
                let v =
                    (v + (grain * v.max(0.0) + grain * 0.005).sqrt() * 0.25 * dice.bell()).max(0.0);
                // a film's shoulder
                let v = v.powf(lift) * (1.0 + knee) / (1.0 + knee * v);
                let v = v.min(1.0);
                let s = if v < 0.003_130_8 {
                    v * 12.92
                } else {
                    1.055 * v.powf(0.416_666_7) - 0.055
                };
                (s * 255.0 + 0.5) as u8
            });
            file.put_pixel(x as u32, y as u32, image::Rgb(pixel));
        }
    }
    let mut out = std::io::Cursor::new(Vec::new());
    let encoder =
        image::codecs::jpeg::JpegEncoder::new_with_quality(&mut out, 80 + dice.whole(15) as u8);
    file.write_with_encoder(encoder)
        .expect("room for a picture");
    out.into_inner()
}
