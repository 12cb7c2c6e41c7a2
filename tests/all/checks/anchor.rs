//! Checkers for tests/checks/anchor*.csv.

use crate::ledger::{Answer, Checker, Inputs};
use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};
use steadyfall::anchor::block::{Base, CONCRETE_N_PER_M3, bearing_area_m2, weight_against};
use steadyfall::anchor::floods::{
    StreamCrossing, ballast_kg_per_m, drag_n_per_m, lift_empty_n_per_m, lift_full_n_per_m,
    strap_spacing_m,
};
use steadyfall::anchor::ground::{SiteWater, full_n_per_m, wall_area_m2};
use steadyfall::anchor::heat::{HeldPipe, guide_spacing_m, held_n, shortening_pull_n, swing_m};
use steadyfall::anchor::penstock::{
    BendBlock, JOINT_FRICTION_N_PER_M, LONGEST_RUN_M, LengthChange, Sized, SteelShell,
};
use steadyfall::anchor::slopes::{anchor_spacing_m, handbook_spacing_m, slides_n_per_m};
use steadyfall::anchor::soil::{CodeRow, building_code, course_pa, pipe_trade_pa};
use steadyfall::anchor::supports::STEEL_ON_CONCRETE;
use steadyfall::anchor::thrust::{FlowSection, Vector, on_bend_n, on_end_n, on_fitting};
use steadyfall::pipe::{Material, Own, Pipe, Soil, length_change_m, own};

type Asked = Result<Answer, String>;

const PSF: f64 = 47.880_258_980_336;
const FOOT: f64 = 0.3048;
const POUND_N: f64 = 4.448_221_615;

/// The quantities of this topic.
pub fn checkers() -> Vec<Checker> {
    [thrusts(), blocks(), soils(), penstocks(), others()]
        .into_iter()
        .flatten()
        .collect()
}

fn of(quantity: &'static str, of: &'static str, work: fn(&Inputs) -> Asked) -> Checker {
    Checker { quantity, of, work }
}

fn thrusts() -> Vec<Checker> {
    vec![
        of("thrust of a bend", "anchor::thrust::on_bend_n", |i| {
            Ok((on_bend_n(section(i)?, angle(i, "angle_deg")?) / 1e3).into())
        }),
        of(
            "thrust of a bend, from its end",
            "anchor::thrust::on_bend_n",
            |i| {
                let end = still(i.number("end_n")?, 1.0);
                Ok(on_bend_n(end, angle(i, "angle_deg")?).into())
            },
        ),
        of(
            "thrust of an end, from its bend",
            "anchor::thrust::on_bend_n",
            |i| {
                let bend = i.number("bend_n")?;
                let per_newton = on_bend_n(still(1.0, 1.0), angle(i, "angle_deg")?);
                Ok(on_end_n(still(bend / per_newton, 1.0)).into())
            },
        ),
        of(
            "part of a bend thrust, forward",
            "anchor::thrust::on_fitting",
            |i| Ok((in_plan(i)?.x / 1e3).into()),
        ),
        of(
            "part of a bend thrust, sideways",
            "anchor::thrust::on_fitting",
            |i| Ok((-in_plan(i)?.y / 1e3).into()),
        ),
        of(
            "momentum at the outlet of a bend",
            "anchor::thrust::on_fitting",
            |i| {
                let (a, b) = tapering(i, 0.0)?;
                let none = FlowSection {
                    pressure_pa: 0.0,
                    ..b
                };
                let f = on_fitting(
                    (a, Vector::direction(0.0, 0.0)),
                    (none, Vector::direction(FRAC_PI_2, 0.0)),
                );
                Ok((f.y.abs() / POUND_N).into())
            },
        ),
        of(
            "thrust of a tapering bend",
            "anchor::thrust::FlowSection::in_bore, on_fitting",
            |i| {
                let (a, b) = tapering(i, i.number("pressure_pa")?)?;
                let f = on_fitting(
                    (a, Vector::direction(0.0, 0.0)),
                    (b, Vector::direction(angle(i, "angle_deg")?, 0.0)),
                );
                Ok((f.size() / 1e3).into())
            },
        ),
        of("thrust of an end", "anchor::thrust::on_end_n", |i| {
            Ok((on_end_n(section(i)?) / 1e3).into())
        }),
        of("thrust of a reducer", "anchor::thrust::on_fitting", |i| {
            let a = section(i)?;
            let out = circle(i.number("seal_out_m")?);
            let t = Vector::direction(0.0, 0.0);
            Ok((on_fitting((a, t), (a.in_bore(out, out), t)).x / 1e3).into())
        }),
        of(
            "bend in profile, forward",
            "anchor::thrust::on_fitting",
            |i| Ok(in_profile(i)?.x.into()),
        ),
        of("bend in profile, up", "anchor::thrust::on_fitting", |i| {
            Ok(in_profile(i)?.z.into())
        }),
    ]
}

