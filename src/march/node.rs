use super::kernel::Characteristic;
use super::pipe_series::{BranchLine, Forebay, Nozzles, QuadraticLoss, Valve};
use crate::numeric::math;
use crate::numeric::{Bracket, root};

/// How far the head must fall below a hole before air comes in, m: the skin of the water holds so much at a hole of 30 mm (4 sigma/d), more at a smaller one. Below it a head at rest, which is 0 but for rounding, would open the hole.
const SKIN_M: f64 = 1e-3;

/// A node where two characteristics meet something: head above, head below, flow above, flow below.
#[derive(Debug, Clone, Copy)]
pub(crate) struct NodeState {
    pub(crate) above: f64,
    pub(crate) below: f64,
    pub(crate) flow_above: f64,
    pub(crate) flow_below: f64,
}

/// Head and flow at the forebay for the wave that comes up to it.
pub(crate) fn forebay(of: &Forebay, up: Characteristic) -> (f64, f64) {
    // level - K Q|Q| = C_M + B_M Q
    let flow = through(of.mouth, of.level_m - up.head, up.slope);
    (up.head + up.slope * flow, flow)
}

/// Flow where `drop(Q) + slope Q = head`: Q = 2 H/(B + sqrt(B2 + 4 K H)), the root that goes over into `head/slope` when there is no drop; nothing when shut.
pub(crate) fn through(drop: QuadraticLoss, head: f64, slope: f64) -> f64 {
    let (size, sign, r) = if head >= 0.0 {
        (head, 1.0, drop.forth_s2_per_m5)
    } else {
        (-head, -1.0, drop.back_s2_per_m5)
    };
    let inner = slope * slope + 4.0 * r * size;
    sign * 2.0 * size / (slope + inner.max(0.0).sqrt())
}

/// A join without a branch.
pub(crate) fn pass(
    drop: QuadraticLoss,
    one_way: bool,
    down: Characteristic,
    up: Characteristic,
) -> NodeState {
    // C+ and C- over a loss: K Q|Q| + (B_P + B_M) Q = C_P - C_M
    let mut flow = through(drop, down.head - up.head, down.slope + up.slope);
    if one_way && flow < 0.0 {
        flow = 0.0;
    }
    NodeState {
        above: down.head - down.slope * flow,
        below: up.head + up.slope * flow,
        flow_above: flow,
        flow_below: flow,
    }
}

/// What a branch remembers from step to step.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct BoundaryState {
    /// Flow into a standpipe, m3/s.
    flow: f64,
    /// Elevation of the water in a standpipe, m.
    level: f64,
    /// Room the air takes in the pipe, m3.
    room: f64,
    /// Air let in, m3 at the air's pressure.
    air: f64,
    /// Highest elevation the water in a standpipe would reach without its rim, m.
    pub(crate) highest: f64,
    /// Share of its travel that a valve stood at last, and what it took there.
    valve: Option<(f64, QuadraticLoss)>,
}

/// Site's air as head of water and time step: what branches need beside their own figures.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Around {
    pub(crate) gravity: f64,
    pub(crate) air_head: f64,
    pub(crate) step: f64,
}

impl BoundaryState {
    /// At rest at a head.
    pub(crate) fn at(head: f64) -> Self {
        Self {
            level: head,
            highest: head,
            ..Self::default()
        }
    }

    /// What a valve takes at a time, s: worked out anew only while it moves.
    pub(crate) fn drop_of(&mut self, valve: &Valve, time_s: f64) -> QuadraticLoss {
        let share = valve.course.share(time_s);
        let had = self.valve.filter(|had| had.0 == share);
        self.valve
            .insert(had.unwrap_or_else(|| (share, valve.drop_open(share))))
            .1
    }

    /// Air stands in the pipe here.
    pub(crate) fn holds_air(&self) -> bool {
        self.room > 0.0
    }
}

