//! The block at a bend of a steel pipe on piers with an expansion joint: the whole list of forces, warming and cooling.
//!
//! Bureau-type list of forces: thrust at the bend, weight of pipe and water, friction on piers, friction and end pressure at the expansion joint. Basis page: blocks.

use super::block::Base;
use super::thrust::{FlowSection, Vector, on_fitting};
use crate::numeric::math;

/// Friction of an expansion joint a metre of girth, N/m: 500 lb a foot (penstock anchor chart, Bureau type, secondary source).
///
/// Another rule of the trade, 100 kN a metre of diameter (from memory), gives 4.4 times as much: ask the maker of the joint.
pub const JOINT_FRICTION_N_PER_M: f64 = 7_296.95;

/// Longest straight run without a block, m, each with a joint below it (Civil Works Guidelines for Micro-Hydropower in Nepal).
pub const LONGEST_RUN_M: f64 = 30.0;

/// A steel pipe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteelShell {
    /// Bore, m.
    pub bore_m: f64,
    /// Wall, m.
    pub wall_m: f64,
    /// Weight of the steel, N/m3.
    pub steel_n_per_m3: f64,
    /// Weight of the water, N/m3.
    pub water_n_per_m3: f64,
}

impl SteelShell {
    /// Weight of the empty pipe, N/m: `pi (d + t) t gamma`.
    pub fn pipe_n_per_m(&self) -> f64 {
        std::f64::consts::PI * (self.bore_m + self.wall_m) * self.wall_m * self.steel_n_per_m3
    }

    /// Weight of the water in it, N/m.
    pub fn water_n_per_m(&self) -> f64 {
        self.bore_area_m2() * self.water_n_per_m3
    }

    /// Area of the bore, m2.
    pub fn bore_area_m2(&self) -> f64 {
        std::f64::consts::FRAC_PI_4 * self.bore_m * self.bore_m
    }

    /// Pressure on the pipe's exposed end in an expansion joint, N, at a head, m: `gamma H pi (d + t) t`.
    pub fn joint_end_n(&self, head_m: f64) -> f64 {
        self.water_n_per_m3
            * head_m
            * std::f64::consts::PI
            * (self.bore_m + self.wall_m)
            * self.wall_m
    }

    /// Friction of the joint by its girth, N.
    pub fn joint_friction_n(&self) -> f64 {
        JOINT_FRICTION_N_PER_M * std::f64::consts::PI * self.bore_m
    }
}

/// A bend in profile with its block, a joint some way above it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BendBlock {
    /// The pipe.
    pub shell: SteelShell,
    /// Head at the bend, m: with surge.
    pub head_m: f64,
    /// Flow, m3/s.
    pub flow_m3_per_s: f64,
    /// Slope above the bend, rad below the horizontal.
    pub above_rad: f64,
    /// Slope below it, rad.
    pub below_rad: f64,
    /// Pipe above and below whose weight rests on the block, m: half-way to the next pier.
    pub rests_m: f64,
    /// Pipe that slides on piers between the block and the joint above it, m.
    pub slides_m: f64,
    /// Friction on the piers.
    pub pier_friction: f64,
    /// From the block up to the joint, m: this pipe hangs on the block.
    pub hangs_m: f64,
    /// Friction of the joint, N.
    pub joint_friction_n: f64,
}

/// Whether the pipe above the block grows or shrinks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LengthChange {
    /// It warms and grows: friction pushes the block downhill.
    Warming,
    /// It cools and shrinks: friction pulls it uphill.
    Cooling,
}

impl BendBlock {
    /// Weight of pipe and water across the pipe above the bend that rests on the block, N.
    pub fn rests_n(&self, slope_rad: f64) -> f64 {
        (self.shell.pipe_n_per_m() + self.shell.water_n_per_m())
            * self.rests_m
            * math::cos(slope_rad)
    }