fn blocks() -> Vec<Checker> {
    vec![
        of(
            "friction of a base",
            "anchor::block::Base::stability",
            |i| {
                let base = Base {
                    down_n: i.number("down_n")?,
                    level_n: 1.0,
                    lever_m: 0.0,
                    length_m: 1.0,
                    width_m: 1.0,
                    friction: i.number("friction")?,
                };
                Ok((base.stability().sliding / 1e3).into())
            },
        ),
        of(
            "safety against sliding",
            "anchor::block::Base::stability",
            |i| Ok(base(i)?.stability().sliding.into()),
        ),
        of(
            "safety against overturning",
            "anchor::block::Base::stability",
            |i| Ok(base(i)?.stability().overturning.into()),
        ),
        of(
            "even pressure under a base",
            "anchor::block::Base::stability",
            |i| {
                let base = Base {
                    down_n: i.number("down_n")?,
                    level_n: 0.0,
                    lever_m: 0.0,
                    length_m: i.number("area_m2")?,
                    width_m: 1.0,
                    friction: 0.4,
                };
                let largest = base.stability().largest_pa.ok_or("it tips")?;
                Ok((largest / 1e3).into())
            },
        ),
        of("bearing area", "anchor::block::bearing_area_m2", |i| {
            Ok(bearing_area_m2(i.number("force_n")?, i.number("allowed_pa")?).into())
        }),
        of(
            "weight against uplift",
            "anchor::block::weight_against",
            |i| {
                Ok(weight_against(
                    i.number("up_n")?,
                    i.number("level_n")?,
                    i.number("friction")?,
                )
                .into())
            },
        ),
        of(
            "volume of a weight",
            "anchor::block::CONCRETE_N_PER_M3",
            |i| Ok((i.number("weight_n")? / CONCRETE_N_PER_M3).into()),
        ),
        of(
            "weight of a volume",
            "anchor::block::CONCRETE_N_PER_M3",
            |i| Ok((i.number("volume_m3")? * CONCRETE_N_PER_M3 / 1e3).into()),
        ),
    ]
}

fn soils() -> Vec<Checker> {
    vec![
        of(
            "code vertical bearing",
            "anchor::soil::building_code",
            |i| Ok((code(i)?.vertical_pa / PSF).into()),
        ),
        of("code lateral bearing", "anchor::soil::building_code", |i| {
            Ok((code(i)?.lateral_pa_per_m * FOOT / PSF).into())
        }),
        of("code friction", "anchor::soil::building_code", |i| {
            Ok(code(i)?.friction.ok_or("no friction")?.into())
        }),
        of("code cohesion", "anchor::soil::building_code", |i| {
            Ok((code(i)?.cohesion_pa.ok_or("no cohesion")? / PSF).into())
        }),
        of("trade bearing", "anchor::soil::pipe_trade_pa", |i| {
            Ok((pipe_trade_pa(soil(i)?).ok_or("not in the table")? / PSF).into())
        }),
        of("course bearing", "anchor::soil::course_pa", |i| {
            Ok((course_pa(soil(i)?).ok_or("not in the table")? / PSF).into())
        }),
        of(
            "support friction, least",
            "anchor::supports::STEEL_ON_CONCRETE",
            |_| Ok(STEEL_ON_CONCRETE.0.into()),
        ),
        of(
            "support friction, largest",
            "anchor::supports::STEEL_ON_CONCRETE",
            |_| Ok(STEEL_ON_CONCRETE.1.into()),
        ),
    ]
}

