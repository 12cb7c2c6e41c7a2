//! The lighter classes laid in thought: their bores carried back through flow and surge, and judged by the pressures that come of it.
//!
//! A lighter wall has another bore and another wave speed, so it meets other pressures than those it was chosen by. Each zone is raised until it stands its own.

use super::relaid::{LaidClass, ZoneDemand, asked_of, relaid};
use super::states::loads;
use crate::flow::{self, Cases};
use crate::line::Line;
use crate::pipe::{Pipe, RunState};
use crate::strength::{self, NoZones, Strength, Zone};
use crate::surge::{self, Surges};

/// Rounds of laying and raising at most: each round raises a class somewhere, and sizes have few.
const MOST_ROUNDS: usize = 6;

/// The line as its zones say, run through flow and surge again.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Zoned {
    /// Zones that stand the pressures they make themselves, in order, without gap or overlap.
    pub list: Vec<Zone>,
    /// Margin on the standing pressure at head + 2 sd.
    pub margin: f64,
    /// Zones that were raised by a class or more because of their own pressures: indexes into `list`.
    pub raised: Vec<usize>,
    /// How often the line was laid and run.
    pub rounds: usize,
    /// Every zone stands; else no class of the size does, or the rounds ran out.
    pub holds: bool,
    /// Mass of the zones' pipe, kg.
    pub mass_kg: f64,
    /// Mass of the pipe as declared, kg.
    pub declared_mass_kg: f64,
    /// Each running state by its name: flow and net head with the pipe as declared and with the zones.
    pub cases: Vec<ComparedRun>,
    /// Largest share in use at head + 2 sd and largest suction over what the pipe may take, with the zones.
    pub use_high: Option<f64>,
    /// The same as declared.
    pub declared_use_high: Option<f64>,
    /// Largest suction over what the pipe may take, with the zones.
    pub outside_use: f64,
    /// Largest pressure of any movement, Pa, with the zones; `None` where none was worked out.
    pub surge_pa: Option<f64>,
    /// The same as declared, Pa.
    pub declared_surge_pa: Option<f64>,
    /// Movements in which the water parts with the zones laid.
    pub parting: Vec<crate::capacity::Which>,
}

/// A running state before and after.
#[derive(Debug, Clone, PartialEq)]
pub struct ComparedRun {
    /// Its name.
    pub state: RunState,
    /// Flow as declared, m3/s.
    pub declared_flow_m3_per_s: f64,
    /// Flow with the zones, m3/s.
    pub flow_m3_per_s: f64,
    /// Net head as declared, m.
    pub declared_net_head_m: f64,
    /// Net head with the zones, m.
    pub net_head_m: f64,
}

/// What is known of the line as declared.
pub(super) struct Declared<'a> {
    pub(super) line: &'a Line,
    pub(super) cases: &'a Cases,
    pub(super) surges: Option<&'a Surges>,
    pub(super) strength: &'a Strength,
}

/// A laid trial with what came of it.
struct LaidTrial {
    laid: Vec<LaidClass>,
    raised: Vec<usize>,
    rounds: usize,
    holds: bool,
    strength: Strength,
    cases: Cases,
    surges: Option<Surges>,
}

