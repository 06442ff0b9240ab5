//! Findings put on paper: the card for the oven door and the sheet for the technician.

mod age;
mod card;
mod data;
mod dial;
mod finding;
mod request;
mod rules;
mod sheet;
#[cfg(test)]
mod tests;
mod visit;
mod words;

pub use crate::report::paper::{
    Document, Fonts, PageSize, PaperError, PaperFormat, map_picture, write,
};
pub use card::card;
pub use request::{NoPaper, PaperRequest};
pub use sheet::sheet;

use super::{ground::mode_of, kitchen::Records};
use crate::{
    model::{Mode, Oven, OvenId},
    store::{self, assets::paper_fonts},
    units::TemperatureUnit,
};
use jiff::civil::Date;
use request::mode_for;
use std::path::{Path, PathBuf};

/// Returns the font that is carried along.
///
/// # Errors
/// [`PaperError::Font`], a fault of the program.
pub fn fonts() -> Result<Fonts, PaperError> {
    let [regular, bold] = paper_fonts();
    Fonts::new(regular, bold)
}

/// Returns the paper of a kitchen: where the dial is in F it is Letter, else A4 (common practice, no source).
pub fn size_for(oven: &Oven) -> PageSize {
    match oven.dial.unit {
        TemperatureUnit::Fahrenheit => PageSize::Letter,
        TemperatureUnit::Celsius => PageSize::A4,
    }
}

/// Returns the files of a document that is to go to `path`, in the order of pages: each with its bytes.
///
/// Further pages of SVG and PNG go beside the first as `name-2.svg`, ...
///
/// # Errors
/// [`NoPaper`] when it cannot be drawn.
pub fn pages(
    document: &Document,
    format: PaperFormat,
    size: PageSize,
    path: &Path,
) -> Result<Vec<(PathBuf, Vec<u8>)>, NoPaper> {
    let files = write(document, format, size, &fonts()?)?;
    let numbered = files.into_iter().zip(1..);
    Ok(numbered
        .map(|(bytes, number)| (page_path(path, number), bytes))
        .collect())
}

/// Writes the card (Letter where its dial is in F, else A4) and the technician's sheet of an oven as PDF into
/// the data folder's `papers/`; returns both files.
///
/// Both are about `mode`, or as [`PaperRequest::mode`] says without one. A mode that is not the oven's first
/// stands in the files' names, so that papers about one mode never replace those about another.
///
/// # Errors
/// [`NoPaper`] when the oven has no map that can be drawn, or the folder cannot be written to.
pub fn papers(
    (kitchen, folder): (&Records, &Path),
    oven: &OvenId,
    mode: Option<Mode>,
    today: Date,
) -> Result<Vec<PathBuf>, NoPaper> {
    let mut written = Vec::new();
    if let Some(oven) = kitchen.oven(oven) {
        let mode = mode_of(oven, mode_for(kitchen, oven, mode))?;
        let request = PaperRequest {
            mode: Some(mode),
            visit: None,
            today,
        };
        let size = size_for(oven);
        for document in [
            card(kitchen, oven, &request)?,
            sheet(kitchen, oven, &request)?,
        ] {
            let name = paper_name(oven, mode, document.kind, today);
            let path = store::papers(folder)?.join(&name);
            for (path, bytes) in pages(&document, PaperFormat::Pdf, size, &path)? {
                store::write_own(&path, &bytes)?;
                written.push(path);
            }
        }
    }
    Ok(written)
}

/// Returns a paper's name: `2026-04-20-wall-oven-card.pdf`, or with the mode, `2026-04-20-wall-oven-fan-card.pdf`.
fn paper_name(oven: &Oven, mode: Mode, kind: &str, today: Date) -> String {
    let mode = if oven.modes.first() == Some(&mode) {
        String::new()
    } else {
        format!("{}-", mode.key())
    };
    format!("{today}-{}-{mode}{kind}.pdf", oven.id)
}

/// Returns the file of page `number`: the first page has the name that was asked for.
fn page_path(path: &Path, number: usize) -> PathBuf {
    if number == 1 {
        return path.to_owned();
    }
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    let name = match path.extension() {
        Some(ending) => format!("{stem}-{number}.{}", ending.to_string_lossy()),
        None => format!("{stem}-{number}"),
    };
    path.with_file_name(name)
}
