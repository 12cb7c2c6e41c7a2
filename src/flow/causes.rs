//! What could make gauges differ from what is computed, how large each cause would have to be, and how well it fits all readings together.

use super::demand;
use super::explanation::{AirLeg, Explanation, GaugeCause, GaugeReading};
use super::run::wishes;
use crate::line::{Discharge, Line, Running};
use crate::numeric::math;
use crate::pipe::WaterLevel;

/// A cause with what one unit of it takes at each reading, m.
struct CauseResponse {
    cause: GaugeCause,
    takes: Vec<f64>,
    /// Smallest and largest size.
    range: (f64, f64),
    /// Standard deviation that is expected of it; infinite where anything in range is as likely.
    usual: f64,
}

/// Every cause fitted by itself, the best first, and whether the readings suffice to rank them.
pub(super) fn explain(
    line: &Line,
    legs: &[AirLeg],
    readings: &[GaugeReading],
) -> (Vec<Explanation>, bool) {
    let shapes: Vec<CauseResponse> = shapes(line, legs, readings)
        .into_iter()
        .filter(|s| s.takes.iter().any(|t| t.abs() > 1e-9))
        .collect();
    let alike = groups(&shapes, readings);
    let filled_m: f64 = legs.iter().map(|l| l.filled_m).sum();
    let count = alike.iter().max().map_or(0, |m| m + 1);
    let mut out: Vec<Explanation> = shapes
        .iter()
        .zip(&alike)
        .map(|(shape, &alike)| {
            let fitted = fit(shape, readings);
            let is_air = shape.cause == GaugeCause::StandingAir;
            Explanation {
                alike,
                came_later: is_air && fitted.head_m > filled_m + 2.0 * fitted.sd_m,
                crests_m: if is_air {
                    legs.iter().map(|l| l.crest_m).collect()
                } else {
                    Vec::new()
                },
                ..fitted
            }
        })
        .collect();
    out.sort_by(|a, b| b.fit.total_cmp(&a.fit));
    (out, readings.len() > count)
}

fn shapes(line: &Line, legs: &[AirLeg], readings: &[GaugeReading]) -> Vec<CauseResponse> {
    let each = |f: &dyn Fn(&GaugeReading) -> f64| readings.iter().map(f).collect::<Vec<f64>>();
    let station = |r: &GaugeReading| {
        line.measured
            .gauges
            .get(r.gauge)
            .map_or(f64::NAN, |g| g.station_m)
    };
    let length = line.geometry.length_m().max(1e-9);
    // what filling leaves sets where the air stands; where it leaves none, the legs themselves
    let filled: f64 = legs.iter().map(|l| l.filled_m).sum();
    let most_air: f64 = legs.iter().map(|l| l.full_m).sum();
    let weight = |l: &AirLeg| if filled > 0.0 { l.filled_m } else { l.full_m };
    let all_air: f64 = legs.iter().map(weight).sum();
    let air_above = |s: f64| -> f64 { legs.iter().filter(|l| l.crest_m < s).map(weight).sum() };
    let gauge_sd_m = readings
        .iter()
        .filter_map(|r| line.measured.gauges.get(r.gauge))
        .map(|g| g.pressure_sd_pa)
        .fold(0.0, f64::max)
        / (1000.0 * line.environment.situation.gravity_m_per_s2);
    let free = f64::INFINITY;
    vec![
        CauseResponse {
            cause: GaugeCause::Drop,
            takes: each(&|r| (station(r) / length).min(1.0)),
            range: (-free, free),
            // a centimetre at the least, so that a line without stated doubt is not beyond doubt
            usual: line.geometry.heights.drop_sd_m.max(0.01),
        },
        CauseResponse {
            cause: GaugeCause::Gauge,
            takes: each(&|_| 1.0),
            range: (-free, free),
            // a gauge may be off by three times its stated limit before it is called broken
            usual: 3.0 * gauge_sd_m.max(0.01),
        },
        CauseResponse {
            cause: GaugeCause::StandingAir,
            takes: each(&|r| {
                if all_air > 0.0 {
                    air_above(station(r)) / all_air
                } else {
                    0.0
                }
            }),
            range: (0.0, most_air),
            usual: free,
        },
        CauseResponse {
            cause: GaugeCause::Friction,
            takes: each(&|r| if r.shut { 0.0 } else { r.loss_expected_m }),
            range: (-0.2, free),
            usual: free,
        },
        CauseResponse {
            cause: GaugeCause::Obstruction,
            takes: each(&|r| {
                if r.shut {
                    0.0
                } else {
                    math::powi(r.flow_m3_per_s, 2) * 1e4
                }
            }),
            range: (0.0, free),
            usual: free,
        },
        CauseResponse {
            cause: GaugeCause::JetFlow,
            takes: jet_flow(line, readings),
            range: (-0.9, free),
            // a tenth of the area
            usual: 0.1,
        },
    ]
}

