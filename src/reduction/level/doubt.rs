use super::Levels;
use super::section::LevelSection;
use crate::reading::ReadOptions;
use crate::reduction::condition::most_factors;
use crate::reduction::net::Net;

/// Errors of a string of set-ups: each adds its own, which every later point carries; where the string closes, the share that was spread comes off again.
///
/// Neighbouring set-ups are thrown together in a long book: their summed error grows evenly inside the group, exact at its ends.
pub(super) fn chain_doubt(
    levels: &Levels,
    options: &ReadOptions,
    section: Option<&LevelSection>,
) -> Vec<Vec<f64>> {
    let setups = levels.setups.len();
    let group = setups.div_ceil(most_factors(levels.points.len())).max(1);
    let scale = options.setup_sd() * (group as f64).sqrt();
    (0..setups.div_ceil(group))
        .map(|k| {
            let error = |count: usize| {
                let inside = count.saturating_sub(k * group).min(group);
                scale * inside as f64 / group as f64
            };
            // What the known end would be off by, and the known start: conditioning takes both out.
            let (from, to) = section.map_or((0.0, 0.0), |s| (error(s.count.0), error(s.count.1)));
            levels
                .points
                .iter()
                .map(|p| {
                    let share =
                        section.map_or(0.0, |s| s.share(p.count, p.distance_m, options.spread));
                    error(p.count) - from - (to - from) * share
                })
                .collect()
        })
        .collect()
}

/// Errors of an adjusted net, scaled by what the net itself shows of its quality.
pub(super) fn net_doubt(net: &Net, points: usize, scale: f64) -> Vec<Vec<f64>> {
    net.factors_m()
        .into_iter()
        .map(|f| {
            f.into_iter()
                .take(points)
                .map(|x| x * scale)
                .collect::<Vec<f64>>()
        })
        .filter(|f| f.iter().any(|x| x.abs() > 1e-6))
        .collect()
}
