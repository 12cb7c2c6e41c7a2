//! Each walk as a witness of its own.

use super::known::WalkedRoute;
use crate::heights::{FollowedWalk, Levelled};
use crate::numeric::math;
use crate::numeric::series::interpolate;
use crate::receiver::{Errors, PACE_M_PER_S};
use crate::route::ladder::ChainageMap;
use crate::route::{Errs, Slow, Witness, WitnessLook};
use crate::walk::block::{BLOCK_S, FixBlock};
use crate::walk::centre::LegPass;

/// Blocks within so much of the line, m, and so long a time, s, are one look.
const TOGETHER_M: f64 = 3.0;
const TOGETHER_S: f64 = 4.0;
/// A halt is told by so many looks at most.
const MOST_AT_ONE_PLACE: f64 = 8.0;
/// Time in which a receiver's error in plan forgets itself, s: a minute.
const PLAN_TIME_S: f64 = 60.0;

/// The part of the walked line that is the pipe, and how its stations run.
pub(super) struct PipeReach<'a> {
    pub(super) ladder: &'a ChainageMap,
    pub(super) from: f64,
    pub(super) to: f64,
    /// Level stations and the route's stations of its nodes, m.
    pub(super) level_m: &'a [f64],
    pub(super) slope_m: &'a [f64],
}

impl WalkedRoute<'_> {
    /// Every walk, and every levelled reach, by itself. Heights of a terrain model are one witness however often they are walked.
    pub(super) fn witnesses(
        &self,
        reach: &PipeReach<'_>,
        followed: &[FollowedWalk],
        levelled: &[Levelled],
        terrain_model: bool,
    ) -> Vec<Witness> {
        let mut out: Vec<Witness> = Vec::with_capacity(self.gathered.passes.len());
        for (i, pass) in self.gathered.passes.iter().enumerate() {
            let errors = followed
                .iter()
                .find(|f| f.pass == i)
                .or(followed.first())
                .map_or_else(Errors::default, |f| f.errors);
            out.push(Witness {
                looks: self.looks(pass, reach, errors.white_sd_m, terrain_model),
                errs: self.errs(&errors),
            });
        }
        if terrain_model {
            let errs = out.first().map_or_else(Errs::default, |w| w.errs.clone());
            let mut looks: Vec<WitnessLook> = out.drain(..).flat_map(|w| w.looks).collect();
            looks.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
            out.push(Witness { looks, errs });
        }
        out.extend(levelled.iter().map(|l| {
            Witness {
                looks: l
                    .points
                    .iter()
                    .map(|p| WitnessLook {
                        station_m: interpolate(reach.level_m, reach.slope_m, p.station_m),
                        height_m: p.height_m,
                        sd_m: p.sd_m,
                        ..WitnessLook::default()
                    })
                    .collect(),
                errs: Errs::default(),
            }
        }));
        out.retain(|w| w.looks.len() > 1);
        out
    }

    /// How a walk errs, as its heights were judged.
    fn errs(&self, errors: &Errors) -> Errs {
        let part = |sd_m: f64, time_s: f64, smooth| Slow {
            variance_m2: sd_m * sd_m,
            time_s: time_s.max(1.0),
            smooth,
        };
        let mut slow = vec![
            part(errors.slow_sd_m, errors.slow_time_s, true),
            part(errors.fast_sd_m, errors.fast_time_s, false),
        ];
        slow.retain(|s| s.variance_m2 > 0.0);
        Errs {
            slow,
            plan_sd_m: self.gathered.plan_sd_m,
            plan_time_s: PLAN_TIME_S,
            wanders: true,
            ..Errs::default()
        }
    }

    fn looks(
        &self,
        pass: &LegPass,
        reach: &PipeReach<'_>,
        white_sd_m: f64,
        by_line: bool,
    ) -> Vec<WitnessLook> {
        let zero = reach.ladder.level_of_plan(reach.from);
        let along = &pass.along;
        let seen: Vec<(&FixBlock, f64, f64)> = along
            .blocks
            .iter()
            .zip(&along.station_m)
            .zip(&along.raw_m)
            .filter(|((b, s), _)| {
                b.height_m.is_finite() && **s > reach.from - 0.01 && **s < reach.to + 0.01
            })
            .map(|((b, s), raw)| {
                let level = reach.ladder.level_of_plan(s.clamp(reach.from, reach.to)) - zero;
                let station = interpolate(reach.level_m, reach.slope_m, level);
                (b, station, self.left(b, *raw))
            })
            .collect();
        let place = |s: f64| (s / TOGETHER_M).floor();
        let mut out = Vec::new();
        for visit in seen.chunk_by(|a, b| place(a.1) == place(b.1)) {
            let clock = |x: Option<&(&FixBlock, f64, f64)>| x.map_or(0.0, |x| x.0.clock_s);
            let took = clock(visit.last()) - clock(visit.first());
            // Without times nobody knows how long it stood there, and what wandered meanwhile: one look, with the spread of its heights.
            let timed = pass.has_clock && !by_line;
            let span = if timed {
                TOGETHER_S.max(took / MOST_AT_ONE_PLACE)
            } else {
                f64::INFINITY
            };
            let began = clock(visit.first());
            let part = |b: &FixBlock| ((b.clock_s - began) / span).floor();
            for group in visit.chunk_by(|a, b| part(a.0) == part(b.0)) {
                let count: f64 = group.iter().map(|x| x.0.heights).sum();
                let mean = |value: &dyn Fn(&(&FixBlock, f64, f64)) -> f64| {
                    group.iter().map(|x| x.0.heights * value(x)).sum::<f64>() / count.max(1e-9)
                };
                let station_m = mean(&|x| x.1);
                let height_m = mean(&|x| x.0.height_m);
                let wandered_m2 = if timed {
                    0.0
                } else {
                    mean(&|x| math::powi(x.0.height_m - height_m, 2))
                };
                out.push(WitnessLook {
                    station_m,
                    clock_s: if timed {
                        mean(&|x| x.0.clock_s)
                    } else {
                        station_m / PACE_M_PER_S
                    },
                    height_m,
                    sd_m: math::hypot(white_sd_m / count.max(1.0).sqrt(), wandered_m2.sqrt()),
                    lasts_s: BLOCK_S
                        * group.len() as f64
                        * (1.0 - 1.0 / (count.max(1.0) * count.max(1.0))),
                    left_m: Some(mean(&|x| x.2)),
                });
            }
        }
        out
    }

    /// How far to the left of the line a block lies, m.
    fn left(&self, block: &FixBlock, station_m: f64) -> f64 {
        let line = &self.gathered.line;
        let [a, b] = [line.at(station_m - 1.0), line.at(station_m + 1.0)];
        let [x, y] = [b[0] - a[0], b[1] - a[1]];
        let at = line.at(station_m);
        let [u, v] = [block.at[0] - at[0], block.at[1] - at[1]];
        let length = crate::walk::clean::span(a, b).max(1e-9);
        (x * v - y * u) / length
    }
}
