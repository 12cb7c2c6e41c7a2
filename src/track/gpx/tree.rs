//! The elements of a GPX file, one after the other.

use super::fields::TagText;
use super::fix::{Draft, FixField, PointKind};
use super::left_out::LeftOut;
use super::names::{Names, TooMany};
use super::plain;
use super::source::{DEEPEST, GpxText, LONGEST_TAG, shortened};
use super::tag::{declares, plain_position};
use crate::reading::{Data, Fix, Method, NamedPlace, Pass, Reading};
use crate::text::{Fault, Place, Remark};
use quick_xml::Reader;
use quick_xml::events::{BytesRef, BytesStart, Event};
use std::borrow::Cow;
use std::io::BufRead;

type TreeReply<T> = Result<T, Box<Fault>>;

/// What an open element is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum ElementKind {
    Root,
    Track,
    Segment,
    Route,
    Point,
    Child(FixField),
    LineName,
    /// Read past, with all that stands in it; `true` where points of ours inside it would be lost.
    Other(bool),
}

struct Open<'a> {
    name: &'a str,
    at: usize,
    kind: ElementKind,
}

struct Tree<'a> {
    source: GpxText<'a>,
    names: Names<'a>,
    open: Vec<Open<'a>>,
    value: TagText<'a>,
    draft: Option<Draft>,
    pass: Option<(Pass, usize)>,
    passes: Vec<Pass>,
    places: Vec<NamedPlace>,
    remarks: Vec<Remark>,
    points: usize,
    root_at: Option<usize>,
    /// Lines counted so far: the byte up to which, and how many.
    counted: (usize, u32),
    left: LeftOut,
    /// Whether points written plainly are read straight off the text.
    quick: bool,
}

/// Reads the whole text of a file.
pub(super) fn read(text: &str, file: &str) -> Result<Reading, Fault> {
    read_by(text, file, true)
}

/// The same, with or without the short road of points written plainly.
pub(super) fn read_by(text: &str, file: &str, quick: bool) -> Result<Reading, Fault> {
    let mut tree = Tree {
        source: GpxText { file, text },
        names: Names::default(),
        open: Vec::new(),
        value: TagText::default(),
        draft: None,
        pass: None,
        passes: Vec::new(),
        places: Vec::new(),
        remarks: Vec::new(),
        points: 0,
        root_at: None,
        counted: (0, 1),
        left: LeftOut::default(),
        quick,
    };
    tree.run().map_err(|fault| *fault)?;
    Ok(tree.finish())
}

impl<'a> Tree<'a> {
    fn run(&mut self) -> TreeReply<()> {
        let mut xml = Reader::from_str(self.source.text);
        // A lone ampersand in a name ("Ford & weir") is common and harmless.
        xml.config_mut().allow_dangling_amp = true;
        loop {
            let at = offset(xml.buffer_position());
            match xml.read_event() {
                Ok(Event::Start(tag)) => {
                    self.enter(&tag, at)?;
                    self.plain_points(&mut xml);
                }
                Ok(Event::Empty(tag)) => {
                    self.enter(&tag, at)?;
                    self.leave()?;
                }
                Ok(Event::End(_)) => {
                    self.leave()?;
                    self.plain_points(&mut xml);
                }
                Ok(Event::Text(piece)) => self.piece(piece.into_inner(), at)?,
                Ok(Event::CData(piece)) => self.piece(piece.into_inner(), at + 9)?,
                Ok(Event::GeneralRef(reference)) => self.reference(&reference, at)?,
                Ok(Event::DocType(_)) => return Err(self.source.doctype(at).into()),
                Ok(Event::Decl(_) | Event::PI(_) | Event::Comment(_)) => {}
                Ok(Event::Eof) => return self.end(),
                Err(error) => {
                    let opened = self.open.last().map_or(0, |o| o.at);
                    let at = offset(xml.error_position());
                    return Err(self.source.broken(&error, at, opened).into());
                }
            }
        }
    }

