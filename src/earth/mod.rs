//! Distances and positions on the earth.

mod geodesic;

use crate::numeric::math;
use geodesic::{ECCENTRICITY_2, EQUATOR_M, Geodesic};

/// Mean radius of the earth, m: what a height is divided by when a distance is brought to it.
const MEAN_M: f64 = 6_371_008.8;

/// A position on WGS 84, degrees.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct LatLon {
    /// Latitude, -90 to 90.
    pub lat_deg: f64,
    /// Longitude, -180 to 180.
    pub lon_deg: f64,
}

impl LatLon {
    /// From latitude and longitude in degrees.
    pub fn new(lat_deg: f64, lon_deg: f64) -> Self {
        Self { lat_deg, lon_deg }
    }

    fn geodesic(self, to: Self) -> Geodesic {
        Geodesic::between((self.lat_deg, self.lon_deg), (to.lat_deg, to.lon_deg))
    }

    /// Length of the geodesic to another position on the ellipsoid, at height 0, m; good to nanometres.
    pub fn distance_m(self, to: Self) -> f64 {
        self.geodesic(to).length_m
    }

    /// Direction of the geodesic to another position, rad clockwise from north, -pi to pi.
    pub fn azimuth_rad(self, to: Self) -> f64 {
        self.geodesic(to).azimuth_rad
    }
}

/// What a distance on the ellipsoid is multiplied by at a height above it: `1 + h/R`, 0.03 % at 2,000 m.
pub fn at_height(height_m: f64) -> f64 {
    1.0 + height_m / MEAN_M
}

/// A level plane that touches the earth's figure at a height above one point: east, north and up in metres.
///
/// Distances in it are those at that height. Seen from 10 km off it is short by less than 1 part in a million, from 100 km by 1 in 10,000.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plane {
    origin: LatLon,
    height_m: f64,
    earth: [f64; 3],
    sin_lat: f64,
    cos_lat: f64,
    sin_lon: f64,
    cos_lon: f64,
}

impl Plane {
    /// A plane at a position and a height.
    pub fn new(origin: LatLon, height_m: f64) -> Self {
        let (sin_lat, cos_lat) = math::sin_cos(origin.lat_deg.to_radians());
        let (sin_lon, cos_lon) = math::sin_cos(origin.lon_deg.to_radians());
        Self {
            origin,
            height_m,
            earth: centred(origin, height_m),
            sin_lat,
            cos_lat,
            sin_lon,
            cos_lon,
        }
    }

    /// East, north and up of a position at a height, m.
    pub fn local(&self, at: LatLon, height_m: f64) -> [f64; 3] {
        let (sin_lat, cos_lat) = turned(
            (self.sin_lat, self.cos_lat),
            at.lat_deg - self.origin.lat_deg,
        );
        let (sin_lon, cos_lon) = turned(
            (self.sin_lon, self.cos_lon),
            at.lon_deg - self.origin.lon_deg,
        );
        let [x, y, z] = from_angles([sin_lat, cos_lat], [sin_lon, cos_lon], height_m);
        let [x0, y0, z0] = self.earth;
        let (dx, dy, dz) = (x - x0, y - y0, z - z0);
        let inward = self.cos_lon * dx + self.sin_lon * dy;
        [
            self.cos_lon * dy - self.sin_lon * dx,
            self.cos_lat * dz - self.sin_lat * inward,
            self.cos_lat * inward + self.sin_lat * dz,
        ]
    }

    /// East and north of a position taken at the plane's own height, m.
    pub fn east_north(&self, at: LatLon) -> [f64; 2] {
        let [east, north, _] = self.local(at, self.height_m);
        [east, north]
    }

    /// The position at the plane's own height whose east and north these are.
    pub fn back(&self, wanted: [f64; 2]) -> LatLon {
        // Where the plane is near, a miss by so many metres is mended by so many degrees, and the next miss is smaller by the distance over the earth's radius.
        let per_m = 1.0 / EQUATOR_M;
        let mut found = self.origin;
        for _ in 0..12 {
            let [east, north] = self.east_north(found);
            let (east, north) = (wanted[0] - east, wanted[1] - north);
            if east.abs() + north.abs() < 1e-8 {
                return found;
            }
            found.lat_deg += (north * per_m).to_degrees();
            found.lon_deg += (east * per_m / self.cos_lat).to_degrees();
            if !(found.lat_deg.abs() <= 89.0 && found.lon_deg.abs() <= 180.0) {
                break;
            }
        }
        self.back_from_centre(wanted)
    }

    /// The same from earth-centred coordinates: for what lies far off, at a pole or across the 180th meridian.
    fn back_from_centre(&self, [east, north]: [f64; 2]) -> LatLon {
        let mut up = 0.0;
        let mut found = self.origin;
        for _ in 0..3 {
            let inward = self.cos_lat * up - self.sin_lat * north;
            let [x0, y0, z0] = self.earth;
            let x = x0 + self.cos_lon * inward - self.sin_lon * east;
            let y = y0 + self.sin_lon * inward + self.cos_lon * east;
            let z = z0 + self.cos_lat * north + self.sin_lat * up;
            let (at, height_m) = geodetic([x, y, z]);
            found = at;
            up += self.height_m - height_m;
        }
        found
    }
}

