//! The demo kitchen's two recipes, made up.

use crate::{
    model::{GasMark, Recipe, RecipeId, Shade, Tray, Written},
    units::{Centimetres, Minutes, TemperatureUnit},
};

pub(super) fn recipes() -> [Recipe; 2] {
    let inches = |figure: f64| Centimetres((figure * 25.4).round() / 10.0);
    let tray = |across, deep| Tray::new(inches(18.0), inches(13.0), across, deep);
    let of = |id: &str, name: &str, kind: &str| Recipe {
        id: RecipeId::new(id).unwrap(),
        name: name.to_owned(),
        written: Written::Fan(TemperatureUnit::Fahrenheit.temperature(325.0)),
        unit: TemperatureUnit::Fahrenheit,
        time: Minutes(13.0),
        wanted: Shade::from_value(4.5).ok(),
        tray: tray(4, 3),
        kind: kind.to_owned(),
        note: String::new(),
    };
    [
        Recipe {
            written: Written::Gas(GasMark::parse("7").unwrap()),
            time: Minutes(24.0),
            wanted: Shade::from_value(5.0).ok(),
            tray: tray(3, 2),
            note: "from an old notebook".to_owned(),
            ..of("harvest-rolls", "harvest rolls", "dinner-roll")
        },
        of("oat-biscuits", "oat biscuits", "thin-cookie"),
    ]
}
