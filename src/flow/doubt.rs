//! How sure a running state is: what one standard deviation of each cause does to it.

use super::case_model::CaseModel;
use super::{Aged, Conditions, DoubtOf, DoubtPart, LimitedBy, Run};
use crate::line::{CaseWish, Geometry, Line};
use crate::numeric::math;

/// Standard deviation of a bore as a share of it: thermoplastic walls may be a tenth over the least one, which spreads a bore over some 2.5 % (own estimate from the standards' tolerances).
pub const BORE_SD: f64 = 0.007;

/// Standard deviation of the friction factor of new pipe against Colebrook and White (own estimate: within 5 % nearly always on clean pipe).
pub const FRICTION_SD: f64 = 0.03;

/// Fills in standard deviations, what they are made of, and the slimed figures.
pub(super) fn propagate_uncertainty(
    line: &Line,
    wish: &CaseWish,
    usual: &Conditions,
    run: &mut Run,
) {
    let weight = run.water.density_kg_per_m3 * line.environment.situation.gravity_m_per_s2;
    run.gross_head_sd_m = line.geometry.heights.drop_sd_m;
    if !run.flows() {
        run.net_head_sd_m = run.gross_head_sd_m;
        run.pressure_turbine_sd_pa = weight * run.gross_head_sd_m;
        return;
    }
    let survey_sd = match &run.limited {
        // The fall to the governing station counts: spread over the whole line in proportion.
        Some(l) if l.by != LimitedBy::Stream && l.station_m > 0.0 => {
            fall_sd_m(&line.geometry, l.station_m) * line.geometry.length_m() / l.station_m
        }
        _ => line.geometry.heights.drop_sd_m,
    };
    let with = |change: &dyn Fn(&mut Conditions)| {
        let mut conditions = usual.clone();
        change(&mut conditions);
        figures(line, wish, &conditions, 0.0)
    };
    let causes = [
        (
            DoubtOf::Survey,
            figures(line, wish, usual, survey_sd),
            figures(line, wish, usual, -survey_sd),
        ),
        (
            DoubtOf::Bore,
            with(&|c| c.bore_share = 1.0 + BORE_SD),
            with(&|c| c.bore_share = 1.0 - BORE_SD),
        ),
        (
            DoubtOf::Friction,
            with(&|c| c.friction_share = 1.0 - FRICTION_SD),
            with(&|c| c.friction_share = 1.0 + FRICTION_SD),
        ),
    ];
    for (of, up, down) in causes {
        if let (Some(up), Some(down)) = (up, down) {
            run.doubts.push(up.less(&down).halved(of));
        }
    }
    let sure = RootSum::of(&run.doubts);
    slime(line, wish, usual, run);
    let all = RootSum::of(&run.doubts);
    run.flow_sd_m3_per_s = all.flow;
    run.net_head_sd_m = all.net;
    run.water_power_sd_w = all.power;
    run.pressure_turbine_sd_pa = all.pressure;
    let share = line.outlet.as_ref().and_then(|o| o.water_to_wire);
    if let (Some(e), Some(share)) = (run.electrical.as_mut(), share) {
        let low = run.aged.map_or(run.water_power_w, |s| {
            s.water_power_w.min(run.water_power_w)
        });
        e.low_w = share * (low - 2.0 * sure.power).max(0.0);
        e.high_w = share * (run.water_power_w + 2.0 * sure.power);
    }
}

