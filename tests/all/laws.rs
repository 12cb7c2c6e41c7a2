//! Laws that hold on any site, over random ones.

use crate::schema::{faults, ill_figures};
use serde_json::Value;
use steadyfall::json;
use steadyfall::line;
use steadyfall::numeric::Rng;
use steadyfall::report::account::Report;
use steadyfall::site;
use steadyfall::study::{Study, read_route_from};
use steadyfall::survey;
use steadyfall::unit::Units;

/// A random plant: points along a falling route with or without a climb, pipe, jets, a valve.
#[derive(Clone)]
struct Plant {
    book: Vec<(f64, f64, f64, f64)>,
    pipe: &'static str,
    jets: usize,
    nozzle_mm: f64,
    level_m: f64,
}

const PIPES: [&str; 4] = [
    "PE100 SDR11 90",
    "PE100 SDR17 110",
    "PVC SDR26 4 in",
    "PE4710 DR11 3 in IPS",
];

fn plant(seed: u64) -> Plant {
    let mut draws = Rng::new(seed);
    let mut book = vec![(0.0, 0.0, 0.0, 500.0)];
    let (mut east, mut north, mut z, mut station) = (0.0, 0.0, 500.0, 0.0);
    let legs = 4 + (draws.uniform() * 8.0) as usize;
    let mut heading = draws.uniform() * 6.0;
    for leg in 0..legs {
        let level: f64 = 20.0 + 60.0 * draws.uniform();
        heading += 0.5 * (draws.uniform() - 0.5);
        let fall = if leg > 0 && draws.uniform() < 0.15 {
            -0.02
        } else {
            0.03 + 0.2 * draws.uniform()
        };
        east += level * heading.cos();
        north += level * heading.sin();
        z -= level * fall;
        station += level.hypot(level * fall);
        book.push((station, east, north, z));
    }
    Plant {
        book,
        pipe: PIPES[(draws.uniform() * 3.99) as usize],
        jets: 1 + (draws.uniform() * 3.99) as usize,
        nozzle_mm: 5.0 + 5.0 * draws.uniform(),
        level_m: 0.3 + draws.uniform(),
    }
}

impl Plant {
    fn site(&self, extra: &str) -> String {
        format!(
            "format = 1\ntitle = \"random\"\n{extra}\n[survey]\nfiles = [\"book.csv\"]\nkind = \"points\"\nfrom = \"intake\"\ntaped = \"slope\"\npoint_sd = \"0.01 m\"\n[site]\nlatitude = 46.0\naltitude = \"800 m\"\n[water]\ntemperature = \"8 C\"\n\
             [intake]\nwater_level = \"{:.3} m\"\n[[pipe]]\nspec = \"{}\"\n[[fitting]]\nat = \"1 m\"\nkind = \"gate valve\"\nname = \"head valve\"\n[turbine]\njets = {}\nnozzle_diameter = \"{:.2} mm\"\nwater_to_wire = 0.5\n",
            self.level_m, self.pipe, self.jets, self.nozzle_mm
        )
    }

    /// The book as a sheet, mapped point by point.
    fn sheet(&self, map: impl Fn(f64, f64, f64) -> (f64, f64, f64)) -> String {
        let mut out = String::from("east_m,north_m,height_m\n");
        for &(_, e, n, z) in &self.book {
            let (e, n, z) = map(e, n, z);
            out.push_str(&format!("{e:.6},{n:.6},{z:.6}\n"));
        }
        out
    }
}

fn result(site_text: &str, sheet: &str, units: Units) -> Value {
    let site =
        site::read_text("site.toml", site_text).unwrap_or_else(|f| panic!("{}\n{site_text}", f[0]));
    let route = read_route_from(&site, &|_, kind, options| {
        survey::read_bytes(sheet.as_bytes(), "book.csv", kind, options)
    })
    .unwrap_or_else(|f| panic!("{f}\n{sheet}"));
    let line = line::build(&site, &route).unwrap_or_else(|f| panic!("{}", f[0]));
    json::of_check(&Report::of(Study::of(route, line), units))
}

fn close(a: &Value, b: &Value, tolerance: f64, at: &str) {
    match (a, b) {
        (Value::Number(x), Value::Number(y)) => {
            let (x, y) = (x.as_f64().unwrap(), y.as_f64().unwrap());
            assert!(
                (x - y).abs() <= tolerance * x.abs().max(y.abs()).max(1.0),
                "{at}: {x} for {y}"
            );
        }
        (Value::Array(x), Value::Array(y)) => {
            assert_eq!(x.len(), y.len(), "{at}");
            x.iter()
                .zip(y)
                .enumerate()
                .for_each(|(i, (x, y))| close(x, y, tolerance, &format!("{at}[{i}]")));
        }
        (Value::Object(x), Value::Object(y)) => {
            assert_eq!(
                x.keys().collect::<Vec<_>>(),
                y.keys().collect::<Vec<_>>(),
                "{at}"
            );
            x.iter()
                .for_each(|(k, v)| close(v, &y[k], tolerance, &format!("{at}.{k}")));
        }
        _ => assert_eq!(a, b, "{at}"),
    }
}

fn same(name: &str) -> Plant {
    plant(name.bytes().map(u64::from).sum())
}

