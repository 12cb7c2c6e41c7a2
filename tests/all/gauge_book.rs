//! The gauge book on invented years, on a published change, and by the laws of what each cause does.

use super::program::{home, program, room};
use super::schema::{faults_of_book, ill_figures};
use proptest::prelude::*;
use std::fmt::Write as _;
use std::fs;
use steadyfall::flow::{self, AirLeg, Dial, PlantChange, respond, wishes};
use steadyfall::gauge_book::{self, Cause, Entry, JudgedBook, TimeCourse, judge};
use steadyfall::line::{CaseWish, Line, Running};
use steadyfall::numeric::Rng;
use steadyfall::pipe::RunState;
use steadyfall::unit::date;

mod invented;
use invented::{DAILY, Event, FIRST_DAY, Habit, TWO_STATES, Year, plant, size_for, year};

/// Invented years of each kind: few in `cargo test`, two hundred in the gate.
fn years() -> u64 {
    std::env::var("STEADYFALL_YEARS")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(4)
}

fn legs(y: &Year) -> Vec<AirLeg> {
    vec![AirLeg {
        crest_m: 0.4 * y.line.geometry.length_m(),
        filled_m: 0.5 * y.air_m,
        full_m: y.air_m,
    }]
}

fn until(y: &Year, day: f64) -> Vec<Entry> {
    let before = |e: &&Entry| e.day < FIRST_DAY + day;
    y.entries.iter().filter(before).cloned().collect()
}

fn judged(y: &Year, day: f64) -> JudgedBook {
    judge(&y.line, &legs(y), &until(y, day))
}

/// The change that is still there, the one that shows most.
fn on_now(j: &JudgedBook) -> Option<&gauge_book::Episode> {
    j.episodes
        .iter()
        .filter(|e| e.on_now)
        .max_by(|a, b| a.ratio.total_cmp(&b.ratio))
}

#[test]
fn a_quiet_year_rarely_gives_an_alarm() {
    let mut alarms = 0;
    for seed in 0..years() {
        for habit in [DAILY, TWO_STATES] {
            let y = year(seed, habit, 365.0, |_, _| Vec::new());
            alarms += judged(&y, 400.0).episodes.len();
        }
    }
    // one in three years is the bar; half the count of years is two habits
    let most = (2 * years()).div_ceil(3);
    assert!(
        alarms as u64 <= most,
        "{alarms} false alarms in {} years",
        2 * years()
    );
}

#[test]
fn a_screen_that_takes_a_tenth_of_the_power_is_found_within_a_week_and_named_first() {
    let (mut found, mut first) = (0, 0);
    let mut missed = String::new();
    for seed in 0..years() {
        let y = year(seed, DAILY, 365.0, |draws, line| {
            let from = draws.between(40.0, 300.0);
            let rise = [0.01, 3.0, 8.0, 15.0][draws.below(4)];
            vec![Event {
                cause: Cause::InTheWay,
                course: TimeCourse {
                    from,
                    full: from + rise,
                    until: f64::INFINITY,
                },
                size: size_for(line, Cause::InTheWay, 0.10),
            }]
        });
        let j = judged(&y, y.happened[0].course.full + 7.0);
        match on_now(&j).map(|e| e.suspects[0].cause) {
            Some(cause) => {
                found += 1;
                first += u64::from(cause == Cause::InTheWay);
            }
            None => writeln!(missed, "seed {seed}").unwrap(),
        }
    }
    assert!(
        10 * found >= 9 * years(),
        "found {found} of {}: {missed}",
        years()
    );
    assert!(100 * first >= 85 * years(), "first {first} of {}", years());
}

/// A screen that fills over three weeks, is cleaned and fills again: two changes, with their days, and not a row of short ones.
#[test]
fn a_screen_cleaned_and_filling_again_is_told_as_two_changes() {
    let mut told = 0;
    for seed in 0..years() {
        let y = year(seed, DAILY, 160.0, |_, line| {
            let filling = |from: f64, until: f64| Event {
                cause: Cause::InTheWay,
                course: TimeCourse {
                    from,
                    full: from + 20.0,
                    until,
                },
                size: size_for(line, Cause::InTheWay, 0.15),
            };
            vec![filling(50.0, 70.0), filling(120.0, f64::INFINITY)]
        });
        let j = judged(&y, 140.0);
        let near = |e: &gauge_book::Episode, from: f64| {
            (e.course.from - FIRST_DAY - from).abs() <= 8.0
                && e.suspects[0].cause == Cause::InTheWay
        };
        told += u64::from(
            matches!(&j.episodes[..], [a, b] if near(a, 50.0) && near(b, 120.0) && !a.on_now && b.on_now),
        );
    }
    assert!(4 * told >= 3 * years(), "{told} of {}", years());
}

