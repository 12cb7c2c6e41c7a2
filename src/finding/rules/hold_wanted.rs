//! What is wanted to hold the line, kind by kind.

use super::{Found, Severity, Study, rows};
use crate::anchor::ground::is_restrained;
use crate::anchor::{Anchor, Hold, HoldWhy, Slack};
use crate::pipe::MarkKind;

rows! { of subject |of| called(of.kind);
    /// Things of one kind that are wanted to hold the pipe: a mark that holds is too weak, or is missing.
    pub struct HoldWanted {
        /// What kind.
        #[serde(rename = "mark")]
        pub kind: MarkKind,
        /// Why it must be held.
        #[serde(rename = "against")]
        pub why: HoldWhy,
        /// Force that each holds, N; `None`: a loop of slack holds nothing.
        pub force_n: Option<f64>,
        /// How many.
        pub count: usize,
        /// What each would have to hold were no loop of slack left beside it, N, where one is named.
        #[serde(rename = "force_tight_n")]
        pub without_slack_n: Option<f64>,
        /// Slack that each loop gives, m.
        pub slack_m: Option<f64>,
        /// Expansion joints are wanted on the same line: they carry no pull, so that anchors, blocks and joints hold it only together.
        #[serde(rename = "with_expansion_joints")]
        pub with_joints: bool,
    }
    HoldWanted { kind, why: HoldWhy::PullOut, .. } => "hold-end", called(*kind), "thrust", People;
    HoldWanted { kind, why: HoldWhy::Thrust, .. } => "hold-thrust", called(*kind), "thrust", People;
    HoldWanted { kind, why: HoldWhy::Slope, .. } => "hold-slope", called(*kind), "slopes", Plant;
    HoldWanted { kind, why: HoldWhy::Flood, .. } => "hold-flood", called(*kind), "floods", Plant;
    HoldWanted { kind: MarkKind::Loop, why: HoldWhy::Heat, .. } => "slack-wanted", "slack wanted", "heat", Plant;
    HoldWanted { kind: MarkKind::ExpansionJoint, .. } => "expansion-joints-wanted", "expansion joints wanted", "heat", Plant;
    HoldWanted { kind, why: HoldWhy::Jointed, .. } => "hold-jointed", called(*kind), "heat", Plant;
    HoldWanted { kind, why: HoldWhy::Heat, .. } => "hold-heat", called(*kind), "heat", Plant;
    HoldWanted { kind, why: HoldWhy::Span, .. } => "hold-span", called(*kind), "supports", Plant;
}

/// What is wanted, in a word or two.
fn called(kind: MarkKind) -> &'static str {
    match kind {
        MarkKind::Anchor => "anchors wanted",
        MarkKind::Block => "blocks wanted",
        MarkKind::Strap => "straps wanted",
        MarkKind::Support => "supports wanted",
        MarkKind::Guide => "guides wanted",
        MarkKind::Loop => "slack wanted",
        MarkKind::ExpansionJoint => "expansion joints wanted",
        _ => "hold wanted",
    }
}

/// Under this a hand holds as much: the handbook's spacing speaks, not the force, N (our judgement).
pub const HELD_BY_RULE_N: f64 = 50.0;

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<HoldWanted>> {
    let Some(anchor) = &study.anchor else {
        return Vec::new();
    };
    let wanted = || anchor.holds.iter().filter(|h| h.stands.is_none());
    let mut groups: Vec<Vec<&Hold>> = Vec::new();
    for hold in wanted() {
        let alike = |g: &&mut Vec<&Hold>| {
            g.first()
                .is_some_and(|f| f.kind == hold.kind && f.why == hold.why)
        };
        match groups.iter_mut().find(alike) {
            Some(group) => group.push(hold),
            None => groups.push(vec![hold]),
        }
    }
    let with_joints = wanted().any(|h| h.kind == MarkKind::ExpansionJoint);
    groups
        .iter()
        .filter_map(|group| of_group(study, anchor, group, with_joints))
        .collect()
}

fn of_group(
    study: &Study,
    anchor: &Anchor,
    group: &[&Hold],
    with_joints: bool,
) -> Option<Found<HoldWanted>> {
    let first = group.first()?;
    let ends = group.iter().map(|h| h.station_m);
    let (from, to) = (
        ends.clone().min_by(f64::total_cmp)?,
        ends.max_by(f64::total_cmp)?,
    );
    let force_n = group.iter().map(|h| h.force_n).max_by(f64::total_cmp)?;
    let what = HoldWanted {
        kind: first.kind,
        why: first.why,
        force_n: (first.kind != MarkKind::Loop).then_some(force_n),
        count: group.len(),
        without_slack_n: (first.why == HoldWhy::PullOut)
            .then(|| without_slack_n(anchor))
            .flatten(),
        slack_m: group.iter().filter_map(|h| h.slack_m).reduce(f64::max),
        with_joints: first.kind != MarkKind::ExpansionJoint && with_joints,
    };
    let memory = group.iter().any(|h| h.from_memory);
    Some(Found::new(severity(study, group), what, from, to).on_memory(memory))
}

/// What comes of it where nobody sets these: an end pulls out, a pipe of loose joints slides apart, a flood takes the pipe along. What only sags, snakes or is told as a thrust by itself is watched.
fn severity(study: &Study, group: &[&Hold]) -> Severity {
    let slides = |h: &&Hold| {
        let reach = study.line.reaches.at(h.station_m);
        h.force_n >= HELD_BY_RULE_N && reach.is_some_and(|r| !is_restrained(r))
    };
    match group.first().map(|h| h.why) {
        Some(HoldWhy::PullOut | HoldWhy::Flood) => Severity::Fix,
        Some(HoldWhy::Slope) if group.iter().any(slides) => Severity::Fix,
        _ => Severity::Watch,
    }
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
