//! Water hammer in one plain tube by the method of characteristics: a nozzle that closes in two seconds.

use steadyfall::surge::{
    Forebay, InitialState, LowerEnd, MocGrid, Nozzles, OpeningSchedule, PipeSeries, QuadraticLoss,
    TransientOptions, Tube, run_moc,
};

/// Prints the highest and lowest head at the nozzle.
pub fn main() {
    let flow_m3_per_s = 0.005;
    let mut series = PipeSeries {
        gravity_m_per_s2: 9.81,
        forebay: Forebay {
            level_m: 62.0,
            mouth: QuadraticLoss::default(),
        },
        tubes: vec![Tube {
            length_m: 640.0,
            bore_m: 0.0736,
            wave_speed_m_per_s: 400.0,
            friction_factor: 0.02,
        }],
        joins: Vec::new(),
        end: LowerEnd::Shut,
    };
    let start = InitialState::flowing(&series, flow_m3_per_s);
    let heads = series.steady_heads_m(&start);
    let head_m = heads.last().map_or(0.0, |h| h.1);
    let mut nozzles = Nozzles::passing(flow_m3_per_s, head_m, 0.0, 9.81);
    nozzles.course = OpeningSchedule::straight(1.0, 0.0, 2.0);
    series.end = LowerEnd::Nozzles(nozzles);
    let start = InitialState::flowing(&series, flow_m3_per_s);
    let grid = MocGrid::with_step(&series.tubes, 0.01);
    let options = TransientOptions {
        duration_s: 10.0,
        air_head_m: 10.0,
        ..TransientOptions::default()
    };
    let end = run_moc(&series, &grid, &start, &options).outlet;
    println!(
        "static 62 m, highest {:.1} m, lowest {:.1} m",
        end.max_m, end.min_m
    );
}
