//! Kinds of machine, and what they do to the flow when their load is gone: shared by what the user declares and by what physics sees.

crate::text::words! {
    /// What the water drives.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Machine {
        /// A wheel struck by free jets: its speed does not touch the flow.
        Jets = "jets",
        /// Not said.
        Other = "other",
        /// A Francis turbine.
        Francis = "francis",
        /// A crossflow turbine.
        Crossflow = "crossflow",
        /// A propeller with fixed blades.
        Propeller = "propeller",
        /// A centrifugal pump run backwards.
        Pump = "pump as turbine",
    }
}

impl Machine {
    /// Least and largest flow at runaway over the flow before, at the same head and opening; `None` for jets and where the kind is not said.
    ///
    /// A radial runner that spins faster throws the water back and chokes the flow, an axial one lets more through. Source: the trade's handbooks and charts of unit flow against unit speed (US Bureau of Reclamation, Engineering Monograph 20 (1976); Chapallaz, Eichenberger and Fischer (1992) for pumps), from memory. The range holds slow and fast runners: the maker's chart decides.
    pub fn runaway_flow(self) -> Option<(f64, f64)> {
        match self {
            Self::Jets | Self::Other => None,
            Self::Francis => Some((0.5, 1.0)),
            Self::Crossflow => Some((0.8, 1.0)),
            Self::Propeller => Some((1.0, 1.5)),
            Self::Pump => Some((0.5, 0.9)),
        }
    }

    /// Runaway speed over the running speed, from and to (European Small Hydropower Association, guide of 2004, and the same handbooks, from memory).
    pub fn runaway_speed(self) -> Option<(f64, f64)> {
        match self {
            Self::Jets => Some((1.8, 2.0)),
            Self::Other => None,
            Self::Francis => Some((1.6, 2.2)),
            Self::Crossflow => Some((1.8, 2.0)),
            Self::Propeller => Some((2.0, 2.8)),
            Self::Pump => Some((1.3, 1.8)),
        }
    }
}
