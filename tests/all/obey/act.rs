//! Does what a finding says, by its figures.

use super::plant::{Laid, Outlet, Plant, Table, quoted};
use serde_json::Value;
use steadyfall::pipe;

fn figure(finding: &Value, key: &str) -> Option<f64> {
    finding["figures"][key].as_f64()
}

fn word<'a>(finding: &'a Value, key: &str) -> &'a str {
    finding["figures"][key].as_str().unwrap_or("")
}

fn station(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap()
}

/// Marks that are wanted, as they would be declared.
pub fn wanted(result: &Value, which: impl Fn(&Value) -> bool) -> Vec<Table> {
    // A loop of slack is no mark that can be declared.
    const LAID_BY_CREW: [&str; 5] = ["joint", "elbow", "reducer", "stake", "loop"];
    let marks = result["marks"].as_array().unwrap();
    marks
        .iter()
        .filter(|m| m["state"] == "wanted" && which(m))
        .filter(|m| !LAID_BY_CREW.contains(&m["kind"].as_str().unwrap()))
        .map(|m| {
            let mut out: Table = vec![
                ("kind", format!("\"{}\"", m["kind"].as_str().unwrap())),
                ("at", quoted(station(m, "station_m"), "m")),
            ];
            if let Some(device) = m["device"].as_str() {
                out.push(("device", format!("\"{device}\"")));
            }
            for (key, from, unit) in [
                ("bore", "bore_m", "m"),
                ("top", "top_m", "m"),
                ("strength", "force_n", "N"),
            ] {
                if let Some(x) = m[from].as_f64() {
                    out.push((key, quoted(x, unit)));
                }
            }
            out
        })
        .collect()
}

fn inside(finding: &Value, near_m: f64) -> impl Fn(&Value) -> bool {
    let (from, to) = (
        station(finding, "from_station_m"),
        station(finding, "to_station_m"),
    );
    move |m| {
        let s = m["station_m"].as_f64().unwrap();
        s >= from - near_m && s <= to + near_m
    }
}

/// Everything that is wanted stands, and what stands and does not work is put right.
pub fn all_marks(plant: &Plant, result: &Value) -> Plant {
    let mut out = plant.clone();
    for mark in &mut out.marks {
        mark.retain(|(k, _)| *k != "state" && *k != "cock");
    }
    out.marks.extend(wanted(result, |_| true));
    out
}

