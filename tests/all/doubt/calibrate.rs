//! Calibration: hundreds of invented walks against the bars, and the page that is printed of them.

use super::bars::{Bars, share};
use super::kinds::{Standing, kinds};
use super::page::put;
use super::road::{lengths, roads};
use super::tally::{HEAD, Tally, bins, run};
use std::fmt::Write as _;

const INTRODUCTION: &str = "Made by `STEADYFALL_CALIBRATE=full cargo test --release --test all doubt` (a number in place of `full`: so many tenths of the walks; the tables give the numbers used), on invented walks with known heights and saved seeds. They are not real walks. Each route is 600 m long and falls 70 m, with one hump or none. The walks go down and up alternately, with 0 to 4 stops. \"Usual\" has a white error of 0.1 to 0.5 m, a drift of 0.8 to 3 m over 100 to 600 s, and a position error of 1 to 3 m. \"Filtered\" has a smooth error of 1.5 to 5 m over 30 to 100 s, with almost no fast part. \"Trending\" has an error of 3 to 9 m over minutes. The other kinds have errors that the model does not contain. \"Outside\" are the three kinds with a much faster drift than the model expects. The inside diameter is 0.1 m, so that half of it is 0.05 m. A reported rise is true if a true rise is within 10 m of the section.

Shares are in per cent, with their 95 % interval (Wilson 1927) and the number of cases: 49 (38 to 60) of 75. If the required value is inside the interval, the sample does not decide.
";

/// Runs a part of every kind and holds it against the bars: the tables of kinds and of probabilities.
pub(super) fn calibrate(part: u64, of: u64, bars: &mut Bars) -> String {
    let mut table = String::from(HEAD);
    let mut all = Tally::default();
    // One walk and more, inside of what the model expects and outside.
    let mut pooled = [(); 2].map(|()| [(); 2].map(|()| Tally::default()));
    let only = std::env::var("STEADYFALL_KIND").unwrap_or_default();
    for (number, kind) in kinds().iter().enumerate() {
        if !kind.name.contains(&only) {
            continue;
        }
        let first = 10_000 * (number as u64 + 1);
        let tally = run(
            &kind.setting,
            first..first + (kind.walks * part / of).max(1),
        );
        println!("{}\n  {}", tally.row(kind.name), bins(&tally.bins));
        let _ = writeln!(table, "{}", tally.row(kind.name));
        let outside = kind.standing == Standing::Outside;
        bars.least(
            &format!("{}: certain rises that are true", kind.name),
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
                &format!("{}: found, 0.6 to 1.0 m", kind.name),
                small.1,
                small.0,
                0.80,
            );
        }
        bars.most(
            &format!(
                "{}: routes without a rise: a rise reported as certain",
                kind.name
            ),
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
        for (kinds, tally) in [
            ("all kinds", &both),
            ("without the kinds outside the model", &sides[0]),
        ] {
            bars.most(
                &format!("{name}, {kinds}: rises of 0.3 m or more reported as falling"),
                tally.missed,
                tally.humps,
                bar,
            );
        }
    }
    bars.most(
        "all kinds: routes without a rise: a rise reported as certain",
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
        "\n\"Found\" is a rise that is reported as certain. A rise that is not found, and not reported as falling, is \"cannot tell\". With a drift far outside the model (the last three rows), few rises are certain. Of the rises of 0.3 m or more, it reports as falling: {}. This is more than required. The requirement is for all kinds together, and for all kinds without these three. The heights of a terrain model are smoothed over 30 m, so they can lose a hump completely.\n\nProbabilities of the listed sections, {} walks of all kinds:\n\n| stated | true, % | number | difference |\n|---|---|---|---|\n",
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
        "\nThe difference must be 0.12 or less in each row.\n\nProbability of a rise at any place on the route, stated / true (number): {}. Most invented routes have a hump, more often than the model expects. Thus the stated values in the middle are too low.",
        bins(&all.anywhere)
    );
    page
}

/// How many climbs must be found: one walk alone says none for certain.
fn found(name: &str, passes: usize, tally: &Tally, bars: &mut Bars) {
    let (low, high) = match passes {
        1 => {
            bars.most(
                &format!("{name}: rises reported as certain"),
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
        &format!("{name}: found, 1.0 to 1.5 m"),
        middle.1,
        middle.0,
        low,
    );
    bars.least(
        &format!("{name}: found, 1.5 m and more"),
        large.1 + larger.1,
        large.0 + larger.0,
        high,
    );
}

/// STEADYFALL_HUNDREDTHS: so many hundredths of the walks, as the gate asks for; a tenth without it. STEADYFALL_KIND: only kinds with this in their name.
#[test]
#[cfg_attr(
    debug_assertions,
    ignore = "some hundred walks: --release, or few with STEADYFALL_HUNDREDTHS and --include-ignored"
)]
fn the_survey_knows_how_sure_it_is() {
    let mut bars = Bars::default();
    let few = std::env::var("STEADYFALL_HUNDREDTHS")
        .ok()
        .map(|n| (n.parse().expect("a number of hundredths"), 100));
    let (part, of) = few.unwrap_or((tenths().unwrap_or(1), 10));
    let kinds = calibrate(part, of, &mut bars);
    if let Some(tenths) = tenths() {
        let walks = 30 * tenths;
        let (roads, lengths) = (roads(walks, &mut bars), lengths(walks, &mut bars));
        put("Invented walks", INTRODUCTION);
        put("Requirements", &bars.table());
        put("By kind", &kinds);
        put(
            "From raw fixes",
            &format!(
                "The same from raw fixes, which the program cleans and combines into one route. They have spikes (0.5 %), stops, and position errors of 1 to 5 m with a duration of 30 to 200 s, from open sky to trees. Tomastik and others 2017 measured 2 m and 5 to 11 m in plan with phones. On each axis this is about 1.4 m and 3.5 to 8 m. \"Sharp\" has a fix every 4 s, and humps with a half width of 3 to 6 m. Three more columns: mean error of the length along the slope, largest error, and share within two standard deviations.\n\n{}{roads}\nLength in plan by the error of the receiver, {walks} walks each: mean error in per cent, (standard deviation of one walk set), and share within two of the standard deviations that the program states. An error of 0.05 m is a surveyor's receiver. Its uncertainty is only the allowance of 0.2 % for the smoothing. The mean error must be 0.3 % or less. One walk with an error of 4 m or more does not meet this.\n\n| walks | 0.05 m | 1 m | 2 m | 3 m | 4 m | 5 m |\n|---|---|---|---|---|---|---|\n{lengths}",
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
