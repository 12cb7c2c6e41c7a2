//! Friction factors and the losses of fittings.

use super::si;
use crate::ledger::{Answer, Checker, Inputs};
use steadyfall::flow::branch::{self, Branch, Rack, ScreenOf};
use steadyfall::flow::checks::HazenForm;
use steadyfall::flow::friction::{self, BoreFlow};
use steadyfall::flow::hazen;
use steadyfall::flow::hazen::InBore;
use steadyfall::flow::local::{self, SmoothBend};
use steadyfall::flow::{MouthFlow, Submergence};
use steadyfall::pipe::{Entrance, FittingKind, Material};

pub fn checkers() -> Vec<Checker> {
    vec![
        Checker {
            quantity: "friction factor",
            of: "flow::friction::factor",
            work: |i| {
                let wall = BoreFlow {
                    reynolds: i.number("reynolds")?,
                    relative_roughness: i.number("relative_roughness")?,
                };
                Ok(friction::factor(wall).0.into())
            },
        },
        Checker {
            quantity: "Hazen-Williams slope",
            of: "flow::hazen::InBore::slope",
            work: hazen_slope,
        },
        Checker {
            quantity: "usual C",
            of: "flow::hazen::usual_c",
            work: |i| {
                Ok(hazen::usual_c(match i.word("material")? {
                    "pvc" => Material::Pvc,
                    _ => Material::Steel,
                })
                .into())
            },
        },
        Checker {
            quantity: "entrance",
            of: "flow::local::entrance",
            work: entrance,
        },
        Checker {
            quantity: "change of bore",
            of: "flow::local",
            work: change_of_bore,
        },
        Checker {
            quantity: "bend",
            of: "flow::local",
            work: bend,
        },
        Checker {
            quantity: "fitting",
            of: "flow::local::crane_multiple",
            work: |i| Ok((multiple(i)? * i.number("crane_factor")?).into()),
        },
        Checker {
            quantity: "reduced valve",
            of: "flow::local",
            work: reduced_valve,
        },
        Checker {
            quantity: "branch loss",
            of: "flow::branch::Branch",
            work: branch_loss,
        },
        Checker {
            quantity: "screen",
            of: "flow::branch::screen",
            work: |i| {
                let of = match i.word("of")? {
                    "plate" => ScreenOf::Plate,
                    _ => ScreenOf::Mesh,
                };
                Ok(branch::screen(of, i.number("open_share")?).into())
            },
        },
        Checker {
            quantity: "rack",
            of: "flow::branch::Rack::head_m",
            work: |i| {
                let rack = Rack {
                    shape: i.number("shape")?,
                    bar_m: i.number("bar_m")?,
                    gap_m: i.number("gap_m")?,
                    velocity_m_per_s: i.number("velocity_m_per_s")?,
                    tilt_rad: i.number("tilt_deg")?.to_radians(),
                };
                Ok(rack.head_m(9.806_65).into())
            },
        },
        Checker {
            quantity: "submergence",
            of: "flow::MouthFlow::depth_m",
            work: submergence,
        },
    ]
}

fn hazen_slope(i: &Inputs) -> Result<Answer, String> {
    let flow = InBore {
        flow_m3_per_s: i.number("flow_m3_per_s")?,
        bore_m: i.number("bore_m")?,
        c: i.number("c")?,
    };
    let form = match i.word("form")? {
        "us" => HazenForm::UsTables,
        "metric" => HazenForm::Metric,
        _ => HazenForm::Definition,
    };
    Ok((flow.slope(form) / si(i.word("answer")?)?).into())
}

fn entrance(i: &Inputs) -> Result<Answer, String> {
    if let Ok(radius) = i.number("radius_over_bore") {
        return Ok(local::rounded_entrance(radius).into());
    }
    Ok(local::entrance(match i.word("shape")? {
        "sharp" => Entrance::Sharp,
        _ => Entrance::Projecting,
    })
    .k
    .into())
}

fn change_of_bore(i: &Inputs) -> Result<Answer, String> {
    let ratio = i.number("ratio")?;
    let cone = || i.number("cone_deg").map(f64::to_radians);
    Ok(match i.word("way")? {
        "sudden enlargement" => local::sudden_enlargement(ratio),
        "sudden contraction" => local::sudden_contraction(ratio),
        "cone enlargement" => local::cone_enlargement(ratio, cone()?),
        "cone contraction" => local::cone_contraction(ratio, cone()?),
        other => return Err(format!("no way {other}")),
    }
    .into())
}

fn bend(i: &Inputs) -> Result<Answer, String> {
    let angle_rad = i.number("angle_deg")?.to_radians();
    Ok(match i.word("kind")? {
        "mitre" => local::mitre(angle_rad),
        "elbow" => local::elbow(angle_rad, i.number("crane_factor")?),
        "sweep" => SmoothBend {
            angle_rad,
            radius_over_bore: i.number("radius_over_bore")?,
            friction_factor: i.number("friction_factor")?,
        }
        .k(),
        other => return Err(format!("no bend {other}")),
    }
    .into())
}

fn multiple(i: &Inputs) -> Result<f64, String> {
    let kind = match i.word("kind")? {
        "gate valve" => FittingKind::GateValve,
        "globe valve" => FittingKind::GlobeValve,
        "ball valve" => FittingKind::BallValve,
        "butterfly valve" => FittingKind::ButterflyValve,
        "check valve" => FittingKind::CheckValve,
        "elbow" => FittingKind::Elbow,
        "tee run" => FittingKind::TeeRun,
        "tee branch" => FittingKind::TeeBranch,
        other => return Err(format!("no fitting {other}")),
    };
    local::crane_multiple(kind).ok_or_else(|| "no multiple".to_owned())
}

/// A valve narrower than its pipe, with the cones to and from it, on the pipe's bore.
fn reduced_valve(i: &Inputs) -> Result<Answer, String> {
    let ratio = i.number("bore_m")? / i.number("pipe_bore_m")?;
    let cone = i.number("cone_deg")?.to_radians();
    let on_valve = multiple(i)? * i.number("crane_factor")?
        + local::cone_contraction(ratio, cone)
        + local::cone_enlargement(ratio, cone);
    Ok((on_valve / ratio.powi(4)).into())
}

fn branch_loss(i: &Inputs) -> Result<Answer, String> {
    let branch = Branch {
        run_bore_m: i.number("run_bore_m")?,
        branch_bore_m: i.number("branch_bore_m")?,
        run_flow_m3_per_s: i.number("run_flow")?,
        branch_flow_m3_per_s: i.number("branch_flow")?,
        angle_rad: i.number("angle_deg")?.to_radians(),
    };
    let loss = branch.parting();
    Ok(match i.word("leg")? {
        "branch" => loss.branch,
        _ => loss.run,
    }
    .into())
}

fn submergence(i: &Inputs) -> Result<Answer, String> {
    let mouth = MouthFlow {
        velocity_m_per_s: i.number("velocity_m_per_s")?,
        bore_m: i.number("bore_m")?,
        gravity_m_per_s2: i.number_or("g", 9.806_65)?,
    };
    let by = match i.word("by")? {
        "Gordon even" => Submergence::GordonEven,
        "Gordon uneven" => Submergence::GordonUneven,
        "IS 9761" => Submergence::Is9761,
        "HI 9.8" => Submergence::HydraulicInstitute,
        "Rohan" => Submergence::Rohan,
        other => return Err(format!("no formula {other}")),
    };
    Ok((mouth.depth_m(by) / si(i.word("answer")?)?).into())
}
