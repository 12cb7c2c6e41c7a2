//! Measuring the stream: a bucket, a float, salt, a thin-plate weir; each sheet to a flow with its doubt, day by day. Basis page: gauging.

pub mod bucket;
pub mod float;
mod group;
pub mod salt;
mod sheet;
pub mod weir;

pub use sheet::{read, read_text};

crate::text::words! {
    /// How the stream was measured.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum GaugingMethod {
        /// The time that a vessel takes to fill.
        Bucket = "bucket",
        /// A float over a measured distance, and soundings across the stream.
        Float = "float",
        /// Salt poured in above, conductivity below.
        Salt = "salt dilution",
        /// Head over a V-notch.
        VNotch = "V-notch weir",
        /// Head over a rectangular notch.
        Notch = "rectangular weir",
    }
}

/// What was measured on one day by one method.
#[derive(Debug, Clone, PartialEq)]
pub struct Gauged {
    /// The file, as the user named it.
    pub file: String,
    /// The day as it was written.
    pub date: String,
    /// The same, days since the start of 1970.
    pub day: f64,
    /// How.
    pub method: GaugingMethod,
    /// Flow, m3/s.
    pub flow_m3_per_s: f64,
    /// Its standard deviation, m3/s.
    pub sd_m3_per_s: f64,
    /// How many readings stand behind it: fillings, floats, heads, or conductivities.
    pub readings: usize,
    /// What makes it less sure than it could be.
    pub notes: Vec<Note>,
}

crate::text::words! {
    /// What makes a measurement less sure than it could be: its doubt counts it.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum Note {
        /// One reading alone.
        OneReading = "one reading only",
        /// A bucket that filled in less than five seconds.
        FastFilling = "filled in less than 5 s",
        /// A float run of less than 20 s.
        ShortRun = "float run shorter than 20 s",
        /// Shallower than the published factors of floats go.
        Shallow = "shallower than the table of float factors",
        /// No calibration of the conductivity: the factor of the literature.
        NoCalibration = "conductivity not calibrated",
        /// The conductivity does not come back to where it began.
        Drift = "conductivity did not return to its start",
        CoarseWave = "fewer than ten readings of the salt wave",
        /// The head is outside what the weir's formula was measured for.
        WeirOutside = "outside the range of the weir formula",
        /// Channel and crest are not given: the weir is taken as fully contracted.
        WeirUnbounded = "channel width or notch height not given",
    }
}

impl Gauged {
    /// The month of its day, 1 to 12, as it was written.
    pub fn month(&self) -> Option<usize> {
        let month = self.date.split(['-', '/', '.']).nth(1)?;
        month.parse().ok().filter(|m| (1..=12).contains(m))
    }

    /// How likely the stream carried at least a flow that day, 0 to 1.
    pub fn probability_of(&self, flow_m3_per_s: f64) -> f64 {
        if self.sd_m3_per_s <= 0.0 {
            return f64::from(u8::from(self.flow_m3_per_s >= flow_m3_per_s));
        }
        crate::numeric::math::normal_cdf((self.flow_m3_per_s - flow_m3_per_s) / self.sd_m3_per_s)
    }
}

/// Mean of some figures and the standard deviation of that mean; `None` for its doubt where there is but one.
fn mean(of: &[f64]) -> Option<(f64, Option<f64>)> {
    let count = count(of.len());
    if of.is_empty() {
        return None;
    }
    let mean = of.iter().sum::<f64>() / count;
    let sd = (of.len() > 1).then(|| {
        let off = of.iter().map(|x| (x - mean) * (x - mean)).sum::<f64>();
        (off / (count - 1.0) / count).sqrt()
    });
    Some((mean, sd))
}

/// A count as a figure.
fn count(of: usize) -> f64 {
    (0..of).fold(0.0, |sum, _| sum + 1.0)
}
