//! What a book of gauge readings says, in words.

use super::Say;
use crate::gauge_book::{
    Cause, ChannelKind, Episode, Forecast, GaugeBook, JudgedBook, ReadNext, Suspect,
};
use crate::pipe::RunState;

use crate::unit::{Quantity, date};

/// A state as the place of a reading.
pub fn in_state(state: &RunState) -> String {
    match state {
        RunState::Shut => "with the valve closed".to_owned(),
        other => format!("with {other}"),
    }
}

/// A cause in words.
fn cause(of: Cause) -> &'static str {
    match of {
        Cause::InTheWay => "an obstruction above the gauge",
        Cause::Growth => "rougher pipe walls (biofilm, rust, scale)",
        Cause::Air => "trapped air at a high point",
        Cause::Level => "another water level at the intake",
        Cause::JetWorn => "worn nozzles",
        Cause::JetBlocked => "a blocked nozzle",
        Cause::GaugeOff => "the gauge itself",
        Cause::Leak => "a leak",
    }
}

/// What to look at first.
fn look_first(of: Cause) -> &'static str {
    match of {
        Cause::InTheWay => "Inspect the screen first, then every valve above the gauge.",
        Cause::Growth => {
            "Release the pressure. Then inspect the inside of the pipe where you can open it."
        }
        Cause::Air => {
            "Release the air slowly at the high points. Then read the gauge again with the valve closed."
        }
        Cause::Level => "Check the water level at the intake.",
        Cause::JetWorn => "Measure the nozzles with a plug gauge or a drill shank.",
        Cause::JetBlocked => {
            "Close the valve before the nozzles and release the pressure. Then inspect the nozzles."
        }
        Cause::GaugeOff => "Read a second gauge at the same place.",
        Cause::Leak => {
            "Walk along the pipeline and look for wet ground. Measure the flow, or do a shut-in test (page gauge-book)."
        }
    }
}

/// The size of a cause in its own measure.
fn size(s: &Suspect, largest: Option<&RunState>, say: Say) -> String {
    match s.cause {
        Cause::InTheWay => format!(
            "head loss {}{}",
            say.head_sd(s.size, s.size_sd),
            largest.map_or_else(String::new, |state| format!(" {}", in_state(state)))
        ),
        Cause::Growth => format!(
            "{} of the change from new to fouled pipe",
            say.share(s.size)
        ),
        Cause::Air => format!("head loss {}", say.head_sd(s.size, s.size_sd)),
        Cause::Level if s.size < 0.0 => format!("{} higher", say.head_sd(-s.size, s.size_sd)),
        Cause::Level => format!("{} lower", say.head_sd(s.size, s.size_sd)),
        Cause::JetWorn => format!("{} more nozzle area", say.share(s.size)),
        Cause::JetBlocked => format!("{} less nozzle area", say.share(s.size)),
        Cause::GaugeOff if s.size < 0.0 => {
            format!("it shows {} too little", say.head_sd(-s.size, s.size_sd))
        }
        Cause::GaugeOff => format!("it shows {} too much", say.head_sd(s.size, s.size_sd)),
        Cause::Leak => say.flow_sd(s.size, s.size_sd),
    }
}

/// A suspect in one line.
pub fn suspect(s: &Suspect, largest: Option<&RunState>, say: Say) -> String {
    format!(
        "{}: {} ({})",
        say.share(s.chance),
        cause(s.cause),
        size(s, largest, say)
    )
}

/// Said where nothing was found.
pub const NO_CHANGE: &str = "No change is larger than the scatter of the readings.";

/// The whole book in one sentence.
pub fn verdict(judged: &JudgedBook, say: Say) -> String {
    let now: Vec<&Episode> = judged.episodes.iter().filter(|e| e.on_now).collect();
    let Some(last) = now.last() else {
        return match judged.episodes.len() {
            0 => NO_CHANGE.to_owned(),
            1 => "One change, which has ended.".to_owned(),
            n => format!("{n} changes, which have all ended."),
        };
    };
    let count = match now.len() {
        1 => "One change is".to_owned(),
        n => format!("{n} changes are"),
    };
    let first = match last.alike() {
        [] => String::new(),
        [only] => format!(" The most likely cause is {}.", cause(only.cause)),
        [first, next, ..] => format!(
            " The readings cannot separate {} from {}.",
            cause(first.cause),
            cause(next.cause)
        ),
    };
    let lost = judged.lost_now().map_or_else(String::new, |l| {
        format!(" The power loss is {}.", say.share(l))
    });
    format!("{count} still there.{first}{lost}")
}

