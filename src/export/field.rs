//! A printable field sheet beside each blank CSV: the same heads, to write on by hand.

use crate::drawing::{FieldForm, PaperSize, form, svg};

/// The sheet for a blank CSV whose comment lines say how to write it and whose last line holds the heads.
pub fn sheet(title: &str, blank_csv: &str, paper: PaperSize) -> String {
    let hints = blank_csv
        .lines()
        .filter_map(|l| l.strip_prefix('#'))
        .map(|l| l.trim().to_owned())
        .collect();
    let heads = blank_csv
        .lines()
        .rfind(|l| !l.starts_with('#') && !l.trim().is_empty())
        .unwrap_or("")
        .split(',')
        .map(|h| h.trim().to_owned())
        .collect();
    svg(&form(
        &FieldForm {
            title: title.to_owned(),
            asks: ["site", "day", "who", "instrument", "from", "to"]
                .map(str::to_owned)
                .to_vec(),
            heads,
            hints,
        },
        paper,
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sheet_has_the_heads_of_its_csv() {
        let drawn = sheet(
            "Level book",
            "# One row a reading.\nstation_m,bs_m,fs_m,remark\n",
            PaperSize::A4,
        );
        for head in ["station_m", "bs_m", "fs_m", "remark", "One row a reading."] {
            assert!(drawn.contains(head), "{head}");
        }
        assert!(drawn.contains("width=\"210mm\""));
    }
}
