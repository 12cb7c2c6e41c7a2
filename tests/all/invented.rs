//! Invented walks over invented ground, with the truth beside them. They are not real tracks.
//!
//! The ground, the receivers and the walkers are made by rules of their own, not by the model that judges them: humps of a set rise on an uneven slope, heights that err by more than the model knows of.
#![allow(dead_code, reason = "each test takes what it needs")]

use steadyfall::earth::{LatLon, Plane};
use steadyfall::heights::ReadingBlock;
use steadyfall::numeric::{Bracket, Rng, isotonic, root};
use steadyfall::reading::{Data, Fix, Method, Pass, Reading};

/// A range to draw from.
pub type Range = (f64, f64);

/// What to invent.
#[derive(Debug, Clone, PartialEq)]
pub struct Setting {
    pub length_m: f64,
    pub drop_m: f64,
    pub passes: usize,
    /// White part of a reading, m; drift's sd, m, and time, s; plan error along the line, m.
    pub white_m: Range,
    pub drift_m: Range,
    pub drift_s: Range,
    pub plan_m: Range,
    /// A smooth error beside the drift, as a filter in the receiver makes it: sd, m (0: none), and the time of the filter, s.
    pub smooth_m: Range,
    pub smooth_s: Range,
    /// Heights come from the pressure of the air, the weather taken out by a second log.
    pub barometers: bool,
    /// The time in which the plan error forgets itself, s.
    pub plan_s: Range,
    pub stops: (usize, usize),
    /// Share of readings that are wild.
    pub spikes: f64,
    /// White part with heavy tails (Student, 3 degrees of freedom, same spread).
    pub heavy: bool,
    /// Heights come late by this many seconds.
    pub lag_s: f64,
    /// Every second pass with a receiver of its own noise and another datum.
    pub two_receivers: bool,
    /// Heights are looked up in a terrain model by position.
    pub terrain: bool,
    /// Rises to choose from, m; 0 is no hump.
    pub rises_m: Vec<f64>,
    /// Half width of the hump, m.
    pub half_m: Range,
    /// A fix every so many seconds, as a reader of tracks hands them over.
    pub every_s: usize,
}

impl Default for Setting {
    fn default() -> Self {
        Self {
            length_m: 600.0,
            drop_m: 70.0,
            passes: 1,
            white_m: (0.1, 0.5),
            drift_m: (0.8, 3.0),
            drift_s: (100.0, 600.0),
            plan_m: (1.0, 3.0),
            smooth_m: (0.0, 0.0),
            smooth_s: (60.0, 60.0),
            barometers: false,
            plan_s: (60.0, 60.0),
            stops: (0, 4),
            spikes: 0.0,
            heavy: false,
            lag_s: 0.0,
            two_receivers: false,
            terrain: false,
            rises_m: vec![0.0, 0.0, 0.4, 0.7, 1.2, 1.6, 2.5],
            half_m: (10.0, 25.0),
            every_s: 1,
        }
    }
}

/// The ground as it is, every metre.
#[derive(Debug, Clone, Default)]
pub struct Truth {
    pub height_m: Vec<f64>,
    /// Horizontal direction of the line at each metre, rad.
    pub heading_rad: Vec<f64>,
    pub east_m: Vec<f64>,
    pub north_m: Vec<f64>,
}

/// One reading.
#[derive(Debug, Clone, Copy, Default)]
pub struct Raw {
    pub time_s: f64,
    pub true_station_m: f64,
    /// Error of the position along the line, m.
    pub along_m: f64,
    /// Error across the line, m.
    pub across_m: f64,
    pub height_m: f64,
}

/// A walk with its truth.
#[derive(Debug, Clone, Default)]
pub struct Walk {
    pub truth: Truth,
    pub passes: Vec<Vec<Raw>>,
    /// A fix every so many seconds; 0 stands for 1.
    pub every_s: usize,
}

/// A slow error: stationary, forgetting itself in `time_s`.
struct Slow {
    value: f64,
    sd: f64,
    time_s: f64,
}

impl Slow {
    fn new(draws: &mut Rng, sd: f64, time_s: f64) -> Self {
        Self {
            value: sd * draws.normal(),
            sd,
            time_s,
        }
    }

    fn step(&mut self, draws: &mut Rng, by: f64) -> f64 {
        let a = (-by / self.time_s).exp();
        self.value = a * self.value + self.sd * (1.0 - a * a).sqrt() * draws.normal();
        self.value
    }
}

