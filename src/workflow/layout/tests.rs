//! Counts, places and refusals of a layout.

use super::*;
use crate::model::Cavity;
use crate::model::samples;
use proptest::prelude::*;

const INCH: f64 = 2.54;

fn oven(width: f64, depth: f64) -> Oven {
    Oven {
        cavity: Cavity::new(Centimetres(width), Centimetres(depth), Centimetres(40.0)),
        modes: vec![Mode::StillAir, Mode::Proofing],
        ..samples::oven([10.0, 20.0, 30.0])
    }
}

fn bare(width_in: f64, depth_in: f64) -> LayoutRequest {
    LayoutRequest {
        racks: vec![1],
        slice: SliceSize::new(Centimetres(width_in * INCH), Centimetres(depth_in * INCH)),
        gap: Centimetres(0.0),
        clearance: Centimetres(0.0),
        counts: None,
        dial: None,
    }
}

/// Whole slices on a rack of 24 x 16 in and a sheet of 18 x 13 in, edge to edge (computed).
#[test]
fn whole_slices_on_a_rack_and_on_a_sheet() {
    let rack = oven(24.0 * INCH, 16.0 * INCH);
    for (w, d, slices) in [
        (4.0, 4.25, 18),
        (4.25, 4.0, 20),
        (4.5, 4.5, 15),
        (4.0, 4.0, 24),
    ] {
        let layout = lay_out(&rack, Mode::StillAir, &bare(w, d)).unwrap();
        assert_eq!(layout.per_rack, slices, "{w} x {d} in");
    }
    let sheet = oven(18.0 * INCH, 13.0 * INCH);
    let layout = lay_out(&sheet, Mode::StillAir, &bare(4.0, 4.25)).unwrap();
    assert_eq!(layout.per_rack, 12);
}

#[test]
fn slices_are_numbered_as_one_reads() {
    let request = LayoutRequest {
        counts: Some((3, 2)),
        ..LayoutRequest::ordinary(vec![3, 1])
    };
    let layout = lay_out(&oven(60.0, 45.0), Mode::StillAir, &request).unwrap();
    assert_eq!((layout.cols, layout.rows, layout.slices.len()), (3, 2, 12));
    let (first, second, fourth) = (&layout.slices[0], &layout.slices[1], &layout.slices[3]);
    assert_eq!(first.rack, 1);
    assert_eq!(
        first.place,
        Place::new(Centimetres(10.0), Centimetres(35.0))
    );
    assert!(second.place.x > first.place.x && second.place.y == first.place.y);
    assert!(fourth.place.y < first.place.y && fourth.place.x == first.place.x);
    assert_eq!(layout.slices[6].rack, 3);
}

#[test]
fn what_to_expect_is_said() {
    let layout = lay_out(
        &oven(60.0, 45.0),
        Mode::StillAir,
        &LayoutRequest::ordinary(vec![1, 2]),
    )
    .unwrap();
    // 4 x 3 slices on each of two racks, and two kept back, are more than one loaf's 20.
    assert_eq!((layout.per_rack, layout.loaves), (12, 2));
    assert!(layout.warnings.iter().any(|w| w.what.contains("2 loaves")));
    assert_eq!(TemperatureUnit::Fahrenheit.show(layout.dial), "350 F");
    // Colour difference 15 and 25 on a hot plate at 177 C, plus the time the slice takes to dry.
    assert_eq!(layout.minutes, Some((Minutes(11.0), Minutes(16.0))));
    assert_eq!(layout.minutes_words(None), "11 to 16 min");
    assert!(layout.pull_when.contains("20 minutes"));
}

