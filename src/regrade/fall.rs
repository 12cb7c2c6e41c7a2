use super::hold::{HeldBounds, bounds};

/// A line to be made to fall: stations rising, heights, the least fall per metre of station, and the stations that must stay.
#[derive(Debug, Clone, Copy)]
pub struct FallProblem<'a> {
    /// Stations, m, rising.
    pub station_m: &'a [f64],
    /// Heights, m, one a station.
    pub height_m: &'a [f64],
    /// Least fall, m per m of station.
    pub least_fall: f64,
    /// Stations that stay as they are, one a station; a shorter list holds nothing further on.
    pub held: &'a [bool],
}

/// What it costs to move one station by a metre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoveCost {
    /// Per metre down.
    pub dig: f64,
    /// Per metre up.
    pub prop: f64,
}

impl FallProblem<'_> {
    /// Heights with the wanted fall taken out: a line falls by the least grade where these never rise.
    pub(super) fn levelled(&self) -> Vec<f64> {
        self.height_m
            .iter()
            .zip(self.station_m)
            .map(|(z, s)| z + self.least_fall * s)
            .collect()
    }

    /// Back from levelled heights.
    pub(super) fn falling(&self, levelled: &[f64]) -> Vec<f64> {
        levelled
            .iter()
            .zip(self.station_m)
            .map(|(u, s)| u - self.least_fall * s)
            .collect()
    }
}

/// The highest line that falls by the least grade and nowhere stands above the ground: the least cut at every station.
///
/// It is the running minimum from the intake of height plus fall times station. Held stations stay; where one stands higher than a low above it, digging cannot help and the ground is left.
pub fn dig_only(ground: &FallProblem<'_>) -> Vec<f64> {
    let levelled = ground.levelled();
    let bounds = bounds(&levelled, ground.held);
    let mut low = f64::INFINITY;
    let dug: Vec<f64> = levelled
        .iter()
        .zip(&bounds)
        .map(|(&u, b)| {
            if b.is_held {
                low = u;
                return u;
            }
            low = low.min(u);
            // Nothing is dug below the held point that comes next: that would only make another climb.
            low.max(b.below.min(u))
        })
        .collect();
    ground.falling(&dug)
}

/// The lowest line that falls by the least grade and nowhere stands below the ground: the least prop at every station.
///
/// It is the running maximum from the outlet. Held stations stay; where a station stands higher than a held one above it, propping cannot help and the ground is left.
pub fn prop_only(ground: &FallProblem<'_>) -> Vec<f64> {
    let levelled = ground.levelled();
    let bounds = bounds(&levelled, ground.held);
    let mut high = f64::NEG_INFINITY;
    let mut propped: Vec<f64> = levelled
        .iter()
        .zip(&bounds)
        .rev()
        .map(|(&u, b)| {
            if b.is_held {
                high = u;
                return u;
            }
            high = high.max(u);
            high.min(b.above.max(u))
        })
        .collect();
    propped.reverse();
    ground.falling(&propped)
}

/// The cheapest line that falls by the least grade, digging and propping each at its own price a station.
///
/// Pool adjacent violators with the convex cost of each pool: its height is the least that minimises the pool's cost (a weighted median where the prices are
/// equal). Between held stations the free line is cut off at the heights of the held ones, which is the cheapest that lies between them.
/// Source: R. E. Barlow and others, Statistical Inference under Order Restrictions, 1972; with prices for a median instead of a mean.
pub fn cheapest(ground: &FallProblem<'_>, prices: &[MoveCost]) -> Vec<f64> {
    let levelled = ground.levelled();
    let bounds = bounds(&levelled, ground.held);
    let mut best = Vec::with_capacity(levelled.len());
    let mut pools: Vec<Pool> = Vec::new();
    let close = |pools: &mut Vec<Pool>, best: &mut Vec<f64>| {
        for pool in pools.drain(..) {
            best.extend(std::iter::repeat_n(pool.height, pool.count));
        }
    };
    for ((&u, b), price) in levelled.iter().zip(&bounds).zip(prices) {
        if b.is_held {
            close(&mut pools, &mut best);
            best.push(u);
            continue;
        }
        let mut pool = Pool::of(u, *price);
        while let Some(last) = pools.pop() {
            if last.height >= pool.height {
                pools.push(last);
                break;
            }
            pool = last.joined(pool);
        }
        pools.push(pool);
    }
    close(&mut pools, &mut best);
    let clipped: Vec<f64> = best
        .iter()
        .zip(&bounds)
        .zip(&levelled)
        .map(|((&y, b), &u)| match b {
            HeldBounds { is_held: true, .. } => u,
            // The held ends contradict each other: nothing between them is moved.
            HeldBounds { above, below, .. } if above < below => u,
            HeldBounds { above, below, .. } => y.clamp(*below, *above),
        })
        .collect();
    ground.falling(&clipped)
}

