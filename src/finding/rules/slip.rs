//! Slips of a unit or a digit that only sense can see. What is usual is wide on purpose: common practice, no source, but where one is named.

use super::{Found, Severity, Study, rows};
use crate::line::{Assumed, Discharge, Line, Reach};
use crate::pipe::Material;

rows! { of subject |of| match of {
        Slip::Relief { name, .. } => name,
        _ => "",
    };
    /// A figure of the user's that reads and is none that such a thing has: a unit or a digit may have slipped. It is counted as given, and asked about.
    #[serde(untagged)]
    pub enum Slip {
        /// Modulus of a pipe's wall, far from its material's.
        Modulus {
            /// As given, Pa.
            modulus_pa: f64,
            /// The least that is usual, Pa.
            usual_from_pa: f64,
            /// The most that is usual, Pa.
            usual_to_pa: f64,
        },
        /// Wave speed, far from what such pipe has.
        WaveSpeed {
            /// As given, m/s.
            wave_speed_m_per_s: f64,
            /// The least that is usual, m/s.
            usual_from_m_per_s: f64,
            /// The most that is usual, m/s.
            usual_to_m_per_s: f64,
        },
        /// Roughness beyond the chart of friction.
        Roughness {
            /// As given, m.
            roughness_m: f64,
            /// Bore of the pipe, m.
            bore_m: f64,
        },
        /// A jet as wide as the pipe before it, or wider.
        Jet {
            /// The hole, m.
            nozzle_diameter_m: f64,
            /// Bore of the last pipe, m.
            bore_m: f64,
        },
        /// Nozzles far above or below the pipe's last point.
        NozzleHeight {
            /// Above it, m.
            nozzle_height_m: f64,
        },
        /// More of the water's power than any small plant makes.
        WaterToWire {
            /// As given, 0 to 1.
            water_to_wire: f64,
        },
        /// A relief valve that opens below the pressure that stands on it: it would never shut.
        Relief {
            /// What it is called.
            name: String,
            /// As given, Pa.
            opens_at_pa: f64,
            /// Pressure that stands there, Pa.
            standing_pa: f64,
        },
        /// Still water below the crown of the pipe's mouth: the pipe draws air.
        Level {
            /// Above the pipe's centre, m.
            water_level_m: f64,
            /// Crown of the bore above its centre, m.
            crown_m: f64,
        },
    }
    Slip::WaveSpeed { .. } => "slip-wave-speed", "is this a slip?", "surge", People;
    Slip::Modulus { .. } => "slip-modulus", "is this a slip?", "surge", People;
    Slip::Relief { .. } => "slip-relief", "is this a slip?", "surge", Plant;
    Slip::Level { .. } => "slip-level", "is this a slip?", "intake", Plant;
    Slip::NozzleHeight { .. } => "slip-nozzle-height", "is this a slip?", "running", Power;
    Slip::Jet { .. } => "slip-jet", "is this a slip?", "running", Power;
    Slip::Roughness { .. } => "slip-roughness", "is this a slip?", "friction", Power;
    Slip::WaterToWire { .. } => "slip-water-to-wire", "is this a slip?", "running", Purse;
}

/// Largest roughness over bore of the friction chart: Moody (1944) ends there.
const ROUGHEST: f64 = 0.05;

/// No nozzle sits farther above or below the last surveyed point, m.
const NOZZLE_M: f64 = 5.0;

/// No small plant makes more electricity of the water's power.
const MOST_TO_WIRE: f64 = 0.85;

/// Everything that is asked about.
pub(in crate::finding) fn found(study: &Study) -> Vec<Found<Slip>> {
    let line = &study.line;
    let mut found: Vec<Found<Slip>> = line.reaches.iter().flat_map(of_pipe).collect();
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

fn of_pipe(reach: &Reach) -> Vec<Found<Slip>> {
    let pipe = &reach.pipe;
    let at = |severity, slip| Found::new(severity, slip, reach.from_m, reach.to_m);
    let mut found = Vec::new();
    // Waves that are reckoned too slow are reckoned too weak: whoever shuts a valve by them may burst the pipe.
    let usual_pa = usual_modulus_pa(pipe.material);
    if let Some(modulus_pa) = pipe.modulus_pa.filter(|m| off(*m, usual_pa)) {
        let slip = Slip::Modulus {
            modulus_pa,
            usual_from_pa: usual_pa.0,
            usual_to_pa: usual_pa.1,
        };
        found.push(at(Severity::Fix, slip));
    }
    let usual_m_per_s = usual_wave_m_per_s(pipe.material);
    if let Some(wave_speed_m_per_s) = pipe.wave_speed_m_per_s.filter(|a| off(*a, usual_m_per_s)) {
        let slip = Slip::WaveSpeed {
            wave_speed_m_per_s,
            usual_from_m_per_s: usual_m_per_s.0,
            usual_to_m_per_s: usual_m_per_s.1,
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

fn of_outlet(line: &Line) -> Vec<Found<Slip>> {
    let Some(outlet) = &line.outlet else {
        return Vec::new();
    };
    let end = line.geometry.length_m();
    let at = |severity, slip| Found::new(severity, slip, end, end);
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

fn relief(line: &Line) -> impl Iterator<Item = Found<Slip>> {
    let weight = line.environment.water_n_per_m3();
    line.stands.iter().filter_map(move |mark| {
        let opens_at_pa = mark.opens_at_pa?;
        let standing_pa =
            weight * (line.intake.level_m - line.geometry.elevation_m(mark.station_m));
        (opens_at_pa < standing_pa).then(|| {
            let slip = Slip::Relief {
                name: mark.name.clone(),
                opens_at_pa,
                standing_pa,
            };
            Found::new(Severity::Fix, slip, mark.station_m, mark.station_m)
        })
    })
}

fn level(line: &Line) -> Option<Found<Slip>> {
    if line.assumed.contains(&Assumed::WaterLevel) {
        return None;
    }
    let crown_m = 0.5 * line.reaches.first()?.pipe.inner_diameter_m;
    let water_level_m = line.intake.level_m - line.geometry.elevation_m(0.0);
    (water_level_m < crown_m).then(|| {
        let slip = Slip::Level {
            water_level_m,
            crown_m,
        };
        Found::new(Severity::Fix, slip, 0.0, 0.0)
    })
}
