//! Evenness of every toast test, each mapped by itself and only once: what was mapped is kept on the disk by the hash
//! of what it was mapped from.

use crate::{
    field::{self, Bound, Domain, Evidence, RackMap, Range, UNSEEN},
    model::{Mode, Oven, PlaceName, Sensitivity, ToastTest},
    store::{Figures, fingerprint},
    units::Celsius,
    workflow::{
        observe::{domain_of, observations_of, priors_of, read_by_eye, to_one_level},
        pool::on_one_side,
        sensitivity::sensitivity_of,
        view::{READ_ON, reading_of},
    },
};
use jiff::civil::DateTime;
use std::{
    sync::atomic::{AtomicUsize, Ordering},
    thread,
};

/// Is told how many of how many tests are mapped; from any thread.
pub type Progress<'p> = dyn Fn(usize, usize) + Sync + 'p;

/// Figures of the engine that maps: raised whenever the same slices come to be mapped otherwise, so that nothing kept
/// before counts. A test below fails where that was forgotten.
const ENGINE: u8 = 5;
/// Figures in a kept row: rack, three ranges, the hottest place, and its range.
const ROW: usize = 15;

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
    /// Where it browned most, cm from the left wall and from the door.
    pub hottest_at: (f64, f64),
    /// The name of that place.
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

    /// Says what the degrees of a mode rest on, and from which test on something else; `None` where none has a map.
    pub fn basis(&self, mode: Mode) -> Option<String> {
        let of_mode = |m: &&MappedTest| m.test.setup.mode == mode && !m.points.is_empty();
        let mut last = None;
        let mut said: Vec<String> = Vec::new();
        for one in self.0.iter().filter(of_mode) {
            let basis = one.sensitivity.basis();
            if last.as_ref() != Some(&basis) {
                let day = one.test.when.date();
                said.push(match last {
                    None => basis.clone(),
                    Some(_) => format!("from {day} on, on {basis}"),
                });
                last = Some(basis);
            }
        }
        (!said.is_empty()).then(|| said.join("; "))
    }

    /// Maps the tests that are neither held as they are now nor among the figures `kept`, which are brought up to them.
    ///
    /// `progress` is told how many of how many are done.
    pub(super) fn brought_up_to(
        &self,
        (oven, tests): (&Oven, &[&ToastTest]),
        kept: &mut Figures,
        progress: &Progress<'_>,
    ) -> Self {
        let domain = domain_of(oven);
        let wanted = with_sensitivity(oven, tests);
        let done = AtomicUsize::new(0);
        let mapped: Vec<(String, MappedTest)> = in_shares(&wanted, |(test, sensitivity)| {
            let key = fingerprint(&inputs(test, &domain, sensitivity));
            let held = self.0.iter().find(|m| {
                m.test.id == test.id
                    && m.test == **test
                    && m.domain == domain
                    && m.sensitivity == *sensitivity
            });
            let one = held.cloned().unwrap_or_else(|| MappedTest {
                test: (*test).clone(),
                domain: domain.clone(),
                sensitivity: *sensitivity,
                points: kept
                    .get(&key)
                    .and_then(|rows| read_back(rows, test, &domain))
                    .unwrap_or_else(|| points(test, &domain, sensitivity)),
            });
            progress(done.fetch_add(1, Ordering::Relaxed) + 1, wanted.len());
            (key, one)
        });
        *kept = mapped
            .iter()
            .map(|(key, one)| (key.clone(), one.points.iter().map(row).collect()))
            .collect();
        Self(mapped.into_iter().map(|(_, one)| one).collect())
    }
}

/// Tells each test's sensitivity. Every test of a mode with no visit between tells of it: gone through once for each
/// setting, not for each test.
fn with_sensitivity<'t>(oven: &Oven, tests: &[&'t ToastTest]) -> Vec<(&'t ToastTest, Sensitivity)> {
    let mut known: Vec<((Mode, usize, Celsius), Sensitivity)> = Vec::new();
    tests
        .iter()
        .map(|test| {
            let visits = oven.visits.iter().filter(|v| v.when <= test.when).count();
            let setting = (test.setup.mode, visits, test.setup.dial);
            let found = known.iter().find(|k| k.0 == setting).map(|k| k.1);
            let sensitivity = found.unwrap_or_else(|| {
                let made = sensitivity_of(&on_one_side(tests, oven, test), test.setup.dial);
                known.push((setting, made));
                made
            });
            (*test, sensitivity)
        })
        .collect()
}

