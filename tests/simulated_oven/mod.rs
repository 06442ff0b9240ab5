//! Invented ovens whose truth is known: a relay with hysteresis, a heater that lags, a cavity that leaks.
//!
//! Walls and element: dH/dt = (on - H) / heater, dT/dt = (power H - (T - room)) / cavity. The
//! thermostat's own sensor follows the air with a lag and switches at its centre plus and minus half a hysteresis
//! that strays at every switch. An open door takes the air away from the walls by a fall that returns
//! with tau. A thermometer follows with its own lag, has noise and a step, and is read at uneven times.
//!
//! [`SimulatedOven::drawn`] draws the ovens that constants of the estimators were chosen on (also with other
//! openings), [`SimulatedOven::unseen`] ones of other builds that none was chosen on.

use rackshade::{calibration::Sample, numeric::random::Stream};
use std::ops::Range;

/// Step of the simulation, seconds.
const STEP: f64 = 0.5;

/// An invented oven.
#[derive(Debug, Clone)]
pub(crate) struct SimulatedOven {
    heater: f64,
    cavity: f64,
    power: f64,
    sensor: f64,
    centre: f64,
    hysteresis: f64,
    /// Time constant of the air's return after the door, seconds.
    pub(crate) tau: f64,
    /// Fall of the air at closing, C.
    pub(crate) drop: f64,
    /// Which share of the fall its thermostat feels: 1 in the air, 0 in the warm wall.
    felt: f64,
    /// How far the switching points stray, as a share of the hysteresis.
    stray: f64,
    /// How long the door stands open, seconds.
    open: f64,
    seed: u64,
}

/// How an oven that no constant was chosen on is built.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Build {
    /// Thick electric elements and walls: slow to answer, wide swings, long cycles.
    HeavyElectric,
    /// A flame that is there at once, and a slow bulb in the air.
    Gas,
    /// Small and light: short cycles, most of the air lost at once.
    Countertop,
}

impl Build {
    pub(crate) const ALL: [Self; 3] = [Self::HeavyElectric, Self::Gas, Self::Countertop];
}

/// How its air is read.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Look {
    /// Mean gap between readings, seconds; gaps stray from 0.4 to 1.6 of it.
    pub(crate) gap: f64,
    /// Standard deviation of a reading, C.
    pub(crate) noise: f64,
    /// Step of the display, C.
    pub(crate) step: f64,
    /// Time constant of the thermometer, seconds.
    pub(crate) lag: f64,
}

/// A stretch of the oven's life.
#[derive(Debug, Clone)]
pub(crate) struct Run {
    /// Readings, seconds from its beginning.
    pub(crate) samples: Vec<Sample>,
    /// Long mean of the air without the door, C, over many cycles.
    pub(crate) mean: f64,
    /// Mean length of its cycles, seconds.
    pub(crate) cycle: f64,
}

struct State {
    heat: f64,
    walls: f64,
    fall: f64,
    sensed: f64,
    on: bool,
    threshold: f64,
    reads: f64,
}

impl SimulatedOven {
    /// Draws an oven of the set that constants were chosen on.
    pub(crate) fn drawn(seed: u64) -> Self {
        let mut s = Stream::new(seed);
        let mut uniform = |lo: f64, hi: f64| lo + (hi - lo) * s.uniform();
        Self {
            heater: uniform(40.0, 120.0),
            cavity: uniform(900.0, 2400.0),
            power: uniform(290.0, 420.0),
            sensor: uniform(15.0, 50.0),
            centre: uniform(140.0, 210.0),
            hysteresis: uniform(2.0, 8.0),
            tau: uniform(45.0, 180.0),
            drop: uniform(15.0, 50.0),
            felt: 1.0,
            stray: 0.08,
            open: 30.0,
            seed,
        }
    }

    /// Draws an oven that no constant was chosen on: other lags, switching points that stray more or less, a
    /// thermostat that feels any share of the opening, a door open for any time up to a minute and a half.
    pub(crate) fn unseen(build: Build, seed: u64) -> Self {
        let mut s = Stream::new(seed ^ 0x0075_6e73_6565_6e00);
        let mut within = |r: Range<f64>| r.start + (r.end - r.start) * s.uniform();
        let (heater, cavity, power) = match build {
            Build::HeavyElectric => (120.0..220.0, 1800.0..3600.0, 280.0..360.0),
            Build::Gas => (8.0..40.0, 800.0..1800.0, 350.0..550.0),
            Build::Countertop => (20.0..60.0, 400.0..900.0, 300.0..420.0),
        };
        let (sensor, hysteresis) = match build {
            Build::HeavyElectric => (30.0..80.0, 4.0..12.0),
            Build::Gas => (50.0..110.0, 3.0..10.0),
            Build::Countertop => (5.0..30.0, 3.0..14.0),
        };
        let (tau, drop) = match build {
            Build::HeavyElectric => (60.0..260.0, 12.0..45.0),
            Build::Gas => (30.0..120.0, 20.0..65.0),
            Build::Countertop => (25.0..90.0, 25.0..75.0),
        };
        Self {
            heater: within(heater),
            cavity: within(cavity),
            power: within(power),
            sensor: within(sensor),
            centre: within(110.0..235.0),
            hysteresis: within(hysteresis),
            tau: within(tau),
            drop: within(drop),
            felt: within(0.0..1.0),
            stray: within(0.02..0.15),
            open: within(10.0..90.0),
            seed,
        }
    }

