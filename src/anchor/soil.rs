//! What ground may take, by named table: the tables differ by two to four times.

/// A table of presumptive bearing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Table {
    /// International Building Code 2012, table 1806.2: vertical, lateral by depth, friction.
    BuildingCode,
    /// Thrust-block table as pipe makers print it.
    PipeTrade,
    /// Thrust-block sheet of a university course (CET-2030).
    Course,
}

/// What the ground at a place may take.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ground {
    /// Table that rules.
    pub table: Table,
    /// Allowed pressure sideways, Pa: the lowest of the tables at this cover.
    pub sideways_pa: f64,
    /// Allowed pressure downward, Pa.
    pub downward_pa: f64,
    /// Highest of the tables sideways, Pa: how far they differ.
    pub sideways_high_pa: f64,
    /// Friction of concrete on it.
    pub friction: f64,
    /// Cover that the sideways value was taken at, m.
    pub cover_m: f64,
    /// A figure is not verified against its document.
    pub from_memory: bool,
}
