/// What makes the largest or least pressure at a place.
#[derive(Debug, Clone, PartialEq)]
pub enum PressureCause {
    /// Standing water.
    Standing,
    /// Standing water in a pipe that the sun has heated.
    StandingInSun,
    /// A running case, by its name.
    Running(String),
    /// A movement, by its name.
    Surge(String),
    /// The pressure test.
    Test,
    /// Filling, the last water stopped at once.
    Filling,
    /// Emptied, in the way named: a valve shut above, the intake blocked, or run dry.
    Emptied(String),
}
