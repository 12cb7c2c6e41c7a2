//! A line in a running state, brought to plain tubes for the march.

use super::nodes::{Nodes, moving_fitting, place_branches, place_losses, resistance};
use super::request::ModelRequest;
use super::segment::hard_tubes;
use super::{SurgeAssumption, stand};
use crate::flow::LossSource;
use crate::line::{Discharge, Mover, Running};
use crate::march::MocGrid;
use crate::march::OpeningSchedule;
use crate::march::settle::settle;
use crate::march::{
    BranchLine, Forebay, InitialState, InlineElement, LowerEnd, Nozzles, PipeSeries, QuadraticLoss,
};

/// A line as tubes, with the joint of each thing on it.
#[derive(Debug, Clone)]
pub(crate) struct BuiltModel {
    pub(crate) chain: PipeSeries,
    pub(crate) grid: MocGrid,
    pub(crate) start: InitialState,
    /// Reach of the line behind each tube.
    pub(crate) reach_of_tube: Vec<usize>,
    /// Largest distance a thing was moved to fit the grid, m.
    pub(crate) moved_m: f64,
    /// Tube above what moves.
    pub(crate) moving_below_tube: usize,
    /// The valve, where it is one that moves.
    pub(crate) valve: Option<ValveAt>,
    /// Index into the line's stands behind each join.
    pub(crate) stand_of_join: Vec<Option<usize>>,
    /// Standpipes left out because they run over before anything moves, by their joins.
    pub(crate) short: Vec<(usize, BranchLine)>,
    /// What was taken.
    pub(crate) taken: Vec<SurgeAssumption>,
    /// In which wave a coarser march of the same had its last new extreme, where one was made.
    pub(crate) scouted_wave: Option<usize>,
}

impl BuiltModel {
    /// From, to and the nodes behind the first, half a cell apart, of each tube.
    pub(crate) fn tubes(&self) -> impl Iterator<Item = (f64, f64, usize)> {
        let mut from = 0.0;
        let tubes = self.chain.tubes.iter().zip(&self.grid.cells);
        tubes.map(move |(tube, cells)| {
            let begins = from;
            from += tube.length_m;
            (begins, from, 2 * cells)
        })
    }
}

/// Where the moving valve stands: as declared, and on the grid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct ValveAt {
    pub(crate) declared_m: f64,
    pub(crate) node_m: f64,
}

/// Builds the tubes, or nothing where the line has no pipe or nothing flows in the state.
pub(crate) fn build(wish: ModelRequest<'_>) -> Option<BuiltModel> {
    let ModelRequest { line, state, .. } = wish;
    if !state.flows() {
        return None;
    }
    let (hards, grid) = hard_tubes(wish)?;
    let mut taken = Vec::new();
    if state.limited.is_some() {
        taken.push(SurgeAssumption::RanFull);
    }
    let mut nodes = Nodes::of(&hards, &grid);
    place_losses(wish, &mut nodes);
    place_branches(wish, &mut nodes, &mut taken);
    let cut = nodes.cut(wish, &grid);
    let tubes = cut.tubes;
    let g = line.environment.situation.gravity_m_per_s2;
    let first = tubes.first()?;
    let mouth = first.velocity_head_s2_per_m5(g)
        + resistance(state, |t| {
            matches!(t, LossSource::Entrance | LossSource::Screen)
        });
    let mut chain = PipeSeries {
        gravity_m_per_s2: g,
        forebay: Forebay {
            level_m: state.level_m,
            // water that flows back out loses its velocity head in the forebay and nothing else
            mouth: QuadraticLoss {
                forth_s2_per_m5: mouth + nodes.at_mouth,
                back_s2_per_m5: nodes.at_mouth,
            },
        },
        tubes,
        joins: cut.joins,
        end: LowerEnd::Shut,
    };
    let reference = InitialState {
        flow_m3_per_s: cut.flows,
        below_shut_m: line.nozzle_elevation_m(),
    };
    let heads = chain.steady_heads_m(&reference);
    calibrate_taps(&mut chain, &reference, &heads, &cut.tap_of_join);
    let end_head = heads.last()?.1;
    let last = chain.tubes.last()?;
    chain.end = LowerEnd::Nozzles(nozzles(wish, end_head, last.velocity_head_s2_per_m5(g))?);
    // now the movement, from its own first opening
    let mut moving_below_tube = chain.tubes.len() - 1;
    let mut valve = None;
    for (i, join) in chain.joins.iter_mut().enumerate() {
        if let InlineElement::Valve(v) = &mut join.pass
            && cut.valve_of_join.get(i).copied().flatten() == moving_fitting(wish.of)
        {
            v.course = wish.course.clone();
            moving_below_tube = i;
            valve = moving_fitting(wish.of)
                .and_then(|f| line.fittings.get(f))
                .map(|f| ValveAt {
                    declared_m: f.station_m,
                    node_m: chain.tubes.iter().take(i + 1).map(|t| t.length_m).sum(),
                });
        }
    }
    let start = settle(&chain, &reference)?;
    let short =
        stand::leave_out_what_cannot_stand(&mut chain, &start, &cut.stand_of_join, &mut taken);
    if let Some(Discharge::Flow(_)) = line.outlet.as_ref().map(|o| &o.how) {
        taken.push(SurgeAssumption::FlowAsNozzle);
    }
    Some(BuiltModel {
        chain,
        grid: cut.grid,
        start,
        reach_of_tube: cut.reach_of_tube,
        moved_m: nodes.moved_m,
        moving_below_tube,
        valve,
        stand_of_join: cut.stand_of_join,
        short,
        taken,
        scouted_wave: None,
    })
}

