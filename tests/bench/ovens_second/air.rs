//! Air at the rack's height: a flow between openings in the walls, and the warmth it carries.
//!
//! The flow has no divergence and, apart from a swirl that may be asked for, no curl: its stream function
//! solves Laplace's (or Poisson's) equation with the openings on the boundary. Warmth then obeys steady
//! advection and diffusion with exchange at the walls, by first-order upwind volumes (Patankar 1980,
//! "Numerical Heat Transfer and Fluid Flow", chapter 5; from memory).

/// Cells along x and y.
const CELLS: (usize, usize) = (30, 24);
/// Rounds of relaxation; figures change by less than a thousandth after.
const ROUNDS: usize = 900;

/// A wall of the cavity.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Wall {
    Door,
    Right,
    Back,
    Left,
}

/// A hole in a wall: where along it (0..1), how wide (share of the wall, half of it), air in (+) or out (-),
/// and how warm what comes in is.
#[derive(Clone, Copy)]
pub(super) struct Opening {
    pub(super) wall: Wall,
    pub(super) at: f64,
    pub(super) half: f64,
    pub(super) inflow: f64,
    pub(super) warmth: f64,
}

/// A room of air.
pub(super) struct Room {
    pub(super) openings: Vec<Opening>,
    /// Curl of the flow, the same everywhere.
    pub(super) swirl: f64,
    /// Diffusion between cells, in units of the flow.
    pub(super) mixing: f64,
    /// Warmth of the door, right, back and left walls.
    pub(super) walls: [f64; 4],
    /// Exchange of the cells along a wall with it.
    pub(super) wall_exchange: f64,
    /// Exchange of every cell with what lies above and below, whose warmth is 0.
    pub(super) exchange: f64,
}

impl Room {
    /// Air that comes in over one face of a boundary cell (out where negative), and its warmth.
    fn through(&self, wall: Wall, k: usize, n: usize) -> (f64, f64) {
        let total = |sign: f64| -> f64 {
            self.openings
                .iter()
                .map(|o| (sign * o.inflow).max(0.0))
                .sum()
        };
        let (ins, outs) = (total(1.0).max(1e-12), total(-1.0).max(1e-12));
        let (mut net, mut carried, mut entering) = (0.0, 0.0, 0.0);
        for o in self.openings.iter().filter(|o| o.wall == wall) {
            let (from, to) = (k as f64 / n as f64, (k + 1) as f64 / n as f64);
            let overlap = (to.min(o.at + o.half) - from.max(o.at - o.half)).max(0.0);
            // what leaves is scaled to what comes in; an opening that runs past a corner loses that part
            let seen = (o.at + o.half).min(1.0) - (o.at - o.half).max(0.0);
            let scale = if o.inflow > 0.0 { 1.0 } else { ins / outs };
            let flow = o.inflow * scale * overlap / seen.max(1e-9);
            net += flow;
            if flow > 0.0 {
                entering += flow;
                carried += flow * o.warmth;
            }
        }
        (
            net,
            if entering > 0.0 {
                carried / entering
            } else {
                0.0
            },
        )
    }

    /// Stream function at the corners of the cells.
    fn stream(&self) -> Vec<f64> {
        let (nx, ny) = CELLS;
        let at = |i: usize, j: usize| j * (nx + 1) + i;
        let mut psi = vec![0.0; (nx + 1) * (ny + 1)];
        let mut sum = 0.0;
        // once round, counter-clockwise from the corner door-left
        for i in 0..nx {
            sum += self.through(Wall::Door, i, nx).0;
            psi[at(i + 1, 0)] = sum;
        }
        for j in 0..ny {
            sum += self.through(Wall::Right, j, ny).0;
            psi[at(nx, j + 1)] = sum;
        }
        for i in (0..nx).rev() {
            sum += self.through(Wall::Back, i, nx).0;
            psi[at(i, ny)] = sum;
        }
        for j in (1..ny).rev() {
            sum += self.through(Wall::Left, j, ny).0;
            psi[at(0, j)] = sum;
        }
        for _ in 0..ROUNDS {
            for j in 1..ny {
                for i in 1..nx {
                    let around = psi[at(i - 1, j)]
                        + psi[at(i + 1, j)]
                        + psi[at(i, j - 1)]
                        + psi[at(i, j + 1)];
                    let new = (around + self.swirl) / 4.0;
                    let old = psi[at(i, j)];
                    psi[at(i, j)] = old + 1.7 * (new - old);
                }
            }
        }
        psi
    }

    /// Warmth of the cells, row by row from the door.
    fn warmth(&self) -> Vec<f64> {
        let (nx, ny) = CELLS;
        let psi = self.stream();
        let node = |i: usize, j: usize| psi[j * (nx + 1) + i];
        let mut t = vec![0.0; nx * ny];
        for _ in 0..ROUNDS {
            for j in 0..ny {
                for i in 0..nx {
                    // flow into the cell over each face, from the difference of the stream function
                    let faces = [
                        (Wall::Door, j > 0, node(i + 1, j) - node(i, j)),
                        (Wall::Right, i + 1 < nx, node(i + 1, j + 1) - node(i + 1, j)),
                        (Wall::Back, j + 1 < ny, node(i, j + 1) - node(i + 1, j + 1)),
                        (Wall::Left, i > 0, node(i, j) - node(i, j + 1)),
                    ];
                    let (mut top, mut bottom) = (0.0, self.exchange);
                    for (wall, inside, inflow) in faces {
                        let (k, n) = match wall {
                            Wall::Door | Wall::Back => (i, nx),
                            Wall::Left | Wall::Right => (j, ny),
                        };
                        if inside {
                            let next = match wall {
                                Wall::Door => t[(j - 1) * nx + i],
                                Wall::Right => t[j * nx + i + 1],
                                Wall::Back => t[(j + 1) * nx + i],
                                Wall::Left => t[j * nx + i - 1],
                            };
                            let carries = self.mixing + inflow.max(0.0);
                            top += carries * next;
                            bottom += carries;
                        } else {
                            let enters = inflow.max(0.0);
                            top += enters * self.through(wall, k, n).1
                                + self.wall_exchange * self.walls[wall as usize];
                            bottom += enters + self.wall_exchange;
                        }
                    }
                    t[j * nx + i] = top / bottom.max(1e-12);
                }
            }
        }
        t
    }

    /// Warmth at any share (0..1, 0..1) of the way from the left wall and from the door.
    pub(super) fn reader(&self) -> impl Fn(f64, f64) -> f64 {
        let t = self.warmth();
        let (nx, ny) = CELLS;
        move |u, v| {
            let (i, a) = super::step((u * nx as f64 - 0.5) / (nx - 1) as f64, nx);
            let (j, b) = super::step((v * ny as f64 - 0.5) / (ny - 1) as f64, ny);
            let at = |j: usize, i: usize| t[j * nx + i];
            (at(j, i) * (1.0 - a) + at(j, i + 1) * a) * (1.0 - b)
                + (at(j + 1, i) * (1.0 - a) + at(j + 1, i + 1) * a) * b
        }
    }
}
