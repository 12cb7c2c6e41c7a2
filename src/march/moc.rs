//! The march along the characteristics over plain tubes, Courant's number exactly one.
//!
//! Nodes stand at the ends of cells at whole steps and in the middle of cells at half steps: the only points that a change at an end can reach, so nothing is interpolated.

use super::grid::MocGrid;
use super::node::{self, Around, BoundaryState, EndAir};
use super::node_grid::NodeGrid;
use super::pipe_series::{BranchLine, InitialState, InlineElement, LowerEnd, PipeSeries};
use super::place::GridPoint;
use super::quiet::Quiet;
use super::riser::RiserWater;
use super::work::{JOIN_NODES, air_nodes, cells_of};
use super::{Extreme, QuadraticLoss, TransientOptions, TransientResult};

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
    march_until(chain, grid, start, orders, nodes, |_| false)
}

/// The same, left as soon as what is known is `enough`: asked when the movement has ended and after each wave from then on, where it goes on until it is quiet.
pub(crate) fn march_until(
    chain: &PipeSeries,
    grid: &MocGrid,
    start: &InitialState,
    orders: &TransientOptions,
    nodes: &[usize],
    mut enough: impl FnMut(&WaveHeads<'_>) -> bool,
) -> (TransientResult, Vec<Vec<f64>>) {
    let mut march = March::new(chain, grid, start, orders, nodes);
    let steps = (orders.duration_s / grid.step_s - 1e-9).ceil().max(0.0) as usize;
    for _ in 0..steps {
        march.advance();
    }
    let mut quiet = None;
    if orders.until_quiet {
        let wave_steps = ((chain.critical_time_s() / grid.step_s).ceil() as usize).max(1);
        let quiet = quiet.insert(Quiet::from(march.net.rows(), orders.scouted_wave));
        while !enough(&march.known(quiet)) {
            for _ in 0..wave_steps {
                march.advance();
            }
            if quiet.wave(march.net.rows()) {
                break;
            }
        }
    }
    march.result(quiet)
}

/// What a march has come to when a wave is over.
pub(crate) struct WaveHeads<'a> {
    net: &'a NodeGrid,
    quiet: &'a Quiet,
}

impl WaveHeads<'_> {
    /// Waves since the movement has ended.
    pub(crate) fn waves(&self) -> usize {
        self.quiet.waves()
    }

    /// Highest and lowest head so far at a node of a tube, half a cell apart, m.
    pub(crate) fn so_far(&self, tube: usize, node: usize) -> (f64, f64) {
        let (row, node) = self.row(tube, node);
        self.quiet.so_far(row, node)
    }

    fn row(&self, tube: usize, node: usize) -> (usize, usize) {
        let first = self.net.tubes.get(tube).map_or(0, |t| t.first);
        (node % 2, first + node / 2)
    }
}

/// A march on its way.
struct March<'a> {
    chain: &'a PipeSeries,
    grid: &'a MocGrid,
    orders: &'a TransientOptions,
    around: Around,
    net: NodeGrid,
    memories: Vec<BoundaryState>,
    air: EndAir,
    air_at_end: bool,
    outlet: Extreme,
    /// Head and flow at the outlet.
    last: (f64, f64),
    watch: Vec<GridPoint>,
    watched_m: Vec<Vec<f64>>,
    floors: Vec<GridPoint>,
    first_below: Option<(usize, f64)>,
    ghosts: Vec<GridPoint>,
    risers: Vec<RiserWater>,
    nodes: &'a [usize],
    kept: Vec<Vec<f64>>,
    step: usize,
    air_steps: u64,
}

