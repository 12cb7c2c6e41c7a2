//! The laying list on the page: what the bends ask for, then every step in order of work, like sticks together.

use super::markup::{HtmlCell, list, table};
use crate::laying::{BendCheck, BendMethod, Laying};
use crate::report::account::Report;
use crate::report::laying_list::{LayingListStep, cut_from, is_whole, list as steps};
use crate::unit::Units;
use crate::unit::exact::FOOT_M;
use crate::words::{Say, elbow_words};
use maud::{Markup, html};

pub(super) fn section(account: &Report, say: Say) -> Markup {
    let Some(laying) = &account.study.laying else {
        return Markup::default();
    };
    let steps = steps(account);
    let checked = table(
        "Bends compared with the minimum bend radius of the pipe",
        &[
            ">station",
            ">angle",
            ">minimum radius",
            ">available radius",
            "required",
        ],
        bends(laying, say),
    );
    if steps.is_empty() {
        return checked;
    }
    let sequence = table(
        "Installation steps in sequence",
        &[
            "when",
            "what",
            ">from",
            ">to",
            ">cut to",
            "from",
            ">remaining length",
            "notes",
        ],
        rows(laying, &steps, say),
    );
    html! { (checked) (list(&told(account, laying, say))) (sequence) }
}

/// Bends that ask for something, or that the pipe only just follows; what is hardly a bend is left out.
fn bends(laying: &Laying, say: Say) -> Vec<Vec<HtmlCell>> {
    laying
        .bends
        .iter()
        .map(|b| {
            vec![
                HtmlCell::figure(b.station_m, say.station(b.station_m)),
                HtmlCell::figure(b.angle_rad, say.angle(b.angle_rad)),
                HtmlCell::maybe(b.least_radius_m, |r| say.head(r)),
                HtmlCell::maybe(Some(b.radius_m).filter(|r| r.is_finite()), |r| say.head(r)),
                HtmlCell::words(needs(b, say)),
            ]
        })
        .collect()
}

fn needs(bend: &BendCheck, say: Say) -> String {
    match bend.way {
        BendMethod::Pipe if bend.off_line_m > 0.01 => format!(
            "the pipe can follow it, up to {} inside the corner",
            say.head(bend.off_line_m)
        ),
        BendMethod::Pipe => "the pipe can follow it".to_owned(),
        BendMethod::Joints(1) => "deflection in one rubber-ring joint".to_owned(),
        BendMethod::Joints(n) => format!("deflection in {n} rubber-ring joints"),
        BendMethod::Elbow(rad) => elbow_words(rad),
        BendMethod::Stands(_) => "existing elbow".to_owned(),
        BendMethod::CannotTell => "not certain: measure the angle".to_owned(),
    }
}

/// What the list rests on.
fn told(account: &Report, laying: &Laying, say: Say) -> Vec<String> {
    let line = &account.study.line;
    let mut out = vec![format!(
        "The lengths add up to the pipeline length of {}. They do not include the uncertainty of the stations. Compare the list with the route, and cut the last length to fit.",
        exact(line.geometry.length_m(), say)
    )];
    for reach in line.reaches.iter().filter(|r| !r.is_laid) {
        let lengths = line.environment.piece_lengths(reach);
        let words: Vec<String> = lengths.iter().map(|l| say.head(l.bought_m)).collect();
        let Some(longest) = lengths.last() else {
            continue;
        };
        let mut text = format!(
            "{}: {} of {}",
            reach.pipe.spec,
            if longest.coil {
                "coils"
            } else {
                "straight lengths"
            },
            words.join(", ")
        );
        if lengths.len() > 1 {
            text.push_str(". Selected for the smallest number of joints, then for the smallest pipe length to buy");
        }
        if longest.ends_m > 0.0 {
            text.push_str(&format!(
                ". {} of each coil is cut off because its ends are curved",
                say.head(longest.ends_m)
            ));
        }
        if longest.slack > 0.0 {
            text.push_str(&format!(
                ". On open ground it snakes by {:.2} %, so that cold does not pull it tight",
                longest.slack * 100.0
            ));
        }
        text.push('.');
        out.push(text);
    }
    if laying.pieces.iter().any(|p| p.coil && p.bought_m.is_some()) {
        out.push("A coil is a spring. Fix its free end and cut one layer of bands at a time. Stand clear. Let the pipe straighten in the sun before you join it: cold pipe is stiffer. Waves from the coil look like rising sections. Check the pipeline again after the pipe has relaxed.".to_owned());
    }
    if laying.joints.iter().any(|j| j.forced.is_some()) {
        out.push("Some joints cannot be kept away from bends, high points, rising sections or spans. Longer lengths of pipe avoid this.".to_owned());
    }
    out.push(
        "Leave the joints visible until the test has passed. The procedure below gives the test."
            .to_owned(),
    );
    out
}

