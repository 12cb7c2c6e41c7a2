//! All that is set on the hill to hold the pipe, in the order a crew sets it: from the lower end up.

use super::friction::FRICTION_THAT_HARMS;
use super::pieces::{Hold, HoldWhy};
use super::{Anchor, NoBlock, SteelCase, ThrustSource};
use crate::line::{Appurtenance, Line};
use crate::pipe::MarkKind;
use crate::unit::Limit;

/// The holds that the results ask for; one that stands and is strong enough takes the place of a wanted one.
pub(super) fn holds(line: &Line, anchor: &Anchor) -> Vec<Hold> {
    let tolerance_m = line.geometry.station_sd_m.max(0.5);
    let hold = |kind, station_m, force_n, why| Hold {
        kind,
        station_m,
        tolerance_m,
        force_n,
        volume_m3: None,
        slack_m: None,
        along: false,
        why,
        stands: None,
        to_come: None,
        from_memory: true,
    };
    let mut out: Vec<Hold> = Vec::new();
    for block in &anchor.blocks {
        if block.refused == Some(NoBlock::BearsNothing) {
            continue;
        }
        let Some(push) = anchor.pushes.get(block.push) else {
            continue;
        };
        let tolerance_m = match push.at {
            ThrustSource::Bend | ThrustSource::Elbow(_) => tolerance_m,
            _ => 0.2,
        };
        out.push(Hold {
            tolerance_m,
            volume_m3: Some(block.volume_m3),
            along: push.at.is_along(),
            from_memory: block.from_memory,
            ..hold(
                MarkKind::Block,
                block.station_m,
                push.high_n,
                HoldWhy::Thrust,
            )
        });
    }
    for bend in &anchor.steel {
        if bend.refused == Some(NoBlock::BearsNothing) {
            continue;
        }
        let most = |c: &SteelCase| c.force_n.size();
        let (long, wide, high) = bend.size_m;
        out.push(Hold {
            volume_m3: Some(long * wide * high),
            ..hold(
                MarkKind::Block,
                bend.station_m,
                most(&bend.warming).max(most(&bend.cooling)),
                HoldWhy::Thrust,
            )
        });
    }
    for run in &anchor.jointed {
        out.push(Hold {
            tolerance_m: 0.5,
            slack_m: Some(run.moves_m),
            stands: run.stands,
            ..hold(MarkKind::ExpansionJoint, run.joint_m, 0.0, HoldWhy::Heat)
        });
        if let Some((station_m, force_n)) = run.anchor {
            out.push(hold(MarkKind::Anchor, station_m, force_n, HoldWhy::Jointed));
        }
    }
    for pull in &anchor.pulls {
        out.push(hold(
            MarkKind::Anchor,
            pull.station_m,
            pull.hold_n,
            HoldWhy::PullOut,
        ));
    }
    for slope in &anchor.slopes {
        for &s in &slope.anchors_m {
            // One anchor serves an end and the slope beside it: both pull along the pipe.
            let end = out
                .iter_mut()
                .find(|h| h.why == HoldWhy::PullOut && (h.station_m - s).abs() <= ONE_ANCHOR_M);
            match end {
                Some(end) => end.force_n += slope.anchor_n,
                None => out.push(hold(MarkKind::Anchor, s, slope.anchor_n, HoldWhy::Slope)),
            }
        }
    }
    for flood in anchor.floods.iter().filter(|f| !f.buried) {
        let enough = !flood.standing.is_empty()
            && flood
                .standing
                .iter()
                .all(|(_, share)| share.is_some_and(|s| Limit::AtLeast.holds(s, 1.0)));
        if enough {
            continue;
        }
        let length = flood.to_m - flood.from_m;
        let fields = (length / flood.spacing_m - 1e-9).ceil().max(1.0);
        let mut k = 0.0;
        while k < fields {
            let s = flood.from_m + length * (k + 0.5) / fields;
            out.push(hold(MarkKind::Strap, s, flood.strap_n, HoldWhy::Flood));
            k += 1.0;
        }
    }
    for supported in &anchor.supports {
        let Some(reach) = line.reaches.at(supported.from_m) else {
            continue;
        };
        let weight = super::ground::full_n_per_m(
            &reach.pipe,
            super::ground::SiteWater::of(&line.environment),
        );
        for &s in &supported.wanted_m {
            out.push(hold(
                MarkKind::Support,
                s,
                weight * supported.spacing_m,
                HoldWhy::Span,
            ));
        }
        // a pipe that grows must slide on its supports, not off them: a guide takes what the supports drag, and a share of what presses the pipe lengthwise
        let middle = 0.5 * (supported.from_m + supported.to_m);
        let pressed_n = anchor
            .heat
            .iter()
            .find(|h| (h.from_m..=h.to_m).contains(&middle))
            .map_or(0.0, |h| h.held_hot_n);
        let sideways_n = (FRICTION_THAT_HARMS * weight * supported.spacing_m)
            .max(GUIDE_SHARE * pressed_n)
            .max(LEAST_GUIDE_N);
        for s in [supported.from_m, supported.to_m] {
            out.push(hold(MarkKind::Guide, s, sideways_n, HoldWhy::Heat));
        }
    }
    for heat in &anchor.heat {
        for &s in &heat.loops_m {
            out.push(Hold {
                slack_m: Some(heat.moves_m / count(heat.loops_m.len())),
                from_memory: heat.from_memory,
                ..hold(MarkKind::Loop, s, 0.0, HoldWhy::Heat)
            });
        }
    }
    take_standing(line, &mut out);
    out.sort_by(|a, b| {
        b.station_m
            .total_cmp(&a.station_m)
            .then(a.kind.cmp(&b.kind))
    });
    out
}

