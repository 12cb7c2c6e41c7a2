#![expect(
    clippy::indexing_slicing,
    reason = "indices are made here from the lengths of the same lists"
)]

use super::chain::{Loose, StepEntry, chains, fixed};
use super::grid::{HeightGrid, cells, nodes};
use super::{HeightsOptions, Levelled, ReadingBlock, Tie};
use crate::receiver::STATES;

/// Everything that does not change while noise numbers and roughness are tried: nodes, readings on their steps, which unknowns live where.
///
/// Unknowns: height and slope at each node; the error of each walk at each node it passes (fast part, slow part, its rate); an offset per walk.
#[derive(Debug, Clone, Default)]
pub(super) struct Layout {
    pub(super) node_m: Vec<f64>,
    pub(super) steps: Vec<NodeStep>,
    /// How many chains of readings are led through the steps.
    pub(super) chains: usize,
    /// Standard deviation of each offset beforehand, m.
    pub(super) offset_sd_m: Vec<f64>,
    /// Steps of each cell: from, to (exclusive).
    pub(super) cells: Vec<(usize, usize)>,
    /// Heights are kept as what stands above `base_m + base_slope * station`.
    pub(super) base_m: f64,
    pub(super) base_slope: f64,
    /// Where each step's front begins in a flat store, with the whole length at the end.
    pub(super) start: Vec<usize>,
    /// The same for the fronts of the other direction.
    pub(super) start_back: Vec<usize>,
}

/// Side of a front of so many unknowns, the right-hand side last: whole groups of four figures. What lies between is 0.
pub(super) fn side_of(unknowns: usize) -> usize {
    (unknowns + 1).next_multiple_of(4)
}

/// What happens between two neighbouring nodes.
///
/// The forward front lists [errors coming in, offsets that end here | passengers | height, slope | height, slope, errors going out, offsets going on]: what stands before the passengers is taken out whatever the roughness. The height and slope at the left node are kept as what the ground does of its own between both nodes; those of the nodes before in the same cell, of one roughness, are passengers until the cell's end, where all are taken out for the roughness that is tried.
/// The front of the other direction lists [height, slope, errors going out, offsets that begin here | height, slope, errors coming in, offsets], right node first.
#[derive(Debug, Clone, Default)]
pub(super) struct NodeStep {
    pub(super) length_m: f64,
    /// Unknowns in the forward front, without the right-hand side.
    pub(super) size: usize,
    /// Errors coming in and offsets that end here.
    pub(super) lead: usize,
    /// Unknowns of earlier nodes of the same cell.
    pub(super) passengers: usize,
    /// Whether its cell ends here.
    pub(super) ends_cell: bool,
    pub(super) taken_backward: usize,
    /// Position in the forward front of each unknown carried over the left node.
    pub(super) from_left: Vec<usize>,
    /// Position in the backward front of each unknown carried over the right node.
    pub(super) from_right: Vec<usize>,
    /// Position in the backward front of each unknown of the forward front; passengers have none.
    pub(super) turned: Vec<usize>,
    pub(super) pieces: Vec<WalkPiece>,
    /// Readings without error of a walk: ties and levelled points.
    pub(super) fixed: Vec<StepEntry>,
    /// Offsets that begin here: position, standard deviation.
    pub(super) born: Vec<(usize, f64)>,
}

impl NodeStep {
    /// Place of the left node's own part in the forward front.
    pub(super) fn own(&self) -> usize {
        self.lead + self.passengers
    }

    /// Where begins what is carried over the right node.
    pub(super) fn kept(&self) -> usize {
        self.own() + 2
    }

    /// Unknowns in the backward front.
    pub(super) fn size_back(&self) -> usize {
        self.size - self.passengers
    }

    /// Side of the forward front.
    pub(super) fn side(&self) -> usize {
        side_of(self.size)
    }

    /// Side of the backward front.
    pub(super) fn side_back(&self) -> usize {
        side_of(self.size_back())
    }

    /// First place of what the forward front hands on.
    pub(super) fn handed(&self) -> usize {
        if self.ends_cell {
            self.kept()
        } else {
            self.lead
        }
    }
}

/// One walk's way through a step.
#[derive(Debug, Clone, Default)]
pub(super) struct WalkPiece {
    /// Which chain of readings.
    pub(super) chain: usize,
    /// First position of the error coming in and going out, where it does.
    pub(super) error_in: Option<usize>,
    pub(super) error_out: Option<usize>,
    pub(super) entries: Vec<StepEntry>,
    /// Time from the last entry (or the left node) to the right node, s.
    pub(super) tail_s: f64,
}

