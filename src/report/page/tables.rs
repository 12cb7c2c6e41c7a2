//! The tables of the page.

use super::html::{HtmlCell, list, table};
use crate::profile::{ClimbVerdict, Profile};
use crate::report::account::Report;
use crate::report::json;
use crate::report::words::{self, AssumedValue, Say, lacks};
use crate::route::Route;
use crate::study::Study;

/// Climbs, with the marks that vent them.
pub(super) fn climbs(account: &Report, say: Say) -> String {
    let study = &account.study;
    let vents: Vec<String> = (0..study.profile.climbs.len())
        .map(|i| json::vented_by(account, i).join(", "))
        .collect();
    shape(&study.profile, &vents, say)
}

/// Climbs and lows by the shape alone.
pub(super) fn shape(profile: &Profile, vents: &[String], say: Say) -> String {
    let rows: Vec<Vec<HtmlCell>> = profile
        .climbs
        .iter()
        .enumerate()
        .map(|(i, c)| {
            vec![
                HtmlCell::figure(
                    c.low_station_m,
                    say.reach(c.low_station_m, c.crest_station_m),
                ),
                HtmlCell::words(match c.verdict {
                    ClimbVerdict::Climbs => "rises",
                    ClimbVerdict::CannotTell => "not certain",
                }),
                HtmlCell::figure(c.rise_m, say.head_sd(c.rise_m, c.rise_sd_m)),
                HtmlCell::figure(c.probability, say.share(c.probability)),
                HtmlCell::figure(
                    c.crest_from_m,
                    say.reach(c.crest_from_m, c.crest_to_m).replace("at ", ""),
                ),
                HtmlCell::figure(c.pocket_m3, say.volume(c.pocket_m3)),
                HtmlCell::words(vents.get(i).cloned().unwrap_or_default()),
            ]
        })
        .collect();
    let mut out = table(
        "Rising sections",
        &[
            "where",
            "verdict",
            ">rise",
            ">probability",
            "high point",
            ">maximum air volume",
            "vented by",
        ],
        &rows,
    );
    if out.is_empty() {
        out.push_str("<p>The pipe falls all the way, within the accuracy of the survey.</p>");
    }
    let flats: Vec<Vec<HtmlCell>> = profile
        .flats
        .iter()
        .map(|f| {
            vec![
                HtmlCell::figure(
                    f.from_station_m,
                    say.reach(f.from_station_m, f.to_station_m),
                ),
                HtmlCell::figure(f.fall, say.fall(f.fall)),
            ]
        })
        .collect();
    out.push_str(&table("Nearly level sections", &["where", ">fall"], &flats));
    out
}

/// What was taken, what was not computed, what the survey showed on the way.
pub(super) fn taken(study: &Study, say: Say) -> String {
    let rows: Vec<Vec<HtmlCell>> = study
        .line
        .assumed
        .iter()
        .map(|a| {
            let AssumedValue { what, value, why } = words::taken(a, say);
            vec![
                HtmlCell::words(what),
                HtmlCell::words(value),
                HtmlCell::words(why),
            ]
        })
        .collect();
    let mut out = table(
        "Assumed values (no input was given)",
        &["what", "value", "reason"],
        &rows,
    );
    let left: Vec<Vec<HtmlCell>> = study
        .not_computed
        .iter()
        .map(|n| {
            vec![
                HtmlCell::words(n.what),
                HtmlCell::words(lacks(&n.why, Some(&study.line), say)),
            ]
        })
        .collect();
    out.push_str(&table("Not computed", &["what", "reason"], &left));
    out.push_str(&noticed(&study.route, say));
    out
}

/// Which files were judged, and the remarks of the survey.
pub(super) fn noticed(route: &Route, say: Say) -> String {
    let judged = route.files.iter().map(|f| {
        format!(
            "file used: {}, {} bytes, SHA-256 {}",
            f.file, f.bytes, f.sha256
        )
    });
    let remarks = route
        .remarks
        .iter()
        .map(|r| format!("{}: {}", r.place, say.units.say(&r.text)));
    let all: Vec<String> = judged.chain(remarks).collect();
    if all.is_empty() {
        String::new()
    } else {
        format!("<h3>Remarks on the survey</h3>{}", list(&all))
    }
}
