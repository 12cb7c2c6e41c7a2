//! The state with the largest flow, where it runs full by the mean heights and the working limit lies within the doubt.

use super::{Found, Severity, Study, rows};
use crate::flow::{Run, suction};
use crate::line::AirFor;
use crate::pipe::RunState;

rows! {
    /// The survey cannot tell whether the line runs full: two standard deviations lower the pressure there would be beyond what may be worked with.
    pub struct FullNotSettled {
        /// The case.
        pub case: RunState,
        /// Pressure by the mean heights, Pa.
        #[serde(rename = "least_pa")]
        pub pressure_pa: f64,
        /// The same two standard deviations lower, Pa.
        #[serde(rename = "least_low_pa")]
        pub low_pa: f64,
        /// The least that is worked with there, Pa (negative, or 0 at a vent).
        pub limit_pa: f64,
    }
    _ => "full-not-settled", "full not settled", "crests", Power;
}

pub(in crate::finding) fn found(study: &Study) -> Option<Found<FullNotSettled>> {
    let doubt_pa = &study.strength.as_ref()?.limits.doubt_pa;
    let line = &study.line;
    let run: &Run = study
        .cases
        .largest_flow()
        .filter(|r| r.flows() && r.limited.is_none())?;
    let weight = run.water.density_kg_per_m3 * line.environment.situation.gravity_m_per_s2;
    let boiling_m = suction::vapour_head_m(
        line.environment.situation.air_pa(AirFor::Hanging),
        &run.water,
        line.environment.situation.gravity_m_per_s2,
    );
    let stations: Vec<f64> = run.points.iter().map(|p| p.station_m).collect();
    let limits_m = suction::working_limits_m(line, &stations, boiling_m);
    let (point, least, doubt, limit) = run
        .points
        .iter()
        .zip(doubt_pa)
        .zip(limits_m)
        .map(|((p, doubt), limit_m)| {
            let least = p.pressure_pa.min(p.pressure_below_pa);
            (p, least, doubt, limit_m * weight)
        })
        .min_by(|a, b| (a.1 - a.2 - a.3).total_cmp(&(b.1 - b.2 - b.3)))?;
    if least - doubt >= limit {
        return None;
    }
    let what = FullNotSettled {
        case: run.state().clone(),
        pressure_pa: least,
        low_pa: least - doubt,
        limit_pa: limit,
    };
    // but at a vent the working limit is common practice and own caution
    Some(Found::at(Severity::Watch, what, point.station_m).on_memory(limit < 0.0))
}
