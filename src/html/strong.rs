//! Strength of the pipe: what is in use, filling and test, zones of class, suction, traffic.

use super::markup::{HtmlCell, escaped, list, table};
use crate::finding::cause;
use crate::json;
use crate::strength::Strength;
use crate::study::{Study, Zoned};
use crate::words::account::Report;
use crate::words::{Say, joint_word, no_wheel, traffic_word};

/// Pressure over what the pipe may take.
pub(super) fn strength(account: &Report, say: Say) -> String {
    let study = &account.study;
    let Some(strength) = &study.strength else {
        return String::new();
    };
    let rows: Vec<Vec<HtmlCell>> = strength
        .reaches
        .iter()
        .map(|r| {
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
                        crate::words::load_word(&cause(&g.cause))
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
        })
        .collect();
    let mut out = table(
        "By reach of one pipe, heads at two standard deviations up",
        &[
            "pipe",
            "where",
            ">rating",
            ">standing",
            ">largest surge",
            ">in use",
            "worst at",
            ">suction over collapse",
            ">the same at 2 sd",
            "lightest that would do",
        ],
        &rows,
    );
    out.push_str(&besides(strength, study, say));
    out.push_str(&zones(study, say));
    out.push_str(&lives_by_vents(account, strength, say));
    out.push_str(&joints(strength, say));
    out.push_str(&traffic(strength, say));
    out
}

/// Filling, test and the trade's habit beside the shares in use, and what is in none of them.
fn besides(strength: &Strength, study: &Study, say: Say) -> String {
    let rows: Vec<Vec<HtmlCell>> = strength
        .reaches
        .iter()
        .map(|r| {
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
        })
        .collect();
    let mut out = table(
        "Other pressures on the same reaches",
        &[
            "pipe",
            ">running",
            ">filling, stopped at once",
            ">pressure test",
            ">test over what it may take",
            ">trade habit: standing and 40 %",
            ">of the rating left by age or rust",
        ],
        &rows,
    );
    let mut notes: Vec<String> = Vec::new();
    if !strength.parting.is_empty() {
        notes.push(format!(
            "In these movements the water parts, and no pressure is given for the blow when it joins again: {}. Keep them from happening.",
            strength.parting.join(", ")
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
            "Not judged, because no rating is stated for them: {}.",
            unrated.join(", ")
        ));
    }
    if !notes.is_empty() {
        out.push_str(&list(&notes));
    }
    out
}

/// The lightest classes from station to station, carried back through flow and surge.
fn zones(study: &Study, say: Say) -> String {
    let Some(zoned) = &study.zoned else {
        return String::new();
    };
    let rows: Vec<Vec<HtmlCell>> = (0..)
        .zip(&zoned.list)
        .map(|(i, z)| {
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
                    "raised: its own surge or suction asked for more"
                } else {
                    ""
                }),
            ]
        })
        .collect();
    let mut out = table(
        &format!(
            "Lightest classes by zones, {:.2} on what stands",
            zoned.margin
        ),
        &["where", "pipe", "", ">pieces", ">mass", "after it was run"],
        &rows,
    );
    out.push_str(&format!("<p>{}</p>", escaped(&saving(zoned, say))));
    let rows: Vec<Vec<HtmlCell>> = zoned
        .cases
        .iter()
        .map(|c| {
            vec![
                HtmlCell::words(c.state.to_string()),
                HtmlCell::figure(c.declared_flow_m3_per_s, say.flow(c.declared_flow_m3_per_s)),
                HtmlCell::figure(c.flow_m3_per_s, say.flow(c.flow_m3_per_s)),
                HtmlCell::figure(c.declared_net_head_m, say.head(c.declared_net_head_m)),
                HtmlCell::figure(c.net_head_m, say.head(c.net_head_m)),
            ]
        })
        .collect();
    if zoned.list.iter().any(|z| z.differs) {
        out.push_str(&table(
            "What their bores do to the running states",
            &[
                "state",
                ">flow as declared",
                ">with the zones",
                ">net head as declared",
                ">with the zones",
            ],
            &rows,
        ));
    }
    out
}