/// A span of steps, first and last, in which something lives.
type Span = (usize, usize);

/// Weights of the cubic through heights and slopes at both ends of a step, at a share `t` of its length.
pub(super) fn cubic(t: f64, length_m: f64) -> [f64; 4] {
    let (t2, t3) = (t * t, t * t * t);
    [
        2.0 * t3 - 3.0 * t2 + 1.0,
        (t3 - 2.0 * t2 + t) * length_m,
        3.0 * t2 - 2.0 * t3,
        (t3 - t2) * length_m,
    ]
}

impl Layout {
    pub(super) fn new(
        blocks: &[ReadingBlock],
        ties: &[Tie],
        levelled: &[Levelled],
        stations_m: &[f64],
        options: &HeightsOptions,
        grid: HeightGrid,
    ) -> Self {
        let known: Vec<f64> = ties
            .iter()
            .chain(levelled.iter().flat_map(|l| &l.points))
            .map(|t| t.station_m)
            .collect();
        let all = || {
            stations_m
                .iter()
                .copied()
                .chain(blocks.iter().map(|b| b.station_m))
                .chain(known.iter().copied())
        };
        let from = all().fold(f64::INFINITY, f64::min);
        let to = all().fold(f64::NEG_INFINITY, f64::max).max(from + 1.0);
        let node_m = nodes(from, to, grid.node_m, &known);
        let cells = cells(&node_m, grid);
        Self::bridged(node_m, cells, blocks, ties, levelled, options)
    }

    /// The same nodes, the readings of some walks left out.
    pub(super) fn with(
        &self,
        blocks: &[ReadingBlock],
        ties: &[Tie],
        levelled: &[Levelled],
        options: &HeightsOptions,
    ) -> Self {
        let (node_m, cells) = (self.node_m.clone(), self.cells.clone());
        Self::bridged(node_m, cells, blocks, ties, levelled, options)
    }

    fn bridged(
        node_m: Vec<f64>,
        cells: Vec<(usize, usize)>,
        blocks: &[ReadingBlock],
        ties: &[Tie],
        levelled: &[Levelled],
        options: &HeightsOptions,
    ) -> Self {
        let mut layout = Self::on(node_m, cells, blocks, ties, levelled, options);
        let mut read: Vec<(f64, f64)> = blocks
            .iter()
            .map(|b| (b.station_m, b.height_m))
            .chain(
                ties.iter()
                    .chain(levelled.iter().flat_map(|l| &l.points))
                    .map(|t| (t.station_m, t.height_m)),
            )
            .collect();
        read.sort_by(|a, b| a.0.total_cmp(&b.0));
        layout.bridge(&read);
        layout
    }

    /// The same on nodes of the caller's; they must cover every reading.
    pub(super) fn on(
        node_m: Vec<f64>,
        cells: Vec<(usize, usize)>,
        blocks: &[ReadingBlock],
        ties: &[Tie],
        levelled: &[Levelled],
        options: &HeightsOptions,
    ) -> Self {
        let mut layout = Self {
            cells,
            steps: node_m
                .windows(2)
                .map(|w| NodeStep {
                    length_m: w[1] - w[0],
                    ..NodeStep::default()
                })
                .collect(),
            node_m,
            ..Self::default()
        };
        layout.base(blocks, ties, levelled);
        layout.fill(blocks, ties, levelled, options);
        layout
    }

    /// A straight line through the middle of the readings, so that sums are of small numbers; the answer does not depend on it.
    fn base(&mut self, blocks: &[ReadingBlock], ties: &[Tie], levelled: &[Levelled]) {
        let points: Vec<(f64, f64)> = if blocks.is_empty() {
            ties.iter()
                .chain(levelled.iter().flat_map(|l| &l.points))
                .map(|t| (t.station_m, t.height_m))
                .collect()
        } else {
            blocks.iter().map(|b| (b.station_m, b.height_m)).collect()
        };
        let n = points.len().max(1) as f64;
        let s = points.iter().map(|p| p.0).sum::<f64>() / n;
        let z = points.iter().map(|p| p.1).sum::<f64>() / n;
        let (mut ss, mut sz) = (0.0, 0.0);
        for p in &points {
            ss += (p.0 - s) * (p.0 - s);
            sz += (p.0 - s) * (p.1 - z);
        }
        self.base_slope = if ss > 1e-6 { sz / ss } else { 0.0 };
        self.base_m = z - self.base_slope * s;
    }

