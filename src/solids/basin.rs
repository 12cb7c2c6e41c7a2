use super::Settling;
use crate::flow::silt::FLUSHES_GRIT_PA;
use crate::line::Basin;
use crate::numeric::math;

/// Share of the grains that a basin is to settle (own choice: nine in ten).
pub const SETTLES: f64 = 0.9;

/// Weight of settled sand by its bulk, kg/m3, its pores counted (common practice, no source).
const BULK_KG_PER_M3: f64 = 1500.0;

/// Manning's n of a concrete floor (V. T. Chow, Open-Channel Hydraulics, 1959; from memory).
const MANNING: f64 = 0.015;

/// Share of grains that a basin settles, turbulence counted: `1 - exp(-w A / Q)`.
///
/// Source: C. P. Vetter (1940), as the handbooks of small plants use it (secondary source). Any basin; an inlet that stirs it settles less.
pub fn settled_share(speed_m_per_s: f64, area_m2: f64, flow_m3_per_s: f64) -> f64 {
    1.0 - math::exp(-speed_m_per_s * area_m2 / flow_m3_per_s)
}

/// Fastest water that leaves a grain on the floor, m/s: `a sqrt(d)`, d in mm, a = 0.36 above 1 mm, 0.44 from 0.1 mm, 0.51 below.
///
/// Source: T. R. Camp, Sedimentation and the design of settling tanks (1946), in the metres of the handbooks (secondary source).
pub fn leaves_it_m_per_s(grain_m: f64) -> f64 {
    let mm = 1e3 * grain_m;
    let a = if mm > 1.0 {
        0.36
    } else if mm >= 0.1 {
        0.44
    } else {
        0.51
    };
    a * mm.sqrt()
}

/// What a grain asks of a basin at a flow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BasinDemand {
    /// Speed at which it falls, m/s.
    pub settles_m_per_s: f64,
    /// Surface that settles nine in ten, m2.
    pub area_m2: f64,
    /// Fastest water that leaves it on the floor, m/s.
    pub fastest_m_per_s: f64,
    /// Section that keeps to it, m2: width times depth.
    pub section_m2: f64,
}

impl BasinDemand {
    /// By the grain, m, and the flow, m3/s.
    pub fn of(settling: &Settling, grain_m: f64, flow_m3_per_s: f64) -> Self {
        let settles_m_per_s = settling.speed_m_per_s(grain_m);
        let fastest_m_per_s = leaves_it_m_per_s(grain_m);
        Self {
            settles_m_per_s,
            area_m2: -math::ln(1.0 - SETTLES) * flow_m3_per_s / settles_m_per_s,
            fastest_m_per_s,
            section_m2: flow_m3_per_s / fastest_m_per_s,
        }
    }
}

/// A basin held against a grain and a flow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settled {
    /// Share of the grains that it settles.
    pub share: f64,
    /// The smallest grain of which it settles nine in ten, m.
    pub least_grain_m: f64,
    /// Velocity of the water through it, m/s.
    pub through_m_per_s: f64,
    /// Time until the sand fills what is kept for it, s; `None`: depth or load was not given.
    pub fills_s: Option<f64>,
    /// Drag of the flushing water on its floor, Pa; `None`: it was not given.
    pub flush_pa: Option<f64>,
    /// Least flow that flushes settled grit on that floor, m3/s.
    pub flush_wanted_m3_per_s: Option<f64>,
}

impl Settled {
    /// By the basin, what a grain asks of it, the flow, m3/s, and the sand that comes with it, kg/m3.
    pub fn of(
        basin: &Basin,
        settling: &Settling,
        asked: &BasinDemand,
        flow_m3_per_s: f64,
        load_kg_per_m3: Option<f64>,
    ) -> Self {
        let area_m2 = basin.width_m * basin.length_m;
        let share = settled_share(asked.settles_m_per_s, area_m2, flow_m3_per_s);
        let slowest = -math::ln(1.0 - SETTLES) * flow_m3_per_s / area_m2;
        let drag = |flow: f64, grade: f64| flush_drag_pa(settling, basin.width_m, flow, grade);
        Self {
            share,
            least_grain_m: settling.grain_m(slowest),
            through_m_per_s: flow_m3_per_s / (basin.width_m * basin.depth_m),
            // all that comes is counted as settled: the sooner it is looked at, the better
            fills_s: basin
                .sand_depth_m
                .zip(load_kg_per_m3)
                .map(|(depth_m, load)| depth_m * area_m2 * BULK_KG_PER_M3 / (load * flow_m3_per_s)),
            flush_pa: basin.flush.map(|(flow, grade)| drag(flow, grade)),
            // the drag grows by the 0.6th power of the flow
            flush_wanted_m3_per_s: basin.flush.map(|(flow, grade)| {
                flow * math::powf(FLUSHES_GRIT_PA / drag(flow, grade), 1.0 / 0.6)
            }),
        }
    }

    /// Whether the flushing water moves settled grit; `None`: it was not given.
    pub fn is_flushed(&self) -> Option<bool> {
        self.flush_pa.map(|pa| pa >= FLUSHES_GRIT_PA)
    }
}

/// Drag of water that runs evenly over a wide floor, Pa: depth by Manning, `density g h S`. Shallow water, a floor that falls evenly.
pub fn flush_drag_pa(settling: &Settling, width_m: f64, flow_m3_per_s: f64, grade: f64) -> f64 {
    let depth_m = math::powf(MANNING * flow_m3_per_s / (width_m * grade.sqrt()), 0.6);
    settling.water.density_kg_per_m3 * settling.gravity_m_per_s2 * depth_m * grade
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::unit::physics::water;
    use proptest::prelude::*;

    proptest! {
        /// A basin as large as is asked for does, and the flow that is asked for flushes.
        #[test]
        fn what_is_asked_for_does(grain in 5e-5..2e-3_f64, flow in 0.001..0.5_f64, width in 0.3..5.0_f64, grade in 0.01..0.2_f64, flush in 0.001..0.1_f64) {
            let settling = Settling { water: water(4.0), gravity_m_per_s2: 9.81 };
            let asked = BasinDemand::of(&settling, grain, flow);
            let basin = Basin {
                width_m: width,
                length_m: asked.area_m2 / width,
                depth_m: asked.section_m2 / width,
                sand_depth_m: None,
                flush: Some((flush, grade)),
            };
            let settled = Settled::of(&basin, &settling, &asked, flow, None);
            prop_assert!((settled.share - SETTLES).abs() < 1e-9);
            prop_assert!((settled.least_grain_m / grain - 1.0).abs() < 1e-6);
            prop_assert!((settled.through_m_per_s / asked.fastest_m_per_s - 1.0).abs() < 1e-9);
            let wanted = settled.flush_wanted_m3_per_s.unwrap();
            prop_assert!((flush_drag_pa(&settling, width, wanted, grade) / FLUSHES_GRIT_PA - 1.0).abs() < 1e-9);
        }
    }
}
