//! Which things that lie about make a row.

/// Parts places, given by how far they are from the left and from the front, into rows from the back to the front,
/// each from left to right; those less than `near` apart front to back are of one row.
pub fn rows(places: &[(f64, f64)], near: f64) -> Vec<Vec<usize>> {
    let mut by_depth: Vec<usize> = (0..places.len()).collect();
    by_depth.sort_by(|&a, &b| places[b].1.total_cmp(&places[a].1));
    let mut rows: Vec<Vec<usize>> = Vec::new();
    for i in by_depth {
        match rows.last_mut() {
            Some(row) if places[row[0]].1 - places[i].1 < near => row.push(i),
            Some(_) | None => rows.push(vec![i]),
        }
    }
    for row in &mut rows {
        row.sort_by(|&a, &b| places[a].0.total_cmp(&places[b].0));
    }
    rows
}