/// A slow error through a filter of the same time: smooth to the eye.
struct Smooth {
    slow: Slow,
    value: f64,
}

impl Smooth {
    fn new(draws: &mut Rng, sd: f64, time_s: f64) -> Self {
        // The filter halves the variance.
        let mut smooth = Self {
            slow: Slow::new(draws, sd * std::f64::consts::SQRT_2, time_s),
            value: 0.0,
        };
        for _ in 0..(6.0 * time_s) as usize {
            smooth.step(draws);
        }
        smooth
    }

    fn step(&mut self, draws: &mut Rng) -> f64 {
        let now = self.slow.step(draws, 1.0);
        self.value += (now - self.value) * (1.0 - (-1.0 / self.slow.time_s).exp());
        self.value
    }
}

impl Truth {
    /// Height at a station, straight between metres.
    pub fn at(&self, station_m: f64) -> f64 {
        let n = self.height_m.len() - 1;
        let s = station_m.clamp(0.0, n as f64);
        let i = (s as usize).min(n - 1);
        let t = s - i as f64;
        self.height_m[i] * (1.0 - t) + self.height_m[i + 1] * t
    }

    /// East, north and direction at a station.
    pub fn position(&self, station_m: f64) -> (f64, f64, f64) {
        let n = self.east_m.len() - 1;
        let s = station_m.clamp(0.0, n as f64);
        let i = (s as usize).min(n - 1);
        let t = s - i as f64;
        let mid = |x: &[f64]| x[i] * (1.0 - t) + x[i + 1] * t;
        (
            mid(&self.east_m),
            mid(&self.north_m),
            mid(&self.heading_rad),
        )
    }

    pub fn length_m(&self) -> f64 {
        (self.height_m.len() - 1) as f64
    }

    pub fn plan_length_m(&self) -> f64 {
        let east = self.east_m.windows(2).map(|w| w[1] - w[0]);
        let north = self.north_m.windows(2).map(|w| w[1] - w[0]);
        east.zip(north).map(|(e, n)| e.hypot(n)).sum()
    }

    pub fn drop_m(&self) -> f64 {
        self.height_m[0] - self.height_m[self.height_m.len() - 1]
    }

    /// At each metre, the rise that traps air there: highest point below less lowest point above.
    pub fn straddle_m(&self) -> Vec<f64> {
        let mut low = f64::INFINITY;
        let lows: Vec<f64> = self
            .height_m
            .iter()
            .map(|z| {
                low = low.min(*z);
                low
            })
            .collect();
        let mut high = f64::NEG_INFINITY;
        let mut out: Vec<f64> = self
            .height_m
            .iter()
            .zip(&lows)
            .rev()
            .map(|(z, l)| {
                high = high.max(*z);
                high - l
            })
            .collect();
        out.reverse();
        out
    }

    /// True climbs of more than a threshold: from, to, rise.
    pub fn climbs(&self, threshold_m: f64) -> Vec<(f64, f64, f64)> {
        let mut out: Vec<(f64, f64, f64)> = Vec::new();
        let mut open = false;
        for (i, r) in self.straddle_m().into_iter().enumerate() {
            if r > threshold_m {
                match out.last_mut() {
                    Some(last) if open => {
                        last.1 = i as f64;
                        last.2 = last.2.max(r);
                    }
                    _ => out.push((i as f64, i as f64, r)),
                }
                open = true;
            } else {
                open = false;
            }
        }
        out
    }

