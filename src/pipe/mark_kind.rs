//! What is set on a pipe.

crate::text::words! {
    /// What a mark on the line is.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum MarkKind {
        /// Lets air out, in, or both.
        Vent = "vent",
        /// Lets water and silt out at a low.
        Drain = "drain",
        /// Holds the pipe along the slope.
        Anchor = "anchor",
        /// Takes thrust.
        Block = "block",
        /// Holds the pipe down.
        Strap = "strap",
        /// Carries the pipe.
        Support = "support",
        /// Guides the pipe sideways, lets it slide.
        Guide = "guide",
        /// Relief valve.
        Relief = "relief",
        /// A joint between pieces (results only).
        Joint = "joint",
        /// An elbow (results only).
        Elbow = "elbow",
        /// A change of bore (results only).
        Reducer = "reducer",
        /// A stake to set a height by (results only).
        Stake = "stake",
        /// A loop of slack for heat and cold.
        Loop = "loop",
        /// Lets steel grow and shrink between two places that hold it.
        ExpansionJoint = "expansion joint",
    }
}
