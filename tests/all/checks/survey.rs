//! Checkers for tests/checks/survey.csv: books, nets, tapes, legs, traverses, gauges.

use crate::ledger::{Answer, Checker, Inputs};
use std::fmt::Write as _;
use steadyfall::reading::Tape;
use steadyfall::reading::tape::{Taping, level_length_by_rise_m};
use steadyfall::reading::{Book, Data, LevellingOrder, Method, Position, ReadOptions, Spread};
use steadyfall::reduction::angle;
use steadyfall::reduction::level::{LevelRow, Levels, PageSums, reduce};
use steadyfall::reduction::net::{self, Difference, Net, chi_square_limit};
use steadyfall::reduction::traverse::{self, Loop, TraverseLeg, true_bearing_rad};
use steadyfall::survey;
use steadyfall::survey::hose::StandingWater;
use steadyfall::text::Fault;

/// The quantities of this topic.
pub fn checkers() -> Vec<Checker> {
    macro_rules! list {
        ($($quantity:literal, $of:literal, $work:expr;)*) => {
            vec![$(Checker { quantity: $quantity, of: $of, work: $work }),*]
        };
    }
    list! {
        "level book height", "survey::read", |i| point_height(i, &LevelCase::plain(i)?);
        "level book closed height", "survey::read", |i| point_height(i, &LevelCase::closed(i)?);
        "level book misclosure", "survey::read", misclosure;
        "level book sum", "reduction::level::reduce", sum;
        "level book one in", "survey::read", one_in;
        "level book verdict", "survey::read", verdict;
        "level book instrument", "reduction::level::reduce", |i| Ok(levels(i)?.setups[0].instrument_m.into());
        "level book sum of foresights", "reduction::level::PageSums", foresights;
        "allowed coefficient", "reading::LevellingOrder", |i| Ok((order(i)?.coefficient_m() * 1000.0).into());
        "allowed misclosure", "reading::LevellingOrder", |i| Ok((order(i)?.allowed_m(i.number("length_m")?) * 1000.0).into());
        "net height", "reduction::net::adjust", |i| { let (net, names) = adjusted(i)?; Ok(net.height_m[at(&names, i.word("point")?)?].into()) };
        "net height sd", "reduction::net::adjust", |i| { let (net, names) = adjusted(i)?; Ok((sd_of(&net, at(&names, i.word("point")?)?) * net.unit_sd().ok_or("nothing redundant")?).into()) };
        "net unit sd", "reduction::net::adjust", |i| Ok(adjusted(i)?.0.unit_sd().ok_or("nothing redundant")?.into());
        "net vtpv", "reduction::net::adjust", |i| Ok(adjusted(i)?.0.vtpv.into());
        "net verdict", "reduction::net::Net::holds", |i| Ok(if adjusted(i)?.0.holds() { "accepted" } else { "refused" }.into());
        "chi-square limit", "reduction::net::chi_square_limit", |i| Ok(chi_square_limit(adjusted(i)?.0.freedom, i.number("share")?).into());
        "tape correction", "reading::Tape", tape;
        "slope less level", "reading::tape", |i| Ok((i.number("slope")? - level_length_by_rise_m(i.number("slope")?, i.number("rise")?).ok_or("too steep")?).into());
        "leg level", "reduction::angle::reduce_leg", |i| Ok(leg(i)?.level_m.into());
        "leg rise", "reduction::angle::reduce_leg", |i| Ok(leg(i)?.rise_m.into());
        "leg angle", "reduction::angle::reduce_leg", |i| { let l = leg(i)?; Ok(l.rise_m.atan2(l.level_m).to_degrees().into()) };
        "leg grade", "reduction::angle::reduce_leg", |i| { let l = leg(i)?; Ok((100.0 * l.rise_m / l.level_m).into()) };
        "angle book level", "reduction::angle::string", |i| Ok(string(i)?.points[point(i)? + 1].level_m.into());
        "angle book height", "survey::read", |i| book_height(&angle_book(i)?, point(i)? + 1);
        "angle book station", "survey::read", |i| Ok(angle_book(i)?.points[point(i)? + 1].station_m.ok_or("no station")?.into());
        "station cell", "survey::read", station;
        "true bearing", "reduction::traverse::true_bearing_rad", |i| Ok(true_bearing_rad(i.number("magnetic")?.to_radians(), i.number("declination")?.to_radians()).to_degrees().into());
        "traverse perimeter", "reduction::traverse::close", |i| Ok(closed_loop(i)?.perimeter_m.into());
        "traverse north off", "reduction::traverse::close", |i| Ok(closed_loop(i)?.north_off_m.into());
        "traverse east off", "reduction::traverse::close", |i| Ok(closed_loop(i)?.east_off_m.into());
        "traverse leg north", "reduction::traverse::close", |i| Ok(closed_loop(i)?.legs_m[index(i, "leg")?].1.into());
        "traverse leg east", "reduction::traverse::close", |i| Ok(closed_loop(i)?.legs_m[index(i, "leg")?].0.into());
        "stadia level", "reduction::angle::Stadia", |i| Ok(stadia(i)?.level_m().into());
        "stadia up", "reduction::angle::Stadia", |i| Ok(stadia(i)?.up_m().into());
        "stadia both ways", "survey::read", both_ways;
        "hose head", "survey::hose::StandingWater", |i| Ok(standing(i, i.number("psi")? * PSI_PA)?.head_m().into());
        "hose density", "survey::hose::StandingWater", |i| Ok((1.0 / (standing(i, 1.0)?.head_m() * 9.80665)).into());
        "hose feet per psi", "survey::hose::StandingWater", |i| Ok((standing(i, PSI_PA)?.head_m() / 0.3048).into());
        "hose metres per kPa", "survey::hose::StandingWater", |i| Ok(standing(i, 1e3)?.head_m().into());
        "hose metres per bar", "survey::hose::StandingWater", |i| Ok(standing(i, 1e5)?.head_m().into());
        "hose fall", "survey::read", hose_fall;
    }
}

