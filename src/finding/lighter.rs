//! Lighter pipe that would do.

/// The class of a reach is heavier than it need be, or could be.
#[derive(Debug, Clone, PartialEq)]
pub struct Lighter {
    /// The pipe's words.
    pub spec: String,
    /// The lightest that would do.
    pub lightest: String,
    /// A full vacuum would press it flat, and not what is declared.
    pub needs_air: bool,
}

/// Classes by zones that would do, carried back through flow and surge.
#[derive(Debug, Clone, PartialEq)]
pub struct LighterZones {
    /// From, m, to, m, and the pipe's words.
    pub list: Vec<(f64, f64, String)>,
    /// Mass saved, kg; below zero: they weigh more, because what is declared is too weak.
    pub saved_kg: f64,
    /// A full vacuum would press one of them flat, and not what is declared.
    pub needs_air: bool,
    /// Largest share in use with them, at two standard deviations.
    pub use_high: Option<f64>,
    /// Net head of the state with the largest flow as declared and with them, m.
    pub net_head_m: Option<(f64, f64)>,
}
