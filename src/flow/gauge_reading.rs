//! One reading of a gauge held against the line.

/// One reading against the line.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Index into the line's gauges.
    pub gauge: usize,
    /// Nothing flows.
    pub shut: bool,
    /// What the gauge should show, Pa.
    pub expected_pa: f64,
    /// Measured less expected, m of water.
    pub off_m: f64,
    /// Standard deviation of that: gauge, flow, survey and the line's own doubt, m.
    pub off_sd_m: f64,
    /// The same without the survey: what a cause must explain, m.
    pub noise_sd_m: f64,
    /// Within twice the doubt.
    pub agrees: bool,
    /// Head lost from still water to the gauge as the reading has it, m.
    pub loss_m: f64,
    /// The same as computed, m.
    pub loss_expected_m: f64,
    /// Flow at the gauge, measured where it was, else computed, m3/s.
    pub flow_m3_per_s: f64,
    /// The flow was measured.
    pub flow_measured: bool,
    /// Flow as computed for the state, m3/s: beside a measured one it tells of worn, blocked or other jets.
    pub flow_expected_m3_per_s: f64,
}

/// Why a reading cannot be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unused {
    /// No such state.
    NoSuchState,
    /// The state could not be worked out.
    NotRun,
    /// The line does not run full in that state: a gauge then shows where the column stands, not a loss.
    NotFull,
}
