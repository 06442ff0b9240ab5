//! Invented ovens whose truth is known: a relay with hysteresis, a heater that lags, a cavity that leaks.
//!
//! Walls and element: dH/dt = (on - H) / heater, dT/dt = (power H - (T - room)) / cavity. The
//! thermostat's own sensor follows the air with a lag and switches at its centre plus and minus half a hysteresis
//! that strays at every switch. An open door takes the air away from the walls by a fall that returns
//! with tau. A thermometer follows with its own lag, has noise and a step, and is read at uneven times.

use rackshade::{calibration::Sample, numeric::random::Stream};

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
    /// Whether its thermostat answers to the air the door took, or sits in the warm wall.
    answers: bool,
    seed: u64,
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
    /// Draws an oven.
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
            answers: true,
            seed,
        }
    }

    /// Puts its thermostat into the wall, where an opening does not reach it.
    pub(crate) fn with_thermostat_in_the_wall(mut self) -> Self {
        self.answers = false;
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
        // Half a minute open: the air falls to the full drop, and the thermometer follows meanwhile.
        for step in 0..60_u32 {
            state.fall = self.drop * f64::from(step) / 60.0;
            self.step(&mut state, &mut s, look.lag, true);
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
        let felt = if self.answers { air } else { state.walls };
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
            state.threshold =
                self.centre + side * self.hysteresis + 0.08 * self.hysteresis * s.normal();
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
