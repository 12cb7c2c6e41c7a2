//! The examples of the library run: what they show is what it does.

#[path = "../examples/judge_a_site.rs"]
mod judge_a_site;
#[path = "../examples/judge_a_walk.rs"]
mod judge_a_walk;
#[path = "../examples/pick_a_pipe.rs"]
mod pick_a_pipe;
#[path = "../examples/steady_state.rs"]
mod steady_state;
#[path = "../examples/water_hammer.rs"]
mod water_hammer;

#[test]
fn every_example_runs() {
    judge_a_site::main().unwrap();
    judge_a_walk::main().unwrap();
    pick_a_pipe::main().unwrap();
    steady_state::main().unwrap();
    water_hammer::main();
}

#[test]
fn the_short_road_tells_every_fault_at_once() {
    let error = steadyfall::prelude::check(std::path::Path::new("no-such-site.toml")).unwrap_err();
    assert_eq!(error.0.len(), 1);
    let told: Box<dyn std::error::Error> = Box::new(error);
    assert!(told.to_string().contains("no-such-site.toml"));
}
