//! A document as HTML in one file: pictures as SVG and the font inside.

use super::{
    document::{Block, Document, Front, Maps, Table},
    font::Fonts,
    print::{figure_page, front_page},
    svg,
};
use std::fmt::Write as _;

/// Width of a map, mm.
const MAP: f64 = 62.0;

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
    out.push_str(&fonts.faces());
    let _infallible = write!(out, "{STYLE}</style>\n</head>\n<body>\n<main>\n");
    if let Some(front) = &document.front {
        write_front(&mut out, front, fonts);
    }
    // A page has one heading of the first rank.
    let rank = if document.front.is_some() { "h2" } else { "h1" };
    let _infallible = write!(
        out,
        "<{rank}>{title}</{rank}>\n<p>{}</p>\n",
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
body { font-family: \"Rackshade Paper\", sans-serif; color: #181614; background: #fff; margin: 1em auto; max-width: 60em; padding: 0 1em; line-height: 1.4; overflow-wrap: break-word; }
h2 { border-bottom: 1px solid #181614; }
table { border-collapse: collapse; margin: 1em 0; }
.finding { font-size: 1.4em; font-weight: 700; }
.front { border-bottom: 3px solid #181614; padding-bottom: 1em; }
.front h1 { font-size: 2.6em; margin: 0; }
.front .set { font-size: 2em; font-weight: 700; margin: 0; }
.front .do { font-size: 1.4em; font-weight: 700; margin: 0.4em 0; }
th, td { text-align: left; vertical-align: top; padding: 0.2em 0.8em 0.2em 0; border-bottom: 1px solid #aaa; }
thead th { border-bottom: 2px solid #181614; }
.maps { display: flex; flex-wrap: wrap; gap: 1.5em; }
figure { margin: 0; width: 21em; max-width: 100%; }
figure svg { width: 100%; height: auto; }
.cautions { border: 2px solid #181614; padding: 0.3em 1em; }
footer { color: #54504c; }
@media (max-width: 40em) {
h1 { font-size: 1.5em; }
thead { position: absolute; left: -999em; }
tr { display: block; border-bottom: 2px solid #181614; padding: 0.4em 0; }
td { display: block; border: 0; padding: 0.1em 0; }
td::before { content: attr(data-head) \": \"; color: #54504c; }
}
@media print { figure, tr { break-inside: avoid; } }
";

/// Writes the front of a card: name, what to set, the maps, what to do.
fn write_front(out: &mut String, front: &Front, fonts: &Fonts) {
    let text = svg::escaped;
    let set = front.set.as_ref();
    let set = set.map_or_else(String::new, |s| {
        format!("<p class=\"set\">{}</p>\n", text(s))
    });
    let _infallible = write!(
        out,
        "<section class=\"front\">\n<h1>{}</h1>\n{set}<p>{}</p>\n<div class=\"maps\">\n",
        text(&front.name),
        text(&front.mode)
    );
    for drawn in front.maps.figures.iter().rev() {
        let page = front_page(drawn, &front.maps.scale, fonts, MAP);
        let label = format!("{}: {}", drawn.title, drawn.words.join(", "));
        let picture = svg::write(&page, Some(&label));
        let _infallible = writeln!(out, "<figure>\n{picture}</figure>");
    }
    let to_do: Vec<String> = front
        .to_do
        .iter()
        .map(|line| format!("<p class=\"do\">{}</p>\n", text(line)))
        .collect();
    let _infallible = write!(
        out,
        "</div>\n{}<p>{}</p>\n</section>\n",
        to_do.concat(),
        text(&front.tested)
    );
}

fn write_block(out: &mut String, block: &Block, fonts: &Fonts) {
    let text = svg::escaped;
    let _infallible = match block {
        Block::Heading(words) => writeln!(out, "<h2>{}</h2>", text(words)),
        Block::Finding(words) => writeln!(out, "<p class=\"finding\">{}</p>", text(words)),
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
    let cell = |(cell, head): (&String, &String)| {
        let (cell, head) = (svg::escaped(cell), svg::escaped(head));
        // Where the screen is narrow each cell stands on a line of its own, after the name of its column.
        format!("<td data-head=\"{head}\">{cell}</td>")
    };
    let rows: Vec<String> = table
        .rows
        .iter()
        .map(|cells| {
            let cells: Vec<String> = cells.iter().zip(&table.head).map(cell).collect();
            format!("<tr>{}</tr>", cells.concat())
        })
        .collect();
    let head: Vec<String> = table
        .head
        .iter()
        .map(|name| format!("<th scope=\"col\">{}</th>", svg::escaped(name)))
        .collect();
    format!(
        "<table>\n<thead><tr>{}</tr></thead>\n<tbody>\n{}\n</tbody>\n</table>",
        head.concat(),
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
