//! A movement followed from every running state that matters, with the wave speed at either end: the one road to what is shown and to what a time is judged by.

use super::build::BuiltModel;
use super::column_separation::ColumnSeparation;
use super::memory::MarchMemory;
use super::moves::{Made, Move};
use super::transient_case::TransientCase;
use super::{SurgeOptions, SurgePoint, WhyNotMarched, risers};
use crate::line::{AirFor, Line};
use crate::march::grid::{CELLS, COARSE_CELLS};
use crate::march::work::Work;
use crate::march::{BranchLine, NarrowRiser, TransientOptions, TransientResult};
use crate::pipe::wave::Band;
use crate::unit::physics::water;

/// A state whose heads stay within so much of what others do brings nothing new, m.
const NOTHING_NEW_M: f64 = 0.1;

/// Troughs that stay so far above the pipe are not held against each other, m: nothing is judged by them.
const HARMLESS_M: f64 = 10.0;

/// A station of the grid so near a standpipe is its own, m.
const SAME_PLACE_M: f64 = 0.02;

/// What is kept of the marches that follow a movement.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Keep {
    /// Heads against time at the worst station, water in standpipes.
    All,
    /// The highest and lowest heads, and the turbine's against time.
    Heads,
}

/// What stays the same for every movement on a line.
pub(crate) struct LineConstants<'a> {
    pub(crate) line: &'a Line,
    pub(crate) options: &'a SurgeOptions,
    pub(crate) bands: &'a [Band],
    /// Wave speeds by reach, m/s: the fast end, the slow end.
    pub(crate) fast: Vec<f64>,
    pub(crate) slow: Vec<f64>,
    /// Gauge pressure that the site's water boils at, Pa.
    pub(crate) boiling_pa: f64,
    pub(crate) risers: Vec<NarrowRiser>,
    /// Where vents are wanted that do not stand yet, m.
    pub(crate) near_m: &'a [f64],
    pub(crate) memory: &'a MarchMemory,
    pub(crate) work: Work,
}

/// A movement in one state, marched at both ends of the wave speed.
pub(crate) struct SimulatedMovement<'a> {
    pub(crate) looking: TransientCase<'a>,
    pub(crate) fast: (BuiltModel, TransientResult),
    pub(crate) slow: (BuiltModel, TransientResult),
    /// What the fast march was told to watch: a guess by the slow one.
    pub(crate) worst_m: f64,
    pub(crate) parted: ColumnSeparation,
}

impl<'a> LineConstants<'a> {
    pub(crate) fn of(
        line: &'a Line,
        options: &'a SurgeOptions,
        bands: &'a [Band],
        memory: &'a MarchMemory,
        near_m: &'a [f64],
    ) -> Self {
        Self {
            line,
            options,
            bands,
            fast: bands.iter().map(|b| b.high).collect(),
            slow: bands.iter().map(|b| b.low).collect(),
            boiling_pa: water(line.environment.water.warmest_c).vapour_pa
                - line.environment.situation.air_pa(AirFor::Hanging),
            risers: risers::of(line),
            near_m,
            memory,
            work: Work::default(),
        }
    }

