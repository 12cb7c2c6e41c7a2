//! What is computed of flow and air is shown where a person looks for it: in result.json, on the page, in the terminal, in the findings.

use crate::schema::{faults, ill_figures};
use serde_json::Value;
use steadyfall::report::account::Report;
use steadyfall::study::{Study, read_route_from};
use steadyfall::terminal;
use steadyfall::terminal::look::Look;
use steadyfall::unit::Units;
use steadyfall::{html as page, json};
use steadyfall::{line, site, survey};

const THREE_CLIMBS: &[(f64, f64)] = &[
    (0.0, 500.0),
    (80.0, 480.0),
    (120.0, 486.0),
    (200.0, 460.0),
    (240.0, 466.0),
    (330.0, 440.0),
    (370.0, 447.0),
    (520.0, 400.0),
];
const EVEN: &[(f64, f64)] = &[(0.0, 500.0), (300.0, 450.0), (600.0, 430.0)];
const SIPHON: &[(f64, f64)] = &[
    (0.0, 99.0),
    (6.0, 101.5),
    (60.0, 80.0),
    (90.0, 84.0),
    (300.0, 50.0),
];
const CREST: &[(f64, f64)] = &[(0.0, 99.0), (75.0, 97.0), (150.0, 98.8), (500.0, 60.0)];

const JETS: &str = "[turbine]\njets = 3\nnozzle_diameter = \"10 mm\"\nwater_to_wire = 0.5\n";
const BOX: &str =
    "[intake]\nwater_level = \"0.6 m\"\nlow_level = \"0.3 m\"\nflood_level = \"1.0 m\"\n";
const VALVES: &str = "[[fitting]]\nat = \"2 m\"\nkind = \"gate valve\"\nname = \"upper gate\"\n[[fitting]]\nat = \"520 m\"\nkind = \"gate valve\"\nname = \"lower gate\"\n";

/// A plant on a level book with points every few metres.
fn account(corners: &[(f64, f64)], rest: &str) -> Report {
    let mut book = String::from("station_m,height_m\n");
    let (mut along, mut before) = (0.0_f64, corners[0]);
    for pair in corners.windows(2) {
        let parts = ((pair[1].0 - pair[0].0) / 5.0).ceil() as usize;
        for k in 0..parts {
            let t = k as f64 / parts as f64;
            let at = (
                pair[0].0 + t * (pair[1].0 - pair[0].0),
                pair[0].1 + t * (pair[1].1 - pair[0].1),
            );
            along += (at.0 - before.0).hypot(at.1 - before.1);
            before = at;
            book.push_str(&format!("{along:.4},{:.4}\n", at.1));
        }
    }
    let end = corners[corners.len() - 1];
    along += (end.0 - before.0).hypot(end.1 - before.1);
    book.push_str(&format!("{along:.4},{:.4}\n", end.1));
    let text = format!(
        "format = 1\ntitle = \"invented\"\n[survey]\nfiles = [\"book.csv\"]\nkind = \"points\"\nfrom = \"intake\"\ntaped = \"slope\"\npoint_sd = \"0.02 m\"\n[site]\nlatitude = 46.0\naltitude = \"800 m\"\ncoldest_air = \"-10 C\"\n[water]\ntemperature = \"8 C\"\ncoldest = \"1 C\"\nwarmest = \"14 C\"\n[[pipe]]\nspec = \"PE100 SDR11 90\"\njoint = \"fused\"\nstate = \"laid\"\n{rest}"
    );
    let site = site::read_text("site.toml", &text).unwrap_or_else(|f| panic!("{}\n{text}", f[0]));
    let route = read_route_from(&site, &|_, kind, options| {
        survey::read_bytes(book.as_bytes(), "book.csv", kind, options)
    })
    .unwrap_or_else(|f| panic!("{f}"));
    let line = line::build(&site, &route).unwrap_or_else(|f| panic!("{}", f[0]));
    Report::of(Study::of(route, line), Units::Metric)
}

fn result(account: &Report) -> Value {
    let value = json::of_check(account);
    assert_eq!(faults(&value), Vec::<String>::new());
    let mut ill = Vec::new();
    ill_figures(&value, "$", &mut ill);
    assert_eq!(ill, Vec::<String>::new());
    value
}

