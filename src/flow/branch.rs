//! Tees and wyes where flow parts, and screens and racks by their shape: for fittings whose flows or openings are known.

use super::local::between;
use crate::numeric::math;

/// A branch: bores, flows and the angle between.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Branch {
    /// Bore of the run, m.
    pub run_bore_m: f64,
    /// Bore of the branch, m.
    pub branch_bore_m: f64,
    /// Flow that goes on in the run, m3/s.
    pub run_flow_m3_per_s: f64,
    /// Flow in the branch, m3/s.
    pub branch_flow_m3_per_s: f64,
    /// Angle between branch and run, rad; a right angle for a tee.
    pub angle_rad: f64,
}

/// Loss coefficients of a branch, both on the velocity of the joint flow in the run's bore.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BranchLoss {
    /// Between the joint leg and the branch.
    pub branch: f64,
    /// Between the joint leg and the run; may be a small gain.
    pub run: f64,
}

impl Branch {
    fn ratios(&self) -> (f64, f64) {
        let area = math::powi(self.branch_bore_m / self.run_bore_m, 2);
        let both = self.run_flow_m3_per_s + self.branch_flow_m3_per_s;
        let share = if both > 0.0 {
            self.branch_flow_m3_per_s / both
        } else {
            0.0
        };
        (area, share)
    }

    /// Where the flow parts.
    ///
    /// Source: Crane TP-410 (2009) chapter 2, diverging tees and wyes; 30 to 90 degrees.
    pub fn parting(&self) -> BranchLoss {
        let (area, share) = self.ratios();
        let angle = self.angle_rad.to_degrees();
        let through = share / area;
        let (h, j) = if angle < 60.0 - 1e-9 || area.sqrt() <= 2.0 / 3.0 {
            (1.0, 2.0)
        } else {
            (0.3, 0.0)
        };
        let g = match (angle < 75.0, area) {
            (true, a) if a <= 0.35 && share <= 0.4 => 1.1 - 0.7 * share,
            (true, a) if a <= 0.35 => 0.85,
            (true, _) if share <= 0.6 => 1.0 - 0.6 * share,
            (true, _) => 0.6,
            (false, a) if a <= 2.0 / 3.0 => 1.0,
            (false, _) => 1.0 + 0.3 * share * share,
        };
        let m = if area <= 0.4 {
            0.4
        } else if share <= 0.5 {
            2.0 * (2.0 * share - 1.0)
        } else {
            0.3 * (2.0 * share - 1.0)
        };
        BranchLoss {
            branch: g * (1.0 + h * through * through - j * through * math::cos(self.angle_rad)),
            run: m * share * share,
        }
    }
}

/// What a screen is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ScreenOf {
    /// Punched plate, square edges.
    Plate,
    /// Mesh of round wire.
    Mesh,
}

/// Loss coefficient of a clear screen on the velocity before it, by its open share.
///
/// Source: values of published handbook charts (Blevins, Applied Fluid Dynamics Handbook, 1984) as held by the general-purpose library `fluids`;
/// 0.3 to 0.9 open, straight between.
pub fn screen(of: ScreenOf, open_share: f64) -> f64 {
    match of {
        ScreenOf::Plate => between(
            &[
                (0.3, 17.0),
                (0.35, 11.0),
                (0.4, 7.7),
                (0.45, 5.5),
                (0.5, 3.8),
                (0.55, 2.8),
                (0.6, 2.0),
                (0.65, 1.5),
                (0.7, 1.1),
                (0.75, 0.78),
                (0.8, 0.53),
                (0.85, 0.35),
                (0.9, 0.08),
            ],
            open_share,
        ),
        ScreenOf::Mesh => {
            let wire = (1.0 - open_share).clamp(0.0, 1.0);
            (0.67 + 1.3 * wire) * wire
        }
    }
}

/// A rack of bars before an intake.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rack {
    /// Shape of the bars: 2.42 rectangular, 1.79 round (from memory).
    pub shape: f64,
    /// Thickness of a bar, m.
    pub bar_m: f64,
    /// Clear width between bars, m.
    pub gap_m: f64,
    /// Velocity before the rack, m/s.
    pub velocity_m_per_s: f64,
    /// How steeply it stands, rad; a right angle is upright.
    pub tilt_rad: f64,
}

impl Rack {
    /// Head lost, m: shape (s/b)^(4/3) sin(tilt) v^2/2g, for a clean rack square to the flow.
    ///
    /// Source: O. Kirschmer, Mitteilungen des Hydraulischen Instituts Muenchen 1 (1926); his shapes from memory.
    pub fn head_m(&self, gravity_m_per_s2: f64) -> f64 {
        self.shape
            * math::powf(self.bar_m / self.gap_m, 4.0 / 3.0)
            * math::sin(self.tilt_rad)
            * math::powi(self.velocity_m_per_s, 2)
            / (2.0 * gravity_m_per_s2)
    }
}
