//! The trench of a buried reach: shared by what the user declares and by what physics sees.

/// Water that stands round a buried pipe.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Wet {
    /// Ground water or rain fills the trench, or stands in the ground up to its top.
    Trench,
    /// The pipe lies under the bed of a stream.
    Stream,
}

/// What was said of the trench of a buried reach.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Trench {
    /// Water in it, where said.
    pub wet: Option<Wet>,
    /// Depth of the bed that a flood moves over the pipe, m, where said.
    pub scour_m: Option<f64>,
}
