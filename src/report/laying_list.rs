//! The laying list: what is set, laid and joined, in order of work, with its station.

use super::account::Report;
use crate::laying::{AvoidWhy, JointAt, LaidPiece, Laying, What};
use crate::mark::{Mark, Status};
use crate::pipe::MarkKind;
use crate::strength::Bedded;
use crate::study::Study;
use crate::unit::Quantity;
use crate::words::{LAYER_M, Say, TAPE_M, elbow_words, joint_label, kind_label, label};

/// When a step is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum LayingStage {
    /// Before the pipe comes: ground, footings, what holds it.
    Ground,
    /// The pipe itself, from the intake down.
    Pipe,
    /// On the pipe that lies: blocks, straps, vents, drains.
    OnPipe,
}

crate::text::by_word! {
    LayingStage {
        Self::Ground => "before the pipe",
        Self::Pipe => "pipe",
        Self::OnPipe => "on the pipe",
    }
}

/// One step of the list.
#[derive(Debug, Clone, PartialEq)]
pub struct LayingListStep {
    /// When.
    pub stage: LayingStage,
    /// What is done, in words.
    pub what: String,
    /// Where it begins, m along the line.
    pub from_m: f64,
    /// Where it ends, m, for what has a length.
    pub to_m: Option<f64>,
    /// The piece, where one is laid: index into `Laying::pieces`.
    pub piece: Option<usize>,
    /// What to heed, in words; empty for nothing.
    pub heed: String,
}

/// The whole list of a study; empty where every pipe lies already.
pub fn list(account: &Report) -> Vec<LayingListStep> {
    let study = &account.study;
    let Some(laying) = &study.laying else {
        return Vec::new();
    };
    if laying.pieces.iter().all(|p| p.bought_m.is_none()) {
        return Vec::new();
    }
    let say = account.say();
    let mut out = Vec::new();
    if let Some(plan) = study.regrade.first()
        && let (Some(first), Some(last)) = (plan.stakes.first(), plan.stakes.last())
    {
        out.push(LayingListStep {
            stage: LayingStage::Ground,
            what: format!(
                "Set out the {} stakes of the plan \"{}\". Make the trench bed at these heights.",
                plan.stakes.len(),
                plan.kind.word()
            ),
            from_m: first.station_m,
            to_m: Some(last.station_m),
            piece: None,
            heed: "depths and heights: stakes.csv".to_owned(),
        });
    }
    out.extend(trenches(study, say));
    out.extend(in_water(study, say));
    let marks = |stage: LayingStage, kinds: &[MarkKind]| {
        let mut wanted: Vec<&Mark> = account
            .marks
            .iter()
            .filter(|m| m.standing == Status::Proposed && kinds.contains(&m.kind))
            .collect();
        wanted.sort_by(|a, b| a.station_m.total_cmp(&b.station_m).then(a.id.cmp(&b.id)));
        wanted
            .into_iter()
            .map(|m| of_mark(m, stage, say))
            .collect::<Vec<_>>()
    };
    out.extend(marks(
        LayingStage::Ground,
        &[MarkKind::Anchor, MarkKind::Support, MarkKind::Guide],
    ));
    out.extend(
        laying
            .steps
            .iter()
            .filter_map(|s| of_step(account, laying, s.what)),
    );
    out.extend(marks(LayingStage::Pipe, &[MarkKind::ExpansionJoint]));
    out.extend(marks(
        LayingStage::OnPipe,
        &[
            MarkKind::Strap,
            MarkKind::Block,
            MarkKind::Vent,
            MarkKind::Drain,
            MarkKind::Relief,
        ],
    ));
    out
}

fn of_mark(mark: &Mark, stage: LayingStage, say: Say) -> LayingListStep {
    let what = mark
        .device
        .map_or_else(|| kind_label(mark.kind), |d| label(d.word()));
    let size = [
        mark.bore_m
            .map(|b| format!("inside diameter {}", say.at_least(Quantity::Bore, b))),
        mark.top_m
            .map(|t| format!("top {} above the pipe", say.at_least(Quantity::Head, t))),
        mark.force_n
            .map(|f| format!("strength {}", say.at_least(Quantity::Force, f))),
        mark.volume_m3
            .map(|v| format!("concrete {}", say.concrete(v))),
    ];
    let size: Vec<String> = size.into_iter().flatten().collect();
    LayingListStep {
        stage,
        what: format!("Install {} {what}", mark.id),
        from_m: mark.station_m,
        to_m: None,
        piece: None,
        heed: match mark.kind {
            MarkKind::Block if size.is_empty() => {
                "concrete must harden before you pressurize the pipe".to_owned()
            }
            MarkKind::Block => format!(
                "{}, concrete must harden before you pressurize the pipe",
                size.join(", ")
            ),
            _ => size.join(", "),
        },
    }
}

