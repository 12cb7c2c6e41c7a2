//! The short road: points written as nearly all receivers write them.
//!
//! A long file is points and nothing else, so they are read straight off the text. Whatever is not plain (an attribute more, a reference, an extension, a value
//! that cannot be read) is left to the tokenizer, which also knows what to say of it: this road gives the same fixes or none.

use super::fields::{GpxQuantity, TagText};
use super::fix::{Draft, FixField, PointKind};
use super::source::GpxText;
use crate::reading::Fix;
use crate::unit::clock_s;

/// Digits that a double holds exactly, whatever they are.
const EXACT_DIGITS: usize = 15;

/// Powers of ten that a double holds exactly, as far as they are needed here.
const TENS: [f64; EXACT_DIGITS + 1] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
];

/// A track point that begins at byte `at` after blanks, and the byte behind its end tag: `<trkpt lat="46.1" lon="7.2"><ele>412.3</ele><time>…</time></trkpt>`,
/// children without attributes in any order, blanks between. `line(at)` counts the lines up to a byte.
pub(super) fn track_point(
    source: GpxText<'_>,
    at: usize,
    line: impl FnOnce(usize) -> u32,
) -> Option<(Fix, usize)> {
    let begin = blanks(source.text.get(at..)?);
    let text = begin.strip_prefix("<trkpt lat=\"")?;
    let (lat_deg, text) = number(text, GpxQuantity::Latitude)?;
    let text = text.strip_prefix("\" lon=\"")?;
    let (lon_deg, text) = number(text, GpxQuantity::Longitude)?;
    let mut text = blanks(text.strip_prefix("\">")?);
    let place = |rest: &str| source.text.len() - rest.len();
    let mut draft = Draft::new(PointKind::Track, lat_deg, lon_deg, 0);
    loop {
        if let Some(after) = text.strip_prefix("<ele>") {
            let (height_m, after) = number(after, GpxQuantity::Height)?;
            draft.set_height(height_m)?;
            text = blanks(after.strip_prefix("</ele>")?);
        } else if let Some(after) = text.strip_prefix("<time>") {
            let (clock, after) = after.split_at_checked(20)?;
            draft.fix.time_s = Some(clock_s(clock)?);
            text = blanks(after.strip_prefix("</time>")?);
        } else if let Some(after) = text.strip_prefix("</trkpt>") {
            draft.fix.line = line(place(begin));
            return Some((draft.finish().0, place(after)));
        } else {
            let (name, value, after) = leaf(text)?;
            match FixField::of(name) {
                // A second height, a time of another form: the long road.
                Some(FixField::Height | FixField::Time) => return None,
                Some(field) => {
                    let mut whole = TagText::default();
                    whole.push(value, 0);
                    draft.take(field, &whole, source).ok()?;
                }
                None => {}
            }
            text = blanks(after);
        }
    }
}

fn blanks(text: &str) -> &str {
    text.trim_start_matches([' ', '\n', '\r', '\t'])
}

/// An element without attributes that holds nothing but text: name, text, what follows.
fn leaf(text: &str) -> Option<(&str, &str, &str)> {
    let text = text.strip_prefix('<')?;
    let end = text.bytes().position(|b| !b.is_ascii_lowercase())?;
    let (name, text) = text.split_at_checked(end)?;
    let text = text.strip_prefix('>').filter(|_| end > 0)?;
    let end = text.bytes().position(|b| b == b'<' || b == b'&')?;
    let (value, text) = text.split_at_checked(end)?;
    let text = text.strip_prefix("</")?.strip_prefix(name)?;
    Some((name, value, text.strip_prefix('>')?))
}

/// A plain decimal number within its limits, and what follows it.
///
/// Up to 15 digits and the power of ten under them are exact doubles, so their quotient is the double nearest to the number
/// (W. D. Clinger, How to read floating point numbers accurately, 1990); longer ones are read by the library.
fn number(text: &str, quantity: GpxQuantity) -> Option<(f64, &str)> {
    let (negative, unsigned) = match text.strip_prefix('-') {
        Some(rest) => (true, rest),
        None => (false, text),
    };
    let (mut whole, mut digits, mut decimals) = (0u64, 0usize, None);
    let mut end = unsigned.len();
    for (i, byte) in unsigned.bytes().enumerate() {
        match byte {
            b'0'..=b'9' => {
                whole = whole.wrapping_mul(10).wrapping_add(u64::from(byte - b'0'));
                digits += 1;
            }
            b'.' if decimals.is_none() => decimals = Some(digits),
            _ => {
                end = i;
                break;
            }
        }
    }
    let (written, rest) = unsigned.split_at_checked(end)?;
    let size = if digits <= EXACT_DIGITS {
        let behind = decimals.map_or(0, |before| digits - before);
        let whole = whole as f64;
        whole / TENS.get(behind)?
    } else {
        written.parse::<f64>().ok()?
    };
    let value = if negative { -size } else { size };
    (digits > 0 && size <= quantity.limit()).then_some((value, rest))
}

