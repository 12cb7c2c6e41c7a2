use super::places::PlaceFinder;
use super::{Assumed, Reach};
use crate::pipe::{self, Own, usual_pieces};
use crate::site::{DeclaredPlace, Located, PipeRun, Site};
use crate::text::{Fault, Sentence};

/// The pipes on their stations, covering the line without gap.
pub(super) fn reaches(
    site: &Site,
    places: &PlaceFinder<'_>,
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
        if let Some(fault) = run
            .from
            .as_ref()
            .and_then(|from| beside(from, from_m, i > 0, places))
        {
            faults.push(fault);
        }
        if to_m <= from_m {
            let fault = run.to.as_ref().map_or_else(
                || run.said.fault("this pipe has no length"),
                |at| {
                    at.fault("this pipe ends before it begins: the pipes overlap or are in the wrong order")
                        .found(Sentence::from("it ends at ").and(&at.value.told()))
                },
            );
            faults.push(
                fault
                    .expected(Sentence::from("a station below ").and(&on_pegs(places, from_m)))
                    .advice(
                        "write the [[pipe]] tables in order from the intake down, and check each to",
                    ),
            );
            continue;
        }
        if let Some(to) = run.to.as_ref().filter(|_| last && places.falls_short(to_m)) {
            let told = |m: f64| on_pegs(places, m);
            faults.push(
                to.fault("the last pipe ends above the lower end of the pipeline")
                    .found(Sentence::from("it ends at ").and(&told(to_m)))
                    .expected(
                        Sentence::from("the lower end of the pipeline, ")
                            .and(&told(places.length_m())),
                    )
                    .advice("remove to, or add the next pipe as another [[pipe]]"),
            );
        }
        let to_m = if last { places.length_m() } else { to_m };
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

/// A station along the pipe as it stands on the pegs.
fn on_pegs(places: &PlaceFinder<'_>, station_m: f64) -> Sentence {
    Sentence::default().short(places.pegs().on_pegs(station_m).0)
}

/// The fault of a pipe that does not begin where the one above it ends, or at the intake.
fn beside(
    from: &Located<DeclaredPlace>,
    above_m: f64,
    follows: bool,
    places: &PlaceFinder<'_>,
) -> Option<Fault> {
    let begins_m = places.station_m(from).ok()?;
    let apart_m = begins_m - above_m;
    if apart_m.abs() <= if follows { SAME_M } else { places.slack_m() } {
        return None;
    }
    let (what, above) = if apart_m < 0.0 {
        (
            "this pipe overlaps the one above it",
            ", the one above ends at ",
        )
    } else if follows {
        ("there is a gap above this pipe", ", the one above ends at ")
    } else {
        (
            "there is a gap above this pipe",
            ", the pipeline begins at ",
        )
    };
    Some(
        from.fault(what)
            .found(
                Sentence::from("it begins at ")
                    .and(&from.value.told())
                    .words(above)
                    .and(&on_pegs(places, above_m)),
            )
            .expected("each pipe from where the one above it ends")
            .advice("remove from: a pipe begins at the end of the pipe above it"),
    )
}

/// Stations this near are one, m.
const SAME_M: f64 = 1e-6;

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
    places: &PlaceFinder<'_>,
    faults: &mut Vec<Fault>,
) -> Reach {
    let joints_at_m = joints(run, from_m, to_m, places, faults);
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

/// Joints that are there, in order down the line, each once and on its pipe.
fn joints(
    run: &PipeRun,
    from_m: f64,
    to_m: f64,
    places: &PlaceFinder<'_>,
    faults: &mut Vec<Fault>,
) -> Vec<f64> {
    let mut out: Vec<f64> = Vec::new();
    for at in &run.joints_at {
        let station_m = match places.station_m(at) {
            Ok(m) => m,
            Err(fault) => {
                faults.push(fault);
                continue;
            }
        };
        let fault = if out.iter().any(|o| (o - station_m).abs() <= SAME_M) {
            Some(at.fault("this joint is given twice"))
        } else if station_m < from_m - SAME_M {
            Some(at.fault("a joint is above the beginning of its pipe"))
        } else if station_m > to_m + SAME_M {
            Some(at.fault("a joint is below the end of its pipe"))
        } else {
            None
        };
        faults.extend(fault.map(|f| {
            f.found(at.value.told())
                .expected(
                    Sentence::from("stations from ")
                        .and(&on_pegs(places, from_m))
                        .words(" to ")
                        .and(&on_pegs(places, to_m))
                        .words(", each once"),
                )
                .advice("give each joint in the [[pipe]] where it is")
        }));
        out.push(station_m);
    }
    out.sort_by(f64::total_cmp);
    out
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
    if run.condition.is_none() && reach.is_laid {
        assumed.push(Assumed::New(reach.pipe.spec.clone()));
    }
}
