use super::Kind;
use crate::pipe::MarkKind;

impl Kind {
    /// Whether it says that the survey does not settle something that decides.
    pub fn is_unsettled(&self) -> bool {
        matches!(
            self,
            Self::StartNotSettled { .. }
                | Self::PressureNotSettled { .. }
                | Self::CollapseNotSettled { .. }
                | Self::JointNotSettled { .. }
        )
    }

    /// Order among findings of the same severity, the most pressing first.
    pub fn rank(&self) -> u8 {
        match self {
            Self::OverPressure { .. } | Self::NotPressurePipe { .. } | Self::NoHead { .. } => 0,
            Self::CollapseWithoutAir { .. }
            | Self::Unrestrained { .. }
            | Self::ForbiddenJoint { .. } => 1,
            Self::StartNotSettled { .. }
            | Self::PressureNotSettled { .. }
            | Self::CollapseNotSettled { .. }
            | Self::JointNotSettled { .. }
            | Self::SiphonFails { .. } => 2,
            Self::ClimbUnvented { .. } | Self::Locks { .. } | Self::MayStart { .. } => 3,
            Self::NotFull { .. } | Self::VentFails { .. } | Self::NoRating { .. } => 4,
            Self::SurgeOver { .. } | Self::ColumnParts { .. } => 5,
            Self::ClimbDoubtful { .. }
            | Self::FullNotSettled { .. }
            | Self::PartingNotSettled { .. }
            | Self::SurgeNotValid
            | Self::TerrainModel
            | Self::NotRecorded { .. }
            | Self::AirTakes { .. } => 6,
            Self::HoldWanted(_) | Self::GaugeOff { .. } | Self::StreamShort { .. } => 7,
            Self::CheckMarking { .. } | Self::LighterWouldDo { .. } | Self::ZonesWouldDo { .. } => {
                9
            }
            _ => 8,
        }
    }

