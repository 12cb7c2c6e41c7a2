//! Walks as phones, receivers, watches, loggers and maps hand them over, read fix by fix; logs of the air's pressure laid beside them.

mod builder;
#[cfg(feature = "fit")]
pub(crate) mod fit;
pub(crate) mod geojson;
pub mod gpx;
pub(crate) mod kml;
pub(crate) mod logger;
pub(crate) mod nmea;
pub mod pressure;
pub(crate) mod tcx;
mod xml;
