//! Slips of a unit or a digit that only sense can see. What is usual is wide on purpose: common practice, no source, but where one is named.

use crate::finding::{Finding, Kind, Severity, Slip};
use crate::line::{Assumed, Discharge, Line, Reach};
use crate::pipe::Material;
use crate::unit::physics::water;

/// Largest roughness over bore of the friction chart: Moody (1944) ends there.
const ROUGHEST: f64 = 0.05;

/// No nozzle sits farther above or below the last surveyed point, m.
const NOZZLE_M: f64 = 5.0;

/// No small plant makes more electricity of the water's power.
const MOST_TO_WIRE: f64 = 0.85;

/// Everything that is asked about.
pub fn asked(line: &Line) -> Vec<Finding> {
    let mut found: Vec<Finding> = line.reaches.iter().flat_map(of_pipe).collect();
    found.extend(of_outlet(line));
    found.extend(relief(line));
    found.extend(level(line));
    found
}

/// Short-term modulus of the wall, Pa: of any grade, any temperature of water.
fn usual_modulus_pa(material: Material) -> (f64, f64) {
    match material {
        Material::Pe => (0.2e9, 2.0e9),
        Material::Pvc => (1.0e9, 6.0e9),
        Material::Steel => (100e9, 300e9),
    }
}

/// Speed of a pressure wave in such pipe full of water, m/s: thin walls and thick ones.
fn usual_wave_m_per_s(material: Material) -> (f64, f64) {
    match material {
        Material::Pe => (100.0, 700.0),
        Material::Pvc => (150.0, 900.0),
        Material::Steel => (500.0, 1_500.0),
    }
}

fn off(value: f64, (least, most): (f64, f64)) -> bool {
    value < least || value > most
}

fn of_pipe(reach: &Reach) -> Vec<Finding> {
    let pipe = &reach.pipe;
    let at = |severity, slip| Finding::new(severity, Kind::Slip(slip), reach.from_m, reach.to_m);
    let mut found = Vec::new();
    // Waves that are reckoned too slow are reckoned too weak: whoever shuts a valve by them may burst the pipe.
    let usual_pa = usual_modulus_pa(pipe.material);
    if let Some(modulus_pa) = pipe.modulus_pa.filter(|m| off(*m, usual_pa)) {
        let slip = Slip::Modulus {
            modulus_pa,
            usual_pa,
        };
        found.push(at(Severity::Fix, slip));
    }
    let usual_m_per_s = usual_wave_m_per_s(pipe.material);
    if let Some(wave_speed_m_per_s) = pipe.wave_speed_m_per_s.filter(|a| off(*a, usual_m_per_s)) {
        let slip = Slip::WaveSpeed {
            wave_speed_m_per_s,
            usual_m_per_s,
        };
        found.push(at(Severity::Fix, slip));
    }
    if pipe.roughness_m > ROUGHEST * pipe.inner_diameter_m {
        let slip = Slip::Roughness {
            roughness_m: pipe.roughness_m,
            bore_m: pipe.inner_diameter_m,
        };
        found.push(at(Severity::Watch, slip));
    }
    found
}

fn of_outlet(line: &Line) -> Vec<Finding> {
    let Some(outlet) = &line.outlet else {
        return Vec::new();
    };
    let end = line.length_m();
    let at = |severity, slip| Finding::new(severity, Kind::Slip(slip), end, end);
    let mut found = Vec::new();
    let bore_m = line
        .reaches
        .last()
        .map_or(f64::INFINITY, |r| r.pipe.inner_diameter_m);
    if let Discharge::Jets(jets) = &outlet.how {
        let widest = jets.iter().map(|j| j.nozzle_diameter_m).fold(0.0, f64::max);
        if widest >= bore_m {
            let slip = Slip::Jet {
                nozzle_diameter_m: widest,
                bore_m,
            };
            found.push(at(Severity::Fix, slip));
        }
    }
    if outlet.nozzle_height_m.abs() > NOZZLE_M {
        let slip = Slip::NozzleHeight {
            nozzle_height_m: outlet.nozzle_height_m,
        };
        found.push(at(Severity::Fix, slip));
    }
    if let Some(water_to_wire) = outlet.water_to_wire.filter(|e| *e > MOST_TO_WIRE) {
        found.push(at(Severity::Watch, Slip::WaterToWire { water_to_wire }));
    }
    found
}

fn relief(line: &Line) -> impl Iterator<Item = Finding> {
    let weight = water(line.water.usual_c).density_kg_per_m3 * line.situation.gravity_m_per_s2;
    line.stands.iter().filter_map(move |mark| {
        let opens_at_pa = mark.opens_at_pa?;
        let standing_pa = weight * (line.intake.level_m - line.elevation_m(mark.station_m));
        (opens_at_pa < standing_pa).then(|| {
            let slip = Slip::Relief {
                name: mark.name.clone(),
                opens_at_pa,
                standing_pa,
            };
            Finding::new(
                Severity::Fix,
                Kind::Slip(slip),
                mark.station_m,
                mark.station_m,
            )
        })
    })
}

fn level(line: &Line) -> Option<Finding> {
    if line.assumed.contains(&Assumed::WaterLevel) {
        return None;
    }
    let crown_m = 0.5 * line.reaches.first()?.pipe.inner_diameter_m;
    let water_level_m = line.intake.level_m - line.elevation_m(0.0);
    (water_level_m < crown_m).then(|| {
        let slip = Slip::Level {
            water_level_m,
            crown_m,
        };
        Finding::new(Severity::Fix, Kind::Slip(slip), 0.0, 0.0)
    })
}
