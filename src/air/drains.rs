//! Drains at the lows, emptying, filling.

use super::{Drain, Filling};
use crate::line::{Appurtenance, Discharge, Environment, Geometry, Line, Reaches};
use crate::pipe::{Bed, MarkKind};
use crate::profile::Profile;

/// Discharge coefficient of a short drain with its valve open (usual for a square-edged outlet; from memory).
pub const DRAIN_DISCHARGE: f64 = 0.62;

/// Lows are drained that stand in at least this share of the equally likely lines.
const LIKELY: f64 = 0.5;

/// Least bore of a drain, m: MIL-HDBK-1005/7A 7.2.5.2 asks for 2 in per foot of the pipe's bore, a sixth.
pub fn least_drain_bore_m(pipe_bore_m: f64) -> f64 {
    pipe_bore_m / 6.0
}

/// Cover over a buried pipe that keeps it from frost, m: 2.5 ft, and 6 in below the deepest frost (MIL-HDBK-1005/7A 7.2.5).
pub fn frost_free_cover_m(frost_depth_m: f64) -> f64 {
    (frost_depth_m + 0.152_4).max(0.762)
}

/// Rise of pressure head when the last air leaves and the water behind it stops at once, m: wave speed times speed over gravity.
///
/// Joukowsky (1898); the most that filling at that speed can do.
pub fn slam_m(last: LastAir) -> f64 {
    last.wave_speed_m_per_s * last.speed_m_per_s / last.gravity_m_per_s2
}

/// The moment when the last air leaves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LastAir {
    /// Speed of the water behind it, m/s.
    pub speed_m_per_s: f64,
    /// Wave speed, m/s.
    pub wave_speed_m_per_s: f64,
    /// Gravity, m/s2.
    pub gravity_m_per_s2: f64,
}

/// A part of the pipe above an outlet: length, area, heights of its ends over the outlet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DrainPart {
    /// Length along the pipe, m.
    pub length_m: f64,
    /// Area of the bore, m2.
    pub area_m2: f64,
    /// Height of its upper end over the outlet, m.
    pub upper_m: f64,
    /// Height of its lower end over the outlet, m.
    pub lower_m: f64,
}

/// What water leaves by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outflow {
    /// Area of the hole, m2.
    pub area_m2: f64,
    /// Discharge coefficient.
    pub discharge: f64,
    /// Gravity, m/s2.
    pub gravity_m_per_s2: f64,
}

impl Outflow {
    /// Flow at a head over the outlet, m3/s.
    pub fn flow_m3_per_s(&self, head_m: f64) -> f64 {
        self.discharge * self.area_m2 * (2.0 * self.gravity_m_per_s2 * head_m.max(0.0)).sqrt()
    }

    /// Time to empty the parts with a vent open at the top, s.
    ///
    /// Each slice leaves at the head of its own level, `t = int dV / (c a sqrt(2 g h))`; on an even part that is `2 A L / (c a sqrt(2g) (sqrt(h1) + sqrt(h0)))`.
    /// Friction in the pipe is left out: with a drain of a sixth of the bore it is below a per cent. Parts that reach below the outlet count down to it only.
    pub fn emptying_s(&self, parts: &[DrainPart]) -> f64 {
        let speed = self.discharge * self.area_m2 * (2.0 * self.gravity_m_per_s2).sqrt();
        parts
            .iter()
            .map(|p| {
                let (upper, lower) = (p.upper_m.max(p.lower_m), p.upper_m.min(p.lower_m));
                let above = if lower < 0.0 && upper > lower {
                    (upper / (upper - lower)).clamp(0.0, 1.0)
                } else {
                    1.0
                };
                let roots = upper.max(0.0).sqrt() + lower.max(0.0).sqrt();
                // a level part at the outlet's own height runs out at the head of its bore
                2.0 * p.area_m2 * p.length_m * above
                    / (speed * roots.max((p.area_m2 / std::f64::consts::PI).sqrt().sqrt()))
            })
            .sum()
    }
}

