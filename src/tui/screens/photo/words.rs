//! What the photo screen says: the next key, what is in hand, what the light did, how far to trust it.

use super::{
    fit::side_word,
    state::{PhotoScreen, Sheet, Step, Work},
};
use crate::tui::prelude::*;
use crate::{
    model::Reading,
    sampling::{Flag, LightKind, Place, Reference, Scores, Verdict},
    tui::widgets::photo_view::{CORNERS, Mark},
};

/// A line of the panel beside the photo.
pub(super) type Said = (String, Role);

/// Returns the one line that tells what to do next.
pub(super) fn guide(screen: &PhotoScreen, shared: &Shared) -> String {
    if let Some(wait) = screen.wait {
        let seconds = shared.elapsed.saturating_sub(wait.since).as_secs();
        let what = match wait.what {
            Work::Opening { .. } => "opening the photo",
            Work::Looking => "looking for the slices",
            Work::Drawing => "drawing the tray",
            Work::Reading(_) => "reading the scores",
        };
        return format!("{what}, {seconds} s; Esc stops");
    }
    if screen.trouble.is_some() {
        return "read what is wrong; Esc closes it".to_owned();
    }
    match screen.step {
        Step::File { turned: false } => {
            "type, paste or drop the path of the photo, or choose with \u{2193}; Enter opens"
                .to_owned()
        }
        Step::File { turned: true } => {
            "the photo with the tray turned end for end: type, paste or choose, Enter".to_owned()
        }
        Step::Corners if screen.sheet.as_ref().is_some_and(|s| s.asked) => {
            "does the grid fit? Enter: it is right; Tab and arrows move a corner".to_owned()
        }
        Step::Corners if shared.photo_habits.back.is_none() => {
            "does every line part slices, is the back wall right (b)? Then Enter".to_owned()
        }
        Step::Corners => {
            "Tab takes a corner, arrows move it; Enter when the lines part the slices".to_owned()
        }
        Step::References => match screen.sheet.as_ref().and_then(|s| s.patch) {
            Some(_) => "move the patch onto the card, [ ] its size; Enter keeps it".to_owned(),
            None => {
                "Enter takes what was found; or u: this slice is untoasted, w, g: a card".to_owned()
            }
        },
        Step::Scores if screen.rack_named => format!(
            "arrows choose a slice, digits correct it; Enter: accept as rack {}",
            screen.rack
        ),
        Step::Scores => "arrows choose a slice, digits correct it; Enter: accept".to_owned(),
        Step::Rack => format!(
            "which rack position is it? its number, or Enter for rack {}",
            screen.rack
        ),
    }
}

/// Returns the three lines of what is wrong: what, with which file, what to do.
pub(super) fn trouble(screen: &PhotoScreen, words: &str) -> [Said; 3] {
    let (what, hint) = words
        .rsplit_once("; ")
        .unwrap_or((words, "try another photo"));
    let file = screen.sheet.as_ref().map_or_else(
        || screen.file.field.text().to_owned(),
        |sheet| {
            let name = sheet.shot.file.file_name();
            name.map_or_else(String::new, |n| n.to_string_lossy().into_owned())
        },
    );
    [
        (format!("Wrong: {what}."), Role::Wrong),
        (format!("With: {file}"), Role::Plain),
        (format!("Do: {hint}."), Role::Plain),
    ]
}

/// Returns what stands beside the photo at the present step.
pub(super) fn panel(screen: &PhotoScreen, sheet: &Sheet) -> Vec<Said> {
    match screen.step {
        Step::File { .. } => Vec::new(),
        Step::Corners => corners(sheet),
        Step::References => references(sheet),
        Step::Scores | Step::Rack => scores(screen, sheet),
    }
}

fn heading(words: &str) -> Said {
    (words.to_owned(), Role::Heading)
}

fn plain(words: impl Into<String>) -> Said {
    (words.into(), Role::Plain)
}

fn quiet(words: impl Into<String>) -> Said {
    (words.into(), Role::Quiet)
}

fn corners(sheet: &Sheet) -> Vec<Said> {
    let fit = &sheet.fit;
    let mut said = Vec::new();
    if sheet.asked
        && let Some(against) = sheet.doubt()
    {
        said.push(heading("Does the grid fit?"));
        said.push((capital(&against) + ".", Role::Caution));
        let counted = sheet.scores.as_ref().and_then(|(_, s)| s.grid.counted);
        said.extend(counted.map(|(r, c)| plain(format!("{r} rows and {c} columns are seen."))));
    }
    said.extend([
        heading("Grid"),
        plain(format!("{} rows, back to door (r R)", fit.rows)),
        plain(format!("{} columns across (o O)", fit.cols)),
        plain(format!("Back wall: picture's {} (b)", side_word(fit.back))),
        quiet(if fit.by_hand {
            "corners set by hand"
        } else if sheet.scores.is_some() {
            "corners found by themselves"
        } else {
            "corners not found yet"
        }),
        heading("Corner in hand"),
    ]);
    for (i, (name, corner)) in CORNERS.iter().zip(&fit.corners).enumerate() {
        let sign = if i == fit.corner { "\u{25b8}" } else { " " };
        let role = if i == fit.corner {
            Role::Plain
        } else {
            Role::Quiet
        };
        said.push((
            format!("{sign} {name} {:.0}, {:.0} px", corner.x, corner.y),
            role,
        ));
    }
    said.push(quiet(format!("shown {:.1} times", fit.window.zoom())));
    said
}

