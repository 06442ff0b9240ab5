//! What was read from a photo, in plain characters.

use crate::{
    model::{shade::browning_per_shade, text::joined},
    numeric::normal::Z90,
    sampling::{LightKind, Measured, Pieces, Reference, Scores, SliceScore, Verdict, describe},
    units::no_negative_zero,
};
use std::fmt::Write as _;

/// Writes a table of shades and relative browning as the tray lies, then what the figures rest on.
pub fn photo_text(scores: &Scores, (rows, cols): (usize, usize)) -> String {
    let mut out = String::new();
    let cell = |row: usize, col: usize| &scores.places[row * cols + col].verdict;
    let mut table = |title: &str, text: &dyn Fn(&Verdict) -> String| {
        let _ = writeln!(out, "{title}");
        for row in 0..rows {
            let _ = write!(out, "  ");
            for col in 0..cols {
                let _ = write!(out, "{:>7}", text(cell(row, col)));
            }
            let _ = writeln!(out);
        }
    };
    let known = !scores.references.is_empty();
    let slice = |r: &Measured| matches!(r.kind, Reference::Slice { .. });
    let by_slice = scores.references.iter().any(slice);
    let mean = mean_shade(scores);
    let against = if known {
        "browning against the mean of the slices, % (back on top)"
    } else {
        "shades from the mean of the slices (back on top)"
    };
    table(against, &|v| match v {
        Verdict::Missing => "none".to_owned(),
        Verdict::Unread(_) => "?".to_owned(),
        Verdict::Read(s) => match s.relative {
            None if by_slice => "ref".to_owned(),
            None => "-".to_owned(),
            Some(share) if known => format!("{:.0}", share * 100.0),
            Some(_) => format!("{:+.1}", no_negative_zero(s.browning.shades() - mean, 1)),
        },
    });
    table("shade on the card, 0 untoasted to 9 burnt", &|v| match v {
        Verdict::Missing => "none".to_owned(),
        Verdict::Unread(_) => "?".to_owned(),
        Verdict::Read(s) => format!("{:.1}", s.shade.0),
    });
    table("lightness L* of the crumb", &|v| match v {
        Verdict::Missing => "none".to_owned(),
        Verdict::Unread(_) => "?".to_owned(),
        Verdict::Read(s) => format!("{:.0}", s.colour.l),
    });
    for sentence in sentences(scores) {
        let _ = writeln!(out, "{sentence}");
    }
    out
}

/// Returns the mean shade of the slices that are no reference.
fn mean_shade(scores: &Scores) -> f64 {
    let shades: Vec<f64> = scores
        .places
        .iter()
        .filter_map(|p| match &p.verdict {
            Verdict::Read(s) => s.relative.map(|_| s.browning.shades()),
            Verdict::Missing | Verdict::Unread(_) => None,
        })
        .collect();
    shades.iter().sum::<f64>() / shades.len().max(1) as f64
}

/// Says what the figures rest on, slice by slice where there is something to say.
pub fn sentences(scores: &Scores) -> Vec<String> {
    let mut said = vec![reference_sentence(scores), light_sentence(scores)];
    said.extend(interval_sentence(scores));
    for place in &scores.places {
        let name = format!("row {}, column {}", place.row + 1, place.col + 1);
        match &place.verdict {
            Verdict::Missing => said.push(format!("{name}: no slice lies there")),
            Verdict::Unread(why) => said.push(format!("{name} was not scored: {}", why.words())),
            Verdict::Read(_) if !place.flags.is_empty() => {
                let words = joined(place.flags.iter().map(|f| f.word()), ", ");
                said.push(format!("{name}: {words}"));
            }
            Verdict::Read(_) => {}
        }
    }
    said.extend(scores.warnings.iter().map(ToString::to_string));
    said
}

fn reference_sentence(scores: &Scores) -> String {
    if scores.references.is_empty() {
        return "reference: none, so shades are a guess; how the slices differ holds".to_owned();
    }
    let words = scores.references.iter().map(|r| {
        let how = if r.looked_for { " (found)" } else { "" };
        format!("{}{how}", describe(&r.kind))
    });
    format!("reference: {}", joined(words, ", "))
}

/// Says what would make the shades surer.
fn advice(scores: &Scores) -> &'static str {
    let cards = scores
        .references
        .iter()
        .filter(|r| !matches!(r.kind, Reference::Slice { .. }));
    match (scores.references.len(), cards.count()) {
        (0, _) => "a grey card beside the tray would help most",
        (_, 0 | 1) => "a white and a grey card beside the tray would help most",
        (_, _) => "white and grey are in sight, as they should be",
    }
}

fn light_sentence(scores: &Scores) -> String {
    let from = match scores.light.kind {
        LightKind::Background => "seen around the slices",
        LightKind::Turned => "seen in the second photo with the tray turned",
        LightKind::LensOnly => "lighting unknown, only the lens was corrected",
    };
    format!(
        "light: {:.0} % from the brightest to the dimmest slice taken out, {from}",
        scores.light.removed * 100.0
    )
}

/// Says how far a shade, and the order of two slices, can be trusted.
fn interval_sentence(scores: &Scores) -> Option<String> {
    let read: Vec<_> = scores
        .places
        .iter()
        .filter_map(|p| match &p.verdict {
            Verdict::Read(s) => s.relative.map(|_| s),
            Verdict::Missing | Verdict::Unread(_) => None,
        })
        .collect();
    let n = read.len() as f64;
    if read.is_empty() {
        return None;
    }
    let half = read
        .iter()
        .map(|s| (s.shade.2 - s.shade.1) / 2.0)
        .sum::<f64>()
        / n;
    // two slices at opposite edges: each has its own error, and the lean lies between them
    let lean = 2.0 * scores.light.lean;
    let apart = |s: &SliceScore| {
        let slope = (s.colour.l + 16.0) / 3.0;
        (2.0 * s.se * s.se + (slope * lean).powi(2)).sqrt() / s.colour.l.max(1.0)
    };
    let own = read.iter().map(|s| Z90 * apart(s)).sum::<f64>() / n / browning_per_shade();
    Some(format!(
        "trust: one slice against another to {own:.1} of a shade, the shade itself to {half:.1}; {}",
        advice(scores)
    ))
}

/// Writes a table of the pieces of a tray.
pub fn pieces_text(read: &Pieces) -> String {
    let mut out =
        String::from("piece   at x,y px (photo)   shades from the mean            lightness L*\n");
    let shades = || {
        let read = read.pieces.iter().filter_map(|p| p.score.as_ref().ok());
        read.filter(|s| s.relative.is_some())
            .map(|s| s.browning.shades())
    };
    let mean = shades().sum::<f64>() / shades().count().max(1) as f64;
    for (i, piece) in read.pieces.iter().enumerate() {
        let at = format!("{:.0},{:.0}", piece.centre.x, piece.centre.y);
        let number = i + 1;
        let _ = match &piece.score {
            Ok(score) => {
                let apart = no_negative_zero(score.browning.shades() - mean, 1);
                let relative = score
                    .relative
                    .map_or_else(|| "-".to_owned(), |_| format!("{apart:+.1}"));
                write!(
                    out,
                    "{number:<7} {at:<19} {relative:<30} {:.0}",
                    score.colour.l
                )
            }
            Err(why) => write!(out, "{number:<7} {at:<19} not read: {}", why.words()),
        };
        let words = joined(piece.flags.iter().map(|f| f.word()), ", ");
        let _ = writeln!(out, "{}{words}", if words.is_empty() { "" } else { "   " });
    }
    for warning in &read.warnings {
        let _ = writeln!(out, "{warning}");
    }
    out
}
