//! Least squares on differences of height, and the test that names a blunder.

use crate::numeric::math;
use nalgebra::{DMatrix, DVector};

/// A measured difference of height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Difference {
    /// Index of the point it starts from.
    pub from: usize,
    /// Index of the point it goes to.
    pub to: usize,
    /// Height of `to` less height of `from`, m.
    pub rise_m: f64,
    /// Its standard deviation, m; only the ratios matter for the heights.
    pub sd_m: f64,
}

/// Why a net cannot be adjusted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum NetRefusal {
    /// No height is known.
    NoDatum,
    /// A point hangs on no known height: its index.
    Point(usize),
    /// More unknown heights than are solved at once.
    TooLarge(usize),
}

/// Most unknown heights that are solved at once: the normal equations are dense.
pub const LARGEST: usize = 1200;

/// An adjusted net.
#[derive(Debug, Clone, PartialEq)]
pub struct Net {
    /// Heights, m, one a point.
    pub height_m: Vec<f64>,
    /// Adjusted less measured, m, one a difference.
    pub residual_m: Vec<f64>,
    /// Weighted sum of squared residuals.
    pub vtpv: f64,
    /// Redundant observations.
    pub freedom: usize,
    /// Share of each difference that the others check, 0 to 1.
    pub checked: Vec<f64>,
    /// Covariance of the unknown heights at the stated standard deviations, m2.
    covariance: DMatrix<f64>,
    /// Column of a point among the unknown, where it is unknown.
    column: Vec<Option<usize>>,
}

/// Adjusts differences of height by least squares on the known heights.
///
/// # Errors
/// Where there is no known height, a point hangs on none, or there are too many unknown.
pub fn adjust(differences: &[Difference], known_m: &[Option<f64>]) -> Result<Net, NetRefusal> {
    let reached = reach(differences, known_m)?;
    let mut column = vec![None; known_m.len()];
    let mut count = 0;
    for ((slot, known), reached) in column.iter_mut().zip(known_m).zip(reached) {
        if known.is_none() && reached {
            *slot = Some(count);
            count += 1;
        }
    }
    if count > LARGEST {
        return Err(NetRefusal::TooLarge(count));
    }
    let at = |i: usize| column.get(i).copied().flatten();
    let fixed = |i: usize| known_m.get(i).copied().flatten().unwrap_or(0.0);
    let mut normal = DMatrix::<f64>::zeros(count, count);
    let mut right = DVector::<f64>::zeros(count);
    // Heights are solved from their known neighbours' level so that large elevations cost no digits.
    let datum = known_m.iter().flatten().copied().next().unwrap_or(0.0);
    for d in differences {
        let weight = 1.0 / (d.sd_m * d.sd_m);
        let ends = [(at(d.from), -1.0, d.from), (at(d.to), 1.0, d.to)];
        let mut known_part = d.rise_m;
        for (col, sign, i) in ends {
            if col.is_none() {
                known_part -= sign * (fixed(i) - datum);
            }
        }
        for (row, sign, _) in ends {
            let Some(row) = row else { continue };
            if let Some(r) = right.get_mut(row) {
                *r += weight * sign * known_part;
            }
            for (col, other, _) in ends {
                let Some(col) = col else { continue };
                if let Some(cell) = normal.get_mut((row, col)) {
                    *cell += weight * sign * other;
                }
            }
        }
    }
    let Some(factor) = normal.cholesky() else {
        return Err(NetRefusal::NoDatum);
    };
    let solved = factor.solve(&right);
    let covariance = factor.inverse();
    let height_m: Vec<f64> = column
        .iter()
        .zip(known_m)
        .map(|(col, known)| match (col, known) {
            (_, Some(known)) => *known,
            (Some(col), None) => datum + solved.get(*col).copied().unwrap_or(0.0),
            (None, None) => f64::NAN,
        })
        .collect();
    let mut net = Net {
        height_m,
        residual_m: Vec::new(),
        vtpv: 0.0,
        freedom: differences.len() - count,
        checked: Vec::new(),
        covariance,
        column,
    };
    for d in differences {
        let residual = net.rise(d.from, d.to) - d.rise_m;
        let variance = d.sd_m * d.sd_m;
        net.vtpv += residual * residual / variance;
        net.residual_m.push(residual);
        net.checked
            .push((1.0 - net.difference_variance(d.from, d.to) / variance).max(0.0));
    }
    Ok(net)
}

/// Points that hang on a known height; an error where a measured one does not.
fn reach(differences: &[Difference], known_m: &[Option<f64>]) -> Result<Vec<bool>, NetRefusal> {
    if known_m.iter().all(Option::is_none) {
        return Err(NetRefusal::NoDatum);
    }
    let mut neighbours: Vec<Vec<usize>> = vec![Vec::new(); known_m.len()];
    for d in differences {
        for (a, b) in [(d.from, d.to), (d.to, d.from)] {
            if let Some(list) = neighbours.get_mut(a) {
                list.push(b);
            }
        }
    }
    let mut reached: Vec<bool> = known_m.iter().map(Option::is_some).collect();
    let mut open: Vec<usize> = (0..reached.len())
        .filter(|&i| reached.get(i) == Some(&true))
        .collect();
    while let Some(i) = open.pop() {
        for &j in neighbours.get(i).into_iter().flatten() {
            if let Some(seen) = reached.get_mut(j).filter(|seen| !**seen) {
                *seen = true;
                open.push(j);
            }
        }
    }
    let loose = |d: &Difference| reached.get(d.to) != Some(&true);
    match differences.iter().find(|d| loose(d)) {
        Some(d) => Err(NetRefusal::Point(d.to)),
        None => Ok(reached),
    }
}

