//! What is wanted on the hill, laid onto the line in thought: the same road as a run of a site that declares it.

use super::Study;
use crate::air::{Vent, VentFault, trade_size_m};
use crate::anchor::{Hold, LEAST_TOLD_N};
use crate::capacity::Which;
use crate::line::{Appurtenance, Line, Mover};
use crate::pipe::{MarkKind, WorkingState};
use crate::unit::Limit;

/// Two wishes of one kind nearer than this are one, m.
const ONE_PLACE_M: f64 = 0.5;

/// How many marks are wanted: vents, drains and holds that do not stand.
pub(super) fn wanted(study: &Study) -> usize {
    wished(study).len()
}

/// Everything that is wanted, by the figures that are told of it.
fn wished(study: &Study) -> Vec<Appurtenance> {
    let mut out: Vec<Appurtenance> = Vec::new();
    if let Some(air) = &study.air {
        let vents = air.vents.iter().filter(|v| v.stands.is_none());
        out.extend(vents.map(|v| told(super::collapse_vents::stand(v))));
        let drains = air.drains.iter();
        out.extend(
            drains
                .filter(|d| d.stands.is_none() && d.to_come.is_none())
                .map(|d| {
                    told(Appurtenance {
                        bore_m: Some(d.bore_m),
                        ..Appurtenance::plain(MarkKind::Drain, d.station_m)
                    })
                }),
        );
    }
    if let Some(anchor) = &study.anchor {
        out.extend(anchor.holds.iter().filter(|h| h.is_to_buy()).map(held));
    }
    out
}

/// A wanted hold as if it stood.
fn held(hold: &Hold) -> Appurtenance {
    told(Appurtenance {
        strength_n: (hold.force_n >= LEAST_TOLD_N).then_some(hold.force_n),
        slack_m: hold.slack_m.filter(|_| hold.kind == MarkKind::Loop),
        ..Appurtenance::plain(hold.kind, hold.station_m)
    })
}

/// Lengths are told to a tenth of a millimetre and forces to a tenth of a newton: what is asked for at least rounded up.
const LENGTHS: f64 = 1e4;
const FORCES: f64 = 10.0;

/// A thing by the figures that are told of it.
fn told(stand: Appurtenance) -> Appurtenance {
    let nearest = |value: f64, scale: f64| (value * scale).round() / scale;
    let at_least =
        |value: f64, scale: f64| nearest(Limit::AtLeast.rounded(value, 1.0 / scale), scale);
    Appurtenance {
        station_m: nearest(stand.station_m, LENGTHS),
        bore_m: stand.bore_m.map(|m| at_least(m, LENGTHS)),
        top_m: stand.top_m.map(|m| at_least(m, LENGTHS)),
        slack_m: stand.slack_m.map(|m| at_least(m, LENGTHS)),
        strength_n: stand.strength_n.map(|n| at_least(n, FORCES)),
        ..stand
    }
}

/// The line once everything that is wanted stands, vents, drains and holds, and what stands and does not work is put right; `None` where nothing is wanted.
///
/// Advice never hides a fault: it is judged on a line of its own, beside the line as declared.
pub(super) fn line(study: &Study) -> Option<Line> {
    let wished = wished(study);
    if wished.is_empty() {
        return None;
    }
    let mut stands: Vec<Appurtenance> = study
        .line
        .stands
        .iter()
        .map(|stand| Appurtenance {
            state: WorkingState::Works,
            cock_open: true,
            ..stand.clone()
        })
        .collect();
    stands.extend(wished);
    Some(study.line.with_stands(&study.route, stands))
}

/// Takes up into what is wanted what is wanted still once all of that stands. Whether anything was.
pub(super) fn take_up(study: &mut Study, advised: &Study, wider: &mut Wider) -> bool {
    let before = wished(study);
    wider.take_up(study, advised);
    if let (Some(air), Some(then)) = (&mut study.air, &advised.air) {
        for vent in &then.vents {
            match vent.stands.and_then(|i| advised.line.stands.get(i)) {
                Some(stand) => grow(&mut air.vents, stand, vent),
                None => {
                    let same = |v: &Vent| {
                        v.stands.is_none()
                            && v.device == vent.device
                            && (v.station_m - vent.station_m).abs() < ONE_PLACE_M
                    };
                    if !air.vents.iter().any(same) {
                        air.vents.push(vent.clone());
                    }
                }
            }
        }
        let by_place =
            |a: &Vent, b: &Vent| a.station_m.total_cmp(&b.station_m).then(a.why.cmp(&b.why));
        air.vents.sort_by(by_place);
        for drain in then
            .drains
            .iter()
            .filter(|d| d.stands.is_none() && d.to_come.is_none())
        {
            if !air
                .drains
                .iter()
                .any(|d| (d.station_m - drain.station_m).abs() < ONE_PLACE_M)
            {
                air.drains.push(drain.clone());
            }
        }
    }
    if let (Some(anchor), Some(then)) = (&mut study.anchor, &advised.anchor) {
        for hold in then.holds.iter().filter(|h| h.is_to_buy()) {
            let same = |h: &&mut Hold| {
                h.is_to_buy()
                    && h.kind == hold.kind
                    && (h.station_m - hold.station_m).abs() < ONE_PLACE_M
            };
            match anchor.holds.iter_mut().find(same) {
                Some(had) => had.force_n = had.force_n.max(hold.force_n),
                None => anchor.holds.push(hold.clone()),
            }
        }
        anchor.holds.sort_by(|a, b| {
            b.station_m
                .total_cmp(&a.station_m)
                .then(a.kind.cmp(&b.kind))
        });
    }
    wished(study) != before
}

