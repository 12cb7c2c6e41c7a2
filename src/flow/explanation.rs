//! What would make gauges differ, as data.

crate::text::words! {
    /// Something that would make gauges differ.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum GaugeCause {
        /// The drop is not what was surveyed, or the water stands at another level.
        Drop = "drop or water level",
        /// The gauge shows too much or too little, at every reading alike.
        Gauge = "gauge",
        /// Air stands in falling legs below climbs.
        StandingAir = "standing air",
        /// The walls are rougher, or the bore smaller.
        Friction = "rougher or narrower pipe",
        /// Something stands in the way above the gauge: a screen, a valve not fully open, silt.
        Obstruction = "something in the way",
        /// The jets pass another flow than computed: worn, blocked or of another size.
        JetFlow = "jets pass another flow",
    }
}

/// A falling leg in which air may stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirLeg {
    /// The crest it hangs from, m.
    pub crest_m: f64,
    /// Head that it takes as filling leaves it, squeezed, m.
    pub filled_m: f64,
    /// Head that it takes with the whole fall of the leg full, m: only if more air came in later.
    pub full_m: f64,
}

/// A cause with the size it would need.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Explanation {
    /// The cause.
    pub cause: GaugeCause,
    /// Head it would have to take at the reading where it counts most, m: positive takes pressure away.
    pub head_m: f64,
    /// Standard deviation of that, m.
    pub sd_m: f64,
    /// How well it fits all readings together: 1 without a rest, 0.61 where each is off by its own doubt, 0 far off.
    pub fit: f64,
    /// Causes of one number look alike in these readings and cannot be told apart.
    #[serde(skip)]
    pub alike: usize,
    /// For air: the crests it may stand at, m.
    pub crests_m: Vec<f64>,
    /// For air: more than filling leaves, so that some of it must have come in later.
    #[serde(skip)]
    pub came_later: bool,
}

/// One reading against the line.
#[derive(Debug, Clone, PartialEq)]
pub struct GaugeReading {
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
