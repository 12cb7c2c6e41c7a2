//! The line as the water meets it: pieces of pipe and steps between, and what they take at a flow.

use super::fit::LocalLoss;
use super::friction::{BoreFlow, SAME_M};
use super::{Conditions, Regime, WhyNot, fit, friction};
use crate::line::{CaseWish, Line};
use crate::numeric::math;

/// A length of one pipe that carries one flow: friction in it is worked out once.
#[derive(Debug, Clone, Copy)]
pub(super) struct ConduitSegment {
    pub(super) reach: usize,
    pub(super) bore_m: f64,
    pub(super) area_m2: f64,
    pub(super) from_m: f64,
    pub(super) to_m: f64,
    roughness_m: f64,
    factor: Option<f64>,
    /// Flow above that at the turbine: what is taken off further down, m3/s.
    extra_m3_per_s: f64,
    /// Sum of the steps' coefficients, brought onto this bore.
    steps_k: f64,
}

/// The state of the water in a channel at a flow.
#[derive(Debug, Clone, Copy)]
pub(super) struct FlowState {
    pub(super) flow_m3_per_s: f64,
    pub(super) velocity_m_per_s: f64,
    pub(super) velocity_head_m: f64,
    pub(super) reynolds: f64,
    pub(super) factor: f64,
    pub(super) regime: Regime,
    /// Head lost a metre.
    pub(super) slope: f64,
}

/// A step with the channel it stands in.
#[derive(Debug, Clone, Copy)]
pub(super) struct PlacedLoss {
    pub(super) step: LocalLoss,
    pub(super) channel: usize,
    /// At the mouth, before the first metre of pipe.
    pub(super) mouth: bool,
}

/// The whole way of the water, from still water to the pipe's end.
#[derive(Debug, Clone)]
pub(super) struct Conduit {
    pub(super) channels: Vec<ConduitSegment>,
    pub(super) steps: Vec<PlacedLoss>,
    pub(super) air: Vec<super::StandingAir>,
    viscosity_m2_per_s: f64,
    friction_share: f64,
    pub(super) gravity_m_per_s2: f64,
}

/// Losses from still water to each station and velocity heads, on both sides of it.
#[derive(Debug, Clone, Default)]
pub(super) struct HeadProfile {
    /// To the upper side, m.
    pub(super) above_m: Vec<f64>,
    /// To the lower side, m.
    pub(super) below_m: Vec<f64>,
    /// Velocity head on the upper side, m.
    pub(super) speed_above_m: Vec<f64>,
    /// Velocity head on the lower side, m.
    pub(super) speed_below_m: Vec<f64>,
}

impl Conduit {
    pub(super) fn of(
        line: &Line,
        wish: &CaseWish,
        conditions: &Conditions,
    ) -> Result<Self, WhyNot> {
        let mut channels = channels(line, conditions)?;
        let last = channels.len() - 1;
        let mouth_steps = |s: &LocalLoss| {
            matches!(
                s.by,
                super::LossSource::Entrance | super::LossSource::Screen
            )
        };
        let steps: Vec<PlacedLoss> = fit::steps(line, wish)?
            .into_iter()
            .map(|mut step| {
                step.bore_m *= conditions.bore_share;
                let channel = channels
                    .iter()
                    .position(|c| step.station_m <= c.to_m + SAME_M)
                    .unwrap_or(last);
                PlacedLoss {
                    step,
                    channel,
                    mouth: mouth_steps(&step),
                }
            })
            .collect();
        for placed in &steps {
            if let Some(channel) = channels.get_mut(placed.channel) {
                channel.steps_k += placed.k_on(channel.bore_m);
            }
        }
        Ok(Self {
            channels,
            steps,
            air: conditions.standing_air.clone(),
            viscosity_m2_per_s: conditions.water.kinematic_viscosity_m2_per_s(),
            friction_share: conditions.friction_share,
            gravity_m_per_s2: line.environment.situation.gravity_m_per_s2,
        })
    }

