//! A joint that is not for pressure.

use super::reaches::on_pressure_pipe;
use super::{Found, Severity, Study, rows};
use crate::pipe::Joint;

rows! {
    /// A coupling that is not for pressure lines.
    pub struct ForbiddenJoint {
        /// The joint.
        pub joint: Joint,
    }
    _ => "forbidden-joint", "forbidden joint", "pipes", People;
}

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<ForbiddenJoint>> {
    on_pressure_pipe(study, |s, declared| {
        s.forbidden_joint.as_ref()?;
        let joint = declared.joint;
        Some(Found::new(
            Severity::Stop,
            ForbiddenJoint { joint },
            s.from_m,
            s.to_m,
        ))
    })
}
