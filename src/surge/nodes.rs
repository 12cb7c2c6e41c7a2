use super::request::ModelRequest;
use super::segment::{Segment, bare_tube};
use super::{SurgeAssumption, stand};
use crate::flow::{LossSource, Run};
use crate::line::Mover;
use crate::march::MocGrid;
use crate::march::OpeningSchedule;
use crate::march::valve::{ValveKind, ValveLaw};
use crate::march::{BranchLine, InlineElement, Join, QuadraticLoss, Tube, Valve};
use crate::numeric::math;
use crate::pipe::FittingKind;
use std::collections::BTreeMap;

/// Things at one node.
#[derive(Debug, Clone, Default)]
struct NodeElements {
    drop: QuadraticLoss,
    one_way: bool,
    valve: Option<usize>,
    branch: Option<BranchLine>,
    /// Index into the line's stands, where the branch is one of them.
    stand: Option<usize>,
}

/// The fitting that moves, where it is one.
pub(crate) fn moving_fitting(of: &Mover) -> Option<usize> {
    match of {
        Mover::Fitting(i) => Some(*i),
        Mover::Jets | Mover::OneJet => None,
    }
}

/// Loss over flow squared of the items that are asked for, s2/m5.
pub(crate) fn resistance(state: &Run, asked: impl Fn(LossSource) -> bool) -> f64 {
    state
        .losses
        .items
        .iter()
        .filter(|i| asked(i.by))
        .map(|i| i.head_m / math::powi(flow_at(state, i.from_m), 2))
        .sum()
}

fn flow_at(state: &Run, station_m: f64) -> f64 {
    state
        .stretch_at(station_m)
        .map_or(state.flow_m3_per_s, |s| s.flow_m3_per_s)
        .max(f64::MIN_POSITIVE.sqrt())
}

/// All nodes of whole steps on the line, numbered from the mouth, with what is placed on them.
pub(crate) struct Nodes {
    station_m: Vec<f64>,
    /// Nodes at which one hard tube meets the next, with the tube below.
    borders: Vec<usize>,
    placed: BTreeMap<usize, NodeElements>,
    hards: Vec<Segment>,
    /// Largest distance a thing was moved, m.
    pub(crate) moved_m: f64,
    /// Passive loss that stands at the very mouth, s2/m5.
    pub(crate) at_mouth: f64,
}

impl Nodes {
    pub(crate) fn of(hards: &[Segment], grid: &MocGrid) -> Self {
        let mut station_m = vec![hards.first().map_or(0.0, |h| h.from_m)];
        let mut borders = Vec::new();
        for (hard, &cells) in hards.iter().zip(&grid.cells) {
            for j in 1..=cells {
                let share = j as f64 / cells as f64;
                station_m.push(hard.from_m + (hard.to_m - hard.from_m) * share);
            }
            borders.push(station_m.len() - 1);
        }
        borders.pop();
        Self {
            station_m,
            borders,
            placed: BTreeMap::new(),
            hards: hards.to_vec(),
            moved_m: 0.0,
            at_mouth: 0.0,
        }
    }

    /// The free inner node nearest to a station.
    fn nearest(
        &mut self,
        station_m: f64,
        free: impl Fn(&NodeElements) -> bool,
    ) -> Option<&mut NodeElements> {
        let last = self.station_m.len().checked_sub(2)?;
        let node = (1..=last)
            .filter(|n| self.placed.get(n).is_none_or(&free))
            .min_by(|a, b| self.off(*a, station_m).total_cmp(&self.off(*b, station_m)))?;
        self.moved_m = self.moved_m.max(self.off(node, station_m));
        Some(self.placed.entry(node).or_default())
    }

    fn off(&self, node: usize, station_m: f64) -> f64 {
        self.station_m
            .get(node)
            .map_or(f64::INFINITY, |s| (s - station_m).abs())
    }
}