/// What a share more of jet area takes at each running reading whose flow was not measured: head goes with the square of the flow, so twice its loss by its net head over the gross one.
fn jet_flow(line: &Line, readings: &[GaugeReading]) -> Vec<f64> {
    let all = wishes(line.outlet.as_ref(), &line.wishes);
    readings
        .iter()
        .map(|r| {
            let state = line.measured.gauges.get(r.gauge).map(|g| &g.state);
            let jets =
                all.iter()
                    .find(|w| Some(&w.state) == state)
                    .and_then(|w| match &w.running {
                        Running::Jets(i) => Some(i),
                        _ => None,
                    });
            let is_jets = line
                .outlet
                .as_ref()
                .is_some_and(|o| matches!(o.how, Discharge::Jets(_)));
            match jets {
                Some(indexes) if !r.shut && !r.flow_measured && is_jets => {
                    let area = demand::nozzle_area_m2(line.outlet.as_ref(), indexes);
                    let g = line.environment.situation.gravity_m_per_s2;
                    let net = demand::jet_head_m(r.flow_m3_per_s, area, g);
                    let gross =
                        line.intake.water_level_m(WaterLevel::Usual) - line.nozzle_elevation_m();
                    2.0 * r.loss_expected_m * net / gross
                }
                _ => 0.0,
            }
        })
        .collect()
}

/// A cause by itself: the size it would need by weighted least squares, held in its range, and how well it fits.
///
/// The fit is that of the likeliest size: the usual size counts as a further reading, so a cause that would have to be unusually large fits badly.
fn fit(shape: &CauseResponse, readings: &[GaugeReading]) -> Explanation {
    let weights = readings
        .iter()
        .map(|r| 1.0 / math::powi(r.noise_sd_m.max(1e-4), 2));
    let prior = if shape.usual.is_finite() {
        math::powi(shape.usual, -2)
    } else {
        0.0
    };
    let mut cross = 0.0;
    let mut square = 0.0;
    for ((take, r), w) in shape.takes.iter().zip(readings).zip(weights.clone()) {
        cross -= w * take * r.off_m;
        square += w * take * take;
    }
    let needed = (cross / square).clamp(shape.range.0, shape.range.1);
    let likeliest = (cross / (square + prior)).clamp(shape.range.0, shape.range.1);
    let rest: f64 = shape
        .takes
        .iter()
        .zip(readings)
        .zip(weights)
        .map(|((take, r), w)| w * math::powi(r.off_m + take * likeliest, 2))
        .sum::<f64>()
        + prior * likeliest * likeliest;
    let most = shape
        .takes
        .iter()
        .copied()
        .fold(0.0, |a: f64, t| if t.abs() > a.abs() { t } else { a });
    Explanation {
        cause: shape.cause,
        head_m: most * needed,
        sd_m: (most * math::powf(square, -0.5)).abs(),
        fit: math::exp(-0.5 * rest / readings.len() as f64),
        alike: 0,
        crests_m: Vec::new(),
        came_later: false,
    }
}

/// Numbers the shapes so that those get one number which these readings cannot tell apart: at the size that explains most, they differ by less than twice the doubt.
fn groups(shapes: &[CauseResponse], readings: &[GaugeReading]) -> Vec<usize> {
    let mut out: Vec<usize> = Vec::new();
    let mut leaders: Vec<&CauseResponse> = Vec::new();
    for shape in shapes {
        let found = leaders.iter().position(|l| look_alike(l, shape, readings));
        out.push(found.unwrap_or(leaders.len()));
        if found.is_none() {
            leaders.push(shape);
        }
    }
    out
}

fn look_alike(a: &CauseResponse, b: &CauseResponse, readings: &[GaugeReading]) -> bool {
    let white = |s: &CauseResponse| -> Vec<f64> {
        s.takes
            .iter()
            .zip(readings)
            .map(|(t, r)| t / r.noise_sd_m.max(1e-4))
            .collect()
    };
    let dot = |x: &[f64], y: &[f64]| x.iter().zip(y).map(|(p, q)| p * q).sum::<f64>();
    let (wa, wb) = (white(a), white(b));
    let (aa, bb, ab) = (dot(&wa, &wa), dot(&wb, &wb), dot(&wa, &wb));
    if aa <= 0.0 || bb <= 0.0 {
        return false;
    }
    // what is left of one after the best of the other, for a size that explains the readings
    let off: Vec<f64> = readings
        .iter()
        .map(|r| r.off_m / r.noise_sd_m.max(1e-4))
        .collect();
    let size = dot(&wb, &off) / bb;
    let left = (bb - ab * ab / aa).max(0.0).sqrt() * size.abs();
    left < 2.0
}
