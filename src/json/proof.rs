//! The pressure test as it was done.

use super::block::block;
use crate::line::PressureTest;
use crate::proof::{CreepSlope, Proof, TestDoubt, TestMethod, TestVerdict};
use crate::words::{Say, proof_line};

block! {
    struct TestJson of (proof: &Proof, test: &PressureTest, say: Say) with {
        let (creep, drop) = match proof.method {
            TestMethod::Creep(creep) => (creep, None),
            TestMethod::Drop(drop) => (None, drop),
            TestMethod::Mixed => (None, None),
        };
        let why = match proof.verdict {
            TestVerdict::CannotTell(doubt) => Some(doubt),
            _ => None,
        };
    } {
        /// Result of the test, a fixed word.
        verdict: TestVerdict = proof.verdict,
        /// Reason if the test does not decide, for programs.
        why_code: Option<TestDoubt> = why,
        /// The result in one line, in the user's units.
        text: String = proof_line(proof, say),
        /// Time to raise the pressure, s.
        loading_s: f64 = test.loading_s,
        /// Readings of the gauge at the lower end.
        readings: Vec<TestReadingJson> = test.readings.iter().map(TestReadingJson::of).collect(),
        /// True if the pipe was in compacted backfill.
        backfilled: Option<bool> = test.backfilled,
        /// Pressure that the procedure requires at the lower end, Pa.
        asked_pa: Option<f64> = proof.asked_pa,
        /// Polyethylene: slope of the pressure against time from the first to the second reading, as logarithms.
        slope_first: Option<CreepSlope> = creep.map(|c| c.first),
        /// Polyethylene: slope from the second to the third reading.
        slope_second: Option<CreepSlope> = creep.map(|c| c.second),
        /// Other pipe: loss of pressure in an hour, Pa.
        lost_pa: Option<f64> = drop.map(|d| d.lost_pa),
    }

    struct TestReadingJson of (at: &(f64, f64)) {
        /// Time since the pump was shut off, s.
        after_s: f64 = at.0,
        /// Pressure, Pa.
        pressure_pa: f64 = at.1,
    }
}
