//! Readings of one kind, in one state, at one place: what should be read, and how far readings scatter.

use super::entry::Entry;
use super::plant::Plant;
use crate::flow::{Dial, PlantChange, respond};
use crate::line::Geometry;
use crate::numeric::math;
use crate::pipe::RunState;

crate::text::words! {
    /// What is read.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum ChannelKind {
        /// Pressure, m of water.
        Pressure = "pressure",
        /// Flow, m3/s.
        Flow = "flow",
        /// Electrical power, W.
        Power = "power",
        /// Water fed into the shut pipe to keep its pressure, m3/s.
        Fed = "fed",
    }
}

impl ChannelKind {
    /// Scatter that readings of this kind usually have about such a figure, in its unit.
    pub(super) fn usual_noise(self, figure: f64) -> f64 {
        match self {
            Self::Pressure => REPEATS * figure.abs() + 0.02,
            Self::Flow => FLOW_REPEATS * figure.abs() + 1e-6,
            Self::Power => POWER_REPEATS * figure.abs() + 1.0,
            Self::Fed => 2e-6,
        }
    }
}

/// One reading in a channel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct ChannelValue {
    /// Days since 1970.
    pub(super) day: f64,
    /// As read, in the channel's unit.
    pub(super) value: f64,
    /// Index of the entry it comes from.
    pub(super) entry: usize,
    /// It stands alone between others that agree, and is left out.
    pub(super) alone: bool,
}

/// Readings of one kind in one state at one place.
#[derive(Debug, Clone)]
pub(super) struct Channel {
    pub(super) kind: ChannelKind,
    pub(super) state: RunState,
    pub(super) dial: Dial,
    gauge: String,
    /// What it should show as computed, in its unit.
    pub(super) unchanged: f64,
    /// Standard deviation of that.
    pub(super) unchanged_sd: f64,
    /// Electrical power over flow times head, for a channel of power.
    pub(super) scale: f64,
    /// Standard deviation of a single reading about what there was to read.
    pub(super) noise: f64,
    pub(super) values: Vec<ChannelValue>,
}

/// A dial at the end of the pipe, on its centre.
pub(super) fn at_the_end(geometry: &Geometry) -> Dial {
    Dial {
        station_m: geometry.length_m(),
        height_m: 0.0,
    }
}

/// Repeat readings of an ordinary dial agree within a third of its class 2.5 (common practice, no source).
const REPEATS: f64 = 0.004;
/// Flow by bucket, float or weir and power by a meter repeat within this share (common practice, no source).
const FLOW_REPEATS: f64 = 0.03;
const POWER_REPEATS: f64 = 0.02;
/// Readings that the usual scatter counts as, beside those of the book.
const USUAL_COUNTS: f64 = 3.0;
/// Of a hundred differences so many are kept, the smallest; squares of a normal variable that is cut so have this mean: 1 - 2 z phi(z) / 0.85 with z = 1.44.
const KEPT_OF_100: usize = 85;
const KEPT_VARIANCE: f64 = 0.521;
/// A reading this many standard deviations off between neighbours that agree stands alone.
const ALONE: f64 = 5.0;
/// Neighbours agree within this many standard deviations of the middle one.
const AGREES: f64 = 3.0;

/// The channels of a book, in the order in which they first occur. States that the line does not have are left out: `sheet` has refused them.
pub(super) fn channels(plant: &Plant<'_>, entries: &[Entry]) -> Vec<Channel> {
    let mut out: Vec<Channel> = Vec::new();
    for (index, entry) in entries.iter().enumerate() {
        let pressure_m = entry.head_m;
        let read = [
            (ChannelKind::Pressure, pressure_m),
            (ChannelKind::Flow, entry.flow_m3_per_s),
            (ChannelKind::Power, entry.power_w),
            (ChannelKind::Fed, entry.fed_m3_per_s),
        ];
        for (kind, value) in read {
            let Some(value) = value else { continue };
            let here = out.iter().position(|c| {
                c.kind == kind
                    && c.state == entry.state
                    && c.dial == entry.dial
                    && c.gauge == entry.gauge
            });
            let at = match here {
                Some(at) => at,
                None => {
                    let Some(channel) = Channel::begun(plant, kind, entry, value) else {
                        continue;
                    };
                    out.push(channel);
                    out.len() - 1
                }
            };
            if let Some(channel) = out.get_mut(at) {
                channel.values.push(ChannelValue {
                    day: entry.day,
                    value,
                    entry: index,
                    alone: false,
                });
            }
        }
    }
    let mark = mark(&out);
    for channel in &mut out {
        let of_dial = channel.kind == ChannelKind::Pressure;
        channel.settle(if of_dial { mark } else { 0.0 });
    }
    out
}

/// No dial is coarser than this share of what it shows: marks of a tenth of the scale, read to a third of one (common practice, no source).
const COARSEST: f64 = 0.03;

