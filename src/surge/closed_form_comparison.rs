use super::ClosedForms;
use super::build::BuiltModel;
use super::moves::Move;
use super::transient_case::TransientCase;
use crate::flow::Run;
use crate::line::{Mover, Running};
use crate::march::closed::{Interlocking, SinglePipe};
use crate::march::{OpeningSchedule, TransientResult};
use crate::pipe::Law;

/// The handbooks' figures beside what was marched.
pub(crate) fn closed_forms(
    looking: &TransientCase<'_>,
    m: &Move,
    course: &OpeningSchedule,
    built: &BuiltModel,
    shown: &TransientResult,
) -> ClosedForms {
    let g = built.chain.gravity_m_per_s2;
    let mut above = built.chain.tubes.iter().take(built.moving_below_tube + 1);
    let flow = looking.state.flow_m3_per_s;
    let (mut length_m, mut travel_s, mut momentum) = (0.0, 0.0, 0.0);
    for tube in above.clone() {
        length_m += tube.length_m;
        travel_s += tube.travel_s();
        momentum += tube.length_m * flow / tube.area_m2();
    }
    let (full, velocity) = above
        .next_back()
        .map_or((0.0, 0.0), |t| (t.wave_speed_m_per_s, flow / t.area_m2()));
    let share = course.area(f64::INFINITY) - course.area(f64::NEG_INFINITY);
    let stopped = match m.of {
        Mover::OneJet => share.abs() / jets_running(looking.state),
        Mover::Jets | Mover::Fitting(_) => share.abs(),
    };
    let pipe = SinglePipe {
        length_m,
        wave_speed_m_per_s: length_m / travel_s.max(f64::MIN_POSITIVE),
        velocity_m_per_s: momentum / length_m.max(f64::MIN_POSITIVE) * stopped,
        head_m: looking.state.net_head_m,
        gravity_m_per_s2: g,
    };
    let over_s = course.duration_s();
    let slow = over_s > pipe.critical_time_s();
    let closes_all = matches!(m.of, Mover::Jets) && course.from >= 1.0 && course.to() <= 0.0;
    let (first, station) = shown
        .envelopes
        .get(built.moving_below_tube)
        .map_or((0.0, 0.0), |e| {
            let start = built.chain.steady_heads_m(&built.start);
            let head = start.get(built.moving_below_tube).map_or(0.0, |h| h.1);
            (head, e.to_m)
        });
    let (max, min) = shown
        .envelopes
        .get(built.moving_below_tube)
        .map_or((first, first), |e| e.at(station));
    let parts = min - looking.line.geometry.elevation_m(station) < looking.boiling_m;
    ClosedForms {
        velocity_change_m_per_s: velocity * stopped,
        joukowsky_m: full * velocity * stopped / g,
        michaud_m: slow.then(|| pipe.michaud_m(over_s)),
        rigid_m: (slow && closes_all).then(|| pipe.rigid_nozzle_m(over_s)),
        interlocking_m: (closes_all && over_s > 0.0 && course.law == Law::Area).then(|| {
            let pure = Interlocking {
                pipe_number: pipe.pipe_number(),
                phases: over_s / pipe.critical_time_s(),
            };
            (pure.closing().max - 1.0) * pipe.head_m
        }),
        blocked_jet_m: matches!(m.of, Mover::OneJet)
            .then(|| full * velocity / (g * jets_running(looking.state))),
        marched_rise_m: max - first,
        marched_fall_m: (!parts).then_some(first - min),
    }
}

fn jets_running(state: &Run) -> f64 {
    match &state.wish.running {
        Running::Jets(jets) => jets.len().max(1) as f64,
        Running::Shut | Running::Flow(_) => 1.0,
    }
}
