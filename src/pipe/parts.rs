//! The trade's words for what a pipe is made of and what is set on it: shared by what the user declares and by what physics sees.

/// What a pipe is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Material {
    /// Polyethylene, whatever the grade.
    Pe,
    /// Unplasticised PVC.
    Pvc,
    /// Steel, plain, galvanized or stainless.
    Steel,
}

/// How two pieces of pipe are joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Joint {
    /// Butt-fused.
    Fused,
    /// Electrofusion coupler.
    Electrofusion,
    /// Compression coupler gripping the outside.
    Compression,
    /// Barbed insert with clamps.
    Barbed,
    /// Solvent-welded socket.
    Solvent,
    /// Socket with a rubber ring.
    Ring,
    /// Flange.
    Flange,
    /// Threaded.
    Thread,
    /// Flexible rubber sleeve with clamps, sold for drains.
    RepairCoupling,
    /// Welded steel.
    Welded,
}

impl Joint {
    /// What it is called, in the site file and in reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Fused => "fused",
            Self::Electrofusion => "electrofusion",
            Self::Compression => "compression",
            Self::Barbed => "barbed",
            Self::Solvent => "solvent",
            Self::Ring => "ring",
            Self::Flange => "flange",
            Self::Thread => "thread",
            Self::RepairCoupling => "repair coupling",
            Self::Welded => "welded",
        }
    }
}

crate::text::by_word!(Joint);

/// How the pipe sits on the ground.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Bed {
    /// On the surveyed line.
    Surface,
    /// Buried.
    Buried,
    /// Straight between its ends.
    Span,
    /// On supports above the surveyed line.
    Raised,
    /// Hung from a rope or beam.
    Hung,
}

/// What lets the air through at a vent.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Device {
    /// Open pipe carried above the static level.
    Standpipe,
    /// Releases air under pressure through a small hole.
    AirValve,
    /// Lets air in, never out.
    VacuumValve,
    /// Both air valve and vacuum valve.
    CombinationValve,
    /// Opened and shut by hand.
    HandCock,
}

impl Device {
    /// Whether air can leave by it.
    pub const fn lets_out(self) -> bool {
        !matches!(self, Self::VacuumValve)
    }

    /// Whether so much air comes in by it, unasked, that it guards the pipe.
    pub const fn lets_in(self) -> bool {
        matches!(
            self,
            Self::Standpipe | Self::VacuumValve | Self::CombinationValve
        )
    }

    /// Whether it wants an isolating cock beneath it.
    pub const fn wants_cock(self) -> bool {
        !matches!(self, Self::Standpipe | Self::HandCock)
    }
}

/// State of a thing that stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WorkingState {
    /// Stands and works.
    Works,
    /// Stands and does not work.
    Stuck,
    /// Is meant to be set.
    Planned,
}

/// Something the water passes through.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum FittingKind {
    /// Gate valve.
    GateValve,
    /// Ball valve, quarter turn.
    BallValve,
    /// Butterfly valve, quarter turn.
    ButterflyValve,
    /// Globe valve.
    GlobeValve,
    /// Check valve.
    CheckValve,
    /// Elbow or bend of a given angle.
    Elbow,
    /// Mitred bend.
    Mitre,
    /// Reducer to a smaller bore.
    Reducer,
    /// Enlargement to a larger bore.
    Enlargement,
    /// Tee, straight through.
    TeeRun,
    /// Tee, into or out of the branch.
    TeeBranch,
    /// Wye.
    Wye,
    /// Union or coupling.
    Union,
    /// Strainer.
    Strainer,
    /// Flow meter.
    Meter,
    /// Anything else, with its own k.
    Other,
}

impl FittingKind {
    /// The trade's word for it: what a fitting without a name is called.
    pub fn word(self) -> &'static str {
        match self {
            Self::GateValve => "gate valve",
            Self::BallValve => "ball valve",
            Self::ButterflyValve => "butterfly valve",
            Self::GlobeValve => "globe valve",
            Self::CheckValve => "check valve",
            Self::Elbow => "elbow",
            Self::Mitre => "mitre",
            Self::Reducer => "reducer",
            Self::Enlargement => "enlargement",
            Self::TeeRun => "tee run",
            Self::TeeBranch => "tee branch",
            Self::Wye => "wye",
            Self::Union => "union",
            Self::Strainer => "strainer",
            Self::Meter => "meter",
            Self::Other => "fitting",
        }
    }

    /// Whether it can be shut.
    pub fn is_valve(self) -> bool {
        matches!(
            self,
            Self::GateValve | Self::BallValve | Self::ButterflyValve | Self::GlobeValve
        )
    }

    /// Whether a quarter turn shuts it.
    pub fn is_quarter_turn(self) -> bool {
        matches!(self, Self::BallValve | Self::ButterflyValve)
    }
}

