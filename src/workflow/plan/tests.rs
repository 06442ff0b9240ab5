//! A whole plan on invented maps, and without one.

use super::{bake::Bake, *};
use crate::model::samples;
use crate::{
    model::{
        Cavity, DoseCurve, Gravity, Mode, Reading, Sensitivity, SensitivitySource, SetAt, Shade,
        Tray, Warning, kinetics::DEFAULT_ENERGY,
    },
    planner::{BrowningSource, dial::Offset},
    units::{Celsius, CelsiusDelta, Centimetres, Minutes, TemperatureUnit},
    workflow::{
        catalogue::bake_kind,
        ground::{NoMap, ground_of_pool},
        layout::{LayoutRequest, lay_out},
        pool::Pool,
    },
};

/// A map with a slope across, upper racks browner, a hot place, and a level that no sample agrees on.
pub(super) struct Invented {
    slope: f64,
    rack_step: f64,
    hot: f64,
    noise: f64,
}

pub(super) const EVEN: Invented = Invented {
    slope: 0.0,
    rack_step: 0.0,
    hot: 0.0,
    noise: 0.05,
};
pub(super) const SLOPED: Invented = Invented {
    slope: 0.2,
    rack_step: 0.05,
    ..EVEN
};

impl Invented {
    fn at(&self, rack: u8, x: f64, y: f64) -> f64 {
        let hot = (-((x - 15.0).powi(2) + (y - 33.0).powi(2)) / 60.0).exp();
        0.6 + self.slope * (x - 30.0) / 30.0 + self.rack_step * f64::from(rack) + self.hot * hot
    }
}

impl BrowningSource for Invented {
    fn browning(&self, rack: u8, x: f64, y: f64) -> Option<f64> {
        Some(self.at(rack, x, y))
    }

    /// Each draw leans another way, so that no turning can be told from none on an even map.
    fn samples(&self, points: &[(u8, f64, f64)], count: usize) -> Vec<Vec<f64>> {
        (0..count)
            .map(|i| {
                let angle = i as f64 * 2.4;
                points
                    .iter()
                    .map(|(rack, x, y)| {
                        let wave = (angle + x * 0.3).sin() * (angle * 1.7 + y * 0.4).cos();
                        self.at(*rack, *x, *y) + self.noise * wave
                    })
                    .collect()
            })
            .collect()
    }
}

pub(super) fn oven(racks: u8) -> Oven {
    Oven {
        cavity: Cavity::new(Centimetres(60.0), Centimetres(45.0), Centimetres(42.0)),
        modes: vec![Mode::StillAir, Mode::Fan, Mode::Proofing],
        ..samples::oven((1..=racks).map(|number| f64::from(number) * 7.0 - 1.0))
    }
}

pub(super) fn request(trays: usize, max_openings: usize) -> PlanRequest {
    let cake = BakeKind {
        own: None,
        for_fan: false,
        key: "cake".to_owned(),
        name: "cake".to_owned(),
        recipe: TemperatureUnit::Fahrenheit.temperature(350.0),
        time: Minutes(30.0),
        curve: DoseCurve {
            start: Celsius(20.0),
            rise_s: 360.0,
            plateau_min: 9.0,
            approach_s: 480.0,
            reach: 0.70,
        },
        sugared_base: false,
        set_at: None,
        reason: String::new(),
    };
    let tray = Tray::new(Centimetres(44.0), Centimetres(33.0), 4, 3);
    PlanRequest {
        trays,
        max_openings,
        ..PlanRequest::of(cake, Mode::StillAir, tray)
    }
}

pub(super) fn ground<'a>(source: &'a Invented, racks: &[u8]) -> Mapped<'a> {
    Mapped {
        source,
        racks: racks.iter().map(|r| (*r, Evidence::Tested)).collect(),
        sensitivity: Sensitivity::default_at(Celsius(177.0)),
        basis: "an invented map".to_owned(),
    }
}

pub(super) fn plan(source: &Invented, request: &PlanRequest) -> Planned {
    plan_on(
        &oven(5),
        Some(&ground(source, &[1, 2, 3, 4, 5])),
        request,
        &Measured::default(),
    )
    .unwrap()
}

pub(super) fn said(plan: &Planned, words: &str) -> bool {
    plan.sentences().iter().any(|a| a.contains(words))
}

