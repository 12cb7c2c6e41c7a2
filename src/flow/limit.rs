//! The line that cannot run full: where the grade line falls too far below the pipe, or the stream gives too little.
//!
//! Where it does, the point that governs stands at the air's pressure: the pipe above it carries what its own fall drives, the water below it falls freely
//! in a part-full pipe until it meets the column that the jets back up. That column stands lower, so the jets get less head.

use super::WhyNot;
use super::conduit::{Conduit, HeadProfile};
use super::demand::{jet_head_m, settle};
use crate::numeric::series::{at, last};
use std::ops::RangeInclusive;

/// A line with its stations and what each may bear.
#[derive(Debug, Clone)]
pub(super) struct FlowProfile<'a> {
    pub(super) conduit: &'a Conduit,
    pub(super) stations_m: &'a [f64],
    pub(super) pipe_m: &'a [f64],
    /// Lowest gauge head at each, m (negative; 0 at an open vent).
    pub(super) working_m: &'a [f64],
    pub(super) level_m: f64,
    pub(super) nozzle_m: f64,
    /// Area that passes the flow at the end, each jet's coefficient in it, m2.
    pub(super) area_m2: f64,
}

/// Where the water runs free: from the governing point to where the pipe is full again.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Fall {
    /// Index of the station it falls from.
    pub(super) from: usize,
    /// Where that is, m.
    pub(super) from_m: f64,
    /// The lowest station that is part-full, m.
    pub(super) last_dry_m: f64,
    /// Where it is full again, m.
    pub(super) full_at_m: f64,
    /// Head that is lost in it, friction and steps within it included, m.
    pub(super) head_m: f64,
}

/// The heads of a line that is not full throughout.
#[derive(Debug, Clone)]
pub(super) struct PartFullSolution {
    pub(super) flow_m3_per_s: f64,
    /// Index of the governing station.
    pub(super) governs: usize,
    pub(super) profile: HeadProfile,
    /// Energy line on the upper and the lower side of each station, m.
    pub(super) above_m: Vec<f64>,
    pub(super) below_m: Vec<f64>,
    pub(super) part_full: Vec<bool>,
    /// From the turbine up.
    pub(super) falls: Vec<Fall>,
    /// Base of the column that stands against the governing station from below: above the still water's level the flow is too large.
    pub(super) held_back_m: f64,
}