fn found<'a>(value: &'a Value, kind: &str) -> Vec<&'a Value> {
    let all = value["findings"].as_array().unwrap();
    all.iter().filter(|f| f["kind"] == kind).collect()
}

fn case<'a>(value: &'a Value, name: &str) -> &'a Value {
    let all = value["cases"].as_array().unwrap();
    all.iter().find(|c| c["name"] == name).unwrap()
}

fn holds(text: &str, all: &[&str]) {
    for words in all {
        assert!(text.contains(words), "\"{words}\" is not in\n{text}");
    }
}

#[test]
fn what_runs_is_shown_new_and_slimed_with_every_metre_of_head() {
    let months = "[stream]\nmonths = [\"20 L/s\",\"18 L/s\",\"16 L/s\",\"14 L/s\",\"12 L/s\",\"9 L/s\",\"8 L/s\",\"5 L/s\",\"7 L/s\",\"10 L/s\",\"15 L/s\",\"18 L/s\"]\nleave = \"4 L/s\"\n";
    let account = account(EVEN, &format!("{BOX}{JETS}{months}"));
    let value = result(&account);
    let all = case(&value, "all jets");
    let figure = |key: &str| all[key].as_f64().unwrap();
    assert!(all["slimed"]["water_power_w"].as_f64().unwrap() < figure("water_power_w"));
    let gone = figure("gross_head_m") - figure("net_head_m");
    let kinds = ["friction_m", "local_m", "air_m", "fall_m"];
    let sum: f64 = kinds.iter().map(|k| figure(k)).sum();
    assert!((gone - sum).abs() < 1e-3, "{gone} {sum}");
    let listed: f64 = all["losses"]
        .as_array()
        .unwrap()
        .iter()
        .map(|l| l["head_m"].as_f64().unwrap())
        .sum();
    assert!((gone - listed).abs() < 5e-3, "{gone} {listed}");
    // the doubts add up as squares to the state's own
    let doubts = all["doubts"].as_array().unwrap();
    let square: f64 = doubts
        .iter()
        .map(|d| d["net_head_m"].as_f64().unwrap().powi(2))
        .sum();
    assert!((square.sqrt() - figure("net_head_sd_m")).abs() < 2e-3);
    assert!(
        all["silt"][0]["flushes_m_per_s"].as_f64() > all["silt"][0]["carries_m_per_s"].as_f64()
    );
    let older = all["hazen_williams"]["friction_m"].as_f64().unwrap();
    assert!((older / figure("friction_m") - 1.0).abs() < 0.12);
    let most = value["largest_power"]["water_power_w"].as_f64().unwrap();
    for c in value["cases"].as_array().unwrap() {
        assert!(c["water_power_w"].as_f64().unwrap() <= most * (1.0 + 1e-9));
    }
    // the stream: what must stay is never given away
    for m in value["stream"]["months"].as_array().unwrap() {
        let (flow, may) = (
            m["flow_m3_per_s"].as_f64().unwrap(),
            m["may_take_m3_per_s"].as_f64().unwrap(),
        );
        assert!((may - (flow - 0.004).max(0.0)).abs() < 1e-9);
    }
    assert_eq!(value["stream"]["driest_month"], 8);
    let short = found(&value, "stream short");
    holds(
        short[0]["text"].as_str().unwrap(),
        &["1 jet needs", "driest month (the 8th)", "1.00 L/s"],
    );
    let page = page::of_check(&account);
    holds(
        &page,
        &[
            "The same with fouled or rusted pipe walls",
            "trapped air",
            "part-full section",
            "Hazen-Williams",
            "Maximum hydraulic power",
            "August",
            "Minimum flow to keep the pipe full",
            "Gordon 1970, uneven approach",
            "First section",
            "Sediment: all jets",
        ],
    );
    holds(
        &terminal::of_check(&account, &Look::default()),
        &[
            "fouled pipe",
            "head loss",
            "maximum power",
            "driest month",
            "start",
        ],
    );
}

