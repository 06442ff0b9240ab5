//! Which oven, which mode, which rack position: what is on record, ranked for one bake.

use super::{
    after::learn::{OwnCurve, own_curve},
    ground::{Ground, GroundError, ground_of_oven},
    kitchen::Records,
    plan::{PlanError, PlanRequest, Planned, Told, plan_of, racks_for_one},
    readings::summary,
};
use crate::{
    field::Evidence,
    model::{Mode, Oven, OvenId, Plan, Yardstick, text::counted},
    numeric::normal::Z90,
    planner::evenness::LOOKS_ALIKE,
};
use jiff::civil::Date;

/// Cells of the maps that are compared.
const GRID: (usize, usize) = (12, 9);

/// What a choice rests on.
#[derive(Debug, Clone, PartialEq)]
pub enum Basis {
    /// Toast tests in this oven and mode.
    Tests {
        /// How many.
        tests: usize,
        /// The day of the newest.
        newest: Date,
        /// Days from then to today.
        age_days: i32,
        /// Whether every rack position used was itself tested, or one lies between tested ones.
        evidence: Evidence,
    },
    /// Nothing was tested: what the trade does (common practice, no source).
    Custom,
}

/// One way to bake it.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// The oven.
    pub oven: OvenId,
    /// How it heats.
    pub mode: Mode,
    /// Rack positions used over the bake, rising.
    pub racks: Vec<u8>,
    /// What it rests on.
    pub basis: Basis,
    /// Whether it cannot be told from the first one above it: their intervals allow either order.
    pub ties_with_first: bool,
    /// The plan that gives it, with what stands against trusting it.
    pub planned: Planned,
}

impl Basis {
    /// Tells whether a rack position used lies between tested ones.
    pub fn is_interpolated(&self) -> bool {
        match self {
            Self::Tests { evidence, .. } => *evidence == Evidence::Interpolated,
            Self::Custom => false,
        }
    }

    /// Says what it rests on and how old that is.
    pub fn words(&self) -> String {
        match self {
            Self::Tests {
                tests,
                newest,
                age_days,
                evidence,
            } => {
                let tests = counted(*tests, "toast test");
                let between = match evidence {
                    Evidence::Tested => "",
                    Evidence::Interpolated => ", this rack between tested ones",
                };
                format!("{tests}, newest {newest} ({age_days} days ago){between}")
            }
            Self::Custom => "custom, nothing tested".to_owned(),
        }
    }
}

impl Choice {
    /// Says how even it comes out, lightest to darkest as every plan does: `0.6 shades (0.4 to 0.9)`.
    pub fn evenness_words(&self) -> String {
        let y = self.planned.plan.evenness;
        if y.is_known() {
            format!(
                "{:.1} shades ({:.1} to {:.1})",
                y.spread, y.spread_range.0, y.spread_range.1
            )
        } else {
            "not known".to_owned()
        }
    }
}