    /// The page of the basis that it rests on.
    pub fn basis(&self) -> &'static str {
        match self {
            Self::OverPressure { .. }
            | Self::PressureNotSettled { .. }
            | Self::LighterWouldDo { .. }
            | Self::ZonesWouldDo { .. }
            | Self::UsedPipe { .. }
            | Self::TooWarm { .. }
            | Self::Wheel { .. } => "strength",
            Self::NotPressurePipe { .. }
            | Self::NoRating { .. }
            | Self::CheckMarking { .. }
            | Self::ForbiddenJoint { .. } => "pipes",
            Self::CollapseWithoutAir { .. }
            | Self::CollapseNotSettled { .. }
            | Self::JointNotSettled { .. }
            | Self::JointInSuction { .. }
            | Self::NeedsAir { .. } => "collapse",
            Self::Unrestrained { .. } => "thrust",
            Self::NoHead { .. }
            | Self::LossHigh { .. }
            | Self::Fast { .. }
            | Self::SiltSettles { .. } => "running",
            Self::ClimbUnvented { .. }
            | Self::ClimbVented { .. }
            | Self::ClimbDoubtful { .. }
            | Self::Flat { .. } => "climbs",
            Self::Locks { .. }
            | Self::MayStart { .. }
            | Self::StartNotSettled { .. }
            | Self::AirTakes { .. } => "start-up",
            Self::SurgeOver { .. }
            | Self::ColumnParts { .. }
            | Self::PartingNotSettled { .. }
            | Self::SurgeNotValid => "surge",
            Self::NotFull { .. } | Self::FullNotSettled { .. } | Self::Suction { .. } => "crests",
            Self::VentFails { .. } => "vents",
            Self::AirGathers { .. } => "air",
            Self::LowUndrained { .. } => "filling",
            Self::StreamShort { .. }
            | Self::Submergence { .. }
            | Self::SiphonFails { .. }
            | Self::SiphonByHand { .. }
            | Self::FirstMetresFlat { .. } => "intake",
            Self::GaugeOff { .. } => "gauges",
            Self::HoldWanted(hold) => match hold.why {
                crate::anchor::HoldWhy::Thrust | crate::anchor::HoldWhy::PullOut => "thrust",
                crate::anchor::HoldWhy::Slope => "slopes",
                crate::anchor::HoldWhy::Flood => "floods",
                crate::anchor::HoldWhy::Heat => "heat",
                crate::anchor::HoldWhy::Span => "supports",
            },
            Self::BendTooSharp { .. }
            | Self::BendNotSettled { .. }
            | Self::FittingInBend { .. } => "bends",
            Self::JointsForced { .. } => "laying",
            Self::TerrainModel | Self::NotRecorded { .. } => "survey-gps",
            Self::Misclosure { .. } => "survey-books",
        }
    }

    /// The word it is called by in result.json.
    pub fn word(&self) -> &'static str {
        match self {
            Self::OverPressure { .. } => "over pressure",
            Self::NotPressurePipe { .. } => "not pressure pipe",
            Self::NoRating { .. } => "no rating",
            Self::CollapseWithoutAir { .. } => "collapse without air",
            Self::Unrestrained { .. } => "unrestrained",
            Self::ForbiddenJoint { .. } => "forbidden joint",
            Self::NoHead { .. } => "no head",
            Self::ClimbUnvented { .. } => "climb",
            Self::Locks { .. } => "air lock",
            Self::MayStart { .. } => "may start",
            Self::SurgeOver { .. } => "surge over",
            Self::ColumnParts { .. } => "column parts",
            Self::JointInSuction { .. } => "joint in suction",
            Self::NotFull { .. } => "does not run full",
            Self::SiphonFails { .. } => "siphon fails",
            Self::SiphonByHand { .. } => "siphon by hand",
            Self::AirTakes { .. } => "air takes",
            Self::SiltSettles { .. } => "silt settles",
            Self::FirstMetresFlat { .. } => "first metres flat",
            Self::StartNotSettled { .. } => "start not settled",
            Self::PressureNotSettled { .. } => "pressure not settled",
            Self::CollapseNotSettled { .. } => "collapse not settled",
            Self::JointNotSettled { .. } => "joint not settled",
            Self::FullNotSettled { .. } => "full not settled",
            Self::PartingNotSettled { .. } => "parting not settled",
            Self::VentFails { .. } => "vent fails",
            Self::ClimbDoubtful { .. } => "climb doubtful",
            Self::ClimbVented { .. } => "climb vented",
            Self::Flat { .. } => "flat",
            Self::AirGathers { .. } => "air gathers",
            Self::LowUndrained { .. } => "low without drain",
            Self::Fast { .. } => "fast",
            Self::StreamShort { .. } => "stream short",
            Self::LossHigh { .. } => "loss high",
            Self::GaugeOff { .. } => "gauge off",
            Self::Submergence { .. } => "submergence",
            Self::HoldWanted(hold) => match hold.kind {
                MarkKind::Anchor => "anchors wanted",
                MarkKind::Block => "blocks wanted",
                MarkKind::Strap => "straps wanted",
                MarkKind::Support => "supports wanted",
                MarkKind::Guide => "guides wanted",
                MarkKind::Loop => "slack wanted",
                _ => "hold wanted",
            },
            Self::BendTooSharp { .. } => "bend too sharp",
            Self::BendNotSettled { .. } => "bend not settled",
            Self::FittingInBend { .. } => "fitting in bend",
            Self::JointsForced { .. } => "joints forced",
            Self::Suction { .. } => "suction",
            Self::LighterWouldDo { .. } => "lighter would do",
            Self::ZonesWouldDo { .. } => "zones would do",
            Self::CheckMarking { .. } => "check marking",
            Self::TerrainModel => "terrain model",
            Self::NotRecorded { .. } => "not recorded",
            Self::Misclosure { .. } => "misclosure",
            Self::SurgeNotValid => "surge not valid",
            Self::UsedPipe { .. } => "used pipe",
            Self::TooWarm { .. } => "too warm",
            Self::Wheel { .. } => "traffic",
            Self::NeedsAir { .. } => "needs air",
        }
    }
}
