//! The tables of the page.

use super::markup::{HtmlCell, list, table};
use crate::profile::{ClimbVerdict, Profile};
use crate::report::account::Report;
use crate::report::marked::vented_by;
use crate::route::Route;
use crate::study::Study;
use crate::words::{self, AssumedValue, Say, lacks};
use maud::{Markup, html};

/// Climbs, with the marks that vent them.
pub(super) fn climbs(account: &Report, say: Say) -> Markup {
    let study = &account.study;
    let vents: Vec<String> = (0..study.profile.climbs.len())
        .map(|i| vented_by(account, i).join(", "))
        .collect();
    shape(&study.profile, &vents, say)
}

/// Climbs and lows by the shape alone.
pub(super) fn shape(profile: &Profile, vents: &[String], say: Say) -> Markup {
    let rows = profile.climbs.iter().enumerate().map(|(i, c)| {
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
    });
    let climbs = table(
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
        rows,
    );
    let flats = profile.flats.iter().map(|f| {
        vec![
            HtmlCell::figure(
                f.from_station_m,
                say.reach(f.from_station_m, f.to_station_m),
            ),
            HtmlCell::figure(f.fall, say.fall(f.fall)),
        ]
    });
    html! {
        (climbs)
        @if climbs.0.is_empty() { p { "The pipe falls all the way, within the accuracy of the survey." } }
        (table("Nearly level sections", &["where", ">fall"], flats))
    }
}

/// What was taken, what was not computed, what the survey showed on the way.
pub(super) fn taken(study: &Study, say: Say) -> Markup {
    let rows = study.line.assumed.iter().map(|a| {
        let AssumedValue { what, value, why } = words::taken(a, say);
        vec![
            HtmlCell::words(what),
            HtmlCell::words(value),
            HtmlCell::words(why),
        ]
    });
    let assumed = table(
        "Assumed values (no input was given)",
        &["what", "value", "reason"],
        rows,
    );
    let left = study.not_computed.iter().map(|n| {
        vec![
            HtmlCell::words(n.what),
            HtmlCell::words(lacks(&n.why, Some(&study.line), say)),
        ]
    });
    html! {
        (assumed)
        (table("Not computed", &["what", "reason"], left))
        (noticed(&study.route, say))
    }
}

/// Which files were judged, and the remarks of the survey.
pub(super) fn noticed(route: &Route, say: Say) -> Markup {
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
    html! { @if !all.is_empty() { h3 { "Remarks on the survey" } (list(&all)) } }
}
