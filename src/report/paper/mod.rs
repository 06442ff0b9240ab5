//! Findings on paper: one document, laid out once, written as PDF, SVG, PNG, HTML, Markdown, CSV or JSON.
//!
//! A [`Document`] is a list of blocks. `flow` puts the blocks on pages by the metrics of the font that
//! is carried along, `svg` writes a page, and `print` turns that into PNG and PDF, so that every
//! machine prints the same. `html`, `markdown` and `data` write the blocks themselves. Hatching, figures
//! and words carry everything that colour does: a grey copy says as much.

mod data;
mod document;
mod figure;
mod flow;
mod font;
mod front;
mod html;
mod markdown;
mod page;
mod print;
mod svg;
mod table;

#[cfg(test)]
mod tests;

pub use document::{
    Block, Column, DataTable, Document, Front, MapFigure, Maps, PageSize, PaperError, PaperFormat,
    Table, Value,
};
pub use font::Fonts;
pub use print::map_picture;

/// Writes a document; SVG and PNG give one file for each page, everything else one file.
///
/// # Errors
/// [`PaperError`] when it does not fit its page, or by a fault of the program.
pub fn write(
    document: &Document,
    format: PaperFormat,
    size: PageSize,
    fonts: &Fonts,
) -> Result<Vec<Vec<u8>>, PaperError> {
    let pages = || -> Result<Vec<page::Page>, PaperError> {
        let front = document.front.as_ref();
        let front = front.map(|front| front::page(front, size, fonts));
        let rest = flow::pages(document, size, fonts)?;
        Ok(front.into_iter().chain(rest).collect())
    };
    match format {
        PaperFormat::Pdf => Ok(vec![print::pdf(&document.title, &pages()?, fonts)?]),
        PaperFormat::Svg => pages()?.iter().map(|p| Ok(print::svg(p, fonts))).collect(),
        PaperFormat::Png => pages()?.iter().map(|p| print::png(p, fonts)).collect(),
        PaperFormat::Html => Ok(vec![html::write(document, fonts).into_bytes()]),
        PaperFormat::Markdown => Ok(vec![markdown::write(document).into_bytes()]),
        PaperFormat::Csv => Ok(vec![data::csv(document)?]),
        PaperFormat::Json => Ok(vec![data::json(document)?]),
    }
}