fn penstocks() -> Vec<Checker> {
    const ROOM: &str = "anchor::penstock::BendBlock";
    vec![
        of("shell weight", "anchor::penstock::SteelShell", |i| {
            Ok((bend(i)?.shell.pipe_n_per_m() / 1e3).into())
        }),
        of("shell water", "anchor::penstock::SteelShell", |i| {
            Ok((bend(i)?.shell.water_n_per_m() / 1e3).into())
        }),
        of("block thrust", ROOM, |i| {
            Ok((bend(i)?.thrust_n() / 1e3).into())
        }),
        of("weight that hangs on a block", ROOM, |i| {
            Ok((bend(i)?.hangs_n() / 1e3).into())
        }),
        of("weight that rests on a block", ROOM, |i| {
            let bend = bend(i)?;
            Ok((bend.rests_n(bend.above_rad) / 1e3).into())
        }),
        of("pier friction", ROOM, |i| {
            Ok((bend(i)?.pier_friction_n() / 1e3).into())
        }),
        of("joint friction", "anchor::penstock::SteelShell", |i| {
            Ok((bend(i)?.shell.joint_friction_n() / 1e3).into())
        }),
        of("joint end pressure", "anchor::penstock::SteelShell", |i| {
            let bend = bend(i)?;
            Ok((bend.shell.joint_end_n(bend.head_m) / 1e3).into())
        }),
        of(
            "joint friction a metre of girth",
            "anchor::penstock::JOINT_FRICTION_N_PER_M",
            |_| Ok((JOINT_FRICTION_N_PER_M * FOOT / POUND_N).into()),
        ),
        of(
            "longest straight run",
            "anchor::penstock::LONGEST_RUN_M",
            |_| Ok(LONGEST_RUN_M.into()),
        ),
        of("force on a block, forward", ROOM, |i| {
            Ok((bend(i)?.forces_n(change(i)?).x / 1e3).into())
        }),
        of("force on a block, up", ROOM, |i| {
            Ok((bend(i)?.forces_n(change(i)?).z / 1e3).into())
        }),
        of("block safety, sliding", "anchor::penstock::Sized", |i| {
            Ok(sized(i)?.stability().sliding.into())
        }),
        of(
            "block safety, overturning",
            "anchor::penstock::Sized",
            |i| Ok(sized(i)?.stability().overturning.into()),
        ),
        of("block pressure, largest", "anchor::penstock::Sized", |i| {
            let largest = sized(i)?.stability().largest_pa.ok_or("it tips")?;
            Ok((largest / 1e3).into())
        }),
    ]
}

