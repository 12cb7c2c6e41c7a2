//! The reading that tells the first suspect from its rivals.

use super::channel::{Channel, ChannelKind, at_the_end};
use super::plant::Plant;
use super::result::{ReadNext, Suspect};
use crate::flow::respond;

/// Least difference between two suspects, over the scatter of a reading, for the reading to tell them apart.
const TELLS: f64 = 3.0;

/// The most telling reading against the next suspect that is nearly as likely as the first.
pub(super) fn next(
    plant: &Plant<'_>,
    channels: &[Channel],
    suspects: &[Suspect],
) -> Option<ReadNext> {
    let first = suspects.first()?;
    let rival = suspects.get(1).filter(|r| r.chance > first.chance / 20.0)?;
    let noise_of = |kind: ChannelKind, expected: f64| {
        let usual = kind.usual_noise(expected);
        channels
            .iter()
            .find(|c| c.kind == kind)
            .map_or(usual, |c| c.noise.max(0.5 * usual))
    };
    let mut best: Option<(f64, ReadNext)> = None;
    for wish in plant.wishes() {
        let dial = at_the_end(&plant.line.geometry);
        let with = |s: &Suspect| respond(plant.line, wish, dial, &plant.change(s.cause, s.size));
        let (Ok(a), Ok(b)) = (with(first), with(rival)) else {
            continue;
        };
        for (kind, of_first, of_rival) in [
            (ChannelKind::Pressure, a.gauge_m, b.gauge_m),
            (ChannelKind::Flow, a.flow_m3_per_s, b.flow_m3_per_s),
        ] {
            // what is read all the time already has had its say
            let read = channels
                .iter()
                .any(|c| c.kind == kind && c.state == wish.state && c.values.len() > 3);
            if read || (of_first == 0.0 && of_rival == 0.0) {
                continue;
            }
            let tells = (of_first - of_rival).abs() / noise_of(kind, of_first);
            if tells >= TELLS && best.as_ref().is_none_or(|(most, _)| tells > *most) {
                let next = ReadNext {
                    kind,
                    state: wish.state.clone(),
                    expected: (of_first, of_rival),
                    rival: rival.cause,
                };
                best = Some((tells, next));
            }
        }
    }
    best.map(|(_, next)| next)
}
