//! The words of the site file and what they mean.

use super::survey::{Datum, DeclaredEnd, SurveyedLine, Taped};
use crate::pipe::{
    Bed, Cleaner, Coating, Condition, Debris, Device, Dig, Entrance, FittingKind, IntakeKind,
    Joint, Law, Machine, MarkKind, Material, Metal, Often, ScreenKind, Soil, Surround, Tamped,
    Traffic, WaterLevel, Wet, WorkingState,
};
use crate::survey::{LevellingOrder, Method, Spread, WalkDevice};
use crate::unit::Units;

pub(super) const UNITS: &[(&str, Units)] = &[("metric", Units::Metric), ("us", Units::Us)];
pub(super) const SURVEY_KINDS: &[(&str, Method)] = &[
    ("gpx", Method::Gpx),
    ("level", Method::Level),
    ("angle", Method::Angle),
    ("points", Method::Points),
    ("gauge", Method::Gauge),
];
pub(super) const SURVEYED: &[(&str, SurveyedLine)] = &[
    ("ground", SurveyedLine::Ground),
    ("pipe top", SurveyedLine::PipeTop),
    ("pipe centre", SurveyedLine::PipeCentre),
    ("pipe center", SurveyedLine::PipeCentre),
    ("invert", SurveyedLine::Invert),
    ("trench bed", SurveyedLine::TrenchBed),
];
pub(super) const ENDS: &[(&str, DeclaredEnd)] = &[
    ("intake", DeclaredEnd::Intake),
    ("turbine", DeclaredEnd::Turbine),
];
pub(super) const TAPED: &[(&str, Taped)] =
    &[("slope", Taped::Slope), ("horizontal", Taped::Horizontal)];
pub(super) const RECEIVERS: &[(&str, WalkDevice)] = &[
    ("phone", WalkDevice::Phone),
    ("watch", WalkDevice::Watch),
    ("handheld", WalkDevice::Handheld),
    ("rtk", WalkDevice::Rtk),
];
/// How a misclosure is spread.
pub(super) const SPREADS: &[(&str, Spread)] =
    &[("set-ups", Spread::Setups), ("distance", Spread::Distance)];