    /// Behind a tag in a segment: takes the points written plainly straight off the text.
    fn plain_points(&mut self, xml: &mut Reader<&'a [u8]>) {
        let in_segment = self
            .open
            .last()
            .is_some_and(|o| o.kind == ElementKind::Segment);
        if !self.quick || !in_segment || self.names.ours("trkpt").is_none() {
            return;
        }
        let begin = offset(xml.buffer_position());
        let mut at = begin;
        let source = self.source;
        while let Some((fix, end)) = plain::track_point(source, at, |at| self.line(at)) {
            self.points += 1;
            self.keep(fix, end);
            at = end;
        }
        xml.stream().consume(at - begin);
    }

    /// Puts a fix behind the last one. Room is made as for any list, but never for more than the rest of the file can hold.
    fn keep(&mut self, fix: Fix, at: usize) {
        let Some((pass, _)) = &mut self.pass else {
            return;
        };
        // A point outside any segment follows the one before it, or begins a segment of its own.
        let Some(segment) = pass.segments.last_mut() else {
            pass.segments.push(vec![fix]);
            return;
        };
        if segment.len() == segment.capacity() {
            let usual = at / self.points.max(1);
            let rest = self.source.text.len().saturating_sub(at) / usual.max(1);
            segment.reserve_exact(segment.len().max(16).min(rest + 16));
        }
        segment.push(fix);
    }

    /// The line a byte stands on; cheap, because it is asked in the order of the file.
    fn line(&mut self, at: usize) -> u32 {
        let (from, line) = self.counted;
        let bytes = self.source.text.as_bytes();
        let between = bytes.get(from..at).unwrap_or_default();
        let mut ends = count(between, b'\n');
        if count(between, b'\r') > 0 {
            ends += between
                .iter()
                .zip(bytes.get(from + 1..).unwrap_or_default())
                .filter(|&(&b, &next)| b == b'\r' && next != b'\n')
                .count();
        }
        let line = line.saturating_add(u32::try_from(ends).unwrap_or(u32::MAX));
        self.counted = (from.max(at), line);
        line
    }

    fn enter(&mut self, tag: &BytesStart<'a>, at: usize) -> TreeReply<()> {
        if tag.len() > LONGEST_TAG {
            return Err(self.source.long_tag(at, tag.len()).into());
        }
        if self.open.len() >= DEEPEST {
            return Err(self.source.too_deep(at).into());
        }
        let name = self.source.slice(at + 1, tag.name().0.len());
        if self.open.is_empty() && self.root_at.is_some() {
            return Err(self.source.second_root(at, name).into());
        }
        let depth = self.open.len() + 1;
        let has_attributes = tag.len() > name.len();
        if self.open.is_empty() {
            self.enter_root(tag, name, at)?;
        } else if has_attributes && declares(tag) {
            for (prefix, namespace) in self.source.declarations(tag, at)? {
                self.names
                    .declare(depth, prefix, &namespace)
                    .map_err(|TooMany| self.source.piled(at))?;
            }
        }
        let kind = self.kind(tag, name, at)?;
        if matches!(kind, ElementKind::Child(_) | ElementKind::LineName) {
            self.value = TagText::default();
        }
        self.open.push(Open { name, at, kind });
        Ok(())
    }

