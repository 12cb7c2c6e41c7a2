#![expect(
    clippy::indexing_slicing,
    reason = "steps are counted from the nodes themselves"
)]

/// Spacing of the nodes, m, and steps between nodes in a cell of one roughness.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct HeightGrid {
    pub(super) node_m: f64,
    pub(super) steps_in_cell: usize,
}

/// Evenly spaced nodes with the known stations among them; a regular node makes way for a known one nearby.
pub(super) fn nodes(from: f64, to: f64, spacing: f64, known: &[f64]) -> Vec<f64> {
    let count = ((to - from) / spacing).ceil().max(1.0);
    let step = (to - from) / count;
    let mut fixed: Vec<f64> = known.to_vec();
    fixed.sort_by(f64::total_cmp);
    fixed.dedup_by(|b, a| *b - *a < 0.3);
    let near = 0.35 * step;
    let mut all: Vec<f64> = (0..=count as usize)
        .map(|i| from + step * i as f64)
        .filter(|&x| {
            let at = fixed.partition_point(|&k| k < x - near);
            x == from || fixed.get(at).is_none_or(|&k| k > x + near)
        })
        .chain(fixed.iter().copied().filter(|&k| k > from + 0.3))
        .collect();
    all.sort_by(f64::total_cmp);
    all.dedup();
    if all.last().is_some_and(|&l| l < to) {
        all.push(to);
    }
    all
}

/// Cells of about equal length, each a run of whole steps.
pub(super) fn cells(node_m: &[f64], grid: HeightGrid) -> Vec<(usize, usize)> {
    let length = grid.node_m * grid.steps_in_cell as f64;
    let origin = node_m[0];
    let cell_of = |step: usize| {
        let middle = 0.5 * (node_m[step] + node_m[step + 1]) - origin;
        (middle / length) as usize
    };
    let mut cells: Vec<(usize, usize)> = Vec::new();
    let mut current = usize::MAX;
    for step in 0..node_m.len() - 1 {
        let cell = cell_of(step);
        match cells.last_mut() {
            Some(last) if cell == current => last.1 = step + 1,
            _ => cells.push((step, step + 1)),
        }
        current = cell;
    }
    cells
}
