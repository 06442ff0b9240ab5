use super::*;

type Change = fn(&mut RecipeDraft);

const F: (TemperatureUnit, LengthUnit) = (TemperatureUnit::Fahrenheit, LengthUnit::Inches);

fn draft(temperature: &str, way: Way) -> RecipeDraft {
    let text = |t: &str| Some(t.to_owned());
    RecipeDraft {
        name: text("plain biscuits"),
        temperature: text(temperature),
        way: Some(way),
        minutes: text("12"),
        kind: text("thin-cookie"),
        ..RecipeDraft::default()
    }
}

fn built(temperature: &str, way: Way) -> Recipe {
    let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
    draft(temperature, way).build(&kitchen, None, F).unwrap()
}

/// Common practice, no source: 25 F or 15 C between fan and no fan; gas mark 4 is 350 F.
#[test]
fn one_temperature_is_meant_however_it_was_written() {
    for (text, way, still, fan) in [
        ("350F", Way::NoFan, "350 F", "325 F"),
        ("325 F", Way::Fan, "350 F", "325 F"),
        ("4", Way::GasMark, "350 F", "325 F"),
        ("1/4", Way::GasMark, "225 F", "200 F"),
        ("gas 4", Way::NoFan, "350 F", "325 F"),
        ("Gas Mark 1/4", Way::NoFan, "225 F", "200 F"),
        ("180C", Way::NoFan, "180 C", "165 C"),
        ("325", Way::Fan, "350 F", "325 F"),
        ("165C", Way::Fan, "180 C", "165 C"),
    ] {
        let recipe = built(text, way);
        let show = |t| recipe.unit.show(t);
        assert_eq!(
            (show(still_air(&recipe)), show(with_fan(&recipe))),
            (still.to_owned(), fan.to_owned()),
            "{text}"
        );
        let kind = as_kind(&recipe).unwrap();
        assert_eq!(kind.own.as_ref(), Some(&recipe.id));
        assert_eq!(kind.recipe, still_air(&recipe));
        assert_eq!(
            (kind.name.as_str(), kind.time),
            ("plain biscuits", Minutes(12.0))
        );
    }
}

#[test]
fn a_recipe_typed_anew_is_the_same() {
    let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
    for (text, way) in [
        ("350F", Way::NoFan),
        ("165C", Way::Fan),
        ("1/2", Way::GasMark),
    ] {
        let recipe = built(text, way);
        let again = RecipeDraft::of(&recipe, LengthUnit::Centimetres);
        let again = again.build(&kitchen, Some(&recipe), F).unwrap();
        assert_eq!(again.written_words(), recipe.written_words());
        assert_eq!(again.tray, recipe.tray);
        let same = RecipeDraft::default().build(&kitchen, Some(&recipe), F);
        assert_eq!(same, Ok(recipe));
    }
    let mut changed = RecipeDraft {
        way: Some(Way::Fan),
        ..RecipeDraft::default()
    };
    let recipe = built("350F", Way::NoFan);
    let fan = changed.build(&kitchen, Some(&recipe), F).unwrap();
    assert_eq!(fan.written_words(), "350 F, fan");
    let plain = RecipeDraft {
        way: Some(Way::NoFan),
        ..RecipeDraft::default()
    };
    let back = plain.build(&kitchen, Some(&fan), F);
    assert_eq!(back, Ok(recipe.clone()));
    changed.way = Some(Way::GasMark);
    let gas = changed.build(&kitchen, Some(&recipe), F).unwrap();
    assert_eq!(gas.written_words(), "gas mark 4");
}

#[test]
fn a_tray_that_goes_into_no_oven_is_refused_with_what_it_was_read_as() {
    let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let with = |tray: &str| {
        let draft = RecipeDraft {
            tray: Some(tray.to_owned()),
            minutes: Some("12,5".to_owned()),
            ..draft("350F", Way::NoFan)
        };
        draft.build(&kitchen, None, F)
    };
    let refused = with("46x33").unwrap_err();
    assert_eq!(refused.field, Field::Tray);
    assert!(
        refused
            .why
            .contains("46 in by 33 in goes into no oven here")
            && refused.why.contains("for centimetres write 46x33cm"),
        "{}",
        refused.why
    );
    let said = with("46x33in").unwrap_err().why;
    assert!(!said.contains("for centimetres"), "{said}");
    assert_eq!(with("46x33cm").unwrap().time, Minutes(12.5));
    assert!(with("13x18").is_ok(), "turned");
}

#[test]
fn each_field_that_cannot_be_is_named_with_what_was_typed() {
    let (mut kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let cases: [(Change, Field, &str); 11] = [
        (
            |d| d.name = Some(" ".to_owned()),
            Field::Name,
            "needs a name",
        ),
        (
            |d| d.temperature = Some("hot".to_owned()),
            Field::Temperature,
            "'hot'",
        ),
        (
            |d| d.temperature = Some("900F".to_owned()),
            Field::Temperature,
            "900 F",
        ),
        (
            |d| d.temperature = None,
            Field::Temperature,
            "needs a temperature",
        ),
        (
            |d| d.minutes = Some("0".to_owned()),
            Field::Minutes,
            "0 min",
        ),
        (
            |d| d.minutes = Some("soon".to_owned()),
            Field::Minutes,
            "'soon'",
        ),
        (
            |d| d.minutes = Some("NaN".to_owned()),
            Field::Minutes,
            "NaN",
        ),
        (|d| d.shade = Some("9.7".to_owned()), Field::Shade, "'9.7'"),
        (|d| d.tray = Some("wide".to_owned()), Field::Tray, "'wide'"),
        (
            |d| d.pieces = Some("13x1".to_owned()),
            Field::Pieces,
            "13 x 1",
        ),
        (|d| d.kind = Some("stew".to_owned()), Field::Kind, "'stew'"),
    ];
    for (change, field, said) in cases {
        let mut wrong = draft("350F", Way::NoFan);
        change(&mut wrong);
        let refusal = wrong.build(&kitchen, None, F).unwrap_err();
        assert_eq!(refusal.field, field);
        assert!(refusal.why.contains(said), "{said}: {refusal}");
        assert!(refusal.why.contains("; "), "what to do: {refusal}");
    }
    let gas = draft("11", Way::GasMark).build(&kitchen, None, F);
    assert!(gas.unwrap_err().why.contains("'11' is no gas mark"));
    let first = draft("350F", Way::NoFan).build(&kitchen, None, F).unwrap();
    kitchen.save_recipe(first).unwrap();
    let mut second = draft("350F", Way::NoFan);
    second.name = Some("Plain Biscuits".to_owned());
    let refusal = second.build(&kitchen, None, F).unwrap_err();
    assert!(refusal.why.contains("already"), "{refusal}");
}