/// A join with a branch below what it passes through.
pub(crate) fn branch(
    of: &BranchLine,
    memory: &mut BoundaryState,
    around: Around,
    drop: QuadraticLoss,
    one_way: bool,
    down: Characteristic,
    up: Characteristic,
) -> NodeState {
    let meet = Meeting {
        drop,
        one_way,
        down,
        up,
    };
    match *of {
        BranchLine::None => pass(drop, one_way, down, up),
        BranchLine::Tap {
            height_m,
            conductance_m5_per_s2,
        } => meet.with(|head| opening(head - height_m, conductance_m5_per_s2)),
        BranchLine::Relief {
            opens_at_m,
            conductance_m5_per_s2,
        } => meet.with(|head| opening(head - opens_at_m, conductance_m5_per_s2)),
        BranchLine::Standpipe {
            height_m,
            rim_m,
            bore_m,
        } => {
            let tube = LevelState {
                height_m,
                rim_m,
                area: std::f64::consts::FRAC_PI_4 * bore_m * bore_m,
            };
            if memory.room > 0.0 || memory.level <= height_m {
                let met = meet.with_air(height_m, tube.area, true, memory, around);
                memory.level = height_m;
                memory.flow = 0.0;
                if memory.room <= 0.0 {
                    // full again: the water starts up the tube
                    memory.level = height_m + 1e-6;
                }
                met
            } else {
                tube.stand(&meet, memory, around)
            }
        }
        BranchLine::AirInlet {
            height_m,
            bore_m,
            lets_out,
        } => {
            let area = std::f64::consts::FRAC_PI_4 * bore_m * bore_m;
            if memory.room <= 0.0 {
                let met = pass(drop, one_way, down, up);
                if met.below >= height_m - SKIN_M {
                    return met;
                }
            }
            meet.with_air(height_m, area, lets_out, memory, around)
        }
    }
}

/// Flow out of an opening, m3/s, nothing when the head does not drive it.
fn opening(head: f64, conductance: f64) -> f64 {
    (head.max(0.0) * conductance).sqrt()
}

struct Meeting {
    drop: QuadraticLoss,
    one_way: bool,
    down: Characteristic,
    up: Characteristic,
}

impl Meeting {
    /// Flow that comes from above when the head below the passage is so much.
    fn inflow(&self, head: f64) -> f64 {
        let flow = through(self.drop, self.down.head - head, self.down.slope);
        if self.one_way { flow.max(0.0) } else { flow }
    }

    /// Flow that goes on below at a head.
    fn outflow(&self, head: f64) -> f64 {
        (head - self.up.head) / self.up.slope
    }

    fn state_at(&self, head: f64) -> NodeState {
        let flow_above = self.inflow(head);
        NodeState {
            above: self.down.head - self.down.slope * flow_above,
            below: head,
            flow_above,
            flow_below: self.outflow(head),
        }
    }

    /// The head at which what comes equals what goes on and what leaves; `leaving` must not fall with the head.
    fn with(&self, leaving: impl Fn(f64) -> f64) -> NodeState {
        let left = |head: f64| self.inflow(head) - self.outflow(head) - leaving(head);
        let plain = pass(self.drop, self.one_way, self.down, self.up).below;
        self.state_at(falling_root(left, plain, self.down.slope + self.up.slope))
    }

    /// How much faster room grows here by a metre of head, m2/s, where that is the same at every head: nothing is lost on the way through.
    fn straight_growth(&self) -> Option<f64> {
        let lossless = self.drop.forth_s2_per_m5 == 0.0 && self.drop.back_s2_per_m5 == 0.0;
        (lossless && !self.one_way).then(|| 1.0 / self.up.slope + 1.0 / self.down.slope)
    }

    /// The same where what leaves is straight in the head, `rest + slope head`: in closed form.
    fn with_straight(&self, rest: f64, slope: f64) -> NodeState {
        // below, C-: H = (C_M + B_M (Q - rest))/(1 + B_M slope); above, C+: K Q|Q| + B_P Q = C_P - H
        let share = 1.0 + self.up.slope * slope;
        let still = (self.up.head - self.up.slope * rest) / share;
        let give = self.up.slope / share;
        let mut flow = through(self.drop, self.down.head - still, self.down.slope + give);
        if self.one_way {
            flow = flow.max(0.0);
        }
        let below = still + give * flow;
        NodeState {
            above: self.down.head - self.down.slope * flow,
            below,
            flow_above: flow,
            flow_below: self.outflow(below),
        }
    }

