//! What the turbine asks for, and the flow that a full pipe gives it.

use super::WhyNot;
use super::conduit::Conduit;
use crate::line::{CaseWish, Discharge, Jet, Outlet, Running};
use crate::numeric::math;
use crate::numeric::{Bracket, root};

/// What passes the water at the end of the pipe.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Demand {
    /// Nothing runs.
    Shut,
    /// Jets, by their indexes.
    Jets(Vec<usize>),
    /// A fixed flow, m3/s.
    Flow(f64),
}

impl Demand {
    pub(super) fn of(outlet: Option<&Outlet>, wish: &CaseWish) -> Result<Self, WhyNot> {
        match &wish.running {
            Running::Shut => Ok(Self::Shut),
            Running::Flow(flow) if *flow > 0.0 => Ok(Self::Flow(*flow)),
            Running::Flow(_) => Ok(Self::Shut),
            Running::Jets(indexes) => {
                if nozzle_area_m2(outlet, indexes) > 0.0 {
                    Ok(Self::Jets(indexes.clone()))
                } else {
                    Err(WhyNot::NoJets)
                }
            }
        }
    }
}

/// The jets by their indexes; those that are not there are left out.
pub(super) fn jets<'a>(
    outlet: Option<&'a Outlet>,
    indexes: &'a [usize],
) -> impl Iterator<Item = (usize, &'a Jet)> {
    let all: &[Jet] = match outlet.map(|o| &o.how) {
        Some(Discharge::Jets(all)) => all,
        _ => &[],
    };
    indexes.iter().filter_map(|&i| Some((i, all.get(i)?)))
}

/// Open area of the jets, each times its discharge coefficient, m2.
pub(super) fn nozzle_area_m2(outlet: Option<&Outlet>, indexes: &[usize]) -> f64 {
    jets(outlet, indexes)
        .map(|(_, j)| j.area_m2() * j.discharge_coefficient)
        .sum()
}

/// Head that drives a flow through an area, m: (Q / A)^2 / 2g.
pub(super) fn jet_head_m(flow_m3_per_s: f64, area_m2: f64, gravity_m_per_s2: f64) -> f64 {
    math::powi(flow_m3_per_s / area_m2, 2) / (2.0 * gravity_m_per_s2)
}

/// The flow at which losses and the head of the jets together use up the gross head; 0 where air takes it all.
pub(super) fn full_flow_m3_per_s(
    conduit: &Conduit,
    gross_head_m: f64,
    area_m2: f64,
) -> Result<f64, WhyNot> {
    let g = conduit.gravity_m_per_s2;
    if gross_head_m - conduit.air_m(1.0) <= 0.0 {
        return Ok(0.0);
    }
    // a little over what no loss at all would give, so that a lossless pipe has its root inside
    let most = 1.000_001 * area_m2 * (2.0 * g * gross_head_m).sqrt();
    let tiny = most * 1e-9;
    let left = |q: f64| gross_head_m - conduit.loss_m(q) - jet_head_m(q, area_m2, g);
    if left(tiny) <= 0.0 {
        return Err(WhyNot::TapsTakeAll);
    }
    settle(tiny, most, left)
}

/// The flow with the pipe's end open: the most it can pass.
pub(super) fn open_flow_m3_per_s(conduit: &Conduit, gross_head_m: f64) -> Result<f64, WhyNot> {
    let left = |q: f64| gross_head_m - conduit.loss_m(q) - conduit.end_velocity_head_m(q);
    let Some(last) = conduit.channels.last() else {
        return Err(WhyNot::NoPipe);
    };
    let most =
        1.000_001 * last.area_m2 * (2.0 * conduit.gravity_m_per_s2 * gross_head_m.max(0.0)).sqrt();
    let tiny = most * 1e-9;
    if left(tiny) <= 0.0 {
        return Ok(0.0);
    }
    settle(tiny, most, left)
}

/// Root to rounding of a function that falls from above 0 to below.
pub(super) fn settle(low: f64, high: f64, f: impl FnMut(f64) -> f64) -> Result<f64, WhyNot> {
    root(
        Bracket {
            low,
            high,
            width: high * 1e-14,
        },
        f,
    )
    .map_err(|_| WhyNot::NotSettled)
}

/// Root to a thousandth of a function that rises from under 0 to above; `None` where it does not.
pub(super) fn settle_loosely(low: f64, high: f64, f: impl FnMut(f64) -> f64) -> Option<f64> {
    root(
        Bracket {
            low,
            high,
            width: 1e-4,
        },
        f,
    )
    .ok()
}