/// Stations that lie at one levelled height.
struct Pool {
    /// (levelled height, price), by height.
    points: Vec<(f64, MoveCost)>,
    height: f64,
    count: usize,
}

impl Pool {
    fn of(height: f64, price: MoveCost) -> Self {
        Self {
            points: vec![(height, price)],
            height,
            count: 1,
        }
    }

    fn joined(self, other: Self) -> Self {
        let count = self.count + other.count;
        let mut points = self.points;
        points.extend(other.points);
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        let height = least_best(&points);
        Self {
            points,
            height,
            count,
        }
    }
}

/// The lowest height at which digging what is above and propping what is below costs least.
fn least_best(points: &[(f64, MoveCost)]) -> f64 {
    let mut above: f64 = points.iter().map(|(_, p)| p.dig).sum();
    let mut below = 0.0;
    for (u, price) in points {
        above -= price.dig;
        below += price.prop;
        if below >= above {
            return *u;
        }
    }
    points.last().map_or(0.0, |(u, _)| *u)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const EQUAL: MoveCost = MoveCost {
        dig: 1.0,
        prop: 1.0,
    };

    fn ground<'a>(s: &'a [f64], z: &'a [f64], held: &'a [bool]) -> FallProblem<'a> {
        FallProblem {
            station_m: s,
            height_m: z,
            least_fall: 0.0,
            held,
        }
    }

    #[test]
    fn a_held_point_bounds_the_line_on_both_sides() {
        let s = [0.0, 1.0, 2.0, 3.0, 4.0];
        let z = [10.0, 7.0, 8.0, 9.0, 5.0];
        let held = [true, false, true, false, true];
        let g = ground(&s, &z, &held);
        assert_eq!(cheapest(&g, &[EQUAL; 5]), [10.0, 8.0, 8.0, 8.0, 5.0]);
        // digging cannot lift the low at 1: it is left; behind the held point the hump goes
        assert_eq!(dig_only(&g), [10.0, 7.0, 8.0, 8.0, 5.0]);
        assert_eq!(prop_only(&g), [10.0, 8.0, 8.0, 9.0, 5.0]);
    }

    #[test]
    fn dear_digging_props_and_dear_propping_digs() {
        let s = [0.0, 1.0, 2.0, 3.0];
        let z = [10.0, 7.0, 8.0, 5.0];
        let g = ground(&s, &z, &[]);
        let dear_dig = MoveCost {
            dig: 9.0,
            prop: 1.0,
        };
        let dear_prop = MoveCost {
            dig: 1.0,
            prop: 9.0,
        };
        assert_eq!(cheapest(&g, &[dear_dig; 4]), [10.0, 8.0, 8.0, 5.0]);
        assert_eq!(cheapest(&g, &[dear_prop; 4]), [10.0, 7.0, 7.0, 5.0]);
    }

    fn cost(z: &[f64], y: &[f64]) -> f64 {
        z.iter().zip(y).map(|(a, b)| (a - b).abs()).sum()
    }

    proptest! {
        #[test]
        fn every_way_falls_and_keeps_its_side(z in prop::collection::vec(-5.0..5.0f64, 2..40), fall in 0.0..0.1f64) {
            let s: Vec<f64> = (0..z.len()).map(|i| 2.0 * i as f64).collect();
            let g = FallProblem { least_fall: fall, ..ground(&s, &z, &[]) };
            let prices = vec![EQUAL; z.len()];
            let (dig, prop, mixed) = (dig_only(&g), prop_only(&g), cheapest(&g, &prices));
            for y in [&dig, &prop, &mixed] {
                prop_assert!(y.windows(2).all(|w| w[0] - w[1] >= 2.0 * fall - 1e-9));
            }
            prop_assert!(dig.iter().zip(&z).all(|(y, z)| *y <= z + 1e-12));
            prop_assert!(prop.iter().zip(&z).all(|(y, z)| *y >= z - 1e-12));
            prop_assert!(cost(&z, &mixed) <= cost(&z, &dig).min(cost(&z, &prop)) + 1e-9);
            // and what falls already is left alone
            for y in [dig, prop, mixed] {
                let again = FallProblem { height_m: &y, ..g };
                prop_assert!(cost(&y, &cheapest(&again, &prices)) < 1e-9);
            }
        }
    }
}
