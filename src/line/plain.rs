use super::*;
use crate::heights::{Backed, Heights};
use crate::pipe::{Condition, Entrance, IntakeKind, Joint, Pipe};
use crate::route::Reckoning;

impl Line {
    /// A line along given points with nothing on it: for library users and for tests of the rooms below.
    ///
    /// `points` are stations along the pipe and elevations of its centre, m, stations rising from 0. The heights are taken as certain (one draw).
    /// Gravity is standard, the air's pressure that at the sea, the water 10 C, its level at the pipe's mouth, the pipe laid and new.
    pub fn plain(points: &[(f64, f64)], pipe: &Pipe) -> Self {
        let station_m: Vec<f64> = points.iter().map(|p| p.0).collect();
        let mean_m: Vec<f64> = points.iter().map(|p| p.1).collect();
        let length_m = station_m.last().copied().unwrap_or(0.0);
        let level_m = mean_m.first().copied().unwrap_or(0.0);
        Self {
            heading: Heading::default(),
            geometry: Geometry {
                of: crate::site::SurveyedLine::PipeCentre,
                horizontal_m: level_distances(&station_m, &mean_m),
                plan: vec![None; points.len()],
                ground_m: vec![None; points.len()],
                heights: Heights {
                    sd_m: vec![0.0; points.len()],
                    draws: vec![mean_m.clone()],
                    station_m,
                    mean_m,
                    drop_sd_m: 0.0,
                    walks: 0,
                    backed: Backed::default(),
                },
                pegs: Reckoning::default(),
                bends: Vec::new(),
                length_sd_m: 0.0,
                station_sd_m: 0.0,
            },
            reaches: Reaches(vec![Reach::of(pipe.clone(), 0.0, length_m)]),
            fittings: Vec::new(),
            stands: Vec::new(),
            taps: Vec::new(),
            intake: Inlet {
                level_m,
                low_level_m: level_m,
                flood_level_m: level_m,
                level_known: true,
                entrance: Entrance::Sharp,
                entrance_k: None,
                screen_k: None,
                kind: IntakeKind::Box,
            },
            outlet: None,
            runaway: None,
            works: Works::default(),
            wishes: Wishes::default(),
            measured: Measured::default(),
            environment: Environment {
                laid: Vec::new(),
                ground: Vec::new(),
                floods: Vec::new(),
                situation: Situation::default(),
                water: WaterRange {
                    usual_c: 10.0,
                    coldest_c: 10.0,
                    warmest_c: 10.0,
                },
                stream: None,
            },
            assumed: Vec::new(),
        }
    }
}

/// Level distances from the first station, m, of a line given by stations along the slope and heights; a leg cannot be level-shorter than nothing.
pub(crate) fn level_distances(station_m: &[f64], elevation_m: &[f64]) -> Vec<f64> {
    let legs = station_m.windows(2).zip(elevation_m.windows(2));
    let mut at = 0.0;
    let mut out = vec![0.0; station_m.len().min(1)];
    out.extend(legs.map(|(s, z)| {
        let (along, fall) = match (s, z) {
            ([s0, s1], [z0, z1]) => (s1 - s0, z1 - z0),
            _ => (0.0, 0.0),
        };
        at += (along * along - fall * fall).max(0.0).sqrt();
        at
    }));
    out
}

impl Reach {
    /// A pipe from station to station, new, laid, joined as its material usually is.
    pub fn of(pipe: Pipe, from_m: f64, to_m: f64) -> Self {
        let joint = match pipe.material {
            crate::pipe::Material::Pe => Joint::Fused,
            crate::pipe::Material::Pvc => Joint::Ring,
            crate::pipe::Material::Steel => Joint::Welded,
        };
        Self {
            from_m,
            to_m,
            pipe,
            joint,
            joint_rating_pa: None,
            pieces_m: Vec::new(),
            coil: false,
            joints_at_m: Vec::new(),
            is_laid: true,
            condition: Condition::New,
            derate: None,
            surge_allowance: None,
            price_per_m: None,
        }
    }
}

impl Default for Situation {
    /// Standard gravity and the standard atmosphere at the sea; a mild climate.
    fn default() -> Self {
        Self {
            latitude_deg: None,
            altitude_m: Some(0.0),
            gravity_m_per_s2: 9.806_65,
            hottest_air_c: 30.0,
            coldest_air_c: -5.0,
            sun: false,
            frost_depth_m: None,
        }
    }
}
