//! The heads that the trade writes, with their units in brackets, behind the word, or in a row of their own.

use crate::text::{Fault, NoNumber, Remark, Sheet, head_key};

/// What a head means, and the words for it: without blanks, full stops and hyphens.
const WORDS: &[(&str, &[&str])] = &[
    (
        "station",
        &[
            "station",
            "stations",
            "stationing",
            "chainage",
            "chainages",
            "chain",
            "ch",
            "chg",
            "sta",
            "stn",
            "kilometrage",
        ],
    ),
    (
        "bs",
        &[
            "bs",
            "backsight",
            "backsights",
            "back",
            "bsreading",
            "backsightreading",
        ],
    ),
    (
        "is",
        &[
            "is",
            "intersight",
            "intersights",
            "intermediate",
            "intermediates",
            "intermediatesight",
            "intermediatesights",
            "int",
            "ifs",
            "isreading",
        ],
    ),
    (
        "fs",
        &[
            "fs",
            "foresight",
            "foresights",
            "fore",
            "fsreading",
            "foresightreading",
        ],
    ),
    ("rise", &["rise", "rises"]),
    ("fall", &["fall", "falls"]),
    (
        "elevation",
        &[
            "elevation",
            "elev",
            "elevations",
            "el",
            "ele",
            "rl",
            "reducedlevel",
            "reducedlevels",
            "redlevel",
            "altitude",
            "alt",
            "level",
        ],
    ),
    ("height", &["height", "heights"]),
    ("lat", &["lat", "latitude"]),
    ("lon", &["lon", "long", "lng", "longitude"]),
    ("east", &["east", "easting", "eastings"]),
    ("north", &["north", "northing", "northings"]),
    (
        "point",
        &[
            "point",
            "pt",
            "pointid",
            "pointno",
            "pointnumber",
            "pointname",
            "ptno",
            "ptid",
            "ptnumber",
            "peg",
            "pegno",
        ],
    ),
    (
        "remark",
        &[
            "remark",
            "remarks",
            "description",
            "desc",
            "code",
            "note",
            "notes",
            "comment",
            "comments",
            "feature",
        ],
    ),
];

/// Letters of a list of points, which mean this only beside an N and an E.
const LETTERS: &[(&str, &str)] = &[
    ("p", "point"),
    ("n", "north"),
    ("e", "east"),
    ("z", "elevation"),
    ("h", "elevation"),
    ("d", "remark"),
];

/// Words for the doubt of a height; taken only with their unit.
const DOUBTS: &[&str] = &[
    "sd",
    "sdz",
    "sdh",
    "zsd",
    "hsd",
    "std",
    "stdev",
    "heightsd",
    "elevationsd",
    "sigmaz",
    "vrms",
    "verticalrms",
    "verticalprecision",
    "verticalaccuracy",
    "verticalsd",
    "sdheight",
    "sdelevation",
];

/// A head without its unit, and the ending of that unit; an empty one for degrees.
fn parted(head: &str) -> (String, Option<&'static str>) {
    let lower = head.trim().to_lowercase();
    let (name, unit) = if let Some(at) = lower.rfind(['(', '[']) {
        let (name, inside) = lower.split_at_checked(at).unwrap_or((&lower, ""));
        let inside = inside.trim_matches(['(', '[', ')', ']', ' ']);
        let word = inside.split([' ', ',']).next().unwrap_or("");
        (name, unit_of(word))
    } else {
        match lower.rsplit_once([' ', '_', ',']) {
            Some((name, word)) if unit_of(word).is_some() => (name, unit_of(word)),
            _ => (lower.as_str(), None),
        }
    };
    let name = head_key(name)
        .chars()
        .filter(|c| !matches!(c, '.' | '-' | '/' | ':' | ',' | '#'))
        .collect();
    (name, unit)
}

/// The ending that a word of a unit stands for.
fn unit_of(word: &str) -> Option<&'static str> {
    Some(match word.trim_matches(['.', ' ', '(', ')', '[', ']']) {
        "m" | "metre" | "metres" | "meter" | "meters" | "mtr" | "mtrs" => "_m",
        "ft" | "feet" | "foot" | "'" => "_ft",
        "deg" | "degree" | "degrees" | "°" => "",
        _ => return None,
    })
}

/// Whether a text is nothing but a unit.
#[cfg(feature = "spreadsheets")]
pub(super) fn is_unit(text: &str) -> bool {
    unit_of(&text.to_lowercase()).is_some()
}

/// Whether a head is one of the words here.
#[cfg(feature = "spreadsheets")]
pub(super) fn is_known(head: &str) -> bool {
    let (name, _) = parted(head);
    WORDS
        .iter()
        .any(|(_, words)| words.contains(&name.as_str()))
}

/// Whether a head is a length by its meaning, so that the unit belongs to it.
fn is_length(meaning: &str) -> bool {
    !matches!(meaning, "lat" | "lon" | "point" | "remark")
}

