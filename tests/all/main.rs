//! Whole-program tests, one crate so that the tree links once.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::disallowed_methods,
    missing_docs,
    unreachable_pub,
    reason = "tests stop at the first thing that is not as it should be"
)]

mod checks;
mod invented;
mod ledger;

mod afield;
mod again;
mod air;
mod anchor;
mod attack;
mod bent;
mod booked;
mod books;
mod compare;
mod defaults;
mod doubt;
mod drawing;
mod dxf;
mod examples;
mod flow;
mod gauge_book;
mod gauging;
mod guide;
mod held;
mod hostile;
mod kinds;
mod laws;
mod laying;
mod laying_list;
mod lifts;
mod movements;
mod obey;
mod overlay;
mod page;
mod parted;
mod pegs;
mod pipes;
mod portable;
mod program;
mod real;
mod regrade;
mod report;
mod roads;
mod rules;
mod samples;
mod schema;
mod shown;
mod site;
mod size;
mod storms;
mod strength;
mod surge;
mod survey;
mod told;
mod tonight;
mod us;
mod vents;
mod withstand;
mod wording;
mod works;
