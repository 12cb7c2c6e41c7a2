//! The march along the characteristics over plain tubes, Courant's number exactly one.
//!
//! Nodes stand at the ends of cells at whole steps and in the middle of cells at half steps: the only points that a change at an end can reach, so nothing is interpolated.

use super::grid::MocGrid;
use super::kernel::{Cells, Characteristic, HalfCell, NodeRow, half_step};
use super::node::{self, Around, BoundaryState, EndAir};
use super::pipe_series::{BranchLine, InitialState, InlineElement, LowerEnd, PipeSeries};
use super::place::GridPoint;
use super::quiet::Quiet;
use super::riser::RiserWater;
use super::work::{JOIN_NODES, air_nodes, cells_of};
use super::{Envelope, Extreme, QuadraticLoss, TransientOptions, TransientResult};

/// One tube in the rows: its first node, and what half a cell of it does.
#[derive(Debug, Clone, Copy)]
struct TubeAt {
    first: usize,
    cells: usize,
    cell: HalfCell,
}

impl TubeAt {
    /// Its last node.
    fn last(self) -> usize {
        self.first + self.cells
    }
}

/// The chain while it is marched: nodes of whole steps, and of half steps between them, tube after tube.
struct NodeGrid {
    whole: NodeRow,
    half: NodeRow,
    cells: Cells,
    tubes: Vec<TubeAt>,
}

impl NodeGrid {
    fn new(chain: &PipeSeries, grid: &MocGrid, steady: &[(f64, f64)], flows: &[f64]) -> Self {
        let mut tubes: Vec<TubeAt> = Vec::with_capacity(chain.tubes.len());
        let mut cells = Cells::default();
        let (mut whole, mut half) = (Vec::new(), Vec::new());
        let (mut whole_flow, mut half_flow) = (Vec::new(), Vec::new());
        let each = chain.tubes.iter().zip(steady).zip(flows);
        let each = each.zip(grid.cells.iter().zip(&grid.wave_speeds_m_per_s));
        for (((tube, heads), &flow), (&count, &wave_speed)) in each {
            let along = |share: f64| heads.0 + (heads.1 - heads.0) * share;
            let n = count as f64;
            let g = chain.gravity_m_per_s2;
            let cell = HalfCell {
                impedance: wave_speed / (g * tube.area_m2()),
                resistance: tube.friction_factor * tube.length_m / (2.0 * n) / tube.bore_m
                    * tube.velocity_head_s2_per_m5(g),
            };
            tubes.push(TubeAt {
                first: whole.len(),
                cells: count,
                cell,
            });
            whole.extend((0..=count).map(|i| along(i as f64 / n)));
            // one place more than it has half nodes: between it and the next tube
            half.extend((0..=count).map(|i| along(((i as f64 + 0.5) / n).min(1.0))));
            whole_flow.resize(whole.len(), flow);
            half_flow.resize(half.len(), flow);
            cells.impedance.resize(half.len(), cell.impedance);
            cells.resistance.resize(half.len(), cell.resistance);
        }
        // behind the last tube there is nothing
        half.pop();
        half_flow.pop();
        let between = tubes.len().saturating_sub(1);
        let gaps = tubes.iter().take(between).map(|t| t.last()).collect();
        let ends: Vec<usize> = tubes.iter().flat_map(|t| [t.first, t.last()]).collect();
        Self {
            whole: NodeRow::at(whole, whole_flow, ends, Vec::new()),
            half: NodeRow::at(half, half_flow, [], gaps),
            cells,
            tubes,
        }
    }

    fn rows(&mut self) -> [&mut NodeRow; 2] {
        [&mut self.whole, &mut self.half]
    }

    /// One step: every node between the ends of its tube.
    fn step(&mut self) {
        half_step(&self.whole, &mut self.half, 0, &self.cells);
        half_step(&self.half, &mut self.whole, 1, &self.cells);
    }

    /// The wave that runs down to the end of a tube.
    fn down(&self, tube: TubeAt) -> Characteristic {
        tube.cell.down(self.half.get(tube.last() - 1))
    }

    /// The wave that runs up to its beginning.
    fn up(&self, tube: TubeAt) -> Characteristic {
        tube.cell.up(self.half.get(tube.first))
    }