const PSI_PA: f64 = 6_894.757_293_168;

fn index(inputs: &Inputs, name: &str) -> Result<usize, String> {
    Ok(inputs.number(name)? as usize - 1)
}

fn point(inputs: &Inputs) -> Result<usize, String> {
    index(inputs, "point")
}

/// A level book as a sheet, in the row's unit.
struct LevelCase {
    text: String,
    unit_m: f64,
    options: ReadOptions,
}

impl LevelCase {
    fn new(inputs: &Inputs, end: &str, booked: Option<&str>) -> Result<Self, String> {
        let unit = inputs.word("unit")?;
        let interval = inputs.number_or("interval", 30.0)?;
        let rows: Vec<&str> = inputs.word("rows")?.split('|').map(str::trim).collect();
        let booked: Vec<&str> = booked.unwrap_or("").split_whitespace().collect();
        let mut text = format!("station_{unit},bs_{unit},is_{unit},fs_{unit},elevation_{unit}\n");
        for (i, row) in rows.iter().enumerate() {
            let known = match booked.get(i) {
                Some(height) => height,
                None if i == 0 => inputs.word("rl0")?,
                None if i + 1 == rows.len() => end,
                None => "",
            };
            let _ = writeln!(
                text,
                "{},{},{known}",
                interval * i as f64,
                row.replace('/', ",")
            );
        }
        Ok(Self {
            text,
            unit_m: if unit == "ft" { 0.3048 } else { 1.0 },
            options: ReadOptions {
                order: LevellingOrder::Rough,
                spread: Spread::Setups,
                ..ReadOptions::default()
            },
        })
    }

    fn plain(inputs: &Inputs) -> Result<Self, String> {
        Self::new(inputs, "", None)
    }

    fn closed(inputs: &Inputs) -> Result<Self, String> {
        Self::new(inputs, inputs.word("end")?, None)
    }

    fn book(&self) -> Result<Book, Fault> {
        book(&self.text, &self.options)
    }
}

fn book(text: &str, options: &ReadOptions) -> Result<Book, Fault> {
    match survey::read_bytes(text.as_bytes(), "book.csv", None, options)?.data {
        Data::Book(book) => Ok(book),
        Data::Walks(_) => panic!("a sheet gave walks"),
    }
}

fn book_height(book: &Book, point: usize) -> Result<Answer, String> {
    let point = book.points.get(point).ok_or("no such point")?;
    Ok(point.height_m.ok_or("no height")?.into())
}

fn point_height(inputs: &Inputs, case: &LevelCase) -> Result<Answer, String> {
    let book = case.book().map_err(|e| e.to_string())?;
    let point = book.points.get(point(inputs)?).ok_or("no such point")?;
    Ok((point.height_m.ok_or("no height")? / case.unit_m).into())
}

