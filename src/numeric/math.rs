//! The one road to sines, logarithms and powers.
//!
//! The functions of the standard library call those of the platform, which differ by a last digit from one system, processor or browser to the next. These are computed by the same few lines everywhere, so that a result has the same bytes everywhere. Clippy holds the others out (`disallowed-methods`).
//!
//! Angles are radians. Errors: below 1 unit in the last place, `powi` below `|n|` of them. Source: the crate `libm`, a translation of the public-domain functions of FreeBSD and of CORE-MATH; tested against the platform's beside this.
//!
//! A square root, a rounding and a remainder are exact by IEEE 754 on every system: they stay the standard library's.

pub use libm::{
    acos, asin, atan, atan2, cbrt, cos, cosh, exp, exp2, expm1 as exp_m1, hypot,
    lgamma as ln_gamma, log as ln, log1p as ln_1p, log2, log10, pow as powf, sin, sinh, tan, tanh,
};

/// Sine and cosine.
pub fn sin_cos(x: f64) -> (f64, f64) {
    libm::sincos(x)
}

/// A whole power by repeated multiplication: the same order of factors whatever the optimiser does; `powi(x, 0)` is 1, a negative power the inverse of the positive one.
#[inline]
pub fn powi(x: f64, n: i32) -> f64 {
    let (mut out, mut square, mut left) = (1.0, x, n.unsigned_abs());
    loop {
        if left & 1 == 1 {
            out *= square;
        }
        left >>= 1;
        if left == 0 {
            break;
        }
        square *= square;
    }
    if n < 0 { 1.0 / out } else { out }
}

/// Distribution function of the standard normal: the share of it below `z`.
pub fn normal_cdf(z: f64) -> f64 {
    0.5 * libm::erfc(-z * std::f64::consts::FRAC_1_SQRT_2)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Units in the last place between two figures.
    fn apart(a: f64, b: f64) -> f64 {
        if a == b || (a.is_nan() && b.is_nan()) {
            return 0.0;
        }
        (a - b).abs() / (b.abs() * f64::EPSILON).max(f64::MIN_POSITIVE)
    }

    proptest! {
        #[test]
        fn as_the_platform_but_for_the_last_digit(x in -20.0..20.0f64, y in 1e-6..1e6f64, p in -4.0..4.0f64, n in -9..10i32) {
            for (ours, theirs) in [
                (sin(x), x.sin()), (cos(x), x.cos()), (atan(x), x.atan()), (exp(x), x.exp()), (exp2(x), x.exp2()),
                (sinh(x), x.sinh()), (cosh(x), x.cosh()), (tanh(x), x.tanh()), (exp_m1(x), x.exp_m1()), (cbrt(x), x.cbrt()),
                (tan(x), x.tan()), (asin(x / 20.0), (x / 20.0).asin()), (acos(x / 20.0), (x / 20.0).acos()),
                (atan2(x, y), x.atan2(y)), (hypot(x, y), x.hypot(y)), (powf(y, p), y.powf(p)),
                (ln(y), y.ln()), (ln_1p(y), y.ln_1p()), (log2(y), y.log2()), (log10(y), y.log10()),
            ] {
                prop_assert!(apart(ours, theirs) <= 2.0, "{ours} {theirs}");
            }
            let both = sin_cos(x);
            prop_assert_eq!(both, (sin(x), cos(x)));
            prop_assert!(apart(powi(x, n), x.powf(f64::from(n))) <= f64::from(n.abs()) + 2.0);
        }
    }

    /// Bits that no system may answer otherwise: what every other file stands on.
    #[test]
    fn the_same_bits_everywhere() {
        let got = [
            sin(0.7),
            cos(0.7),
            tan(0.7),
            asin(0.7),
            acos(0.7),
            atan(0.7),
            atan2(0.7, -1.3),
            sinh(0.7),
            cosh(0.7),
            tanh(0.7),
            exp(0.7),
            exp2(0.7),
            exp_m1(0.7),
            ln(0.7),
            ln_1p(0.7),
            log2(0.7),
            log10(0.7),
            powf(0.7, 1.852),
            cbrt(0.7),
            hypot(0.7, 1.3),
            powi(0.7, 5),
            powi(0.7, -3),
        ]
        .map(f64::to_bits);
        assert_eq!(got, BITS, "{got:#x?}");
    }

    const BITS: [u64; 22] = [
        0x3fe4_9d6e_6946_19b8,
        0x3fe8_7996_529f_9d93,
        0x3fea_f406_c2fc_78ae,
        0x3fe8_d00e_692a_fd95,
        0x3fe9_73e8_3f5d_5c9b,
        0x3fe3_8b11_2d7b_d4ad,
        0x4005_2e63_cbf6_f7b3,
        0x3fe8_4651_53d5_bdbc,
        0x3ff4_152c_1862_342f,
        0x3fe3_56fb_17af_2e90,
        0x4000_1c2a_6126_8987,
        0x3ff9_fdf8_bcce_533d,
        0x3ff0_3854_c24d_130d,
        0xbfd6_d3c3_24e1_3f50,
        0x3fe0_fae8_1914_a991,
        0xbfe0_7762_2896_7d13,
        0xbfc3_d3d3_d21c_cf04,
        0x3fe0_87aa_d30e_0b75,
        0x3fec_69b5_a72f_1a99,
        0x3ff7_9fab_e917_e2f5,
        0x3fc5_8351_58b8_27f8,
        0x4007_52d8_7172_3144,
    ];

    /// M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions, 1964, table 26.1.
    #[test]
    fn the_normal_law_of_the_tables() {
        for (z, p) in [
            (0.0, 0.5),
            (1.0, 0.841_344_746_068_5),
            (1.645, 0.950_015_094_4),
            (-2.0, 0.022_750_131_948_2),
        ] {
            assert!((normal_cdf(z) - p).abs() < 1e-9);
        }
    }

    #[test]
    fn whole_powers_at_the_ends() {
        assert_eq!(powi(0.0, 0), 1.0);
        assert_eq!(powi(-2.0, 3), -8.0);
        assert_eq!(powi(2.0, -2), 0.25);
        assert_eq!(powi(0.0, -1), f64::INFINITY);
        assert_eq!(powi(1.0, i32::MIN), 1.0);
        assert!(powi(f64::NAN, 2).is_nan());
    }
}
