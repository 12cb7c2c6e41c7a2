//! Checkers for tests/checks/compare.csv: fits of two surveys.

use crate::ledger::{Checker, Inputs};
use steadyfall::numeric::{Motion, PlanPair, kabsch, median, spread};

/// The quantities of this topic.
pub fn checkers() -> Vec<Checker> {
    macro_rules! list {
        ($($quantity:literal, $of:literal, $work:expr;)*) => {
            vec![$(Checker { quantity: $quantity, of: $of, work: $work }),*]
        };
    }
    list! {
        "plan turn", "numeric::kabsch", |i| Ok(plan(i)?.0.turn_rad.to_degrees().into());
        "plan east", "numeric::kabsch", |i| Ok(plan(i)?.0.east_m.into());
        "plan north", "numeric::kabsch", |i| Ok(plan(i)?.0.north_m.into());
        "plan left over", "numeric::kabsch", |i| Ok(plan(i)?.1.into());
        "height offset", "numeric::median", |i| Ok(median(&i.numbers("ups")?).into());
        "height spread", "numeric::spread", |i| Ok(spread(&i.numbers("ups")?).into());
        "height times spread", "numeric::spread", |i| {
            let ups = i.numbers("ups")?;
            let at = i.number("point")? as usize - 1;
            Ok(((ups[at] - median(&ups)) / spread(&ups)).into())
        };
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
