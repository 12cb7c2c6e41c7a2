//! The longitudinal section laid out on sheets of paper.

use super::foot::{FOOT_MM, Footer, foot};
use super::frame::{TITLE_STRIP_MM, title};
use super::item::PaperSheet;
use super::paper::{EDGE_MM, PaperSize};
use super::profile_chart::{chart, range_m};
use super::profile_heads::{heads, heads_frame};
use super::profile_table;
use super::profile_table::TableColumn;
use super::scale::DrawingScale;
use super::section::LongSection;
use super::section_frame::{Frame, LABEL_PITCH_MM, ROW_MM, RULING_MM, f64_of, labels_mm};
use crate::unit::Units;

/// Room left of the chart for heads, mm.
const HEADS_MM: f64 = 22.5;
/// Share of the height that ground and pipe have, where pressures have the rest.
const GROUND_SHARE: f64 = 0.6;
/// Most sheets; a longer line is drawn smaller.
const MOST_SHEETS: f64 = 24.0;

/// One sheet and where things are on it.
#[derive(Debug, Clone)]
pub struct ProfileSheet {
    /// The sheet.
    pub sheet: PaperSheet,
    /// Its chart.
    pub frame: Frame,
    /// Columns of its table, from the left.
    pub columns: Vec<TableColumn>,
    /// Its scale along.
    pub across: DrawingScale,
    /// Its scale upwards.
    pub up: DrawingScale,
}

/// The sheets of a section, in order from the intake.
pub fn profile(section: &LongSection, paper: PaperSize) -> Vec<ProfileSheet> {
    if section.station_m.len() < 2 || section.station_m.len() != section.elevation_m.len() {
        return Vec::new();
    }
    let frames = frames(section, paper);
    let all = frames.len();
    let columns = profile_table::columns(section, &frames);
    frames
        .iter()
        .zip(columns)
        .enumerate()
        .map(|(i, ((frame, across, up), columns))| {
            let which = if all > 1 {
                (section.words.sheet_of)(i + 1, all)
            } else {
                String::new()
            };
            let (width_mm, height_mm) = paper.size_mm();
            let mut items = title(&section.words, &which, width_mm);
            let lowest = lowest_mm(section, paper);
            let below = heads_frame(section, frame, lowest);
            let under = Frame {
                bottom_mm: below.map_or(frame.bottom_mm, |b| b.bottom_mm),
                ..*frame
            };
            items.extend(chart(section, (frame, &under), across, up, &columns));
            if let Some(below) = below {
                items.extend(heads(section, &below));
            }
            items.extend(super::inset::on_sheet(section, frame));
            items.extend(profile_table::table(section, &under, &columns));
            items.extend(foot(
                &Footer {
                    legend: &section.legend,
                    notes: &section.notes,
                    words: &section.words,
                    scale: (section.words.scales)(&across.text(), &up.text()),
                    across,
                    up: Some(up),
                },
                width_mm,
                height_mm,
            ));
            ProfileSheet {
                sheet: PaperSheet {
                    width_mm,
                    height_mm,
                    title: format!("{}: {} {which}", section.words.title, section.words.kind),
                    description: section.words.verdict.clone(),
                    items,
                },
                frame: *frame,
                columns,
                across: *across,
                up: *up,
            }
        })
        .collect()
}

/// Indexes into the grid of the columns of the table, over all sheets, rising.
pub fn columns(section: &LongSection, paper: PaperSize) -> Vec<usize> {
    if section.station_m.len() < 2 || section.station_m.len() != section.elevation_m.len() {
        return Vec::new();
    }
    let mut all: Vec<usize> = profile_table::columns(section, &frames(section, paper))
        .into_iter()
        .flatten()
        .map(|c| c.index)
        .collect();
    all.sort_unstable();
    all.dedup();
    all
}

/// The bottom of the lowest panel, over the ruling of stations and the table, mm.
fn lowest_mm(section: &LongSection, paper: PaperSize) -> f64 {
    let rows = f64_of(section.rows.len()) + if section.zones.is_empty() { 0.0 } else { 1.0 };
    paper.size_mm().1 - EDGE_MM - FOOT_MM - 2.0 - ROW_MM * rows - RULING_MM
}

fn frames(section: &LongSection, paper: PaperSize) -> Vec<(Frame, DrawingScale, DrawingScale)> {
    let width = paper.size_mm().0;
    let (left, right) = (EDGE_MM + HEADS_MM, width - EDGE_MM);
    let top = EDGE_MM + TITLE_STRIP_MM + labels_mm(section);
    let lowest = lowest_mm(section, paper);
    // Pressures have a panel of their own under the ground, on the same stations.
    let bottom = if section.series.iter().any(|s| s.trace.is_head()) {
        top + GROUND_SHARE * (lowest - top)
    } else {
        lowest
    };
    let (first, length) = (section.first_m(), section.length_m());
    let sheets = sheets(section, right - left);
    let each = length / sheets;
    let across = DrawingScale::to_fit(each, right - left, section.units);
    let parts: Vec<(f64, f64)> =
        std::iter::successors(Some(0.0), |i| (i + 1.5 < sheets).then_some(i + 1.0))
            .map(|i| (first + i * each, first + ((i + 1.0) * each).min(length)))
            .collect();
    let ranges: Vec<(f64, f64)> = parts.iter().map(|p| range_m(section, *p)).collect();
    let tallest = ranges
        .iter()
        .map(|(low, high)| high - low)
        .fold(0.0, f64::max);
    // A little air over and under the lines.
    let up = DrawingScale::to_fit(tallest * 1.08, bottom - top, section.units);
    parts
        .iter()
        .zip(&ranges)
        .map(|((from, to), (low, high))| {
            let spare = (bottom - top) / up.mm_per_m() - (high - low);
            let frame = Frame {
                left_mm: left,
                right_mm: left + (to - from) * across.mm_per_m(),
                top_mm: top,
                bottom_mm: bottom,
                from_m: *from,
                to_m: *to,
                base_m: low - 0.5 * spare,
                mm_per_m: across.mm_per_m(),
                up_mm_per_m: up.mm_per_m(),
            };
            (frame, across, up)
        })
        .collect()
}

/// How many sheets: so many that the scale is not smaller than 1:4000 (400 ft to the inch) and the labels that matter have room.
fn sheets(section: &LongSection, room_mm: f64) -> f64 {
    let smallest = match section.units {
        Units::Metric => 4000.0,
        Units::Us => 4800.0,
    };
    let by_scale = (section.length_m() * 1e3 / smallest / room_mm).ceil();
    let labels = section.tags.iter().filter(|t| t.matters).count();
    let by_labels = (f64_of(labels) * LABEL_PITCH_MM / room_mm).ceil();
    by_scale.max(by_labels).clamp(1.0, MOST_SHEETS)
}
