//! The lines over the pipe: water levels, surges, what the pipe may take, and where it would lie put right.

use crate::drawing::{SectionLine, Series};
use crate::flow::Run;
use crate::strength::Strength;
use crate::study::Study;

/// Water levels, surges, what the pipe may take, and where it would lie put right.
pub(super) fn series(study: &Study) -> Vec<Series> {
    let line = &study.line;
    let stations = &line.geometry.heights.station_m;
    let mut out = Vec::new();
    if let Some(strength) = &study.strength {
        out.extend(rating(study, strength));
    }
    if let Some(shut) = study.cases.shut() {
        out.push(Series {
            trace: SectionLine::Still,
            name: "static head line".to_owned(),
            chains_m: vec![
                shut.points
                    .iter()
                    .map(|p| (p.station_m, p.grade_line_m))
                    .collect(),
            ],
        });
    }
    if let Some(surges) = &study.surges {
        let weighed: Vec<_> = surges.weighed().collect();
        let doubtful = if weighed.iter().all(|s| s.valid) {
            ""
        } else {
            ", if no air stays"
        };
        let weight = study.line.environment.water_n_per_m3();
        let most = |i: usize| {
            weighed
                .iter()
                .filter_map(|s| s.points.get(i))
                .map(|p| p.head_max_m)
                .reduce(f64::max)
        };
        let least = |(i, z): (usize, f64)| {
            weighed
                .iter()
                .filter_map(|s| {
                    let point = s.points.get(i)?;
                    // Where the water parts, the head is that at which it boils.
                    point
                        .head_min_m
                        .or_else(|| s.vapour.map(|v| z + v.limit_pa / weight))
                })
                .reduce(f64::min)
        };
        let high: Vec<(f64, f64)> = stations
            .iter()
            .enumerate()
            .filter_map(|(i, s)| most(i).map(|h| (*s, h)))
            .collect();
        let low: Vec<(f64, f64)> = stations
            .iter()
            .zip(&line.geometry.heights.mean_m)
            .enumerate()
            .filter_map(|(i, (s, z))| least((i, *z)).map(|h| (*s, h)))
            .collect();
        for (trace, name, chain) in [
            (SectionLine::SurgeHigh, "maximum head (surge)", high),
            (SectionLine::SurgeLow, "minimum head (surge)", low),
        ] {
            if chain.len() > 1 {
                out.push(Series {
                    trace,
                    name: format!("{name}{doubtful}"),
                    chains_m: vec![chain],
                });
            }
        }
    }
    if let Some(run) = running(study) {
        out.push(Series {
            trace: SectionLine::Running,
            name: format!("hydraulic grade line, {}", run.state()),
            chains_m: vec![
                run.points
                    .iter()
                    .flat_map(|p| {
                        let mut both = vec![(p.station_m, p.grade_line_m)];
                        if p.grade_line_below_m != p.grade_line_m {
                            both.push((p.station_m, p.grade_line_below_m));
                        }
                        both
                    })
                    .collect(),
            ],
        });
    }
    out.extend(regraded(study));
    out
}

/// What each pipe may take, as a head over the pipe.
fn rating(study: &Study, strength: &Strength) -> Option<Series> {
    let weight = study.line.environment.water_n_per_m3();
    let heights = &study.line.geometry.heights;
    let chains_m: Vec<Vec<(f64, f64)>> = strength
        .reaches
        .iter()
        .filter_map(|reach| {
            let head = reach.rating_pa? / weight;
            let inner = heights
                .station_m
                .iter()
                .filter(|s| **s > reach.from_m && **s < reach.to_m);
            let stations = std::iter::once(&reach.from_m)
                .chain(inner)
                .chain([&reach.to_m]);
            Some(stations.map(|s| (*s, heights.at(*s) + head)).collect())
        })
        .collect();
    (!chains_m.is_empty()).then_some(Series {
        trace: SectionLine::Rating,
        name: "rating of the pipe".to_owned(),
        chains_m,
    })
}

/// Where the first plan would put the pipe, over the reaches that it changes.
fn regraded(study: &Study) -> Option<Series> {
    let plan = study.regrade.first()?;
    let heights = &study.line.geometry.heights;
    let mut chains_m: Vec<Vec<(f64, f64)>> = vec![Vec::new()];
    for ((s, now), wanted) in heights
        .station_m
        .iter()
        .zip(&heights.mean_m)
        .zip(&plan.wanted_m)
    {
        match chains_m.last_mut() {
            Some(chain) if (wanted - now).abs() > 1e-3 => chain.push((*s, *wanted)),
            Some(chain) if !chain.is_empty() => chains_m.push(Vec::new()),
            _ => {}
        }
    }
    chains_m.retain(|c| c.len() > 1);
    (!chains_m.is_empty()).then_some(Series {
        trace: SectionLine::Regraded,
        name: "regraded, minimum earthwork".to_owned(),
        chains_m,
    })
}

/// The running state that is drawn: the one with the largest flow.
pub(crate) fn running(study: &Study) -> Option<&Run> {
    study.cases.largest_flow().filter(|r| r.flows())
}
