//! Joints that are sucked at beyond what they keep tight.

use super::{Found, Severity, Study, rows};
use crate::finding::cause::{PressureCause, at_once, cause};
use crate::pipe::Joint;

rows! {
    /// A joint stands in suction.
    pub struct JointInSuction {
        /// The joint.
        pub joint: Joint,
        /// Least pressure, Pa (negative).
        pub least_pa: f64,
        /// What the joint keeps tight, Pa (negative).
        pub limit_pa: f64,
        /// What causes it.
        #[serde(flatten)]
        pub cause: PressureCause,
        /// The movement comes at once by itself: nobody can slow it.
        pub at_once: bool,
    }
    _ => "joint-in-suction", "joint in suction", "collapse", Plant;
}

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<JointInSuction>> {
    let sucked = study.strength.iter().flat_map(|s| &s.suction);
    sucked
        .filter(|j| j.settled)
        .map(|j| {
            let what = JointInSuction {
                joint: j.joint,
                least_pa: j.least_pa,
                limit_pa: j.limit_pa,
                cause: cause(&j.cause),
                at_once: at_once(study, &j.cause),
            };
            Found::new(Severity::Fix, what, j.from_m, j.to_m).on_memory(!j.own_limit)
        })
        .collect()
}
