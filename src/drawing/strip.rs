//! The section for the width of a phone: ground and pipe as high as they can be, rising sections, what was found and what stands, all of it to be tapped.

use super::ink::{Ink, Pen};
use super::inset::inset;
use super::item::{Align, Box, Item, PaperPoint, PaperSheet, Role, Text};
use super::label::{LabelRequest, spread};
use super::profile_chart::{doubt, ground, pipe, pocket, reach};
use super::scale::{round_stations, round_step, ruling, unit_m};
use super::section::{ClimbReach, LongSection, Tag};
use super::section_frame::{Frame, f64_of};
use super::symbol::Symbol;
use crate::pipe::MarkKind;

/// Width, in units of 2.6 pixels of a phone that is 390 wide.
pub(super) const WIDTH: f64 = 138.0;
/// Type: 12.5 pixels.
pub(super) const TYPE: f64 = 4.8;
/// Type of an inset that has half the width.
const HALF_TYPE: f64 = 3.9;
const LEFT: f64 = 14.0;
const RIGHT: f64 = WIDTH - 2.0;
/// Height of the chart.
const CHART: f64 = 62.0;
/// Distance of badges from middle to middle: 25 pixels, so that a finger hits one.
const BADGE: f64 = 9.7;
/// Rows of badges at most; what finds no place is in the list of findings alone.
const MOST_ROWS: usize = 2;
/// Height of an inset.
const INSET: f64 = 34.0;
/// Insets at most: the sheet of rising sections has them all.
const MOST_INSETS: usize = 4;
/// Marks nearer than this are one sign.
const TOGETHER: f64 = 9.2;

/// A finding on the picture.
#[derive(Debug, Clone)]
pub struct Badge {
    /// Its number.
    pub number: usize,
    /// Where it begins, m.
    pub from_m: f64,
    /// Where it ends, m.
    pub to_m: f64,
    /// It must be corrected; else it is to be checked.
    pub grave: bool,
    /// What it is, for those who cannot see.
    pub name: String,
}

impl Badge {
    /// The name of its place on a picture.
    fn spot(&self, picture: &str) -> String {
        format!("{picture}-F{}", self.number)
    }

    /// The name of the finding in the page.
    fn finding(&self) -> String {
        format!("F{}", self.number)
    }

    /// The finding of a hump: the narrowest that covers its high point.
    fn of_hump<'a>(badges: &'a [Self], hump: &ClimbReach) -> Option<&'a Self> {
        let (from, to) = if hump.certain {
            (hump.low_m, hump.crest_m)
        } else {
            hump.reach_m
        };
        badges
            .iter()
            .filter(|b| (b.from_m - from).abs() < 0.6 && (b.to_m - to).abs() < 0.6)
            .min_by_key(|b| b.number)
    }
}

/// The picture and its chart.
#[derive(Debug, Clone)]
pub struct Strip {
    /// The picture.
    pub sheet: PaperSheet,
    /// Its chart.
    pub frame: Frame,
    /// How much larger heights are drawn than lengths.
    pub taller: f64,
}

/// What a mark is called in the page: the row of its table.
pub(super) fn mark_row(tag: &Tag) -> Option<String> {
    let is_mark = !matches!(
        tag.symbol,
        Symbol::Valve
            | Symbol::Fitting
            | Symbol::Low
            | Symbol::Crest
            | Symbol::Place
            | Symbol::Gauge
            | Symbol::Intake
            | Symbol::Turbine
    );
    let first = tag.id.split('\u{2013}').next().unwrap_or_default();
    let own = !first.is_empty() && first.chars().all(|c| c.is_ascii_alphanumeric());
    (is_mark && own).then(|| format!("mark-{first}"))
}

