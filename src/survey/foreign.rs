//! Files that are no survey: each is named for what it is, with the way to something that is read.

use crate::text::{Fault, Place};

/// A kind of file that is not read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Foreign {
    /// What it is, with its article.
    pub(super) is: &'static str,
    /// What to do.
    advice: &'static str,
}

impl Foreign {
    /// The fault of a file of this kind.
    pub(super) fn fault(self, file: &str) -> Fault {
        Fault::new(
            Place::file(file),
            format!("this is {}. The program cannot read it", self.is),
        )
        .expected(READ)
        .advice(self.advice)
    }
}

/// What is read, for faults.
pub(super) const READ: &str = "a walk (GPX, KML, KMZ, FIT, TCX, NMEA, GeoJSON), a sheet (CSV, XLSX, ODS), or a .gz or .zip of these";

const UNPACK: &str = "unpack it and give the file inside, or make a .zip of it";
const PICTURE: &str = "the program cannot read values in a picture. Type the readings into a sheet. `steadyfall new` writes blank sheets";
const EXPORT: &str =
    "export the walk as GPX, or export the points as CSV with latitude, longitude and height";
const DRAWING: &str = "export the points of the route as CSV, with point, north, east and height. Write the unit in the column heads";
const SAVE: &str = "open it, and save the sheet as .xlsx, .ods or .csv";
const TYPE_OFF: &str = "get the original table (CSV or XLSX), or type the readings into a sheet. `steadyfall new` writes blank sheets";
const WRONG: &str = "check the file name. Give the file of the walk or of the book";
const CONVERT: &str = "convert it to GPX, NMEA or CSV with the program of the receiver";