impl<'a> March<'a> {
    fn new(
        chain: &'a PipeSeries,
        grid: &'a MocGrid,
        start: &InitialState,
        orders: &'a TransientOptions,
        nodes: &'a [usize],
    ) -> Self {
        let steady = chain.steady_heads_m(start);
        let net = NodeGrid::new(chain, grid, &steady, &start.flow_m3_per_s);
        let spots = |stations: &mut dyn Iterator<Item = f64>| -> Vec<GridPoint> {
            stations.map(|s| GridPoint::of(chain, grid, s)).collect()
        };
        let watch = spots(&mut orders.watch_m.iter().copied());
        let ghosts = spots(&mut orders.risers.iter().map(|r| r.station_m));
        let first = steady.last().map_or(0.0, |h| h.1);
        let risers = orders.risers.iter().zip(&ghosts);
        Self {
            chain,
            grid,
            orders,
            around: Around {
                gravity: chain.gravity_m_per_s2,
                air_head: orders.air_head_m,
                step: grid.step_s,
            },
            memories: steady
                .iter()
                .skip(1)
                .map(|h| BoundaryState::at(h.0))
                .collect(),
            air: EndAir::default(),
            air_at_end: false,
            outlet: Extreme {
                max_m: first,
                max_at_s: 0.0,
                min_m: first,
                min_at_s: 0.0,
            },
            last: (first, start.flow_m3_per_s.last().copied().unwrap_or(0.0)),
            watched_m: watch.iter().map(|&s| vec![net.head_at(s)]).collect(),
            watch,
            floors: spots(&mut orders.floors.iter().map(|f| f.station_m)),
            first_below: None,
            risers: risers
                .map(|(r, &s)| RiserWater::at_rest(r, net.head_at(s)))
                .collect(),
            ghosts,
            nodes,
            kept: nodes.iter().map(|&n| vec![net.whole.get(n).0]).collect(),
            net,
            step: 0,
            air_steps: 0,
        }
    }

    /// One step on.
    fn advance(&mut self) {
        self.step += 1;
        let time_s = self.step as f64 * self.grid.step_s;
        let net = &mut self.net;
        net.step();
        meet_forebay(self.chain, net);
        meet_joins(self.chain, net, &mut self.memories, self.around, time_s);
        for (join, memory) in self.chain.joins.iter().zip(&self.memories) {
            if memory.holds_air() {
                self.air_steps += air_nodes(join);
            }
        }
        self.last = meet_end(self.chain, net, &mut self.air, self.around, time_s);
        self.air_at_end |= self.air.room > 0.0;
        let head = self.last.0;
        if head > self.outlet.max_m {
            (self.outlet.max_m, self.outlet.max_at_s) = (head, time_s);
        }
        if head < self.outlet.min_m {
            (self.outlet.min_m, self.outlet.min_at_s) = (head, time_s);
        }
        for (heads, &spot) in self.watched_m.iter_mut().zip(&self.watch) {
            heads.push(net.head_at(spot));
        }
        for (heads, &node) in self.kept.iter_mut().zip(self.nodes) {
            heads.push(net.whole.get(node).0);
        }
        for (water, &spot) in self.risers.iter_mut().zip(&self.ghosts) {
            water.step(net.head_at(spot), self.around.gravity, self.grid.step_s);
        }
        if self.first_below.is_none() {
            self.first_below = self
                .floors
                .iter()
                .zip(&self.orders.floors)
                .position(|(&spot, floor)| net.head_at(spot) < floor.head_m)
                .map(|i| (i, time_s));
        }
    }

    fn known<'b>(&'b self, quiet: &'b Quiet) -> WaveHeads<'b> {
        WaveHeads {
            net: &self.net,
            quiet,
        }
    }

    fn result(mut self, quiet: Option<Quiet>) -> (TransientResult, Vec<Vec<f64>>) {
        let (chain, net) = (self.chain, &mut self.net);
        for row in net.rows() {
            row.settle();
        }
        let last_new_wave = quiet.as_ref().map_or(0, Quiet::last_new);
        if let Some(quiet) = quiet {
            quiet.close(net.rows());
        }
        let stands = chain.joins.iter().zip(&self.memories).map(|(join, m)| {
            matches!(join.branch, BranchLine::Standpipe { .. }).then_some(m.highest)
        });
        let mut from = 0.0;
        let tubes = chain.tubes.iter().zip(&net.tubes);
        let envelopes = tubes
            .map(|(tube, &laid)| {
                let e = net.envelope(laid, from, tube.length_m);
                from += tube.length_m;
                e
            })
            .collect();
        let marched = TransientResult {
            step_s: self.grid.step_s,
            node_steps: self.step as u64
                * (cells_of(self.grid) + JOIN_NODES * chain.joins.len() as u64)
                + self.air_steps,
            last_new_wave,
            envelopes,
            watched_m: self.watched_m,
            first_below: self.first_below,
            risers_m: self.risers.iter().map(|w| w.highest_m).collect(),
            standpipes_m: stands.collect(),
            last_flow_m3_per_s: self.last.1,
            last_head_m: self.last.0,
            air_at_end: self.air_at_end,
            outlet: self.outlet,
        };
        (marched, self.kept)
    }
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
                    InlineElement::Valve(v) => (memory.drop_of(v, time_s), false),
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
    use crate::march::grid::Aim;
    use crate::march::opening_schedule::OpeningSchedule;
    use crate::march::pipe_series::{Forebay, Nozzles, Tube};

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