    fn envelope(&self, tube: TubeAt, from_m: f64, length_m: f64) -> Envelope {
        let weave = |whole: &[f64], half: &[f64]| {
            let mut out = Vec::with_capacity(2 * tube.cells + 1);
            let mut between = half.iter().skip(tube.first).take(tube.cells);
            for w in whole.iter().skip(tube.first).take(tube.cells + 1) {
                out.push(*w);
                out.extend(between.next());
            }
            out
        };
        Envelope {
            from_m,
            to_m: from_m + length_m,
            max_m: weave(&self.whole.max, &self.half.max),
            min_m: weave(&self.whole.min, &self.half.min),
        }
    }

    fn head_at(&self, place: GridPoint) -> f64 {
        place.head(|i| self.whole.head.get(i).copied())
    }
}

/// Marches a chain from a steady state.
///
/// Quasi-steady friction with the factor of each tube held; linear elastic walls; no parting of the water: heads below the boiling limit are those of water that would not part, and the caller says so.
/// Each movement begins at time 0. Wylie and Streeter (1993) for the method; this net of whole and half steps is one of its two independent halves.
pub fn run_moc(
    chain: &PipeSeries,
    grid: &MocGrid,
    start: &InitialState,
    orders: &TransientOptions,
) -> TransientResult {
    march(chain, grid, start, orders, &[]).0
}

/// The same, with the heads at some nodes of whole steps, step by step, m.
pub(crate) fn march(
    chain: &PipeSeries,
    grid: &MocGrid,
    start: &InitialState,
    orders: &TransientOptions,
    nodes: &[usize],
) -> (TransientResult, Vec<Vec<f64>>) {
    let g = chain.gravity_m_per_s2;
    let around = Around {
        gravity: g,
        air_head: orders.air_head_m,
        step: grid.step_s,
    };
    let steady = chain.steady_heads_m(start);
    let mut net = NodeGrid::new(chain, grid, &steady, &start.flow_m3_per_s);
    let mut memories: Vec<BoundaryState> = steady
        .iter()
        .skip(1)
        .map(|h| BoundaryState::at(h.0))
        .collect();
    let spots = |stations: &mut dyn Iterator<Item = f64>| -> Vec<GridPoint> {
        stations.map(|s| GridPoint::of(chain, grid, s)).collect()
    };
    let watch = spots(&mut orders.watch_m.iter().copied());
    let floors = spots(&mut orders.floors.iter().map(|f| f.station_m));
    let steps = (orders.duration_s / grid.step_s - 1e-9).ceil().max(0.0) as usize;
    let mut watched_m: Vec<Vec<f64>> = watch
        .iter()
        .map(|&s| {
            let mut heads = Vec::with_capacity(steps + 1);
            heads.push(net.head_at(s));
            heads
        })
        .collect();
    let mut kept: Vec<Vec<f64>> = nodes.iter().map(|&n| vec![net.whole.get(n).0]).collect();
    let ghosts = spots(&mut orders.risers.iter().map(|r| r.station_m));
    let mut risers: Vec<RiserWater> = orders
        .risers
        .iter()
        .zip(&ghosts)
        .map(|(r, &s)| RiserWater::at_rest(r, net.head_at(s)))
        .collect();
    let mut first_below = None;
    let mut air = EndAir::default();
    let mut air_at_end = false;
    let first = steady.last().map_or(0.0, |h| h.1);
    let mut outlet = Extreme {
        max_m: first,
        max_at_s: 0.0,
        min_m: first,
        min_at_s: 0.0,
    };
    let mut last = (first, start.flow_m3_per_s.last().copied().unwrap_or(0.0));
    let wave_steps = ((chain.critical_time_s() / grid.step_s).ceil() as usize).max(1);
    let mut quiet = None;
    let mut step = 0;
    let mut air_steps = 0;
    loop {
        if step >= steps {
            if !orders.until_quiet {
                break;
            }
            let rows = net.rows().into_iter();
            match &mut quiet {
                None => quiet = Some(Quiet::from(rows)),
                Some(quiet) if (step - steps).is_multiple_of(wave_steps) => {
                    if quiet.wave(rows) {
                        break;
                    }
                }
                Some(_) => {}
            }
        }
        step += 1;
        let time_s = step as f64 * grid.step_s;
        net.step();
        meet_forebay(chain, &mut net);
        meet_joins(chain, &mut net, &mut memories, around, time_s);
        let held = chain.joins.iter().zip(&memories);
        air_steps += held
            .filter(|(_, m)| m.holds_air())
            .map(|(join, _)| air_nodes(join))
            .sum::<u64>();
        last = meet_end(chain, &mut net, &mut air, around, time_s);
        air_at_end |= air.room > 0.0;
        if last.0 > outlet.max_m {
            (outlet.max_m, outlet.max_at_s) = (last.0, time_s);
        }
        if last.0 < outlet.min_m {
            (outlet.min_m, outlet.min_at_s) = (last.0, time_s);
        }
        for (heads, &spot) in watched_m.iter_mut().zip(&watch) {
            heads.push(net.head_at(spot));
        }
        for (heads, &node) in kept.iter_mut().zip(nodes) {
            heads.push(net.whole.get(node).0);
        }
        for (water, &spot) in risers.iter_mut().zip(&ghosts) {
            water.step(net.head_at(spot), g, grid.step_s);
        }
        if first_below.is_none() {
            first_below = floors
                .iter()
                .zip(&orders.floors)
                .position(|(&spot, floor)| net.head_at(spot) < floor.head_m)
                .map(|i| (i, time_s));
        }
    }
    for row in net.rows() {
        row.settle();
    }
    if let Some(quiet) = quiet {
        quiet.close(net.rows().into_iter());
    }
    let standpipes_m = chain
        .joins
        .iter()
        .zip(&memories)
        .map(|(join, m)| matches!(join.branch, BranchLine::Standpipe { .. }).then_some(m.highest))
        .collect();
    let mut from = 0.0;
    let envelopes = chain
        .tubes
        .iter()
        .zip(&net.tubes)
        .map(|(tube, &laid)| {
            let e = net.envelope(laid, from, tube.length_m);
            from += tube.length_m;
            e
        })
        .collect();
    let marched = TransientResult {
        step_s: grid.step_s,
        node_steps: step as u64 * (cells_of(grid) + JOIN_NODES * chain.joins.len() as u64)
            + air_steps,
        envelopes,
        watched_m,
        first_below,
        risers_m: risers.iter().map(|w| w.highest_m).collect(),
        standpipes_m,
        last_flow_m3_per_s: last.1,
        last_head_m: last.0,
        air_at_end,
        outlet,
    };
    (marched, kept)
}

