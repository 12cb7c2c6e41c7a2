//! How two surveys lie on each other.

use crate::numeric::Motion;
use crate::numeric::series::interpolate;
use crate::route::Route;

/// What is known beforehand of how two surveys fit.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct AlignOptions {
    /// Reaches of the earlier survey that are believed not to have moved, m: only they carry the fit in height.
    pub stable_m: Vec<(f64, f64)>,
    /// Both surveys hang on the same known heights: then no offset is taken out.
    pub same_heights: bool,
    /// Where the later survey's end nearest the intake lies on the earlier line, m, where the user knows it; positions of both go before it.
    pub station_offset_m: Option<f64>,
}

crate::text::words! {
    /// How the two were brought together along the line.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum By {
        /// By their positions in plan.
        Plan = "by their positions in plan",
        /// By places that carry the same name in both.
        Names = "by points with the same name",
        /// By the stations of both books, as on the pegs.
        Stations = "by the stations of both books",
        /// By the shape of the heights.
        Shape = "by the shape of the heights",
        /// By their beginnings: both run the whole line.
        Ends = "by their start points",
        /// As the user said.
        Said = "as given",
    }
}

/// The later survey brought onto the earlier one.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Alignment {
    /// How stations were matched.
    pub by: By,
    /// Stations of the earlier survey that the later one covers, m.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// Even stations of the earlier survey over that reach, each with its place in the later one.
    pub matched: Vec<Matched>,
    /// Turn and shift taken out in plan; `None` without plans.
    pub motion: Option<Motion>,
    /// Offset in height taken out, m: later less earlier.
    pub height_offset_m: f64,
    /// Its standard deviation, m.
    pub height_offset_sd_m: f64,
    /// Drift in height taken out, m per m of station: only where it stands above its doubt.
    pub height_drift: f64,
    /// Spread of what is left of the heights, m (robust standard deviation).
    pub height_spread_m: f64,
    /// The later survey was turned round to match.
    pub turned: bool,
    /// Standard deviation of the match along the line, m.
    pub station_sd_m: f64,
    /// Ground that was said not to have moved, m: what the rest is held against.
    pub stable_m: Vec<(f64, f64)>,
}

/// A station of the earlier survey and what the later one says there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Matched {
    /// Station in the earlier survey, m.
    pub before_m: f64,
    /// Station of the same place in the later survey (turned where it was turned), m.
    pub after_m: f64,
    /// How far the later line lies to the left, looking down the line, m; `None` without plans.
    pub side_m: Option<f64>,
    /// Later height less earlier, the offset and drift taken out, m.
    pub up_m: f64,
}

/// Why two surveys cannot be held against each other.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Apart {
    /// A route with fewer than two points.
    TooShort,
    /// They lie so far from each other, m, that they are not of one pipe.
    TooFar(f64),
    /// They have less than this in common, m.
    TooLittle(f64),
    /// Nothing says where along the pipe the later survey lies.
    NoPlace,
}

/// Distance between matched stations, m, on lines of up to 1.5 km; more on longer ones.
pub(super) const STEP_M: f64 = 1.0;

/// The least that two surveys must have in common, m.
pub(super) const LEAST_M: f64 = 5.0;

pub(super) fn length(route: &Route) -> f64 {
    route.length_m()
}

/// Even stations from one to another.
pub(super) fn even(from: f64, to: f64) -> Vec<f64> {
    let step = STEP_M.max((to - from) / 1500.0);
    let count = ((to - from) / step).ceil().max(1.0);
    (0..=count as usize)
        .map(|i| from + (to - from) * i as f64 / count)
        .collect()
}

impl Alignment {
    /// Whether a station stands on ground that was said not to have moved; all of it where nothing was said.
    pub(super) fn is_stable(&self, before_m: f64) -> bool {
        let on = |&(a, b): &(f64, f64)| before_m >= a && before_m <= b;
        self.stable_m.is_empty() || self.stable_m.iter().any(on)
    }

    pub(super) fn none() -> Self {
        Self {
            by: By::Ends,
            from_m: 0.0,
            to_m: 0.0,
            matched: Vec::new(),
            motion: None,
            height_offset_m: 0.0,
            height_offset_sd_m: 0.0,
            height_drift: 0.0,
            height_spread_m: 0.0,
            turned: false,
            station_sd_m: 0.0,
            stable_m: Vec::new(),
        }
    }

    /// Station of the later survey at a station of the earlier one, m.
    pub fn after_m(&self, before_m: f64) -> f64 {
        let at: Vec<f64> = self.matched.iter().map(|m| m.before_m).collect();
        let to: Vec<f64> = self.matched.iter().map(|m| m.after_m).collect();
        interpolate(&at, &to, before_m)
    }
}
