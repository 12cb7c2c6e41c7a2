//! The mouth of the pipe: how deep it must lie so that it draws no air, siphons, and the first flat metres.

use super::Run;
use super::suction;
use crate::line::{AirFor, Environment, Geometry, Line};
use crate::numeric::math;
use crate::pipe::RunState;

/// The intake held against the largest flow.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct IntakeCheck {
    /// The state with the largest flow.
    pub case: RunState,
    /// Velocity in the mouth then, m/s.
    pub velocity_m_per_s: f64,
    /// Water over the crown of the pipe at its mouth at the lowest level, m; `None` where no level was given.
    pub cover_m: Option<f64>,
    /// Cover that is wanted, m: Gordon for uneven approach, never less than a bore.
    pub wanted_m: f64,
    /// What each formula asks for, over the crown, m.
    pub formulas: Vec<(Submergence, f64)>,
    /// The pipe climbs over the edge of the intake.
    pub siphon: Option<IntakeSiphon>,
    /// The first metres, to where the pipe has fallen by a bore.
    pub first: FirstMetres,
}

impl IntakeCheck {
    /// Whether the mouth lies deep enough; `None`: cannot tell.
    pub fn is_deep_enough(&self) -> Option<bool> {
        self.cover_m.map(|c| c >= self.wanted_m)
    }
}

/// A siphon over the edge of the intake.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct IntakeSiphon {
    /// Its highest point, m.
    pub crest_station_m: f64,
    /// How far above the lowest water, m.
    pub lift_m: f64,
    /// Gauge head there at the largest flow and the usual level, m.
    pub gauge_m: f64,
    /// Lowest gauge head that is worked with there, m.
    pub working_limit_m: f64,
    /// A vent lets air into it by itself.
    pub vented: bool,
    /// It holds: no vent lets air in and the gauge head, at the lowest water, stays above the limit.
    pub holds: bool,
}

/// The pipe from its mouth to where it has fallen by a bore: what is drawn in with the water stays there if it is long.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FirstMetres {
    /// Where the pipe has fallen by a bore, m; its whole length if it never does.
    pub to_m: f64,
    /// Lowest gauge head in it at the largest flow, m.
    pub least_gauge_m: f64,
    /// Where, m.
    pub least_station_m: f64,
}

crate::text::words! {
    /// A named formula of submergence.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum Submergence {
        /// Gordon 1970, even approach: 0.5434 V sqrt(D) over the crown.
        GordonEven = "Gordon 1970, even approach",
        /// Gordon 1970, uneven approach: 0.7245 V sqrt(D) over the crown.
        GordonUneven = "Gordon 1970, uneven approach",
        /// IS 9761:1995 by Froude number: D (0.5 + 2 Fr) to the centre (secondary source).
        Is9761 = "IS 9761:1995",
        /// ANSI/HI 9.8: D (1 + 2.3 Fr), to the mouth's own level (from memory); taken to the centre.
        HydraulicInstitute = "ANSI/HI 9.8",
        /// Rohan: 1.474 V^0.48 D^0.76 (from memory); taken to the centre.
        Rohan = "Rohan",
    }
}

impl Submergence {
    /// Whether it is known from memory or from a secondary source.
    pub fn is_from_memory(self) -> bool {
        !matches!(self, Self::GordonEven | Self::GordonUneven)
    }
}

/// The mouth: velocity in it and its bore.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MouthFlow {
    /// Velocity, m/s.
    pub velocity_m_per_s: f64,
    /// Bore, m.
    pub bore_m: f64,
    /// Gravity, m/s2.
    pub gravity_m_per_s2: f64,
}

/// A foot to the half: Gordon's coefficients are in feet and seconds, and 1/sqrt(ft) is this many 1/sqrt(m).
const PER_ROOT_FOOT: f64 = 1.811_308_890;

impl MouthFlow {
    /// Depth by a formula, m, from the level that the formula itself counts from: crown for Gordon, centre for the others.
    ///
    /// Sources: J. L. Gordon, Vortices at intakes, Water Power, April 1970 (29 intakes); IS 9761:1995; the last two from memory.
    pub fn depth_m(&self, by: Submergence) -> f64 {
        let Self {
            velocity_m_per_s: v,
            bore_m: d,
            gravity_m_per_s2: g,
        } = *self;
        let froude = v / (g * d).sqrt();
        match by {
            Submergence::GordonEven => 0.3 * PER_ROOT_FOOT * v * d.sqrt(),
            Submergence::GordonUneven => 0.4 * PER_ROOT_FOOT * v * d.sqrt(),
            Submergence::Is9761 => d * (0.5 + 2.0 * froude),
            Submergence::HydraulicInstitute => d * (1.0 + 2.3 * froude),
            Submergence::Rohan => 1.474 * math::powf(v, 0.48) * math::powf(d, 0.76),
        }
    }