/// Vents below a valve on the way, which the surge sizes: told a size larger while shutting that valve still parts the water below it or pulls too hard at the pipe, and left as they were where no size cures it.
#[derive(Debug, Default)]
pub(super) struct Wider {
    /// The vents that were widened, with the bore each had: station, m, bore, m.
    had: Vec<(f64, f64)>,
    given_up: bool,
}

/// A vent is widened to this share of the pipe's bore at most: a wider hole is a tee (own caution).
const WIDEST: f64 = 0.5;

impl Wider {
    fn take_up(&mut self, study: &mut Study, advised: &Study) {
        let harmed = harmed_below_m(advised);
        let Some(air) = study.air.as_mut().filter(|_| !self.given_up) else {
            return;
        };
        let mut grown = false;
        for vent in air
            .vents
            .iter_mut()
            .filter(|v| v.stands.is_none() && v.device.lets_in())
        {
            let near = |m: &f64| (*m..=m + BELOW_VALVE_M).contains(&vent.station_m);
            if !harmed.iter().any(near) {
                continue;
            }
            let pipe_m = advised.line.reaches.bore_m(vent.station_m);
            let bore_m = trade_size_m(vent.bore_m + 1e-3);
            if pipe_m.is_some_and(|pipe_m| bore_m <= WIDEST * pipe_m) {
                if !self.had.iter().any(|(m, _)| *m == vent.station_m) {
                    self.had.push((vent.station_m, vent.bore_m));
                }
                vent.bore_m = bore_m;
                grown = true;
            }
        }
        if !harmed.is_empty() && !grown {
            self.given_up = true;
            for (station_m, bore_m) in self.had.drain(..) {
                for vent in air
                    .vents
                    .iter_mut()
                    .filter(|v| v.stands.is_none() && v.station_m == station_m)
                {
                    vent.bore_m = bore_m;
                }
            }
        }
    }
}

/// So far below a valve its vent stands at most, m.
const BELOW_VALVE_M: f64 = 5.0;

/// Valves on the way of which the shutting parts the water, presses the pipe flat or sucks at its joints, m.
fn harmed_below_m(study: &Study) -> Vec<f64> {
    let line = &study.line;
    let (Some(surges), Some(strength)) = (&study.surges, &study.strength) else {
        return Vec::new();
    };
    let pulls = |run: usize| {
        let it = |which: &Which| matches!(which, Which::Movement { run: of, .. } if *of == run);
        let flat = |r: &crate::strength::ReachStrength| {
            r.outside_use > 1.0 && r.outside.as_ref().is_some_and(|o| it(&o.1.which))
        };
        let sucked = || strength.suction.iter().any(|j| it(&j.cause.which));
        strength.reaches.iter().any(flat) || sucked()
    };
    surges
        .placed()
        .filter(|(run, s)| s.to < s.from && (s.vapour.is_some() || pulls(*run)))
        .filter_map(|(_, s)| match s.of {
            Mover::Fitting(i) => line.fittings.get(i),
            Mover::Jets | Mover::OneJet => None,
        })
        .map(|f| f.station_m)
        .filter(|m| !line.geometry.at_the_turbine(*m))
        .collect()
}

/// A wanted vent that does not do where it stands is told larger.
fn grow(vents: &mut [Vent], stand: &Appurtenance, judged: &Vent) {
    let wish = vents
        .iter_mut()
        .find(|v| v.stands.is_none() && told(super::collapse_vents::stand(v)) == *stand);
    let Some(wish) = wish else {
        return;
    };
    for fault in &judged.faults {
        match fault {
            VentFault::Spills { raise_m, .. } => wish.top_m = stand.top_m.map(|top| top + raise_m),
            VentFault::BoreUnder(bore_m) => wish.bore_m = *bore_m,
            _ => {}
        }
    }
}