#[test]
fn results_fit_the_schema_and_losses_add_up() {
    for seed in 0..8 {
        let p = plant(seed);
        let value = result(&p.site(""), &p.sheet(|e, n, z| (e, n, z)), Units::Metric);
        let mut wrong = faults(&value);
        ill_figures(&value, "$", &mut wrong);
        assert!(wrong.is_empty(), "seed {seed}: {}", wrong.join("\n"));
        for case in value["cases"].as_array().unwrap() {
            let get = |k: &str| case[k].as_f64().unwrap();
            let listed = get("friction_m") + get("local_m") + get("air_m") + get("fall_m");
            assert!(
                (get("gross_head_m") - get("net_head_m") - listed).abs() < 3e-4,
                "seed {seed}: {case}"
            );
        }
        let mut at = 0.0;
        for reach in value["strength"].as_array().unwrap() {
            assert!((reach["from_station_m"].as_f64().unwrap() - at).abs() < 1e-3);
            at = reach["to_station_m"].as_f64().unwrap();
        }
        assert!((at - value["route"]["length_m"].as_f64().unwrap()).abs() < 1e-3);
    }
}

#[test]
fn a_plant_turned_or_shifted_in_plan_is_the_same_plant() {
    for seed in [1, 5] {
        let p = plant(seed);
        let plain = result(&p.site(""), &p.sheet(|e, n, z| (e, n, z)), Units::Metric);
        let turned = result(
            &p.site(""),
            &p.sheet(|e, n, z| (-n + 250.0, e - 40.0, z)),
            Units::Metric,
        );
        for key in ["cases", "climbs", "strength", "start_up", "lows"] {
            close(&plain[key], &turned[key], 2e-6, key);
        }
    }
}

#[test]
fn mirrored_it_bends_the_other_way_and_nothing_else_changes() {
    let p = plant(3);
    let plain = result(&p.site(""), &p.sheet(|e, n, z| (e, n, z)), Units::Metric);
    let mirrored = result(&p.site(""), &p.sheet(|e, n, z| (-e, n, z)), Units::Metric);
    for key in ["cases", "climbs", "strength", "start_up"] {
        close(&plain[key], &mirrored[key], 2e-6, key);
    }
    let bends = |v: &Value| {
        v["route"]["bends"]
            .as_array()
            .unwrap()
            .iter()
            .map(|b| b["plan_deg"].as_f64().unwrap())
            .collect::<Vec<_>>()
    };
    let (a, b) = (bends(&plain), bends(&mirrored));
    assert_eq!(a.len(), b.len());
    assert!(
        a.iter().zip(&b).all(|(x, y)| (x + y).abs() < 1e-3),
        "{a:?} {b:?}"
    );
}

#[test]
fn with_the_altitude_given_a_shift_of_all_heights_changes_no_pressure() {
    let p = plant(2);
    let plain = result(&p.site(""), &p.sheet(|e, n, z| (e, n, z)), Units::Metric);
    let lifted = result(
        &p.site(""),
        &p.sheet(|e, n, z| (e, n, z + 1000.0)),
        Units::Metric,
    );
    let pressures = |v: &Value| {
        v["cases"]
            .as_array()
            .unwrap()
            .iter()
            .flat_map(|c| {
                c["points"]
                    .as_array()
                    .unwrap()
                    .iter()
                    .map(|q| q["pressure_pa"].as_f64().unwrap())
            })
            .collect::<Vec<_>>()
    };
    for (a, b) in pressures(&plain).iter().zip(pressures(&lifted)) {
        assert!((a - b).abs() < 2.0, "{a} {b}");
    }
    close(&plain["start_up"], &lifted["start_up"], 1e-5, "start_up");
}

#[test]
fn units_change_what_is_shown_and_no_figure() {
    let p = same("units");
    let sheet = p.sheet(|e, n, z| (e, n, z));
    let mut metric = result(&p.site("units = \"metric\""), &sheet, Units::Metric);
    let mut us = result(&p.site("units = \"us\""), &sheet, Units::Us);
    for value in [&mut metric, &mut us] {
        value["units"] = Value::Null;
        value["verdict_text"] = Value::Null;
        for list in ["findings"] {
            for finding in value[list].as_array_mut().unwrap() {
                finding["text"] = Value::Null;
                finding["do"] = Value::Null;
                // remedies and the next reading are told in words beside their figures
                finding["figures"]["limited"]["remedies"] = Value::Null;
                finding["figures"]["next_reading"] = Value::Null;
            }
        }
        for item in value["laying"]["list"].as_array_mut().into_iter().flatten() {
            item["heed"] = Value::Null;
        }
        for taken in value["assumed"].as_array_mut().into_iter().flatten() {
            taken["value"] = Value::Null;
        }
        // Words, and the columns of the sheet, which stand on round stations of the unit.
        value["work"] = Value::Null;
        value["section"] = Value::Null;
    }
    assert!(metric == us);
}

#[test]
fn twice_and_from_several_threads_at_once_it_is_the_same() {
    let p = same("twice");
    let sheet = p.sheet(|e, n, z| (e, n, z));
    let bytes = || json::printed(&result(&p.site(""), &sheet, Units::Metric));
    let first = bytes();
    std::thread::scope(|scope| {
        let both = [scope.spawn(bytes), scope.spawn(bytes)];
        assert!(both.into_iter().all(|t| t.join().unwrap() == first));
    });
}
