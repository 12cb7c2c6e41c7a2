//! A walk and where it comes from.

use crate::survey::Pass;
use crate::text::Place;

/// A walk and where it comes from.
pub(super) struct WalkSource<'a> {
    pub(super) file: &'a str,
    pub(super) pass: &'a Pass,
}

impl WalkSource<'_> {
    /// The place of its first fix.
    pub(super) fn place(&self) -> Place {
        let first = self.pass.segments.iter().flatten().next();
        Place::line(self.file, first.map_or(1, |f| f.line))
    }
}