/// The picture of a section; `None` where there is no line.
pub fn strip(section: &LongSection, badges: &[Badge]) -> Option<Strip> {
    if section.station_m.len() < 2 || section.station_m.len() != section.elevation_m.len() {
        return None;
    }
    let placed = placed(section, badges);
    let rows = placed.iter().map(|p| p.row + 1).max().unwrap_or(0);
    let top = 3.0 + BADGE * f64_of(rows);
    let frame = frame(section, top)?;
    let under = frame.bottom_mm + 1.5 * TYPE;
    let humps: Vec<&ClimbReach> = section.humps.iter().take(MOST_INSETS).collect();
    let inset_rows = f64_of(humps.len().div_ceil(2));
    let height = under + 2.0 + inset_rows * (INSET + 2.0);
    let mut items: Vec<Item> = Vec::new();
    for hump in &section.humps {
        items.push(linked(badges, hump, reach(hump, &frame)));
    }
    for badge in badges {
        items.push(spot(badge, &frame));
    }
    items.extend(section.tags.iter().filter_map(|t| ring(section, t, &frame)));
    items.extend(rulings(section, &frame));
    items.extend(doubt(section, &frame));
    for hump in &section.humps {
        items.extend(pocket(section, hump, &frame));
    }
    items.extend(ground(section, &frame));
    items.extend(pipe(section, &frame));
    items.extend(signs(section, &frame));
    items.extend(placed.iter().map(|p| p.drawn(section, &frame)));
    for (i, hump) in humps.iter().enumerate() {
        let alone = humps.len() == 1;
        let wide = if alone {
            WIDTH - 4.0
        } else {
            WIDTH / 2.0 - 3.0
        };
        let left = 2.0 + f64_of(i % 2) * (WIDTH / 2.0 - 1.0);
        let top = under + 2.0 + f64_of(i / 2) * (INSET + 2.0);
        let room = Box {
            left,
            top,
            right: left + wide,
            bottom: top + INSET,
        };
        let drawn = inset(section, hump, room, if alone { TYPE } else { HALF_TYPE });
        items.extend(drawn);
        // What is tapped lies over it and has no words of its own.
        let over = Item::rectangle(room, None, Some(Ink::CLEAR));
        items.push(linked(badges, hump, vec![over]));
    }
    Some(Strip {
        sheet: PaperSheet {
            width_mm: WIDTH,
            height_mm: height,
            title: section.words.title.clone(),
            description: section.words.verdict.clone(),
            items,
        },
        frame,
        taller: frame.up_mm_per_m / frame.mm_per_m,
    })
}

fn frame(section: &LongSection, top: f64) -> Option<Frame> {
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    let ground = section.ground_m.iter().copied().flatten();
    for z in section.elevation_m.iter().copied().chain(ground) {
        low = low.min(z);
        high = high.max(z);
    }
    let span = 1.16 * (high - low).max(1.0);
    let length = section.length_m();
    (length > 0.0 && span.is_finite()).then(|| Frame {
        left_mm: LEFT,
        right_mm: RIGHT,
        top_mm: top,
        bottom_mm: top + CHART,
        from_m: section.first_m(),
        to_m: section.first_m() + length,
        base_m: 0.5 * (low + high - span),
        mm_per_m: (RIGHT - LEFT) / length,
        up_mm_per_m: CHART / span,
    })
}

/// What leads to the finding of a hump, where there is one.
fn linked(badges: &[Badge], hump: &ClimbReach, items: Vec<Item>) -> Item {
    match Badge::of_hump(badges, hump) {
        Some(badge) => Item::Link {
            to: badge.finding(),
            name: format!("{}: {}", hump.label, badge.name),
            items,
        },
        None => Item::Group {
            name: hump.label.clone(),
            items,
        },
    }
}

/// Where a finding lies, shown when the reader comes from it.
fn spot(badge: &Badge, frame: &Frame) -> Item {
    let (from, to) = (frame.x(badge.from_m), frame.x(badge.to_m));
    let (middle, half) = (0.5 * (from + to), (0.5 * (to - from)).max(1.6));
    let area = Box {
        left: (middle - half).max(frame.left_mm),
        right: (middle + half).min(frame.right_mm),
        ..frame.area()
    };
    Item::Spot {
        id: badge.spot("at"),
        items: vec![Item::rectangle(
            area,
            Some(Pen::new(Ink::FOUND_EDGE, 0.5)),
            Some(Ink::FOUND),
        )],
    }
}