/// What the zones save, and whether they stand what they bring.
fn saving(zoned: &Zoned, say: Say) -> String {
    if zoned.list.iter().all(|z| !z.differs) {
        return "The classes declared are the lightest that would do.".to_owned();
    }
    let mass = match zoned.declared_mass_kg - zoned.mass_kg {
        less if less >= 0.0 => format!("{} lighter than declared", say.mass(less)),
        more => format!("{} heavier than declared", say.mass(-more)),
    };
    let surge = match (zoned.declared_surge_pa, zoned.surge_pa) {
        (Some(before), Some(after)) => format!(
            " The largest surge is {} with them, {} as declared.",
            say.pressure(after),
            say.pressure(before)
        ),
        _ => String::new(),
    };
    let over = zoned.use_high.is_some_and(|u| u > 1.0);
    let stands = if zoned.holds && over {
        "Run again with their own bores and walls, the classes stand; a joint or a fitting is over by itself, whatever the class".to_owned()
    } else if zoned.holds {
        format!(
            "Run again with their own bores and walls, they stand: at most {} in use",
            zoned
                .use_high
                .map_or_else(|| "nothing known".to_owned(), |u| say.share(u))
        )
    } else {
        "Run again with their own bores and walls, they do not stand: no class of this size takes what they bring".to_owned()
    };
    format!("{mass}. {stands}.{surge}")
}

/// Pipe that a vacuum would press flat, with the vents that keep it alive.
fn lives_by_vents(account: &Report, strength: &Strength, say: Say) -> String {
    let rows: Vec<Vec<HtmlCell>> = strength
        .needs_air
        .iter()
        .map(|&(from_m, to_m)| {
            let vents = crate::words::vents_on(&account.marks, from_m, to_m);
            vec![
                HtmlCell::figure(from_m, say.reach(from_m, to_m)),
                HtmlCell::words(if vents.is_empty() {
                    "none".to_owned()
                } else {
                    vents.join(", ")
                }),
            ]
        })
        .collect();
    table(
        "Pipe that a full vacuum would press flat",
        &["where", "vents that keep it alive"],
        &rows,
    )
}

/// Joints that are sucked at.
fn joints(strength: &Strength, say: Say) -> String {
    let rows: Vec<Vec<HtmlCell>> = strength
        .suction
        .iter()
        .map(|j| {
            vec![
                HtmlCell::figure(j.from_m, say.reach(j.from_m, j.to_m)),
                HtmlCell::words(joint_word(j.joint)),
                HtmlCell::figure(-j.least_pa, say.pressure(-j.least_pa)),
                HtmlCell::figure(-j.least_low_pa, say.pressure(-j.least_low_pa)),
                HtmlCell::figure(-j.limit_pa, say.pressure(-j.limit_pa)),
                HtmlCell::words(crate::words::load_word(&cause(&j.cause))),
            ]
        })
        .collect();
    table(
        "Joints in suction",
        &[
            "where",
            "joint",
            ">below the air's pressure",
            ">the same at 2 sd",
            ">kept tight to",
            "in",
        ],
        &rows,
    )
}

/// Buried pipe under traffic.
fn traffic(strength: &Strength, say: Say) -> String {
    let rows: Vec<Vec<HtmlCell>> = strength
        .wheels
        .iter()
        .map(|w| {
            let pressed = w.outcome.as_ref().ok();
            vec![
                HtmlCell::figure(w.from_m, say.reach(w.from_m, w.to_m)),
                HtmlCell::words(traffic_word(w.traffic)),
                HtmlCell::maybe(pressed.map(|p| p.wheel_pa), |p| say.pressure(p)),
                HtmlCell::maybe(pressed.map(|p| p.ground_pa), |p| say.pressure(p)),
                HtmlCell::maybe(pressed.map(|p| p.allowed_pa), |p| say.pressure(p)),
                HtmlCell::maybe(pressed.map(|p| p.share), |s| say.share(s)),
                HtmlCell::words(w.outcome.as_ref().err().map_or("", |why| no_wheel(*why))),
            ]
        })
        .collect();
    table(
        "Traffic over buried pipe (wheel by Boussinesq, 1885)",
        &[
            "where",
            "traffic",
            ">wheel",
            ">ground",
            ">ring may take",
            ">in use",
            "not judged because",
        ],
        &rows,
    )
}
