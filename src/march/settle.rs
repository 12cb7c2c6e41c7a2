use super::node::falling_root;
use super::pipe_series::{
    BranchLine, InitialState, InlineElement, LowerEnd, PipeSeries, QuadraticLoss,
};

/// The steady state of a chain before anything moves, near a reference state.
///
/// The flow at the mouth is the unknown: it is walked down the tubes, taps take theirs, and what is left must be what the nozzles pass at the head that is left.
/// Below a shut valve the water stands at the reference's head for that.
pub(crate) fn settle(chain: &PipeSeries, reference: &InitialState) -> Option<InitialState> {
    let guess = reference.flow_m3_per_s.first().copied()?;
    let off = |flow: f64| -walk(chain, flow).2;
    let near = off(guess).abs() <= 1e-12 * guess.abs();
    // a metre of flow is no scale: a hundredth of the reference is
    let flow = if near {
        guess
    } else {
        falling_root(off, guess, 1.0)
    };
    let (mut flows, shut_from, _) = walk(chain, flow);
    if let Some(from) = shut_from {
        for f in flows.iter_mut().skip(from) {
            *f = 0.0;
        }
    }
    Some(InitialState {
        flow_m3_per_s: flows,
        below_shut_m: reference.below_shut_m,
    })
}

/// Flows in the tubes for a flow at the mouth, the first tube below a shut valve, and by how much more arrives at the outlet or that valve than leaves there.
fn walk(chain: &PipeSeries, flow_at_mouth: f64) -> (Vec<f64>, Option<usize>, f64) {
    let g = chain.gravity_m_per_s2;
    let mut flow = flow_at_mouth;
    let mut head = chain.forebay.level_m - chain.forebay.mouth.head_m(flow);
    let mut flows = Vec::with_capacity(chain.tubes.len());
    let mut joins = chain.joins.iter();
    for (i, tube) in chain.tubes.iter().enumerate() {
        if i > 0
            && let Some(join) = joins.next()
        {
            let drop = match &join.pass {
                InlineElement::Free => QuadraticLoss::default(),
                InlineElement::Still(d) | InlineElement::OneWay(d) => *d,
                InlineElement::Valve(v) => v.drop_at(f64::NEG_INFINITY),
            };
            if !drop.forth_s2_per_m5.is_finite() {
                let arrives = flow;
                flows.resize(chain.tubes.len(), 0.0);
                return (flows, Some(i), arrives);
            }
            head -= drop.head_m(flow);
            if let BranchLine::Tap {
                height_m,
                conductance_m5_per_s2,
            } = join.branch
            {
                flow -= ((head - height_m).max(0.0) * conductance_m5_per_s2).sqrt();
            }
        }
        head -= tube.friction_factor * tube.length_m / tube.bore_m
            * tube.velocity_head_s2_per_m5(g)
            * flow
            * flow.abs();
        flows.push(flow);
    }
    let leaves = match &chain.end {
        LowerEnd::Shut => 0.0,
        LowerEnd::Nozzles(n) => {
            let conductance = n.conductance_m5_per_s2(f64::NEG_INFINITY, g);
            ((head - n.height_m).max(0.0) * conductance).sqrt()
        }
    };
    (flows, None, flow - leaves)
}
