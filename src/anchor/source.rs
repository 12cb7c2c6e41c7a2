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

/// How the direction of a thrust is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Sense {
    /// From the route: `force` is it.
    Route,
    /// Outward from the turn of an elbow that the route does not show: as it is laid. Level, as far as it is known.
    Outward,
    /// Outward from the turn of an elbow laid in the profile: up or down, as it is laid.
    OutwardInProfile,
    /// Along the branch of a tee, away from the branch: as it is laid.
    AwayFromBranch,
}

impl Sense {
    /// The word that programs know it by.
    pub fn word(self) -> &'static str {
        match self {
            Self::Route => "from the route",
            Self::Outward => "outward from the turn, as laid",
            Self::OutwardInProfile => "up or down, outward from the turn, as laid",
            Self::AwayFromBranch => "away from the branch, as laid",
        }
    }
}

crate::text::by_word!(Sense);

impl ThrustSource {
    /// Whether it pushes along the pipe, so that an anchor can hold it as well as a block.
    pub fn is_along(&self) -> bool {
        matches!(
            self,
            Self::End | Self::Valve(_) | Self::Reducer | Self::Joint
        )
    }
}

/// Directions a thrust takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Towards {
    /// Along the pipe towards the turbine.
    Downhill,
    /// Along the pipe towards the intake.
    Uphill,
    /// To the left, looking towards the turbine.
    Left,
    /// To the right.
    Right,
    /// Out of the ground.
    Up,
    /// Into the ground.
    Down,
}

impl Towards {
    /// The word that programs know it by.
    pub fn word(self) -> &'static str {
        match self {
            Self::Downhill => "downhill",
            Self::Uphill => "uphill",
            Self::Left => "left",
            Self::Right => "right",
            Self::Up => "up",
            Self::Down => "down",
        }
    }
}

crate::text::by_word!(Towards);
