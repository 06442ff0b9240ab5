//! Readings of the oven's air by a thermometer, and the rounds they are taken in.

use super::worded::worded;
use super::{
    id::{OvenId, RoundId, ThermometerId},
    moment::Moment,
    oven::{Mode, NotOnDial, Oven},
};
use crate::units::{Celsius, TemperatureUnit};

/// No household oven's air is hotter, C; more is a slip of the pen.
const HOTTEST: f64 = 400.0;
/// How far above its highest setting an oven's air may shoot over, C.
const OVERSHOOT: f64 = 60.0;
/// Settings below this are a range of their own (proofing): other heat, other swing.
pub const LOW_SETTING: Celsius = Celsius(50.0);

worded! {
    /// What the oven was doing when its air was read.
    #[derive(PartialOrd, Ord, Hash)]
    pub enum Phase [key, words] {
        /// Heating up, before its signal.
        Heating: "heating", "heating up";
        /// At the signal that says it is hot.
        Signal: "signal", "preheat signal";
        /// Holding its setting.
        Holding: "holding", "holding";
        /// The door stands open.
        DoorOpened: "door-opened", "door open";
        /// The door was closed again and the air comes back.
        DoorClosed: "door-closed", "door closed again";
    }
}

impl Phase {
    /// Reads a phase from the words loggers and people use for it.
    pub fn from_words(text: &str) -> Option<Self> {
        let plain: String = text
            .trim()
            .to_lowercase()
            .chars()
            .map(|c| if c == '_' || c == ' ' { '-' } else { c })
            .collect();
        Some(match plain.as_str() {
            "heating" | "heating-up" | "heat-up" | "preheat" | "preheating" => Self::Heating,
            "signal" | "preheat-signal" | "beep" | "ready" => Self::Signal,
            "holding" | "hold" | "steady" | "" => Self::Holding,
            "door-opened" | "door-open" | "opened" | "open" => Self::DoorOpened,
            "door-closed" | "closed" | "close" | "door-close" | "recovery" | "recovering"
            | "door" | "after-door" => Self::DoorClosed,
            _ => return None,
        })
    }
}

worded! {
    /// Where on a rack position the thermometer stood.
    #[derive(PartialOrd, Ord, Hash)]
    pub enum Spot [key] {
        /// The middle.
        Centre: "centre";
        /// Back wall, left.
        BackLeft: "back-left";
        /// Back wall, right.
        BackRight: "back-right";
        /// Door, left.
        FrontLeft: "front-left";
        /// Door, right.
        FrontRight: "front-right";
    }
}

/// Where in the oven the thermometer stood.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct AirPlace {
    /// The rack position; `None` for the middle of the whole cavity.
    pub rack: Option<u8>,
    /// Where on it.
    pub spot: Spot,
}

impl AirPlace {
    /// Makes a place in the air of the oven.
    pub const fn new(rack: Option<u8>, spot: Spot) -> Self {
        Self { rack, spot }
    }

    /// The middle of the cavity, where an oven's temperature is read by custom.
    pub const CENTRE: Self = Self {
        rack: None,
        spot: Spot::Centre,
    };

    /// Returns the words commands and files use: `centre`, `3:back-left`.
    pub fn key(self) -> String {
        match self.rack {
            None => self.spot.key().to_owned(),
            Some(rack) => format!("{rack}:{}", self.spot.key()),
        }
    }

    /// Reads `centre` or `3:back-left`.
    pub fn from_key(text: &str) -> Option<Self> {
        let text = text.trim();
        if text.is_empty() || text == "centre" || text == "center" {
            return Some(Self::CENTRE);
        }
        let (rack, spot) = text.split_once(':')?;
        let spot = match spot.trim() {
            "center" => Spot::Centre,
            other => Spot::ALL.into_iter().find(|s| s.key() == other)?,
        };
        Some(Self {
            rack: Some(rack.trim().parse().ok()?),
            spot,
        })
    }
}

