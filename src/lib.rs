//! Judges the pressure pipe (penstock) of a small hydro plant from a walked or levelled route.
//!
//! It finds where the pipe climbs and holds air, the static and operating pressure at each metre, what water hammer adds, which class serves where,
//! where vents, drains and anchors go, and how sure all of that is. Every figure has its source in [`basis`].
//!
//! # The whole road
//!
//! ```no_run
//! use std::path::Path;
//! use steadyfall::prelude;
//!
//! fn main() -> Result<(), Box<dyn std::error::Error>> {
//!     let report = prelude::check(Path::new("site.toml"))?;
//!     println!("{:?}: {} findings", report.verdict(), report.findings.len());
//!     prelude::write(&report, Path::new("site-results"))?;
//!     Ok(())
//! }
//! ```
//!
//! # One room alone
//!
//! Each room of physics serves by itself: [`pipe`] the catalogue and the wave speed, [`flow`] the steady state, [`surge`] the water hammer over plain tubes,
//! [`route`] heights with their doubt, [`profile`] the climbs. The programs under `tests/examples` do five real things.
//!
//! # The rooms
//!
//! Data runs one way. The rooms below stand in that order and a room imports only from rooms before it.
//! Lengths are metres, pressures pascals, angles radians and flows cubic metres a second inside; the unit stands in each field's name.
//!
//! The figures are for planning. Local codes, permits and licensed practice go before them.

#![cfg_attr(
    test,
    allow(
        clippy::disallowed_methods,
        reason = "tests may work with the platform's functions: a second opinion"
    )
)]

pub mod prelude;

pub mod text;

pub mod numeric;

pub mod unit;

pub mod basis;

pub mod pipe;

pub mod site;

pub mod survey;

pub mod route;

pub mod profile;

pub mod line;

pub mod capacity;

pub mod flow;

pub mod air;

pub mod surge;

pub mod strength;

pub mod anchor;

pub mod laying;

pub mod regrade;

pub mod study;

pub mod size;

pub mod compare;

pub mod finding;

pub mod mark;

pub mod drawing;

pub mod folder;

pub mod words;

pub mod keys;

pub mod views;

pub mod export;

pub mod json;

pub mod terminal;

pub mod html;

pub mod report;

#[cfg(feature = "cli")]
pub mod cli;
