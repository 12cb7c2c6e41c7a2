//! The whole catalogue against the rules of its standards: every row, not a sample.

use std::collections::BTreeMap;
use steadyfall::pipe::{self, How, Material, Pipe, catalogue};
use steadyfall::text::Place;

const PSI: f64 = 6_894.757_293_168;

fn rows(standard: &str) -> Vec<&'static Pipe> {
    let found: Vec<&Pipe> = catalogue()
        .filter(|p| p.standard.starts_with(standard) && p.refused.is_none())
        .collect();
    assert!(found.len() >= 10, "{standard}: {}", found.len());
    found
}

/// The number behind the letters of a series: "SDR 13.6", "DR 7", "S 10 (SDR 21)".
fn ratio(pipe: &Pipe) -> f64 {
    let text = pipe.series.rsplit("DR ").next().unwrap();
    text.trim_end_matches(')').parse().unwrap()
}

#[test]
fn metric_polyethylene_keeps_the_exact_series_rule_and_its_class() {
    for pipe in rows("ISO 4427") {
        // ISO 4065 with the R10 numbers of ISO 3: S from 10^(n/10), e = dn/(2S + 1), to 0.01 and up to 0.1; small sizes are lifted, never thinned.
        let n = (10.0 * ((ratio(pipe) - 1.0) / 2.0).log10()).round();
        let exact = pipe.outer_diameter_m * 1000.0 / (2.0 * 10f64.powf(n / 10.0) + 1.0);
        let wall = ((exact * 100.0).round() / 10.0 - 1e-6).ceil() / 10.0;
        let lifted = pipe.wall_m * 1000.0 - wall;
        assert!(lifted > -1e-6, "{}: {} under {wall}", pipe.id, pipe.wall_m);
        assert!(
            lifted < 1e-6 || pipe.outer_diameter_m <= 0.040,
            "{}: {lifted}",
            pipe.id
        );
        // PN = 2 s/(SDR - 1): the classes are rounded to the R10 numbers, within 7 %.
        let stress = if pipe.grade == "PE100" { 8.0e6 } else { 6.3e6 };
        let pa = 2.0 * stress / (ratio(pipe) - 1.0);
        assert!(
            (pipe.rating_pa.unwrap() / pa - 1.0).abs() < 0.07,
            "{}",
            pipe.id
        );
    }
}

#[test]
fn inch_polyethylene_keeps_its_wall_and_rating_rules() {
    for pipe in rows("ASTM D3035").into_iter().chain(rows("ASTM D2737")) {
        let wall =
            (pipe.outer_diameter_m / 0.0254 / ratio(pipe) * 1000.0).round() / 1000.0 * 0.0254;
        assert!(
            (pipe.wall_m - wall).abs() < 3e-5,
            "{}: {} for {wall}",
            pipe.id,
            pipe.wall_m
        );
        let stress = if pipe.grade == "PE4710" {
            1000.0
        } else {
            800.0
        } * PSI;
        let pa = 2.0 * stress / (ratio(pipe) - 1.0);
        assert!(
            (pipe.rating_pa.unwrap() / pa - 1.0).abs() < 0.02,
            "{}",
            pipe.id
        );
    }
    for pipe in rows("ASTM D2239") {
        let stress = if pipe.grade == "PE4710" {
            1000.0
        } else {
            800.0
        } * PSI;
        let pa = 2.0 * stress / (ratio(pipe) + 1.0);
        assert!(
            (pipe.rating_pa.unwrap() / pa - 1.0).abs() < 0.03,
            "{}",
            pipe.id
        );
        assert!(
            pipe.is_unverified(),
            "{}: its walls are from memory",
            pipe.id
        );
    }
}