/// The mean line between two stations as parts over a height, and the stations of each.
fn parts(
    geometry: &Geometry,
    reaches: &Reaches,
    from_m: f64,
    to_m: f64,
    over_m: f64,
) -> Vec<DrainPart> {
    let inside = geometry
        .heights
        .station_m
        .iter()
        .copied()
        .filter(|&s| s > from_m && s < to_m);
    let stations: Vec<f64> = std::iter::once(from_m)
        .chain(inside)
        .chain(std::iter::once(to_m))
        .collect();
    stations
        .iter()
        .zip(stations.iter().skip(1))
        .filter_map(|(&a, &b)| {
            Some(DrainPart {
                length_m: b - a,
                area_m2: reaches.at(0.5 * (a + b))?.pipe.bore_area_m2(),
                upper_m: geometry.elevation_m(a) - over_m,
                lower_m: geometry.elevation_m(b) - over_m,
            })
        })
        .collect()
}

/// Station of the highest point of the mean line between two stations.
fn highest_m(geometry: &Geometry, from_m: f64, to_m: f64) -> f64 {
    geometry
        .heights
        .station_m
        .iter()
        .copied()
        .filter(|s| (from_m..=to_m).contains(s))
        .chain([from_m, to_m])
        .max_by(|&a, &b| geometry.elevation_m(a).total_cmp(&geometry.elevation_m(b)))
        .unwrap_or(from_m)
}

/// Drains at the likely lows, and those that stand elsewhere.
pub(super) fn drains(line: &Line, profile: &Profile) -> Vec<Drain> {
    let likely: Vec<(f64, f64)> = profile
        .lows
        .iter()
        .filter(|l| l.probability >= LIKELY)
        .map(|l| (l.station_m, l.probability))
        .collect();
    let end = line.geometry.length_m();
    likely
        .iter()
        .enumerate()
        .filter_map(|(i, &(station_m, certainty))| {
            let before = i
                .checked_sub(1)
                .and_then(|k| likely.get(k))
                .map_or(0.0, |l| l.0);
            let after = likely.get(i + 1).map_or(end, |l| l.0);
            let upper = highest_m(&line.geometry, before, station_m);
            let lower = highest_m(&line.geometry, station_m, after);
            drain(line, station_m, certainty, (upper, lower))
        })
        .collect()
}

fn drain(line: &Line, station_m: f64, certainty: f64, crests_m: (f64, f64)) -> Option<Drain> {
    let low_m = line.geometry.elevation_m(station_m);
    let pipe_bore_m = line.reaches.bore_m(station_m)?;
    let near_m = (3.0 * line.geometry.station_sd_m).max(2.0);
    let here = |is: &dyn Fn(&Appurtenance) -> bool| {
        line.stands.iter().position(|s| {
            s.kind == MarkKind::Drain && is(s) && (s.station_m - station_m).abs() <= near_m
        })
    };
    let stands = here(&|s| line.reaches.counts(s));
    let to_come = match stands {
        Some(_) => None,
        None => here(&|s| line.reaches.is_to_come(s)),
    };
    let bore_m = super::orifice::trade_size_m(least_drain_bore_m(pipe_bore_m).max(0.015));
    let real_bore_m = stands
        .and_then(|i| line.stands.get(i)?.bore_m)
        .unwrap_or(bore_m);
    let outflow = Outflow {
        area_m2: std::f64::consts::FRAC_PI_4 * real_bore_m * real_bore_m,
        discharge: DRAIN_DISCHARGE,
        gravity_m_per_s2: line.environment.situation.gravity_m_per_s2,
    };
    let water = parts(&line.geometry, &line.reaches, crests_m.0, crests_m.1, low_m);
    let head_m = line
        .geometry
        .elevation_m(crests_m.0)
        .max(line.geometry.elevation_m(crests_m.1))
        - low_m;
    let spill_m = line
        .geometry
        .elevation_m(crests_m.0)
        .min(line.geometry.elevation_m(crests_m.1))
        - low_m;
    let (left_standing_m3, left_length_m) = below(&water, spill_m);
    Some(Drain {
        station_m,
        stands,
        to_come,
        certainty,
        bore_m,
        silt_bore_m: super::orifice::trade_size_m(0.5 * pipe_bore_m),
        emptying_s: outflow.emptying_s(&water),
        first_flow_m3_per_s: outflow.flow_m3_per_s(head_m),
        left_standing_m3,
        left_length_m,
        frost: freezes(&line.environment, station_m),
        from_memory: true,
    })
}

