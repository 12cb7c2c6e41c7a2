/// The bore of the pipe down to a station.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bore {
    /// Where this bore ends, m along the line; the last one reaches to the end whatever it says.
    pub to_m: f64,
    /// Inner diameter, m.
    pub bore_m: f64,
}

crate::text::words! {
    /// What is said of a climb that was listed.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum ClimbVerdict {
        /// The pipe climbs here by more than half a bore: at least 0.90 sure; from a single walk 0.95, and only where more than the walk shows it (a levelled reach, a barometer); from several, only without any one of them and from that low to that crest.
        Climbs = "climbs",
        /// The survey cannot tell.
        CannotTell = "cannot tell",
    }
}

/// A reach that climbs or may climb by more than half a bore.
#[derive(Debug, Clone, PartialEq)]
pub struct Climb {
    /// Where the climb begins, m along the line (median of the draws that climb here).
    pub low_station_m: f64,
    /// Where it tops out, m (median of those draws).
    pub crest_station_m: f64,
    /// Where the pipe is down again to the low's height, or the next low, or the end, m.
    pub end_station_m: f64,
    /// The crest lies between this station, m, and `crest_to_m` in nine of ten draws that climb here.
    pub crest_from_m: f64,
    /// See `crest_from_m`.
    pub crest_to_m: f64,
    /// The whole reach in which some draw climbs, m: what to level to settle it.
    pub reach_from_m: f64,
    /// See `reach_from_m`.
    pub reach_to_m: f64,
    /// Largest rise in the reach, mean over all draws, m.
    pub rise_m: f64,
    /// Its standard deviation, m.
    pub rise_sd_m: f64,
    /// Share of draws in which the rise is more than half a bore: air stays when running.
    pub probability: f64,
    /// Share of draws in which the rise is more than a whole bore: air seals at the start.
    pub seal_probability: f64,
    /// What is said.
    pub verdict: ClimbVerdict,
    /// Several walks do not agree: what the draws say here turns over when one of the walks is left out.
    pub hangs_on_one_walk: bool,
    /// Air that the shape round the crest can hold above the level at which it spills, m3: mean over the draws that climb here.
    pub pocket_m3: f64,
}

/// A low between two falls, or below a climb: silt settles and water stays.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Low {
    /// Distance along the pipe from its inlet, m.
    pub station_m: f64,
    /// Elevation of the pipe centre on the mean line, in the datum of the survey, m.
    pub elevation_m: f64,
    /// Rise after the low point, mean over the draws that have it, m.
    pub rise_after_m: f64,
    /// Probability that it is so: the share of draws that have it.
    pub probability: f64,
}

/// A stretch that neither falls enough to carry air and silt nor climbs.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Flat {
    /// Station where the section begins, m.
    pub from_station_m: f64,
    /// Station where the section ends, m.
    pub to_station_m: f64,
    /// Mean fall divided by length of pipe; negative where the pipe rises.
    pub fall: f64,
    /// Standard deviation of the fall.
    pub fall_sd: f64,
}

/// How steeply the line falls between two stations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grade {
    /// Where it begins, m.
    pub from_station_m: f64,
    /// Where it ends, m.
    pub to_station_m: f64,
    /// Fall, m per m of pipe, positive downhill.
    pub fall: f64,
    /// Its standard deviation.
    pub fall_sd: f64,
}

/// The pipe on the route, judged.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Profile {
    /// Reaches that climb or may climb, in order from the intake. What is not listed falls.
    pub climbs: Vec<Climb>,
    /// Lows, in order.
    pub lows: Vec<Low>,
    /// Flats, in order.
    pub flats: Vec<Flat>,
    /// Grades between neighbouring stations.
    pub grades: Vec<Grade>,
    /// Share of draws that climb by more than half a bore anywhere on the line. It is more than the largest of the reaches.
    pub climb_probability: f64,
    /// Half a bore, at the narrowest, m.
    pub climb_threshold_m: f64,
    /// A whole bore, at the narrowest, m.
    pub seal_threshold_m: f64,
    /// Reaches below this probability are taken to fall, but for those where the fall hangs on one of several walks: 0.05, or 0.03 from a single walk.
    pub listed_above: f64,
}

impl Profile {
    /// Where nothing was surveyed no rise is certain: a climb whose low and crest both lie in one such stretch is one of which the survey cannot tell.
    #[must_use]
    pub fn unsure_within(mut self, unrecorded: &[(f64, f64)]) -> Self {
        for climb in &mut self.climbs {
            let inside = |&(from, to): &(f64, f64)| {
                climb.low_station_m >= from - 1e-6 && climb.crest_station_m <= to + 1e-6
            };
            if unrecorded.iter().any(inside) {
                climb.verdict = ClimbVerdict::CannotTell;
            }
        }
        self
    }
}
