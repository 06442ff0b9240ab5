//! A page as SVG 1.1, its letters as text in the font that is carried along.

use super::{
    font::{FAMILY, Weight},
    page::{Anchor, Frame, Item, PAPER, Page, Words},
};
use crate::colour::Rgb;
use std::fmt::Write as _;

/// Writes a page as a document of its own, `label` saying what it shows where one is given.
pub(super) fn write(page: &Page, label: Option<&str>) -> String {
    write_with(page, label, "")
}

/// Writes a page as [`write`] does, with `style` before what is drawn.
pub(super) fn write_with(page: &Page, label: Option<&str>, style: &str) -> String {
    let (w, h) = (figure(page.width), figure(page.height));
    let label = label.map_or_else(String::new, |text| {
        format!(" role=\"img\" aria-label=\"{}\"", escaped(text))
    });
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\" font-family=\"{FAMILY}\"{label}>\n{style}"
    );
    for item in &page.items {
        // Writing to a string cannot fail.
        let _infallible = match item {
            Item::Fill(frame, colour) => {
                writeln!(out, "<rect {} fill=\"{}\"/>", rect(*frame), hex(*colour))
            }
            Item::Outline(frame, thick, colour) => writeln!(
                out,
                "<rect {} fill=\"none\" stroke=\"{}\" stroke-width=\"{}\"/>",
                rect(*frame),
                hex(*colour),
                figure(*thick)
            ),
            Item::Lines(pieces, thick, colour) => {
                let mut path = String::new();
                for [(x0, y0), (x1, y1)] in pieces {
                    let _infallible = write!(
                        path,
                        "M{} {}L{} {}",
                        figure(*x0),
                        figure(*y0),
                        figure(*x1),
                        figure(*y1)
                    );
                }
                writeln!(
                    out,
                    "<path d=\"{path}\" fill=\"none\" stroke=\"{}\" stroke-width=\"{}\" stroke-linecap=\"round\"/>",
                    hex(*colour),
                    figure(*thick)
                )
            }
            Item::Dots(centres, radius, colour) => {
                let mut path = String::new();
                for (x, y) in centres {
                    let _infallible = write!(path, "M{} {}h0", figure(*x), figure(*y));
                }
                // A line of no length with round ends is a dot.
                writeln!(
                    out,
                    "<path d=\"{path}\" fill=\"none\" stroke=\"{}\" stroke-width=\"{}\" stroke-linecap=\"round\"/>",
                    hex(*colour),
                    figure(radius * 2.0)
                )
            }
            Item::Words(words) => writeln!(out, "{}", letters(words)),
        };
    }
    out.push_str("</svg>\n");
    out
}

fn letters(words: &Words) -> String {
    let anchor = match words.anchor {
        Anchor::Start => "",
        Anchor::Middle => " text-anchor=\"middle\"",
        Anchor::End => " text-anchor=\"end\"",
    };
    let weight = match words.weight {
        Weight::Regular => "",
        Weight::Bold => " font-weight=\"700\"",
    };
    let place = format!(
        "x=\"{}\" y=\"{}\" font-size=\"{}\"{anchor}{weight}",
        figure(words.x),
        figure(words.y),
        figure(words.size)
    );
    let text = escaped(&words.text);
    // Drawn twice: not every reader knows how to put a stroke under its fill.
    let rim = if words.rimmed {
        format!(
            "<text {place} fill=\"{0}\" stroke=\"{0}\" stroke-width=\"{1}\" stroke-linejoin=\"round\" aria-hidden=\"true\">{text}</text>",
            hex(PAPER),
            figure(words.size * 0.22)
        )
    } else {
        String::new()
    };
    format!(
        "{rim}<text {place} fill=\"{}\">{text}</text>",
        hex(words.ink)
    )
}

fn rect(frame: Frame) -> String {
    format!(
        "x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"",
        figure(frame.x),
        figure(frame.y),
        figure(frame.width),
        figure(frame.height)
    )
}

fn hex(Rgb(r, g, b): Rgb) -> String {
    format!("#{r:02x}{g:02x}{b:02x}")
}

/// Writes a length with at most three decimals.
fn figure(value: f64) -> String {
    let text = format!("{value:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Writes text so that it stays text in SVG and HTML.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            // XML 1.0 has no other control characters, escaped or not.
            c if c.is_control() && !matches!(c, '\n' | '\t') => out.push(' '),
            c => out.push(c),
        }
    }
    out
}