/// Volume and length of the parts below a level.
fn below(parts: &[DrainPart], level_m: f64) -> (f64, f64) {
    parts.iter().fold((0.0, 0.0), |(volume, length), p| {
        let (upper, lower) = (p.upper_m.max(p.lower_m), p.upper_m.min(p.lower_m));
        let share = if upper <= level_m {
            1.0
        } else if lower >= level_m {
            0.0
        } else {
            (level_m - lower) / (upper - lower)
        };
        (
            volume + p.area_m2 * p.length_m * share,
            length + p.length_m * share,
        )
    })
}

/// Water standing at a station can freeze: the air goes below zero and the pipe does not lie below the frost.
fn freezes(environment: &Environment, station_m: f64) -> bool {
    let deep = environment.laid.iter().any(|l| {
        l.bed == Bed::Buried
            && (l.from_m..=l.to_m).contains(&station_m)
            && matches!((l.cover_m, environment.situation.frost_depth_m), (Some(c), Some(f)) if c >= frost_free_cover_m(f))
    });
    environment.situation.coldest_air_c < 0.0 && !deep
}

/// Time for the line to empty at its lower end, s: through the jets all open, or a drain of a sixth of the bore.
///
/// What stands lower than a crest further down stays, and is not counted. `t = int dV / (c a sqrt(2 g h))`, h over the lower end: see [`Outflow::emptying_s`].
pub(super) fn empties_at_end_s(line: &Line) -> f64 {
    let end = line.geometry.length_m();
    let by_drain = line.reaches.bore_m(end).map(|pipe_m| {
        let bore_m = least_drain_bore_m(pipe_m);
        std::f64::consts::FRAC_PI_4 * bore_m * bore_m * DRAIN_DISCHARGE
    });
    let by_jets = match line.outlet.as_ref().map(|o| &o.how) {
        Some(Discharge::Jets(jets)) => Some(
            jets.iter()
                .map(|j| j.area_m2() * j.discharge_coefficient)
                .sum(),
        ),
        _ => None,
    };
    let widest: f64 = by_drain.into_iter().chain(by_jets).fold(0.0, f64::max);
    Outflow {
        area_m2: widest,
        discharge: 1.0,
        gravity_m_per_s2: line.environment.situation.gravity_m_per_s2,
    }
    .emptying_s(&leaving(&parts(
        &line.geometry,
        &line.reaches,
        0.0,
        end,
        line.geometry.end_elevation_m(),
    )))
}

/// Of the parts of a line, in order, what can run out at the lower end: what stands above every point further down.
fn leaving(parts: &[DrainPart]) -> Vec<DrainPart> {
    let mut spill_m: f64 = 0.0;
    let mut out: Vec<DrainPart> = parts
        .iter()
        .rev()
        .filter_map(|p| {
            let (upper, lower) = (p.upper_m.max(p.lower_m), p.upper_m.min(p.lower_m));
            let over_m = spill_m.max(p.lower_m);
            spill_m = spill_m.max(upper);
            if upper <= over_m {
                // a level part at the very end still runs out
                return (upper <= 0.0 && spill_m <= 0.0).then_some(*p);
            }
            let share = (upper - over_m) / (upper - lower);
            Some(DrainPart {
                length_m: p.length_m * share,
                upper_m: upper,
                lower_m: over_m,
                ..*p
            })
        })
        .collect();
    out.reverse();
    out
}

