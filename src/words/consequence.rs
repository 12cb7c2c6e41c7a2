//! What the storm changed, side by side: before, now, and what to do.

use super::storm::{moved_word, off_line_do, off_line_name};
use super::{Say, start_label};
use crate::air::StartVerdict as Start;
use crate::compare::{ClimbChange, Climbing, Compared, OffLine, StrengthChange};
use crate::line::{Appurtenance, Fitting};
use crate::profile::{Climb, ClimbVerdict as Sure};
use crate::regrade::RegradePlan;

/// One consequence: what, before, now, and what to do.
#[derive(Debug, Clone, PartialEq)]
pub struct Consequence {
    /// What.
    pub what: String,
    /// As it was.
    pub before: String,
    /// As it is.
    pub now: String,
    /// What to do.
    pub act: String,
    /// It got worse.
    pub worse: bool,
}

/// A change of a share in use that is worth a line.
const SHARE: f64 = 0.01;

/// Every consequence: climbs, the start, power, air, suction, strength, bends, what stands on the line.
pub fn consequences(
    compared: &Compared,
    fittings: &[Fitting],
    stands: &[Appurtenance],
    say: Say,
) -> Vec<Consequence> {
    let mut out: Vec<Consequence> = compared
        .climbs
        .iter()
        .filter_map(|c| climb(c, compared, say))
        .collect();
    out.extend(start(compared, say));
    out.extend(running(compared, say));
    out.extend(air(compared, say));
    out.extend(compared.sucked.iter().map(|s| {
        Consequence {
            what: format!("pressure near {}, {}", say.station(s.station_m), s.case),
            before: say.pressure(s.before_pa),
            now: say.pressure(s.after_pa),
            act:
                "Keep the flow low until the pipe is lowered there. Inspect its joints: the pressure there is negative."
                    .to_owned(),
            worse: true,
        }
    }));
    out.extend(lows(compared, say));
    out.extend(compared.pressed.iter().filter_map(|p| pressed(p, say)));
    out.extend(compared.tight.iter().map(|t| Consequence {
        what: format!("bend at {}", say.station(t.station_m)),
        before: "within the minimum bend radius".to_owned(),
        now: match (t.cannot_tell, t.least_radius_m) {
            (true, _) => format!("{}, possibly too sharp", say.angle(t.angle_rad)),
            (false, Some(r)) => format!("{}, sharper than the minimum bend radius of {}", say.angle(t.angle_rad), say.head(r)),
            (false, None) => format!("{}: this pipe must not be bent", say.angle(t.angle_rad)),
        },
        act: if t.cannot_tell {
            "Inspect it. Cut out a kink or a flattened pipe. Survey it before you decide."
        } else {
            "Increase the bend radius over a longer section. Or cut the pipe and install an elbow with its thrust block."
        }
        .to_owned(),
        worse: true,
    }));
    // A crest that nothing vents is told with its climb.
    out.extend(
        compared
            .off_line
            .iter()
            .filter(|o| !matches!(o, OffLine::Unvented { .. }))
            .map(|o| standing(o, fittings, stands, say)),
    );
    // What got worse first; within that, as it stands.
    out.sort_by_key(|c| !c.worse);
    out
}

/// Which stakes of the first plan stand in a reach.
fn stakes(plans: &[RegradePlan], climb: &Climb, say: Say) -> Option<String> {
    let near = plans.first()?.stakes.iter().filter(|s| {
        s.station_m >= climb.low_station_m - 30.0 && s.station_m <= climb.end_station_m + 30.0
    });
    let stations: Vec<f64> = near.map(|s| s.station_m).collect();
    let (first, last) = (stations.first()?, stations.last()?);
    Some(format!("the stakes {}", say.reach(*first, *last)))
}