/// One look at a thermometer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirReading {
    /// When.
    pub at: Moment,
    /// What the dial was set to.
    pub dial: Celsius,
    /// What the thermometer showed.
    pub air: Celsius,
    /// What the oven was doing.
    pub phase: Phase,
    /// Where the thermometer stood.
    pub place: AirPlace,
}

/// Readings taken in one sitting with one thermometer.
#[derive(Debug, Clone, PartialEq)]
pub struct AirRound {
    /// Its id.
    pub id: RoundId,
    /// Which oven.
    pub oven: OvenId,
    /// How it heated.
    pub mode: Mode,
    /// By which thermometer, where it was named.
    pub thermometer: Option<ThermometerId>,
    /// The readings, oldest first.
    pub readings: Vec<AirReading>,
    /// Free words.
    pub note: String,
}

/// What is wrong with a reading.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum AirReadingError {
    /// Colder than any kitchen's oven.
    #[error(
        "a reading of {0} is below freezing, which no oven's air is; check the figure and its unit"
    )]
    BelowFreezing(String),
    /// Hotter than the oven can be.
    #[error(
        "a reading of {reading} is more than this oven's air reaches ({limit}); check the figure and its unit"
    )]
    TooHot {
        /// What was read.
        reading: String,
        /// The most that is believed.
        limit: String,
    },
    /// A setting the dial has not.
    #[error(transparent)]
    Dial(#[from] NotOnDial),
    /// A rack position the oven has not.
    #[error(
        "there is no rack position {rack} to read at; this oven has 1 to {highest}, counted from the bottom"
    )]
    NoSuchRack {
        /// The number given.
        rack: u8,
        /// The highest number it has.
        highest: usize,
    },
    /// A time that has not come.
    #[error("a reading at {0} lies in the future; give the time it was read")]
    Future(String),
    /// Already on record.
    #[error(
        "there is already a reading at {at} at this place ({before}); leave the second out, or correct its time"
    )]
    Duplicate {
        /// When.
        at: String,
        /// What is on record.
        before: String,
    },
}

/// Writes a moment as a baker reads it.
pub fn moment(at: Moment) -> String {
    at.civil().strftime("%Y-%m-%d %H:%M:%S").to_string()
}

impl AirReading {
    /// Checks a reading against the oven it was taken in and the time it is now.
    ///
    /// # Errors
    /// [`AirReadingError`] names the first figure that cannot be.
    pub fn check(&self, oven: &Oven, now: Moment) -> Result<(), AirReadingError> {
        let unit = oven.dial.unit;
        let limit = Celsius((oven.dial.highest.0 + OVERSHOOT).min(HOTTEST));
        check_air(self.air, limit, unit)?;
        oven.dial.check_setting(self.dial)?;
        if let Some(rack) = self.place.rack
            && !oven.racks.iter().any(|r| r.number == rack)
        {
            return Err(AirReadingError::NoSuchRack {
                rack,
                highest: oven.racks.len(),
            });
        }
        if self.at > now {
            return Err(AirReadingError::Future(moment(self.at)));
        }
        Ok(())
    }
}

/// Checks a temperature read in an oven that nothing else is known of.
///
/// # Errors
/// [`AirReadingError`] below freezing and above 400 C.
pub fn check_bare(air: Celsius, unit: TemperatureUnit) -> Result<(), AirReadingError> {
    check_air(air, Celsius(HOTTEST), unit)
}

fn check_air(air: Celsius, limit: Celsius, unit: TemperatureUnit) -> Result<(), AirReadingError> {
    if air.0 < 0.0 {
        return Err(AirReadingError::BelowFreezing(unit.show(air)));
    }
    // Also where it is not a number.
    if air.0.is_nan() || air.0 > limit.0 {
        return Err(AirReadingError::TooHot {
            reading: unit.show(air),
            limit: unit.show(limit),
        });
    }
    Ok(())
}

impl AirRound {
    /// The most readings a file is taken into one round with: seven hours at one a second, and within
    /// what the store reads again however long each is written.
    pub const MOST_READINGS: usize = 25_000;

