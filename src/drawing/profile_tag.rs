//! What stands on the line: symbols on the pipe, leaders up to a row of labels.

use super::advance::fitted;
use super::frame::TYPE_MM;
use super::ink::{Ink, Pen};
use super::item::{Box, Item, Role, Text};
use super::label::{LabelRequest, spread};
use super::section::{LongSection, Tag};
use super::section_frame::{Frame, LABEL_PITCH_MM, LEADER_MM, labels_mm};
use super::symbol::Symbol;

/// A label with the tags that it speaks for.
struct Label<'a> {
    tags: Vec<&'a Tag>,
    text: String,
}

/// Symbols on the pipe, leaders up to labels in a row over the chart.
pub(super) fn tags(section: &LongSection, frame: &Frame) -> Vec<Item> {
    let last = (section.first_m() + section.length_m() - frame.to_m).abs() < 1e-6;
    let here: Vec<&Tag> = section
        .tags
        .iter()
        .filter(|t| t.station_m >= frame.from_m - 1e-6 && (t.station_m < frame.to_m - 1e-6 || last))
        .collect();
    let (from, to) = (
        frame.left_mm - 4.0,
        frame.right_mm.max(frame.left_mm + 60.0) + 1.0,
    );
    let most = ((to - from) / LABEL_PITCH_MM).floor().max(0.0) as usize;
    let labels = gathered(&here, most);
    let wishes: Vec<LabelRequest> = labels
        .iter()
        .map(|l| LabelRequest {
            at_mm: middle(&l.tags, frame),
            room_mm: LABEL_PITCH_MM,
        })
        .collect();
    let Some(places) = spread(&wishes, from, to) else {
        return Vec::new();
    };
    let leader = Pen::new(Ink::PALE, 0.16);
    let foot = frame.top_mm - 5.0;
    let mut items = Vec::new();
    let mut taken: Vec<Box> = Vec::new();
    for (label, x) in labels.iter().zip(places) {
        let at = middle(&label.tags, frame);
        let on_pipe = label
            .tags
            .iter()
            .map(|t| frame.y(section.elevation_at(t.station_m)))
            .fold(f64::INFINITY, f64::min);
        items.push(Item::line(
            vec![
                (at, on_pipe),
                (at, frame.top_mm),
                (x, foot),
                (x, foot - 0.6),
            ],
            leader,
        ));
        for tag in &label.tags {
            items.extend(row(section, tag, frame));
            items.push(symbol(section, tag, tag.station_m, frame, &mut taken));
            if let Some(to_m) = tag.to_m.filter(|to| *to <= frame.to_m) {
                items.push(symbol(section, tag, to_m, frame, &mut taken));
            }
        }
        let text = fitted(&label.text, TYPE_MM, false, labels_mm(section) - LEADER_MM);
        items.push(Item::Text(
            Text::new(
                (x + 0.26 * TYPE_MM, foot - 1.4),
                TYPE_MM,
                Role::Figure,
                text,
            )
            .turned(),
        ));
    }
    items
}

fn middle(tags: &[&Tag], frame: &Frame) -> f64 {
    let (first, last) = (tags.first(), tags.last());
    match (first, last) {
        (Some(a), Some(b)) => frame
            .x(0.5 * (a.station_m + b.station_m))
            .clamp(frame.left_mm, frame.right_mm),
        _ => frame.left_mm,
    }
}

/// A row of the same kind: a line along the pipe from the first to the last.
fn row(section: &LongSection, tag: &Tag, frame: &Frame) -> Option<Item> {
    let to_m = tag.to_m?.min(frame.to_m);
    let under = |s: f64| {
        let (x, y) = frame.at(s, section.elevation_at(s));
        (x, y + 3.2)
    };
    let mut points = vec![under(tag.station_m)];
    points.extend(
        section
            .station_m
            .iter()
            .filter(|s| **s > tag.station_m && **s < to_m)
            .map(|s| under(*s)),
    );
    points.push(under(to_m));
    Some(Item::line(points, Pen::new(Ink::BLACK, 0.3)))
}

/// A symbol on the pipe, lifted along its leader where another stands there already.
fn symbol(
    section: &LongSection,
    tag: &Tag,
    station_m: f64,
    frame: &Frame,
    taken: &mut Vec<Box>,
) -> Item {
    let station_m = station_m.clamp(frame.from_m, frame.to_m);
    let (x, mut y) = frame.at(station_m, section.elevation_at(station_m));
    // Signs of the shape itself point at the pipe and stay there.
    if !matches!(tag.symbol, Symbol::Low | Symbol::Crest) {
        let room = |y: f64| Box {
            left: x - 1.6,
            right: x + 1.6,
            top: y - 2.1,
            bottom: y + 2.1,
        };
        let mut tries = 0;
        while taken.iter().any(|b| b.meets(&room(y))) && tries < 12 && y - 6.0 > frame.top_mm {
            y -= 4.4;
            tries += 1;
        }
        taken.push(room(y));
    }
    Item::Group {
        name: tag.label.clone(),
        items: tag.symbol.items((x, y), tag.wanted),
    }
}

/// Labels for at most so many places: neighbours of one kind that give way are put together first ("J1 to J9"), then those that give way go without.
fn gathered<'a>(tags: &[&'a Tag], most: usize) -> Vec<Label<'a>> {
    let single = |t: &&'a Tag| Label {
        tags: vec![*t],
        text: t.label.clone(),
    };
    if tags.len() <= most {
        return tags.iter().map(single).collect();
    }
    for all in [false, true] {
        let mut out: Vec<Label<'a>> = Vec::new();
        for tag in tags {
            match out.last_mut() {
                Some(label)
                    if (all || !tag.matters)
                        && label.tags.last().is_some_and(|l| {
                            l.symbol == tag.symbol && l.wanted == tag.wanted && (all || !l.matters)
                        }) =>
                {
                    label.tags.push(tag);
                    let first = label.tags.first().map_or("", |t| t.id.as_str());
                    label.text = format!("{first}\u{2013}{}", tag.id);
                }
                _ => out.push(single(tag)),
            }
        }
        if out.len() <= most {
            return out;
        }
    }
    let kept: Vec<&&Tag> = tags.iter().filter(|t| t.matters).take(most).collect();
    kept.into_iter()
        .map(|t| Label {
            tags: vec![*t],
            text: t.label.clone(),
        })
        .collect()
}