/// The plant once a finding is obeyed; `None` where it says to look, to measure or to compare and nothing that could be done here.
pub fn obeyed(plant: &Plant, result: &Value, finding: &Value) -> Option<Plant> {
    let mut out = plant.clone();
    let at = inside(finding, 0.5);
    match finding["code"].as_str().unwrap() {
        "over-pressure" | "collapse-without-air" if word(finding, "cause") == "surge" => {
            slower(&mut out, word(finding, "cause_name"), result)?
        }
        "over-pressure" => stronger(&mut out, result, finding)?,
        "surge-over" | "column-parts" | "parting-not-settled" => {
            let safe = figure(finding, "safe_s")?;
            set_time(&mut out, result, word(finding, "movement"), safe)?;
        }
        "unrestrained" => {
            if finding["figures"]["block_offered"] != true {
                return None;
            }
            let kind = "\"block\"".to_owned();
            out.marks.push(vec![
                ("kind", kind),
                ("at", quoted(station(finding, "from_station_m"), "m")),
                ("strength", quoted(figure(finding, "force_n")?, "N")),
            ]);
        }
        "hold-end" | "hold-thrust" | "hold-slope" | "hold-flood" | "hold-heat" | "hold-span" => {
            let kind = word(finding, "mark").to_owned();
            let marks = wanted(result, |m| m["kind"] == kind.as_str() && at(m));
            add(&mut out, marks)?;
        }
        "climb" => {
            let crest = figure(finding, "crest_station_m")?;
            vent_near(&mut out, result, crest);
        }
        "air-lock" | "may-start" => {
            let vents = finding["figures"]["vents_m"].as_array()?;
            if vents.is_empty() || finding["figures"]["vents_enough"] != true {
                return None;
            }
            for vent in vents {
                vent_near(&mut out, result, vent.as_f64()?);
            }
        }
        "start-not-settled"
        | "climb-doubtful"
        | "not-recorded"
        | "pressure-not-settled"
        | "collapse-not-settled"
        | "joint-not-settled"
        | "full-not-settled" => level(&mut out),
        "collapse-without-air" | "joint-in-suction" if word(finding, "cause") == "emptied" => {
            let marks = wanted(result, |m| m["kind"] == "vent");
            add(&mut out, marks)?;
        }
        "joint-in-suction" if word(finding, "cause") == "surge" => {
            slower(&mut out, word(finding, "cause_name"), result)?
        }
        "air-inlet-lacking" => {
            let marks = wanted(result, |m| {
                m["kind"] == "vent" && m["device"] != "hand cock" && m["device"] != "air valve"
            });
            add(&mut out, marks)?;
        }
        "air-gathers" if word(finding, "reason") == "below a shut-off" => {
            let near = inside(finding, 3.0);
            let marks = wanted(result, |m| m["kind"] == "vent" && near(m));
            add(&mut out, marks)?;
        }
        "does-not-run-full" => throttled(&mut out, finding)?,
        "vent-fails" => mended(&mut out, result, finding)?,
        "low-without-drain" => {
            let marks = wanted(result, |m| m["kind"] == "drain" && at(m));
            add(&mut out, marks)?;
        }
        "submergence" => {
            let raise = figure(finding, "wanted_m")? - figure(finding, "has_m")?;
            out.levels_m.1 += raise + 1e-4;
            out.levels_m.0 = out.levels_m.0.max(out.levels_m.1);
            out.levels_m.2 = out.levels_m.2.max(out.levels_m.0);
        }
        "too-warm" => {
            out.laid.push(vec![
                ("from", "\"0 m\"".to_owned()),
                ("to", format!("\"{:.4} m\"", plant.length_m())),
                ("how", "\"buried\"".to_owned()),
                ("cover", "\"0.8 m\"".to_owned()),
            ]);
        }
        _ => return None,
    }
    Some(out)
}

fn add(plant: &mut Plant, marks: Vec<Table>) -> Option<()> {
    if marks.is_empty() {
        return None;
    }
    plant.marks.extend(marks);
    Some(())
}

/// Every height measured ten times as well, and found where it was taken to be.
fn level(plant: &mut Plant) {
    for point in &mut plant.points {
        point.2 = point.2.min(0.002);
    }
}

/// The vent that is wanted there; where none is, one that works by itself.
fn vent_near(plant: &mut Plant, result: &Value, at_m: f64) {
    let near = wanted(result, |m| {
        m["kind"] == "vent" && (m["station_m"].as_f64().unwrap() - at_m).abs() < 2.0
    });
    if near.is_empty() {
        plant.marks.push(vec![
            ("kind", "\"vent\"".to_owned()),
            ("at", quoted(at_m, "m")),
            ("device", "\"combination valve\"".to_owned()),
            ("bore", "\"25 mm\"".to_owned()),
        ]);
    }
    plant.marks.extend(near);
}

/// The lightest class that the results name for the reach.
fn stronger(plant: &mut Plant, result: &Value, finding: &Value) -> Option<()> {
    let at_m = station(finding, "from_station_m");
    let reaches = result["strength"].as_array()?;
    let reach = reaches
        .iter()
        .find(|r| station(r, "from_station_m") <= at_m && at_m <= station(r, "to_station_m"))?;
    let spec = reach["lightest_spec"].as_str()?;
    pipe::find(spec).ok()?;
    let of: &mut Laid = plant
        .pipes
        .iter_mut()
        .find(|p| p.to_m.is_none_or(|to| at_m <= to))?;
    of.spec = Some(spec.to_owned());
    Some(())
}