    pub(crate) fn looking<'b>(&'b self, m: &'b Move, made: &Made<'b>) -> TransientCase<'b> {
        let line = self.line;
        let weight =
            made.state.water.density_kg_per_m3 * line.environment.situation.gravity_m_per_s2;
        TransientCase {
            line,
            state: made.state,
            of: &m.of,
            weight,
            boiling_m: self.boiling_pa / weight,
            air_head_m: line.environment.situation.air_pa(AirFor::Squeezing) / weight,
            work: &self.work,
            memory: self.memory,
            near_m: self.near_m,
        }
    }

    /// What is made, where there is room to march it.
    pub(crate) fn may<'b>(
        &self,
        m: &Move,
        made: Vec<Made<'b>>,
    ) -> Result<Vec<Made<'b>>, WhyNotMarched> {
        let fits = |made: &Made<'_>| {
            self.looking(m, made)
                .build(&self.fast, &made.course, CELLS)
                .is_none_or(|b| {
                    self.work
                        .may_march(&b.grid, b.chain.movement_s(), &b.chain.joins)
                })
        };
        if made.first().is_none_or(fits) {
            Ok(made)
        } else {
            Err(WhyNotMarched::TooMuch)
        }
    }

    /// The states that go beyond the others anywhere, by a coarse march of each: indexes into `made`, the first one always among them unless it is known `already`.
    ///
    /// No closed form orders them: the flow, the head left over, the share of the travel that takes hold and the jets that stay open all change from state to state.
    pub(crate) fn that_matter(&self, m: &Move, made: &[Made<'_>], already: bool) -> Vec<usize> {
        if made.len() < 2 {
            return if already { Vec::new() } else { vec![0] };
        }
        let each: Vec<Option<Vec<(f64, f64)>>> =
            made.iter().map(|made| self.coarse(m, made)).collect();
        let mut kept = vec![0];
        let mut reached = each.first().cloned().flatten().unwrap_or_default();
        loop {
            let beyond = |of: &[(f64, f64)]| {
                if reached.is_empty() {
                    return f64::INFINITY;
                }
                let most =
                    |(had, new): (&(f64, f64), &(f64, f64))| (new.0 - had.0).max(had.1 - new.1);
                reached.iter().zip(of).map(most).fold(0.0, f64::max)
            };
            let next = each
                .iter()
                .enumerate()
                .filter(|(i, _)| !kept.contains(i))
                .filter_map(|(i, of)| Some((i, of.as_deref()?, beyond(of.as_deref()?))))
                .max_by(|a, b| a.2.total_cmp(&b.2));
            let Some((i, of, _)) = next.filter(|n| n.2 > NOTHING_NEW_M) else {
                break;
            };
            kept.push(i);
            if reached.is_empty() {
                reached = of.to_vec();
            }
            for (had, new) in reached.iter_mut().zip(of) {
                *had = (had.0.max(new.0), had.1.min(new.1));
            }
        }
        if already {
            kept.remove(0);
        }
        kept
    }

    /// Highest and lowest head at each station of the line, the lowest held between boiling and what harms nothing.
    fn coarse(&self, m: &Move, made: &Made<'_>) -> Option<Vec<(f64, f64)>> {
        let looking = self.looking(m, made);
        let built = looking.build(&self.fast, &made.course, COARSE_CELLS)?;
        let marched = looking.run_moc(&built, TransientOptions::default());
        let places = looking.places(&built);
        let each = places.iter().zip(&self.line.geometry.heights.mean_m);
        Some(
            each.map(|(place, &z)| {
                let (max, min) = place.heads_m(&marched);
                (max, min.clamp(z + looking.boiling_m, z + HARMLESS_M))
            })
            .collect(),
        )
    }

    /// Marches a movement in each of these states.
    pub(crate) fn follow<'b>(
        &'b self,
        m: &'b Move,
        made: &[&Made<'b>],
        keep: Keep,
    ) -> Result<Vec<SimulatedMovement<'b>>, WhyNotMarched> {
        let each = made.iter().filter_map(|made| self.one(m, made, keep));
        let followed: Vec<SimulatedMovement<'b>> = each.collect();
        if followed.is_empty() {
            return Err(WhyNotMarched::NoPipe);
        }
        Ok(followed)
    }

    fn one<'b>(
        &'b self,
        m: &'b Move,
        made: &Made<'b>,
        keep: Keep,
    ) -> Option<SimulatedMovement<'b>> {
        let looking = self.looking(m, made);
        let built = looking.build_shown(&self.fast, &made.course)?;
        let slow = looking.build_shown(&self.slow, &made.course)?;
        if keep == Keep::Heads {
            let turbine = |built: &BuiltModel| TransientOptions {
                watch_m: vec![looking.turbine_node_m(built)],
                ..TransientOptions::default()
            };
            let slowly = looking.run_moc(&slow, turbine(&slow));
            let fast = looking.run_moc(&built, turbine(&built));
            return Some(SimulatedMovement {
                looking,
                fast: (built, fast),
                slow: (slow, slowly),
                worst_m: self.line.geometry.length_m(),
                parted: ColumnSeparation::default(),
            });
        }
        let mut slowly = looking.run_moc(
            &slow,
            TransientOptions {
                watch_m: vec![looking.turbine_node_m(&slow)],
                risers: self.risers.clone(),
                ..TransientOptions::default()
            },
        );
        // what to watch hangs on the outcome: where only the outcome is asked and known already, nothing is watched
        let only = TransientOptions {
            watch_m: vec![looking.turbine_node_m(&built)],
            risers: self.risers.clone(),
            ..TransientOptions::default()
        };
        let envelope_only = self.options.envelope_only;
        let known = envelope_only
            .then(|| looking.recall(&built, only))
            .flatten();
        let (worst_m, parted, mut shown) = if let Some(known) = known {
            (f64::INFINITY, ColumnSeparation::default(), known)
        } else {
            // the slow end guesses it
            let guess = points(&[(&looking, &slow, &slowly)], self.boiling_pa);
            let (worst_m, parted) = (
                self.worst_station(&guess),
                ColumnSeparation::of(&looking, &guess),
            );
            let orders = TransientOptions {
                risers: self.risers.clone(),
                ..look_at(&looking, &built, worst_m, &parted)
            };
            (worst_m, parted, looking.run_moc(&built, orders))
        };
        self.without_rims(&looking, &slow, &mut slowly);
        self.without_rims(&looking, &built, &mut shown);
        Some(SimulatedMovement {
            looking,
            fast: (built, shown),
            slow: (slow, slowly),
            worst_m,
            parted,
        })
    }

    /// Where a standpipe spills, how high its water would stand were it tall enough: what it must be raised to. Over its rim the head goes no higher, so the march with the rim does not say.
    fn without_rims(
        &self,
        looking: &TransientCase<'_>,
        built: &BuiltModel,
        marched: &mut TransientResult,
    ) {
        let rim = |branch: &BranchLine| match branch {
            BranchLine::Standpipe { rim_m, .. } => *rim_m,
            _ => f64::INFINITY,
        };
        let joins = built.chain.joins.iter().zip(&marched.standpipes_m);
        let spills = |(j, level): (&crate::march::Join, &Option<f64>)| {
            level.is_some_and(|l| l > rim(&j.branch))
        };
        if built.short.is_empty() && !joins.clone().any(spills) {
            return;
        }
        let mut tall = built.clone();
        for (join, branch) in &built.short {
            if let Some(join) = tall.chain.joins.get_mut(*join) {
                join.branch = branch.clone();
            }
        }
        for join in &mut tall.chain.joins {
            if let BranchLine::Standpipe { rim_m, .. } = &mut join.branch {
                *rim_m = f64::INFINITY;
            }
        }
        marched.standpipes_m = looking
            .run_moc(&tall, TransientOptions::default())
            .standpipes_m;
        let stands = built.stand_of_join.iter().zip(&marched.standpipes_m);
        for (stand, level) in stands {
            let station_m = stand
                .and_then(|i| self.line.stands.get(i))
                .map(|s| s.station_m);
            let (Some(station_m), Some(level)) = (station_m, level) else {
                continue;
            };
            for (riser, highest) in self.risers.iter().zip(&mut marched.risers_m) {
                if (riser.station_m - station_m).abs() < SAME_PLACE_M {
                    *highest = highest.max(*level);
                }
            }
        }
    }

    /// Heads and pressures at each station of the grid: the widest of all.
    pub(crate) fn widest(&self, followed: &[SimulatedMovement<'_>]) -> Vec<SurgePoint> {
        let each: Vec<_> = followed
            .iter()
            .flat_map(|f| [&f.fast, &f.slow].map(|(built, marched)| (&f.looking, built, marched)))
            .collect();
        points(&each, self.boiling_pa)
    }

    /// The station whose least pressure stands nearest to, or furthest below, its limit.
    pub(crate) fn worst_station(&self, points: &[SurgePoint]) -> f64 {
        let least: &[f64] = self.options.allowed.as_ref().map_or(&[], |a| &a.least_pa);
        let limits = least.iter().copied().chain(std::iter::repeat(0.0));
        points
            .iter()
            .zip(limits)
            // the mouth always stands near the air's pressure, and nothing there can part
            .filter(|(p, _)| p.station_m > 0.0)
            .map(|(p, limit)| {
                (
                    p.pressure_min_pa.map_or(f64::NEG_INFINITY, |pa| pa - limit),
                    p,
                )
            })
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .map_or(self.line.geometry.length_m(), |(_, p)| p.station_m)
    }
}

