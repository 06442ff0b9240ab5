//! Values that differ by two things at once, such as place and sitting: what one of the two adds.
//!
//! Value = row + column by least squares (Fisher's analysis of a table with empty cells; textbook method, shown by its
//! tests). Columns are taken out first: each value less the mean of its column. Rows that no chain of shared columns
//! connects cannot be compared; each group of connected rows stands about its own mean.

use super::estimate::Estimate;
use nalgebra::{DMatrix, DVector};

/// A value that stands in one row and one column; there may be several in one place of the table, and none in others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cell {
    /// The row, from 0.
    pub row: usize,
    /// The column, from 0.
    pub column: usize,
    /// The value.
    pub value: Estimate,
}

/// What a row adds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RowEffect {
    /// The row.
    pub row: usize,
    /// The least row of those it is connected with: rows of another group cannot be compared with it.
    pub group: usize,
    /// How the row differs from the mean over the rows of its group.
    pub against: Estimate,
}

/// Finds what each row adds, in the order of the rows.
pub fn row_effects(cells: &[Cell]) -> Vec<RowEffect> {
    let rows = cells.iter().map(|c| c.row + 1).max().unwrap_or(0);
    let groups = groups(cells, rows);
    let mut found: Vec<RowEffect> = (0..rows)
        .filter(|row| groups[*row] == *row)
        .flat_map(|group| {
            let own: Vec<Cell> = cells
                .iter()
                .copied()
                .filter(|c| groups[c.row] == group)
                .collect();
            of_group(group, &own)
        })
        .collect();
    found.sort_by_key(|effect| effect.row);
    found
}

/// Names for every row the least row that shared columns connect it with.
fn groups(cells: &[Cell], rows: usize) -> Vec<usize> {
    let mut group: Vec<usize> = (0..rows).collect();
    let mut by_column: Vec<(usize, usize)> = cells.iter().map(|c| (c.column, c.row)).collect();
    by_column.sort_unstable();
    for pair in by_column.windows(2).filter(|pair| pair[0].0 == pair[1].0) {
        let (a, b) = (group[pair[0].1], group[pair[1].1]);
        let (least, other) = (a.min(b), a.max(b));
        for own in &mut group {
            if *own == other {
                *own = least;
            }
        }
    }
    group
}

/// The effects of rows that are all connected; of one row alone it is nothing.
fn of_group(group: usize, cells: &[Cell]) -> Vec<RowEffect> {
    let mut rows: Vec<usize> = cells.iter().map(|c| c.row).collect();
    rows.sort_unstable();
    rows.dedup();
    let place = |cell: &Cell| rows.binary_search(&cell.row).unwrap_or(0);
    let (r, n) = (rows.len(), cells.len());
    let mut columns: Vec<usize> = cells.iter().map(|c| c.column).collect();
    columns.sort_unstable();
    let counts: Vec<usize> = columns.chunk_by(|a, b| a == b).map(<[_]>::len).collect();
    columns.dedup();
    let column = |cell: &Cell| columns.binary_search(&cell.column).unwrap_or(0);
    // Every value's row less the share of the rows in its column.
    let mut own = DMatrix::<f64>::zeros(r, n);
    let mut shares = DMatrix::<f64>::zeros(r, columns.len());
    for cell in cells {
        shares[(place(cell), column(cell))] += 1.0 / counts[column(cell)] as f64;
    }
    let mut normal = DMatrix::from_element(r, r, 1.0 / r as f64);
    for (k, cell) in cells.iter().enumerate() {
        let mut one = -shares.column(column(cell));
        one[place(cell)] += 1.0;
        let mut of_row = normal.column_mut(place(cell));
        of_row += &one;
        own.set_column(k, &one);
    }
    let Some(factor) = normal.cholesky() else {
        return Vec::new();
    };
    let gains = factor.solve(&own);
    let values = DVector::from_iterator(n, cells.iter().map(|c| c.value.value));
    let effects = &gains * &values;
    let fit = Misfit::of(cells, columns.len(), r, |k, cell| {
        let leverage = 1.0 / counts[column(cell)] as f64 + own.column(k).dot(&gains.column(k));
        (column(cell), effects[place(cell)], leverage)
    });
    let against = |i: usize| {
        let (mut variance, mut spare, mut shared) = (0.0, 0.0, 0.0);
        for (cell, gain) in cells.iter().zip(gains.row(i).iter()) {
            let part = (gain * cell.value.sd).powi(2);
            variance += part;
            spare += part * part / cell.value.df;
            shared += gain * gain * fit.between;
        }
        variance += shared;
        if fit.spare > 0.0 {
            spare += shared * shared / fit.spare;
        }
        let df = if spare > 0.0 {
            variance * variance / spare
        } else {
            f64::INFINITY
        };
        Estimate::new(effects[i], variance.sqrt(), df)
    };
    rows.iter()
        .enumerate()
        .map(|(i, row)| RowEffect {
            row: *row,
            group,
            against: against(i),
        })
        .collect()
}