    pub(super) fn base_at(&self, station_m: f64) -> f64 {
        self.base_m + self.base_slope * station_m
    }

    /// The step a station falls in.
    pub(super) fn step_at(&self, station_m: f64) -> usize {
        self.node_m
            .partition_point(|&n| n <= station_m)
            .saturating_sub(1)
            .min(self.steps.len().saturating_sub(1))
    }

    pub(super) fn weights_at(&self, station_m: f64) -> (usize, [f64; 4]) {
        let step = self.step_at(station_m);
        let length = self.steps[step].length_m;
        let t = ((station_m - self.node_m[step]) / length).clamp(0.0, 1.0);
        (step, cubic(t, length))
    }

    fn fill(
        &mut self,
        blocks: &[ReadingBlock],
        ties: &[Tie],
        levelled: &[Levelled],
        options: &HeightsOptions,
    ) {
        let passes = blocks.iter().map(|b| b.pass + 1).max().unwrap_or(0);
        let mut offset_sd = vec![options.offset_sd_m; passes];
        let mut loose_fixed: Vec<Loose> = ties.iter().map(|t| fixed(t, None)).collect();
        for reach in levelled {
            let offset = (reach.datum_sd_m > 0.0).then_some(offset_sd.len());
            loose_fixed.extend(reach.points.iter().map(|t| fixed(t, offset)));
            if offset.is_some() {
                offset_sd.push(reach.datum_sd_m);
            }
        }
        let chains = chains(blocks, passes, options.terrain_model);
        let spans: Vec<Option<Span>> = chains
            .iter()
            .map(|c| self.span(c.iter().map(|l| l.station_m)))
            .collect();
        let offset_spans: Vec<Option<Span>> = (0..offset_sd.len())
            .map(|o| {
                self.span(
                    chains
                        .iter()
                        .flatten()
                        .chain(&loose_fixed)
                        .filter(|l| l.offset == Some(o))
                        .map(|l| l.station_m),
                )
            })
            .collect();
        let places = self.place(&spans, &offset_spans, &offset_sd);
        self.chains = chains.len();
        self.offset_sd_m = offset_sd;
        for (index, chain) in chains.iter().enumerate() {
            self.thread(index, chain, spans[index], &places);
        }
        for l in &loose_fixed {
            let step = self.step_at(l.station_m);
            let entry = self.entry(step, l, 0.0, &places);
            self.steps[step].fixed.push(entry);
        }
    }

    fn span(&self, stations: impl Iterator<Item = f64>) -> Option<Span> {
        stations.fold(None, |span: Option<Span>, s| {
            let step = self.step_at(s);
            Some(span.map_or((step, step), |(a, b)| (a.min(step), b.max(step))))
        })
    }

