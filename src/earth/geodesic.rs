//! The shortest line between two positions on the ellipsoid.
//!
//! Method: C. F. F. Karney, Algorithms for geodesics, Journal of Geodesy 87, 2013, with the equations' numbers beside; his names and symbols. The azimuth at the start is found by Newton's method inside a bracket that always holds it, so that any two positions are answered, nearly opposite ones too.

use crate::numeric::math;
use crate::unit::physics::WGS84;

/// Equatorial radius, m.
pub(super) const EQUATOR_M: f64 = WGS84.semi_major_m;

/// Flattening.
const F: f64 = WGS84.flattening;

/// First eccentricity squared.
pub(super) const ECCENTRICITY_2: f64 = F * (2.0 - F);

/// Second eccentricity squared.
const SECOND_2: f64 = ECCENTRICITY_2 / ((1.0 - F) * (1.0 - F));

/// Third flattening.
const N: f64 = F / (2.0 - F);

/// The cosine of a pole's latitude: so small that nothing shows, and not 0.
const TINY: f64 = 1e-154;

/// A latitude on the auxiliary sphere: sine and cosine of beta.
#[derive(Debug, Clone, Copy)]
struct Beta {
    sin: f64,
    cos: f64,
}

impl Beta {
    /// Of a latitude: `tan beta = (1 - f) tan phi` (6).
    fn of(lat_deg: f64) -> Self {
        let (sin, cos) = math::sin_cos(lat_deg.to_radians());
        let (sin, cos) = unit((1.0 - F) * sin, cos);
        Self {
            sin,
            cos: cos.max(TINY),
        }
    }
}

/// The shortest line from one position to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Geodesic {
    /// Its length, m.
    pub(super) length_m: f64,
    /// Its direction at the start, rad clockwise from north, -pi to pi.
    pub(super) azimuth_rad: f64,
}

impl Geodesic {
    /// Between latitudes and longitudes, degrees. Errors: some nanometres in length and sideways, at any length.
    pub(super) fn between(from: (f64, f64), to: (f64, f64)) -> Self {
        let turn = to.1 - from.1;
        let turn = turn - 360.0 * (turn / 360.0).round();
        // As in the paper's section 4 the start is the end further from the equator, lies south of it, and the line goes east.
        let swapped = from.0.abs() < to.0.abs();
        let (first, second) = if swapped { (to, from) } else { (from, to) };
        let north = if first.0 < 0.0 { 1.0 } else { -1.0 };
        let pair = PositionPair {
            beta1: Beta::of(north * first.0),
            beta2: Beta::of(north * second.0),
            lambda12: turn.abs().to_radians(),
        };
        let arc = pair.solved();
        let back = if swapped { -1.0 } else { 1.0 };
        let (sin, cos) = if swapped { arc.alpha2 } else { arc.alpha1 };
        let east = if turn < 0.0 { -1.0 } else { 1.0 };
        Self {
            length_m: arc.length_m(),
            azimuth_rad: math::atan2(east * sin, back * north * cos),
        }
    }
}

/// Two positions, the first at least as far south as the second is from the equator, the second to the east.
struct PositionPair {
    beta1: Beta,
    beta2: Beta,
    lambda12: f64,
}

impl PositionPair {
    fn solved(&self) -> Arc {
        // Along a meridian, over the nearer pole where the positions lie on opposite ones.
        if self.lambda12 == 0.0 || self.lambda12 >= std::f64::consts::PI {
            let ahead = if self.lambda12 == 0.0 { 1.0 } else { -1.0 };
            return self.arc((0.0, ahead));
        }
        let equator = self.beta1.sin == 0.0 && self.beta2.sin == 0.0;
        if equator && self.lambda12 <= (1.0 - F) * std::f64::consts::PI {
            return Arc {
                equator: true,
                omega12: self.lambda12 / (1.0 - F),
                sigma12: self.lambda12 / (1.0 - F),
                ..self.arc((1.0, 0.0))
            };
        }
        let (mut low, mut high) = ((TINY, 1.0), (TINY, -1.0));
        let mut alpha1 = self.start();
        let mut arc = self.arc(alpha1);
        let mut last = false;
        for _ in 0..200 {
            let over = arc.lambda12() - self.lambda12;
            if last || over == 0.0 || !over.is_finite() {
                break;
            }
            if over > 0.0 {
                high = alpha1;
            } else {
                low = alpha1;
            }
            // The slope is good to 5 digits: from here one step more leaves nothing but rounding.
            last = over.abs() < 1e-11;
            let next = turned(alpha1, -over / self.slope(&arc));
            alpha1 = if last || (beyond(next, low) && beyond(high, next)) {
                next
            } else {
                unit(low.0 + high.0, low.1 + high.1)
            };
            arc = self.arc(alpha1);
        }
        arc
    }

