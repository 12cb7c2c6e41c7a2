//! Judges the pressure pipe (penstock) of a small hydro plant from a walked or levelled route.
//!
//! It finds where the pipe climbs and holds air, the static and operating pressure at each metre, what water hammer adds and which class serves where.
//! It places vents, drains and anchors, and it says how sure each figure is. Every figure has its source in [`basis`].
//!
//! # From a site file to a folder of results
//!
//! ```
//! use std::path::Path;
//! use steadyfall::prelude::*;
//!
//! fn main() -> Result<(), Faults> {
//!     let report = check(Path::new("sample-surveys/juniper-draw/site.toml"))?;
//!     for finding in &report.findings {
//!         println!("{:?} at {:.0} m", finding.severity, finding.from_m);
//!     }
//!     # if false {
//!     write(&report, Path::new("site-results"))?;
//!     # }
//!     Ok(())
//! }
//! ```
//!
//! # One room alone
//!
//! A line needs no files. Physics sees a [`line::Line`], and [`line::Line::plain`] makes one of points and a pipe:
//!
//! ```
//! use steadyfall::{line::Line, pipe, profile};
//!
//! let pipe = pipe::find("PE100 SDR11 90")?;
//! let line = Line::plain(&[(0.0, 100.0), (50.0, 90.0), (90.0, 95.0), (170.0, 60.0)], &pipe);
//! let bore = profile::Bore { to_m: line.geometry.length_m(), bore_m: pipe.inner_diameter_m };
//! let judged = profile::judge(&line.geometry.heights, &[bore]);
//! assert_eq!(judged.climbs.len(), 1);
//! # Ok::<(), pipe::NotOne>(())
//! ```
//!
//! [`pipe`] holds the catalogue and the wave speed, [`heights`] the heights with their doubt, [`profile`] the climbs, [`flow`] the steady states,
//! [`surge`] the water hammer over plain tubes. The programs under `tests/examples` do five real things.
//!
//! # Errors
//!
//! Whatever reads gives [`text::Faults`]: each fault with its place, what was found, what was expected and what to do.
//! Whatever calculates gives its room's own reason with its figures. Each is an [`std::error::Error`] and becomes [`prelude::Refused`] by `?`.
//!
//! # The rooms
//!
//! Data runs one way. The rooms below stand in that order and a room imports only from rooms before it.
//! Lengths are metres, pressures pascals, angles radians and flows cubic metres a second inside; the unit stands in each field's name.
//!
//! What these pages do not show is for the program and its tests, and may change in any version.
//!
//! The figures are for planning. They are not a permit and not a certificate. Local codes and licensed practice have priority.

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

pub mod reading;

pub mod reduction;

pub mod track;

pub mod survey;

pub mod site;

pub mod form;

pub mod earth;

pub mod receiver;

pub mod heights;

pub mod walk;

pub mod route;

pub mod profile;

pub mod gauging;

pub mod line;

pub mod capacity;

pub mod flow;

pub mod gauge_book;

pub mod solids;

pub mod air;

pub mod march;

pub mod surge;

pub mod strength;

pub mod anchor;

pub mod laying;

pub mod proof;

pub mod metal;

pub mod regrade;

pub mod study;

pub mod size;

pub mod compare;

pub mod finding;

pub mod mark;

#[doc(hidden)]
pub mod drawing;

pub mod words;

pub mod report;

pub mod view;

pub mod folder;

pub mod terminal;

pub mod json;

pub mod html;

pub mod export;

#[cfg(feature = "cli")]
#[doc(hidden)]
pub mod cli;

/// Runs what the README shows.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
pub struct Readme;
