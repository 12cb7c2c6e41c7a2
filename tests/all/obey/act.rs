//! Does what a finding says, by its figures.

use super::plant::{Book, Laid, Material, Outlet, Plant, Table, quoted};
use serde_json::Value;
use steadyfall::pipe;

pub fn figure(finding: &Value, key: &str) -> Option<f64> {
    finding["figures"][key].as_f64()
}

pub fn word<'a>(finding: &'a Value, key: &str) -> &'a str {
    finding["figures"][key].as_str().unwrap_or("")
}

pub fn station(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap()
}

/// Marks that are wanted, as they would be declared.
pub fn wanted(result: &Value, which: impl Fn(&Value) -> bool) -> Vec<Table> {
    // Joints and elbows are said of the pipe and of what the water passes through, stakes of the heights.
    const LAID_BY_CREW: [&str; 4] = ["joint", "elbow", "reducer", "stake"];
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
                ("slack", "slack_m", "m"),
            ] {
                // an expansion joint's own travel is bought with it
                if key == "slack" && m["kind"] != "loop" {
                    continue;
                }
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
        "over-pressure" | "collapse-without-air"
            if word(finding, "cause") == "surge" && finding["figures"]["at_once"] != true =>
        {
            slower(&mut out, word(finding, "cause_name"), result)?
        }
        "over-pressure" if word(finding, "weakest") == "joint" => rejoined(&mut out, finding)?,
        "over-pressure" => {
            let of = stronger(&mut out, result, finding)?;
            of.joint = tight(of.material);
        }
        "forbidden-joint" => rejoined(&mut out, finding)?,
        "lighter-would-do" => {
            let spec = word(finding, "lightest_spec").to_owned();
            at_pipe(&mut out, finding)?.spec = Some(spec);
        }
        "zones-would-do" => zoned(&mut out, finding)?,
        "collapse-without-air" if word(finding, "cause") == "surge" => {
            let pipe = at_pipe(&mut out, finding)?;
            pipe.class = if pipe.material == Material::Pe { 3 } else { 2 };
        }
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
        "hold-end"
        | "hold-thrust"
        | "hold-slope"
        | "hold-flood"
        | "hold-heat"
        | "hold-span"
        | "hold-jointed"
        | "slack-wanted"
        | "expansion-joints-wanted" => {
            let kind = word(finding, "mark").to_owned();
            let mut marks = wanted(result, |m| m["kind"] == kind.as_str() && at(m));
            // an expansion joint goes with the listed anchors and blocks, an anchor with its listed loops
            let together = finding["figures"]["with_expansion_joints"] == true;
            let beside: &[&str] = match kind.as_str() {
                _ if together => &["anchor", "block", "expansion joint"],
                "expansion joint" => &["anchor", "block"],
                "anchor" => &["loop", "expansion joint"],
                _ => &[],
            };
            if !marks.is_empty() {
                marks.extend(wanted(result, |m| {
                    beside.contains(&m["kind"].as_str().unwrap())
                        && (m["kind"] != kind.as_str() || !at(m))
                }));
            }
            add(&mut out, marks)?;
        }
        "climb" if finding["figures"]["cock_only"] == true => {
            super::stakes::staked(&mut out, result, finding)?
        }
        "climb" if finding["figures"]["idle_station_m"].is_f64() => {
            let at_m = figure(finding, "idle_station_m")?;
            let of = out.marks.iter_mut().find(|m| {
                m.iter().any(|(k, v)| {
                    *k == "at"
                        && v.trim_matches(['"', 'm', ' '])
                            .parse()
                            .is_ok_and(|m: f64| (m - at_m).abs() < 0.01)
                })
            })?;
            of.retain(|(k, _)| *k != "state" && *k != "cock");
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
        | "full-not-settled" => level(&mut out, result),
        "collapse-without-air"
            if word(finding, "cause") == "emptied" && finding["with_marks"] == "stays" =>
        {
            stronger(&mut out, result, finding)?;
        }
        "joint-in-suction" if finding["with_marks"] == "stays" => rejoined(&mut out, finding)?,
        "collapse-without-air" | "joint-in-suction" if word(finding, "cause") == "emptied" => {
            let marks = wanted(result, |m| m["kind"] == "vent");
            add(&mut out, marks)?;
        }
        "joint-in-suction"
            if word(finding, "cause") == "surge" && finding["figures"]["at_once"] != true =>
        {
            slower(&mut out, word(finding, "cause_name"), result)?
        }
        "joint-in-suction" => rejoined(&mut out, finding)?,
        "bend-too-sharp" => {
            out.fittings.push(vec![
                ("at", quoted(station(finding, "from_station_m"), "m")),
                ("kind", "\"elbow\"".to_owned()),
                (
                    "angle",
                    format!("\"{:.4} deg\"", figure(finding, "elbow_deg")?),
                ),
                ("plane", "\"plan\"".to_owned()),
            ]);
        }
        "bend-not-settled" => level(&mut out, result),
        "fast" => {
            let share = figure(finding, "limit_m_per_s")? / figure(finding, "velocity_m_per_s")?;
            narrower(&mut out, 0.98 * share);
        }
        "loss-high" => {
            // the same jets lose by the fifth power of the bore
            let ratio = 1.1 * (figure(finding, "share")? / 0.2).powf(0.2);
            for pipe in &mut out.pipes {
                pipe.size_mm = *[75, 90, 110, 125, 140, 160, 200, 250, 315]
                    .iter()
                    .find(|mm| **mm as f64 > ratio * pipe.size_mm as f64)?;
            }
        }
        "traffic-over" => {
            for table in &mut out.laid {
                table.retain(|(k, _)| *k != "traffic");
            }
        }
        "deflects" | "stones-against-pipe" => {
            for table in &mut out.laid {
                table.retain(|(k, _)| *k != "surround" && *k != "tamped");
                table.push(("surround", "\"stone\"".to_owned()));
                table.push(("tamped", "\"well\"".to_owned()));
            }
        }
        "floats" => {
            let cover = figure(finding, "wanted_cover_m")?;
            for table in &mut out.laid {
                table.retain(|(k, _)| *k != "cover");
                table.push(("cover", quoted(cover, "m")));
            }
        }
        "siphon-fails" if finding["figures"]["vented"] != true => {
            let by_m = figure(finding, "limit_m")? - figure(finding, "gauge_m")? + 0.05;
            for point in &mut out.points {
                point.1 -= if point.1 > 500.0 { by_m } else { 0.0 };
            }
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
            out.laid.clear();
            out.laid.push(vec![
                ("from", "\"0 m\"".to_owned()),
                ("to", format!("\"{:.4} m\"", plant.length_m())),
                ("how", "\"buried\"".to_owned()),
                ("cover", "\"0.8 m\"".to_owned()),
            ]);
        }
        "stream-short" => match word(finding, "feeds") {
            "" => narrower(
                &mut out,
                0.999 * figure(finding, "available_m3_per_s")? / figure(finding, "flow_m3_per_s")?,
            ),
            feeds => {
                let Outlet::Jets(n, _) = &mut out.outlet else {
                    return None;
                };
                *n = feeds.matches(|c: char| c.is_ascii_digit()).count();
            }
        },
        "joints-forced" => {
            for pipe in &mut out.pipes {
                pipe.piece_m *= 40.0;
            }
        }
        "first-metres-flat" => {
            // the first leg falls by a bore in less than a hundred of them
            let bore_m = 1e-3 * plant.pipes[0].size_mm as f64;
            let (first, next) = (out.points[0], out.points[1]);
            let by_m = next.1 - (first.1 - 0.012 * (next.0 - first.0) - bore_m);
            for point in &mut out.points[1..] {
                point.1 -= by_m.max(0.0);
            }
        }
        "air-takes" => {
            // what stands at a rising section and does not work is put right too
            for mark in &mut out.marks {
                mark.retain(|(k, _)| *k != "state" && *k != "cock");
            }
            out.marks.extend(wanted(result, |m| m["kind"] == "vent"));
        }
        code => return super::works::obeyed(plant, finding, code),
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
fn level(plant: &mut Plant, result: &Value) {
    if let Book::Walk(_) = plant.book {
        plant.book = Book::Points;
        let points = result["route"]["points"].as_array().unwrap();
        plant.points = points
            .iter()
            .map(|p| (station(p, "station_m"), station(p, "elevation_m"), 0.002))
            .collect();
    }
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
fn stronger<'a>(plant: &'a mut Plant, result: &Value, finding: &Value) -> Option<&'a mut Laid> {
    let at_m = station(finding, "from_station_m");
    let reaches = result["strength"].as_array()?;
    let named = finding["figures"]["spec"].as_str();
    let reach = reaches.iter().find(|r| {
        let on = station(r, "from_station_m") <= at_m && at_m <= station(r, "to_station_m");
        on && named.is_none_or(|spec| r["spec"] == spec)
    })?;
    let spec = reach["lightest_spec"].as_str()?;
    pipe::find(spec).ok()?;
    let middle_m = 0.5 * (station(reach, "from_station_m") + station(reach, "to_station_m"));
    let of: &mut Laid = plant
        .pipes
        .iter_mut()
        .find(|p| p.to_m.is_none_or(|to| middle_m <= to))?;
    of.spec = Some(spec.to_owned());
    Some(of)
}

/// The pipe that a finding is about.
fn at_pipe<'a>(plant: &'a mut Plant, finding: &Value) -> Option<&'a mut Laid> {
    let at_m = 0.5 * (station(finding, "from_station_m") + station(finding, "to_station_m"));
    plant
        .pipes
        .iter_mut()
        .find(|p| p.to_m.is_none_or(|to| at_m <= to))
}