/// Where a mark stands, shown when the reader comes from its row.
fn ring(section: &LongSection, tag: &Tag, frame: &Frame) -> Option<Item> {
    let id = mark_row(tag)
        .filter(|_| is_shown(tag))?
        .replacen("mark", "at", 1);
    Some(Item::Spot {
        id,
        items: vec![Item::Circle {
            at: frame.at(tag.station_m, section.elevation_at(tag.station_m)),
            radius_mm: 5.0,
            pen: Some(Pen::new(Ink::FOUND_EDGE, 0.8)),
            fill: Some(Ink::FOUND),
        }],
    })
}

/// Whether it has a sign on the picture.
fn is_shown(tag: &Tag) -> bool {
    !matches!(
        tag.symbol,
        Symbol::Place | Symbol::Crest | Symbol::Low | Symbol::Mark(MarkKind::Joint)
    )
}

fn rulings(section: &LongSection, frame: &Frame) -> Vec<Item> {
    let units = section.units;
    let unit = unit_m(units);
    let mut items = Vec::new();
    let step = round_step(14.0 / frame.up_mm_per_m / unit) * unit;
    let top_m = frame.base_m + CHART / frame.up_mm_per_m;
    let mut height = (frame.base_m / step).ceil() * step;
    while height <= top_m {
        let y = frame.y(height);
        items.push(Item::line(
            vec![(frame.left_mm, y), (frame.right_mm, y)],
            Pen::new(Ink::FAINT, 0.2),
        ));
        items.push(Item::Text(
            Text::new(
                (frame.left_mm - 1.0, y + 1.6),
                TYPE,
                Role::Ruling,
                ruling(height, step, units),
            )
            .align(Align::End),
        ));
        height += step;
    }
    let step = round_step(28.0 / frame.mm_per_m / unit) * unit;
    let y = frame.bottom_mm;
    for (station, figure) in round_stations(&section.station_m, &section.pegs_m, step) {
        let x = frame.x(station);
        items.push(Item::line(
            vec![(x, y), (x, y + 1.2)],
            Pen::new(Ink::BLACK, 0.3),
        ));
        let end = if x > frame.right_mm - 6.0 {
            Align::End
        } else {
            Align::Middle
        };
        let words = ruling(figure, step, units);
        items.push(Item::Text(
            Text::new((x, y + 1.2 + TYPE), TYPE, Role::Ruling, words).align(end),
        ));
    }
    items.push(Item::Text(Text::new(
        (1.0, y + 1.2 + TYPE),
        TYPE,
        Role::Ruling,
        section.words.unit.clone(),
    )));
    items.push(Item::rectangle(
        frame.area(),
        Some(Pen::new(Ink::BLACK, 0.3)),
        None,
    ));
    items
}

/// What stands on the pipe and what is required, gathered where signs would lie over each other.
fn signs(section: &LongSection, frame: &Frame) -> Vec<Item> {
    let mut tags: Vec<&Tag> = section.tags.iter().filter(|t| is_shown(t)).collect();
    tags.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
    let mut groups: Vec<Vec<&Tag>> = Vec::new();
    for tag in tags {
        match groups.last_mut() {
            Some(group)
                if group
                    .first()
                    .is_some_and(|f| frame.x(tag.station_m) - frame.x(f.station_m) < TOGETHER) =>
            {
                group.push(tag);
            }
            _ => groups.push(vec![tag]),
        }
    }
    groups
        .iter()
        .filter_map(|g| sign(section, g, frame))
        .collect()
}

