/// A small linear programme: the least `cost . x` with `x >= 0` and every row `sum of share * x <= most`.
///
/// Costs must not be negative: then x = 0 is as cheap as can be, and only the rows that it breaks are to be mended (dual simplex).
/// Meant for some hundreds of unknowns: the table is dense.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Programme {
    /// Cost of each unknown, 0 or more.
    pub cost: Vec<f64>,
    /// The rows.
    pub rows: Vec<AtMost>,
}

/// One row: a sum that may come to no more than a bound.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct AtMost {
    /// (index of the unknown, its share).
    pub shares: Vec<(usize, f64)>,
    /// The bound.
    pub most: f64,
}

/// Why there is no best answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum NoBest {
    /// The rows contradict each other.
    Contradiction,
    /// A cost is negative or a figure is not finite.
    BadFigure,
    /// It was not done in a sensible number of steps.
    TooLong,
}

/// The best answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Best {
    /// The unknowns.
    pub x: Vec<f64>,
    /// Their cost.
    pub cost: f64,
}

/// Figures smaller than this count as none: inputs are of the order of one.
const NOTHING: f64 = 1e-9;

impl Programme {
    /// Solves it.
    ///
    /// # Errors
    /// Where the rows contradict each other, a figure cannot be used, or the steps run out.
    pub fn solve(&self) -> Result<Best, NoBest> {
        let width = self.cost.len();
        let mut table = Tableau::new(self).ok_or(NoBest::BadFigure)?;
        let limit = 50 * (width + self.rows.len()) + 1000;
        for step in 0..limit {
            // Late in a long run the first fitting row and column are taken, which cannot run in a circle.
            let careful = step > limit / 2;
            let Some(row) = table.broken_row(careful) else {
                return Ok(table.answer(&self.cost));
            };
            let Some(column) = table.entering(row, careful) else {
                return Err(NoBest::Contradiction);
            };
            table.pivot(row, column);
        }
        Err(NoBest::TooLong)
    }
}

/// The condensed table: basic unknowns by row, the others by column, the bound in the last column, the cost in the last row.
struct Tableau {
    cells: Vec<Vec<f64>>,
    cost: Vec<f64>,
    /// Which unknown stands in each row: the slack of row i is `width + i`.
    in_row: Vec<usize>,
    in_column: Vec<usize>,
}

impl Tableau {
    fn new(programme: &Programme) -> Option<Self> {
        let width = programme.cost.len();
        let mut cost = programme.cost.clone();
        if cost.iter().any(|c| !(c.is_finite() && *c >= 0.0)) {
            return None;
        }
        cost.push(0.0);
        let mut cells = Vec::with_capacity(programme.rows.len());
        for row in &programme.rows {
            let mut line = vec![0.0; width + 1];
            for &(at, share) in &row.shares {
                *line.get_mut(at).filter(|_| at < width)? += share;
            }
            *line.last_mut()? = row.most;
            if line.iter().any(|x| !x.is_finite()) {
                return None;
            }
            cells.push(line);
        }
        Some(Self {
            in_row: (width..width + cells.len()).collect(),
            in_column: (0..width).collect(),
            cells,
            cost,
        })
    }

    /// The row that is broken most, or the first one.
    fn broken_row(&self, careful: bool) -> Option<usize> {
        let mut worst: Option<(usize, f64, usize)> = None;
        for (i, (line, &unknown)) in self.cells.iter().zip(&self.in_row).enumerate() {
            let bound = line.last().copied().unwrap_or(0.0);
            if bound >= -NOTHING {
                continue;
            }
            let better = worst.is_none_or(|(_, least, lowest)| {
                if careful {
                    unknown < lowest
                } else {
                    bound < least
                }
            });
            if better {
                worst = Some((i, bound, unknown));
            }
        }
        worst.map(|(i, ..)| i)
    }

    /// The column that mends a row at the least rise of cost.
    fn entering(&self, row: usize, careful: bool) -> Option<usize> {
        let line = self.cells.get(row)?;
        let mut best: Option<(usize, f64, f64, usize)> = None;
        for (((j, &a), &c), &unknown) in
            line.iter().enumerate().zip(&self.cost).zip(&self.in_column)
        {
            if a >= -NOTHING {
                continue;
            }
            let ratio = c / -a;
            let better = best.is_none_or(|(_, least, size, lowest)| {
                let tie = (ratio - least).abs() <= 1e-12 * (1.0 + least.abs());
                if tie {
                    // Of equals the largest share keeps the figures small; carefully, the first.
                    if careful { unknown < lowest } else { -a > size }
                } else {
                    ratio < least
                }
            });
            if better {
                best = Some((j, ratio, -a, unknown));
            }
        }
        best.map(|(j, ..)| j)
    }

