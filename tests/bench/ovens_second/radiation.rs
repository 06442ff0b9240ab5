//! What radiating bodies send to a flat rack, summed point by point.
//!
//! A small body of strength s at distance r gives a horizontal surface s cos(a) e / r^2, a the angle at the
//! surface and e how much of the body is seen from there (view factors of small areas, any text on radiative
//! heat transfer). Walls that reflect are counted once, as images of the bodies behind them.

/// How a body sends its heat.
#[derive(Clone, Copy)]
pub(super) enum Aim {
    /// Alike in every direction: a flame, a bulb.
    Around,
    /// A piece of wire along this direction: most across it, nothing along it.
    Wire([f64; 3]),
    /// A piece of plate that faces this direction (cosine law).
    Plate([f64; 3]),
}

/// A small radiating body; z is its height over (or depth under) the rack, cm.
#[derive(Clone, Copy)]
pub(super) struct Body {
    pub(super) at: [f64; 3],
    pub(super) strength: f64,
    pub(super) aim: Aim,
}

/// Pieces of a straight wire from one end to the other, `strength` for each cm.
pub(super) fn wire(from: [f64; 3], to: [f64; 3], strength: f64) -> Vec<Body> {
    let along = [0, 1, 2].map(|k| to[k] - from[k]);
    let length = along.iter().map(|v| v * v).sum::<f64>().sqrt();
    let pieces = (1..200).find(|&n| f64::from(n) >= length).unwrap_or(200);
    let aim = Aim::Wire(along.map(|v| v / length.max(1e-9)));
    (0..pieces)
        .map(|k| {
            let t = (f64::from(k) + 0.5) / f64::from(pieces);
            Body {
                at: [0, 1, 2].map(|i| from[i] + t * along[i]),
                strength: strength * length / f64::from(pieces),
                aim,
            }
        })
        .collect()
}

/// A bent wire through several points.
pub(super) fn bent(points: &[[f64; 3]], strength: f64) -> Vec<Body> {
    points
        .windows(2)
        .flat_map(|ends| wire(ends[0], ends[1], strength))
        .collect()
}

/// A standing plate over the line from one point to the other, from height `low` to `high`, facing `normal`.
pub(super) fn plate(
    (from, to): ([f64; 2], [f64; 2]),
    (low, high): (f64, f64),
    normal: [f64; 3],
    strength: f64,
) -> Vec<Body> {
    let mut bodies = Vec::new();
    let (across, up) = (24, 6);
    for i in 0..across {
        for j in 0..up {
            let t = (f64::from(i) + 0.5) / f64::from(across);
            let z = low + (high - low) * (f64::from(j) + 0.5) / f64::from(up);
            bodies.push(Body {
                at: [
                    from[0] + t * (to[0] - from[0]),
                    from[1] + t * (to[1] - from[1]),
                    z,
                ],
                strength: strength / f64::from(across * up),
                aim: Aim::Plate(normal),
            });
        }
    }
    bodies
}

/// The bodies and their images in four walls that send back the share `reflected`.
pub(super) fn with_walls(bodies: &[Body], (width, depth): (f64, f64), reflected: f64) -> Vec<Body> {
    let mut all = bodies.to_vec();
    for (axis, wall) in [(0, 0.0), (0, width), (1, 0.0), (1, depth)] {
        // what stands behind a wall is not seen in it
        let side = [width, depth][axis];
        for body in bodies.iter().filter(|b| (0.0..=side).contains(&b.at[axis])) {
            let mut image = *body;
            image.at[axis] = 2.0 * wall - image.at[axis];
            image.strength *= reflected;
            if let Aim::Wire(d) | Aim::Plate(d) = &mut image.aim {
                d[axis] = -d[axis];
            }
            all.push(image);
        }
    }
    all
}

/// What a horizontal piece of rack at (x, y) gets.
pub(super) fn received(bodies: &[Body], (x, y): (f64, f64)) -> f64 {
    bodies
        .iter()
        .map(|body| {
            let way = [x - body.at[0], y - body.at[1], -body.at[2]];
            // half a centimetre of the body's own thickness keeps the nearest rack point finite
            let square = way.iter().map(|v| v * v).sum::<f64>() + 0.25;
            let r = square.sqrt();
            let dot = |d: &[f64; 3]| (0..3).map(|k| d[k] * way[k]).sum::<f64>() / r;
            let seen = match &body.aim {
                Aim::Around => 1.0,
                Aim::Wire(d) => (1.0 - dot(d).powi(2)).max(0.0).sqrt(),
                Aim::Plate(normal) => dot(normal).max(0.0),
            };
            body.strength * seen * way[2].abs() / r / square
        })
        .sum()
}
