//! Every reach, every state, inside and outside pressure.

use super::bedded::bedded;
use super::field::{StateField, fittings_of, on_grid, share};
use super::limits::limits;
use super::result::*;
use super::suction::{joint_suction, needs_air, outside};
use super::zones::{self, Need};
use super::{Load, wheel};
use crate::capacity::{
    Allowable, EMPTY, LoadKind, Setting, Weakest, free_ring, full_vacuum_pa, left, may,
};
use crate::line::{Line, Reach};
use crate::pipe::{How, MayBe, Pipe, joint_limit, may_be};

/// Judges a line's pipe under every state that is given, on the stations of the line's grid; the standing water at flood level is added by itself.
///
/// Pressure is the mean's and, for what is judged, that at head + 2 sd. Each state meets its own warmth: running and surging water at its warmest, a stopped pipe
/// that lies open in the sun also at the heat the sun gives it. Each surge meets the allowance of its own standard, or the user's.
/// Errors: the doubt of the rating itself is not known and not counted; beyond the stated margins a new pipe is as strong as its marking.
pub fn judge(line: &Line, loads: &[Load]) -> Strength {
    let (geometry, environment) = (&line.geometry, &line.environment);
    let mut all = vec![Load::standing(line)];
    all.extend(loads.iter().cloned());
    let field = StateField::of(geometry, environment, &all);
    let need = zones::need(&line.reaches, &field);
    let reaches: Vec<ReachStrength> = line
        .reaches
        .iter()
        .map(|r| reach(line, r, &field, &need))
        .collect();
    let suction = line
        .reaches
        .iter()
        .flat_map(|r| joint_suction(&line.wishes, r, &field))
        .collect();
    let largest_pull = |from: f64, to: f64| {
        let least = all.iter().flat_map(|l| {
            geometry
                .heights
                .station_m
                .iter()
                .zip(&l.least_pa)
                .filter(|(s, _)| **s >= from && **s <= to)
                .map(|(_, p)| *p)
        });
        (-least.fold(0.0, f64::min)).min(full_vacuum_pa(environment))
    };
    Strength {
        limits: limits(line),
        allowed_pa: on_grid(
            geometry,
            &line.reaches,
            |r, _| {
                let standing = Setting {
                    kind: LoadKind::Standing,
                    in_sun: false,
                };
                may(environment, r, standing)?.ok().map(|m| m.pa)
            },
            f64::min,
        ),
        use_high: on_grid(geometry, &line.reaches, |r, s| field.use_at(r, s), f64::max),
        zones: zones::zones(geometry, &need),
        needs_air: needs_air(line),
        parting: all
            .iter()
            .filter(|l| l.parts)
            .map(|l| l.which.clone())
            .collect(),
        suction,
        wheels: wheel::judge(&line.reaches, environment, largest_pull),
        bedded: bedded(&line.reaches, environment),
        unrated_fittings: (0..)
            .zip(&line.fittings)
            .filter(|(_, f)| f.rating_pa.is_none())
            .map(|(i, _)| i)
            .collect(),
        reaches,
    }
}

fn reach(line: &Line, reach: &Reach, field: &StateField<'_>, need: &Need) -> ReachStrength {
    let stations = field.stations(reach);
    // the standing water is always judged: the first state, at the reach's ends at least
    let standing = field.largest(&stations, LoadKind::Standing);
    let largest = |kind| field.largest(&stations, kind).map(|(mean, _)| mean);
    let limit = joint_limit(reach.joint, &reach.pipe);
    let mut out = ReachStrength {
        from_m: reach.from_m,
        to_m: reach.to_m,
        spec: reach.pipe.spec.clone(),
        may_be: may_be(&reach.pipe).map(|(weak, strong)| {
            let of = |grade| as_grade(line, reach, field, need, grade);
            (of(weak), of(strong))
        }),
        refused: reach.pipe.refused.clone(),
        rating_pa: reach.pipe.rating_pa,
        governing: None,
        lasting: None,
        use_mean: None,
        use_high: None,
        static_pa: standing.map_or(f64::NAN, |s| s.0),
        static_high_pa: standing.map_or(f64::NAN, |s| s.1),
        working_pa: largest(LoadKind::Running),
        surge_routine_pa: largest(LoadKind::SurgeRoutine),
        surge_rare_pa: largest(LoadKind::SurgeRare),
        filling_pa: largest(LoadKind::Filling),
        test: None,
        too_warm: None,
        forbidden_joint: limit.forbidden,
        left: left(reach),
        collapse_pa: free_ring(&line.environment, reach, EMPTY).collapse_pa,
        outside_use: 0.0,
        outside_low: None,
        outside: None,
        pull_pa: 0.0,
        held_by_ground: false,
        lightest: zones::drop_is_known(&line.geometry)
            .and_then(|()| zones::lightest(reach, field.station_m, need)),
        habit_pa: HABIT * standing.map_or(f64::NAN, |s| s.0),
        from_memory: reach.pipe.is_unverified(),
    };
    inside(line, reach, field, &stations, &mut out);
    outside(reach, field, &stations, &mut out);
    if out.refused.is_some() {
        out.governing = None;
        out.lasting = None;
        out.test = None;
        out.use_mean = None;
        out.use_high = None;
    }
    out
}

