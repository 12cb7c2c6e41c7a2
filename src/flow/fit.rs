//! The losses at points of a line, each brought onto the bore it stands on: mouth, screen, fittings, bends of the route, changes of bore.

use super::local::{self, Coefficient, SmoothBend};
use super::{LossSource, WhyNot, screen};
use crate::line::{CaseWish, Fitting, Line, Reach, Reaches};
use crate::pipe::{FittingKind, Material};

/// A loss at a point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct LocalLoss {
    /// Where, m.
    pub(super) station_m: f64,
    /// What takes it.
    pub(super) by: LossSource,
    /// Coefficient on the velocity head in `bore_m`.
    pub(super) k: f64,
    /// Bore the coefficient stands on, m.
    pub(super) bore_m: f64,
    /// The coefficient rests on memory.
    pub(super) from_memory: bool,
}

/// How near a fitting must stand to a change of bore or to a bend to be the thing that makes it, m.
const SAME_PLACE_M: f64 = 2.0;

/// Union or straight coupling (common practice, no source).
const UNION_K: f64 = 0.08;
/// Strainer with a clean basket; makers print 1 to 10 (from memory).
const STRAINER_K: f64 = 2.0;

/// Every step of a line in a case, in station order; those of the mouth first.
pub(super) fn steps(line: &Line, wish: &CaseWish) -> Result<Vec<LocalLoss>, WhyNot> {
    let mut out = mouth(line, wish)?;
    let mut on_way = changes_of_bore(&line.reaches, &line.fittings);
    for (index, fitting) in line.fittings.iter().enumerate() {
        on_way.extend(of_fitting(&line.reaches, wish, index, fitting)?);
    }
    on_way.extend(bends(line));
    on_way.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
    out.extend(on_way);
    Ok(out)
}

fn mouth(line: &Line, wish: &CaseWish) -> Result<Vec<LocalLoss>, WhyNot> {
    let first = line.reaches.first().ok_or(WhyNot::NoPipe)?;
    let intake = &line.intake;
    let entrance = intake
        .entrance_k
        .map_or_else(|| local::entrance(intake.entrance), known);
    let step = |by, c: Coefficient| LocalLoss {
        station_m: 0.0,
        by,
        k: c.k,
        bore_m: first.pipe.inner_diameter_m,
        from_memory: c.from_memory,
    };
    let mut out = vec![step(LossSource::Entrance, entrance)];
    let clear = screen::clear_on_bore(line);
    let screen = if wish.screen_blocked > 0.0 {
        local::blocked_screen(clear.k, wish.screen_blocked).ok_or(WhyNot::ScreenBlocked)?
    } else {
        clear.k
    };
    if screen > 0.0 {
        let from_memory = clear.from_memory;
        out.push(step(
            LossSource::Screen,
            Coefficient {
                k: screen,
                from_memory,
            },
        ));
    }
    Ok(out)
}

fn known(k: f64) -> Coefficient {
    Coefficient {
        k,
        from_memory: false,
    }
}

/// Where two reaches of different bore meet and no reducer or enlargement is declared there: a sudden change, on the smaller bore.
fn changes_of_bore(reaches: &Reaches, fittings: &[Fitting]) -> Vec<LocalLoss> {
    let pairs = reaches.iter().zip(reaches.iter().skip(1));
    pairs
        .enumerate()
        .filter(|(_, (upper, _))| {
            !fittings
                .iter()
                .any(|f| is_taper(f.kind) && near(f.station_m, upper.to_m))
        })
        .filter_map(|(i, (upper, lower))| {
            let (d1, d2) = (upper.pipe.inner_diameter_m, lower.pipe.inner_diameter_m);
            let k = if d2 < d1 {
                local::sudden_contraction(d2 / d1)
            } else if d2 > d1 {
                local::sudden_enlargement(d1 / d2)
            } else {
                return None;
            };
            Some(LocalLoss {
                station_m: upper.to_m,
                by: LossSource::ChangeOfBore(i + 1),
                k,
                bore_m: d1.min(d2),
                from_memory: false,
            })
        })
        .collect()
}

fn is_taper(kind: FittingKind) -> bool {
    matches!(kind, FittingKind::Reducer | FittingKind::Enlargement)
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= SAME_PLACE_M
}

