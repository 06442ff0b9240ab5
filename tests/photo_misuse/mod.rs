//! What people do wrong with a photo, one mistake at a time, and whether it is noticed.

use rackshade::{
    geometry::{Homography, Point},
    sampling::{Picture, Reference, Request, read},
};

/// The mistakes, each with the reading that it asks for: `right` has the corners and references as they are,
/// `toast` two places of toasted slices.
pub(crate) fn mistakes(right: &Request, toast: &[usize]) -> Vec<(&'static str, Request)> {
    let corners = right.corners.expect("corners are known");
    let map = Homography::of_unit_square(&corners).expect("a grid");
    let (w, h) = (1.0 / right.cols as f64, 1.0 / right.rows as f64);
    let with = |corners: [Point; 4]| Request {
        corners: Some(corners),
        ..right.clone()
    };
    // corners of the grid moved and grown, in shares of the grid
    let moved = |(x, y): (f64, f64), (wide, deep): (f64, f64)| {
        with(
            [(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)]
                .map(|(u, v)| map.map(Point::new(0.5 + x + u * wide, 0.5 + y + v * deep))),
        )
    };
    let mut all = Vec::new();
    for corners in [right.corners, None] {
        for (rows, cols) in [(1, 0), (-1, 0), (0, 1), (0, -1)] {
            let rows = right.rows.saturating_add_signed(rows);
            let cols = right.cols.saturating_add_signed(cols);
            all.push((
                "counts off by one",
                Request {
                    rows,
                    cols,
                    corners,
                    ..right.clone()
                },
            ));
        }
    }
    for way in [(w, 0.0), (-w, 0.0), (0.0, h), (0.0, -h)] {
        all.push(("corners a place off", moved(way, (1.0, 1.0))));
    }
    for turns in 1..4 {
        let mut turned = corners;
        turned.rotate_left(turns);
        all.push(("corners a turn off", with(turned)));
    }
    all.push((
        "corners on the middles of slices",
        moved((0.0, 0.0), (1.0 - w, 1.0 - h)),
    ));
    all.push(("corners outside the picture", moved((1.5, 0.0), (1.0, 1.0))));
    all.push(("corners outside the picture", moved((0.0, 0.0), (1.6, 1.6))));
    for place in toast {
        let (row, col) = (place / right.cols, place % right.cols);
        let references = vec![Reference::Slice { row, col }];
        all.push((
            "toast named as untoasted",
            Request {
                references,
                ..right.clone()
            },
        ));
    }
    all
}

/// The right readings: exact corners, corners off by up to a tenth of a step three times, corners looked for.
pub(crate) fn right_uses(right: &Request) -> Vec<(&'static str, Request)> {
    let corners = right.corners.expect("corners are known");
    let step = corners[0].distance(corners[1]) / right.cols as f64;
    let off = |k: usize| {
        std::array::from_fn(|i| {
            let way = (k * 4 + i) as f64 * 2.4;
            Point::new(
                corners[i].x + 0.1 * step * way.cos(),
                corners[i].y + 0.1 * step * way.sin(),
            )
        })
    };
    let with = |corners| Request {
        corners,
        ..right.clone()
    };
    let mut all = vec![
        ("exact corners", right.clone()),
        ("corners looked for", with(None)),
    ];
    all.extend((0..3).map(|k| ("corners a tenth of a step off", with(Some(off(k))))));
    all
}

/// Returns the warnings of a reading; `None` where it is refused.
pub(crate) fn words(picture: &Picture, asked: &Request) -> Option<Vec<String>> {
    let scores = read(picture, asked).ok()?;
    Some(scores.warnings.into_iter().map(|w| w.what).collect())
}

/// Tells whether a reading is refused or comes with a warning that is not `usual` for the photo.
pub(crate) fn is_noticed(picture: &Picture, usual: &[String], asked: &Request) -> bool {
    words(picture, asked).is_none_or(|said| said.iter().any(|what| !usual.contains(what)))
}

/// Tells whether a reading comes without a doubt about the grid.
pub(crate) fn is_read(picture: &Picture, asked: &Request) -> bool {
    read(picture, asked).is_ok_and(|scores| !scores.grid.is_doubtful())
}
