//! The trench of a buried reach: shared by what the user declares and by what physics sees.

crate::text::words! {
    /// Water that stands round a buried pipe.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Wet {
        /// Ground water or rain fills the trench, or stands in the ground up to its top.
        Trench = "trench",
        /// The pipe lies under the bed of a stream.
        Stream = "stream",
    }
}

/// What lies against a buried pipe.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Surround {
    /// The soil as it was dug.
    Dug,
    /// Clean sand or fine gravel.
    Sand,
    /// Crushed stone of small grain.
    Stone,
}

impl Surround {
    /// The word that programs know it by.
    pub fn word(self) -> &'static str {
        match self {
            Self::Dug => "soil as dug",
            Self::Sand => "clean sand or fine gravel",
            Self::Stone => "crushed stone",
        }
    }
}

crate::text::by_word!(Surround);

/// How the fill beside a pipe is tamped.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Tamped {
    /// Thrown in.
    Dumped,
    /// Trodden down or lightly tamped.
    Light,
    /// Tamped in thin layers.
    Well,
}

impl Tamped {
    /// The word that programs know it by.
    pub fn word(self) -> &'static str {
        match self {
            Self::Dumped => "dumped",
            Self::Light => "lightly tamped",
            Self::Well => "well tamped",
        }
    }
}

crate::text::by_word!(Tamped);

/// What was said of the trench of a buried reach.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Trench {
    /// Water in it, where said.
    pub wet: Option<Wet>,
    /// Depth of the bed that a flood moves over the pipe, m, where said.
    pub scour_m: Option<f64>,
    /// What lies against the pipe, where said.
    pub surround: Option<Surround>,
    /// How that is tamped, where said.
    pub tamped: Option<Tamped>,
    /// Width at the pipe, m, where said.
    pub width_m: Option<f64>,
}
