//! A walk and where it comes from.

use crate::reading::Pass;
use crate::text::Place;

/// A walk and where it comes from.
pub(crate) struct WalkSource<'a> {
    pub(crate) file: &'a str,
    pub(crate) pass: &'a Pass,
}

impl WalkSource<'_> {
    /// The place of its first fix.
    pub(crate) fn place(&self) -> Place {
        let first = self.pass.segments.iter().flatten().next();
        Place::line(self.file, first.map_or(1, |f| f.line))
    }
}