#[test]
fn a_slope_is_cured_by_one_turn_at_half_the_browning() {
    let plan = plan(&SLOPED, &request(1, 4));
    assert_eq!(plan.plan.segments.len(), 2, "{:#?}", plan.advice);
    assert!(plan.plan.evenness.sd < 0.5 * plan.plan.unturned.sd);
    // At half-time hardly anything has browned, so custom only moves the dark side to the other end.
    assert!(
        plan.plan.halfway.sd > 0.8 * plan.plan.unturned.sd,
        "{:?}",
        plan.plan.halfway
    );
    assert!(
        (plan.plan.segments[0].to.0 - 25.0).abs() <= 1.0,
        "{:?}",
        plan.plan.segments
    );
    assert!(plan.plan.bake.0 > 30.0 && plan.plan.bake == plan.plan.segments[1].to);
    assert_eq!(plan.plan.unturned.minutes, Minutes(30.0));
    assert_eq!(plan.plan.alternatives.len(), 5);
    for pair in plan.plan.alternatives.windows(2) {
        assert!(pair[1].segments.len() <= pair[1].openings + 1);
    }
    let (lo, hi) = plan.plan.evenness.sd_range;
    assert!(lo < plan.plan.evenness.sd && plan.plan.evenness.sd < hi);
    assert!(said(&plan, "1 opening pays"), "{:#?}", plan.advice);
    assert!(said(&plan, "Should the food brown earlier"));
    assert!(said(&plan, "an invented map"));
}

#[test]
fn on_an_even_oven_turning_is_said_not_to_help() {
    let plan = plan(&EVEN, &request(2, 4));
    assert_eq!(plan.plan.segments.len(), 1, "{:#?}", plan.advice);
    assert!(said(&plan, "Nothing needs turning"), "{:#?}", plan.advice);
    assert_eq!(plan.plan.bake, Minutes(30.0));
    assert_eq!(plan.plan.evenness, plan.plan.unturned);
    // Where all are alike, the middle.
    let racks: Vec<u8> = plan.plan.segments[0].trays.iter().map(|t| t.rack).collect();
    assert_eq!(racks.iter().map(|r| i32::from(*r)).sum::<i32>(), 6);
}

#[test]
fn three_trays_with_four_openings_are_planned() {
    let source = Invented { hot: 0.1, ..SLOPED };
    let plan = plan(&source, &request(3, 4));
    for segment in plan.plan.alternatives.iter().flat_map(|a| &a.segments) {
        let mut racks: Vec<u8> = segment.trays.iter().map(|t| t.rack).collect();
        racks.dedup();
        assert_eq!(racks.len(), 3);
        assert!(segment.to.0 > segment.from.0);
    }
    assert!(plan.plan.evenness.sd < plan.plan.unturned.sd);
    let shares: f64 = plan.plan.segments.iter().map(|s| s.share).sum();
    assert!((shares - 1.0).abs() < 1e-9);
}

#[test]
fn a_hot_place_that_no_turn_cures_is_left_empty() {
    let source = Invented {
        hot: 0.8,
        noise: 0.01,
        ..EVEN
    };
    let plan = plan(&source, &request(1, 0));
    assert!(
        said(&plan, "Leave a place empty on tray 1"),
        "{:#?}",
        plan.advice
    );
    assert!(said(&plan, "No opening was allowed"));
    assert!(said(&plan, "The tray goes on rack position"));
}

#[test]
fn a_sugared_base_keeps_off_the_lowest_position() {
    let lowest_is_best = Invented {
        rack_step: 0.0,
        ..SLOPED
    };
    let mut request = request(1, 1);
    request.kind.sugared_base = true;
    let racks = ground(&lowest_is_best, &[1, 2]);
    let plan = plan_on(&oven(5), Some(&racks), &request, &Measured::default()).unwrap();
    assert!(
        plan.plan
            .segments
            .iter()
            .flat_map(|s| &s.trays)
            .all(|t| t.rack == 2)
    );
    assert!(said(&plan, "sugared base"));
}

#[test]
fn untested_the_trade_decides_and_no_figure_is_made_up() {
    let plan = plan_on(&oven(5), None, &request(2, 2), &Measured::default()).unwrap();
    assert!(!plan.plan.evenness.is_known() && !plan.plan.unturned.is_known());
    let racks = |i: usize| {
        plan.plan.segments[i]
            .trays
            .iter()
            .map(|t| t.rack)
            .collect::<Vec<_>>()
    };
    assert_eq!((racks(0), racks(1)), (vec![2, 4], vec![4, 2]));
    assert!(plan.plan.segments[1].trays.iter().all(|t| t.turned));
    assert!((plan.plan.segments[0].share - 0.5).abs() < 0.05);
    assert!(said(&plan, "the trade's custom"));
    let still = plan_on(&oven(5), None, &request(1, 0), &Measured::default()).unwrap();
    assert_eq!(still.plan.segments.len(), 1);
    assert_eq!(still.plan.segments[0].trays[0].rack, 3);
}