    /// Gives every unknown its position in every front.
    fn place(
        &mut self,
        drifts: &[Option<Span>],
        offsets: &[Option<Span>],
        offset_sd: &[f64],
    ) -> Vec<Places> {
        let over = |spans: &[Option<Span>], node: usize| -> Vec<usize> {
            spans
                .iter()
                .enumerate()
                .filter(|(_, s)| s.is_some_and(|(a, b)| a < node && node <= b))
                .map(|(i, _)| i)
                .collect()
        };
        let mut all = Vec::with_capacity(self.steps.len());
        self.start = vec![0];
        self.start_back = vec![0];
        let mut cell_of = vec![(0, 0); self.steps.len()];
        for &cell in &self.cells {
            cell_of[cell.0..cell.1].fill(cell);
        }
        for (j, step) in self.steps.iter_mut().enumerate() {
            let (d_in, d_out) = (over(drifts, j), over(drifts, j + 1));
            let (b_in, b_out) = (over(offsets, j), over(offsets, j + 1));
            let here: Vec<usize> = (0..offsets.len())
                .filter(|&o| offsets[o].is_some_and(|(a, b)| a <= j && j <= b))
                .collect();
            let ends: Vec<usize> = here
                .iter()
                .copied()
                .filter(|o| !b_out.contains(o))
                .collect();
            let begins: Vec<usize> = here.iter().copied().filter(|o| !b_in.contains(o)).collect();
            let place = |list: &[usize], x: usize| list.iter().position(|&y| y == x);
            let (n_in, n_out) = (STATES * d_in.len(), STATES * d_out.len());
            step.lead = n_in + ends.len();
            step.passengers = 2 * (j - cell_of[j].0);
            step.ends_cell = j + 1 == cell_of[j].1;
            let (own, kept) = (step.own(), step.kept());
            step.size = kept + 2 + n_out + b_out.len();
            let error_in = |d: usize| place(&d_in, d).map(|i| STATES * i);
            let error_out = |d: usize| place(&d_out, d).map(|i| kept + 2 + STATES * i);
            let forward_offset = |o: usize| {
                place(&ends, o)
                    .map(|i| n_in + i)
                    .or_else(|| place(&b_out, o).map(|i| kept + 2 + n_out + i))
            };
            step.taken_backward = 2 + n_out + begins.len();
            let taken_backward = step.taken_backward;
            let backward_offset = |o: usize| {
                place(&begins, o)
                    .map(|i| 2 + n_out + i)
                    .or_else(|| place(&b_in, o).map(|i| taken_backward + 2 + n_in + i))
            };
            step.from_left = (step.lead..kept)
                .chain(0..n_in)
                .chain(b_in.iter().filter_map(|&o| forward_offset(o)))
                .collect();
            step.from_right = (0..2 + n_out)
                .chain(b_out.iter().filter_map(|&o| backward_offset(o)))
                .collect();
            let mut turned = vec![usize::MAX; step.size];
            for i in 0..2 {
                turned[own + i] = taken_backward + i;
                turned[kept + i] = i;
            }
            for (i, to) in turned.iter_mut().take(n_in).enumerate() {
                *to = taken_backward + 2 + i;
            }
            for i in 0..n_out {
                turned[kept + 2 + i] = 2 + i;
            }
            for &o in &here {
                if let (Some(f), Some(b)) = (forward_offset(o), backward_offset(o)) {
                    turned[f] = b;
                }
            }
            step.turned = turned;
            step.born = begins
                .iter()
                .filter_map(|&o| forward_offset(o).map(|at| (at, offset_sd[o])))
                .collect();
            all.push(Places {
                error_in: (0..drifts.len()).map(error_in).collect(),
                error_out: (0..drifts.len()).map(error_out).collect(),
                offset: (0..offsets.len()).map(forward_offset).collect(),
            });
            self.start.push(self.start[j] + step.side().pow(2));
            self.start_back
                .push(self.start_back[j] + step.side_back().pow(2));
        }
        all
    }

    /// Leads one chain of readings (in station order) through the steps of its span.
    fn thread(&mut self, index: usize, chain: &[Loose], span: Option<Span>, places: &[Places]) {
        let Some((first, last)) = span else { return };
        let mut rest = chain;
        let mut age = 0.0;
        for j in first..=last {
            let split = if j == last {
                rest.len()
            } else {
                rest.partition_point(|l| self.step_at(l.station_m) <= j)
            };
            let (mine, later) = rest.split_at(split);
            let mut piece = WalkPiece {
                chain: index,
                error_in: places[j].error_in[index],
                error_out: places[j].error_out[index],
                ..WalkPiece::default()
            };
            for l in mine {
                let entry = self.entry(j, l, (l.age_s - age).max(0.0), places);
                piece.entries.push(entry);
                age = l.age_s;
            }
            // The error at a node may be that of any moment between the readings on both sides: far from both is best, for the nearer a moment is to a reading, the more digits are lost.
            if let (Some(next), true) = (later.first(), j < last) {
                let nodes = self.step_at(next.station_m) - j;
                let at = age + (next.age_s - age) / (nodes + 1) as f64;
                piece.tail_s = (at - age).max(0.0);
                age = at;
            }
            self.steps[j].pieces.push(piece);
            rest = later;
        }
    }

    fn entry(&self, step: usize, loose: &Loose, gap_s: f64, places: &[Places]) -> StepEntry {
        let length = self.steps[step].length_m;
        let t = ((loose.station_m - self.node_m[step]) / length).clamp(0.0, 1.0);
        StepEntry {
            gap_s,
            weight: cubic(t, length),
            offset: loose.offset.and_then(|o| places[step].offset[o]),
            datum: loose.offset,
            height_m: loose.height_m - self.base_at(loose.station_m),
            count: loose.count,
            rounded_m2: loose.rounded_m2,
        }
    }
}

/// Positions in one forward front, by drift and by offset.
struct Places {
    error_in: Vec<Option<usize>>,
    error_out: Vec<Option<usize>>,
    offset: Vec<Option<usize>>,
}
