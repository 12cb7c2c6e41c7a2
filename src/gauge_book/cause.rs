//! What may change on a running plant, and what each cause does to everything that is read.

use super::channel::{Channel, ChannelKind};
use super::plant::Plant;
use crate::flow::{AirLeg, PlantChange, respond, wishes};
use crate::line::{CaseWish, Line, Running};
use crate::numeric::math;

crate::text::words! {
    /// Something that changed after the plant was computed.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
    pub enum Cause {
        /// Something in the way of the water above the gauge: a blocked screen, a stone, a valve not fully open.
        InTheWay = "in-the-way",
        /// The walls grow rougher: slime, rust, scale.
        Growth = "growth",
        /// Air stands below a high point.
        Air = "air",
        /// The water at the intake stands lower, or higher.
        Level = "level",
        /// The nozzles are worn wider.
        JetWorn = "jet-worn",
        /// A nozzle is blocked in part.
        JetBlocked = "jet-blocked",
        /// The gauge shows too much or too little.
        GaugeOff = "gauge-off",
        /// Water leaves the pipe on the way.
        Leak = "leak",
    }
}

/// Every cause, in the order in which equal ones are told.
pub const CAUSES: [Cause; 8] = [
    Cause::InTheWay,
    Cause::Growth,
    Cause::Air,
    Cause::Level,
    Cause::JetWorn,
    Cause::JetBlocked,
    Cause::GaugeOff,
    Cause::Leak,
];

/// How a change comes: at once, over days, over weeks, over months.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pace {
    /// Within a day.
    AtOnce,
    /// One to ten days.
    Days,
    /// Ten to sixty days.
    Weeks,
    /// Longer.
    Months,
}

impl Pace {
    /// The pace of a rise that takes so many days.
    pub fn of(days: f64) -> Self {
        match days {
            d if d <= 1.0 => Self::AtOnce,
            d if d <= 10.0 => Self::Days,
            d if d <= 60.0 => Self::Weeks,
            _ => Self::Months,
        }
    }
}

impl Cause {
    /// How often this is what changes on a small plant, as shares of 1: own choice, common practice, no source.
    fn usual_share(self) -> f64 {
        match self {
            Self::InTheWay => 0.40,
            Self::Growth => 0.14,
            Self::Air => 0.12,
            Self::Level => 0.10,
            Self::JetWorn => 0.05,
            Self::JetBlocked => 0.08,
            Self::GaugeOff => 0.07,
            Self::Leak => 0.04,
        }
    }

    /// How often it comes at this pace, as shares of 1: own choice, common practice, no source.
    fn pace_share(self, pace: Pace) -> f64 {
        let [at_once, days, weeks, months] = match self {
            Self::InTheWay => [0.30, 0.40, 0.27, 0.03],
            Self::Growth => [0.002, 0.008, 0.07, 0.92],
            Self::Air => [0.75, 0.15, 0.08, 0.02],
            Self::Level => [0.30, 0.30, 0.30, 0.10],
            Self::JetWorn => [0.005, 0.015, 0.13, 0.85],
            Self::JetBlocked => [0.90, 0.08, 0.01, 0.01],
            Self::GaugeOff => [0.50, 0.05, 0.10, 0.35],
            Self::Leak => [0.40, 0.10, 0.20, 0.30],
        };
        match pace {
            Pace::AtOnce => at_once,
            Pace::Days => days,
            Pace::Weeks => weeks,
            Pace::Months => months,
        }
    }

    /// How often it goes away by itself or is put right within the book: own choice, common practice, no source.
    fn ends_share(self) -> f64 {
        match self {
            Self::InTheWay => 0.7,
            Self::Growth | Self::GaugeOff => 0.1,
            Self::Air | Self::JetBlocked => 0.6,
            Self::Level => 0.8,
            Self::JetWorn => 0.03,
            Self::Leak => 0.2,
        }
    }

    /// Logarithm of how likely this cause, at this pace, with or without an end, is before anything was read.
    pub(super) fn log_prior(self, pace: Pace, ended: bool) -> f64 {
        let ends = self.ends_share();
        math::ln(self.usual_share() * self.pace_share(pace) * if ended { ends } else { 1.0 - ends })
    }

