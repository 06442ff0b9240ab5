//! Maps from the canvas into the picture.

/// The projective map of the unit square onto four points (Heckbert 1989, from memory).
pub(super) fn square_to(q: [(f64, f64); 4]) -> [[f64; 3]; 3] {
    let (sx, sy) = (
        q[0].0 - q[1].0 + q[2].0 - q[3].0,
        q[0].1 - q[1].1 + q[2].1 - q[3].1,
    );
    let (dx1, dx2, dy1, dy2) = (
        q[1].0 - q[2].0,
        q[3].0 - q[2].0,
        q[1].1 - q[2].1,
        q[3].1 - q[2].1,
    );
    let det = dx1 * dy2 - dx2 * dy1;
    let (g, h) = ((sx * dy2 - dx2 * sy) / det, (dx1 * sy - sx * dy1) / det);
    [
        [
            q[1].0 - q[0].0 + g * q[1].0,
            q[3].0 - q[0].0 + h * q[3].0,
            q[0].0,
        ],
        [
            q[1].1 - q[0].1 + g * q[1].1,
            q[3].1 - q[0].1 + h * q[3].1,
            q[0].1,
        ],
        [g, h, 1.0],
    ]
}

pub(super) fn apply(m: [[f64; 3]; 3], x: f64, y: f64) -> (f64, f64) {
    let r: [f64; 3] = std::array::from_fn(|i| m[i][0] * x + m[i][1] * y + m[i][2]);
    (r[0] / r[2], r[1] / r[2])
}

pub(super) fn inverse(m: [[f64; 3]; 3]) -> [[f64; 3]; 3] {
    let c = |i: usize, j: usize| {
        let (a, b, d, e) = ((i + 1) % 3, (i + 2) % 3, (j + 1) % 3, (j + 2) % 3);
        m[a][d] * m[b][e] - m[a][e] * m[b][d]
    };
    let det = m[0][0] * c(0, 0) + m[0][1] * c(0, 1) + m[0][2] * c(0, 2);
    std::array::from_fn(|i| std::array::from_fn(|j| c(j, i) / det))
}