fn misclosure(inputs: &Inputs) -> Result<Answer, String> {
    let case = LevelCase::closed(inputs)?;
    let book = case.book().map_err(|e| e.to_string())?;
    Ok((book.misclosure.ok_or("it closes on nothing")?.found_m / case.unit_m).into())
}

fn one_in(inputs: &Inputs) -> Result<Answer, String> {
    let book = LevelCase::plain(inputs)?
        .book()
        .map_err(|e| e.to_string())?;
    let (first, last) = (&book.points[0], &book.points[book.points.len() - 1]);
    let length = last.station_m.unwrap_or(0.0) - first.station_m.unwrap_or(0.0);
    Ok((length / (first.height_m.unwrap_or(0.0) - last.height_m.unwrap_or(0.0))).into())
}

fn verdict(inputs: &Inputs) -> Result<Answer, String> {
    let booked = inputs.word("booked").ok();
    Ok(match LevelCase::new(inputs, "", booked)?.book() {
        Ok(_) => "accepted".into(),
        Err(fault) => {
            let row = fault.place.line.ok_or("the fault names no line")? - 1;
            let column = fault.place.key.ok_or("the fault names no column")?;
            Answer::Word(format!("refused row {row} column {column}"))
        }
    })
}

fn levels(inputs: &Inputs) -> Result<Levels, String> {
    let mut rows = Vec::new();
    for (i, row) in inputs.word("rows")?.split('|').enumerate() {
        let cells: Vec<Option<f64>> = row.split('/').map(|c| c.trim().parse().ok()).collect();
        rows.push(LevelRow {
            row: i,
            bs_m: cells[0],
            is_m: cells[1],
            fs_m: cells[2],
            elevation_m: (i == 0).then_some(inputs.number("rl0")?),
            ..LevelRow::default()
        });
    }
    reduce(
        &rows,
        &ReadOptions {
            staff_m: 20.0,
            ..ReadOptions::default()
        },
    )
    .map_err(|s| s.text)
}

fn sum(inputs: &Inputs) -> Result<Answer, String> {
    let sums = levels(inputs)?.sums;
    if sums.left_m() > 1e-9 {
        return Err(format!("the arithmetic check leaves {}", sums.left_m()));
    }
    Ok(match inputs.word("of")? {
        "bs" => sums.bs_m,
        "fs" => sums.fs_m,
        "rise" => sums.rise_m,
        "fall" => sums.fall_m,
        _ => sums.change_m,
    }
    .into())
}

/// With no foresights booked, the arithmetic check leaves over what their sum must be.
fn foresights(inputs: &Inputs) -> Result<Answer, String> {
    let sums = PageSums {
        bs_m: inputs.number("bs")?,
        change_m: inputs.number("to")? - inputs.number("from")?,
        ..PageSums::default()
    };
    Ok(sums.left_m().into())
}

fn sd_of(net: &Net, point: usize) -> f64 {
    net.covariance_m2(point, point).sqrt()
}

fn order(inputs: &Inputs) -> Result<LevellingOrder, String> {
    Ok(match inputs.word("order")? {
        "rough" => LevellingOrder::Rough,
        "ordinary" => LevellingOrder::Ordinary,
        "accurate" => LevellingOrder::Accurate,
        "precise" => LevellingOrder::Precise,
        other => return Err(format!("no order {other}")),
    })
}

fn at(names: &[String], name: &str) -> Result<usize, String> {
    names
        .iter()
        .position(|n| n == name)
        .ok_or_else(|| format!("no point {name}"))
}