/// A reach as if it were of a grade that it may be; its warmth by the stricter table, as any pipe by the user's own keys.
fn as_grade(line: &Line, of: &Reach, field: &StateField<'_>, need: &Need, grade: MayBe) -> MayTake {
    let trial = Reach {
        pipe: Pipe {
            rating_pa: Some(grade.rating_pa),
            ..of.pipe.clone()
        },
        ..of.clone()
    };
    MayTake {
        use_high: reach(line, &trial, field, need).use_high,
        grade,
    }
}

/// The trade's habit: a rating of the standing pressure and 40 % (Ostermeier 2008), printed beside ours.
const HABIT: f64 = 1.4;

fn inside(
    line: &Line,
    reach: &Reach,
    field: &StateField<'_>,
    stations: &[f64],
    out: &mut ReachStrength,
) {
    for load in field.loads {
        for setting in field.settings(load.kind()) {
            let cause = || GoverningState::of(load, setting.in_sun);
            match may(&line.environment, reach, setting) {
                None => {}
                Some(Err(warm)) => {
                    let pressed = stations.iter().any(|&s| {
                        (!setting.in_sun || line.environment.lies_open(s))
                            && field.at(&load.largest_pa, s) > 0.0
                    });
                    if pressed {
                        out.too_warm = Some(warm);
                    }
                }
                Some(Ok(may)) => {
                    for &s in stations
                        .iter()
                        .filter(|s| !setting.in_sun || line.environment.lies_open(**s))
                    {
                        out.take(field, load, s, &may, &cause);
                    }
                }
            }
            if setting.in_sun {
                continue;
            }
            for fitting in fittings_of(&line.reaches, &line.fittings, reach) {
                let Some(rating_pa) = fitting.rating_pa else {
                    continue;
                };
                let may = Allowable {
                    pa: rating_pa,
                    weakest: Weakest::Fitting(fitting.name.clone()),
                    temperature_factor: 1.0,
                    wall_c: line.environment.water.warmest_c,
                    allowance: 1.0,
                    how: How::Read,
                };
                out.take(field, load, fitting.station_m, &may, &cause);
            }
        }
    }
}

impl ReachStrength {
    /// Takes one place in one state into account.
    fn take(
        &mut self,
        field: &StateField<'_>,
        load: &Load,
        station_m: f64,
        may: &Allowable,
        cause: &impl Fn() -> GoverningState,
    ) {
        let pressure_pa = field.at(&load.largest_pa, station_m);
        let pressure_high_pa = pressure_pa + field.at(&field.doubt_pa, station_m);
        let (mean, high) = (share(pressure_pa, may.pa), share(pressure_high_pa, may.pa));
        if load.kind() == LoadKind::Test {
            if self.test.is_none_or(|t| high > t.use_high) {
                self.test = Some(Tested {
                    station_m,
                    pressure_pa,
                    use_high: high,
                });
            }
            return;
        }
        self.use_mean = Some(self.use_mean.map_or(mean, |u| u.max(mean)));
        let worst = self.use_high.is_none_or(|u| high > u);
        let worst_lasting =
            !load.kind().is_surge() && self.lasting.as_ref().is_none_or(|g| high > g.use_high());
        if !worst && !worst_lasting {
            return;
        }
        let governing = Governing {
            station_m,
            cause: cause(),
            weakest: may.weakest.clone(),
            pressure_pa,
            pressure_high_pa,
            allowed_pa: may.pa,
            temperature_factor: may.temperature_factor,
            wall_c: may.wall_c,
            surge_allowance: may.allowance,
            how: may.how,
        };
        if worst_lasting {
            self.lasting = Some(governing.clone());
        }
        if worst {
            self.use_high = Some(high);
            self.from_memory |= may.how.is_unverified();
            self.governing = Some(governing);
        }
    }
}
