//! The pipe that a start runs on.

/// The pipe's centre on stations, with its bore: what the recursion runs on.
#[derive(Debug, Clone, Copy)]
pub struct PipeProfile<'a> {
    /// Stations, m, rising.
    pub station_m: &'a [f64],
    /// Height of the pipe's centre at each, m.
    pub height_m: &'a [f64],
    /// Bore from each station to the next, m; the last one's is not used.
    pub bore_m: &'a [f64],
}

/// A place where air can leave while the line fills.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Opening {
    /// A vent at a station, m.
    At(f64),
    /// A vent that the crew sets on the highest place it finds between two stations, m.
    OnTopOf(f64, f64),
}
