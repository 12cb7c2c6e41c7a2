//! What a gauge, the flow and the power do when something about the plant changes: the same steady state, solved again with the change in it.

use super::conduit::Conduit;
use super::demand::{self, Demand};
use super::{Conditions, StandingAir, WhyNot};
use crate::line::{CaseWish, Line};

/// What is different from the line as it was computed; all zero is no change.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct PlantChange {
    /// An obstruction at the mouth of the pipe, head over the square of the flow, s2/m5: h = c Q^2.
    pub obstruction_s2_per_m5: f64,
    /// How far the walls have gone from new (0) to slimed or rusted (1); more is rougher still.
    pub slime: f64,
    /// Head that standing air takes, m.
    pub air_m: f64,
    /// Station of the high point below which that air stands, m.
    pub air_at_m: f64,
    /// The water at the intake stands lower by so much, m.
    pub level_m: f64,
    /// The open area of the jets is larger by this share of it: worn positive, blocked negative.
    pub jet_share: f64,
    /// Water that leaves the pipe at its lower end before the jets, m3/s.
    pub leak_m3_per_s: f64,
    /// The gauge shows so much more than there is, m.
    pub gauge_m: f64,
}

/// Where a gauge stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dial {
    /// Station, m.
    pub station_m: f64,
    /// Dial above the pipe's centre there, m.
    pub height_m: f64,
}

/// What there is to read in a state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Response {
    /// What the gauge shows, m of water.
    pub gauge_m: f64,
    /// Flow at the jets, m3/s.
    pub flow_m3_per_s: f64,
    /// Total head at the nozzles above their axis, m.
    pub net_head_m: f64,
}

/// The steady state of a full pipe with a change in it (energy equation from still water to the nozzles, closed by the jets' own law): h = level - losses - V^2/2g - dial.
///
/// # Errors
/// Where the state has no answer: no pipe, no jets, or nothing flows any more.
pub fn respond(
    line: &Line,
    wish: &CaseWish,
    dial: Dial,
    change: &PlantChange,
) -> Result<Response, WhyNot> {
    let mut conditions = Conditions::usual(&line.environment);
    conditions.slime = change.slime;
    if change.air_m > 0.0 {
        conditions.standing_air.push(StandingAir {
            station_m: change.air_at_m,
            head_m: change.air_m,
        });
    }
    let demand = Demand::of(line.outlet.as_ref(), wish)?;
    let whole =
        Conduit::of(line, wish, &conditions)?.with_obstruction(change.obstruction_s2_per_m5);
    let conduit = match demand {
        Demand::Shut => whole,
        Demand::Flow(_) | Demand::Jets(_) => whole.with_leak(change.leak_m3_per_s),
    };
    let level_m = line.intake.water_level_m(wish.level) - change.level_m;
    let gross_head_m = level_m - line.nozzle_elevation_m();
    let (at_jets_m3_per_s, in_pipe_m3_per_s) = match &demand {
        // water that leaves below a shut valve flows through the pipe all the same
        Demand::Shut => (0.0, change.leak_m3_per_s),
        Demand::Flow(flow) => (*flow, *flow),
        Demand::Jets(indexes) => {
            if gross_head_m <= 0.0 {
                return Err(WhyNot::NoHead { gross_head_m });
            }
            let area = demand::nozzle_area_m2(line.outlet.as_ref(), indexes)
                * (1.0 + change.jet_share).max(0.0);
            let flow = demand::full_flow_m3_per_s(&conduit, gross_head_m, area)?;
            (flow, flow)
        }
    };
    let profile = conduit.profile(in_pipe_m3_per_s, &[dial.station_m]);
    let last = |v: &[f64]| v.last().copied().ok_or(WhyNot::NoPipe);
    let mut lost = last(&profile.above_m)? + last(&profile.speed_above_m)?;
    // the profile counts standing air only where water flows
    if in_pipe_m3_per_s <= 0.0 && change.air_at_m < dial.station_m {
        lost += change.air_m;
    }
    let dial_m = line.geometry.elevation_m(dial.station_m) + dial.height_m;
    Ok(Response {
        gauge_m: level_m - lost - dial_m + change.gauge_m,
        flow_m3_per_s: at_jets_m3_per_s,
        net_head_m: gross_head_m - conduit.loss_m(in_pipe_m3_per_s),
    })
}
