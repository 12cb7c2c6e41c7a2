#![expect(
    clippy::indexing_slicing,
    reason = "every slice is cut to the same length at the door"
)]

use multiversion::multiversion;

/// Nodes of a row that a processor may take together: rows are so many times this and one long.
pub(super) const TOGETHER: usize = 4;

/// Heads and flows on the nodes of a whole chain, tube after tube.
#[derive(Debug, Clone, Default)]
pub(crate) struct NodeRow {
    /// Head, m.
    pub(crate) head: Vec<f64>,
    /// Flow, m3/s.
    pub(crate) flow: Vec<f64>,
    /// Highest head so far, m.
    pub(crate) max: Vec<f64>,
    /// Lowest head so far, m.
    pub(crate) min: Vec<f64>,
    /// The ends of the tubes: a half step that runs over the whole chain writes there what is no head, and they are met afterwards.
    ends: Vec<TubeEnd>,
    /// Places between two tubes and behind the last, which are no nodes.
    gaps: Vec<usize>,
}

/// A node whose extremes are kept apart.
#[derive(Debug, Clone, Copy)]
struct TubeEnd {
    node: usize,
    max: f64,
    min: f64,
}

impl NodeRow {
    /// A row that stands as given; `ends`: nodes that are met, `gaps`: places that are no nodes.
    pub(crate) fn at(
        head: Vec<f64>,
        flow: Vec<f64>,
        ends: impl IntoIterator<Item = usize>,
        gaps: Vec<usize>,
    ) -> Self {
        let end = |node: usize| TubeEnd {
            node,
            max: head[node],
            min: head[node],
        };
        Self {
            ends: ends.into_iter().map(end).collect(),
            gaps,
            max: head.clone(),
            min: head.clone(),
            flow,
            head,
        }
    }

    /// Lays the extremes that were kept apart with the others.
    pub(crate) fn settle(&mut self) {
        for end in &self.ends {
            self.max[end.node] = end.max;
            self.min[end.node] = end.min;
        }
        for &gap in &self.gaps {
            self.max[gap] = 0.0;
            self.min[gap] = 0.0;
        }
    }

    /// The extremes so far; from here on they are counted anew.
    pub(crate) fn renewed(&mut self) -> (Vec<f64>, Vec<f64>) {
        self.settle();
        let max = std::mem::replace(&mut self.max, self.head.clone());
        let min = std::mem::replace(&mut self.min, self.head.clone());
        for end in &mut self.ends {
            end.max = self.head[end.node];
            end.min = end.max;
        }
        (max, min)
    }

    /// Heads and flow at a node.
    pub(crate) fn get(&self, i: usize) -> (f64, f64) {
        (self.head[i], self.flow[i])
    }

    /// Sets the end of a tube, counted as they were given, and keeps its extremes.
    pub(crate) fn meet(&mut self, end: usize, head: f64, flow: f64) {
        let end = &mut self.ends[end];
        self.head[end.node] = head;
        self.flow[end.node] = flow;
        end.max = larger(end.max, head);
        end.min = smaller(end.min, head);
    }
}

/// What half a cell does to a wave.
#[derive(Debug, Clone, Copy)]
pub(crate) struct HalfCell {
    /// B = a/(g A), s/m2.
    pub(crate) impedance: f64,
    /// R = f (half a cell)/(2 g D A2), s2/m5.
    pub(crate) resistance: f64,
}

/// A characteristic where it arrives, `head` its C and `slope` its B. C+, from above: H = C_P - B_P Q; C-, from below: H = C_M + B_M Q.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Characteristic {
    pub(crate) head: f64,
    pub(crate) slope: f64,
}

impl HalfCell {
    /// C+, from a node above: C_P = H_A + B Q_A, B_P = B + R|Q_A|.
    pub(crate) fn down(self, (head, flow): (f64, f64)) -> Characteristic {
        Characteristic {
            head: head + self.impedance * flow,
            slope: self.impedance + self.resistance * flow.abs(),
        }
    }

