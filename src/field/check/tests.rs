//! Changes found and not found by slices laid where they tell most.

use super::*;
use crate::field::{Bound, Domain, Observation, Priors, Rack, fit};

fn known() -> Fit {
    let domain = Domain {
        width: 50.0,
        depth: 40.0,
        racks: vec![Rack {
            number: 1,
            height: 10.0,
        }],
    };
    let mut s = Stream::new(4);
    let observations: Vec<Observation> = (0..20)
        .map(|i| Observation {
            rack: 1,
            x: 8.0 + 8.5 * f64::from(i % 5),
            y: 7.0 + 8.6 * f64::from(i / 5),
            width: 8.0,
            depth: 8.0,
            browning: 0.5 + 0.02 * s.normal(),
            sd: 0.0,
            bound: Bound::Exact,
            batch: 0,
            lean: None,
        })
        .collect();
    fit(&observations, &domain, &Priors::measured()).unwrap()
}

fn spots() -> Vec<Spot> {
    (0..63)
        .map(|i| Spot {
            rack: 1,
            x: 4.0 + 5.25 * f64::from(i % 9),
            y: 4.0 + 5.33 * f64::from(i / 9),
            width: 8.0,
            depth: 8.0,
        })
        .collect()
}

#[test]
fn a_hot_corner_is_named_and_an_unchanged_oven_is_not() {
    let fit = known();
    let check = fit.check(&[1], spots(), 0.0).unwrap();
    let chosen = check.choose(6);
    assert_eq!(chosen.len(), 6);
    let seen = |corner: f64| -> Vec<Seen> {
        chosen
            .iter()
            .map(|&spot| {
                let s = check.spots()[spot];
                let far = (s.x / 14.0).powi(2) + ((40.0 - s.y) / 12.0).powi(2);
                Seen {
                    spot,
                    // pulled later, so darker all over
                    browning: 1.2 * (0.5 + corner * (-0.5 * far).exp()),
                    sd: 0.0,
                    lean: None,
                }
            })
            .collect()
    };
    let same = check.judge(&seen(0.0), 1).unwrap();
    assert!(same.chance > 0.5, "{same:?}");
    assert!(same.at_most < TELLING, "{same:?}");
    let hotter = check.judge(&seen(0.25), 1).unwrap();
    assert!(hotter.chance < 0.02, "{hotter:?}");
    assert_eq!((hotter.part.x, hotter.part.y), (0.0, 40.0), "back left");
    assert!((hotter.change - 0.25).abs() < 2.0 * hotter.sd, "{hotter:?}");
    assert!(
        check.judge(&seen(0.0)[..2], 1).is_none(),
        "two tell nothing"
    );
}

#[test]
fn slices_that_lean_with_their_photo_are_no_change() {
    let fit = known();
    let check = fit.check(&[1], spots(), 0.0).unwrap();
    let chosen = check.choose(6);
    let seen = |lean: f64, known: f64| -> Vec<Seen> {
        let one = |&spot: &usize| {
            let right = check.spots()[spot].x / 25.0 - 1.0;
            Seen {
                spot,
                browning: 0.5 + lean * right,
                sd: 0.0,
                lean: Some(Lean {
                    photo: 0,
                    loads: [known * right, 0.0, 0.0],
                }),
            }
        };
        chosen.iter().map(one).collect()
    };
    let strange = check.judge(&seen(0.15, 0.0), 1).unwrap();
    assert!(strange.chance < 0.04, "{strange:?}");
    let usual = check.judge(&seen(0.15, 0.1), 1).unwrap();
    assert!(usual.chance > 0.1, "{usual:?}");
    assert!(usual.at_most > strange.sd, "a lean hides a change");
}

#[test]
fn chosen_spots_find_more_than_others_and_more_slices_hide_less() {
    let fit = known();
    let check = fit.check(&[1], spots(), 0.02).unwrap();
    let six = check.choose(6);
    let row: Vec<usize> = (27..36).step_by(2).collect();
    assert!(check.finds(&six, TELLING) > check.finds(&row, TELLING));
    let eight = check.choose(8);
    assert!(check.finds(&eight, TELLING) > check.finds(&six, TELLING));
    // whatever was chosen, one slice more can only tell more
    let far = (0..check.spots().len()).find(|i| !six.contains(i));
    let seven: Vec<usize> = six.iter().copied().chain(far).collect();
    assert!(check.hides(&seven) <= check.hides(&six) + 1e-12);
    for (i, a) in six.iter().enumerate() {
        for b in &six[i + 1..] {
            assert!(!check.spots[*a].overlaps(&check.spots[*b]));
        }
    }
}
