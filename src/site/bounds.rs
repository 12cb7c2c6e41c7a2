use std::fmt;

/// What a figure must lie within, in SI, and how that is said.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bounds {
    least: f64,
    most: f64,
    /// The least itself is not allowed.
    above: bool,
    words: &'static str,
}

impl Bounds {
    /// From a figure to a figure, both allowed.
    pub(super) const fn from_to(least: f64, most: f64, words: &'static str) -> Self {
        Self {
            least,
            most,
            above: false,
            words,
        }
    }

    /// More than a figure, up to another.
    pub(super) const fn above(least: f64, most: f64, words: &'static str) -> Self {
        Self {
            least,
            most,
            above: true,
            words,
        }
    }

    pub(super) fn hold(self, value: f64) -> bool {
        value <= self.most
            && if self.above {
                value > self.least
            } else {
                value >= self.least
            }
    }
}

impl fmt::Display for Bounds {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.words)
    }
}

/// Any length along the line: a pipe of 100 km is no small plant.
pub(super) const STATION: Bounds = Bounds::from_to(-1e5, 1e5, "a station within 100 km");
pub(super) const HEIGHT: Bounds = Bounds::from_to(-500.0, 9000.0, "a height from -500 m to 9000 m");
pub(super) const LENGTH: Bounds = Bounds::above(0.0, 1e5, "more than 0, at most 100 km");
pub(super) const SMALL_LENGTH: Bounds = Bounds::from_to(0.0, 100.0, "not negative, at most 100 m");
pub(super) const OFFSET: Bounds = Bounds::from_to(-100.0, 100.0, "from -100 m to 100 m");
pub(super) const DIAMETER: Bounds = Bounds::above(0.0, 10.0, "more than 0, at most 10 m");
pub(super) const WALL: Bounds = Bounds::from_to(1e-4, 1.0, "from 0.1 mm to 1 m");
pub(super) const ROUGHNESS: Bounds = Bounds::from_to(0.0, 0.05, "not negative, at most 50 mm");
pub(super) const SD: Bounds = Bounds::above(0.0, 1000.0, "more than 0");
pub(super) const ANGLE_SD: Bounds = Bounds::above(0.0, 0.5, "more than 0, at most 28 degrees");
/// A clinometer that shows more on a level sight belongs to a workshop.
pub(super) const INDEX_ERROR: Bounds = Bounds::from_to(-0.09, 0.09, "at most 5 degrees either way");
pub(super) const DECLINATION: Bounds =
    Bounds::from_to(-0.88, 0.88, "at most 50 degrees east or west");
pub(super) const STAFF: Bounds = Bounds::from_to(1.0, 10.0, "from 1 m to 10 m");
pub(super) const EYE: Bounds = Bounds::from_to(0.5, 2.5, "from 0.5 m to 2.5 m");
pub(super) const TAPE: Bounds = Bounds::from_to(1.0, 500.0, "from 1 m to 500 m");
pub(super) const TAPE_SECTION: Bounds = Bounds::above(0.0, 0.1, "more than 0, at most 100 mm");
pub(super) const TAPE_PULL: Bounds = Bounds::above(0.0, 1000.0, "more than 0, at most 1000 N");
pub(super) const EXPANSION: Bounds = Bounds::from_to(0.0, 1e-3, "from 0 to 0.001 a kelvin");
pub(super) const PRESSURE: Bounds = Bounds::above(0.0, 1e8, "more than 0, at most 1000 bar");
/// A dial may show less than the air's pressure, never less than nothing.
pub(super) const GAUGE_PRESSURE: Bounds =
    Bounds::from_to(-101_325.0, 1e8, "no lower than a vacuum, at most 1000 bar");
pub(super) const FLOW: Bounds = Bounds::above(0.0, 1000.0, "more than 0, at most 1000 m3/s");
pub(super) const FLOW_OR_NONE: Bounds =
    Bounds::from_to(0.0, 1000.0, "not negative, at most 1000 m3/s");
pub(super) const WATER_TEMPERATURE: Bounds =
    Bounds::from_to(0.0, 60.0, "a temperature of running water, 0 C to 60 C");
pub(super) const AIR_TEMPERATURE: Bounds =
    Bounds::from_to(-70.0, 60.0, "a temperature of the air, -70 C to 60 C");
pub(super) const SHARE: Bounds = Bounds::from_to(0.0, 1.0, "from 0 to 1");
pub(super) const SOME_SHARE: Bounds = Bounds::above(0.0, 1.0, "more than 0, at most 1");
pub(super) const LOSS: Bounds = Bounds::from_to(0.0, 1e6, "not negative");
pub(super) const LATITUDE: Bounds = Bounds::from_to(-90.0, 90.0, "from -90 to 90 degrees");
pub(super) const LONGITUDE: Bounds = Bounds::from_to(-180.0, 180.0, "from -180 to 180 degrees");
pub(super) const ALTITUDE: Bounds = Bounds::from_to(-430.0, 6000.0, "from -430 m to 6000 m");
pub(super) const FROST: Bounds = Bounds::from_to(0.0, 5.0, "from 0 to 5 m");
pub(super) const SPEED: Bounds = Bounds::above(0.0, 30.0, "more than 0, at most 30 m/s");
pub(super) const WAVE_SPEED: Bounds = Bounds::from_to(20.0, 1600.0, "from 20 m/s to 1600 m/s");
pub(super) const FRICTION_FACTOR: Bounds =
    Bounds::from_to(0.001, 0.5, "a Darcy friction factor, 0.001 to 0.5");
pub(super) const SURGE_ALLOWANCE: Bounds = Bounds::from_to(1.0, 3.0, "from 1 to 3");
pub(super) const COEFFICIENT: Bounds = Bounds::above(0.0, 1.0, "more than 0, at most 1");
pub(super) const MODULUS: Bounds = Bounds::from_to(1e7, 1e12, "from 10 MPa to 1000 GPa");
pub(super) const FORCE: Bounds = Bounds::above(0.0, 1e8, "more than 0");
pub(super) const TURN: Bounds = Bounds::above(
    0.0,
    std::f64::consts::PI,
    "more than 0, at most 180 degrees",
);
pub(super) const TIME: Bounds = Bounds::above(0.0, 1e5, "more than 0, at most 28 hours");
pub(super) const GRADE: Bounds = Bounds::above(0.0, 1.0, "a fall of more than 0, at most 1 in 1");
pub(super) const PRICE: Bounds = Bounds::from_to(0.0, 1e9, "not negative");
pub(super) const GROUND_FRICTION: Bounds = Bounds::from_to(0.0, 2.0, "from 0 to 2");
pub(super) const DEPTH: Bounds = Bounds::above(0.0, 30.0, "more than 0, at most 30 m");
pub(super) const SUCTION: Bounds =
    Bounds::from_to(0.0, 10.33, "a head from 0 to 10.33 m below the air's");

/// Most jets that are counted: a wheel has a handful.
pub(super) const MOST_JETS: usize = 24;

/// Most valves on the line: each is shut in its turn.
pub(super) const MOST_VALVES: usize = 24;

/// Most entries of a list of the site file. Each case is run and each movement marched, so that a site file without end would be a run without end.
pub(super) fn most_of(key: &str) -> usize {
    match key {
        "jet" => MOST_JETS,
        "gauge_book" | "case" | "movement" | "draw" | "part" | "files" => 50,
        "pipe" | "fitting" => 100,
        "gauge" | "laid" | "ground" | "flood" | "fixed" => 200,
        "mark" | "tie" | "peg" => 500,
        _ => 1_000,
    }
}