    /// The azimuth on a sphere, for short lines one of the right size there (section 4).
    fn start(&self) -> (f64, f64) {
        let (b1, b2) = (self.beta1, self.beta2);
        let across = b2.sin * b1.cos - b2.cos * b1.sin;
        let along = b2.cos * b1.cos + b2.sin * b1.sin;
        let short = along >= 0.0 && across < 0.5 && b2.cos * self.lambda12 < 0.5;
        let omega12 = if short {
            let (sin, cos) = (b1.sin + b2.sin, b1.cos + b2.cos);
            let sin_2 = sin * sin / (sin * sin + cos * cos);
            self.lambda12 / ((1.0 - F) * (1.0 + SECOND_2 * sin_2).sqrt())
        } else {
            self.lambda12
        };
        let (sin, cos) = math::sin_cos(omega12);
        let north = if cos >= 0.0 {
            across + b2.cos * b1.sin * sin * sin / (1.0 + cos)
        } else {
            b2.sin * b1.cos + b2.cos * b1.sin - b2.cos * b1.sin * sin * sin / (1.0 - cos)
        };
        unit((b2.cos * sin).max(TINY), north)
    }

    /// The geodesic that leaves the first position at an azimuth, as far as the second's latitude (5, 8 to 12, 45).
    fn arc(&self, (sin1, cos1): (f64, f64)) -> Arc {
        let (b1, b2) = (self.beta1, self.beta2);
        let sin0 = sin1 * b1.cos;
        let cos0 = math::hypot(cos1, sin1 * b1.sin);
        let alike = b1.cos == b2.cos;
        let sin2 = if alike { sin1 } else { sin0 / b2.cos };
        let cos2 = if alike && b2.sin.abs() == -b1.sin {
            cos1.abs()
        } else {
            let apart = if b1.cos < -b1.sin {
                (b2.cos - b1.cos) * (b1.cos + b2.cos)
            } else {
                (b1.sin - b2.sin) * (b1.sin + b2.sin)
            };
            let on = cos1 * b1.cos;
            (on * on + apart).max(0.0).sqrt() / b2.cos
        };
        let sigma1 = unit(b1.sin, cos1 * b1.cos);
        let sigma2 = unit(b2.sin, cos2 * b2.cos);
        let k_2 = SECOND_2 * cos0 * cos0;
        Arc {
            alpha1: (sin1, cos1),
            alpha2: (sin2, cos2),
            sin0,
            sigma1,
            sigma2,
            sigma12: between(sigma1, sigma2),
            omega12: between(
                unit(sin0 * b1.sin, cos1 * b1.cos),
                unit(sin0 * b2.sin, cos2 * b2.cos),
            ),
            epsilon: k_2 / (2.0 * (1.0 + (1.0 + k_2).sqrt()) + k_2),
            equator: false,
        }
    }

    /// How the longitude run through grows with the azimuth at the start (46, 47), the integral in the reduced length (38) to its first term.
    fn slope(&self, arc: &Arc) -> f64 {
        let swell = |b: Beta| (1.0 + SECOND_2 * b.sin * b.sin).sqrt();
        let (_, cos2) = arc.alpha2;
        if cos2 == 0.0 {
            return -2.0 * (1.0 - F) * swell(self.beta1) / self.beta1.sin;
        }
        let ((s1, c1), (s2, c2)) = (arc.sigma1, arc.sigma2);
        let j12 = 2.0 * arc.epsilon * (arc.sigma12 - (s2 * c2 - s1 * c1));
        let reduced = swell(self.beta2) * c1 * s2 - swell(self.beta1) * s1 * c2 - c1 * c2 * j12;
        (1.0 - F) * reduced / (cos2 * self.beta2.cos)
    }
}

