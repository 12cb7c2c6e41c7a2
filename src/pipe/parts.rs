//! The trade's words for what a pipe is made of and what is set on it: shared by what the user declares and by what physics sees.

crate::text::words! {
    /// What a pipe is made of.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum Material {
        /// Polyethylene, whatever the grade.
        Pe = "pe",
        /// Unplasticised PVC.
        Pvc = "pvc",
        /// Steel, plain, galvanized or stainless.
        Steel = "steel",
    }
}

crate::text::words! {
    /// How two pieces of pipe are joined.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum Joint {
        /// Butt-fused.
        Fused = "fused",
        /// Electrofusion coupler.
        Electrofusion = "electrofusion",
        /// Compression coupler gripping the outside.
        Compression = "compression",
        /// Barbed insert with clamps.
        Barbed = "barbed",
        /// Solvent-welded socket.
        Solvent = "solvent",
        /// Socket with a rubber ring.
        Ring = "ring",
        Flange = "flange",
        /// Threaded.
        Thread = "thread",
        /// Flexible rubber sleeve with clamps, sold for drains.
        RepairCoupling = "repair coupling",
        /// Welded steel.
        Welded = "welded",
    }
}

crate::text::words! {
    /// How the pipe sits on the ground.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Bed {
        /// On the surveyed line.
        Surface = "surface",
        Buried = "buried",
        /// Straight between its ends.
        Span = "span",
        /// On supports above the surveyed line.
        Raised = "raised",
        /// Hung from a rope or beam.
        Hung = "hung",
    }
}

crate::text::words! {
    /// What lets the air through at a vent.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum Device {
        /// Open pipe carried above the static level.
        Standpipe = "standpipe",
        /// Releases air under pressure through a small hole.
        AirValve = "air valve",
        /// Lets air in, never out.
        VacuumValve = "vacuum valve",
        /// Both air valve and vacuum valve.
        CombinationValve = "combination valve",
        /// Opened and shut by hand.
        HandCock = "hand cock",
    }
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

crate::text::words! {
    /// State of a thing that stands.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum WorkingState {
        /// Stands and works.
        Works = "works",
        /// Stands and does not work.
        Stuck = "stuck",
        /// Is meant to be set.
        Planned = "planned",
    }
}

crate::text::words! {
    /// Something the water passes through.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum FittingKind {
        GateValve = "gate valve",
        /// Ball valve, quarter turn.
        BallValve = "ball valve",
        /// Butterfly valve, quarter turn.
        ButterflyValve = "butterfly valve",
        GlobeValve = "globe valve",
        CheckValve = "check valve",
        /// Elbow or bend of a given angle.
        Elbow = "elbow",
        /// Mitred bend.
        Mitre = "mitre" | "miter",
        /// Reducer to a smaller bore.
        Reducer = "reducer",
        /// Enlargement to a larger bore.
        Enlargement = "enlargement",
        /// Tee, straight through.
        TeeRun = "tee run",
        /// Tee, into or out of the branch.
        TeeBranch = "tee branch",
        Wye = "wye",
        /// Union or coupling.
        Union = "union",
        Strainer = "strainer",
        /// Flow meter.
        Meter = "meter",
        /// Anything else, with its own k.
        Other = "other",
    }
}

impl FittingKind {
    /// What a fitting without a name is called.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Other => "fitting",
            _ => self.word(),
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

crate::text::words! {
    /// Shape of the pipe's mouth at the intake.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Entrance {
        /// Flush with a wall, sharp edge.
        Sharp = "sharp",
        /// Rounded edge.
        Rounded = "rounded",
        /// Pipe stands out into the water.
        Projecting = "projecting",
    }
}

crate::text::words! {
    /// What kind of intake it is.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum IntakeKind {
        /// A box or forebay with a free surface.
        Box = "box",
        /// A screen straight onto the pipe.
        Screen = "screen",
        /// The pipe climbs over the edge.
        Siphon = "siphon",
    }
}

crate::text::words! {
    /// What a screen before the pipe is made of.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum ScreenKind {
        /// Flat bars, set on edge.
        FlatBars = "flat bars",
        RoundBars = "round bars",
        /// Wedge wire: slots that widen inwards.
        WedgeWire = "wedge wire",
        /// Woven mesh.
        Mesh = "mesh",
        /// Punched plate.
        Plate = "plate",
    }
}

crate::text::words! {
    /// A metal, as parts are sold.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Metal {
        Copper = "copper",
        Brass = "brass",
        /// Bronze or gunmetal.
        Bronze = "bronze",
        Stainless = "stainless steel",
        /// Plain steel.
        Steel = "steel",
        /// Cast or ductile iron.
        CastIron = "cast iron",
        Aluminium = "aluminium",
        /// Steel under zinc.
        Galvanized = "galvanized steel",
    }
}

crate::text::words! {
    /// What covers the steel of a pipe.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Coating {
        /// Nothing, or paint.
        None = "none",
        Zinc = "zinc",
        /// Epoxy, polyethylene or bitumen, whole.
        Whole = "epoxy" | "polyethylene" | "bitumen",
    }
}

crate::text::words! {
    /// What keeps a screen clear.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Cleaner {
        /// Somebody with a rake or a brush.
        Hand = "by hand",
        /// A driven rake or brush.
        Rake = "by rake",
        /// The water itself.
        Itself = "by itself",
    }
}

crate::text::words! {
    /// State of the water at the intake.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
    pub enum WaterLevel {
        /// As usual.
        #[default]
        Usual = "usual",
        /// Lowest.
        Low = "low",
        Flood = "flood",
    }
}

crate::text::words! {
    /// Soil by the words of the bearing tables.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum Soil {
        /// Muck or peat.
        Peat = "peat",
        SoftClay = "soft clay",
        Silt = "silt",
        Clay = "clay",
        /// Sand or silty sand.
        Sand = "sand",
        Gravel = "gravel",
        /// Cemented gravel, hard clay.
        HardClay = "hard clay",
        /// Shale, weak rock.
        WeakRock = "weak rock",
        /// Sound rock.
        Rock = "rock",
    }
}

crate::text::words! {
    /// How easily the ground is dug, the hardest last.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum Dig {
        /// Easily.
        Easy = "easy",
        /// With effort: roots, stones.
        Hard = "hard",
        /// Not at all.
        Never = "never",
    }
}

crate::text::words! {
    /// Debris a flood carries.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Debris {
        /// None to speak of.
        None = "none",
        /// Leaves and twigs.
        Light = "light",
        /// Branches and trunks.
        Heavy = "heavy",
    }
}

crate::text::words! {
    /// Traffic over a buried reach.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Traffic {
        /// Feet and barrows.
        None = "none",
        /// Cars and small tractors.
        Car = "car",
        /// Lorries.
        Truck = "truck",
    }
}

crate::text::words! {
    /// What is known of a pipe's past.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Condition {
        New = "new",
        Used = "used",
        /// Not known.
        Unknown = "unknown",
    }
}

crate::text::words! {
    /// How a valve or jet closes: what the share in a movement counts.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Law {
        /// Share of open area, straight in time.
        Area = "area",
        /// Share of stroke of a needle or gate: open area is 2s - s^2.
        Stroke = "stroke",
    }
}

impl Law {}

crate::text::words! {
    /// How often a movement happens, with the standards' words recurring and occasional.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum Often {
        /// Part of ordinary running (recurring).
        Routine = "routine",
        /// An accident (occasional).
        Rare = "rare",
    }
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
