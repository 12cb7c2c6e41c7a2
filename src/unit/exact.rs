//! Units that are exact by definition: the international foot and pound, standard gravity. They stand here once.

use super::physics::STANDARD_GRAVITY_M_PER_S2;

/// International foot, m.
pub const FOOT_M: f64 = 0.3048;
/// Inch, m.
pub const INCH_M: f64 = 0.0254;
/// Pound-force, N: the avoirdupois pound times standard gravity.
pub const POUND_FORCE_N: f64 = 0.453_592_37 * STANDARD_GRAVITY_M_PER_S2;
/// Pound-force a square inch, Pa.
pub const PSI_PA: f64 = POUND_FORCE_N / (INCH_M * INCH_M);
/// Pound-force a square foot, Pa.
pub const PSF_PA: f64 = POUND_FORCE_N / (FOOT_M * FOOT_M);
/// Conventional metre of water, Pa: 1000 kg/m3 at standard gravity.
pub const METRE_HEAD_PA: f64 = 1000.0 * STANDARD_GRAVITY_M_PER_S2;
/// US gallon, m3: 231 cubic inches.
pub const US_GALLON_M3: f64 = 231.0 * INCH_M * INCH_M * INCH_M;
/// Imperial gallon, m3.
pub const IMPERIAL_GALLON_M3: f64 = 4.546_09e-3;
