use super::WouldRise;
use crate::line::Line;
use crate::march::{NarrowRiser, TransientResult};
use crate::pipe::MarkKind;

/// Stations of each sort that are looked at, at the most.
const MOST: usize = 8;

/// Share of the length below the intake where a standpipe may be wanted under the head valve.
const BELOW_THE_INTAKE: f64 = 0.05;

/// Where a standpipe may be wanted: just below the intake, at highs of the profile; and the stations of the grid on either side of each vent.
pub(crate) fn of(line: &Line) -> Vec<NarrowRiser> {
    let heights = &line.geometry.heights;
    let all: Vec<NarrowRiser> = heights
        .station_m
        .iter()
        .zip(&heights.mean_m)
        .map(|(&station_m, &pipe_m)| NarrowRiser { station_m, pipe_m })
        .collect();
    let upper = all
        .iter()
        .take_while(|r| r.station_m <= BELOW_THE_INTAKE * line.geometry.length_m())
        .take(MOST);
    let highs = all
        .windows(3)
        .filter_map(|w| match w {
            [a, b, c] if b.pipe_m > a.pipe_m && b.pipe_m >= c.pipe_m => Some(b),
            _ => None,
        })
        .take(MOST);
    let vents = line.stands.iter().filter(|s| s.kind == MarkKind::Vent);
    let beside = vents.take(MOST).flat_map(|s| {
        let i = all.partition_point(|r| r.station_m < s.station_m);
        all.iter().skip(i.saturating_sub(1)).take(2)
    });
    let mut out: Vec<NarrowRiser> = upper.chain(highs).chain(beside).copied().collect();
    out.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
    out.dedup_by(|a, b| a.station_m == b.station_m);
    out
}

/// The highest of the marches.
pub(crate) fn widest(risers: &[NarrowRiser], marches: &[&TransientResult]) -> Vec<WouldRise> {
    let highest = |i: usize| {
        let each = marches.iter().filter_map(|m| m.risers_m.get(i));
        each.copied().reduce(f64::max)
    };
    risers
        .iter()
        .enumerate()
        .filter_map(|(i, r)| {
            Some(WouldRise {
                station_m: r.station_m,
                level_m: highest(i)?,
            })
        })
        .collect()
}
