//! Checkers for tests/checks/air*.csv.

use crate::ledger::{Answer, Checker, Inputs};
use steadyfall::air::drains::{
    DrainPart, LastAir, Outflow, frost_free_cover_m, least_drain_bore_m, slam_m,
};
use steadyfall::air::orifice::{self, Across, burst_m3_per_s};
use steadyfall::air::pipe_profile::PipeProfile;
use steadyfall::air::startup::Ends;
use steadyfall::air::startup::Outcome;
use steadyfall::air::sweep::{Hanging, Relation};
use steadyfall::air::vents::{Riser, standpipe_top_m};
use steadyfall::air::{self, AirInputs};
use steadyfall::flow;
use steadyfall::line::{Appurtenance, Discharge, Jet, Line, Outlet};
use steadyfall::pipe::{Device, MarkKind, Material, Own, Pipe, RunState, WorkingState, own};
use steadyfall::profile;
use steadyfall::unit::physics;

type Asked = Result<Answer, String>;

/// The quantities of this topic.
pub fn checkers() -> Vec<Checker> {
    let of = |quantity, of, work| Checker { quantity, of, work };
    vec![
        of(
            "critical speed",
            "air::sweep::Relation::critical_m_per_s",
            |i| critical(i, i.number("bore_m")?, 9.81),
        ),
        of(
            "critical froude",
            "air::sweep::Relation::critical_m_per_s",
            |i| critical(i, 1.0, 1.0),
        ),
        of(
            "pocket size number",
            "air::sweep::Hanging::size_number",
            |i| {
                Ok(Hanging {
                    bore_m: i.number("bore_m")?,
                    slope_rad: 0.0,
                    volume_m3: i.number("volume_m3")?,
                    gravity_m_per_s2: 9.81,
                }
                .size_number()
                .into())
            },
        ),
        of(
            "start margin, full legs",
            "air::pipe_profile::PipeProfile::start_primed",
            |i| {
                let (ends, outcome) = start(i)?;
                Ok(outcome.margin_worst_m(ends).into())
            },
        ),
        of(
            "start margin, squeezed",
            "air::pipe_profile::PipeProfile::start_primed",
            |i| {
                let (ends, outcome) = start(i)?;
                Ok(outcome.margin_squeezed_m(ends).into())
            },
        ),
        of(
            "squeezed pocket height",
            "air::leg::FallingLeg::squeezed",
            |i| {
                let (_, outcome) = start(i)?;
                let crest = i.number("crest")? as usize - 1;
                Ok(outcome.crests[crest].squeezed_m.into())
            },
        ),
        of("air pressure head", "unit::physics::air_pressure", |i| {
            let pa = physics::air_pressure(i.number("altitude_m")?);
            Ok((pa / i.number("weight_n_per_m3")?).into())
        }),
        of("flow with squeezed pockets", "air::judge, left_in", |_| {
            left_in(|l| l.flow_compressed_m3_per_s)
        }),
        of("flow with full pockets", "air::judge, left_in", |_| {
            left_in(|l| l.flow_full_m3_per_s)
        }),
        of("sealed crest pressure head", "flow::run", |i| {
            let (line, crest_m) = crested(i)?;
            let run = open_end(&line)?;
            if let Some(limited) = &run.limited {
                return Ok(limited
                    .suction_m
                    .map_or_else(|| "refused".into(), Answer::from));
            }
            let point = run
                .points
                .iter()
                .find(|p| p.station_m == crest_m)
                .ok_or("the crest is not on the grid")?;
            Ok((point.grade_line_m - line.geometry.elevation_m(crest_m)).into())
        }),
        of("sealed flow", "flow::run", |i| {
            let run = open_end(&crested(i)?.0)?;
            Ok((run.flow_m3_per_s * 1e3).into())
        }),
        of("flow with the crest vented", "flow::run", |i| {
            let (mut line, crest_m) = crested(i)?;
            line.stands.push(Appurtenance {
                kind: MarkKind::Vent,
                station_m: crest_m,
                device: Some(Device::Standpipe),
                bore_m: Some(0.05),
                top_m: Some(2.0),
                cock_open: true,
                state: WorkingState::Works,
                strength_n: None,
                opens_at_pa: None,
                slack_m: None,
                name: String::new(),
            });
            Ok((open_end(&line)?.flow_m3_per_s * 1e3).into())
        }),
        of(
            "submergence over the crown",
            "flow::MouthFlow::depth_m",
            |i| {
                let mouth = flow::MouthFlow {
                    velocity_m_per_s: i.number("speed_m_per_s")?,
                    bore_m: i.number("bore_m")?,
                    gravity_m_per_s2: 9.81,
                };
                Ok(mouth.depth_m(flow::Submergence::GordonEven).into())
            },
        ),
        of("sonic ratio", "air::orifice::sonic_ratio", |_| {
            Ok(orifice::sonic_ratio().into())
        }),
        of("sonic vacuum", "air::orifice::sonic_ratio", |i| {
            Ok((i.number("air_pa")? * (1.0 - orifice::sonic_ratio()) / 1e3).into())
        }),
        of(
            "free air let in",
            "air::orifice::Across::flow_m3_per_s",
            |i| {
                let across = Across::inward(i.number("air_pa")?, i.number("vacuum_kpa")? * 1e3);
                Ok(((i.number("bore_mm")? / 1e3 / across.bore_for_m(1.0)).powi(2) * 1e3).into())
            },
        ),
        of("air let out", "air::orifice::Across::flow_m3_per_s", |i| {
            let across = Across::outward(i.number("air_pa")?, i.number("inside_kpa")? * 1e3);
            Ok(((i.number("bore_mm")? / 1e3 / across.bore_for_m(1.0)).powi(2) * 1e3).into())
        }),
        of(
            "opening for free air",
            "air::orifice::Across::bore_for_m",
            |i| {
                let across = Across::inward(i.number("air_pa")?, i.number("vacuum_kpa")? * 1e3);
                Ok((across.bore_for_m(i.number("flow_l_per_s")? / 1e3) * 1e3).into())
            },
        ),
        of("orifice coefficient", "air::orifice::DISCHARGE", |_| {
            Ok(orifice::DISCHARGE.into())
        }),
        of("burst outflow", "air::orifice::burst_m3_per_s", |i| {
            let bore_m = i.number("bore_in")? * 0.0254;
            Ok((burst_m3_per_s(bore_m, i.number("fall")?) * 1e3).into())
        }),
        of("standpipe top", "air::vents::standpipe_top_m", |i| {
            Ok(standpipe_top_m(Riser {
                level_m: i.number("level_m")?,
                pipe_m: i.number("pipe_m")?,
                surge_rise_m: 0.0,
                freeboard_m: i.number("freeboard_m")?,
            })
            .into())
        }),
        of("filling flow", "air::judge, filling", |i| {
            let mut line = Line::plain(&[(0.0, 50.0), (100.0, 0.0)], &round(i.number("bore_m")?)?);
            line.wishes.limits.fill_speed_m_per_s = i.number("speed_m_per_s")?;
            Ok((judged(&line).filling.flow_m3_per_s * 1e3).into())
        }),
        of("emptying time", "air::drains::Outflow::emptying_s", |i| {
            let bore = i.number("bore_m")?;
            let part = DrainPart {
                length_m: i.number("length_m")?,
                area_m2: std::f64::consts::FRAC_PI_4 * bore * bore,
                upper_m: i.number("head_m")?,
                lower_m: 0.0,
            };
            Ok(outflow(i)?.emptying_s(&[part]).into())
        }),
        of(
            "first flow of a drain",
            "air::drains::Outflow::flow_m3_per_s",
            |i| Ok((outflow(i)?.flow_m3_per_s(i.number("head_m")?) * 1e3).into()),
        ),
        of("least drain bore", "air::drains::least_drain_bore_m", |i| {
            Ok(least_drain_bore_m(i.number("bore_m")?).into())
        }),
        of("frost-free cover", "air::drains::frost_free_cover_m", |i| {
            Ok(frost_free_cover_m(i.number("frost_m")?).into())
        }),
        of("slam of the last air", "air::drains::slam_m", |i| {
            Ok(slam_m(LastAir {
                speed_m_per_s: i.number("speed_m_per_s")?,
                wave_speed_m_per_s: i.number("wave_speed_m_per_s")?,
                gravity_m_per_s2: 9.81,
            })
            .into())
        }),
    ]
}

