//! The embedded assets: oven templates, kinds of bake, the shade card and the cautions.
//!
//! They are plain JSON under `assets/`, written with units as a baker says them (`"25 in"`), read
//! once, and checked by the same rules as what a user types.

use super::v1::{HeatForm, LengthForm, ModeForm, TemperatureForm};
use crate::{
    colour::toast_colour,
    model::{
        BakeKind, Cavity, Dial, DoseCurve, HeatSource, Mode, Oven, OvenId, RackPosition, SetAt,
        Shade, shade::UNTOASTED_LIGHTNESS,
    },
    units::{Celsius, Centimetres, LengthUnit, Minutes, TemperatureUnit},
};
use serde::{Deserialize, de::DeserializeOwned};
use std::sync::LazyLock;

const OVENS: &str = include_str!("../../assets/ovens.json");
const BAKES: &str = include_str!("../../assets/bakes.json");
const CARD: &str = include_str!("../../assets/shade-card.json");
const CAUTIONS: &str = include_str!("../../assets/cautions.json");
const PAPER_REGULAR: &[u8] = include_bytes!("../../assets/fonts/paper-regular.ttf");
const PAPER_BOLD: &[u8] = include_bytes!("../../assets/fonts/paper-bold.ttf");

/// What is wrong with an embedded asset: a fault of the program, caught by its tests.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("asset {file}: {why}")]
pub struct AssetError {
    /// The file under `assets/`.
    pub file: &'static str,
    /// What is wrong in it.
    pub why: String,
}

/// A common kind of oven to start a description from.
#[derive(Debug, Clone, PartialEq)]
pub struct OvenTemplate {
    /// The word the command line uses: `wall-oven-30-inch`.
    pub key: String,
    /// Plain name.
    pub name: String,
    /// Why these figures.
    pub reason: String,
    /// The oven; its id is the key, to be replaced when it is saved.
    pub oven: Oven,
}

/// One whole shade of the card.
#[derive(Debug, Clone, PartialEq)]
pub struct CardShade {
    /// The shade.
    pub shade: Shade,
    /// Plain baker's words for it.
    pub words: String,
    /// Its colour, CIE L*, a*, b* (D65).
    pub lab: (f64, f64, f64),
}

/// When cautions are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Occasion {
    /// Before a toast test.
    ToastTest,
    /// Before a thermometer round.
    Thermometer,
    /// On the technician's sheet.
    Technician,
    /// Before a bake.
    Bake,
}

static OVEN_LIST: LazyLock<Result<Vec<OvenTemplate>, AssetError>> = LazyLock::new(read_ovens);
static BAKE_LIST: LazyLock<Result<Vec<BakeKind>, AssetError>> = LazyLock::new(read_bakes);
static CARD_LIST: LazyLock<Result<Vec<CardShade>, AssetError>> = LazyLock::new(read_card);
static CAUTION_LISTS: LazyLock<Result<CautionFile, AssetError>> =
    LazyLock::new(|| parse("cautions.json", CAUTIONS));

/// Returns the oven templates, in the order forms offer them.
pub fn oven_templates() -> &'static [OvenTemplate] {
    OVEN_LIST.as_deref().unwrap_or_default()
}

/// Returns the kinds of bake, in the order forms offer them.
pub fn bake_kinds() -> &'static [BakeKind] {
    BAKE_LIST.as_deref().unwrap_or_default()
}

/// Returns the font files that papers are printed with: regular, bold (licence beside them).
pub fn paper_fonts() -> [&'static [u8]; 2] {
    [PAPER_REGULAR, PAPER_BOLD]
}

/// Returns the whole shades 0..9 with words and colour.
pub fn shade_card() -> &'static [CardShade] {
    CARD_LIST.as_deref().unwrap_or_default()
}

/// Returns what to say before something hot is done.
pub fn cautions(occasion: Occasion) -> &'static [String] {
    let Ok(lists) = CAUTION_LISTS.as_ref() else {
        return &[];
    };
    match occasion {
        Occasion::ToastTest => &lists.toast_test,
        Occasion::Thermometer => &lists.thermometer,
        Occasion::Technician => &lists.technician,
        Occasion::Bake => &lists.bake,
    }
}

