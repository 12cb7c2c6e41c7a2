//! Whether running water carries a pocket out: named relations for the critical speed, each with its tested range.

/// A published relation for the speed at which water carries a pocket down a falling pipe.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Relation {
    /// Escarameia (2005), with the pocket's size.
    Escarameia,
    /// Wisner and others (1975), as Sanks gives it: an envelope.
    Wisner,
    /// Kent (1952), refitted by Mosvell.
    Kent,
}

/// One pocket in one case by one relation. Never a promise: a plant runs throttled, at part flow, and restarts.
#[derive(Debug, Clone, PartialEq)]
pub struct Sweep {
    /// Name of the case.
    pub case: String,
    /// The relation.
    pub relation: Relation,
    /// Mean speed of the water, m/s.
    pub speed_m_per_s: f64,
    /// Critical speed, m/s.
    pub critical_m_per_s: f64,
    /// Steepest downward slope behind the crest, rad below the horizontal.
    pub slope_rad: f64,
    /// The slope or bore lies outside what the relation was tested with.
    pub beyond_tests: bool,
    /// The relation or a number in it is known from memory.
    pub from_memory: bool,
}

impl Sweep {
    /// Speed over critical speed: above 1 the relation says that the pocket moves.
    pub fn ratio(&self) -> f64 {
        self.speed_m_per_s / self.critical_m_per_s
    }
}
