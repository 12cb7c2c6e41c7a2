//! Water hammer in one plain tube by the method of characteristics: a nozzle that closes in two seconds.

use steadyfall::march::{
    Extreme, Forebay, InitialState, LowerEnd, MocGrid, Nozzles, OpeningSchedule, PipeSeries,
    QuadraticLoss, TransientOptions, Tube, run_moc,
};

/// The tube.
pub const TUBE: Tube = Tube {
    length_m: 640.0,
    bore_m: 0.0736,
    wave_speed_m_per_s: 400.0,
    friction_factor: 0.02,
};
/// Level of the forebay above the nozzle, m.
pub const LEVEL_M: f64 = 62.0;

/// Head at the nozzle before it closes, m, and the highest and lowest while it does, from a flow, m3/s, in a time, s.
pub fn close(flow_m3_per_s: f64, in_s: f64) -> (f64, Extreme) {
    let mut series = PipeSeries {
        gravity_m_per_s2: 9.81,
        forebay: Forebay {
            level_m: LEVEL_M,
            mouth: QuadraticLoss::default(),
        },
        tubes: vec![TUBE],
        joins: Vec::new(),
        end: LowerEnd::Shut,
    };
    let start = InitialState::flowing(&series, flow_m3_per_s);
    let head_m = series
        .steady_heads_m(&start)
        .last()
        .map_or(LEVEL_M, |h| h.1);
    let mut nozzles = Nozzles::passing(flow_m3_per_s, head_m, 0.0, 9.81);
    nozzles.course = OpeningSchedule::straight(1.0, 0.0, in_s);
    series.end = LowerEnd::Nozzles(nozzles);
    let start = InitialState::flowing(&series, flow_m3_per_s);
    let grid = MocGrid::with_step(&series.tubes, 0.01);
    let options = TransientOptions {
        duration_s: 10.0,
        air_head_m: 10.0,
        ..TransientOptions::default()
    };
    (head_m, run_moc(&series, &grid, &start, &options).outlet)
}

/// Prints the highest and lowest head at the nozzle.
pub fn main() {
    let (before_m, end) = close(0.005, 2.0);
    println!(
        "{before_m:.1} m before, highest {:.1} m, lowest {:.1} m",
        end.max_m, end.min_m
    );
}