/// Losses at points, what lets nothing back, and the valve that moves.
pub(crate) fn place_losses(wish: ModelRequest<'_>, nodes: &mut Nodes) {
    let ModelRequest { line, state, .. } = wish;
    let first_cell = nodes.station_m.get(1).copied().unwrap_or(0.0);
    for item in &state.losses.items {
        let r = item.head_m / math::powi(flow_at(state, item.from_m), 2);
        let (one_way, valve) = match item.by {
            LossSource::Fitting(i) => {
                let kind = line.fittings.get(i).map(|f| f.kind);
                let moves = moving_fitting(wish.of) == Some(i);
                (kind == Some(FittingKind::CheckValve), moves.then_some(i))
            }
            LossSource::ChangeOfBore(_) | LossSource::Air => (false, None),
            // friction and bends run along the tubes; the mouth is the forebay's; a fall has no place in a full pipe
            LossSource::Wall(_)
            | LossSource::Bend(_)
            | LossSource::Entrance
            | LossSource::Screen
            | LossSource::Fall => {
                continue;
            }
        };
        if valve.is_none() && !one_way && item.from_m < first_cell / 2.0 {
            nodes.at_mouth += r;
            continue;
        }
        let free = |p: &NodeElements| valve.is_none() || p.valve.is_none();
        if let Some(placed) = nodes.nearest(item.from_m, free) {
            placed.one_way |= one_way;
            placed.valve = placed.valve.or(valve);
            placed.drop.forth_s2_per_m5 += r;
            placed.drop.back_s2_per_m5 += r;
        }
    }
    // a valve that takes nothing when open may stand in no list of losses
    if let Some(i) = moving_fitting(wish.of)
        && !nodes.placed.values().any(|p| p.valve == Some(i))
        && let Some(fitting) = line.fittings.get(i)
        && let Some(placed) = nodes.nearest(fitting.station_m, |p| p.valve.is_none())
    {
        placed.valve = Some(i);
    }
}

/// Taps, and the stands that count.
pub(crate) fn place_branches(
    wish: ModelRequest<'_>,
    nodes: &mut Nodes,
    taken: &mut Vec<SurgeAssumption>,
) {
    let line = wish.line;
    for tap in line.taps.iter().filter(|t| t.flow_m3_per_s > 0.0) {
        if let Some(placed) = nodes.nearest(tap.station_m, |p| p.branch.is_none()) {
            placed.branch = Some(BranchLine::Tap {
                height_m: line.geometry.elevation_m(tap.station_m),
                conductance_m5_per_s2: tap.flow_m3_per_s,
            });
        }
    }
    let half_cell_m = nodes.station_m.get(1).copied().unwrap_or(0.0) / 2.0;
    let moving_m = moving_fitting(wish.of)
        .and_then(|f| line.fittings.get(f))
        .map_or(f64::INFINITY, |f| f.station_m);
    for (i, stand) in line.stands.iter().enumerate() {
        match stand::branch_of(line, stand) {
            stand::Counts::Not => {}
            stand::Counts::Unknown => taken.push(SurgeAssumption::StandLeftOut(i)),
            // Nearer to the mouth than to any node it stands under the forebay's level, which does not move; a cell further down a coarse grid would empty it.
            stand::Counts::Yes(_)
                if stand.station_m < half_cell_m && stand.station_m < moving_m =>
            {
                taken.push(SurgeAssumption::StandCounted(i));
            }
            stand::Counts::Yes(branch) => {
                if let Some(placed) = nodes.nearest(stand.station_m, |p| p.branch.is_none()) {
                    placed.branch = Some(branch);
                    placed.stand = Some(i);
                    taken.push(SurgeAssumption::StandCounted(i));
                } else {
                    taken.push(SurgeAssumption::StandLeftOut(i));
                }
            }
        }
    }
}

/// Tubes cut at every node that carries something.
pub(crate) struct Cut {
    pub(crate) tubes: Vec<Tube>,
    pub(crate) joins: Vec<Join>,
    pub(crate) flows: Vec<f64>,
    pub(crate) grid: MocGrid,
    pub(crate) reach_of_tube: Vec<usize>,
    pub(crate) valve_of_join: Vec<Option<usize>>,
    pub(crate) tap_of_join: Vec<bool>,
    pub(crate) stand_of_join: Vec<Option<usize>>,
}

