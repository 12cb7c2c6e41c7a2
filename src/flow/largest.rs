//! The most power that a line can give, and the jets that reach it.

use super::case_model::CaseModel;
use super::demand::settle;
use super::{Conditions, WhyNot, demand};
use crate::line::{CaseWish, Discharge, Line, Outlet, Running};
use crate::pipe::RunState;

/// The most power of a line.
///
/// Where the loss goes with the m-th power of the flow, the most power stands where 1/(1 + m) of the head is lost: a third for m = 2, some 35 % on smooth pipe.
/// The top is flat: with half that loss there is still nine tenths of the power, so it is the end of what makes sense, not an aim.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Largest {
    /// Flow, m3/s.
    pub flow_m3_per_s: f64,
    /// Net head, m.
    pub net_head_m: f64,
    /// Lost share of the gross head.
    pub loss_share: f64,
    /// Water power, W.
    pub water_power_w: f64,
    /// Open area of the jets, each times its discharge coefficient, m2.
    pub area_m2: f64,
    /// Diameter of each of as many equal jets as the line has, m; `None` where it has none.
    pub nozzle_diameter_m: Option<f64>,
    /// The flow is held back by a point above the grade line: so much and no more keeps the line full.
    pub held_by_crest: bool,
}

/// The flow at which a share of the gross head is lost in a full line, m3/s.
pub fn flow_for_loss(line: &Line, conditions: &Conditions, share: f64) -> Result<f64, WhyNot> {
    let wish = any_flow();
    let case = CaseModel::of(line, &wish, conditions)?;
    let gross = case.gross_head_m;
    let most = demand::open_flow_m3_per_s(&case.conduit, gross)?;
    let over = |q: f64| case.conduit.loss_m(q) - share * gross;
    if most <= 0.0 || over(most * 1e-9) >= 0.0 {
        return Err(WhyNot::TapsTakeAll);
    }
    if over(most) <= 0.0 {
        return Ok(most);
    }
    settle(most * 1e-9, most, |q| -over(q))
}

/// A state that asks for a flow: only the conduit of its case is used.
fn any_flow() -> CaseWish {
    CaseWish::usual(RunState::Running, Running::Flow(1e-9))
}

/// Finds the most power of a line at its usual level, new and with its fittings as they are. The stream is left out.
pub fn largest_power(line: &Line) -> Result<Largest, WhyNot> {
    largest_under(line, &Conditions::usual(&line.environment))
}

/// The same under stated conditions.
pub fn largest_under(line: &Line, conditions: &Conditions) -> Result<Largest, WhyNot> {
    let wish = any_flow();
    let case = CaseModel::of(line, &wish, conditions)?;
    let conduit = &case.conduit;
    let gross = case.gross_head_m;
    let most = demand::open_flow_m3_per_s(conduit, gross)?;
    if most <= 0.0 {
        return Err(WhyNot::TapsTakeAll);
    }
    // power stops rising where the head left equals the flow times the slope of the loss
    let rise = |q: f64| {
        let step = 1e-5 * q;
        let slope = (conduit.loss_m(q + step) - conduit.loss_m(q - step)) / (2.0 * step);
        gross - conduit.loss_m(q) - q * slope
    };
    let free = if rise(most) >= 0.0 {
        most
    } else {
        settle(most * 1e-6, most, rise)?
    };
    let working = |i: usize| case.working_m.get(i).copied();
    let (flow, _) = case.slope(0.0).largest_flow(free, working)?;
    let g = conduit.gravity_m_per_s2;
    let net_head_m = gross - conduit.loss_m(flow);
    let area_m2 = if flow > 0.0 {
        flow / (2.0 * g * net_head_m).sqrt()
    } else {
        0.0
    };
    Ok(Largest {
        flow_m3_per_s: flow,
        net_head_m,
        loss_share: 1.0 - net_head_m / gross,
        water_power_w: conditions.water.density_kg_per_m3 * g * flow * net_head_m,
        area_m2,
        nozzle_diameter_m: nozzle_m(line.outlet.as_ref(), area_m2),
        held_by_crest: flow < free * (1.0 - 1e-9),
    })
}

/// Diameter of each of as many equal open jets as the line has, m.
fn nozzle_m(outlet: Option<&Outlet>, area_m2: f64) -> Option<f64> {
    let Discharge::Jets(jets) = &outlet?.how else {
        return None;
    };
    let coefficients: f64 = jets.iter().map(|j| j.discharge_coefficient).sum();
    (coefficients > 0.0).then(|| (area_m2 / coefficients / std::f64::consts::FRAC_PI_4).sqrt())
}
