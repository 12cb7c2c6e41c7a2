//! Where the pipe needs a vent to live: it would be pressed flat as it empties, whatever stands or is wanted already.

use super::drained::drained;
use crate::air::{Air, Vent};
use crate::line::{Appurtenance, Line};
use crate::pipe::MarkKind;
use crate::strength::{self, Load};

/// Vents that are added at most: more of them means that the pipe is too thin for its line.
const MOST: usize = 12;

/// Stations of the vents that the pipe needs to live, beyond those that stand and those that the air asks for, m, in order from the intake.
///
/// One at a time, at the highest place that would be pressed flat in the worst way of emptying: there the air comes in that lets everything below it fall.
pub(super) fn vents_against_collapse_m(line: &Line, air: &Air) -> Vec<f64> {
    let mut trial = line.clone();
    trial
        .stands
        .extend(air.vents.iter().filter(|v| v.stands.is_none()).map(stand));
    if !strength::needs_air_somewhere(&trial) {
        return Vec::new();
    }
    let mut out = Vec::new();
    while out.len() < MOST {
        let Some(station_m) = highest_buckled_station_m(&trial) else {
            break;
        };
        trial.stands.push(Appurtenance {
            device: Some(crate::pipe::Device::VacuumValve),
            ..Appurtenance::plain(MarkKind::Vent, station_m)
        });
        out.push(station_m);
    }
    out.sort_by(f64::total_cmp);
    out
}

/// The highest station that is pressed flat in the way of emptying that asks most of the pipe.
fn highest_buckled_station_m(line: &Line) -> Option<f64> {
    let worst = |load: &Load| {
        let used = strength::collapse_utilisation(line, load);
        let most = used.iter().copied().fold(0.0, f64::max);
        (used, most)
    };
    let (used, most) = drained(line)
        .iter()
        .map(worst)
        .reduce(|a, b| if b.1 > a.1 { b } else { a })?;
    if most <= 1.0 {
        return None;
    }
    line.geometry
        .heights
        .station_m
        .iter()
        .zip(&line.geometry.heights.mean_m)
        .zip(&used)
        .filter(|(_, used)| **used > 1.0)
        .max_by(|a, b| a.0.1.total_cmp(b.0.1).then(b.0.0.total_cmp(a.0.0)))
        .map(|((station_m, _), _)| *station_m)
}

/// A wanted vent as if it stood.
pub(super) fn stand(vent: &Vent) -> Appurtenance {
    Appurtenance {
        device: Some(vent.device),
        bore_m: Some(vent.bore_m),
        top_m: vent.top_m,
        ..Appurtenance::plain(MarkKind::Vent, vent.station_m)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::air::{self, AirInputs};
    use crate::pipe;
    use crate::profile::{self, Bore};

    #[test]
    fn a_thin_pipe_over_a_crest_gets_a_vent_to_live_and_a_thick_one_none() {
        let wants = |words: &str| {
            let pipe = pipe::find(words).unwrap();
            let line = Line::plain(
                &[(0.0, 100.0), (100.0, 60.0), (140.0, 72.0), (300.0, 20.0)],
                &pipe,
            );
            let bores = [Bore {
                to_m: 300.0,
                bore_m: pipe.inner_diameter_m,
            }];
            let profile = profile::judge(&line.geometry.heights, &bores);
            let mut air = air::judge(&line, &profile, &[], &AirInputs::default()).unwrap();
            air.vents.clear();
            (vents_against_collapse_m(&line, &air), line)
        };
        let (thin, mut line) = wants("PE100 SDR26 110");
        assert!(!thin.is_empty() && thin[0] == 0.0, "{thin:?}");
        line.stands = thin
            .iter()
            .map(|s| Appurtenance {
                device: Some(pipe::Device::VacuumValve),
                ..Appurtenance::plain(MarkKind::Vent, *s)
            })
            .collect();
        assert_eq!(highest_buckled_station_m(&line), None);
        assert!(wants("PE100 SDR7.4 110").0.is_empty());
    }
}
