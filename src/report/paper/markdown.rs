//! A document as Markdown (`CommonMark` with tables), its maps in plain characters.

use super::document::{Block, Document, Front, Maps, Table};
use crate::report::text::{Characters, legend_text, rack_text};
use std::fmt::Write as _;

/// Writes the document.
pub(super) fn write(document: &Document) -> String {
    let mut out = document.front.as_ref().map_or_else(String::new, front_text);
    // Writing to a string cannot fail.
    let _infallible = write!(
        out,
        "# {}\n\n{}\n\n",
        escaped(&document.title),
        escaped(&document.subtitle)
    );
    for block in &document.blocks {
        let _infallible = match block {
            Block::Heading(words) => write!(out, "## {}\n\n", escaped(words)),
            Block::Finding(words) => write!(out, "**{}**\n\n", escaped(words)),
            Block::Text(words) => write!(out, "{}\n\n", escaped(words)),
            Block::Points(points) => writeln!(out, "{}", list(points, "- ")),
            Block::Table(table) => writeln!(out, "{}", table_text(table)),
            Block::Maps(maps) => write!(out, "{}", maps_text(maps)),
            Block::Cautions(cautions) => writeln!(out, "{}", list(cautions, "> - ")),
        };
    }
    let _infallible = writeln!(out, "---\n\n{}", escaped(&document.foot));
    out
}

/// Writes what the front of a card says; its maps are those of the back.
fn front_text(front: &Front) -> String {
    let set = front.set.as_ref();
    let set = set.map_or_else(String::new, |set| format!("**{}**\n\n", escaped(set)));
    format!(
        "# {}\n\n{set}{}, {}\n\n{}\n",
        escaped(&front.name),
        escaped(&front.mode),
        escaped(&front.tested),
        list(&front.to_do, "- ")
    )
}

fn list(points: &[String], mark: &str) -> String {
    let lines: Vec<String> = points
        .iter()
        .map(|p| format!("{mark}{}\n", escaped(p)))
        .collect();
    lines.concat()
}

fn table_text(table: &Table) -> String {
    let row = |cells: &[String]| {
        let cells: Vec<String> = cells
            .iter()
            .map(|c| escaped(c).replace('|', "\\|"))
            .collect();
        format!("| {} |\n", cells.join(" | "))
    };
    let rule = vec!["---".to_owned(); table.head.len()];
    let mut out = row(&table.head) + &row(&rule);
    for cells in &table.rows {
        out.push_str(&row(cells));
    }
    out
}

fn maps_text(maps: &Maps) -> String {
    let mut out = String::new();
    for drawn in &maps.figures {
        let picture = rack_text(&drawn.map, &maps.scale, Characters::Ascii);
        let _infallible = write!(
            out,
            "### {}\n\n```text\n{picture}```\n\n{}\n",
            escaped(&drawn.title),
            list(&drawn.words, "- ")
        );
    }
    let _infallible = write!(
        out,
        "```text\n{}```\n\n",
        legend_text(&maps.scale, Characters::Ascii)
    );
    out
}

/// Keeps a baker's own words from being read as marks, on one line.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '#' => {
                out.push('\\');
                out.push(c);
            }
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}