/// A stretch of a geodesic on the auxiliary sphere; angles as sine and cosine.
struct Arc {
    alpha1: (f64, f64),
    alpha2: (f64, f64),
    sin0: f64,
    sigma1: (f64, f64),
    sigma2: (f64, f64),
    sigma12: f64,
    omega12: f64,
    epsilon: f64,
    equator: bool,
}

impl Arc {
    /// The longitude run through (8), with the series of (24) and (25).
    fn lambda12(&self) -> f64 {
        let e = self.epsilon;
        let n = N;
        let a3 = 1.0
            - e * ((1.0 - n) / 2.0
                + e * ((2.0 + n - 3.0 * n * n) / 8.0
                    + e * ((1.0 + 3.0 * n + n * n) / 16.0
                        + e * ((3.0 + 2.0 * n) / 64.0 + e * 3.0 / 128.0))));
        let c3 = [
            e * ((1.0 - n) / 4.0
                + e * ((1.0 - n * n) / 8.0
                    + e * ((3.0 + 3.0 * n - n * n) / 64.0
                        + e * ((5.0 + 2.0 * n) / 128.0 + e * 3.0 / 128.0)))),
            e * e
                * ((2.0 - 3.0 * n + n * n) / 32.0
                    + e * ((3.0 - 2.0 * n - 3.0 * n * n) / 64.0
                        + e * ((3.0 + n) / 128.0 + e * 5.0 / 256.0))),
            math::powi(e, 3)
                * ((5.0 - 9.0 * n + 5.0 * n * n) / 192.0
                    + e * ((9.0 - 10.0 * n) / 384.0 + e * 7.0 / 512.0)),
            math::powi(e, 4) * ((7.0 - 14.0 * n) / 512.0 + e * 7.0 / 512.0),
            math::powi(e, 5) * 21.0 / 2560.0,
        ];
        let i3 = a3 * (self.sigma12 + sines(&c3, self.sigma2) - sines(&c3, self.sigma1));
        self.omega12 - F * self.sin0 * i3
    }

    /// Its length (7), with the series of (17) and (18).
    fn length_m(&self) -> f64 {
        let b = EQUATOR_M * (1.0 - F);
        if self.equator {
            return b * self.sigma12;
        }
        let e = self.epsilon;
        let u = e * e;
        let a1 = (1.0 + u * (1.0 / 4.0 + u * (1.0 / 64.0 + u / 256.0))) / (1.0 - e);
        let c1 = [
            -e * (1.0 / 2.0 - u * (3.0 / 16.0 - u / 32.0)),
            -u * (1.0 / 16.0 - u * (1.0 / 32.0 - u * 9.0 / 2048.0)),
            -e * u * (1.0 / 48.0 - u * 3.0 / 256.0),
            -u * u * (5.0 / 512.0 - u * 3.0 / 512.0),
            -e * u * u * 7.0 / 1280.0,
            -u * u * u * 7.0 / 2048.0,
        ];
        b * a1 * (self.sigma12 + (sines(&c1, self.sigma2) - sines(&c1, self.sigma1)))
    }
}

/// Sine and cosine of the angle whose legs these are.
fn unit(sin: f64, cos: f64) -> (f64, f64) {
    let long = math::hypot(sin, cos);
    if long > 0.0 {
        (sin / long, cos / long)
    } else {
        (0.0, 1.0)
    }
}

/// An azimuth turned on by an angle.
fn turned((sin, cos): (f64, f64), by: f64) -> (f64, f64) {
    let (s, c) = math::sin_cos(by);
    (sin * c + cos * s, cos * c - sin * s)
}

/// Whether an azimuth is the greater one; both between 0 and pi.
fn beyond((s1, c1): (f64, f64), (s2, c2): (f64, f64)) -> bool {
    s1 > 0.0 && c1 / s1 < c2 / s2
}

/// The angle from one to another, 0 to pi.
fn between((s1, c1): (f64, f64), (s2, c2): (f64, f64)) -> f64 {
    math::atan2((c1 * s2 - s1 * c2).max(0.0), c1 * c2 + s1 * s2)
}