#[test]
fn no_pvc_wall_is_thinner_than_its_own_stress_allows() {
    for pipe in rows("DIN 8062") {
        // e = dn/(2 s/p + 1), s = 10 MPa; printed to 0.1 mm.
        let wall = pipe.outer_diameter_m / (2.0 * 10e6 / pipe.rating_pa.unwrap() + 1.0);
        assert!(
            pipe.wall_m > wall - 0.05e-3,
            "{}: {} under {wall}",
            pipe.id,
            pipe.wall_m
        );
    }
    for pipe in rows("IS 4985") {
        // e = p d/(2 s + p), s = 8.6 MPa.
        let p = pipe.rating_pa.unwrap();
        let wall = p * pipe.outer_diameter_m / (2.0 * 8.6e6 + p);
        assert!(
            pipe.wall_m > wall - 0.06e-3,
            "{}: {} under {wall}",
            pipe.id,
            pipe.wall_m
        );
    }
    for pipe in rows("ASTM D1785") {
        // Table rating within 10 psi of 2 S t/(D - t), S = 2,000 psi.
        let psi = 2.0 * 2000.0 * pipe.wall_m / (pipe.outer_diameter_m - pipe.wall_m);
        assert!(
            (pipe.rating_pa.unwrap() / PSI - psi).abs() < 5.5,
            "{}: {psi}",
            pipe.id
        );
    }
    for pipe in rows("ISO 1452") {
        assert_eq!(
            (pipe.how_dims, pipe.how_rating),
            (How::Memory, How::Memory),
            "{}",
            pipe.id
        );
    }
}

#[test]
fn steel_is_rated_by_the_thin_wall_rule_at_half_the_yield() {
    for pipe in rows("ASME") {
        let stress = if pipe.grade == "Grade B" {
            120.7e6
        } else {
            86.2e6
        };
        let pa = 2.0 * stress * pipe.wall_m / pipe.outer_diameter_m;
        assert!(
            (pipe.rating_pa.unwrap() / pa - 1.0).abs() < 0.005,
            "{}",
            pipe.id
        );
    }
}

#[test]
fn masses_follow_from_the_usual_wall() {
    for pipe in catalogue().filter(|p| p.refused.is_none()) {
        let area = std::f64::consts::FRAC_PI_4
            * (pipe.outer_diameter_m.powi(2) - pipe.inner_diameter_m.powi(2));
        let mass = area * pipe::density_kg_per_m3(pipe).value;
        // Pipe made to its inside is shown with its least wall, and weighed with the usual one.
        let allowed = if pipe.standard == "ASTM D2239" {
            0.09
        } else {
            0.015
        };
        assert!(
            (pipe.mass_kg_per_m / mass - 1.0).abs() < allowed,
            "{}: {} for {mass}",
            pipe.id,
            pipe.mass_kg_per_m
        );
    }
}

#[test]
fn in_one_family_more_wall_is_more_rating_and_less_bore() {
    for a in catalogue().filter(|p| p.refused.is_none()) {
        for b in catalogue().filter(|b| {
            b.standard == a.standard
                && b.grade == a.grade
                && b.size_label == a.size_label
                && b.refused.is_none()
        }) {
            if b.wall_m > a.wall_m + 1e-6 {
                assert!(
                    b.rating_pa >= a.rating_pa && b.inner_diameter_m <= a.inner_diameter_m + 1e-9,
                    "{} and {}",
                    a.id,
                    b.id
                );
            }
        }
    }
}

#[test]
fn every_row_names_a_source_that_is_a_document_a_rule_or_memory() {
    for pipe in catalogue() {
        assert!(
            !pipe.source.is_empty() && !pipe.rating_basis.is_empty(),
            "{}",
            pipe.id
        );
        let text = format!("{} {} {}", pipe.source, pipe.note, pipe.rating_basis).to_lowercase();
        for word in ["http", "www", "copy", "maker", "forum", "pypi"] {
            assert!(!text.contains(word), "{}: {text}", pipe.id);
        }
        let from_memory = pipe.how_dims == How::Memory || pipe.how_rating == How::Memory;
        assert_eq!(
            from_memory,
            text.contains("memory"),
            "{}: says how it is known",
            pipe.id
        );
    }
}