/// Lets the columns of a sheet be found by what their heads mean; a row of units under the heads is taken for them.
pub(super) fn known(mut sheet: Sheet) -> Result<Sheet, Fault> {
    let parts: Vec<(String, Option<&'static str>)> =
        sheet.heads.iter().map(|h| parted(&h.text)).collect();
    let below = unit_row(&mut sheet);
    let beside = |letter: &str| parts.iter().any(|(name, _)| name == letter);
    let a_list = beside("n") && beside("e");
    let mut taken: Vec<&str> = Vec::new();
    let mut names = Vec::with_capacity(parts.len());
    for (i, (name, unit)) in parts.iter().enumerate() {
        let unit = unit.or(below.get(i).copied().flatten());
        let letter = LETTERS.iter().find(|(l, _)| a_list && l == name);
        let word = WORDS
            .iter()
            .find(|(_, words)| words.contains(&name.as_str()));
        let meaning = match (letter, word) {
            (Some((_, meaning)), _) => Some(*meaning),
            (None, Some((meaning, _))) => Some(*meaning),
            (None, None) if DOUBTS.contains(&name.as_str()) && unit.is_some() => Some("sd"),
            _ => None,
        };
        // A description beside a code is one remark too many, and no fault.
        let free = |m: &&str| is_length(m) || !taken.contains(m);
        let Some(meaning) = meaning.filter(free) else {
            names.push(None);
            continue;
        };
        taken.push(meaning);
        let unit = unit.filter(|_| is_length(meaning)).unwrap_or("");
        names.push(Some(format!("{meaning}{unit}")));
    }
    sheet.know_as(&names)?;
    Ok(sheet)
}

/// Takes the row of units that stands under the heads, where there is one.
fn unit_row(sheet: &mut Sheet) -> Vec<Option<&'static str>> {
    let Some(first) = sheet.rows.first() else {
        return Vec::new();
    };
    let units: Vec<Option<&'static str>> = first
        .cells
        .iter()
        .map(|c| unit_of(&c.text.to_lowercase()))
        .collect();
    let whole = first
        .cells
        .iter()
        .zip(&units)
        .all(|(c, u)| u.is_some() || c.text.trim_matches(['-', ' ']).is_empty());
    if !whole || units.iter().all(Option::is_none) {
        return Vec::new();
    }
    let place = sheet.place(first, 0);
    sheet.remarks.push(Remark::new(
        place,
        "the program uses this row as the units of the columns",
    ));
    sheet.rows.remove(0);
    units
}

/// A list whose first row holds figures where heads should stand: what the columns are cannot be known from them.
pub(super) fn without_heads(sheet: &Sheet) -> Option<Fault> {
    let figures = |cells: &[&str]| {
        cells
            .iter()
            .filter(|c| matches!(crate::text::number(c), Ok(_) | Err(NoNumber::DecimalComma)))
            .count()
    };
    let heads: Vec<&str> = sheet.heads.iter().map(|h| h.text.as_str()).collect();
    let by_blanks: Vec<&str> = match heads.as_slice() {
        [one] => one.split_whitespace().collect(),
        _ => Vec::new(),
    };
    if figures(&by_blanks) >= 3 {
        let fault =
            sheet.heads_fault("this list has no column heads, and spaces separate its cells");
        return Some(fault.expected(LIST_HEADS).advice(
            "separate the cells with commas, and write column heads in the first row. The values do not show if north or east is first, or if they are metres or feet",
        ));
    }
    if figures(&heads) < 2 || figures(&heads) + 2 < heads.len() {
        return None;
    }
    let fault = sheet.heads_fault("this list has no column heads, so the columns are not known");
    Some(fault.expected(LIST_HEADS).advice(
        "write column heads in a new first row. The values do not show if north or east is first, or if they are metres or feet",
    ))
}

const LIST_HEADS: &str = "a first row, for example point,north_m,east_m,height_m,remark, or point,east_m,north_m,height_m,remark. For values in feet, write _ft";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_head_parts_into_its_word_and_its_unit() {
        for (head, name, unit) in [
            ("Chainage (m)", "chainage", Some("_m")),
            ("R.L. [ft]", "rl", Some("_ft")),
            ("Reduced Level (m AHD)", "reducedlevel", Some("_m")),
            ("Elev. ft", "elev", Some("_ft")),
            ("RL, m", "rl", Some("_m")),
            ("Back-sight", "backsight", None),
            ("Latitude (°)", "latitude", Some("")),
            ("RL (AHD)", "rl", None),
            ("m", "m", None),
        ] {
            assert_eq!(parted(head), (name.to_owned(), unit), "{head}");
        }
    }

    #[test]
    fn letters_mean_a_list_only_together() {
        let with =
            |heads: &str| known(Sheet::read("l.csv", &format!("{heads}\n1,2,3,4,5\n")).unwrap());
        let sheet = with("P,N (m),E (m),Z (m),D").unwrap();
        for (name, column) in [
            ("point", 0),
            ("north_m", 1),
            ("east_m", 2),
            ("elevation_m", 3),
            ("remark", 4),
        ] {
            assert_eq!(sheet.column(name), Some(column), "{name}");
        }
        let other = with("D,E (m),Z (m),P,Q").unwrap();
        assert_eq!(other.column("east_m"), None);
        assert!(
            with("RL (m),Elev (m),a,b,c")
                .unwrap_err()
                .text
                .contains("the same meaning as RL (m)")
        );
    }

    #[test]
    fn a_row_of_units_is_taken_for_the_heads() {
        let text = "Chainage,Backsight,Foresight,Remarks\n(m),m,m,\n0,1.5,,\n";
        let sheet = known(Sheet::read("l.csv", text).unwrap()).unwrap();
        assert_eq!(sheet.column("station_m"), Some(0));
        assert_eq!(sheet.column("fs_m"), Some(2));
        assert_eq!((sheet.rows.len(), sheet.remarks.len()), (1, 1));
    }
}