    /// Puts a reading in its place by time.
    ///
    /// # Errors
    /// [`AirReadingError::Duplicate`] where there is one of that moment at that place.
    pub fn put(&mut self, reading: AirReading) -> Result<(), AirReadingError> {
        self.check_new(&reading)?;
        let i = self.readings.partition_point(|r| r.at <= reading.at);
        self.readings.insert(i, reading);
        Ok(())
    }

    /// Checks that a reading is not on record here.
    ///
    /// # Errors
    /// [`AirReadingError::Duplicate`] where there is one of that moment at that place.
    pub fn check_new(&self, reading: &AirReading) -> Result<(), AirReadingError> {
        let end = self.readings.partition_point(|r| r.at <= reading.at);
        let mut then = self.readings[..end]
            .iter()
            .rev()
            .take_while(|r| r.at == reading.at);
        match then.find(|r| r.place == reading.place) {
            None => Ok(()),
            Some(before) => Err(AirReadingError::Duplicate {
                at: moment(reading.at),
                before: format!(
                    "{} or {:.1} C, {}",
                    TemperatureUnit::Fahrenheit.show(before.air),
                    before.air.0,
                    before.phase.words()
                ),
            }),
        }
    }

    /// Returns when it began and ended, where it has readings.
    pub fn span(&self) -> Option<(Moment, Moment)> {
        Some((self.readings.first()?.at, self.readings.last()?.at))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn reading(minute: i8, air: f64) -> AirReading {
        AirReading {
            at: date(2026, 11, 20).at(14, minute, 0, 0).into(),
            dial: Celsius(175.0),
            air: Celsius(air),
            phase: Phase::Holding,
            place: AirPlace::CENTRE,
        }
    }

    #[test]
    fn places_and_phases_come_back_from_their_words() {
        for phase in Phase::ALL {
            assert_eq!(Phase::from_words(phase.key()), Some(phase));
        }
        assert_eq!(Phase::from_words("Door_Closed"), Some(Phase::DoorClosed));
        assert_eq!(Phase::from_words("asleep"), None);
        for spot in Spot::ALL {
            let place = AirPlace::new(Some(3), spot);
            assert_eq!(AirPlace::from_key(&place.key()), Some(place));
        }
        assert_eq!(AirPlace::from_key("centre"), Some(AirPlace::CENTRE));
        assert_eq!(AirPlace::from_key("3:ceiling"), None);
        assert_eq!(
            AirPlace::from_key("back-left"),
            None,
            "of which rack position?"
        );
    }

    #[test]
    fn readings_stand_by_time_and_never_twice() {
        let mut round = AirRound {
            id: RoundId::of_words("r"),
            oven: OvenId::of_words("o"),
            mode: Mode::Fan,
            thermometer: None,
            readings: Vec::new(),
            note: String::new(),
        };
        for minute in [5, 1, 9] {
            round.put(reading(minute, 170.0)).unwrap();
        }
        let minutes: Vec<i8> = round
            .readings
            .iter()
            .map(|r| r.at.civil().minute())
            .collect();
        assert_eq!(minutes, [1, 5, 9]);
        let said = round.put(reading(5, 171.0)).unwrap_err().to_string();
        assert!(
            said.contains("already a reading at 2026-11-20 14:05:00"),
            "{said}"
        );
        assert_eq!(round.readings.len(), 3);
    }

    #[test]
    fn the_absurd_is_named() {
        let c = TemperatureUnit::Celsius;
        assert!(matches!(
            check_bare(Celsius(-1.0), c),
            Err(AirReadingError::BelowFreezing(_))
        ));
        assert!(matches!(
            check_bare(Celsius(401.0), c),
            Err(AirReadingError::TooHot { .. })
        ));
        assert!(check_bare(Celsius(f64::NAN), c).is_err());
        assert!(check_bare(Celsius(0.0), c).is_ok());
    }
}