    /// Air stands in the pipe at the branch: its room grows by what goes on below more than comes from above.
    fn with_air(
        &self,
        height_m: f64,
        area: f64,
        lets_out: bool,
        memory: &mut BoundaryState,
        around: Around,
    ) -> NodeState {
        // air at 0 C and 1 bar is some 780 times lighter than water; 0.6 for the sharp edge
        let inlet = 2.0 * around.gravity * 780.0 * math::powi(0.6 * area, 2);
        let growing = |head: f64| self.outflow(head) - self.inflow(head);
        let start = height_m;
        let scale = self.down.slope + self.up.slope;
        let per_m = self.straight_growth();
        // head at which the air flows in, or out where it may, as fast as the room changes
        let mut head = if let Some(per_m) = per_m {
            // with s = +-sqrt|under|: G = sqrt(inlet) s + per_m s|s|
            let law = QuadraticLoss {
                forth_s2_per_m5: per_m,
                back_s2_per_m5: per_m,
            };
            let s = through(law, growing(height_m), inlet.sqrt());
            height_m - s * s.abs()
        } else {
            let breathing = |head: f64| {
                let under = height_m - head;
                let air = under.signum() * (under.abs() * inlet).sqrt();
                air - growing(head)
            };
            falling_root(breathing, start, scale)
        };
        if head > height_m && !lets_out && memory.air > 0.0 {
            // shut in: pressed together by Boyle's law
            let boyle = memory.air * around.air_head;
            let over = |head: f64| (head - height_m + around.air_head).max(1e-3);
            head = if let Some(per_m) = per_m {
                // x = head over a vacuum here: step per_m x2 + (room + step G0) x = air H_a
                let vacuum_m = height_m - around.air_head;
                let rest = memory.room + around.step * growing(vacuum_m);
                vacuum_m + positive_root(around.step * per_m, rest, boyle)
            } else {
                let pressed =
                    |head: f64| boyle / over(head) - memory.room - around.step * growing(head);
                falling_root(pressed, start, scale)
            };
            memory.room = boyle / over(head);
            return self.state_at(head);
        }
        memory.room = (memory.room + around.step * growing(head)).max(0.0);
        memory.air = memory.room;
        if memory.room <= 0.0 {
            return pass(self.drop, self.one_way, self.down, self.up);
        }
        self.state_at(head)
    }
}

/// The positive root of `a x2 + b x = c`, a and c positive, without losing digits.
fn positive_root(a: f64, b: f64, c: f64) -> f64 {
    let root = (b * b + 4.0 * a * c).sqrt();
    if b > 0.0 {
        2.0 * c / (b + root)
    } else {
        (root - b) / (2.0 * a)
    }
}

struct LevelState {
    height_m: f64,
    rim_m: f64,
    area: f64,
}

impl LevelState {
    /// Water stands in the tube: (l/(g A)) dq/dt = H - level - k q|q|/(2 g A2), d(level)/dt = q/A, both by the trapezoid.
    fn stand(&self, meet: &Meeting, memory: &mut BoundaryState, around: Around) -> NodeState {
        // entrance and velocity head of the tube
        const LOSS: f64 = 1.5;
        let length = (memory.level - self.height_m).max(0.05);
        let pull = around.gravity * self.area * around.step / length;
        let fills = around.step / (4.0 * self.area);
        let loss = LOSS * memory.flow.abs() / (2.0 * around.gravity * self.area * self.area);
        let stiff = 1.0 + pull * (fills + loss);
        let from = (memory.flow - pull * (memory.level + fills * memory.flow)) / stiff;
        let met = meet.with_straight(from, pull / stiff);
        let flow = met.flow_above - met.flow_below;
        memory.level += around.step * (memory.flow + flow) / (2.0 * self.area);
        memory.flow = flow;
        // above the rim it spills; what is up there falls away
        memory.highest = memory.highest.max(memory.level);
        memory.level = memory.level.min(self.rim_m);
        if memory.level < self.height_m {
            memory.room = (self.height_m - memory.level) * self.area;
            memory.air = memory.room;
            memory.level = self.height_m;
        }
        met
    }
}

/// Root of a falling function, from a guess: steps outward until it is bracketed, then Brent's method to rounding.
pub(crate) fn falling_root(f: impl Fn(f64) -> f64, guess: f64, scale: f64) -> f64 {
    let at = f(guess);
    if at == 0.0 {
        return guess;
    }
    // a change of head of slope times the unbalanced flow is the size of the answer
    let mut step = (at * scale).abs().max(1e-9) * at.signum();
    let (mut near, mut far) = (guess, guess + step);
    for _ in 0..60 {
        if at * f(far) <= 0.0 {
            break;
        }
        step *= 2.0;
        near = far;
        far += step;
    }
    let bracket = Bracket {
        low: near.min(far),
        high: near.max(far),
        width: 0.0,
    };
    root(bracket, f).unwrap_or(far)
}