impl FlowProfile<'_> {
    /// Energy that each station needs at still water to stand at the air's pressure, on the harder of its two sides, m.
    fn needs_m(&self, profile: &HeadProfile) -> Vec<f64> {
        let upper = profile.above_m.iter().zip(&profile.speed_above_m);
        let lower = profile.below_m.iter().zip(&profile.speed_below_m);
        upper
            .zip(lower)
            .zip(self.pipe_m)
            .map(|(((a, va), (b, vb)), z)| (a + va).max(b + vb) + z)
            .collect()
    }

    /// Gauge head at each station when the line runs full from an energy at its mouth, the lower of its two sides, m.
    pub(super) fn gauge_m(&self, profile: &HeadProfile, mouth_energy_m: f64) -> Vec<f64> {
        self.needs_m(profile)
            .into_iter()
            .map(|need| mouth_energy_m - need)
            .collect()
    }

    /// Stretches below the air's pressure in which some station lies beyond what it may bear.
    fn below_air_pressure(&self, gauge_m: &[f64]) -> Vec<bool> {
        let mut out = vec![false; gauge_m.len()];
        let mut from = 0;
        let mut beyond = false;
        let mut close = |from: usize, to: usize, beyond: bool| {
            if beyond {
                out.iter_mut()
                    .skip(from)
                    .take(to - from)
                    .for_each(|s| *s = true);
            }
        };
        for (i, (gauge, working)) in gauge_m.iter().zip(self.working_m).enumerate() {
            if *gauge >= 0.0 {
                close(from, i, beyond);
                from = i + 1;
                beyond = false;
            } else if *gauge < *working - 1e-9 {
                beyond = true;
            }
        }
        close(from, gauge_m.len(), beyond);
        out
    }

    /// Whether a full line would hold everywhere.
    pub(super) fn holds(&self, gauge_m: &[f64]) -> bool {
        gauge_m
            .iter()
            .zip(self.working_m)
            .all(|(g, w)| *g >= *w - 1e-9)
    }

    /// The largest flow that leaves the stations chosen at or above a gauge head, and the station that governs. Flow 0: even still water does not reach it.
    pub(super) fn largest_flow(
        &self,
        most_m3_per_s: f64,
        least_m: impl Fn(usize) -> Option<f64>,
    ) -> Result<(f64, usize), WhyNot> {
        let tightest = |q: f64| {
            let profile = self.conduit.profile(q, self.stations_m);
            self.gauge_m(&profile, self.level_m)
                .into_iter()
                .enumerate()
                .filter_map(|(i, g)| Some((i, g - least_m(i)?)))
                .min_by(|a, b| a.1.total_cmp(&b.1))
        };
        let Some((still, margin)) = tightest(0.0) else {
            return Ok((most_m3_per_s, 0));
        };
        let tiny = most_m3_per_s * 1e-9;
        let least = tightest(tiny);
        if margin <= 0.0 || least.is_none_or(|l| l.1 <= 0.0) {
            return Ok((0.0, least.map_or(still, |l| l.0)));
        }
        if let Some((_, m)) = tightest(most_m3_per_s)
            && m >= 0.0
        {
            return Ok((most_m3_per_s, still));
        }
        let flow = settle(tiny, most_m3_per_s, |q| tightest(q).map_or(margin, |t| t.1))?;
        Ok((flow, tightest(flow).map_or(still, |t| t.0)))
    }

    /// The state in which the points that cannot hold stand at the air's pressure, when `full_m3_per_s` would flow in a full line.
    /// `stream_m3_per_s`: the most that the stream gives at the turbine.
    pub(super) fn broken(
        &self,
        full_m3_per_s: f64,
        stream_m3_per_s: Option<f64>,
    ) -> Result<PartFullSolution, WhyNot> {
        let full = self.conduit.profile(full_m3_per_s, self.stations_m);
        let mut open = self.below_air_pressure(&self.gauge_m(&full, self.level_m));
        // each round opens at least one more stretch to the air, so the rounds end
        for _ in 0..=self.stations_m.len() {
            let at_air = |i: usize| open.get(i).copied().unwrap_or(false).then_some(0.0);
            let (crest_flow, crest) = self.largest_flow(full_m3_per_s, at_air)?;
            let (flow, governs) = match stream_m3_per_s {
                Some(stream) if stream < crest_flow => (stream.max(0.0), 0),
                _ => (crest_flow, crest),
            };
            let state = self.backed_up(flow, governs);
            // a lower point that holds the water back above the governing one governs instead
            if state.held_back_m <= self.level_m + 1e-6 {
                return Ok(state);
            }
            let dam = state
                .falls
                .iter()
                .map(|f| f.from)
                .filter(|&i| i > governs)
                .min();
            match dam.and_then(|i| open.get_mut(i)) {
                Some(o) if !*o => *o = true,
                _ => return Ok(state),
            }
        }
        Err(WhyNot::NotSettled)
    }

    /// The standing line where a point lies too far above the still water: the column has parted there, and no pressure under the air's is given.
    pub(super) fn parted(&self, gauge_m: &[f64]) -> PartFullSolution {
        let profile = self.conduit.profile(0.0, self.stations_m);
        let level = vec![self.level_m; self.stations_m.len()];
        PartFullSolution {
            flow_m3_per_s: 0.0,
            governs: gauge_m
                .iter()
                .enumerate()
                .min_by(|a, b| a.1.total_cmp(b.1))
                .map_or(0, |(i, _)| i),
            above_m: level.clone(),
            below_m: level,
            part_full: self.below_air_pressure(gauge_m),
            falls: Vec::new(),
            held_back_m: self.level_m,
            profile,
        }
    }

    /// Heads from the jets upward at a given flow, to the governing station; above it the water comes from the intake.
    ///
    /// Going up, the column that the jets back up is carried on while the pipe below it can hold it. Where it cannot, or where air already stands just below,
    /// the water runs part-full: the station stands at the air's pressure, and the column above starts from there, as a pool behind it or as the next piece of free fall.
    fn backed_up(&self, flow_m3_per_s: f64, governs: usize) -> PartFullSolution {
        let profile = self.conduit.profile(flow_m3_per_s, self.stations_m);
        let count = self.stations_m.len();
        let g = self.conduit.gravity_m_per_s2;
        let end = self.nozzle_m + jet_head_m(flow_m3_per_s, self.area_m2, g);
        let mut out = PartFullSolution {
            flow_m3_per_s,
            governs,
            above_m: vec![0.0; count],
            below_m: vec![0.0; count],
            part_full: vec![false; count],
            falls: Vec::new(),
            held_back_m: 0.0,
            profile,
        };
        // `base` less the loss to a station is the energy there
        let mut base = end + last(&out.profile.below_m);
        let needs = self.needs_m(&out.profile);
        let mut run: Option<PartFullRun> = None;
        for i in (governs..count).rev() {
            let under = needs.get(i).is_some_and(|need| base < *need);
            let open = under && (run.is_some() || self.opens(&needs, base, governs..=i));
            if open {
                run.get_or_insert(PartFullRun {
                    base_below: base,
                    bottom: i,
                });
                base = self.base_at_air(&out.profile, i);
                out.fill(i, i + 1, base);
                if let Some(p) = out.part_full.get_mut(i) {
                    *p = true;
                }
            } else {
                if let Some(done) = run.take() {
                    self.fell(&mut out, i + 1, &done);
                }
                out.fill(i, i + 1, base);
            }
        }
        out.held_back_m = base;
        match run {
            Some(done) => {
                self.fell(&mut out, governs, &done);
                if let (Some(a), Some(loss)) = (
                    out.above_m.get_mut(governs),
                    out.profile.above_m.get(governs),
                ) {
                    *a = self.level_m - loss;
                }
            }
            // the column stands over a deep mouth: it is the water at the intake that falls
            None if base < self.level_m => out.falls.push(Fall {
                from: governs,
                from_m: at(self.stations_m, governs),
                last_dry_m: f64::NEG_INFINITY,
                full_at_m: at(self.stations_m, governs),
                head_m: self.level_m - base,
            }),
            None => {}
        }
        out.fill(0, governs, self.level_m);
        if flow_m3_per_s <= 0.0 {
            // Nothing flows: what stands above the still water before the governing point is empty.
            let dry = self.below_air_pressure(&self.gauge_m(&out.profile, self.level_m));
            for (part_full, dry) in out.part_full.iter_mut().zip(dry).take(governs) {
                *part_full |= dry;
            }
        }
        out
    }

    /// Whether the stretch under the air's pressure that ends at a station, seen from below, lets air in: some station of it beyond what it may bear, or the governing one.
    fn opens(&self, needs_m: &[f64], base: f64, stretch: RangeInclusive<usize>) -> bool {
        let governs = *stretch.start();
        let gauge = |i: usize| base - at(needs_m, i);
        stretch
            .rev()
            .take_while(|&i| gauge(i) < 0.0)
            .any(|i| i == governs || self.working_m.get(i).is_some_and(|w| gauge(i) < *w - 1e-9))
    }

    /// The base at which a station stands at the air's pressure on its upper side.
    fn base_at_air(&self, profile: &HeadProfile, i: usize) -> f64 {
        at(self.pipe_m, i) + at(&profile.speed_above_m, i) + at(&profile.above_m, i)
    }

    /// Books the free fall from a station down to where the column below it meets the pipe.
    fn fell(&self, out: &mut PartFullSolution, from: usize, run: &PartFullRun) {
        let upper = if from == out.governs {
            self.level_m
        } else {
            self.base_at_air(&out.profile, from)
        };
        let start = upper - at(&out.profile.above_m, from);
        let (last, full) = (self.stations_m.len() - 1, run.bottom + 1);
        let base = run.base_below;
        let (full_at_m, end) = if full > last {
            (
                at(self.stations_m, last),
                base - at(&out.profile.below_m, last),
            )
        } else {
            // straight between the last part-full station and the first full one
            let gauge = |i: usize, loss: &[f64], speed: &[f64]| {
                base - at(loss, i) - at(speed, i) - at(self.pipe_m, i)
            };
            let under = gauge(run.bottom, &out.profile.below_m, &out.profile.speed_below_m);
            let over = gauge(full, &out.profile.above_m, &out.profile.speed_above_m);
            let share = if over > under {
                (-under / (over - under)).clamp(0.0, 1.0)
            } else {
                1.0
            };
            let between = |v: &[f64], w: &[f64]| {
                at(v, run.bottom) + (at(w, full) - at(v, run.bottom)) * share
            };
            (
                between(self.stations_m, self.stations_m),
                base - between(&out.profile.below_m, &out.profile.above_m),
            )
        };
        out.falls.push(Fall {
            from,
            from_m: at(self.stations_m, from),
            last_dry_m: at(self.stations_m, run.bottom),
            full_at_m,
            head_m: start - end,
        });
    }
}

/// A part-full run while it is walked upward.
struct PartFullRun {
    /// Base of the column below it.
    base_below: f64,
    /// Its lowest station.
    bottom: usize,
}

impl PartFullSolution {
    fn fill(&mut self, from: usize, to: usize, base: f64) {
        for i in from..to {
            let (a, b) = (
                base - at(&self.profile.above_m, i),
                base - at(&self.profile.below_m, i),
            );
            set(&mut self.above_m, i, a);
            set(&mut self.below_m, i, b);
        }
    }
}

fn set(values: &mut [f64], i: usize, value: f64) {
    if let Some(v) = values.get_mut(i) {
        *v = value;
    }
}
