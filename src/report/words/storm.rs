use super::Say;
use super::name::kind_word;
use crate::air::Verdict as Start;
use crate::compare::{
    By, CaseChange, ClimbChange, Climbing, Compared, Moved, OffLine, Standing, Tonight, Verdict,
};
use crate::line::Line;

/// What to do tonight, in one line each, the most pressing first.
pub fn tonight(compared: &Compared, line: &Line, say: Say) -> Vec<String> {
    compared
        .tonight
        .iter()
        .map(|t| one(t, compared, line, say))
        .collect()
}

fn one(tonight: &Tonight, compared: &Compared, line: &Line, say: Say) -> String {
    match tonight {
        Tonight::ShutDown { station_m } => {
            format!(
                "Do not run. Shut the intake slowly, leave the air inlet below it open: the pipe may burst, collapse or part near {}.",
                say.station(*station_m)
            )
        }
        Tonight::LookAtJoints {
            from_m,
            to_m,
            longer_m,
        } => {
            format!(
                "Look at every joint {} before there is pressure on it: the pipe is {} longer there.",
                say.reach(*from_m, *to_m),
                say.head(*longer_m)
            )
        }
        Tonight::KeepClear { from_m, to_m } => format!(
            "Do not stand on or below {}: the ground moved and may move again.",
            say.reach(*from_m, *to_m)
        ),
        Tonight::RunOneJet => {
            "It may run at one jet, with somebody watching the gauge and the moved reaches."
                .to_owned()
        }
        Tonight::RunAsBefore => "It may run as before.".to_owned(),
        Tonight::LetAirOut { station_m } => format!(
            "Before filling, open or fit a vent near {}: air would lock the line.",
            say.station(*station_m)
        ),
        Tonight::RunLess { station_m } => format!(
            "Keep the flow down: near {} the pipe stands in suction when it runs.",
            say.station(*station_m)
        ),
        Tonight::CheckHold { stand, station_m } => {
            let what = line
                .stands
                .get(*stand)
                .map_or("hold", |s| kind_word(s.kind));
            format!(
                "Check the {what} at {}: the pipe moved away from it.",
                say.station(*station_m)
            )
        }
        Tonight::EaseBend { station_m } => format!(
            "Ease the bend near {}: it is sharper than the pipe may take.",
            say.station(*station_m)
        ),
        Tonight::Level { from_m, to_m } => format!(
            "Level {} first: the survey cannot tell.",
            say.reach(*from_m, *to_m)
        ),
        Tonight::Regrade { plan } => {
            let stakes = compared.regrade.get(*plan).map_or(0, |p| p.stakes.len());
            format!(
                "When it is safe, set out the {stakes} stakes of stakes.csv and dig or prop to them: it then falls again."
            )
        }
    }
}

/// What moved, in one line.
pub fn moved(m: &Moved, say: Say) -> String {
    let mut parts = Vec::new();
    let direction = |value: f64, positive: &str, negative: &str| {
        if value >= 0.0 {
            positive.to_owned()
        } else {
            negative.to_owned()
        }
    };
    if m.up_m.abs() > 2.0 * m.up_sd_m {
        parts.push(format!(
            "{} {}",
            say.head_sd(m.up_m.abs(), m.up_sd_m),
            direction(m.up_m, "up", "down")
        ));
    }
    if let (Some(side), Some(sd)) = (m.side_m, m.side_sd_m)
        && side.abs() > 2.0 * sd
    {
        parts.push(format!(
            "{} {}",
            say.head_sd(side.abs(), sd),
            direction(side, "to the left", "to the right")
        ));
    }
    if let (Some(along), Some(sd)) = (m.along_m, m.along_sd_m)
        && along.abs() > 2.0 * sd
    {
        parts.push(format!(
            "{} {}",
            say.head_sd(along.abs(), sd),
            direction(along, "down the line", "up the line")
        ));
    }
    if m.longer_m.abs() > 2.0 * m.longer_sd_m {
        parts.push(format!(
            "{} {}",
            say.head_sd(m.longer_m.abs(), m.longer_sd_m),
            direction(m.longer_m, "longer", "shorter")
        ));
    }
    let by = if parts.is_empty() {
        format!("up to {}", say.head(m.most_m))
    } else {
        parts.join(", ")
    };
    match m.verdict {
        Verdict::Moved => format!("{} moved: {by}", say.reach(m.from_m, m.to_m)),
        Verdict::CannotTell => format!(
            "{} may have moved: {by}; the surveys cannot tell",
            say.reach(m.from_m, m.to_m)
        ),
    }
}

