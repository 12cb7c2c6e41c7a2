//! The elements of an XML file, one after the other: what KML and TCX have in common.

use crate::text::{Fault, Lines, Place, Sentence};
use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};

/// Deepest nesting: folders in folders of a map, and a track inside.
const DEEPEST: usize = 64;

/// A spot in the file: byte and line.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct XmlSpot {
    pub(super) at: usize,
    pub(super) line: u32,
}

/// The text of a file with its name.
#[derive(Clone, Copy)]
pub(super) struct XmlText<'a> {
    pub(super) file: &'a str,
    pub(super) text: &'a str,
    /// The name of its first element: "kml".
    pub(super) root: &'a str,
}

impl XmlText<'_> {
    /// A fault at a byte.
    pub(super) fn fault(&self, at: usize, what: impl Into<Sentence>) -> Fault {
        Lines::new(self.file, self.text).fault(at, what)
    }

    /// The place of a spot.
    pub(super) fn place(&self, spot: XmlSpot) -> Place {
        Place::line(self.file, spot.line)
    }

    fn cut(&self) -> Fault {
        self.fault(self.text.trim_end().len(), "the file is not complete")
            .expected(format!("</{}> at the end", self.root))
            .advice("copy it from the device again, or export it again")
    }

    /// A number, with the fault where it is none.
    pub(super) fn number(&self, text: &str, at: usize, what: &str) -> Result<f64, Fault> {
        crate::text::number(text).map_err(|why| {
            self.fault(at, format!("{what} cannot be read: {why}"))
                .found(text.chars().take(60).collect::<String>())
                .expected("a number with a decimal point")
                .advice("export the track again")
        })
    }
}

/// Whoever takes the elements. `path` holds the local names of what is open, the element itself last.
pub(super) trait Elements {
    fn open(&mut self, path: &[&str], tag: &BytesStart<'_>, spot: XmlSpot) -> Result<(), Fault>;
    /// The end of an element; `text` is what stood in it where no element did, `spot` where that begins.
    fn close(&mut self, path: &[&str], text: &str, spot: XmlSpot) -> Result<(), Fault>;
}

/// Walks through a file.
pub(super) fn walk<'a>(source: XmlText<'a>, taker: &mut impl Elements) -> Result<(), Fault> {
    let mut xml = Reader::from_str(source.text);
    xml.config_mut().allow_dangling_amp = true;
    let mut path: Vec<&'a str> = Vec::new();
    let mut value = String::new();
    let mut begun = XmlSpot { at: 0, line: 1 };
    let mut counted = begun;
    let mut any = false;
    loop {
        let at = usize::try_from(xml.buffer_position()).unwrap_or(usize::MAX);
        counted = advance(source.text, counted, at);
        let event = xml.read_event();
        match event {
            Ok(Event::Start(ref tag) | Event::Empty(ref tag)) => {
                if path.is_empty() && any {
                    return Err(source
                        .fault(at, format!("the file continues after </{}>", source.root))
                        .expected("the end of the file")
                        .advice("this file contains two files. Separate them, and give both"));
                }
                any = true;
                if path.len() >= DEEPEST {
                    return Err(source
                        .fault(at, "elements nested too deeply")
                        .found(format!("more than {DEEPEST} levels"))
                        .expected("only folders and tracks")
                        .advice("export only the track"));
                }
                let name = local(source.text, at);
                path.push(name);
                value.clear();
                begun = counted;
                taker.open(&path, tag, counted)?;
                if matches!(event, Ok(Event::Empty(_))) {
                    taker.close(&path, "", counted)?;
                    path.pop();
                }
            }
            Ok(Event::End(_)) => {
                taker.close(&path, value.trim(), begun)?;
                path.pop();
                value.clear();
            }
            Ok(Event::Text(piece)) => {
                if value.is_empty() {
                    begun = counted;
                }
                value.push_str(&piece);
            }
            Ok(Event::CData(piece)) => value.push_str(&piece),
            Ok(Event::GeneralRef(reference)) => match &*reference {
                "amp" => value.push('&'),
                "lt" => value.push('<'),
                "gt" => value.push('>'),
                "quot" => value.push('"'),
                "apos" => value.push('\''),
                name => match reference.resolve_char_ref().ok().flatten() {
                    Some(c) => value.push(c),
                    None => {
                        value.push('&');
                        value.push_str(name);
                    }
                },
            },
            Ok(Event::DocType(_)) => {
                return Err(source
                    .fault(at, "the program does not accept a document type (DOCTYPE)")
                    .expected(format!("<{}> without one", source.root))
                    .advice("delete this declaration. It can make a small file extremely large"));
            }
            Ok(Event::Decl(_) | Event::PI(_) | Event::Comment(_)) => {}
            Ok(Event::Eof) if path.is_empty() && any => return Ok(()),
            Ok(Event::Eof) => return Err(source.cut()),
            Err(quick_xml::Error::Syntax(_)) => return Err(source.cut()),
            Err(error) => {
                let at = usize::try_from(xml.error_position()).unwrap_or(usize::MAX);
                return Err(source
                    .fault(at, "the file is not well-formed XML")
                    .found(error.to_string())
                    .expected("a closing tag for each tag, in the correct order")
                    .advice("export the track again, or correct this place with a text editor"));
            }
        }
    }
}

/// The local name of the tag that begins at a byte.
fn local(text: &str, at: usize) -> &str {
    let rest = text.get(at..).unwrap_or("");
    let rest = rest.strip_prefix('<').unwrap_or(rest);
    let end = rest
        .find(|c: char| c.is_whitespace() || c == '>' || c == '/')
        .unwrap_or(rest.len());
    let name = rest.get(..end).unwrap_or("");
    name.rsplit(':').next().unwrap_or(name)
}

fn advance(text: &str, from: XmlSpot, to: usize) -> XmlSpot {
    let between = text.as_bytes().get(from.at..to).unwrap_or_default();
    let ends = between.iter().filter(|b| **b == b'\n').count();
    XmlSpot {
        at: from.at.max(to),
        line: from
            .line
            .saturating_add(u32::try_from(ends).unwrap_or(u32::MAX)),
    }
}
