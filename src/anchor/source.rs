//! What pushes on a pipe, and which way.

/// What pushes.
#[derive(Debug, Clone, PartialEq)]
pub enum ThrustSource {
    /// A bend of the route.
    Bend,
    /// A piece of a curve that neither ground nor joints hold.
    Curve,
    /// A joint beside a curve: it carries no pull, and the pipe pulls at it.
    Joint,
    /// An elbow or mitre, by its name.
    Elbow(String),
    /// The turbine end, shut.
    End,
    /// A valve on the line, shut, by its name.
    Valve(String),
    /// A change of bore.
    Reducer,
    /// The branch of a tee, by its name.
    Tee(String),
}

impl ThrustSource {
    /// The word that programs know it by.
    pub fn word(&self) -> &str {
        match self {
            Self::Bend => "bend",
            Self::Curve => "curve",
            Self::Joint => "joint",
            Self::Elbow(name) | Self::Valve(name) | Self::Tee(name) => name,
            Self::End => "end",
            Self::Reducer => "change of bore",
        }
    }
}

crate::text::by_word!(ThrustSource);

crate::text::words! {
    /// How the direction of a thrust is known.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Sense {
        /// From the route: `force` is it.
        Route = "from the route",
        /// Outward from the turn of an elbow that the route does not show: as it is laid. Level, as far as it is known.
        Outward = "outward from the turn, as laid",
        /// Outward from the turn of an elbow laid in the profile: up or down, as it is laid.
        OutwardInProfile = "up or down, outward from the turn, as laid",
        /// Along the branch of a tee, away from the branch: as it is laid.
        AwayFromBranch = "away from the branch, as laid",
    }
}

impl ThrustSource {
    /// Whether it pushes along the pipe, so that an anchor can hold it as well as a block.
    pub fn is_along(&self) -> bool {
        matches!(
            self,
            Self::End | Self::Valve(_) | Self::Reducer | Self::Joint
        )
    }
}

crate::text::words! {
    /// Directions a thrust takes.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum Towards {
        /// Along the pipe towards the turbine.
        Downhill = "downhill",
        /// Along the pipe towards the intake.
        Uphill = "uphill",
        /// To the left, looking towards the turbine.
        Left = "left",
        /// To the right.
        Right = "right",
        /// Out of the ground.
        Up = "up",
        /// Into the ground.
        Down = "down",
    }
}
