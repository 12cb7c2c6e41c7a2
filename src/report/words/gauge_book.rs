//! What a book of gauge readings says, in words.

use super::Say;
use crate::gauge_book::{Cause, Episode, Forecast, Judged, Kind, Next, Suspect, date};
use crate::pipe::RunState;
use crate::unit::Quantity;

/// A cause by the key that other programs read.
pub fn change_word(cause: Cause) -> &'static str {
    match cause {
        Cause::InTheWay => "in-the-way",
        Cause::Growth => "growth",
        Cause::Air => "air",
        Cause::Level => "level",
        Cause::JetWorn => "jet-worn",
        Cause::JetBlocked => "jet-blocked",
        Cause::GaugeOff => "gauge-off",
        Cause::Leak => "leak",
    }
}

/// What is read, by the key that other programs read.
pub fn kind_word(kind: Kind) -> &'static str {
    match kind {
        Kind::Pressure => "pressure",
        Kind::Flow => "flow",
        Kind::Power => "power",
        Kind::Fed => "fed",
    }
}

/// A state as the place of a reading.
pub fn in_state(state: &RunState) -> String {
    match state {
        RunState::Shut => "when shut".to_owned(),
        other => format!("with {other}"),
    }
}

/// A cause in words.
fn cause(of: Cause) -> &'static str {
    match of {
        Cause::InTheWay => "something in the way of the water above the gauge",
        Cause::Growth => "rougher pipe walls (slime, rust, scale)",
        Cause::Air => "air below a high point",
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
        Cause::InTheWay => "Look at the screen first, then at every valve on the way.",
        Cause::Growth => {
            "Look at the inside of the pipe where it can be opened, with no pressure in it."
        }
        Cause::Air => "Let the air out at the high points, slowly, and read the shut gauge again.",
        Cause::Level => "Look at the water level at the intake.",
        Cause::JetWorn => "Measure the nozzles with a plug gauge or a drill shank.",
        Cause::JetBlocked => {
            "Look into the nozzles, with the valve before them shut and the pressure let off."
        }
        Cause::GaugeOff => "Read a second gauge at the same place.",
        Cause::Leak => {
            "Walk the line and look for wet ground. Measure the flow, or do a shut-in test (page gauge-book)."
        }
    }
}

/// The size of a cause in its own measure.
fn size(s: &Suspect, largest: Option<&RunState>, say: Say) -> String {
    match s.cause {
        Cause::InTheWay => format!(
            "it takes {}{}",
            say.head_sd(s.size, s.size_sd),
            largest.map_or_else(String::new, |state| format!(" {}", in_state(state)))
        ),
        Cause::Growth => format!("{} of the way from new to old walls", say.share(s.size)),
        Cause::Air => format!("it takes {}", say.head_sd(s.size, s.size_sd)),
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

/// When a change came and what it does, in one sentence each.
pub fn change(e: &Episode, largest: Option<&RunState>, say: Say) -> String {
    let course = e.course;
    let over = course.full - course.from;
    let pace = if over <= 1.0 {
        "at once".to_owned()
    } else {
        format!("over {over:.0} days")
    };
    let end = if e.on_now {
        "It is still there.".to_owned()
    } else {
        format!("It was gone on {}.", date(course.until))
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
            " The gauge shows {} {} and {} when shut.",
            moves(running),
            in_state(state),
            moves(shut)
        ));
    }
    if let Some(lost) = first.power_lost.filter(|l| *l > 0.005) {
        out.push_str(&format!(" It takes {} of the power.", say.share(lost)));
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
            "These readings cannot tell the first {} apart. {}",
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

fn next(n: &Next, e: &Episode, say: Say) -> String {
    let figure = |v: f64| match n.kind {
        Kind::Pressure => say.head(v),
        Kind::Flow | Kind::Fed => say.flow(v),
        Kind::Power => say.power(v),
    };
    let first = e.suspects.first().map_or(Cause::InTheWay, |s| s.cause);
    format!(
        "Read next: the {} {}. {} stands for {}, {} for {}.",
        kind_word(n.kind),
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
    let mut out = format!(
        "{} of the power is gone now",
        say.share(f.lost_now.max(0.0))
    );
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
    format!("{out}. {act}{when}. This rests on {} readings.", f.readings)
}

/// What was read, in one line.
pub fn read(judged: &Judged, rows: usize, say: Say) -> Vec<String> {
    let mut out = vec![format!(
        "{rows} readings, {} to {}",
        date(judged.days.0),
        date(judged.days.1)
    )];
    for r in &judged.rows {
        let figure = |v: f64| match r.kind {
            Kind::Pressure => say.head(v),
            Kind::Flow | Kind::Fed => say.flow(v),
            Kind::Power => say.power(v),
        };
        let Some(last) = r.points.last() else {
            continue;
        };
        out.push(format!(
            "{} {}: {} readings, each good to {}; the last {}, computed {}",
            kind_word(r.kind),
            in_state(&r.state),
            r.points.len(),
            match r.kind {
                Kind::Pressure => say.held(Quantity::Head, 2.0 * r.noise, 0.2 * r.noise),
                _ => figure(2.0 * r.noise),
            },
            figure(last.read),
            figure(r.computed)
        ));
        if r.kind == Kind::Pressure && r.off.abs() > 2.0 * r.computed_sd {
            out.push(format!(
                "From the first reading on this is {} {} than computed. That is no change of this book: give one reading as [[gauge]] and run `check`.",
                figure(r.off.abs()),
                if r.off < 0.0 { "less" } else { "more" }
            ));
        }
    }
    out
}