fn meet_forebay(chain: &PipeSeries, net: &mut NodeGrid) {
    if let Some(&tube) = net.tubes.first() {
        let (head, flow) = node::forebay(&chain.forebay, net.up(tube));
        net.whole.meet(0, head, flow);
    }
}

fn meet_joins(
    chain: &PipeSeries,
    net: &mut NodeGrid,
    memories: &mut [BoundaryState],
    around: Around,
    time_s: f64,
) {
    let mut joins = chain.joins.iter();
    for (i, memory) in memories.iter_mut().enumerate() {
        let Some(&[upper, lower]) = net.tubes.get(i..i + 2) else {
            return;
        };
        let (down, up) = (net.down(upper), net.up(lower));
        let met = match joins.next() {
            None => node::pass(QuadraticLoss::default(), false, down, up),
            Some(join) => {
                let (drop, one_way) = match &join.pass {
                    InlineElement::Free => (QuadraticLoss::default(), false),
                    InlineElement::Still(d) => (*d, false),
                    InlineElement::OneWay(d) => (*d, true),
                    InlineElement::Valve(v) => (v.drop_at(time_s), false),
                };
                if matches!(join.branch, BranchLine::None) {
                    node::pass(drop, one_way, down, up)
                } else {
                    node::branch(&join.branch, memory, around, drop, one_way, down, up)
                }
            }
        };
        net.whole.meet(2 * i + 1, met.above, met.flow_above);
        net.whole.meet(2 * i + 2, met.below, met.flow_below);
    }
}