    fn new(setting: &Setting, draws: &mut Rng) -> Self {
        let n = setting.length_m as usize;
        // An uneven slope that never climbs: the grade swings by up to half in long waves.
        let waves: Vec<(f64, f64, f64)> = (0..3)
            .map(|_| {
                (
                    draws.between(0.05, 0.22),
                    draws.between(90.0, 400.0),
                    draws.between(0.0, std::f64::consts::TAU),
                )
            })
            .collect();
        let grade: Vec<f64> = (0..n)
            .map(|i| {
                let swing: f64 = waves
                    .iter()
                    .map(|(a, l, p)| a * (std::f64::consts::TAU * i as f64 / l + p).sin())
                    .sum();
                (1.0 + swing).max(0.15)
            })
            .collect();
        let sum: f64 = grade.iter().sum();
        let mut base = vec![400.0];
        for g in &grade {
            let z = base[base.len() - 1] - g * setting.drop_m / sum;
            base.push(z);
        }
        let rise = setting.rises_m[draws.below(setting.rises_m.len())] * draws.between(0.8, 1.2);
        let centre = draws.between(60.0, setting.length_m - 60.0);
        let half = draws.between(setting.half_m.0, setting.half_m.1);
        let with = |amplitude: f64| -> Vec<f64> {
            base.iter()
                .enumerate()
                .map(|(i, z)| {
                    let x = (i as f64 - centre) / half;
                    z + amplitude * (-std::f64::consts::LN_2 * x * x).exp()
                })
                .collect()
        };
        let rise_of = |heights: &[f64]| {
            let mut low = f64::INFINITY;
            heights.iter().fold(0.0f64, |most, z| {
                low = low.min(*z);
                most.max(z - low)
            })
        };
        let amplitude = if rise > 0.0 {
            root(
                Bracket {
                    low: 0.0,
                    high: 30.0,
                    width: 1e-4,
                },
                |a| rise_of(&with(a)) - rise,
            )
            .unwrap_or(0.0)
        } else {
            0.0
        };
        let height_m = with(amplitude);
        // A pipe bends in long sweeps, not from metre to metre.
        let bends: Vec<(f64, f64, f64)> = (0..3)
            .map(|_| {
                (
                    draws.between(0.05, 0.35),
                    draws.between(70.0, 300.0),
                    draws.between(0.0, std::f64::consts::TAU),
                )
            })
            .collect();
        let heading = |s: f64| -> f64 {
            bends
                .iter()
                .map(|(a, l, p)| a * (std::f64::consts::TAU * s / l + p).sin())
                .sum()
        };
        let mut truth = Self {
            heading_rad: (0..=n).map(|i| heading(i as f64)).collect(),
            east_m: vec![0.0],
            north_m: vec![0.0],
            ..Self::default()
        };
        for i in 0..n {
            let heading = heading(i as f64 + 0.5);
            let level = (1.0 - (height_m[i + 1] - height_m[i]).powi(2))
                .max(0.0)
                .sqrt();
            truth.east_m.push(truth.east_m[i] + level * heading.sin());
            truth.north_m.push(truth.north_m[i] + level * heading.cos());
        }
        truth.height_m = height_m;
        truth
    }
}

/// Standard Student with 3 degrees of freedom, scaled to unit spread.
fn heavy(draws: &mut Rng) -> f64 {
    let chi: f64 = (0..3).map(|_| draws.normal().powi(2)).sum();
    draws.normal() / (chi / 3.0).sqrt() / 3f64.sqrt()
}

struct Receiver {
    white_m: f64,
    drift_m: f64,
    drift_s: f64,
    smooth_m: f64,
    smooth_s: f64,
    datum_m: f64,
}

impl Walk {
    /// Invents one walk; the same seed gives the same walk.
    pub fn new(setting: &Setting, seed: u64) -> Self {
        let mut draws = Rng::new(seed);
        let truth = Truth::new(setting, &mut draws);
        let mut receiver = || Receiver {
            white_m: draws.between(setting.white_m.0, setting.white_m.1),
            drift_m: draws.between(setting.drift_m.0, setting.drift_m.1),
            drift_s: draws.between(setting.drift_s.0, setting.drift_s.1),
            smooth_m: 0.0,
            smooth_s: 60.0,
            datum_m: 0.0,
        };
        let first = receiver();
        let mut second = receiver();
        second.datum_m = 12.0;
        // From a generator of its own, so that the other kinds stay as they were.
        let mut of = Rng::new(seed ^ 0x51ed_2701);
        let mut smooth = |r: Receiver| Receiver {
            smooth_m: of.between(setting.smooth_m.0, setting.smooth_m.1),
            smooth_s: of.between(setting.smooth_s.0, setting.smooth_s.1),
            ..r
        };
        let (first, second) = (smooth(first), smooth(second));
        let plan = PlanError {
            sd_m: draws.between(setting.plan_m.0, setting.plan_m.1),
            // From a generator of its own, so that the rest of the walk stays as it is whatever the range.
            time_s: Rng::new(seed ^ 0x9e37_79b9).between(setting.plan_s.0, setting.plan_s.1),
        };
        let terrain = Terrain::new(&truth, &mut draws);
        let passes = (0..setting.passes)
            .map(|k| {
                let receiver = if setting.two_receivers && k % 2 == 1 {
                    &second
                } else {
                    &first
                };
                pass(
                    setting,
                    &truth,
                    receiver,
                    &plan,
                    &terrain,
                    k % 2 == 1,
                    &mut draws,
                )
            })
            .collect();
        Self {
            truth,
            passes,
            every_s: setting.every_s,
        }
    }

