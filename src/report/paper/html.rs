//! A document as HTML in one file: pictures as SVG and the font inside.

use super::{
    document::{Block, Document, Maps, Table},
    font::{FAMILY, Fonts},
    print::figure_page,
    svg,
};
use base64::{Engine as _, engine::general_purpose::STANDARD};
use std::fmt::Write as _;

/// Width of a map, mm.
const MAP: f64 = 88.0;

/// Writes the document.
pub(super) fn write(document: &Document, fonts: &Fonts) -> String {
    let mut out = String::with_capacity(256 << 10);
    let title = svg::escaped(&document.title);
    out.push_str("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n");
    // Writing to a string cannot fail.
    let _infallible = write!(
        out,
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{title}</title>\n<style>\n"
    );
    for (file, weight) in fonts.files.iter().zip([400, 700]) {
        let _infallible = writeln!(
            out,
            "@font-face {{ font-family: \"{FAMILY}\"; font-weight: {weight}; src: url(data:font/ttf;base64,{}) format(\"truetype\"); }}",
            STANDARD.encode(file)
        );
    }
    let _infallible = write!(
        out,
        "{STYLE}</style>\n</head>\n<body>\n<main>\n<h1>{title}</h1>\n<p>{}</p>\n",
        svg::escaped(&document.subtitle)
    );
    for block in &document.blocks {
        write_block(&mut out, block, fonts);
    }
    let _infallible = write!(
        out,
        "</main>\n<footer><p>{}</p></footer>\n</body>\n</html>\n",
        svg::escaped(&document.foot)
    );
    out
}

const STYLE: &str = "\
body { font-family: \"Rackshade Paper\", sans-serif; color: #181614; background: #fff; margin: 2em auto; max-width: 60em; padding: 0 1em; line-height: 1.4; }
h2 { border-bottom: 1px solid #181614; }
table { border-collapse: collapse; margin: 1em 0; }
th, td { text-align: left; vertical-align: top; padding: 0.2em 0.8em 0.2em 0; border-bottom: 1px solid #aaa; }
thead th { border-bottom: 2px solid #181614; }
.maps { display: flex; flex-wrap: wrap; gap: 1.5em; }
figure { margin: 0; width: 21em; }
figure svg { width: 100%; height: auto; }
.cautions { border: 2px solid #181614; padding: 0.3em 1em; }
footer { color: #54504c; }
@media print { figure, tr { break-inside: avoid; } }
";

fn write_block(out: &mut String, block: &Block, fonts: &Fonts) {
    let text = svg::escaped;
    let _infallible = match block {
        Block::Heading(words) => writeln!(out, "<h2>{}</h2>", text(words)),
        Block::Text(words) => writeln!(out, "<p>{}</p>", text(words)),
        Block::Points(points) => writeln!(out, "{}", list(points)),
        Block::Table(table) => writeln!(out, "{}", html_table(table)),
        Block::Maps(maps) => writeln!(out, "{}", figures(maps, fonts)),
        Block::Cautions(cautions) => {
            writeln!(out, "<div class=\"cautions\">\n{}\n</div>", list(cautions))
        }
    };
}

fn list(points: &[String]) -> String {
    let items: Vec<String> = points
        .iter()
        .map(|p| format!("<li>{}</li>", svg::escaped(p)))
        .collect();
    format!("<ul>\n{}\n</ul>", items.join("\n"))
}

fn html_table(table: &Table) -> String {
    let row = |cells: &[String], mark: &str, scope: &str| {
        let cells: Vec<String> = cells
            .iter()
            .map(|c| format!("<{mark}{scope}>{}</{mark}>", svg::escaped(c)))
            .collect();
        format!("<tr>{}</tr>", cells.concat())
    };
    let rows: Vec<String> = table.rows.iter().map(|r| row(r, "td", "")).collect();
    format!(
        "<table>\n<thead>{}</thead>\n<tbody>\n{}\n</tbody>\n</table>",
        row(&table.head, "th", " scope=\"col\""),
        rows.join("\n")
    )
}

fn figures(maps: &Maps, fonts: &Fonts) -> String {
    let mut out = String::from("<div class=\"maps\">\n");
    for drawn in &maps.figures {
        let page = figure_page(drawn, &maps.scale, fonts, MAP);
        let label = format!("map of {}", drawn.title);
        let words: Vec<String> = drawn.words.iter().map(|w| svg::escaped(w)).collect();
        let _infallible = write!(
            out,
            "<figure>\n{}<figcaption>{}</figcaption>\n</figure>\n",
            svg::write(&page, Some(&label)),
            words.join("<br>\n")
        );
    }
    out.push_str("</div>");
    out
}