fn others() -> Vec<Checker> {
    vec![
        of(
            "handbook anchor spacing",
            "anchor::slopes::handbook_spacing_m",
            |i| {
                Ok(handbook_spacing_m(i.number("grade")?)
                    .map_or_else(|| "none".into(), |m| Answer::from(m / FOOT)))
            },
        ),
        of("weight of full pipe", "anchor::ground::full_n_per_m", |i| {
            Ok(full_n_per_m(&pe(i)?, WATER).into())
        }),
        of(
            "force along a slope",
            "anchor::slopes::slides_n_per_m",
            |i| Ok(slides(i)?.into()),
        ),
        of("anchor spacing", "anchor::slopes::anchor_spacing_m", |i| {
            Ok(anchor_spacing_m(i.number("strength_n")?, slides(i)?).into())
        }),
        of("swing between guides", "anchor::heat::swing_m", |i| {
            Ok((swing_m(i.number("length_m")?, i.number("strain")?) * 1e3).into())
        }),
        of("free change of length", "pipe::length_change_m", |i| {
            let m = length_change_m(
                i.number("expansion")?,
                i.number("length_m")?,
                i.number("kelvin")?,
            );
            Ok((m * 1e3).into())
        }),
        of("guide spacing", "anchor::heat::guide_spacing_m", |i| {
            Ok(guide_spacing_m(i.number("swing_m")?, i.number("strain")?).into())
        }),
        of("held force", "anchor::heat::held_n", |i| {
            Ok(held_n(HeldPipe {
                modulus_pa: i.number("modulus_pa")?,
                expansion_per_k: i.number("expansion")?,
                kelvin: i.number("kelvin")?,
                wall_area_m2: wall_area_m2(&pe(i)?),
            })
            .into())
        }),
        of("shortening pull", "anchor::heat::shortening_pull_n", |i| {
            Ok(shortening_pull_n(&pe(i)?, i.number("pressure_pa")?).into())
        }),
        of(
            "lift of an empty pipe",
            "anchor::floods::lift_empty_n_per_m",
            |i| Ok(lift_empty_n_per_m(&pe(i)?, WATER).into()),
        ),
        of(
            "lift of a full pipe",
            "anchor::floods::lift_full_n_per_m",
            |i| Ok(lift_full_n_per_m(&pe(i)?, WATER).into()),
        ),
        of("drag", "anchor::floods::drag_n_per_m", |i| {
            Ok(drag_n_per_m(StreamCrossing {
                density_kg_per_m3: 1_000.0,
                height_m: i.number("height_m")?,
                speed_m_per_s: i.number("speed_m_per_s")?,
            })
            .into())
        }),
        of("strap spacing", "anchor::floods::strap_spacing_m", |i| {
            let pipe = pe(i)?;
            let drag = drag_n_per_m(StreamCrossing {
                density_kg_per_m3: 1_000.0,
                height_m: pipe.outer_diameter_m,
                speed_m_per_s: i.number("speed_m_per_s")?,
            });
            let pull = lift_empty_n_per_m(&pipe, WATER).hypot(drag);
            Ok(strap_spacing_m(i.number("strength_n")?, pull).into())
        }),
        of("ballast", "anchor::floods::ballast_kg_per_m", |i| {
            Ok(ballast_kg_per_m(lift_empty_n_per_m(&pe(i)?, WATER), WATER).into())
        }),
    ]
}

pub(super) const WATER: SiteWater = SiteWater {
    density_kg_per_m3: 1_000.0,
    gravity_m_per_s2: 9.81,
};

fn angle(i: &Inputs, name: &str) -> Result<f64, String> {
    Ok(i.number(name)?.to_radians())
}

fn circle(diameter_m: f64) -> f64 {
    FRAC_PI_4 * diameter_m * diameter_m
}

fn still(pressure_pa: f64, area_m2: f64) -> FlowSection {
    FlowSection {
        pressure_pa,
        area_m2,
        bore_m2: area_m2,
        flow_m3_per_s: 0.0,
        density_kg_per_m3: 1_000.0,
    }
}

/// Pressure on an area, given or by the diameter at the seal; flow or speed where there is any.
fn section(i: &Inputs) -> Result<FlowSection, String> {
    let area_m2 = match i.number("area_m2") {
        Ok(area) => area,
        Err(_) => circle(i.number("seal_m")?),
    };
    let speed = i.number_or("speed_m_per_s", 0.0)?;
    Ok(FlowSection {
        flow_m3_per_s: i.number_or("flow_m3_per_s", speed * area_m2)?,
        ..still(i.number("pressure_pa")?, area_m2)
    })
}

fn tapering(i: &Inputs, pressure_pa: f64) -> Result<(FlowSection, FlowSection), String> {
    let area = circle(i.number("bore_m")?);
    let out = circle(i.number("bore_out_m")?);
    let a = FlowSection {
        flow_m3_per_s: area * i.number("speed_m_per_s")?,
        density_kg_per_m3: i.number_or("density_kg_per_m3", 1_000.0)?,
        ..still(pressure_pa, area)
    };
    Ok((a, a.in_bore(out, out)))
}

