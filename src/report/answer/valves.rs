//! How fast can a valve move?

use super::question::{listed, why_not};
use crate::study::Study;
use crate::surge::Surge;
use crate::words::Say;

pub(super) fn answer(study: &Study, say: Say) -> (String, Vec<String>) {
    let Some(surges) = &study.surges else {
        return (
            format!("Not calculated: {}.", why_not(study, "surges", say)),
            Vec::new(),
        );
    };
    let mut timed: Vec<(f64, String)> = surges.weighed().filter_map(|s| time(s, say)).collect();
    timed.sort_by(|a, b| b.0.total_cmp(&a.0));
    let all: Vec<String> = timed.into_iter().map(|(_, words)| words).collect();
    let line = if all.is_empty() {
        "No valve operation was calculated.".to_owned()
    } else {
        format!("Minimum time: {}.", listed(&all, 3))
    };
    let mut more = Vec::new();
    if all.len() > 3 {
        more.push(format!("All operations: {}.", all.join(", ")));
    }
    let parting: Vec<&str> = surges
        .weighed()
        .filter(|s| s.vapour.is_some())
        .map(|s| s.movement.as_str())
        .collect();
    if !parting.is_empty() {
        more.push(format!(
            "Column separation occurs, as calculated, in: {}.",
            parting.join(", ")
        ));
    }
    if surges.weighed().any(|s| !s.valid) {
        more.push(
            "These times are valid only while no air can stay at a high point. Until then, operate the valves much more slowly.".to_owned(),
        );
    }
    (line, more)
}

/// The shortest time of an operation with its words, by how harmful it is to be quicker; none for what happens by itself.
fn time(s: &Surge, say: Say) -> Option<(f64, String)> {
    let search = s.search.as_ref()?;
    let name = &s.movement;
    Some(match search.straight_s {
        Some(t) if t > 0.0 => (t, format!("{name} {}", say.counted(t))),
        Some(_) => (0.0, format!("{name}: any time is safe")),
        None if search.hopeless => (
            f64::MAX,
            format!(
                "{name}: no time is sufficient (pressure too high at {})",
                say.station(search.governing_station_m)
            ),
        ),
        None => (
            search.longest_s,
            format!("{name}: more than {}", say.counted(search.longest_s)),
        ),
    })
}
