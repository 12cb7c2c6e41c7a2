use super::{Mark, MarkReason, Status, set_out};
use crate::air::VentWhy;
use crate::anchor::{HoldWhy, LEAST_TOLD_N};
use crate::laying::{BendMethod, JointAt};
use crate::pipe::MarkKind;
use crate::study::Study;

/// Everything that stands on the line or is wanted there, in order, numbered.
pub fn of_study(study: &Study) -> Vec<Mark> {
    let line = &study.line;
    let proposed =
        |kind, station_m, why| Mark::at(&line.geometry, kind, Status::Proposed, station_m, why);
    let mut marks: Vec<Mark> = line
        .stands
        .iter()
        .enumerate()
        .map(|(i, s)| Mark {
            stand: Some(i),
            ..Mark::declared(&line.geometry, s)
        })
        .collect();
    if let Some(air) = &study.air {
        // What stands is told with the wish it answers; what is wanted is a mark of its own.
        for vent in &air.vents {
            let why = match vent.why {
                VentWhy::Start | VentWhy::StartUnattended => MarkReason::StartUp,
                VentWhy::BelowHeadValve | VentWhy::BelowValve => MarkReason::BelowHeadValve,
                VentWhy::Collapse => MarkReason::Collapse,
                VentWhy::Running | VentWhy::LongRun | VentWhy::Doubtful => MarkReason::Gathers,
                VentWhy::Priming => MarkReason::Priming,
                VentWhy::Stands => MarkReason::Declared,
            };
            match vent.stands {
                Some(i) => note(&mut marks, i, why),
                None => marks.push(Mark {
                    device: Some(vent.device),
                    bore_m: Some(vent.bore_m),
                    top_m: vent.top_m,
                    tolerance_m: vent.tolerance_m,
                    ..proposed(MarkKind::Vent, vent.station_m, why)
                }),
            }
        }
        for drain in &air.drains {
            match drain.stands.or(drain.to_come) {
                Some(i) => note(&mut marks, i, MarkReason::Low),
                None => marks.push(Mark {
                    bore_m: Some(drain.bore_m),
                    ..proposed(MarkKind::Drain, drain.station_m, MarkReason::Low)
                }),
            }
        }
    }
    if let Some(anchor) = &study.anchor {
        for hold in &anchor.holds {
            let why = match hold.why {
                HoldWhy::Thrust => MarkReason::Thrust,
                HoldWhy::PullOut => MarkReason::End,
                HoldWhy::Slope => MarkReason::Slope,
                HoldWhy::Flood => MarkReason::Flood,
                HoldWhy::Heat if matches!(hold.kind, MarkKind::Loop | MarkKind::ExpansionJoint) => {
                    MarkReason::Slack
                }
                HoldWhy::Jointed => MarkReason::Jointed,
                HoldWhy::Heat => MarkReason::Heat,
                HoldWhy::Span => MarkReason::Carried,
            };
            match hold.stands.or(hold.to_come) {
                Some(i) => note(&mut marks, i, why),
                None => marks.push(Mark {
                    force_n: (hold.force_n >= LEAST_TOLD_N).then_some(hold.force_n),
                    volume_m3: hold.volume_m3,
                    slack_m: hold.slack_m,
                    tolerance_m: hold.tolerance_m,
                    ..proposed(hold.kind, hold.station_m, why)
                }),
            }
        }
    }
    marks.extend(
        joints(study)
            .into_iter()
            .map(|(station, why)| proposed(MarkKind::Joint, station, why)),
    );
    marks.extend(
        elbows(study)
            .into_iter()
            .map(|station| proposed(MarkKind::Elbow, station, MarkReason::TooSharp)),
    );
    if let Some(plan) = study.regrade.first() {
        marks.extend(plan.stakes.iter().map(|stake| Mark {
            elevation_m: stake.wanted_m,
            ..proposed(MarkKind::Stake, stake.station_m, MarkReason::Regrade)
        }));
    }
    set_out(marks)
}

/// Joints that are to be made; the ones that stand are the user's own.
fn joints(study: &Study) -> Vec<(f64, MarkReason)> {
    study
        .laying
        .iter()
        .flat_map(|l| &l.joints)
        .filter_map(|j| match j.at {
            JointAt::Stands => None,
            JointAt::ChangeOfPipe => {
                let laid = |r: &crate::line::Reach| r.is_laid;
                let both = study
                    .line
                    .reaches
                    .iter()
                    .any(|r| laid(r) && (r.to_m - j.station_m).abs() < 0.01);
                (!both).then_some((j.station_m, MarkReason::BoreChanges))
            }
            JointAt::Pieces | JointAt::Turn(_) => Some((j.station_m, MarkReason::PieceEnds)),
            JointAt::Fitting(_) | JointAt::Elbow(_) => None,
        })
        .collect()
}

/// Elbows that are wanted.
fn elbows(study: &Study) -> Vec<f64> {
    study
        .laying
        .iter()
        .flat_map(|l| &l.bends)
        .filter(|b| matches!(b.way, BendMethod::Elbow(_)))
        .map(|b| b.station_m)
        .collect()
}

/// A thing that stands gets the reason it is needed for, unless it does not work.
fn note(marks: &mut [Mark], stand: usize, why: MarkReason) {
    if let Some(mark) = marks
        .get_mut(stand)
        .filter(|m| m.why == MarkReason::Declared)
    {
        mark.why = why;
    }
}
