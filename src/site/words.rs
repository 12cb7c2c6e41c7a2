//! The words of the site file and what they mean.

use crate::pipe::{MarkKind, Surround, Tamped};
use crate::reading::{LevellingOrder, Method};

pub(crate) const SURVEY_KINDS: &[(&str, Method)] = &[
    ("gpx", Method::Gpx),
    ("level", Method::Level),
    ("angle", Method::Angle),
    ("points", Method::Points),
    ("gauge", Method::Gauge),
];
pub(super) const PIPE_STATES: &[(&str, bool)] = &[("laid", true), ("planned", false)];
pub(super) const SURROUNDS: &[(&str, Surround)] = &[
    ("dug", Surround::Dug),
    ("sand", Surround::Sand),
    ("stone", Surround::Stone),
];
pub(super) const TAMPED: &[(&str, Tamped)] = &[
    ("dumped", Tamped::Dumped),
    ("light", Tamped::Light),
    ("well", Tamped::Well),
];
/// Which way an elbow turns: true in plan.
pub(super) const PLANES: &[(&str, bool)] = &[("plan", true), ("profile", false)];
pub(super) const MARKS: &[(&str, MarkKind)] = &[
    (MarkKind::Vent.word(), MarkKind::Vent),
    (MarkKind::Drain.word(), MarkKind::Drain),
    (MarkKind::Anchor.word(), MarkKind::Anchor),
    (MarkKind::Block.word(), MarkKind::Block),
    (MarkKind::Strap.word(), MarkKind::Strap),
    (MarkKind::Support.word(), MarkKind::Support),
    (MarkKind::Guide.word(), MarkKind::Guide),
    (MarkKind::Relief.word(), MarkKind::Relief),
    (MarkKind::ExpansionJoint.word(), MarkKind::ExpansionJoint),
    (MarkKind::Loop.word(), MarkKind::Loop),
];
/// State of a cock: true open.
pub(super) const COCKS: &[(&str, bool)] = &[("open", true), ("shut", false), ("closed", false)];
pub(super) const ORDERS: &[(&str, LevellingOrder)] = &[
    ("rough", LevellingOrder::Rough),
    ("ordinary", LevellingOrder::Ordinary),
    ("accurate", LevellingOrder::Accurate),
    ("precise", LevellingOrder::Precise),
];
