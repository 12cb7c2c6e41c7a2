//! Bars, and what was measured against them, with the error of the sample.

use std::fmt::Write as _;

/// A share with the interval in which the true one lies in 95 of 100 samples like this (E. B. Wilson, Journal of the American Statistical Association 22, 1927).
pub(super) fn interval(hits: usize, n: usize) -> (f64, f64) {
    const Z: f64 = 1.96;
    if n == 0 {
        return (0.0, 1.0);
    }
    let (n, p) = (n as f64, hits as f64 / n as f64);
    let middle = (p + Z * Z / (2.0 * n)) / (1.0 + Z * Z / n);
    let half = Z * (p * (1.0 - p) / n + Z * Z / (4.0 * n * n)).sqrt() / (1.0 + Z * Z / n);
    ((middle - half).max(0.0), (middle + half).min(1.0))
}

/// "49 (38 to 60) of 75": per cent, its interval, the number.
pub(super) fn share(hits: usize, n: usize) -> String {
    if n == 0 {
        return "-".to_owned();
    }
    let (low, high) = interval(hits, n);
    let p = 100.0 * hits as f64 / n as f64;
    let digits = usize::from(p < 10.0 || (p > 99.0 && n >= 300));
    format!(
        "{p:.digits$} ({:.digits$} to {:.digits$}) of {n}",
        100.0 * low,
        100.0 * high
    )
}

/// What is known to miss its bar (docs/calibration.md tells it as not met), and what it holds today.
const OWED: [(&str, f64); 1] = [(
    "more walks, all kinds: rises of 0.3 m or more reported as falling",
    0.05,
)];

/// Which side of its bar a share has to stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Side {
    AtLeast,
    AtMost,
}

/// All bars, in the order in which they were asked.
#[derive(Debug, Default)]
pub(super) struct Bars {
    rows: String,
    /// What misses its bar by more than chance does in 1 of 200 runs.
    pub(super) wrong: Vec<String>,
}

impl Bars {
    /// Holds a share against its bar; on few walks it may fall short by what chance alone does in 1 of 200 runs, and the page says which it is.
    pub(super) fn hold(&mut self, what: &str, (hits, n): (usize, usize), side: Side, bar: f64) {
        if n == 0 {
            return;
        }
        let seen = hits as f64 / n as f64;
        let short = match side {
            Side::AtLeast => bar - seen,
            Side::AtMost => seen - bar,
        };
        let owed = OWED.iter().find(|(name, _)| *name == what).map(|o| o.1);
        let fallen = owed.map_or(short, |held| match side {
            Side::AtLeast => held - seen,
            Side::AtMost => seen - held,
        });
        if fallen > 2.6 * (bar * (1.0 - bar) / n as f64).sqrt() {
            self.wrong.push(format!(
                "{what}: {} %, bar {:.0}",
                share(hits, n),
                100.0 * bar
            ));
        }
        let (low, high) = interval(hits, n);
        let told = if short <= 0.0 {
            "met"
        } else if low <= bar && bar <= high {
            "not met, within the sampling error"
        } else {
            "not met"
        };
        let _ = writeln!(
            self.rows,
            "| {what} | {} {:.0} | {} | {told} |",
            if side == Side::AtLeast {
                "at least"
            } else {
                "at most"
            },
            100.0 * bar,
            share(hits, n)
        );
    }

    pub(super) fn least(&mut self, what: &str, hits: usize, n: usize, bar: f64) {
        self.hold(what, (hits, n), Side::AtLeast, bar);
    }

    pub(super) fn most(&mut self, what: &str, hits: usize, n: usize, bar: f64) {
        self.hold(what, (hits, n), Side::AtMost, bar);
    }

    /// The table for the page.
    pub(super) fn table(&self) -> String {
        format!(
            "| what | required, % | measured, % (95 % interval) of number | |\n|---|---|---|---|\n{}",
            self.rows
        )
    }
}

#[test]
fn intervals_are_those_of_the_books() {
    // 10 of 20: 0.299 to 0.701; none of 10: 0 to 0.278 (worked from the formula by hand).
    let (low, high) = interval(10, 20);
    assert!((low - 0.2993).abs() < 5e-4 && (high - 0.7007).abs() < 5e-4);
    let (low, high) = interval(0, 10);
    assert!(low.abs() < 1e-12 && (high - 0.2775).abs() < 5e-4);
    assert_eq!(share(37, 75), "49 (38 to 60) of 75");
    let mut bars = Bars::default();
    bars.least("a", 37, 75, 0.5);
    assert!(bars.wrong.is_empty() && bars.table().contains("within the sampling error"));
    bars.least("b", 20, 75, 0.5);
    bars.most("c", 20, 75, 0.03);
    assert_eq!(bars.wrong.len(), 2);
}
