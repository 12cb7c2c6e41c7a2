#![doc = include_str!("../README.md")]
//!
//! # The rooms
//!
//! Data runs one way. The rooms below stand in that order and a room imports only from rooms before it.
//! Lengths are metres, pressures pascals, angles radians and flows cubic metres a second inside; the unit stands in each field's name.

#![cfg_attr(
    test,
    allow(
        clippy::disallowed_methods,
        reason = "tests may work with the platform's functions: a second opinion"
    )
)]

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

pub mod words;

pub mod keys;

pub mod views;

pub mod export;

pub mod json;

pub mod terminal;

pub mod html;

pub mod folder;

pub mod report;

#[cfg(feature = "cli")]
pub mod cli;
