use super::OpeningSchedule;

/// Plain tubes in series from a forebay to an outlet: all the march knows.
#[derive(Debug, Clone, PartialEq)]
pub struct PipeSeries {
    /// Gravity, m/s2.
    pub gravity_m_per_s2: f64,
    /// The upper end.
    pub forebay: Forebay,
    /// Tubes in order from the forebay down.
    pub tubes: Vec<Tube>,
    /// What stands between one tube and the next: one fewer than tubes; missing ones are plain.
    pub joins: Vec<Join>,
    /// The lower end.
    pub end: LowerEnd,
}

/// A stretch of one bore, one wave speed and one friction factor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tube {
    /// Length, m.
    pub length_m: f64,
    /// Bore, m.
    pub bore_m: f64,
    /// Wave speed, m/s.
    pub wave_speed_m_per_s: f64,
    /// Darcy friction factor.
    pub friction_factor: f64,
}

impl Tube {
    /// Area of the bore, m2.
    pub fn area_m2(&self) -> f64 {
        std::f64::consts::FRAC_PI_4 * self.bore_m * self.bore_m
    }

    /// Time of a wave from end to end, s.
    pub fn travel_s(&self) -> f64 {
        self.length_m / self.wave_speed_m_per_s
    }

    /// Velocity head over flow squared, s2/m5.
    pub fn velocity_head_s2_per_m5(&self, gravity_m_per_s2: f64) -> f64 {
        let area = self.area_m2();
        1.0 / (2.0 * gravity_m_per_s2 * area * area)
    }
}

/// A loss of head K Q|Q|, with its own coefficient K for each direction, s2/m5. Where the bore changes the velocity head is in it, so one may be below nothing.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct QuadraticLoss {
    /// Flow towards the outlet.
    pub forth_s2_per_m5: f64,
    /// Flow towards the forebay.
    pub back_s2_per_m5: f64,
}

impl QuadraticLoss {
    /// The same both ways.
    pub fn both(s2_per_m5: f64) -> Self {
        Self {
            forth_s2_per_m5: s2_per_m5,
            back_s2_per_m5: s2_per_m5,
        }
    }

    /// Head lost at a flow, m, positive for flow towards the outlet.
    pub fn head_m(&self, flow: f64) -> f64 {
        if flow >= 0.0 {
            self.forth_s2_per_m5 * flow * flow
        } else {
            -self.back_s2_per_m5 * flow * flow
        }
    }
}

/// Still water of constant level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Forebay {
    /// Elevation of the water, m.
    pub level_m: f64,
    /// Drop of the piezometric head at the mouth: entrance, screen and velocity head inward.
    pub mouth: QuadraticLoss,
}

/// What stands between two tubes: first what the water passes through, then what branches off below it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Join {
    /// What it passes through.
    pub pass: InlineElement,
    /// What branches off.
    pub branch: BranchLine,
}

/// What the water passes through.
#[derive(Debug, Clone, Default, PartialEq)]
pub enum InlineElement {
    /// Nothing.
    #[default]
    Free,
    /// A loss that stays as it is.
    Still(QuadraticLoss),
    /// A flap that lets nothing back.
    OneWay(QuadraticLoss),
    /// A valve.
    Valve(Valve),
}

/// A valve that moves or stands part-open.
#[derive(Debug, Clone, PartialEq)]
pub struct Valve {
    /// Everything that does not change with its opening: losses at the same place, change of velocity head.
    pub rest: QuadraticLoss,
    /// Loss coefficient by opening.
    pub law: super::valve::ValveLaw,
    /// Velocity head of the bore its loss is counted on, over flow squared, s2/m5.
    pub velocity_head_s2_per_m5: f64,
    /// Its movement, in share of what the law counts.
    pub course: OpeningSchedule,
}

impl Valve {
    /// Drop at a time after the start, s; infinite when shut.
    pub fn drop_at(&self, time_s: f64) -> QuadraticLoss {
        self.drop_open(self.course.share(time_s))
    }

    /// Drop at a share of its travel.
    pub(crate) fn drop_open(&self, share: f64) -> QuadraticLoss {
        let own = self.law.loss_coefficient(share) * self.velocity_head_s2_per_m5;
        QuadraticLoss {
            forth_s2_per_m5: (self.rest.forth_s2_per_m5 + own).max(0.0),
            back_s2_per_m5: (self.rest.back_s2_per_m5 + own).max(0.0),
        }
    }
}

/// What branches off at a join.
#[derive(Debug, Clone, Default, PartialEq)]
pub enum BranchLine {
    /// Nothing.
    #[default]
    None,
    /// Water taken off through an opening to the air: flow squared is `conductance` times the head above `height_m`.
    Tap {
        /// Elevation of the opening, m.
        height_m: f64,
        /// Flow squared over head, m5/s2.
        conductance_m5_per_s2: f64,
    },
    /// An opening that stays shut below a head.
    Relief {
        /// Head it opens at, m.
        opens_at_m: f64,
        /// Flow squared over the head above that, m5/s2.
        conductance_m5_per_s2: f64,
    },
    /// An open standpipe: its water has mass and level. When it has run empty it lets air in.
    Standpipe {
        /// Elevation of the pipe it stands on, m.
        height_m: f64,
        /// Elevation of its rim, m: above it the water spills.
        rim_m: f64,
        /// Its bore, m.
        bore_m: f64,
    },
    /// A valve that lets air in when the pressure falls below the air's.
    AirInlet {
        /// Elevation of the pipe it stands on, m.
        height_m: f64,
        /// Bore of the opening, m.
        bore_m: f64,
        /// Whether the air can leave again the same way; else it is pressed together.
        lets_out: bool,
    },
}

