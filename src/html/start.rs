//! The start after draining, crest by crest, and running with the air of the start left in.

use super::markup::{HtmlCell, list, table};
use crate::air::{Air, Start};
use crate::unit::{Figure, Quantity};
use crate::words::{Say, start_label};
use maud::{Markup, html};

pub(super) fn starts(air: &Air, say: Say) -> Markup {
    let row = |who: &str, s: &Start, vents: &[f64]| {
        vec![
            HtmlCell::words(who),
            HtmlCell::words(start_label(s.verdict)),
            HtmlCell::figure(
                s.margin_worst_m,
                Figure::new(Quantity::Head, s.margin_worst_m)
                    .sd(s.margin_sd_m)
                    .show(say.units),
            ),
            HtmlCell::figure(s.margin_compressed_m, say.head(s.margin_compressed_m)),
            HtmlCell::figure(s.probability_starts, say.share(s.probability_starts)),
            HtmlCell::words(if vents.is_empty() {
                "none".to_owned()
            } else {
                say.stations(vents)
            }),
        ]
    };
    let restart = table(
        "Restart after draining",
        &[
            "operator",
            "restart",
            ">head margin, downhill sections full of air",
            ">with compressed air",
            ">probability",
            "vents still required at",
        ],
        [
            row("at the air cocks", &air.start, &air.cure.stations_m),
            row("nobody there", &air.unattended, &air.cure.unattended_m),
        ],
    );
    let mut lines = Vec::new();
    if !air.cure.stations_m.is_empty() {
        lines.push(format!(
            "With the vents at {}, the head margin is {} in the worst case (required: {}). The pipeline restarts in {} of the pipe profiles that agree with the survey{}. {} of {} high points; {}.",
            say.stations(&air.cure.stations_m),
            say.head(air.cure.margin_m),
            say.head(air.cure.wanted_margin_m),
            say.share(air.cure.probability),
            if air.cure.enough { "" } else { ", which is not sufficient: regrade the pipe" },
            air.cure.stations_m.len(),
            air.cure.candidates,
            if air.cure.all_sets { "all combinations were checked" } else { "the best combination of each size was checked" }
        ));
    }
    if air.shut_fill.gauge_low_m > 0.0 {
        lines.push(format!(
            "Filled with the lower end closed, air pockets stay at {}, and the gauge there reads {} too low.",
            say.stations(&air.shut_fill.pockets.iter().map(|p| p.station_m).collect::<Vec<_>>()),
            say.head(air.shut_fill.gauge_low_m)
        ));
    }
    if air.shut_fill.margin_m < 0.0 {
        lines.push(format!(
            "Filled with the lower end closed, the pipe does not fill: {} of head is missing at a high point.",
            say.head(-air.shut_fill.margin_m)
        ));
    }
    if let Some(siphon) = air.siphon {
        lines.push(format!(
            "Siphon at the intake: lift {} at {}, water boils at {}. After priming by hand, the head margin is {}.",
            say.head(siphon.lift_m),
            say.station(siphon.station_m),
            say.head(siphon.boils_at_m),
            say.head(siphon.margin_primed_m)
        ));
    }
    html! { (restart) (deciders(&air.start, say)) (list(&lines)) }
}

fn deciders(start: &Start, say: Say) -> Markup {
    let rows = start.decided_by.iter().map(|d| {
        vec![
            HtmlCell::figure(d.from_m, say.reach(d.from_m, d.to_m)),
            HtmlCell::figure(d.head_m, say.head_sd(d.head_m, d.head_sd_m)),
            HtmlCell::figure(d.share, say.share(d.share)),
        ]
    });
    table(
        "Deciding sections, over all pipe profiles that agree with the survey",
        &[
            "where",
            ">head loss in its downhill section",
            ">probability of a water seal",
        ],
        rows,
    )
}

pub(super) fn crests(air: &Air, say: Say) -> Markup {
    let most = air
        .start
        .crests
        .iter()
        .map(|c| c.squeezed_m)
        .fold(0.0, f64::max);
    let rows = air.start.crests.iter().map(|c| {
        vec![
            HtmlCell::figure(c.station_m, say.station(c.station_m)),
            HtmlCell::words(if c.primed {
                "siphon, primed"
            } else if c.vented {
                "vented"
            } else if c.squeezed_m >= most && most > 0.0 {
                "not vented: largest head loss"
            } else {
                "not vented"
            }),
            HtmlCell::figure(c.sealed_m, say.head(c.sealed_m)),
            HtmlCell::figure(c.squeezed_m, say.head(c.squeezed_m)),
            HtmlCell::figure(c.sealed_m3, say.volume(c.sealed_m3)),
            HtmlCell::figure(c.next_low_station_m, say.station(c.next_low_station_m)),
        ]
    });
    table(
        "High points with a water seal at the start, and the head loss at each",
        &[
            ">high point",
            "vent",
            ">head loss, section full of air",
            ">head loss, compressed",
            ">air",
            ">sealed at the low point at",
        ],
        rows,
    )
}

pub(super) fn left_in(air: &Air, say: Say) -> Markup {
    let rows = air.left_in.iter().map(|l| {
        let flow = |q: Option<f64>, share: f64| {
            q.map_or_else(
                || HtmlCell::words("no flow"),
                |q| HtmlCell::figure(q, format!("{}, {}", say.flow(q), say.share(share))),
            )
        };
        vec![
            HtmlCell::words(l.case.to_string()),
            HtmlCell::figure(l.head_compressed_m, say.head(l.head_compressed_m)),
            flow(l.flow_compressed_m3_per_s, l.power_share_compressed),
            HtmlCell::figure(l.head_full_m, say.head(l.head_full_m)),
            flow(l.flow_full_m3_per_s, l.power_share_full),
        ]
    });
    table(
        "Operation with this trapped air: flow, and share of the remaining power",
        &[
            "condition",
            ">head loss, compressed",
            ">flow and power",
            ">head loss, full of air",
            ">flow and power, full of air",
        ],
        rows,
    )
}