/// Less than this is no force to tell of, N: what stands holds it, whatever its strength.
pub const LEAST_TOLD_N: f64 = 1.0;

/// Anchors nearer than this are one, m.
const ONE_ANCHOR_M: f64 = 1.0;

/// Share of the lengthwise force that a guide must hold sideways, so that the pipe does not step out between guides (common practice for bracing, no source).
const GUIDE_SHARE: f64 = 0.02;

/// No guide is made for less, N: a foot that leans on it (own caution).
const LEAST_GUIDE_N: f64 = 200.0;

/// A count as a figure.
fn count(of: usize) -> f64 {
    (0..of).fold(0.0, |sum, _| sum + 1.0)
}

/// Gives each wanted hold the nearest thing of its kind that stands there and is known to be strong enough, each thing once; else one that is to come.
fn take_standing(line: &Line, holds: &mut [Hold]) {
    let near_m = (3.0 * line.geometry.station_sd_m).max(1.5);
    let mut taken: Vec<usize> = holds.iter().filter_map(|h| h.stands).collect();
    for hold in holds.iter_mut().filter(|h| h.stands.is_none()) {
        let away = |s: &Appurtenance| (s.station_m - hold.station_m).abs();
        let gives = |s: &Appurtenance| {
            let asked = hold.slack_m.filter(|_| hold.kind == MarkKind::Loop);
            s.slack_m
                .zip(asked)
                .is_none_or(|(has, asked)| Limit::AtLeast.holds(has, asked))
        };
        let strong = |s: &Appurtenance| {
            let holds = hold.force_n < LEAST_TOLD_N
                || s.strength_n
                    .is_some_and(|n| Limit::AtLeast.holds(n, hold.force_n));
            holds && gives(s)
        };
        let nearest = |is: &dyn Fn(&Appurtenance) -> bool| {
            line.stands
                .iter()
                .enumerate()
                .filter(|(i, s)| {
                    (s.kind == hold.kind || (hold.along && s.kind == MarkKind::Anchor))
                        && is(s)
                        && !taken.contains(i)
                        && away(s) <= near_m
                        && strong(s)
                })
                .min_by(|a, b| away(a.1).total_cmp(&away(b.1)))
                .map(|(i, _)| i)
        };
        let stands = nearest(&|s| line.reaches.counts(s));
        let to_come = match stands {
            Some(_) => None,
            None => nearest(&|s| line.reaches.is_to_come(s)),
        };
        taken.extend(stands.or(to_come));
        hold.stands = stands;
        hold.to_come = to_come;
    }
}