    fn enter_root(&mut self, tag: &BytesStart<'a>, name: &'a str, at: usize) -> TreeReply<()> {
        let (prefix, local) = name.split_once(':').unwrap_or(("", name));
        if local != "gpx" {
            return Err(self.source.other_root(at, name).into());
        }
        self.root_at = Some(at);
        let declared: Vec<(&'a str, String)> = self.source.declarations(tag, at)?;
        self.names.set_root(prefix, &declared);
        for (prefix, namespace) in &declared {
            self.names
                .declare(1, prefix, namespace)
                .map_err(|TooMany| self.source.piled(at))?;
        }
        if let Some(version) = self.source.attribute(tag, "version", at)?
            && !["1.0", "1.1", ""].contains(&version.trim())
        {
            self.remarks.push(Remark::new(
                self.source.place(at),
                format!(
                    "the program reads GPX version \"{}\" as 1.1",
                    shortened(version.trim())
                ),
            ));
        }
        Ok(())
    }

    /// What the element is by where it stands.
    fn kind(&mut self, tag: &BytesStart<'a>, name: &'a str, at: usize) -> TreeReply<ElementKind> {
        let local = self.names.ours(name);
        let Some(parent) = self.open.last().map(|o| o.kind) else {
            return Ok(ElementKind::Root);
        };
        let kind = match (parent, local) {
            (ElementKind::Root, Some("trk")) => ElementKind::Track,
            (ElementKind::Root, Some("rte")) => ElementKind::Route,
            (ElementKind::Root, Some("wpt")) => return self.point(PointKind::Way, tag, at),
            (ElementKind::Track, Some("trkseg")) => ElementKind::Segment,
            (ElementKind::Track, Some("trkpt")) => {
                self.left.loose_points.add(at);
                return self.point(PointKind::Track, tag, at);
            }
            (ElementKind::Segment, Some("trkpt")) => return self.point(PointKind::Track, tag, at),
            (ElementKind::Route, Some("rtept")) => return self.point(PointKind::Route, tag, at),
            (ElementKind::Track | ElementKind::Route, Some("name")) => ElementKind::LineName,
            (ElementKind::Point, Some(local)) => FixField::of(local).map_or(
                ElementKind::Other(local != "extensions"),
                ElementKind::Child,
            ),
            (ElementKind::Other(lost), Some("trkpt" | "rtept" | "wpt")) if lost => {
                self.left.stray_points.add(at);
                ElementKind::Other(true)
            }
            (ElementKind::Other(lost), local) => {
                ElementKind::Other(lost && local != Some("extensions"))
            }
            (_, Some(local)) => {
                if ["trkpt", "rtept", "wpt"].contains(&local) {
                    self.left.stray_points.add(at);
                }
                ElementKind::Other(local != "extensions")
            }
            (_, None) => ElementKind::Other(false),
        };
        match kind {
            ElementKind::Track | ElementKind::Route => {
                let pass = Pass {
                    drawn: kind == ElementKind::Route,
                    ..Pass::default()
                };
                self.pass = Some((pass, at));
            }
            ElementKind::Segment => {
                if let Some((pass, _)) = &mut self.pass {
                    pass.segments.push(Vec::new());
                }
            }
            _ => {}
        }
        Ok(kind)
    }

    fn point(
        &mut self,
        kind: PointKind,
        tag: &BytesStart<'a>,
        at: usize,
    ) -> TreeReply<ElementKind> {
        let (lat, lon) = match plain_position(tag.get(tag.name().0.len()..).unwrap_or("")) {
            Some(found) => found,
            None => self.source.position(tag, at)?,
        };
        self.source
            .not_too_many(self.points + self.places.len(), at)?;
        self.draft = Some(Draft::new(kind, lat, lon, self.line(at)));
        Ok(ElementKind::Point)
    }

    fn piece(&mut self, piece: impl Into<Cow<'a, str>>, at: usize) -> TreeReply<()> {
        let piece = piece.into();
        match self.open.last().map(|o| o.kind) {
            Some(ElementKind::Child(_) | ElementKind::LineName) => {
                let piece = self.source.slice(at, piece.len());
                self.value.push(piece, at);
                Ok(())
            }
            Some(_) => Ok(()),
            None if piece
                .trim_matches(['\0', '\u{1a}', '\u{feff}'])
                .trim()
                .is_empty() =>
            {
                Ok(())
            }
            None => self.outside(&piece, at),
        }
    }

    /// Text before the first or after the last tag.
    fn outside(&mut self, piece: &str, at: usize) -> TreeReply<()> {
        let start = at + piece.len() - piece.trim_start().len();
        if self.root_at.is_some() {
            let text = "the text after </gpx> is not used";
            self.remarks
                .push(Remark::new(self.source.place(start), text));
            return Ok(());
        }
        Err(self.source.no_markup(start, piece).into())
    }

    fn reference(&mut self, reference: &BytesRef<'a>, at: usize) -> TreeReply<()> {
        let inside = matches!(
            self.open.last().map(|o| o.kind),
            Some(ElementKind::Child(_) | ElementKind::LineName)
        );
        if !inside {
            return if self.open.is_empty() {
                self.outside("&", at)
            } else {
                Ok(())
            };
        }
        let name: &str = reference;
        let c = match name {
            "amp" => Some('&'),
            "lt" => Some('<'),
            "gt" => Some('>'),
            "quot" => Some('"'),
            "apos" => Some('\''),
            _ => reference.resolve_char_ref().ok().flatten(),
        };
        match c {
            Some(c) => self.value.push_char(c, at),
            // Nothing is looked up: an unknown name stays as it is written.
            None => {
                let written = self.source.slice(at, name.len() + 2);
                self.value.push(written, at);
            }
        }
        Ok(())
    }

    fn leave(&mut self) -> TreeReply<()> {
        let Some(open) = self.open.pop() else {
            return Ok(());
        };
        self.names.leave(self.open.len() + 1);
        match open.kind {
            ElementKind::Child(field) => {
                let value = std::mem::take(&mut self.value);
                if let Some(draft) = &mut self.draft
                    && !draft.take(field, &value, self.source)?
                {
                    self.left.bad_times.add(value.start());
                }
            }
            ElementKind::LineName => {
                let name = self.value.name();
                if let Some((pass, _)) = &mut self.pass {
                    pass.name = name;
                }
            }
            ElementKind::Point => self.leave_point(open.at),
            ElementKind::Track | ElementKind::Route => self.leave_pass(),
            ElementKind::Root | ElementKind::Segment | ElementKind::Other(_) => {}
        }
        Ok(())
    }

    fn leave_point(&mut self, at: usize) {
        let Some(draft) = self.draft.take() else {
            return;
        };
        let kind = draft.kind;
        let (fix, name) = draft.finish();
        if kind == PointKind::Way {
            self.places.push(NamedPlace {
                name,
                lat_deg: fix.lat_deg,
                lon_deg: fix.lon_deg,
                elevation_m: fix.elevation_m,
                place: Place::line(self.source.file, fix.line),
            });
            return;
        }
        self.points += 1;
        self.keep(fix, at);
    }

    fn leave_pass(&mut self) {
        let Some((mut pass, at)) = self.pass.take() else {
            return;
        };
        pass.segments.retain(|s| !s.is_empty());
        if pass.segments.is_empty() {
            self.left.empty_tracks.add(at);
            return;
        }
        if pass.name.is_empty() {
            let kind = if pass.drawn { "route" } else { "track" };
            pass.name = format!("{kind} {}", self.passes.len() + 1);
        }
        self.passes.push(pass);
    }

    /// The end of the file.
    fn end(&self) -> TreeReply<()> {
        if let Some(open) = self.open.last() {
            return Err(self.source.cut(open.name, open.at).into());
        }
        if self.root_at.is_none() {
            return Err(self.source.no_root().into());
        }
        Ok(())
    }

    fn finish(mut self) -> Reading {
        self.remarks.extend(self.left.remarks(self.source));
        Reading {
            method: Method::Gpx,
            file: self.source.file.to_owned(),
            source: Default::default(),
            points_read: self.points,
            data: Data::Walks(self.passes),
            places: self.places,
            remarks: self.remarks,
        }
    }
}

fn offset(position: u64) -> usize {
    usize::try_from(position).unwrap_or(usize::MAX)
}

/// How often a byte stands in a text: in short sums of bytes, which a machine takes sixteen at a time.
fn count(bytes: &[u8], which: u8) -> usize {
    let sum = |part: &[u8]| part.iter().map(|&b| u8::from(b == which)).sum::<u8>();
    bytes.chunks(255).map(|part| usize::from(sum(part))).sum()
}
