//! A first look at the heights of walks: enough to know which end is higher, how steep it is, and which receiver stands on another datum.

use super::centre::LegPass;
use super::smooth::local_lines;
use crate::numeric::{median_in, series::interpolate};

/// Width of the smoothing along the line, m.
const SMOOTH_M: f64 = 12.0;

/// Heights of all walks together on even stations.
#[derive(Debug, Clone)]
pub(crate) struct Rough {
    pub(crate) station_m: Vec<f64>,
    pub(crate) height_m: Vec<f64>,
    /// What stands between each walk's heights and the first one's, m.
    pub(crate) offset_m: Vec<f64>,
    /// Stretches without a height, m.
    pub(crate) lacking: Vec<(f64, f64)>,
}

/// One walk's heights by rising station, smoothed.
struct RoughHeights {
    station_m: Vec<f64>,
    height_m: Vec<f64>,
}

impl RoughHeights {
    fn of(pass: &LegPass) -> Self {
        let mut known: Vec<(f64, f64)> = pass
            .along
            .station_m
            .iter()
            .zip(&pass.along.blocks)
            .filter(|(_, b)| b.height_m.is_finite())
            .map(|(&s, b)| (s, b.height_m))
            .collect();
        if !pass.along.forward {
            known.reverse();
        }
        let station_m: Vec<f64> = known.iter().map(|k| k.0).collect();
        let values: Vec<[f64; 1]> = known.iter().map(|k| [k.1]).collect();
        let breaks = vec![false; known.len()];
        let height_m = local_lines(&station_m, &values, &breaks, SMOOTH_M)
            .into_iter()
            .map(|[h]| h)
            .collect();
        Self {
            station_m,
            height_m,
        }
    }

    fn at(&self, station: f64) -> Option<f64> {
        let (first, last) = (*self.station_m.first()?, *self.station_m.last()?);
        (first - 5.0..=last + 5.0)
            .contains(&station)
            .then(|| interpolate(&self.station_m, &self.height_m, station))
    }
}

impl Rough {
    /// Looks at the walks; `None` where no walk has a height.
    pub(crate) fn new(passes: &[LegPass], length_m: f64) -> Option<Self> {
        let steps = (length_m / 4.0).ceil().clamp(1.0, 20_000.0);
        let station_m: Vec<f64> = (0..=steps as usize)
            .map(|i| length_m * i as f64 / steps)
            .collect();
        let mut sums = vec![(0.0, 0.0); station_m.len()];
        let mut offset_m = vec![0.0; passes.len()];
        let profiles: Vec<RoughHeights> = passes.iter().map(RoughHeights::of).collect();
        let mut order: Vec<usize> = (0..passes.len()).collect();
        let reach = |p: &RoughHeights| match (p.station_m.first(), p.station_m.last()) {
            (Some(a), Some(b)) => b - a,
            _ => -1.0,
        };
        order.sort_by(|&a, &b| {
            let of = |i: usize| profiles.get(i).map_or(-1.0, reach);
            of(b).total_cmp(&of(a)).then(a.cmp(&b))
        });
        for i in order {
            let (Some(profile), Some(offset)) = (profiles.get(i), offset_m.get_mut(i)) else {
                continue;
            };
            let on_nodes: Vec<Option<f64>> = station_m.iter().map(|&s| profile.at(s)).collect();
            let mut apart: Vec<f64> = on_nodes
                .iter()
                .zip(&sums)
                .filter(|(h, (n, _))| h.is_some() && *n > 0.0)
                .map(|(h, (n, sum))| h.unwrap_or(0.0) - sum / n)
                .collect();
            *offset = median_in(&mut apart);
            for (h, (n, sum)) in on_nodes.iter().zip(&mut sums) {
                if let Some(h) = h {
                    *n += 1.0;
                    *sum += h - *offset;
                }
            }
        }
        let known: Vec<(f64, f64)> = station_m
            .iter()
            .zip(&sums)
            .filter(|(_, (n, _))| *n > 0.0)
            .map(|(&s, (n, sum))| (s, sum / n))
            .collect();
        let at: Vec<f64> = known.iter().map(|k| k.0).collect();
        let heights: Vec<f64> = known.iter().map(|k| k.1).collect();
        (!known.is_empty()).then(|| Self {
            height_m: station_m
                .iter()
                .map(|&s| interpolate(&at, &heights, s))
                .collect(),
            lacking: lacking(&profiles, length_m),
            station_m,
            offset_m,
        })
    }

    /// Height at a station, m.
    pub(crate) fn at(&self, station: f64) -> f64 {
        interpolate(&self.station_m, &self.height_m, station)
    }

    /// Fall from the first station to the last, m.
    pub(crate) fn drop_m(&self) -> f64 {
        let first = self.height_m.first().copied().unwrap_or(0.0);
        first - self.height_m.last().copied().unwrap_or(0.0)
    }
}

/// Stretches of more than 25 m on which no walk has a height.
fn lacking(profiles: &[RoughHeights], length_m: f64) -> Vec<(f64, f64)> {
    let mut all: Vec<f64> = profiles
        .iter()
        .flat_map(|p| p.station_m.iter().copied())
        .collect();
    all.sort_by(f64::total_cmp);
    let mut out = Vec::new();
    let mut last = 0.0;
    for s in all.into_iter().chain([length_m]) {
        if s - last > 25.0 {
            out.push((last, s));
        }
        last = s;
    }
    out
}