/// When a change came and what it does, in one sentence each.
pub fn change(e: &Episode, largest: Option<&RunState>, say: Say) -> String {
    let course = e.course;
    let over = course.full - course.from;
    let pace = if over <= 1.0 {
        "suddenly".to_owned()
    } else {
        format!("over {over:.0} days")
    };
    let end = if e.on_now {
        "It is still there.".to_owned()
    } else {
        format!("It ended on {}.", date(course.until))
    };
    let mut out = format!("From {}, {pace}. {end}", date(course.from));
    let Some(first) = e.suspects.first() else {
        return out;
    };
    let moves = |m: f64| {
        if m.abs() < 0.005 {
            "the same".to_owned()
        } else if m < 0.0 {
            format!("{} less", say.head(-m))
        } else {
            format!("{} more", say.head(m))
        }
    };
    if let (Some(running), Some(shut), Some(state)) = (first.running_m, first.shut_m, largest) {
        out.push_str(&format!(
            " The gauge shows {} {}, and {} with the valve closed.",
            moves(running),
            in_state(state),
            moves(shut)
        ));
    }
    if let Some(lost) = first.power_lost.filter(|l| *l > 0.005) {
        out.push_str(&format!(" The power loss is {}.", say.share(lost)));
    }
    out
}

/// What the readings can tell of the cause, and what to do.
pub fn so(e: &Episode, say: Say) -> String {
    let alike = e.alike();
    let mut out = match alike {
        [] => String::new(),
        [only] => look_first(only.cause).to_owned(),
        [first, ..] => format!(
            "The first {} causes fit these readings equally well. {}",
            alike.len(),
            look_first(first.cause)
        ),
    };
    if alike.len() > 1
        && let Some(n) = &e.next
    {
        out.push(' ');
        out.push_str(&next(n, e, say));
    }
    out
}

fn next(n: &ReadNext, e: &Episode, say: Say) -> String {
    let figure = |v: f64| match n.kind {
        ChannelKind::Pressure => say.head(v),
        ChannelKind::Flow | ChannelKind::Fed => say.flow(v),
        ChannelKind::Power => say.power(v),
    };
    let first = e.suspects.first().map_or(Cause::InTheWay, |s| s.cause);
    format!(
        "Next reading: the {} {}. A value of {} shows {}. A value of {} shows {}.",
        n.kind.word(),
        in_state(&n.state),
        figure(n.expected.0),
        cause(first),
        figure(n.expected.1),
        cause(n.rival)
    )
}

/// How a change that grows goes on.
pub fn forecast(f: &Forecast, say: Say) -> String {
    let act = match f.cause {
        Cause::InTheWay => "Clean the screen",
        Cause::Growth => "Plan to flush or clean the pipe",
        _ => "Plan to replace the nozzles",
    };
    let when = if f.five.is_some() || f.ten.is_some() {
        " before then"
    } else {
        ""
    };
    let mut out = format!("The power loss is {} now", say.share(f.lost_now.max(0.0)));
    for (share, days) in [("5 %", f.five), ("10 %", f.ten)] {
        if let Some((soon, likely, late)) = days {
            out.push_str(&format!(
                "; at the rate of the last weeks {share} by {} (between {} and {})",
                date(likely),
                date(soon),
                if late.is_finite() && late - likely < 400.0 {
                    date(late)
                } else {
                    "much later".to_owned()
                }
            ));
        }
    }
    format!(
        "{out}. {act}{when}. This follows from {} readings.",
        f.readings
    )
}

/// What was read, in one line.
pub fn read(judged: &JudgedBook, rows: usize, say: Say) -> Vec<String> {
    let mut out = vec![format!(
        "{rows} readings, {} to {}",
        date(judged.days.0),
        date(judged.days.1)
    )];
    for r in &judged.rows {
        let figure = |v: f64| match r.kind {
            ChannelKind::Pressure => say.head(v),
            ChannelKind::Flow | ChannelKind::Fed => say.flow(v),
            ChannelKind::Power => say.power(v),
        };
        let Some(last) = r.points.last() else {
            continue;
        };
        out.push(format!(
            "{} {}: {} readings; last {}, calculated {}, uncertainty of one reading {}",
            r.kind.word(),
            in_state(&r.state),
            r.points.len(),
            figure(last.read),
            figure(r.computed),
            match r.kind {
                ChannelKind::Pressure => say.held(Quantity::Head, 2.0 * r.noise, 0.2 * r.noise),
                _ => figure(2.0 * r.noise),
            }
        ));
        if r.kind == ChannelKind::Pressure && r.off.abs() > 2.0 * r.computed_sd {
            out.push(format!(
                "From the first reading, it is {} {} than calculated. This is not a change in this book. Give one reading as [[gauge]] and run `check`.",
                figure(r.off.abs()),
                if r.off < 0.0 { "less" } else { "more" }
            ));
        }
    }
    out
}

/// Said wherever somebody is sent to a gauge.
pub const CAUTION: &str = "Stored pressure: do not open a part under pressure. Close the valve and release the pressure before you inspect. Never stand in front of a jet.";

/// Readings that stand alone between others that agree.
pub fn alone(judged: &JudgedBook, book: &GaugeBook) -> Vec<String> {
    judged
        .alone
        .iter()
        .filter_map(|i| book.entries.get(*i))
        .map(|e| {
            format!(
                "The reading of {} (row {}) is an outlier between readings that agree. It is not used. Check that it was written correctly.",
                date(e.day),
                e.line
            )
        })
        .collect()
}