#[test]
fn a_line_held_back_names_the_point_the_flow_and_each_remedy_with_its_number() {
    let vent = "[intake]\nwater_level = \"1.0 m\"\n[turbine]\njets = 4\nnozzle_diameter = \"20 mm\"\n[[mark]]\nkind = \"vent\"\nat = \"150.2 m\"\ndevice = \"standpipe\"\nbore = \"25 mm\"\ntop = \"4 m\"\n";
    let account = account(CREST, vent);
    let value = result(&account);
    let one = case(&value, "1 jet");
    assert_eq!(one["limited_by"], "crest");
    let limited = &one["limited"];
    // the vent stands a hand's breadth from the station that governs, in the stretch that is sucked at
    assert_eq!(limited["vented"], true);
    let what: Vec<&str> = limited["remedies"]
        .as_array()
        .unwrap()
        .iter()
        .map(|r| r["what"].as_str().unwrap())
        .collect();
    assert_eq!(
        what,
        [
            "throttle",
            "shut the vent",
            "lower the crest",
            "larger upper pipe"
        ]
    );
    assert!(limited["at_best"]["flow_m3_per_s"].as_f64() > one["flow_m3_per_s"].as_f64());
    let told = found(&value, "does not run full");
    assert_eq!(told.len(), 1, "one point, one finding");
    holds(
        told[0]["text"].as_str().unwrap(),
        &[
            "a vent there lets air in",
            "An airtight pipe would carry",
            "2 jets, 3 jets, all jets",
        ],
    );
    holds(
        told[0]["do"].as_str().unwrap(),
        &[
            "Throttle at the turbine valve to",
            "Lower the pipe at 150 m by",
            "from the intake to a point below",
        ],
    );
    holds(
        &page::of_check(&account),
        &["Part-full flow: 1 jet (high point)", "part-full section"],
    );
}

#[test]
fn one_reading_of_a_gauge_names_no_cause_and_says_what_to_read_next() {
    let gauge = "[[gauge]]\nat = \"turbine\"\nstate = \"shut\"\npressure = \"8.6 bar\"\nlimit = \"0.1 bar\"\n";
    let account = account(THREE_CLIMBS, &format!("{BOX}{VALVES}{JETS}{gauge}"));
    let value = result(&account);
    assert_eq!(value["gauges"]["ranked"], false);
    let told = found(&value, "gauge off");
    let text = told[0]["text"].as_str().unwrap();
    holds(
        text,
        &[
            "trapped air (",
            "gauge (",
            "elevation difference or water level (",
            "cannot separate them",
        ],
    );
    holds(
        told[0]["do"].as_str().unwrap(),
        &["Next reading: static again, after you release the air at"],
    );
    // each with the size it would need: all of what is lacking
    let off = value["gauges"]["readings"][0]["off_m"].as_f64().unwrap();
    for e in value["gauges"]["explanations"].as_array().unwrap() {
        assert!((e["head_m"].as_f64().unwrap() + off).abs() < 1e-3, "{e}");
    }
    holds(
        &page::of_check(&account),
        &["the readings cannot separate them", "Next reading"],
    );
}

#[test]
fn air_stands_in_a_block_of_its_own_and_on_the_page() {
    let account = account(THREE_CLIMBS, &format!("{BOX}{VALVES}{JETS}"));
    let value = result(&account);
    let air = &value["air"];
    let climbs = air["pockets"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|p| p["why"] == "climb")
        .count();
    assert_eq!(climbs, 3);
    for pocket in air["pockets"].as_array().unwrap() {
        // at least two named relations a case, and never a word that it is safe
        let sweeps = pocket["sweeping"].as_array().unwrap();
        if pocket["why"] == "climb" {
            assert_eq!(sweeps.len(), 9);
        }
        assert!(pocket["volume_compressed_m3"].as_f64() <= pocket["volume_m3"].as_f64());
    }
    let left = &air["left_in"].as_array().unwrap()[2];
    assert_eq!(left["case"], "all jets");
    let share = |k: &str| left[k].as_f64().unwrap();
    assert!(share("power_share_full") < share("power_share_compressed"));
    assert!(share("power_share_compressed") < 1.0 && share("power_share_full") > 0.0);
    assert!(air["filling"]["time_s"].as_f64().unwrap() > 0.0);
    assert!(air["shut_fill"]["gauge_low_m"].as_f64().unwrap() > 0.0);
    for drain in air["drains"].as_array().unwrap() {
        assert!(drain["emptying_s"].as_f64().unwrap() > 0.0);
        assert_eq!(
            (&drain["frost"], &drain["from_memory"]),
            (&true.into(), &true.into())
        );
        assert!(drain["mark"].is_string());
    }
    for vent in air["vents"].as_array().unwrap() {
        assert!(
            vent["mark"].is_string() && vent["bore_m"].as_f64().unwrap() > 0.0,
            "{vent}"
        );
    }
    let told = found(&value, "air takes");
    holds(
        told[0]["text"].as_str().unwrap(),
        &[
            "compressed air",
            "more air fills the downhill sections",
            "of the power",
        ],
    );
    let page = page::of_check(&account);
    holds(
        &page,
        &[
            "High points with a water seal",
            "largest head loss",
            "Operation with this trapped air",
            "Does the flow clear the air?",
            "Escarameia 2005",
            "No high point is safe by its velocity",
            "Drains at the low points",
            "can freeze",
            "without the waiting times at the vents",
        ],
    );
    assert!(!page.contains("NaN"));
}

