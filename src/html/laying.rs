//! The laying list on the page: what the bends ask for, then every step in order of work, like sticks together.

use super::markup::{HtmlCell, list, table};
use crate::laying::{BendCheck, Laying, Way};
use crate::unit::Units;
use crate::unit::exact::FOOT_M;
use crate::words::account::Report;
use crate::words::laying::{LayingListStep, cut_from, is_whole, list as steps, stage_word};
use crate::words::{Say, elbow_words};

pub(super) fn section(account: &Report, say: Say) -> String {
    let Some(laying) = &account.study.laying else {
        return String::new();
    };
    let steps = steps(account);
    let mut out = table(
        "Bends held against the pipe",
        &[
            ">station",
            ">turns",
            ">least radius",
            ">radius there",
            "what it needs",
        ],
        &bends(laying, say),
    );
    if steps.is_empty() {
        return out;
    }
    out.push_str(&list(&told(account, laying, say)));
    out.push_str(&table(
        "Steps in order of work",
        &[
            "when",
            "what",
            ">from",
            ">to",
            ">cut",
            "from",
            ">left of it",
            "heed",
        ],
        &rows(laying, &steps, say),
    ));
    out
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
        Way::Pipe if bend.off_line_m > 0.01 => format!(
            "the pipe bends by itself, up to {} inside the corner",
            say.head(bend.off_line_m)
        ),
        Way::Pipe => "the pipe bends by itself".to_owned(),
        Way::Joints(1) => "one ring joint turns".to_owned(),
        Way::Joints(n) => format!("{n} ring joints turn"),
        Way::Elbow(rad) => elbow_words(rad),
        Way::Stands(_) => "an elbow stands".to_owned(),
        Way::CannotTell => "cannot tell: measure the angle".to_owned(),
    }
}

/// What the list rests on.
fn told(account: &Report, laying: &Laying, say: Say) -> Vec<String> {
    let line = &account.study.line;
    let mut out = vec![format!(
        "The pieces add up to the line's {}. The doubt of the stations is not in them: walk the list out with the pipe, and cut the last piece to what is there.",
        exact(line.length_m(), say)
    )];
    for reach in line.reaches.iter().filter(|r| !r.is_laid) {
        let lengths = line.piece_lengths(reach);
        let words: Vec<String> = lengths.iter().map(|l| say.head(l.bought_m)).collect();
        let Some(longest) = lengths.last() else {
            continue;
        };
        let mut text = format!(
            "{}: {} of {}",
            reach.pipe.spec,
            if longest.coil { "coils" } else { "sticks" },
            words.join(", ")
        );
        if lengths.len() > 1 {
            text.push_str("; chosen for the fewest joints, then for the least pipe bought");
        }
        if longest.ends_m > 0.0 {
            text.push_str(&format!(
                "; {} of each coil is cut off for its curved ends",
                say.head(longest.ends_m)
            ));
        }
        if longest.slack > 0.0 {
            text.push_str(&format!(
                "; where it lies open it snakes by {:.2} % so that cold does not pull it tight",
                longest.slack * 100.0
            ));
        }
        text.push('.');
        out.push(text);
    }
    if laying.pieces.iter().any(|p| p.coil && p.bought_m.is_some()) {
        out.push("A coil is a spring: tie its free end down and cut one layer of its bands at a time, standing clear. Let it lie in the sun and go straight before it is joined; cold pipe is stiffer. Its waves look like climbs until it has relaxed: look at the line again then.".to_owned());
    }
    if laying.joints.iter().any(|j| j.forced.is_some()) {
        out.push("Some joints could not be kept out of bends, crests, climbs or spans: longer pieces would.".to_owned());
    }
    out.push(
        "Leave the joints in sight until the test has held; the order of work below says how."
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
    let bought = piece(first).and_then(|p| p.bought_m).unwrap_or(0.0);
    vec![
        HtmlCell::words(stage_word(first.stage)),
        HtmlCell::words(format!(
            "lay pieces {} to {}: {run} whole sticks of {}, joined each to the next",
            number(first),
            number(last),
            say.head(bought)
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
        HtmlCell::words(stage_word(step.stage)),
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
