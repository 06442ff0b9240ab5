//! Evenness of every toast test, each mapped by itself and only once.

use crate::{
    field::{self, Domain, Evidence, RackMap, Range},
    model::{Mode, Oven, PlaceName, Sensitivity, ToastTest},
    units::Celsius,
    workflow::{
        observe::{domain_of, observations_of, priors_of, read_by_eye, to_one_level},
        sensitivity::sensitivity_of,
        view::reading_of,
    },
};
use jiff::civil::DateTime;
use std::thread;

/// Cells of the maps behind the figures.
const GRID: (usize, usize) = (18, 12);

/// How even a rack position was in one toast test.
#[derive(Debug, Clone, PartialEq)]
pub struct EvennessPoint {
    /// When.
    pub when: DateTime,
    /// The test.
    pub test: String,
    /// How it heated.
    pub mode: Mode,
    /// The setting.
    pub dial: Celsius,
    /// The rack position.
    pub rack: u8,
    /// Darkest less lightest, shades.
    pub spread: Range,
    /// Standard deviation, shades.
    pub sd: Range,
    /// The same as degrees that would brown alike, C: how dark the test came out does not count in it.
    pub sd_c: Range,
    /// Where it browned most.
    pub hottest: &'static str,
    /// How much hotter than the rack's mean, C.
    pub hottest_c: Range,
}

/// Toast tests of one oven, each mapped by itself.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Mapped(Vec<MappedTest>);

/// A test, what its map rests on beside it, and what the map says.
#[derive(Debug, Clone, PartialEq)]
struct MappedTest {
    test: ToastTest,
    domain: Domain,
    sensitivity: Sensitivity,
    points: Vec<EvennessPoint>,
}

impl Mapped {
    /// Returns the evenness of every tested rack position of every test, in the order of the tests.
    pub fn points(&self) -> impl Iterator<Item = &EvennessPoint> {
        self.0.iter().flat_map(|mapped| &mapped.points)
    }

    /// Returns what the degrees of a mode rest on; `None` where none of its tests has a map.
    pub fn sensitivity(&self, mode: Mode) -> Option<Sensitivity> {
        let of_mode = |m: &&MappedTest| m.test.setup.mode == mode && !m.points.is_empty();
        self.0.iter().find(of_mode).map(|m| m.sensitivity)
    }

    /// Maps the tests that are not held as they are now.
    pub(super) fn brought_up_to(&self, oven: &Oven, tests: &[&ToastTest]) -> Self {
        let domain = domain_of(oven);
        // Every test of a mode tells of it: gone through once for each setting, not for each test.
        let mut known: Vec<(Mode, Celsius, Sensitivity)> = Vec::new();
        let wanted: Vec<(&ToastTest, Sensitivity)> = tests
            .iter()
            .map(|test| {
                let (mode, dial) = (test.setup.mode, test.setup.dial);
                let found = known.iter().find(|k| k.0 == mode && k.1 == dial);
                let sensitivity = if let Some(found) = found {
                    found.2
                } else {
                    let alike = tests.iter().filter(|t| t.setup.mode == mode);
                    let alike: Vec<&ToastTest> = alike.copied().collect();
                    let made = sensitivity_of(&alike, dial);
                    known.push((mode, dial, made));
                    made
                };
                (*test, sensitivity)
            })
            .collect();
        let held = |(test, sensitivity): &(&ToastTest, Sensitivity)| {
            self.0
                .iter()
                .find(|m| m.test == **test && m.domain == domain && m.sensitivity == *sensitivity)
        };
        let map = |(test, sensitivity): &(&ToastTest, Sensitivity)| MappedTest {
            test: (*test).clone(),
            domain: domain.clone(),
            sensitivity: *sensitivity,
            points: points(test, &domain, sensitivity),
        };
        Self(in_shares(&wanted, |one| {
            held(one).cloned().unwrap_or_else(|| map(one))
        }))
    }
}