/// What the dial is read to, m: the least difference between two readings that differ.
fn mark(channels: &[Channel]) -> f64 {
    let dials = channels.iter().filter(|c| c.kind == ChannelKind::Pressure);
    let mut values: Vec<f64> = dials
        .flat_map(|c| c.values.iter().map(|v| v.value))
        .collect();
    values.sort_by(f64::total_cmp);
    let steps = values.windows(2).filter_map(|w| match w {
        [a, b] => Some(b - a).filter(|d| *d > 1e-9 * b.abs()),
        _ => None,
    });
    let largest = values.last().map_or(0.0, |v| v.abs());
    steps.fold(COARSEST * largest, f64::min)
}

impl Channel {
    /// A channel of given values, for tests of the search alone.
    #[cfg(test)]
    pub(super) fn plain(
        kind: ChannelKind,
        state: RunState,
        dial: Dial,
        (unchanged, unchanged_sd): (f64, f64),
        noise: f64,
        values: Vec<ChannelValue>,
    ) -> Self {
        Self {
            kind,
            state,
            dial,
            gauge: String::new(),
            unchanged,
            unchanged_sd,
            scale: 1.0,
            noise,
            values,
        }
    }

    fn begun(plant: &Plant<'_>, kind: ChannelKind, entry: &Entry, value: f64) -> Option<Self> {
        let wish = plant.wish(&entry.state)?;
        let r = respond(plant.line, wish, entry.dial, &PlantChange::default()).ok()?;
        let drop_sd_m = plant.line.geometry.heights.drop_sd_m;
        let scale = value / (r.flow_m3_per_s * r.net_head_m).max(1e-9);
        let (unchanged, unchanged_sd) = match kind {
            // survey, and a loss known to some 10 %
            ChannelKind::Pressure => {
                let lost = plant.line.intake.water_level_m(wish.level)
                    - plant.line.geometry.elevation_m(entry.dial.station_m)
                    - entry.dial.height_m
                    - r.gauge_m;
                (
                    r.gauge_m,
                    math::hypot(math::hypot(drop_sd_m, 0.10 * lost), 0.015 * r.gauge_m),
                )
            }
            ChannelKind::Flow => (r.flow_m3_per_s, 0.15 * r.flow_m3_per_s),
            ChannelKind::Power => (value, 0.5 * value.abs()),
            ChannelKind::Fed => (0.0, 0.0),
        };
        Some(Self {
            kind,
            state: entry.state.clone(),
            dial: entry.dial,
            gauge: entry.gauge.clone(),
            unchanged,
            unchanged_sd,
            scale,
            noise: 0.0,
            values: Vec::new(),
        })
    }

    /// Scatter of single readings, from the differences of neighbours (von Neumann 1941) without the largest of them, so that steps do not count; and readings that stand alone.
    fn settle(&mut self, mark: f64) {
        let usual = self.kind.usual_noise(self.unchanged);
        let mut squares: Vec<f64> = self
            .values
            .windows(2)
            .filter_map(|w| match w {
                [a, b] => Some((b.value - a.value) * (b.value - a.value)),
                _ => None,
            })
            .collect();
        squares.sort_by(f64::total_cmp);
        let count = squares.len() as f64;
        squares.truncate(squares.len() * KEPT_OF_100 / 100);
        let kept = squares.len().max(1) as f64;
        let seen = (squares.iter().sum::<f64>() / kept / KEPT_VARIANCE / 2.0).sqrt();
        // readings rounded to a coarse mark are off alike, day after day
        let floor = (0.3 * usual).max(0.5 * mark);
        self.noise = ((usual * usual * USUAL_COUNTS + seen * seen * count)
            / (USUAL_COUNTS + count))
            .sqrt()
            .max(floor);
        self.leave_out_alone();
    }

    fn leave_out_alone(&mut self) {
        let values: Vec<f64> = self.values.iter().map(|v| v.value).collect();
        let noise = self.noise;
        for (i, value) in self.values.iter_mut().enumerate() {
            let around: Vec<f64> = (i.saturating_sub(3)..=i + 3)
                .filter(|j| *j != i)
                .filter_map(|j| values.get(j).copied())
                .collect();
            if around.len() < 3 {
                continue;
            }
            let middle = crate::numeric::median(&around);
            let agree = around
                .iter()
                .filter(|v| (*v - middle).abs() <= AGREES * noise)
                .count();
            // a neighbour that agrees with it makes it the beginning of a change
            let beside = [i.checked_sub(1), Some(i + 1)].into_iter().flatten();
            let seconded = beside
                .filter_map(|j| values.get(j))
                .any(|v| (v - value.value).abs() <= AGREES * noise);
            value.alone = 3 * agree >= 2 * around.len()
                && (value.value - middle).abs() > ALONE * noise
                && !seconded;
        }
    }
}
