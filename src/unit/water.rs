//! The IAPWS equations behind [`super::nature::water`]: volume, vapour pressure, viscosity; and the speed of sound.
//!
//! Tables of coefficients are those of the releases, taken over as figures and held by the releases' own verification points in the ledger.

use crate::numeric::math;

/// A state of liquid water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WaterState {
    /// Temperature, K.
    pub kelvin: f64,
    /// Absolute pressure, Pa.
    pub pressure_pa: f64,
}

/// IAPWS R7-97(2012) Table 2: exponents I and J and coefficient n of region 1.
const REGION_1: &[(i32, i32, f64)] = &[
    (0, -2, 0.14632971213167),
    (0, -1, -0.84548187169114),
    (0, 0, -3.756360367204),
    (0, 1, 3.3855169168385),
    (0, 2, -0.95791963387872),
    (0, 3, 0.15772038513228),
    (0, 4, -0.016616417199501),
    (0, 5, 0.00081214629983568),
    (1, -9, 0.00028319080123804),
    (1, -7, -0.00060706301565874),
    (1, -1, -0.018990068218419),
    (1, 0, -0.032529748770505),
    (1, 1, -0.021841717175414),
    (1, 3, -5.283835796993e-05),
    (2, -3, -0.00047184321073267),
    (2, 0, -0.00030001780793026),
    (2, 1, 4.7661393906987e-05),
    (2, 3, -4.4141845330846e-06),
    (2, 17, -7.2694996297594e-16),
    (3, -4, -3.1679644845054e-05),
    (3, 0, -2.8270797985312e-06),
    (3, 6, -8.5205128120103e-10),
    (4, -5, -2.2425281908e-06),
    (4, -2, -6.5171222895601e-07),
    (4, 10, -1.4341729937924e-13),
    (5, -8, -4.0516996860117e-07),
    (8, -11, -1.2734301741641e-09),
    (8, -6, -1.7424871230634e-10),
    (21, -29, -6.8762131295531e-19),
    (23, -31, 1.4478307828521e-20),
    (29, -38, 2.6335781662795e-23),
    (30, -39, -1.1947622640071e-23),
    (31, -40, 1.8228094581404e-24),
    (32, -41, -9.3537087292458e-26),
];

/// Volume of a kilogram, m3/kg: slope by pressure of the Gibbs energy of region 1 (IAPWS R7-97(2012) equation 7, Table 3).
pub(super) fn volume_m3_per_kg(state: WaterState) -> f64 {
    const GAS_J_PER_KG_K: f64 = 461.526;
    let pi = state.pressure_pa / 16.53e6;
    let tau = 1386.0 / state.kelvin;
    let slope: f64 = REGION_1
        .iter()
        .map(|&(i, j, n)| {
            -n * f64::from(i) * math::powi(7.1 - pi, i - 1) * math::powi(tau - 1.222, j)
        })
        .sum();
    pi * slope * GAS_J_PER_KG_K * state.kelvin / state.pressure_pa
}

/// Speed of sound in water at the pressure of the air, m/s, 0 to 95 C.
///
/// Source: W. Marczak, J. Acoust. Soc. Am. 102 (1997) 2776; coefficients from memory, within 0.04 m/s of IAPWS-95 at 0 to 60 C
/// (the speed of sound of IAPWS R7-97 is up to 0.2 % high there). Ten bar more raise it by 0.1 %, which is left out.
pub(super) fn sound_m_per_s(celsius: f64) -> f64 {
    const COEFFICIENTS: [f64; 6] = [
        1_402.385,
        5.038_813,
        -5.799_136e-2,
        3.287_156e-4,
        -1.398_845e-6,
        2.787_860e-9,
    ];
    COEFFICIENTS
        .iter()
        .rev()
        .fold(0.0, |sum, c| sum * celsius + c)
}

/// Vapour pressure, Pa: the quadratic of region 4 (IAPWS R7-97(2012) equation 30, Table 34), 273.15 to 647 K.
pub(super) fn vapour_pressure_pa(kelvin: f64) -> f64 {
    const N: [f64; 10] = [
        0.116_705_214_527_67e4,
        -0.724_213_167_032_06e6,
        -0.170_738_469_400_92e2,
        0.120_208_247_024_70e5,
        -0.323_255_503_223_33e7,
        0.149_151_086_135_30e2,
        -0.482_326_573_615_91e4,
        0.405_113_405_420_57e6,
        -0.238_555_575_678_49,
        0.650_175_348_447_98e3,
    ];
    let [n1, n2, n3, n4, n5, n6, n7, n8, n9, n10] = N;
    let v = kelvin + n9 / (kelvin - n10);
    let a = v * v + n1 * v + n2;
    let b = n3 * v * v + n4 * v + n5;
    let c = n6 * v * v + n7 * v + n8;
    1e6 * math::powi(2.0 * c / (-b + (b * b - 4.0 * a * c).sqrt()), 4)
}

/// IAPWS R12-08 Table 2: exponents i and j and coefficient H of the part by density.
const VISCOSITY: &[(i32, i32, f64)] = &[
    (0, 0, 0.520094),
    (1, 0, 0.0850895),
    (2, 0, -1.08374),
    (3, 0, -0.289555),
    (0, 1, 0.222531),
    (1, 1, 0.999115),
    (2, 1, 1.88797),
    (3, 1, 1.26613),
    (5, 1, 0.120573),
    (0, 2, -0.281378),
    (1, 2, -0.906851),
    (2, 2, -0.772479),
    (3, 2, -0.489837),
    (4, 2, -0.25704),
    (0, 3, 0.161913),
    (1, 3, 0.257399),
    (0, 4, -0.0325372),
    (3, 4, 0.0698452),
    (4, 5, 0.00872102),
    (3, 6, -0.00435673),
    (5, 6, -0.000593264),
];

/// Dynamic viscosity, Pa s, from temperature and density (IAPWS R12-08 equations 10 to 12, without the critical part).
pub fn viscosity_pa_s(kelvin: f64, density_kg_per_m3: f64) -> f64 {
    let t = kelvin / 647.096;
    let d = density_kg_per_m3 / 322.0;
    let dilute = 100.0 * t.sqrt()
        / (1.677_52 + 2.204_62 / t + 0.636_656_4 / math::powi(t, 2) - 0.241_605 / math::powi(t, 3));
    let dense: f64 = VISCOSITY
        .iter()
        .map(|&(i, j, h)| h * math::powi(1.0 / t - 1.0, i) * math::powi(d - 1.0, j))
        .sum();
    1e-6 * dilute * math::exp(d * dense)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_releases_own_points_come_out() {
        let v = volume_m3_per_kg(WaterState {
            kelvin: 300.0,
            pressure_pa: 3e6,
        });
        assert!((v - 0.100_215_168e-2).abs() < 1e-11);
        assert!((vapour_pressure_pa(300.0) - 3_536.589_41).abs() < 1e-4);
        assert!((viscosity_pa_s(298.15, 998.0) - 889.735_100e-6).abs() < 1e-12);
    }
}
