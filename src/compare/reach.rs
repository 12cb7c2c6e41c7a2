//! Reaches that stand out from the rest of the line.

use super::fit::spread;
use super::moved::LEAST_M;
use super::series::{Series, running_mean};
use std::ops::Range;

/// Length over which a movement is averaged when reaches are looked for, m.
const LOOK_M: f64 = 6.0;

/// Reaches that stand out upwards or aside.
pub(super) fn reaches(series: &Series, stable: &[bool]) -> Vec<Range<usize>> {
    let mut runs = runs(&series.station_m, &series.up_m, stable);
    if let Some(side) = &series.side_m {
        runs.extend(self::runs(&series.station_m, side, stable));
    }
    merged(runs)
}

/// Runs of stations whose smoothed difference stands out on one side.
fn runs(station_m: &[f64], values: &[f64], stable: &[bool]) -> Vec<Range<usize>> {
    let smooth = running_mean(station_m, values, LOOK_M);
    let zero: Vec<f64> = smooth
        .iter()
        .zip(stable)
        .filter(|(_, stable)| **stable)
        .flat_map(|(v, _)| [*v, -*v])
        .collect();
    let sd = spread(&zero).max(0.5 * LEAST_M);
    let mut out: Vec<Range<usize>> = Vec::new();
    let mut at = 0;
    while at < smooth.len() {
        let peak = smooth.get(at).copied().unwrap_or(0.0);
        if peak.abs() < 2.2 * sd {
            at += 1;
            continue;
        }
        // Grown both ways while it stands out by a little and leans the same way.
        let leans = |i: usize| smooth.get(i).is_some_and(|v| v * peak.signum() > 0.8 * sd);
        let mut from = at;
        while from > 0 && leans(from - 1) {
            from -= 1;
        }
        let mut to = at + 1;
        while leans(to) {
            to += 1;
        }
        if let Some(run) = core(&smooth, from..to, peak.signum()) {
            out.push(run);
        }
        at = to;
    }
    out
}

/// The part of a run above a third of its largest value: its edges are where it lets go, not where noise does.
fn core(smooth: &[f64], run: Range<usize>, sign: f64) -> Option<Range<usize>> {
    let value = |i: usize| smooth.get(i).copied().unwrap_or(0.0) * sign;
    let most = run.clone().map(value).fold(0.0, f64::max);
    let from = run.clone().find(|&i| value(i) > most / 3.0)?;
    let to = run.rev().find(|&i| value(i) > most / 3.0)? + 1;
    (to > from + 1).then_some(from..to)
}

fn merged(mut runs: Vec<Range<usize>>) -> Vec<Range<usize>> {
    runs.sort_by_key(|r| (r.start, r.end));
    let mut out: Vec<Range<usize>> = Vec::new();
    for run in runs {
        match out.last_mut() {
            Some(last) if run.start <= last.end + 2 => last.end = last.end.max(run.end),
            _ => out.push(run),
        }
    }
    out
}

/// Stations on stable ground, in no reach.
pub(super) fn calm(stable: &[bool], reaches: &[Range<usize>]) -> Vec<bool> {
    let mut calm = stable.to_vec();
    for reach in reaches {
        if let Some(part) = calm.get_mut(reach.clone()) {
            part.fill(false);
        }
    }
    calm
}
