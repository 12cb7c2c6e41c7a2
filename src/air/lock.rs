//! The start of a drained line: which crests seal, and how much head the air behind them eats.

/// One crest that seals, as the recursion leaves it.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct CrestState {
    /// Low before it, m.
    pub low_station_m: f64,
    /// Crest, m.
    pub station_m: f64,
    /// Low behind it, which seals its falling leg, m.
    pub next_low_station_m: f64,
    /// Height of the crest, m.
    pub height_m: f64,
    /// Height of the low behind it, m.
    pub next_low_m: f64,
    /// A vent lets the air of its falling leg out.
    pub vented: bool,
    /// Height of the air when the leg seals, m: from the crest down to the low, or to a vent on the leg.
    pub sealed_m: f64,
    /// Height of the air when it is squeezed, m.
    pub squeezed_m: f64,
    /// Volume of the air when the leg seals, m3.
    pub sealed_m3: f64,
    /// Volume when squeezed, m3.
    pub squeezed_m3: f64,
    /// Head needed at this crest, worst case, m (elevation).
    pub needs_worst_m: f64,
    /// Head needed at this crest with the air squeezed, m (elevation).
    pub needs_squeezed_m: f64,
}
