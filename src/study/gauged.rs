use crate::gauging::Gauged;
use crate::line::Line;
use crate::site::Site;
use crate::text::{Fault, NO_SUCH_FILE};
use std::path::Path;

/// Reads one sheet of measurements of the stream, at a gravity in m/s2: from the disk, or from what the program carries in itself.
pub type GaugedReader<'a> = &'a dyn Fn(&Path, f64) -> Result<Vec<Gauged>, Fault>;

/// A line with what its site's sheets measured of the stream; as it was where it names none.
///
/// # Errors
/// A sheet that is not there or holds no measurement, with its place.
pub fn with_gauged(site: &Site, line: Line, read: GaugedReader<'_>) -> Result<Line, Fault> {
    let Some(stream) = site.stream.as_ref().filter(|s| !s.files.is_empty()) else {
        return Ok(line);
    };
    let mut gauged = Vec::new();
    for file in &stream.files {
        let path = site.path_of(file);
        let days = read(&path, line.environment.situation.gravity_m_per_s2).map_err(|fault| {
            if *fault.text != *NO_SUCH_FILE || file.place.line.is_none() {
                return fault;
            }
            file.fault(format!("the sheet \"{}\" does not exist", file.value))
                .found(path.display().to_string())
                .expected("a file next to the site file, or a full path")
                .advice("correct the name, or copy the file there")
        })?;
        // as the site file names it: where it was run from is no part of a result
        gauged.extend(days.into_iter().map(|day| Gauged {
            file: file.value.clone(),
            ..day
        }));
    }
    Ok(line.with_gauged(gauged, stream.leave_m3_per_s))
}
