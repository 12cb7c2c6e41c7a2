#![expect(
    clippy::indexing_slicing,
    reason = "every slice is cut to the same length at the door"
)]

/// Heads and flows on a row of nodes.
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
}

impl NodeRow {
    /// A row that stands as given.
    pub(crate) fn at(head: Vec<f64>, flow: f64) -> Self {
        Self {
            flow: vec![flow; head.len()],
            max: head.clone(),
            min: head.clone(),
            head,
        }
    }

    /// The extremes so far; from here on they are counted anew.
    pub(crate) fn renewed(&mut self) -> (Vec<f64>, Vec<f64>) {
        let max = std::mem::replace(&mut self.max, self.head.clone());
        let min = std::mem::replace(&mut self.min, self.head.clone());
        (max, min)
    }

    /// Heads and flow at a node.
    pub(crate) fn get(&self, i: usize) -> (f64, f64) {
        (self.head[i], self.flow[i])
    }

    /// Sets a node and keeps its extremes.
    pub(crate) fn set(&mut self, i: usize, head: f64, flow: f64) {
        self.head[i] = head;
        self.flow[i] = flow;
        self.max[i] = larger(self.max[i], head);
        self.min[i] = smaller(self.min[i], head);
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

/// Half a step: each node of `to`, from `skip` on, lies between two neighbours of `from` and takes the wave that each sends.
///
/// C+: H = H_A + B Q_A - (B + R|Q_A|) Q; C-: H = H_B - B Q_B + (B + R|Q_B|) Q. Friction is taken with the new flow once and the old once, which holds a steady state exactly.
pub(crate) fn half_step(from: &NodeRow, to: &mut NodeRow, skip: usize, cell: HalfCell) {
    let n = from.head.len() - 1;
    let (head, flow) = (&from.head[..=n], &from.flow[..=n]);
    let new_head = &mut to.head[skip..skip + n];
    let new_flow = &mut to.flow[skip..skip + n];
    let max = &mut to.max[skip..skip + n];
    let min = &mut to.min[skip..skip + n];
    let HalfCell {
        impedance: b,
        resistance: r,
    } = cell;
    for i in 0..n {
        let down_slope = b + r * flow[i].abs();
        let up_slope = b + r * flow[i + 1].abs();
        let down = head[i] + b * flow[i];
        let up = head[i + 1] - b * flow[i + 1];
        let share = 1.0 / (down_slope + up_slope);
        // H = (C_P B_M + C_M B_P)/(B_P + B_M), Q = (C_P - C_M)/(B_P + B_M)
        let h = (down * up_slope + up * down_slope) * share;
        new_head[i] = h;
        new_flow[i] = (down - up) * share;
        max[i] = larger(max[i], h);
        min[i] = smaller(min[i], h);
    }
}

// f64::max also sorts out not-a-number, which no head is, and costs twice
fn larger(a: f64, b: f64) -> f64 {
    if b > a { b } else { a }
}

fn smaller(a: f64, b: f64) -> f64 {
    if b < a { b } else { a }
}