/// By how much values differ from row and column beyond what their own errors explain.
struct Misfit {
    /// Variance.
    between: f64,
    /// Degrees of freedom that tell it.
    spare: f64,
}

impl Misfit {
    /// `of` gives a cell's column, its row's effect and how much of it the fit follows.
    fn of(
        cells: &[Cell],
        columns: usize,
        rows: usize,
        of: impl Fn(usize, &Cell) -> (usize, f64, f64),
    ) -> Self {
        let spare = cells.len() as f64 + 1.0 - rows as f64 - columns as f64;
        let mut sums = vec![(0.0, 0.0); columns];
        for (k, cell) in cells.iter().enumerate() {
            let (column, effect, _) = of(k, cell);
            sums[column].0 += cell.value.value - effect;
            sums[column].1 += 1.0;
        }
        let (mut left, mut explained) = (0.0, 0.0);
        for (k, cell) in cells.iter().enumerate() {
            let (column, effect, leverage) = of(k, cell);
            let (sum, count) = sums[column];
            left += (cell.value.value - effect - sum / count).powi(2);
            explained += (1.0 - leverage) * cell.value.sd.powi(2);
        }
        let between = if spare > 0.0 {
            ((left - explained) / spare).max(0.0)
        } else {
            0.0
        };
        Self { between, spare }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cell(row: usize, column: usize, value: f64) -> Cell {
        let value = Estimate::new(value, 1.0, 4.0);
        Cell { row, column, value }
    }

    fn values(cells: &[Cell]) -> Vec<f64> {
        row_effects(cells).iter().map(|e| e.against.value).collect()
    }

    /// By hand: a - (a + b) / 2 of two alike is (a - b) / 2, with an sd of 0.71 of one.
    #[test]
    fn a_row_is_part_of_the_mean_it_is_held_against() {
        let two = row_effects(&[cell(0, 0, 8.0), cell(1, 0, 2.0)]);
        assert!((two[0].against.value - 3.0).abs() < 1e-12);
        assert!((two[1].against.value + 3.0).abs() < 1e-12);
        assert!((two[0].against.sd - 0.5_f64.sqrt()).abs() < 1e-12);
        assert!(
            (two[0].against.df - 8.0).abs() < 1e-9,
            "both scatters count: {two:?}"
        );
        let alone = row_effects(&[cell(0, 0, 8.0)]);
        assert!(alone[0].against.value.abs() < 1e-12);
        assert!(row_effects(&[]).is_empty());
    }

    /// One column holds rows 0 and 1, three hold rows 0 and 2: 0, +10 and -10 about their mean of 0.
    #[test]
    fn rows_are_compared_across_columns_by_what_they_share() {
        let mut cells = vec![cell(0, 0, 100.0), cell(1, 0, 110.0)];
        for (column, level) in [(1, 90.0), (2, 95.0), (3, 120.0)] {
            cells.extend([cell(0, column, level), cell(2, column, level - 10.0)]);
        }
        let found = values(&cells);
        for (got, want) in found.iter().zip([0.0, 10.0, -10.0]) {
            assert!((got - want).abs() < 1e-9, "{found:?}");
        }
        // What was read once is known less well than what was read three times.
        let effects = row_effects(&cells);
        assert!(
            effects[1].against.sd > 1.2 * effects[2].against.sd,
            "{effects:?}"
        );
        assert!(effects.iter().all(|e| e.group == 0));
    }

    #[test]
    fn rows_that_nothing_connects_stand_about_means_of_their_own() {
        let cells = [
            cell(0, 0, 5.0),
            cell(2, 0, 1.0),
            cell(1, 1, 50.0),
            cell(3, 1, 40.0),
        ];
        let found = row_effects(&cells);
        let groups: Vec<usize> = found.iter().map(|e| e.group).collect();
        assert_eq!(groups, [0, 1, 0, 1]);
        for (got, want) in values(&cells).iter().zip([2.0, 5.0, -2.0, -5.0]) {
            assert!((got - want).abs() < 1e-9, "{found:?}");
        }
    }

    #[test]
    fn what_row_and_column_do_not_explain_makes_it_less_sure() {
        let table = |apart: f64| {
            let columns = (0..6_usize).flat_map(|c| {
                let miss = if c % 2 == 0 { apart } else { -apart };
                [cell(0, c, miss), cell(1, c, 10.0 - miss)]
            });
            row_effects(&columns.collect::<Vec<_>>())[0].against
        };
        let (calm, wild) = (table(0.0), table(5.0));
        // Six pairs of sd 1: half a difference is known to sqrt(0.5 / 6).
        assert!((calm.sd - (0.5_f64 / 6.0).sqrt()).abs() < 1e-9, "{calm:?}");
        // Half differences of -5 and +5 about the mean, by hand: sqrt(6 * 25 / 5 / 6).
        assert!(
            (wild.sd - 5.0_f64.sqrt()).abs() < 1e-9 && wild.df < 6.0,
            "{wild:?}"
        );
    }
}