pub(super) const DATUMS: &[(&str, Datum)] = &[("sea", Datum::Sea), ("local", Datum::Local)];
pub(super) const ENTRANCES: &[(&str, Entrance)] = &[
    ("sharp", Entrance::Sharp),
    ("rounded", Entrance::Rounded),
    ("projecting", Entrance::Projecting),
];
pub(super) const INTAKES: &[(&str, IntakeKind)] = &[
    ("box", IntakeKind::Box),
    ("screen", IntakeKind::Screen),
    ("siphon", IntakeKind::Siphon),
];
pub(super) const SCREENS: &[(&str, ScreenKind)] = &[
    ("flat bars", ScreenKind::FlatBars),
    ("round bars", ScreenKind::RoundBars),
    ("wedge wire", ScreenKind::WedgeWire),
    ("mesh", ScreenKind::Mesh),
    ("plate", ScreenKind::Plate),
];
pub(super) const CLEANERS: &[(&str, Cleaner)] = &[
    ("by hand", Cleaner::Hand),
    ("by rake", Cleaner::Rake),
    ("by itself", Cleaner::Itself),
];
pub(super) const METALS: &[(&str, Metal)] = &[
    (Metal::Copper.word(), Metal::Copper),
    (Metal::Brass.word(), Metal::Brass),
    (Metal::Bronze.word(), Metal::Bronze),
    (Metal::Stainless.word(), Metal::Stainless),
    (Metal::Steel.word(), Metal::Steel),
    (Metal::CastIron.word(), Metal::CastIron),
    (Metal::Aluminium.word(), Metal::Aluminium),
    (Metal::Galvanized.word(), Metal::Galvanized),
];
pub(super) const COATINGS: &[(&str, Coating)] = &[
    ("none", Coating::None),
    ("zinc", Coating::Zinc),
    ("epoxy", Coating::Whole),
    ("polyethylene", Coating::Whole),
    ("bitumen", Coating::Whole),
];
pub(super) const MATERIALS: &[(&str, Material)] = &[
    ("pe", Material::Pe),
    ("pvc", Material::Pvc),
    ("steel", Material::Steel),
];
pub(super) const JOINTS: &[(&str, Joint)] = &[
    (Joint::Fused.word(), Joint::Fused),
    (Joint::Electrofusion.word(), Joint::Electrofusion),
    (Joint::Compression.word(), Joint::Compression),
    (Joint::Barbed.word(), Joint::Barbed),
    (Joint::Solvent.word(), Joint::Solvent),
    (Joint::Ring.word(), Joint::Ring),
    (Joint::Flange.word(), Joint::Flange),
    (Joint::Thread.word(), Joint::Thread),
    (Joint::Welded.word(), Joint::Welded),
    (Joint::RepairCoupling.word(), Joint::RepairCoupling),
];
pub(super) const PIPE_STATES: &[(&str, bool)] = &[("laid", true), ("planned", false)];
pub(super) const CONDITIONS: &[(&str, Condition)] = &[
    ("new", Condition::New),
    ("used", Condition::Used),
    ("unknown", Condition::Unknown),
];
pub(super) const BEDS: &[(&str, Bed)] = &[
    ("surface", Bed::Surface),
    ("buried", Bed::Buried),
    ("span", Bed::Span),
    ("raised", Bed::Raised),
    ("hung", Bed::Hung),
];
pub(super) const TRAFFIC: &[(&str, Traffic)] = &[
    ("none", Traffic::None),
    ("car", Traffic::Car),
    ("truck", Traffic::Truck),
];
pub(super) const WETS: &[(&str, Wet)] = &[("trench", Wet::Trench), ("stream", Wet::Stream)];
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
pub(super) const FITTINGS: &[(&str, FittingKind)] = &[
    ("gate valve", FittingKind::GateValve),
    ("ball valve", FittingKind::BallValve),
    ("butterfly valve", FittingKind::ButterflyValve),
    ("globe valve", FittingKind::GlobeValve),
    ("check valve", FittingKind::CheckValve),
    ("elbow", FittingKind::Elbow),
    ("mitre", FittingKind::Mitre),
    ("miter", FittingKind::Mitre),
    ("reducer", FittingKind::Reducer),
    ("enlargement", FittingKind::Enlargement),
    ("tee run", FittingKind::TeeRun),
    ("tee branch", FittingKind::TeeBranch),
    ("wye", FittingKind::Wye),
    ("union", FittingKind::Union),
    ("strainer", FittingKind::Strainer),
    ("meter", FittingKind::Meter),
    ("other", FittingKind::Other),
];
/// Which way an elbow turns: true in plan.
pub(super) const PLANES: &[(&str, bool)] = &[("plan", true), ("profile", false)];
pub(super) const MARKS: &[(&str, MarkKind)] = &[
    ("vent", MarkKind::Vent),
    ("drain", MarkKind::Drain),
    ("anchor", MarkKind::Anchor),
    ("block", MarkKind::Block),
    ("strap", MarkKind::Strap),
    ("support", MarkKind::Support),
    ("guide", MarkKind::Guide),
    ("relief", MarkKind::Relief),
    ("expansion joint", MarkKind::ExpansionJoint),
    ("loop", MarkKind::Loop),
];
pub(super) const DEVICES: &[(&str, Device)] = &[
    ("standpipe", Device::Standpipe),
    ("air valve", Device::AirValve),
    ("vacuum valve", Device::VacuumValve),
    ("combination valve", Device::CombinationValve),
    ("hand cock", Device::HandCock),
];
/// State of a cock: true open.
pub(super) const COCKS: &[(&str, bool)] = &[("open", true), ("shut", false), ("closed", false)];
pub(super) const STATES: &[(&str, WorkingState)] = &[
    ("works", WorkingState::Works),
    ("stuck", WorkingState::Stuck),
    ("planned", WorkingState::Planned),
];
/// Kinds of machine.
pub(super) const MACHINES: &[(&str, Machine)] = &[
    (Machine::Jets.word(), Machine::Jets),
    (Machine::Other.word(), Machine::Other),
    (Machine::Francis.word(), Machine::Francis),
    (Machine::Crossflow.word(), Machine::Crossflow),
    (Machine::Propeller.word(), Machine::Propeller),
    (Machine::Pump.word(), Machine::Pump),
];
pub(super) const LEVELS: &[(&str, WaterLevel)] = &[
    ("usual", WaterLevel::Usual),
    ("low", WaterLevel::Low),
    ("flood", WaterLevel::Flood),
];
pub(super) const LAWS: &[(&str, Law)] = &[("area", Law::Area), ("stroke", Law::Stroke)];
pub(super) const OFTEN: &[(&str, Often)] = &[("routine", Often::Routine), ("rare", Often::Rare)];
pub(super) const SOILS: &[(&str, Soil)] = &[
    ("peat", Soil::Peat),
    ("soft clay", Soil::SoftClay),
    ("silt", Soil::Silt),
    ("clay", Soil::Clay),
    ("sand", Soil::Sand),
    ("gravel", Soil::Gravel),
    ("hard clay", Soil::HardClay),
    ("weak rock", Soil::WeakRock),
    ("rock", Soil::Rock),
];
pub(super) const DIGS: &[(&str, Dig)] = &[
    ("easy", Dig::Easy),
    ("hard", Dig::Hard),
    ("never", Dig::Never),
];
pub(super) const DEBRIS: &[(&str, Debris)] = &[
    ("none", Debris::None),
    ("light", Debris::Light),
    ("heavy", Debris::Heavy),
];
pub(super) const ORDERS: &[(&str, LevellingOrder)] = &[
    ("rough", LevellingOrder::Rough),
    ("ordinary", LevellingOrder::Ordinary),
    ("accurate", LevellingOrder::Accurate),
    ("precise", LevellingOrder::Precise),
];
