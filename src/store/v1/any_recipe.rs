//! Any recipe, for the test that stored files come back the same.

use super::tests::{any_id, any_words};
use crate::{
    model::{GasMark, Recipe, RecipeId, Shade, Tray, Written},
    units::{Celsius, Centimetres, Minutes, TemperatureUnit},
};
use proptest::{option, prelude::*, sample::select};

fn any_written() -> impl Strategy<Value = Written> {
    prop_oneof![
        (50.0_f64..350.0).prop_map(|t| Written::NoFan(Celsius(t))),
        (50.0_f64..350.0).prop_map(|t| Written::Fan(Celsius(t))),
        select(GasMark::all().collect::<Vec<_>>()).prop_map(Written::Gas),
    ]
}

pub(super) fn any_recipe() -> impl Strategy<Value = Recipe> {
    let tray = (5.0_f64..120.0, 5.0_f64..120.0, 1_usize..13, 1_usize..13);
    (
        (any_id(), "[a-z ]{0,9}x", any_words(), any_id()),
        any_written(),
        select(vec![TemperatureUnit::Fahrenheit, TemperatureUnit::Celsius]),
        2.0_f64..600.0,
        option::of(0_u8..10),
        tray,
    )
        .prop_map(
            |((id, name, note, kind), written, unit, minutes, wanted, tray)| Recipe {
                id: RecipeId::new(&id).unwrap(),
                name,
                written,
                unit,
                time: Minutes(minutes),
                wanted: wanted.map(|s| Shade::whole(s).unwrap()),
                tray: Tray::new(Centimetres(tray.0), Centimetres(tray.1), tray.2, tray.3),
                kind,
                note,
            },
        )
}
