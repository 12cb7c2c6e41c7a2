//! When something changed: a generalized likelihood ratio over onsets, rises and ends (Willsky and Jones 1976; Basseville and Nikiforov, Detection of Abrupt Changes, 1993, chapter 2), with the channels' own levels projected out.

use super::channel::Channel;

/// How a change goes in time: nothing before `from`, rising evenly to 1 at `full`, 1 until `until`, nothing after.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TimeCourse {
    /// It begins, days since 1970.
    pub from: f64,
    /// It is full, days since 1970.
    pub full: f64,
    /// It ends; infinite while it goes on.
    pub until: f64,
}

impl TimeCourse {
    /// Share of the full change on a day, 0 to 1.
    pub fn share(&self, day: f64) -> f64 {
        if day < self.from || day >= self.until {
            0.0
        } else if day >= self.full {
            1.0
        } else {
            (day - self.from) / (self.full - self.from)
        }
    }
}

/// What a course does to a channel whose level is not known: the channel's own level is fitted beside it and projected out.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct CourseScore {
    /// The residual along the course.
    pub(super) along: f64,
    /// The information of one unit of the course.
    pub(super) information: f64,
    /// Readings before the course, readings in which at least half of it shows, readings after it.
    pub(super) readings: (usize, usize, usize),
}

/// Running sums over one channel, for any course in few steps.
#[derive(Debug, Clone)]
pub(super) struct RunningSums {
    days: Vec<f64>,
    /// Count, day, day squared, residual, residual times day: of all readings before an index; over the variance.
    sums: Vec<[f64; 5]>,
    /// Information on the channel's level from the computed line.
    level_information: f64,
    zero_day: f64,
}

impl RunningSums {
    /// `residual`: what was read less what is explained so far, in the channel's order.
    pub(super) fn of(channel: &Channel, residual: &[f64], zero_day: f64) -> Self {
        let information = 1.0 / (channel.noise * channel.noise);
        let mut sums = vec![[0.0; 5]];
        let mut days = Vec::new();
        let mut last = [0.0; 5];
        for (value, r) in channel.values.iter().zip(residual) {
            if value.alone {
                continue;
            }
            let t = value.day - zero_day;
            let terms = [1.0, t, t * t, *r, *r * t];
            for (l, term) in last.iter_mut().zip(terms) {
                *l += information * term;
            }
            days.push(value.day);
            sums.push(last);
        }
        let level_information = if channel.unchanged_sd > 0.0 {
            1.0 / (channel.unchanged_sd * channel.unchanged_sd)
        } else {
            1e9 * information
        };
        Self {
            days,
            sums,
            level_information,
            zero_day,
        }
    }

    fn between(&self, from: usize, to: usize) -> [f64; 5] {
        let mut out = [0.0; 5];
        if let (Some(a), Some(b)) = (self.sums.get(from), self.sums.get(to.max(from))) {
            for ((o, a), b) in out.iter_mut().zip(a).zip(b) {
                *o = b - a;
            }
        }
        out
    }

    fn index(&self, day: f64) -> usize {
        self.days.partition_point(|d| *d < day)
    }

    pub(super) fn score(&self, course: &TimeCourse) -> CourseScore {
        let from = self.index(course.from);
        let full = self.index(course.full).max(from);
        let until = self.index(course.until).max(full);
        let half = self.index(0.5 * (course.from + course.full)).max(from);
        let [n, ..] = self.between(from, until);
        if n <= 0.0 {
            return CourseScore::default();
        }
        let [hold_n, _, _, hold_r, _] = self.between(full, until);
        let (mut phi_phi, mut phi, mut phi_r) = (hold_n, hold_n, hold_r);
        if full > from {
            let [n, t, tt, r, rt] = self.between(from, full);
            let begin = course.from - self.zero_day;
            let span = course.full - course.from;
            phi += (t - begin * n) / span;
            phi_phi += (tt - 2.0 * begin * t + begin * begin * n) / (span * span);
            phi_r += (rt - begin * r) / span;
        }
        let [all, _, _, all_r, _] = self.between(0, self.days.len());
        let weight = all + self.level_information;
        CourseScore {
            along: phi_r - phi * all_r / weight,
            information: (phi_phi - phi * phi / weight).max(0.0),
            readings: (from, until.saturating_sub(half), self.days.len() - until),
        }
    }

    /// The level of the channel given its residual: what is left of it over all readings.
    pub(super) fn level(&self) -> f64 {
        let [all, _, _, all_r, _] = self.between(0, self.days.len());
        all_r / (all + self.level_information)
    }
}

/// Rises that are tried, days.
pub(super) const RISES: [f64; 8] = [0.0, 3.0, 7.0, 14.0, 30.0, 60.0, 120.0, 240.0];