/// Common practice, no source: two trays are swapped and turned about halfway, thin cookies too; opened, their bake
/// is long enough for it.
#[test]
fn untested_a_short_bake_is_opened_where_what_is_left_of_it_allows() {
    let mut cookies = request(2, 1);
    cookies.kind = bake_kind("thin-cookie").unwrap().clone();
    let plan = plan_on(&oven(5), None, &cookies, &Measured::default()).unwrap();
    assert_eq!(plan.plan.segments.len(), 2);
    let at = plan.plan.segments[1].from.0;
    assert!(
        at <= plan.plan.bake.0 - 3.0 && at > plan.plan.bake.0 / 2.0,
        "{at}"
    );
    cookies.time = Some(Minutes(6.0));
    let plan = plan_on(&oven(5), None, &cookies, &Measured::default()).unwrap();
    assert_eq!(plan.plan.segments.len(), 1);
    assert!(said(&plan, "too short for an opening"), "{:?}", plan.advice);
}

#[test]
fn the_dial_is_led_to_step_by_step() {
    let mut with_fan = request(1, 1);
    with_fan.mode = Mode::Fan;
    let plan = plan(&EVEN, &with_fan);
    assert_eq!(TemperatureUnit::Fahrenheit.show(plan.plan.dial), "325 F");
    assert_eq!(plan.plan.steps_to_dial.len(), 2);
}

#[test]
fn a_dial_of_coarse_steps_gives_the_time_for_the_air_that_it_makes() {
    let [lo, value, hi] = [-14.0, -12.0, -10.0].map(|f| CelsiusDelta(f / 1.8));
    let measured = Measured {
        offset: Some(Offset { value, lo, hi }),
        ..Measured::default()
    };
    let on = |step: f64| {
        let mut oven = oven(5);
        oven.dial.step = step;
        plan_on(&oven, None, &request(1, 0), &measured).unwrap()
    };
    let (fine, coarse) = (on(1.0), on(25.0));
    let show = |plan: &Planned| TemperatureUnit::Fahrenheit.show(plan.plan.dial);
    assert_eq!(
        (show(&fine), show(&coarse)),
        ("362 F".into(), "350 F".into())
    );
    // 12 F colder air browns slower by E / R T^2 a degree, 0.041 / C: a quarter, but little of 30 min is browning.
    let longer = coarse.plan.bake.0 / fine.plan.bake.0;
    assert!((1.04..1.2).contains(&longer), "{longer}");
    assert!(said(&coarse, "12 F cooler than asked for"));
    assert!(!said(&coarse, "left uncorrected") && said(&fine, "left uncorrected"));
}

#[test]
fn this_breads_own_sensitivity_is_used() {
    // Whatever the bread was toasted at: per degree it answers otherwise at every temperature, by one energy.
    let own = Sensitivity {
        energy: 90e3,
        per_c: 0.06,
        relative_sd: 0.05,
        source: SensitivitySource::TwoDials,
    };
    let measured = Measured::default();
    for (recipe, sensitivity, energy) in [
        (230.0, Some(own), 90e3),
        (177.0, Some(own), 90e3),
        (177.0, None, DEFAULT_ENERGY),
    ] {
        let request = PlanRequest {
            recipe: Some(Celsius(recipe)),
            ..request(1, 1)
        };
        let bake = Bake::prepare(&oven(5), &request, sensitivity, &measured).unwrap();
        assert!((bake.heat.energy - energy).abs() < 1e-6, "{recipe} C");
    }
}

#[test]
fn what_cannot_be_planned_is_refused_with_its_reason() {
    let say = |request: &PlanRequest| {
        let racks = ground(&EVEN, &[1, 2, 3, 4, 5]);
        let mapped = plan_on(&oven(5), Some(&racks), request, &Measured::default()).unwrap_err();
        let unmapped = plan_on(&oven(5), None, request, &Measured::default()).unwrap_err();
        assert_eq!(mapped, unmapped);
        mapped.to_string()
    };
    assert!(say(&request(4, 1)).contains("4 trays"));
    assert!(say(&request(1, 5)).contains("5 door openings"));
    let mut other = request(1, 1);
    other.mode = Mode::TopOnly;
    assert!(say(&other).contains("no mode 'broil (top only)'"));
    other.mode = Mode::Proofing;
    assert!(say(&other).contains("proofing browns nothing"));
    let mut wide = request(1, 1);
    wide.tray.width = Centimetres(70.0);
    assert!(say(&wide).contains("70.0 x 33.0 cm (27.6 x 13.0 in) does not go into"));
    let mut long = request(1, 1);
    long.time = Some(Minutes(0.0));
    assert!(say(&long).contains("0 min"));
    let mut hot = request(1, 1);
    hot.recipe = Some(Celsius(400.0));
    assert!(say(&hot).contains("the dial would have to stand at 750 F"));
    // A map of two neighbouring rack positions cannot hold three trays.
    let racks = ground(&EVEN, &[1, 2]);
    let error = plan_on(&oven(5), Some(&racks), &request(3, 1), &Measured::default()).unwrap_err();
    assert!(error.to_string().contains("there are 2"));
}

