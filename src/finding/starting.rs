/// The start of the drained line, where it is not sure.
#[derive(Debug, Clone, PartialEq)]
pub struct Starting {
    /// Head to spare on the mean line with every falling leg full of air, m; below zero it is lacking.
    pub margin_m: f64,
    /// The same with the air squeezed, m.
    pub margin_compressed_m: f64,
    /// Share of the equally likely lines that start with every falling leg full of air.
    pub probability_starts: f64,
    /// Share that starts with the air squeezed.
    pub probability_compressed: f64,
    /// Crests to vent, m.
    pub vents_m: Vec<f64>,
    /// These vents reach what is asked for.
    pub vents_enough: bool,
    /// Reaches to level, from and to, m.
    pub level_m: Vec<(f64, f64)>,
    /// Set-ups of a level that this takes.
    pub setups: usize,
    /// Only with nobody there to open hand cocks.
    pub unattended_only: bool,
}

impl Starting {
    /// By the mean heights it starts with every leg full of air: only their doubt speaks against it.
    pub fn in_doubt_only(&self) -> bool {
        self.margin_m > 0.0
    }
}