/// Returns a sentence with a capital at its beginning.
fn capital(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// Says what a reference is, in words.
fn reference_words(kind: &Reference) -> String {
    match kind {
        Reference::Slice { row, col } => {
            format!("untoasted slice, row {}, column {}", row + 1, col + 1)
        }
        Reference::White(_) => "white card or paper".to_owned(),
        Reference::Grey(_, lightness) => format!("grey of L* {lightness:.1}"),
    }
}

fn references(sheet: &Sheet) -> Vec<Said> {
    let mut said = vec![heading("Known lightness")];
    match (&sheet.patch, sheet.references.as_slice()) {
        (Some(patch), _) => {
            let what = patch.grey.map_or_else(
                || "white card or plain white paper".to_owned(),
                |l| format!("grey of L* {l:.1} (l, L change it)"),
            );
            said.push(plain(what));
            said.push(quiet(format!(
                "{:.0} x {:.0} px at {:.0}, {:.0}",
                patch.place.width, patch.place.height, patch.place.x, patch.place.y
            )));
        }
        (None, []) => said.extend(found_words(sheet)),
        (None, named) => said.extend(named.iter().map(|r| plain(reference_words(r)))),
    }
    let (row, col) = sheet.cursor;
    said.push(heading("Slice in hand"));
    said.push(plain(format!("row {} from the back", row + 1)));
    said.push(plain(format!("column {} from the left", col + 1)));
    said.push(quiet("Without anything known only differences count."));
    said
}

/// Says what was found by itself.
fn found_words(sheet: &Sheet) -> Vec<Said> {
    let Some((request, scores)) = &sheet.scores else {
        return vec![plain("looked for when the scores are read")];
    };
    if !request.references.is_empty() {
        return vec![plain("looked for when the scores are read")];
    }
    if scores.references.is_empty() {
        return vec![(
            "nothing was found; name a slice or a card".to_owned(),
            Role::Caution,
        )];
    }
    scores
        .references
        .iter()
        .map(|r| plain(format!("found: {}", reference_words(&r.kind))))
        .collect()
}

fn scores(screen: &PhotoScreen, sheet: &Sheet) -> Vec<Said> {
    let mut said = vec![heading(&format!("For rack {}", screen.rack))];
    let Some((_, scores)) = &sheet.scores else {
        said.push(quiet("no scores yet"));
        return said;
    };
    let (row, col) = sheet.cursor;
    said.push(plain(format!("Row {}, column {}:", row + 1, col + 1)));
    let place = scores
        .places
        .iter()
        .find(|p| (p.row, p.col) == sheet.cursor);
    said.extend(place.into_iter().flat_map(|p| slice_words(sheet, p)));
    let warnings = scores.warnings.iter();
    said.extend(warnings.map(|w| (format!("! {w}"), Role::Caution)));
    said.push(heading("Light"));
    said.push(plain(light_words(scores)));
    said.push(heading("Known lightness"));
    if scores.references.is_empty() {
        said.push(("nothing".to_owned(), Role::Caution));
    }
    said.extend(
        scores
            .references
            .iter()
            .map(|r| plain(reference_words(&r.kind))),
    );
    said.push(plain(trust_words(scores)));
    said.extend(helps(scores).map(quiet));
    said
}

/// Says what is known of one slice.
fn slice_words(sheet: &Sheet, place: &Place) -> Vec<Said> {
    let mut said = Vec::new();
    if let Some(reading) = sheet.by_eye((place.row, place.col)) {
        said.push((format!("corrected: {}", reading_words(reading)), Role::Good));
    }
    match place.verdict {
        Verdict::Missing => said.push(plain("no slice there")),
        Verdict::Unread(why) => said.push((format!("unread: {}", why.words()), Role::Caution)),
        Verdict::Read(score) => {
            let (shade, low, high) = score.shade;
            let known = sheet
                .scores
                .as_ref()
                .is_some_and(|(_, s)| !s.references.is_empty());
            if let Some(relative) = score.relative.filter(|_| known) {
                said.push(plain(format!(
                    "browning {:.0} % of the mean",
                    relative * 100.0
                )));
            }
            said.push(plain(format!("shade {shade:.1} ({low:.1} to {high:.1})")));
            said.push(quiet(format!(
                "L* {:.1} \u{b1} {:.1}",
                score.colour.l,
                score.give_or_take()
            )));
        }
    }
    if !place.flags.is_empty() {
        let words: Vec<&str> = place.flags.iter().map(|f| f.word()).collect();
        said.push(quiet(words.join(", ")));
    }
    said
}

fn reading_words(reading: Reading) -> String {
    match reading {
        Reading::ByEye(shade) => format!("shade {shade} by eye"),
        Reading::Missing => "no slice".to_owned(),
        Reading::Skipped => "left out".to_owned(),
        Reading::Unscored => "not scored".to_owned(),
        Reading::Measured { lightness, .. } => format!("L* {lightness:.1}"),
    }
}

/// Says what was done about the light.
fn light_words(scores: &Scores) -> String {
    let share = scores.light.removed * 100.0;
    match scores.light.kind {
        LightKind::Background => {
            format!("told by the ground around the slices; {share:.0} % taken out")
        }
        LightKind::Turned => format!("cancelled by the turned photo; {share:.0} % taken out"),
        LightKind::LensOnly => {
            format!("Lighting unknown; only the lens was corrected ({share:.0} %).")
        }
    }
}

/// Says what would make the shades surer.
fn helps(scores: &Scores) -> Option<&'static str> {
    let cards = |r: &&crate::sampling::Measured| !matches!(r.kind, Reference::Slice { .. });
    match scores.references.iter().filter(cards).count() {
        0 => Some("A grey card beside the tray would help most."),
        1 => Some("A second card, white and grey, would help most."),
        _ => None,
    }
}