impl Declared<'_> {
    /// The zones carried back; `None` where none are told.
    pub(super) fn zoned(&self) -> Option<Zoned> {
        let first = self.strength.zones.as_ref().ok()?;
        let asked: Vec<LaidClass> = first
            .list
            .iter()
            .map(|z| (z.from_m, z.to_m, z.pipe.clone()))
            .collect();
        let trial = if first.list.iter().any(|z| z.differs) {
            self.raised_until_it_stands(asked, |_| true)
        } else {
            // as declared: it has been run
            LaidTrial {
                laid: asked,
                raised: Vec::new(),
                rounds: 1,
                holds: true,
                strength: self.strength.clone(),
                cases: self.cases.clone(),
                surges: self.surges.cloned(),
            }
        };
        let list: Vec<Zone> = trial
            .laid
            .iter()
            .zip(&first.list)
            .map(|((from_m, to_m, pipe), asked)| Zone {
                mass_kg: (to_m - from_m) * pipe.mass_kg_per_m,
                differs: self.differs(*from_m, *to_m, pipe),
                pipe: pipe.clone(),
                ..asked.clone()
            })
            .collect();
        let cases = self.cases.runs.iter().filter_map(|declared| {
            let after = trial.cases.of(declared.state())?;
            declared.flows().then(|| ComparedRun {
                state: declared.state().clone(),
                declared_flow_m3_per_s: declared.flow_m3_per_s,
                flow_m3_per_s: after.flow_m3_per_s,
                declared_net_head_m: declared.net_head_m,
                net_head_m: after.net_head_m,
            })
        });
        Some(Zoned {
            margin: first.margin,
            rounds: trial.rounds,
            holds: trial.holds,
            mass_kg: list.iter().map(|z| z.mass_kg).sum(),
            declared_mass_kg: first.declared_mass_kg,
            cases: cases.collect(),
            use_high: most_used(&trial.strength),
            declared_use_high: most_used(self.strength),
            outside_use: trial
                .strength
                .reaches
                .iter()
                .map(|r| r.outside_use)
                .fold(0.0, f64::max),
            surge_pa: highest_pa(trial.surges.as_ref()),
            declared_surge_pa: highest_pa(self.surges),
            parting: trial.strength.parting.clone(),
            raised: trial.raised,
            list,
        })
    }

    /// The lightest class for each reach as a whole, carried back the same way: the reason where it does not stand.
    pub(super) fn lightest(&self) -> Vec<Result<Pipe, NoZones>> {
        let told: Vec<Result<Pipe, NoZones>> = self
            .strength
            .reaches
            .iter()
            .map(|r| r.lightest.clone())
            .collect();
        let reaches = &self.line.reaches;
        let asked: Vec<LaidClass> = reaches
            .iter()
            .zip(&told)
            .map(|(r, light)| {
                let pipe = light.as_ref().unwrap_or(&r.pipe);
                (r.from_m, r.to_m, pipe.clone())
            })
            .collect();
        let same = asked.iter().zip(reaches).all(|(a, r)| a.2.id == r.pipe.id);
        if same {
            return told;
        }
        // a reach for which no class can be told stays as declared, and is no hindrance to its neighbours
        let weighed = |i: usize| told.get(i).is_some_and(Result::is_ok);
        let trial = self.raised_until_it_stands(asked, weighed);
        told.into_iter()
            .zip(trial.laid)
            .map(|(light, (_, _, pipe))| match light {
                Ok(_) if trial.holds => Ok(pipe),
                Ok(_) => Err(NoZones::NoneStrongEnough),
                Err(why) => Err(why),
            })
            .collect()
    }

    fn differs(&self, from_m: f64, to_m: f64, pipe: &Pipe) -> bool {
        self.line
            .reaches
            .iter()
            .any(|r| r.from_m < to_m - 1e-6 && r.to_m > from_m + 1e-6 && r.pipe.id != pipe.id)
    }

    /// Lays the classes, runs flow and surge, and raises what its own pressures ask more of, until nothing does. What is not weighed stays as laid.
    fn raised_until_it_stands(
        &self,
        mut laid: Vec<LaidClass>,
        weighed: impl Fn(usize) -> bool,
    ) -> LaidTrial {
        let mut raised = Vec::new();
        let mut rounds = 0;
        loop {
            rounds += 1;
            let line = relaid(self.line, &laid);
            let cases = flow::cases(&line);
            let surges = self.surges.map(|_| march(&line, &cases));
            let states = loads(&line, &cases, surges.as_ref(), None);
            let strength = strength::judge(&line, &states);
            let asked: Vec<ZoneDemand> = laid
                .iter()
                .enumerate()
                .map(|(i, zone)| {
                    if weighed(i) {
                        asked_of(zone, &strength)
                    } else {
                        ZoneDemand::Stands
                    }
                })
                .collect();
            let stuck = asked.iter().any(|a| matches!(a, ZoneDemand::More(None)));
            let mut went_up = false;
            if rounds < MOST_ROUNDS && !stuck {
                for (i, (zone, asked)) in laid.iter_mut().zip(&asked).enumerate() {
                    if let ZoneDemand::More(Some(pipe)) = asked {
                        zone.2 = Pipe::clone(pipe);
                        went_up = true;
                        if !raised.contains(&i) {
                            raised.push(i);
                        }
                    }
                }
            }
            if !went_up {
                raised.sort_unstable();
                return LaidTrial {
                    holds: asked.iter().all(|a| matches!(a, ZoneDemand::Stands)),
                    laid,
                    raised,
                    rounds,
                    strength,
                    cases,
                    surges,
                };
            }
        }
    }
}

