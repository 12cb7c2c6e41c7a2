use crate::anchor::{Afloat, COVER_SAFETY};
use crate::finding::{Buried, Finding, Kind, Severity};
use crate::strength::{Bedded, NoDeflection};
use crate::study::Study;

/// The trenches of buried pipe: what floats in them.
pub fn trenches(study: &Study) -> Vec<Finding> {
    study
        .anchor
        .iter()
        .flat_map(|a| &a.afloat)
        .flat_map(afloat)
        .chain(
            study
                .strength
                .iter()
                .flat_map(|s| &s.bedded)
                .flat_map(bedded),
        )
        .collect()
}

/// How the pipe lies in its trench.
fn bedded(b: &Bedded) -> Vec<Finding> {
    let oval = match &b.deflects {
        Ok(d) if b.too_oval() => Some((
            Severity::Fix,
            Buried::Deflects {
                share: d.share_high,
                allowed: d.allowed,
                surround: b.surround,
                tamped: b.tamped,
            },
        )),
        // of a trench of which nothing was said nothing is asked
        Ok(_) | Err(NoDeflection::NothingSaid) => None,
        Err(why) => Some((Severity::Watch, Buried::DeflectionNotJudged { why: *why })),
    };
    let stones = b.stones.then_some((
        Severity::Fix,
        Buried::StonesAgainst {
            largest_m: b.size.stone_m,
        },
    ));
    oval.into_iter()
        .chain(stones)
        .map(|(severity, what)| {
            Finding::new(severity, Kind::Buried(what), b.from_m, b.to_m).from_memory(true)
        })
        .collect()
}

/// The filled trench, and beside it the open one where the pipe is still to be laid.
fn afloat(a: &Afloat) -> Vec<Finding> {
    let lift_n_per_m = a.lift_empty_n_per_m;
    let filled = match a.fill {
        Ok(fill) if a.floats() => Some((
            Severity::Fix,
            Buried::Floats {
                by: a.by,
                lift_n_per_m,
                safety: fill.safety,
                asked_safety: COVER_SAFETY,
                wanted_cover_m: a.wanted_cover_m,
                ballast_kg_per_m: a.ballast_kg_per_m,
            },
        )),
        Ok(_) => None,
        Err(why) => Some((
            Severity::Watch,
            Buried::FloatNotJudged {
                why,
                lift_n_per_m,
                wanted_cover_m: a.wanted_cover_m,
            },
        )),
    };
    let open = a.to_lay.then_some((
        Severity::Watch,
        Buried::FloatsOpen {
            lift_n_per_m,
            full_lift_n_per_m: Some(a.lift_full_n_per_m).filter(|n| *n > 0.0),
            ballast_kg_per_m: a.ballast_kg_per_m,
        },
    ));
    filled
        .into_iter()
        .chain(open)
        .map(|(severity, what)| {
            Finding::new(severity, Kind::Buried(what), a.from_m, a.to_m).from_memory(true)
        })
        .collect()
}
