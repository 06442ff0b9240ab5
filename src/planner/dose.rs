//! When food browns: the rate of browning over a bake, its running share, and the inverse.
//!
//! Lumped surface: a first-order rise towards the air's temperature that stops at 100 C, a plateau
//! while the surface dries, then an approach to `100 + reach (T_air - 100)`. Browning runs at
//! `w = k(T_surface) / k(T_air)` once the surface is above 105 C (Broyart et al. 1998 for crackers:
//! darkening starts at a product temperature of 105 to 115 C) and not at all before. Modelled, not
//! measured: the curve of a kind of bake is a default, to be refitted from a baker's own bakes.
//!
//! The check values in the tests were computed with the hot-plate energy (Zanoni, Peri and Bruno
//! 1995). "First browning" there is the moment the surface passes 105 C, and they hold for food that
//! goes in at room warmth (20 C), chilled (puff pastry, 7 C) or proofed (loaf, 23 C).

use crate::{
    model::{DoseCurve, kinetics::relative_rate},
    numeric::whole,
    units::{Celsius, Minutes},
};

/// Surface temperature below which nothing browns (Broyart et al. 1998, lower end of 105 to 115 C).
pub const BROWNING_STARTS: Celsius = Celsius(105.0);
/// Where the rise ends and drying holds the surface.
const BOILING: f64 = 100.0;
/// Steps per minute of the summation: one a second.
const STEPS_PER_MINUTE: f64 = 60.0;

/// How a slice of bread toasts right on the rack (modelled; the same lumped surface as a bake's).
pub const TOAST: DoseCurve = DoseCurve {
    start: Celsius(20.0),
    rise_s: 120.0,
    plateau_min: 1.0,
    approach_s: 150.0,
    reach: 0.90,
};

/// The air a bake sees and how strongly browning answers to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heat {
    /// Still-air equivalent air temperature while it holds.
    pub air: Celsius,
    /// Activation energy of browning, J/mol.
    pub energy: f64,
}

impl Heat {
    /// Makes a heat: the air, and the activation energy of browning in J/mol.
    pub const fn new(air: Celsius, energy: f64) -> Self {
        Self { air, energy }
    }
}

/// Returns the surface temperature `t` after the food went in.
pub fn surface(curve: &DoseCurve, air: Celsius, t: Minutes) -> Celsius {
    if air.0 <= BOILING {
        return Celsius(air.0 + (curve.start.0 - air.0) * (-t.seconds() / curve.rise_s).exp());
    }
    let rise = rise_seconds(curve, air);
    let dry = rise + curve.plateau_min * 60.0;
    if t.seconds() < rise {
        Celsius(air.0 + (curve.start.0 - air.0) * (-t.seconds() / curve.rise_s).exp())
    } else if t.seconds() < dry {
        Celsius(BOILING)
    } else {
        let gone = 1.0 - (-(t.seconds() - dry) / curve.approach_s).exp();
        Celsius(BOILING + curve.reach * (air.0 - BOILING) * gone)
    }
}

/// Seconds from `start` to 100 C on the way to the air's temperature; 0 where it starts hotter.
fn rise_seconds(curve: &DoseCurve, air: Celsius) -> f64 {
    (curve.rise_s * ((air.0 - curve.start.0) / (air.0 - BOILING)).ln()).max(0.0)
}

/// Returns the rate of browning `t` after the food went in, as a share of the rate at the air's temperature.
pub fn browning_rate(curve: &DoseCurve, heat: &Heat, t: Minutes) -> f64 {
    let surface = surface(curve, heat.air, t);
    if surface <= BROWNING_STARTS {
        0.0
    } else {
        relative_rate(heat.energy, surface, heat.air)
    }
}

/// Returns the minutes at the air's own browning rate that `t` minutes in the oven are worth.
///
/// This is the integral of [`browning_rate`]; a toasted slice's browning is this times `k(T_air)`, so
/// the same slices at two dial settings tell the bread's own sensitivity.
pub fn effective_minutes(curve: &DoseCurve, heat: &Heat, t: Minutes) -> Minutes {
    Dose::new(curve, heat, t).total()
}

