//! Running with the pockets of the start left in: what flow and power they take.

use super::LeftIn;
use super::lock::CrestState;
use crate::flow::Run;
use crate::line::{Line, Way};

/// Exponent of friction with flow: 2 on a rough wall, 1.75 on a smooth one; between, for plastic pipe.
const FRICTION_POWER: f64 = 1.8;

/// Each running case that runs full, with the pockets left in.
///
/// A pocket takes its own height of head (May, Allen and Nelson 2018: the loss of a pocket in 25 and 38 mm pipe is close to its vertical height), and in the air-filled part of a
/// leg the water runs as a film without the pipe's friction. What is left drives the same jets: `H - h = q^2 n + w q^1.8 f + q^2 l` with q the flow over the full one,
/// n the net head, f and l friction and local loss of the full flow, w the wetted share of the length. A machine with a fixed flow keeps its flow and loses head.
/// An estimate: within some 5 % of a full solution (tests). Basis page: start-up.
pub(super) fn left_in(line: &Line, runs: &[Run], crests: &[CrestState]) -> Vec<LeftIn> {
    let pockets = |full: bool| {
        crests.iter().filter(|c| !c.vented).map(move |c| {
            let leg_m = c.next_low_station_m - c.station_m;
            if full {
                (c.sealed_m, leg_m)
            } else {
                (c.squeezed_m, leg_m * c.squeezed_m3 / c.sealed_m3.max(1e-12))
            }
        })
    };
    let total = |full: bool| pockets(full).fold((0.0, 0.0), |s, p| (s.0 + p.0, s.1 + p.1));
    let (squeezed, full) = (total(false), total(true));
    if full.0 <= 0.0 {
        return Vec::new();
    }
    let fixed = matches!(line.outlet.as_ref().map(|o| &o.how), Some(Way::Flow(_)));
    runs.iter()
        .filter(|r| r.flows() && r.limited.is_none())
        .map(|run| {
            let with = |(head_m, dry_m): (f64, f64)| {
                let wet = 1.0 - (dry_m / line.length_m()).clamp(0.0, 1.0);
                let q = if fixed {
                    let net = run.net_head_m - head_m + run.losses.friction_m * (1.0 - wet);
                    return (net > 0.0).then_some((1.0, net / run.net_head_m));
                } else {
                    share_of_flow(run, head_m, wet)?
                };
                Some((q, q.powi(3)))
            };
            let (a, b) = (with(squeezed), with(full));
            LeftIn {
                case: run.name.clone(),
                head_compressed_m: squeezed.0,
                head_full_m: full.0,
                flow_compressed_m3_per_s: a.map(|w| w.0 * run.flow_m3_per_s),
                flow_full_m3_per_s: b.map(|w| w.0 * run.flow_m3_per_s),
                power_share_compressed: a.map_or(0.0, |w| w.1),
                power_share_full: b.map_or(0.0, |w| w.1),
            }
        })
        .collect()
}

fn share_of_flow(run: &Run, head_m: f64, wet: f64) -> Option<f64> {
    let drives = run.gross_head_m - head_m;
    let takes = |q: f64| {
        q * q * (run.net_head_m + run.losses.local_m)
            + wet * run.losses.friction_m * q.powf(FRICTION_POWER)
    };
    if drives <= 0.0 {
        return None;
    }
    let (mut low, mut high) = (0.0, 1.0);
    if takes(high) <= drives {
        return Some(high);
    }
    for _ in 0..60 {
        let mid = 0.5 * (low + high);
        if takes(mid) < drives {
            low = mid;
        } else {
            high = mid;
        }
    }
    Some(high)
}
