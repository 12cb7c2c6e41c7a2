use super::places::Places;
use super::{Assumed, Reach};
use crate::pipe::{self, Own, usual_pieces};
use crate::site::{PipeRun, Site};
use crate::text::{Fault, Sentence};

/// The pipes on their stations, covering the line without gap.
pub(super) fn reaches(
    site: &Site,
    places: &Places<'_>,
    assumed: &mut Vec<Assumed>,
    faults: &mut Vec<Fault>,
) -> Vec<Reach> {
    let mut out = Vec::new();
    let mut from_m = 0.0;
    for (i, run) in site.pipes.iter().enumerate() {
        let last = i + 1 == site.pipes.len();
        let to_m = match &run.to {
            Some(at) => match places.station_m(at) {
                Ok(m) => m,
                Err(fault) => {
                    faults.push(fault);
                    continue;
                }
            },
            None => places.length_m(),
        };
        let to_m = if last { places.length_m() } else { to_m };
        if to_m <= from_m {
            let said = run.to.as_ref().map_or_else(
                || run.said.fault("this pipe has no length"),
                |at| {
                    at.fault("this pipe ends above its beginning")
                        .found(at.value.told())
                },
            );
            faults.push(
                said.expected(
                    Sentence::from("a station below ")
                        .length(from_m, 1)
                        .words(" on the line"),
                )
                .advice("put the pipes in order from the intake down"),
            );
            continue;
        }
        match pipe_of(run) {
            Ok(pipe) => {
                let reach = reach(run, pipe, from_m, to_m, places, faults);
                tell(&reach, run, assumed);
                out.push(reach);
            }
            Err(fault) => faults.push(fault),
        }
        from_m = to_m;
    }
    out
}

fn pipe_of(run: &PipeRun) -> Result<pipe::Pipe, Fault> {
    let own = Own {
        material: run.own.material,
        outer_diameter_m: run.own.outer_diameter_m,
        wall_m: run.own.wall_m,
        inner_diameter_m: run.own.inner_diameter_m,
        roughness_m: run.own.roughness_m,
        rating_pa: run.own.rating_pa,
        modulus_pa: run.own.modulus_pa,
        wave_speed_m_per_s: run.own.wave_speed_m_per_s,
        friction_factor: run.own.friction_factor,
    };
    let made = match &run.spec {
        Some(spec) => pipe::find(&spec.value)
            .map_err(|e| e.fault(spec.place.clone()).source_line(&spec.source_line))?
            .with(&own),
        None => pipe::own(&own),
    };
    made.map_err(|e| {
        run.said
            .fault(e.to_string())
            .expected("a pipe that can be made")
            .advice(e.advice())
    })
}

fn reach(
    run: &PipeRun,
    pipe: pipe::Pipe,
    from_m: f64,
    to_m: f64,
    places: &Places<'_>,
    faults: &mut Vec<Fault>,
) -> Reach {
    let mut joints_at_m = Vec::new();
    for at in &run.joints_at {
        match places.station_m(at) {
            Ok(m) => joints_at_m.push(m),
            Err(fault) => faults.push(fault),
        }
    }
    joints_at_m.sort_by(f64::total_cmp);
    let usual = Reach::of(pipe, from_m, to_m);
    Reach {
        joint: run.joint.as_ref().map_or(usual.joint, |j| j.value),
        joint_rating_pa: run.joint_rating_pa,
        pieces_m: run.pieces_m.clone(),
        coil: run.coil.unwrap_or(false),
        joints_at_m,
        is_laid: run.is_laid.unwrap_or(true),
        condition: run.condition.unwrap_or(usual.condition),
        derate: run.derate,
        surge_allowance: run.surge_allowance,
        price_per_m: run.price_per_m,
        ..usual
    }
}

fn tell(reach: &Reach, run: &PipeRun, assumed: &mut Vec<Assumed>) {
    if run.is_laid.is_none() && run.joints_at.is_empty() {
        assumed.push(Assumed::Laid(reach.pipe.spec.clone()));
    }
    if !reach.is_laid && reach.pieces_m.is_empty() {
        let usual = usual_pieces(&reach.pipe);
        assumed.push(Assumed::Pieces {
            spec: reach.pipe.spec.clone(),
            coil: usual.coil,
        });
    }
    if run.joint.is_none() {
        assumed.push(Assumed::Joints {
            spec: reach.pipe.spec.clone(),
            joint: reach.joint,
        });
    }
    if run.condition.is_none() {
        assumed.push(Assumed::New(reach.pipe.spec.clone()));
    }
}