/// A surface that gets no further than this above where browning starts, C, dries and hardly browns: its time goes by
/// something else (a choice, no source).
const HARDLY: f64 = 10.0;

/// Returns the minutes in `air` that brown as much as the heat and the time asked for; `None` where none do, and for
/// what is dried rather than browned.
pub fn same_browning(
    curve: &DoseCurve,
    (asked, time): (Heat, Minutes),
    air: Celsius,
) -> Option<Minutes> {
    let energy = asked.energy;
    let hottest = surface(curve, asked.air, Minutes(24.0 * 60.0));
    if hottest.0 < BROWNING_STARTS.0 + HARDLY {
        return None;
    }
    let whole = effective_minutes(curve, &asked, time);
    let heat = Heat { air, energy };
    let factor = relative_rate(energy, air, asked.air);
    minutes_for_effective(curve, &heat, Minutes(whole.0 / factor))
}

/// Returns the minutes in the oven that are worth `effective` minutes at full rate, or `None` when
/// not even four hours are.
pub fn minutes_for_effective(
    curve: &DoseCurve,
    heat: &Heat,
    effective: Minutes,
) -> Option<Minutes> {
    /// Four hours of seconds.
    const LONGEST: u32 = 4 * 3600;
    let mut sum = 0.0;
    for i in 0..LONGEST {
        let t = (f64::from(i) + 0.5) / STEPS_PER_MINUTE;
        let rate = browning_rate(curve, heat, Minutes(t)) / STEPS_PER_MINUTE;
        if sum + rate >= effective.0 && rate > 0.0 {
            let part = (effective.0 - sum) / rate;
            return Some(Minutes((f64::from(i) + part) / STEPS_PER_MINUTE));
        }
        sum += rate;
    }
    None
}

/// Returns the curve of the same food browning earlier than modelled, to show what the answer rests on.
///
/// Three quarters of the rise, half of the plateau and two thirds of the approach: about as early as a drier, thinner
/// piece would be (an assumption, no source).
pub fn earlier(curve: &DoseCurve) -> DoseCurve {
    DoseCurve {
        start: curve.start,
        rise_s: curve.rise_s * 0.75,
        plateau_min: curve.plateau_min * 0.5,
        approach_s: curve.approach_s * (2.0 / 3.0),
        reach: curve.reach,
    }
}

/// The browning of one bake over time: its rate, its running share and the inverse.
///
/// Sums run in steps of one second, and go on beyond the bake's own length, because openings of the
/// door lengthen a bake.
#[derive(Debug, Clone, PartialEq)]
pub struct Dose {
    /// Rate in the middle of each second, as a share of the full rate.
    rate: Vec<f64>,
    /// Effective minutes before each second; one entry more than `rate`.
    before: Vec<f64>,
    /// Length of the undisturbed bake.
    bake: Minutes,
    /// Effective minutes of the undisturbed bake.
    total: f64,
    /// How the surface follows the air: the time constant, s, and how far it gets.
    follows: (f64, f64),
}

impl Dose {
    /// Sums the curve of a bake of length `bake`.
    pub fn new(curve: &DoseCurve, heat: &Heat, bake: Minutes) -> Self {
        let steps = whole::floor(((bake.0.max(0.0) * 1.5 + 20.0) * STEPS_PER_MINUTE).ceil());
        let rate: Vec<f64> = (0..steps)
            .map(|i| browning_rate(curve, heat, Minutes((i as f64 + 0.5) / STEPS_PER_MINUTE)))
            .collect();
        let mut before = Vec::with_capacity(steps + 1);
        let mut sum = 0.0;
        before.push(0.0);
        for r in &rate {
            sum += r / STEPS_PER_MINUTE;
            before.push(sum);
        }
        let mut dose = Self {
            rate,
            before,
            bake,
            total: 0.0,
            follows: (curve.approach_s, curve.reach),
        };
        dose.total = dose.effective(bake);
        dose
    }

