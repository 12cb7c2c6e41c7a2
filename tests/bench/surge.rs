//! What a march costs beside a bare frictionless loop over the same cells, how it grows, and a whole search for safe times.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::disallowed_methods,
    missing_docs,
    reason = "a bench stops at the first thing that is not as it should be"
)]

use divan::counter::ItemsCount;
use divan::{Bencher, black_box};
use steadyfall::flow;
use steadyfall::line::{Discharge, Jet, Line, Outlet};
use steadyfall::march::{
    Forebay, InitialState, LowerEnd, MocGrid, Nozzles, OpeningSchedule, PipeSeries, QuadraticLoss,
    TransientOptions, Tube, run_moc,
};
use steadyfall::pipe::find;
use steadyfall::surge::{Allowed, SurgeOptions, study};

fn main() {
    divan::main();
}

const STEPS: usize = 2000;

/// The loop of the textbooks with nothing on it: no friction, no extremes kept, ends held. Built for wider registers too, as the march is.
#[multiversion::multiversion(targets("x86_64+avx+avx2"))]
fn bare(cells: usize, steps: usize) -> f64 {
    let b = 1.5;
    let (mut head, mut flow) = (vec![100.0; cells + 1], vec![0.5; cells + 1]);
    let (mut next_head, mut next_flow) = (head.clone(), flow.clone());
    head[cells / 2] = 110.0;
    for _ in 0..steps {
        let (h, q) = (&head[..=cells], &flow[..=cells]);
        let (nh, nq) = (&mut next_head[..=cells], &mut next_flow[..=cells]);
        for i in 1..cells {
            let down = h[i - 1] + b * q[i - 1];
            let up = h[i + 1] - b * q[i + 1];
            nh[i] = 0.5 * (down + up);
            nq[i] = (down - up) * (0.5 / b);
        }
        std::mem::swap(&mut head, &mut next_head);
        std::mem::swap(&mut flow, &mut next_flow);
    }
    head[cells / 3]
}

fn chain(friction_factor: f64) -> (PipeSeries, f64) {
    let tube = Tube {
        length_m: 640.0,
        bore_m: 0.0736,
        wave_speed_m_per_s: 400.0,
        friction_factor,
    };
    let flow = 0.005;
    let mut chain = PipeSeries {
        gravity_m_per_s2: 9.81,
        forebay: Forebay {
            level_m: 62.0,
            mouth: QuadraticLoss::default(),
        },
        tubes: vec![tube],
        joins: Vec::new(),
        end: LowerEnd::Shut,
    };
    let head = chain
        .steady_heads_m(&InitialState::flowing(&chain, flow))
        .last()
        .unwrap()
        .1;
    let mut nozzles = Nozzles::passing(flow, head, 0.0, 9.81);
    nozzles.course = OpeningSchedule::straight(1.0, 0.0, 5.0);
    chain.end = LowerEnd::Nozzles(nozzles);
    (chain, flow)
}

/// The march with nodes as far apart and steps as long as the bare loop's: half a cell of the march is a cell of the loop.
fn marched(cells: usize, steps: usize) -> f64 {
    let (chain, flow) = chain(0.02);
    let step_s = 1.6 / cells as f64 * 2.0;
    let grid = MocGrid::with_step(&chain.tubes, step_s);
    let orders = TransientOptions {
        duration_s: step_s * steps as f64 / 2.0,
        air_head_m: 10.0,
        ..TransientOptions::default()
    };
    run_moc(&chain, &grid, &InitialState::flowing(&chain, flow), &orders)
        .outlet
        .max_m
}

#[divan::bench(args = [100, 1000, 100_000])]
fn bare_loop(bencher: Bencher<'_, '_>, cells: usize) {
    let steps = steps_for(cells);
    bencher
        .counter(ItemsCount::new(cells * steps))
        .bench(|| bare(black_box(cells), steps));
}

#[divan::bench(args = [100, 1000, 100_000])]
fn march_same_cells(bencher: Bencher<'_, '_>, cells: usize) {
    let steps = steps_for(cells);
    bencher
        .counter(ItemsCount::new(cells * steps))
        .bench(|| marched(black_box(cells), steps));
}

fn steps_for(cells: usize) -> usize {
    if cells > 10_000 { 200 } else { STEPS }
}

/// An ordinary site: 640 m of 90 mm pipe, 62 m of fall, four jets, 300 stations.
fn site() -> Line {
    let points: Vec<(f64, f64)> = (0..=300)
        .map(|i| {
            let s = 640.0 * f64::from(i) / 300.0;
            (s, 100.0 - 62.0 * s / 640.0 + (s / 40.0).sin())
        })
        .collect();
    let mut line = Line::plain(&points, &find("PE100 SDR11 90").unwrap());
    line.outlet = Some(Outlet {
        how: Discharge::Jets(
            (0..4)
                .map(|i| Jet {
                    name: i.to_string(),
                    nozzle_diameter_m: 0.009,
                    open: 1.0,
                    discharge_coefficient: 0.95,
                    velocity_coefficient: 0.97,
                })
                .collect(),
        ),
        nozzle_height_m: 0.4,
        water_to_wire: None,
    });
    line
}

#[divan::bench]
fn search_of_a_site(bencher: Bencher<'_, '_>) {
    let line = site();
    let runs = flow::cases(&line).runs;
    let n = line.geometry.heights.station_m.len();
    let options = SurgeOptions {
        allowed: Some(Allowed {
            routine_pa: vec![7.5e5; n],
            rare_pa: vec![9.0e5; n],
            least_pa: vec![-30_000.0; n],
        }),
        ..SurgeOptions::default()
    };
    bencher.bench(|| study(black_box(&line), &runs, &options));
}

#[divan::bench]
fn study_without_search(bencher: Bencher<'_, '_>) {
    let line = site();
    let runs = flow::cases(&line).runs;
    bencher.bench(|| study(black_box(&line), &runs, &SurgeOptions::default()));
}
