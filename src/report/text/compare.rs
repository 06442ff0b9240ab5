//! Before and after in plain characters: maps side by side on one scale, then what changed.

use super::{
    lines::wrapped,
    picture::{Characters, legend_text, picture},
};
use crate::{
    compare::{Comparison, RackComparison},
    field::RackMap,
    model::{TestId, Warning, text::listed},
    report::quantity::{Quantity, Scale},
};

/// Columns of each of two pictures that stand side by side, walls not included.
const HALF: usize = 37;

/// What a comparison's text is made from.
#[derive(Debug, Clone, Copy)]
pub struct CompareSheet<'a> {
    /// The comparison.
    pub comparison: &'a Comparison,
    /// The tests of before and after.
    pub tests: &'a (Vec<TestId>, Vec<TestId>),
    /// Plain sentences.
    pub findings: &'a [String],
    /// What stands against it.
    pub warnings: &'a [Warning],
    /// What the pictures show.
    pub quantity: Quantity,
}

/// Writes before and after of every rack side by side, the change under them, then findings, the
/// plain paired tests and what stands against comparing.
pub fn compare_text(sheet: &CompareSheet) -> String {
    let racks = &sheet.comparison.racks;
    let sides = racks.iter().flat_map(|r| [&r.before, &r.after]);
    let scale = Scale::over(sheet.quantity, sides);
    let changes = racks.iter().map(|r| &r.change_on_level);
    let of_change = Scale::over(sheet.quantity, changes.clone());
    let mut out = String::new();
    for (rack, change) in racks.iter().zip(changes) {
        out.push_str(&side_by_side(rack, &scale));
        let title = format!(" rack {}, change ", rack.rack);
        for line in picture(change, &of_change, Characters::Ascii, (HALF, &title)) {
            out.push_str(&line);
            out.push('\n');
        }
        out.push('\n');
    }
    out.push_str("before and after, both at the level of before\n");
    out.push_str(&legend_text(&scale, Characters::Ascii));
    out.push_str("\nchange, after minus before, against the rack's own mean\n");
    out.push_str(&legend_text(&of_change, Characters::Ascii));
    out.push('\n');
    let (before, after) = sheet.tests;
    if before.len() + after.len() > 2 {
        let tests = format!("Before: {}. After: {}.", listed(before), listed(after));
        out.push_str(&wrapped(&tests, "* ", "  "));
    }
    for finding in sheet.findings {
        out.push_str(&wrapped(finding, "* ", "  "));
    }
    for rack in racks {
        out.push_str(&paired_text(rack));
    }
    for warning in sheet.warnings {
        out.push_str(&wrapped(&warning.to_string(), "! ", "  "));
    }
    out
}

fn side_by_side(rack: &RackComparison, scale: &Scale) -> String {
    let draw = |map: &RackMap, when: &str| {
        let title = format!(" rack {}, {when} ", rack.rack);
        picture(map, scale, Characters::Ascii, (HALF, &title))
    };
    let mut out = String::new();
    for (before, after) in draw(&rack.before, "before")
        .iter()
        .zip(draw(&rack.after, "after"))
    {
        out.push_str(before);
        out.push_str(&after);
        out.push('\n');
    }
    out
}

/// Writes the check that needs no model: whether same places came out alike, level included.
fn paired_text(rack: &RackComparison) -> String {
    let Some(tests) = rack.paired else {
        return String::new();
    };
    let chance = |p: f64| match p * 1000.0 {
        few if few < 1.0 => "less than once in 1000 tests".to_owned(),
        often => format!("{often:.0} times in 1000 tests"),
    };
    let mean = tests.t.map_or_else(
        || "every pair differs by the same".to_owned(),
        |t| format!("such a mean shows {} (paired t {t:.2})", chance(tests.p)),
    );
    let line = format!(
        "rack {}, {} pairs of slices in the same places, without a map. If nothing changed: {mean}, such ranks {} (signed ranks {})",
        rack.rack,
        tests.n,
        chance(tests.p_w),
        tests.w,
    );
    wrapped(&line, "  ", "    ")
}
