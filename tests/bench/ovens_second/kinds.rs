//! The kinds of oven: which bodies and openings each one has, and how they are drawn.

use super::{
    Chance,
    air::{Opening, Room, Wall},
    nodes,
    radiation::{Aim, Body, bent, plate, received, wire, with_walls},
};

/// What heats an oven.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(crate) enum Kind {
    /// A bake element bent along the walls.
    Loop,
    /// Parallel element rods, some closer together than slices are wide.
    Bars,
    /// A fan in the back wall that blows out at both sides and draws in at its middle.
    BackFan,
    /// Two compact heaters.
    TwoSpots,
    /// A hot side wall and a cool door.
    OneSide,
    /// Hot walls opposite each other between cool ones, or one long rod.
    SaddleOrRidge,
    /// Hardly any difference.
    Flat,
    /// One compact heater close by.
    NarrowSpot,
    /// A gap in the door's seal.
    DoorLeak,
    /// A gas tube under a floor plate, its gases rising at the sides.
    GasBurner,
    /// Walls of different warmth and still air between them: a plain tilt.
    WarmWall,
}

impl Kind {
    /// Every kind.
    pub(crate) const ALL: [Self; 11] = [
        Self::Loop,
        Self::Bars,
        Self::BackFan,
        Self::TwoSpots,
        Self::OneSide,
        Self::SaddleOrRidge,
        Self::Flat,
        Self::NarrowSpot,
        Self::DoorLeak,
        Self::GasBurner,
        Self::WarmWall,
    ];

    /// Returns the name in tables.
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Loop => "loop along the walls",
            Self::Bars => "bars",
            Self::BackFan => "fan at the back",
            Self::TwoSpots => "two spots",
            Self::OneSide => "hot side, cool door",
            Self::SaddleOrRidge => "saddle or ridge",
            Self::Flat => "flat (heaters)",
            Self::NarrowSpot => "one narrow spot",
            Self::DoorLeak => "leak at the door",
            Self::GasBurner => "gas burner",
            Self::WarmWall => "warm wall",
        }
    }

    /// Tells the kinds that are run only when asked for, and never looked at while anything is chosen.
    pub(crate) fn sealed(self) -> bool {
        match self {
            Self::Loop | Self::Bars | Self::TwoSpots | Self::Flat | Self::DoorLeak => false,
            Self::BackFan
            | Self::OneSide
            | Self::SaddleOrRidge
            | Self::NarrowSpot
            | Self::GasBurner
            | Self::WarmWall => true,
        }
    }
}

/// Heat at the raster's nodes, in any unit.
pub(super) fn heat(kind: Kind, size: (f64, f64), c: &mut Chance) -> Vec<f64> {
    match kind {
        Kind::Loop => radiated(&element_loop(size, c), size, c.between(0.1, 0.6)),
        Kind::Bars => radiated(&rods(size, c), size, c.between(0.1, 0.5)),
        Kind::BackFan => blown(&back_fan(c), size),
        Kind::TwoSpots => radiated(&two_spots(size, c), size, c.between(0.0, 0.5)),
        Kind::OneSide => radiated(&hot_side(size, c), size, c.between(0.0, 0.4)),
        Kind::SaddleOrRidge if c.coin() => radiated(&saddle(size, c), size, c.between(0.0, 0.3)),
        Kind::SaddleOrRidge => radiated(&ridge(size, c), size, c.between(0.0, 0.5)),
        Kind::Flat => {
            let far = [-c.between(14.0, 22.0); 2];
            let under = wire(
                [size.0 * 0.2, size.1 * c.between(0.2, 0.8), far[0]],
                [size.0 * 0.8, size.1 * c.between(0.2, 0.8), far[1]],
                1.0,
            );
            radiated(&under, size, 0.8)
        }
        Kind::NarrowSpot => {
            let at = [
                size.0 * c.between(0.1, 0.9),
                size.1 * c.between(0.1, 0.9),
                -c.between(4.5, 9.0),
            ];
            radiated(&[spot(at, 1.0)], size, c.between(0.0, 0.5))
        }
        Kind::DoorLeak => mixed(
            &blown(&door_leak(c), size),
            &radiated(&element_loop(size, c), size, 0.5),
            c.between(0.0, 0.4),
        ),
        Kind::GasBurner => radiated(&gas_burner(size, c), size, c.between(0.1, 0.5)),
        Kind::WarmWall => {
            let (side, ends) = (c.between(-1.0, 1.0), c.between(-1.0, 1.0));
            let room = Room {
                openings: Vec::new(),
                swirl: 0.0,
                mixing: 1.0,
                walls: [-ends, side, ends, -side],
                wall_exchange: c.between(0.02, 0.2),
                exchange: 0.0,
            };
            blown(&room, size)
        }
    }
}

fn radiated(bodies: &[Body], size: (f64, f64), reflected: f64) -> Vec<f64> {
    let all = with_walls(bodies, size, reflected);
    nodes(size).into_iter().map(|p| received(&all, p)).collect()
}