fn critical(i: &Inputs, bore_m: f64, gravity_m_per_s2: f64) -> Asked {
    let relation = match i.word("relation")? {
        "escarameia" => Relation::Escarameia,
        "wisner" => Relation::Wisner,
        "kent" => Relation::Kent,
        other => return Err(format!("no relation {other}")),
    };
    let size = i.number_or("size", 1.0)?;
    Ok(relation
        .critical_m_per_s(Hanging {
            bore_m,
            slope_rad: i.number("slope_deg")?.to_radians(),
            volume_m3: size * std::f64::consts::FRAC_PI_4 * bore_m.powi(3),
            gravity_m_per_s2,
        })
        .into())
}

fn start(i: &Inputs) -> Result<(Ends, Outcome), String> {
    let points = i.numbers("points")?;
    let station_m: Vec<f64> = points.iter().step_by(2).copied().collect();
    let height_m: Vec<f64> = points.iter().skip(1).step_by(2).copied().collect();
    let bore_m = vec![0.05; station_m.len()];
    let course = PipeProfile {
        station_m: &station_m,
        height_m: &height_m,
        bore_m: &bore_m,
    };
    let ends = Ends {
        level_m: height_m[0],
        air_head_m: i.number("air_head_m")?,
    };
    let humps = course.humps();
    let vented: Vec<f64> = i
        .numbers("vented")
        .unwrap_or_default()
        .iter()
        .map(|&k| station_m[humps.sealed[k as usize - 1].crest])
        .collect();
    Ok((
        ends,
        course.start_primed(&humps, ends, &vented, f64::NEG_INFINITY),
    ))
}

