//! The figures behind a paper, as tables with the unit in each column's name.

use super::super::view::MapView;
use crate::{
    field::{Evidence, Range, ZoneKind},
    model::{Reading, ToastTest, shade::browning_per_shade},
    report::paper::{DataTable, Value},
};

fn words(text: impl Into<String>) -> Value {
    Value::Words(text.into())
}

/// Every slice of the tests.
pub(super) fn slices(tests: &[&ToastTest]) -> DataTable {
    let rows = tests
        .iter()
        .flat_map(|test| test.slices.iter().map(move |slice| (test, slice)))
        .map(|(test, slice)| {
            let (state, shade, lightness, sd) = match slice.reading {
                Reading::Unscored => ("unscored", f64::NAN, f64::NAN, f64::NAN),
                Reading::Skipped => ("skipped", f64::NAN, f64::NAN, f64::NAN),
                Reading::Missing => ("missing", f64::NAN, f64::NAN, f64::NAN),
                Reading::ByEye(shade) => ("by eye", shade.value(), f64::NAN, f64::NAN),
                Reading::Measured { lightness, sd } => ("measured", f64::NAN, lightness, sd),
            };
            vec![
                words(test.id.as_str()),
                words(test.when.to_string()),
                words(test.setup.mode.key()),
                Value::Number(test.setup.dial.0),
                Value::Number(f64::from(slice.rack)),
                Value::Number(slice.place.x.0),
                Value::Number(slice.place.y.0),
                words(state),
                Value::Number(shade),
                Value::Number(lightness),
                Value::Number(sd),
            ]
        })
        .collect();
    DataTable::new(
        "slices",
        "test when mode dial_c rack x_cm y_cm read shade lightness lightness_se",
        rows,
    )
}

/// Every cell of the maps: shade and difference from the rack's mean, with 90 % intervals.
pub(super) fn cells(view: &MapView) -> DataTable {
    let reading = view.reading();
    let mut rows = Vec::new();
    for map in &view.map.racks {
        let evidence = match map.evidence {
            Evidence::Tested => "tested",
            Evidence::Interpolated => "interpolated",
        };
        for i in 0..map.grid.len() {
            let (row, col) = (i / map.grid.cols, i % map.grid.cols);
            let shade = map.mean[i] / browning_per_shade();
            let between = map.interval(i);
            let c = reading.degrees(map.contrast[i], map.contrast_sd[i], map.level());
            let mut line = vec![Value::Number(f64::from(map.rack)), words(evidence)];
            line.extend(
                [
                    map.grid.x(col),
                    map.grid.y(row),
                    shade,
                    between.lo / browning_per_shade(),
                    between.hi / browning_per_shade(),
                    c.value,
                    c.lo,
                    c.hi,
                ]
                .map(Value::Number),
            );
            rows.push(line);
        }
    }
    DataTable::new(
        "map",
        "rack evidence x_cm y_cm shade shade_lo shade_hi difference_c difference_lo_c difference_hi_c",
        rows,
    )
}

fn three(range: Range) -> [Value; 3] {
    [range.value, range.lo, range.hi].map(Value::Number)
}

/// Evenness of every rack position.
pub(super) fn evenness(view: &MapView) -> DataTable {
    let rows = view
        .evenness
        .iter()
        .map(|e| {
            let mut line = vec![Value::Number(f64::from(e.rack))];
            for range in [e.spread, e.sd, e.sd_c, e.within_half] {
                line.extend(three(range));
            }
            line
        })
        .collect();
    DataTable::new(
        "evenness",
        "rack spread_shade spread_lo_shade spread_hi_shade sd_shade sd_lo_shade sd_hi_shade sd_c \
         sd_lo_c sd_hi_c within_half_share within_half_lo_share within_half_hi_share",
        rows,
    )
}

/// Every zone.
pub(super) fn zones(view: &MapView) -> DataTable {
    let rows = view
        .zones
        .iter()
        .map(|z| {
            let kind = match z.kind {
                ZoneKind::Hot => "hot",
                ZoneKind::Cool => "cool",
            };
            let mut line = vec![Value::Number(f64::from(z.rack)), words(kind)];
            line.extend([z.centre.0, z.centre.1, z.area, z.probability].map(Value::Number));
            line.extend(three(z.peak_c));
            line
        })
        .collect();
    DataTable::new(
        "zones",
        "rack kind x_cm y_cm area_cm2 probability peak_c peak_lo_c peak_hi_c",
        rows,
    )
}
