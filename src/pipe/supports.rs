//! How far apart a pipe may be held up.

use super::modulus::FIFTY_YEARS_H;
use super::{How, Known, Lasting, Material, Pipe, lasting_modulus_pa};
use crate::numeric::math;

const SPACING: &str = include_str!("tables/spacing.csv");

/// Greatest distance between supports of a level pipe full of water, m, from printed tables; `None` where no table that was read holds this pipe.
///
/// Polyethylene by ISO 4427 size and series at 20 C, PVC by schedule and temperature, steel of standard wall. The row at or above the wall's temperature is taken;
/// hotter than the table, `None`: the pipe then wants a continuous bed. Warm polyethylene is not in the tables at all.
pub fn support_spacing_m(pipe: &Pipe, wall_c: f64) -> Option<Known> {
    let material = match pipe.material {
        Material::Pe => "pe",
        Material::Pvc => "pvc",
        Material::Steel => "steel",
    };
    let mut best: Option<(f64, Known)> = None;
    let mut reader = csv::Reader::from_reader(SPACING.as_bytes());
    for record in reader.records().flatten() {
        let cell = |i: usize| record.get(i).unwrap_or("");
        let series_fits = match pipe.material {
            Material::Steel => pipe.series == "Schedule 40",
            _ => cell(2) == pipe.series,
        };
        if cell(0) != material || cell(1) != pipe.size_label || !series_fits {
            continue;
        }
        let (Ok(temp_c), Ok(span_m)) = (cell(3).parse::<f64>(), cell(4).parse::<f64>()) else {
            continue;
        };
        let too_warm = pipe.material != Material::Steel && wall_c > temp_c + 0.5;
        if too_warm || best.is_some_and(|(t, _)| t <= temp_c) {
            continue;
        }
        let known = match pipe.material {
            Material::Steel => Known::new(span_m, How::Read, "Piping Handbook Table B5.1"),
            Material::Pe => Known::new(
                span_m,
                How::Secondary,
                "support tables of PE100 pipe full of water, second hand",
            ),
            Material::Pvc => Known::new(
                span_m,
                How::Secondary,
                "support tables of ASTM D1785 pipe full of water, second hand",
            ),
        };
        best = Some((temp_c, known));
    }
    best.map(|(_, known)| known)
}

/// A pipe between two supports.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SupportSpan {
    /// Distance between the supports, m.
    pub length_m: f64,
    /// Weight on it, N/m: pipe and water.
    pub weight_n_per_m: f64,
    /// Modulus for as long as it hangs there, Pa.
    pub modulus_pa: f64,
    /// Outside diameter, m.
    pub outer_diameter_m: f64,
    /// Bore, m.
    pub inner_diameter_m: f64,
}

impl SupportSpan {
    /// A level pipe full of water that hangs for fifty years.
    pub fn of(pipe: &Pipe, length_m: f64, water_kg_per_m3: f64, wall_c: f64) -> Self {
        const G: f64 = 9.806_65;
        let load = Lasting {
            hours: FIFTY_YEARS_H,
            wall_c,
        };
        Self {
            length_m,
            weight_n_per_m: G * (pipe.mass_kg_per_m + pipe.bore_area_m2() * water_kg_per_m3),
            modulus_pa: lasting_modulus_pa(pipe, load).value,
            outer_diameter_m: pipe.outer_diameter_m,
            inner_diameter_m: pipe.inner_diameter_m,
        }
    }

    /// Second moment of area, m4.
    pub fn second_moment_m4(&self) -> f64 {
        std::f64::consts::PI / 64.0
            * (math::powi(self.outer_diameter_m, 4) - math::powi(self.inner_diameter_m, 4))
    }

    /// Sag in the middle of a simple span, m: 5 w L^4 / (384 E I).
    ///
    /// Source: beam theory (Gere and Timoshenko, Mechanics of Materials). Small sags, free ends; a run over many supports sags less.
    pub fn sag_m(&self) -> f64 {
        5.0 * self.weight_n_per_m * math::powi(self.length_m, 4)
            / (384.0 * self.modulus_pa * self.second_moment_m4())
    }

    /// Bending stress over a support of a run over many, Pa: w L^2 / (8 Z).
    pub fn bending_pa(&self) -> f64 {
        let section = self.second_moment_m4() / (self.outer_diameter_m / 2.0);
        self.weight_n_per_m * math::powi(self.length_m, 2) / (8.0 * section)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pipe::find;

    #[test]
    fn the_table_is_used_at_the_next_warmer_row() {
        let pvc = find("PVC schedule 40 3 in").unwrap();
        let at = |c| support_spacing_m(&pvc, c).map(|k| k.value);
        assert!((at(26.7).unwrap() - 2.13).abs() < 1e-9);
        assert!(at(30.0).unwrap() <= at(20.0).unwrap());
        assert!(at(70.0).is_none());
        assert!(support_spacing_m(&find("PE100 SDR 11 110").unwrap(), 15.0).is_some());
        assert!(support_spacing_m(&find("PE100 SDR 11 110").unwrap(), 40.0).is_none());
    }
}
