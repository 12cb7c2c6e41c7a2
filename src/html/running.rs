//! Running states: what each comes to, new and slimed, where every metre of head goes, where the line cannot run full.

use super::markup::{HtmlCell, list, table};
use crate::flow::{Limited, LimitedBy, Run};
use crate::study::Study;
use crate::unit::{Figure, Quantity};
use crate::words::{Say, label, largest_power, losses, remedy};
use maud::{Markup, html};

pub(super) fn running(study: &Study, say: Say) -> Markup {
    let runs = &study.cases.runs;
    let most = study.cases.largest_flow().filter(|r| r.flows());
    html! {
        (states(study, say)) (slimed(runs, say)) (by_state(runs, say))
        @if let Some(run) = most { (each_loss(run, study, say)) (doubts(run, say)) (silt(run, say)) }
        @if let Some(largest) = &study.largest { (list(&[largest_power(largest, most, study.line.outlet.as_ref(), say)])) }
        @for run in runs { @if let Some(limited) = &run.limited { (not_full(run, limited, say)) } }
    }
}

fn sd(quantity: Quantity, value: f64, sd: f64, say: Say) -> HtmlCell {
    HtmlCell::figure(value, Figure::new(quantity, value).sd(sd).show(say.units))
}

fn states(study: &Study, say: Say) -> Markup {
    let limit = study.line.wishes.limits.velocity_m_per_s;
    let rows = study.cases.runs.iter().map(|r| {
        let fast = if r.velocity_max_m_per_s > limit {
            format!(", over {}", say.speed(limit))
        } else {
            String::new()
        };
        vec![
            HtmlCell::words(r.state().to_string()),
            sd(Quantity::Flow, r.flow_m3_per_s, r.flow_sd_m3_per_s, say),
            sd(Quantity::Head, r.net_head_m, r.net_head_sd_m, say),
            HtmlCell::figure(r.loss_share(), say.share(r.loss_share())),
            HtmlCell::figure(
                r.velocity_max_m_per_s,
                format!("{}{fast}", say.speed(r.velocity_max_m_per_s)),
            ),
            sd(
                Quantity::Pressure,
                r.pressure_turbine_pa,
                r.pressure_turbine_sd_pa,
                say,
            ),
            HtmlCell::maybe(r.jets.first().map(|j| j.speed_m_per_s), |v| say.speed(v)),
            sd(Quantity::Power, r.water_power_w, r.water_power_sd_w, say),
            r.electrical.filter(|_| r.flows()).map_or_else(
                || HtmlCell::words(String::new()),
                |e| HtmlCell::figure(e.power_w, say.electrical(&e)),
            ),
        ]
    });
    table(
        "Operating conditions, new pipe",
        &[
            "condition",
            ">flow",
            ">net head",
            ">head loss",
            ">maximum velocity",
            ">pressure at the turbine",
            ">jet velocity",
            ">hydraulic power",
            ">electrical",
        ],
        rows,
    )
}

fn slimed(runs: &[Run], say: Say) -> Markup {
    let rows = runs
        .iter()
        .filter_map(|r| Some((r, r.aged?)))
        .map(|(r, s)| {
            let lost = 1.0 - s.net_head_m / r.gross_head_m;
            vec![
                HtmlCell::words(r.state().to_string()),
                sd(Quantity::Flow, s.flow_m3_per_s, r.flow_sd_m3_per_s, say),
                sd(Quantity::Head, s.net_head_m, r.net_head_sd_m, say),
                HtmlCell::figure(lost, say.share(lost)),
                sd(
                    Quantity::Pressure,
                    s.pressure_turbine_pa,
                    r.pressure_turbine_sd_pa,
                    say,
                ),
                sd(Quantity::Power, s.water_power_w, r.water_power_sd_w, say),
            ]
        });
    table(
        "The same with fouled or rusted pipe walls",
        &[
            "condition",
            ">flow",
            ">net head",
            ">head loss",
            ">pressure at the turbine",
            ">hydraulic power",
        ],
        rows,
    )
}

/// What each state loses to what, air and part-full fall by themselves; the older law beside it.
fn by_state(runs: &[Run], say: Say) -> Markup {
    let head = |m: f64| HtmlCell::figure(m, say.head(m));
    let rows = runs
        .iter()
        .filter(|r| r.flows() || r.losses.total_m() > 0.0)
        .map(|r| {
            let l = &r.losses;
            vec![
                HtmlCell::words(r.state().to_string()),
                HtmlCell::figure(
                    r.gross_head_m,
                    say.held(Quantity::Head, r.gross_head_m, r.gross_head_sd_m),
                ),
                head(l.friction_m),
                head(l.local_m),
                head(l.air_m),
                head(l.fall_m),
                HtmlCell::figure(
                    r.net_head_m,
                    say.held(Quantity::Head, r.net_head_m, r.net_head_sd_m),
                ),
                HtmlCell::maybe(r.by_hazen.as_ref().map(|h| h.friction_m), |m| {
                    let outside = r.by_hazen.as_ref().is_some_and(|h| h.outside);
                    format!(
                        "{}{}",
                        say.head(m),
                        if outside { ", outside its range" } else { "" }
                    )
                }),
            ]
        });
    table(
        "Head loss by operating condition. The last column is the pipe friction by Hazen-Williams (metric form), for comparison only",
        &[
            "condition",
            ">gross head",
            ">friction",
            ">inlet, fittings, bends",
            ">trapped air",
            ">part-full section",
            ">net head",
            ">friction, Hazen-Williams",
        ],
        rows,
    )
}

