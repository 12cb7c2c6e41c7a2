use std::fmt;

/// What a figure must lie within, in SI, and how that is said.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bounds {
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

    /// How it is said.
    pub(super) const fn words(self) -> &'static str {
        self.words
    }

    pub(crate) fn hold(self, value: f64) -> bool {
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

/// An hour, s.
pub(super) const HOUR_S: f64 = 3600.0;

/// Declares bounds, and lists them for the test that holds each to its own words.
macro_rules! bounds {
    ($($(#[$doc:meta])* $name:ident = $how:ident($least:expr, $most:expr, $words:expr);)*) => {
        $($(#[$doc])* pub(crate) const $name: Bounds = Bounds::$how($least, $most, $words);)*
        #[cfg(test)]
        const ALL: &[(&str, Bounds)] = &[$((stringify!($name), $name)),*];
    };
}

bounds! {
    /// Any length along the line: a pipe of 100 km is no small plant.
    STATION = from_to(-1e5, 1e5, "a station within 100 km");
    HEIGHT = from_to(-500.0, 9000.0, "a height from -500 m to 9000 m");
    LENGTH = above(0.0, 1e5, "more than 0, at most 100 km");
    SMALL_LENGTH = from_to(0.0, 100.0, "not negative, at most 100 m");
    OFFSET = from_to(-100.0, 100.0, "from -100 m to 100 m");
    DIAMETER = above(0.0, 10.0, "more than 0, at most 10 m");
    RUNAWAY_FLOW = from_to(0.1, 3.0, "from 0.1 to 3");
    TRENCH = from_to(0.1, 10.0, "from 100 mm to 10 m");
    /// What a grain or a stone may pass through.
    PASSAGE = above(0.0, 0.3, "more than 0, at most 300 mm");
    FACE = above(0.0, 20.0, "more than 0, at most 20 m");
    /// From silt to fine gravel.
    GRAIN = from_to(1e-5, 0.02, "from 0.01 mm to 20 mm");
    LOAD = above(0.0, 1e5, "more than 0, at most 100000 mg in a litre");
    HOURS = above(0.0, 1e6, "more than 0, at most 1000000 hours");
    HOURS_OF_YEAR = above(0.0, 8784.0, "more than 0, at most 8784 hours");
    WORN_HEAD = above(0.0, 2000.0, "more than 0, at most 2000 m");
    SIDE = above(0.0, 200.0, "more than 0, at most 200 m");
    /// A reading at the moment the pump was shut off is one.
    TEST_TIME = from_to(0.0, 11.0 * 24.0 * HOUR_S, "not negative, at most 11 days");
    OHM_M = above(0.0, 1e6, "more than 0, at most 1000000 ohm metres");
    PH = from_to(3.0, 11.0, "a pH of a stream, 3 to 11");
    DISSOLVED = above(0.0, 50_000.0, "more than 0, at most 50000 mg in a litre");
    AMPERES = above(0.0, 1000.0, "more than 0, at most 1000 A");
    STEEP = above(0.0, std::f64::consts::FRAC_PI_2, "more than 0, at most 90 degrees");
    WALL = from_to(1e-4, 1.0, "from 0.1 mm to 1 m");
    ROUGHNESS = from_to(0.0, 0.05, "not negative, at most 50 mm");
    SD = above(0.0, 1000.0, "more than 0, at most 1000 m");
    ANGLE_SD = above(0.0, 28_f64.to_radians(), "more than 0, at most 28 degrees");
    /// A clinometer that shows more on a level sight belongs to a workshop.
    INDEX_ERROR = from_to(-5_f64.to_radians(), 5_f64.to_radians(), "at most 5 degrees either way");
    DECLINATION = from_to(-50_f64.to_radians(), 50_f64.to_radians(), "at most 50 degrees east or west");
    STAFF = from_to(1.0, 10.0, "from 1 m to 10 m");
    EYE = from_to(0.5, 2.5, "from 0.5 m to 2.5 m");
    TAPE = from_to(1.0, 500.0, "from 1 m to 500 m");
    TAPE_SECTION = above(0.0, 0.1, "more than 0, at most 100 mm");
    TAPE_PULL = above(0.0, 1000.0, "more than 0, at most 1000 N");
    EXPANSION = from_to(0.0, 1e-3, "from 0 to 0.001 a kelvin");
    PRESSURE = above(0.0, 1e8, "more than 0, at most 1000 bar");
    /// A dial may show less than the air's pressure, never less than nothing.
    GAUGE_PRESSURE = from_to(-101_325.0, 1e8, "no lower than a vacuum, at most 1000 bar");
    FLOW = above(0.0, 1000.0, "more than 0, at most 1000 m3/s");
    FLOW_OR_NONE = from_to(0.0, 1000.0, "not negative, at most 1000 m3/s");
    WATER_TEMPERATURE = from_to(0.0, 60.0, "a temperature of flowing water, 0 C to 60 C");
    AIR_TEMPERATURE = from_to(-70.0, 60.0, "an air temperature, -70 C to 60 C");
    SHARE = from_to(0.0, 1.0, "from 0 to 1");
    SOME_SHARE = above(0.0, 1.0, "more than 0, at most 1");
    LOSS = from_to(0.0, 1e6, "from 0 to 1000000");
    LATITUDE = from_to(-90.0, 90.0, "from -90 to 90 degrees");
    LONGITUDE = from_to(-180.0, 180.0, "from -180 to 180 degrees");
    ALTITUDE = from_to(-430.0, 6000.0, "from -430 m to 6000 m");
    FROST = from_to(0.0, 5.0, "from 0 to 5 m");
    SPEED = above(0.0, 30.0, "more than 0, at most 30 m/s");
    WAVE_SPEED = from_to(20.0, 1600.0, "from 20 m/s to 1600 m/s");
    FRICTION_FACTOR = from_to(0.001, 0.5, "a Darcy friction factor, 0.001 to 0.5");
    SURGE_ALLOWANCE = from_to(1.0, 3.0, "from 1 to 3");
    COEFFICIENT = above(0.0, 1.0, "more than 0, at most 1");
    MODULUS = from_to(1e7, 1e12, "from 10 MPa to 1000 GPa");
    FORCE = above(0.0, 1e8, "more than 0, at most 100000 kN");
    TURN = above(0.0, std::f64::consts::PI, "more than 0, at most 180 degrees");
    TIME = above(0.0, 28.0 * HOUR_S, "more than 0, at most 28 hours");
    GRADE = above(0.0, 1.0, "a fall of more than 0, at most 1 in 1");
    PRICE = from_to(0.0, 1e9, "from 0 to 1000000000");
    GROUND_FRICTION = from_to(0.0, 2.0, "from 0 to 2");
    DEPTH = above(0.0, 30.0, "more than 0, at most 30 m");
    SUCTION = from_to(0.0, 10.33, "a head from 0 to 10.33 m below atmospheric pressure");
}

/// Most jets that are counted: a wheel has a handful.
pub(crate) const MOST_JETS: usize = 24;

/// Most valves on the line: each is shut in its turn.
pub(super) const MOST_VALVES: usize = 24;

/// Most entries of a list of the site file, by the key of its table or its own. Each case is run and each movement marched, so that a site file without end would be a run without end.
pub(crate) const MOST: &[(&str, usize)] = &[
    ("jet", MOST_JETS),
    ("gauge_book", 50),
    ("case", 50),
    ("movement", 50),
    ("draw", 50),
    ("part", 50),
    ("files", 50),
    ("pipe", 100),
    ("fitting", 100),
    ("gauge", 200),
    ("laid", 200),
    ("ground", 200),
    ("flood", 200),
    ("fixed", 200),
    ("mark", 500),
    ("tie", 500),
    ("peg", 500),
];

/// The same for a key; 1,000 where it is not listed.
pub(crate) fn most_of(key: &str) -> usize {
    let listed = MOST.iter().find(|(name, _)| *name == key);
    listed.map_or(1_000, |(_, most)| *most)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What a unit of the words is in SI; 1 for the others, and for what is asked for as a plain number.
    fn si(unit: &str) -> f64 {
        match unit {
            "mm" => 1e-3,
            "km" | "kN" => 1e3,
            "bar" => 1e5,
            "MPa" => 1e6,
            "GPa" => 1e9,
            "hours" => HOUR_S,
            "days" => 24.0 * HOUR_S,
            "degrees" => 1_f64.to_radians(),
            _ => 1.0,
        }
    }

    /// The figures of a text, each in SI and as it stands.
    fn figures(words: &str) -> Vec<[f64; 2]> {
        let words: Vec<&str> = words.split_whitespace().collect();
        let number = |w: &str| w.trim_end_matches(',').parse::<f64>().ok();
        let unit = |i: usize| words.get(i + 1).map_or("", |w| w.trim_end_matches(','));
        words
            .iter()
            .enumerate()
            .filter_map(|(i, w)| number(w).map(|n| [n * si(unit(i)), n]))
            .collect()
    }

    #[test]
    fn a_bound_holds_at_what_it_says() {
        for (name, bounds) in ALL {
            let said = figures(bounds.words);
            let near = |a: f64, b: f64| (a - b).abs() <= 1e-9 * b.abs();
            let is = |limit: f64| said.iter().flatten().any(|n| near(limit.abs(), n.abs()));
            for figure in &said {
                let limit = |l: f64| figure.iter().any(|n| near(l.abs(), n.abs()));
                assert!(
                    limit(bounds.least) || limit(bounds.most),
                    "{name}: no limit is {figure:?} of \"{}\"",
                    bounds.words
                );
            }
            let least = match bounds.words {
                w if w.starts_with("not negative") => bounds.least == 0.0,
                w if w.starts_with("no lower than a vacuum") => bounds.least == -101_325.0,
                _ => is(bounds.least),
            };
            assert!(least && is(bounds.most), "{name}: \"{}\"", bounds.words);
            let more = bounds.words.contains("more than ");
            assert_eq!(more, bounds.above, "{name}: \"{}\"", bounds.words);
        }
        assert_eq!(
            figures("at most 28 hours, or 3 m"),
            [[100_800.0, 28.0], [3.0, 3.0]]
        );
    }
}
