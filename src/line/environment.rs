use super::{Assumed, Environment, Situation, WaterRange};
use crate::reading::Method;
use crate::route::Route;
use crate::site::{Datum, Site};
use crate::unit::physics::{self, EarthPlace};

/// Altitude whose air is taken as the thinnest where the site's is not known, m: few plants stand higher.
const HIGHEST_SITE_M: f64 = 3_000.0;

/// The same for the thickest air, m: the sea.
const LOWEST_SITE_M: f64 = 0.0;

/// What the air's pressure is asked for: it decides which end harms where the altitude is not known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum AirFor {
    /// Water that hangs, is sucked or boils: the thinner the air, the sooner it parts.
    Hanging,
    /// A pipe that is pressed flat, or joints that are pulled at: the thicker the air, the more of it presses.
    Crushing,
    /// Air that is shut in and squeezed: the thicker, the less of a pocket gives way.
    Squeezing,
    /// Air through a vent: the thicker, the less of it passes a bore.
    Passing,
}

impl Situation {
    /// Pressure of the air at the site, Pa; where the altitude is not known, at the end that harms what it is asked for: 3,000 m or the sea.
    pub fn air_pa(&self, what: AirFor) -> f64 {
        physics::air_pressure(self.altitude_m.unwrap_or(match what {
            AirFor::Hanging => HIGHEST_SITE_M,
            AirFor::Crushing | AirFor::Squeezing | AirFor::Passing => LOWEST_SITE_M,
        }))
    }
}

/// Share by which the weather thins the air now and then: a deep low of some 980 hPa at the sea where 1,013 is usual (from memory).
const WEATHER_SHARE: f64 = 0.03;

impl Situation {
    /// By how much the air may press less than usual in bad weather, Pa: water that just hangs on a fair day parts on such a one.
    pub fn weather_pa(&self) -> f64 {
        WEATHER_SHARE * self.air_pa(AirFor::Hanging)
    }
}

impl Environment {
    /// The coldest that the pipe gets, C: of air and water.
    pub fn coldest_c(&self) -> f64 {
        self.situation.coldest_air_c.min(self.water.coldest_c)
    }

    /// Weight of the usual water, N/m3, at the site's gravity.
    pub fn water_n_per_m3(&self) -> f64 {
        physics::water(self.water.usual_c).density_kg_per_m3 * self.situation.gravity_m_per_s2
    }
}

/// Latitude whose gravity is taken where the site's is not known: the poles' makes the most pressure.
const HARMFUL_LATITUDE_DEG: f64 = 90.0;

/// Hottest air where none was said, degrees C: few hill sites see more.
const HOTTEST_AIR_C: f64 = 40.0;

/// Where the site is, with gravity and air; what is not known is taken at its harmful end and told.
pub(super) fn situation(site: &Site, route: &Route, assumed: &mut Vec<Assumed>) -> Situation {
    let said = &site.situation;
    let from_survey = route
        .nodes
        .iter()
        .find_map(|n| n.plan.and_then(|p| p.lat_lon_deg))
        .map(|(lat, _)| lat);
    let latitude_deg = said.latitude_deg.or(from_survey);
    let altitude_m = said.altitude_m.or_else(|| {
        let above_sea = match site.survey.datum {
            Some(datum) => datum == Datum::Sea,
            None => matches!(route.method, Some(Method::Gpx)),
        };
        let mean = mean(&route.heights.mean_m);
        above_sea
            .then_some(mean)
            .filter(|m| (-400.0..6_000.0).contains(m))
    });
    if latitude_deg.is_none() {
        assumed.push(Assumed::Gravity(physics::gravity(EarthPlace {
            latitude_deg: HARMFUL_LATITUDE_DEG,
            altitude_m: altitude_m.unwrap_or(0.0),
        })));
    }
    if altitude_m.is_none() {
        assumed.push(Assumed::Altitude {
            highest_m: HIGHEST_SITE_M,
            lowest_m: LOWEST_SITE_M,
        });
    }
    let hottest_air_c = said.hottest_air_c.unwrap_or(HOTTEST_AIR_C);
    let coldest_air_c = said.coldest_air_c.unwrap_or(-10.0);
    if said.hottest_air_c.is_none() {
        assumed.push(Assumed::HottestAir(hottest_air_c));
    }
    if said.sun.is_none() {
        assumed.push(Assumed::Shade);
    }
    Situation {
        latitude_deg,
        altitude_m,
        gravity_m_per_s2: physics::gravity(EarthPlace {
            latitude_deg: latitude_deg.unwrap_or(HARMFUL_LATITUDE_DEG),
            altitude_m: altitude_m.unwrap_or(0.0),
        }),
        hottest_air_c,
        coldest_air_c,
        sun: said.sun.unwrap_or(false),
        frost_depth_m: said.frost_depth_m,
    }
}

/// Temperatures of the water: what was said, else a cool stream for running figures and both harmful ends.
pub(super) fn water(site: &Site, assumed: &mut Vec<Assumed>) -> WaterRange {
    let said = site.water;
    let known = said.temperature_c.or(said.coldest_c).or(said.warmest_c);
    if known.is_none() {
        let taken = WaterRange {
            usual_c: 10.0,
            coldest_c: 1.0,
            warmest_c: 20.0,
        };
        assumed.push(Assumed::Water {
            usual_c: taken.usual_c,
            coldest_c: taken.coldest_c,
            warmest_c: taken.warmest_c,
        });
        return taken;
    }
    let usual_c = said.temperature_c.unwrap_or_else(|| {
        let ends = [said.coldest_c, said.warmest_c];
        mean(&ends.into_iter().flatten().collect::<Vec<_>>())
    });
    WaterRange {
        usual_c,
        coldest_c: said.coldest_c.unwrap_or(usual_c).min(usual_c),
        warmest_c: said.warmest_c.unwrap_or(usual_c).max(usual_c),
    }
}

fn mean(values: &[f64]) -> f64 {
    if values.is_empty() {
        0.0
    } else {
        values.iter().sum::<f64>() / values.len() as f64
    }
}