#[test]
fn every_pressure_pipe_has_what_it_can_take() {
    for pipe in catalogue().filter(|p| p.refused.is_none()) {
        assert!(
            pipe::temperature_factor(pipe, 15.0).is_some_and(|k| k.value == 1.0),
            "{}",
            pipe.id
        );
        assert!(
            pipe::temperature_factor(pipe, pipe::hottest_wall_c(pipe) + 0.1).is_none(),
            "{}",
            pipe.id
        );
        assert!(!pipe::usual_pieces(pipe).lengths_m.is_empty());
        let bends = pipe::least_radius_m(pipe, 10.0, pipe::InBend::Pipe).is_some();
        assert_eq!(bends, pipe.material != Material::Steel, "{}", pipe.id);
    }
}

/// Size and pressure alone name two or three PVC pipes of different walls by their standards: such words are never settled silently, and every candidate is shown with its wall.
#[test]
fn rows_of_one_size_and_pressure_with_other_walls_are_never_picked_silently() {
    let mut groups: BTreeMap<(String, i64), Vec<&'static Pipe>> = BTreeMap::new();
    for pipe in pipe::catalogue().filter(|p| p.material == pipe::Material::Pvc) {
        if let Some(pa) = pipe.rating_pa.filter(|_| pipe.refused.is_none()) {
            groups
                .entry((pipe.size_label.clone(), (pa / 1e4).round() as i64))
                .or_default()
                .push(pipe);
        }
    }
    let mut twins = 0;
    for ((size, tenth_bar), rows) in &groups {
        let walls: std::collections::BTreeSet<i64> = rows
            .iter()
            .map(|p| (p.wall_m * 1e5).round() as i64)
            .collect();
        if walls.len() < 2 {
            continue;
        }
        twins += rows.len();
        let bar = *tenth_bar as f64 / 10.0;
        let words = format!("PVC {size} PN {bar}");
        let fault = match pipe::find(&words) {
            Ok(one) => panic!("{words} picked {}", one.spec),
            Err(not_one) => not_one.fault(Place::default()).to_string(),
        };
        // Words of PN name the metric rows; what they name is told apart by its wall.
        let metric = rows
            .iter()
            .filter(|p| size.starts_with("DN/OD") && p.rating_pa.is_some());
        for row in metric {
            let told = format!("wall {:.1} mm", row.wall_m * 1000.0);
            assert!(
                fault.contains(&row.spec) && fault.contains(&told),
                "{words}: {} is not shown\n{fault}",
                row.spec
            );
        }
        // Its own words find each, and no other.
        for row in rows {
            assert_eq!(pipe::find(&row.spec).unwrap().id, row.id);
        }
    }
    assert!(twins >= 84, "{twins} rows");
}

#[test]
fn a_row_from_memory_is_marked_and_can_be_hidden() {
    let dir = crate::program::room("pipes-hidden");
    let run = |arguments: &[&str]| {
        let out = crate::program::program(&dir)
            .args(arguments)
            .output()
            .unwrap();
        assert!(out.status.success());
        String::from_utf8(out.stdout).unwrap()
    };
    let doubtful = |p: &&Pipe| p.how_dims.is_unverified() || p.how_rating.is_unverified();
    let count = pipe::catalogue().filter(doubtful).count();
    assert!(count > 50);
    let all = run(&["pipes"]);
    let verified = run(&["pipes", "--verified"]);
    for pipe in pipe::catalogue() {
        let row = all
            .lines()
            .find(|l| l.starts_with(&format!("{} ", pipe.spec)))
            .unwrap();
        let mark = |row: &str| {
            let after = row.trim_start_matches(&pipe.spec).trim_start();
            after.split("  ").next().unwrap_or("").to_owned()
        };
        if pipe.refused.is_some() {
            assert_eq!(mark(row), "x", "{row}");
            continue;
        }
        assert_eq!(mark(row) == "*", doubtful(&pipe), "{row}");
        let kept = verified
            .lines()
            .any(|l| l.starts_with(&format!("{} ", pipe.spec)));
        assert_eq!(kept, !doubtful(&pipe), "{}", pipe.spec);
    }
    assert!(all.contains("check the marking on the pipe"));
    // No figure of nothing is printed as a measure.
    assert!(!all.contains(" 0.0 mm") && !all.contains(" 0.00 kg/m"));
}
