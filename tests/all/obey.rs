//! The advice is obeyed: on random plants, what each finding says is done and the program run again. That finding must be gone and none that is worse have come.

mod act;
mod cases;
mod plant;
mod stakes;
mod wide;
mod works;

use plant::Plant;
use serde_json::Value;
use std::collections::BTreeMap;

/// Obeyed once: what came of it.
struct Outcome {
    seed: u64,
    code: String,
    /// The finding, where it is there still.
    stays: Option<String>,
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
const NAMES: [&str; 10] = [
    "movement",
    "cause_name",
    "valve",
    "fault",
    "mark",
    "against",
    "cause",
    "reason",
    "towards",
    "at",
];

/// What tells whether one was there before: the same harm by another cause was.
const OLD: [&str; 2] = ["movement", "fault"];

/// A movement at the user's pace is the same one in the states that theirs does not name.
fn name(value: &Value) -> Value {
    match value.as_str() {
        Some(text) => text.trim_end_matches(", other states").into(),
        None => value.clone(),
    }
}

/// The same thing at the same place, whatever its figures.
fn is_same(a: &Value, b: &Value, names: &[&str]) -> bool {
    const NEAR_M: f64 = 10.0;
    let figure = |v: &Value, key: &str| v[key].as_f64().unwrap();
    let long = |v: &Value| figure(v, "to_station_m") - figure(v, "from_station_m") > 2.0 * NEAR_M;
    // two stretches that touch are neighbours; what has hardly a length is the same a little farther on
    let near_m = if long(a) && long(b) { -NEAR_M } else { NEAR_M };
    a["code"] == b["code"]
        && names
            .iter()
            .all(|n| name(&a["figures"][*n]) == name(&b["figures"][*n]))
        && figure(a, "from_station_m") <= figure(b, "to_station_m") + near_m
        && figure(b, "from_station_m") <= figure(a, "to_station_m") + near_m
}

/// A pipe that was pressed flat and now lacks a vent alone: the same harm, less grave.
fn is_milder(before: &Value, finding: &Value) -> bool {
    let pressed = |b: &&Value| b["code"] == "collapse-without-air" && grave(b) >= grave(finding);
    finding["code"] == "air-inlet-lacking" && findings(before).iter().any(|b| pressed(&b))
}

/// It was said beforehand that the wanted marks bring it.
fn was_warned_of(before: &Value, finding: &Value) -> bool {
    findings(before)
        .iter()
        .any(|b| b["with_marks"] == "brought" && is_same(b, finding, &OLD))
}

/// The same part: a joint that is too weak hides the pipe behind it, and the advice says so; a pipe that is lighter already may do with a lighter one still.
fn is_of_the_same_part(a: &Value, b: &Value) -> bool {
    let key = match b["code"].as_str() {
        Some("over-pressure") if b["figures"]["weakest"] != "pipe" => "weakest",
        Some("lighter-would-do") => "lightest_spec",
        _ => return true,
    };
    a["figures"][key] == b["figures"][key]
}

/// Said with the advice: after a new pipe the closing times are others.
fn is_said_with(finding: &Value, new: &Value) -> bool {
    let of_movement = ["column-parts", "surge-over", "parting-not-settled"];
    finding["code"] == "loss-high" && of_movement.iter().any(|code| new["code"] == *code)
}

/// What the finding says now, where it is there still.
fn still(after: &Value, finding: &Value) -> Option<String> {
    findings(after)
        .iter()
        .filter(|f| f["with_marks"] != "brought")
        .filter(|f| is_of_the_same_part(f, finding))
        .find(|f| is_same(f, finding, &NAMES))
        .map(|f| f["text"].to_string())
}

fn findings(result: &Value) -> &Vec<Value> {
    result["findings"].as_array().unwrap()
}

/// Findings of which the cure is to know more: the plant stays what it is, and what is then known may be a harm.
const MEASURED: [&str; 11] = [
    "traffic-not-judged",
    "float-not-judged",
    "deflection-not-judged",
    "start-not-settled",
    "climb-doubtful",
    "not-recorded",
    "pressure-not-settled",
    "collapse-not-settled",
    "joint-not-settled",
    "full-not-settled",
    "bend-not-settled",
];

/// Seeds from here on are of wider plants.
const WIDE: u64 = 1000;

/// Seeds from here on are of plants with works at their intake, a trench and metals.
const WORKS: u64 = 2000;

fn plant(seed: u64) -> Plant {
    match seed {
        WORKS.. => Plant::with_works(seed - WORKS),
        WIDE.. => Plant::wide(seed - WIDE),
        _ => Plant::random(seed),
    }
}

fn obey(seed: u64) -> Vec<Outcome> {
    let plant = plant(seed);
    let before = match plant.run() {
        Ok(result) => result,
        Err(why) => panic!("seed {seed}: {why}"),
    };
    for mark in before["marks"].as_array().unwrap() {
        let only_in = mark["state"] == "wanted" && mark["device"] == "vacuum valve";
        let for_air_out = ["air-collects", "start-up"]
            .iter()
            .any(|why| mark["why_code"] == *why);
        assert!(
            !(only_in && for_air_out),
            "seed {seed}: lets no air out: {mark}"
        );
    }
    let mut out = Vec::new();
    for finding in findings(&before) {
        if finding["with_marks"] == "brought" {
            continue;
        }
        let Some(then) = act::obeyed(&plant, &before, finding) else {
            continue;
        };
        let code = finding["code"].as_str().unwrap().to_owned();
        let told = format!("{} -> {}", finding["text"], finding["do"]);
        let after = match then.run() {
            Ok(result) => result,
            Err(why) => {
                out.push(Outcome {
                    seed,
                    code,
                    stays: None,
                    worse: vec![format!("refused: {why}")],
                    told,
                });
                continue;
            }
        };
        let stays = still(&after, finding);
        // who measures better may learn of a harm that was there already
        let measured = MEASURED.contains(&code.as_str());
        let worse = findings(&after)
            .iter()
            .filter(|_| !measured)
            .filter(|f| grave(f) > grave(finding) && f["with_marks"] != "brought")
            .filter(|f| !was_warned_of(&before, f) && !is_milder(&before, f))
            .filter(|f| !is_said_with(finding, f))
            // a lighter pipe was said to live by vents
            .filter(|f| f["code"] != "air-inlet-lacking" || finding["figures"]["needs_air"] != true)
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
            stays,
            worse,
            told,
        });
    }
    if !act::wanted(&before, |_| true).is_empty() {
        let after = act::all_marks(&plant, &before)
            .run()
            .unwrap_or_else(|why| panic!("seed {seed}, all marks: {why}"));
        let worse: Vec<String> = findings(&after)
            .iter()
            .filter(|f| grave(f) == 2 && !was_warned_of(&before, f))
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
            stays: None,
            worse,
            told: String::new(),
        });
        out.push(Outcome {
            seed,
            code: "as advised".to_owned(),
            stays: None,
            worse: unlike(&before["as_advised"], &after),
            told: String::new(),
        });
    }
    for climb in findings(&before).iter().filter(|f| f["code"] == "climb") {
        let mut then = plant.clone();
        if stakes::staked(&mut then, &before, climb).is_none() {
            continue;
        }
        let after = then
            .run()
            .unwrap_or_else(|why| panic!("seed {seed}, staked: {why}"));
        out.push(Outcome {
            seed,
            code: "staked".to_owned(),
            stays: still(&after, climb),
            worse: Vec::new(),
            told: climb["text"].to_string(),
        });
    }
    out
}

