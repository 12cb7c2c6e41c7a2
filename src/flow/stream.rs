//! What the stream feeds: month by month, which jets, and from what flow on the intake keeps the pipe full.

use super::Conditions;
use super::case_model::CaseModel;
use super::conduit::Conduit;
use super::run::wishes;
use crate::line::{Assumed, CaseWish, Line, Measured, Running};
use crate::pipe::RunState;

/// What the stream means for the plant.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct StreamUse {
    /// One entry, or twelve in the order of the months.
    pub months: Vec<Month>,
    /// What must stay in the stream, m3/s.
    pub leave_m3_per_s: f64,
    /// Index of the month that gives least.
    pub driest: usize,
    /// What each standing state takes from the stream at the intake.
    pub takes: Vec<Takes>,
    /// What was measured, day by day, held against the states.
    pub days: Vec<StreamDay>,
    /// Nothing but the lowest measured day says what the stream carries.
    pub as_measured: bool,
}

/// A day on which the stream was measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StreamDay {
    /// Index into the line's `gauged`.
    pub gauged: usize,
    /// The largest state that it surely feeds: index into `takes`.
    pub feeds: Option<usize>,
    /// How likely it feeds the largest state there is, what must stay left in the stream, 0 to 1; `None` where no state runs.
    pub feeds_all: Option<f64>,
    /// What the largest state would leave in the stream, m3/s; less than nothing: it cannot run.
    pub left_m3_per_s: Option<f64>,
}

/// A state is surely fed where the stream carries enough for it at least so likely.
pub const SURELY: f64 = 0.95;

/// What one month gives.
#[derive(Debug, Clone, PartialEq)]
pub struct Month {
    /// The stream, m3/s.
    pub flow_m3_per_s: f64,
    /// What may be taken: the stream less what must stay, m3/s; never under 0.
    pub may_take_m3_per_s: f64,
    /// The largest standing state it feeds with the pipe full: index into `takes`. `None`: not even the smallest.
    pub feeds: Option<usize>,
}

/// What a state takes.
#[derive(Debug, Clone, PartialEq)]
pub struct Takes {
    /// Name of the state.
    pub state: RunState,
    /// Flow at the intake, m3/s: with less than this the intake cannot keep the pipe full.
    pub at_intake_m3_per_s: f64,
    /// The stream that allows it: that flow and what must stay, m3/s.
    pub stream_m3_per_s: f64,
}

/// Holds the stream against the standing states and the user's; `None` where nothing was said of the stream.
///
/// A state is worked out as if there were water enough. States that cannot run are left out.
pub fn stream(line: &Line) -> Option<StreamUse> {
    let stream = line.environment.stream.as_ref()?;
    let conditions = Conditions::usual(&line.environment);
    let takes: Vec<Takes> = wishes(line.outlet.as_ref(), &line.wishes)
        .into_iter()
        .filter(|w| w.running != Running::Shut)
        .filter_map(|wish| {
            let flow = at_intake_m3_per_s(line, &wish, &conditions)?;
            Some(Takes {
                state: wish.state,
                at_intake_m3_per_s: flow,
                stream_m3_per_s: flow + stream.leave_m3_per_s,
            })
        })
        .collect();
    let months: Vec<Month> = stream
        .flow_m3_per_s
        .iter()
        .map(|&flow_m3_per_s| {
            let may_take_m3_per_s = (flow_m3_per_s - stream.leave_m3_per_s).max(0.0);
            Month {
                flow_m3_per_s,
                may_take_m3_per_s,
                feeds: takes
                    .iter()
                    .enumerate()
                    .filter(|(_, t)| t.at_intake_m3_per_s <= may_take_m3_per_s)
                    .max_by(|a, b| a.1.at_intake_m3_per_s.total_cmp(&b.1.at_intake_m3_per_s))
                    .map(|(i, _)| i),
            }
        })
        .collect();
    let driest = months
        .iter()
        .enumerate()
        .min_by(|a, b| a.1.flow_m3_per_s.total_cmp(&b.1.flow_m3_per_s))
        .map(|(i, _)| i)?;
    Some(StreamUse {
        months,
        leave_m3_per_s: stream.leave_m3_per_s,
        driest,
        days: days(&line.measured, &takes),
        as_measured: line
            .assumed
            .iter()
            .any(|a| matches!(a, Assumed::StreamAsMeasured(_))),
        takes,
    })
}

/// Each day that was measured against what the states take.
fn days(measured: &Measured, takes: &[Takes]) -> Vec<StreamDay> {
    let most = takes
        .iter()
        .max_by(|a, b| a.at_intake_m3_per_s.total_cmp(&b.at_intake_m3_per_s));
    measured
        .gauged
        .iter()
        .enumerate()
        .map(|(gauged, g)| StreamDay {
            gauged,
            feeds: takes
                .iter()
                .enumerate()
                .filter(|(_, t)| g.probability_of(t.stream_m3_per_s) >= SURELY)
                .max_by(|a, b| a.1.at_intake_m3_per_s.total_cmp(&b.1.at_intake_m3_per_s))
                .map(|(i, _)| i),
            feeds_all: most.map(|t| g.probability_of(t.stream_m3_per_s)),
            left_m3_per_s: most.map(|t| g.flow_m3_per_s - t.at_intake_m3_per_s),
        })
        .collect()
}

fn at_intake_m3_per_s(line: &Line, wish: &CaseWish, conditions: &Conditions) -> Option<f64> {
    let mut case = CaseModel::of(line, wish, conditions).ok()?;
    case.stream_counts = false;
    let flow = case.answer().ok()?.flow_m3_per_s;
    let conduit: &Conduit = &case.conduit;
    Some(flow + conduit.taken_off_m3_per_s())
}