/// A rack position that barely browns looks even, but dial and time no longer fit it.
#[test]
fn a_pale_rack_position_is_not_taken_for_an_even_one() {
    struct PaleBelow;
    impl BrowningSource for PaleBelow {
        fn browning(&self, rack: u8, x: f64, _: f64) -> Option<f64> {
            let level = if rack == 2 { 0.12 } else { 0.6 };
            Some(level * (1.0 + 0.3 * (x - 30.0) / 30.0))
        }
        fn samples(&self, _: &[(u8, f64, f64)], _: usize) -> Vec<Vec<f64>> {
            Vec::new()
        }
    }
    let on = |racks: &[u8]| {
        let ground = Mapped {
            source: &PaleBelow,
            racks: racks.iter().map(|r| (*r, Evidence::Tested)).collect(),
            sensitivity: Sensitivity::default_at(Celsius(177.0)),
            basis: "an invented map".to_owned(),
        };
        plan_on(
            &oven(5),
            Some(&ground),
            &request(1, 0),
            &Measured::default(),
        )
        .unwrap()
    };
    let plan = on(&[2, 3, 4]);
    assert!(
        [3, 4].contains(&plan.plan.segments[0].trays[0].rack),
        "{plan:#?}"
    );
    // With two that differ by 70 F there is no level to keep to, so it is said with its figure.
    let plan = on(&[2, 3]);
    let said = plan
        .sentences()
        .into_iter()
        .find(|a| a.contains("as if"))
        .unwrap();
    // ln(0.12 / 0.36) / 0.0416 = -26.4 C = -48 F; ln(0.6 / 0.36) / 0.0416 = 12.3 C = 22 F.
    assert!(
        said.contains("48 F cooler") || said.contains("22 F hotter"),
        "{said}"
    );
}

#[test]
fn nothing_is_opened_before_it_has_set() {
    let mut early = request(1, 2);
    // Browns soon, so that half of the browning comes before it has set.
    early.kind.curve.plateau_min = 0.0;
    early.kind.curve.rise_s = 60.0;
    early.kind.curve.approach_s = 30.0;
    let first_opening = |request: &PlanRequest, mapped: bool| {
        let racks = ground(&SLOPED, &[1, 2, 3, 4, 5]);
        let plan = plan_on(
            &oven(5),
            mapped.then_some(&racks),
            request,
            &Measured::default(),
        )
        .unwrap();
        (plan.plan.segments[0].to.0, plan)
    };
    for mapped in [true, false] {
        assert!(first_opening(&early, mapped).0 < 20.0);
    }
    early.kind.set_at = Some(SetAt {
        share: 0.7,
        reason: "it falls".to_owned(),
    });
    for mapped in [true, false] {
        let (at, plan) = first_opening(&early, mapped);
        assert!(at >= 21.0, "{:?}", plan.plan.segments);
        let all = plan.plan.alternatives.iter();
        for alternative in all.filter(|a| a.segments.len() > 1) {
            assert!(alternative.segments[0].to.0 >= 21.0);
        }
        assert!(said(&plan, "Keep the door shut before 21 min: it falls."));
    }
}

