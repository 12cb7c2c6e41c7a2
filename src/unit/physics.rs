//! Facts of nature in SI: gravity by place, pressure of the air by altitude, water by temperature.
//!
//! They are the base under every head and every pressure, and rooms early in the order need them, so they stand beside the units.

use super::water::{self, WaterState};
use crate::numeric::math;

pub use super::water::viscosity_pa_s;

/// Standard gravity, m/s2 (CGPM 1901): what a "metre of head" is turned into pascals with where no place is known.
pub const STANDARD_GRAVITY_M_PER_S2: f64 = 9.806_65;

/// Pressure of the standard atmosphere at sea level, Pa (US Standard Atmosphere 1976).
pub const SEA_LEVEL_AIR_PA: f64 = 101_325.0;

/// Temperatures [`water`] holds for, C: liquid at the pressure of the air. Doors refuse what lies outside.
pub const WATER_RANGE_C: (f64, f64) = (0.0, 60.0);

/// Altitudes [`air_pressure`] holds for, m.
pub const ALTITUDE_RANGE_M: (f64, f64) = (-500.0, 11_000.0);

/// An ellipsoid with its normal gravity: what the closed formula of Somigliana needs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ellipsoid {
    /// Half the long axis, m.
    pub semi_major_m: f64,
    /// Flattening.
    pub flattening: f64,
    /// Normal gravity at the equator, m/s2.
    pub equator_m_per_s2: f64,
    /// Somigliana's constant k.
    pub somigliana: f64,
    /// Square of the first eccentricity.
    pub eccentricity_squared: f64,
    /// Centrifugal over gravitational pull at the equator.
    pub centrifugal: f64,
}

/// Geodetic Reference System 1980 (Moritz 2000). The constants are from memory and reproduce the published values of normal gravity.
pub const GRS80: Ellipsoid = Ellipsoid {
    semi_major_m: 6_378_137.0,
    flattening: 1.0 / 298.257_222_101,
    equator_m_per_s2: 9.780_326_771_5,
    somigliana: 0.001_931_851_353,
    eccentricity_squared: 0.006_694_380_022_90,
    centrifugal: 0.003_449_786_003_08,
};

/// World Geodetic System 1984 (NIMA TR8350.2, 2000). From memory, as [`GRS80`].
pub const WGS84: Ellipsoid = Ellipsoid {
    semi_major_m: 6_378_137.0,
    flattening: 1.0 / 298.257_223_563,
    equator_m_per_s2: 9.780_325_335_9,
    somigliana: 0.001_931_852_652_41,
    eccentricity_squared: 0.006_694_379_990_14,
    centrifugal: 0.003_449_786_506_84,
};

/// Where something stands on the earth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EarthPlace {
    /// Latitude, degrees.
    pub latitude_deg: f64,
    /// Height above the sea, m.
    pub altitude_m: f64,
}

impl Ellipsoid {
    /// Normal gravity, m/s2: Somigliana's closed form on the ellipsoid with the height term of second order.
    ///
    /// Source: NIMA TR8350.2 (2000) equations 4-1 and 4-3. Good to about 1e-6 m/s2 to 9,000 m; the ground's own anomalies reach 1e-3.
    pub fn gravity_m_per_s2(&self, spot: EarthPlace) -> f64 {
        let sin2 = math::powi(math::sin(spot.latitude_deg.to_radians()), 2);
        let surface = self.equator_m_per_s2 * (1.0 + self.somigliana * sin2)
            / (1.0 - self.eccentricity_squared * sin2).sqrt();
        let h = spot.altitude_m / self.semi_major_m;
        let first = 1.0 + self.flattening + self.centrifugal - 2.0 * self.flattening * sin2;
        surface * (1.0 - 2.0 * first * h + 3.0 * h * h)
    }
}

/// Gravity at a place, m/s2, on GRS80: 9.780 at the equator, 9.832 at the poles, 0.003 less for each 1,000 m.
///
/// Source and limits as [`Ellipsoid::gravity_m_per_s2`].
pub fn gravity(spot: EarthPlace) -> f64 {
    GRS80.gravity_m_per_s2(spot)
}