    /// Blocks of 3 s as the cleaning would hand them over: spikes gone, stations of a pass smoothed in time and made monotone.
    pub fn blocks(&self) -> Vec<ReadingBlock> {
        self.passes
            .iter()
            .enumerate()
            .flat_map(|(k, pass)| blocks(k, pass))
            .collect()
    }
}

impl Walk {
    /// The walks as a reader of tracks would hand them over: every fix with its position, height and time, spikes and stops and all.
    pub fn reading(&self) -> Reading {
        let plane = Plane::new(LatLon::new(47.3, 9.6), 430.0);
        let mut line = 0;
        let passes: Vec<Pass> = self
            .passes
            .iter()
            .enumerate()
            .map(|(k, raw)| Pass {
                name: format!("walk {}", k + 1),
                segments: vec![
                    raw.iter()
                        .step_by(self.every_s.max(1))
                        .map(|r| {
                            line += 1;
                            let at = self.truth.position(r.true_station_m);
                            let (sin, cos) = at.2.sin_cos();
                            let spot = plane.back([
                                at.0 + r.along_m * sin + r.across_m * cos,
                                at.1 + r.along_m * cos - r.across_m * sin,
                            ]);
                            Fix {
                                lat_deg: spot.lat_deg,
                                lon_deg: spot.lon_deg,
                                elevation_m: Some(r.height_m),
                                time_s: Some(1.7e9 + 5_000.0 * k as f64 + r.time_s),
                                dilution: None,
                                stated_sd_m: None,
                                line,
                            }
                        })
                        .collect(),
                ],
                drawn: false,
            })
            .collect();
        Reading {
            method: Method::Gpx,
            file: "invented.gpx".to_owned(),
            source: Default::default(),
            points_read: passes.iter().flat_map(|p| &p.segments).map(Vec::len).sum(),
            data: Data::Walks(passes),
            places: Vec::new(),
            remarks: Vec::new(),
        }
    }
}

/// Error of a receiver in plan, along the line and across.
struct PlanError {
    sd_m: f64,
    time_s: f64,
}

/// What a terrain model says: the ground smoothed, off by a slow error of its own, in steps of 0.2 m.
struct Terrain {
    height_m: Vec<f64>,
}

impl Terrain {
    fn new(truth: &Truth, draws: &mut Rng) -> Self {
        let n = truth.height_m.len();
        let mut error = Slow::new(draws, 1.5, 120.0);
        let height_m = (0..n)
            .map(|i| {
                let window: Vec<f64> = (-15..=15)
                    .map(|d| truth.at(i as f64 + f64::from(d)))
                    .collect();
                window.iter().sum::<f64>() / window.len() as f64 + error.step(draws, 1.0)
            })
            .collect();
        Self { height_m }
    }
}

