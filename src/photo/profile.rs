//! From stored samples to linear light in the primaries of sRGB, by the colour profile in the file.
//!
//! Matrix and curve profiles (ICC.1:2022, F.3) are applied without clamping, so that colours
//! outside sRGB keep their values below 0 and above 1.

use super::layout::Layout;
use moxcms::{ColorProfile, DataColorSpace, ProfileText, ToneCurveEvaluator, ToneReprCurve};

type Curve = Box<dyn ToneCurveEvaluator + Send + Sync>;

/// How the samples of a photo stand for light.
pub(super) struct Encoding {
    curves: [Curve; 3],
    /// Rows of the matrix to the primaries of sRGB; `None` when they are those already.
    matrix: Option<[[f32; 3]; 3]>,
    /// What the profile calls itself.
    pub(super) name: Option<String>,
    /// What the reader should know.
    pub(super) warnings: Vec<String>,
}

impl Encoding {
    /// Reads an embedded profile; without one the samples are sRGB (IEC 61966-2-1).
    ///
    /// A profile that cannot be used, such as one for grey on a picture in colours, is left out with
    /// a warning.
    pub(super) fn new(icc: Option<&[u8]>, layout: Layout) -> Self {
        let Some(icc) = icc else { return Self::srgb() };
        let (name, why) = match ColorProfile::new_from_slice(icc) {
            Ok(profile) => {
                let name = name(&profile);
                match Self::from_profile(&profile, layout) {
                    Ok(encoding) => {
                        let name = name.or_else(|| Some("a profile without a name".to_owned()));
                        return Self { name, ..encoding };
                    }
                    Err(why) => (name, why),
                }
            }
            Err(e) => (None, e.to_string()),
        };
        let shown = name.as_deref().unwrap_or("without a name");
        Self {
            warnings: vec![format!(
                "The colour profile in the file ({shown}) cannot be used ({why}); its colours were taken as sRGB and may be a little off."
            )],
            name,
            ..Self::srgb()
        }
    }

    /// Makes the encoding of plain sRGB.
    fn srgb() -> Self {
        let curve = || -> Curve { Box::new(Srgb) };
        Self {
            curves: [curve(), curve(), curve()],
            matrix: None,
            name: None,
            warnings: Vec::new(),
        }
    }

    #[expect(
        clippy::wildcard_enum_match_arm,
        reason = "another crate's list of colour spaces, of which two are read"
    )]
    fn from_profile(profile: &ColorProfile, layout: Layout) -> Result<Self, String> {
        let srgb = ColorProfile::new_srgb();
        let (trcs, matrix) = match profile.color_space {
            DataColorSpace::Rgb => (
                [&profile.red_trc, &profile.green_trc, &profile.blue_trc],
                Some(profile.transform_matrix(&srgb).v.map(|row| row.map(single))),
            ),
            DataColorSpace::Gray if layout.is_grey() => ([&profile.gray_trc; 3], None),
            DataColorSpace::Gray => return Err("it is for grey pictures".into()),
            _ => return Err("it is for neither RGB nor grey".into()),
        };
        if matrix.is_some_and(|m| !m.iter().flatten().all(|v| v.is_finite() && v.abs() < 10.0)) {
            return Err("its primaries are no colours".into());
        }
        let [r, g, b] = trcs.map(|trc| {
            trc.as_ref()
                .ok_or_else(|| "it has no tone curves".to_owned())
                .and_then(curve)
        });
        Ok(Self {
            curves: [r?, g?, b?],
            matrix,
            name: None,
            warnings: Vec::new(),
        })
    }

    /// Returns the linear light of every level of each channel, in the file's own primaries.
    pub(super) fn tables(&self, levels: usize) -> [Vec<f32>; 3] {
        let full = (levels - 1) as f32;
        self.curves.each_ref().map(|curve| {
            (0..levels)
                .map(|level| curve.evaluate_value(level as f32 / full))
                .collect()
        })
    }

    /// Converts linear light from the file's own primaries.
    pub(super) fn to_srgb_primaries(&self, own: [f32; 3]) -> [f32; 3] {
        match &self.matrix {
            Some(rows) => rows.map(|row| row[0] * own[0] + row[1] * own[1] + row[2] * own[2]),
            None => own,
        }
    }
}

/// The curve of sRGB, IEC 61966-2-1.
struct Srgb;

impl ToneCurveEvaluator for Srgb {
    fn evaluate_tristimulus(&self, rgb: moxcms::Rgb<f32>) -> moxcms::Rgb<f32> {
        moxcms::Rgb::new(
            self.evaluate_value(rgb.r),
            self.evaluate_value(rgb.g),
            self.evaluate_value(rgb.b),
        )
    }

    fn evaluate_value(&self, value: f32) -> f32 {
        if value <= 0.04045 {
            value / 12.92
        } else {
            ((value + 0.055) / 1.055).powf(2.4)
        }
    }
}

/// Rounds to single precision, which holds more digits than a profile.
fn single(v: f64) -> f32 {
    #[expect(clippy::cast_possible_truncation, reason = "rounded on purpose")]
    let rounded = v as f32;
    rounded
}

fn curve(trc: &ToneReprCurve) -> Result<Curve, String> {
    let curve = trc.make_linear_evaluator().map_err(|e| e.to_string())?;
    let sound = (0..=16_u8).all(|i| {
        let v = curve.evaluate_value(f32::from(i) / 16.0);
        v.is_finite() && (-0.5..=2.0).contains(&v)
    });
    if sound {
        Ok(curve)
    } else {
        Err("a tone curve leaves the range".into())
    }
}

fn name(profile: &ColorProfile) -> Option<String> {
    let text = match profile.description.as_ref()? {
        ProfileText::PlainString(text) => text.clone(),
        ProfileText::Localizable(texts) => texts.first()?.value.clone(),
        ProfileText::Description(text) => text.ascii_string.clone(),
    };
    let text: String = text.chars().filter(|c| !c.is_control()).take(80).collect();
    let text = text.trim();
    (!text.is_empty()).then(|| text.to_owned())
}
