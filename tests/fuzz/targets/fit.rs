#![no_main]

#[path = "../src/guided.rs"]
mod guided;

guided!("fit");
