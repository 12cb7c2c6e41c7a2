use super::air::{ICE_K, thickness_m};
use super::clock::ahead_s;
use super::log::{PressureLog, middle};
use crate::reading::{Data, Fix, Reading};
use crate::text::{Fault, Place, Remark, Sentence};

/// A walk's log may have holes up to this, s; a base's log changes slowly and may have longer ones.
const HOLE_S: f64 = 10.0;
const BASE_HOLE_S: f64 = 120.0;
/// Where no temperature was said: that of the standard atmosphere at the walk's height, off by this, K (a cold or a hot day).
const TAKEN_SD_K: f64 = 10.0;
/// A thermometer in the logger or said by the user: off the mean of the air between by this, K.
const SAID_SD_K: f64 = 4.0;

/// What was laid on the walks.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct LaidLog {
    /// Fixes that got their height from the pressure, and all others.
    pub fixes: usize,
    /// See `fixes`.
    pub without: usize,
    /// Standard deviation of the scale of all heights together, as a share: the temperature of the air is not known better.
    pub scale_sd: f64,
}

/// Gives the fixes of walks the heights that a log of the pressure shows, joined by the clock; with a second log that stood still, the weather is taken out.
///
/// The heights keep the walks' own level: the middle of what the receiver said. `air_c`: temperature of the air where it was said. Fixes outside of the log keep no height: two kinds of error are not mixed in one walk.
///
/// # Errors
/// Where the log does not run during the walks.
pub fn lay(
    readings: &mut [Reading],
    log: &PressureLog,
    base: Option<&PressureLog>,
    air_c: Option<f64>,
) -> Result<LaidLog, Fault> {
    let timed: Vec<(f64, f64)> = fixes(readings)
        .filter_map(|f| f.time_s.zip(f.elevation_m))
        .collect();
    let ahead_s = ahead_s(log, &timed);
    let log = &log.earlier(ahead_s);
    // Two logs of one day are of one zone, unless the one that stood still says its own.
    let base = base.map(|b| {
        if b.zone_said {
            b.clone()
        } else {
            b.earlier(ahead_s)
        }
    });
    let base = base.as_ref();
    let pressure = |time_s: f64| {
        let own = log.at(time_s, HOLE_S)?;
        match base {
            None => Some((own, log.pressure_pa.first().copied()?)),
            Some(base) => Some((own, base.at(time_s, BASE_HOLE_S)?)),
        }
    };
    let mut heights: Vec<f64> = fixes(readings).filter_map(|f| f.elevation_m).collect();
    let level_m = middle(&mut heights);
    let said = air_c.or(log.air_c).or(base.and_then(|b| b.air_c));
    let mean_k = ICE_K + said.unwrap_or(15.0 - 0.0065 * level_m.clamp(-500.0, 9000.0));
    let scale_sd = if said.is_some() {
        SAID_SD_K
    } else {
        TAKEN_SD_K
    } / mean_k;
    let mut above: Vec<f64> = Vec::new();
    let (mut laid, mut without) = (0, 0);
    for fix in fixes(readings) {
        let height = fix
            .time_s
            .and_then(&pressure)
            .map(|(own, reference)| thickness_m(reference, own, mean_k));
        match height {
            Some(height) => {
                laid += 1;
                if let Some(receiver) = fix.elevation_m {
                    above.push(receiver - height);
                }
            }
            None => without += 1,
        }
        fix.elevation_m = height;
    }
    if laid < 10 || 2 * laid < without {
        return Err(outside(log, base));
    }
    let level = if above.is_empty() {
        0.0
    } else {
        middle(&mut above)
    };
    for fix in fixes(readings) {
        fix.elevation_m = fix.elevation_m.map(|h| h + level);
    }
    let told = match (said, base) {
        (Some(c), _) => format!("air temperature {c:.0} C"),
        (None, _) => format!(
            "no air temperature is given, so {:.0} C of the standard atmosphere is used",
            mean_k - ICE_K
        ),
    };
    let weather = if base.is_some() {
        "The log at the fixed place removes the effect of the weather"
    } else {
        "this includes the effect of the weather. A second log at a fixed place at the powerhouse can remove it"
    };
    if let Some(reading) = readings.first_mut() {
        reading.remarks.extend(
            log.remarks
                .iter()
                .chain(base.iter().flat_map(|b| &b.remarks))
                .cloned(),
        );
        reading.remarks.push(Remark::new(
            Place::file(&log.file),
            Sentence::from(format!(
                "the heights of {laid} fixes come from the air pressure ({told}). This leaves {:.1} % of the elevation difference uncertain. {weather}",
                100.0 * scale_sd
            )),
        ));
        if ahead_s != 0.0 {
            reading.remarks.push(Remark::new(
                Place::file(&log.file),
                format!(
                    "the times of the log have no time zone. The program uses {} h {} UTC, because its heights then follow those of the receiver",
                    ahead_s.abs() / 3600.0,
                    if ahead_s > 0.0 { "ahead of" } else { "behind" }
                ),
            ));
        }
        if without > 0 {
            reading.remarks.push(Remark::new(
                Place::file(&log.file),
                format!("{without} fixes are outside the time of the log and have no height"),
            ));
        }
    }
    Ok(LaidLog {
        fixes: laid,
        without,
        scale_sd,
    })
}