    /// A size of this kind can only be more than nothing.
    fn one_sided(self) -> bool {
        !matches!(self, Self::Level | Self::GaugeOff)
    }
}

/// One cause on one plant: what a size of it does to each channel.
#[derive(Debug, Clone)]
pub(super) struct CauseEffect {
    pub(super) cause: Cause,
    /// What a size of 1 does to each channel, in the channel's unit.
    pub(super) per_size: Vec<f64>,
    /// Size that is expected of it: the standard deviation of its size about nothing.
    pub(super) usual: f64,
    /// Smallest and largest size that can be.
    pub(super) range: (f64, f64),
}

impl<'a> Plant<'a> {
    pub(super) fn of(line: &'a Line, legs: &[AirLeg]) -> Self {
        let wishes = wishes(line.outlet.as_ref(), &line.wishes);
        let dial = super::channel::at_the_end(&line.geometry);
        let largest = wishes
            .iter()
            .filter_map(|w| Some((w, respond(line, w, dial, &PlantChange::default()).ok()?)))
            .max_by(|a, b| a.1.flow_m3_per_s.total_cmp(&b.1.flow_m3_per_s));
        Self {
            line,
            largest_m3_per_s: largest.map_or(0.0, |(_, r)| r.flow_m3_per_s),
            largest: largest.map(|(w, _)| w.clone()),
            air_at_m: legs.first().map_or(0.0, |l| l.crest_m),
            most_air_m: legs.iter().map(|l| l.full_m).sum(),
            gross_head_m: line.intake.water_level_m(crate::pipe::WaterLevel::Usual)
                - line.nozzle_elevation_m(),
            pa_per_m: line.environment.water_n_per_m3(),
            wishes,
        }
    }

    pub(super) fn wish(&self, state: &crate::pipe::RunState) -> Option<&CaseWish> {
        self.wishes.iter().find(|w| w.state == *state)
    }

    pub(super) fn wishes(&self) -> &[CaseWish] {
        &self.wishes
    }

    /// Static pressure at the end of the pipe, m of water.
    pub(super) fn static_m(&self) -> f64 {
        self.line
            .intake
            .water_level_m(crate::pipe::WaterLevel::Usual)
            - self.line.geometry.end_elevation_m()
    }

    /// The change that a size of a cause is.
    pub(super) fn change(&self, cause: Cause, size: f64) -> PlantChange {
        let none = PlantChange::default();
        match cause {
            Cause::InTheWay => PlantChange {
                obstruction_s2_per_m5: size / math::powi(self.largest_m3_per_s.max(1e-9), 2),
                ..none
            },
            Cause::Growth => PlantChange {
                slime: size,
                ..none
            },
            Cause::Air => PlantChange {
                air_m: size,
                air_at_m: self.air_at_m,
                ..none
            },
            Cause::Level => PlantChange {
                level_m: size,
                ..none
            },
            Cause::JetWorn => PlantChange {
                jet_share: size,
                ..none
            },
            Cause::JetBlocked => PlantChange {
                jet_share: -size,
                ..none
            },
            Cause::GaugeOff => PlantChange {
                gauge_m: size,
                ..none
            },
            Cause::Leak => PlantChange {
                leak_m3_per_s: size,
                ..none
            },
        }
    }

    /// The usual size of a cause and the range it lies in; `None` where this plant cannot have it.
    fn sizes(&self, cause: Cause) -> Option<(f64, (f64, f64))> {
        let head = self.gross_head_m;
        let jets = self
            .wishes
            .iter()
            .any(|w| matches!(&w.running, Running::Jets(i) if !i.is_empty()));
        let runs = self.largest_m3_per_s > 0.0;
        let free = f64::INFINITY;
        let known = match cause {
            Cause::InTheWay if runs => (0.10 * head, (0.0, free)),
            Cause::Growth if runs => (1.5, (0.0, 8.0)),
            Cause::Air if self.most_air_m > 0.0 => (0.5 * self.most_air_m, (0.0, self.most_air_m)),
            Cause::Level => (0.3, (-2.0, 2.0)),
            Cause::JetWorn if jets => (0.06, (0.0, 0.5)),
            Cause::JetBlocked if jets => (0.25, (0.0, 0.9)),
            // three times the limit of an ordinary dial of class 2.5 (EN 837-1) stands for a gauge that fails
            Cause::GaugeOff => (0.03 * head, (-head, head)),
            Cause::Leak if runs => (0.15 * self.largest_m3_per_s, (0.0, self.largest_m3_per_s)),
            _ => return None,
        };
        (known.0 > 0.0).then_some(known)
    }

