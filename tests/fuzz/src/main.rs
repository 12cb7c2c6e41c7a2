//! Bends the corpus of one target again and again, on any toolchain: `unguided TARGET TIMES SEED`.

use std::cell::Cell;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::process::ExitCode;
use std::time::{Duration, Instant};
use steadyfall_fuzz::bend::{Chance, bend};
use steadyfall_fuzz::{corpus, targets::TARGETS};

/// Longer than this is a hang.
const HANG: Duration = Duration::from_secs(5);
const LONGEST: usize = 40_000;
/// Nine executions of ten begin with a file of the corpus that is shorter than this, where there is one: many small files find more in an hour than few large ones.
const SMALL: usize = 520;

fn main() -> ExitCode {
    let mut words = std::env::args().skip(1);
    let name = words.next().unwrap_or_default();
    let mut number = |otherwise: u64| {
        words
            .next()
            .and_then(|w| w.parse().ok())
            .unwrap_or(otherwise)
    };
    let (times, first) = (number(100_000), number(1));
    let Some((name, target)) = TARGETS.into_iter().find(|t| t.0 == name) else {
        eprintln!("targets: {:?}", TARGETS.map(|t| t.0));
        return ExitCode::FAILURE;
    };
    let seeds = corpus::files(&Path::new(env!("CARGO_MANIFEST_DIR")).join(".."), name);
    let small: Vec<_> = seeds
        .iter()
        .filter(|s| s.1.len() < SMALL)
        .cloned()
        .collect();
    let (mut bad, mut slowest) = (0_u32, Duration::ZERO);
    let begun = Instant::now();
    let said = Cell::new(Instant::now());
    for n in 0..times {
        let mut chance = Chance::new(first.wrapping_mul(0x1000_0000).wrapping_add(n));
        let from = if small.is_empty() || chance.below(10) == 0 {
            &seeds
        } else {
            &small
        };
        let pick = |chance: &mut Chance| chance.of(from).map_or(&[][..], |s| &s.1);
        let mut file = pick(&mut chance).to_vec();
        let other = pick(&mut chance);
        bend(&mut file, other, LONGEST, &mut chance);
        let one = Instant::now();
        let ended = catch_unwind(AssertUnwindSafe(|| target(&file)));
        // What is slow by the clock is run again, by the processor alone: a busy machine makes no hang.
        let mut took = one.elapsed();
        if took > slowest {
            let begun = worked();
            let _ = catch_unwind(AssertUnwindSafe(|| target(&file)));
            took = took.min(worked().saturating_sub(begun));
        }
        slowest = slowest.max(took);
        if ended.is_err() || took > HANG {
            bad += 1;
            let kept = std::env::temp_dir().join(format!("{name}-{first}-{n}"));
            let _ = std::fs::write(&kept, &file);
            eprintln!(
                "{}: {} s, ended {}",
                kept.display(),
                took.as_secs_f64(),
                ended.is_ok()
            );
        }
        if said.get().elapsed() > Duration::from_secs(60) {
            said.set(Instant::now());
            println!(
                "{name}: {n} after {:.0} s, {bad} bad, slowest {slowest:?}",
                begun.elapsed().as_secs_f64()
            );
        }
    }
    println!(
        "{name}: {times} in {:.0} s, {bad} bad, slowest {slowest:?}",
        begun.elapsed().as_secs_f64()
    );
    if bad == 0 {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}

/// Processor time of this thread: a busy machine makes no hang. Where the system does not tell it, the clock.
fn worked() -> Duration {
    static BEGUN: std::sync::LazyLock<Instant> = std::sync::LazyLock::new(Instant::now);
    std::fs::read_to_string("/proc/thread-self/schedstat")
        .ok()
        .and_then(|text| text.split(' ').next()?.parse().ok())
        .map_or_else(|| BEGUN.elapsed(), Duration::from_nanos)
}
