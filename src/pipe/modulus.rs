//! Stiffness of the wall under a load that lasts: what collapse, sag and held heat are computed with.

use super::facts::is_stainless;
use super::{How, Known, Material, Pipe};
use crate::numeric::math;

/// Hours of half an hour to fifty years, and the apparent modulus of polyethylene at 23 C, MPa: newer and older grades.
///
/// PPI Handbook of PE Pipe, ch. 3, Table B.1.1, columns PE4xxx and PE3xxx.
const PE_MPA: [(f64, f64, f64); 6] = [
    (0.5, 565.0, 538.0),
    (2.0, 510.0, 490.0),
    (12.0, 434.0, 414.0),
    (100.0, 379.0, 359.0),
    (8_760.0, 276.0, 262.0),
    (438_000.0, 200.0, 193.0),
];

/// Fifty years in hours: the load that stays.
pub const FIFTY_YEARS_H: f64 = 438_000.0;

/// How long a load lasts and how warm the wall is meanwhile.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lasting {
    /// Hours; below half an hour the half-hour figure is used.
    pub hours: f64,
    /// Temperature of the wall, C.
    pub wall_c: f64,
}

/// Apparent modulus of the wall under a load that lasts, Pa.
///
/// Polyethylene: the PPI table, straight in the logarithm of time, times exp(-0.022 (T - 23)) for the wall's temperature (from memory, within 10 % of the usual tables between 5 and 60 C).
/// PE100 and PE4710 are read in the column PE4xxx, PE80 and PE3608 in PE3xxx.
/// PVC-U: 2,760 MPa for half an hour (NRCS: 400,000 psi) falling to 1,000 MPa in fifty years (from memory), less 0.5 % a kelvin above 23 C (from memory).
/// Steel: 200 GPa, stainless 193 GPa. The user's own short-term modulus scales the whole curve.
pub fn lasting_modulus_pa(pipe: &Pipe, load: Lasting) -> Known {
    let hours = load.hours.clamp(0.5, FIFTY_YEARS_H);
    let (at_rest, half_hour, warmth, how, source) = match pipe.material {
        Material::Pe => {
            let newer = !["PE80", "PE63", "PE3608"].contains(&pipe.grade.as_str());
            let column: Vec<(f64, f64)> = PE_MPA
                .iter()
                .map(|&(h, new, old)| (h, if newer { new } else { old }))
                .collect();
            let first = column.first().map_or(0.0, |p| p.1);
            (
                in_log_time(&column, hours) * 1e6,
                first * 1e6,
                math::exp(-0.022 * (load.wall_c - 23.0)),
                if (load.wall_c - 23.0).abs() < 1.0 {
                    How::Read
                } else {
                    How::Memory
                },
                "PPI Handbook of PE Pipe ch. 3, Table B.1.1; its change with temperature from memory",
            )
        }
        Material::Pvc => (
            in_log_time(&[(0.5, 2760.0), (FIFTY_YEARS_H, 1000.0)], hours) * 1e6,
            2760e6,
            1.0 - 0.005 * (load.wall_c - 23.0).max(0.0),
            How::Memory,
            "400,000 psi for short loads (NRCS technical note); fifty years and change with temperature from memory",
        ),
        Material::Steel => {
            let pa = if is_stainless(pipe) { 193e9 } else { 200e9 };
            (pa, pa, 1.0, How::Memory, "from memory")
        }
    };
    match pipe.modulus_pa {
        Some(own) => Known::new(
            own * at_rest / half_hour * warmth.min(1.0),
            How::Computed,
            "the user's own modulus, which falls with time and temperature as for its material",
        ),
        None => Known::new(at_rest * warmth, how, source),
    }
}

/// Straight between points in the logarithm of time, held at the ends.
fn in_log_time(points: &[(f64, f64)], hours: f64) -> f64 {
    let x = math::ln(hours);
    points
        .windows(2)
        .find_map(|w| match w {
            [(h0, e0), (h1, e1)] if hours <= *h1 => Some(
                e0 + (e1 - e0) * ((x - math::ln(*h0)) / (math::ln(*h1) - math::ln(*h0))).max(0.0),
            ),
            _ => None,
        })
        .or_else(|| points.last().map(|p| p.1))
        .unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pipe::find;

    #[test]
    fn the_table_s_own_points_come_back() {
        let pipe = find("PE100 SDR 17 110").unwrap();
        let at = |hours, wall_c| lasting_modulus_pa(&pipe, Lasting { hours, wall_c }).value / 1e6;
        for (hours, mpa) in [
            (0.5, 565.0),
            (12.0, 434.0),
            (8760.0, 276.0),
            (438_000.0, 200.0),
            (0.001, 565.0),
        ] {
            assert!((at(hours, 23.0) - mpa).abs() < 1e-9, "{hours}");
        }
        assert!(at(24.0, 23.0) < 434.0 && at(24.0, 23.0) > 379.0);
        assert!(at(1.0, 50.0) < at(1.0, 23.0) && at(1.0, 5.0) > at(1.0, 23.0));
    }

    #[test]
    fn the_user_s_own_modulus_scales_the_curve() {
        let mut pipe = find("PE100 SDR 17 110").unwrap();
        pipe.modulus_pa = Some(1.0e9);
        let long = lasting_modulus_pa(
            &pipe,
            Lasting {
                hours: FIFTY_YEARS_H,
                wall_c: 23.0,
            },
        );
        assert!((long.value / 1e9 - 200.0 / 565.0).abs() < 1e-9);
    }
}