/// The fixes of all recorded walks.
fn fixes(readings: &mut [Reading]) -> impl Iterator<Item = &mut Fix> {
    readings
        .iter_mut()
        .filter_map(|r| match &mut r.data {
            Data::Walks(passes) => Some(passes),
            Data::Book(_) => None,
        })
        .flatten()
        .filter(|p| !p.drawn)
        .flat_map(|p| &mut p.segments)
        .flatten()
}

fn outside(log: &PressureLog, base: Option<&PressureLog>) -> Fault {
    let span = |log: &PressureLog| {
        let (a, b) = (
            log.time_s.first().copied().unwrap_or(0.0),
            log.time_s.last().copied().unwrap_or(0.0),
        );
        format!("\"{}\" covers {:.0} minutes", log.file, (b - a) / 60.0)
    };
    let found = match base {
        None => span(log),
        Some(base) => format!("{}, {}", span(log), span(base)),
    };
    Fault::new(Place::file(&log.file), "the log does not cover the walk")
        .found(format!("almost no fix during the log: {found}"))
        .expected(
            "times in UTC from before the walk until after it, with the same clock as the track",
        )
        .advice("export the log and the track of the same walk, with their time zones")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numeric::math;
    use crate::reading::{Method, Pass};
    use crate::track::pressure::log::read_log_bytes;
    use std::fmt::Write as _;

    /// A walk of 200 s down 40 m at 10 C while the weather falls by 1 hPa, a door slams once and the walker's receiver errs.
    fn walk() -> (Vec<Reading>, String, String, impl Fn(f64) -> f64) {
        let height = |s: f64| 500.0 - 0.2 * s;
        let (mut own, mut base) = (
            "time,pressure_hPa,temperature_C\n".to_owned(),
            "time,pressure_hPa\n".to_owned(),
        );
        let mut fixes = Vec::new();
        for i in -20..=220 {
            let s = f64::from(i);
            let weather = -100.0 * (s + 20.0) / 240.0;
            let scale = 287.052_87 * 283.15 / 9.806_65;
            let at = |h: f64| (95_000.0 + weather) * math::exp(-(h - 460.0) / scale);
            let slam = if i == 90 { 150.0 } else { 0.0 };
            let clock = 1.75e9 + s;
            writeln!(
                own,
                "{},{:.3},10",
                (clock * 1000.0) as i64,
                (at(height(s)) + slam) / 100.0
            )
            .unwrap();
            writeln!(base, "{clock},{:.3}", at(460.0) / 100.0).unwrap();
            if (0..=200).contains(&i) {
                fixes.push(Fix {
                    lat_deg: 47.0 + 1e-5 * s,
                    lon_deg: 11.0,
                    elevation_m: Some(height(s) + 3.0 * math::sin(0.05 * s)),
                    time_s: Some(clock),
                    dilution: None,
                    stated_sd_m: None,
                    line: 1,
                });
            }
        }
        let reading = Reading {
            method: Method::Gpx,
            file: "walk.gpx".to_owned(),
            points_read: fixes.len(),
            data: Data::Walks(vec![Pass {
                name: "walk".to_owned(),
                segments: vec![fixes],
                drawn: false,
            }]),
            places: Vec::new(),
            remarks: Vec::new(),
            source: Default::default(),
        };
        (vec![reading], own, base, height)
    }

    #[test]
    fn two_logs_take_the_weather_out() {
        let (mut readings, own, base, height) = walk();
        let own = read_log_bytes(own.as_bytes(), "log.csv").unwrap();
        let base = read_log_bytes(base.as_bytes(), "base.csv").unwrap();
        assert!(
            own.remarks
                .iter()
                .any(|r| r.text.contains("not used: 1 pressure caused by"))
        );
        let drop = |readings: &[Reading]| {
            let Data::Walks(passes) = &readings[0].data else {
                panic!()
            };
            let fixes = &passes[0].segments[0];
            fixes[0].elevation_m.unwrap() - fixes[200].elevation_m.unwrap()
        };
        let laid = lay(&mut readings, &own, Some(&base), None).unwrap();
        assert_eq!((laid.fixes, laid.without), (201, 0));
        assert!((drop(&readings) - 40.0).abs() < 0.1, "{}", drop(&readings));
        let Data::Walks(passes) = &readings[0].data else {
            panic!()
        };
        let middle = passes[0].segments[0][90].elevation_m.unwrap();
        assert!((middle - height(90.0)).abs() < 3.0);
        // Alone, the weather of 200 s (0.83 hPa, some 7 m) stays in the drop.
        let (mut alone, ..) = walk();
        lay(&mut alone, &own, None, None).unwrap();
        assert!((drop(&alone) - 33.0).abs() < 1.0, "{}", drop(&alone));
        // A log of another day.
        let (mut other, ..) = walk();
        let mut late = own.clone();
        late.time_s.iter_mut().for_each(|t| *t += 86_400.0);
        assert!(
            lay(&mut other, &late, None, None)
                .unwrap_err()
                .to_string()
                .contains("does not cover the walk")
        );
    }

    /// Two hours ahead of UTC and no zone said; the log runs all day, so that it holds a pressure at the walk's UTC times too.
    #[test]
    fn a_log_in_local_time_is_joined_where_it_follows_the_walk() {
        let (mut readings, own, _, height) = walk();
        let utc = read_log_bytes(own.as_bytes(), "log.csv").unwrap();
        let mut local = utc.earlier(-7200.0);
        // Before the walk it lay in the car.
        let first = local.time_s[0];
        let (mut time_s, mut pressure_pa) = (Vec::new(), Vec::new());
        for i in 0..10_000 {
            time_s.push(first - 10_000.0 + f64::from(i));
            pressure_pa.push(95_000.0 + f64::from(i % 7));
        }
        time_s.extend(&local.time_s);
        pressure_pa.extend(&local.pressure_pa);
        (local.time_s, local.pressure_pa, local.zone_said) = (time_s, pressure_pa, false);
        let laid = lay(&mut readings, &local, None, None).unwrap();
        assert_eq!(laid.without, 0);
        assert!(
            readings[0]
                .remarks
                .iter()
                .any(|r| r.text.contains("2 h ahead of UTC")),
            "{:?}",
            readings[0].remarks
        );
        let Data::Walks(passes) = &readings[0].data else {
            panic!()
        };
        let fixes = &passes[0].segments[0];
        let drop = fixes[0].elevation_m.unwrap() - fixes[200].elevation_m.unwrap();
        assert!(
            (drop - (height(0.0) - height(200.0)) + 7.0).abs() < 1.5,
            "{drop}"
        );
        // A zone that was said is believed.
        local.zone_said = true;
        let (mut readings, ..) = walk();
        lay(&mut readings, &local, None, None).unwrap();
        assert!(
            !readings[0]
                .remarks
                .iter()
                .any(|r| r.text.contains("ahead of UTC"))
        );
        let said = |zone: &str| {
            let rows: String = (10..22)
                .map(|s| format!("2026-05-14T09:30:{s}{zone},950\n"))
                .collect();
            read_log_bytes(format!("time,pressure_hPa\n{rows}").as_bytes(), "a.csv")
                .unwrap()
                .zone_said
        };
        assert!(said("Z") && said("+02:00") && !said(""));
    }

    /// A door of three seconds and gusts of two, each of more than a metre: what is left follows the walk to a few decimetres.
    #[test]
    fn gusts_and_doors_are_left_out() {
        let (mut readings, own, base, height) = walk();
        let mut gusty = String::new();
        for (i, line) in own.lines().enumerate() {
            let cells: Vec<&str> = line.split(',').collect();
            match cells[1].parse::<f64>() {
                Ok(p) => {
                    let gust = match i % 29 {
                        3 | 4 => 0.25,
                        15..=17 => -0.4,
                        _ => 0.0,
                    };
                    writeln!(gusty, "{},{:.3},{}", cells[0], p + gust, cells[2]).unwrap();
                }
                Err(_) => writeln!(gusty, "{line}").unwrap(),
            }
        }
        let log = read_log_bytes(gusty.as_bytes(), "log.csv").unwrap();
        let base = read_log_bytes(base.as_bytes(), "base.csv").unwrap();
        lay(&mut readings, &log, Some(&base), None).unwrap();
        let Data::Walks(passes) = &readings[0].data else {
            panic!()
        };
        let fixes = &passes[0].segments[0];
        let off: Vec<f64> = (0..=200)
            .map(|i| fixes[i].elevation_m.unwrap() - height(i as f64))
            .collect();
        let mean = off.iter().sum::<f64>() / off.len() as f64;
        let most = off.iter().map(|o| (o - mean).abs()).fold(0.0, f64::max);
        assert!(most < 0.5, "{most}");
    }

    #[test]
    fn units_are_told_by_their_figures_and_faults_have_places() {
        let rows = |p: &str| {
            (0..12)
                .map(|i| format!("{},{p}\n", 1_750_000_000 + i))
                .collect::<String>()
        };
        for (head, figure) in [
            ("pressure", "95.31"),
            ("pressure", "953.1"),
            ("pressure_Pa", "95310"),
            ("baro_inHg", "28.145"),
        ] {
            let log = read_log_bytes(
                format!("timestamp,{head}\n{}", rows(figure)).as_bytes(),
                "a.csv",
            )
            .unwrap();
            assert!(
                (log.pressure_pa[0] - 95_310.0).abs() < 20.0,
                "{head} {figure}"
            );
        }
        for text in [
            format!("seconds,pressure\n{}", rows("953")),
            format!("time,height_m\n{}", rows("953")),
            format!("time,pressure\n{}", rows("7.5")),
            "time,pressure\n1750000000,953\n".to_owned(),
            "time,pressure\nnoon,953\nnoon,953\n".to_owned(),
        ] {
            assert!(
                read_log_bytes(text.as_bytes(), "a.csv")
                    .unwrap_err()
                    .to_string()
                    .starts_with("a.csv:")
            );
        }
    }
}
