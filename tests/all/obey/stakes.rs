//! Plans of digging and propping, built.

use super::act::station;
use super::plant::{Book, Plant};
use serde_json::Value;

/// The first plan of digging and propping that is sure and leaves nothing there, built: the pipe straight between its stakes.
pub fn staked(plant: &mut Plant, result: &Value, finding: &Value) -> Option<()> {
    // heights by a walk are not those that the stakes are set to
    if let Book::Walk(_) | Book::Plan(_) = plant.book {
        return None;
    }
    let plan = result["regrade"].as_array()?.iter().find(|p| {
        let sure = p["certainty_with_extra"]
            .as_f64()
            .or(p["certainty"].as_f64());
        sure.is_none_or(|s| s >= 0.9) && p["remaining"].as_array().is_some_and(Vec::is_empty)
    })?;
    let stakes = plan["stakes"].as_array()?;
    let over = |s: &&Value| {
        let at = station(s, "station_m");
        at >= station(finding, "from_station_m") - 50.0
            && at <= station(finding, "to_station_m") + 50.0
    };
    stakes.iter().find(over)?;
    // the stakes are levelled
    let sd = 0.002;
    let mut points = plant.points.clone();
    // between two stakes the pipe lies straight, unless neither is changed
    for pair in stakes.windows(2) {
        let (from, to) = (
            station(&pair[0], "station_m"),
            station(&pair[1], "station_m"),
        );
        let moved = |s: &Value| s["change_m"].as_f64().unwrap().abs() > 1e-6;
        if moved(&pair[0]) || moved(&pair[1]) {
            points.retain(|p| p.0 < from - 0.005 || p.0 > to + 0.005);
        }
    }
    for stake in stakes {
        let at = station(stake, "station_m");
        points.retain(|p| (p.0 - at).abs() > 0.005);
        points.push((
            at,
            station(stake, "wanted_m") + stake["extra_m"].as_f64().unwrap_or(0.0),
            sd,
        ));
    }
    points.sort_by(|a, b| a.0.total_cmp(&b.0));
    plant.points = points;
    Some(())
}
