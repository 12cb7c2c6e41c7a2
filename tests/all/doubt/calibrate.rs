//! Calibration: hundreds of invented walks against the bars, and the page that is printed of them.

use super::bars::{Bars, share};
use super::kinds::{Standing, kinds};
use super::page::put;
use super::road::{lengths, roads};
use super::tally::{HEAD, Tally, bins, run};
use std::fmt::Write as _;

const INTRODUCTION: &str = "Made by `STEADYFALL_CALIBRATE=full cargo test --release --test all doubt` (a number instead of `full`: so many tenths of it; the numbers beside the shares say what was run) on invented walks with known truth (600 m of line, 70 m of fall, one hump or none, walks down and up in turn, 0 to 4 stops), with saved seeds. They are not real walks. \"Usual\" draws a white part of 0.1 to 0.5 m, a drift of 0.8 to 3 m that lasts 100 to 600 s and a plan error of 1 to 3 m; \"filtered\" errs smoothly by 1.5 to 5 m over 30 to 100 s with hardly a fast part, \"trending\" by 3 to 9 m over minutes; the others err in ways that the model does not know; \"outside\" are the three kinds whose drift grows far faster than the model expects. Bore 0.1 m, so half a bore is 0.05 m. A claim is true if a true climb lies within 10 m of the reach.

Shares are in per cent, with the interval in which the true share lies in 95 of 100 samples of this size (Wilson 1927), and the number they are taken of: 49 (38 to 60) of 75. A bar that lies inside of the interval is neither proved nor refuted by the sample.
";

/// Runs a part of every kind and holds it against the bars: the tables of kinds and of probabilities.
pub(super) fn calibrate(part: u64, of: u64, bars: &mut Bars) -> String {
    let mut table = String::from(HEAD);
    let mut all = Tally::default();
    // One walk and more, inside of what the model expects and outside.
    let mut pooled = [(); 2].map(|()| [(); 2].map(|()| Tally::default()));
    for (number, kind) in kinds().iter().enumerate() {
        let first = 10_000 * (number as u64 + 1);
        let tally = run(
            &kind.setting,
            first..first + (kind.walks * part / of).max(1),
        );
        println!("{}\n  {}", tally.row(kind.name), bins(&tally.bins));
        let _ = writeln!(table, "{}", tally.row(kind.name));
        let outside = kind.standing == Standing::Outside;
        bars.least(
            &format!("{}: \"climbs\" true", kind.name),
            tally.true_claims,
            tally.claims,
            if outside { 0.85 } else { 0.90 },
        );
        if kind.name.starts_with("usual") {
            found(kind.name, kind.setting.passes, &tally, bars);
        }
        if kind.setting.barometers {
            let [_, small, ..] = tally.bands;
            bars.least(
                &format!("{}: found of 0.6 to 1.0 m", kind.name),
                small.1,
                small.0,
                0.80,
            );
        }
        bars.most(
            &format!("{}: climb-free lines said to climb for certain", kind.name),
            tally.clean_claimed,
            tally.clean,
            0.01,
        );
        let family = ["filtered", "trending", "usual"];
        if family.iter().any(|f| kind.name.starts_with(f)) {
            bars.most(
                &format!("{}: drop within 2 sd", kind.name),
                tally.drop_in,
                tally.walks,
                0.99,
            );
        }
        // Far outside of what the model expects the drop may be held too wide, never too narrow.
        bars.least(
            &format!("{}: drop within 2 sd", kind.name),
            tally.drop_in,
            tally.walks,
            0.90,
        );
        pooled[usize::from(kind.setting.passes > 1)][usize::from(outside)].join(&tally);
        all.join(&tally);
    }
    for (sides, (name, bar)) in pooled
        .iter()
        .zip([("one walk", 0.03), ("more walks", 0.02)])
    {
        let mut both = sides[0].clone();
        both.join(&sides[1]);
        for (kinds, tally) in [("all kinds", &both), ("without those outside", &sides[0])] {
            bars.most(
                &format!("{name}, {kinds}: climbs of 0.3 m and more said to fall"),
                tally.missed,
                tally.humps,
                bar,
            );
        }
    }
    bars.most(
        "all kinds: climb-free lines said to climb for certain",
        all.clean_claimed,
        all.clean,
        0.01,
    );
    bars.least("all: drop within 2 sd", all.drop_in, all.walks, 0.90);
    bars.most("all: drop within 2 sd", all.drop_in, all.walks, 0.99);
    let missed: Vec<String> = pooled
        .iter()
        .zip(["one walk", "more walks"])
        .map(|(sides, name)| format!("{} from {name}", share(sides[1].missed, sides[1].humps)))
        .collect();
    let mut page = table;
    let _ = write!(
        page,
        "\n\"Found\" is said to climb for certain; what is neither found nor said to fall is \"cannot tell\". Where the drift is far outside of what the model expects (the last three rows) it claims little, and of the climbs of 0.3 m and more it says {} to fall: more than the bar, which is held over all kinds together and without these three. The heights of a terrain model are smoothed over 30 m, so that a hump can be absent from them altogether.\n\nProbabilities of listed reaches, {} walks of all kinds:\n\n| claimed | true, % | number | apart |\n|---|---|---|---|\n",
        missed.join(" and "),
        all.walks,
    );
    for (n, claimed, is) in all.bins.iter().filter(|b| b.0 > 0) {
        let (claimed, seen) = (claimed / *n as f64, *is as f64 / *n as f64);
        let _ = writeln!(
            page,
            "| {claimed:.2} | {} | {n} | {:.2} |",
            share(*is, *n).split(" of ").next().unwrap_or_default(),
            (claimed - seen).abs()
        );
        let slack = if of == part {
            0.0
        } else {
            2.6 * (claimed * (1.0 - claimed) / *n as f64).sqrt()
        };
        if (claimed - seen).abs() > 0.12 + slack {
            bars.wrong
                .push(format!("claimed {claimed:.2}, true {seen:.2} of {n}"));
        }
    }
    let _ = writeln!(
        page,
        "\nThe bar is 0.12 in every row.\n\nProbability of a climb anywhere on the line, claimed / true (number): {}. Most invented lines carry a hump, more than the model expects beforehand, so this one claims too little in the middle.",
        bins(&all.anywhere)
    );
    page
}