/// Where a run of what was advised says something else than what was told of it: every figure told, to its last digit.
fn unlike(told: &Value, real: &Value) -> Vec<String> {
    let mut out = Vec::new();
    if told["marks_wanted_still"] == 0 {
        compare("", told, real, &mut out);
    } else {
        out.push(format!("{} marks wanted still", told["marks_wanted_still"]));
    }
    out
}

fn compare(at: &str, told: &Value, real: &Value, out: &mut Vec<String>) {
    match told {
        Value::Object(map) => {
            for (key, value) in map {
                if key != "marks_wanted_still" {
                    compare(&format!("{at}/{key}"), value, &real[key], out);
                }
            }
        }
        Value::Array(list) => {
            for (i, value) in list.iter().enumerate() {
                compare(&format!("{at}/{i}"), value, &real[i], out);
            }
        }
        _ if told != real => out.push(format!("{at}: told {told}, is {real}")),
        _ => {}
    }
}

/// The share of a kind that is cured at least, with nothing worse come.
const CURED: f64 = 0.98;

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
    let wide = WIDE + first / 4..WIDE + first / 4 + plants().div_ceil(4);
    let works = WORKS + first / 4..WORKS + first / 4 + plants().div_ceil(4);
    let seeds = (first..first + plants()).chain(wide).chain(works);
    let only = std::env::var("STEADYFALL_PLANT")
        .ok()
        .and_then(|n| n.parse().ok());
    let all: Vec<Outcome> = match only {
        Some(seed) => {
            println!("{}\n{}", plant(seed).site(), plant(seed).sheet());
            obey(seed)
        }
        None => seeds.flat_map(obey).collect(),
    };
    let mut by_code: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    let mut faults = String::new();
    for o in &all {
        let slot = by_code.entry(&o.code).or_default();
        slot.0 += 1;
        let fine = o.stays.is_none() && o.worse.is_empty();
        slot.1 += usize::from(fine);
        if !fine {
            faults.push_str(&format!(
                "\nseed {} {}: {}\n    {}{}",
                o.seed,
                o.code,
                if o.stays.is_none() { "gone" } else { "STAYS" },
                o.told,
                o.stays
                    .iter()
                    .map(|w| format!("\n    STILL {w}"))
                    .chain(o.worse.iter().map(|w| format!("\n    NEW {w}")))
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
        // Of a kind that is rare on so few plants one failure tells nothing yet.
        let but_one = (fine + 1) as f64 / of as f64;
        assert!(but_one >= CURED, "{code}: {fine} of {of} cured{faults}");
    }
}