/// Pressure of the standard atmosphere at an altitude above the sea, Pa.
///
/// Source: US Standard Atmosphere 1976, lowest layer (to 11 km), with the geometric altitude turned to the geopotential one.
/// Held at the ends of [`ALTITUDE_RANGE_M`]. The weather moves the real pressure by some 3 % either way.
pub fn air_pressure(altitude_m: f64) -> f64 {
    const EARTH_M: f64 = 6_356_766.0;
    let z = altitude_m.clamp(ALTITUDE_RANGE_M.0, ALTITUDE_RANGE_M.1);
    air_pressure_geopotential(EARTH_M * z / (EARTH_M + z))
}

/// The same by geopotential altitude, Pa.
pub fn air_pressure_geopotential(geopotential_m: f64) -> f64 {
    // exponent g0 M0 / (R* L) of the 1976 standard
    const EXPONENT: f64 = 9.806_65 * 28.9644 / (8314.32 * 0.0065);
    SEA_LEVEL_AIR_PA * math::powf((288.15 - 0.0065 * geopotential_m) / 288.15, EXPONENT)
}

/// What water is at a temperature and the pressure of the air at sea level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WaterProperties {
    /// Temperature, C.
    pub temperature_c: f64,
    /// Density, kg/m3.
    pub density_kg_per_m3: f64,
    /// Dynamic viscosity, Pa s.
    pub viscosity_pa_s: f64,
    /// Pressure at which it boils, Pa absolute.
    pub vapour_pa: f64,
    /// Bulk modulus for quick changes (isentropic: density times speed of sound squared), Pa.
    pub bulk_modulus_pa: f64,
}

impl WaterProperties {
    /// Kinematic viscosity, m2/s.
    pub fn kinematic_viscosity_m2_per_s(&self) -> f64 {
        self.viscosity_pa_s / self.density_kg_per_m3
    }
}

/// Water at a temperature, C, and 101 325 Pa; held at the ends of [`WATER_RANGE_C`].
///
/// Density: IAPWS R7-97(2012) region 1; vapour pressure: the same, region 4; viscosity: IAPWS R12-08 without its critical part;
/// bulk modulus: density times the square of the speed of sound (Marczak 1997).
/// Against IAPWS-95 density is within 0.01 kg/m3 and vapour pressure within 0.01 %. Silt and air in the water change it far more.
/// Pressure is left out: at 10 bar water is 0.04 % denser.
pub fn water(temperature_c: f64) -> WaterProperties {
    water_at(WaterState {
        // just above the melting point, where liquid is in range at the pressure of the air
        kelvin: temperature_c.clamp(WATER_RANGE_C.0 + 0.01, WATER_RANGE_C.1) + 273.15,
        pressure_pa: SEA_LEVEL_AIR_PA,
    })
}

/// Water in any liquid state within IAPWS region 1 (273.15 to 623.15 K, above its vapour pressure); its bulk modulus that at the pressure of the air, to 95 C.
pub fn water_at(state: WaterState) -> WaterProperties {
    let density = 1.0 / water::volume_m3_per_kg(state);
    let celsius = state.kelvin - 273.15;
    WaterProperties {
        temperature_c: celsius,
        density_kg_per_m3: density,
        viscosity_pa_s: water::viscosity_pa_s(state.kelvin, density),
        vapour_pa: water::vapour_pressure_pa(state.kelvin),
        bulk_modulus_pa: density * math::powi(water::sound_m_per_s(celsius), 2),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn water_is_densest_near_four_degrees() {
        let at = |t: f64| water(t).density_kg_per_m3;
        assert!(at(4.0) > at(2.0) && at(4.0) > at(6.0));
    }

    #[test]
    fn cold_water_is_thicker_and_boils_lower() {
        let (cold, warm) = (water(2.0), water(25.0));
        assert!(cold.viscosity_pa_s > 1.5 * warm.viscosity_pa_s);
        assert!(cold.vapour_pa < warm.vapour_pa);
    }

    #[test]
    fn outside_its_range_water_is_held() {
        assert_eq!(water(-10.0), water(0.0));
        assert_eq!(water(200.0), water(60.0));
    }

    #[test]
    fn air_and_gravity_fall_with_height() {
        let spot = |altitude_m| EarthPlace {
            latitude_deg: 45.0,
            altitude_m,
        };
        assert!(gravity(spot(2000.0)) < gravity(spot(0.0)));
        assert!((air_pressure(0.0) - SEA_LEVEL_AIR_PA).abs() < 1e-9);
        assert!((air_pressure(2000.0) - 79_501.4).abs() < 1.0);
    }
}
