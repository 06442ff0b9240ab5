//! A screen as an SVG picture for the README: each cell's ground and ink as rectangles, letters as text.

use ratatui::{
    buffer::{Buffer, Cell},
    style::{Color, Modifier},
};
use std::fmt::Write as _;

/// Size of a cell, in the picture's units.
const CELL: (usize, usize) = (9, 18);
/// Ground and ink of the terminal itself.
const TERMINAL: (&str, &str) = ("#1b1a18", "#e8e4dc");

/// Draws a screen.
pub(super) fn svg(buffer: &Buffer, label: &str) -> String {
    let area = buffer.area;
    let (w, h) = CELL;
    let (width, height) = (usize::from(area.width) * w, usize::from(area.height) * h);
    let (ground, _) = TERMINAL;
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" width=\"{width}\" height=\"{height}\" role=\"img\" aria-label=\"{label}\" font-family=\"DejaVu Sans Mono, Menlo, Consolas, monospace\" font-size=\"15\">\n<rect width=\"{width}\" height=\"{height}\" fill=\"{ground}\"/>\n"
    );
    for row in 0..area.height {
        let mut from = 0;
        while from < area.width {
            let mut to = from + 1;
            let first = &buffer[(from, row)];
            while to < area.width && alike(first, &buffer[(to, row)]) {
                to += 1;
            }
            let text: String = (from..to).map(|x| buffer[(x, row)].symbol()).collect();
            run(
                &mut out,
                first,
                &text,
                (usize::from(from), usize::from(row)),
            );
            from = to;
        }
    }
    out.push_str("</svg>\n");
    out
}

fn alike(one: &Cell, other: &Cell) -> bool {
    let block = |c: &Cell| part_of(c.symbol()).is_some();
    one.style() == other.style()
        && block(one) == block(other)
        && (!block(one) || one.symbol() == other.symbol())
}

/// Which part of a cell a block character fills: x, y, width, height in halves.
fn part_of(symbol: &str) -> Option<(usize, usize, usize, usize)> {
    match symbol {
        "\u{2588}" => Some((0, 0, 2, 2)),
        "\u{2580}" => Some((0, 0, 2, 1)),
        "\u{2584}" => Some((0, 1, 2, 1)),
        "\u{258c}" => Some((0, 0, 1, 2)),
        "\u{2590}" => Some((1, 0, 1, 2)),
        _ => None,
    }
}

/// Draws cells of one style.
fn run(out: &mut String, cell: &Cell, text: &str, (x, y): (usize, usize)) {
    let (w, h) = CELL;
    let count = text.chars().count();
    let (mut ground, mut ink) = (colour(cell.bg), colour(cell.fg));
    if cell.modifier.contains(Modifier::REVERSED) {
        let (of_terminal, letters) = TERMINAL;
        (ground, ink) = (
            Some(ink.unwrap_or_else(|| letters.to_owned())),
            Some(ground.unwrap_or_else(|| of_terminal.to_owned())),
        );
    }
    if let Some(ground) = ground {
        writeln!(
            out,
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{h}\" fill=\"{ground}\"/>",
            x * w,
            y * h,
            count * w
        )
        .unwrap();
    }
    let ink = ink.unwrap_or_else(|| TERMINAL.1.to_owned());
    if let Some((px, py, pw, ph)) = part_of(cell.symbol()) {
        for i in 0..count {
            writeln!(
                out,
                "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"{ink}\"/>",
                (x + i) * w + px * w / 2,
                y * h + py * h / 2,
                pw * w / 2 + usize::from(pw == 1),
                ph * h / 2
            )
            .unwrap();
        }
        return;
    }
    if text.trim().is_empty() {
        return;
    }
    let bold = if cell.modifier.contains(Modifier::BOLD) {
        " font-weight=\"700\""
    } else {
        ""
    };
    let text = text.replace('&', "&amp;").replace('<', "&lt;");
    writeln!(
        out,
        "<text x=\"{}\" y=\"{}\" textLength=\"{}\" xml:space=\"preserve\" fill=\"{ink}\"{bold}>{text}</text>",
        x * w,
        y * h + 14,
        count * w
    )
    .unwrap();
}

fn colour(colour: Color) -> Option<String> {
    match colour {
        Color::Rgb(r, g, b) => Some(format!("#{r:02x}{g:02x}{b:02x}")),
        Color::Reset => None,
        Color::Black => Some("#000000".to_owned()),
        Color::Yellow | Color::LightYellow => Some("#e6c84a".to_owned()),
        Color::Red | Color::LightRed => Some("#e0604c".to_owned()),
        Color::Green | Color::LightGreen => Some("#8fbf6a".to_owned()),
        Color::Cyan | Color::LightCyan => Some("#6fb7c7".to_owned()),
        Color::Blue | Color::LightBlue => Some("#6f9ad6".to_owned()),
        Color::Magenta | Color::LightMagenta => Some("#c08ac0".to_owned()),
        Color::Gray => Some("#b8b2a8".to_owned()),
        Color::DarkGray => Some("#8a847a".to_owned()),
        Color::White => Some("#ffffff".to_owned()),
        Color::Indexed(_) => Some(TERMINAL.1.to_owned()),
    }
}
