#![expect(
    clippy::indexing_slicing,
    reason = "indices are made here from the lengths of the same lists"
)]

use super::chain::{Loose, chains, fixed};
use super::grid::{Grid, cells, nodes};
use super::{Block, HeightsOptions, Levelled, Tie};

/// Everything that does not change while noise numbers and roughness are tried: nodes, readings on their steps, which unknowns live where.
///
/// Unknowns: height and slope at each node; a drift per walk at each node it passes; an offset per walk. `carry` at a node lists what the left and the right of it share.
#[derive(Debug, Clone, Default)]
pub(super) struct Layout {
    pub(super) node_m: Vec<f64>,
    pub(super) steps: Vec<Step>,
    /// Steps of each cell: from, to (exclusive).
    pub(super) cells: Vec<(usize, usize)>,
    /// Heights are kept as what stands above `base_m + base_slope * station`.
    pub(super) base_m: f64,
    pub(super) base_slope: f64,
    /// Where each step's front begins in a flat store, with the whole length at the end.
    pub(super) start: Vec<usize>,
}

/// What happens between two neighbouring nodes.
///
/// The front of a step lists its unknowns, those first that the step takes out. Forward: [height, slope, drifts coming in, offsets that end here | height, slope, drifts going out, offsets going on]; backward the same seen from the other end.
#[derive(Debug, Clone, Default)]
pub(super) struct Step {
    pub(super) length_m: f64,
    /// Unknowns in the front, without the right-hand side.
    pub(super) size: usize,
    pub(super) taken_forward: usize,
    pub(super) taken_backward: usize,
    /// Position in the forward front of each unknown carried over the left node.
    pub(super) from_left: Vec<usize>,
    /// Position in the backward front of each unknown carried over the right node.
    pub(super) from_right: Vec<usize>,
    /// Position in the backward front of each unknown of the forward front.
    pub(super) turned: Vec<usize>,
    pub(super) pieces: Vec<Piece>,
    /// Readings without drift: ties and levelled points.
    pub(super) fixed: Vec<Entry>,
    /// Offsets that begin here: position, standard deviation.
    pub(super) born: Vec<(usize, f64)>,
}

/// One walk's way through a step.
#[derive(Debug, Clone, Default)]
pub(super) struct Piece {
    /// Position of the drift coming in and going out, where it does.
    pub(super) drift_in: Option<usize>,
    pub(super) drift_out: Option<usize>,
    pub(super) entries: Vec<Entry>,
    /// Time from the last entry (or the left node) to the right node, s.
    pub(super) tail_s: f64,
}

/// One block, or one known height, seen from its step.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Entry {
    /// Time since the entry before, or since the left node, s.
    pub(super) gap_s: f64,
    /// Weights of [height, slope] left and [height, slope] right: the cubic through both ends.
    pub(super) weight: [f64; 4],
    /// Position of its offset.
    pub(super) offset: Option<usize>,
    pub(super) height_m: f64,
    /// Readings behind it; for a known height its variance, m2.
    pub(super) count: f64,
}

