//! Steady spells of a logger: where the pressure holds still, and which state that is.

use super::entry::Entry;
use super::plant::Plant;
use crate::flow::{Dial, PlantChange, respond};
use crate::pipe::RunState;

/// One row of a logger.
#[derive(Debug, Clone, Copy)]
pub(super) struct LoggerRow {
    pub(super) day: f64,
    pub(super) head_m: f64,
    pub(super) line: u32,
}

/// A spell is steady from this long on, days.
const LEAST_DAYS: f64 = 10.0 / 1440.0;
/// Rows further apart than this do not belong to one spell, days.
const GAP_DAYS: f64 = 0.1;
/// Half the band that a steady pressure stays in, as a share of the static pressure, and at least, m.
const BAND: f64 = 0.012;
const LEAST_BAND_M: f64 = 0.3;

/// The steady spells of a log, one entry for each state and day: the mean of its spells, weighted by their length.
pub(super) fn spells(plant: &Plant<'_>, dial: Dial, samples: &[LoggerRow]) -> Vec<Entry> {
    let band_m = (BAND * plant.static_m()).max(LEAST_BAND_M);
    let mut states: Vec<(RunState, f64)> = plant
        .wishes()
        .iter()
        .filter_map(|w| {
            let r = respond(plant.line, w, dial, &PlantChange::default()).ok()?;
            Some((w.state.clone(), r.gauge_m))
        })
        .collect();
    let mut days: Vec<StateDay> = Vec::new();
    let mut spell = Spell::default();
    for sample in samples {
        if !spell.takes(sample, band_m) {
            spell.close(&mut days, &mut states, band_m);
            spell = Spell::default();
        }
        spell.add(sample);
    }
    spell.close(&mut days, &mut states, band_m);
    days.iter()
        .map(|d| Entry {
            day: d.at / d.weight,
            state: d.state.clone(),
            dial,
            head_m: Some(d.head_m / d.weight),
            flow_m3_per_s: None,
            power_w: None,
            stream_level_m: None,
            fed_m3_per_s: None,
            gauge: String::new(),
            remark: String::new(),
            line: d.line,
        })
        .collect()
}

/// Sums of one state on one day.
struct StateDay {
    day: f64,
    state: RunState,
    weight: f64,
    at: f64,
    head_m: f64,
    line: u32,
}

#[derive(Default)]
struct Spell {
    count: f64,
    sum_m: f64,
    first: Option<LoggerRow>,
    last_day: f64,
}

impl Spell {
    fn takes(&self, sample: &LoggerRow, band_m: f64) -> bool {
        self.count == 0.0
            || (sample.day - self.last_day <= GAP_DAYS
                && (sample.head_m - self.sum_m / self.count).abs() <= band_m)
    }

    fn add(&mut self, sample: &LoggerRow) {
        self.first.get_or_insert(*sample);
        self.count += 1.0;
        self.sum_m += sample.head_m;
        self.last_day = sample.day;
    }

    /// Puts a spell that is long enough to its day and state. The state is the one whose pressure, as last read, lies nearest; a spell as near to two is left out.
    fn close(&self, days: &mut Vec<StateDay>, states: &mut [(RunState, f64)], band_m: f64) {
        let Some(first) = self.first else { return };
        let long = self.last_day - first.day;
        if long < LEAST_DAYS || self.count < 3.0 {
            return;
        }
        let head_m = self.sum_m / self.count;
        let mut near: Vec<(f64, usize)> = states
            .iter()
            .enumerate()
            .map(|(i, (_, m))| ((head_m - m).abs(), i))
            .collect();
        near.sort_by(|a, b| a.0.total_cmp(&b.0));
        let Some(&(off, at)) = near.first() else {
            return;
        };
        let told = near
            .get(1)
            .is_none_or(|(next, _)| off < 0.35 * (next + off));
        let Some((state, level)) = states.get_mut(at).filter(|_| told) else {
            return;
        };
        // pressures drift with the seasons: the next spell is held against this one
        *level += 0.5 * (head_m - *level).clamp(-band_m, band_m);
        let day = first.day.floor();
        let same = days
            .iter_mut()
            .rev()
            .take(8)
            .find(|d| d.day == day && d.state == *state);
        let middle = 0.5 * (first.day + self.last_day);
        match same {
            Some(d) => {
                d.weight += self.count;
                d.at += self.count * middle;
                d.head_m += self.sum_m;
            }
            None => days.push(StateDay {
                day,
                state: state.clone(),
                weight: self.count,
                at: self.count * middle,
                head_m: self.sum_m,
                line: first.line,
            }),
        }
    }
}
