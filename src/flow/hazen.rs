//! Hazen and Williams: an older law without viscosity, kept as a comparison for those who know their pipe by its C. Nothing is decided by it.

use super::checks::{ByHazen, HazenForm};
use super::{LossSource, Run};
use crate::line::{Environment, Reaches};
use crate::numeric::math;
use crate::pipe::Material;
use crate::unit::exact::{FOOT_M, US_GALLON_M3};

/// A flow in a bore.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InBore {
    /// Flow, m3/s.
    pub flow_m3_per_s: f64,
    /// Bore, m.
    pub bore_m: f64,
    /// Coefficient C: 150 for smooth plastic by the tables' practice (140 to be careful), 140 for new steel, 100 to 120 for old.
    pub c: f64,
}

impl InBore {
    /// Head lost a metre of pipe.
    ///
    /// Valid for water near 15 C, bores over 50 mm and some 0.5 to 3 m/s; outside it drifts from Colebrook and White by 10 % and more.
    pub fn slope(&self, form: HazenForm) -> f64 {
        match form {
            HazenForm::Metric => {
                10.67 * math::powf(self.flow_m3_per_s / self.c, 1.852)
                    / math::powf(self.bore_m, 4.8704)
            }
            HazenForm::UsTables => {
                let gpm = self.flow_m3_per_s * 60.0 / US_GALLON_M3;
                let inches = self.bore_m / FOOT_M * 12.0;
                0.2083 * math::powf(100.0 / self.c, 1.852) * math::powf(gpm, 1.852)
                    / math::powf(inches, 4.8655)
                    / 100.0
            }
            HazenForm::Definition => {
                let bore_ft = self.bore_m / FOOT_M;
                let speed = self.flow_m3_per_s
                    / math::powi(FOOT_M, 3)
                    / (std::f64::consts::FRAC_PI_4 * bore_ft * bore_ft);
                math::powf(
                    speed / (1.318 * self.c * math::powf(bore_ft / 4.0, 0.63)),
                    1.0 / 0.54,
                )
            }
        }
    }
}

/// The C that a material is usually reckoned with, new.
pub fn usual_c(material: Material) -> f64 {
    match material {
        Material::Pe | Material::Pvc => 150.0,
        Material::Steel => 140.0,
    }
}

/// Friction of a run by Hazen and Williams beside the computed one, in the metric form. `None` where nothing flows.
pub fn beside(reaches: &Reaches, environment: &Environment, run: &Run) -> Option<ByHazen> {
    if !run.flows() {
        return None;
    }
    let bore_m = |reach: usize| {
        reaches
            .get(reach)
            .map_or(f64::NAN, |r| r.pipe.inner_diameter_m)
    };
    let beyond = |bore_m: f64, speed: f64| bore_m < 0.05 || !(0.5..=3.0).contains(&speed);
    Some(ByHazen {
        friction_m: friction_m(reaches, run),
        form: HazenForm::Metric,
        c: reaches.iter().map(|r| usual_c(r.pipe.material)).collect(),
        outside: !(10.0..=20.0).contains(&environment.water.usual_c)
            || run
                .stretches
                .iter()
                .any(|s| beyond(bore_m(s.reach), s.velocity_m_per_s)),
    })
}

/// Friction of a run by Hazen and Williams beside the computed one, m: over the same full lengths, in the metric form.
pub fn friction_m(reaches: &Reaches, run: &Run) -> f64 {
    run.stretches
        .iter()
        .filter(|s| s.flow_m3_per_s > 0.0)
        .map(|s| {
            let Some(reach) = reaches.get(s.reach) else {
                return 0.0;
            };
            let dry: f64 = run
                .losses
                .items
                .iter()
                .filter(|l| l.by == LossSource::Fall)
                .map(|l| (l.to_m.min(s.to_m) - l.from_m.max(s.from_m)).max(0.0))
                .sum();
            let flow = InBore {
                flow_m3_per_s: s.flow_m3_per_s,
                bore_m: reach.pipe.inner_diameter_m,
                c: usual_c(reach.pipe.material),
            };
            flow.slope(HazenForm::Metric) * (s.to_m - s.from_m - dry)
        })
        .sum()
}