/// Returns everything the figures of a test rest on, as bytes.
fn inputs(test: &ToastTest, domain: &Domain, sensitivity: &Sensitivity) -> Vec<u8> {
    let mut out = vec![ENGINE, u8::from(read_by_eye(&[test]))];
    let mut figures = vec![domain.width, domain.depth];
    figures.extend(
        domain
            .racks
            .iter()
            .flat_map(|r| [f64::from(r.number), r.height]),
    );
    figures.extend([sensitivity.per_c, sensitivity.relative_sd]);
    for (_, o) in observations_of(test, 0) {
        let bound = match o.bound {
            Bound::Exact => 0.0,
            Bound::AtLeast => 1.0,
            Bound::AtMost => -1.0,
        };
        figures.extend([
            f64::from(o.rack),
            o.x,
            o.y,
            o.width,
            o.depth,
            o.browning,
            o.sd,
            bound,
        ]);
        figures.extend(o.lean.map_or([0.0; 3], |l| l.loads));
    }
    out.extend(figures.into_iter().flat_map(f64::to_le_bytes));
    out
}

/// Writes a point as figures to keep.
fn row(p: &EvennessPoint) -> Vec<f64> {
    let mut out = vec![f64::from(p.rack)];
    let of = |r: Range| [r.value, r.lo, r.hi];
    out.extend([p.spread, p.sd, p.sd_c].into_iter().flat_map(of));
    out.extend([p.hottest_at.0, p.hottest_at.1]);
    out.extend(of(p.hottest_c));
    out
}

/// Reads the points of a test from kept figures; `None` where they are not such.
fn read_back(rows: &[Vec<f64>], test: &ToastTest, domain: &Domain) -> Option<Vec<EvennessPoint>> {
    rows.iter()
        .map(|row| {
            let row: &[f64; ROW] = row.as_slice().try_into().ok()?;
            let range = |i: usize| Range::new(row[i], row[i + 1], row[i + 2]);
            let rack = domain.racks.iter().map(|r| r.number);
            let rack = rack
                .into_iter()
                .find(|n| (f64::from(*n) - row[0]).abs() < 0.5)?;
            let at = (row[10], row[11]);
            Some(EvennessPoint {
                when: test.when,
                test: test.id.to_string(),
                mode: test.setup.mode,
                dial: test.setup.dial,
                rack,
                spread: range(1),
                sd: range(4),
                sd_c: range(7),
                hottest_at: at,
                hottest: PlaceName::of(at.0, at.1, domain.width, domain.depth).words(),
                hottest_c: range(12),
            })
        })
        .collect()
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
    // Read as its map is on every face.
    let map = fit.map(READ_ON.0, READ_ON.1);
    let tested = map.racks.iter().filter(|r| r.evidence == Evidence::Tested);
    tested
        .filter_map(|rack| {
            let even = field::evenness_of(&fit, rack, &reading);
            let at = hottest(rack, fit.covered(rack.rack))?;
            let (row, col) = (at / rack.grid.cols, at % rack.grid.cols);
            let (x, y) = (rack.grid.x(col), rack.grid.y(row));
            // As the peak of a zone: the strongest of many places.
            let sd = UNSEEN * rack.contrast_sd[at];
            Some(EvennessPoint {
                when: test.when,
                test: test.id.to_string(),
                mode: test.setup.mode,
                dial: test.setup.dial,
                rack: rack.rack,
                spread: even.spread,
                sd: even.sd,
                sd_c: even.sd_c,
                hottest_at: (x, y),
                hottest: PlaceName::of(x, y, domain.width, domain.depth).words(),
                hottest_c: reading.degrees(rack.contrast[at], sd, rack.level()),
            })
        })
        .collect()
}

