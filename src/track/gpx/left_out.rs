//! What a reader of a GPX file passes over, told once with the place of the first.

use super::source::GpxText;
use crate::text::Remark;

/// Things of one kind: how many, and where the first stands.
#[derive(Debug, Default)]
pub(super) struct LeftOutKind {
    count: usize,
    first: usize,
}

impl LeftOutKind {
    /// One more, at byte `at`.
    pub(super) fn add(&mut self, at: usize) {
        if self.count == 0 {
            self.first = at;
        }
        self.count += 1;
    }
}

/// All that is passed over or taken though it is not as it should be.
#[derive(Debug, Default)]
pub(super) struct LeftOut {
    /// Times that cannot be read.
    pub(super) bad_times: LeftOutKind,
    /// Points where GPX has none.
    pub(super) stray_points: LeftOutKind,
    /// Track points outside a segment: taken.
    pub(super) loose_points: LeftOutKind,
    /// Tracks and routes without a point.
    pub(super) empty_tracks: LeftOutKind,
}

impl LeftOut {
    /// One remark a kind.
    pub(super) fn remarks(&self, source: GpxText<'_>) -> Vec<Remark> {
        let kinds = [
            (
                &self.bad_times,
                ["time", "times"],
                "that cannot be read, not used",
            ),
            (
                &self.stray_points,
                ["point", "points"],
                "outside all tracks, routes and waypoint lists, not used",
            ),
            (
                &self.loose_points,
                ["track point", "track points"],
                "outside a <trkseg>, used as part of the track",
            ),
            (
                &self.empty_tracks,
                ["track or route", "tracks or routes"],
                "without a point, not used",
            ),
        ];
        kinds
            .iter()
            .filter(|(left, ..)| left.count > 0)
            .map(|(left, [one, more], what)| {
                let text = match left.count {
                    1 => format!("1 {one} {what}"),
                    n => format!("{n} {more} {what}. The first one is here"),
                };
                Remark::new(source.place(left.first), text)
            })
            .collect()
    }
}