/// Most days that a change is sought at; where there are more, every so many.
const MOST_KNOTS: usize = 160;

/// The days at which changes may begin and end: half-way between readings, and never.
pub(super) fn knots(channels: &[Channel]) -> Vec<f64> {
    let mut days: Vec<f64> = channels
        .iter()
        .flat_map(|c| c.values.iter().filter(|v| !v.alone).map(|v| v.day))
        .collect();
    days.sort_by(f64::total_cmp);
    days.dedup_by(|b, a| *b - *a < 0.2);
    let every = days.len().div_ceil(MOST_KNOTS).max(1);
    let mut out: Vec<f64> = days
        .windows(2)
        .step_by(every)
        .filter_map(|w| match w {
            [a, b] => Some(0.5 * (a + b)),
            _ => None,
        })
        .collect();
    out.dedup();
    out
}

/// Every course that is tried, by `seen`: from each onset, to each later end or to the last day, at once, with each rise that is full before the end, and one that grows all the while.
pub(super) fn each_course(knots: &[f64], last_day: f64, mut seen: impl FnMut(TimeCourse)) {
    for (i, &from) in knots.iter().enumerate() {
        let later = knots.get(i + 1..).unwrap_or(&[]).iter().copied();
        for until in later.chain([f64::INFINITY]) {
            let end = until.min(last_day);
            let rises = RISES.iter().map(|r| from + r).take_while(|f| *f < end);
            for full in rises.chain([end]) {
                seen(TimeCourse { from, full, until });
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::channel::{ChannelKind, ChannelValue};
    use super::*;
    use crate::flow::Dial;
    use crate::pipe::RunState;

    /// Annual flow of the Nile at Aswan, 1871 to 1970, 1e8 m3 (G. W. Cobb, The problem of the Nile, Biometrika 65, 1978, table 1; figures from memory, compared with a general-purpose statistics package).
    const NILE: [f64; 100] = [
        1120.0, 1160.0, 963.0, 1210.0, 1160.0, 1160.0, 813.0, 1230.0, 1370.0, 1140.0, 995.0, 935.0,
        1110.0, 994.0, 1020.0, 960.0, 1180.0, 799.0, 958.0, 1140.0, 1100.0, 1210.0, 1150.0, 1250.0,
        1260.0, 1220.0, 1030.0, 1100.0, 774.0, 840.0, 874.0, 694.0, 940.0, 833.0, 701.0, 916.0,
        692.0, 1020.0, 1050.0, 969.0, 831.0, 726.0, 456.0, 824.0, 702.0, 1120.0, 1100.0, 832.0,
        764.0, 821.0, 768.0, 845.0, 864.0, 862.0, 698.0, 845.0, 744.0, 796.0, 1040.0, 759.0, 781.0,
        865.0, 845.0, 944.0, 984.0, 897.0, 822.0, 1010.0, 771.0, 676.0, 649.0, 846.0, 812.0, 742.0,
        801.0, 1040.0, 860.0, 874.0, 848.0, 890.0, 744.0, 749.0, 838.0, 1050.0, 918.0, 986.0,
        797.0, 923.0, 975.0, 815.0, 1020.0, 906.0, 901.0, 1170.0, 912.0, 746.0, 919.0, 718.0,
        714.0, 740.0,
    ];

    /// Published: the mean falls from 1,098 to 850 after 1898.
    #[test]
    fn the_nile_fell_after_1898() {
        let values = NILE
            .iter()
            .zip(1871_i32..)
            .map(|(v, year)| ChannelValue {
                day: f64::from(year),
                value: *v,
                entry: 0,
                alone: false,
            })
            .collect();
        let channel = Channel::plain(
            ChannelKind::Pressure,
            RunState::Shut,
            Dial {
                station_m: 0.0,
                height_m: 0.0,
            },
            (900.0, 1e6),
            125.0,
            values,
        );
        let off: Vec<f64> = NILE.iter().map(|v| v - 900.0).collect();
        let sums = RunningSums::of(&channel, &off, 1871.0);
        let mut best = (0.0, 0.0, 0.0);
        each_course(&knots(std::slice::from_ref(&channel)), 1970.0, |c| {
            if c.until.is_infinite() && c.full - c.from < 0.5 {
                let s = sums.score(&c);
                let ratio = s.along * s.along / (2.0 * s.information);
                if ratio > best.0 {
                    best = (ratio, c.from, s.along / s.information);
                }
            }
        });
        assert_eq!(best.1, 1898.5);
        assert!((best.2 - (849.97 - 1097.75)).abs() < 0.2, "{}", best.2);
        assert!(best.0 > 30.0, "{}", best.0);
    }
}