/// A hotter dial toasts sooner; where heat comes otherwise, no figure is made up.
#[test]
fn the_time_follows_dial_and_mode() {
    let mut oven = oven(60.0, 45.0);
    oven.modes = vec![Mode::StillAir, Mode::Fan, Mode::TopOnly, Mode::BottomOnly];
    oven.dial.lowest = Celsius(60.0);
    let at = |mode, f: f64| {
        let request = LayoutRequest {
            dial: Some(TemperatureUnit::Fahrenheit.temperature(f)),
            ..LayoutRequest::ordinary(vec![1])
        };
        lay_out(&oven, mode, &request).unwrap()
    };
    let (at_350, at_450) = (at(Mode::StillAir, 350.0), at(Mode::StillAir, 450.0));
    assert_eq!(at_350.minutes, Some((Minutes(11.0), Minutes(16.0))));
    let (sooner, later) = (at_450.minutes.unwrap(), at_350.minutes.unwrap());
    assert!(
        sooner.0.0 < 0.7 * later.0.0 && sooner.1.0 < 0.6 * later.1.0,
        "{sooner:?}"
    );
    assert_eq!(TemperatureUnit::Fahrenheit.show(at_450.dial), "450 F");
    for mode in [Mode::Fan, Mode::TopOnly, Mode::BottomOnly] {
        let layout = at(mode, 350.0);
        assert_eq!(layout.minutes, None);
        assert!(
            layout
                .minutes_words(None)
                .contains("look from minute 2 on and stay")
        );
        assert!(layout.pull_when.contains("catch fire"));
    }
    // Never golden at a proofing warmth.
    assert_eq!(at(Mode::StillAir, 150.0).minutes, None);
    let mut turned = at(Mode::StillAir, 350.0);
    turned.set_dial(Mode::StillAir, at_450.dial);
    assert_eq!(turned, at_450);
}

#[test]
fn what_cannot_be_is_refused_with_its_reason() {
    let oven = oven(60.0, 45.0);
    let say =
        |mode, request: &LayoutRequest| lay_out(&oven, mode, request).unwrap_err().to_string();
    let fine = LayoutRequest::ordinary(vec![1]);
    assert!(say(Mode::StillAir, &LayoutRequest::ordinary(vec![])).contains("name at least one"));
    assert!(say(Mode::StillAir, &LayoutRequest::ordinary(vec![9])).contains("no rack position 9"));
    assert!(say(Mode::StillAir, &LayoutRequest::ordinary(vec![2, 2])).contains("twice"));
    assert!(say(Mode::Fan, &fine).contains("no mode 'fan'"));
    assert!(say(Mode::Proofing, &fine).contains("thermometer"));
    let hot = LayoutRequest {
        dial: Some(Celsius(350.0)),
        ..fine.clone()
    };
    let said = say(Mode::StillAir, &hot);
    let unit = oven.dial.unit;
    assert!(
        said.contains(&format!("which goes from {}", unit.show(oven.dial.lowest)))
            && said.contains(&unit.show(Celsius(350.0))),
        "{said}"
    );
    let many = LayoutRequest {
        counts: Some((9, 2)),
        ..fine.clone()
    };
    assert!(
        say(Mode::StillAir, &many).contains("at most 4 fit"),
        "{}",
        say(Mode::StillAir, &many)
    );
    let tiny = LayoutRequest {
        slice: SliceSize::new(Centimetres(0.5), Centimetres(10.0)),
        ..fine
    };
    assert!(say(Mode::StillAir, &tiny).contains("slice width of 0.5 cm"));
}

proptest! {
    #[test]
    fn slices_keep_their_distance(
        width in 30.0..80.0_f64, depth in 30.0..60.0_f64,
        w in 6.0..14.0_f64, d in 6.0..14.0_f64, gap in 0.0..3.0_f64, clearance in 0.0..6.0_f64,
    ) {
        let request = LayoutRequest {
            racks: vec![1],
            slice: SliceSize { width: Centimetres(w), depth: Centimetres(d) },
            gap: Centimetres(gap),
            clearance: Centimetres(clearance),
            counts: None,
            dial: None,
        };
        let layout = lay_out(&oven(width, depth), Mode::StillAir, &request).unwrap();
        prop_assert_eq!(layout.slices.len(), layout.cols * layout.rows);
        for (i, a) in layout.slices.iter().enumerate() {
            prop_assert!(a.place.x.0 - w / 2.0 >= clearance - 1e-9);
            prop_assert!(a.place.x.0 + w / 2.0 <= width - clearance + 1e-9);
            prop_assert!(a.place.y.0 - d / 2.0 >= clearance - 1e-9);
            prop_assert!(a.place.y.0 + d / 2.0 <= depth - clearance + 1e-9);
            for b in &layout.slices[i + 1..] {
                let beside = (a.place.x.0 - b.place.x.0).abs() >= w + gap - 1e-9;
                let behind = (a.place.y.0 - b.place.y.0).abs() >= d + gap - 1e-9;
                prop_assert!(beside || behind);
            }
        }
    }
}
