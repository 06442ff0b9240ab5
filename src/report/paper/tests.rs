use super::{
    font::Weight,
    page::{Item, Page},
    *,
};
use crate::{
    field::{RackMap, Range, Strength, Zone, ZoneKind},
    geometry::Grid,
    model::shade::browning_per_shade,
    report::{Quantity, Scale},
    units::{LengthUnit, TemperatureUnit},
};

const REGULAR: &[u8] = include_bytes!("../../../assets/fonts/paper-regular.ttf");
const BOLD: &[u8] = include_bytes!("../../../assets/fonts/paper-bold.ttf");

fn fonts() -> Fonts {
    Fonts::new(REGULAR, BOLD).unwrap()
}

fn rack(number: u8) -> RackMap {
    let grid = Grid::new(12, 9, 60.0, 45.0);
    let mean: Vec<f64> = (0..grid.len())
        .map(|i| (3.0 + grid.x(i % 12) / 20.0) * browning_per_shade())
        .collect();
    let sd = vec![0.02; mean.len()];
    RackMap::tested(number, grid, mean, sd)
}

fn document(one_page: bool, rows: usize) -> Document {
    let long =
        "turn the tray front to back and move it one rack position up, then watch it".to_owned();
    let figures: Vec<MapFigure> = (1..=5)
        .map(|n| MapFigure {
            title: format!("Rack {n}"),
            map: rack(n),
            zones: Vec::new(),
            even: true,
            words: vec!["hot back-right: +14 F (+8 to +20)".to_owned()],
        })
        .collect();
    let quantity = Quantity::Degrees {
        unit: TemperatureUnit::Fahrenheit,
        per_c: 0.041,
    };
    Document {
        kind: "card",
        title: "An oven with a rather long name, by the window & <the door>".to_owned(),
        subtitle: "2026-04-20".to_owned(),
        foot: "the foot".to_owned(),
        front: None,
        one_page,
        lengths: LengthUnit::Centimetres,
        blocks: vec![
            Block::Heading("Table".to_owned()),
            Block::Table(Table {
                head: vec![
                    "bake".to_owned(),
                    "what | to do".to_owned(),
                    "set".to_owned(),
                ],
                rows: vec![
                    vec![
                        "thin cookies".to_owned(),
                        long.repeat(2),
                        "350 F".to_owned()
                    ];
                    rows
                ],
            }),
            Block::Heading("Maps".to_owned()),
            Block::Maps(Maps {
                scale: Scale::over(quantity, figures.iter().map(|f| &f.map)),
                figures,
                in_pairs: false,
            }),
            Block::Points(vec![long.clone(); 3]),
            Block::Cautions(vec![long]),
        ],
        data: vec![DataTable {
            name: "dial",
            columns: vec!["recipe_c", "basis"],
            rows: vec![vec![
                Value::Number(177.0),
                Value::Words("a \"word\", b".to_owned()),
            ]],
        }],
    }
}

/// Returns every line of letters with its left, right, top and bottom.
fn boxes(page: &Page, fonts: &Fonts) -> Vec<(String, [f64; 4])> {
    page.items
        .iter()
        .filter_map(|item| match item {
            Item::Words(w) => {
                let width = fonts.width(&w.text, w.weight, w.size);
                let left = match w.anchor {
                    page::Anchor::Start => w.x,
                    page::Anchor::Middle => w.x - width / 2.0,
                    page::Anchor::End => w.x - width,
                };
                let edges = [left, left + width, w.y - 0.72 * w.size, w.y + 0.15 * w.size];
                Some((w.text.clone(), edges))
            }
            Item::Fill(..) | Item::Outline(..) | Item::Lines(..) | Item::Dots(..) => None,
        })
        .collect()
}

#[test]
fn no_words_leave_the_page_or_touch_each_other_at_either_size() {
    let fonts = fonts();
    let mut seen = 0;
    for (one_page, rows) in [(true, 4), (false, 40)] {
        for size in PageSize::ALL {
            let (width, height) = size.millimetres();
            for page in flow::pages(&document(one_page, rows), size, &fonts).unwrap() {
                let all = boxes(&page, &fonts);
                for (i, (text, [l, r, t, b])) in all.iter().enumerate() {
                    assert!(
                        *l > 5.0 && *r < width - 5.0 && *t > 5.0 && *b < height - 5.0,
                        "{size:?}: '{text}' {l} {r} {t} {b}"
                    );
                    for (other, [ol, or, ot, ob]) in &all[..i] {
                        let apart = r <= ol || or <= l || b <= ot || ob <= t;
                        assert!(apart, "{size:?}: '{text}' over '{other}'");
                    }
                    seen += 1;
                }
            }
        }
    }
    assert!(seen > 500, "{seen}");
}