    /// The same counted over the crown, m.
    pub fn cover_m(&self, by: Submergence) -> f64 {
        match by {
            Submergence::GordonEven | Submergence::GordonUneven => self.depth_m(by),
            _ => (self.depth_m(by) - self.bore_m / 2.0).max(0.0),
        }
    }
}

/// Judges the intake at the largest of the flows and the lowest level. `None` where nothing flows.
///
/// Gordon for uneven approach is used: mouths of small plants lie in corners of boxes and behind stones, and it is the harmful one of the two.
/// The others stand beside it for comparison; they differ by half.
pub fn intake(line: &Line, runs: &[Run]) -> Option<IntakeCheck> {
    let run = runs
        .iter()
        .filter(|r| r.flows())
        .max_by(|a, b| a.flow_m3_per_s.total_cmp(&b.flow_m3_per_s))?;
    let first = line.reaches.first()?;
    let bore_m = first.pipe.inner_diameter_m;
    let flow = MouthFlow {
        velocity_m_per_s: run.velocity_m_per_s(0.0),
        bore_m,
        gravity_m_per_s2: line.environment.situation.gravity_m_per_s2,
    };
    let mouth_m = line.geometry.elevation_m(0.0);
    let all = [
        Submergence::GordonUneven,
        Submergence::GordonEven,
        Submergence::Is9761,
        Submergence::HydraulicInstitute,
        Submergence::Rohan,
    ];
    Some(IntakeCheck {
        case: run.state().clone(),
        velocity_m_per_s: flow.velocity_m_per_s,
        cover_m: line
            .intake
            .level_known
            .then_some(line.intake.low_level_m - mouth_m - bore_m / 2.0),
        wanted_m: flow.cover_m(Submergence::GordonUneven).max(bore_m),
        formulas: all.into_iter().map(|by| (by, flow.cover_m(by))).collect(),
        siphon: siphon(line, run),
        first: first_metres(&line.geometry, &line.environment, run, bore_m)?,
    })
}

fn gauges<'a>(environment: &'a Environment, run: &'a Run) -> impl Iterator<Item = (f64, f64)> + 'a {
    let weight = run.water.density_kg_per_m3 * environment.situation.gravity_m_per_s2;
    run.points
        .iter()
        .map(move |p| (p.station_m, p.pressure_pa.min(p.pressure_below_pa) / weight))
}

fn siphon(line: &Line, run: &Run) -> Option<IntakeSiphon> {
    let heights = line
        .geometry
        .heights
        .station_m
        .iter()
        .zip(&line.geometry.heights.mean_m);
    let (&crest_station_m, &top_m) = heights.max_by(|a, b| a.1.total_cmp(b.1))?;
    let lift_m = top_m - line.intake.low_level_m;
    if !line.intake.is_siphon() && lift_m <= 0.0 {
        return None;
    }
    let gauge_m = gauges(&line.environment, run)
        .find(|(s, _)| *s == crest_station_m)
        .map(|g| g.1)?;
    let boiling = suction::vapour_head_m(
        line.environment.situation.air_pa(AirFor::Hanging),
        &run.water,
        line.environment.situation.gravity_m_per_s2,
    );
    let working_limit_m =
        suction::working_limit_m(&line.reaches, &line.wishes, crest_station_m, boiling);
    let lower = run.level_m - line.intake.low_level_m;
    let vented = line.stands.iter().any(|s| {
        line.reaches.draws_in(s) && line.geometry.elevation_m(s.station_m) > line.intake.low_level_m
    });
    Some(IntakeSiphon {
        crest_station_m,
        lift_m,
        gauge_m,
        working_limit_m,
        vented,
        holds: !vented && run.limited.is_none() && gauge_m - lower >= working_limit_m,
    })
}

fn first_metres(
    geometry: &Geometry,
    environment: &Environment,
    run: &Run,
    bore_m: f64,
) -> Option<FirstMetres> {
    let mouth_m = geometry.elevation_m(0.0);
    let to_m = geometry
        .heights
        .station_m
        .iter()
        .zip(&geometry.heights.mean_m)
        .find(|(_, z)| mouth_m - **z >= bore_m)
        .map_or(geometry.length_m(), |(s, _)| *s);
    let (least_station_m, least_gauge_m) = gauges(environment, run)
        .take_while(|(s, _)| *s <= to_m)
        .min_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(FirstMetres {
        to_m,
        least_gauge_m,
        least_station_m,
    })
}
