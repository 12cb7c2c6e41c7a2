//! Joints that may be sucked at: by the mean heights they keep tight, two standard deviations lower they do not.

use super::{Found, Severity, Study, rows};
use crate::finding::cause::{PressureCause, cause};
use crate::pipe::Joint;

rows! {
    /// The survey cannot tell whether joints are sucked at beyond what they keep tight.
    pub struct JointNotSettled {
        /// The joint.
        pub joint: Joint,
        /// Least pressure by the mean heights, Pa.
        pub least_pa: f64,
        /// The same two standard deviations lower, Pa (negative).
        pub least_low_pa: f64,
        /// What the joint keeps tight, Pa (negative).
        pub limit_pa: f64,
        /// What causes it.
        #[serde(flatten)]
        pub cause: PressureCause,
    }
    _ => "joint-not-settled", "joint not settled", "collapse", Plant;
}

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<JointNotSettled>> {
    let sucked = study.strength.iter().flat_map(|s| &s.suction);
    sucked
        .filter(|j| !j.settled)
        .map(|j| {
            let what = JointNotSettled {
                joint: j.joint,
                least_pa: j.least_pa,
                least_low_pa: j.least_low_pa,
                limit_pa: j.limit_pa,
                cause: cause(&j.cause),
            };
            Found::new(Severity::Fix, what, j.from_m, j.to_m).on_memory(!j.own_limit)
        })
        .collect()
}
