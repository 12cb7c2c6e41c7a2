//! Strength of the pipe: what is in use, filling and test, zones of class, suction, traffic.

use super::markup::{HtmlCell, list, more, table};
use super::trench;
use crate::finding::cause;
use crate::report::account::Report;
use crate::report::marked::vents_on;
use crate::strength::Strength;
use crate::study::{Study, Zoned};
use crate::words::{Say, joint_label, no_wheel, pressure_cause, states};
use maud::{Markup, html};

/// Pressure over what the pipe may take.
pub(super) fn strength(account: &Report, say: Say) -> Markup {
    let study = &account.study;
    let Some(strength) = &study.strength else {
        return Markup::default();
    };
    let rows = strength.reaches.iter().map(|r| {
        vec![
            HtmlCell::words(r.spec.clone()),
            HtmlCell::figure(r.from_m, say.reach(r.from_m, r.to_m)),
            HtmlCell::maybe(r.rating_pa, |p| say.pressure(p)),
            HtmlCell::figure(r.static_high_pa, say.pressure(r.static_high_pa)),
            HtmlCell::maybe(
                r.surge_rare_pa
                    .into_iter()
                    .chain(r.surge_routine_pa)
                    .reduce(f64::max),
                |p| say.pressure(p),
            ),
            HtmlCell::maybe(r.use_high, |u| say.share(u)),
            HtmlCell::words(r.governing.as_ref().map_or_else(String::new, |g| {
                format!(
                    "{}, {}",
                    say.station(g.station_m),
                    pressure_cause(&cause(&g.cause))
                )
            })),
            HtmlCell::figure(r.outside_use, say.share(r.outside_use)),
            HtmlCell::maybe(r.outside_low.as_ref().map(|low| low.share), |u| {
                say.share(u)
            }),
            HtmlCell::words(
                r.lightest
                    .as_ref()
                    .map_or_else(|_| String::new(), |p| p.spec.clone()),
            ),
        ]
    });
    let by_section = table(
        "By section of one pipe, with heads at two standard deviations up",
        &[
            "pipe",
            "where",
            ">rating",
            ">static",
            ">largest surge",
            ">utilization",
            "worst at",
            ">vacuum / collapse pressure",
            ">the same at 2 sd",
            "lightest sufficient class",
        ],
        rows,
    );
    html! {
        (by_section)
        (besides(strength, study, say))
        (zones(study, say))
        (lives_by_vents(account, strength, say))
        (joints(strength, say))
        (traffic(strength, say))
        (trench::bedded(strength, say))
    }
}

/// Filling, test and the trade's habit beside the shares in use, and what is in none of them.
fn besides(strength: &Strength, study: &Study, say: Say) -> Markup {
    let rows = strength.reaches.iter().map(|r| {
        vec![
            HtmlCell::words(r.spec.clone()),
            HtmlCell::maybe(r.working_pa, |p| say.pressure(p)),
            HtmlCell::maybe(r.filling_pa, |p| say.pressure(p)),
            HtmlCell::maybe(r.test.map(|t| t.pressure_pa), |p| say.pressure(p)),
            HtmlCell::maybe(r.test.map(|t| t.use_high), |u| say.share(u)),
            HtmlCell::figure(r.habit_pa, say.pressure(r.habit_pa)),
            HtmlCell::maybe((r.left.share < 1.0).then_some(r.left.share), |share| {
                say.share(share)
            }),
        ]
    });
    let caption = "Other pressures in the same sections";
    let table = table(
        caption,
        &[
            "pipe",
            ">operating",
            ">filling, sudden stop",
            ">pressure test",
            ">test / allowable",
            ">rule of thumb: static + 40 %",
            ">residual rating (age, rust)",
        ],
        rows,
    );
    let mut notes: Vec<String> = Vec::new();
    if !strength.parting.is_empty() {
        notes.push(format!(
            "Column separation occurs in these valve operations: {}. The pressure when the columns rejoin cannot be calculated. Prevent these operations.",
            states(&strength.parting)
        ));
    }
    let unrated: Vec<&str> = strength
        .unrated_fittings
        .iter()
        .filter_map(|i| study.line.fittings.get(*i))
        .map(|f| f.name.as_str())
        .collect();
    if !unrated.is_empty() {
        notes.push(format!(
            "Not assessed, because the rating is not given: {}.",
            unrated.join(", ")
        ));
    }
    html! { (more(caption, table)) (list(&notes)) }
}

