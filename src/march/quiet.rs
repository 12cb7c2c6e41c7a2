//! When a march may end: once no station goes beyond what it has been through, and has not for long enough.

use super::kernel::NodeRow;

/// Waves that are followed at the least after the movement has ended.
const LEAST_WAVES: f64 = 4.0;

/// How many times the time to the last new extreme is waited besides: where pipes of several wave speeds follow one another, the waves fall in with each other late, and the later the last time, the longer they may take to do so again.
const TIMES: f64 = 1.5;

/// An extreme that goes beyond what was by this share of the largest swing is a new one.
const NEW_SHARE: f64 = 0.002;

/// Where every station swings by less than this share of what it has swung, the waves have died down: what is lost does not come back.
const CALM_SHARE: f64 = 0.4;

/// Waves that are followed after the last new extreme where a coarser march has shown, by the rule above, that none comes later.
const SCOUTED_WAVES: usize = 2;

/// Waves that are followed at the most.
const MOST_WAVES: usize = 240;

/// What the heads have been through, wave by wave. Between two waves the rows keep the extremes of that wave alone.
pub(crate) struct Quiet {
    rows: Vec<Past>,
    waves: usize,
    last_new: usize,
    scouted: Option<usize>,
}

struct Past {
    max: Vec<f64>,
    min: Vec<f64>,
    /// What was held against last: a slow growth counts once it adds up.
    told_max: Vec<f64>,
    told_min: Vec<f64>,
    /// The wave before.
    before_max: Vec<f64>,
    before_min: Vec<f64>,
}

impl Quiet {
    /// From the end of the movement on. `scouted`: the wave of the last new extreme in a coarser march.
    pub(crate) fn from<'a>(
        rows: impl IntoIterator<Item = &'a mut NodeRow>,
        scouted: Option<usize>,
    ) -> Self {
        let past = |row: &mut NodeRow| {
            let (max, min) = row.renewed();
            Past {
                told_max: max.clone(),
                told_min: min.clone(),
                before_max: max.clone(),
                before_min: min.clone(),
                max,
                min,
            }
        };
        Self {
            rows: rows.into_iter().map(past).collect(),
            waves: 0,
            last_new: 0,
            scouted,
        }
    }

    /// One wave more, to the intake and back; whether the march may end.
    pub(crate) fn wave<'a>(&mut self, rows: impl IntoIterator<Item = &'a mut NodeRow>) -> bool {
        self.waves += 1;
        let (mut swing, mut grown) = (0.0_f64, 0.0_f64);
        let mut waves = Vec::with_capacity(self.rows.len());
        for (past, row) in self.rows.iter_mut().zip(rows) {
            let (max, min) = row.renewed();
            widen(&mut past.max, &max, f64::max);
            widen(&mut past.min, &min, f64::min);
            swing = swing.max(largest_between(&past.max, &past.min));
            grown = grown
                .max(largest_between(&past.max, &past.told_max))
                .max(largest_between(&past.told_min, &past.min));
            waves.push((max, min));
        }
        if grown > (NEW_SHARE * swing).max(1e-6) {
            self.last_new = self.waves;
            for past in &mut self.rows {
                past.told_max.clone_from(&past.max);
                past.told_min.clone_from(&past.min);
            }
        }
        let mut calm = true;
        for (past, (max, min)) in self.rows.iter_mut().zip(waves) {
            calm &= past.is_calm(&max, &min, 0.1 * swing);
            past.before_max = max;
            past.before_min = min;
        }
        if let Some(scouted) = self.scouted {
            return self.waves >= self.last_new.max(scouted) + SCOUTED_WAVES;
        }
        let (waves, last_new) = (self.waves as f64, self.last_new as f64);
        waves >= LEAST_WAVES + TIMES * last_new
            || (calm && waves >= LEAST_WAVES + last_new)
            || self.waves >= MOST_WAVES
    }

    /// The wave of the last new extreme.
    pub(crate) fn last_new(&self) -> usize {
        self.last_new
    }

    /// Waves since the movement has ended.
    pub(crate) fn waves(&self) -> usize {
        self.waves
    }

    /// Highest and lowest head so far at a node of a row.
    pub(crate) fn so_far(&self, row: usize, node: usize) -> (f64, f64) {
        let at = |of: fn(&Past) -> &Vec<f64>| self.at(row, node, of);
        (at(|p| &p.max), at(|p| &p.min))
    }

    fn at(&self, row: usize, node: usize, of: fn(&Past) -> &Vec<f64>) -> f64 {
        let past = self.rows.get(row).map(of);
        past.and_then(|heads| heads.get(node))
            .copied()
            .unwrap_or(0.0)
    }

    /// Gives the rows back all that they have been through.
    pub(crate) fn close<'a>(self, rows: impl IntoIterator<Item = &'a mut NodeRow>) {
        for (past, row) in self.rows.into_iter().zip(rows) {
            widen(&mut row.max, &past.max, f64::max);
            widen(&mut row.min, &past.min, f64::min);
        }
    }
}

impl Past {
    /// Whether no node swung much in this wave and the one before; what hardly ever swung does not count.
    fn is_calm(&self, max: &[f64], min: &[f64], least: f64) -> bool {
        let had = self.max.iter().zip(&self.min).map(|(a, b)| a - b);
        let high = max.iter().zip(&self.before_max).map(|(a, b)| a.max(*b));
        let low = min.iter().zip(&self.before_min).map(|(a, b)| a.min(*b));
        had.zip(high.zip(low))
            .all(|(had, (high, low))| high - low <= (CALM_SHARE * had).max(least * CALM_SHARE))
    }
}

fn widen(kept: &mut [f64], new: &[f64], pick: impl Fn(f64, f64) -> f64) {
    for (k, n) in kept.iter_mut().zip(new) {
        *k = pick(*k, *n);
    }
}

fn largest_between(upper: &[f64], lower: &[f64]) -> f64 {
    let each = upper.iter().zip(lower).map(|(a, b)| a - b);
    each.fold(0.0, f64::max)
}
