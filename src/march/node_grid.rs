//! The nodes of a march, of whole steps and of half steps between them.

use super::Envelope;
use super::grid::MocGrid;
use super::kernel::{Cells, Characteristic, HalfCell, NodeRow, TOGETHER, half_step};
use super::pipe_series::PipeSeries;
use super::place::GridPoint;

/// One tube in the rows: its first node, and what half a cell of it does.
#[derive(Debug, Clone, Copy)]
pub(super) struct TubeAt {
    pub(super) first: usize,
    pub(super) cells: usize,
    pub(super) cell: HalfCell,
}

impl TubeAt {
    /// Its last node.
    pub(super) fn last(self) -> usize {
        self.first + self.cells
    }
}

/// The chain while it is marched: nodes of whole steps, and of half steps between them, tube after tube.
pub(super) struct NodeGrid {
    pub(super) whole: NodeRow,
    half: NodeRow,
    cells: Cells,
    pub(super) tubes: Vec<TubeAt>,
}

impl NodeGrid {
    pub(super) fn new(
        chain: &PipeSeries,
        grid: &MocGrid,
        steady: &[(f64, f64)],
        flows: &[f64],
    ) -> Self {
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
        // places behind the last node fill the rows up to whole groups: they are no nodes
        let nodes = whole.len();
        let filled = nodes.saturating_sub(1).next_multiple_of(TOGETHER) + 1;
        half.truncate(nodes.saturating_sub(1));
        for row in [&mut whole, &mut half] {
            row.resize(filled, row.last().copied().unwrap_or(0.0));
        }
        for row in [&mut whole_flow, &mut half_flow] {
            row.resize(filled, row.last().copied().unwrap_or(0.0));
        }
        for row in [&mut cells.impedance, &mut cells.resistance] {
            row.resize(filled, row.last().copied().unwrap_or(1.0));
        }
        let between = tubes.len().saturating_sub(1);
        let gaps = tubes.iter().take(between).map(|t| t.last());
        let gaps = gaps.chain(nodes.saturating_sub(1)..filled);
        let ends: Vec<usize> = tubes.iter().flat_map(|t| [t.first, t.last()]).collect();
        Self {
            half: NodeRow::at(half, half_flow, [], gaps.collect()),
            whole: NodeRow::at(whole, whole_flow, ends, (nodes..filled).collect()),
            cells,
            tubes,
        }
    }

    pub(super) fn rows(&mut self) -> [&mut NodeRow; 2] {
        [&mut self.whole, &mut self.half]
    }

    /// One step: every node between the ends of its tube.
    pub(super) fn step(&mut self) {
        half_step(&self.whole, &mut self.half, 0, &self.cells);
        half_step(&self.half, &mut self.whole, 1, &self.cells);
    }

    /// The wave that runs down to the end of a tube.
    pub(super) fn down(&self, tube: TubeAt) -> Characteristic {
        tube.cell.down(self.half.get(tube.last() - 1))
    }

    /// The wave that runs up to its beginning.
    pub(super) fn up(&self, tube: TubeAt) -> Characteristic {
        tube.cell.up(self.half.get(tube.first))
    }

    pub(super) fn envelope(&self, tube: TubeAt, from_m: f64, length_m: f64) -> Envelope {
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

    pub(super) fn head_at(&self, place: GridPoint) -> f64 {
        place.head(|i| self.whole.head.get(i).copied())
    }
}
