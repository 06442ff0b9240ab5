//! What is written is decoded again, by decoders of these tests.

use super::{encode, *};
use crate::{
    geometry::Point,
    report::PngError,
    tui::{
        graphics::Pixels,
        widgets::photo_view::{Lattice, Painting, Raster, Window, size_of},
    },
    workflow::photo::open_photo,
};
use base64::{Engine, engine::general_purpose::STANDARD};
use ratatui::{
    buffer::{Buffer, CellDiffOption},
    layout::{Rect, Size},
};
use std::{path::Path, sync::Arc};

const AREA: Rect = Rect::new(3, 2, 24, 9);

fn painting() -> Painting {
    let shot = open_photo(Path::new("tests/data/photos/cup.jpg")).unwrap();
    let (width, height) = size_of(&shot.photo.picture);
    let corner = |x: f64, y: f64| Point::new(width * x, height * y);
    Painting {
        window: Window::whole((width, height)),
        shot: Arc::new(shot),
        area: AREA,
        lattice: Some(Lattice {
            corners: [
                corner(0.2, 0.2),
                corner(0.8, 0.2),
                corner(0.8, 0.8),
                corner(0.2, 0.8),
            ],
            rows: 2,
            cols: 3,
        }),
        corner: Some(1),
        patches: Vec::new(),
    }
}

fn raster() -> Raster {
    painting().raster((240, 180))
}

fn pixels_of(png: &[u8]) -> Vec<u8> {
    let mut reader = png::Decoder::new(std::io::Cursor::new(png))
        .read_info()
        .unwrap();
    let mut bytes = vec![0; reader.output_buffer_size().unwrap()];
    let info = reader.next_frame(&mut bytes).unwrap();
    assert_eq!((info.width, info.height), (240, 180));
    assert_eq!(info.color_type, png::ColorType::Rgb);
    bytes
}

/// The protocol as its author describes it: messages of `ESC _ G keys ; base64 ESC \` (from memory).
#[test]
fn kitty_gets_the_picture_in_messages() {
    let raster = raster();
    let sent = encode::kitty(&raster, (24, 9)).unwrap();
    let messages: Vec<&str> = sent.split_terminator("\x1b\\").collect();
    let mut data = String::new();
    for (i, message) in messages.iter().enumerate() {
        let (keys, part) = message
            .strip_prefix("\x1b_G")
            .unwrap()
            .split_once(';')
            .unwrap();
        let last = i + 1 == messages.len();
        assert!(keys.ends_with(if last { "m=0" } else { "m=1" }), "{keys}");
        assert!(keys.contains("q=2"), "no answer that would be read as keys");
        assert!(part.len() <= 4096 && (last || part.len().is_multiple_of(4)));
        if i == 0 {
            for key in ["a=T", "f=100", "c=24", "r=9", "C=1", "z=-1073741825"] {
                assert!(keys.split(',').any(|k| k == key), "{key} of {keys}");
            }
        }
        data += part;
    }
    assert!(messages.len() > 1);
    assert_eq!(pixels_of(&STANDARD.decode(data).unwrap()), raster.rgb);
}

#[test]
fn iterm_gets_the_picture_as_a_file() {
    let raster = raster();
    let sent = encode::iterm(&raster, (24, 9)).unwrap();
    let body = sent
        .strip_prefix("\x1b]1337;File=")
        .unwrap()
        .strip_suffix('\x07')
        .unwrap();
    let (keys, data) = body.split_once(':').unwrap();
    let png = STANDARD.decode(data).unwrap();
    for key in [
        "inline=1",
        "width=24",
        "height=9",
        &format!("size={}", png.len()),
    ] {
        assert!(keys.split(';').any(|k| k == key), "{key} of {keys}");
    }
    assert_eq!(pixels_of(&png), raster.rgb);
}

/// Reads sixels as the VT340's manual has them (DEC STD 070, from memory): `#` colour, `!` repeat, `$` back to the left
/// edge, `-` next band, and characters from `?` as six pixels from the top down.
fn read_sixels(sent: &str) -> (usize, usize, Vec<Option<[u8; 3]>>) {
    let body = sent
        .strip_prefix("\x1bP0;1;0q\"")
        .unwrap()
        .strip_suffix("\x1b\\")
        .unwrap();
    let digits = |text: &str| {
        text.chars()
            .take_while(|c| c.is_ascii_digit() || *c == ';')
            .count()
    };
    let numbers =
        |text: &str| -> Vec<usize> { text.split(';').map(|n| n.parse().unwrap()).collect() };
    let (head, mut rest) = body.split_at(digits(body));
    let [1, 1, width, height] = numbers(head)[..] else {
        panic!("{head}")
    };
    let mut colours = vec![[0; 3]; 256];
    let mut pixels = vec![None; width * height];
    let (mut x, mut top, mut colour, mut times) = (0, 0, 0, 1);
    while let Some(c) = rest.chars().next() {
        rest = &rest[1..];
        match c {
            '#' | '!' => {
                let (said, after) = rest.split_at(digits(rest));
                rest = after;
                match (c, &numbers(said)[..]) {
                    ('!', &[n]) => times = n,
                    ('#', &[n]) => colour = n,
                    ('#', &[n, 2, r, g, b]) => {
                        colours[n] = [r, g, b].map(|v| u8::try_from(v * 255 / 100).unwrap());
                    }
                    other => panic!("{other:?}"),
                }
            }
            '$' => x = 0,
            '-' => (x, top) = (0, top + 6),
            '?'..='~' => {
                for dy in (0..6).filter(|dy| (u32::from(c) - 63) >> dy & 1 == 1) {
                    for x in x..x + times {
                        let pixel = &mut pixels[(top + dy) * width + x];
                        assert!(pixel.is_none(), "drawn twice");
                        *pixel = Some(colours[colour]);
                    }
                }
                (x, times) = (x + times, 1);
            }
            other => panic!("{other:?}"),
        }
    }
    (width, height, pixels)
}

