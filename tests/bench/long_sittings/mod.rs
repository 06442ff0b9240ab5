//! A kitchen whose readings are as many as they may be.

use jiff::civil::date;
use rackshade::{
    model::{AirPlace, AirReading, AirRound, Mode, Moment, Phase, RoundId},
    units::Celsius,
    workflow::kitchen::Kitchen,
};

/// The demo kitchen and six sittings as long as any may be: one reading a second, a swing of eight minutes.
pub(crate) fn long_sittings() -> Kitchen {
    let (mut kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let oven = kitchen.find_oven("wall-oven").unwrap().clone();
    for day in 1..=6_i8 {
        let began = Moment::from(date(2026, 5, day).at(8, 0, 0, 0));
        let reading = |i: usize| {
            let seconds = i as f64;
            let since = i64::try_from(i).unwrap_or(i64::MAX);
            let swing = 8.0 * (seconds * std::f64::consts::TAU / 480.0).sin();
            AirReading {
                at: began + jiff::SignedDuration::from_secs(since),
                dial: Celsius(176.7),
                air: Celsius(170.0 + swing + (i * 7919 % 101) as f64 / 200.0),
                phase: Phase::Holding,
                place: AirPlace::CENTRE,
            }
        };
        let round = AirRound {
            id: RoundId::of_words(&format!("long-{day}")),
            oven: oven.id.clone(),
            mode: Mode::StillAir,
            thermometer: None,
            readings: (0..AirRound::MOST_READINGS).map(reading).collect(),
            note: String::new(),
        };
        kitchen.save_round(round).unwrap();
    }
    kitchen
}
