//! Fixes of a few seconds taken together.

use super::clean::{PlaneFix, Track, span};

/// Length of a block, s.
pub(crate) const BLOCK_S: f64 = 3.0;

/// Walking speed that stands in for a clock where the file has none, m/s.
const SPEED_M_PER_S: f64 = 0.8;

/// Some fixes of one walk, about three seconds, in the plane.
#[derive(Debug, Clone, Copy)]
pub(crate) struct FixBlock {
    pub(crate) at: [f64; 2],
    /// Mean height, m; not a number where no fix has one.
    pub(crate) height_m: f64,
    /// Fixes with a height.
    pub(crate) heights: f64,
    /// Standard deviation of what rounding took from its height, m.
    pub(crate) rounded_sd_m: f64,
    /// All fixes.
    pub(crate) fixes: f64,
    /// Time, s; where the walk has no clock, the way walked at a usual speed.
    pub(crate) clock_s: f64,
    pub(crate) dilution: f64,
    pub(crate) line: u32,
    /// Nothing was recorded before this block.
    pub(crate) gap: bool,
    /// Something that was recorded in or before it was left out as a spike.
    pub(crate) left_out: bool,
}

/// Cuts a walk into blocks.
pub(super) fn blocks(track: &Track) -> Vec<FixBlock> {
    let mut out: Vec<FixBlock> = Vec::with_capacity(track.fixes.len() / 3 + 1);
    let mut sum = Sum::default();
    let mut way_m = 0.0;
    let mut last: Option<[f64; 2]> = None;
    for fix in &track.fixes {
        way_m += last.map_or(0.0, |l| span(l, fix.at));
        last = Some(fix.at);
        let clock_s = if track.has_clock {
            fix.clock_s
        } else {
            way_m / SPEED_M_PER_S
        };
        if sum.fixes > 0.0 && (fix.gap || clock_s - sum.began_s >= BLOCK_S) {
            out.push(sum.block());
            sum = Sum::default();
        }
        sum.add(fix, clock_s);
    }
    if sum.fixes > 0.0 {
        out.push(sum.block());
    }
    if let Some(step_m) = rounding(track) {
        round(&mut out, step_m);
    }
    out
}

/// Steps in which a receiver may write its heights, m: finer ones are less than its white error.
const STEPS_M: [f64; 2] = [1.0, 0.5];
/// Fewer heights show no step.
const LEAST_HEIGHTS: usize = 12;
/// Share of the heights that are whole steps: the ends that are put in between two fixes are not.
const WHOLE: f64 = 0.9;

/// The step in which a walk's heights are written, m, where it is a coarse one.
fn rounding(track: &Track) -> Option<f64> {
    let heights = || track.fixes.iter().map(|f| f.height_m);
    let all = heights().filter(|h| h.is_finite()).count();
    let whole = |step_m: f64| {
        let on_step = |h: &f64| (h / step_m - (h / step_m).round()).abs() < 1e-6;
        heights().filter(on_step).count() as f64 >= WHOLE * all as f64
    };
    STEPS_M
        .into_iter()
        .find(|&step_m| all >= LEAST_HEIGHTS && whole(step_m))
}

/// What is lost by rounding lies evenly within a step. It is the same as long as the height stands: blocks of one height count as one together.
fn round(blocks: &mut [FixBlock], step_m: f64) {
    for run in blocks.chunk_by_mut(|a, b| (a.height_m - b.height_m).abs() < 1e-6) {
        let sd_m = step_m * (run.len() as f64 / 12.0).sqrt();
        run.iter_mut().for_each(|b| b.rounded_sd_m = sd_m);
    }
}

#[derive(Default)]
struct Sum {
    fixes: f64,
    heights: f64,
    dilutions: f64,
    at: [f64; 2],
    height_m: f64,
    clock_s: f64,
    dilution: f64,
    began_s: f64,
    line: u32,
    gap: bool,
    left_out: bool,
}

impl Sum {
    fn add(&mut self, fix: &PlaneFix, clock_s: f64) {
        if self.fixes == 0.0 {
            self.began_s = clock_s;
            self.line = fix.line;
            self.gap = fix.gap;
        }
        self.fixes += 1.0;
        self.left_out |= fix.left_out;
        self.at = [self.at[0] + fix.at[0], self.at[1] + fix.at[1]];
        self.clock_s += clock_s - self.began_s;
        if fix.height_m.is_finite() {
            self.heights += 1.0;
            self.height_m += fix.height_m;
        }
        if fix.dilution.is_finite() {
            self.dilutions += 1.0;
            self.dilution += f64::from(fix.dilution);
        }
    }

    /// Means; 0 over 0 is what is not known.
    fn block(&self) -> FixBlock {
        FixBlock {
            at: self.at.map(|v| v / self.fixes),
            height_m: self.height_m / self.heights,
            heights: self.heights,
            rounded_sd_m: 0.0,
            fixes: self.fixes,
            clock_s: self.began_s + self.clock_s / self.fixes,
            dilution: self.dilution / self.dilutions,
            line: self.line,
            gap: self.gap,
            left_out: self.left_out,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::clean::Cleaned;
    use super::*;

    fn track(heights_m: &[f64]) -> Track {
        let fix = |(i, &height_m): (usize, &f64)| PlaneFix {
            at: [i as f64, 0.0],
            height_m,
            clock_s: 3.0 * i as f64,
            dilution: f32::NAN,
            line: 1,
            gap: false,
            left_out: false,
        };
        Track {
            fixes: heights_m.iter().enumerate().map(fix).collect(),
            has_clock: true,
            cleaned: Cleaned::default(),
        }
    }

    /// A step of 1 m has the standard deviation of an even law over a metre, 1/sqrt(12); what stands three blocks long is one reading.
    #[test]
    fn whole_metres_are_read_as_such() {
        let whole: Vec<f64> = (0..10).map(|i| 400.0 - f64::from(i)).collect();
        let stands = [whole.as_slice(), &[390.0, 390.0, 390.0]].concat();
        let sds = |heights: &[f64]| -> Vec<f64> {
            let blocks = blocks(&track(heights));
            blocks.iter().map(|b| b.rounded_sd_m).collect()
        };
        let of = sds(&stands);
        assert!((of[0] - 1.0 / 12f64.sqrt()).abs() < 1e-12);
        assert!(of[10..].iter().all(|sd| (sd - 0.5).abs() < 1e-12), "{of:?}");
        // One end that was put in between two fixes changes nothing; half metres are half as coarse.
        let ends = [&[400.4], stands.as_slice()].concat();
        assert!((sds(&ends)[1] - of[0]).abs() < 1e-12);
        let half: Vec<f64> = stands.iter().map(|h| 0.5 * h).collect();
        assert!((sds(&half)[0] - 0.5 * of[0]).abs() < 1e-12);
        // Fine heights, and too few to tell.
        let fine: Vec<f64> = stands.iter().map(|h| h + 0.1 * (h % 7.0)).collect();
        assert!(sds(&fine).iter().chain(&sds(&whole)).all(|sd| *sd == 0.0));
    }
}