/// `sum of c_l sin(2 l sigma)`, l from 1, by Clenshaw's summation.
fn sines(c: &[f64], (sin, cos): (f64, f64)) -> f64 {
    let twice = 2.0 * (cos - sin) * (cos + sin);
    let (mut this, mut before) = (0.0, 0.0);
    for c in c.iter().rev() {
        (this, before) = (twice * this - before + c, this);
    }
    2.0 * sin * cos * this
}

#[cfg(test)]
mod tests {
    use super::*;
    use geo::{Bearing, Distance, Point};
    use proptest::prelude::*;

    /// The same line by a general-purpose library: length, azimuth in radians.
    fn library(from: (f64, f64), to: (f64, f64)) -> (f64, f64) {
        let (a, b) = (Point::new(from.1, from.0), Point::new(to.1, to.0));
        (
            geo::Geodesic.distance(a, b),
            geo::Geodesic.bearing(a, b).to_radians(),
        )
    }

    /// Ours against the library's: how far apart in length, and sideways where one follows the other's azimuth, m.
    fn apart(from: (f64, f64), to: (f64, f64)) -> (f64, f64) {
        let ours = Geodesic::between(from, to);
        let (length_m, azimuth_rad) = library(from, to);
        let turn = math::sin(ours.azimuth_rad - azimuth_rad);
        (
            (ours.length_m - length_m).abs(),
            turn.abs() * length_m.min(6e6),
        )
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2000))]

        #[test]
        fn short_lines_as_the_library(lat in -89.0..89.0f64, lon in -180.0..180.0f64, dlat in -1.0..1.0f64, dlon in -1.0..1.0f64, size in -7.0..-0.5f64) {
            let size = math::powf(10f64, size);
            let to = (lat + size * dlat, lon + size * dlon);
            let (long, aside) = apart((lat, lon), to);
            prop_assert!(long < 2e-8 && aside < 3e-8, "{long:e} {aside:e}");
        }

        #[test]
        fn any_line_as_the_library(lat in -90.0..90.0f64, lon in -180.0..180.0f64, lat2 in -90.0..90.0f64, lon2 in -180.0..180.0f64) {
            let (long, aside) = apart((lat, lon), (lat2, lon2));
            prop_assert!(long < 5e-8 && aside < 1e-6, "{long:e} {aside:e}");
        }

        #[test]
        fn nearly_opposite_as_the_library(lat in -89.0..89.0f64, lon in -180.0..0.0f64, dlat in -1.0..1.0f64, dlon in -1.0..1.0f64) {
            let (long, _) = apart((lat, lon), (-lat + dlat, lon + 180.0 + dlon));
            prop_assert!(long < 1e-7, "{long:e}");
        }

        #[test]
        fn the_way_back_is_as_long(lat in -90.0..90.0f64, lon in -180.0..180.0f64, lat2 in -90.0..90.0f64, lon2 in -180.0..180.0f64) {
            let there = Geodesic::between((lat, lon), (lat2, lon2)).length_m;
            let back = Geodesic::between((lat2, lon2), (lat, lon)).length_m;
            prop_assert!((there - back).abs() < 1e-8);
        }
    }

    #[test]
    fn corners_of_the_earth() {
        for from in [
            (0.0, 0.0),
            (90.0, 0.0),
            (-90.0, 10.0),
            (45.0, 180.0),
            (0.0, -180.0),
            (1e-9, 0.0),
        ] {
            for to in [
                (0.0, 0.0),
                (0.0, 179.0),
                (0.0, 179.5),
                (0.0, 179.9999),
                (0.0, 180.0),
                (0.5, 179.7),
                (90.0, 20.0),
                (-90.0, 0.0),
                (-45.0, 0.0),
                (-45.0, 0.1),
                (45.0, -180.0),
                (0.0, 1e-12),
                (-1e-9, 180.0),
            ] {
                let (long, _) = apart(from, to);
                assert!(long < 1e-7, "{from:?} {to:?}: {long:e}");
            }
        }
        assert_eq!(Geodesic::between((46.0, 9.0), (46.0, 9.0)).length_m, 0.0);
    }
}