fn adjusted(inputs: &Inputs) -> Result<(Net, Vec<String>), String> {
    let mut names: Vec<String> = Vec::new();
    let mut known = Vec::new();
    let mut named = |name: &str, height: Option<f64>| {
        let at = names.iter().position(|n| n == name).unwrap_or_else(|| {
            names.push(name.to_owned());
            known.push(None);
            names.len() - 1
        });
        if height.is_some() {
            known[at] = height;
        }
        at
    };
    let number = |text: &str| {
        text.parse::<f64>()
            .map_err(|_| format!("no number: {text}"))
    };
    for pair in inputs.word("known")?.split('|') {
        let (name, height) = pair
            .trim()
            .split_once(' ')
            .ok_or("a known height is a name and a number")?;
        named(name, Some(number(height)?));
    }
    let weights = inputs.numbers("weights").unwrap_or_default();
    let mut differences = Vec::new();
    for (i, rise) in inputs.word("rises")?.split('|').enumerate() {
        let (ends, rise) = rise
            .trim()
            .split_once(' ')
            .ok_or("a rise is two names and a number")?;
        let (from, to) = ends.split_once('-').ok_or("two names")?;
        differences.push(Difference {
            from: named(from, None),
            to: named(to, None),
            rise_m: number(rise)?,
            sd_m: weights.get(i).map_or(1.0, |w| 1.0 / w.sqrt()),
        });
    }
    let net = net::adjust(&differences, &known).map_err(|e| format!("{e:?}"))?;
    Ok((net, names))
}

/// Corrections in feet and pounds: a tape does not mind its unit, and a temperature in F is turned to C.
fn tape(inputs: &Inputs) -> Result<Answer, String> {
    let celsius = |f: f64| (f - 32.0) / 1.8;
    let read = inputs.number("read")?;
    let tape = Tape {
        nominal_m: inputs.number_or("nominal", 100.0)?,
        true_m: inputs.number_or("true", 100.0)?,
        standard_c: celsius(inputs.number_or("standard_f", 68.0)?),
        standard_pull_n: inputs.number("standard_pull").ok(),
        section_m2: inputs.number("section").ok(),
        modulus_pa: inputs.number_or("modulus", 2.0e11)?,
        weight_n_per_m: inputs.number("weight").ok(),
        span_m: inputs.number("span").ok(),
        ..Tape::default()
    };
    let taping = Taping {
        read_m: read,
        pull_n: inputs.number("pull").ok(),
        tape_c: inputs.number("temp_f").ok().map(celsius),
        ..Taping::default()
    };
    Ok(match inputs.word("of")? {
        "temperature" => tape.temperature_m(read, taping.tape_c.ok_or("no temperature")?),
        "temperature_length" => tape.corrected_m(&taping),
        "sag" => tape.sag_m(&taping),
        "pull" => tape.pull_m(read, taping.pull_n.ok_or("no pull")?),
        "standard" => tape.standard_m(read),
        other => return Err(format!("no correction of {other}")),
    }
    .into())
}

fn leg(inputs: &Inputs) -> Result<angle::ReducedLeg, String> {
    let measure = [
        (
            "angle",
            angle::RiseMeasure::AngleDeg as fn(f64) -> angle::RiseMeasure,
        ),
        ("percent", angle::RiseMeasure::Percent),
        ("steps", angle::RiseMeasure::Steps),
    ]
    .into_iter()
    .find_map(|(name, make)| inputs.number(name).ok().map(make));
    let row = angle::LegRow {
        slope_m: inputs.number("slope").ok(),
        horizontal_m: inputs.number("level").ok(),
        measures: measure.into_iter().collect(),
        eye_m: inputs.number("eye").ok(),
        ..angle::LegRow::default()
    };
    angle::reduce_leg(&row, &ReadOptions::default()).map_err(|s| s.text)
}

fn legs(inputs: &Inputs) -> Result<Vec<(&str, &str)>, String> {
    inputs
        .word("legs")?
        .split('|')
        .map(|leg| {
            leg.trim()
                .split_once(' ')
                .ok_or_else(|| "a leg is a length and an angle".to_owned())
        })
        .collect()
}

fn angle_book(inputs: &Inputs) -> Result<Book, String> {
    let mut text = String::from("point,slope_m,angle_deg,elevation_m\n");
    let _ = writeln!(text, "P0,,,{}", inputs.word("z0")?);
    for (i, (slope, angle)) in legs(inputs)?.into_iter().enumerate() {
        let _ = writeln!(text, "P{},{slope},{angle},", i + 1);
    }
    book(&text, &ReadOptions::default()).map_err(|e| e.to_string())
}

fn string(inputs: &Inputs) -> Result<angle::LineOfLegs, String> {
    let number = |t: &str| t.parse::<f64>().map_err(|e| e.to_string());
    let mut rows = Vec::new();
    for (i, (slope, deg)) in legs(inputs)?.into_iter().enumerate() {
        rows.push(angle::LegRow {
            row: i,
            to: format!("P{}", i + 1),
            slope_m: Some(number(slope)?),
            measures: vec![angle::RiseMeasure::AngleDeg(number(deg)?)],
            ..angle::LegRow::default()
        });
    }
    angle::string(&rows, &ReadOptions::default()).map_err(|s| s.text)
}

