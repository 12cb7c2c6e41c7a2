//! A settled state laid out: points, stretches, the table of losses, powers.

use super::case_model::{CaseModel, Solution};
use super::conduit::{Conduit, HeadProfile, PlacedLoss};
use super::demand::Demand;
use super::friction::SAME_M;
use super::limit::{Fall, PartFullSolution};
use super::{Electrical, GradePoint, JetRun, Loss, LossSource, Losses, Run, Stretch, demand};
use crate::numeric::{math, series};

/// Energy line along a case's stations.
pub(super) struct EnergyLine {
    profile: HeadProfile,
    above_m: Vec<f64>,
    below_m: Vec<f64>,
    part_full: Vec<bool>,
    falls: Vec<Fall>,
}

impl EnergyLine {
    pub(super) fn of(case: &CaseModel<'_>, answer: &Solution) -> Self {
        if let Some((_, broken)) = &answer.broken {
            let PartFullSolution {
                profile,
                above_m,
                below_m,
                part_full,
                falls,
                ..
            } = broken.clone();
            return Self {
                profile,
                above_m,
                below_m,
                part_full,
                falls,
            };
        }
        let profile = case.conduit.profile(answer.flow_m3_per_s, &case.stations_m);
        let from_level = |loss: &[f64]| loss.iter().map(|l| case.level_m - l).collect();
        Self {
            above_m: from_level(&profile.above_m),
            below_m: from_level(&profile.below_m),
            part_full: vec![false; case.stations_m.len()],
            falls: Vec::new(),
            profile,
        }
    }

    fn point(&self, case: &CaseModel<'_>, station_m: f64) -> GradePoint {
        let i = case.stations_m.partition_point(|&s| s < station_m - SAME_M);
        let at = |v: &[f64]| series::at(v, i);
        let pipe = at(&case.pipe_m);
        let part_full = self.part_full.get(i).copied().unwrap_or(false);
        let grade = |energy: f64, speed: f64| if part_full { pipe } else { energy - speed };
        let above = grade(at(&self.above_m), at(&self.profile.speed_above_m));
        let below = grade(at(&self.below_m), at(&self.profile.speed_below_m));
        let weight = case.conditions.water.density_kg_per_m3 * case.conduit.gravity_m_per_s2;
        GradePoint {
            station_m,
            grade_line_m: above,
            grade_line_below_m: below,
            energy_line_m: at(&self.above_m),
            pressure_pa: weight * (above - pipe),
            pressure_below_pa: weight * (below - pipe),
            part_full,
        }
    }
}

/// Everything of a run but why it is limited and its doubts.
pub(super) fn lay_out(case: &CaseModel<'_>, answer: &Solution, heads: &EnergyLine) -> Run {
    let line = case.line;
    let flow = answer.flow_m3_per_s;
    let water = case.conditions.water;
    let g = case.conduit.gravity_m_per_s2;
    let losses = losses(&case.conduit, flow, &heads.falls);
    let net_head_m = case.net_head_m(answer);
    let stretches = stretches(&case.conduit, flow);
    let fastest = stretches
        .iter()
        .max_by(|a, b| a.velocity_m_per_s.total_cmp(&b.velocity_m_per_s));
    let weight = water.density_kg_per_m3 * g;
    let water_power_w = weight * flow * net_head_m.max(0.0);
    let jets = jets(case, net_head_m);
    let jet_power_w = matches!(case.demand, Demand::Jets(_)).then(|| {
        jets.iter()
            .map(|j| {
                0.5 * water.density_kg_per_m3 * j.flow_m3_per_s * math::powi(j.speed_m_per_s, 2)
            })
            .sum()
    });
    let points: Vec<GradePoint> = line
        .geometry
        .heights
        .station_m
        .iter()
        .map(|&s| heads.point(case, s))
        .collect();
    Run {
        wish: case.wish.clone(),
        level_m: case.level_m,
        flow_m3_per_s: flow,
        flow_sd_m3_per_s: 0.0,
        gross_head_m: case.gross_head_m,
        gross_head_sd_m: 0.0,
        net_head_m,
        net_head_sd_m: 0.0,
        losses,
        velocity_max_m_per_s: fastest.map_or(f64::NAN, |s| s.velocity_m_per_s),
        velocity_max_station_m: fastest.map_or(f64::NAN, |s| s.from_m),
        pressure_turbine_pa: points.last().map_or(f64::NAN, |p| p.pressure_below_pa),
        pressure_turbine_sd_pa: 0.0,
        jets,
        water_power_w,
        water_power_sd_w: 0.0,
        jet_power_w,
        electrical: electrical(case, water_power_w),
        limited: None,
        points,
        stretches,
        doubts: Vec::new(),
        aged: None,
        silt: Vec::new(),
        by_hazen: None,
        water,
    }
}

