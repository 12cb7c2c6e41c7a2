//! Straight between two points of a table.

/// The point below a place and the share of the way to the next one; held at the ends.
pub fn between(at: &[f64], x: f64) -> (usize, f64) {
    let above = at.partition_point(|&s| s < x);
    let Some(below) = above.checked_sub(1) else {
        return (0, 0.0);
    };
    match (at.get(below), at.get(above)) {
        (Some(a), Some(b)) if b > a => (below, (x - a) / (b - a)),
        _ => (below, 0.0),
    }
}

/// Straight between the points, held at the ends; 0 where there are none.
pub fn interpolate(at: &[f64], values: &[f64], x: f64) -> f64 {
    let above = at.partition_point(|&s| s < x);
    let point = |i: usize| at.get(i).copied().zip(values.get(i).copied());
    match (above.checked_sub(1).and_then(point), point(above)) {
        (Some((x0, y0)), Some((x1, y1))) if x1 > x0 => y0 + (y1 - y0) * (x - x0) / (x1 - x0),
        (_, Some((_, y))) | (Some((_, y)), None) => y,
        (None, None) => 0.0,
    }
}