impl BranchLine {
    /// Air may come in here.
    pub(crate) fn lets_air_in(&self) -> bool {
        matches!(self, Self::Standpipe { .. } | Self::AirInlet { .. })
    }
}

/// The lower end.
#[derive(Debug, Clone, PartialEq)]
pub enum LowerEnd {
    /// A closed end.
    Shut,
    /// Nozzles to the air.
    Nozzles(Nozzles),
}

/// Nozzles at one elevation, some of which move.
#[derive(Debug, Clone, PartialEq)]
pub struct Nozzles {
    /// Elevation of their axis, m.
    pub height_m: f64,
    /// Effective area (discharge coefficient times hole) of those that stay, m2.
    pub area_kept_m2: f64,
    /// Effective area of those that move, fully open, m2.
    pub area_moved_m2: f64,
    /// Their movement.
    pub course: OpeningSchedule,
    /// Velocity head in the pipe before them over flow squared, s2/m5: 0 where it is left out.
    pub approach_s2_per_m5: f64,
}

impl Nozzles {
    /// Nozzles that all move together and pass a flow at a head above their axis.
    pub fn passing(flow_m3_per_s: f64, head_m: f64, height_m: f64, gravity: f64) -> Self {
        Self {
            height_m,
            area_kept_m2: 0.0,
            area_moved_m2: flow_m3_per_s / (2.0 * gravity * head_m).sqrt(),
            course: OpeningSchedule::held(1.0),
            approach_s2_per_m5: 0.0,
        }
    }

    /// Flow squared over piezometric head above the axis at a time, m5/s2: 1/(1/(2 g A2) - approach).
    pub(crate) fn conductance_m5_per_s2(&self, time_s: f64, gravity: f64) -> f64 {
        let area = self.area_kept_m2 + self.area_moved_m2 * self.course.area(time_s);
        let squared = 2.0 * gravity * area * area;
        // a nozzle as wide as the pipe has no pressure before it: held just short of that
        squared / (1.0 - squared * self.approach_s2_per_m5).max(1e-6)
    }
}

/// What runs before anything moves.
#[derive(Debug, Clone, PartialEq)]
pub struct InitialState {
    /// Flow in each tube, m3/s.
    pub flow_m3_per_s: Vec<f64>,
    /// Head below a shut valve, m, for tubes that are cut off from the forebay; the head of the tubes above where it is not needed.
    pub below_shut_m: f64,
}

impl InitialState {
    /// The same flow in every tube.
    pub fn flowing(chain: &PipeSeries, flow_m3_per_s: f64) -> Self {
        Self {
            flow_m3_per_s: vec![flow_m3_per_s; chain.tubes.len()],
            below_shut_m: chain.forebay.level_m,
        }
    }
}

impl PipeSeries {
    /// Length of all tubes, m.
    pub fn length_m(&self) -> f64 {
        self.tubes.iter().map(|t| t.length_m).sum()
    }

    /// Time of a wave from the outlet to the forebay and back, s.
    pub fn critical_time_s(&self) -> f64 {
        2.0 * self.tubes.iter().map(Tube::travel_s).sum::<f64>()
    }

    /// How long what moves takes, s.
    pub fn movement_s(&self) -> f64 {
        let valves = self.joins.iter().map(|j| match &j.pass {
            InlineElement::Valve(v) => v.course.duration_s(),
            _ => 0.0,
        });
        let end = match &self.end {
            LowerEnd::Nozzles(n) => n.course.duration_s(),
            LowerEnd::Shut => 0.0,
        };
        valves.fold(end, f64::max)
    }

    /// Heads at the upper and lower end of each tube in a steady state, m.
    pub fn steady_heads_m(&self, start: &InitialState) -> Vec<(f64, f64)> {
        let mut heads = Vec::with_capacity(self.tubes.len());
        let first = start.flow_m3_per_s.first().copied().unwrap_or(0.0);
        let mut head = self.forebay.level_m - self.forebay.mouth.head_m(first);
        let mut joins = self.joins.iter();
        let mut above = first;
        for (tube, &flow) in self.tubes.iter().zip(&start.flow_m3_per_s) {
            if !heads.is_empty() {
                head = match joins.next().map(|j| &j.pass) {
                    None | Some(InlineElement::Free) => head,
                    Some(InlineElement::Still(d) | InlineElement::OneWay(d)) => {
                        head - d.head_m(above)
                    }
                    Some(InlineElement::Valve(v)) => {
                        let drop = v.drop_at(f64::NEG_INFINITY);
                        if drop.forth_s2_per_m5.is_finite() {
                            head - drop.head_m(above)
                        } else {
                            start.below_shut_m
                        }
                    }
                };
            }
            let upper = head;
            head -= tube.friction_factor * tube.length_m / tube.bore_m
                * tube.velocity_head_s2_per_m5(self.gravity_m_per_s2)
                * flow
                * flow.abs();
            heads.push((upper, head));
            above = flow;
        }
        heads
    }
}