/// Fewer alike sticks than this stand in rows of their own.
const TOGETHER: usize = 3;

fn rows(laying: &Laying, steps: &[LayingListStep], say: Say) -> Vec<Vec<HtmlCell>> {
    let mut out = Vec::new();
    let mut at = 0;
    while let Some(step) = steps.get(at) {
        let run = alike(laying, steps, at);
        if run >= TOGETHER
            && let Some(last) = steps.get(at + 2 * (run - 1))
        {
            out.push(together(laying, step, last, run, say));
            at += 2 * run - 1;
            continue;
        }
        out.push(row(laying, step, say));
        at += 1;
    }
    out
}

/// How many whole sticks of one length follow each other from a step on, each joined to the next in the same way with nothing to heed.
fn alike(laying: &Laying, steps: &[LayingListStep], at: usize) -> usize {
    let whole = |i: usize| {
        steps
            .get(i)
            .and_then(|s| s.piece)
            .and_then(|p| laying.pieces.get(p))
            .filter(|p| is_whole(p))
    };
    let Some(first) = whole(at) else { return 0 };
    let joint = |i: usize| {
        steps
            .get(i)
            .filter(|s| s.piece.is_none() && s.to_m.is_none() && s.heed.is_empty())
            .map(|s| s.what.as_str())
    };
    let joined = joint(at + 1);
    let mut run = 1;
    while joined.is_some()
        && joint(at + 2 * run - 1) == joined
        && whole(at + 2 * run)
            .is_some_and(|p| p.reach == first.reach && p.bought_m == first.bought_m)
    {
        run += 1;
    }
    run
}

fn together(
    laying: &Laying,
    first: &LayingListStep,
    last: &LayingListStep,
    run: usize,
    say: Say,
) -> Vec<HtmlCell> {
    let piece = |s: &LayingListStep| s.piece.and_then(|p| laying.pieces.get(p));
    let number = |s: &LayingListStep| piece(s).map_or(0, |p| p.number);
    let bought = piece(first).and_then(|p| p.bought_m);
    vec![
        HtmlCell::words(first.stage.word()),
        HtmlCell::words(format!(
            "lay lengths {} to {}: {run} full straight lengths of {}, each joined to the next",
            number(first),
            number(last),
            bought.map_or_else(String::new, |m| say.head(m))
        )),
        HtmlCell::figure(first.from_m, exact(first.from_m, say)),
        HtmlCell::maybe(last.to_m, |m| exact(m, say)),
        HtmlCell::words(""),
        HtmlCell::words(""),
        HtmlCell::words(""),
        HtmlCell::words(""),
    ]
}

fn row(laying: &Laying, step: &LayingListStep, say: Say) -> Vec<HtmlCell> {
    let piece = step.piece.and_then(|i| laying.pieces.get(i));
    vec![
        HtmlCell::words(step.stage.word()),
        HtmlCell::words(step.what.clone()),
        HtmlCell::figure(step.from_m, exact(step.from_m, say)),
        HtmlCell::maybe(step.to_m, |m| exact(m, say)),
        HtmlCell::maybe(piece.map(|p| p.cut_m), |m| exact(m, say)),
        HtmlCell::words(
            piece.map_or_else(String::new, |p| match (cut_from(p), p.bought_m) {
                (Some(from), Some(each)) => format!("{from} of {}", say.head(each)),
                _ => String::new(),
            }),
        ),
        HtmlCell::maybe(piece.map(|p| p.left_m), |m| exact(m, say)),
        HtmlCell::words(step.heed.clone()),
    ]
}

/// A length to the millimetre, or to a hundredth of a foot: what is cut is measured so.
fn exact(m: f64, say: Say) -> String {
    match say.units {
        Units::Metric => format!("{m:.3} m"),
        Units::Us => format!("{:.2} ft", m / FOOT_M),
    }
}