/// Shape of the pipe's mouth at the intake.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Entrance {
    /// Flush with a wall, sharp edge.
    Sharp,
    /// Rounded edge.
    Rounded,
    /// Pipe stands out into the water.
    Projecting,
}

/// What kind of intake it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum IntakeKind {
    /// A box or forebay with a free surface.
    Box,
    /// A screen straight onto the pipe.
    Screen,
    /// The pipe climbs over the edge.
    Siphon,
}

/// What a screen before the pipe is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ScreenKind {
    /// Flat bars, set on edge.
    FlatBars,
    /// Round bars.
    RoundBars,
    /// Wedge wire: slots that widen inwards.
    WedgeWire,
    /// Woven mesh.
    Mesh,
    /// Punched plate.
    Plate,
}

impl ScreenKind {
    /// Openings are slots: a thing as thin as they are wide passes, however long it is.
    pub fn is_slots(self) -> bool {
        matches!(self, Self::FlatBars | Self::RoundBars | Self::WedgeWire)
    }
}

/// A metal, as parts are sold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Metal {
    /// Copper.
    Copper,
    /// Brass.
    Brass,
    /// Bronze or gunmetal.
    Bronze,
    /// Stainless steel.
    Stainless,
    /// Plain steel.
    Steel,
    /// Cast or ductile iron.
    CastIron,
    /// Aluminium.
    Aluminium,
    /// Steel under zinc.
    Galvanized,
}

impl Metal {
    /// Every metal, the noblest first.
    pub const ALL: [Self; 8] = [
        Self::Copper,
        Self::Brass,
        Self::Bronze,
        Self::Stainless,
        Self::Steel,
        Self::CastIron,
        Self::Aluminium,
        Self::Galvanized,
    ];

    /// Its word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Copper => "copper",
            Self::Brass => "brass",
            Self::Bronze => "bronze",
            Self::Stainless => "stainless steel",
            Self::Steel => "steel",
            Self::CastIron => "cast iron",
            Self::Aluminium => "aluminium",
            Self::Galvanized => "galvanized steel",
        }
    }
}

crate::text::by_word!(Metal);

/// What covers the steel of a pipe.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Coating {
    /// Nothing, or paint.
    None,
    /// Zinc.
    Zinc,
    /// Epoxy, polyethylene or bitumen, whole.
    Whole,
}

/// What keeps a screen clear.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Cleaner {
    /// Somebody with a rake or a brush.
    Hand,
    /// A driven rake or brush.
    Rake,
    /// The water itself.
    Itself,
}

/// State of the water at the intake.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum WaterLevel {
    /// As usual.
    #[default]
    Usual,
    /// Lowest.
    Low,
    /// In flood.
    Flood,
}

/// Soil by the words of the bearing tables.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Soil {
    /// Muck or peat.
    Peat,
    /// Soft clay.
    SoftClay,
    /// Silt.
    Silt,
    /// Clay.
    Clay,
    /// Sand or silty sand.
    Sand,
    /// Gravel.
    Gravel,
    /// Cemented gravel, hard clay.
    HardClay,
    /// Shale, weak rock.
    WeakRock,
    /// Sound rock.
    Rock,
}

/// How easily the ground is dug.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Dig {
    /// Easily.
    Easy,
    /// With effort: roots, stones.
    Hard,
    /// Not at all.
    Never,
}

/// Debris a flood carries.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Debris {
    /// None to speak of.
    None,
    /// Leaves and twigs.
    Light,
    /// Branches and trunks.
    Heavy,
}

/// Traffic over a buried reach.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Traffic {
    /// Feet and barrows.
    None,
    /// Cars and small tractors.
    Car,
    /// Lorries.
    Truck,
}

/// What is known of a pipe's past.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Condition {
    /// New.
    New,
    /// Used.
    Used,
    /// Not known.
    Unknown,
}

/// How a valve or jet closes: what the share in a movement counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Law {
    /// Share of open area, straight in time.
    Area,
    /// Share of stroke of a needle or gate: open area is 2s - s^2.
    Stroke,
}

impl Law {
    /// The word that programs know it by.
    pub fn word(self) -> &'static str {
        match self {
            Self::Area => "area",
            Self::Stroke => "stroke",
        }
    }
}

crate::text::by_word!(Law);

/// How often a movement happens, with the standards' words recurring and occasional.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Often {
    /// Part of ordinary running (recurring).
    Routine,
    /// An accident (occasional).
    Rare,
}

/// How a figure is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum How {
    /// Read in the named document.
    Read,
    /// Worked out from the stated rule.
    Computed,
    /// Read in a secondary place only.
    Secondary,
    /// From memory, not verified.
    Memory,
}

impl How {
    /// Whether the figure must be shown as not verified.
    pub fn is_unverified(self) -> bool {
        matches!(self, Self::Secondary | Self::Memory)
    }
}