fn sign(section: &LongSection, group: &[&Tag], frame: &Frame) -> Option<Item> {
    let first = group.first()?;
    let (x, y) = frame.at(first.station_m, section.elevation_at(first.station_m));
    let x = x.clamp(frame.left_mm, frame.right_mm);
    let mut items = vec![Item::rectangle(
        Box {
            left: x - 4.7,
            right: x + 4.7,
            top: y - 4.7,
            bottom: y + 4.7,
        },
        None,
        Some(Ink::CLEAR),
    )];
    let alike = group
        .iter()
        .all(|t| (t.symbol, t.wanted) == (first.symbol, first.wanted));
    if group.len() == 1 || alike {
        items.extend(first.symbol.items((x, y), first.wanted));
    } else {
        items.push(Item::Circle {
            at: (x, y),
            radius_mm: 3.2,
            pen: Some(Pen::new(Ink::BLACK, 0.4)),
            fill: Some(Ink::WHITE),
        });
    }
    if group.len() > 1 {
        let at = if alike {
            (x + 3.6, y + 1.6)
        } else {
            (x, y + 1.3)
        };
        let text = Text::new(at, 0.8 * TYPE, Role::Ruling, group.len().to_string());
        items.push(Item::Text(if alike {
            text
        } else {
            text.align(Align::Middle)
        }));
    }
    let names: Vec<&str> = group.iter().map(|t| t.label.as_str()).collect();
    // What is seen is part of the name: the number of signs.
    let name = match names.as_slice() {
        [one] => (*one).to_owned(),
        all => format!("{}: {}", all.len(), all.join(" | ")),
    };
    Some(match group.iter().find_map(|t| mark_row(t)) {
        Some(to) => Item::Link { to, name, items },
        None => Item::Group { name, items },
    })
}

/// A badge at its place over the chart.
struct PlacedBadge<'a> {
    badge: &'a Badge,
    x: f64,
    row: usize,
}

impl PlacedBadge<'_> {
    fn drawn(&self, section: &LongSection, frame: &Frame) -> Item {
        let middle = 0.5 * (self.badge.from_m + self.badge.to_m);
        let on_pipe: PaperPoint = frame.at(middle, section.elevation_at(middle));
        let y = 1.0 + BADGE * (f64_of(self.row) + 0.5);
        let (fill, ink) = if self.badge.grave {
            (Ink::BLACK, Ink::WHITE)
        } else {
            (Ink::WHITE, Ink::BLACK)
        };
        let items = vec![
            Item::line(
                vec![(self.x, y), (on_pipe.0, frame.top_mm), on_pipe],
                Pen::new(Ink::PALE, 0.25),
            ),
            Item::rectangle(
                Box {
                    left: self.x - 0.5 * BADGE,
                    right: self.x + 0.5 * BADGE,
                    top: y - 0.5 * BADGE,
                    bottom: y + 0.5 * BADGE,
                },
                None,
                Some(Ink::CLEAR),
            ),
            Item::Circle {
                at: (self.x, y),
                radius_mm: 4.0,
                pen: Some(Pen::new(Ink::BLACK, 0.4)),
                fill: Some(fill),
            },
            Item::Text(
                Text::new(
                    (self.x, y + 1.7),
                    TYPE,
                    Role::Ruling,
                    self.badge.number.to_string(),
                )
                .align(Align::Middle)
                .colour(ink)
                .bold(),
            ),
        ];
        Item::Link {
            to: self.badge.finding(),
            name: self.badge.name.clone(),
            items,
        }
    }
}

/// Findings that have a place: over less than half of the pipeline. The gravest come first where there is not room for all.
fn placed<'a>(section: &LongSection, badges: &'a [Badge]) -> Vec<PlacedBadge<'a>> {
    let length = section.length_m();
    let mut local: Vec<&Badge> = badges
        .iter()
        .filter(|b| b.to_m - b.from_m < 0.5 * length)
        .collect();
    let room = RIGHT - 2.0;
    let a_row = (room / BADGE).floor() as usize;
    local.truncate(MOST_ROWS * a_row);
    let rows = local.len().div_ceil(a_row).max(1);
    local.sort_by(|a, b| (a.from_m + a.to_m).total_cmp(&(b.from_m + b.to_m)));
    let mut out = Vec::new();
    for row in 0..rows {
        let own: Vec<&Badge> = local.iter().skip(row).step_by(rows).copied().collect();
        let wishes: Vec<LabelRequest> = own
            .iter()
            .map(|b| LabelRequest {
                at_mm: LEFT
                    + (0.5 * (b.from_m + b.to_m) - section.first_m()) / length * (RIGHT - LEFT),
                room_mm: BADGE,
            })
            .collect();
        let places = spread(&wishes, 2.0, RIGHT).unwrap_or_default();
        let both = own.into_iter().zip(places);
        out.extend(both.map(|(badge, x)| PlacedBadge { badge, x, row }));
    }
    out
}