#[test]
fn slime_is_told_from_a_screen_where_two_running_states_are_read() {
    let mut first = 0;
    for seed in 0..years() {
        let y = year(seed, TWO_STATES, 365.0, |draws, line| {
            let from = draws.between(20.0, 120.0);
            let (cause, rise) = if draws.uniform() < 0.5 {
                (Cause::Growth, draws.between(90.0, 200.0))
            } else {
                (Cause::InTheWay, draws.between(2.0, 40.0))
            };
            vec![Event {
                cause,
                course: TimeCourse {
                    from,
                    full: from + rise,
                    until: f64::INFINITY,
                },
                size: size_for(line, cause, 0.08),
            }]
        });
        let event = y.happened[0];
        let j = judged(&y, event.course.full + 10.0);
        first += u64::from(on_now(&j).is_some_and(|e| e.suspects[0].cause == event.cause));
    }
    assert!(100 * first >= 80 * years(), "{first} of {}", years());
}

#[test]
fn what_is_told_alone_is_right_and_what_is_told_alike_holds_the_truth() {
    let kinds = [
        (Cause::Air, 0.0),
        (Cause::Level, 0.0),
        (Cause::JetWorn, 150.0),
        (Cause::JetBlocked, 0.0),
        (Cause::GaugeOff, 0.0),
        (Cause::InTheWay, 5.0),
        (Cause::Growth, 150.0),
    ];
    let habit = Habit {
        shut: 3.0,
        power: true,
        ..TWO_STATES
    };
    let (mut told, mut alone, mut right, mut among) = (0, 0, 0, 0);
    let mut wrong = String::new();
    for seed in 0..years() {
        let (cause, rise) = kinds[seed as usize % kinds.len()];
        let y = year(1000 + seed, habit, 365.0, |draws, line| {
            let from = draws.between(40.0, 150.0);
            vec![Event {
                cause,
                course: TimeCourse {
                    from,
                    full: from + rise,
                    until: f64::INFINITY,
                },
                // an intake has no more than this to lose
                size: if cause == Cause::Level {
                    0.4
                } else {
                    size_for(line, cause, 0.08)
                },
            }]
        });
        let j = judged(&y, y.happened[0].course.full + 20.0);
        let Some(e) = on_now(&j) else { continue };
        told += 1;
        among += u64::from(e.alike().iter().any(|s| s.cause == cause));
        if let [only] = e.alike() {
            alone += 1;
            right += u64::from(only.cause == cause);
            if only.cause != cause {
                writeln!(wrong, "seed {seed}: {cause:?} told as {:?}", only.cause).unwrap();
            }
        }
    }
    assert!(10 * told >= 6 * years(), "{told} found of {}", years());
    assert!(10 * right >= 8 * alone, "{right} of {alone} right\n{wrong}");
    assert!(10 * among >= 8 * told, "{among} of {told}\n{wrong}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// The jets' own law closes the energy equation with the change in it: Q = A sqrt(2 g H), with the losses of a run at that flow, which goes another road.
    #[test]
    fn a_change_leaves_the_laws_of_head_and_jets_as_they_are(seed in 0u64..1000, obstruction in 0.0..20.0f64, level in -0.5..0.5f64, share in -0.5..0.3f64) {
        let (line, _) = plant(&mut Rng::new(seed));
        let wish = wishes(line.outlet.as_ref(), &line.wishes).into_iter().find(|w| w.state == RunState::AllJets).unwrap();
        let end = Dial { station_m: line.geometry.length_m(), height_m: 0.0 };
        let plain = respond(&line, &wish, end, &PlantChange::default()).unwrap();
        let c = obstruction / plain.flow_m3_per_s.powi(2);
        let change = PlantChange { obstruction_s2_per_m5: c, level_m: level, jet_share: share, ..PlantChange::default() };
        let with = respond(&line, &wish, end, &change).unwrap();
        let q = with.flow_m3_per_s;
        let fixed = CaseWish::usual(RunState::Case("at that flow".to_owned()), Running::Flow(q));
        let run = flow::run_under(&line, &fixed, &flow::Conditions::usual(&line.environment)).unwrap();
        let lost = run.losses.total_m() + c * q * q;
        let net = run.gross_head_m - level - lost;
        prop_assert!((net - with.net_head_m).abs() < 1e-6, "{net} {}", with.net_head_m);
        let g = line.environment.situation.gravity_m_per_s2;
        let area = plain.flow_m3_per_s / (2.0 * g * plain.net_head_m).sqrt() * (1.0 + share);
        prop_assert!((area * (2.0 * g * net).sqrt() / q - 1.0).abs() < 1e-6);
        // the gauge: level less losses less velocity head
        let speed = run.velocity_m_per_s(line.geometry.length_m());
        let shown = run.level_m - level - lost - speed * speed / (2.0 * g) - line.geometry.end_elevation_m();
        prop_assert!((shown - with.gauge_m).abs() < 1e-6, "{shown} {}", with.gauge_m);
    }

    /// Nothing flows when shut: an obstruction, slime and jets do nothing, a lower level and a gauge that is off do all of it.
    #[test]
    fn shut_only_level_air_and_gauge_show(seed in 0u64..1000, level in -1.0..1.0f64, off in -3.0..3.0f64, air in 0.0..5.0f64) {
        let (line, _) = plant(&mut Rng::new(seed));
        let wish = wishes(line.outlet.as_ref(), &line.wishes).into_iter().find(|w| w.state == RunState::Shut).unwrap();
        let end = Dial { station_m: line.geometry.length_m(), height_m: 0.3 };
        let gauge = |change: &PlantChange| respond(&line, &wish, end, change).unwrap().gauge_m;
        let plain = gauge(&PlantChange::default());
        let unseen = PlantChange { obstruction_s2_per_m5: 1e5, slime: 1.0, jet_share: 0.2, ..PlantChange::default() };
        prop_assert!((gauge(&unseen) - plain).abs() < 1e-12);
        let seen = PlantChange { level_m: level, gauge_m: off, air_m: air, air_at_m: 10.0, ..PlantChange::default() };
        prop_assert!((gauge(&seen) - (plain - level + off - air)).abs() < 1e-9);
    }
}

fn line() -> Line {
    plant(&mut Rng::new(7)).0
}

fn read(text: &str) -> Result<gauge_book::GaugeBook, steadyfall::text::Fault> {
    gauge_book::read_text(text.as_bytes(), "gauge.csv", &line())
}

#[test]
fn a_book_is_read_with_gaps_double_days_and_a_changed_gauge() {
    let book = read("date,state,pressure_kpa,gauge,remark\n2026-05-16,all jets,300,,\n2026-05-14 07:30,shut,410,,\n2026-05-14,all jets,301,,screen cleaned\n2026-05-14,all jets,301,,screen cleaned\n2026-05-14,all jets,305,,\n2026-06-20,all jets,,,nobody there\n2026-06-21,all jets,299,new one,\n").unwrap();
    assert_eq!(book.entries.len(), 5);
    assert_eq!(book.remarks.len(), 1, "the row that stands twice");
    let days: Vec<String> = book.entries.iter().map(|e| date(e.day)).collect();
    assert_eq!(
        days,
        [
            "2026-05-14",
            "2026-05-14",
            "2026-05-14",
            "2026-05-16",
            "2026-06-21"
        ]
    );
    assert_eq!(book.entries[4].gauge, "new one");
}

#[test]
fn a_row_that_cannot_be_is_refused_with_its_place() {
    for (row, column, words) in [
        ("14.5.2026,shut,410", 1, "this date is not clear"),
        (
            "2026-05-14,half open,410",
            12,
            "no such operating condition",
        ),
        ("2026-05-14,shut,68000", 17, "not possible in this pipe"),
        ("2026-05-14,shut,4l0", 17, "not a number"),
    ] {
        let fault = read(&format!(
            "date,state,pressure_kpa\n2026-05-13,shut,400\n{row}\n"
        ))
        .expect_err(row);
        let told = fault.to_string();
        assert!(told.contains(words), "{row}: {told}");
        assert!(
            told.starts_with(&format!("gauge.csv:3:{column}:")),
            "{told}"
        );
    }
    for (heads, words) in [
        ("date,state,pressure", "has no known unit"),
        ("state,pressure_kpa", "has no date column"),
        ("date,state,remark", "has no pressure column"),
    ] {
        let told = read(&format!("{heads}\n")).expect_err(heads).to_string();
        assert!(told.contains(words), "{heads}: {told}");
    }
}

/// A log of a day for each state, a row a second: its steady spells are one reading a state, whatever happens between.
#[test]
fn a_logger_gives_one_reading_a_state_and_day() {
    let line = line();
    let end = Dial {
        station_m: line.geometry.length_m(),
        height_m: 0.0,
    };
    let shown = |state: RunState| {
        let wish = wishes(line.outlet.as_ref(), &line.wishes)
            .into_iter()
            .find(|w| w.state == state)
            .unwrap();
        respond(&line, &wish, end, &PlantChange::default())
            .unwrap()
            .gauge_m
    };
    let (all, shut) = (shown(RunState::AllJets), shown(RunState::Shut));
    let mut text = String::from("time,pressure_m\n");
    for second in (0..86_400).step_by(20) {
        let (hour, rest) = (second / 3600, second % 3600);
        // shut for two hours in the morning, a slow change between
        let share = ((f64::from(second) - 7.0 * 3600.0) / 900.0).clamp(0.0, 1.0)
            - ((f64::from(second) - 9.0 * 3600.0) / 900.0).clamp(0.0, 1.0);
        let head = all + (shut - all) * share + 0.05 * f64::from(second % 7 - 3);
        writeln!(
            text,
            "2026-05-14T{hour:02}:{:02}:{:02}Z,{head:.3}",
            rest / 60,
            rest % 60
        )
        .unwrap();
    }
    let book = gauge_book::read_text(text.as_bytes(), "log.csv", &line).unwrap();
    assert!(book.logged);
    assert_eq!(book.rows, 4320);
    let mut states: Vec<(String, f64)> = book
        .entries
        .iter()
        .map(|e| (e.state.to_string(), e.head_m.unwrap()))
        .collect();
    states.sort_by(|a, b| a.0.cmp(&b.0));
    let names: Vec<&str> = states.iter().map(|s| s.0.as_str()).collect();
    assert_eq!(names, ["all jets", "shut"]);
    assert!(
        (states[0].1 - all).abs() < 0.2 && (states[1].1 - shut).abs() < 0.2,
        "{states:?}"
    );
}

#[test]
fn a_growing_screen_is_forecast_and_few_readings_are_not() {
    let (mut told, mut held) = (0, 0);
    for seed in 0..years().max(4) {
        let y = year(seed, DAILY, 120.0, |_, line| {
            vec![Event {
                cause: Cause::InTheWay,
                course: TimeCourse {
                    from: 60.0,
                    full: 100.0,
                    until: f64::INFINITY,
                },
                size: size_for(line, Cause::InTheWay, 0.14),
            }]
        });
        // the true day on which a tenth is gone, from the plant itself
        let all = |w: &CaseWish| w.state == RunState::AllJets;
        let wish = wishes(y.line.outlet.as_ref(), &y.line.wishes)
            .into_iter()
            .find(all)
            .unwrap();
        let end = Dial {
            station_m: y.line.geometry.length_m(),
            height_m: 0.0,
        };
        let power = |c: &PlantChange| {
            let r = respond(&y.line, &wish, end, c).unwrap();
            r.flow_m3_per_s * r.net_head_m
        };
        let e = y.happened[0];
        let lost = |day: f64| {
            let change = invented::change(&y.line, e.cause, e.size * e.course.share(day));
            1.0 - power(&change) / power(&PlantChange::default())
        };
        let truth = (60..120).map(f64::from).find(|d| lost(*d) >= 0.10).unwrap();
        assert!(judged(&y, 63.0).forecast.is_none(), "seed {seed}");
        let Some((soon, _, late)) = judged(&y, 80.0).forecast.and_then(|f| f.ten) else {
            continue;
        };
        told += 1;
        held += u64::from((soon - FIRST_DAY..=late - FIRST_DAY).contains(&truth));
    }
    assert!(2 * told >= years().max(4), "{told} told");
    assert!(10 * held >= 7 * told, "{held} of {told} held the day");
}

/// One question, two rooms: what a gauge should show, by a single reading and by the book.
#[test]
fn a_single_reading_and_the_book_expect_the_same() {
    for seed in 0..20 {
        let (mut line, _) = plant(&mut Rng::new(seed));
        let dial = Dial {
            station_m: 0.7 * line.geometry.length_m(),
            height_m: 0.8,
        };
        for wish in wishes(line.outlet.as_ref(), &line.wishes) {
            line.measured.gauges = vec![steadyfall::line::Gauge {
                station_m: dial.station_m,
                height_m: dial.height_m,
                state: wish.state.clone(),
                pressure_pa: 3e5,
                pressure_sd_pa: 1e3,
                flow_m3_per_s: None,
                flow_sd_m3_per_s: None,
            }];
            let one = flow::gauges(&line, &[]).unwrap().readings[0].expected_pa;
            let book = respond(&line, &wish, dial, &PlantChange::default())
                .unwrap()
                .gauge_m;
            let weight = steadyfall::unit::physics::water(line.environment.water.usual_c)
                .density_kg_per_m3
                * line.environment.situation.gravity_m_per_s2;
            assert!(
                (one / weight - book).abs() < 1e-6,
                "{}: {one} {book}",
                wish.state
            );
        }
    }
}

/// The advice obeyed: once the screen is cleaned nothing is there any more and nothing is foretold.
#[test]
fn a_cleaned_screen_is_told_as_gone() {
    let happens = |until: f64| {
        year(4, DAILY, 130.0, move |_, line| {
            vec![Event {
                cause: Cause::InTheWay,
                course: TimeCourse {
                    from: 80.0,
                    full: 95.0,
                    until,
                },
                size: size_for(line, Cause::InTheWay, 0.12),
            }]
        })
    };
    let dirty = judged(&happens(f64::INFINITY), 110.0);
    assert_eq!(on_now(&dirty).unwrap().suspects[0].cause, Cause::InTheWay);
    let clean = judged(&happens(110.0), 120.0);
    assert!(
        on_now(&clean).is_none() && clean.forecast.is_none(),
        "{:?}",
        clean.episodes
    );
    let gone = clean.episodes.last().unwrap().course.until - FIRST_DAY;
    assert!((gone - 110.0).abs() < 3.0, "{gone}");
}

/// Water that must be fed into the shut pipe to keep its pressure is a leak, whatever the pressures say.
#[test]
fn water_fed_into_the_shut_pipe_is_a_leak() {
    let y = year(5, DAILY, 60.0, |_, _| Vec::new());
    let mut entries = y.entries.clone();
    for day in [5.0, 15.0, 25.0, 35.0, 40.0, 45.0, 50.0] {
        let mut fed = y.entries[0].clone();
        fed.day = FIRST_DAY + day;
        fed.state = RunState::Shut;
        fed.head_m = None;
        fed.fed_m3_per_s = Some(if day > 30.0 { 1e-4 } else { 0.0 });
        entries.push(fed);
    }
    entries.sort_by(|a, b| a.day.total_cmp(&b.day));
    let j = judge(&y.line, &legs(&y), &entries);
    let e = on_now(&j).unwrap_or_else(|| panic!("{:?}\n{:?}", j.episodes, j.rows.last()));
    assert_eq!(e.suspects[0].cause, Cause::Leak);
    assert!(
        (e.suspects[0].size - 1e-4).abs() < 1e-5,
        "{:?}",
        e.suspects[0]
    );
}

#[test]
fn the_command_tells_draws_and_refuses() {
    let dir = room("gauge-book");
    let sample = home("sample-surveys/otter-gill");
    for file in ["site.toml", "walk.gpx"] {
        fs::copy(sample.join(file), dir.join(file)).unwrap();
    }
    let mut book = String::from("date,state,pressure_kpa\n");
    for day in 0..60 {
        let lost = if day > 45 { 60 } else { 0 };
        let at = date(FIRST_DAY + f64::from(day));
        writeln!(book, "{at},all jets,{}", 660 - lost + 2 * (day % 3)).unwrap();
        if day % 10 == 0 {
            writeln!(book, "{at},shut,{}", 778 + day % 3).unwrap();
        }
    }
    fs::write(dir.join("gauge.csv"), &book).unwrap();
    let run = program(&dir)
        .args(["log", "site.toml", "gauge.csv"])
        .assert()
        .success();
    let text = String::from_utf8(run.get_output().stdout.clone()).unwrap();
    for words in [
        "From 2024-02-15",
        "with all jets, and the same with the valve closed",
        "Inspect the screen first",
        "Stored pressure",
    ] {
        let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(words), "{words}: {text}");
    }
    let chart = fs::read_to_string(dir.join("site-log-results/gauge.svg")).unwrap();
    assert!(chart.contains("pressure with the valve closed"));
    // the same named in the site file, printed for other programs
    let mut site = fs::read_to_string(dir.join("site.toml")).unwrap();
    site.push_str("\n[[gauge_book]]\nfile = \"gauge.csv\"\n");
    fs::write(dir.join("site.toml"), site).unwrap();
    let run = program(&dir)
        .args(["log", "site.toml", "--json"])
        .assert()
        .success();
    let result: serde_json::Value = serde_json::from_slice(&run.get_output().stdout).unwrap();
    let written = fs::read_to_string(dir.join("site-log-results/result.json")).unwrap();
    assert_eq!(
        result,
        serde_json::from_str::<serde_json::Value>(&written).unwrap()
    );
    assert_eq!(faults_of_book(&result), Vec::<String>::new());
    let mut ill = Vec::new();
    ill_figures(&result, "$", &mut ill);
    assert_eq!(ill, Vec::<String>::new());
    let page = fs::read_to_string(dir.join("site-log-results/report.html")).unwrap();
    for words in [
        "One change is still there.",
        "Curve of each operating condition",
        "an obstruction above the gauge",
        "<svg",
        "Stored pressure",
    ] {
        assert!(page.contains(words), "{words}");
    }
    let change = &result["gauge_book"]["changes"][0];
    assert_eq!(change["from_date"], "2024-02-15");
    assert_eq!(change["causes"][0]["cause"], "in-the-way");
    // a wrong row leaves the results as they are
    fs::write(
        dir.join("gauge.csv"),
        book.replace("all jets,662", "all jet,662"),
    )
    .unwrap();
    let run = program(&dir).args(["log", "site.toml"]).assert().code(2);
    let told = String::from_utf8(run.get_output().stderr.clone()).unwrap();
    assert!(
        told.contains("gauge.csv:4:12: this plant has no such operating condition")
            && told.contains("did you mean"),
        "{told}"
    );
    assert_eq!(
        fs::read_to_string(dir.join("site-log-results/result.json")).unwrap(),
        written
    );
}

/// The truth of the sample stands in its README: leaves on the screen from 19 July on, 5 kPa more each day.
#[test]
fn the_sample_shows_leaves_on_the_screen() {
    let out = program(&room("gauge-sample"))
        .arg("log")
        .arg(home("sample-surveys/otter-gill/site.toml"))
        .arg(home("sample-surveys/otter-gill/gauge.csv"))
        .arg("--json")
        .assert()
        .success();
    let result: serde_json::Value = serde_json::from_slice(&out.get_output().stdout).unwrap();
    let changes = result["gauge_book"]["changes"].as_array().unwrap();
    assert_eq!(changes.len(), 1, "{changes:?}");
    let from = changes[0]["from_date"].as_str().unwrap();
    assert!(("2026-07-17"..="2026-07-22").contains(&from), "{from}");
    assert!(changes[0].get("until_date").is_none());
    assert_eq!(changes[0]["causes"][0]["cause"], "in-the-way");
    assert!(changes[0]["causes"][0]["chance"].as_f64().unwrap() > 0.7);
    assert!(result["gauge_book"]["forecast"]["ten_percent"].is_object());
}
