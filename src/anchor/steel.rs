//! Steel above the ground: the block at each bend in profile when the pipe is parted by an expansion joint above it, warming and cooling.
//!
//! Welded or flanged steel needs no thrust block, but held from end to end it presses and pulls with all that its wall can: the trade parts it by joints and holds it at each bend.

use super::block::{SAFETY, up_to_5_cm};
use super::ground::{SiteWater, depth_m};
use super::jointed::{largest_pa, shell};
use super::penstock::{BendBlock, LengthChange, Sized};
use super::pieces::{Jointed, run_at};
use super::reach_parts::rise_rad;
use super::soil::ground;
use super::supports::{STEEL_ON_CONCRETE, beam_spacing_m};
use super::thrust::Vector;
use super::{Loads, NoBlock, SteelBend, SteelCase};
use crate::line::{Line, Reach};
use crate::pipe::{Bed, Material, Soil};
use crate::route::Bend;

/// A block grows by so much at a time, m.
const STEP_M: f64 = 0.05;

/// Height of the bend over the base, as a share of the block's height: the pipe lies in its upper half.
const BEND_SHARE: f64 = 0.6;

/// A bend in plan of more than this beside the one in profile is left to an engineer, rad: the list of forces is for one plane.
const PLAN_RAD: f64 = 0.05;

/// Concrete beyond this is left to an engineer, m3 (own caution).
const TOO_MUCH_M3: f64 = 10.0;

/// The blocks of every bend in profile on steel that lies above the ground, in order from the intake.
pub(super) fn steel(line: &Line, loads: &Loads, runs: &[Jointed]) -> Vec<SteelBend> {
    let bends: Vec<&Bend> = line
        .geometry
        .bends
        .iter()
        .filter(|b| b.profile_rad.abs() > 2.0 * b.sd_rad)
        .collect();
    let mut out = Vec::new();
    for bend in bends {
        let Some(run) = run_at(runs, bend.station_m) else {
            continue;
        };
        let Some(reach) = line.reaches.at(bend.station_m) else {
            continue;
        };
        let open = line.environment.bed_at(bend.station_m) != Bed::Buried;
        if reach.pipe.material == Material::Steel && open && reach.pipe.is_sized() {
            out.push(at(line, loads, reach, bend, run));
        }
    }
    out
}

fn at(line: &Line, loads: &Loads, reach: &Reach, bend: &Bend, run: &Jointed) -> SteelBend {
    let pipe = &reach.pipe;
    let water = SiteWater::of(&line.environment);
    let shell = shell(&line.environment, reach);
    let pressure_pa = largest_pa(&line.geometry, loads, bend.station_m);
    let joint_m = (bend.station_m - run.joint_m).abs();
    let (spacing_m, _) = beam_spacing_m(
        pipe,
        water.density_kg_per_m3,
        line.environment.water.warmest_c,
    );
    let above_rad = -rise_rad(&line.geometry, bend.station_m - joint_m, bend.station_m);
    let block = BendBlock {
        shell,
        head_m: pressure_pa / shell.water_n_per_m3,
        flow_m3_per_s: loads.flow_m3_per_s,
        above_rad,
        below_rad: above_rad - bend.profile_rad,
        rests_m: 0.5 * spacing_m.min(joint_m),
        slides_m: joint_m,
        pier_friction: STEEL_ON_CONCRETE.1,
        hangs_m: joint_m,
        joint_friction_n: shell.joint_friction_n(),
    };
    let forces = [
        block.forces_n(LengthChange::Warming),
        block.forces_n(LengthChange::Cooling),
    ];
    let soil = line.environment.soil_at(bend.station_m);
    let (size_m, cases, refused) = sized(forces, soil, line, bend, pipe.outer_diameter_m);
    let [warming, cooling] = cases;
    SteelBend {
        station_m: bend.station_m,
        joint_m: run.joint_m,
        pressure_pa,
        thrust_n: block.thrust_n(),
        pier_friction_n: block.pier_friction_n(),
        joint_friction_n: block.joint_friction_n,
        joint_end_n: shell.joint_end_n(block.head_m),
        hangs_n: block.hangs_n(),
        warming,
        cooling,
        size_m,
        soil,
        refused,
    }
}

/// The smallest block of its shape that stands both ways: sliding and overturning by the safety, and the ground not pressed beyond what it may take.
fn sized(
    forces: [Vector; 2],
    soil: Option<Soil>,
    line: &Line,
    bend: &Bend,
    outer_diameter_m: f64,
) -> ((f64, f64, f64), [SteelCase; 2], Option<NoBlock>) {
    let ground = ground(
        soil.unwrap_or(Soil::SoftClay),
        depth_m(
            &line.environment,
            line.reaches.at(bend.station_m),
            bend.station_m,
        ),
    );
    let mut edge_m = up_to_5_cm(outer_diameter_m + 0.3);
    loop {
        let size_m = (up_to_5_cm(1.3 * edge_m), edge_m, edge_m);
        let cases = forces.map(|force_n| {
            let stands = Sized {
                size_m,
                bend_m: BEND_SHARE * size_m.2,
                friction: ground.friction,
                concrete_n_per_m3: super::block::CONCRETE_N_PER_M3,
            }
            .under(force_n)
            .stability();
            SteelCase { force_n, stands }
        });
        let stands = cases.iter().all(|c| {
            c.stands.sliding >= SAFETY
                && c.stands.overturning >= SAFETY
                && c.stands
                    .largest_pa
                    .is_some_and(|pa| pa <= ground.downward_pa)
        });
        let volume_m3 = size_m.0 * size_m.1 * size_m.2;
        let refused = if ground.downward_pa <= 0.0 {
            Some(NoBlock::BearsNothing)
        } else if volume_m3 > TOO_MUCH_M3 {
            Some(NoBlock::TooLarge)
        } else if bend.plan_rad.abs() > PLAN_RAD {
            Some(NoBlock::TwoPlanes)
        } else if soil.is_none() {
            Some(NoBlock::SoilUnknown)
        } else {
            None
        };
        let hopeless = matches!(refused, Some(NoBlock::BearsNothing)) || volume_m3 > TOO_MUCH_M3;
        if stands || hopeless {
            return (size_m, cases, refused);
        }
        edge_m += STEP_M;
    }
}