/// Earth-centred coordinates, m.
fn centred(at: LatLon, height_m: f64) -> [f64; 3] {
    let (sin_lat, cos_lat) = math::sin_cos(at.lat_deg.to_radians());
    let (sin_lon, cos_lon) = math::sin_cos(at.lon_deg.to_radians());
    from_angles([sin_lat, cos_lat], [sin_lon, cos_lon], height_m)
}

/// Sine and cosine of an angle that lies `by_deg` beyond one whose sine and cosine are known.
///
/// Up to a degree, where every survey lies, by the first terms of the series: what is left out is below 1 part in 10^18.
fn turned((sin, cos): (f64, f64), by_deg: f64) -> (f64, f64) {
    let x = by_deg.to_radians();
    let (sin_x, cos_x) = if by_deg.abs() < 1.0 {
        let u = x * x;
        (
            x * (1.0 - u / 6.0 * (1.0 - u / 20.0 * (1.0 - u / 42.0 * (1.0 - u / 72.0)))),
            1.0 - u / 2.0 * (1.0 - u / 12.0 * (1.0 - u / 30.0 * (1.0 - u / 56.0))),
        )
    } else {
        math::sin_cos(x)
    };
    (sin * cos_x + cos * sin_x, cos * cos_x - sin * sin_x)
}

/// Earth-centred coordinates from sines and cosines of latitude and longitude, m.
fn from_angles(
    [sin_lat, cos_lat]: [f64; 2],
    [sin_lon, cos_lon]: [f64; 2],
    height_m: f64,
) -> [f64; 3] {
    let across = EQUATOR_M / (1.0 - ECCENTRICITY_2 * sin_lat * sin_lat).sqrt();
    let out = (across + height_m) * cos_lat;
    [
        out * cos_lon,
        out * sin_lon,
        (across * (1.0 - ECCENTRICITY_2) + height_m) * sin_lat,
    ]
}

/// Position and height from earth-centred coordinates, by the usual iteration on the latitude; good to a nanometre near the surface.
fn geodetic([x, y, z]: [f64; 3]) -> (LatLon, f64) {
    let out = math::hypot(x, y);
    let mut lat = math::atan2(z, out * (1.0 - ECCENTRICITY_2));
    let mut across = EQUATOR_M;
    for _ in 0..4 {
        let sin = math::sin(lat);
        across = EQUATOR_M / (1.0 - ECCENTRICITY_2 * sin * sin).sqrt();
        lat = math::atan2(z + ECCENTRICITY_2 * across * sin, out);
    }
    let (sin, cos) = math::sin_cos(lat);
    let height_m = out * cos + z * sin - EQUATOR_M * EQUATOR_M / across;
    let at = LatLon::new(lat.to_degrees(), math::atan2(y, x).to_degrees());
    (at, height_m)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn there_and_back(lat in -89.0..89.0f64, lon in -179.9..179.9f64, h in -100.0..5000.0f64, e in -20_000.0..20_000.0f64, n in -20_000.0..20_000.0f64) {
            let plane = Plane::new(LatLon::new(lat, lon), h);
            let [east, north] = plane.east_north(plane.back([e, n]));
            prop_assert!((east - e).abs() < 1e-6 && (north - n).abs() < 1e-6);
        }

        #[test]
        fn turning_on_is_the_angle_itself(at in -180.0..180.0f64, by in -2.0..2.0f64) {
            let (sin, cos) = turned(math::sin_cos(at.to_radians()), by);
            let (want_sin, want_cos) = math::sin_cos(at.to_radians() + by.to_radians());
            prop_assert!((sin - want_sin).abs() < 4e-16 && (cos - want_cos).abs() < 4e-16);
        }

        #[test]
        fn both_ways_back_agree(lat in -88.0..88.0f64, lon in -179.9..179.9f64, h in -100.0..5000.0f64, e in -20_000.0..20_000.0f64, n in -20_000.0..20_000.0f64) {
            let plane = Plane::new(LatLon::new(lat, lon), h);
            let (one, two) = (plane.back([e, n]), plane.back_from_centre([e, n]));
            prop_assert!((one.lat_deg - two.lat_deg).abs() < 1e-12 + 1e-12 / plane.cos_lat);
            prop_assert!((one.lon_deg - two.lon_deg).abs() < 3e-12 / plane.cos_lat);
        }

        #[test]
        fn the_plane_agrees_with_the_geodesic(lat in -80.0..80.0f64, lon in -179.0..179.0f64, e in -2000.0..2000.0f64, n in -2000.0..2000.0f64) {
            let at = LatLon::new(lat, lon);
            let plane = Plane::new(at, 0.0);
            let to = plane.back([e, n]);
            let flat = math::hypot(e, n);
            prop_assert!((at.distance_m(to) - flat).abs() < 1e-6 + 1e-7 * flat);
            let high = Plane::new(at, 2000.0).east_north(to);
            let lifted = math::hypot(high[0], high[1]);
            prop_assert!((lifted - flat * at_height(2000.0)).abs() < 1e-6 + 3e-6 * flat);
        }
    }
}
