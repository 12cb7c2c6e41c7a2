//! Witnesses of both surveys laid on the earlier line: what each says of a window, up and aside, and how it errs.

use super::alignment::{Alignment, By};
use crate::numeric::series::interpolate;
use crate::numeric::{series, spread};
use crate::route::{Route, Slow, Witness};

/// Which way a movement goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Axis {
    Up,
    Aside,
}

/// One look on the earlier line.
#[derive(Debug, Clone, Copy)]
pub(super) struct StrandLook {
    /// Station of the earlier survey, m.
    pub(super) station_m: f64,
    /// Height above the earlier line's mean, or distance to its left, m.
    pub(super) value_m: f64,
    pub(super) clock_s: f64,
    /// Variance of the error that is this look's alone, m2.
    pub(super) own_m2: f64,
    /// How long its readings lasted, s.
    pub(super) lasts_s: f64,
    /// How much a metre along the line changes the value.
    pub(super) grade: f64,
}

/// What one witness says on one axis.
#[derive(Debug, Clone, Default)]
pub(super) struct Strand {
    pub(super) spots: Vec<StrandLook>,
    pub(super) slow: Vec<Slow>,
    /// Errors that many looks share, one value a spot, m.
    pub(super) shared: Vec<Vec<f64>>,
    /// Error along the line, m, and the time in which it forgets itself, s.
    pub(super) along_sd_m: f64,
    pub(super) along_time_s: f64,
    /// It errs by an offset of its own.
    pub(super) is_free: bool,
    /// A receiver's.
    pub(super) wanders: bool,
}

impl Strand {
    /// The strands of a survey, each part of their slow errors as large in all that wander as it is on the mean.
    pub(super) fn alike(mut survey: Vec<Self>) -> Vec<Self> {
        for part in 0..survey.iter().map(|s| s.slow.len()).max().unwrap_or(0) {
            let of = |s: &Self| s.slow.get(part).map(|p| p.variance_m2);
            let all: Vec<f64> = survey.iter().filter_map(of).collect();
            let mean = all.iter().sum::<f64>() / all.len().max(1) as f64;
            for slow in survey.iter_mut().filter_map(|s| s.slow.get_mut(part)) {
                slow.variance_m2 = mean;
            }
        }
        survey
    }
}

/// The strands of both surveys, the earlier first.
pub(super) type Strands = [Vec<Strand>; 2];

/// Least standard deviation of a look at a pipe, m: where the staff stands on it.
const STAFF_M: f64 = 0.003;
/// The part of a block's error aside that is its own, m.
const OWN_ASIDE_M: f64 = 0.3;
/// A grade is taken over so much of the line, m.
const GRADE_M: f64 = 10.0;
/// A look that stands apart from the line between its neighbours by more than so many robust standard deviations weighs less.
const APART: f64 = 4.0;
/// How far stations of one line may stretch against those of another, as a share of the way from the middle.
const STRETCH: f64 = 0.003;

