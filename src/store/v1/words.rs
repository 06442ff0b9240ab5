//! The words that stand for the domain's enums in stored files.

use crate::{
    model::{HeatSource, Mode, Phase, Surface},
    units::{LengthUnit, TemperatureUnit},
};
use serde::{Deserialize, Serialize};

/// Makes a stored form for a domain enum, with conversions that the compiler keeps complete.
macro_rules! words_for {
    ($form:ident, $domain:ident, { $($variant:ident = $word:literal),+ $(,)? }) => {
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
        pub(crate) enum $form {
            $(#[serde(rename = $word)] $variant),+
        }

        impl From<$domain> for $form {
            fn from(value: $domain) -> Self {
                match value {
                    $($domain::$variant => Self::$variant),+
                }
            }
        }

        impl From<$form> for $domain {
            fn from(value: $form) -> Self {
                match value {
                    $($form::$variant => Self::$variant),+
                }
            }
        }
    };
}

words_for!(ModeForm, Mode, {
    StillAir = "still-air",
    Fan = "fan",
    BottomOnly = "bottom-only",
    TopOnly = "top-only",
    Proofing = "proofing",
});

words_for!(PhaseForm, Phase, {
    Heating = "heating",
    Signal = "signal",
    Holding = "holding",
    DoorOpened = "door-opened",
    DoorClosed = "door-closed",
});

words_for!(HeatForm, HeatSource, {
    BottomElement = "bottom-element",
    TopElement = "top-element",
    GasBurner = "gas-burner",
    RearFan = "rear-fan",
    RearFanElement = "rear-fan-element",
});

words_for!(SurfaceForm, Surface, {
    BareRack = "bare-rack",
    Sheet = "sheet",
});

words_for!(TemperatureForm, TemperatureUnit, {
    Fahrenheit = "F",
    Celsius = "C",
});

words_for!(LengthForm, LengthUnit, {
    Inches = "in",
    Centimetres = "cm",
});
