//! The laying list: every piece, joint and fitting in order along the line.

use super::avoid::{avoided, forbidden};
use super::pieces::{Break, JointAt, KeepOff, LaidPiece, PlacedJoint, cut, lies};
use super::result::{Laying, LayingStep, What};
use super::shopping::shopping;
use super::stock::{NextNumbers, allot};
use crate::air::Air;
use crate::anchor::Anchor;
use crate::capacity::{BendCheck, BendMethod, bends};
use crate::line::{Fitting, Line, Reach, Reaches};
use crate::pipe::{FittingKind, Joint};
use crate::profile::Profile;

/// Plans pieces, joints and what to buy for a line.
///
/// A reach that lies keeps its joints; where they are not known it is one length. `air` and `anchor` add what they want to the shopping list; without them it holds pipe, joints and elbows alone.
/// The same line gives the same plan whatever the order of its bends, joints and fittings in the input.
pub fn plan(line: &Line, profile: &Profile, air: Option<&Air>, anchor: Option<&Anchor>) -> Laying {
    let bends = bends(line);
    let avoided = avoided(&line.environment.laid, profile, &bends);
    let keep = KeepOff::new(&avoided, forbidden(&bends));
    let mut pieces: Vec<LaidPiece> = Vec::new();
    let mut next = NextNumbers { coil: 1, stick: 1 };
    let mut joints: Vec<PlacedJoint> = Vec::new();
    let mut above: Option<&Reach> = None;
    for (index, reach) in line.reaches.iter().enumerate() {
        joints.extend(above.map(|upper| change_of_pipe(upper, reach)));
        above = Some(reach);
        let (mut new, made) = if reach.is_laid {
            lies(index, reach)
        } else {
            cut(
                &line.environment,
                (index, reach),
                &breaks(line, index, &bends),
                &keep,
            )
        };
        if !reach.is_laid {
            allot(&line.environment, reach, &mut new, &mut next);
        }
        pieces.extend(new);
        joints.extend(made);
    }
    for (number, piece) in (1..).zip(&mut pieces) {
        piece.number = number;
    }
    let mut plan = Laying {
        fittings_in_bends: fittings_in_bends(&line.fittings, &bends),
        steps: Vec::new(),
        shopping: Vec::new(),
        bends,
        avoided,
        pieces,
        joints,
    };
    plan.steps = steps(&line.reaches, &line.fittings, &plan);
    plan.shopping = shopping(line, &plan, air, anchor);
    plan
}

/// Fittings within the stretch that a bend keeps clear, elbows apart.
fn fittings_in_bends(fittings: &[Fitting], bends: &[BendCheck]) -> Vec<(usize, usize)> {
    let turns = |kind| matches!(kind, FittingKind::Elbow | FittingKind::Mitre);
    (0..)
        .zip(fittings)
        .filter(|(_, f)| !turns(f.kind))
        .flat_map(|(i, f)| {
            (0..)
                .zip(bends)
                .filter(|(_, b)| (b.station_m - f.station_m).abs() < b.clear_m)
                .map(move |(j, _)| (i, j))
        })
        .collect()
}

fn change_of_pipe(upper: &Reach, lower: &Reach) -> PlacedJoint {
    let fused = [upper.joint, lower.joint].map(|j| j == Joint::Fused);
    PlacedJoint {
        station_m: lower.from_m,
        // Different materials are neither fused nor glued to one another: flanges or a coupling with two ends.
        joint: if upper.pipe.material != lower.pipe.material {
            Joint::Flange
        } else if fused == [true, true] && upper.pipe.wall_m != lower.pipe.wall_m {
            // Two walls are not butt-fused to one another: a coupler joins them.
            Joint::Electrofusion
        } else {
            lower.joint
        },
        at: JointAt::ChangeOfPipe,
        forced: None,
    }
}