/// Returns the cell of the hottest place where bread lay: beyond it the map is carried on, to the corners and too far.
fn hottest(rack: &RackMap, (x0, x1, y0, y1): (f64, f64, f64, f64)) -> Option<usize> {
    let grid = &rack.grid;
    let under_bread = |i: &usize| {
        let (x, y) = (grid.x(i % grid.cols), grid.y(i / grid.cols));
        (x0..=x1).contains(&x) && (y0..=y1).contains(&y)
    };
    let cells = (0..grid.len()).filter(under_bread);
    cells.max_by(|&a, &b| rack.contrast[a].total_cmp(&rack.contrast[b]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::samples::two_racks;
    use crate::{
        field::Rack,
        model::{Reading, SensitivitySource, Shade},
        workflow::kitchen::Kitchen,
    };

    /// The engine's number, and what it maps one small test to. No truth but a seal: a map that comes out otherwise needs
    /// another number, or old figures are shown beside new ones.
    const SEALED: (u8, [[f64; ROW]; 2]) = (
        5,
        [
            [
                1.0,
                3.919_813_3,
                2.654_884,
                5.626_768_9,
                1.217_267_4,
                0.837_544,
                1.739_459_3,
                11.281_403_4,
                5.936_303_2,
                20.119_521_9,
                5.041_666_7,
                29.291_666_7,
                14.008_786_5,
                4.986_114_8,
                24.073_657_5,
            ],
            [
                2.0,
                3.927_182_4,
                2.651_964_6,
                5.625_512_6,
                1.216_648_7,
                0.838_266_8,
                1.739_540_4,
                14.056_116,
                7.236_016_7,
                25.919_334_2,
                5.041_666_7,
                29.291_666_7,
                16.508_5,
                5.990_355_6,
                28.131_946_4,
            ],
        ],
    );

    /// Two rack positions of six slices, darker to the back left; nothing in it comes from a file.
    fn small_test() -> ToastTest {
        let mut test = two_racks();
        for (i, slice) in test.slices.iter_mut().enumerate() {
            let shade = [6, 5, 5, 5, 4, 3][i % 6] + slice.rack % 2;
            slice.reading = Reading::ByEye(Shade::whole(shade).unwrap());
        }
        test
    }

    #[test]
    fn an_engine_that_maps_otherwise_has_another_number() {
        let domain = Domain {
            width: 44.0,
            depth: 37.0,
            racks: [(1, 8.0), (2, 22.0)]
                .map(|(number, height)| Rack { number, height })
                .to_vec(),
        };
        let sensitivity = Sensitivity {
            energy: 34e3,
            per_c: 0.02,
            relative_sd: 0.2,
            source: SensitivitySource::Default,
        };
        let mapped = points(&small_test(), &domain, &sensitivity);
        let now: Vec<Vec<f64>> = mapped.iter().map(row).collect();
        // Far more than processors differ by, far less than a change of the fit.
        let same = |(a, b): (&f64, &f64)| (a - b).abs() <= 1e-6 * b.abs().max(1.0);
        let unchanged = now.len() == SEALED.1.len()
            && now.iter().flatten().zip(SEALED.1.as_flattened()).all(same);
        assert!(
            unchanged && ENGINE == SEALED.0,
            "the map changed or its number did: raise ENGINE where the map changed, then seal {now:?}"
        );
    }

    #[test]
    fn a_test_is_mapped_again_only_when_it_changed() {
        let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
        let oven = kitchen.find_oven("counter-oven").unwrap();
        let tests = kitchen.tests_of(&oven.id);
        let mut kept = Figures::new();
        let quiet = |_, _| {};
        let fresh = Mapped::default().brought_up_to((oven, &tests), &mut kept, &quiet);
        assert!(fresh.points().count() >= 3);
        let again = fresh.brought_up_to((oven, &tests), &mut Figures::new(), &quiet);
        assert_eq!(again, fresh);
        // What was kept gives the same, and is what is used.
        let read = Mapped::default().brought_up_to((oven, &tests), &mut kept.clone(), &quiet);
        assert_eq!(read, fresh);
        let mut doubled = kept.clone();
        for row in doubled.values_mut().flatten() {
            row[4] *= 2.0;
        }
        let used = Mapped::default().brought_up_to((oven, &tests), &mut doubled, &quiet);
        assert!(
            used.points()
                .zip(fresh.points())
                .all(|(a, b)| a.sd.value > 1.9 * b.sd.value)
        );
        for row in doubled.values_mut().flatten() {
            row.pop();
        }
        let mended = Mapped::default().brought_up_to((oven, &tests), &mut doubled, &quiet);
        assert_eq!(mended, fresh, "what cannot be read is mapped again");

        // Emptied by hand, what is held shows whether it was used or made again.
        let mut emptied = fresh.clone();
        for mapped in &mut emptied.0 {
            mapped.points.clear();
        }
        let none = emptied.brought_up_to((oven, &tests), &mut Figures::new(), &quiet);
        assert_eq!(none.points().count(), 0);
        let mut changed = (*tests[0]).clone();
        let slice = changed.slices.first_mut().unwrap();
        slice.reading = Reading::ByEye(Shade::from_half_steps(9).unwrap());
        let now: Vec<&ToastTest> = std::iter::once(&changed)
            .chain(tests[1..].iter().copied())
            .collect();
        let again = emptied.brought_up_to((oven, &now), &mut Figures::new(), &quiet);
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
