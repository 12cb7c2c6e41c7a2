//! The checkers behind the ledger: each computes, with this project's own code, the quantity that a row of tests/checks states.

pub mod air;
pub mod anchor;
pub mod compare;
pub mod doubt;
pub mod gauging;
pub mod gps;
pub mod pipes;
pub mod regrade;
pub mod solids;
pub mod steady;
pub mod survey;
pub mod transient;
pub mod trench;
pub mod units;

use crate::ledger::Checker;

/// Every checker there is.
pub fn all() -> Vec<Checker> {
    [
        air::checkers(),
        anchor::checkers(),
        compare::checkers(),
        doubt::checkers(),
        gauging::checkers(),
        gps::checkers(),
        pipes::checkers(),
        regrade::checkers(),
        solids::checkers(),
        steady::checkers(),
        survey::checkers(),
        transient::checkers(),
        trench::checkers(),
        units::checkers(),
    ]
    .into_iter()
    .flatten()
    .collect()
}
