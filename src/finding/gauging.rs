use crate::pipe::RunState;

/// What was found of the stream as it was measured.
#[derive(Debug, Clone, PartialEq)]
pub enum Gauging {
    /// On some measured day the largest state would have taken more than may be taken.
    Short {
        /// The state.
        case: RunState,
        /// The day of the least flow, as it was written.
        date: String,
        /// What was measured that day, m3/s.
        flow_m3_per_s: f64,
        /// Its standard deviation, m3/s.
        flow_sd_m3_per_s: f64,
        /// What the state and the stream need together, m3/s.
        wanted_m3_per_s: f64,
        /// What the state would leave in the stream that day, m3/s.
        left_m3_per_s: f64,
        /// Days with too little.
        short_days: usize,
        /// Days that were measured.
        days: usize,
        /// The largest state that this day surely feeds.
        feeds: Option<RunState>,
    },
    /// No measured day is surely too low, but one may be.
    Doubtful {
        /// The state.
        case: RunState,
        /// The day.
        date: String,
        /// What was measured that day, m3/s.
        flow_m3_per_s: f64,
        /// Its standard deviation, m3/s.
        flow_sd_m3_per_s: f64,
        /// What the state and the stream need together, m3/s.
        wanted_m3_per_s: f64,
        /// How likely there is enough, 0 to 1.
        probability: f64,
    },
    /// The flow that was given is more than what was measured.
    Over {
        /// Given, m3/s.
        given_m3_per_s: f64,
        /// The month it is given for, 1 to 12; `None`: for the whole year.
        month: Option<usize>,
        /// The largest that was measured, m3/s.
        flow_m3_per_s: f64,
        /// Its standard deviation, m3/s.
        flow_sd_m3_per_s: f64,
        /// The day.
        date: String,
    },
}
