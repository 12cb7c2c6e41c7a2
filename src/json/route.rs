use super::block::block;
use crate::line::Geometry;
use crate::profile::{Climb, ClimbVerdict, Profile, SettlingSurvey, settling};
use crate::reading::{Method, Source};
use crate::receiver::Class;
use crate::route::{Bend, Plan, Route, StationedPlace};
use crate::text::Remark;
use crate::words::Say;
use serde::Serialize;

/// What would settle a climb that the survey cannot tell.
#[derive(Debug, Clone, Copy)]
pub(super) enum SettledBy {
    Level,
    Walks,
}

crate::text::by_word! {
    SettledBy {
        Self::Level => "level",
        Self::Walks => "walks",
    }
}

block! {
    #[derive(Default)]
    /// The block `survey`.
    struct SurveyJson of (route: &Route, bore_m: f64, threshold_m: f64, date: Option<String>, say: Say) {
        /// Kind of survey: gpx, level, angle, points, gauge or mixed.
        method: Option<Method> = route.method,
        /// Files that were used.
        files: Vec<Source> = route.files.clone(),
        /// Number of points read from the files.
        points_read: usize = route.points_read,
        /// Number of points used after cleaning.
        points_used: usize = route.points_used,
        /// Number of walks or passes over the route.
        passes: usize = route.passes,
        /// Probability of each class of receivers, from the errors of the walks.
        receiver: Option<Vec<ReceiverJson>> = (!route.receiver.is_empty()).then(|| route.receiver.iter().map(ReceiverJson::of).collect()),
        /// True if the survey began at the lower end and was reversed.
        reversed: bool = route.reversed,
        /// Misclosure of the level book, m.
        misclosure_m: Option<f64> = route.misclosure.map(|m| m.found_m),
        /// Allowable misclosure, m.
        misclosure_allowed_m: Option<f64> = route.misclosure.map(|m| m.allowed_m),
        /// True if the heights appear to be copied from a terrain model.
        terrain_model: bool = route.terrain_model,
        bore_m: f64 = bore_m,
        /// Smallest rise that counts as a rising section: half the inside diameter, m.
        climb_threshold_m: f64 = threshold_m,
        /// Remarks of the readers about the survey.
        remarks: Vec<RemarkJson> = route.remarks.iter().map(|r| RemarkJson::of(r, say)).collect(),
        /// Waypoints and named points.
        places: Vec<PlaceJson> = route.places.iter().map(PlaceJson::of).collect(),
        /// Date of the survey.
        date: Option<String> = date,
    }

    struct RemarkJson of (r: &Remark, say: Say) {
        at: String = r.place.to_string(),
        text: String = say.units.say(&r.text),
    }

    struct PlaceJson of (p: &StationedPlace) {
        name: String = p.name.clone(),
        station_m: f64 = p.station_m,
        off_m: f64 = p.off_m,
    }

    struct ReceiverJson of (held: &(Class, f64)) with { let (class, share) = *held; } {
        /// Name of the class.
        class: Class = class,
        /// Probability of the class, 0 to 1.
        probability: f64 = share,
    }

    struct PointJson of (at: [f64; 4], ground: Option<f64>, plan: Option<&Plan>) with {
        let [station, horizontal, elevation, sd] = at;
        let lat_lon = plan.and_then(|p| p.lat_lon_deg);
    } {
        station_m: f64 = station,
        horizontal_m: f64 = horizontal,
        elevation_m: f64 = elevation,
        ground_m: Option<f64> = ground,
        sd_m: f64 = sd,
        lat: Option<f64> = lat_lon.map(|p| p.0),
        lon: Option<f64> = lat_lon.map(|p| p.1),
    }

    struct BendJson of (b: &Bend) {
        station_m: f64 = b.station_m,
        /// Deflection in plan, left positive, degrees.
        plan_deg: f64 = b.plan_rad.to_degrees(),
        /// Deflection in profile, degrees.
        profile_deg: f64 = b.profile_rad.to_degrees(),
        angle_deg: f64 = b.angle_rad.to_degrees(),
        angle_sd_deg: f64 = b.sd_rad.to_degrees(),
        /// Length over which the bend or the movement extends, m.
        over_m: f64 = b.over_m,
    }

    /// A rising section; what vents it comes from the air where that was computed. One that cannot be told names what would settle it, the surest first.
    struct ClimbJson of (climb: &Climb, route: &Route, threshold_m: f64, vented_by: Vec<String>) with {
        let doubtful = climb.verdict == ClimbVerdict::CannotTell;
        let methods = [Some(SettledBy::Level), route.more_walks_tell().then_some(SettledBy::Walks)];
    } {
        low_station_m: f64 = climb.low_station_m,
        crest_station_m: f64 = climb.crest_station_m,
        /// Station where the pipe is down at the low point's height again, or the next low point, m.
        end_station_m: f64 = climb.end_station_m,
        /// Largest rise, m.
        rise_m: f64 = climb.rise_m,
        /// Standard deviation of the largest rise, m.
        rise_sd_m: f64 = climb.rise_sd_m,
        /// Probability that it is so.
        probability: f64 = climb.probability,
        /// Probability that the rise exceeds the inside diameter and water seals the low point.
        seal_probability: f64 = climb.seal_probability,
        verdict: ClimbVerdict = climb.verdict,
        /// First station where the high point can lie (5 %), m.
        crest_from_m: f64 = climb.crest_from_m,
        /// Last station where the high point can lie (95 %), m.
        crest_to_m: f64 = climb.crest_to_m,
        /// Start of the section to survey with a level, m.
        level_from_m: f64 = climb.reach_from_m,
        /// End of the section to survey with a level, m.
        level_to_m: f64 = climb.reach_to_m,
        /// Number of set-ups of the level that would decide.
        setups_to_settle: usize = crate::finding::setups(climb.reach_from_m, climb.reach_to_m),
        /// Largest volume of the air pocket, m3.
        pocket_m3: f64 = climb.pocket_m3,
        vented_by: Vec<String> = vented_by,
        /// Surveys that would decide: level, walks.
        settled_by: Option<Vec<SettledBy>> = doubtful.then(|| methods.into_iter().flatten().collect()),
        /// The walks do not agree: without one of them, the result is different.
        hangs_on_one_walk: Option<bool> = doubtful.then_some(climb.hangs_on_one_walk),
        /// What would decide a rise that is not certain.
        settling: Option<SettlingSurvey> = settling(route, climb, threshold_m).filter(|_| doubtful),
    }
}

