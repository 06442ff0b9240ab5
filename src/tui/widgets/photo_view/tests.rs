use super::*;
use crate::geometry::Point;
use crate::sampling::Picture;
use crate::tui::theme::Role;
use crate::tui::{theme::Depth, widgets::synthetic};
use ratatui::layout::Position;

/// Six slices on a dark tray, light to dark, 60 x 40 pixels of a photo of 120 x 80.
fn tray() -> Picture {
    let pixel = |i: usize| {
        let (x, y) = (i % 60, i / 60);
        let (col, row) = (x / 20, y / 20);
        let inside = (3..17).contains(&(x % 20)) && (3..17).contains(&(y % 20));
        let level = if inside {
            0.8 - 0.12 * (row * 3 + col) as f32
        } else {
            0.03
        };
        [level, level * 0.8, level * 0.6]
    };
    Picture {
        width: 60,
        height: 40,
        pixels: (0..60 * 40).map(pixel).collect(),
        scale: 2.0,
    }
}

fn lattice() -> Lattice {
    Lattice {
        corners: [(2.0, 2.0), (117.0, 4.0), (114.0, 77.0), (4.0, 74.0)]
            .map(|(x, y)| Point::new(x, y)),
        rows: 2,
        cols: 3,
    }
}

/// Draws the tray with a score at a place of the photo, in 60 columns.
fn drawn(theme: &Theme, corner: Option<usize>, at: (f64, f64), rows: u16) -> Buffer {
    let picture = tray();
    let mark = Mark {
        at: Point::new(at.0, at.1),
        text: "3.5".to_owned(),
        role: Role::Chosen,
    };
    let view = PhotoView {
        picture: &picture,
        window: Window::whole(size_of(&picture)),
        lattice: Some(lattice()),
        corner,
        patches: &[],
        marks: std::slice::from_ref(&mark),
    };
    let mut buf = Buffer::empty(Rect::new(0, 0, 60, rows));
    view.draw(buf.area, &mut buf, theme);
    buf
}

#[test]
fn lattice_corners_and_scores_are_seen_without_colour() {
    let theme = Theme::new(Depth::NoColour);
    insta::assert_snapshot!(synthetic::plain(&drawn(&theme, Some(0), (19.5, 19.5), 16)));
}

#[test]
fn half_blocks_carry_the_photos_colours() {
    for depth in [Depth::TrueColour, Depth::Indexed256, Depth::Ansi16] {
        let theme = Theme::new(depth);
        let buf = drawn(&theme, None, (19.5, 19.5), 16);
        // 48 columns of photo in the middle of 60: the first slice is bright, the tray dark
        let cell = &buf[(12, 2)];
        assert_eq!(cell.symbol(), "\u{2580}", "{depth:?}");
        let bright = crate::colour::lab::linear_to_srgb([0.8, 0.64, 0.48]);
        assert_eq!(cell.fg, theme.colour(coarse(bright, depth)), "{depth:?}");
        assert_ne!(cell.fg, buf[(7, 8)].fg, "{depth:?}");
        assert_eq!(
            buf[(0, 0)].symbol(),
            " ",
            "beside the photo nothing is drawn"
        );
    }
}

fn coarse(rgb: crate::colour::Rgb, depth: Depth) -> crate::colour::Rgb {
    match depth {
        Depth::TrueColour => rgb,
        Depth::Indexed256 | Depth::Ansi16 | Depth::NoColour => {
            crate::colour::Rgb(rgb.0 & 0xf8, rgb.1 & 0xf8, rgb.2 & 0xf8)
        }
    }
}

#[test]
fn cells_and_photo_pixels_name_the_same_place_at_any_zoom() {
    let size = (4000.0, 3000.0);
    for area in [Rect::new(3, 2, 52, 20), Rect::new(0, 0, 90, 30)] {
        for zoom in [1.0, 2.5, 16.0] {
            let window = Window::whole(size).zoomed(zoom, Point::new(900.0, 2000.0));
            let projection = Projection::new(area, size, window);
            for cell in [
                area.as_position(),
                Position::new(area.x + 17, area.y + 9),
                Position::new(area.right() - 1, area.bottom() - 1),
            ] {
                assert_eq!(projection.cell_of(projection.photo_at(cell)), Some(cell));
            }
        }
    }
}

#[test]
fn zooming_keeps_the_place_in_sight_and_stays_on_the_photo() {
    let size = (4000.0, 3000.0);
    let area = Rect::new(0, 0, 60, 20);
    let corner = Point::new(10.0, 20.0);
    let near = Window::whole(size).zoomed(8.0, corner);
    let projection = Projection::new(area, size, near);
    assert!(projection.cell_of(corner).is_some());
    let first = projection.photo_at(Position::new(0, 0));
    assert!(first.x >= -0.5 && first.y >= -0.5, "{first:?}");
    let out = near.zoomed(1e-3, corner);
    assert!((out.zoom() - 1.0).abs() < 1e-12);
}

#[test]
fn where_pixels_are_shown_the_cells_hold_the_words_alone() {
    let mut theme = Theme::new(Depth::TrueColour);
    theme.pixels = Some(crate::tui::graphics::Pixels::Sixel);
    let buf = drawn(&theme, Some(0), (59.5, 39.5), 20);
    let written: String = (buf.content.iter())
        .filter(|cell| cell.diff_option == CellDiffOption::None)
        .map(ratatui::buffer::Cell::symbol)
        .collect();
    assert_eq!(written, "back-leftback-right3.5front-leftfront-right");
}