    /// What a cause does to every channel, by the secant from nothing to this size; `None` where this plant cannot have it or nothing shows it.
    pub(super) fn shape(
        &self,
        cause: Cause,
        size: Option<f64>,
        channels: &[Channel],
    ) -> Option<CauseEffect> {
        let (usual, range) = self.sizes(cause)?;
        let small = usual * 0.5;
        let size = size.map_or(small, |s| s.clamp(range.0, range.1));
        let size = if size.abs() < 0.05 * usual {
            small
        } else {
            size
        };
        let change = self.change(cause, size);
        let per_size: Option<Vec<f64>> = channels
            .iter()
            .map(|c| {
                let with = c.shows(self, &change)?;
                Some((with - c.unchanged) / size)
            })
            .collect();
        let per_size = per_size?;
        let shown = per_size
            .iter()
            .zip(channels)
            .any(|(p, c)| (p * usual).abs() > 0.05 * c.noise);
        shown.then_some(CauseEffect {
            cause,
            per_size,
            usual,
            range: if cause.one_sided() {
                (0.0, range.1)
            } else {
                range
            },
        })
    }

    /// Share of the water's power that is lost in the state of the largest flow, 0 to 1.
    pub(super) fn power_lost(&self, change: &PlantChange) -> Option<f64> {
        let wish = self.largest.as_ref()?;
        let dial = super::channel::at_the_end(&self.line.geometry);
        let power = |c: &PlantChange| {
            let r = respond(self.line, wish, dial, c).ok()?;
            Some(r.flow_m3_per_s * r.net_head_m)
        };
        let before = power(&PlantChange::default())?;
        let after = power(change)?;
        (before > 0.0).then_some(1.0 - after / before)
    }

    /// What the gauge shows more (or less), m, in a state with a change.
    pub(super) fn gauge_moves_m(&self, wish: &CaseWish, change: &PlantChange) -> Option<f64> {
        let dial = super::channel::at_the_end(&self.line.geometry);
        let with = respond(self.line, wish, dial, change).ok()?;
        let without = respond(self.line, wish, dial, &PlantChange::default()).ok()?;
        Some(with.gauge_m - without.gauge_m)
    }
}

/// Standard deviation of the water's temperature over a year about the usual one, C (common practice, no source).
const SEASON_C: f64 = 3.5;

impl Channel {
    /// What water colder by one standard deviation of the year does to this channel: its walls drag more.
    pub(super) fn by_season(&self, plant: &Plant<'_>) -> Option<f64> {
        let mut cold = plant.line.clone();
        cold.environment.water.usual_c = (cold.environment.water.usual_c - SEASON_C).max(0.5);
        let there = Plant {
            line: &cold,
            wishes: plant.wishes.clone(),
            largest: plant.largest.clone(),
            ..*plant
        };
        Some(self.shows(&there, &PlantChange::default())? - self.unchanged)
    }

    /// What this channel shows with a change.
    pub(super) fn shows(&self, plant: &Plant<'_>, change: &PlantChange) -> Option<f64> {
        let wish = plant.wish(&self.state)?;
        let r = respond(plant.line, wish, self.dial, change).ok()?;
        Some(match self.kind {
            ChannelKind::Pressure => r.gauge_m,
            ChannelKind::Flow => r.flow_m3_per_s,
            // the machine's efficiency stays: its power goes with that of the water
            ChannelKind::Power => self.scale * r.flow_m3_per_s * r.net_head_m,
            ChannelKind::Fed => change.leak_m3_per_s,
        })
    }
}