/// The route of the pipe.
#[derive(Debug, Clone, Default, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct RouteJson {
    #[cfg_attr(test, schemars(required))]
    length_m: Option<f64>,
    /// Standard deviation of the length, m.
    length_sd_m: f64,
    /// Standard deviation of a station, m.
    station_sd_m: f64,
    #[cfg_attr(test, schemars(required))]
    horizontal_m: Option<f64>,
    /// Elevation difference between the pipe inlet and its lower end, m.
    #[cfg_attr(test, schemars(required))]
    drop_m: Option<f64>,
    /// Standard deviation of the elevation difference, m.
    drop_sd_m: f64,
    /// Probability that the pipe rises anywhere.
    climb_probability: f64,
    points: Vec<PointJson>,
    bends: Vec<BendJson>,
}

impl RouteJson {
    /// The block `route` of a whole check: on the line's grid.
    pub(super) fn of_line(of: &Geometry, profile: &Profile) -> Self {
        let rows = of
            .heights
            .station_m
            .iter()
            .zip(&of.heights.mean_m)
            .zip(&of.heights.sd_m);
        let rows = rows.zip(&of.horizontal_m).zip(&of.plan).zip(&of.ground_m);
        let points = rows.map(
            |(((((station, elevation), sd), horizontal), plan), ground)| {
                PointJson::of(
                    [*station, *horizontal, *elevation, *sd],
                    *ground,
                    plan.as_ref(),
                )
            },
        );
        Self {
            length_m: Some(of.length_m()),
            length_sd_m: of.length_sd_m,
            station_sd_m: of.station_sd_m,
            horizontal_m: of.horizontal_m.last().copied(),
            drop_m: Some(of.drop_m()),
            drop_sd_m: of.heights.drop_sd_m,
            climb_probability: profile.climb_probability,
            points: points.collect(),
            bends: of.bends.iter().map(BendJson::of).collect(),
        }
    }

    /// The block `route` of a survey alone: on the surveyed points.
    pub(super) fn of_survey(route: &Route, profile: &Profile) -> Self {
        let heights = &route.heights;
        let rows = route.nodes.iter().zip(&heights.mean_m).zip(&heights.sd_m);
        let points = rows.map(|((node, elevation), sd)| {
            PointJson::of(
                [node.station_m, node.horizontal_m, *elevation, *sd],
                None,
                node.plan.as_ref(),
            )
        });
        let ends = heights.mean_m.first().zip(heights.mean_m.last());
        Self {
            length_m: route.nodes.last().map(|n| n.station_m),
            length_sd_m: route.length_sd_m,
            station_sd_m: route.station_sd_m,
            horizontal_m: route.nodes.last().map(|n| n.horizontal_m),
            drop_m: ends.map(|(a, b)| a - b),
            drop_sd_m: heights.drop_sd_m,
            climb_probability: profile.climb_probability,
            points: points.collect(),
            bends: route.bends.iter().map(BendJson::of).collect(),
        }
    }
}