fn outflow(i: &Inputs) -> Result<Outflow, String> {
    let bore = i.number("valve_mm")? / 1e3;
    Ok(Outflow {
        area_m2: std::f64::consts::FRAC_PI_4 * bore * bore,
        discharge: i.number("discharge")?,
        gravity_m_per_s2: 9.81,
    })
}

/// A smooth polyethylene pipe of a given bore.
fn round(bore_m: f64) -> Result<Pipe, String> {
    own(&Own {
        material: Some(Material::Pe),
        inner_diameter_m: Some(bore_m),
        outer_diameter_m: Some(bore_m * 1.2),
        roughness_m: Some(1e-6),
        rating_pa: Some(16e5),
        ..Own::default()
    })
    .map_err(|e| format!("{e:?}"))
}

fn judged(line: &Line) -> air::Air {
    let bores: Vec<profile::Bore> = line
        .reaches
        .iter()
        .map(|r| profile::Bore {
            to_m: r.to_m,
            bore_m: r.pipe.inner_diameter_m,
        })
        .collect();
    let profile = profile::judge(&line.geometry.heights, &bores);
    air::judge(
        line,
        &profile,
        &flow::cases(line).runs,
        &AirInputs::default(),
    )
    .unwrap()
}

/// A line from the intake over a crest to an open end, and the station of the crest.
fn crested(i: &Inputs) -> Result<(Line, f64), String> {
    let bore_m = i.number("bore_m")?;
    let pipe = own(&Own {
        material: Some(Material::Pe),
        inner_diameter_m: Some(bore_m),
        outer_diameter_m: Some(bore_m * 1.2),
        roughness_m: Some(i.number("roughness_m")?),
        rating_pa: Some(16e5),
        ..Own::default()
    })
    .map_err(|e| format!("{e:?}"))?;
    let crest_m = i.number("crest_at_m")?;
    let points = [
        // the mouth lies well under water, so that the crest alone governs
        (0.0, i.number("crest_m")? - 2.0),
        (crest_m, i.number("crest_m")?),
        (i.number("end_at_m")?, i.number("end_m")?),
    ];
    let mut line = Line::plain(&points, &pipe);
    let level_m = i.number("intake_m")?;
    line.intake.level_m = level_m;
    line.intake.low_level_m = level_m;
    line.intake.flood_level_m = level_m;
    line.intake.entrance_k = Some(i.number("entrance_k")?);
    line.outlet = Some(wide_open(bore_m));
    Ok((line, crest_m))
}

/// An open end loses one velocity head: a jet as wide as the pipe.
fn wide_open(bore_m: f64) -> Outlet {
    Outlet {
        how: Discharge::Jets(vec![Jet {
            name: "open end".to_owned(),
            nozzle_diameter_m: bore_m,
            open: 1.0,
            discharge_coefficient: 1.0,
            velocity_coefficient: 1.0,
        }]),
        nozzle_height_m: 0.0,
        water_to_wire: None,
    }
}

fn open_end(line: &Line) -> Result<flow::Run, String> {
    let cases = flow::cases(line);
    cases
        .of(&RunState::AllJets)
        .cloned()
        .ok_or_else(|| format!("{:?}", cases.not_run))
}

/// The two humps of E2 in 50 mm, the end open: a jet as wide as the pipe.
fn left_in(take: impl Fn(&air::LeftIn) -> Option<f64>) -> Asked {
    let points = [
        (0.0, 120.0),
        (100.0, 90.0),
        (150.0, 100.0),
        (220.0, 92.0),
        (300.0, 97.0),
        (380.0, 85.0),
        (450.0, 90.0),
    ];
    let mut line = Line::plain(&points, &round(0.05)?);
    line.outlet = Some(wide_open(0.05));
    let air = judged(&line);
    let left = air.left_in.first().ok_or("no case with pockets")?;
    take(left)
        .map(|q| (q * 1e3).into())
        .ok_or_else(|| "it does not run".to_owned())
}