/// Where a planned reach is parted whatever its pieces, in order.
fn breaks(line: &Line, index: usize, bends: &[BendCheck]) -> Vec<Break> {
    let Some(reach) = line.reaches.get(index) else {
        return Vec::new();
    };
    let mut out: Vec<Break> = (0..)
        .zip(&line.fittings)
        .filter(|(_, f)| parts_the_pipe(f.kind))
        .map(|(i, f)| Break {
            station_m: f.station_m,
            at: JointAt::Fitting(i),
        })
        .collect();
    for (i, bend) in bends.iter().enumerate() {
        match bend.way {
            BendMethod::Elbow(_) => out.push(Break {
                station_m: bend.station_m,
                at: JointAt::Elbow(i),
            }),
            BendMethod::Joints(count) => {
                let middle = (count as f64 - 1.0) / 2.0;
                let apart = line.environment.piece_length(reach).usable_m;
                out.extend((0..count).map(|k| Break {
                    station_m: bend.station_m + (k as f64 - middle) * apart,
                    at: JointAt::Turn(i),
                }));
            }
            BendMethod::Pipe | BendMethod::Stands(_) | BendMethod::CannotTell => {}
        }
    }
    out.retain(|b| b.station_m > reach.from_m + 1e-3 && b.station_m < reach.to_m - 1e-3);
    out.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
    out.dedup_by(|b, a| (a.station_m - b.station_m).abs() < 1e-3);
    out
}

fn parts_the_pipe(kind: FittingKind) -> bool {
    !matches!(kind, FittingKind::Other)
}

fn steps(reaches: &Reaches, fittings: &[Fitting], plan: &Laying) -> Vec<LayingStep> {
    let mut steps: Vec<LayingStep> = Vec::new();
    let mut joints = plan.joints.iter().enumerate().peekable();
    let mut make = |until_m: f64, steps: &mut Vec<LayingStep>| {
        while let Some((i, joint)) = joints.next_if(|(_, j)| j.station_m <= until_m + 1e-9) {
            match joint.at {
                JointAt::Fitting(f) => steps.push(LayingStep {
                    station_m: joint.station_m,
                    what: What::Fitting(f),
                }),
                JointAt::Elbow(b) => steps.push(LayingStep {
                    station_m: joint.station_m,
                    what: What::Elbow(b),
                }),
                JointAt::Stands => {
                    steps.push(LayingStep {
                        station_m: joint.station_m,
                        what: What::Stands(i),
                    });
                    continue;
                }
                JointAt::Pieces | JointAt::ChangeOfPipe | JointAt::Turn(_) => {}
            }
            steps.push(LayingStep {
                station_m: joint.station_m,
                what: What::Joint(i),
            });
        }
    };
    for (i, piece) in plan.pieces.iter().enumerate() {
        make(piece.from_m, &mut steps);
        let what = if piece.bought_m.is_some() {
            What::Lay(i)
        } else {
            What::Lies(i)
        };
        steps.push(LayingStep {
            station_m: piece.from_m,
            what,
        });
    }
    make(f64::INFINITY, &mut steps);
    at_joints_already(reaches, fittings, &mut steps);
    steps
}

/// Fittings that part no piece of their own: where two pipes meet, at an end of the line, two on one station. Each goes before what is done there, on pipe that is not laid yet.
fn at_joints_already(reaches: &Reaches, fittings: &[Fitting], steps: &mut Vec<LayingStep>) {
    let mut lacking: Vec<(f64, usize)> = fittings
        .iter()
        .enumerate()
        .filter(|(i, f)| {
            parts_the_pipe(f.kind)
                && !steps.iter().any(|s| s.what == What::Fitting(*i))
                && reaches.iter().any(|r| {
                    !r.is_laid && f.station_m >= r.from_m - 1e-3 && f.station_m <= r.to_m + 1e-3
                })
        })
        .map(|(i, f)| (f.station_m, i))
        .collect();
    lacking.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    for (station_m, i) in lacking {
        let at = steps.partition_point(|s| s.station_m < station_m - 1e-3);
        steps.insert(
            at,
            LayingStep {
                station_m,
                what: What::Fitting(i),
            },
        );
    }
}
