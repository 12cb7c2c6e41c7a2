//! Rows beyond the running state: what a person asks next.

use crate::air::StartVerdict;
use crate::flow::Run;
use crate::study::Study;
use crate::unit::Quantity;
use crate::words::{
    Say, grit_row, metal_row, most, next_reading, proof_line, screen_row, start_label,
};

/// Each row as its head and its words.
pub(crate) fn more(study: &Study, say: Say) -> Vec<(&'static str, String)> {
    let mut out = Vec::new();
    if let Some(run) = study.cases.largest_flow().filter(|r| r.flows()) {
        out.extend(slimed(run, say));
        out.push(("head loss", lost_to(run, say)));
    }
    out.extend(at_most(study, say));
    out.extend(stream(study, say));
    out.extend(gauged(study, say));
    out.extend(screen_row(study, say).map(|words| ("screen", words)));
    out.extend(grit_row(study, say).map(|words| ("sand", words)));
    out.extend(start(study, say));
    out.extend(gauges(study, say));
    out.extend(metal_row(study).map(|words| ("metals", words)));
    out.extend(
        study
            .proof
            .as_ref()
            .map(|p| ("pressure test", proof_line(p, say))),
    );
    out
}

fn slimed(run: &Run, say: Say) -> Option<(&'static str, String)> {
    let s = run.aged?;
    Some((
        "fouled pipe",
        format!(
            "flow {}, net head {}, hydraulic power {}, when the walls are fouled",
            say.held(Quantity::Flow, s.flow_m3_per_s, run.flow_sd_m3_per_s),
            say.held(Quantity::Head, s.net_head_m, run.net_head_sd_m),
            say.held(Quantity::Power, s.water_power_w, run.water_power_sd_w)
        ),
    ))
}

fn lost_to(run: &Run, say: Say) -> String {
    let l = &run.losses;
    let mut parts = vec![
        format!("friction {}", say.head(l.friction_m)),
        format!("inlet, fittings and bends {}", say.head(l.local_m)),
    ];
    if l.air_m > 0.0 {
        parts.push(format!("trapped air {}", say.head(l.air_m)));
    }
    if l.fall_m > 0.0 {
        parts.push(format!("part-full section {}", say.head(l.fall_m)));
    }
    parts.join("; ")
}

fn at_most(study: &Study, say: Say) -> Option<(&'static str, String)> {
    let l = study.largest.as_ref()?;
    let beside = study.cases.largest_flow().filter(|r| r.flows());
    let at = most(l, beside, study.line.outlet.as_ref(), say);
    Some((
        "maximum power",
        format!(
            "hydraulic {}, at {}{}, head loss {}",
            at.power,
            at.flow,
            at.nozzles,
            say.share(l.loss_share)
        ),
    ))
}

fn stream(study: &Study, say: Say) -> Option<(&'static str, String)> {
    let stream = study.stream.as_ref()?;
    let month = stream.months.get(stream.driest)?;
    let feeds = month.feeds.and_then(|i| stream.takes.get(i));
    Some((
        "available flow",
        format!(
            "{}{}: {}",
            say.flow(month.may_take_m3_per_s),
            if stream.months.len() > 1 {
                " in the driest month"
            } else {
                ""
            },
            feeds.map_or_else(
                || "not sufficient for any operating condition".to_owned(),
                |t| format!("sufficient for {}", t.state)
            )
        ),
    ))
}

fn gauged(study: &Study, say: Say) -> Option<(&'static str, String)> {
    let all = &study.line.measured.gauged;
    let flows = || all.iter().map(|g| g.flow_m3_per_s);
    let (low, high) = (flows().reduce(f64::min)?, flows().reduce(f64::max)?);
    Some((
        "measured stream",
        if all.len() == 1 {
            format!("{} on 1 day", say.flow(low))
        } else {
            format!(
                "{} to {} on {} days",
                say.flow(low),
                say.flow(high),
                all.len()
            )
        },
    ))
}

fn start(study: &Study, say: Say) -> Option<(&'static str, String)> {
    let air = study.air.as_ref()?;
    let alone = if air.unattended.verdict == air.start.verdict {
        String::new()
    } else {
        format!(
            ", with nobody there: {}",
            start_label(air.unattended.verdict)
        )
    };
    let verdict = air.start.verdict;
    let how = if verdict == StartVerdict::CannotTell {
        format!(
            "it restarts in {} of the pipe profiles that agree with the survey",
            say.share(air.start.probability_starts)
        )
    } else {
        let margin_m = air.start.margin_worst_m;
        format!(
            "{} {} with the downhill sections full of air",
            if margin_m < 0.0 {
                "missing head"
            } else {
                "head margin"
            },
            say.head_sd(margin_m.abs(), air.start.margin_sd_m)
        )
    };
    Some((
        "restart",
        format!("after draining: {}; {how}{alone}", start_label(verdict)),
    ))
}

fn gauges(study: &Study, say: Say) -> Option<(&'static str, String)> {
    let gauges = study.gauges.as_ref()?;
    let agree = if gauges.readings.is_empty() {
        "no reading can be used"
    } else if gauges.agree() {
        "the readings agree with the calculated pressures, within the uncertainty"
    } else {
        "the readings do not agree with the calculated pressures"
    };
    let next = gauges.next.as_ref().map_or_else(String::new, |n| {
        format!(". Next reading: {}", next_reading(n, say))
    });
    Some(("gauges", format!("{agree}{next}")))
}
