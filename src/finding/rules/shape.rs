use super::air::AtCrest;
use crate::finding::{DeclaredStep, Finding, Kind, Severity, setups};
use crate::profile::{Chance, ClimbVerdict, Profile, settling};
use crate::route::Route;

/// Climbs, certain and doubtful; one that is more likely than not, and that nothing vents, is to be settled. `vented_by` tells what lets the air out of the climb by its index, if anything does (`None`: the survey alone was read, and what stands is not known); `at_crest` what stands there and does not do it by itself; `cock_only` whether an open vent would draw air in there; the crest of a siphon at the intake is told by itself; `step` what planned pipe does there over ground that falls; `route`: tells what would settle a doubtful one.
pub fn climbs(
    profile: &Profile,
    vented_by: Option<impl Fn(usize) -> Option<String>>,
    at_crest: impl Fn(usize) -> AtCrest,
    cock_only: impl Fn(usize) -> bool,
    is_siphon: impl Fn(usize) -> bool,
    step: impl Fn(usize) -> Option<DeclaredStep>,
    route: &Route,
) -> Vec<Finding> {
    let vents_known = vented_by.is_some();
    let vented = |climb| vented_by.as_ref().and_then(|by| by(climb));
    profile
        .climbs
        .iter()
        .enumerate()
        .filter(|(i, _)| !is_siphon(*i))
        .map(|(i, climb)| match climb.verdict {
            ClimbVerdict::Climbs => {
                let (from, to) = (climb.low_station_m, climb.crest_station_m);
                match vented(i) {
                    Some(by) => Finding::new(
                        Severity::Watch,
                        Kind::ClimbVented {
                            rise_m: climb.rise_m,
                            by,
                        },
                        from,
                        to,
                    ),
                    None => Finding::new(
                        // a cock that stands where nothing else can is all that is to be set there
                        if cock_only(i) && at_crest(i).by_hand_m.is_some() {
                            Severity::Watch
                        } else {
                            Severity::Fix
                        },
                        Kind::ClimbUnvented {
                            rise_m: climb.rise_m,
                            rise_sd_m: climb.rise_sd_m,
                            crest_m: climb.crest_station_m,
                            pocket_m3: climb.pocket_m3,
                            by_hand_m: at_crest(i).by_hand_m,
                            idle_m: at_crest(i).idle_m,
                            vents_known,
                            cock_only: cock_only(i),
                            step: step(i),
                        },
                        from,
                        to,
                    ),
                }
                .certainty(climb.probability)
            }
            ClimbVerdict::CannotTell => {
                let settling = settling(route, climb, profile.climb_threshold_m);
                let told = |c: Chance| (c.walks, c.chance);
                Finding::new(
                    if climb.probability > 0.5 && vented(i).is_none() {
                        Severity::Fix
                    } else {
                        Severity::Watch
                    },
                    Kind::ClimbDoubtful {
                        rise_m: climb.rise_m,
                        rise_sd_m: climb.rise_sd_m,
                        setups: setups(climb.reach_from_m, climb.reach_to_m),
                        walks: settling.and_then(|s| s.walks).map(told),
                        barometer: settling.map(|s| told(s.barometer)),
                        hangs_on_one_walk: climb.hangs_on_one_walk,
                        by: vented(i),
                    },
                    climb.reach_from_m,
                    climb.reach_to_m,
                )
                .certainty(climb.probability)
            }
        })
        .collect()
}

/// Reaches that hardly fall.
pub fn flats(profile: &Profile) -> Vec<Finding> {
    profile
        .flats
        .iter()
        .map(|flat| {
            Finding::new(
                Severity::Watch,
                Kind::Flat {
                    fall: flat.fall,
                    fall_sd: flat.fall_sd,
                },
                flat.from_station_m,
                flat.to_station_m,
            )
        })
        .collect()
}

/// Stretches without a height that follow each other are one; a line drawn on a map has no more of them than its points lie apart.
fn not_recorded(route: &Route) -> Vec<Finding> {
    let mut spans: Vec<(f64, f64)> = Vec::new();
    for &(from, to) in &route.unrecorded {
        match spans.last_mut() {
            Some(last) if from - last.1 < 1.0 => last.1 = to,
            _ => spans.push((from, to)),
        }
    }
    spans
        .into_iter()
        .map(|(from, to)| {
            let setups = setups(from, to);
            Finding::new(Severity::Fix, Kind::NotRecorded { setups }, from, to)
        })
        .collect()
}

/// What the survey itself says.
pub fn survey(route: &Route) -> Vec<Finding> {
    let end = route.length_m();
    let mut found = Vec::new();
    if route.terrain_model {
        found.push(Finding::new(Severity::Fix, Kind::TerrainModel, 0.0, end));
    }
    found.extend(not_recorded(route));
    if let Some(closing) = route.misclosure.filter(|m| m.found_m.abs() > m.allowed_m) {
        found.push(Finding::new(
            Severity::Fix,
            Kind::Misclosure {
                found_m: closing.found_m,
                allowed_m: closing.allowed_m,
            },
            0.0,
            end,
        ));
    }
    found
}