fn climb(change: &ClimbChange, compared: &Compared, say: Say) -> Option<Consequence> {
    let at = change.after.as_ref().or(change.before.as_ref())?;
    let told = |c: &Option<Climb>| match c {
        None => "falls".to_owned(),
        Some(c) if c.verdict == Sure::CannotTell => {
            format!("possible rise, {}", say.head_sd(c.rise_m, c.rise_sd_m))
        }
        Some(c) => format!("rises {}", say.head_sd(c.rise_m, c.rise_sd_m)),
    };
    let vented = !compared
        .bare_m
        .iter()
        .any(|crest_m| (crest_m - at.crest_station_m).abs() < 0.5);
    let mend = || {
        let vent = if vented {
            "Until then, its vent releases the air".to_owned()
        } else {
            format!(
                "Until then, install a vent at the highest point near {}",
                say.station(at.crest_station_m)
            )
        };
        match stakes(&compared.regrade, at, say) {
            Some(stakes) => format!("Lower (dig) or raise (prop) the pipe to {stakes}. {vent}."),
            None => format!(
                "No regrading plan includes this section: lay the pipe again there. {vent}."
            ),
        }
    };
    let act = match (change.what, &change.after) {
        (_, Some(c)) if c.verdict == Sure::CannotTell => {
            "Survey it with a level before you dig.".to_owned()
        }
        (Climbing::Cured, _) | (_, None) => "No action: it falls now. Keep its vent.".to_owned(),
        (Climbing::New | Climbing::Worse, _) => mend(),
        (Climbing::Same | Climbing::Better, _) => {
            format!("The storm did not cause this. {}", mend())
        }
    };
    Some(Consequence {
        what: format!(
            "{} ({})",
            say.reach(at.low_station_m, at.crest_station_m),
            change.what.word()
        ),
        before: told(&change.before),
        now: told(&change.after),
        act,
        worse: matches!(change.what, Climbing::New | Climbing::Worse),
    })
}

fn start(compared: &Compared, say: Say) -> Option<Consequence> {
    let (before, now) = compared.start?;
    let margin = |m: Option<f64>| {
        m.filter(|m| m.is_finite())
            .map_or_else(String::new, |m| format!(", head margin {}", say.head(m)))
    };
    let order = |v: Start| match v {
        Start::Starts => 0,
        Start::MayStart => 1,
        Start::CannotTell => 2,
        Start::Locks => 3,
    };
    Some(Consequence {
        what: "restart after draining".to_owned(),
        before: format!(
            "{}{}",
            start_label(before),
            margin(compared.start_margin_m.map(|m| m.0))
        ),
        now: format!(
            "{}{}",
            start_label(now),
            margin(compared.start_margin_m.map(|m| m.1))
        ),
        act: match now {
            Start::Starts => "Fill slowly with all vents open.",
            Start::MayStart => "Do not drain the pipeline without need. Fill it slowly with all vents open.",
            Start::CannotTell => {
                "Survey the deciding sections with a level. Until then, do not drain a pipeline that operates."
            }
            Start::Locks => {
                "Vent the high points before filling. Until then, do not drain a pipeline that operates."
            }
        }
        .to_owned(),
        worse: order(now) > order(before),
    })
}

fn running(compared: &Compared, say: Say) -> Vec<Consequence> {
    compared
        .cases
        .iter()
        .map(|c| {
            let told = |q: f64, p: f64| format!("{}, {}", say.flow(q), say.power(p));
            let lost = c.power_w.0 - c.power_w.1;
            let real = lost.abs() > 2.0 * c.power_sd_w && lost.abs() > 0.005 * c.power_w.0.abs();
            let limited = if c.newly_limited {
                ", part-full flow"
            } else {
                ""
            };
            Consequence {
                what: format!("{}, no air in the pipeline", c.state),
                before: told(c.flow_m3_per_s.0, c.power_w.0),
                now: format!("{}{limited}", told(c.flow_m3_per_s.1, c.power_w.1)),
                act: if c.newly_limited {
                    "Use fewer nozzles: a high point is above the hydraulic grade line.".to_owned()
                } else if real && lost > 0.0 {
                    "Search for an obstruction or a leak. The new profile alone causes this loss."
                        .to_owned()
                } else if real {
                    "No action: the new profile gives more.".to_owned()
                } else {
                    "No action: the change is within the uncertainty of the surveys.".to_owned()
                },
                worse: c.newly_limited || real && lost > 0.0,
            }
        })
        .collect()
}

