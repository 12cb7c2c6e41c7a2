use super::{RegradeKind, Remaining, StillClimbs};
use crate::line::Line;
use crate::pipe::Dig;

/// What the held stations allow a station, in levelled heights: no higher than the held one before it, no lower than the held one after.
#[derive(Debug, Clone, Copy)]
pub(super) struct HeldBounds {
    pub(super) is_held: bool,
    pub(super) above: f64,
    pub(super) below: f64,
}

/// The bounds of every station.
pub(super) fn bounds(levelled: &[f64], held: &[bool]) -> Vec<HeldBounds> {
    let held = |i: usize| held.get(i).copied().unwrap_or(false);
    let mut above = f64::INFINITY;
    let mut out: Vec<HeldBounds> = levelled
        .iter()
        .enumerate()
        .map(|(i, &u)| {
            let before = above;
            if held(i) {
                above = u;
            }
            HeldBounds {
                is_held: held(i),
                above: before,
                below: f64::NEG_INFINITY,
            }
        })
        .collect();
    let mut below = f64::NEG_INFINITY;
    for (b, &u) in out.iter_mut().zip(levelled).rev() {
        b.below = below;
        if b.is_held {
            below = u;
        }
    }
    out
}

/// Stations of the grid that stay as they are: the ends, the fixed reaches, and for digging the ground that is never dug.
pub(super) fn held(line: &Line, kind: RegradeKind) -> Vec<bool> {
    let last = line.geometry.heights.station_m.len().saturating_sub(1);
    line.geometry
        .heights
        .station_m
        .iter()
        .enumerate()
        .map(|(i, &s)| {
            let fixed = line
                .wishes
                .fixed
                .iter()
                .any(|&(a, b)| s >= a - 1e-9 && s <= b + 1e-9);
            let undug = kind == RegradeKind::Dig && line.environment.dig_at(s) == Dig::Never;
            i == 0 || i == last || fixed || undug
        })
        .collect()
}

/// Reaches where the wanted line still does not fall by the least grade.
pub(super) fn remaining(
    line: &Line,
    kind: RegradeKind,
    wanted_m: &[f64],
    held: &[bool],
) -> Vec<Remaining> {
    let grade = line.wishes.regrade.least_grade;
    let mut out: Vec<Remaining> = Vec::new();
    let station = &line.geometry.heights.station_m;
    let steps = station
        .iter()
        .zip(wanted_m)
        .zip(held)
        .zip(station.iter().zip(wanted_m).zip(held).skip(1));
    for (((s0, y0), h0), ((s1, y1), h1)) in steps {
        if y0 - y1 >= grade * (s1 - s0) - 1e-6 {
            continue;
        }
        let both = *h0 && *h1;
        let why = match kind {
            RegradeKind::Mixed => StillClimbs::Held,
            RegradeKind::Dig if both && line.environment.dig_at(*s0) != Dig::Never => {
                StillClimbs::Held
            }
            RegradeKind::Dig => StillClimbs::Undug,
            RegradeKind::Prop if both => StillClimbs::Held,
            RegradeKind::Prop => StillClimbs::Unpropped,
        };
        match out.last_mut() {
            Some(last) if (last.to_m - s0).abs() < 1e-9 && last.why == why => last.to_m = *s1,
            _ => out.push(Remaining {
                from_m: *s0,
                to_m: *s1,
                why,
            }),
        }
    }
    out
}
