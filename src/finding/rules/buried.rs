use crate::anchor::{Afloat, COVER_SAFETY};
use crate::finding::{Buried, Finding, Kind, Severity};
use crate::study::Study;

/// The trenches of buried pipe: what floats in them.
pub fn trenches(study: &Study) -> Vec<Finding> {
    study
        .anchor
        .iter()
        .flat_map(|a| &a.afloat)
        .flat_map(afloat)
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