fn meet_end(
    chain: &PipeSeries,
    net: &mut NodeGrid,
    air: &mut EndAir,
    around: Around,
    time_s: f64,
) -> (f64, f64) {
    let Some(&tube) = net.tubes.last() else {
        return (0.0, 0.0);
    };
    let down = net.down(tube);
    let (head, flow) = match &chain.end {
        LowerEnd::Shut => (down.head, 0.0),
        LowerEnd::Nozzles(n) => node::nozzles(n, time_s, air, around, down),
    };
    net.whole.meet(2 * net.tubes.len() - 1, head, flow);
    (head, flow)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::surge::{Aim, Forebay, Nozzles, OpeningSchedule, Tube};

    const G: f64 = 9.81;

    fn plain(tube: Tube, level_m: f64, end: LowerEnd) -> PipeSeries {
        PipeSeries {
            gravity_m_per_s2: G,
            forebay: Forebay {
                level_m,
                mouth: QuadraticLoss::default(),
            },
            tubes: vec![tube],
            joins: Vec::new(),
            end,
        }
    }

    fn run(chain: &PipeSeries, flow: f64, cells: usize, duration_s: f64) -> TransientResult {
        let bends = [chain.movement_s()];
        let grid = MocGrid::choose(
            &chain.tubes,
            Aim {
                cells,
                most_cells: cells,
                bends_s: &bends,
            },
        );
        let orders = TransientOptions {
            duration_s,
            watch_m: vec![chain.length_m()],
            air_head_m: 10.3,
            ..TransientOptions::default()
        };
        run_moc(chain, &grid, &InitialState::flowing(chain, flow), &orders)
    }

    /// Nozzles that pass what the tube carries at the head left over.
    fn closing(
        tube: Tube,
        level_m: f64,
        velocity: f64,
        course: OpeningSchedule,
    ) -> (PipeSeries, f64) {
        let flow = velocity * tube.area_m2();
        let mut chain = plain(tube, level_m, LowerEnd::Shut);
        let head = chain.steady_heads_m(&InitialState::flowing(&chain, flow))[0].1;
        let mut nozzles = Nozzles::passing(flow, head, 0.0, G);
        nozzles.course = course;
        chain.end = LowerEnd::Nozzles(nozzles);
        (chain, flow)
    }

    #[test]
    fn an_instant_stop_without_friction_is_a_square_wave() {
        let tube = Tube {
            length_m: 300.0,
            bore_m: 0.15,
            wave_speed_m_per_s: 1200.0,
            friction_factor: 0.0,
        };
        let (chain, flow) = closing(tube, 100.0, 0.5, OpeningSchedule::straight(1.0, 0.0, 0.0));
        let m = run(&chain, flow, 100, 4.0);
        let rise = 1200.0 * 0.5 / G;
        assert!((m.outlet.max_m - 100.0 - rise).abs() < 1e-9);
        assert!((m.outlet.min_m - 100.0 + rise).abs() < 1e-9);
        assert!((m.at(150.0).0 - 100.0 - rise).abs() < 1e-9);
        assert!((m.at(0.0).0 - 100.0).abs() < 1e-9);
    }

    #[test]
    fn friction_packs_the_line() {
        let tube = Tube {
            length_m: 600.0,
            bore_m: 0.1,
            wave_speed_m_per_s: 300.0,
            friction_factor: 0.02,
        };
        let (chain, flow) = closing(tube, 80.0, 1.5, OpeningSchedule::straight(1.0, 0.0, 0.0));
        let m = run(&chain, flow, 400, 10.0);
        assert!((m.outlet.max_m - 125.766).abs() < 0.01, "{:?}", m.outlet);
        assert!((m.outlet.min_m - 42.900).abs() < 0.01);
    }

    const PENSTOCK: Tube = Tube {
        length_m: 350.0,
        bore_m: 0.2,
        wave_speed_m_per_s: 1150.0,
        friction_factor: 0.017,
    };

    #[test]
    fn nothing_moves_and_nothing_drifts() {
        let (chain, flow) = closing(PENSTOCK, 120.0, 2.3, OpeningSchedule::held(1.0));
        let m = run(&chain, flow, 175, 30.0);
        for e in &m.envelopes {
            for (max, min) in e.max_m.iter().zip(&e.min_m) {
                assert!(max - min < 1e-9, "{}", max - min);
            }
        }
    }

    #[test]
    fn a_needle_in_two_seconds() {
        let flow: f64 = 0.07230728860609317;
        let velocity = flow / PENSTOCK.area_m2();
        let needle = OpeningSchedule::straight(1.0, 0.0, 2.0);
        let (chain, flow) = closing(PENSTOCK, 120.0, velocity, needle);
        let m = run(&chain, flow, 175, 4.0);
        assert!((m.outlet.max_m - 171.255).abs() < 0.01, "{:?}", m.outlet);
        assert!((m.outlet.min_m - 68.938).abs() < 0.02);
    }
}