/// Where readings stand farther apart than this, m, the ground between them is held to their slope, at places as far apart ...
const UNREAD_M: f64 = 24.0;
/// ... within this, m per m: a bank of 1 in 2 more or less than the slope all round.
const UNREAD_SLOPE_SD: f64 = 0.5;

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
        blocks: &[Block],
        ties: &[Tie],
        levelled: &[Levelled],
        stations_m: &[f64],
        options: &HeightsOptions,
        grid: Grid,
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

    /// Where nothing was read for long, nodes are told that the ground hardly leaves the slope between the readings on both sides: roughness is unknown there,
    /// and the roughest class alone would let the line swing by tens of metres. `read`: stations and heights of all readings, in order.
    fn bridge(&mut self, read: &[(f64, f64)]) {
        let (Some(first), Some(last)) = (self.node_m.first(), self.node_m.last()) else {
            return;
        };
        let ends = [*first, *last].map(|s| (s, f64::NAN));
        let before = std::iter::once(ends[0]).chain(read.iter().copied());
        let after = read.iter().copied().chain(std::iter::once(ends[1]));
        let gaps: Vec<(f64, f64, f64)> = before
            .zip(after)
            .filter(|(a, b)| b.0 - a.0 > UNREAD_M)
            .map(|(a, b)| {
                let slope = (b.1 - a.1) / (b.0 - a.0);
                // Before the first reading and beyond the last there is only the slope of the whole.
                let slope = if slope.is_finite() {
                    slope - self.base_slope
                } else {
                    0.0
                };
                (a.0, b.0, slope)
            })
            .collect();
        for (from, to, slope) in gaps {
            let parts = ((to - from) / UNREAD_M).floor();
            for i in 1..=parts as usize {
                let step = self.step_at(from + (to - from) * i as f64 / (parts + 1.0));
                let at = self.node_m[step];
                if at > from && at < to {
                    self.steps[step].fixed.push(Entry {
                        weight: [0.0, 1.0, 0.0, 0.0],
                        height_m: slope,
                        count: UNREAD_SLOPE_SD * UNREAD_SLOPE_SD,
                        ..Entry::default()
                    });
                }
            }
        }
    }

    /// The same on nodes of the caller's; they must cover every reading.
    pub(super) fn on(
        node_m: Vec<f64>,
        cells: Vec<(usize, usize)>,
        blocks: &[Block],
        ties: &[Tie],
        levelled: &[Levelled],
        options: &HeightsOptions,
    ) -> Self {
        let mut layout = Self {
            cells,
            steps: node_m
                .windows(2)
                .map(|w| Step {
                    length_m: w[1] - w[0],
                    ..Step::default()
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
    fn base(&mut self, blocks: &[Block], ties: &[Tie], levelled: &[Levelled]) {
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
        blocks: &[Block],
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
            // Forward: taken [z, s, d_in, ends], kept [z', s', d_out, b_out].
            let taken = 2 + d_in.len() + ends.len();
            let size = taken + 2 + d_out.len() + b_out.len();
            let forward_drift_in = |d: usize| d_in.iter().position(|&x| x == d).map(|i| 2 + i);
            let forward_drift_out =
                |d: usize| d_out.iter().position(|&x| x == d).map(|i| taken + 2 + i);
            let forward_offset = |o: usize| {
                ends.iter()
                    .position(|&x| x == o)
                    .map(|i| 2 + d_in.len() + i)
                    .or_else(|| {
                        b_out
                            .iter()
                            .position(|&x| x == o)
                            .map(|i| taken + 2 + d_out.len() + i)
                    })
            };
            // Backward: taken [z', s', d_out, begins], kept [z, s, d_in, b_in].
            let taken_backward = 2 + d_out.len() + begins.len();
            let backward_offset = |o: usize| {
                begins
                    .iter()
                    .position(|&x| x == o)
                    .map(|i| 2 + d_out.len() + i)
                    .or_else(|| {
                        b_in.iter()
                            .position(|&x| x == o)
                            .map(|i| taken_backward + 2 + d_in.len() + i)
                    })
            };
            step.size = size;
            step.taken_forward = taken;
            step.taken_backward = taken_backward;
            step.from_left = [0, 1]
                .into_iter()
                .chain(d_in.iter().filter_map(|&d| forward_drift_in(d)))
                .chain(b_in.iter().filter_map(|&o| forward_offset(o)))
                .collect();
            step.from_right = (0..2 + d_out.len())
                .chain(b_out.iter().filter_map(|&o| backward_offset(o)))
                .collect();
            let mut turned = vec![0; size];
            (turned[0], turned[1]) = (taken_backward, taken_backward + 1);
            (turned[taken], turned[taken + 1]) = (0, 1);
            for i in 0..d_in.len() {
                turned[2 + i] = taken_backward + 2 + i;
            }
            for i in 0..d_out.len() {
                turned[taken + 2 + i] = 2 + i;
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
                drift_in: (0..drifts.len()).map(forward_drift_in).collect(),
                drift_out: (0..drifts.len()).map(forward_drift_out).collect(),
                offset: (0..offsets.len()).map(forward_offset).collect(),
            });
            let end = self.start[j] + (size + 1) * (size + 1);
            self.start.push(end);
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
            let mut piece = Piece {
                drift_in: places[j].drift_in[index],
                drift_out: places[j].drift_out[index],
                ..Piece::default()
            };
            for l in mine {
                let entry = self.entry(j, l, (l.age_s - age).max(0.0), places);
                piece.entries.push(entry);
                age = l.age_s;
            }
            // The age at the right node: straight between the reading before and the one after.
            if let (Some(next), true) = (later.first(), j < last) {
                let before = chain[chain.len() - later.len() - 1];
                let node = self.node_m[j + 1];
                let way = next.station_m - before.station_m;
                let share = if way > 1e-9 {
                    ((node - before.station_m) / way).clamp(0.0, 1.0)
                } else {
                    0.0
                };
                let at = before.age_s + share * (next.age_s - before.age_s);
                piece.tail_s = (at - age).max(0.0);
                age = at;
            }
            self.steps[j].pieces.push(piece);
            rest = later;
        }
    }

    fn entry(&self, step: usize, loose: &Loose, gap_s: f64, places: &[Places]) -> Entry {
        let (_, weight) = {
            let length = self.steps[step].length_m;
            let t = ((loose.station_m - self.node_m[step]) / length).clamp(0.0, 1.0);
            (step, cubic(t, length))
        };
        Entry {
            gap_s,
            weight,
            offset: loose.offset.and_then(|o| places[step].offset[o]),
            height_m: loose.height_m - self.base_at(loose.station_m),
            count: loose.count,
        }
    }
}

/// Positions in one forward front, by drift and by offset.
struct Places {
    drift_in: Vec<Option<usize>>,
    drift_out: Vec<Option<usize>>,
    offset: Vec<Option<usize>>,
}
