use super::Located;
use crate::text::{Fault, Sentence, nearest};
use crate::unit::OnPegs;
use std::fmt;

/// Where something is on the line, as the user said it: `line` finds the station.
#[derive(Debug, Clone, PartialEq)]
pub enum DeclaredPlace {
    /// A station on the survey's pegs.
    Station(OnPegs),
    /// The name of a waypoint or point.
    Name(String),
    /// A position, degrees, WGS 84.
    LatLon {
        /// Latitude, degrees, -90 to 90.
        lat_deg: f64,
        /// Longitude, degrees, -180 to 180.
        lon_deg: f64,
    },
}

impl DeclaredPlace {
    /// The station on the pegs, where one was said.
    pub fn on_pegs(&self) -> Option<OnPegs> {
        match self {
            Self::Station(s) => Some(*s),
            _ => None,
        }
    }

    /// As the user would write it.
    pub fn told(&self) -> Sentence {
        match self {
            Self::Station(s) => Sentence::default().short(s.0),
            Self::Name(name) => name.into(),
            Self::LatLon { lat_deg, lon_deg } => format!("{lat_deg}, {lon_deg}").into(),
        }
    }
}

impl Located<DeclaredPlace> {
    /// The fault of a name that no waypoint or point has.
    pub fn not_found<'a>(&self, known: impl IntoIterator<Item = &'a str>) -> Fault {
        let known: Vec<&str> = known.into_iter().collect();
        let found = self.value.told().to_string();
        let fault = self
            .fault(format!("no waypoint or point is called \"{found}\""))
            .found(&found)
            .expected(if known.is_empty() {
                "a station with its unit; the survey has no named waypoints or points".to_owned()
            } else {
                let listed: Vec<&str> = known.iter().copied().take(12).collect();
                format!(
                    "a station with its unit, \"lat, lon\", or one of: {}",
                    listed.join(", ")
                )
            });
        match nearest(&found, known) {
            _ if found.bytes().all(|b| b.is_ascii_digit() || b == b'.') => fault.advice(format!(
                "for a station write \"{found} m\" or \"{found} ft\""
            )),
            Some(near) => fault.advice(format!("did you mean \"{near}\"?")),
            None => fault.advice("write the station, such as \"250 m\""),
        }
    }
}

/// Where a gauge is.
#[derive(Debug, Clone, PartialEq)]
pub enum GaugeAt {
    /// The pipe side of the turbine valve.
    Turbine,
    /// On the line.
    Line(DeclaredPlace),
}

/// A calendar day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Date {
    /// Year.
    pub year: u16,
    /// Month, 1 to 12.
    pub month: u8,
    /// Day, 1 to 31.
    pub day: u8,
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::Place;

    #[test]
    fn a_name_that_is_not_there_gets_the_nearest() {
        let said = |name: &str| Located {
            value: DeclaredPlace::Name(name.to_owned()),
            place: Place::line("s.toml", 3).column(6),
            source_line: String::new(),
        };
        let fault = said("powerhous").not_found(["intake", "powerhouse"]);
        assert_eq!(
            fault.advice.as_deref(),
            Some("did you mean \"powerhouse\"?")
        );
        let fault = said("310").not_found([]);
        assert_eq!(
            fault.advice.as_deref(),
            Some("for a station write \"310 m\" or \"310 ft\"")
        );
    }
}
