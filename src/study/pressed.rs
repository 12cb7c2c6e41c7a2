//! What is expected of the receiver, and the heights that a log of the air's pressure lays on its walks.

use crate::heights::HeightsOptions;
use crate::reading::{Reading, WalkDevice};
use crate::receiver::{Class, Expected};
use crate::site::Site;
use crate::text::{Fault, Place};
use crate::track::pressure::{PressureLog, lay};
use std::path::{Path, PathBuf};

/// What was said of the receiver and of logs beside it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct WalkedWith {
    /// The device, where said.
    pub device: Option<WalkDevice>,
    /// Whether it takes its heights from the pressure of the air.
    pub barometer: bool,
    /// A log of the pressure that ran during the walk.
    pub pressure_log: Option<PathBuf>,
    /// The same of a logger that stood still.
    pub base_log: Option<PathBuf>,
    /// Temperature of the air during the walk, C, where said.
    pub air_c: Option<f64>,
}

impl WalkedWith {
    /// What a site file says.
    pub fn of(site: &Site) -> Self {
        let said = &site.survey;
        Self {
            device: said.receiver,
            barometer: said.barometer == Some(true),
            pressure_log: said.pressure_log.as_ref().map(|f| site.path_of(f)),
            base_log: said.base_log.as_ref().map(|f| site.path_of(f)),
            air_c: said.air_temperature_c,
        }
    }

    /// The same device on another day: logs are of one walk.
    #[must_use]
    pub fn another_day(self) -> Self {
        Self {
            pressure_log: None,
            base_log: None,
            air_c: None,
            ..self
        }
    }

    /// Lays the logs on the walks and says how the heights are to be taken.
    ///
    /// # Errors
    /// A log that cannot be read or does not run during the walk; a base without a log.
    pub fn heights(
        &self,
        readings: &mut [Reading],
        read_log: LogReader<'_>,
    ) -> Result<HeightsOptions, Fault> {
        let Some(path) = &self.pressure_log else {
            if let Some(base) = &self.base_log {
                return Err(Fault::new(
                    Place::file(base.display().to_string()),
                    "a base log needs a pressure log of the walk",
                )
                .found("a base log only")
                .expected("pressure_log and base_log")
                .advice("give the log that was recorded during the walk"));
            }
            return Ok(HeightsOptions {
                expected: Expected::told(self.device, self.barometer),
                ..HeightsOptions::default()
            });
        };
        let log = read_log(path)?;
        let base = self.base_log.as_deref().map(read_log).transpose()?;
        let laid = lay(readings, &log, base.as_ref(), self.air_c)?;
        let class = if base.is_some() {
            Class::PressureLogs
        } else {
            Class::PressureLog
        };
        Ok(HeightsOptions {
            expected: Expected::of(&[class]),
            scale_sd: laid.scale_sd,
            ..HeightsOptions::default()
        })
    }
}

/// Reads one log of the air's pressure, in the same way.
pub type LogReader<'a> = &'a dyn Fn(&Path) -> Result<PressureLog, Fault>;
