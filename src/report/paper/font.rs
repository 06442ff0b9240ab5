//! The font that is carried along: its metrics, and text broken into lines by them.

use super::document::PaperError;
use base64::{Engine as _, engine::general_purpose::STANDARD};
use resvg::usvg::fontdb::Database;
use std::sync::Arc;
use ttf_parser::Face;

/// Name of the font's family, as its files have it.
pub(super) const FAMILY: &str = "Rackshade Paper";

/// How heavy letters are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Weight {
    Regular,
    Bold,
}

/// Regular and bold letters.
pub struct Fonts {
    regular: Face<'static>,
    bold: Face<'static>,
    /// The font files, regular then bold.
    pub(super) files: [&'static [u8]; 2],
    /// What pictures and PDF find the letters in.
    pub(super) database: Arc<Database>,
}

impl Fonts {
    /// Takes the two font files.
    ///
    /// # Errors
    /// [`PaperError::Font`] when one is no font: a fault of the program.
    pub fn new(regular: &'static [u8], bold: &'static [u8]) -> Result<Self, PaperError> {
        let face = |file| Face::parse(file, 0).map_err(|e| PaperError::Font(e.to_string()));
        let mut database = Database::new();
        for file in [regular, bold] {
            database.load_font_data(file.to_vec());
        }
        Ok(Self {
            regular: face(regular)?,
            bold: face(bold)?,
            files: [regular, bold],
            database: Arc::new(database),
        })
    }

    /// Returns the style rules that bring both files along; they hold what a paper can print, no whole typeface.
    pub(super) fn faces(&self) -> String {
        let face = |(file, weight): (&&[u8], u32)| {
            format!(
                "@font-face {{ font-family: \"{FAMILY}\"; font-weight: {weight}; src: url(data:font/ttf;base64,{}) format(\"truetype\"); }}\n",
                STANDARD.encode(file)
            )
        };
        let faces: Vec<String> = self.files.iter().zip([400, 700]).map(face).collect();
        faces.concat()
    }

    fn face(&self, weight: Weight) -> &Face<'static> {
        match weight {
            Weight::Regular => &self.regular,
            Weight::Bold => &self.bold,
        }
    }

    /// Returns text in which every character has a letter: others become `?`, white space a blank.
    pub(super) fn printable(&self, text: &str) -> String {
        text.chars()
            .map(|c| match c {
                c if c.is_whitespace() => ' ',
                c if self.regular.glyph_index(c).is_some() => c,
                _ => '?',
            })
            .collect()
    }

    /// Returns how wide a line is at letter size `size`, in the unit of `size`.
    pub(super) fn width(&self, text: &str, weight: Weight, size: f64) -> f64 {
        let face = self.face(weight);
        let units: u32 = text
            .chars()
            .filter_map(|c| face.glyph_hor_advance(face.glyph_index(c).unwrap_or_default()))
            .map(u32::from)
            .sum();
        f64::from(units) * size / f64::from(face.units_per_em())
    }

    /// Breaks text into lines at most `width` wide, between words where it can; a unit stays with its figure.
    pub(super) fn wrap(&self, text: &str, weight: Weight, size: f64, width: f64) -> Vec<String> {
        let text = self.printable(text);
        let mut lines = Vec::new();
        let mut line = String::new();
        for word in words(&text) {
            let longer = if line.is_empty() {
                word.clone()
            } else {
                format!("{line} {word}")
            };
            if self.width(&longer, weight, size) <= width {
                line = longer;
                continue;
            }
            if !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            for c in word.chars() {
                line.push(c);
                if self.width(&line, weight, size) > width && line.chars().count() > 1 {
                    line.pop();
                    lines.push(std::mem::take(&mut line));
                    line.push(c);
                }
            }
        }
        if !line.is_empty() || lines.is_empty() {
            lines.push(line);
        }
        lines
    }
}

/// Splits text into what must not be parted: words, each with the units that follow it.
fn words(text: &str) -> Vec<String> {
    const UNITS: [&str; 9] = ["%", "F", "C", "cm", "cm2", "in", "min", "shades", "L*"];
    let mut out: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let bare = word.trim_end_matches([',', '.', ';', ':', ')']);
        let figure = |last: &String| last.ends_with(|c: char| c.is_ascii_digit() || c == ')');
        match out.last_mut() {
            Some(last) if UNITS.contains(&bare) && figure(last) => {
                last.push(' ');
                last.push_str(word);
            }
            Some(_) | None => out.push(word.to_owned()),
        }
    }
    out
}

impl std::fmt::Debug for Fonts {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Fonts").finish_non_exhaustive()
    }
}