/// Air drawn in at the lower end, m3 at the air's pressure.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct EndAir {
    pub(crate) room: f64,
}

/// Head and flow at nozzles for the wave that comes down to them.
pub(crate) fn nozzles(
    of: &Nozzles,
    time_s: f64,
    air: &mut EndAir,
    around: Around,
    down: Characteristic,
) -> (f64, f64) {
    let water = of.conductance_m5_per_s2(time_s, around.gravity);
    if water <= 0.0 {
        return (down.head, 0.0);
    }
    let drives = down.head - of.height_m;
    // air passes a hole some 780 times more readily than water, by density
    let lets_in = drives < -SKIN_M || air.room > 0.0;
    if drives < 0.0 && !lets_in {
        return (down.head, 0.0);
    }
    let conductance = if lets_in { 780.0 * water } else { water };
    let flow = through(QuadraticLoss::both(1.0 / conductance), drives, down.slope);
    air.room = (air.room - around.step * flow).max(0.0);
    (down.head - down.slope * flow, flow)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const AROUND: Around = Around {
        gravity: 9.81,
        air_head: 10.0,
        step: 0.005,
    };

    /// An air inlet at 100 m between two characteristics, with a loss on the way through: the head, and what is remembered.
    fn inlet(
        down_m: f64,
        up_m: f64,
        lets_out: bool,
        air_m3: f64,
        loss: f64,
    ) -> (f64, BoundaryState) {
        let of = BranchLine::AirInlet {
            height_m: 100.0,
            bore_m: 0.01,
            lets_out,
        };
        let mut memory = BoundaryState {
            air: air_m3,
            room: air_m3,
            ..BoundaryState::default()
        };
        let drop = QuadraticLoss {
            forth_s2_per_m5: loss,
            back_s2_per_m5: loss,
        };
        let at = |head: f64, slope: f64| Characteristic { head, slope };
        let (down, up) = (at(down_m, 3.0e3), at(up_m, 2.0e3));
        let met = branch(&of, &mut memory, AROUND, drop, false, down, up);
        (met.below, memory)
    }

    proptest! {
        /// A loss of next to nothing is solved by trial, none in closed form.
        #[test]
        fn air_is_met_in_closed_form_as_by_trial(
            down in 60.0..160.0f64,
            up in 60.0..160.0f64,
            lets_out: bool,
            air in 1e-5..0.2f64,
        ) {
            let (closed, a) = inlet(down, up, lets_out, air, 0.0);
            let (tried, b) = inlet(down, up, lets_out, air, 1e-9);
            prop_assert!((closed - tried).abs() < 1e-6 * (1.0 + (closed - 100.0).abs()), "{} {}", closed, tried);
            prop_assert!((a.room - b.room).abs() < 1e-9 && (a.air - b.air).abs() < 1e-9);
        }
    }

    /// Open jets behind a shut valve: the head at rest is theirs but for rounding.
    fn at_rest_by(off_m: f64) -> (f64, f64, f64) {
        let around = Around {
            gravity: 9.81,
            air_head: 10.0,
            step: 0.005,
        };
        let height_m = 29.1;
        let jets = Nozzles::passing(0.01, 50.0, height_m, around.gravity);
        let down = Characteristic {
            head: height_m + off_m,
            slope: 2.0e4,
        };
        let mut air = EndAir::default();
        let (head, flow) = nozzles(&jets, 0.0, &mut air, around, down);
        (head - height_m, flow, air.room)
    }

    #[test]
    fn rounding_lets_no_air_in() {
        for off_m in [-1e-15, -1e-9, -5e-4] {
            let (head, flow, room) = at_rest_by(off_m);
            assert_eq!((flow, room), (0.0, 0.0));
            assert!((head - off_m).abs() < 1e-14);
        }
        let (_, flow, room) = at_rest_by(-0.01);
        assert!(flow < 0.0 && room > 0.0);
        let (_, flow, room) = at_rest_by(0.01);
        assert!(flow > 0.0 && room == 0.0);
    }
}