fn in_plan(i: &Inputs) -> Result<Vector, String> {
    let s = section(i)?;
    Ok(on_fitting(
        (s, Vector::direction(0.0, 0.0)),
        (s, Vector::direction(angle(i, "angle_deg")?, 0.0)),
    ))
}

fn in_profile(i: &Inputs) -> Result<Vector, String> {
    let s = section(i)?;
    Ok(on_fitting(
        (s, Vector::direction(0.0, -angle(i, "above_deg")?)),
        (s, Vector::direction(0.0, -angle(i, "below_deg")?)),
    ))
}

fn base(i: &Inputs) -> Result<Base, String> {
    Ok(Base {
        down_n: i.number("down_n")?,
        level_n: i.number("level_n")?,
        lever_m: i.number("lever_m")?,
        length_m: i.number("length_m")?,
        width_m: i.number("width_m")?,
        friction: i.number("friction")?,
    })
}

pub(super) fn soil(i: &Inputs) -> Result<Soil, String> {
    Ok(match i.word("soil")? {
        "peat" => Soil::Peat,
        "soft clay" => Soil::SoftClay,
        "silt" => Soil::Silt,
        "clay" => Soil::Clay,
        "sand" => Soil::Sand,
        "gravel" => Soil::Gravel,
        "hard clay" => Soil::HardClay,
        "weak rock" => Soil::WeakRock,
        "rock" => Soil::Rock,
        other => return Err(format!("no soil {other}")),
    })
}

fn code(i: &Inputs) -> Result<CodeRow, String> {
    building_code(soil(i)?).ok_or_else(|| "not in the table".to_owned())
}

fn bend(i: &Inputs) -> Result<BendBlock, String> {
    let shell = SteelShell {
        bore_m: i.number("bore_m")?,
        wall_m: i.number("wall_m")?,
        steel_n_per_m3: i.number("steel")?,
        water_n_per_m3: i.number("water")?,
    };
    Ok(BendBlock {
        shell,
        head_m: i.number("head_m")?,
        flow_m3_per_s: i.number_or("flow_m3_per_s", 0.0)?,
        above_rad: angle(i, "above_deg")?,
        below_rad: angle(i, "below_deg")?,
        rests_m: i.number_or("rests_m", 0.0)?,
        slides_m: i.number_or("slides_m", 0.0)?,
        pier_friction: i.number_or("pier_friction", 0.0)?,
        hangs_m: i.number_or("hangs_m", 0.0)?,
        joint_friction_n: shell.joint_friction_n(),
    })
}

fn change(i: &Inputs) -> Result<LengthChange, String> {
    Ok(match i.word("change")? {
        "warming" => LengthChange::Warming,
        _ => LengthChange::Cooling,
    })
}

fn sized(i: &Inputs) -> Result<Base, String> {
    let block = Sized {
        size_m: (
            i.number("length_m")?,
            i.number("width_m")?,
            i.number("height_m")?,
        ),
        bend_m: i.number("bend_m")?,
        friction: i.number("friction")?,
        concrete_n_per_m3: CONCRETE_N_PER_M3,
    };
    Ok(block.under(bend(i)?.forces_n(change(i)?)))
}

/// Polyethylene of a diameter and ratio, its wall the diameter over the ratio, 955 kg/m3.
pub(super) fn pe(i: &Inputs) -> Result<Pipe, String> {
    let od_m = i.number("od_m")?;
    own(&Own {
        material: Some(Material::Pe),
        outer_diameter_m: Some(od_m),
        wall_m: Some(od_m / i.number("sdr")?),
        rating_pa: Some(10e5),
        ..Own::default()
    })
    .map_err(|e| format!("{e:?}"))
}

fn slides(i: &Inputs) -> Result<f64, String> {
    let weight = full_n_per_m(&pe(i)?, WATER);
    Ok(slides_n_per_m(
        weight,
        angle(i, "slope_deg")?,
        i.number("friction")?,
    ))
}
