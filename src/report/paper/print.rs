//! A drawn page as PNG, as PDF, and as SVG that brings its font.

use super::{
    document::{MapFigure, PaperError},
    figure,
    font::Fonts,
    front,
    page::{Frame, Item, PAPER, Page},
    svg,
};
use crate::{
    field::Evidence,
    report::{quantity::Scale, text::MapSheet},
};
use krilla::{Document as PdfDocument, geom::Size, metadata::Metadata, page::PageSettings};
use krilla_svg::{SurfaceExt, SvgSettings};
use resvg::{
    tiny_skia::{Pixmap, Transform},
    usvg::{Options, Tree},
};

/// Dots in a millimetre of a PNG: 200 an inch.
const DOTS: f64 = 200.0 / 25.4;
/// Points in a millimetre of a PDF.
const POINTS: f64 = 72.0 / 25.4;
/// Width of the picture of one map, mm: 1181 dots.
const PICTURE: f64 = 150.0;

fn tree(page: &Page, fonts: &Fonts) -> Result<Tree, PaperError> {
    let options = Options {
        fontdb: fonts.database.clone(),
        ..Options::default()
    };
    Tree::from_str(&svg::write(page, None), &options).map_err(|e| PaperError::Draw(e.to_string()))
}

/// Writes a page as SVG with its letters as text, and the font inside.
pub(super) fn svg(page: &Page, fonts: &Fonts) -> Vec<u8> {
    let faces = format!("<style>\n{}</style>\n", fonts.faces());
    svg::write_with(page, None, &faces).into_bytes()
}

/// Draws a page as PNG.
pub(super) fn png(page: &Page, fonts: &Fonts) -> Result<Vec<u8>, PaperError> {
    let tree = tree(page, fonts)?;
    let pixels = |mm: f64| {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "pages are a few hundred millimetres; a float cast saturates"
        )]
        let dots = (mm * DOTS).round() as u32;
        dots
    };
    let (width, height) = (pixels(page.width), pixels(page.height));
    let mut picture = Pixmap::new(width, height)
        .ok_or_else(|| PaperError::Draw(format!("{width} x {height} pixels")))?;
    picture.fill(resvg::tiny_skia::Color::WHITE);
    let size = tree.size();
    let scale = Transform::from_scale(width as f32 / size.width(), height as f32 / size.height());
    resvg::render(&tree, scale, &mut picture.as_mut());
    picture
        .encode_png()
        .map_err(|e| PaperError::Draw(e.to_string()))
}

/// Writes pages as one PDF with selectable text.
pub(super) fn pdf(title: &str, pages: &[Page], fonts: &Fonts) -> Result<Vec<u8>, PaperError> {
    let mut document = PdfDocument::new();
    for page in pages {
        #[expect(
            clippy::cast_possible_truncation,
            reason = "a page's points, to a millionth"
        )]
        let points = |mm: f64| (mm * POINTS) as f32;
        let size = Size::from_wh(points(page.width), points(page.height))
            .ok_or_else(|| PaperError::Draw("a page of no size".to_owned()))?;
        let settings = PageSettings::new(size);
        let mut sheet = document.start_page_with(settings);
        let mut surface = sheet.surface();
        surface
            .draw_svg(&tree(page, fonts)?, size, SvgSettings::default())
            .ok_or_else(|| PaperError::Draw("the PDF refused a page".to_owned()))?;
        surface.finish();
        sheet.finish();
    }
    document.set_metadata(
        Metadata::new()
            .title(title.to_owned())
            .creator("rackshade".to_owned()),
    );
    document
        .finish()
        .map_err(|e| PaperError::Draw(format!("{e:?}")))
}

/// Draws one rack of a map as a PNG for a message, the lowest tested one unless another is asked for;
/// tells which it is.
///
/// # Errors
/// [`PaperError`] when there is no such rack, or nothing to draw.
pub fn map_picture(
    sheet: &MapSheet<'_>,
    rack: Option<u8>,
    fonts: &Fonts,
) -> Result<(u8, Vec<u8>), PaperError> {
    let racks = &sheet.map.racks;
    let found = match rack {
        Some(number) => racks.iter().find(|r| r.rack == number),
        None => racks.iter().find(|r| r.evidence == Evidence::Tested),
    };
    let map = match (found, rack) {
        (Some(map), _) => map,
        (None, None) => return Err(PaperError::Empty),
        (None, Some(rack)) => {
            let known: Vec<_> = racks.iter().map(|r| r.rack.to_string()).collect();
            let known = known.join(", ");
            return Err(PaperError::NoSuchRack { rack, known });
        }
    };
    if map.grid.is_empty() {
        return Err(PaperError::Empty);
    }
    let evidence = match map.evidence {
        Evidence::Tested => "tested",
        Evidence::Interpolated => "between tested racks",
    };
    let drawn = MapFigure {
        title: format!("{}, rack {} ({evidence})", sheet.oven.name, map.rack),
        map: map.clone(),
        zones: sheet.zones.to_vec(),
        even: false,
        words: Vec::new(),
    };
    let scale = Scale::over(sheet.quantity, racks);
    Ok((
        map.rack,
        png(&figure_page(&drawn, &scale, fonts, PICTURE), fonts)?,
    ))
}

/// Lays one map of a card's front on a page of its own.
pub(super) fn front_page(drawn: &MapFigure, scale: &Scale, fonts: &Fonts, width: f64) -> Page {
    let mut items = Vec::new();
    let edge = 1.0;
    let inside = (edge, edge, width - 2.0 * edge);
    let end = front::rack(&mut items, drawn, scale, fonts, inside);
    Page {
        width,
        height: end + edge,
        items,
    }
}

/// Lays one map with its legend on a page of its own.
pub(super) fn figure_page(drawn: &MapFigure, scale: &Scale, fonts: &Fonts, width: f64) -> Page {
    let letters = (width / 36.0).clamp(2.6, 4.2);
    let margin = letters * 0.8;
    let inner = width - 2.0 * margin;
    let mut items = Vec::new();
    let below = figure::draw(
        &mut items,
        drawn,
        scale,
        fonts,
        (margin, margin, inner, letters),
    );
    let end = figure::legend(
        &mut items,
        scale,
        !drawn.zones.is_empty(),
        (margin, below + letters * 0.4, inner, letters),
    );
    let page = Frame::new(0.0, 0.0, width, end + margin);
    items.insert(0, Item::Fill(page, PAPER));
    Page {
        width,
        height: page.height,
        items,
    }
}