    /// Returns the course of the same bake where each second browns at its `share` of the undisturbed rate.
    #[must_use]
    pub(super) fn slowed(mut self, share: impl Fn(usize) -> f64) -> Self {
        let mut sum = 0.0;
        for (second, rate) in self.rate.iter_mut().enumerate() {
            *rate *= share(second);
            sum += *rate / STEPS_PER_MINUTE;
            self.before[second + 1] = sum;
        }
        self.total = self.effective(self.bake);
        self
    }

    /// Returns how the surface follows the air once it is dry: the time constant in seconds, and which part of the way it
    /// gets.
    pub(super) fn follows(&self) -> (f64, f64) {
        self.follows
    }

    /// Returns the length of the undisturbed bake.
    pub fn bake(&self) -> Minutes {
        self.bake
    }

    /// Returns the minutes at full rate that the whole bake is worth; 0 when it never browns.
    pub fn total(&self) -> Minutes {
        Minutes(self.total)
    }

    /// Returns the rate in second `step` after the food went in, as a share of the full rate.
    pub(super) fn rate_in_second(&self, step: usize) -> f64 {
        self.rate
            .get(step)
            .or(self.rate.last())
            .copied()
            .unwrap_or(0.0)
    }

    /// Returns the share of the bake's browning that is done at `t`; above 1 after its end.
    ///
    /// A bake that never browns is taken to change evenly with time.
    pub fn share(&self, t: Minutes) -> f64 {
        if self.total > 0.0 {
            self.effective(t) / self.total
        } else {
            t.0 / self.bake.0
        }
    }

    /// Returns the time at which `share` of the bake's browning is done; `None` where that is later than half as long
    /// again and twenty minutes, further than a bake tells.
    pub fn reached(&self, share: f64) -> Option<Minutes> {
        let told = self
            .before
            .last()
            .is_none_or(|last| share * self.total <= *last);
        told.then(|| self.time_of(share))
    }

    /// Returns the time at which `share` (0..1) of the bake's browning is done.
    pub fn time_of(&self, share: f64) -> Minutes {
        if self.total <= 0.0 {
            return Minutes(share * self.bake.0);
        }
        let wanted = share * self.total;
        let after = self.before.partition_point(|b| *b < wanted);
        if after == 0 {
            return Minutes(0.0);
        }
        let below = self.before[after - 1];
        let above = self.before.get(after).copied().unwrap_or(below);
        let part = if above > below {
            (wanted - below) / (above - below)
        } else {
            0.0
        };
        Minutes(((after - 1) as f64 + part) / STEPS_PER_MINUTE)
    }