/// Level lines with the place of their left and right ends.
fn level_lines(items: &[Item]) -> Vec<(f64, f64)> {
    items
        .iter()
        .filter_map(|item| match item {
            Item::Lines(pieces, thick, _) if (thick - figure::RULE).abs() < 1e-9 => Some(pieces),
            Item::Lines(..)
            | Item::Words(..)
            | Item::Fill(..)
            | Item::Outline(..)
            | Item::Dots(..) => None,
        })
        .flatten()
        .map(|[a, b]| (a.0, b.0))
        .collect()
}

#[test]
fn without_colour_the_cold_side_is_told_by_level_lines() {
    let fonts = fonts();
    let map = rack(1);
    let quantity = Quantity::Degrees {
        unit: TemperatureUnit::Fahrenheit,
        per_c: 0.041,
    };
    let of = |quantity| {
        let scale = Scale::over(quantity, [&map]);
        let drawn = MapFigure {
            title: "Rack 1".to_owned(),
            map: map.clone(),
            zones: Vec::new(),
            even: true,
            words: Vec::new(),
        };
        let (mut picture, mut legend) = (Vec::new(), Vec::new());
        figure::draw(&mut picture, &drawn, &scale, &fonts, (0.0, 0.0, 60.0, 3.0));
        figure::legend(&mut legend, &scale, false, (0.0, 0.0, 60.0, 3.0));
        (level_lines(&picture), level_lines(&legend))
    };
    // Its browning rises from left to right, and its mean is in the middle.
    let (picture, legend) = of(quantity);
    assert!(picture.len() > 20, "{}", picture.len());
    assert!(
        picture.iter().all(|(_, right)| *right < 31.0),
        "{picture:?}"
    );
    assert!(!legend.is_empty() && legend.iter().all(|(_, right)| *right < 31.0));
    let (picture, legend) = of(Quantity::Shade);
    assert!(picture.is_empty() && legend.is_empty());
}

#[test]
fn before_stands_beside_after() {
    let fonts = fonts();
    for racks in 1..=6_u8 {
        let figures: Vec<MapFigure> = (1..=racks)
            .flat_map(|n| [(n, "before"), (n, "after")])
            .map(|(n, when)| MapFigure {
                title: format!("Rack {n} {when}"),
                map: rack(n),
                zones: Vec::new(),
                even: true,
                words: Vec::new(),
            })
            .collect();
        let mut paper = document(false, 1);
        paper.blocks = vec![Block::Maps(Maps {
            scale: Scale::over(Quantity::Shade, figures.iter().map(|f| &f.map)),
            figures,
            in_pairs: true,
        })];
        let places: Vec<(String, [f64; 4])> = flow::pages(&paper, PageSize::A4, &fonts)
            .unwrap()
            .iter()
            .flat_map(|page| boxes(page, &fonts))
            .filter(|(text, _)| text.starts_with("Rack "))
            .collect();
        assert_eq!(places.len(), 2 * usize::from(racks));
        for pair in places.chunks(2) {
            let ([left, .., base], [right, .., other]) = (pair[0].1, pair[1].1);
            assert!(left < right && (base - other).abs() < 1e-9, "{pair:?}");
        }
    }
}

#[test]
fn a_card_is_one_page_or_says_that_it_cannot_be() {
    let fonts = fonts();
    assert_eq!(
        flow::pages(&document(true, 4), PageSize::Letter, &fonts)
            .unwrap()
            .len(),
        1
    );
    assert!(
        flow::pages(&document(false, 60), PageSize::A4, &fonts)
            .unwrap()
            .len()
            > 1
    );
    let said = flow::pages(&document(true, 200), PageSize::A4, &fonts).unwrap_err();
    assert!(
        said.to_string().contains("does not fit on one page"),
        "{said}"
    );
}

#[test]
fn lines_are_broken_by_the_fonts_own_widths() {
    let fonts = fonts();
    let text = "a baker has to get the same even bake from whatever oven is in front of them";
    let lines = fonts.wrap(text, Weight::Regular, 3.0, 40.0);
    assert_eq!(lines.join(" "), text);
    assert!(lines.len() > 2);
    assert!(
        lines
            .iter()
            .all(|l| fonts.width(l, Weight::Regular, 3.0) <= 40.0)
    );
    let word = fonts.wrap(&"w".repeat(100), Weight::Bold, 3.0, 40.0);
    assert_eq!(word.concat().len(), 100);
    // Advance widths of DejaVu Sans Condensed 2.37, in 2048ths of an em: M 1590, i 512 (its hmtx
    // table, read with fontTools).
    let width = fonts.width("Mi", Weight::Regular, 2048.0);
    assert!((width - 2102.0).abs() < 1e-9, "{width}");
    assert_eq!(fonts.printable("a\u{1f35e}\tb"), "a? b");
}

#[test]
fn pictures_are_as_large_as_their_paper_and_not_blank() {
    let fonts = fonts();
    let png = &write(&document(true, 2), PaperFormat::Png, PageSize::A4, &fonts).unwrap()[0];
    let picture = image::load_from_memory(png).unwrap().to_luma8();
    assert_eq!((picture.width(), picture.height()), (1654, 2339));
    let dark = picture.pixels().filter(|p| p[0] < 100).count();
    assert!(dark > 10_000, "{dark}");
}