/// Filling at the speed of the site's limits in the smallest bore.
pub(super) fn filling(line: &Line) -> Filling {
    let speed_m_per_s = line.wishes.limits.fill_speed_m_per_s;
    let area_m2 = line
        .reaches
        .iter()
        .map(|r| r.pipe.bore_area_m2())
        .fold(f64::INFINITY, f64::min);
    let flow_m3_per_s = if area_m2.is_finite() {
        speed_m_per_s * area_m2
    } else {
        0.0
    };
    let volume_m3: f64 = line
        .reaches
        .iter()
        .map(|r| r.pipe.bore_area_m2() * (r.to_m - r.from_m))
        .sum();
    let slam_m = line
        .reaches
        .iter()
        .zip(line.wave_bands())
        .map(|(r, band)| {
            slam_m(LastAir {
                speed_m_per_s: flow_m3_per_s / r.pipe.bore_area_m2(),
                wave_speed_m_per_s: band.high,
                gravity_m_per_s2: line.environment.situation.gravity_m_per_s2,
            })
        })
        .reduce(f64::max);
    Filling {
        speed_m_per_s,
        flow_m3_per_s,
        volume_m3,
        time_s: if flow_m3_per_s > 0.0 {
            volume_m3 / flow_m3_per_s
        } else {
            0.0
        },
        slam_m,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const OUT: Outflow = Outflow {
        area_m2: std::f64::consts::FRAC_PI_4 * 0.025 * 0.025,
        discharge: DRAIN_DISCHARGE,
        gravity_m_per_s2: 9.81,
    };

    fn even(upper_m: f64, lower_m: f64, length_m: f64) -> DrainPart {
        DrainPart {
            length_m,
            area_m2: std::f64::consts::FRAC_PI_4 * 0.01,
            upper_m,
            lower_m,
        }
    }

    #[test]
    fn an_even_slope_empties_as_the_closed_form_says() {
        assert!((OUT.emptying_s(&[even(40.0, 0.0, 200.0)]) - 368.476).abs() < 0.5);
        assert!((OUT.flow_m3_per_s(40.0) * 1e3 - 8.52592).abs() < 1e-3);
    }

    #[test]
    fn what_lies_behind_a_crest_stays() {
        // down to 0, up over a crest of 4 and down to 0: of the first fall the upper 6 m leave, of the climb nothing
        let line = [
            even(10.0, 0.0, 50.0),
            even(0.0, 4.0, 20.0),
            even(4.0, 0.0, 30.0),
        ];
        let out = leaving(&line);
        assert_eq!(out.len(), 2);
        assert!((out[0].length_m - 30.0).abs() < 1e-12 && out[0].lower_m == 4.0);
        assert_eq!(out[1], line[2]);
        let falling = [even(10.0, 4.0, 30.0), even(4.0, 0.0, 20.0)];
        assert_eq!(leaving(&falling), falling);
    }

    #[test]
    fn parts_add_up() {
        let whole = OUT.emptying_s(&[even(40.0, 0.0, 200.0)]);
        let cut = OUT.emptying_s(&[even(40.0, 10.0, 150.0), even(10.0, 0.0, 50.0)]);
        assert!((whole - cut).abs() < 1e-9);
    }

    #[test]
    fn water_stays_below_the_lower_crest() {
        let u = [even(10.0, 0.0, 50.0), even(0.0, 4.0, 20.0)];
        let (volume, length) = below(&u, 4.0);
        assert!((length - 40.0).abs() < 1e-12);
        assert!((volume - 40.0 * std::f64::consts::FRAC_PI_4 * 0.01).abs() < 1e-12);
    }

    /// The last air slams by the stiffest bed of a reach, wherever in it that lies.
    #[test]
    fn a_filling_line_asks_for_every_bed_of_a_reach() {
        use crate::line::Laid;
        use crate::pipe::{self, Joint, Traffic, Trench};
        let slam_m = |buried: Option<(f64, f64)>| {
            let pipe = pipe::find("PE100 SDR11 90").unwrap();
            let mut line = Line::plain(&[(0.0, 100.0), (300.0, 60.0)], &pipe);
            line.reaches.0[0].joint = Joint::Compression;
            let laid = buried.map(|(from_m, to_m)| Laid {
                from_m,
                to_m,
                bed: Bed::Buried,
                cover_m: None,
                height_m: None,
                traffic: Traffic::None,
                trench: Trench::default(),
            });
            line.environment.laid = laid.into_iter().collect();
            filling(&line).slam_m.unwrap()
        };
        let (open, buried) = (slam_m(None), slam_m(Some((0.0, 300.0))));
        assert!(open != buried);
        for part in [(0.0, 20.0), (100.0, 200.0), (280.0, 300.0)] {
            assert_eq!(slam_m(Some(part)), open.max(buried), "{part:?}");
        }
    }
}