    /// The same line with an obstruction at its mouth: head over the square of the flow, s2/m5.
    pub(super) fn with_obstruction(mut self, s2_per_m5: f64) -> Self {
        if let (Some(c), true) = (self.channels.first_mut(), s2_per_m5 != 0.0) {
            let step = LocalLoss {
                station_m: c.from_m,
                by: super::LossSource::Screen,
                // k V^2 / 2g = c Q^2
                k: s2_per_m5 * 2.0 * self.gravity_m_per_s2 * c.area_m2 * c.area_m2,
                bore_m: c.bore_m,
                from_memory: false,
            };
            c.steps_k += step.k;
            let placed = PlacedLoss {
                step,
                channel: 0,
                mouth: true,
            };
            self.steps.insert(0, placed);
        }
        self
    }

    /// The same line with so much more water taken off at its lower end, m3/s.
    pub(super) fn with_leak(mut self, flow_m3_per_s: f64) -> Self {
        for c in &mut self.channels {
            c.extra_m3_per_s += flow_m3_per_s;
        }
        self
    }

    /// Head lost from still water to the pipe's end when this flows at the turbine, m.
    pub(super) fn loss_m(&self, flow_m3_per_s: f64) -> f64 {
        let moving: f64 = self
            .channels
            .iter()
            .map(|c| {
                let state = self.state(c, flow_m3_per_s);
                state.slope * (c.to_m - c.from_m) + c.steps_k * state.velocity_head_m
            })
            .sum();
        moving + self.air_m(flow_m3_per_s)
    }

    /// Head lost to standing air, m: none while nothing flows.
    pub(super) fn air_m(&self, flow_m3_per_s: f64) -> f64 {
        if flow_m3_per_s > 0.0 {
            self.air.iter().map(|a| a.head_m).sum()
        } else {
            0.0
        }
    }

    pub(super) fn state(&self, channel: &ConduitSegment, flow_m3_per_s: f64) -> FlowState {
        let flow = if flow_m3_per_s > 0.0 {
            flow_m3_per_s + channel.extra_m3_per_s
        } else {
            0.0
        };
        let velocity = flow / channel.area_m2;
        let velocity_head_m = velocity * velocity / (2.0 * self.gravity_m_per_s2);
        let reynolds = velocity * channel.bore_m / self.viscosity_m2_per_s;
        let (computed, regime) = match channel.factor {
            Some(f) if flow > 0.0 => (
                f,
                if reynolds <= friction::LAMINAR_BELOW {
                    Regime::Laminar
                } else if reynolds < friction::TURBULENT_ABOVE {
                    Regime::Between
                } else {
                    Regime::Turbulent
                },
            ),
            _ => friction::factor(BoreFlow {
                reynolds,
                relative_roughness: channel.roughness_m / channel.bore_m,
            }),
        };
        let factor = computed * self.friction_share;
        FlowState {
            flow_m3_per_s: flow,
            velocity_m_per_s: velocity,
            velocity_head_m,
            reynolds,
            factor,
            regime,
            slope: factor / channel.bore_m * velocity_head_m,
        }
    }

    /// Flow taken off between the intake and the turbine, m3/s.
    pub(super) fn taken_off_m3_per_s(&self) -> f64 {
        self.channels.first().map_or(f64::NAN, |c| c.extra_m3_per_s)
    }

    /// Velocity head at the pipe's end, m.
    pub(super) fn end_velocity_head_m(&self, flow_m3_per_s: f64) -> f64 {
        self.channels
            .last()
            .map_or(f64::NAN, |c| self.state(c, flow_m3_per_s).velocity_head_m)
    }

    /// Losses and velocity heads on rising stations.
    pub(super) fn profile(&self, flow_m3_per_s: f64, stations_m: &[f64]) -> HeadProfile {
        let mut out = HeadProfile::default();
        let mut walk = ConduitWalk::new(self, flow_m3_per_s);
        for &s in stations_m {
            let (above, below) = walk.to(s);
            out.above_m.push(above.0);
            out.speed_above_m.push(above.1);
            out.below_m.push(below.0);
            out.speed_below_m.push(below.1);
        }
        out
    }

