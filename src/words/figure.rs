use crate::flow::Electrical;
use crate::route::Reckoning;
use crate::unit::exact::FOOT_M;
use crate::unit::{Figure, Limit, Quantity, Units};

/// Says figures in the user's units, and places on the user's pegs.
#[derive(Debug, Clone, Copy)]
pub struct Say<'a> {
    /// The user's units.
    pub units: Units,
    /// The pegs, where the survey has some.
    pegs: Option<&'a Reckoning>,
}

/// A figure of each kind by itself, and with its doubt, as the user's units show it.
macro_rules! figures {
    ($($(#[$about:meta])* $name:ident($si:ident $(, $sd:ident)?): $kind:ident;)+) => {
        impl Say<'_> {
            $(
                $(#[$about])*
                pub fn $name(self, $si: f64 $(, $sd: f64)?) -> String {
                    Figure::new(Quantity::$kind, $si)$(.sd($sd))?.show(self.units)
                }
            )+
        }
    };
}

figures! {
    /// A length or head.
    head(m): Head;
    /// A pressure.
    pressure(pa): Pressure;
    /// A flow.
    flow(m3_per_s): Flow;
    /// A speed.
    speed(m_per_s): Speed;
    /// A temperature.
    temperature(c): Temperature;
    /// A force.
    force(n): Force;
    /// A bore.
    bore(m): Bore;
    /// A mass.
    mass(kg): Mass;
    /// A volume.
    volume(m3): Volume;
    /// A power.
    power(w): Power;
    /// A time a person can count.
    time(s): Time;
    /// A length or head with its doubt.
    head_sd(m, sd_m): Head;
    /// A pressure with its doubt.
    pressure_sd(pa, sd_pa): Pressure;
    /// A flow with its doubt.
    flow_sd(m3_per_s, sd_m3_per_s): Flow;
    /// A power with its doubt.
    power_sd(w, sd_w): Power;
}

impl<'a> Say<'a> {
    /// In some units, where nothing is told of a line.
    pub const fn new(units: Units) -> Self {
        Self { units, pegs: None }
    }

    /// In some units, places on a line's pegs.
    pub fn on(units: Units, pegs: &'a Reckoning) -> Self {
        let pegs = pegs.has_pegs().then_some(pegs);
        Self { units, pegs }
    }

    /// Whether the user has pegs.
    pub fn has_pegs(self) -> bool {
        self.pegs.is_some()
    }

    /// A station along the pipe as the user has it, m: on the pegs, where there are some.
    pub fn place_m(self, station_m: f64) -> f64 {
        self.pegs
            .map_or(station_m.max(0.0), |pegs| pegs.on_pegs(station_m).0)
    }

    /// What is asked for at least, rounded up.
    pub fn at_least(self, quantity: Quantity, value: f64) -> String {
        Figure::new(quantity, value).limit(Limit::AtLeast, self.units)
    }

    /// What is allowed at most, rounded down.
    pub fn at_most(self, quantity: Quantity, value: f64) -> String {
        Figure::new(quantity, value).limit(Limit::AtMost, self.units)
    }

    /// A share that is allowed at most, in whole per cent.
    pub fn share_at_most(self, share: f64) -> String {
        format!("{:.0} %", 100.0 * Limit::AtMost.rounded(share, 0.01))
    }

    /// A station along the pipe, told as it stands on the pegs: "640 m", "2100 ft", to the whole unit.
    pub fn station(self, station_m: f64) -> String {
        self.paced(self.place_m(station_m))
    }

    /// A length to the whole unit: what a person paces off.
    pub fn paced(self, m: f64) -> String {
        let (size, unit) = match self.units {
            Units::Metric => (1.0, "m"),
            Units::Us => (FOOT_M, "ft"),
        };
        // adding nothing turns a minus nought into nought
        format!("{:.0} {unit}", (m / size).round() + 0.0)
    }

    /// From station to station, or at one.
    pub fn reach(self, from_m: f64, to_m: f64) -> String {
        let (from, to) = (self.station(from_m), self.station(to_m));
        if from == to {
            format!("at {from}")
        } else {
            format!("{} to {to}", from.split(' ').next().unwrap_or(&from))
        }
    }

    /// From station to station inside a sentence: "between 375 m and 407 m", or "at 640 m".
    pub fn between(self, from_m: f64, to_m: f64) -> String {
        let (from, to) = (self.station(from_m), self.station(to_m));
        if from == to {
            format!("at {from}")
        } else {
            format!("between {from} and {to}")
        }
    }

    /// A length known to its first digit or so, rounded up: what a survey may miss.
    pub fn about(self, m: f64) -> String {
        let (value, unit) = match self.units {
            Units::Metric => (m, "m"),
            Units::Us => (m / FOOT_M, "ft"),
        };
        let step = match value {
            v if v < 0.1 => 0.01,
            v if v < 1.0 => 0.1,
            v if v < 10.0 => 0.5,
            _ => 1.0,
        };
        let up = (value / step - 1e-9).ceil() * step;
        // Two decimals at most, and none that says nothing.
        let shown = format!("{up:.2}");
        let shown = shown.trim_end_matches('0').trim_end_matches('.');
        format!("{shown} {unit}")
    }

    /// A figure to the last place that its doubt leaves, where the doubt itself is told elsewhere.
    pub fn held(self, quantity: Quantity, value: f64, sd: f64) -> String {
        let shown = Figure::new(quantity, value).sd(sd).parts(self.units);
        format!("{} {}", shown.value, shown.unit)
            .trim_end()
            .to_owned()
    }

    /// Concrete, as it is ordered: cubic metres, or cubic yards and, for little, cubic feet.
    pub fn concrete(self, m3: f64) -> String {
        const CUBIC_FOOT_M3: f64 = FOOT_M * FOOT_M * FOOT_M;
        let feet = m3 / CUBIC_FOOT_M3;
        let up = |v, step| Limit::AtLeast.rounded(v, step);
        match self.units {
            Units::Metric => format!("{:.2} m\u{b3}", up(m3, 0.01)),
            Units::Us if feet < 13.5 => format!("{:.1} ft\u{b3}", up(feet, 0.1)),
            Units::Us => format!("{:.1} yd\u{b3}", up(feet / 27.0, 0.1)),
        }
    }

    /// Electrical power between its least and its most, which are taken as two standard deviations either way: "3.2 kW (2.9 kW to 3.4 kW)".
    pub fn electrical(self, e: &Electrical) -> String {
        let (middle, (low, high)) = self.electrical_parts(e);
        format!("{middle} ({low} to {high})")
    }

    /// The same, what is likeliest and its ends apart.
    pub fn electrical_parts(self, e: &Electrical) -> (String, (String, String)) {
        let sd_w = (e.high_w - e.low_w) / (2.0 * crate::unit::DOUBT_SDS);
        let held = |w: f64| self.held(Quantity::Power, w, sd_w);
        (held(e.power_w), (held(e.low_w), held(e.high_w)))
    }

    /// A time that a hand is to take, as a person counts it: tenths of a second at most, rounded up, and none that says nothing.
    pub fn counted(self, s: f64) -> String {
        format!(
            "{} s",
            (10.0 * Limit::AtLeast.rounded(s, 0.1)).round() / 10.0
        )
    }

    /// A grade as the trade says it: "1 in 40".
    pub fn fall(self, share: f64) -> String {
        if share.abs() < 1e-4 {
            "level".to_owned()
        } else if share > 0.0 {
            format!("1 in {:.0}", 1.0 / share)
        } else {
            format!("rising 1 in {:.0}", -1.0 / share)
        }
    }

    /// An angle, to the half degree below ten and to the degree above.
    pub fn angle(self, rad: f64) -> String {
        let degrees = rad.to_degrees();
        if degrees < 10.0 {
            format!("{}\u{b0}", (degrees * 2.0).round() / 2.0)
        } else {
            format!("{degrees:.0}\u{b0}")
        }
    }

    /// A share in per cent, whole; of nothing at all there is no share.
    pub fn share(self, share: f64) -> String {
        if !share.is_finite() {
            return "all and more".to_owned();
        }
        format!("{:.0} %", share * 100.0)
    }

    /// Several reaches: "368 to 420 m and 540 to 556 m"; beyond four the rest is counted.
    pub fn reaches(self, m: &[(f64, f64)]) -> String {
        const MOST: usize = 4;
        let mut all: Vec<String> = m
            .iter()
            .take(MOST)
            .map(|&(a, b)| self.reach(a, b))
            .collect();
        if m.len() > MOST {
            let more = m.len() - MOST;
            let s = if more == 1 { "" } else { "s" };
            all.push(format!("{more} more section{s}"));
        }
        match all.split_last() {
            None => "nowhere".to_owned(),
            Some((only, [])) => only.clone(),
            Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
        }
    }

    /// Several stations: "398 m and 512 m".
    pub fn stations(self, m: &[f64]) -> String {
        let all: Vec<String> = m.iter().map(|&s| self.station(s)).collect();
        match all.split_last() {
            None => "nowhere".to_owned(),
            Some((only, [])) => only.clone(),
            Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
        }
    }
}

/// A number of things: "1 nozzle", "3 nozzles".
pub(super) fn number_of(n: usize, what: &str) -> String {
    if n == 1 {
        format!("1 {what}")
    } else {
        format!("{n} {what}s")
    }
}
