//! The rows that are shown, on the full line: doubts, surges, strength.

use super::choice::with_pipe;
use super::chosen::{all_running, chosen};
use super::{SizeDetails, SizeRow};
use crate::line::Line;
use crate::strength::ReachStrength;
use crate::study::loads;
use crate::{flow, strength, surge};

/// Marches a row through the standard movements and the user's, and judges its pipe. `None` where it does not run.
///
/// Surges are marched as they are declared or usual, without the search for a safe time: where the margin is negative, the movement must be slower than it was taken.
pub(super) fn march(line: &Line, row: &SizeRow) -> Option<SizeDetails> {
    // with all that is known of the heights: what is shown of the line as declared is what a check of it says
    let built = if row.declared {
        line.clone()
    } else {
        chosen(&with_pipe(line, &row.zones), row.choice).ok()?
    };
    let run = flow::run(&built, &all_running(built.outlet.as_ref())).ok()?;
    let cases = flow::cases(&built);
    let options = surge::SurgeOptions {
        allowed: None,
        climb_may_hold_air: false,
        envelope_only: true,
        pressures_only: true,
        spent: 0,
    };
    let surges = surge::study(&built, &cases.runs, &options);
    let judged = strength::judge(&built, &loads(&built, &cases, Some(&surges), None));
    // pipe without a rating is not shown beside rated pipe: nothing is known of its margin
    let used: Option<Vec<(&ReachStrength, f64)>> = judged
        .reaches
        .iter()
        .map(|r| Some((r, r.use_high?)))
        .collect();
    let (worst, share) = used?.into_iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
    let governing = worst.governing.as_ref();
    Some(SizeDetails {
        flow_sd_m3_per_s: run.flow_sd_m3_per_s,
        net_head_sd_m: run.net_head_sd_m,
        water_power_sd_w: run.water_power_sd_w,
        use_high: share,
        governed_by: governing.map_or_else(String::new, |g| g.cause.which.to_string()),
        worst_station_m: governing.map_or(worst.from_m, |g| g.station_m),
        margin: 1.0 - share,
        vapour: surges.weighed().any(|s| s.vapour.is_some()),
        parts_in: surges
            .weighed()
            .filter(|s| s.vapour.is_some())
            .map(|s| s.movement.clone())
            .collect(),
    })
}