#[test]
fn sixels_show_the_picture_to_a_colour_level_and_blocks_of_it_closely() {
    let raster = raster();
    let (width, height, pixels) = read_sixels(&encode::sixel(&raster, 1));
    assert_eq!((width, height), (240, 180));
    let pixels: Vec<[u8; 3]> = pixels
        .into_iter()
        .map(|p| p.expect("none is left out"))
        .collect();
    // levels are 255/5 apart, and percent are cut off
    for (shown, meant) in pixels.iter().flatten().zip(&raster.rgb) {
        assert!(shown.abs_diff(*meant) <= 55, "{shown} for {meant}");
    }
    let mean = |of: &dyn Fn(usize) -> u8, x: usize, y: usize| {
        let at = (0..16).map(|i| (y + i / 4) * 240 + x + i % 4);
        at.map(|at| f64::from(of(at))).sum::<f64>() / 16.0
    };
    for channel in [0, 1, 2] {
        let mut apart = 0.0;
        for block in 0..60 * 45 {
            let (x, y) = (block % 60 * 4, block / 60 * 4);
            let shown = mean(&|at| pixels[at][channel], x, y);
            apart += (shown - mean(&|at| raster.rgb[3 * at + channel], x, y)).abs();
        }
        let apart = apart / (60.0 * 45.0);
        assert!(apart < 6.0, "channel {channel}: {apart:.1} of 255");
    }
}

#[test]
fn coarse_sixels_cover_the_same_pixels_of_the_terminal() {
    let half = painting().raster((120, 90));
    let (width, height, pixels) = read_sixels(&encode::sixel(&half, 2));
    assert_eq!((width, height), (240, 180));
    assert!(pixels.iter().all(Option::is_some));
    for (i, pixel) in pixels.iter().enumerate() {
        let (x, y) = (i % 240, i / 240);
        assert_eq!(*pixel, pixels[y / 2 * 2 * 240 + x / 2 * 2]);
    }
}

#[test]
fn grid_and_corners_are_drawn_into_the_picture() {
    let with = raster();
    let without = Painting {
        lattice: None,
        corner: None,
        ..painting()
    }
    .raster((240, 180));
    let changed: Vec<(usize, usize)> = (0..240 * 180)
        .filter(|i| with.rgb[3 * i..3 * i + 3] != without.rgb[3 * i..3 * i + 3])
        .map(|i| (i % 240, i / 240))
        .collect();
    // 3 lines of 2 rows and 4 of 3 columns, two pixels thick, and the rings: the rest is the photo's own
    assert!((1000..5000).contains(&changed.len()), "{}", changed.len());
    let yellow = |at: &usize| with.rgb[3 * at..3 * at + 3] == [240, 200, 80];
    let ring = (0..240 * 180).filter(yellow).count();
    assert!(ring > 20, "the corner in hand is ringed: {ring}");
}

fn canvas(how: Pixels) -> Canvas {
    Canvas::new(how, Size::new(80, 24), Size::new(800, 480))
}

/// A frame with the photo's cells left free but for a word at `x`.
fn frame(x: u16) -> Buffer {
    let mut buffer = Buffer::empty(Rect::new(0, 0, 80, 24));
    for p in AREA.positions() {
        buffer[p].set_diff_option(CellDiffOption::Skip);
    }
    for (i, c) in (0..).zip("4.5".chars()) {
        buffer[(x + i, 5)].reset();
        buffer[(x + i, 5)].set_char(c);
    }
    buffer
}

#[test]
fn a_picture_is_sent_when_it_or_the_words_over_it_move_and_not_otherwise() {
    let mut painter = Painter::default();
    let mut sent = |painting: Option<Painting>, x| {
        let mut out = Vec::new();
        let wanted = painting.map(|p| (canvas(Pixels::Sixel), p));
        painter.paint(wanted, &frame(x), &mut out).unwrap();
        String::from_utf8(out).unwrap()
    };
    let still = painting();
    let first = sent(Some(still.clone()), 10);
    let (picture, words) = first.split_once("\x1b\\").unwrap();
    assert!(
        picture.contains("\x1b[3;4H\x1bP0;1;0q"),
        "at the photo's place"
    );
    assert!(
        words.contains("\x1b[6;11H") && words.contains("4.5"),
        "words over it: {words:?}"
    );
    assert_eq!(sent(Some(still.clone()), 10), "");
    assert!(sent(Some(still.clone()), 12).contains("\x1bP"));
    let moved = Painting {
        corner: Some(2),
        ..still
    };
    assert!(sent(Some(moved), 12).contains("\x1bP"));
}