fn station(inputs: &Inputs) -> Result<Answer, String> {
    let head = inputs.word("head")?;
    let unit_m = if head.ends_with("_ft") { 0.3048 } else { 1.0 };
    let text = format!("{head},height_m\n{},5\n9999,4\n", inputs.word("cell")?);
    Ok(match book(&text, &ReadOptions::default()) {
        Ok(book) => (book.points[0].station_m.ok_or("no station")? / unit_m).into(),
        Err(_) => "refused".into(),
    })
}

/// A traverse as an angle book gives it: quarter bearings are read by the sheet's own reader.
fn closed_loop(inputs: &Inputs) -> Result<Loop, String> {
    let mut courses = Vec::new();
    for (length, bearing) in legs(inputs)? {
        let text = format!("from,to,horizontal_m,angle_deg,bearing_deg\nA,B,1000,0,{bearing}\n");
        let book = book(&text, &ReadOptions::default()).map_err(|e| e.to_string())?;
        let Some(Position::Grid { east_m, north_m }) = book.points[1].position else {
            return Err("the bearing gave no plan".to_owned());
        };
        courses.push(TraverseLeg {
            length_m: length.parse().map_err(|_| "no length")?,
            bearing_rad: east_m.atan2(north_m),
        });
    }
    Ok(traverse::close(&courses))
}

fn degrees_minutes(text: &str) -> Result<f64, String> {
    let (degrees, minutes) = text.split_once(' ').ok_or("degrees and minutes")?;
    let whole: f64 = degrees.parse().map_err(|_| "no degrees")?;
    let part: f64 = minutes.parse().map_err(|_| "no minutes")?;
    Ok(whole + whole.signum() * part / 60.0)
}

fn stadia(inputs: &Inputs) -> Result<angle::Stadia, String> {
    let interval = inputs.number("interval")?;
    Ok(angle::Stadia {
        upper_m: 1.0 + interval,
        middle_m: 1.0 + interval / 2.0,
        lower_m: 1.0,
        angle_rad: degrees_minutes(inputs.word("angle")?)?.to_radians(),
        instrument_m: 0.0,
    })
}

/// A leg read by stadia from both its ends: the book averages the two.
fn both_ways(inputs: &Inputs) -> Result<Answer, String> {
    let half = inputs.number("interval")? / 2.0;
    let mut text = String::from("from,to,upper_m,middle_m,lower_m,angle_deg,eye_m,elevation_m\n");
    let _ = writeln!(text, ",A,,,,,,{}", inputs.word("z0")?);
    for (ends, way) in [("A,B", "out"), ("B,A", "back")] {
        let rod = inputs.number(&format!("rod_{way}"))?;
        let _ = writeln!(
            text,
            "{ends},{:.4},{rod},{:.4},{},{},",
            rod + half,
            rod - half,
            inputs.word(way)?,
            inputs.word(&format!("eye_{way}"))?
        );
    }
    let book = book(&text, &ReadOptions::default()).map_err(|e| e.to_string())?;
    let b = book
        .points
        .iter()
        .position(|p| p.name == "B")
        .ok_or("no B")?;
    book_height(&book, b)
}

fn standing(inputs: &Inputs, pressure_pa: f64) -> Result<StandingWater, String> {
    Ok(StandingWater {
        pressure_pa,
        water_c: inputs.number("water_c")?,
        gravity_m_per_s2: 9.80665,
    })
}

fn hose_fall(inputs: &Inputs) -> Result<Answer, String> {
    let mut text = String::from("station_m,pressure_psi,water_c\n");
    for (i, psi) in inputs.numbers("psi")?.iter().enumerate() {
        let _ = writeln!(text, "{},{psi},{}", 50 * i, inputs.word("water_c")?);
    }
    let reading = survey::read_bytes(
        text.as_bytes(),
        "hose.csv",
        Some(Method::Gauge),
        &ReadOptions::default(),
    )
    .map_err(|e| e.to_string())?;
    let Data::Book(book) = reading.data else {
        return Err("no book".to_owned());
    };
    let height = |i: usize| book.points[i].height_m.unwrap_or(f64::NAN);
    Ok((height(0) - height(point(inputs)?)).into())
}