impl Net {
    fn rise(&self, from: usize, to: usize) -> f64 {
        let height = |i: usize| self.height_m.get(i).copied().unwrap_or(f64::NAN);
        height(to) - height(from)
    }

    /// Whether the residuals are what the stated standard deviations give: chi-square, one good net in a thousand is refused.
    pub fn holds(&self) -> bool {
        self.freedom == 0 || self.vtpv <= chi_square_limit(self.freedom, 0.999)
    }

    /// Covariance of two heights at the stated standard deviations, m2; 0 where one is known.
    pub fn covariance_m2(&self, a: usize, b: usize) -> f64 {
        let at = |i: usize| self.column.get(i).copied().flatten();
        at(a)
            .zip(at(b))
            .and_then(|cell| self.covariance.get(cell).copied())
            .unwrap_or(0.0)
    }

    fn difference_variance(&self, a: usize, b: usize) -> f64 {
        self.covariance_m2(a, a) + self.covariance_m2(b, b) - 2.0 * self.covariance_m2(a, b)
    }

    /// Standard deviation of unit weight; `None` where nothing is redundant.
    pub fn unit_sd(&self) -> Option<f64> {
        (self.freedom > 0).then(|| (self.vtpv / self.freedom as f64).sqrt())
    }

    /// The difference whose residual is largest for its own standard deviation, and by how many of them.
    ///
    /// Differences that the rest of the net checks by less than a thousandth are left out: nothing can be said of them.
    pub fn worst(&self, differences: &[Difference]) -> Option<(usize, f64)> {
        let mut worst: Option<(usize, f64)> = None;
        for (i, ((v, r), d)) in self
            .residual_m
            .iter()
            .zip(&self.checked)
            .zip(differences)
            .enumerate()
        {
            if *r > 1e-3 {
                let w = v.abs() / (d.sd_m * r.sqrt());
                if worst.is_none_or(|(_, most)| w > most) {
                    worst = Some((i, w));
                }
            }
        }
        worst
    }

    /// Independent unit errors behind the unknown heights: column k holds each point's share of error k, m.
    ///
    /// The sum over k of the squares is the point's variance, and of the products the covariance of two points.
    pub fn factors_m(&self) -> Vec<Vec<f64>> {
        let Some(lower) = self.covariance.clone().cholesky().map(|c| c.l()) else {
            return Vec::new();
        };
        (0..lower.ncols())
            .map(|k| {
                self.column
                    .iter()
                    .map(|c| c.and_then(|c| lower.get((c, k)).copied()).unwrap_or(0.0))
                    .collect()
            })
            .collect()
    }
}

/// The value that chi-square with `freedom` degrees of freedom stays below with probability `share`.
///
/// The regularised incomplete gamma function by its series, inverted by halving; good to 1e-9 of itself for up to some thousand degrees of freedom.
pub fn chi_square_limit(freedom: usize, share: f64) -> f64 {
    let shape = freedom as f64 / 2.0;
    let (mut low, mut high) = (0.0, 20.0 + 4.0 * freedom as f64);
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if lower_gamma(shape, middle / 2.0) < share {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// Regularised lower incomplete gamma function P(a, x) by its power series.
fn lower_gamma(a: f64, x: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    let mut term = 1.0 / a;
    let mut sum = term;
    let mut n = a;
    while term > sum * 1e-15 {
        n += 1.0;
        term *= x / n;
        sum += term;
    }
    math::exp(math::ln(sum) + a * math::ln(x) - x - math::ln_gamma(a)).min(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn d(from: usize, to: usize, rise_m: f64) -> Difference {
        Difference {
            from,
            to,
            rise_m,
            sd_m: 0.003,
        }
    }

    #[test]
    fn a_loop_with_one_bad_difference_names_it() {
        let good = [
            d(0, 1, 2.0),
            d(1, 2, 3.0),
            d(2, 0, -5.0),
            d(0, 2, 5.0),
            d(1, 0, -2.0),
        ];
        let mut bad = good;
        bad[1].rise_m = 3.1;
        let net = adjust(&bad, &[Some(10.0), None, None]).unwrap();
        assert_eq!(net.worst(&bad).unwrap().0, 1);
        assert!(net.vtpv > chi_square_limit(net.freedom, 0.999));
        let net = adjust(&good, &[Some(10.0), None, None]).unwrap();
        assert!(net.vtpv < 1e-20 && (net.height_m[2] - 15.0).abs() < 1e-12);
    }

    #[test]
    fn factors_give_the_covariance_back() {
        let net = adjust(
            &[d(0, 1, 1.0), d(1, 2, 1.0), d(2, 0, -2.0)],
            &[Some(0.0), None, None],
        )
        .unwrap();
        let factors = net.factors_m();
        let sum: f64 = factors.iter().map(|f| f[1] * f[2]).sum();
        assert!((sum - net.covariance_m2(1, 2)).abs() < 1e-15);
    }

    #[test]
    fn what_hangs_on_nothing_is_named() {
        assert_eq!(
            adjust(&[d(0, 1, 1.0)], &[None, None]),
            Err(NetRefusal::NoDatum)
        );
        assert_eq!(
            adjust(
                &[d(0, 1, 1.0), d(2, 3, 1.0)],
                &[Some(1.0), None, None, None]
            ),
            Err(NetRefusal::Point(3))
        );
    }
}