/// Returns what is sent for a picture with a word at `x`.
fn sent(painter: &mut Painter, (terminal, picture): (Canvas, &Painting), x: u16) -> String {
    let mut out = Vec::new();
    let wanted = Some((terminal, picture.clone()));
    painter.paint(wanted, &frame(x), &mut out).unwrap();
    String::from_utf8(out).unwrap()
}

/// What a popup costs where the terminal keeps the picture below its cells: the cells it leaves.
#[test]
fn kitty_is_sent_a_picture_once_however_words_move_over_it() {
    let mut painter = Painter::default();
    let wanted = (canvas(Pixels::Kitty), &painting());
    let first = sent(&mut painter, wanted, 10);
    assert!(first.contains("\x1b_Ga=T") && first.len() > 10_000);
    let moved = sent(&mut painter, wanted, 12);
    assert!(!moved.contains("\x1b_G") && moved.len() < 100);
    assert!(moved.contains("\x1b[6;11H"), "what was bared: {moved:?}");
    assert_eq!(sent(&mut painter, wanted, 12), "");
}

#[test]
fn a_picture_is_sent_again_after_a_resize_and_after_a_stop() {
    let mut painter = Painter::default();
    let picture = painting();
    let whole = |sent: &str| sent.contains("\x1b_Ga=T");
    let small = (canvas(Pixels::Kitty), &picture);
    assert!(whole(&sent(&mut painter, small, 10)));
    let larger = Canvas::new(Pixels::Kitty, Size::new(100, 30), Size::new(1000, 600));
    let larger = (larger, &picture);
    assert!(whole(&sent(&mut painter, larger, 10)), "resized");
    assert_eq!(sent(&mut painter, larger, 10), "");
    let mut out = Vec::new();
    painter.take_away(&mut out).unwrap();
    assert_eq!(out, b"\x1b_Ga=d,d=I,i=7101,q=2\x1b\\", "stopped");
    assert!(whole(&sent(&mut painter, larger, 10)), "called back");
}

#[test]
fn a_terminal_that_tells_no_pixels_gets_cells_of_a_usual_size() {
    let (none, usual) = (Size::default(), Size::new(80, 24));
    let known = Canvas::new(Pixels::Kitty, usual, Size::new(800, 480));
    assert_eq!(Canvas::new(Pixels::Kitty, usual, none), known);
    // fewer pixels than cells, and no cells at all
    let odd = [Size::new(79, 23), Size::new(1, 1), none];
    for (cells, pixels) in odd.into_iter().flat_map(|p| [(usual, p), (none, p)]) {
        let terminal = Canvas::new(Pixels::Kitty, cells, pixels);
        let sent = sent(&mut Painter::default(), (terminal, &painting()), 10);
        assert!(sent.contains("c=24,r=9"), "{cells:?} {pixels:?}");
    }
}

/// Takes nothing, as a terminal that is gone.
struct Gone;

impl std::io::Write for Gone {
    fn write(&mut self, _bytes: &[u8]) -> std::io::Result<usize> {
        Err(std::io::ErrorKind::BrokenPipe.into())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

#[test]
fn a_picture_that_cannot_be_coded_is_not_a_terminal_that_is_gone() {
    let wanted = Some((canvas(Pixels::Kitty), painting()));
    let gone = Painter::default().paint(wanted, &frame(10), &mut Gone);
    assert!(matches!(gone, Err(PaintError::Terminal(_))), "{gone:?}");
    let refused = PaintError::from(PngError::Empty("picture"));
    assert!(matches!(refused, PaintError::Picture(_)), "{refused:?}");
}

#[test]
fn leaving_takes_the_picture_away() {
    let mut painter = Painter::default();
    let mut out = Vec::new();
    let wanted = Some((canvas(Pixels::Kitty), painting()));
    painter.paint(wanted, &frame(10), &mut out).unwrap();
    out.clear();
    let next = Buffer::empty(Rect::new(0, 0, 80, 24));
    painter.paint(None, &next, &mut out).unwrap();
    assert_eq!(
        String::from_utf8(out).unwrap(),
        "\x1b_Ga=d,d=I,i=7101,q=2\x1b\\"
    );
    // where pictures lie in the cells, every one of these is drawn again
    let drawn: Vec<(u16, u16)> = frame(10)
        .diff(&next)
        .into_iter()
        .map(|(x, y, _)| (x, y))
        .collect();
    assert!(AREA.positions().all(|p| drawn.contains(&(p.x, p.y))));
    let mut out = Vec::new();
    painter.paint(None, &next, &mut out).unwrap();
    assert!(out.is_empty(), "once");
}