    /// Returns the minutes at full rate that `t` minutes in the oven are worth.
    pub(super) fn effective(&self, t: Minutes) -> f64 {
        let steps = (t.0.max(0.0) * STEPS_PER_MINUTE).min(self.rate.len() as f64);
        let full = whole::floor(steps);
        let part = (steps - full as f64) * self.rate.get(full).copied().unwrap_or(0.0);
        self.before[full] + part / STEPS_PER_MINUTE
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::kinetics::HOT_PLATE_ENERGY;
    use proptest::prelude::*;

    fn curve(start: f64, rise_s: f64, plateau_min: f64, approach_s: f64, reach: f64) -> DoseCurve {
        DoseCurve {
            start: Celsius(start),
            rise_s,
            plateau_min,
            approach_s,
            reach,
        }
    }

    fn heat(air: f64) -> Heat {
        Heat::new(Celsius(air), HOT_PLATE_ENERGY)
    }

    /// Fractions of the bake time at first browning and at 25, 50 and 75 % of the browning, computed
    /// independently with the same lumped surface and printed to two decimals. The tolerance is half a
    /// digit and a twentieth: two figures lie on the edge between digits (0.8251 printed 0.82), and the
    /// computation's time step is not known.
    #[test]
    fn five_bakes_brown_late() {
        let bakes = [
            (TOAST, 177.0, 10.0, [0.26, 0.61, 0.76, 0.89]),
            (
                curve(20.0, 150.0, 2.5, 180.0, 0.85),
                177.0,
                11.0,
                [0.41, 0.69, 0.82, 0.92],
            ),
            (
                curve(20.0, 360.0, 9.0, 480.0, 0.70),
                177.0,
                30.0,
                [0.47, 0.71, 0.82, 0.92],
            ),
            (
                curve(7.0, 240.0, 5.0, 300.0, 0.80),
                200.0,
                22.0,
                [0.36, 0.68, 0.81, 0.91],
            ),
            (
                curve(23.0, 300.0, 9.0, 420.0, 0.75),
                230.0,
                35.0,
                [0.33, 0.67, 0.80, 0.91],
            ),
        ];
        for (curve, air, minutes, printed) in bakes {
            let dose = Dose::new(&curve, &heat(air), Minutes(minutes));
            let got = [
                dose.rate.iter().position(|r| *r > 0.0).unwrap() as f64 / STEPS_PER_MINUTE,
                dose.time_of(0.25).0,
                dose.time_of(0.5).0,
                dose.time_of(0.75).0,
            ]
            .map(|t| t / minutes);
            for (got, printed) in got.iter().zip(printed) {
                assert!(
                    (got - printed).abs() < 0.005_5,
                    "{minutes} min at {air} C: {got}, printed {printed}"
                );
            }
            // At half the time 2 to 12 % of the browning is done.
            let half_time = dose.share(Minutes(minutes / 2.0));
            assert!((0.015..0.125).contains(&half_time), "{half_time}");
        }
    }

    #[test]
    fn an_earlier_curve_turns_earlier() {
        let cookie = curve(20.0, 150.0, 2.5, 180.0, 0.85);
        let modelled = Dose::new(&cookie, &heat(177.0), Minutes(11.0)).time_of(0.5);
        let sooner = Dose::new(&earlier(&cookie), &heat(177.0), Minutes(11.0)).time_of(0.5);
        assert!(sooner.0 < modelled.0 - 0.2 && sooner.0 > 5.5, "{sooner:?}");
    }

    #[test]
    fn a_proofing_hold_never_browns_and_counts_by_time() {
        let dose = Dose::new(&TOAST, &heat(30.0), Minutes(60.0));
        assert_eq!(dose.total(), Minutes(0.0));
        assert!((dose.share(Minutes(15.0)) - 0.25).abs() < 1e-12);
        assert_eq!(dose.time_of(0.25), Minutes(15.0));
        assert!(minutes_for_effective(&TOAST, &heat(30.0), Minutes(1.0)).is_none());
    }

    #[test]
    fn a_long_hold_tends_to_the_rate_of_the_final_surface() {
        // After many time constants the rate is k(100 + reach (T - 100)) / k(T), so an hour more adds an hour of it.
        let h = heat(200.0);
        let final_rate = relative_rate(h.energy, Celsius(190.0), h.air);
        let hour = effective_minutes(&TOAST, &h, Minutes(180.0)).0
            - effective_minutes(&TOAST, &h, Minutes(120.0)).0;
        assert!((hour - 60.0 * final_rate).abs() < 1e-6, "{hour}");
    }

    proptest! {
        #[test]
        fn share_and_time_are_inverse(
            share in 0.001..0.999_f64, air in 150.0..250.0_f64, minutes in 8.0..60.0_f64,
        ) {
            let dose = Dose::new(&TOAST, &heat(air), Minutes(minutes));
            let back = dose.share(dose.time_of(share));
            prop_assert!((back - share).abs() < 1e-9);
        }

        #[test]
        fn minutes_and_effective_minutes_are_inverse(
            air in 150.0..250.0_f64, minutes in 6.0..60.0_f64,
        ) {
            let effective = effective_minutes(&TOAST, &heat(air), Minutes(minutes));
            let back = minutes_for_effective(&TOAST, &heat(air), effective).unwrap();
            prop_assert!((back.0 - minutes).abs() < 1e-6, "{back:?}");
        }
    }
}