#[test]
fn svg_has_millimetres_and_text_in_a_font_of_its_own() {
    let svg = &write(
        &document(true, 2),
        PaperFormat::Svg,
        PageSize::Letter,
        &fonts(),
    )
    .unwrap()[0];
    let text = std::str::from_utf8(svg).unwrap();
    assert!(text.contains("width=\"215.9mm\" height=\"279.4mm\""));
    assert!(text.contains("@font-face") && text.contains(">thin cookies</text>"));
}

/// The front of a card with the racks `from` to `to`.
fn front(racks: u8, name: &str, lines: usize) -> Front {
    let zone = |kind, strength, x, y| Zone {
        rack: 1,
        kind,
        strength,
        around: Vec::new(),
        centre: (x, y),
        area: 100.0,
        probability: 0.97,
        peak_shade: Range::of_samples(&[1.0]),
        peak_c: Range::of_samples(&[6.0]),
        cells: vec![(0, 0), (0, 1)],
    };
    let zones = vec![
        zone(ZoneKind::Hot, Strength::Plain, 10.0, 40.0),
        zone(ZoneKind::Cool, Strength::Probable, 10.0, 36.0),
        zone(ZoneKind::Hot, Strength::Plain, 59.0, 2.0),
    ];
    let figures: Vec<MapFigure> = (1..=racks)
        .map(|n| MapFigure {
            title: format!("Rack {n}"),
            map: rack(n),
            zones: zones.clone(),
            even: true,
            words: Vec::new(),
        })
        .collect();
    Front {
        name: name.to_owned(),
        set: Some("set 335 for 350, 435 for 450 F".to_owned()),
        mode: "no fan".to_owned(),
        maps: Maps {
            scale: Scale::over(Quantity::Shade, figures.iter().map(|f| &f.map)),
            figures,
            in_pairs: false,
        },
        to_do: vec![
            "Two trays: racks 2 and 4. At 9 of 13 min swap racks 2 and 4, turn both trays front to back."
                .to_owned();
            lines
        ],
        tested: "tested 11 April 2026".to_owned(),
    }
}

/// The task: nothing under 12 points, the first line 24 or more, for every number of racks an oven has, and the
/// longest name the program takes (80 letters).
#[test]
fn a_front_is_large_print_that_neither_leaves_the_page_nor_touches() {
    let fonts = fonts();
    let long = "the old oven by the window of the second teaching kitchen, up the stairs and left";
    let mut seen = 0;
    for size in PageSize::ALL {
        for racks in 0..=6 {
            for (name, lines) in [("wall oven", 2), (long, 3)] {
                let page = front::page(&front(racks, name, lines), size, &fonts);
                let all: Vec<_> = boxes(&page, &fonts);
                let sizes = page.items.iter().filter_map(|item| match item {
                    Item::Words(w) => Some(w.size / front::POINT),
                    _ => None,
                });
                let sizes: Vec<f64> = sizes.collect();
                assert!(sizes.iter().all(|s| *s > 11.99), "{racks} {sizes:?}");
                assert!(sizes[0] > 23.99, "{sizes:?}");
                let (width, height) = size.millimetres();
                for (i, (text, [l, r, t, b])) in all.iter().enumerate() {
                    let inside = *l > 10.0 && *r < width - 10.0 && *t > 10.0 && *b < height - 10.0;
                    assert!(inside, "{racks} '{text}' {l} {r} {t} {b}");
                    for (other, [ol, or, ot, ob]) in &all[..i] {
                        let apart = r <= ol || or <= l || b <= ot || ob <= t;
                        assert!(apart, "{size:?} {racks}: '{text}' over '{other}'");
                    }
                    seen += 1;
                }
                assert_eq!(all.iter().any(|(t, _)| t == "HOT"), racks > 0);
            }
        }
    }
    assert!(seen > 300, "{seen}");
}

#[test]
fn marks_in_a_bakers_words_stay_words() {
    let fonts = fonts();
    let of = |format| {
        let files = write(&document(false, 1), format, PageSize::A4, &fonts).unwrap();
        String::from_utf8(files[0].clone()).unwrap()
    };
    let html = of(PaperFormat::Html);
    assert!(html.contains("&amp; &lt;the door&gt;") && !html.contains("<the door>"));
    let markdown = of(PaperFormat::Markdown);
    assert!(markdown.contains("\\<the door\\>") && markdown.contains("what \\| to do"));
    let csv = of(PaperFormat::Csv);
    assert!(csv.contains("dial,1,basis,\"a \"\"word\"\", b\""), "{csv}");
    let json: serde_json::Value = serde_json::from_str(&of(PaperFormat::Json)).unwrap();
    assert_eq!(json["tables"]["dial"][0]["recipe_c"], 177.0);
}