/// Does `work` on every item, a share of them on each of the processor's cores; keeps their order.
fn in_shares<T: Sync, U: Send>(items: &[T], work: impl Fn(&T) -> U + Sync) -> Vec<U> {
    let cores = thread::available_parallelism().map_or(1, usize::from);
    let share = items.len().div_ceil(cores).max(1);
    let work = &work;
    thread::scope(|scope| {
        let running: Vec<_> = items
            .chunks(share)
            .map(|own| scope.spawn(move || own.iter().map(work).collect::<Vec<U>>()))
            .collect();
        running
            .into_iter()
            .flat_map(|thread| {
                // A panic is passed on, as if the work had been done here.
                thread
                    .join()
                    .unwrap_or_else(|panic| std::panic::resume_unwind(panic))
            })
            .collect()
    })
}

/// Returns nothing for a test that carries too few scores for a map.
fn points(test: &ToastTest, domain: &Domain, sensitivity: &Sensitivity) -> Vec<EvennessPoint> {
    let seen = observations_of(test, 0);
    let mut observations: Vec<_> = seen.into_iter().map(|(_, o)| o).collect();
    to_one_level(&mut observations);
    let Ok(fit) = field::fit(&observations, domain, &priors_of(read_by_eye(&[test]))) else {
        return Vec::new();
    };
    let reading = reading_of(sensitivity);
    let map = fit.map(GRID.0, GRID.1);
    let tested = map.racks.iter().filter(|r| r.evidence == Evidence::Tested);
    tested
        .filter_map(|rack| {
            let even = field::evenness_of(&fit, rack, &reading);
            let (hottest, at) = hottest(rack, domain)?;
            Some(EvennessPoint {
                when: test.when,
                test: test.id.to_string(),
                mode: test.setup.mode,
                dial: test.setup.dial,
                rack: rack.rack,
                spread: even.spread,
                sd: even.sd,
                sd_c: even.sd_c,
                hottest,
                hottest_c: reading.degrees(rack.contrast[at], rack.contrast_sd[at], rack.rack_mean),
            })
        })
        .collect()
}

/// Returns the name of the hottest place and the cell it is in.
fn hottest(rack: &RackMap, domain: &Domain) -> Option<(&'static str, usize)> {
    let at = (0..rack.grid.len()).max_by(|&a, &b| rack.contrast[a].total_cmp(&rack.contrast[b]))?;
    let (row, col) = (at / rack.grid.cols, at % rack.grid.cols);
    let (x, y) = (rack.grid.x(col), rack.grid.y(row));
    Some((PlaceName::of(x, y, domain.width, domain.depth).words(), at))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{model::Reading, model::Shade, workflow::kitchen::Kitchen};

    #[test]
    fn a_test_is_mapped_again_only_when_it_changed() {
        let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
        let oven = kitchen.find_oven("counter-oven").unwrap();
        let tests = kitchen.tests_of(&oven.id);
        let fresh = Mapped::default().brought_up_to(oven, &tests);
        assert!(fresh.points().count() >= 3);
        assert_eq!(fresh.brought_up_to(oven, &tests), fresh);

        // Emptied by hand, what is held shows whether it was used or made anew.
        let mut emptied = fresh.clone();
        for mapped in &mut emptied.0 {
            mapped.points.clear();
        }
        assert_eq!(emptied.brought_up_to(oven, &tests).points().count(), 0);
        let mut changed = (*tests[0]).clone();
        let slice = changed.slices.first_mut().unwrap();
        slice.reading = Reading::ByEye(Shade::from_half_steps(9).unwrap());
        let now: Vec<&ToastTest> = std::iter::once(&changed)
            .chain(tests[1..].iter().copied())
            .collect();
        let again = emptied.brought_up_to(oven, &now);
        assert!(again.points().count() > 0);
        assert!(again.points().all(|p| p.test == changed.id.to_string()));
    }

    #[test]
    fn shares_keep_their_order_whatever_their_number() {
        for n in [0, 1, 2, 7, 100] {
            let items: Vec<usize> = (0..n).collect();
            let doubled: Vec<usize> = items.iter().map(|i| 2 * i).collect();
            assert_eq!(in_shares(&items, |i| 2 * i), doubled);
        }
    }
}