/// A movement in the time that was told.
fn set_time(plant: &mut Plant, result: &Value, movement: &str, safe_s: f64) -> Option<()> {
    let surges = result["surges"].as_array()?;
    let run = surges.iter().find(|s| s["movement"] == movement)?;
    if let Some(own) = plant.movements.iter_mut().find(|m| {
        m.iter()
            .any(|(k, v)| *k == "name" && *v == format!("\"{movement}\""))
    }) {
        for (key, value) in own.iter_mut() {
            if *key == "over" {
                *value = quoted(safe_s, "s");
            }
        }
        return Some(());
    }
    let of = movement
        .strip_suffix(" closing")
        .or_else(|| movement.strip_suffix(" opening"))?;
    // What a machine of a fixed flow shuts is called so in a site file.
    let of = if of == "turbine" { "jets" } else { of };
    plant.movements.push(vec![
        (
            "name",
            format!("\"{of} by the told time {}\"", plant.movements.len()),
        ),
        ("of", format!("\"{of}\"")),
        ("during", run["during"].to_string()),
        ("from", format!("{:.6}", run["from"].as_f64()?)),
        ("to", format!("{:.6}", run["to"].as_f64()?)),
        ("over", quoted(safe_s, "s")),
        ("often", run["often"].to_string()),
    ]);
    Some(())
}

fn slower(plant: &mut Plant, movement: &str, result: &Value) -> Option<()> {
    let surges = result["surges"].as_array()?;
    let safe = surges.iter().find(|s| s["movement"] == movement)?["shortest_safe_s"].as_f64()?;
    set_time(plant, result, movement, safe)
}

/// Throttled to the smallest share that is told for any of its states.
fn throttled(plant: &mut Plant, finding: &Value) -> Option<()> {
    let first = finding["figures"]["limited"]["remedies"]
        .as_array()?
        .iter()
        .find(|r| r["what"] == "throttle")?["area_share"]
        .as_f64()?;
    let also = finding["figures"]["also"].as_array()?;
    let share = also
        .iter()
        .filter_map(|a| a["area_share"].as_f64())
        .fold(first, f64::min);
    match &mut plant.outlet {
        Outlet::Jets(_, mm) => *mm *= share.sqrt(),
        Outlet::Flow(_) => return None,
    }
    Some(())
}

fn mended(plant: &mut Plant, result: &Value, finding: &Value) -> Option<()> {
    let at_m = station(finding, "from_station_m");
    let at = quoted(at_m, "m");
    let mark = plant.marks.iter_mut().find(|m| {
        m.iter().any(|(k, v)| *k == "kind" && v == "\"vent\"")
            && m.iter().any(|(k, v)| {
                *k == "at"
                    && (v == &at || {
                        let stands: f64 = v.trim_matches(['"', 'm', ' ']).parse().unwrap();
                        (stands - at_m).abs() < 0.01
                    })
            })
    })?;
    let mut set = |key: &'static str, value: String| {
        mark.retain(|(k, _)| *k != key);
        mark.push((key, value));
    };
    match word(finding, "fault") {
        "stuck" => set("state", "\"works\"".to_owned()),
        "cock shut" => set("cock", "\"open\"".to_owned()),
        "only in" | "only out" | "by hand" => {
            set("device", "\"combination valve\"".to_owned());
        }
        "spills" => {
            let top =
                result["marks"].as_array()?.iter().find(|m| {
                    m["kind"] == "vent" && (station(m, "station_m") - at_m).abs() < 0.01
                })?["top_m"]
                    .as_f64()?;
            set("top", quoted(top + figure(finding, "raise_by_m")?, "m"));
        }
        "too narrow" => set("bore", quoted(figure(finding, "bore_wanted_m")?, "m")),
        _ => return None,
    }
    Some(())
}
