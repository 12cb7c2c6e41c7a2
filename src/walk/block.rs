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
    out
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
            fixes: self.fixes,
            clock_s: self.began_s + self.clock_s / self.fixes,
            dilution: self.dilution / self.dilutions,
            line: self.line,
            gap: self.gap,
            left_out: self.left_out,
        }
    }
}
