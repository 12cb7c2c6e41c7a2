//! What the air is judged with.

/// What is asked for, and what later rooms know.
#[derive(Debug, Clone, PartialEq)]
pub struct AirInputs {
    /// Margin that vents are to give the start, m; the survey's doubt is added.
    pub margin_m: f64,
    /// Height of a standpipe's top above the highest water in it, m.
    pub freeboard_m: f64,
    /// Highest rise above the standing level in any movement, m, on the stations of the line's grid; empty where no movement was worked out.
    pub surge_rise_m: Vec<f64>,
    /// Where the pipe would be pressed flat as it empties, were there no vent: stations, m, each of which gets one.
    pub to_live_m: Vec<f64>,
    /// Test pressure at the lower end, Pa, where one is set; else it follows from what the pipe may take.
    pub test_pa: Option<f64>,
    /// Shortest time in which the lower end may be shut, s, where a movement was worked out.
    pub shut_s: Option<f64>,
    /// The same for opening it, s.
    pub open_s: Option<f64>,
}

impl Default for AirInputs {
    /// 1 m of margin and 0.3 m of freeboard (common practice, no source); no surge known.
    fn default() -> Self {
        Self {
            margin_m: 1.0,
            freeboard_m: 0.3,
            surge_rise_m: Vec::new(),
            to_live_m: Vec::new(),
            test_pa: None,
            shut_s: None,
            open_s: None,
        }
    }
}