/// Returns what to say besides wherever gas burns.
pub fn gas_cautions() -> &'static [String] {
    CAUTION_LISTS.as_ref().map_or(&[], |lists| &lists.gas)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OvenFile {
    #[serde(rename = "version")]
    _version: u32,
    templates: Vec<TemplateForm>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct TemplateForm {
    key: String,
    name: String,
    reason: String,
    cavity: CavityForm,
    racks: Vec<String>,
    heat: Vec<HeatForm>,
    modes: Vec<ModeForm>,
    dial: DialForm,
    lengths: LengthForm,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CavityForm {
    width: String,
    depth: String,
    height: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct DialForm {
    unit: TemperatureForm,
    step: f64,
    lowest: String,
    highest: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct BakeFile {
    #[serde(rename = "version")]
    _version: u32,
    kinds: Vec<KindForm>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct KindForm {
    key: String,
    name: String,
    recipe: String,
    minutes: f64,
    curve: CurveForm,
    sugared_base: bool,
    #[serde(default)]
    set_at: Option<SetForm>,
    reason: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SetForm {
    share: f64,
    reason: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CurveForm {
    rise_s: f64,
    plateau_min: f64,
    approach_s: f64,
    start_c: f64,
    reach: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CardFile {
    #[serde(rename = "version")]
    _version: u32,
    #[serde(rename = "note")]
    _note: String,
    shades: Vec<ShadeForm>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ShadeForm {
    shade: u8,
    words: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CautionFile {
    #[serde(rename = "version")]
    _version: u32,
    toast_test: Vec<String>,
    gas: Vec<String>,
    thermometer: Vec<String>,
    technician: Vec<String>,
    bake: Vec<String>,
}

fn parse<T: DeserializeOwned>(file: &'static str, text: &str) -> Result<T, AssetError> {
    serde_json::from_str(text).map_err(|e| AssetError {
        file,
        why: e.to_string(),
    })
}

fn read_ovens() -> Result<Vec<OvenTemplate>, AssetError> {
    parse::<OvenFile>("ovens.json", OVENS)?
        .templates
        .into_iter()
        .map(|form| {
            let key = form.key.clone();
            template(form).map_err(|why| AssetError {
                file: "ovens.json",
                why: format!("{key}: {why}"),
            })
        })
        .collect()
}

fn template(form: TemplateForm) -> Result<OvenTemplate, String> {
    let lengths: LengthUnit = form.lengths.into();
    let unit: TemperatureUnit = form.dial.unit.into();
    let length = |t: &String| Centimetres::parse(t, lengths).map_err(|e| e.to_string());
    let degrees = |t: &String| Celsius::parse(t, unit).map_err(|e| e.to_string());
    let racks = form
        .racks
        .iter()
        .zip(1..)
        .map(|(height, number)| Ok(RackPosition::new(number, length(height)?)))
        .collect::<Result<_, String>>()?;
    let oven = Oven {
        id: OvenId::new(&form.key).map_err(|e| e.to_string())?,
        name: form.name.clone(),
        cavity: Cavity {
            width: length(&form.cavity.width)?,
            depth: length(&form.cavity.depth)?,
            height: length(&form.cavity.height)?,
        },
        racks,
        heat: form.heat.into_iter().map(HeatSource::from).collect(),
        modes: form.modes.into_iter().map(Mode::from).collect(),
        dial: Dial {
            unit,
            step: form.dial.step,
            lowest: degrees(&form.dial.lowest)?,
            highest: degrees(&form.dial.highest)?,
        },
        lengths,
        visits: Vec::new(),
        note: String::new(),
        plate: crate::model::Plate::default(),
    };
    Ok(OvenTemplate {
        key: form.key,
        name: form.name,
        reason: form.reason,
        oven: oven.check().map_err(|e| e.to_string())?,
    })
}

fn read_bakes() -> Result<Vec<BakeKind>, AssetError> {
    let file = "bakes.json";
    parse::<BakeFile>(file, BAKES)?
        .kinds
        .into_iter()
        .map(|form| {
            let wrong = |why: String| AssetError {
                file,
                why: format!("{}: {why}", form.key),
            };
            let recipe = Celsius::parse(&form.recipe, TemperatureUnit::Fahrenheit)
                .map_err(|e| wrong(e.to_string()))?;
            let c = &form.curve;
            let sound = (-20.0..=60.0).contains(&c.start_c)
                && (1.0..=3600.0).contains(&c.rise_s)
                && (0.0..=form.minutes).contains(&c.plateau_min)
                && (1.0..=3600.0).contains(&c.approach_s)
                && (0.1..=1.0).contains(&c.reach)
                && (1.0..=600.0).contains(&form.minutes)
                && (50.0..=300.0).contains(&recipe.0)
                && form
                    .set_at
                    .as_ref()
                    .is_none_or(|s| (0.0..1.0).contains(&s.share));
            if !sound {
                return Err(wrong("a figure is out of range".to_owned()));
            }
            Ok(BakeKind {
                own: None,
                for_fan: false,
                recipe,
                time: Minutes(form.minutes),
                curve: DoseCurve {
                    rise_s: c.rise_s,
                    plateau_min: c.plateau_min,
                    start: Celsius(c.start_c),
                    approach_s: c.approach_s,
                    reach: c.reach,
                },
                sugared_base: form.sugared_base,
                set_at: form.set_at.map(|s| SetAt {
                    share: s.share,
                    reason: s.reason,
                }),
                key: form.key,
                name: form.name,
                reason: form.reason,
            })
        })
        .collect()
}

fn read_card() -> Result<Vec<CardShade>, AssetError> {
    let file = "shade-card.json";
    let card: CardFile = parse(file, CARD)?;
    card.shades
        .into_iter()
        .map(|form| {
            let wrong = |why: String| AssetError { file, why };
            let shade = Shade::whole(form.shade).map_err(|e| wrong(e.to_string()))?;
            let l = shade.browning().lightness(UNTOASTED_LIGHTNESS);
            let colour = toast_colour(l);
            Ok(CardShade {
                shade,
                words: form.words,
                lab: (colour.l, colour.a, colour.b),
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_asset_reads_and_passes_its_checks() {
        let ovens = OVEN_LIST.as_ref().unwrap();
        let bakes = BAKE_LIST.as_ref().unwrap();
        let card = CARD_LIST.as_ref().unwrap();
        assert!(
            ovens.len() >= 5 && bakes.len() >= 8,
            "{} {}",
            ovens.len(),
            bakes.len()
        );
        assert_eq!(card.len(), 10);
        assert!(CAUTION_LISTS.is_ok());
        for occasion in [
            Occasion::ToastTest,
            Occasion::Thermometer,
            Occasion::Technician,
            Occasion::Bake,
        ] {
            assert!(cautions(occasion).len() >= 3, "{occasion:?}");
        }
        let keys: BTreeSet<_> = ovens.iter().map(|o| &o.key).collect();
        assert_eq!(keys.len(), ovens.len(), "template keys are unique");
        let kinds: BTreeSet<_> = bakes.iter().map(|k| &k.key).collect();
        assert_eq!(kinds.len(), bakes.len(), "kinds' keys are unique");
        assert!(ovens.iter().all(|o| o.reason.len() > 20));
        assert!(bakes.iter().all(|k| k.reason.len() > 20));
    }

    #[test]
    fn the_card_darkens_step_by_step_along_the_toast_path() {
        let card = shade_card();
        for (digit, shade) in (0_u8..).zip(card) {
            assert_eq!(shade.shade, Shade::whole(digit).unwrap());
        }
        assert!(card.windows(2).all(|w| w[1].lab.0 < w[0].lab.0));
        assert_eq!(card[0].lab, (84.0, 0.0, 15.0));
        // The card's definition: L* 84 (25 / 84)^(s / 9), so shade 9 ends at 25 exactly.
        assert!((card[9].lab.0 - 25.0).abs() < 1e-9);
    }
}
