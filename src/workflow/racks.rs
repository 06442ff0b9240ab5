//! Rack positions that toast tests lie on, against what an oven's description is to become.

use super::kitchen::Records;
use crate::{
    model::{Oven, ToastTest},
    units::Centimetres,
};

/// Returns every rack position that a toast test of the oven on record lies on, with the test.
pub(super) fn racks_in_use<'k>(
    records: &'k Records,
    oven: &Oven,
) -> impl Iterator<Item = (u8, &'k ToastTest)> {
    let known = records.oven(&oven.id);
    let tests = records.tests_of(&oven.id).into_iter();
    let all = tests.flat_map(|test| test.setup.racks.iter().map(move |rack| (*rack, test)));
    all.filter(move |(rack, _)| known.is_some_and(|oven| oven.rack(*rack).is_ok()))
}

/// How much the height of a rack position may be written better without a word.
const SAME_RACK: Centimetres = Centimetres(2.0);

/// Says which rack position with toast tests on it would lie elsewhere, were `oven` saved: what was read of it would
/// count for another height.
pub fn moved_rack(records: &Records, oven: &Oven) -> Option<String> {
    let height = |oven: &Oven, rack| oven.rack(rack).ok().map(|r| r.height);
    racks_in_use(records, oven).find_map(|(rack, _)| {
        let (was, now) = (height(records.oven(&oven.id)?, rack)?, height(oven, rack)?);
        let [from, to] = [was, now].map(|h| oven.lengths.show(h));
        ((now.0 - was.0).abs() > SAME_RACK.0).then(|| {
            format!("rack position {rack} has toast tests on it, and would be at {to} in place of {from}")
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        model::RackPosition,
        workflow::{describe::check_beside, kitchen::Kitchen},
    };

    /// A test keeps the number of its rack position: what was read of it must not count for another height unasked.
    #[test]
    fn a_rack_with_tests_on_it_is_kept_and_not_moved_unasked() {
        let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
        let oven = kitchen.find_oven("wall-oven").unwrap().clone();
        let with = |change: &dyn Fn(&mut Vec<RackPosition>)| {
            let mut changed = oven.clone();
            change(&mut changed.racks);
            changed
        };
        assert!(moved_rack(&kitchen, &oven).is_none());
        let measured = with(&|racks| racks[3].height.0 += 1.0);
        assert!(moved_rack(&kitchen, &measured).is_none());
        let moved = with(&|racks| racks[3].height.0 += 4.0);
        let said = moved_rack(&kitchen, &moved).unwrap();
        assert!(said.contains("rack position 4"), "{said}");
        let fewer = with(&|racks| racks.truncate(3));
        let said = check_beside(&kitchen, &fewer).unwrap_err().to_string();
        assert!(said.contains("rack position 4"), "{said}");
        assert!(check_beside(&kitchen, &oven).is_ok());
    }
}
