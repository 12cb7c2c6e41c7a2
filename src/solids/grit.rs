use super::{BasinDemand, Settled, Settling, bears_m, worn_after_s};
use crate::flow::Run;
use crate::line::{Discharge, Line};
use crate::pipe::RunState;
use crate::unit::physics::water;

/// What the water carries, held against the largest flow.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Carried {
    /// The state with the largest flow.
    pub case: RunState,
    /// Its flow at the intake, m3/s.
    pub flow_m3_per_s: f64,
    /// Its net head, m.
    pub net_head_m: f64,
    /// The grain that was declared, m.
    pub grain_m: f64,
    /// The coldest water, in which it settles slowest.
    pub settling: Settling,
    /// What it asks of a basin, in the coldest water.
    pub asked: BasinDemand,
    /// What the basin makes of it; `None`: there is none.
    pub settled: Option<Settled>,
    /// Largest grain that reaches the machine, m: as declared, or what the basin and the screen leave.
    pub reaches_m: f64,
    /// Largest grain that the machine bears at this head, m.
    pub bears_m: f64,
    /// Wear of the nozzles; `None`: there are none.
    pub wear: Option<Wear>,
}

impl Carried {
    /// Surface of a basin that settles nine in ten of a grain at this flow, m2.
    pub fn area_for_m2(&self, grain_m: f64) -> f64 {
        BasinDemand::of(&self.settling, grain_m, self.flow_m3_per_s).area_m2
    }
}

/// Wear of the nozzles.
#[derive(Debug, Clone, PartialEq)]
pub struct Wear {
    /// The nozzle that is worn first: the smallest that runs.
    pub jet: String,
    /// Its diameter, m.
    pub nozzle_diameter_m: f64,
    /// Speed of its jet, m/s.
    pub speed_m_per_s: f64,
    /// Time in operation until its area has grown by 5 %, s; `None`: no wear was measured.
    pub worn_after_s: Option<f64>,
    /// Time in operation, a year, s.
    pub per_year_s: Option<f64>,
}

impl Wear {
    /// Whether it is worn within a year; `None`: wear or hours were not given.
    pub fn within_a_year(&self) -> Option<bool> {
        Some(self.worn_after_s? < self.per_year_s?)
    }
}

/// Holds what the water carries against the largest of the flows. `None` where nothing was said of it or nothing flows.
pub fn grit(line: &Line, runs: &[Run]) -> Option<Carried> {
    let grit = line.works.grit.as_ref()?;
    let run = runs
        .iter()
        .filter(|r| r.flows())
        .max_by(|a, b| a.flow_m3_per_s.total_cmp(&b.flow_m3_per_s))?;
    let flow_m3_per_s = run.stretches.first()?.flow_m3_per_s;
    // cold water is thick: sand falls slowest in it
    let settling = Settling {
        water: water(line.environment.water.coldest_c),
        gravity_m_per_s2: line.environment.situation.gravity_m_per_s2,
    };
    let asked = BasinDemand::of(&settling, grit.grain_m, flow_m3_per_s);
    let settled = line
        .works
        .basin
        .as_ref()
        .map(|basin| Settled::of(basin, &settling, &asked, flow_m3_per_s, grit.load_kg_per_m3));
    let opening_m = line.works.screen.map_or(f64::INFINITY, |s| s.opening_m);
    let reaches_m = settled
        .map_or(grit.grain_m, |s| grit.grain_m.min(s.least_grain_m))
        .min(opening_m);
    let jets = match line.outlet.as_ref().map(|o| &o.how) {
        Some(Discharge::Jets(jets)) => jets.as_slice(),
        _ => &[],
    };
    let wear = run
        .jets
        .iter()
        .filter_map(|j| Some((jets.get(j.jet)?, j)))
        .min_by(|a, b| a.0.nozzle_diameter_m.total_cmp(&b.0.nozzle_diameter_m))
        .map(|(jet, running)| Wear {
            jet: jet.name.clone(),
            nozzle_diameter_m: jet.nozzle_diameter_m,
            speed_m_per_s: running.speed_m_per_s,
            worn_after_s: grit
                .worn
                .map(|worn| worn_after_s(jet.nozzle_diameter_m, run.net_head_m, &worn)),
            per_year_s: grit.per_year_s,
        });
    Some(Carried {
        case: run.state().clone(),
        flow_m3_per_s,
        net_head_m: run.net_head_m,
        grain_m: grit.grain_m,
        settling,
        asked,
        settled,
        reaches_m,
        bears_m: bears_m(run.net_head_m),
        wear,
    })
}