/// How many climbs must be found: one walk alone says none for certain.
fn found(name: &str, passes: usize, tally: &Tally, bars: &mut Bars) {
    let (low, high) = match passes {
        1 => {
            bars.most(
                &format!("{name}: said to climb for certain"),
                tally.claims,
                tally.walks,
                0.0,
            );
            return;
        }
        2 => (0.15, 0.35),
        _ => (0.60, 0.85),
    };
    let [_, _, middle, large, larger] = tally.bands;
    bars.least(
        &format!("{name}: found of 1.0 to 1.5 m"),
        middle.1,
        middle.0,
        low,
    );
    bars.least(
        &format!("{name}: found of 1.5 m and more"),
        large.1 + larger.1,
        large.0 + larger.0,
        high,
    );
}

#[test]
#[cfg_attr(debug_assertions, ignore = "needs --release: some hundred walks")]
fn the_survey_knows_how_sure_it_is() {
    let mut bars = Bars::default();
    let kinds = calibrate(tenths().unwrap_or(1), 10, &mut bars);
    if let Some(tenths) = tenths() {
        let walks = 30 * tenths;
        let (roads, lengths) = (roads(walks, &mut bars), lengths(walks, &mut bars));
        put("Invented walks", INTRODUCTION);
        put("The bars", &bars.table());
        put("By kind", &kinds);
        put(
            "The whole road",
            &format!(
                "The same from raw fixes: spikes (0.5 %), stops, and errors of position of 1 to 5 m that forget themselves in 30 to 200 s, from open sky to trees (Tomastik and others 2017 saw 2 m and 5 to 11 m in plan with phones; by axis that is some 1.4 and 3.5 to 8 m); cleaned and brought onto one line by the program. \"Sharp\": a fix every 4 s and humps of 3 to 6 m half width. Three columns more: mean error of the length along the slope, the largest, and how often it lies within twice its standard deviation.\n\n{}{roads}\nLength in plan by the error of the receiver, {walks} walks each: mean error in per cent, (standard deviation of one), and how often it lies within twice the standard deviation that the program gives it. An error of 0.05 m is a surveyor's receiver; there the allowance of 0.2 % for what smoothing takes is the whole of the doubt. The bar for the mean error is 0.3 %: it holds for each receiver up to 4 m and for all together; one walk with an error of 5 m is over it.\n\n| walks | 0.05 m | 1 m | 2 m | 3 m | 4 m | 5 m |\n|---|---|---|---|---|---|---|\n{lengths}",
                HEAD.replace(
                    " |\n|---|",
                    " | length, mean error, % | largest, % | within 2 sd |\n|---|---|---|---|"
                ),
            ),
        );
    }
    assert!(bars.wrong.is_empty(), "{}", bars.wrong.join("\n"));
}

/// How many tenths are asked for, for the page; a tenth without it.
pub(crate) fn tenths() -> Option<u64> {
    let said = std::env::var("STEADYFALL_CALIBRATE").ok()?;
    match said.as_str() {
        "full" => Some(10),
        other => Some(other.parse().expect("full, or a number of tenths")),
    }
}
