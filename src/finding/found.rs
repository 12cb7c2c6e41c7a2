//! One thing that one rule found, before it takes its place among the others.

use crate::study::Study;

crate::text::words! {
    /// How much a finding harms.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum Severity {
        /// Look at it; nothing breaks today.
        Watch = "watch",
        /// Put it right before relying on the plant.
        Fix = "fix",
        /// Do not fill or run before this is put right.
        Stop = "stop",
    }
}

/// What a rule found, and where.
#[derive(Debug, Clone, PartialEq)]
pub struct Found<K> {
    /// Its figures.
    pub what: K,
    /// How much it harms.
    pub severity: Severity,
    /// Where it begins, m.
    pub from_m: f64,
    /// Where it ends, m.
    pub to_m: f64,
    /// How sure it is, 0 to 1.
    pub certainty: f64,
    /// A figure behind it is known from memory or from a secondary source only.
    pub from_memory: bool,
}

impl<K> Found<K> {
    /// A certain one over a reach.
    pub(super) fn new(severity: Severity, what: K, from_m: f64, to_m: f64) -> Self {
        Self {
            what,
            severity,
            from_m,
            to_m,
            certainty: 1.0,
            from_memory: false,
        }
    }

    /// A certain one at a station.
    pub(super) fn at(severity: Severity, what: K, station_m: f64) -> Self {
        Self::new(severity, what, station_m, station_m)
    }

    /// Along the whole line.
    pub(super) fn along(severity: Severity, what: K, study: &Study) -> Self {
        Self::new(severity, what, 0.0, study.line.geometry.length_m())
    }

    /// With how sure it is.
    #[must_use]
    pub(super) fn certainty(mut self, certainty: f64) -> Self {
        self.certainty = certainty.clamp(0.0, 1.0);
        self
    }

    /// With whether a figure behind it is not verified.
    #[must_use]
    pub(super) fn on_memory(mut self, from_memory: bool) -> Self {
        self.from_memory = from_memory;
        self
    }
}

impl<K> Found<K> {
    /// The same of a kind among others.
    pub(super) fn widen<L: From<K>>(self) -> Found<L> {
        Found {
            what: self.what.into(),
            severity: self.severity,
            from_m: self.from_m,
            to_m: self.to_m,
            certainty: self.certainty,
            from_memory: self.from_memory,
        }
    }
}
