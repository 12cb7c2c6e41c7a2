//! What no longer stands where it should.

use super::moved::{Moved, MovedVerdict};
use super::parts::{Equipment, OffLine};
use crate::numeric::math;
use crate::pipe::MarkKind;
use crate::profile::Climb;
use crate::study::Study;

/// What moved less than this stands where it stood, m.
const STAYED_M: f64 = 0.02;

/// What stands on moved pipe, and vents that crests have left; `climbs` tells which of the line's climbs are taken for such.
pub(super) fn off_line(
    after: &Study,
    moved: &[Moved],
    climbs: impl Fn(&Climb) -> bool,
) -> Vec<OffLine> {
    let line = &after.line;
    let mut out = Vec::new();
    let by = |s: f64| {
        moved
            .iter()
            .filter(|m| s >= m.from_m - 1.0 && s <= m.to_m + 1.0)
            .map(|m| {
                let by_m = math::hypot(m.up_m, m.side_m.unwrap_or(0.0));
                (by_m, m.verdict == MovedVerdict::Moved)
            })
            // A line that was only pulled longer lies where it lay.
            .find(|(by_m, _)| *by_m > STAYED_M)
    };
    let things = line
        .stands
        .iter()
        .enumerate()
        .filter(|(_, s)| !line.reaches.is_to_come(s))
        .map(|(i, s)| (Equipment::Mark(i), s.station_m))
        .chain(
            line.fittings
                .iter()
                .enumerate()
                .map(|(i, f)| (Equipment::Fitting(i), f.station_m)),
        );
    for (what, station_m) in things {
        if let Some((by_m, is_sure)) = by(station_m) {
            out.push(OffLine::PipeMoved {
                what,
                station_m,
                by_m,
                is_sure,
            });
        }
    }
    let crests = after.profile.climbs.iter().filter(|c| climbs(c));
    out.extend(crests.filter_map(|c| left_bare(after, c)));
    out
}

/// What is wrong with the vents of a climb, if anything is.
pub(super) fn left_bare(after: &Study, climb: &Climb) -> Option<OffLine> {
    const MARGIN_M: f64 = 1.5;
    let inside = |s: f64| s >= climb.crest_from_m - MARGIN_M && s <= climb.crest_to_m + MARGIN_M;
    let near = |s: f64| s >= climb.low_station_m - 10.0 && s <= climb.end_station_m + 10.0;
    let vents = after
        .line
        .reaches
        .counted(&after.line.stands, MarkKind::Vent);
    let beside: Vec<_> = vents.filter(|(_, s)| near(s.station_m)).collect();
    let Some((first, stand)) = beside.first() else {
        return Some(OffLine::Unvented {
            crest_m: climb.crest_station_m,
        });
    };
    (!beside.iter().any(|(_, s)| inside(s.station_m))).then_some(OffLine::NotAtCrest {
        what: Equipment::Mark(*first),
        station_m: stand.station_m,
        crest_m: climb.crest_station_m,
    })
}
