//! Thrusts on joints that do not hold them and where nothing stands.

use super::{Found, Severity, Study, rows};
use crate::anchor::{NoBlock, Push, Sense, ThrustSource, Towards};
use crate::pipe::{Joint, MarkKind};
use crate::unit::Limit;
use serde::Serializer;

rows! {
    /// An end or bend at pressure that nothing restrains.
    pub struct Unrestrained {
        /// Thrust, N.
        pub force_n: f64,
        /// How the pipe is joined there.
        pub joint: Joint,
        /// What pushes.
        pub at: ThrustSource,
        /// Where it pushes, largest part first; empty where `sense` says how it is laid.
        pub towards: Vec<Towards>,
        /// How its direction is known.
        pub sense: Sense,
        /// It pushes along the pipe, so that an anchor does as well as a block.
        pub along: bool,
        /// Why no block is offered there, or only with a caution.
        #[serde(rename = "block_offered", serialize_with = "is_offered")]
        #[cfg_attr(test, schemars(with = "bool"))]
        pub no_block: Option<NoBlock>,
        /// The state that makes the pressure.
        #[serde(rename = "state")]
        pub by: String,
        /// The water parts in that state: it may be more.
        #[serde(rename = "state_parts")]
        pub by_parts: bool,
    }
    _ => "unrestrained", "unrestrained", "thrust", People;
}

fn is_offered<S: Serializer>(no_block: &Option<NoBlock>, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_bool(no_block.is_none())
}

/// A block or anchor within this of a thrust is taken to hold it, m.
const NEAR_M: f64 = 2.0;

/// Thrusts under this are held by the weight and friction of any pipe that lies on ground, N (our judgement).
const LEAST_THRUST_N: f64 = 300.0;

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<Unrestrained>> {
    let Some(anchor) = &study.anchor else {
        return Vec::new();
    };
    let block_for = |i: usize| anchor.blocks.iter().find(|b| b.push == i);
    anchor
        .pushes
        .iter()
        .enumerate()
        .filter(|(_, p)| {
            !p.restrained && !p.doubtful && p.size_n > LEAST_THRUST_N && !is_held(study, p)
        })
        .map(|(i, p)| {
            let what = Unrestrained {
                force_n: p.high_n,
                joint: p.joint,
                at: p.at.clone(),
                towards: p.towards.clone(),
                sense: p.sense,
                along: p.at.is_along(),
                no_block: block_for(i).and_then(|b| b.refused),
                by: (p.by.as_ref()).map_or_else(String::new, ToString::to_string),
                by_parts: p.by_parts,
            };
            Found::at(Severity::Stop, what, p.station_m)
        })
        .collect()
}

/// Whether something that works stands there and holds the thrust, as far as its strength was given: a block, or along the pipe an anchor too. An anchor holds along the slope and nothing across it.
fn is_held(study: &Study, push: &Push) -> bool {
    study.line.stands.iter().any(|s| {
        let kind = s.kind == MarkKind::Block || (push.at.is_along() && s.kind == MarkKind::Anchor);
        kind && study.line.reaches.counts(s)
            && (s.station_m - push.station_m).abs() <= NEAR_M
            && s.strength_n
                .is_none_or(|n| Limit::AtLeast.holds(n, push.size_n))
    })
}
