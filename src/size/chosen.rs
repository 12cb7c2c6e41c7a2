//! A line with the jets and the pipe of a row.

use super::choice::{JetChoice, with_jets};
use crate::flow;
use crate::flow::{Conditions, WhyNot};
use crate::line::{CaseWish, Discharge, Environment, Line, Outlet, Running, Tap};

/// What all jets, or the fixed flow, ask for.
pub(super) fn all_running(outlet: Option<&Outlet>) -> CaseWish {
    let (state, running) = Discharge::everything(outlet.map(|o| &o.how));
    CaseWish::usual(state, running)
}

/// The line with the jets of a choice.
pub(super) fn chosen(line: &Line, choice: JetChoice) -> Result<Line, WhyNot> {
    let (taps, environment) = (&line.taps, &line.environment);
    let usual = Conditions::usual(environment);
    let gross = line.intake.level_m - line.nozzle_elevation_m();
    if gross <= 0.0 {
        return Err(WhyNot::NoHead {
            gross_head_m: gross,
        });
    }
    match choice {
        JetChoice::Declared => Ok(line.clone()),
        JetChoice::Loss(share) => {
            let flow = flow::flow_for_loss(line, &usual, share)?;
            for_flow(line, within_stream(taps, environment, flow))
        }
        JetChoice::Largest => {
            let best = flow::largest_under(line, &usual)?;
            for_flow(line, within_stream(taps, environment, best.flow_m3_per_s))
        }
        JetChoice::Stream => for_flow(
            line,
            stream_m3_per_s(taps, environment).ok_or(WhyNot::NoJets)?,
        ),
    }
}

/// The line with jets that pass a flow, at the head that is left at it.
pub(super) fn for_flow(line: &Line, flow_m3_per_s: f64) -> Result<Line, WhyNot> {
    if flow_m3_per_s <= 0.0 {
        return Err(WhyNot::TapsTakeAll);
    }
    let mut wish = all_running(line.outlet.as_ref());
    wish.running = Running::Flow(flow_m3_per_s);
    let run =
        flow::run_under(line, &wish, &Conditions::usual(&line.environment)).map_err(|n| n.why)?;
    Ok(with_jets(line, run.flow_m3_per_s, run.net_head_m))
}

/// A flow, or what the stream gives where that is less: larger jets would only starve.
pub(super) fn within_stream(taps: &[Tap], environment: &Environment, flow_m3_per_s: f64) -> f64 {
    stream_m3_per_s(taps, environment).map_or(flow_m3_per_s, |given| flow_m3_per_s.min(given))
}

/// What the stream gives at the turbine in its best month, m3/s.
pub(super) fn stream_m3_per_s(taps: &[Tap], environment: &Environment) -> Option<f64> {
    let stream = environment.stream.as_ref()?;
    let best = stream.flow_m3_per_s.iter().copied().fold(0.0, f64::max);
    let taken: f64 = taps.iter().map(|t| t.flow_m3_per_s).sum();
    Some(best - stream.leave_m3_per_s - taken)
}