#[test]
fn a_recipe_far_from_its_bake_is_doubted_and_one_that_browns_nothing_refused() {
    let unit = TemperatureUnit::Fahrenheit;
    let ask = |f: f64, minutes: f64| {
        let mut asked = request(1, 1);
        asked.kind.recipe = unit.temperature(446.0);
        asked.recipe = Some(unit.temperature(f));
        asked.time = Some(Minutes(minutes));
        plan_on(&oven(5), None, &asked, &Measured::default())
    };
    let far = ask(230.0, 90.0).unwrap();
    assert_eq!(
        far.sentences()[0],
        "Careful: 230 F is far from this bake's 446 F; did you mean 230 C?"
    );
    let long = ask(446.0, 95.0).unwrap();
    assert!(
        long.sentences()[0].starts_with("Careful: 95 min is far from the usual"),
        "{:?}",
        long.advice
    );
    assert!(!said(&ask(446.0, 60.0).unwrap(), "Careful"));
    let cool = ask(180.0, 30.0).unwrap_err().to_string();
    for part in ["at 180 F", "below 221 F", "did you mean 180 C?"] {
        assert!(cool.contains(part), "{cool}");
    }
    let short = ask(446.0, 3.0).unwrap_err().to_string();
    assert!(short.contains("after 3 min at 446 F"), "{short}");
}

/// The whole way: lay out, score by a known oven, map, plan.
#[test]
fn from_a_laid_out_test_to_a_plan() {
    let oven = oven(5);
    let layout = lay_out(&oven, Mode::StillAir, &LayoutRequest::ordinary(vec![2, 4])).unwrap();
    let mut slices = layout.slices;
    for slice in &mut slices {
        let slope = (slice.place.x.0 - 30.0) / 30.0;
        let rack = if slice.rack == 4 { 0.5 } else { -0.5 };
        let shade: f64 = 4.5 + 2.0 * slope + rack;
        let on_card = (shade * 2.0).round() / 2.0;
        slice.reading = Reading::ByEye(Shade::from_value(on_card).unwrap());
    }
    let mut test = samples::toast_test(slices);
    test.setup.oven = oven.id.clone();
    test.setup.dial = layout.dial;
    test.minutes = Some(Minutes(12.0));
    test.cursor = test.slices.len();
    let pool = Pool::of(&oven, &[&test]);
    let mut ground = ground_of_pool(pool, Mode::StillAir, (12, 9)).unwrap();
    let small = Warning::minor("3 slices are left", "");
    let large = Warning::misleads("the scores disagree", "score again");
    let middling = Warning::new("rack 2 is pale", "");
    let warnings = vec![small, middling, large];
    ground.map.as_mut().unwrap().warnings = warnings;
    let nothing = Told::default();
    let plan = plan_of(&ground, &nothing, &request(2, 2)).unwrap();
    assert!(
        plan.plan.evenness.sd < 0.6 * plan.plan.unturned.sd,
        "{plan:#?}"
    );
    assert!(
        said(&plan, "toast tests without a fan on rack positions 2, 4"),
        "{:#?}",
        plan.advice
    );
    assert_eq!(
        plan.sentences()[0],
        "Careful: the scores disagree; score again."
    );
    let order: Vec<Gravity> = plan.warnings.iter().map(|w| w.gravity).collect();
    assert!(order.is_sorted() && order.contains(&Gravity::Minor));
    // The same request gives the same plan.
    assert_eq!(plan_of(&ground, &nothing, &request(2, 2)).unwrap(), plan);
    // Where nothing was tested, custom makes the plan.
    let fan = ground_of_pool(Pool::of(&oven, &[]), Mode::Fan, (12, 9)).unwrap();
    assert!(matches!(
        fan.map,
        Err(NoMap::Untested {
            mode: Mode::Fan,
            ..
        })
    ));
    let other = plan_of(&fan, &nothing, &request(2, 2)).unwrap();
    assert!(!other.plan.evenness.is_known() && said(&other, "Nothing was tested in this mode"));
}

#[test]
fn a_plan_keeps_to_the_rack_positions_that_are_free() {
    let on = |racks: &[u8], trays: usize| {
        let request = PlanRequest {
            racks: racks.to_vec(),
            ..request(trays, 1)
        };
        let free = request.free_in(&oven(5))?;
        plan_on(
            &free,
            Some(&ground(&SLOPED, &[1, 2, 3, 4, 5])),
            &request,
            &Measured::default(),
        )
    };
    for rack in 1..=5 {
        let planned = on(&[rack], 1).unwrap();
        let trays = planned.plan.segments.iter().flat_map(|s| &s.trays);
        assert!(trays.into_iter().all(|t| t.rack == rack));
    }
    let planned = on(&[2, 5], 2).unwrap();
    let mut used: Vec<u8> = planned.plan.segments[0]
        .trays
        .iter()
        .map(|t| t.rack)
        .collect();
    used.sort_unstable();
    assert_eq!(used, [2, 5]);
    let refused = on(&[9], 1).unwrap_err().to_string();
    assert!(
        refused.contains("no rack position 9; it has 1 to 5"),
        "{refused}"
    );
    assert!(on(&[3], 2).is_err());
}