#[cfg(test)]
mod tests {
    use super::super::source::GpxText;
    use super::super::tree::read_by;
    use super::track_point;
    use proptest::prelude::*;

    /// Pieces that points are made of, plain and odd.
    const PIECES: [&str; 44] = [
        "<trkpt lat=\"46.57608333\" lon=\"8.89241667\">",
        "<trkpt lat=\"-46.576083333333333\" lon=\"179.99999999999999\">",
        "<trkpt lat=\"46\" lon=\".5\">",
        "<trkpt lat=\"5.\" lon=\"-.0\">",
        "<trkpt lat=\" 46.5\" lon=\"8.8\">",
        "<trkpt lat=\"90.0001\" lon=\"8.8\">",
        "<trkpt lat=\"46,5\" lon=\"8.8\">",
        "<trkpt lat=\"4e1\" lon=\"8.8\">",
        "<trkpt lat=\"1\" lon=\"-8.8\" >",
        "<trkpt lon=\"1\" lat=\"-8.8\">",
        "<trkpt lat=\"1\" lon=\"2\"/>",
        "</trkpt>",
        "</trkpt>",
        "</trkpt>\n",
        "<ele>1376</ele>",
        "<ele>-0.25</ele>",
        "<ele> 12.5 </ele>",
        "<ele></ele>",
        "<ele/>",
        "<ele>1&#50;</ele>",
        "<ele>12,5</ele>",
        "<ele>NaN</ele>",
        "<time>2007-10-14T10:09:57Z</time>",
        "<time>2007-10-14T10:09:57.5Z</time>",
        "<time>2007-10-14T10:09:5</time>",
        "<time>yesterday, or before</time>",
        "<time></time>",
        "<hdop>1.5</hdop>",
        "<vdop>9</vdop>",
        "<pdop>x</pdop>",
        "<sat>7</sat>",
        "<name>a &amp; b</name>",
        "<name>a</name>",
        "<cmt><![CDATA[<ele>5</ele>]]></cmt>",
        "<extensions><x:hr xmlns:x=\"urn:x\">90</x:hr></extensions>",
        "<speed xmlns=\"urn:other\">3</speed>",
        "<!-- a point -->",
        " \r\n\t",
        "\r",
        "\u{a0}",
        "text",
        "</trkseg><trkseg>",
        "</ele>",
        "<trkpt",
    ];

    #[test]
    fn plain_points_take_the_short_road_and_others_do_not() {
        let taken = |text: &str| {
            let source = GpxText {
                file: "walk.gpx",
                text,
            };
            track_point(source, 0, |_| 7)
        };
        let plain = "\n  <trkpt lat=\"46.5\" lon=\"-8.25\"><ele>12.5</ele>\n<time>1970-01-01T00:01:00Z</time><hdop>1.5</hdop><sat>7</sat></trkpt>";
        let (fix, end) = taken(plain).unwrap();
        assert_eq!(end, plain.len());
        assert_eq!((fix.lat_deg, fix.lon_deg, fix.line), (46.5, -8.25, 7));
        assert_eq!((fix.elevation_m, fix.time_s), (Some(12.5), Some(60.0)));
        assert_eq!(fix.dilution, Some(1.5));
        for odd in [
            "<ele>1</ele><ele>2</ele>",
            "<ele>nan</ele>",
            "<time>noon</time>",
            "<name>a &amp; b</name>",
            "<extensions><x/></extensions>",
        ] {
            assert!(
                taken(&plain.replace("<ele>12.5</ele>", odd)).is_none(),
                "{odd}"
            );
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2_000))]
        /// Points read straight off the text are what the tokenizer gives, and faults and remarks are the same.
        #[test]
        fn the_short_road_leads_where_the_long_one_does(picks in prop::collection::vec(0..PIECES.len(), 0..12), again in 0..3usize) {
            let mut points: String = picks.iter().map(|&i| PIECES[i]).collect();
            points = format!("{}{points}", "<trkpt lat=\"1.5\" lon=\"2.5\">\n<ele>7.25</ele></trkpt>\n".repeat(again));
            let text = format!("<gpx version=\"1.1\">\n<trk><trkseg>{points}</trkseg></trk></gpx>");
            prop_assert_eq!(read_by(&text, "walk.gpx", true), read_by(&text, "walk.gpx", false), "{}", text);
        }

        #[test]
        fn numbers_are_read_to_the_last_bit(value in -180.0..180.0f64, decimals in 0..17usize) {
            let text = format!("<gpx><trk><trkseg><trkpt lat=\"1\" lon=\"{value:.decimals$}\"></trkpt></trkseg></trk></gpx>");
            prop_assert_eq!(read_by(&text, "walk.gpx", true), read_by(&text, "walk.gpx", false));
        }
    }
}
