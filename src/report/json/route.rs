use crate::line::Geometry;
use crate::profile::{Chance, Climb, ClimbVerdict, Flat, Low, Profile, settling};
use crate::report::words::Say;
use crate::route::receiver::Class;
use crate::route::{Bend, Route};
use crate::survey::Method;
use serde_json::{Value, json};

/// The word of a method in result.json.
pub fn method_word(method: Method) -> &'static str {
    match method {
        Method::Gpx => "gpx",
        Method::Level => "level",
        Method::Angle => "angle",
        Method::Points => "points",
        Method::Gauge => "gauge",
        Method::Mixed => "mixed",
    }
}

/// The block `survey`.
pub fn survey(route: &Route, bore_m: f64, threshold_m: f64, say: Say) -> Value {
    json!({
        "method": route.method.map(method_word),
        "files": route.files.iter().map(|f| json!({"file": f.file, "bytes": f.bytes, "sha256": f.sha256})).collect::<Vec<_>>(),
        "points_read": route.points_read,
        "points_used": route.points_used,
        "passes": route.passes,
        "receiver": receiver(route),
        "reversed": route.reversed,
        "misclosure_m": route.misclosure.map(|m| m.found_m),
        "misclosure_allowed_m": route.misclosure.map(|m| m.allowed_m),
        "terrain_model": route.terrain_model,
        "bore_m": bore_m,
        "climb_threshold_m": threshold_m,
        "remarks": route.remarks.iter().map(|r| json!({"at": r.place.to_string(), "text": say.units.say(&r.text)})).collect::<Vec<_>>(),
        "places": route.places.iter().map(|p| json!({"name": p.name, "station_m": p.station_m, "off_m": p.off_m})).collect::<Vec<_>>(),
    })
}

/// How likely each class of receivers is; absent where none was followed.
fn receiver(route: &Route) -> Option<Vec<Value>> {
    let one = |&(class, share): &(Class, f64)| json!({"class": class.word(), "probability": share});
    (!route.receiver.is_empty()).then(|| route.receiver.iter().map(one).collect())
}

/// The block `route` of a whole check: on the line's grid.
pub fn of_line(geometry: &Geometry, profile: &Profile) -> Value {
    let heights = &geometry.heights;
    let rows = heights
        .station_m
        .iter()
        .zip(&heights.mean_m)
        .zip(&heights.sd_m)
        .zip(&geometry.horizontal_m)
        .zip(&geometry.plan)
        .zip(&geometry.ground_m);
    let points: Vec<Value> = rows
        .map(|(((((station, elevation), sd), horizontal), plan), ground)| {
            let lat_lon = plan.and_then(|p| p.lat_lon_deg);
            json!({
                "station_m": station, "horizontal_m": horizontal, "elevation_m": elevation, "ground_m": ground, "sd_m": sd,
                "lat": lat_lon.map(|p| p.0), "lon": lat_lon.map(|p| p.1),
            })
        })
        .collect();
    json!({
        "length_m": geometry.length_m(),
        "length_sd_m": geometry.length_sd_m,
        "station_sd_m": geometry.station_sd_m,
        "horizontal_m": geometry.horizontal_m.last(),
        "drop_m": geometry.drop_m(),
        "drop_sd_m": heights.drop_sd_m,
        "climb_probability": profile.climb_probability,
        "points": points,
        "bends": bends(&geometry.bends),
    })
}

/// The block `route` of a survey alone: on the surveyed points.
pub fn of_survey(route: &Route, profile: &Profile) -> Value {
    let heights = &route.heights;
    let rows = route.nodes.iter().zip(&heights.mean_m).zip(&heights.sd_m);
    let points: Vec<Value> = rows
        .map(|((node, elevation), sd)| {
            let lat_lon = node.plan.and_then(|p| p.lat_lon_deg);
            json!({
                "station_m": node.station_m, "horizontal_m": node.horizontal_m, "elevation_m": elevation, "sd_m": sd,
                "lat": lat_lon.map(|p| p.0), "lon": lat_lon.map(|p| p.1),
            })
        })
        .collect();
    let drop = heights
        .mean_m
        .first()
        .zip(heights.mean_m.last())
        .map(|(a, b)| a - b);
    json!({
        "length_m": route.nodes.last().map(|n| n.station_m),
        "length_sd_m": route.length_sd_m,
        "station_sd_m": route.station_sd_m,
        "horizontal_m": route.nodes.last().map(|n| n.horizontal_m),
        "drop_m": drop,
        "drop_sd_m": heights.drop_sd_m,
        "climb_probability": profile.climb_probability,
        "points": points,
        "bends": bends(&route.bends),
    })
}

fn bends(bends: &[Bend]) -> Vec<Value> {
    bends
        .iter()
        .map(|b| {
            json!({
                "station_m": b.station_m, "plan_deg": b.plan_rad.to_degrees(), "profile_deg": b.profile_rad.to_degrees(), "angle_deg": b.angle_rad.to_degrees(),
                "angle_sd_deg": b.sd_rad.to_degrees(), "over_m": b.over_m,
            })
        })
        .collect()
}

/// One entry of `climbs`; what vents it comes from the air where that was computed. One that cannot be told names what would settle it, the surest first.
pub fn climb(climb: &Climb, route: &Route, threshold_m: f64, vented_by: &[String]) -> Value {
    let doubtful = climb.verdict == ClimbVerdict::CannotTell;
    let mut out = json!({
        "low_station_m": climb.low_station_m,
        "crest_station_m": climb.crest_station_m,
        "end_station_m": climb.end_station_m,
        "rise_m": climb.rise_m,
        "rise_sd_m": climb.rise_sd_m,
        "probability": climb.probability,
        "seal_probability": climb.seal_probability,
        "verdict": match climb.verdict { ClimbVerdict::Climbs => "climbs", ClimbVerdict::CannotTell => "cannot tell" },
        "crest_from_m": climb.crest_from_m,
        "crest_to_m": climb.crest_to_m,
        "level_from_m": climb.reach_from_m,
        "level_to_m": climb.reach_to_m,
        "setups_to_settle": crate::finding::setups(climb.reach_from_m, climb.reach_to_m),
        "pocket_m3": climb.pocket_m3,
        "vented_by": vented_by,
    });
    if doubtful && let Some(list) = out.as_object_mut() {
        let methods: &[&str] = if route.more_walks_tell() {
            &["level", "walks"]
        } else {
            &["level"]
        };
        list.insert("settled_by".into(), json!(methods));
        list.insert("hangs_on_one_walk".into(), json!(climb.hangs_on_one_walk));
        if let Some(settling) = settling(route, climb, threshold_m) {
            let chance = |c: Chance| json!({"walks": c.walks, "chance": c.chance});
            let mut said = json!({
                "barometer": chance(settling.barometer),
                "pace_m_per_s": settling.pace_m_per_s,
            });
            if let (Some(walks), Some(said)) = (settling.walks, said.as_object_mut()) {
                said.insert("walks".into(), chance(walks));
            }
            list.insert("settling".into(), said);
        }
    }
    out
}

/// The list `lows`.
pub fn lows(lows: &[Low]) -> Vec<Value> {
    lows.iter().map(|l| json!({"station_m": l.station_m, "elevation_m": l.elevation_m, "rise_after_m": l.rise_after_m, "probability": l.probability})).collect()
}

/// The list `flats`.
pub fn flats(flats: &[Flat]) -> Vec<Value> {
    flats.iter().map(|f| json!({"from_station_m": f.from_station_m, "to_station_m": f.to_station_m, "fall": f.fall, "fall_sd": f.fall_sd})).collect()
}