/// The fitting's own loss. The user's `k` stands on the pipe's bore at its station; a table's on the fitting's own bore, with the narrowing to it and the widening after it.
fn of_fitting(
    reaches: &Reaches,
    wish: &CaseWish,
    index: usize,
    fitting: &Fitting,
) -> Result<Option<LocalLoss>, WhyNot> {
    let reach = reaches.at(fitting.station_m).ok_or(WhyNot::NoPipe)?;
    let pipe_bore_m = reach.pipe.inner_diameter_m;
    let open = wish.open(fitting);
    if fitting.kind.is_valve() && open <= 0.0 {
        return Err(WhyNot::ValveShut { fitting: index });
    }
    let step = |c: Coefficient, bore_m: f64| {
        Some(LocalLoss {
            station_m: fitting.station_m,
            by: LossSource::Fitting(index),
            k: c.k,
            bore_m,
            from_memory: c.from_memory,
        })
    };
    let part_open = |open_k: f64| {
        if fitting.kind.is_valve() {
            local::valve_part_open(fitting.kind, open_k, open)
                .ok_or(WhyNot::ValveShut { fitting: index })
        } else {
            Ok(known(open_k))
        }
    };
    if let Some(k) = fitting.k {
        return Ok(step(part_open(k)?, pipe_bore_m));
    }
    if is_taper(fitting.kind) {
        return taper(reaches, fitting)
            .map(|(k, bore)| step(known(k), bore))
            .ok_or(WhyNot::NoCoefficient { fitting: index });
    }
    let bore_m = fitting.bore_m.unwrap_or(pipe_bore_m).min(pipe_bore_m);
    let ft = local::crane_factor(bore_m);
    let angle = fitting.angle_rad;
    let right = std::f64::consts::FRAC_PI_2;
    let open_k = match fitting.kind {
        FittingKind::Elbow => known(local::elbow(angle.unwrap_or(right), ft)),
        FittingKind::Mitre => known(local::mitre(angle.unwrap_or(right))),
        FittingKind::Wye => known(wye(angle.unwrap_or(right / 2.0))),
        FittingKind::Union => Coefficient {
            k: UNION_K,
            from_memory: true,
        },
        FittingKind::Strainer => Coefficient {
            k: STRAINER_K,
            from_memory: true,
        },
        kind => {
            known(local::crane_multiple(kind).ok_or(WhyNot::NoCoefficient { fitting: index })? * ft)
        }
    };
    let mut c = part_open(open_k.k)?;
    c.from_memory |= open_k.from_memory;
    if bore_m < pipe_bore_m {
        let ratio = bore_m / pipe_bore_m;
        c.k += local::sudden_contraction(ratio) + local::sudden_enlargement(ratio);
    }
    Ok(step(c, bore_m))
}

/// A wye with half the flow in each leg (Crane, parting flow, equal bores), by its angle.
fn wye(angle_rad: f64) -> f64 {
    super::branch::Branch {
        run_bore_m: 1.0,
        branch_bore_m: 1.0,
        run_flow_m3_per_s: 0.5,
        branch_flow_m3_per_s: 0.5,
        angle_rad,
    }
    .parting()
    .branch
}

/// Coefficient and bore of a reducer or enlargement: between the two reaches that meet by it, else between the pipe's bore and its own.
fn taper(reaches: &Reaches, fitting: &Fitting) -> Option<(f64, f64)> {
    let pairs = reaches.iter().zip(reaches.iter().skip(1));
    let bores =
        |upper: &Reach, lower: &Reach| (upper.pipe.inner_diameter_m, lower.pipe.inner_diameter_m);
    let met = pairs
        .filter(|(upper, _)| near(upper.to_m, fitting.station_m))
        .map(|(upper, lower)| bores(upper, lower))
        .next();
    let (from, to) = match (met, fitting.bore_m, reaches.at(fitting.station_m)) {
        (Some(both), _, _) => both,
        (None, Some(own), Some(reach)) => (reach.pipe.inner_diameter_m, own),
        _ => return None,
    };
    let cone = fitting.angle_rad.unwrap_or(std::f64::consts::PI);
    let k = if to < from {
        match fitting.angle_rad {
            Some(angle) => local::cone_contraction(to / from, angle),
            None => local::sudden_contraction(to / from),
        }
    } else {
        local::cone_enlargement(from / to, cone)
    };
    Some((k, from.min(to)))
}

/// Bends of the route, unless an elbow or mitre is declared there. Polyethylene is laid in a sweep; stiff pipe turns in an elbow where the survey shows a corner.
fn bends(line: &Line) -> Vec<LocalLoss> {
    // taken once: the share of friction in a bend's loss is small
    const FRICTION: f64 = 0.02;
    // the longest radius, in bores, the bend formula was fitted to
    const LONGEST: f64 = 10.0;
    let declared = |s: f64| {
        line.fittings.iter().any(|f| {
            matches!(f.kind, FittingKind::Elbow | FittingKind::Mitre) && near(f.station_m, s)
        })
    };
    line.geometry
        .bends
        .iter()
        .enumerate()
        .filter(|(_, b)| !declared(b.station_m) && b.angle_rad > 0.0)
        .filter_map(|(i, b)| {
            let pipe = &line.reaches.at(b.station_m)?.pipe;
            let bore_m = pipe.inner_diameter_m;
            let sweep = |radius_over_bore: f64| SmoothBend {
                angle_rad: b.angle_rad,
                radius_over_bore: radius_over_bore.clamp(1.0, LONGEST),
                friction_factor: FRICTION,
            };
            let k = if b.over_m > 0.0 {
                sweep(b.over_m / b.angle_rad / bore_m).added()
            } else if pipe.material == Material::Pe {
                sweep(LONGEST).added()
            } else {
                local::elbow(b.angle_rad, local::crane_factor(bore_m))
            };
            Some(LocalLoss {
                station_m: b.station_m,
                by: LossSource::Bend(i),
                k,
                bore_m,
                from_memory: false,
            })
        })
        .collect()
}
