//! The tables of the page.

use super::html::{Cell, list, table};
use crate::profile::{Profile, Verdict};
use crate::report::account::Account;
use crate::report::json;
use crate::report::words::{self, Say, Taken, lacks, start_word};
use crate::study::Study;
use crate::text::Remark;
use crate::unit::{Figure, Quantity};

/// Running states, and where the head goes in the one with the largest flow.
pub(super) fn running(study: &Study, say: Say) -> String {
    let rows: Vec<Vec<Cell>> = study
        .cases
        .runs
        .iter()
        .map(|r| {
            let sd = |quantity, value: f64, sd: f64| {
                Cell::figure(value, Figure::new(quantity, value).sd(sd).show(say.0))
            };
            vec![
                Cell::words(r.name.clone()),
                sd(Quantity::Flow, r.flow_m3_per_s, r.flow_sd_m3_per_s),
                sd(Quantity::Head, r.net_head_m, r.net_head_sd_m),
                Cell::figure(r.loss_share(), say.share(r.loss_share())),
                Cell::figure(r.velocity_max_m_per_s, say.speed(r.velocity_max_m_per_s)),
                sd(
                    Quantity::Pressure,
                    r.pressure_turbine_pa,
                    r.pressure_turbine_sd_pa,
                ),
                sd(Quantity::Power, r.water_power_w, r.water_power_sd_w),
                Cell::maybe(r.electrical.map(|e| e.power_w), |w| say.power(w)),
            ]
        })
        .collect();
    let mut out = table(
        "Running states",
        &[
            "state",
            ">flow",
            ">net head",
            ">lost",
            ">fastest",
            ">at the turbine",
            ">power of the water",
            ">electrical",
        ],
        &rows,
    );
    if let Some(run) = study.cases.largest_flow().filter(|r| r.flows()) {
        let rows: Vec<Vec<Cell>> = json::losses(run, &study.line)
            .into_iter()
            .map(|(by, loss)| {
                vec![
                    Cell::words(by),
                    Cell::figure(
                        loss.from_m,
                        say.reach(loss.from_m, loss.to_m).replace("at ", ""),
                    ),
                    Cell::figure(loss.k, format!("{:.2}", loss.k)),
                    Cell::figure(loss.head_m, say.head(loss.head_m)),
                ]
            })
            .collect();
        out.push_str(&table(
            &format!("Where the head goes: {}", run.name),
            &["by", "where", ">coefficient", ">head"],
            &rows,
        ));
    }
    if let Some(stream) = &study.stream {
        let rows: Vec<Vec<Cell>> = stream
            .takes
            .iter()
            .map(|t| {
                vec![
                    Cell::words(t.name.clone()),
                    Cell::figure(t.at_intake_m3_per_s, say.flow(t.at_intake_m3_per_s)),
                    Cell::figure(t.stream_m3_per_s, say.flow(t.stream_m3_per_s)),
                ]
            })
            .collect();
        out.push_str(&table(
            "What the stream must give",
            &["state", ">taken", ">stream must carry"],
            &rows,
        ));
    }
    out
}

/// Climbs, pockets and the start.
pub(super) fn climbs(account: &Account, say: Say) -> String {
    let study = &account.study;
    let vents: Vec<String> = (0..study.profile.climbs.len())
        .map(|i| json::vented_by(account, i).join(", "))
        .collect();
    let mut out = shape(&study.profile, &vents, say);
    if let Some(air) = &study.air {
        let row = |who: &str, s: &crate::air::Start, vents: &[f64]| {
            vec![
                Cell::words(who),
                Cell::words(start_word(s.verdict)),
                Cell::figure(
                    s.margin_worst_m,
                    Figure::new(Quantity::Head, s.margin_worst_m)
                        .sd(s.margin_sd_m)
                        .show(say.0),
                ),
                Cell::figure(s.margin_compressed_m, say.head(s.margin_compressed_m)),
                Cell::figure(s.probability_starts, say.share(s.probability_starts)),
                Cell::words(if vents.is_empty() {
                    "none".to_owned()
                } else {
                    say.stations(vents)
                }),
            ]
        };
        out.push_str(&table(
            "Start after draining",
            &[
                "who is there",
                "start",
                ">to spare, legs full of air",
                ">air squeezed",
                ">starts in",
                "vents still needed at",
            ],
            &[
                row("somebody at the cocks", &air.start, &air.cure.stations_m),
                row("nobody", &air.unattended, &air.cure.unattended_m),
            ],
        ));
    }
    out
}

/// Climbs and lows by the shape alone.
pub(super) fn shape(profile: &Profile, vents: &[String], say: Say) -> String {
    let rows: Vec<Vec<Cell>> = profile
        .climbs
        .iter()
        .enumerate()
        .map(|(i, c)| {
            vec![
                Cell::figure(
                    c.low_station_m,
                    say.reach(c.low_station_m, c.crest_station_m),
                ),
                Cell::words(match c.verdict {
                    Verdict::Climbs => "climbs",
                    Verdict::CannotTell => "cannot tell",
                }),
                Cell::figure(c.rise_m, say.head_sd(c.rise_m, c.rise_sd_m)),
                Cell::figure(c.probability, say.share(c.probability)),
                Cell::figure(
                    c.crest_from_m,
                    say.reach(c.crest_from_m, c.crest_to_m).replace("at ", ""),
                ),
                Cell::figure(c.pocket_m3, say.volume(c.pocket_m3)),
                Cell::words(vents.get(i).cloned().unwrap_or_default()),
            ]
        })
        .collect();
    let mut out = table(
        "Climbs",
        &[
            "where",
            "verdict",
            ">rise",
            ">sure",
            "crest lies",
            ">air it can hold",
            "vented by",
        ],
        &rows,
    );
    if out.is_empty() {
        out.push_str("<p>The pipe falls all the way, as far as the survey tells.</p>");
    }
    let flats: Vec<Vec<Cell>> = profile
        .flats
        .iter()
        .map(|f| {
            vec![
                Cell::figure(
                    f.from_station_m,
                    say.reach(f.from_station_m, f.to_station_m),
                ),
                Cell::figure(f.fall, say.fall(f.fall)),
            ]
        })
        .collect();
    out.push_str(&table("Hardly falling", &["where", ">fall"], &flats));
    out
}

/// What was taken, what was not computed, what the survey showed on the way.
pub(super) fn taken(study: &Study, say: Say) -> String {
    let rows: Vec<Vec<Cell>> = study
        .line
        .assumed
        .iter()
        .map(|a| {
            let Taken { what, value, why } = words::taken(a, say);
            vec![Cell::words(what), Cell::words(value), Cell::words(why)]
        })
        .collect();
    let mut out = table(
        "Taken, because it was not said",
        &["what", "value", "why"],
        &rows,
    );
    let left: Vec<Vec<Cell>> = study
        .not_computed
        .iter()
        .map(|n| {
            vec![
                Cell::words(n.what),
                Cell::words(lacks(&n.why, Some(&study.line), say)),
            ]
        })
        .collect();
    out.push_str(&table("Not computed", &["what", "why"], &left));
    out.push_str(&noticed(&study.route.remarks));
    out
}

/// Remarks of the survey.
pub(super) fn noticed(remarks: &[Remark]) -> String {
    let all: Vec<String> = remarks
        .iter()
        .map(|r| format!("{}: {}", r.place, r.text))
        .collect();
    if all.is_empty() {
        String::new()
    } else {
        format!("<h3>Of the survey</h3>{}", list(&all))
    }
}