/// A mark at a byte of the file, what it tells, and what to do.
type FormatSign = (usize, &'static [u8], &'static str, &'static str);

const MARKS: &[FormatSign] = &[
    (0, b"%PDF", "a PDF document", TYPE_OFF),
    (0, b"\x89PNG", "a picture (PNG)", PICTURE),
    (0, b"\xff\xd8\xff", "a picture (JPEG)", PICTURE),
    (0, b"GIF8", "a picture (GIF)", PICTURE),
    (
        0,
        b"II*\0",
        "a picture or a grid of heights (TIFF)",
        PICTURE,
    ),
    (
        0,
        b"MM\0*",
        "a picture or a grid of heights (TIFF)",
        PICTURE,
    ),
    (8, b"WEBP", "a picture (WebP)", PICTURE),
    (8, b"WAVE", "a sound recording", WRONG),
    (4, b"ftyphei", "a picture (HEIF)", PICTURE),
    (4, b"ftypmif", "a picture (HEIF)", PICTURE),
    (4, b"ftypavif", "a picture (AVIF)", PICTURE),
    (4, b"ftyp", "a video or a sound recording", WRONG),
    (0, b"ID3", "a sound recording", WRONG),
    (0, b"OggS", "a sound recording or a video", WRONG),
    (0, b"\x1aE\xdf\xa3", "a video", WRONG),
    (0, b"AC10", "a drawing (DWG)", DRAWING),
    (0, b"AutoCAD Binary DXF", "a drawing (DXF)", DRAWING),
    (0, b"7z\xbc\xaf\x27\x1c", "an archive (7z)", UNPACK),
    (0, b"Rar!", "an archive (RAR)", UNPACK),
    (0, b"\xfd7zXZ\0", "a compressed file (xz)", UNPACK),
    (0, b"BZh", "a compressed file (bzip2)", UNPACK),
    (
        0,
        b"\x28\xb5\x2f\xfd",
        "a compressed file (Zstandard)",
        UNPACK,
    ),
    (257, b"ustar", "an archive (tar)", UNPACK),
    (
        0,
        b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1",
        "a spreadsheet or document in an old format (.xls, .doc)",
        SAVE,
    ),
    (
        0,
        b"SQLite format 3\0",
        "a database (SQLite, GeoPackage)",
        EXPORT,
    ),
    (0, b"\0\0\x27\x0a", "a shapefile", EXPORT),
    (0, b"LASF", "a point cloud (LAS)", DRAWING),
    (0, b"\x7fELF", "a program", WRONG),
    (0, b"MZ\x90\0", "a program", WRONG),
    (0, b"\0asm", "a program", WRONG),
    (0, b"\xb5\x62", "a receiver's raw log (UBX)", CONVERT),
    (0, b"\xd3\0", "a receiver's raw log (RTCM)", CONVERT),
    (0, b"{\\rtf", "a text document (RTF)", SAVE),
];

/// Words among the first lines of a text that tell what it is.
const TEXTS: &[(&str, &str, &str)] = &[
    (
        "RINEX VERSION",
        "a receiver's raw observations (RINEX)",
        CONVERT,
    ),
    ("HFDTE", "a flight log (IGC)", EXPORT),
    ("ISO-10303-21", "a drawing (STEP, IFC)", DRAWING),
    ("-----BEGIN", "a key or a certificate", WRONG),
    ("%!PS", "a PostScript document", TYPE_OFF),
    (
        "version https://git-lfs",
        "a pointer to a large file, and not the file",
        WRONG,
    ),
];

/// Names of the first element of an XML file.
const ROOTS: &[(&str, &str, &str)] = &[
    (
        "html",
        "a web page",
        "download the file itself. The saved file is only the web page that shows it",
    ),
    (
        "HTML",
        "a web page",
        "download the file itself. The saved file is only the web page that shows it",
    ),
    ("svg", "a drawing (SVG)", DRAWING),
    ("osm", "map data (OSM)", EXPORT),
    ("LandXML", "a land survey in XML (LandXML)", DRAWING),
    ("FeatureCollection", "map data in XML (GML)", EXPORT),
    ("Workbook", "a spreadsheet in XML", SAVE),
    ("rss", "a feed from a web site", WRONG),
    ("plist", "a list of settings", WRONG),
];

/// What bytes are by their marks, where they are nothing that is read.
pub(super) fn by_marks(bytes: &[u8]) -> Option<Foreign> {
    let marked = MARKS
        .iter()
        .find(|(at, mark, ..)| bytes.get(*at..).is_some_and(|b| b.starts_with(mark)));
    if let Some(&(_, _, is, advice)) = marked {
        return Some(Foreign { is, advice });
    }
    let head = bytes.get(..bytes.len().min(400)).unwrap_or_default();
    let head = String::from_utf8_lossy(head);
    if is_dxf(&head) {
        return Some(Foreign {
            is: "a drawing (DXF)",
            advice: DRAWING,
        });
    }
    let told = TEXTS.iter().find(|(words, ..)| head.contains(words));
    told.map(|&(_, is, advice)| Foreign { is, advice })
}

/// A drawing's text begins with a code and a word on lines of their own.
fn is_dxf(head: &str) -> bool {
    let mut lines = head.lines().map(str::trim).skip_while(|l| l.is_empty());
    match (lines.next(), lines.next()) {
        (Some("0"), Some("SECTION")) => true,
        // A remark may stand before.
        (Some("999"), Some(_)) => lines.next() == Some("0") && lines.next() == Some("SECTION"),
        _ => false,
    }
}

/// What an XML file is by its first element.
pub(super) fn by_root(root: &str) -> Option<Foreign> {
    let known = ROOTS.iter().find(|(name, ..)| *name == root);
    known.map(|&(_, is, advice)| Foreign { is, advice })
}

/// What an archive is by the names of its files.
pub(super) fn by_names(has: &dyn Fn(&str) -> bool) -> Option<Foreign> {
    const NAMES: &[(&str, &str, &str)] = &[
        ("word/document.xml", "a text document (DOCX)", TYPE_OFF),
        ("ppt/presentation.xml", "a presentation", TYPE_OFF),
        ("xl/workbook.bin", "a binary spreadsheet (.xlsb)", SAVE),
        ("AndroidManifest.xml", "a program for a phone", WRONG),
        ("META-INF/MANIFEST.MF", "a program (JAR)", WRONG),
        ("META-INF/container.xml", "an electronic book (EPUB)", WRONG),
    ];
    let known = NAMES.iter().find(|(name, ..)| has(name));
    known.map(|&(_, is, advice)| Foreign { is, advice })
}

/// A text document of the open kind.
pub(super) const OPEN_TEXT: Foreign = Foreign {
    is: "an open document that is not a spreadsheet (ODT, ODP)",
    advice: TYPE_OFF,
};

/// A kind that this build of the program was made without.
#[cfg_attr(
    all(feature = "fit", feature = "spreadsheets"),
    expect(dead_code, reason = "this build reads all kinds")
)]
pub(super) fn left_out(file: &str, is: &str, feature: &str) -> Fault {
    Fault::new(
        Place::file(file),
        format!("this is {is}. This build of the program cannot read it"),
    )
    .expected("a different kind of file, or a build with all readers")
    .advice(format!(
        "build the program with the feature \"{feature}\". Or export the walk as GPX, or the sheet as CSV"
    ))
}
