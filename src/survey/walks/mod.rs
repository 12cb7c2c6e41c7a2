//! Walks in other files than GPX: what phones, watches, loggers and maps hand over.

mod builder;
#[cfg(feature = "fit")]
pub(super) mod fit;
pub(super) mod geojson;
pub(super) mod kml;
pub(super) mod logger;
pub(super) mod nmea;
pub(super) mod tcx;
mod xml;
