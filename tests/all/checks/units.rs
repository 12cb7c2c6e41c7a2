//! Checkers for tests/checks/units.csv.

use crate::ledger::{Answer, Checker, Inputs};
use steadyfall::unit::{QuantityKind, parse};

/// The quantities of this topic.
pub fn checkers() -> Vec<Checker> {
    vec![Checker {
        quantity: "quantity to SI",
        of: "unit::parse",
        work: to_si,
    }]
}

fn to_si(inputs: &Inputs) -> Result<Answer, String> {
    let word = inputs.word("kind")?;
    let kind = QuantityKind::ALL
        .into_iter()
        .find(|k| k.noun().ends_with(word))
        .or((word == "head").then_some(QuantityKind::Head))
        .ok_or_else(|| format!("no kind {word}"))?;
    Ok(parse(kind, inputs.word("text")?).map_or_else(|_| "refused".into(), Answer::Number))
}