fn each_loss(run: &Run, study: &Study, say: Say) -> Markup {
    let mut rows: Vec<Vec<HtmlCell>> = losses(run, &study.line.reaches, &study.line.fittings)
        .into_iter()
        .map(|(by, loss)| {
            vec![
                HtmlCell::words(if loss.from_memory {
                    format!("{by} (coefficient not verified)")
                } else {
                    by
                }),
                HtmlCell::figure(
                    loss.from_m,
                    say.reach(loss.from_m, loss.to_m).replace("at ", ""),
                ),
                HtmlCell::figure(loss.k, format!("{:.2}", loss.k)),
                HtmlCell::figure(loss.head_m, say.head(loss.head_m)),
            ]
        })
        .collect();
    let end = study.line.geometry.length_m();
    let total = run.losses.total_m();
    rows.push(vec![
        HtmlCell::words("total"),
        HtmlCell::figure(end, say.reach(0.0, end)),
        HtmlCell::words(""),
        HtmlCell::figure(total, say.head(total)),
    ]);
    table(
        &format!("All head losses: {}", run.state()),
        &["by", "where", ">coefficient", ">head"],
        rows,
    )
}

fn doubts(run: &Run, say: Say) -> Markup {
    let rows = run.doubts.iter().map(|d| {
        let (flow, head, power) = (d.flow_m3_per_s.abs(), d.net_head_m.abs(), d.power_w.abs());
        vec![
            HtmlCell::words(label(d.of.word())),
            HtmlCell::figure(flow, say.flow(flow)),
            HtmlCell::figure(head, say.head(head)),
            HtmlCell::figure(power, say.power(power)),
        ]
    });
    table(
        &format!(
            "Effect of one standard deviation of each cause: {}",
            run.state()
        ),
        &["cause", ">flow", ">net head", ">hydraulic power"],
        rows,
    )
}

fn silt(run: &Run, say: Say) -> Markup {
    let rows = run.silt.iter().map(|c| {
        vec![
            HtmlCell::figure(c.from_m, say.reach(c.from_m, c.to_m)),
            HtmlCell::figure(c.velocity_m_per_s, say.speed(c.velocity_m_per_s)),
            HtmlCell::figure(c.carries_m_per_s, say.speed(c.carries_m_per_s)),
            HtmlCell::figure(c.flushes_m_per_s, say.speed(c.flushes_m_per_s)),
            HtmlCell::words(if c.settles() {
                "silt settles"
            } else {
                "carried"
            }),
        ]
    });
    table(
        &format!(
            "Sediment: {} (shear-stress values not verified)",
            run.state()
        ),
        &[
            "where",
            ">velocity",
            ">silt moves above",
            ">grit is flushed above",
            "result",
        ],
        rows,
    )
}

fn not_full(run: &Run, limited: &Limited, say: Say) -> Markup {
    let mut lines = vec![format!(
        "{}: limited by {} at {}. The flow is {}. The pipe is full again from {} on.",
        run.state(),
        match limited.by {
            LimitedBy::Crest => "the pipe above the hydraulic grade line",
            LimitedBy::Boiling =>
                "the pipe so high above the hydraulic grade line that water would boil",
            LimitedBy::Stream => "the stream flow",
        },
        say.station(limited.station_m),
        say.flow(run.flow_m3_per_s),
        say.station(limited.full_again_m)
    )];
    if let (Some(suction_m), false) = (limited.suction_m, limited.by == LimitedBy::Stream) {
        lines.push(format!(
            "Full and airtight, the pressure head there would be {} below atmospheric pressure. The limit is {}, and water boils at {}.",
            say.head(-suction_m),
            say.head(-limited.working_limit_m),
            say.head(-limited.boiling_limit_m)
        ));
    }
    if let Some(best) = limited.at_best {
        lines.push(format!(
            "Maximum, airtight and for a limited time: {} at a net head of {}, hydraulic power {}.",
            say.flow(best.flow_m3_per_s),
            say.head(best.net_head_m),
            say.power(best.water_power_w)
        ));
    }
    lines.extend(limited.remedies.iter().map(|r| remedy(r, limited, say)));
    html! {
        h3 { "Part-full flow: " (run.state().to_string()) " (" (label(limited.by.word())) ")" }
        (list(&lines))
    }
}