fn electrical(case: &CaseModel<'_>, water_power_w: f64) -> Option<Electrical> {
    let share = case.line.outlet.as_ref()?.water_to_wire?;
    Some(Electrical {
        power_w: share * water_power_w,
        low_w: share * water_power_w,
        high_w: share * water_power_w,
    })
}

fn jets(case: &CaseModel<'_>, net_head_m: f64) -> Vec<JetRun> {
    let Demand::Jets(indexes) = &case.demand else {
        return Vec::new();
    };
    let ideal = (2.0 * case.conduit.gravity_m_per_s2 * net_head_m.max(0.0)).sqrt();
    demand::jets(case.line.outlet.as_ref(), indexes)
        .map(|(jet, j)| {
            let flow_m3_per_s = j.discharge_coefficient * j.area_m2() * ideal;
            let speed_m_per_s = j.velocity_coefficient * ideal;
            JetRun {
                jet,
                flow_m3_per_s,
                speed_m_per_s,
                diameter_m: if speed_m_per_s > 0.0 {
                    (flow_m3_per_s / speed_m_per_s / std::f64::consts::FRAC_PI_4).sqrt()
                } else {
                    0.0
                },
            }
        })
        .collect()
}

fn stretches(conduit: &Conduit, flow_m3_per_s: f64) -> Vec<Stretch> {
    conduit
        .channels
        .iter()
        .map(|c| {
            let s = conduit.state(c, flow_m3_per_s);
            Stretch {
                from_m: c.from_m,
                to_m: c.to_m,
                reach: c.reach,
                flow_m3_per_s: s.flow_m3_per_s,
                velocity_m_per_s: s.velocity_m_per_s,
                reynolds: s.reynolds,
                regime: s.regime,
                friction_factor: s.factor,
            }
        })
        .collect()
}

/// Where the head went; what lies within a free fall is counted with it.
fn losses(conduit: &Conduit, flow_m3_per_s: f64, falls: &[Fall]) -> Losses {
    let mut out = Losses::default();
    if flow_m3_per_s <= 0.0 && falls.is_empty() {
        return out;
    }
    let within = |s: f64| {
        falls
            .iter()
            .any(|f| s >= f.from_m - SAME_M && s <= f.last_dry_m + SAME_M)
    };
    for placed in &conduit.steps {
        if !placed.mouth && within(placed.step.station_m) {
            continue;
        }
        let loss = step_loss(conduit, placed, flow_m3_per_s);
        out.local_m += loss.head_m;
        out.items.push(loss);
    }
    for c in &conduit.channels {
        let dry: f64 = falls
            .iter()
            .map(|f| (f.full_at_m.min(c.to_m) - f.from_m.max(c.from_m)).max(0.0))
            .sum();
        let length = c.to_m - c.from_m - dry;
        let state = conduit.state(c, flow_m3_per_s);
        let head_m = state.slope * length;
        out.friction_m += head_m;
        out.items.push(Loss {
            by: LossSource::Wall(c.reach),
            from_m: c.from_m,
            to_m: c.to_m,
            k: state.factor * length / c.bore_m,
            head_m,
            from_memory: false,
        });
    }
    if flow_m3_per_s > 0.0 {
        for air in conduit.air.iter().filter(|a| !within(a.station_m)) {
            out.air_m += air.head_m;
            out.items.push(Loss {
                by: LossSource::Air,
                from_m: air.station_m,
                to_m: air.station_m,
                k: 0.0,
                head_m: air.head_m,
                from_memory: false,
            });
        }
    }
    for fall in falls {
        out.fall_m += fall.head_m;
        out.items.push(Loss {
            by: LossSource::Fall,
            from_m: fall.from_m,
            to_m: fall.full_at_m,
            k: 0.0,
            head_m: fall.head_m,
            from_memory: false,
        });
    }
    out.items.sort_by(|a, b| a.from_m.total_cmp(&b.from_m));
    out
}

fn step_loss(conduit: &Conduit, placed: &PlacedLoss, flow_m3_per_s: f64) -> Loss {
    Loss {
        by: placed.step.by,
        from_m: placed.step.station_m,
        to_m: placed.step.station_m,
        k: placed.step.k,
        head_m: conduit.step_head_m(placed, flow_m3_per_s),
        from_memory: placed.step.from_memory,
    }
}