/// What is dug, and what goes under and beside the pipe.
fn trenches(study: &Study, say: Say) -> Vec<LayingListStep> {
    let bedded = study.strength.iter().flat_map(|s| &s.bedded);
    let fill = |b: &Bedded| LayingListStep {
        stage: LayingStage::OnPipe,
        what: format!(
            "Fill both sides of the pipe with {}, {}. Lay the marker tape",
            b.surround.word(),
            b.tamped.word()
        ),
        from_m: b.from_m,
        to_m: Some(b.to_m),
        piece: None,
        heed: format!(
            "tamp in layers of {}, not directly above the pipe; tape {} above the pipe",
            say.bore(LAYER_M),
            say.bore(TAPE_M)
        ),
    };
    let dig = |b: &Bedded| LayingListStep {
        stage: LayingStage::Ground,
        what: format!(
            "Dig the trench {} wide and make a bed of {} of {}",
            say.at_least(Quantity::Head, b.size.width_m),
            say.bore(b.size.bed_m),
            b.surround.word()
        ),
        from_m: b.from_m,
        to_m: Some(b.to_m),
        piece: None,
        heed: format!(
            "largest stone against the pipe {}; shore or slope the sides",
            say.bore(b.size.stone_m)
        ),
    };
    bedded
        .filter(|b| b.to_lay)
        .flat_map(|b| [dig(b), fill(b)])
        .collect()
}

/// What is done where the open trench may fill with water.
fn in_water(study: &Study, say: Say) -> Vec<LayingListStep> {
    let afloat = study.anchor.iter().flat_map(|a| &a.afloat);
    afloat
        .filter(|a| a.to_lay)
        .map(|a| LayingListStep {
            stage: LayingStage::Ground,
            what: if a.lift_full_n_per_m > 0.0 || a.floats() {
                format!(
                    "Keep {} of concrete weights ready for the pipe",
                    say.mass(a.ballast_kg())
                )
            } else {
                "Keep water ready to fill the pipe in its trench".to_owned()
            },
            from_m: a.from_m,
            to_m: Some(a.to_m),
            piece: None,
            heed: "the empty pipe floats in a wet trench: fill the trench on the same day"
                .to_owned(),
        })
        .collect()
}

fn of_step(account: &Report, laying: &Laying, what: What) -> Option<LayingListStep> {
    let line = &account.study.line;
    let step = |what: String, from_m: f64, to_m: Option<f64>, heed: String| LayingListStep {
        stage: LayingStage::Pipe,
        what,
        from_m,
        to_m,
        piece: None,
        heed,
    };
    Some(match what {
        What::Lay(i) => {
            let piece = laying.pieces.get(i)?;
            let spec = line
                .reaches
                .get(piece.reach)
                .map_or("", |r| r.pipe.spec.as_str());
            LayingListStep {
                piece: Some(i),
                ..step(
                    format!("Lay length {} of {spec}", piece.number),
                    piece.from_m,
                    Some(piece.to_m),
                    String::new(),
                )
            }
        }
        What::Lies(i) => {
            let piece = laying.pieces.get(i)?;
            step(
                "The pipe is laid".to_owned(),
                piece.from_m,
                Some(piece.to_m),
                String::new(),
            )
        }
        What::Stands(i) => {
            let joint = laying.joints.get(i)?;
            step(
                format!("{} joint exists", joint_label(joint.joint)),
                joint.station_m,
                None,
                String::new(),
            )
        }
        What::Joint(i) => {
            let joint = laying.joints.get(i)?;
            let what = match joint.at {
                JointAt::Fitting(_) | JointAt::Elbow(_) => {
                    format!("Make the {} joints on both sides", joint_label(joint.joint))
                }
                JointAt::ChangeOfPipe => format!(
                    "Join the two kinds of pipe: {} joint",
                    joint_label(joint.joint)
                ),
                JointAt::Turn(_) => {
                    format!("Make the {} joint and deflect it", joint_label(joint.joint))
                }
                JointAt::Pieces | JointAt::Stands => {
                    format!("Make the {} joint", joint_label(joint.joint))
                }
            };
            step(what, joint.station_m, None, forced(joint.forced).to_owned())
        }
        What::Fitting(i) => {
            let fitting = line.fittings.get(i)?;
            let name = if fitting.name.is_empty() {
                fitting.kind.name().to_owned()
            } else {
                fitting.name.clone()
            };
            step(
                format!("Install the {name}"),
                fitting.station_m,
                None,
                String::new(),
            )
        }
        What::Elbow(i) => {
            let bend = laying.bends.get(i)?;
            let crate::laying::BendMethod::Elbow(turn_rad) = bend.way else {
                return None;
            };
            step(
                format!("Install {}", elbow_words(turn_rad)),
                bend.station_m,
                None,
                format!(
                    "the route turns {} here",
                    account.say().angle(bend.angle_rad)
                ),
            )
        }
    })
}

fn forced(why: Option<AvoidWhy>) -> &'static str {
    match why {
        None => "",
        Some(AvoidWhy::Bend) => "near a bend: the lengths of pipe are too short to avoid this",
        Some(AvoidWhy::Crest) => "at a high point: the lengths of pipe are too short to avoid this",
        Some(AvoidWhy::Climb) => {
            "in a rising section: the lengths of pipe are too short to avoid this"
        }
        Some(AvoidWhy::Span) => {
            "in a span: the lengths of pipe are too short to avoid this; support the joint"
        }
    }
}

/// From what a piece is cut: "coil 3".
pub fn cut_from(piece: &LaidPiece) -> Option<String> {
    let kind = if piece.coil { "coil" } else { "length" };
    piece.cut_from.map(|n| format!("{kind} {n}"))
}

/// Whether a piece is a stick that is laid as it was bought.
pub fn is_whole(piece: &LaidPiece) -> bool {
    !piece.coil && piece.bought_m.is_some_and(|b| b - piece.cut_m < 1e-3)
}