/// Strands of an axis; `None` aside where a survey has no positions.
pub(super) fn strands(
    before: &Route,
    after: &Route,
    alignment: &Alignment,
    axis: Axis,
) -> Option<Strands> {
    let (at, to): (Vec<f64>, Vec<f64>) = alignment
        .matched
        .iter()
        .map(|m| (m.after_m, m.before_m))
        .unzip();
    let side: Vec<f64> = match axis {
        Axis::Up => Vec::new(),
        Axis::Aside => alignment
            .matched
            .iter()
            .map(|m| m.side_m)
            .collect::<Option<_>>()?,
    };
    let whole = after.length_m();
    let (low, high) = (at.first().copied()?, at.last().copied()?);
    // Where both hang on the same known heights a book's height is a height.
    let is_free = axis == Axis::Aside
        || alignment.height_offset_sd_m > 0.0
        || alignment.height_offset_m != 0.0;
    let laid = |witness: &Witness, is_after: bool| -> Option<Strand> {
        let mut kept = Vec::new();
        let mut spots = Vec::new();
        for (i, look) in witness.looks.iter().enumerate() {
            let (station_m, turned) = if is_after {
                let along = if alignment.turned {
                    whole - look.station_m
                } else {
                    look.station_m
                };
                if along < low - 0.3 || along > high + 0.3 {
                    continue;
                }
                (interpolate(&at, &to, along), alignment.turned)
            } else {
                (look.station_m, false)
            };
            if station_m < alignment.from_m - 1e-6 || station_m > alignment.to_m + 1e-6 {
                continue;
            }
            let grade = (before.heights.at(station_m + GRADE_M)
                - before.heights.at(station_m - GRADE_M))
                / (2.0 * GRADE_M);
            let spot = match axis {
                Axis::Up => StrandLook {
                    station_m,
                    value_m: look.height_m
                        - before.heights.at(station_m)
                        - if is_after {
                            alignment.height_offset_m
                        } else {
                            0.0
                        },
                    clock_s: look.clock_s,
                    lasts_s: look.lasts_s,
                    own_m2: look.sd_m * look.sd_m + STAFF_M * STAFF_M,
                    grade,
                },
                Axis::Aside => {
                    let left = look.left_m?;
                    let own = if witness.errs.wanders {
                        OWN_ASIDE_M
                    } else {
                        witness.errs.plan_sd_m.max(0.02)
                    };
                    StrandLook {
                        station_m,
                        value_m: if turned { -left } else { left }
                            + if is_after {
                                interpolate(&to, &side, station_m)
                            } else {
                                0.0
                            },
                        clock_s: look.clock_s,
                        lasts_s: look.lasts_s,
                        own_m2: own * own,
                        grade: 0.0,
                    }
                }
            };
            kept.push(i);
            spots.push(spot);
        }
        if spots.len() < 2 {
            return None;
        }
        ease(&mut spots);
        let errs = &witness.errs;
        let mut shared: Vec<Vec<f64>> = Vec::new();
        let (slow, along_sd_m) = match axis {
            Axis::Up => {
                shared.extend(
                    errs.shared
                        .iter()
                        .map(|f| kept.iter().map(|&i| series::at(f, i)).collect()),
                );
                // What the match may be off along the line looks like upwards where the grade changes.
                if is_after && alignment.by != By::Plan {
                    let middle = 0.5 * (alignment.from_m + alignment.to_m);
                    shared.push(
                        spots
                            .iter()
                            .map(|s| s.grade * alignment.station_sd_m)
                            .collect(),
                    );
                    let stretch = |s: &StrandLook| s.grade * STRETCH * (s.station_m - middle);
                    if errs.wanders {
                        shared.push(spots.iter().map(stretch).collect());
                    }
                }
                (
                    errs.slow.clone(),
                    if errs.wanders { errs.plan_sd_m } else { 0.0 },
                )
            }
            Axis::Aside if errs.wanders => (
                vec![Slow {
                    variance_m2: errs.plan_sd_m * errs.plan_sd_m,
                    time_s: errs.plan_time_s,
                    smooth: false,
                }],
                0.0,
            ),
            Axis::Aside => (Vec::new(), 0.0),
        };
        Some(Strand {
            spots,
            slow,
            shared,
            along_sd_m,
            along_time_s: errs.plan_time_s,
            is_free: is_free || errs.wanders,
            wanders: errs.wanders,
        })
    };
    let both = [
        before
            .witnesses
            .iter()
            .filter_map(|w| laid(w, false))
            .collect::<Vec<_>>(),
        after
            .witnesses
            .iter()
            .filter_map(|w| laid(w, true))
            .collect::<Vec<_>>(),
    ];
    both.iter().all(|s| !s.is_empty()).then_some(both)
}

/// Looks that stand apart from their neighbours weigh less: a heavy tail.
fn ease(spots: &mut [StrandLook]) {
    let apart: Vec<f64> = spots
        .windows(3)
        .map(|w| match w {
            [a, b, c] => b.value_m - 0.5 * (a.value_m + c.value_m),
            _ => 0.0,
        })
        .collect();
    let bar = APART * spread(&apart).max(0.02);
    for (spot, off) in spots.iter_mut().skip(1).zip(apart) {
        if off.abs() > bar {
            spot.own_m2 += off * off;
        }
    }
}