fn blown(room: &Room, size: (f64, f64)) -> Vec<f64> {
    let warmth = room.reader();
    nodes(size)
        .into_iter()
        .map(|(x, y)| warmth(x / size.0, y / size.1))
        .collect()
}

/// Two kinds of heat, each scaled to a range of 1, the second with `share` of the first's.
fn mixed(first: &[f64], second: &[f64], share: f64) -> Vec<f64> {
    let range = |v: &[f64]| {
        v.iter().copied().fold(f64::MIN, f64::max) - v.iter().copied().fold(f64::MAX, f64::min)
    };
    let (a, b) = (range(first), range(second));
    first
        .iter()
        .zip(second)
        .map(|(f, s)| f / a + share * s / b)
        .collect()
}

fn spot(at: [f64; 3], strength: f64) -> Body {
    Body {
        at,
        strength,
        aim: Aim::Around,
    }
}

/// A loop a few centimetres inside the walls, open where its ends leave through the back, one side
/// stronger than the other.
fn element_loop((w, d): (f64, f64), c: &mut Chance) -> Vec<Body> {
    let (in_x, in_y) = (c.between(2.0, 6.0), c.between(2.0, 6.0));
    let z = c.sign() * c.between(3.5, 8.0);
    let (gap, bend) = (c.between(2.0, 5.0), c.between(1.0, 5.0));
    let (x0, x1, y0, y1) = (in_x, w - in_x, in_y, d - in_y);
    let path = [
        [w / 2.0 - gap, y1],
        [x0 + bend, y1],
        [x0, y1 - bend],
        [x0, y0 + bend],
        [x0 + bend, y0],
        [x1 - bend, y0],
        [x1, y0 + bend],
        [x1, y1 - bend],
        [x1 - bend, y1],
        [w / 2.0 + gap, y1],
    ]
    .map(|[x, y]| [x, y, z]);
    let (lean_x, lean_y) = (c.between(-0.3, 0.3), c.between(-0.3, 0.3));
    let mut bodies = bent(&path, 1.0);
    for b in &mut bodies {
        b.strength *= 1.0 + lean_x * (b.at[0] / w - 0.5) + lean_y * (b.at[1] / d - 0.5);
    }
    bodies
}

/// Three to six rods along x or y, joined in pairs, each a little stronger or weaker.
fn rods((w, d): (f64, f64), c: &mut Chance) -> Vec<Body> {
    let count = 3 + c.below(4);
    let along_x = c.coin();
    let (length, across) = if along_x { (w, d) } else { (d, w) };
    let z = -c.between(2.5, 5.0);
    let (from, to) = (c.between(1.5, 6.0), length - c.between(1.5, 6.0));
    let margin = across * c.between(0.08, 0.18);
    let pitch = (across - 2.0 * margin) / f64::from(count - 1);
    let place = |t: f64, s: f64| if along_x { [t, s, z] } else { [s, t, z] };
    let mut bodies = Vec::new();
    for k in 0..count {
        let s = margin + pitch * f64::from(k);
        let strength = c.between(0.85, 1.15);
        bodies.extend(wire(place(from, s), place(to, s), strength));
        if k + 1 < count {
            let end = if k % 2 == 0 { to } else { from };
            bodies.extend(wire(place(end, s), place(end, s + pitch), strength));
        }
    }
    bodies
}

fn two_spots((w, d): (f64, f64), c: &mut Chance) -> Vec<Body> {
    let first = (c.between(0.1, 0.9), c.between(0.1, 0.9));
    let mut second = first;
    while (first.0 - second.0).hypot(first.1 - second.1) < 0.35 {
        second = (c.between(0.1, 0.9), c.between(0.1, 0.9));
    }
    [(first, 1.0), (second, c.between(0.6, 1.0))]
        .into_iter()
        .map(|((u, v), strength)| {
            let z = c.between(5.0, 10.0);
            spot([u * w, v * d, -z], strength * z * z)
        })
        .collect()
}

/// A side wall that radiates, from below the rack to above it, and a door that takes heat away.
fn hot_side((w, d): (f64, f64), c: &mut Chance) -> Vec<Body> {
    let reach = c.between(5.0, 14.0);
    let (x, facing) = if c.coin() {
        (-1.0, 1.0)
    } else {
        (w + 1.0, -1.0)
    };
    let (from, to) = (c.between(0.0, 0.3) * d, c.between(0.7, 1.0) * d);
    let mut bodies = plate(
        ([x, from], [x, to]),
        (-reach, -1.0),
        [facing, 0.0, 0.0],
        100.0,
    );
    let door = c.between(0.2, 0.5) * 100.0 * w / d;
    bodies.extend(plate(
        ([0.0, -1.0], [w, -1.0]),
        (-c.between(3.0, 7.0), -1.0),
        [0.0, 1.0, 0.0],
        -door,
    ));
    bodies
}