/// Says how far the absolute shade can be trusted: the usual half of its 90 % interval.
fn trust_words(scores: &Scores) -> String {
    let halves: Vec<f64> = scores
        .places
        .iter()
        .filter_map(|p| match p.verdict {
            Verdict::Read(s) => Some((s.shade.2 - s.shade.1) / 2.0),
            Verdict::Missing | Verdict::Unread(_) => None,
        })
        .collect();
    if halves.is_empty() {
        return "no slice was read".to_owned();
    }
    let mean = halves.iter().sum::<f64>() / halves.len() as f64;
    if scores.references.is_empty() {
        format!(
            "Trust the differences between slices. The shades themselves are a guess (\u{b1} {mean:.1})."
        )
    } else {
        format!("Shades are good to \u{b1} {mean:.1}, differences better")
    }
}

/// Returns what is written over the picture, for each slice one or two short texts.
///
/// `line` is one row of the screen in pixels of the photo; `roomy` tells whether a slice has a second.
pub(super) fn marks(sheet: &Sheet, step: Step, (line, roomy): (f64, bool)) -> Vec<Mark> {
    match step {
        Step::File { .. } | Step::Corners => Vec::new(),
        Step::References => sheet
            .fit
            .place(sheet.cursor.0, sheet.cursor.1)
            .map(|at| Mark {
                at,
                text: "here".to_owned(),
                role: Role::Chosen,
            })
            .into_iter()
            .chain(named_marks(sheet))
            .collect(),
        Step::Scores | Step::Rack => sheet
            .scores
            .iter()
            .flat_map(|(_, scores)| &scores.places)
            .flat_map(|place| place_marks(sheet, place, line, roomy))
            .collect(),
    }
}

/// Marks the slices named as untoasted.
fn named_marks(sheet: &Sheet) -> Vec<Mark> {
    sheet
        .references
        .iter()
        .filter_map(|r| match r {
            Reference::Slice { row, col } if (*row, *col) != sheet.cursor => Some(Mark {
                at: sheet.fit.place(*row, *col)?,
                text: "untoasted".to_owned(),
                role: Role::Caution,
            }),
            Reference::Slice { .. } | Reference::White(_) | Reference::Grey(..) => None,
        })
        .collect()
}

fn place_marks(sheet: &Sheet, place: &Place, line: f64, roomy: bool) -> Vec<Mark> {
    let here = (place.row, place.col);
    let by_eye = sheet.by_eye(here);
    let (text, role) = match (by_eye, place.verdict) {
        (Some(Reading::ByEye(shade)), _) => (format!("{shade}*"), Role::Good),
        (Some(Reading::Missing), _) => ("none*".to_owned(), Role::Good),
        (Some(_), _) => ("out*".to_owned(), Role::Good),
        (None, Verdict::Missing) => ("missing".to_owned(), Role::Quiet),
        (None, Verdict::Unread(_)) => ("unread".to_owned(), Role::Wrong),
        (None, Verdict::Read(score)) => (format!("{:.1}", score.shade.0), Role::Plain),
    };
    let chosen = sheet.cursor == here;
    let mut marks = vec![Mark {
        at: place.centre,
        text: if chosen {
            format!("\u{25b8}{text}\u{25c2}")
        } else {
            text
        },
        role: if chosen { Role::Chosen } else { role },
    }];
    let flag = place.flags.first().filter(|_| roomy);
    marks.extend(flag.map(|flag| Mark {
        at: crate::geometry::Point::new(place.centre.x, place.centre.y + line),
        text: if *flag == Flag::Reference {
            "untoasted".to_owned()
        } else {
            flag.word().to_owned()
        },
        role: Role::Caution,
    }));
    marks
}

/// Returns the outline of a named patch.
pub(super) fn outline(reference: &Reference) -> Option<[crate::geometry::Point; 4]> {
    match reference {
        Reference::Slice { .. } => None,
        Reference::White(place) | Reference::Grey(place, _) => Some(place.corners()),
    }
}