fn march(line: &Line, cases: &Cases) -> Surges {
    let options = surge::SurgeOptions {
        envelope_only: true,
        pressures_only: true,
        ..surge::SurgeOptions::default()
    };
    surge::study(line, &cases.runs, &options)
}

fn most_used(strength: &Strength) -> Option<f64> {
    strength
        .reaches
        .iter()
        .filter_map(|r| r.use_high)
        .reduce(f64::max)
}

fn highest_pa(surges: Option<&Surges>) -> Option<f64> {
    surges?
        .weighed()
        .flat_map(|s| &s.points)
        .map(|p| p.pressure_max_pa)
        .reduce(f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::{Discharge, Jet, Outlet, Reach};
    use crate::pipe::{self, FittingKind};
    use crate::strength::STATIC_MARGIN;
    use proptest::prelude::*;

    /// A straight fall with four jets and a valve at the turbine that is thrown by a lever.
    fn plant(words: &str, drop_m: f64, hole_m: f64, piece_m: f64) -> Line {
        let points: Vec<(f64, f64)> = (0..=40)
            .map(|i| (10.0 * f64::from(i), drop_m * (1.0 - f64::from(i) / 40.0)))
            .collect();
        let mut line = Line::plain(&points, &pipe::find(words).unwrap());
        line.reaches[0].pieces_m = vec![piece_m];
        line.reaches[0].is_laid = false;
        line.outlet = Some(Outlet {
            how: Discharge::Jets(
                (0..4)
                    .map(|i| Jet {
                        name: format!("jet {}", i + 1),
                        nozzle_diameter_m: hole_m,
                        open: 1.0,
                        discharge_coefficient: 0.95,
                        velocity_coefficient: 0.97,
                    })
                    .collect(),
            ),
            nozzle_height_m: 0.0,
            water_to_wire: None,
        });
        line.fittings.push(crate::line::Fitting {
            station_m: 398.0,
            kind: FittingKind::BallValve,
            name: "plant valve".to_owned(),
            k: None,
            open: 1.0,
            angle_rad: None,
            in_plan: None,
            bore_m: None,
            rating_pa: None,
        });
        line
    }

    fn judged(line: &Line) -> (Cases, Surges, Strength) {
        let cases = flow::cases(line);
        let surges = march(line, &cases);
        let states = loads(line, &cases, Some(&surges), None);
        let strength = strength::judge(line, &states);
        (cases, surges, strength)
    }

    fn declared<'a>(
        line: &'a Line,
        (cases, surges, strength): &'a (Cases, Surges, Strength),
    ) -> Declared<'a> {
        Declared {
            line,
            cases,
            surges: Some(surges),
            strength,
        }
    }

    fn carried(line: &Line) -> Option<(Zoned, Vec<Result<Pipe, NoZones>>)> {
        let run = judged(line);
        let declared = declared(line, &run);
        Some((declared.zoned()?, declared.lightest()))
    }

    #[test]
    fn a_lighter_class_passes_more_and_its_bore_is_carried_into_flow_and_surge() {
        let (zoned, _) = carried(&plant("PE100 SDR7.4 110", 60.0, 0.009, 12.0)).unwrap();
        assert!(zoned.holds && zoned.mass_kg < zoned.declared_mass_kg);
        for case in &zoned.cases {
            assert!(case.net_head_m > case.declared_net_head_m, "{case:?}");
        }
        assert_ne!(zoned.surge_pa, zoned.declared_surge_pa);
    }

    #[test]
    fn a_zone_that_its_own_pressures_break_is_raised_until_it_stands() {
        let line = plant("PE100 SDR7.4 110", 60.0, 0.009, 12.0);
        let run = judged(&line);
        let declared = declared(&line, &run);
        let thin = pipe::find("PE100 SDR26 110").unwrap();
        let length = line.geometry.length_m();
        let halves = vec![(0.0, 200.0, thin.clone()), (200.0, length, thin.clone())];
        let trial = declared.raised_until_it_stands(halves, |_| true);
        assert!(trial.holds && trial.rounds > 1 && trial.raised.contains(&1));
        assert!(trial.laid[1].2.rating_pa > thin.rating_pa);
        assert!(
            trial
                .strength
                .reaches
                .iter()
                .all(|r| r.use_high.unwrap() <= 1.0 && r.outside_use <= 1.0)
        );
        // beyond the strongest class of the size there is no going up: it is said, not hidden
        let steep = plant("PE100 SDR7.4 110", 240.0, 0.006, 12.0);
        let run = judged(&steep);
        let declared = self::declared(&steep, &run);
        assert!(
            !declared
                .raised_until_it_stands(vec![(0.0, length, thin)], |_| true)
                .holds
        );
    }

    #[test]
    fn a_reach_without_a_class_is_no_hindrance_to_its_neighbour() {
        let mut line = plant("PE100 SDR7.4 110", 60.0, 0.009, 12.0);
        let lower = line.reaches[0].clone();
        line.reaches[0].to_m = 200.0;
        line.reaches.push(Reach {
            from_m: 200.0,
            ..lower
        });
        // the upper reach is a pipe of the owner's own, which stands in no table
        line.reaches[0].pipe.id = String::new();
        let run = judged(&line);
        let declared = declared(&line, &run);
        let lightest = declared.lightest();
        assert_eq!(lightest[0], Err(NoZones::NotInCatalogue));
        let light = lightest[1].as_ref().unwrap();
        assert!(light.rating_pa < line.reaches[1].pipe.rating_pa);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(6))]

        #[test]
        fn zones_carried_back_cover_the_line_and_stand_what_they_bring(drop in 15.0..120.0_f64, hole_mm in 4.0..14.0_f64, words in prop::sample::select(vec!["PE100 SDR7.4 110", "PE4710 DR7 4 in", "DIN 8062 PN16 110"])) {
            let line = plant(words, drop, hole_mm / 1_000.0, 12.0);
            let Some((zoned, lightest)) = carried(&line) else { return Ok(()) };
            prop_assert_eq!(zoned.list[0].from_m, 0.0);
            prop_assert!((zoned.list.last().unwrap().to_m - line.geometry.length_m()).abs() < 1e-9);
            for pair in zoned.list.windows(2) {
                prop_assert_eq!(pair[0].to_m, pair[1].from_m);
            }
            if zoned.holds {
                let laid: Vec<LaidClass> = zoned.list.iter().map(|z| (z.from_m, z.to_m, z.pipe.clone())).collect();
                let (_, _, strength) = judged(&relaid(&line, &laid));
                for reach in &strength.reaches {
                    prop_assert!(reach.static_high_pa * STATIC_MARGIN <= reach.rating_pa.unwrap() * (1.0 + 1e-9), "{:?}", reach);
                    prop_assert!(reach.use_high.unwrap() <= 1.0 + 1e-9 && reach.outside_use <= 1.0 + 1e-9, "{:?}", reach);
                }
            }
            for (reach, light) in line.reaches.iter().zip(lightest) {
                if let Ok(pipe) = light {
                    let (_, _, strength) = judged(&relaid(&line, &[(reach.from_m, reach.to_m, pipe)]));
                    prop_assert!(strength.reaches[0].use_high.unwrap() <= 1.0 + 1e-9);
                }
            }
        }
    }
}
