//! Measuring the stream: a sheet for each method, and sheets that are wrong.

use proptest::prelude::*;
use steadyfall::form::blank_gauging;
use steadyfall::gauging::{Gauged, GaugingMethod, Note, read_text};
use steadyfall::unit::Units;

const G: f64 = 9.806_65;

fn read(text: &str) -> Vec<Gauged> {
    read_text(text.as_bytes(), "stream.csv", G).unwrap_or_else(|f| panic!("{f}"))
}

fn refused(text: &str) -> String {
    read_text(text.as_bytes(), "stream.csv", G)
        .unwrap_err()
        .to_string()
}

#[test]
fn buckets_of_two_days_are_two_measurements() {
    let days = read(
        "date,volume_l,time_s\n2026-08-03,20,8\n,20,8.2\n,20,7.8\n2026-07-01,20,6\n2026-07-01,20,6\n",
    );
    assert_eq!(days.len(), 2);
    assert_eq!((days[0].date.as_str(), days[0].readings), ("2026-07-01", 2));
    assert!((days[0].flow_m3_per_s - 0.020 / 6.0).abs() < 1e-12);
    assert!((days[1].flow_m3_per_s - 0.0025).abs() < 1e-5);
    assert!(days.iter().all(|d| d.method == GaugingMethod::Bucket));
    assert_eq!((days[0].month(), days[1].month()), (Some(7), Some(8)));
}

#[test]
fn floats_and_soundings_of_one_day_belong_together() {
    let days = read(
        "date,distance_m,time_s,across_m,depth_m\n2026-08-01,10,25,,\n,10,25,,\n,,,0,0\n,,,1,0.4\n,,,2,0.4\n,,,3,0\n",
    );
    let [day] = days.as_slice() else {
        panic!("one day")
    };
    // 0.8 m2 at 0.4 m/s, mean depth 0.27 m: 0.66
    assert!((day.flow_m3_per_s - 0.66 * 0.8 * 0.4).abs() < 1e-9);
    assert!(day.notes.contains(&Note::Shallow));
    assert!(day.sd_m3_per_s > 0.1 * day.flow_m3_per_s);
}

#[test]
fn salt_with_its_own_calibration() {
    let text = "date,salt_g,time_s,conductivity_us_per_cm,calibration_mg_per_l\n2026-08-01,500,,,\n,,0,80,\n,,30,180,\n,,60,180,\n,,90,80,\n,,,80,0\n,,,180,50\n";
    let [day] = read(text).try_into().unwrap();
    // area 100 x 60 = 6000 uS s/cm at 0.5 mg/L: 500000 / 3000 L/s
    assert!((day.flow_m3_per_s - 0.5 / 3.0).abs() < 1e-9, "{day:?}");
    assert!(!day.notes.contains(&Note::NoCalibration));
    assert!(day.notes.contains(&Note::CoarseWave));
}

#[test]
fn heads_over_both_kinds_of_plate() {
    let v = read("date,head_mm,angle_deg,channel_m,height_m\n2026-08-01,150,90,1.5,0.5\n,152,,,\n");
    assert_eq!((v[0].method, v[0].readings), (GaugingMethod::VNotch, 2));
    assert!((v[0].flow_m3_per_s - 0.0123).abs() < 3e-4);
    assert!(!v[0].notes.contains(&Note::WeirOutside));
    let out = read("date,head_mm,angle_deg\n2026-08-01,30,90\n");
    assert!(out[0].notes.contains(&Note::WeirOutside));
    assert!(out[0].notes.contains(&Note::WeirUnbounded));
    let level = read("date,head_m,width_m,channel_m,height_m\n2026-08-01,0.1,0.5,1.2,0.4\n");
    assert_eq!(level[0].method, GaugingMethod::Notch);
    assert!((level[0].flow_m3_per_s - 0.0285).abs() < 6e-4);
}

#[test]
fn a_wrong_sheet_names_its_place_and_what_to_do() {
    for (text, says) in [
        (
            "volume_l,time_s\n20,8\n",
            "stream.csv:1:1: a sheet without the column date",
        ),
        (
            "date,flow\n2026-08-01,3\n",
            "stream.csv:1:1: no known method",
        ),
        (
            "date,volume,time_s\n2026-08-01,20,8\n",
            "stream.csv:1:6: a column with a unit that is not known",
        ),
        (
            "date,volume_l,time_s\n1/8/26,20,8\n",
            "stream.csv:2:1: not a date",
        ),
        (
            "date,volume_l,time_s\n2026-08-01,20,\n",
            "stream.csv:2:1: a filling needs",
        ),
        (
            "date,volume_l,time_s\n2026-08-01,-20,8\n",
            "stream.csv:2:12: a value that is not more than 0",
        ),
        (
            "date,salt_g,time_s,conductivity_us_per_cm\n2026-08-01,,0,80\n,,5,90\n",
            "stream.csv:2:1: the mass of the salt is missing",
        ),
        (
            "date,salt_g,time_s,conductivity_us_per_cm\n2026-08-01,10,5,80\n,,5,90\n",
            "stream.csv:3:1: the time of this row",
        ),
        (
            "date,distance_m,time_s,across_m,depth_m\n2026-08-01,10,20,,\n",
            "stream.csv:2:1: floats without a cross-section",
        ),
        (
            "date,head_mm\n2026-08-01,100\n",
            "stream.csv:2:1: the notch of this weir is not given",
        ),
        (
            "date,head_m,width_m,channel_m\n2026-08-01,0.1,0.5,0.4\n",
            "stream.csv:2:1: the notch is wider",
        ),
    ] {
        let told = refused(text);
        assert!(told.starts_with(says), "{told}");
        assert!(told.contains("expected"), "{told}");
    }
}

#[test]
fn every_blank_sheet_says_that_it_is_empty_and_not_that_it_is_no_sheet() {
    for units in [Units::Metric, Units::Us] {
        for (name, _, text) in blank_gauging(units) {
            let told = refused(text);
            assert!(
                told.contains("no measurement in this sheet"),
                "{name}: {told}"
            );
        }
    }
}

proptest! {
    /// No bytes bring the reader down, and what it reads is a flow with its doubt.
    #[test]
    fn no_sheet_panics(kind in 0usize..4, cells in "[0-9.,\n\\- e;2026]{0,120}") {
        let (_, _, text) = blank_gauging(Units::Metric)[kind];
        let text = format!("{text}2026-08-01,{cells}");
        if let Ok(days) = read_text(text.as_bytes(), "stream.csv", G) {
            for day in days {
                prop_assert!(day.flow_m3_per_s.is_finite() && day.flow_m3_per_s >= 0.0);
                prop_assert!(day.sd_m3_per_s.is_finite() && day.sd_m3_per_s >= 0.0);
            }
        }
    }
}