/// Joints that are rated for the pipe and hold suction.
fn rejoined(plant: &mut Plant, finding: &Value) -> Option<()> {
    let pipe = at_pipe(plant, finding)?;
    pipe.joint = tight(pipe.material);
    Some(())
}

/// The joint that takes what the pipe takes.
fn tight(material: Material) -> &'static str {
    match material {
        Material::Pe => "fused",
        Material::Pvc => "solvent",
        Material::Steel => "welded",
    }
}

/// The classes by zones.
fn zoned(plant: &mut Plant, finding: &Value) -> Option<()> {
    let zones = finding["figures"]["zones"].as_array()?;
    let first = plant.pipes.first()?.clone();
    plant.pipes = zones
        .iter()
        .enumerate()
        .map(|(i, zone)| Laid {
            spec: zone["spec"].as_str().map(str::to_owned),
            to_m: (i + 1 < zones.len()).then(|| station(zone, "to_station_m")),
            ..first.clone()
        })
        .collect();
    Some(())
}

/// Jets or a flow so much smaller.
fn narrower(plant: &mut Plant, share: f64) {
    match &mut plant.outlet {
        Outlet::Jets(_, mm) => *mm *= share.sqrt(),
        Outlet::Flow(l) => *l *= share,
    }
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
        ("name", format!("\"{movement}\"")),
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
        Outlet::Flow(l) => {
            *l = 1e3
                * finding["figures"]["limited"]["remedies"]
                    .as_array()?
                    .iter()
                    .find(|r| r["what"] == "throttle")?["flow_m3_per_s"]
                    .as_f64()?;
        }
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