    /// Friction on the piers above, N.
    pub fn pier_friction_n(&self) -> f64 {
        let weight = self.shell.pipe_n_per_m() + self.shell.water_n_per_m();
        self.pier_friction * weight * self.slides_m * math::cos(self.above_rad)
    }

    /// Weight of the pipe along the slope down from the joint, N.
    pub fn hangs_n(&self) -> f64 {
        self.shell.pipe_n_per_m() * self.hangs_m * math::sin(self.above_rad)
    }

    fn section(&self, flow_m3_per_s: f64) -> FlowSection {
        FlowSection {
            pressure_pa: self.head_m * self.shell.water_n_per_m3,
            area_m2: self.shell.bore_area_m2(),
            bore_m2: self.shell.bore_area_m2(),
            flow_m3_per_s,
            // the momentum is reckoned with 1,000 kg/m3, as the lists of forces do
            density_kg_per_m3: 1_000.0,
        }
    }

    /// Thrust of standing water at the bend, N.
    pub fn thrust_n(&self) -> f64 {
        super::thrust::on_bend_n(self.section(0.0), self.below_rad - self.above_rad)
    }

    /// All forces on the block together, N: forward down the valley, and up. Earth on its back is left out.
    pub fn forces_n(&self, change: LengthChange) -> Vector {
        let above = Vector::direction(0.0, -self.above_rad);
        let below = Vector::direction(0.0, -self.below_rad);
        let section = self.section(self.flow_m3_per_s);
        let bend = on_fitting((section, above), (section, below));
        let sense = match change {
            LengthChange::Warming => 1.0,
            LengthChange::Cooling => -1.0,
        };
        let along = self.hangs_n()
            + self.shell.joint_end_n(self.head_m)
            + sense * (self.pier_friction_n() + self.joint_friction_n);
        let into = |slope: f64| Vector {
            x: -math::sin(slope),
            y: 0.0,
            z: -math::cos(slope),
        };
        bend + above * along
            + into(self.above_rad) * self.rests_n(self.above_rad)
            + into(self.below_rad) * self.rests_n(self.below_rad)
    }
}

/// A block of a size at a bend.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sized {
    /// Length along the pipe, width, height, m.
    pub size_m: (f64, f64, f64),
    /// Height of the bend over its base, m.
    pub bend_m: f64,
    /// Friction on the ground.
    pub friction: f64,
    /// Weight of the concrete, N/m3.
    pub concrete_n_per_m3: f64,
}

impl Sized {
    /// The block under a force as a base to judge: weight less the upward force, the level force at the bend's height.
    pub fn under(&self, force: Vector) -> Base {
        let (length, width, height) = self.size_m;
        Base {
            down_n: length * width * height * self.concrete_n_per_m3 - force.z,
            level_n: force.level(),
            lever_m: self.bend_m,
            length_m: length,
            width_m: width,
            friction: self.friction,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cooling_takes_the_friction_the_other_way() {
        let bend = BendBlock {
            shell: SteelShell {
                bore_m: 0.3,
                wall_m: 0.005,
                steel_n_per_m3: 77_000.0,
                water_n_per_m3: 9_810.0,
            },
            head_m: 100.0,
            flow_m3_per_s: 0.15,
            above_rad: 15.0_f64.to_radians(),
            below_rad: 30.0_f64.to_radians(),
            rests_m: 2.0,
            slides_m: 20.0,
            pier_friction: 0.25,
            hangs_m: 25.0,
            joint_friction_n: 6_877.0,
        };
        let (warm, cool) = (
            bend.forces_n(LengthChange::Warming),
            bend.forces_n(LengthChange::Cooling),
        );
        let friction = 2.0 * (bend.pier_friction_n() + bend.joint_friction_n);
        assert!(((warm - cool).size() - friction).abs() < 1e-6);
        assert!((warm.x - 23_952.0).abs() < 50.0 && (warm.z - 8_283.0).abs() < 50.0);
    }
}
