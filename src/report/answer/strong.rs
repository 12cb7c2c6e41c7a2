//! Is the pipe strong enough, and where is which class necessary?

use super::question::{Question, findings, is_grave, listed, why_not};
use crate::finding::{Finding, Kind, cause};
use crate::report::account::Report;
use crate::strength::{ReachStrength, Strength};
use crate::study::Study;
use crate::words::{Say, capital, label, pressure_cause, states};

pub(super) fn answer(account: &Report, say: Say) -> (String, Vec<String>) {
    let study = &account.study;
    let Some(strength) = &study.strength else {
        return (
            format!("Not assessed: {}.", why_not(study, "cases", say)),
            Vec::new(),
        );
    };
    let line = verdict(account, strength, say);
    let mut more = vec![classes(study, say)];
    let needs: Vec<(f64, f64)> = strength.needs_air.clone();
    if !needs.is_empty() {
        more.push(format!(
            "A full vacuum can collapse the pipe {}. Air vents protect it there.",
            say.reaches(&needs)
        ));
    }
    if !strength.parting.is_empty() {
        more.push(format!(
            "No pressure here includes column separation, which occurs in: {}.",
            states(&strength.parting)
        ));
    }
    (line, more)
}

fn verdict(account: &Report, strength: &Strength, say: Say) -> String {
    let own = || findings(&account.findings, Question::Strong).filter(|f| is_grave(f));
    let unknown = |f: &&Finding| matches!(f.kind, Kind::WallTooWarm { .. } | Kind::NoRating { .. });
    if let Some(worst) = own().find(|f| !f.is_unsettled() && !unknown(f)) {
        return format!(
            "No: {} {}.",
            label(worst.kind.word()),
            say.reach(worst.from_m, worst.to_m)
        );
    }
    let worst = strength
        .reaches
        .iter()
        .filter_map(|r| r.use_high.map(|u| (u, r)))
        .max_by(|a, b| a.0.total_cmp(&b.0));
    let Some((use_high, worst)) = worst else {
        return "Not certain: the pressure rating of the pipe is not known.".to_owned();
    };
    let largest = largest(worst, say);
    if use_high > 1.0 {
        return format!("No: {largest}.");
    }
    if let Some(unsure) = own().next() {
        return format!(
            "Not certain: {} {}.",
            label(unsure.kind.word()),
            say.reach(unsure.from_m, unsure.to_m)
        );
    }
    // The pressure when separated columns meet again is not calculated: then nothing says yes.
    if strength.parting.is_empty() {
        format!("Yes: {largest}.")
    } else {
        format!("Not certain: column separation occurs. Without it, {largest}.")
    }
}

/// The largest share in use with its place and its cause.
fn largest(worst: &ReachStrength, say: Say) -> String {
    let share = worst.use_high.map_or_else(String::new, |u| say.share(u));
    worst.governing.as_ref().map_or_else(
        || format!("utilization {share}"),
        |g| {
            format!(
                "the largest pressure, {} at {}, is {share} of the allowable pressure ({})",
                say.pressure(g.pressure_high_pa),
                say.station(g.station_m),
                pressure_cause(&cause(&g.cause))
            )
        },
    )
}

/// The lightest class from station to station.
fn classes(study: &Study, say: Say) -> String {
    let Some(zoned) = &study.zoned else {
        return format!(
            "Class by section: not selected, because {}.",
            why_not(study, "zones", say)
        );
    };
    let all: Vec<String> = zoned
        .list
        .iter()
        .map(|z| format!("{} {}", z.pipe.spec, say.reach(z.from_m, z.to_m)))
        .collect();
    if zoned.list.iter().all(|z| !z.differs) {
        return format!(
            "The declared classes are the lightest sufficient classes: {}.",
            listed(&all, 4)
        );
    }
    if !zoned.holds {
        return "No lighter class by section is sufficient.".to_owned();
    }
    capital(&format!(
        "lightest sufficient classes: {}. The total mass is {}. As declared, it is {}.",
        all.chunks(2)
            .map(|few| few.join(", "))
            .collect::<Vec<_>>()
            .join(". Then: "),
        say.mass(zoned.mass_kg),
        say.mass(zoned.declared_mass_kg)
    ))
}