fn air(compared: &Compared, say: Say) -> Vec<Consequence> {
    let mut out = Vec::new();
    // The state that has most to lose speaks for all.
    let worst = compared
        .cases
        .iter()
        .filter_map(|c| c.with_air.map(|a| (c, a)))
        .max_by(|(a, _), (b, _)| a.power_w.1.total_cmp(&b.power_w.1));
    if let Some((case, (before, now))) = worst {
        let told = |share: f64, power: f64| format!("{} of {}", say.share(share), say.power(power));
        out.push(Consequence {
            what: format!("{}, with air pockets in the rising sections", case.state),
            before: told(before, case.power_w.0),
            now: told(now, case.power_w.1),
            act: if now < 0.995 {
                "Release the air at the high points, or regrade them. The air causes this loss."
            } else {
                "No action."
            }
            .to_owned(),
            worse: now < before - SHARE,
        });
    }
    let (before, now) = compared.pockets_m3;
    if before.max(now) > 0.0 {
        out.push(Consequence {
            what: "air that no vent releases".to_owned(),
            before: say.volume(before),
            now: say.volume(now),
            act: if now > 0.0 {
                "Install a vent at each high point. Until then, operate the valves much more slowly."
            } else {
                "No action."
            }
            .to_owned(),
            worse: now > 1.05 * before + 1e-4,
        });
    }
    out
}

fn lows(compared: &Compared, say: Say) -> Vec<Consequence> {
    compared
        .lows
        .iter()
        .map(|l| {
            let over = l.use_high.is_some_and(|u| u > 1.0);
            let may = l
                .allowed_pa
                .map_or_else(|| "not known".to_owned(), |p| say.pressure(p));
            Consequence {
                what: format!("static pressure at the new low point, {}", say.station(l.station_m)),
                before: say.pressure(l.standing_pa.0),
                now: format!("{}; allowable {may}", say.pressure(l.standing_pa.1)),
                act: if over {
                    "Do not pressurize it. With surge, the pressure is higher than the allowable pressure."
                } else if l.allowed_pa.is_none() {
                    "Find the allowable pressure of the pipe there before filling."
                } else {
                    "The pipe is strong enough. Install a drain there: silt settles and water freezes at a low point."
                }
                .to_owned(),
                worse: over,
            }
        })
        .collect()
}

fn pressed(p: &StrengthChange, say: Say) -> Option<Consequence> {
    let (before, now) = (p.use_high.0?, p.use_high.1?);
    let (pull_before, pull_now) = p.outside_use;
    let changed = (now - before).abs() > SHARE || (pull_now - pull_before).abs() > SHARE;
    // what it was before, it is told with what was found
    if !changed {
        return None;
    }
    let told = |inside: f64, outside: f64| {
        format!(
            "{} internal, {} external",
            say.share(inside),
            say.share(outside)
        )
    };
    Some(Consequence {
        what: format!("utilization of {}, {}", p.spec, say.reach(p.from_m, p.to_m)),
        before: told(before, pull_before),
        now: told(now, pull_now),
        act: if pull_now > 1.0 {
            "Do not close or drain it without an air inlet above: it can collapse."
        } else if now > 1.0 {
            "Do not pressurize it. Operate the valves in the longer times, or install a heavier class there."
        } else {
            "No action: it is strong enough."
        }
        .to_owned(),
        worse: now > before + SHARE || (pull_now > 1.0 && pull_now > pull_before + SHARE),
    })
}

fn standing(off: &OffLine, fittings: &[Fitting], stands: &[Appurtenance], say: Say) -> Consequence {
    let (before, now) = match off {
        OffLine::PipeMoved { by_m, is_sure, .. } => (
            "on the pipeline".to_owned(),
            format!("the pipe {} by {}", moved_word(*is_sure), say.head(*by_m)),
        ),
        OffLine::NotAtCrest { crest_m, .. } => (
            "at the high point".to_owned(),
            format!("the high point is near {}", say.station(*crest_m)),
        ),
        OffLine::Unvented { .. } => (String::new(), "it has no vent".to_owned()),
    };
    Consequence {
        what: off_line_name(off, fittings, stands, say),
        before,
        now,
        act: off_line_do(off, stands, say),
        worse: true,
    }
}
