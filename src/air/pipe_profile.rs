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