    /// Exchanges the unknown of a row with that of a column.
    fn pivot(&mut self, row: usize, column: usize) {
        let Some(mut line) = self.cells.get_mut(row).map(std::mem::take) else {
            return;
        };
        let Some(&pivot) = line.get(column) else {
            return;
        };
        for x in &mut line {
            *x /= pivot;
        }
        if let Some(x) = line.get_mut(column) {
            *x = 1.0 / pivot;
        }
        let mend = |other: &mut Vec<f64>| {
            let Some(cell) = other.get_mut(column) else {
                return;
            };
            let times = std::mem::take(cell);
            if times != 0.0 {
                for (x, y) in other.iter_mut().zip(&line) {
                    *x -= times * y;
                }
            }
        };
        for (i, other) in self.cells.iter_mut().enumerate() {
            if i != row {
                mend(other);
            }
        }
        mend(&mut self.cost);
        // Costs stay 0 or more by the choice of the column; rounding is taken off.
        for c in self.cost.iter_mut().rev().skip(1) {
            *c = c.max(0.0);
        }
        if let Some(slot) = self.cells.get_mut(row) {
            *slot = line;
        }
        if let (Some(a), Some(b)) = (self.in_row.get_mut(row), self.in_column.get_mut(column)) {
            std::mem::swap(a, b);
        }
    }

    fn answer(&self, cost: &[f64]) -> Best {
        let mut x = vec![0.0; cost.len()];
        for (line, &unknown) in self.cells.iter().zip(&self.in_row) {
            if let (Some(slot), Some(bound)) = (x.get_mut(unknown), line.last()) {
                *slot = bound.max(0.0);
            }
        }
        let cost = cost.iter().zip(&x).map(|(c, x)| c * x).sum();
        Best { x, cost }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn row(shares: &[f64], most: f64) -> AtMost {
        AtMost {
            shares: shares.iter().copied().enumerate().collect(),
            most,
        }
    }

    #[test]
    fn a_diet_of_two_foods() {
        // least 2 x + 3 y with x + y >= 4, x + 3 y >= 6, x <= 3: at x = 3, y = 1
        let best = Programme {
            cost: vec![2.0, 3.0],
            rows: vec![
                row(&[-1.0, -1.0], -4.0),
                row(&[-1.0, -3.0], -6.0),
                row(&[1.0, 0.0], 3.0),
            ],
        }
        .solve()
        .unwrap();
        assert!((best.cost - 9.0).abs() < 1e-12, "{best:?}");
        assert!((best.x[0] - 3.0).abs() < 1e-12 && (best.x[1] - 1.0).abs() < 1e-12);
    }

    #[test]
    fn what_cannot_be_solved_is_told() {
        let contradiction = Programme {
            cost: vec![1.0],
            rows: vec![row(&[1.0], 1.0), row(&[-1.0], -2.0)],
        };
        assert_eq!(contradiction.solve(), Err(NoBest::Contradiction));
        let negative = Programme {
            cost: vec![-1.0],
            rows: Vec::new(),
        };
        assert_eq!(negative.solve(), Err(NoBest::BadFigure));
    }

    proptest! {
        #[test]
        fn the_answer_keeps_every_row_and_no_corner_nearby_is_cheaper(
            cost in prop::collection::vec(0.0..5.0f64, 4),
            shares in prop::collection::vec(prop::collection::vec(-3.0..3.0f64, 4), 1..7),
            inside in prop::collection::vec(0.0..3.0f64, 4),
        ) {
            // every row is kept by a point known to lie inside, so there is an answer
            let rows: Vec<AtMost> = shares.iter().map(|s| row(s, s.iter().zip(&inside).map(|(a, b)| a * b).sum::<f64>() + 0.1)).collect();
            let programme = Programme { cost: cost.clone(), rows };
            let best = programme.solve().unwrap();
            for r in &programme.rows {
                let sum: f64 = r.shares.iter().map(|&(i, a)| a * best.x[i]).sum();
                prop_assert!(sum <= r.most + 1e-6);
            }
            let known: f64 = cost.iter().zip(&inside).map(|(a, b)| a * b).sum();
            prop_assert!(best.cost <= known + 1e-9);
        }
    }
}
