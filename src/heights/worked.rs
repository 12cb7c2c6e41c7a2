//! The worked example: two passes over one hump, exact answers by dense conditioning in another language.

use super::gather::GatheredForms;
use super::given::ForwardRun;
use super::layout::Layout;
use super::noise::Noises;
use super::sample::{RoughnessPrior, Sampler};
use super::{HeightsOptions, ReadingBlock};
use crate::numeric::Rng;
use crate::numeric::math;
use crate::receiver::Errors;

const EXAMPLE: &str = include_str!("../../tests/checks/two-passes.txt");

fn blocks() -> Vec<ReadingBlock> {
    EXAMPLE
        .lines()
        .skip(1)
        .map(|l| {
            let v: Vec<f64> = l.split(' ').map(|c| c.parse().unwrap()).collect();
            ReadingBlock {
                pass: v[0] as usize - 1,
                clock_s: Some(v[1]),
                station_m: v[2],
                height_m: v[3],
                count: 1.0,
                rounded_sd_m: 0.0,
                dilution: None,
            }
        })
        .collect()
}

/// An Ornstein-Uhlenbeck drift and a white part: the slow part is none.
const ERRORS: Errors = Errors {
    slow_sd_m: 1e-5,
    slow_time_s: 60.0,
    fast_sd_m: 1.2,
    fast_time_s: 200.0,
    white_sd_m: 0.2,
};

fn layout(cell_m: f64) -> Layout {
    let blocks = blocks();
    let mut nodes: Vec<f64> = (0..=40)
        .map(|i| 2.5 * f64::from(i))
        .chain(blocks.iter().map(|b| b.station_m))
        .collect();
    nodes.sort_by(f64::total_cmp);
    nodes.dedup();
    let mut cells: Vec<(usize, usize)> = Vec::new();
    for step in 0..nodes.len() - 1 {
        let cell = (0.5 * (nodes[step] + nodes[step + 1]) / cell_m) as usize;
        if cell == cells.len() {
            cells.push((step, step + 1));
        } else {
            cells[cell].1 = step + 1;
        }
    }
    let mut layout = Layout::on(nodes, cells, &blocks, &[], &[], &HeightsOptions::default());
    layout.base_slope = -0.1;
    layout.base_m = 500.0;
    Layout::on(
        layout.node_m,
        layout.cells,
        &blocks,
        &[],
        &[],
        &HeightsOptions::default(),
    )
}

fn at(layout: &Layout, x: &[f64], s: f64) -> f64 {
    let (j, w) = layout.weights_at(s);
    layout.base_at(s) + (0..4).map(|k| w[k] * x[2 * j + k]).sum::<f64>()
}

#[test]
fn given_strengths_are_exact() {
    let layout = layout(20.0);
    let gathered = GatheredForms::new(&layout, &[ERRORS; 2], 500.0);
    let mut run = ForwardRun::default();
    let even = run.forward(&layout, &gathered, |_| 1e-3);
    assert!((even + 65.257_136).abs() < 1e-5, "{even}");
    let mut x = vec![0.0; 2 * layout.node_m.len()];
    run.back(&layout, true, || 0.0, &mut x);
    for (s, want) in [
        (0.0, 499.443_168),
        (20.0, 497.098_810),
        (45.0, 494.353_543),
        (60.0, 494.909_504),
        (100.0, 487.434_322),
    ] {
        assert!((at(&layout, &x, s) - want).abs() < 1e-5);
    }
    let strengths = [1e-5, 1e-5, 1e-2, 1e-2, 1e-5];
    let by_cell = |j: usize| {
        let cell = layout.cells.iter().position(|c| j < c.1).unwrap();
        strengths[cell]
    };
    let uneven = run.forward(&layout, &gathered, by_cell);
    assert!((uneven + 55.416_187).abs() < 1e-5, "{uneven}");
    run.back(&layout, true, || 0.0, &mut x);
    let drop = at(&layout, &x, 0.0) - at(&layout, &x, 100.0);
    assert!((drop - 11.984_378).abs() < 1e-5, "{drop}");
}

/// Largest rise anywhere, over the nodes 0, 2.5 .. 100 m.
fn rise(layout: &Layout, x: &[f64]) -> f64 {
    let mut low = f64::INFINITY;
    let mut most = 0.0f64;
    for i in 0..=40 {
        let z = at(layout, x, 2.5 * f64::from(i));
        low = low.min(z);
        most = most.max(z - low);
    }
    most
}

/// Unknown classes, from a calm and from a rough start: both must come to what enumerating all 243 combinations gives.
#[test]
fn unknown_classes_from_two_starts() {
    let layout = layout(20.0);
    let roughness = RoughnessPrior {
        ladder: vec![1e-5, 1e-3, 1e-1],
        shares: vec![0.60, 0.25, 0.15],
        stay: 0.7,
        alpha: 0.0,
    };
    let exact: [[f64; 3]; 5] = [
        [0.80811, 0.19187, 2e-05],
        [0.69842, 0.30144, 0.00014],
        [0.00013, 0.8754, 0.12448],
        [0.00037, 0.49114, 0.50849],
        [0.55277, 0.4405, 0.00673],
    ];
    for start in [0, 2] {
        let mut sampler = Sampler::new(
            &layout,
            roughness.clone(),
            Noises::given(ERRORS, 2),
            500.0,
            start,
        );
        let mut draws = Rng::new(7);
        let mut shares = [[0.0f64; 3]; 5];
        let mut rises = Vec::new();
        let mut drops = Vec::new();
        let (mut mean, mut off) = (
            vec![0.0; 2 * layout.node_m.len()],
            vec![0.0; 2 * layout.node_m.len()],
        );
        for sweep in 0..3_000 {
            sampler.sweep(&mut draws);
            if sweep < 50 {
                continue;
            }
            for (share, &class) in shares.iter_mut().zip(&sampler.classes) {
                share[class] += 1.0 / 2_950.0;
            }
            sampler.run.back(&layout, true, || 0.0, &mut mean);
            for _ in 0..3 {
                sampler
                    .run
                    .back(&layout, false, || draws.normal(), &mut off);
                let x: Vec<f64> = mean.iter().zip(&off).map(|(a, b)| a + b).collect();
                rises.push(rise(&layout, &x));
                drops.push(at(&layout, &x, 0.0) - at(&layout, &x, 100.0));
            }
        }
        for (got, want) in shares.iter().flatten().zip(exact.iter().flatten()) {
            assert!((got - want).abs() < 0.03, "{shares:?}");
        }
        let n = rises.len() as f64;
        for (p, want) in [(0.05, 0.9975), (0.25, 0.9715), (0.5, 0.8696), (1.0, 0.4884)] {
            let got = rises.iter().filter(|r| **r > p).count() as f64 / n;
            assert!((got - want).abs() < 0.03, "over {p}: {got} for {want}");
        }
        let (m, s) = moments(&rises);
        assert!(
            (m - 1.0458).abs() < 0.04 && (s - 0.5052).abs() < 0.03,
            "{m} {s}"
        );
        let (m, s) = moments(&drops);
        assert!(
            (m - 12.008_261).abs() < 0.03 && (s - 0.846_227).abs() < 0.02,
            "{m} {s}"
        );
    }
}

fn moments(x: &[f64]) -> (f64, f64) {
    let n = x.len() as f64;
    let m = x.iter().sum::<f64>() / n;
    (
        m,
        (x.iter().map(|v| math::powi(v - m, 2)).sum::<f64>() / n).sqrt(),
    )
}