#[test]
fn the_order_of_work_is_this_lines_own() {
    let marks = "[[mark]]\nkind = \"vent\"\nat = \"4 m\"\ndevice = \"standpipe\"\nbore = \"40 mm\"\ntop = \"2 m\"\n[[mark]]\nkind = \"vent\"\nat = \"122.9 m\"\ndevice = \"hand cock\"\nbore = \"20 mm\"\n[[mark]]\nkind = \"vent\"\nat = \"247.4 m\"\ndevice = \"air valve\"\nbore = \"25 mm\"\n[[mark]]\nkind = \"drain\"\nat = \"206 m\"\nbore = \"25 mm\"\n";
    let value = result(&account(
        THREE_CLIMBS,
        &format!("{BOX}{VALVES}{JETS}{marks}"),
    ));
    let steps = |job: &str| -> Vec<String> {
        let all = value["work"].as_array().unwrap();
        all.iter()
            .filter(|s| s["job"] == job)
            .map(|s| s["text"].as_str().unwrap().to_owned())
            .collect()
    };
    let joined = |job: &str| steps(job).join("\n");
    let filling = steps("filling");
    holds(
        &filling.join("\n"),
        &[
            "vents at 4 m and 247 m are clear",
            "Open the air cocks at 123 m",
            "Close the drain at 206 m",
            "Open the upper gate to 1.24 L/s",
            "high point at 123 m. Wait until water flows without air, then close the air cock",
            "high point at 247 m. Wait until the vent",
            "which has no vent",
            "It must show 9.86 bar",
            "Open the upper gate slowly and fully",
        ],
    );
    let place = |words: &str| filling.iter().position(|s| s.contains(words)).unwrap();
    assert!(place("air cocks at") < place("Open the upper gate to"));
    assert!(place("Open the upper gate to") < place("high point at 123 m"));
    assert!(place("high point at 123 m") < place("high point at 247 m"));
    // an open standpipe would let the test pressure out
    holds(
        &joined("pressure test"),
        &[
            "Close the upper gate, plug the standpipe at 4 m and close the isolating valve below the vent at 247 m",
            "hand pump",
            "open again what was plugged",
        ],
    );
    // air from above before anything is opened below; cocks only once the water has fallen under them
    let draining = steps("draining");
    let place = |words: &str| draining.iter().position(|s| s.contains(words)).unwrap();
    assert!(place("vent below the head valve, at 4 m") < place("Close the upper gate"));
    assert!(place("Close the upper gate") < place("Open the lower end"));
    assert!(place("Open the lower end") < place("Open the air cocks"));
    holds(
        &joined("flushing"),
        &["0.90 m/s", "drain at 206 m until the water is clear"],
    );
    holds(
        &joined("restarting"),
        &["air cocks at 123 m", "Open the nozzles slowly", "must show"],
    );
    for step in value["work"].as_array().unwrap() {
        assert!(
            !step["text"].as_str().unwrap().contains("nowhere"),
            "{step}"
        );
    }
    // without a vent below the head valve nobody is told to shut it on a full pipe
    let bare = result(&account(THREE_CLIMBS, &format!("{BOX}{VALVES}{JETS}")));
    let bare: Vec<&str> = bare["work"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|s| s["job"] == "draining")
        .map(|s| s["text"].as_str().unwrap())
        .collect();
    assert!(
        !bare.iter().any(|s| s.contains("Close the upper gate")),
        "{bare:?}"
    );
    holds(
        &bare.join("\n"),
        &["Leave that valve open", "Divert the water"],
    );
}