    /// The same line with every bore from the mouth to a station taken times a share, and the sudden narrowing that makes there.
    pub(super) fn with_upper_bore(&self, station_m: f64, share: f64) -> Self {
        let mut out = self.clone();
        out.channels.clear();
        let mut index_of = Vec::new();
        for c in &self.channels {
            let cut = station_m.clamp(c.from_m, c.to_m);
            let parts = [(c.from_m, cut, share), (cut, c.to_m, 1.0)];
            for (from_m, to_m, share) in parts {
                if to_m - from_m > SAME_M {
                    let bore_m = c.bore_m * share;
                    out.channels.push(ConduitSegment {
                        bore_m,
                        area_m2: std::f64::consts::FRAC_PI_4 * bore_m * bore_m,
                        from_m,
                        to_m,
                        steps_k: 0.0,
                        ..*c
                    });
                    index_of.push(to_m);
                }
            }
        }
        let last = out.channels.len().saturating_sub(1);
        for placed in &mut out.steps {
            if placed.step.station_m <= station_m + SAME_M {
                placed.step.bore_m *= share;
            }
            placed.channel = index_of
                .iter()
                .position(|&to| placed.step.station_m <= to + SAME_M)
                .unwrap_or(last);
            if let Some(c) = out.channels.get_mut(placed.channel) {
                c.steps_k += placed.k_on(c.bore_m);
            }
        }
        out.narrow(station_m, share);
        out
    }

    fn narrow(&mut self, station_m: f64, share: f64) {
        let below = |c: &ConduitSegment| c.from_m >= station_m - SAME_M;
        let Some(channel) = self.channels.iter().position(below) else {
            return;
        };
        let Some(c) = self.channels.get_mut(channel) else {
            return;
        };
        let step = LocalLoss {
            station_m,
            by: super::LossSource::ChangeOfBore(c.reach),
            k: super::local::sudden_contraction(1.0 / share.max(1.0)),
            bore_m: c.bore_m,
            from_memory: false,
        };
        c.steps_k += step.k;
        let placed = PlacedLoss {
            step,
            channel,
            mouth: false,
        };
        let at = self
            .steps
            .partition_point(|p| p.mouth || p.step.station_m <= station_m);
        self.steps.insert(at, placed);
    }

    /// Head a step takes at a flow, m.
    pub(super) fn step_head_m(&self, placed: &PlacedLoss, flow_m3_per_s: f64) -> f64 {
        self.channels.get(placed.channel).map_or(f64::NAN, |c| {
            placed.k_on(c.bore_m) * self.state(c, flow_m3_per_s).velocity_head_m
        })
    }
}

impl PlacedLoss {
    /// The coefficient brought onto another bore: velocities go with the square of the bores, heads with the fourth power.
    fn k_on(&self, bore_m: f64) -> f64 {
        self.step.k * math::powi(bore_m / self.step.bore_m, 4)
    }
}

fn channels(line: &Line, conditions: &Conditions) -> Result<Vec<ConduitSegment>, WhyNot> {
    if line.geometry.heights.station_m.is_empty() {
        return Err(WhyNot::NoPipe);
    }
    let mut out = Vec::new();
    for (index, reach) in line.reaches.iter().enumerate() {
        let pipe = &reach.pipe;
        let bore_m = pipe.inner_diameter_m * conditions.bore_share;
        if bore_m.is_nan() || bore_m <= 0.0 {
            return Err(WhyNot::NoPipe);
        }
        let mut cuts: Vec<f64> = line
            .taps
            .iter()
            .map(|t| t.station_m)
            .filter(|&s| s > reach.from_m + SAME_M && s < reach.to_m - SAME_M)
            .collect();
        cuts.sort_by(f64::total_cmp);
        cuts.dedup();
        cuts.push(reach.to_m);
        let mut from_m = reach.from_m;
        for to_m in cuts {
            out.push(ConduitSegment {
                reach: index,
                bore_m,
                area_m2: std::f64::consts::FRAC_PI_4 * bore_m * bore_m,
                from_m,
                to_m,
                roughness_m: pipe.roughness_m
                    + (pipe.roughness_old_m - pipe.roughness_m) * conditions.slime,
                factor: pipe.friction_factor,
                extra_m3_per_s: line
                    .taps
                    .iter()
                    .filter(|t| t.station_m >= to_m - SAME_M)
                    .map(|t| t.flow_m3_per_s)
                    .sum(),
                steps_k: 0.0,
            });
            from_m = to_m;
        }
    }
    if out.is_empty() {
        Err(WhyNot::NoPipe)
    } else {
        Ok(out)
    }
}

