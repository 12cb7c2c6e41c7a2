//! Every rising section by itself.

use super::advance::fitted;
use super::frame::{HEAD_MM, TITLE_STRIP_MM, TYPE_MM, title};
use super::inset::{inset, placed};
use super::item::{Box, Item, PaperSheet, Role, Text};
use super::paper::{EDGE_MM, PaperSize};
use super::profile::profile;
use super::section::LongSection;
use super::section_frame::f64_of;

/// Every rising section by itself, nine to a sheet, where a sheet of the section has no room for one of them.
pub fn rises(section: &LongSection, paper: PaperSize) -> Vec<PaperSheet> {
    let drawn: usize = profile(section, paper)
        .iter()
        .map(|p| placed(section, &p.frame).len())
        .sum();
    if drawn >= section.humps.len() {
        return Vec::new();
    }
    const ACROSS: usize = 3;
    const A_SHEET: usize = ACROSS * 3;
    let (width_mm, paper_mm) = paper.size_mm();
    let top = EDGE_MM + TITLE_STRIP_MM + 2.0;
    let (wide, high) = (
        (width_mm - 2.0 * EDGE_MM) / f64_of(ACROSS),
        (paper_mm - EDGE_MM - top - 6.0) / f64_of(ACROSS),
    );
    let all = section.humps.len().div_ceil(A_SHEET);
    section
        .humps
        .chunks(A_SHEET)
        .enumerate()
        .map(|(i, humps)| {
            let mut words = section.words.clone();
            words.kind.clone_from(&words.rises);
            // No higher than its rows: few sections leave the rest of the paper free.
            let height_mm = paper_mm - high * f64_of(ACROSS - humps.len().div_ceil(ACROSS));
            let which = if all > 1 {
                (words.sheet_of)(i + 1, all)
            } else {
                String::new()
            };
            let mut items = title(&words, &which, width_mm);
            for (n, hump) in humps.iter().enumerate() {
                let left = EDGE_MM + wide * f64_of(n % ACROSS);
                let top = top + high * f64_of(n / ACROSS);
                let room = Box {
                    left: left + 1.0,
                    top: top + 1.0,
                    right: left + wide - 1.0,
                    bottom: top + high - 1.0,
                };
                items.extend(inset(section, hump, room, TYPE_MM));
            }
            let room = width_mm - 2.0 * EDGE_MM;
            items.push(Item::Text(
                Text::new(
                    (EDGE_MM, height_mm - EDGE_MM - 0.4),
                    HEAD_MM,
                    Role::Word,
                    fitted(&words.caution, HEAD_MM, true, room),
                )
                .bold(),
            ));
            PaperSheet {
                width_mm,
                height_mm,
                title: format!("{}: {} {which}", words.title, words.kind),
                description: words.verdict.clone(),
                items,
            }
        })
        .collect()
}
