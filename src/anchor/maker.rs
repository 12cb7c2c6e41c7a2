//! What a thrust is worked out from.

use super::Loads;
use super::pieces::Jointed;
use crate::line::Line;

pub(super) struct Maker<'a> {
    pub(super) line: &'a Line,
    pub(super) loads: &'a Loads,
    pub(super) runs: &'a [Jointed],
}