impl SimulatedMovement<'_> {
    /// Whether the water parts anywhere in it.
    pub(crate) fn parts(&self, ground: &LineConstants<'_>) -> bool {
        let points = ground.widest(std::slice::from_ref(self));
        points.iter().any(|p| p.head_min_m.is_none())
    }
}

/// Orders to watch the turbine and the worst station, and to say which of these stations parts first.
pub(crate) fn look_at(
    looking: &TransientCase<'_>,
    built: &BuiltModel,
    worst_m: f64,
    parted: &ColumnSeparation,
) -> TransientOptions {
    TransientOptions {
        watch_m: vec![
            looking.turbine_node_m(built),
            looking.node_m(built, worst_m),
        ],
        floors: parted.floors(looking, built),
        ..TransientOptions::default()
    }
}

/// Heads and pressures at each station of the line's grid: the widest of the marches.
fn points(
    marches: &[(&TransientCase<'_>, &BuiltModel, &TransientResult)],
    boiling_pa: f64,
) -> Vec<SurgePoint> {
    let Some((first, ..)) = marches.first() else {
        return Vec::new();
    };
    let heights = &first.line.geometry.heights;
    let places: Vec<_> = marches.iter().map(|(l, b, _)| l.places(b)).collect();
    let each = heights.station_m.iter().zip(&heights.mean_m).enumerate();
    each.map(|(i, (&station_m, &elevation_m))| {
        let (max, min) = marches
            .iter()
            .zip(&places)
            .filter_map(|((_, _, m), places)| Some(places.get(i)?.heads_m(m)))
            .reduce(|a, b| (a.0.max(b.0), a.1.min(b.1)))
            .unwrap_or((elevation_m, elevation_m));
        let lowest = (min - elevation_m) * first.weight;
        let stays = lowest >= boiling_pa;
        SurgePoint {
            station_m,
            head_max_m: max,
            head_min_m: stays.then_some(min),
            pressure_max_pa: (max - elevation_m) * first.weight,
            pressure_min_pa: stays.then_some(lowest),
        }
    })
    .collect()
}
