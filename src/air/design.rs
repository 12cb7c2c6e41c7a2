//! What vents are designed with.

use super::inputs::AirInputs;
use super::startup::CrestState;
use super::{Cure, Filling, Pocket, SiphonAir};
use crate::flow::Run;
use crate::line::Line;
use crate::profile::Profile;

/// What the vents of a line are judged with.
pub(super) struct Design<'a> {
    pub(super) line: &'a Line,
    pub(super) profile: &'a Profile,
    pub(super) runs: &'a [Run],
    pub(super) pockets: &'a [Pocket],
    pub(super) crests: &'a [CrestState],
    pub(super) siphon: Option<&'a SiphonAir>,
    pub(super) cure: &'a Cure,
    pub(super) filling: Filling,
    pub(super) given: &'a AirInputs,
}