/// Walks down a conduit, station by station.
struct ConduitWalk<'a> {
    conduit: &'a Conduit,
    states: Vec<FlowState>,
    channel: usize,
    /// Loss at the head of the present channel, m.
    head_loss_m: f64,
    steps: std::slice::Iter<'a, PlacedLoss>,
    next: Option<&'a PlacedLoss>,
    /// Stations of standing air, and the head that it takes down to each; none where nothing flows.
    airs: Vec<(f64, f64)>,
}

impl<'a> ConduitWalk<'a> {
    fn new(conduit: &'a Conduit, flow_m3_per_s: f64) -> Self {
        let mut steps = conduit.steps.iter();
        let next = steps.next();
        let flows = flow_m3_per_s > 0.0;
        let mut airs: Vec<(f64, f64)> = conduit
            .air
            .iter()
            .filter(|_| flows)
            .map(|a| (a.station_m, a.head_m))
            .collect();
        airs.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut sum_m = 0.0;
        for (_, head_m) in &mut airs {
            sum_m += *head_m;
            *head_m = sum_m;
        }
        Self {
            conduit,
            states: conduit
                .channels
                .iter()
                .map(|c| conduit.state(c, flow_m3_per_s))
                .collect(),
            channel: 0,
            head_loss_m: 0.0,
            steps,
            next,
            airs,
        }
    }

    /// Loss and velocity head on the upper and on the lower side of a station not above the last one.
    fn to(&mut self, s: f64) -> ((f64, f64), (f64, f64)) {
        self.take_steps(s, true);
        while let Some((c, state)) = self.here() {
            if c.to_m < s - SAME_M && self.channel + 1 < self.states.len() {
                self.head_loss_m += state.slope * (c.to_m - c.from_m);
                self.channel += 1;
            } else {
                break;
            }
        }
        let Some((c, state)) = self.here() else {
            return ((0.0, 0.0), (0.0, 0.0));
        };
        let along = (s.min(c.to_m) - c.from_m).max(0.0);
        let upper = (
            self.head_loss_m + state.slope * along + self.air_above(s - SAME_M),
            state.velocity_head_m,
        );
        self.take_steps(s, false);
        let lower_speed = match (s >= c.to_m - SAME_M, self.states.get(self.channel + 1)) {
            (true, Some(next)) => next.velocity_head_m,
            _ => state.velocity_head_m,
        };
        let lower = (
            self.head_loss_m + state.slope * along + self.air_above(s + SAME_M),
            lower_speed,
        );
        (upper, lower)
    }

    fn here(&self) -> Option<(ConduitSegment, FlowState)> {
        Some((
            *self.conduit.channels.get(self.channel)?,
            *self.states.get(self.channel)?,
        ))
    }

    /// Takes the steps above a station (`before`), or those that stand at it.
    fn take_steps(&mut self, s: f64, before: bool) {
        while let Some(placed) = self.next {
            let taken = placed.mouth
                || placed.step.station_m < s - SAME_M
                || (!before && placed.step.station_m <= s + SAME_M);
            if !taken {
                break;
            }
            if let (Some(c), Some(state)) = (
                self.conduit.channels.get(placed.channel),
                self.states.get(placed.channel),
            ) {
                self.head_loss_m += placed.k_on(c.bore_m) * state.velocity_head_m;
            }
            self.next = self.steps.next();
        }
    }

    fn air_above(&self, s: f64) -> f64 {
        let above = self.airs.partition_point(|(station_m, _)| *station_m <= s);
        let last = above.checked_sub(1).and_then(|i| self.airs.get(i));
        last.map_or(0.0, |(_, sum_m)| *sum_m)
    }
}
