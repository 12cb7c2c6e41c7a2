//! Whole-program tests: size.

use steadyfall::flow;
use steadyfall::line::{Discharge, Jet, Line, Outlet, Stream};
use steadyfall::pipe::RunState;
use steadyfall::size::{self, JetChoice, NoSizes, SizeOptions, SizeRefusal, SizeRow};

/// An invented slope of 640 m and 78 m, two bores of polyethylene, four jets.
fn line() -> Line {
    let pipe = steadyfall::pipe::find("PE100 SDR11 90").unwrap();
    let points: Vec<(f64, f64)> = (0..=640)
        .step_by(2)
        .map(|s| {
            let s = f64::from(s);
            (s, 78.0 * (1.0 - s / 640.0) + 0.4 * (s / 40.0).sin())
        })
        .collect();
    let mut line = Line::plain(&points, &pipe);
    line.intake.level_m += 0.6;
    line.geometry.heights.drop_sd_m = 0.8;
    let jet = Jet {
        name: "a".to_owned(),
        nozzle_diameter_m: 0.009,
        open: 1.0,
        discharge_coefficient: 0.95,
        velocity_coefficient: 0.97,
    };
    line.outlet = Some(Outlet {
        how: Discharge::Jets(vec![jet; 4]),
        nozzle_height_m: 0.4,
        water_to_wire: Some(0.55),
    });
    line
}

fn screened(line: &Line, of: Option<&str>, show: usize) -> size::Sizes {
    size::study(
        line,
        &SizeOptions {
            of: of.map(str::to_owned),
            show,
            march: false,
        },
    )
    .unwrap()
}

fn of(rows: &[SizeRow], choice: JetChoice) -> Vec<&SizeRow> {
    rows.iter()
        .filter(|r| r.choice == choice && !r.declared)
        .collect()
}

#[test]
fn larger_pipe_brings_more_power_and_weighs_more() {
    let line = line();
    let all = screened(&line, None, 1000);
    let rows = of(&all.rows, JetChoice::Declared);
    assert!(rows.len() > 10);
    for pair in rows.windows(2) {
        assert!(pair[1].bore_m > pair[0].bore_m && pair[1].mass_kg > pair[0].mass_kg);
        assert!(pair[1].net_head_m > pair[0].net_head_m);
        assert!(pair[0].slimed_power_w < pair[0].water_power_w);
        let gain = pair[0].gain_next_w.unwrap();
        assert!((gain - (pair[1].water_power_w - pair[0].water_power_w)).abs() < 1e-9);
    }
    assert_eq!(rows.last().unwrap().gain_next_w, None);
    // the line as declared stands first and is what flow says of it
    let run = flow::cases(&line).of(&RunState::AllJets).unwrap().clone();
    assert!(all.rows[0].declared);
    assert!((all.rows[0].net_head_m / run.net_head_m - 1.0).abs() < 1e-3);
    assert!((all.rows[0].electrical_w.unwrap() / run.water_power_w / 0.55 - 1.0).abs() < 1e-3);
}

#[test]
fn classes_take_what_stands_with_their_margin() {
    let line = line();
    let all = screened(&line, None, 1000);
    let weight = 1000.0 * 9.806_65;
    for row in &all.rows {
        if row.declared {
            continue;
        }
        assert!(row.zones.len() <= 3);
        assert_eq!(row.zones[0].0, 0.0);
        assert!((row.zones.last().unwrap().1 - 640.0).abs() < 1e-9);
        for (_, to, pipe) in &row.zones {
            let standing = weight * (line.intake.level_m - line.geometry.elevation_m(*to));
            assert!(pipe.rating_pa.unwrap() >= 1.25 * standing);
        }
        for pair in row.zones.windows(2) {
            assert_eq!(pair[0].1, pair[1].0);
        }
    }
}

#[test]
fn jets_for_a_loss_lose_it_and_the_largest_power_is_the_largest() {
    let line = line();
    let all = screened(&line, None, 1000);
    for row in of(&all.rows, JetChoice::Loss(0.10)) {
        // holes are rounded down to a tenth of a millimetre
        assert!(
            row.loss_share <= 0.10 + 1e-9 && row.loss_share > 0.08,
            "{row:?}"
        );
    }
    for row in of(&all.rows, JetChoice::Largest) {
        assert!(
            row.loss_share > 0.3 && row.loss_share < 0.37,
            "{}",
            row.loss_share
        );
        for other in all.rows.iter().filter(|r| r.family == row.family) {
            assert!(other.water_power_w <= row.water_power_w * 1.001);
        }
    }
}

#[test]
fn jets_for_the_stream_take_what_it_gives() {
    let mut line = line();
    line.environment.stream = Some(Stream {
        flow_m3_per_s: vec![9e-3],
        leave_m3_per_s: 4e-3,
    });
    let all = screened(&line, None, 1000);
    let rows = of(&all.rows, JetChoice::Stream);
    assert!(rows.len() > 3);
    for row in rows {
        assert!(row.flow_m3_per_s <= 5e-3 + 1e-9);
    }
    // pipe too thin for that flow is set aside with the reason
    assert!(
        all.set_aside
            .iter()
            .any(|s| matches!(s.why, SizeRefusal::NotRun(flow::WhyNot::TooMuch { .. })))
    );
}

#[test]
fn the_whole_catalogue_goes_by_words_and_few_are_shown() {
    let line = line();
    let all = screened(&line, Some(""), 20);
    assert!(all.screened > 500, "{}", all.screened);
    assert_eq!(all.rows.len(), 20);
    let mut steep = line.clone();
    for z in &mut steep.geometry.heights.mean_m {
        *z *= 5.0;
    }
    steep.intake.level_m = steep.geometry.heights.mean_m[0] + 0.6;
    steep.intake.flood_level_m = steep.intake.level_m;
    let found = screened(&steep, Some(""), 20);
    assert!(
        found
            .set_aside
            .iter()
            .any(|s| s.why == SizeRefusal::NotStrongEnough)
    );
    let none = size::study(
        &line,
        &SizeOptions {
            of: Some("bamboo".to_owned()),
            ..SizeOptions::default()
        },
    );
    assert_eq!(none, Err(NoSizes::NoSuchPipe("bamboo".to_owned())));
}

#[test]
fn nothing_to_size_without_a_turbine() {
    let mut line = line();
    line.outlet = None;
    assert_eq!(
        size::study(&line, &SizeOptions::default()),
        Err(NoSizes::NothingToSize)
    );
}

#[test]
fn shown_rows_are_marched() {
    let line = line();
    let shown = size::study(
        &line,
        &SizeOptions {
            show: 4,
            ..SizeOptions::default()
        },
    )
    .unwrap();
    for row in &shown.rows {
        let s = row.shown.as_ref().unwrap();
        assert!(s.use_high > 0.3, "{s:?}");
        assert!((s.margin - 1.0 + s.use_high).abs() < 1e-12);
        assert!(s.net_head_sd_m > 0.0);
        assert!(!s.governed_by.is_empty());
    }
}

#[test]
fn a_drop_in_doubt_is_said() {
    let mut line = line();
    line.geometry.heights.drop_sd_m = 9.0;
    assert!(screened(&line, None, 5).drop_in_doubt.unwrap() > 0.1);
}
