use crate::capacity::{Which, full_vacuum_pa};
use crate::line::{Geometry, Line};
use crate::strength::Load;

/// The ways a line can empty at its lower end: each valve on the way shut above it, its mouth blocked, and its mouth open to the air once the intake has run dry.
///
/// Below a place that lets air in by itself the water falls away and air follows; over a crest beyond it water goes on running as a siphon until air reaches the low before it, so the suction at a station is the height
/// from the lowest point between it and the inlet: `p = -rho g (z(s) - min z)`. Without any inlet the whole of it is pulled at with the air's pressure less the vapour's.
/// A vent above a shut valve does nothing for the pipe below it.
/// How surely it hangs is the doubt of the height between the two, over the equally likely lines; a whole vacuum does not depend on the survey.
/// Source: statics of a water column; the bound by the vapour pressure is physics, not a figure of a handbook.
pub fn drained(line: &Line) -> Vec<Load> {
    let vents: Vec<f64> = line
        .stands
        .iter()
        .filter(|s| line.reaches.lets_in(s))
        .map(|s| s.station_m)
        .collect();
    let mut out: Vec<Load> = line
        .placed_shut_offs()
        .map(|(fitting, valve)| {
            let below: Vec<f64> = vents
                .iter()
                .copied()
                .filter(|s| *s >= valve.station_m)
                .collect();
            let name = valve.name.clone();
            let shut = Which::ValveShut { fitting, name };
            emptied(line, shut, valve.station_m, &below)
        })
        .collect();
    out.push(emptied(line, Which::IntakeBlocked, 0.0, &vents));
    let mut inlets = vents;
    inlets.push(0.0);
    out.push(emptied(line, Which::Drained, 0.0, &inlets));
    out
}

/// The line below a station empties while air comes in at these inlets only.
fn emptied(line: &Line, which: Which, from_m: f64, inlets_m: &[f64]) -> Load {
    let (geometry, environment) = (&line.geometry, &line.environment);
    let stations = &geometry.heights.station_m;
    let heights = &geometry.heights.mean_m;
    let vacuum_pa = full_vacuum_pa(environment);
    let weight = environment.water_n_per_m3();
    let first = stations.partition_point(|&s| s < from_m - 1e-6);
    let mut hangs = vec![HangingColumn::NOTHING; stations.len()];
    for inlet in inlets_m {
        let at = stations
            .partition_point(|s| s < inlet)
            .min(stations.len().saturating_sub(1));
        // Down from the inlet, then up from it: the lowest point on the way sets the height that is left hanging.
        let mut lowest = LowestPoint::NONE;
        for ((i, hang), z) in (0..).zip(&mut hangs).zip(heights).skip(at) {
            lowest.pass(i, *z);
            hang.less(lowest, *z);
        }
        lowest = LowestPoint::NONE;
        for ((i, hang), z) in (0..)
            .zip(&mut hangs)
            .zip(heights)
            .take(at + 1)
            .skip(first)
            .collect::<Vec<_>>()
            .into_iter()
            .rev()
        {
            lowest.pass(i, *z);
            hang.less(lowest, *z);
        }
    }
    // What lies above a shut valve stays full.
    for hang in hangs.iter_mut().take(first) {
        *hang = HangingColumn {
            lift_m: 0.0,
            from: None,
        };
    }
    Load {
        which,
        largest_pa: vec![0.0; stations.len()],
        least_pa: hangs
            .iter()
            .map(|h| -(weight * h.lift_m).min(vacuum_pa))
            .collect(),
        least_sd_m: lifts_sd_m(geometry, &hangs),
        parts: false,
    }
}

/// What hangs at a station: its height over the lowest point between it and the inlet.
#[derive(Debug, Clone, Copy)]
struct HangingColumn {
    /// Height, m; without end where no inlet is.
    lift_m: f64,
    /// Which station of the grid that lowest point is; `None` where no inlet is.
    from: Option<usize>,
}

/// The lowest point on a way.
#[derive(Debug, Clone, Copy)]
struct LowestPoint {
    at: usize,
    height_m: f64,
}

impl LowestPoint {
    const NONE: Self = Self {
        at: 0,
        height_m: f64::INFINITY,
    };