fn pass(
    setting: &Setting,
    truth: &Truth,
    receiver: &Receiver,
    plan: &PlanError,
    terrain: &Terrain,
    uphill: bool,
    draws: &mut Rng,
) -> Vec<Raw> {
    let length = truth.length_m();
    let count = setting.stops.0 + draws.below(setting.stops.1 - setting.stops.0 + 1);
    let mut stops: Vec<(f64, f64)> = (0..count)
        .map(|_| (draws.between(0.0, length), draws.between(20.0, 90.0)))
        .collect();
    stops.sort_by(|a, b| a.0.total_cmp(&b.0));
    stops.reverse();
    let mut pace = Slow::new(draws, 0.15, 40.0);
    let offset = receiver.datum_m + 4.0 * draws.normal();
    let mut drift = Slow::new(draws, receiver.drift_m, receiver.drift_s);
    let mut smooth =
        (receiver.smooth_m > 0.0).then(|| Smooth::new(draws, receiver.smooth_m, receiver.smooth_s));
    let mut along = Slow::new(draws, plan.sd_m, plan.time_s);
    let mut across = Slow::new(draws, plan.sd_m, plan.time_s);
    let mut way = 0.0;
    let mut waiting = 0.0;
    let mut late: Option<f64> = None;
    let mut out = Vec::new();
    let mut time = 0.0;
    while way < length {
        let station = if uphill { length - way } else { way };
        let z = truth.at(station);
        let shown = if setting.lag_s > 0.0 {
            let before = late.unwrap_or(z);
            let now = before + (z - before) * (1.0 - (-1.0 / setting.lag_s).exp());
            late = Some(now);
            now
        } else {
            z
        };
        let e = along.step(draws, 1.0);
        let white = receiver.white_m
            * if setting.heavy {
                heavy(draws)
            } else {
                draws.normal()
            };
        let d = drift.step(draws, 1.0) + smooth.as_mut().map_or(0.0, |s| s.step(draws));
        let mut height = shown + offset + d + white;
        if draws.uniform() < setting.spikes {
            height += draws.between(-15.0, 15.0);
        }
        if setting.terrain {
            let at = (station + e).clamp(0.0, length).round() as usize;
            height = (terrain.height_m[at] * 5.0).round() / 5.0;
        }
        out.push(Raw {
            time_s: time,
            true_station_m: station,
            along_m: e,
            across_m: across.step(draws, 1.0),
            height_m: height,
        });
        time += 1.0;
        if waiting > 0.0 {
            waiting -= 1.0;
            continue;
        }
        way += (0.8 + pace.step(draws, 1.0)).clamp(0.3, 1.4);
        if stops.last().is_some_and(|s| s.0 <= way)
            && let Some((_, wait)) = stops.pop()
        {
            waiting = wait;
        }
    }
    out
}

fn blocks(pass: usize, raw: &[Raw]) -> Vec<ReadingBlock> {
    // Spikes: off a running median of 15 by 5 robust standard deviations.
    let median = |mut v: Vec<f64>| {
        v.sort_by(f64::total_cmp);
        v[v.len() / 2]
    };
    let off: Vec<f64> = (0..raw.len())
        .map(|i| {
            let near = &raw[i.saturating_sub(7)..(i + 8).min(raw.len())];
            raw[i].height_m - median(near.iter().map(|r| r.height_m).collect())
        })
        .collect();
    let scale = (1.4826 * median(off.iter().map(|o| o.abs()).collect())).max(0.2);
    let kept: Vec<&Raw> = raw
        .iter()
        .zip(&off)
        .filter(|(_, o)| o.abs() <= 5.0 * scale)
        .map(|(r, _)| r)
        .collect();
    let groups: Vec<&[&Raw]> = kept.chunks(3).collect();
    let mean =
        |g: &[&Raw], f: fn(&Raw) -> f64| g.iter().map(|r| f(r)).sum::<f64>() / g.len() as f64;
    let times: Vec<f64> = groups.iter().map(|g| mean(g, |r| r.time_s)).collect();
    let rough: Vec<f64> = groups
        .iter()
        .map(|g| mean(g, |r| r.true_station_m + r.along_m))
        .collect();
    let uphill = rough[0] > rough[rough.len() - 1];
    let monotone = |x: &[f64]| {
        if uphill {
            isotonic::falling(x, &[])
        } else {
            isotonic::rising(x, &[])
        }
    };
    let pooled = monotone(&rough);
    // Local linear fit in time, Gaussian of 8 s.
    let smooth: Vec<f64> = times
        .iter()
        .enumerate()
        .map(|(i, t)| {
            let (mut w0, mut w1, mut w2, mut y0, mut y1) = (0.0, 0.0, 0.0, 0.0, 0.0);
            for k in i.saturating_sub(12)..(i + 13).min(times.len()) {
                let x = times[k] - t;
                let w = (-0.5 * (x / 8.0).powi(2)).exp();
                w0 += w;
                w1 += w * x;
                w2 += w * x * x;
                y0 += w * pooled[k];
                y1 += w * x * pooled[k];
            }
            (w2 * y0 - w1 * y1) / (w0 * w2 - w1 * w1)
        })
        .collect();
    monotone(&smooth)
        .into_iter()
        .zip(&groups)
        .zip(&times)
        .map(|((station_m, g), t)| ReadingBlock {
            pass,
            clock_s: Some(*t),
            station_m,
            height_m: mean(g, |r| r.height_m),
            count: g.len() as f64,
            rounded_sd_m: 0.0,
            dilution: None,
        })
        .collect()
}