/// What became of a climb.
pub fn climb(change: &ClimbChange, say: Say) -> Option<String> {
    let word = climbing_word(change.what);
    let at = change.after.as_ref().or(change.before.as_ref())?;
    let rise = |c: &Option<crate::profile::Climb>| {
        c.as_ref()
            .map_or_else(|| "none".to_owned(), |c| say.head_sd(c.rise_m, c.rise_sd_m))
    };
    Some(format!(
        "climb {} is {word}: rise {} before, {} now",
        say.reach(at.low_station_m, at.crest_station_m),
        rise(&change.before),
        rise(&change.after)
    ))
}

/// The word of what became of a climb.
pub fn climbing_word(what: Climbing) -> &'static str {
    match what {
        Climbing::New => "new",
        Climbing::Worse => "worse",
        Climbing::Same => "as before",
        Climbing::Better => "better",
        Climbing::Cured => "gone",
    }
}

/// A running state before and after.
pub fn case(change: &CaseChange, say: Say) -> String {
    let (flow, power) = (change.flow_m3_per_s, change.power_w);
    let air = change.with_air.map_or_else(String::new, |(_, now)| {
        format!(", {} of it with air standing in the climbs", say.share(now))
    });
    let limited = if change.newly_limited {
        ", no longer full"
    } else {
        ""
    };
    format!(
        "{}: {} before, {} now; {} before, {} now{air}{limited}",
        change.name,
        say.flow(flow.0),
        say.flow(flow.1),
        say.power(power.0),
        say.power(power.1)
    )
}

/// What no longer stands where it should.
pub fn off_line(off: &OffLine, line: &Line, say: Say) -> String {
    let name = |what: &Standing| match what {
        Standing::Mark(i) => line.stands.get(*i).map_or_else(String::new, |s| {
            if s.name.is_empty() {
                format!("the {}", kind_word(s.kind))
            } else {
                s.name.clone()
            }
        }),
        Standing::Fitting(i) => line
            .fittings
            .get(*i)
            .map_or_else(String::new, |f| f.name.clone()),
    };
    match off {
        OffLine::PipeMoved {
            what,
            station_m,
            by_m,
        } => format!(
            "{} at {}: the pipe beside it moved by {}",
            name(what),
            say.station(*station_m),
            say.head(*by_m)
        ),
        OffLine::NotAtCrest {
            what,
            station_m,
            crest_m,
        } => format!(
            "{} at {} no longer stands at the crest, which is near {}",
            name(what),
            say.station(*station_m),
            say.station(*crest_m)
        ),
        OffLine::Unvented { crest_m } => {
            format!("nothing vents the crest near {}", say.station(*crest_m))
        }
    }
}

/// Whether it starts, before and after.
pub fn start(change: (Start, Start)) -> String {
    let word = super::start_word;
    format!(
        "start after draining: {} before, {} now",
        word(change.0),
        word(change.1)
    )
}

/// How the two surveys were brought together.
pub fn by_word(by: By) -> &'static str {
    match by {
        By::Plan => "by their positions in plan",
        By::Names => "by places of the same name",
        By::Stations => "by the stations of both books",
        By::Shape => "by the shape of the heights",
        By::Ends => "by their beginnings",
        By::Said => "as said",
    }
}