    fn pass(&mut self, at: usize, height_m: f64) {
        if height_m < self.height_m {
            *self = Self { at, height_m };
        }
    }
}

impl HangingColumn {
    const NOTHING: Self = Self {
        lift_m: f64::INFINITY,
        from: None,
    };

    fn less(&mut self, lowest: LowestPoint, height_m: f64) {
        let lift_m = height_m - lowest.height_m;
        if lift_m < self.lift_m {
            *self = Self {
                lift_m,
                from: Some(lowest.at),
            };
        }
    }
}

/// Equally likely lines that are asked at most: a doubt known to a twentieth is known well enough.
const ASKED: usize = 200;

/// Doubt of the height that hangs at each station, m (one standard deviation).
fn lifts_sd_m(geometry: &Geometry, hangs: &[HangingColumn]) -> Vec<f64> {
    let draws = &geometry.heights.draws;
    let step = draws.len().div_ceil(ASKED).max(1);
    let asked: Vec<&Vec<f64>> = draws.iter().step_by(step).collect();
    let n = asked.len() as f64;
    (0..)
        .zip(hangs)
        .map(|(i, hang)| {
            let Some(from) = hang.from.filter(|from| *from != i && asked.len() > 1) else {
                return 0.0;
            };
            let lifts = asked.iter().filter_map(|z| Some(z.get(i)? - z.get(from)?));
            let (sum, square) = lifts.fold((0.0, 0.0), |(s, q), l| (s + l, q + l * l));
            ((square - sum * sum / n) / (n - 1.0)).max(0.0).sqrt()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::{Appurtenance, Fitting};
    use crate::pipe::{self, Device, MarkKind};

    fn line() -> Line {
        let pipe = pipe::find("PE100 SDR17 110").unwrap();
        Line::plain(
            &[(0.0, 100.0), (50.0, 90.0), (90.0, 95.0), (170.0, 80.0)],
            &pipe,
        )
    }

    fn vent(station_m: f64) -> Appurtenance {
        Appurtenance {
            device: Some(Device::Standpipe),
            bore_m: Some(0.025),
            top_m: Some(2.0),
            ..Appurtenance::plain(MarkKind::Vent, station_m)
        }
    }

    /// The state of a name.
    fn of(line: &Line, name: &str) -> Vec<f64> {
        let all = drained(line);
        all.into_iter()
            .find(|l| l.which.to_string() == name)
            .unwrap()
            .least_pa
    }

    #[test]
    fn without_a_vent_the_whole_line_is_pulled_at_when_its_mouth_is_blocked() {
        let least = of(&line(), "intake blocked");
        assert!(
            least.iter().all(|p| (*p + 100_097.0).abs() < 20.0),
            "{least:?}"
        );
        // run dry, air comes in by the mouth: only what hangs over the crest pulls
        let dry = of(&line(), "drained");
        assert_eq!((dry[0], dry[1], dry[3]), (0.0, 0.0, 0.0));
        assert!((dry[2] + 5.0 * 999.7 * 9.80665).abs() < 5.0);
    }

    #[test]
    fn below_a_vent_only_what_hangs_over_a_crest_pulls() {
        let mut line = line();
        line.stands.push(vent(0.0));
        let least = of(&line, "intake blocked");
        assert_eq!((least[0], least[1], least[3]), (0.0, 0.0, 0.0));
        assert!((least[2] + 5.0 * 999.7 * 9.80665).abs() < 5.0);
        line.stands.push(vent(90.0));
        assert!(of(&line, "intake blocked").iter().all(|p| p.abs() < 1e-9));
    }

    #[test]
    fn a_vent_above_a_shut_valve_does_not_guard_what_lies_below_it() {
        let mut line = line();
        line.fittings.push(Fitting {
            station_m: 50.0,
            kind: pipe::FittingKind::GateValve,
            name: "head valve".to_owned(),
            k: None,
            open: 1.0,
            angle_rad: None,
            in_plan: None,
            bore_m: None,
            rating_pa: None,
        });
        line.stands.push(vent(0.0));
        let least = of(&line, "head valve shut");
        assert_eq!(least[0], 0.0);
        assert!(least[1..].iter().all(|p| *p < -100_000.0), "{least:?}");
        line.stands.push(vent(50.0));
        assert!(of(&line, "head valve shut")[2] > -60_000.0);
    }
}