/// The state with the walls slimed, and its part in the doubt: anything between new and slimed is as likely, seen from the new pipe's figure.
fn slime(line: &Line, wish: &CaseWish, usual: &Conditions, run: &mut Run) {
    let differs = line
        .reaches
        .iter()
        .any(|r| r.pipe.friction_factor.is_none() && r.pipe.roughness_old_m > r.pipe.roughness_m);
    if !differs {
        return;
    }
    let slimed = Conditions {
        slime: 1.0,
        ..usual.clone()
    };
    let (Some(old), Some(new)) = (
        figures(line, wish, &slimed, 0.0),
        figures(line, wish, usual, 0.0),
    ) else {
        return;
    };
    run.aged = Some(Aged {
        flow_m3_per_s: old.flow,
        net_head_m: old.net,
        water_power_w: old.power,
        pressure_turbine_pa: old.pressure,
    });
    let root3 = 3.0_f64.sqrt();
    let change = new.less(&old);
    run.doubts.push(DoubtPart {
        of: DoubtOf::Roughness,
        flow_m3_per_s: change.flow / root3,
        net_head_m: change.net / root3,
        power_w: change.power / root3,
        pressure_pa: change.pressure / root3,
    });
}

/// What a doubt is asked about.
#[derive(Debug, Clone, Copy)]
struct Figures {
    flow: f64,
    net: f64,
    power: f64,
    pressure: f64,
}

impl Figures {
    fn less(&self, other: &Self) -> Self {
        Self {
            flow: self.flow - other.flow,
            net: self.net - other.net,
            power: self.power - other.power,
            pressure: self.pressure - other.pressure,
        }
    }

    fn halved(&self, of: DoubtOf) -> DoubtPart {
        DoubtPart {
            of,
            flow_m3_per_s: self.flow / 2.0,
            net_head_m: self.net / 2.0,
            power_w: self.power / 2.0,
            pressure_pa: self.pressure / 2.0,
        }
    }
}

/// The figures of a state, the line falling by so much more: the water keeps its height over the mouth, to which it was measured, and what lies below sinks in proportion to its station.
fn figures(
    line: &Line,
    wish: &CaseWish,
    conditions: &Conditions,
    falls_more_m: f64,
) -> Option<Figures> {
    let mut case = CaseModel::of(line, wish, conditions).ok()?;
    case.gross_head_m += falls_more_m;
    let length_m = line.geometry.length_m();
    for (z, s) in case.pipe_m.iter_mut().zip(&case.stations_m) {
        *z -= falls_more_m * (s / length_m).clamp(0.0, 1.0);
    }
    let answer = case.answer().ok()?;
    let net = case.net_head_m(&answer);
    let weight = conditions.water.density_kg_per_m3 * case.conduit.gravity_m_per_s2;
    let end = case.conduit.end_velocity_head_m(answer.flow_m3_per_s);
    let above_pipe = line.nozzle_elevation_m() - line.geometry.end_elevation_m();
    Some(Figures {
        flow: answer.flow_m3_per_s,
        net,
        power: weight * answer.flow_m3_per_s * net.max(0.0),
        pressure: weight * (net + above_pipe - end),
    })
}

/// Standard deviation of the fall from the intake to a station over the draws, m.
fn fall_sd_m(geometry: &Geometry, station_m: f64) -> f64 {
    let ends = geometry.heights.on(&[0.0, station_m]);
    let falls: Vec<f64> = ends
        .draws
        .iter()
        .filter_map(|d| Some(d.first()? - d.last()?))
        .collect();
    let count = falls.len() as f64;
    if falls.len() < 2 {
        return 0.0;
    }
    let mean = falls.iter().sum::<f64>() / count;
    (falls.iter().map(|f| math::powi(f - mean, 2)).sum::<f64>() / (count - 1.0)).sqrt()
}

/// Root sums of squares of the doubts.
struct RootSum {
    flow: f64,
    net: f64,
    power: f64,
    pressure: f64,
}

impl RootSum {
    fn of(doubts: &[DoubtPart]) -> Self {
        let root = |part: fn(&DoubtPart) -> f64| {
            doubts
                .iter()
                .map(|d| math::powi(part(d), 2))
                .sum::<f64>()
                .sqrt()
        };
        Self {
            flow: root(|d| d.flow_m3_per_s),
            net: root(|d| d.net_head_m),
            power: root(|d| d.power_w),
            pressure: root(|d| d.pressure_pa),
        }
    }
}
