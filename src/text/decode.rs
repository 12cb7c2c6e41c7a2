use super::{Fault, Lines};
use encoding_rs::{DecoderResult, Encoding, UTF_8, UTF_16BE, UTF_16LE};
use std::borrow::Cow;

/// Bytes as text, with the name of the encoding they were read by.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Decoded<'a> {
    /// The text, without a byte order mark.
    pub text: Cow<'a, str>,
    /// Name of the encoding: "UTF-8", "UTF-16LE", "windows-1252".
    pub encoding: &'static str,
}

/// Turns the bytes of a file into text.
///
/// A byte order mark decides; then the look of UTF-16; then the encoding that an XML declaration names; else UTF-8.
/// A byte that means nothing is a fault at its place, never a replacement character. A text that holds NUL is not text.
pub fn decode<'a>(file: &str, bytes: &'a [u8]) -> Result<Decoded<'a>, Fault> {
    let (encoding, body) = match Encoding::for_bom(bytes) {
        Some((encoding, mark)) => (encoding, bytes.get(mark..).unwrap_or_default()),
        None => (guess(file, bytes)?, bytes),
    };
    let text = if encoding == UTF_8 {
        Cow::Borrowed(std::str::from_utf8(body).map_err(|e| {
            let good = body
                .get(..e.valid_up_to())
                .and_then(|g| std::str::from_utf8(g).ok());
            let byte = body.get(e.valid_up_to()).copied().unwrap_or(0);
            bad_byte(file, good.unwrap_or(""), byte, encoding)
        })?)
    } else {
        Cow::Owned(turn(file, body, encoding)?)
    };
    if let Some(at) = text.find('\0') {
        return Err(Lines::new(file, &text)
            .fault(at, "this is not a text file")
            .found("a zero byte")
            .expected("plain text: CSV, GPX or TOML")
            .advice("give the file itself, not an archive, a picture or a spreadsheet file"));
    }
    Ok(Decoded {
        text,
        encoding: encoding.name(),
    })
}

/// The encoding of bytes without a byte order mark.
fn guess(file: &str, bytes: &[u8]) -> Result<&'static Encoding, Fault> {
    if let [first, second, third, fourth, ..] = bytes {
        match (*first, *second, *third, *fourth) {
            (0, a, 0, b) if a != 0 && b != 0 => return Ok(UTF_16BE),
            (a, 0, b, 0) if a != 0 && b != 0 => return Ok(UTF_16LE),
            _ => {}
        }
    }
    let Some(label) = declared(bytes) else {
        return Ok(UTF_8);
    };
    match Encoding::for_label(label.as_bytes()) {
        // A file that names UTF-16 in single bytes is not UTF-16: some receivers write the name without the encoding.
        Some(e) if e == UTF_16BE || e == UTF_16LE => Ok(UTF_8),
        Some(e) => Ok(e),
        None => Err(Fault::new(
            super::Place::line(file, 1).column(1),
            "the file gives an unknown encoding",
        )
        .found(label)
        .expected("UTF-8, UTF-16, or a single-byte encoding such as ISO-8859-1")
        .advice("save the file again as UTF-8")),
    }
}

/// The encoding an XML declaration names.
fn declared(bytes: &[u8]) -> Option<String> {
    let start = bytes.iter().position(|b| !b.is_ascii_whitespace())?;
    let head = bytes.get(start..bytes.len().min(start + 400))?;
    if !head.starts_with(b"<?xml") {
        return None;
    }
    let end = head.windows(2).position(|w| w == b"?>")?;
    let head = String::from_utf8_lossy(head.get(..end)?).into_owned();
    let after = head.split_once("encoding")?.1.trim_start();
    let value = after.strip_prefix('=')?.trim_start();
    let quote = value.chars().next().filter(|q| matches!(q, '"' | '\''))?;
    value.get(1..)?.split(quote).next().map(str::to_owned)
}

/// Bytes in another encoding to text; a byte that means nothing is a fault.
fn turn(file: &str, bytes: &[u8], encoding: &'static Encoding) -> Result<String, Fault> {
    let mut decoder = encoding.new_decoder_without_bom_handling();
    let room = decoder
        .max_utf8_buffer_length_without_replacement(bytes.len())
        .unwrap_or(bytes.len());
    let mut out = String::with_capacity(room);
    let (result, read) = decoder.decode_to_string_without_replacement(bytes, &mut out, true);
    match result {
        DecoderResult::InputEmpty => Ok(out),
        DecoderResult::Malformed(length, after) => {
            let back = usize::from(length) + usize::from(after);
            let byte = bytes.get(read.saturating_sub(back)).copied().unwrap_or(0);
            Err(bad_byte(file, &out, byte, encoding))
        }
        // The buffer is made for the worst case; should it not do, the file is refused rather than cut.
        DecoderResult::OutputFull => Err(bad_byte(file, &out, 0, encoding)),
    }
}

fn bad_byte(file: &str, before: &str, byte: u8, encoding: &'static Encoding) -> Fault {
    Lines::new(file, before)
        .fault(
            before.len(),
            format!("a byte that is not {} text", encoding.name()),
        )
        .found(format!("byte 0x{byte:02X}"))
        .expected("text in UTF-8, UTF-16 with its mark, or the encoding that the file gives")
        .advice("save the file again as UTF-8")
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn wide(text: &str, little: bool) -> Vec<u8> {
        text.encode_utf16()
            .flat_map(|u| {
                if little {
                    u.to_le_bytes()
                } else {
                    u.to_be_bytes()
                }
            })
            .collect()
    }

    #[test]
    fn marks_and_the_look_decide() {
        assert_eq!(decode("f", b"\xEF\xBB\xBFa,b").unwrap().text, "a,b");
        for little in [true, false] {
            let mut marked = wide("\u{feff}h\u{f6}he", little);
            assert_eq!(decode("f", &marked).unwrap().text, "h\u{f6}he");
            marked.drain(..2);
            // The second letter is below 256, so the zero bytes show.
            assert_eq!(decode("f", &marked).unwrap().text, "h\u{f6}he");
        }
    }

    #[test]
    fn a_declared_encoding_is_used() {
        let bytes = b"<?xml version='1.0' encoding='ISO-8859-1'?><a>h\xF6he</a>";
        let read = decode("f", bytes).unwrap();
        assert!(read.text.ends_with("<a>h\u{f6}he</a>"));
        assert_eq!(read.encoding, "windows-1252");
        let fault = decode("f", b"<?xml version='1.0' encoding='runes'?>").unwrap_err();
        assert_eq!(fault.found.as_deref(), Some("runes"));
    }

    #[test]
    fn a_bad_byte_is_told_at_its_place() {
        let fault = decode("walk.csv", b"a,b\n1,h\xF6he\n").unwrap_err();
        assert!(
            fault
                .to_string()
                .starts_with("walk.csv:2:4: a byte that is not UTF-8 text"),
            "{fault}"
        );
        assert_eq!(fault.found.as_deref(), Some("byte 0xF6"));
    }

    #[test]
    fn an_archive_is_no_text() {
        let fault = decode("a.gpx", b"PK\x03\x04abc\x00").unwrap_err();
        assert!(fault.to_string().contains("not a text file"));
    }

    proptest! {
        #[test]
        fn no_bytes_panic(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
            let _ = decode("f", &bytes);
        }

        #[test]
        fn utf8_passes_through(text in "[^\u{0}\u{feff}]{5,40}") {
            prop_assert_eq!(decode("f", text.as_bytes()).unwrap().text, text.as_str());
        }
    }
}