    /// C-, from a node below: C_M = H_B - B Q_B, B_M = B + R|Q_B|.
    pub(crate) fn up(self, (head, flow): (f64, f64)) -> Characteristic {
        Characteristic {
            head: head - self.impedance * flow,
            slope: self.impedance + self.resistance * flow.abs(),
        }
    }
}

/// What half a cell does, place by place down the chain: s/m2 and s2/m5 as in [`HalfCell`].
#[derive(Debug, Clone, Default)]
pub(crate) struct Cells {
    pub(crate) impedance: Vec<f64>,
    pub(crate) resistance: Vec<f64>,
}

/// Half a step: each node of `to`, from `skip` on, lies between two neighbours of `from` and takes the wave that each sends.
///
/// C+: H = H_A + B Q_A - (B + R|Q_A|) Q; C-: H = H_B - B Q_B + (B + R|Q_B|) Q. Friction is taken with the new flow once and the old once, which holds a steady state exactly.
/// It runs over the whole chain at once: what it writes where two tubes meet, or where the last ends, is no head, and is met afterwards.
pub(crate) fn half_step(from: &NodeRow, to: &mut NodeRow, skip: usize, cells: &Cells) {
    let Some(n) = from.head.len().checked_sub(1) else {
        return;
    };
    cross(
        &from.head[..n],
        &from.head[1..],
        &from.flow[..n],
        &from.flow[1..],
        &cells.impedance[..n],
        &cells.resistance[..n],
        &mut to.head[skip..skip + n],
        &mut to.flow[skip..skip + n],
        &mut to.max[skip..skip + n],
        &mut to.min[skip..skip + n],
    );
}

// Each row is a slice of its own, the neighbours below too, and the call is not dissolved: so the compiler knows that none it writes lies over another, and takes two nodes at a time, or four where the processor has room for them.
#[expect(clippy::too_many_arguments, reason = "rows that lie apart")]
#[multiversion(targets("x86_64+avx+avx2"))]
#[inline(never)]
fn cross(
    head: &[f64],
    head_below: &[f64],
    flow: &[f64],
    flow_below: &[f64],
    impedance: &[f64],
    resistance: &[f64],
    new_head: &mut [f64],
    new_flow: &mut [f64],
    max: &mut [f64],
    min: &mut [f64],
) {
    // whole groups, as the rows are laid: so no node is left to be taken alone
    let n = new_head.len() / TOGETHER * TOGETHER;
    let (head, head_below) = (&head[..n], &head_below[..n]);
    let (flow, flow_below) = (&flow[..n], &flow_below[..n]);
    let (impedance, resistance) = (&impedance[..n], &resistance[..n]);
    let (new_head, new_flow) = (&mut new_head[..n], &mut new_flow[..n]);
    let (max, min) = (&mut max[..n], &mut min[..n]);
    for i in 0..n {
        let (b, r) = (impedance[i], resistance[i]);
        let down_slope = b + r * flow[i].abs();
        let up_slope = b + r * flow_below[i].abs();
        let down = head[i] + b * flow[i];
        let up = head_below[i] - b * flow_below[i];
        let share = 1.0 / (down_slope + up_slope);
        // H = (C_P B_M + C_M B_P)/(B_P + B_M), Q = (C_P - C_M)/(B_P + B_M)
        let h = (down * up_slope + up * down_slope) * share;
        new_head[i] = h;
        new_flow[i] = (down - up) * share;
        // with the sum every place is written, else only those that grew, one by one
        max[i] = larger(max[i], h) + 0.0;
        min[i] = smaller(min[i], h) + 0.0;
    }
}

// f64::max also sorts out not-a-number, which no head is, and costs twice
fn larger(a: f64, b: f64) -> f64 {
    if b > a { b } else { a }
}

fn smaller(a: f64, b: f64) -> f64 {
    if b < a { b } else { a }
}
