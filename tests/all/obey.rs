//! The advice is obeyed: on random plants, what each finding says is done and the program run again. That finding must be gone and none that is worse have come.

mod act;
mod plant;

use plant::Plant;
use serde_json::Value;
use std::collections::BTreeMap;

/// Obeyed once: what came of it.
struct Outcome {
    seed: u64,
    code: String,
    cured: bool,
    /// Graver than the finding obeyed, and not there before.
    worse: Vec<String>,
    told: String,
}

fn grave(finding: &Value) -> u8 {
    match finding["severity"].as_str().unwrap() {
        "stop" => 2,
        "fix" => 1,
        _ => 0,
    }
}

/// What tells two findings of one code at one place apart.
const NAMES: [&str; 8] = [
    "movement", "fault", "mark", "against", "cause", "reason", "towards", "at",
];

/// What tells whether one was there before: the same harm by another cause was.
const OLD: [&str; 2] = ["movement", "fault"];

/// The same thing at the same place, whatever its figures.
fn is_same(a: &Value, b: &Value, names: &[&str]) -> bool {
    const NEAR_M: f64 = 10.0;
    let figure = |v: &Value, key: &str| v[key].as_f64().unwrap();
    a["code"] == b["code"]
        && names.iter().all(|n| a["figures"][*n] == b["figures"][*n])
        && figure(a, "from_station_m") <= figure(b, "to_station_m") + NEAR_M
        && figure(b, "from_station_m") <= figure(a, "to_station_m") + NEAR_M
}

fn findings(result: &Value) -> &Vec<Value> {
    result["findings"].as_array().unwrap()
}

fn obey(seed: u64) -> Vec<Outcome> {
    let plant = Plant::random(seed);
    let before = match plant.run() {
        Ok(result) => result,
        Err(why) => panic!("seed {seed}: {why}"),
    };
    let mut out = Vec::new();
    for finding in findings(&before) {
        let Some(then) = act::obeyed(&plant, &before, finding) else {
            continue;
        };
        let code = finding["code"].as_str().unwrap().to_owned();
        let after = match then.run() {
            Ok(result) => result,
            Err(why) => panic!("seed {seed}, {code}: {why}"),
        };
        let cured = !findings(&after).iter().any(|f| is_same(f, finding, &NAMES));
        let worse = findings(&after)
            .iter()
            .filter(|f| grave(f) > grave(finding))
            .filter(|f| {
                !findings(&before)
                    .iter()
                    .any(|b| is_same(b, f, &OLD) && grave(b) >= grave(f))
            })
            .map(|f| format!("{} {}", f["severity"], f["text"]))
            .collect();
        out.push(Outcome {
            seed,
            code,
            cured,
            worse,
            told: format!("{} -> {}", finding["text"], finding["do"]),
        });
    }
    if !act::wanted(&before, |_| true).is_empty() {
        let after = act::all_marks(&plant, &before)
            .run()
            .unwrap_or_else(|why| panic!("seed {seed}, all marks: {why}"));
        let worse: Vec<String> = findings(&after)
            .iter()
            .filter(|f| grave(f) == 2)
            .filter(|f| {
                !findings(&before)
                    .iter()
                    .any(|b| is_same(b, f, &OLD) && grave(b) == 2)
            })
            .map(|f| f["text"].to_string())
            .collect();
        out.push(Outcome {
            seed,
            code: "all marks".to_owned(),
            cured: true,
            worse,
            told: String::new(),
        });
    }
    out
}

/// What is not cured in 98 of 100 yet: the share that is, at least, and why.
const OWED: [(&str, f64, &str); 7] = [
    (
        "vent-fails",
        0.80,
        "a standpipe raised by the told height is told a little more: the surge in it rises with it",
    ),
    (
        "climb",
        0.85,
        "a hand cock is wanted at a climb, and wanted again once it stands; a vent there changes the surge",
    ),
    (
        "column-parts",
        0.94,
        "the search for a valve's time and what is shown of it use other grids",
    ),
    (
        "air-gathers",
        0.80,
        "a vent below the mouth changes what pulls elsewhere",
    ),
    ("air-inlet-lacking", 0.75, "the same"),
    ("joint-in-suction", 0.80, "the same"),
    ("all marks", 0.88, "the same"),
];

/// How many plants: `STEADYFALL_PLANTS`, else few without the optimiser's help and more with it.
fn plants() -> u64 {
    let asked = std::env::var("STEADYFALL_PLANTS").ok();
    asked.and_then(|n| n.parse().ok()).unwrap_or(8)
}

#[test]
fn the_advice_is_obeyed() {
    let first = std::env::var("STEADYFALL_FIRST_PLANT")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(0);
    let all: Vec<Outcome> = (first..first + plants()).flat_map(obey).collect();
    let mut by_code: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    let mut faults = String::new();
    for o in &all {
        let slot = by_code.entry(&o.code).or_default();
        slot.0 += 1;
        let fine = o.cured && o.worse.is_empty();
        slot.1 += usize::from(fine);
        if !fine {
            faults.push_str(&format!(
                "\nseed {} {}: {}\n    {}{}",
                o.seed,
                o.code,
                if o.cured { "gone" } else { "STAYS" },
                o.told,
                o.worse
                    .iter()
                    .map(|w| format!("\n    NEW {w}"))
                    .collect::<String>()
            ));
        }
    }
    let table: String = by_code
        .iter()
        .map(|(code, (of, fine))| format!("\n{code}: {fine} of {of}"))
        .collect();
    println!("{table}\n{faults}");
    for (code, (of, fine)) in by_code {
        let wanted = OWED.iter().find(|o| o.0 == code).map_or(0.98, |o| o.1);
        // Of a kind that is rare on so few plants one failure tells nothing yet.
        let but_one = (fine + 1) as f64 / of as f64;
        assert!(
            but_one >= wanted,
            "{code}: {fine} of {of} cured, {wanted} wanted{faults}"
        );
    }
}
