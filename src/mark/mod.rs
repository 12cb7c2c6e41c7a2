//! Everything to set out on the hill, numbered, with positions.

use crate::line::{Appurtenance, Geometry};
use crate::pipe::{Device, MarkKind, WorkingState};

mod gather;
mod set_out;

pub use gather::of_study;
pub use set_out::set_out;

/// One thing that stands on the line or should be set there.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Letter of the kind and number in order of station: "V2".
    pub id: String,
    /// What it is.
    pub kind: MarkKind,
    /// Stands, or is wanted.
    pub standing: Status,
    /// Where, m along the pipe.
    pub station_m: f64,
    /// How far it may be set from there, m.
    pub tolerance_m: f64,
    /// Latitude and longitude, degrees, where the survey is tied to the earth.
    pub lat_lon_deg: Option<(f64, f64)>,
    /// Height of the pipe's centre there, m.
    pub elevation_m: f64,
    /// What lets the air through.
    pub device: Option<Device>,
    /// Bore, m.
    pub bore_m: Option<f64>,
    /// Top of a standpipe above the pipe, m.
    pub top_m: Option<f64>,
    /// Force it must hold, N.
    pub force_n: Option<f64>,
    /// Volume of concrete, m3.
    pub volume_m3: Option<f64>,
    /// Slack that a loop gives, m.
    pub slack_m: Option<f64>,
    /// In which turn a crew sets it, from 1; `None` for what stands.
    pub turn: Option<usize>,
    /// Why it is there.
    pub why: MarkReason,
    /// Index into the line's stands; `None` for what is wanted.
    pub stand: Option<usize>,
    /// What the user calls it; empty for what is wanted.
    pub name: String,
}

crate::text::words! {
    /// Whether a mark stands or is wanted.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum Status {
        /// Stands, whatever its state.
        Existing = "stands",
        Proposed = "wanted",
    }
}

crate::text::words! {
    /// Why a mark is there: the report has the words.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum MarkReason {
        /// The user declared it.
        Declared = "declared",
        /// Declared, but it does not work.
        DeclaredStuck = "declared-stuck",
        /// Declared, but the cock beneath it is shut.
        DeclaredShut = "declared-shut",
        /// Air must leave the climb below this crest for the line to start.
        StartUp = "start-up",
        /// Fills the siphon at the intake, and bleeds it.
        Priming = "priming",
        /// Air gathers here when the line runs.
        Gathers = "air-collects",
        /// Air must come in below the head valve when it shuts, or the pipe is sucked flat.
        BelowHeadValve = "below-head-valve",
        /// Air must come in here or the pipe would collapse when it drains.
        Collapse = "collapse",
        /// Water and silt must be let out at this low.
        Low = "drain-low-point",
        /// Thrust of a bend on unrestrained joints.
        Thrust = "thrust",
        /// The pipe would slide down the slope.
        Slope = "slope",
        /// The flood would lift or drag it.
        Flood = "flood",
        /// The pipe must be carried above ground.
        Carried = "carried",
        /// A piece ends here.
        PieceEnds = "piece-ends",
        /// The route turns more sharply than the pipe may be bent.
        TooSharp = "too-sharp",
        /// Another bore begins here.
        BoreChanges = "bore-changes",
        /// Heat would move it.
        Heat = "heat",
        /// Heat and cold pull at what holds the pipe where it has no slack.
        Slack = "slack",
        /// Holds steel between two expansion joints.
        Jointed = "jointed",
        /// To set the regraded height by.
        Regrade = "regrade",
        /// The end of the line pulls or pushes here.
        End = "end",
    }
}

/// The letter a kind is numbered by.
pub fn letter(kind: MarkKind) -> char {
    match kind {
        MarkKind::Vent => 'V',
        MarkKind::Drain => 'D',
        MarkKind::Anchor => 'A',
        MarkKind::Block => 'B',
        MarkKind::Strap => 'T',
        MarkKind::Support => 'P',
        MarkKind::Guide => 'G',
        MarkKind::Relief => 'R',
        MarkKind::Joint => 'J',
        MarkKind::Elbow => 'E',
        MarkKind::Reducer => 'C',
        MarkKind::Stake => 'S',
        MarkKind::Loop => 'L',
        MarkKind::ExpansionJoint => 'X',
    }
}

impl Mark {
    /// A mark without figures, on the line at a station.
    pub fn at(
        geometry: &Geometry,
        kind: MarkKind,
        standing: Status,
        station_m: f64,
        why: MarkReason,
    ) -> Self {
        Self {
            id: String::new(),
            kind,
            standing,
            station_m,
            tolerance_m: geometry.station_sd_m.max(0.5),
            lat_lon_deg: geometry.lat_lon_deg(station_m),
            elevation_m: geometry.elevation_m(station_m),
            device: None,
            bore_m: None,
            top_m: None,
            force_n: None,
            volume_m3: None,
            slack_m: None,
            turn: None,
            why,
            stand: None,
            name: String::new(),
        }
    }

    /// Whether it lets enough air in by itself, once it stands, to keep the pipe from being pressed flat.
    pub fn lets_air_in(&self) -> bool {
        self.kind == MarkKind::Vent
            && !matches!(
                self.why,
                MarkReason::DeclaredStuck | MarkReason::DeclaredShut
            )
            && self.device.is_some_and(Device::lets_in)
    }

    /// What the user said stands on the line.
    pub fn declared(geometry: &Geometry, stand: &Appurtenance) -> Self {
        let standing = if stand.state == WorkingState::Planned {
            Status::Proposed
        } else {
            Status::Existing
        };
        let why = if stand.state == WorkingState::Stuck {
            MarkReason::DeclaredStuck
        } else if stand.is_shut_off() {
            MarkReason::DeclaredShut
        } else {
            MarkReason::Declared
        };
        Self {
            device: stand.device,
            bore_m: stand.bore_m,
            top_m: stand.top_m,
            force_n: stand.strength_n,
            slack_m: stand.slack_m,
            name: stand.name.clone(),
            ..Self::at(geometry, stand.kind, standing, stand.station_m, why)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::Line;
    use crate::pipe;

    #[test]
    fn a_vent_behind_a_shut_cock_lets_no_air_in() {
        let pipe = pipe::find("PE100 SDR17 110").unwrap();
        let line = Line::plain(&[(0.0, 50.0), (200.0, 0.0)], &pipe);
        let lets = |device, cock_open, state| {
            Mark::declared(
                &line.geometry,
                &Appurtenance {
                    device: Some(device),
                    bore_m: Some(0.025),
                    cock_open,
                    state,
                    ..Appurtenance::plain(MarkKind::Vent, 10.0)
                },
            )
            .lets_air_in()
        };
        assert!(lets(Device::VacuumValve, true, WorkingState::Works));
        assert!(!lets(Device::VacuumValve, false, WorkingState::Works));
        assert!(!lets(Device::VacuumValve, true, WorkingState::Stuck));
        assert!(!lets(Device::HandCock, true, WorkingState::Works));
    }
}
