//! Calibration: hundreds of invented walks against the bars, and the page that is printed of them.

use super::kinds::{Standing, kinds};
use super::road::{lengths, roads};
use super::tally::{HEAD, Tally, bins, reaches, run};
use std::fmt::Write as _;

/// Runs a part of every kind and holds it against the bars; the result is the page.
pub(super) fn calibrate(part: u64, of: u64) -> (String, Vec<String>) {
    let mut wrong = Vec::new();
    let mut table = String::from(HEAD);
    let mut all = Tally::default();
    let mut by_passes = [Tally::default(), Tally::default()];
    for (number, kind) in kinds().iter().enumerate() {
        let first = 10_000 * (number as u64 + 1);
        let tally = run(
            &kind.setting,
            first..first + (kind.walks * part / of).max(1),
        );
        println!("{}\n  {}", tally.row(kind.name), bins(&tally.bins));
        let _ = writeln!(table, "{}", tally.row(kind.name));
        let bar = if kind.standing == Standing::Outside {
            0.85
        } else {
            0.90
        };
        reaches(
            &format!("{}: \"climbs\" true", kind.name),
            tally.true_claims,
            tally.claims,
            bar,
            &mut wrong,
        );
        if kind.standing == Standing::Usual && kind.name.starts_with("usual") {
            let (low, high) = match kind.setting.passes {
                1 => (0.50, 0.75),
                2 => (0.70, 0.90),
                _ => (0.88, 0.95),
            };
            let [_, _, middle, large, larger] = tally.bands;
            reaches(
                &format!("{}: found of 1.0 to 1.5 m", kind.name),
                middle.1,
                middle.0,
                low,
                &mut wrong,
            );
            reaches(
                &format!("{}: found of 1.5 m and more", kind.name),
                large.1 + larger.1,
                large.0 + larger.0,
                high,
                &mut wrong,
            );
        }
        // Far outside of what the model expects the drop may be held too wide, never too narrow.
        reaches(
            &format!("{}: drop within 2 sd", kind.name),
            tally.drop_in,
            tally.walks,
            0.90,
            &mut wrong,
        );
        by_passes[usize::from(kind.setting.passes > 1)].join(&tally);
        all.join(&tally);
    }
    for (tally, (name, bar)) in by_passes.iter().zip([("one walk", 0.97), ("more", 0.98)]) {
        reaches(
            &format!("{name}: humps not said to fall"),
            tally.humps - tally.missed,
            tally.humps,
            bar,
            &mut wrong,
        );
    }
    reaches("drop within 2 sd", all.drop_in, all.walks, 0.90, &mut wrong);
    reaches(
        "drop not always within 2 sd",
        all.walks - all.drop_in,
        all.walks,
        0.02,
        &mut wrong,
    );
    for (n, claimed, is) in all.bins.iter().filter(|b| b.0 > 0) {
        let (claimed, seen) = (claimed / *n as f64, *is as f64 / *n as f64);
        let slack = if of == part {
            0.0
        } else {
            2.6 * (claimed * (1.0 - claimed) / *n as f64).sqrt()
        };
        if (claimed - seen).abs() > 0.12 + slack {
            wrong.push(format!("claimed {claimed:.2}, true {seen:.2} of {n}"));
        }
    }
    let mut page = String::from(
        "# How often it is right\n\nMade by `STEADYFALL_CALIBRATE=full cargo test --release --test all doubt` on invented walks with known truth (600 m of line, 70 m of fall, one hump or none, walks down and up in turn, 0 to 4 stops), with saved seeds. They are not real walks. \"Usual\" draws a white part of 0.1 to 0.5 m, a drift of 0.8 to 3 m that lasts 100 to 600 s and a plan error of 1 to 3 m; the others err in ways that the model does not know. Bore 0.1 m, so half a bore is 0.05 m. A claim is true if a true climb lies within 10 m of the reach.\n\n",
    );
    page.push_str(&table);
    page.push_str("\n\"Found\" is said to climb for certain; what is neither found nor said to fall is \"cannot tell\". Where the drift is far outside of what the model expects (the last three rows) it claims little.\n\n");
    let _ = writeln!(
        page,
        "Probabilities of listed reaches, claimed / true (number), {} walks of all kinds: {}.\n\nProbability of a climb anywhere on the line, claimed / true (number): {}. Most invented lines carry a hump, more than the model expects beforehand, so this one claims too little in the middle.",
        all.walks,
        bins(&all.bins),
        bins(&all.anywhere)
    );
    (page, wrong)
}

#[test]
#[cfg_attr(debug_assertions, ignore = "needs --release: some hundred walks")]
fn the_survey_knows_how_sure_it_is() {
    let full = is_full();
    let (mut page, mut wrong) = calibrate(if full { 10 } else { 1 }, 10);
    if full {
        let _ = write!(
            page,
            "\n## The whole road\n\nThe same from raw fixes: errors of position, spikes (0.5 %), stops, cleaned and brought onto one line by the program. Three columns more: mean error of the length along the slope, the largest, and how often it lies within twice its standard deviation.\n\n{}{}",
            HEAD.replace(
                " |\n|---|",
                " | length, mean error, % | largest, % | within 2 sd, % |\n|---|---|---|---|"
            ),
            roads(150, &mut wrong)
        );
        let _ = write!(
            page,
            "\nLength in plan by the plan error of the receiver, mean error and (standard deviation of one), %, 200 walks each:\n\n| walks | 0.05 m | 1 m | 2 m | 3 m |\n|---|---|---|---|---|\n{}",
            lengths(200, &mut wrong)
        );
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/calibration.md");
        std::fs::write(path, page).unwrap();
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Whether all of it is asked for, not a tenth.
pub(super) fn is_full() -> bool {
    std::env::var("STEADYFALL_CALIBRATE").is_ok_and(|v| v == "full")
}
