//! A joint that is not for pressure.

use super::reaches::on_pressure_pipe;
use crate::finding::found::{Found, Severity};
use crate::finding::row::rows;
use crate::pipe::Joint;
use crate::study::Study;
use serde::Serialize;

/// A coupling that is not for pressure lines.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct ForbiddenJoint {
    /// The joint.
    pub joint: Joint,
}

rows! { ForbiddenJoint;
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