/// Why nothing can be baked in an oven and mode.
#[derive(Debug, thiserror::Error)]
enum NoWay {
    #[error(transparent)]
    Ground(#[from] GroundError),
    #[error(transparent)]
    Plan(#[from] PlanError),
}

/// Everything that can be chosen, and what cannot.
#[derive(Debug, Clone, PartialEq)]
pub struct Choices {
    /// Tested ways, the most even first, ties by their minutes; then those by custom, in no order of merit.
    pub ranked: Vec<Choice>,
    /// Ovens and modes in which this cannot be baked, with the reason.
    pub refused: Vec<String>,
}

/// Ranks every oven, mode and rack position on record for one bake.
///
/// With one tray every rack position is weighed by itself; with more, the planner chooses among them. `request`
/// holds for every oven, its mode and its free rack positions excepted; `today` tells the age of tests. A baker's own dose curve is used where
/// the bakes told one.
pub fn choices(kitchen: &Records, request: &PlanRequest, today: Date) -> Choices {
    let request = &PlanRequest {
        racks: Vec::new(),
        ..request.clone()
    };
    let own = own_curve(kitchen, &request.kind);
    let (mut tested, mut custom, mut refused) = (Vec::new(), Vec::new(), Vec::new());
    for oven in kitchen.ovens() {
        for mode in oven.modes.iter().filter(|m| **m != Mode::Proofing) {
            match of_mode(kitchen, (oven, *mode), (request, own.as_ref()), today) {
                Ok(found) => {
                    for choice in found {
                        match choice.basis {
                            Basis::Tests { .. } => tested.push(choice),
                            Basis::Custom => custom.push(choice),
                        }
                    }
                }
                Err(why) => refused.push(format!("{}, {}: {why}", oven.name, mode.words())),
            }
        }
    }
    rank(&mut tested);
    tested.append(&mut custom);
    Choices {
        ranked: tested,
        refused,
    }
}

fn of_mode(
    kitchen: &Records,
    (oven, mode): (&Oven, Mode),
    (request, own): (&PlanRequest, Option<&OwnCurve>),
    today: Date,
) -> Result<Vec<Choice>, NoWay> {
    let ground = ground_of_oven(kitchen, oven, Some(mode), GRID)?;
    let told = Told {
        air: Some(summary(kitchen, oven, mode)),
        own: own.cloned(),
    };
    if request.trays != 1 || ground.view().is_none() {
        let planned = plan_of(&ground, &told, request)?;
        return Ok(vec![choice(&ground, planned, today)]);
    }
    // A tray alone: every rack position that a plan would choose among is weighed by itself.
    let suit = racks_for_one(&ground, request)?;
    let (mut found, mut last) = (Vec::new(), None);
    for rack in suit {
        let request = PlanRequest {
            racks: vec![rack],
            ..request.clone()
        };
        match plan_of(&ground, &told, &request) {
            Ok(planned) => found.push(choice(&ground, planned, today)),
            Err(why) => last = Some(why),
        }
    }
    match last {
        Some(why) if found.is_empty() => Err(why.into()),
        Some(_) | None => Ok(found),
    }
}

fn choice(ground: &Ground, planned: Planned, today: Date) -> Choice {
    let racks = racks_of(&planned.plan);
    let evidence_of = |rack: &u8| Some(ground.view()?.rack(*rack)?.evidence);
    let evidence = racks
        .iter()
        .filter_map(evidence_of)
        .find(|e| *e != Evidence::Tested)
        .unwrap_or(Evidence::Tested);
    let basis = match (ground.pool.newest(), planned.plan.evenness.is_known()) {
        (Some(newest), true) => Basis::Tests {
            tests: ground.pool.tests.len(),
            newest,
            age_days: (today - newest).get_days(),
            evidence,
        },
        (Some(_), false) | (None, _) => Basis::Custom,
    };
    Choice {
        oven: ground.oven.id.clone(),
        mode: ground.mode,
        racks,
        basis,
        ties_with_first: false,
        planned,
    }
}

fn racks_of(plan: &Plan) -> Vec<u8> {
    let trays = plan.segments.iter().flat_map(|s| &s.trays);
    let mut racks: Vec<u8> = trays.map(|t| t.rack).collect();
    racks.sort_unstable();
    racks.dedup();
    racks
}

/// Sorts by evenness; those that cannot be told from the most even one come together, quickest first.
fn rank(tested: &mut [Choice]) {
    let spread = |c: &Choice| c.planned.plan.evenness.spread / level(c);
    tested.sort_by(|a, b| spread(a).total_cmp(&spread(b)));
    let Some((first, at)) = tested.first().map(|c| (c.planned.plan.evenness, level(c))) else {
        return;
    };
    for choice in tested.iter_mut() {
        choice.ties_with_first = ties(&first, &on_level(choice, at));
    }
    let minutes = |c: &Choice| c.planned.plan.bake.0;
    tested.sort_by(|a, b| match (a.ties_with_first, b.ties_with_first) {
        (true, true) => minutes(a).total_cmp(&minutes(b)),
        (true, false) => std::cmp::Ordering::Less,
        (false, true) => std::cmp::Ordering::Greater,
        (false, false) => spread(a).total_cmp(&spread(b)),
    });
    let alone = tested.iter().filter(|c| c.ties_with_first).count() == 1;
    if let (true, Some(first)) = (alone, tested.first_mut()) {
        first.ties_with_first = false;
    }
}

/// Returns how dark the pieces are on the whole, shades; 1 where that is not known.
fn level(choice: &Choice) -> f64 {
    let expected = choice.planned.expected.as_ref();
    let pieces = expected.and_then(|e| e.after.last());
    pieces.map_or(1.0, |p| p.iter().sum::<f64>() / p.len() as f64)
}

/// Returns how even a bake comes out pulled at `shade`: a plan is as dark as the toast tests behind it were, and the same
/// oven's pieces lie further apart the darker they are.
fn on_level(choice: &Choice, shade: f64) -> Yardstick {
    let y = choice.planned.plan.evenness;
    let factor = shade / level(choice);
    let scaled = |(lo, hi): (f64, f64)| (lo * factor, hi * factor);
    Yardstick {
        spread: y.spread * factor,
        spread_range: scaled(y.spread_range),
        sd: y.sd * factor,
        sd_range: scaled(y.sd_range),
        ..y
    }
}

/// Tells whether `b` is as even as `a`, the more even one, for all that can be seen or told: nobody sees the difference,
/// or it is within the 90 % interval of a difference and `b` is expected where `a` may lie. What is hardly known is not as
/// good for that.
fn ties(a: &Yardstick, b: &Yardstick) -> bool {
    let sd = |y: &Yardstick| (y.spread_range.1 - y.spread_range.0) / (2.0 * Z90);
    let apart = b.spread - a.spread;
    let untold = b.spread <= a.spread_range.1 && apart <= Z90 * sd(a).hypot(sd(b));
    apart < LOOKS_ALIKE || untold
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        model::{OvenId, Tray},
        units::{Centimetres, Minutes},
        workflow::{
            catalogue::{bake_kind, oven_templates},
            kitchen::Kitchen,
        },
    };
    use jiff::civil::date;

    fn request(trays: usize) -> PlanRequest {
        let kind = bake_kind("thin-cookie").unwrap().clone();
        let tray = Tray::new(Centimetres(33.0), Centimetres(24.0), 3, 2);
        PlanRequest {
            trays,
            ..PlanRequest::of(kind, Mode::StillAir, tray)
        }
    }

    #[test]
    fn what_was_tested_stands_before_custom_and_every_rack_is_weighed() {
        let (mut kitchen, _) = Kitchen::throwaway_copy().unwrap();
        let mut untested = oven_templates()[0].oven.clone();
        untested.id = OvenId::new("a-first").unwrap();
        kitchen.save_oven(untested).unwrap();
        let found = choices(&kitchen, &request(1), date(2026, 5, 1));
        let customs = found.ranked.iter().skip_while(|c| c.basis != Basis::Custom);
        assert!(customs.clone().count() > 0);
        assert!(customs.into_iter().all(|c| c.basis == Basis::Custom));
        let wall: Vec<_> = found
            .ranked
            .iter()
            .filter(|c| c.oven.as_str() == "wall-oven" && c.mode == Mode::StillAir)
            .collect();
        assert!(wall.len() >= 3, "{}", wall.len());
        assert!(wall.iter().all(|c| c.racks.len() == 1));
        let Basis::Tests {
            tests,
            newest,
            age_days,
            ..
        } = &wall[0].basis
        else {
            panic!("{:?}", wall[0].basis)
        };
        assert_eq!((*tests, *newest, *age_days), (3, date(2026, 4, 11), 20));
    }

    #[test]
    fn those_that_cannot_be_told_apart_are_ranked_by_their_minutes() {
        // What is ranked is what the plan says of the same bake: lightest to darkest, whatever the standard deviation.
        let yard = |spread: f64, half: f64, minutes: f64| Yardstick {
            spread,
            spread_range: (spread - half, spread + half),
            sd: 1.0 / spread,
            sd_range: (0.0, 9.0),
            minutes: Minutes(minutes),
        };
        assert!(ties(&yard(0.5, 0.2, 10.0), &yard(0.7, 0.2, 10.0)));
        assert!(!ties(&yard(0.5, 0.1, 10.0), &yard(0.8, 0.1, 10.0)));
        assert!(
            ties(&yard(0.1, 0.01, 10.0), &yard(0.3, 0.01, 10.0)),
            "nobody sees it"
        );
        // An oven of which little is known is no match for one that is known to be even.
        assert!(!ties(&yard(0.5, 0.2, 10.0), &yard(1.5, 1.5, 10.0)));
        let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
        let found = choices(&kitchen, &request(2), date(2026, 5, 1)).ranked;
        let mut made: Vec<Choice> = [(0.7, 0.2, 9.0), (0.5, 0.2, 10.0), (2.0, 0.1, 8.0)]
            .into_iter()
            .map(|(spread, half, minutes)| {
                let mut choice = found[0].clone();
                choice.planned.plan.evenness = yard(spread, half, minutes);
                choice.planned.plan.bake = Minutes(minutes);
                choice
            })
            .collect();
        rank(&mut made);
        let order: Vec<f64> = made.iter().map(|c| c.planned.plan.bake.0).collect();
        assert_eq!(order, [9.0, 10.0, 8.0]);
        let tied: Vec<bool> = made.iter().map(|c| c.ties_with_first).collect();
        assert_eq!(tied, [true, true, false]);
    }
}