#[test]
fn a_siphon_is_told_as_a_siphon() {
    let intake = "[intake]\nkind = \"siphon\"\nwater_level = \"1.0 m\"\nlow_level = \"0.7 m\"\n";
    let value = result(&account(SIPHON, &format!("{intake}{JETS}")));
    assert_eq!(value["start_up"]["verdict"], "starts");
    assert_eq!(value["start_up"]["unattended"]["verdict"], "locks");
    assert_eq!(value["start_up"]["vents_needed"], serde_json::json!([]));
    let told = found(&value, "siphon by hand");
    holds(
        told[0]["text"].as_str().unwrap(),
        &["1.80 m above", "does not prime itself"],
    );
    assert!(found(&value, "air lock").is_empty());
    // nobody is told to vent its crest
    for f in found(&value, "climb") {
        assert!(f["from_station_m"].as_f64().unwrap() > 10.0, "{f}");
    }
    let crest = value["air"]["vents"]
        .as_array()
        .unwrap()
        .iter()
        .find(|v| v["why"] == "fills the siphon")
        .unwrap();
    assert_eq!(crest["device"], "hand cock");
}

#[test]
fn figures_from_memory_are_marked_on_the_finding_itself() {
    let slow = "[turbine]\njets = 1\nnozzle_diameter = \"4 mm\"\n";
    let flat = &[(0.0, 500.0), (60.0, 499.8), (300.0, 450.0), (600.0, 430.0)];
    let account = account(flat, &format!("{BOX}{slow}"));
    let value = result(&account);
    assert_eq!(found(&value, "silt settles")[0]["from_memory"], true);
    let three = result(&self::account(
        THREE_CLIMBS,
        &format!("{BOX}{VALVES}{JETS}"),
    ));
    for kind in ["low without drain", "submergence"] {
        assert_eq!(found(&three, kind)[0]["from_memory"], true, "{kind}");
    }
    let page = page::of_check(&account);
    holds(&page, &["not verified against its document"]);
    holds(
        &terminal::of_check(&account, &Look::default()),
        &["not verified"],
    );
}

#[test]
fn a_climb_with_only_a_hand_cock_says_who_must_open_it() {
    let cock = |at: &str| {
        format!(
            "[[mark]]\nkind = \"vent\"\nat = \"{at}\"\ndevice = \"hand cock\"\nbore = \"20 mm\"\n"
        )
    };
    let climbs = |marks: &str| {
        let account = account(CREST, &format!("{BOX}{JETS}{marks}"));
        found(&result(&account), "climb")
            .iter()
            .map(|f| format!("{} {}", f["text"], f["do"]))
            .collect::<String>()
    };
    holds(
        &climbs(""),
        &["It has no air vent", "Install an air cock at"],
    );
    holds(
        &climbs(&cock("150 m")),
        &[
            "only air vent is the hand-operated air cock at 150 m, and somebody must open it",
            "Open the air cock at 150 m",
        ],
    );
    // one that stands elsewhere is no help
    holds(&climbs(&cock("40 m")), &["It has no air vent"]);
}

#[test]
fn a_stone_in_a_jet_is_not_told_to_come_slowly() {
    let jet = "[turbine]\njets = 1\nnozzle_diameter = \"22 mm\"\n";
    let lever = "[[fitting]]\nat = \"600 m\"\nkind = \"ball valve\"\nname = \"lower lever\"\n";
    let account = account(EVEN, &format!("{BOX}{jet}{lever}"));
    let value = result(&account);
    let parted = found(&value, "column parts")
        .into_iter()
        .chain(found(&value, "surge over"));
    let (mut jets, mut others) = (0, 0);
    for finding in parted {
        let advice = finding["do"].as_str().unwrap();
        if finding["text"]
            .as_str()
            .unwrap()
            .contains("\"one jet blocked\"")
        {
            jets += 1;
            assert!(advice.contains("block a nozzle immediately"), "{advice}");
        } else {
            others += 1;
            assert!(!advice.contains("block a nozzle immediately"), "{advice}");
        }
    }
    assert!(jets > 0 && others > 0, "{}", value["findings"]);
}
