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

crate::text::words! {
    /// What lies against a buried pipe.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Surround {
        /// The soil as it was dug.
        Dug = "soil as dug",
        Sand = "clean sand or fine gravel",
        /// Crushed stone of small grain.
        Stone = "crushed stone",
    }
}

crate::text::words! {
    /// How the fill beside a pipe is tamped.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Tamped {
        /// Thrown in.
        Dumped = "dumped",
        /// Trodden down or lightly tamped.
        Light = "lightly tamped",
        /// Tamped in thin layers.
        Well = "well tamped",
    }
}

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