/// A tap as an opening that passes what was declared at the head it has in the state.
fn calibrate_taps(
    chain: &mut PipeSeries,
    reference: &InitialState,
    heads: &[(f64, f64)],
    is_tap: &[bool],
) {
    let flows = reference.flow_m3_per_s.windows(2);
    let below = heads.iter().skip(1);
    for (((join, tap), flow), head) in chain.joins.iter_mut().zip(is_tap).zip(flows).zip(below) {
        if let (true, BranchLine::Tap { height_m, .. }, [above, under]) = (tap, &join.branch, flow)
        {
            let drives = head.0 - height_m;
            let off = above - under;
            join.branch = if drives > 0.0 && off > 0.0 {
                BranchLine::Tap {
                    height_m: *height_m,
                    conductance_m5_per_s2: off * off / drives,
                }
            } else {
                BranchLine::None
            };
        }
    }
}

/// Nozzles that pass the state's flow at the head the tubes leave, parted into those that stay and those that move.
fn nozzles(wish: ModelRequest<'_>, end_head: f64, approach: f64) -> Option<Nozzles> {
    let ModelRequest { line, state, .. } = wish;
    let outlet = line.outlet.as_ref()?;
    let height_m = line.nozzle_elevation_m();
    let flow = state.flow_m3_per_s;
    let head = end_head - height_m + approach * flow * flow;
    if head <= 0.0 {
        return None;
    }
    let whole = flow / (2.0 * line.environment.situation.gravity_m_per_s2 * head).sqrt();
    let areas: Vec<f64> = match (&outlet.how, &state.wish.running) {
        (Discharge::Jets(jets), Running::Jets(running)) => running
            .iter()
            .filter_map(|i| jets.get(*i))
            .map(|j| j.area_m2() * j.discharge_coefficient)
            .collect(),
        _ => vec![1.0],
    };
    let sum: f64 = areas.iter().sum();
    let largest = areas.iter().copied().fold(0.0, f64::max);
    let moved = match wish.of {
        Mover::Jets => 1.0,
        Mover::OneJet => largest / sum,
        Mover::Fitting(_) => 0.0,
    };
    Some(Nozzles {
        height_m,
        area_kept_m2: whole * (1.0 - moved),
        area_moved_m2: whole * moved,
        course: match wish.of {
            Mover::Fitting(_) => OpeningSchedule::held(1.0),
            Mover::Jets | Mover::OneJet => wish.course.clone(),
        },
        approach_s2_per_m5: approach,
    })
}
