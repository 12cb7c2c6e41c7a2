//! Rows of the terminal's head beyond the running state: what a person asks next.

use crate::air::Verdict;
use crate::flow::Run;
use crate::line::Way;
use crate::study::Study;
use crate::unit::Quantity;
use crate::words::{Say, most, next_reading, start_word};

/// Each row as its head and its words.
pub(crate) fn more(study: &Study, say: Say) -> Vec<(&'static str, String)> {
    let mut out = Vec::new();
    if let Some(run) = study.cases.largest_flow().filter(|r| r.flows()) {
        out.extend(slimed(run, say));
        out.push(("lost to", lost_to(run, say)));
    }
    out.extend(at_most(study, say));
    out.extend(stream(study, say));
    out.extend(start(study, say));
    out.extend(gauges(study, say));
    out
}

fn slimed(run: &Run, say: Say) -> Option<(&'static str, String)> {
    let s = run.slimed?;
    Some((
        "slimed",
        format!(
            "{} at {} of net head, {} in the water, once the walls are slimed",
            say.held(Quantity::Flow, s.flow_m3_per_s, run.flow_sd_m3_per_s),
            say.held(Quantity::Head, s.net_head_m, run.net_head_sd_m),
            say.held(Quantity::Power, s.water_power_w, run.water_power_sd_w)
        ),
    ))
}

fn lost_to(run: &Run, say: Say) -> String {
    let l = &run.losses;
    let mut parts = vec![
        format!("pipe {}", say.head(l.friction_m)),
        format!("mouth, fittings, bends {}", say.head(l.local_m)),
    ];
    if l.air_m > 0.0 {
        parts.push(format!("standing air {}", say.head(l.air_m)));
    }
    if l.fall_m > 0.0 {
        parts.push(format!("part-full fall {}", say.head(l.fall_m)));
    }
    parts.join(", ")
}

fn at_most(study: &Study, say: Say) -> Option<(&'static str, String)> {
    let l = study.largest.as_ref()?;
    let at = most(l, study.cases.largest_flow().filter(|r| r.flows()), say);
    let count = match study.line.outlet.as_ref().map(|o| &o.how) {
        Some(Way::Jets(jets)) => jets.len(),
        _ => 0,
    };
    let jets = l.nozzle_diameter_m.map_or_else(String::new, |d| {
        format!(" by {count} x {} jets", say.bore(d))
    });
    Some((
        "at most",
        format!(
            "{} in the water at {}{jets}, {} lost",
            at.power,
            at.flow,
            say.share(l.loss_share)
        ),
    ))
}

fn stream(study: &Study, say: Say) -> Option<(&'static str, String)> {
    let stream = study.stream.as_ref()?;
    let month = stream.months.get(stream.driest)?;
    let feeds = month.feeds.and_then(|i| stream.takes.get(i));
    Some((
        "stream",
        format!(
            "{} may be taken{}: {}",
            say.flow(month.may_take_m3_per_s),
            if stream.months.len() > 1 {
                " in the leanest month"
            } else {
                ""
            },
            feeds.map_or_else(
                || "feeds not even the smallest state".to_owned(),
                |t| format!("feeds {}", t.state)
            )
        ),
    ))
}

fn start(study: &Study, say: Say) -> Option<(&'static str, String)> {
    let air = study.air.as_ref()?;
    let alone = if air.unattended.verdict == air.start.verdict {
        String::new()
    } else {
        format!(
            "; with nobody there: {}",
            start_word(air.unattended.verdict)
        )
    };
    let verdict = air.start.verdict;
    let how = if verdict == Verdict::CannotTell {
        format!(
            "{} of the lines that fit the survey start",
            say.share(air.start.probability_starts)
        )
    } else {
        let margin_m = air.start.margin_worst_m;
        format!(
            "{} {} with the legs full of air",
            say.head_sd(margin_m.abs(), air.start.margin_sd_m),
            if margin_m < 0.0 {
                "lacking"
            } else {
                "to spare"
            }
        )
    };
    Some((
        "start",
        format!("{} after draining, {how}{alone}", start_word(verdict)),
    ))
}

fn gauges(study: &Study, say: Say) -> Option<(&'static str, String)> {
    let gauges = study.gauges.as_ref()?;
    let agree = if gauges.readings.is_empty() {
        "none could be used"
    } else if gauges.agree() {
        "agree with the line within their doubt"
    } else {
        "do not agree with the line"
    };
    let next = gauges.next.as_ref().map_or_else(String::new, |n| {
        format!("; read next: {}", next_reading(n, say))
    });
    Some(("gauges", format!("{agree}{next}")))
}