/// Rods along two walls opposite each other, and cool plates for the other two.
fn saddle((w, d): (f64, f64), c: &mut Chance) -> Vec<Body> {
    let mut z = || -c.between(5.0, 10.0);
    let heights = [z(), z()];
    let (a, b) = (c.between(0.7, 1.0), c.between(0.7, 1.0));
    let cool = -c.between(20.0, 60.0);
    let reach = c.between(6.0, 12.0);
    if c.coin() {
        let mut bodies = wire([2.0, 0.0, heights[0]], [2.0, d, heights[0]], a);
        bodies.extend(wire(
            [w - 2.0, 0.0, heights[1]],
            [w - 2.0, d, heights[1]],
            b,
        ));
        let lines = [
            ([0.0, -1.0], [w, -1.0], 1.0),
            ([0.0, d + 1.0], [w, d + 1.0], -1.0),
        ];
        for (from, to, facing) in lines {
            bodies.extend(plate((from, to), (-reach, -1.0), [0.0, facing, 0.0], cool));
        }
        return bodies;
    }
    let mut bodies = wire([0.0, 2.0, heights[0]], [w, 2.0, heights[0]], a);
    bodies.extend(wire(
        [0.0, d - 2.0, heights[1]],
        [w, d - 2.0, heights[1]],
        b,
    ));
    let lines = [
        ([-1.0, 0.0], [-1.0, d], 1.0),
        ([w + 1.0, 0.0], [w + 1.0, d], -1.0),
    ];
    for (from, to, facing) in lines {
        bodies.extend(plate((from, to), (-reach, -1.0), [facing, 0.0, 0.0], cool));
    }
    bodies
}

/// One long rod in any direction across the middle part of the rack.
fn ridge((w, d): (f64, f64), c: &mut Chance) -> Vec<Body> {
    let middle = (w * c.between(0.3, 0.7), d * c.between(0.3, 0.7));
    let turn = c.between(0.0, std::f64::consts::PI);
    let (sin, cos) = turn.sin_cos();
    let half = c.between(15.0, 30.0);
    let z = -c.between(6.0, 12.0);
    wire(
        [middle.0 - half * cos, middle.1 - half * sin, z],
        [middle.0 + half * cos, middle.1 + half * sin, z],
        1.0,
    )
}

/// Hot air out at both sides of the back wall, back in at its middle; the walls are cooler.
fn back_fan(c: &mut Chance) -> Room {
    let lean = c.between(-0.3, 0.3);
    let blow = |at: f64, half: f64, inflow: f64| Opening {
        wall: Wall::Back,
        at,
        half,
        inflow,
        warmth: 1.0,
    };
    let half = c.between(0.05, 0.12);
    let left = blow(c.between(0.1, 0.25), half, 1.0 + lean);
    let right = blow(c.between(0.75, 0.9), half, 1.0 - lean);
    let back = blow(c.between(0.4, 0.6), c.between(0.08, 0.18), -2.0);
    Room {
        openings: vec![left, right, back],
        swirl: c.between(-0.004, 0.004),
        mixing: c.between(0.02, 0.15),
        walls: [-c.between(0.0, 1.0), 0.0, 0.2, 0.0],
        wall_exchange: c.between(0.005, 0.03),
        exchange: c.between(0.001, 0.006),
    }
}

/// Cold air in at one stretch of the door, out through a vent in the back; warmth comes back from above and
/// below.
fn door_leak(c: &mut Chance) -> Room {
    let leak = Opening {
        wall: Wall::Door,
        at: c.between(0.05, 0.95),
        half: c.between(0.06, 0.25),
        inflow: 1.0,
        warmth: -1.0,
    };
    let vent = Opening {
        wall: Wall::Back,
        at: c.between(0.2, 0.8),
        half: 0.1,
        inflow: -1.0,
        warmth: 0.0,
    };
    Room {
        openings: vec![leak, vent],
        swirl: 0.0,
        mixing: c.between(0.03, 0.2),
        walls: [0.0, 0.0, c.between(0.0, 0.3), 0.0],
        wall_exchange: 0.01,
        exchange: c.between(0.003, 0.02),
    }
}

/// Flames along a tube from the front or the back, weaker away from the feed, and hot gas that rises through
/// slots along both sides of the floor plate, more on one side than on the other.
fn gas_burner((w, d): (f64, f64), c: &mut Chance) -> Vec<Body> {
    let x = w * c.between(0.4, 0.6);
    let z = -c.between(7.0, 12.0);
    let (fade, from_back) = (c.between(0.0, 1.2), c.coin());
    let (start, end) = (d * c.between(0.1, 0.2), d * c.between(0.75, 0.95));
    let mut bodies: Vec<Body> = (0..20)
        .map(|k| {
            let t = (f64::from(k) + 0.5) / 20.0;
            let y = start + t * (end - start);
            let away = if from_back { 1.0 - t } else { t };
            spot([x, y, z], (-fade * away).exp())
        })
        .collect();
    let slot = c.between(0.1, 0.5);
    let uneven = c.between(-0.7, 0.7);
    let under = -c.between(5.0, 9.0);
    for (at, strength) in [(2.0, 1.0 + uneven), (w - 2.0, 1.0 - uneven)] {
        bodies.extend(wire([at, 0.0, under], [at, d, under], slot * strength));
    }
    bodies
}