/// The lightest classes from station to station, carried back through flow and surge.
fn zones(study: &Study, say: Say) -> Markup {
    let Some(zoned) = &study.zoned else {
        return Markup::default();
    };
    let rows = (0..).zip(&zoned.list).map(|(i, z)| {
        vec![
            HtmlCell::figure(z.from_m, say.reach(z.from_m, z.to_m)),
            HtmlCell::words(z.pipe.spec.clone()),
            HtmlCell::words(if z.differs {
                "other than declared"
            } else {
                "as declared"
            }),
            HtmlCell::figure(
                f64::from(u32::try_from(z.pieces).unwrap_or(u32::MAX)),
                z.pieces.to_string(),
            ),
            HtmlCell::figure(z.mass_kg, say.mass(z.mass_kg)),
            HtmlCell::words(if zoned.raised.contains(&i) {
                "stronger: its own surge or vacuum requires this"
            } else {
                ""
            }),
        ]
    });
    let classes = table(
        &format!(
            "Pipe classes by section, with a factor of {:.2}",
            zoned.margin
        ),
        &[
            "where",
            "pipe",
            "",
            ">lengths",
            ">mass",
            "after recalculation",
        ],
        rows,
    );
    let rows = zoned.cases.iter().map(|c| {
        vec![
            HtmlCell::words(c.state.to_string()),
            HtmlCell::figure(c.declared_flow_m3_per_s, say.flow(c.declared_flow_m3_per_s)),
            HtmlCell::figure(c.flow_m3_per_s, say.flow(c.flow_m3_per_s)),
            HtmlCell::figure(c.declared_net_head_m, say.head(c.declared_net_head_m)),
            HtmlCell::figure(c.net_head_m, say.head(c.net_head_m)),
        ]
    });
    let effect = table(
        "Effect of their inside diameters on the operating conditions",
        &[
            "condition",
            ">flow as declared",
            ">with these classes",
            ">net head as declared",
            ">with these classes",
        ],
        rows,
    );
    html! {
        (classes)
        p { (saving(zoned, say)) }
        @if zoned.list.iter().any(|z| z.differs) { (more("Effect of these classes on the flow", effect)) }
    }
}

/// What the zones save, and whether they stand what they bring.
fn saving(zoned: &Zoned, say: Say) -> String {
    if zoned.list.iter().all(|z| !z.differs) {
        return "The declared classes are the lightest sufficient classes.".to_owned();
    }
    let mass = match zoned.declared_mass_kg - zoned.mass_kg {
        less if less >= 0.0 => format!("{} lighter than declared", say.mass(less)),
        more => format!("{} heavier than declared", say.mass(-more)),
    };
    let surge = match (zoned.declared_surge_pa, zoned.surge_pa) {
        (Some(before), Some(after)) => format!(
            " The largest surge is {} with these classes, {} as declared.",
            say.pressure(after),
            say.pressure(before)
        ),
        _ => String::new(),
    };
    let over = zoned.use_high.is_some_and(|u| u > 1.0);
    let stands = if zoned.holds && over {
        "Recalculated with their own inside diameters and walls, the classes are sufficient. A joint or a fitting is overloaded in any case".to_owned()
    } else if zoned.holds {
        format!(
            "Recalculated with their own inside diameters and walls, they are sufficient: utilization {} or less",
            zoned
                .use_high
                .map_or_else(|| "not known".to_owned(), |u| say.share(u))
        )
    } else {
        "Recalculated with their own inside diameters and walls, they are not sufficient. No class of this size is strong enough".to_owned()
    };
    format!("{mass}. {stands}.{surge}")
}

/// Pipe that a vacuum would press flat, with the vents that keep it alive.
fn lives_by_vents(account: &Report, strength: &Strength, say: Say) -> Markup {
    let rows = strength.needs_air.iter().map(|&(from_m, to_m)| {
        let vents = vents_on(&account.marks, from_m, to_m);
        vec![
            HtmlCell::figure(from_m, say.reach(from_m, to_m)),
            HtmlCell::words(if vents.is_empty() {
                "none".to_owned()
            } else {
                vents.join(", ")
            }),
        ]
    });
    table(
        "Pipe that a full vacuum can collapse",
        &["where", "vents that protect it"],
        rows,
    )
}

/// Joints that are sucked at.
fn joints(strength: &Strength, say: Say) -> Markup {
    let rows = strength.suction.iter().map(|j| {
        vec![
            HtmlCell::figure(j.from_m, say.reach(j.from_m, j.to_m)),
            HtmlCell::words(joint_label(j.joint)),
            HtmlCell::figure(-j.least_pa, say.pressure(-j.least_pa)),
            HtmlCell::figure(-j.least_low_pa, say.pressure(-j.least_low_pa)),
            HtmlCell::figure(-j.limit_pa, say.pressure(-j.limit_pa)),
            HtmlCell::words(pressure_cause(&cause(&j.cause))),
        ]
    });
    table(
        "Joints at negative pressure",
        &[
            "where",
            "joint",
            ">below atmospheric pressure",
            ">the same at 2 sd",
            ">limit for this joint",
            "in",
        ],
        rows,
    )
}

/// Buried pipe under traffic.
fn traffic(strength: &Strength, say: Say) -> Markup {
    let rows = strength.wheels.iter().map(|w| {
        let pressed = w.outcome.as_ref().ok();
        vec![
            HtmlCell::figure(w.from_m, say.reach(w.from_m, w.to_m)),
            HtmlCell::words(w.traffic.word()),
            HtmlCell::maybe(pressed.map(|p| p.wheel_pa), |p| say.pressure(p)),
            HtmlCell::maybe(pressed.map(|p| p.ground_pa), |p| say.pressure(p)),
            HtmlCell::maybe(pressed.map(|p| p.allowed_pa), |p| say.pressure(p)),
            HtmlCell::maybe(pressed.map(|p| p.share), |s| say.share(s)),
            HtmlCell::words(w.outcome.as_ref().err().map_or("", |why| no_wheel(*why))),
        ]
    });
    table(
        "Traffic load on buried pipe (wheel by Boussinesq, 1885)",
        &[
            "where",
            "traffic",
            ">wheel load",
            ">soil load",
            ">allowable for the pipe ring",
            ">utilization",
            "not assessed because",
        ],
        rows,
    )
}