impl Nodes {
    pub(crate) fn cut(&self, wish: ModelRequest<'_>, grid: &MocGrid) -> Cut {
        let g = wish.line.environment.situation.gravity_m_per_s2;
        let mut cuts: Vec<usize> = self
            .placed
            .keys()
            .copied()
            .chain(self.borders.clone())
            .collect();
        cuts.push(self.station_m.len() - 1);
        cuts.sort_unstable();
        cuts.dedup();
        let mut out = Cut {
            tubes: Vec::new(),
            joins: Vec::new(),
            flows: Vec::new(),
            grid: MocGrid {
                step_s: grid.step_s,
                cells: Vec::new(),
                wave_speeds_m_per_s: Vec::new(),
                adjustment: grid.adjustment,
                sliver_adjustment: grid.sliver_adjustment,
            },
            reach_of_tube: Vec::new(),
            valve_of_join: Vec::new(),
            tap_of_join: Vec::new(),
            stand_of_join: Vec::new(),
        };
        let mut from = 0;
        for &to in &cuts {
            let tube_no = self.borders.iter().filter(|b| **b < to).count();
            let (Some(&hard), Some(&speed)) = (
                self.hards.get(tube_no),
                grid.wave_speeds_m_per_s.get(tube_no),
            ) else {
                continue;
            };
            let at = |n: usize| self.station_m.get(n).copied().unwrap_or(0.0);
            let (from_m, to_m) = (at(from), at(to));
            let Some(mut tube) = bare_tube(
                wish,
                Segment {
                    from_m,
                    to_m,
                    ..hard
                },
            ) else {
                continue;
            };
            tube.wave_speed_m_per_s = speed;
            let flow = flow_at(wish.state, 0.5 * (from_m + to_m));
            tube.friction_factor = loss_along(wish.state, from_m, to_m) * tube.bore_m
                / (tube.length_m * tube.velocity_head_s2_per_m5(g) * flow * flow);
            if let Some(upper) = out.tubes.last() {
                let placed = self.placed.get(&from).cloned().unwrap_or_default();
                // velocity head gained or lost: by the bore, and by what is taken off at the join
                let above = out.flows.last().copied().unwrap_or(flow);
                let change = tube.velocity_head_s2_per_m5(g) * math::powi(flow / above, 2)
                    - Tube::velocity_head_s2_per_m5(upper, g);
                out.joins.push(self.join(wish, &placed, change, &tube));
                out.valve_of_join.push(placed.valve);
                out.tap_of_join
                    .push(matches!(placed.branch, Some(BranchLine::Tap { .. })));
                out.stand_of_join.push(placed.stand);
            }
            out.tubes.push(tube);
            out.flows.push(flow);
            out.grid.cells.push(to - from);
            out.grid.wave_speeds_m_per_s.push(speed);
            out.reach_of_tube.push(hard.reach);
            from = to;
        }
        out
    }

    fn join(
        &self,
        wish: ModelRequest<'_>,
        placed: &NodeElements,
        change: f64,
        below: &Tube,
    ) -> Join {
        let mut drop = QuadraticLoss {
            forth_s2_per_m5: placed.drop.forth_s2_per_m5 + change,
            back_s2_per_m5: placed.drop.back_s2_per_m5 - change,
        };
        let valve = placed.valve.and_then(|i| {
            let fitting = wish.line.fittings.get(i)?;
            Some((
                ValveKind::of(fitting.kind)?,
                i,
                wish.state.wish.open(fitting),
            ))
        });
        let pass = match valve {
            Some((kind, i, open)) => {
                let g = wish.line.environment.situation.gravity_m_per_s2;
                let head = below.velocity_head_s2_per_m5(g);
                let own = resistance(wish.state, |t| t == LossSource::Fitting(i));
                drop.forth_s2_per_m5 -= own;
                drop.back_s2_per_m5 -= own;
                let bare = ValveLaw {
                    kind,
                    by: wish.course.law,
                    shift: 0.0,
                };
                let shift = own / head - bare.loss_coefficient(open);
                InlineElement::Valve(Valve {
                    rest: drop,
                    law: ValveLaw { shift, ..bare },
                    velocity_head_s2_per_m5: head,
                    course: OpeningSchedule::held(open),
                })
            }
            None if placed.one_way => InlineElement::OneWay(drop),
            None if drop == QuadraticLoss::default() => InlineElement::Free,
            None => InlineElement::Still(drop),
        };
        Join {
            pass,
            branch: placed.branch.clone().unwrap_or_default(),
        }
    }
}

/// Loss along the walls and in the bends between two stations, m.
fn loss_along(state: &Run, from_m: f64, to_m: f64) -> f64 {
    let walls: f64 = state
        .losses
        .items
        .iter()
        .filter(|i| matches!(i.by, LossSource::Wall(_)))
        .map(|i| {
            let within = (i.to_m.min(to_m) - i.from_m.max(from_m)).max(0.0);
            i.head_m * within / (i.to_m - i.from_m).max(f64::MIN_POSITIVE)
        })
        .sum();
    let bends: f64 = state
        .losses
        .items
        .iter()
        .filter(|i| matches!(i.by, LossSource::Bend(_)) && i.from_m >= from_m && i.from_m < to_m)
        .map(|i| i.head_m)
        .sum();
    walls + bends
}