    /// Puts its thermostat into the wall, where an opening does not reach it.
    pub(crate) fn with_thermostat_in_the_wall(mut self) -> Self {
        self.felt = 0.0;
        self
    }

    /// Lets its thermostat feel any share of the opening, its door stand open from 10 s to two minutes, and its
    /// switching points stray more or less.
    pub(crate) fn with_any_opening(mut self) -> Self {
        let mut s = Stream::new(self.seed ^ 0x000f_e170);
        self.felt = s.uniform();
        self.open = 10.0 + 110.0 * s.uniform();
        self.stray = 0.03 + 0.09 * s.uniform();
        self
    }

    /// Runs it for an hour and a half to settle, then reads it for `minutes`; the long truth comes from
    /// `long` hours of the same oven.
    pub(crate) fn hold(&self, minutes: f64, long: f64, look: &Look) -> Run {
        let mut s = Stream::new(self.seed ^ 0x5eed);
        let mut state = self.cold();
        self.pass(&mut state, 5400.0, &mut s, look.lag);
        // the reading begins anywhere in a cycle
        self.pass(&mut state, 900.0 * s.uniform(), &mut s, look.lag);
        let samples = self.read(&mut state, minutes * 60.0, &mut s, look);
        let (mean, cycle) = self.truth(&mut state, long * 3600.0, &mut s);
        Run {
            samples,
            mean,
            cycle,
        }
    }

    /// Lets it settle, reads a hold of 45 minutes, opens the door, and reads for `minutes` from the moment of
    /// closing.
    pub(crate) fn recover(&self, minutes: f64, look: &Look) -> (Vec<Sample>, Vec<Sample>) {
        let mut s = Stream::new(self.seed ^ 0xd004);
        let mut state = self.cold();
        self.pass(&mut state, 5400.0, &mut s, look.lag);
        self.pass(&mut state, 900.0 * s.uniform(), &mut s, look.lag);
        let hold = self.read(&mut state, 2700.0, &mut s, look);
        // Open, the air falls to the full drop, and the thermometer follows meanwhile.
        let mut open = 0.0;
        while open < self.open {
            state.fall = self.drop * open / self.open;
            self.step(&mut state, &mut s, look.lag, true);
            open += STEP;
        }
        state.fall = self.drop;
        let back = self.read(&mut state, minutes * 60.0, &mut s, look);
        (hold, back)
    }

    fn cold(&self) -> State {
        State {
            heat: 0.0,
            walls: 22.0,
            fall: 0.0,
            sensed: 22.0,
            on: true,
            threshold: self.centre + 0.5 * self.hysteresis,
            reads: 22.0,
        }
    }

    fn pass(&self, state: &mut State, seconds: f64, s: &mut Stream, lag: f64) {
        let mut t = 0.0;
        while t < seconds {
            self.step(state, s, lag, false);
            t += STEP;
        }
    }

    /// One step; returns whether the relay has just switched on.
    fn step(&self, state: &mut State, s: &mut Stream, lag: f64, open: bool) -> bool {
        let power = self.power * f64::from(u8::from(state.on));
        state.heat += (power - state.heat) / self.heater * STEP;
        state.walls += (state.heat - (state.walls - 22.0)) / self.cavity * STEP;
        if !open {
            state.fall -= state.fall / self.tau * STEP;
        }
        let air = state.walls - state.fall;
        let felt = state.walls - self.felt * state.fall;
        state.sensed += (felt - state.sensed) / self.sensor * STEP;
        state.reads = if lag > 0.0 {
            state.reads + (air - state.reads) / lag * STEP
        } else {
            air
        };
        let switch = if state.on {
            state.sensed > state.threshold
        } else {
            state.sensed < state.threshold
        };
        if switch {
            state.on = !state.on;
            let side = if state.on { 0.5 } else { -0.5 };
            state.threshold = self.centre + (side + self.stray * s.normal()) * self.hysteresis;
        }
        switch && state.on
    }

    fn read(&self, state: &mut State, seconds: f64, s: &mut Stream, look: &Look) -> Vec<Sample> {
        let (mut t, mut next) = (0.0, 0.0);
        let mut out = Vec::new();
        while t <= seconds {
            if t >= next {
                let seen = state.reads + look.noise * s.normal();
                out.push((t, (seen / look.step).round() * look.step));
                next = t + look.gap * (0.4 + 1.2 * s.uniform());
            }
            self.step(state, s, look.lag, false);
            t += STEP;
        }
        out
    }

    fn truth(&self, state: &mut State, seconds: f64, s: &mut Stream) -> (f64, f64) {
        let (mut t, mut sum, mut steps) = (0.0, 0.0, 0.0);
        let (mut first, mut last, mut switches) = (None, 0.0, 0.0);
        while t < seconds {
            if self.step(state, s, 0.0, false) {
                if first.is_none() {
                    first = Some(t);
                } else {
                    switches += 1.0;
                }
                last = t;
            }
            sum += state.walls;
            steps += 1.0;
            t += STEP;
        }
        (sum / steps, (last - first.unwrap_or(0.0)) / switches)
    }
}
