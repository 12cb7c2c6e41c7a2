//! Checkers for tests/checks/compare.csv: fits of two surveys.

use crate::ledger::{Checker, Inputs};
use steadyfall::compare::fit::{Drift, Motion, PlanPair, drift, kabsch, median, spread};

/// The quantities of this topic.
pub fn checkers() -> Vec<Checker> {
    macro_rules! list {
        ($($quantity:literal, $of:literal, $work:expr;)*) => {
            vec![$(Checker { quantity: $quantity, of: $of, work: $work }),*]
        };
    }
    list! {
        "plan turn", "compare::fit::kabsch", |i| Ok(plan(i)?.0.turn_rad.to_degrees().into());
        "plan east", "compare::fit::kabsch", |i| Ok(plan(i)?.0.east_m.into());
        "plan north", "compare::fit::kabsch", |i| Ok(plan(i)?.0.north_m.into());
        "plan left over", "compare::fit::kabsch", |i| Ok(plan(i)?.1.into());
        "height offset", "compare::fit::median", |i| Ok(median(&i.numbers("ups")?).into());
        "height spread", "compare::fit::spread", |i| Ok(spread(&i.numbers("ups")?).into());
        "height times spread", "compare::fit::spread", |i| {
            let ups = i.numbers("ups")?;
            let at = i.number("point")? as usize - 1;
            Ok(((ups[at] - median(&ups)) / spread(&ups)).into())
        };
        "height drift start", "compare::fit::drift", |i| Ok(line(i)?.at_start_m.into());
        "height drift", "compare::fit::drift", |i| Ok(line(i)?.per_m.into());
        "height drift times sd", "compare::fit::drift", |i| Ok(line(i)?.times_sd.into());
    }
}

fn plan(inputs: &Inputs) -> Result<(Motion, f64), String> {
    let (east, north) = (inputs.numbers("east")?, inputs.numbers("north")?);
    let (to_east, to_north) = (inputs.numbers("to_east")?, inputs.numbers("to_north")?);
    let pairs: Vec<PlanPair> = (0..east.len())
        .map(|i| PlanPair {
            from: (east[i], north[i]),
            to: (to_east[i], to_north[i]),
            weight: 1.0,
        })
        .collect();
    kabsch(&pairs).ok_or_else(|| "no fit".to_owned())
}

fn line(inputs: &Inputs) -> Result<Drift, String> {
    drift(&inputs.numbers("stations")?, &inputs.numbers("ups")?).ok_or_else(|| "no line".to_owned())
}
