//! What is set on a pipe.

/// What a mark on the line is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum MarkKind {
    /// Lets air out, in, or both.
    Vent,
    /// Lets water and silt out at a low.
    Drain,
    /// Holds the pipe along the slope.
    Anchor,
    /// Takes thrust.
    Block,
    /// Holds the pipe down.
    Strap,
    /// Carries the pipe.
    Support,
    /// Guides the pipe sideways, lets it slide.
    Guide,
    /// Relief valve.
    Relief,
    /// A joint between pieces (results only).
    Joint,
    /// An elbow (results only).
    Elbow,
    /// A change of bore (results only).
    Reducer,
    /// A stake to set a height by (results only).
    Stake,
    /// A loop of slack for heat and cold.
    Loop,
    /// Lets steel grow and shrink between two places that hold it.
    ExpansionJoint,
}

impl MarkKind {
    /// The word that programs know it by.
    pub fn word(self) -> &'static str {
        match self {
            Self::Vent => "vent",
            Self::Drain => "drain",
            Self::Anchor => "anchor",
            Self::Block => "block",
            Self::Strap => "strap",
            Self::Support => "support",
            Self::Guide => "guide",
            Self::Relief => "relief",
            Self::Joint => "joint",
            Self::Elbow => "elbow",
            Self::Reducer => "reducer",
            Self::Stake => "stake",
            Self::Loop => "loop",
            Self::ExpansionJoint => "expansion joint",
        }
    }
}

crate::text::by_word!(MarkKind);
