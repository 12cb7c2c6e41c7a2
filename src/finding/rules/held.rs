use crate::anchor::ground::is_restrained;
use crate::anchor::{Anchor, Hold, HoldWhy, Push, Slack};
use crate::finding::{Finding, HoldWanted, Kind, Severity, Unheld};
use crate::pipe::MarkKind;
use crate::study::Study;
use crate::unit::Limit;

/// A block or anchor within this of a thrust is taken to hold it, m.
const NEAR_M: f64 = 2.0;

/// Thrusts on joints that do not hold them and where nothing stands; and what is wanted to hold the line, kind by kind.
pub fn holds(study: &Study) -> Vec<Finding> {
    let Some(anchor) = &study.anchor else {
        return Vec::new();
    };
    let mut found: Vec<Finding> = anchor
        .pushes
        .iter()
        .enumerate()
        .filter(|(_, p)| {
            !p.restrained && !p.doubtful && p.size_n > LEAST_THRUST_N && !is_held(study, p)
        })
        .map(|(i, p)| {
            Finding::new(
                Severity::Stop,
                Kind::Unrestrained(Unheld {
                    force_n: p.high_n,
                    joint: p.joint,
                    at: p.at.clone(),
                    towards: p.towards.clone(),
                    sense: p.sense,
                    along: p.at.is_along(),
                    no_block: anchor
                        .blocks
                        .iter()
                        .find(|b| b.push == i)
                        .and_then(|b| b.refused),
                    by: (p.by.as_ref()).map_or_else(String::new, ToString::to_string),
                    by_parts: p.by_parts,
                }),
                p.station_m,
                p.station_m,
            )
        })
        .collect();
    let mut groups: Vec<Vec<&Hold>> = Vec::new();
    for hold in anchor.holds.iter().filter(|h| h.stands.is_none()) {
        match groups.iter_mut().find(|g| {
            g.first()
                .is_some_and(|f| f.kind == hold.kind && f.why == hold.why)
        }) {
            Some(group) => group.push(hold),
            None => groups.push(vec![hold]),
        }
    }
    let with_joints =
        (anchor.holds.iter()).any(|h| h.stands.is_none() && h.kind == MarkKind::ExpansionJoint);
    found.extend(groups.iter().filter_map(|group| {
        let first = group.first()?;
        let ends = group.iter().map(|h| h.station_m);
        let (from, to) = (
            ends.clone().min_by(f64::total_cmp)?,
            ends.max_by(f64::total_cmp)?,
        );
        let force_n = group.iter().map(|h| h.force_n).max_by(f64::total_cmp)?;
        let kind = Kind::HoldWanted(HoldWanted {
            kind: first.kind,
            force_n,
            count: group.len(),
            why: first.why,
            without_slack_n: (first.why == HoldWhy::PullOut)
                .then(|| without_slack_n(anchor))
                .flatten(),
            slack_m: group.iter().filter_map(|h| h.slack_m).reduce(f64::max),
            with_joints: first.kind != MarkKind::ExpansionJoint && with_joints,
        });
        Some(
            Finding::new(severity(study, group), kind, from, to)
                .from_memory(group.iter().any(|h| h.from_memory)),
        )
    }));
    found
}

/// What comes of it where nobody sets these: an end pulls out, a pipe of loose joints slides apart, a flood takes the pipe along. What only sags, snakes or is told as a thrust by itself is watched.
fn severity(study: &Study, group: &[&Hold]) -> Severity {
    let slides = |h: &&Hold| {
        let reach = study.line.reach_at(h.station_m);
        h.force_n >= HELD_BY_RULE_N && reach.is_some_and(|r| !is_restrained(r))
    };
    match group.first().map(|h| h.why) {
        Some(HoldWhy::PullOut | HoldWhy::Flood) => Severity::Fix,
        Some(HoldWhy::Slope) if group.iter().any(slides) => Severity::Fix,
        _ => Severity::Watch,
    }
}

/// Under this a hand holds as much: the handbook's spacing speaks, not the force, N (our judgement).
pub const HELD_BY_RULE_N: f64 = 50.0;

/// Whether something that works stands there and holds the thrust, as far as its strength was given: a block, or along the pipe an anchor too. An anchor holds along the slope and nothing across it.
fn is_held(study: &Study, push: &Push) -> bool {
    study.line.stands.iter().any(|s| {
        let kind = s.kind == MarkKind::Block || (push.at.is_along() && s.kind == MarkKind::Anchor);
        kind && study.line.counts(s)
            && (s.station_m - push.station_m).abs() <= NEAR_M
            && s.strength_n
                .is_none_or(|n| Limit::AtLeast.holds(n, push.size_n))
    })
}

/// The largest pull at an end were no slack left beside it, where some is named, N.
fn without_slack_n(anchor: &Anchor) -> Option<f64> {
    anchor
        .pulls
        .iter()
        .filter(|p| p.slack != Slack::None && p.tight_n > 1.05 * p.hold_n)
        .map(|p| p.tight_n)
        .reduce(f64::max)
}

/// Thrusts under this are held by the weight and friction of any pipe that lies on ground, N (our judgement).
const LEAST_THRUST_N: f64 = 300.0;
