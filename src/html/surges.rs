//! Movements of valves and jets: what they do, how slowly they must be made, the handbooks' figures beside them, head against time.

use super::drawn::inline;
use super::markup::{HtmlCell, list, more, table};
use crate::drawing::{self, Swing, SwingLine};
use crate::pipe::Law;
use crate::study::Study;
use crate::surge::{Surge, Surges, Timing};
use crate::unit::Units;
use crate::words::{Say, runaway_line};
use maud::{Markup, html};

/// The whole part of the page.
pub(super) fn whole(study: &Study, say: Say) -> Markup {
    let Some(surges) = &study.surges else {
        return Markup::default();
    };
    let plots = html! { @for s in surges.weighed() { (plot(study, s, say)) } };
    html! {
        (movements(surges, say))
        @if let Some(r) = &study.line.runaway { (list(&[runaway_line(r, say)])) }
        (more("Comparison with handbook formulas", beside(surges, say)))
        (more("Head against time in each valve operation", plots))
    }
}

fn movements(surges: &Surges, say: Say) -> Markup {
    let rows = surges.runs.iter().map(|s| {
        let most = s.points.iter().map(|p| p.pressure_max_pa).reduce(f64::max);
        let parts = s.vapour.map_or_else(
            || "no".to_owned(),
            |v| {
                format!(
                    "{}, after {}",
                    say.reach(v.from_m, v.to_m),
                    say.time(v.at_s)
                )
            },
        );
        vec![
            HtmlCell::words(s.movement.clone()),
            HtmlCell::words(s.during.to_string()),
            HtmlCell::figure(s.over_s, made_in(s, say)),
            HtmlCell::maybe(most, |p| say.pressure(p)),
            HtmlCell::figure(s.head_max_m, band(s, say)),
            HtmlCell::words(parts),
            HtmlCell::words(counted(s, say)),
            HtmlCell::words(holds(s)),
        ]
    });
    table(
        "Valve and nozzle operations",
        &[
            "operation",
            "from",
            ">closing or opening time",
            ">highest pressure",
            ">highest head at the turbine",
            "column separation",
            "minimum safe time",
            "valid",
        ],
        rows,
    )
}

fn made_in(s: &Surge, say: Say) -> String {
    let how = match s.timing {
        Timing::Said => "",
        Timing::AtOnce => return "immediate".to_owned(),
        Timing::Runaway => ", loss of load",
        Timing::QuickLever => ", quick lever",
        Timing::HandWheel => ", hand wheel",
        Timing::ByHand => ", by hand",
    };
    format!("{}{how}", say.time(s.over_s))
}

/// Highest head with the wave speed at either end of its range.
fn band(s: &Surge, say: Say) -> String {
    let (slow, fast) = (say.head(s.head_slow_m.0), say.head(s.head_max_m));
    if slow == fast {
        fast
    } else {
        format!("{slow} to {fast}")
    }
}

/// A time that a person can count.
fn counted(s: &Surge, say: Say) -> String {
    let Some(search) = &s.search else {
        return String::new();
    };
    let how = match s.law {
        Law::Stroke => "stroke",
        Law::Area => "open area",
    };
    let straight = match search.straight_s {
        Some(s) if s > 0.0 => format!("{how} at a constant rate in {} or more", say.counted(s)),
        Some(_) => "any time is safe".to_owned(),
        None if search.hopeless => {
            return format!(
                "no time is sufficient: the pressure at {} is too high already",
                say.station(search.governing_station_m)
            );
        }
        None => return format!("not even in {}", say.counted(search.longest_s)),
    };
    match search.staged.as_deref() {
        Some([first, rest]) => format!(
            "{straight}; or to {} open in {}, then the rest in {}",
            say.share(first.to),
            say.counted(first.over_s),
            say.counted(rest.over_s)
        ),
        _ => straight,
    }
}

fn holds(s: &Surge) -> String {
    let mut words = Vec::new();
    if let Some(own) = &s.answered_by {
        words.push(format!("not assessed: {own} gives the method"));
    }
    if !s.valid {
        words.push("only when no air can stay".to_owned());
    }
    if s.air_at_jets {
        words.push("air enters at the nozzles".to_owned());
    }
    words.join("; ")
}

/// The handbooks' figures beside the march, each with its difference.
fn beside(surges: &Surges, say: Say) -> Markup {
    let rows = surges
        .weighed()
        .filter(|s| s.closed.marched_rise_m > 0.0)
        .map(|s| {
            let c = &s.closed;
            let other = |form: Option<f64>| {
                HtmlCell::maybe(form, |m| {
                    let off = m / c.marched_rise_m - 1.0;
                    format!("{} ({:+.0} %)", say.head(m), 100.0 * off)
                })
            };
            vec![
                HtmlCell::words(s.movement.clone()),
                HtmlCell::figure(c.marched_rise_m, say.head(c.marched_rise_m)),
                other(Some(c.joukowsky_m)),
                other(c.michaud_m),
                other(c.rigid_m),
                other(c.interlocking_m),
                other(c.blocked_jet_m),
            ]
        });
    table(
        "Pressure rise at the valve: method of characteristics, and the handbook formulas",
        &[
            "operation",
            ">method of characteristics",
            ">Joukowsky, immediate",
            ">Michaud",
            ">rigid column",
            ">one pipe, no friction",
            ">blocked-jet rule",
        ],
        rows,
    )
}

fn plot(study: &Study, s: &Surge, say: Say) -> Markup {
    let worst = format!("at {}", say.station(s.at_worst.station_m));
    let view = Swing {
        title: s.movement.clone(),
        description: format!(
            "Head against time at the turbine and {worst}, from the start of the valve operation."
        ),
        lines: vec![
            SwingLine {
                name: "at the turbine".to_owned(),
                points: s.at_turbine.points.clone(),
            },
            SwingLine {
                name: worst,
                points: s.at_worst.points.clone(),
            },
        ],
        still: (study.line.intake.level_m, "static".to_owned()),
        moved_s: s.over_s,
        seconds: "s".to_owned(),
        heads: match say.units {
            Units::Metric => "head, m".to_owned(),
            Units::Us => "head, ft".to_owned(),
        },
        units: say.units,
    };
    html! {
        @if let Some(sheet) = drawing::swing(&view) {
            figure style="margin:.6rem 0;max-width:34rem" { figcaption { (s.movement) } (inline(&sheet)) }
        }
    }
}
