//! Every kind of file that is read, beside its twin; what is bent, and what is no survey.

use crate::program::home;
use std::fs;
use std::io::Write as _;
use std::time::{Duration, Instant};
use steadyfall::reading::{Book, Data, Fix, Method, Pass, ReadOptions, Reading};
use steadyfall::route::{Route, RouteOptions};
use steadyfall::survey;
use steadyfall::text::Fault;

fn file(name: &str) -> Vec<u8> {
    fs::read(home("tests/kinds").join(name)).unwrap()
}

fn read_as(bytes: &[u8], name: &str) -> Result<Reading, Fault> {
    survey::read_bytes(bytes, name, None, &ReadOptions::default())
}

fn read(name: &str) -> Reading {
    read_as(&file(name), name).unwrap_or_else(|fault| panic!("{fault}"))
}

fn passes(reading: &Reading) -> &[Pass] {
    match &reading.data {
        Data::Walks(passes) => passes,
        Data::Book(_) => panic!("{} is a book", reading.file),
    }
}

fn book(reading: &Reading) -> &Book {
    match &reading.data {
        Data::Book(book) => book,
        Data::Walks(_) => panic!("{} is a walk", reading.file),
    }
}

fn segments(reading: &Reading) -> Vec<Vec<Fix>> {
    let all = passes(reading).iter();
    all.flat_map(|p| p.segments.clone()).collect()
}

fn length_m(route: &Route) -> f64 {
    route.nodes.last().map_or(0.0, |n| n.station_m)
}

/// The walks, each a different kind of file of the same fixes.
const WALKS: [&str; 10] = [
    "walk.kml",
    "walk.kmz",
    "walk.tcx",
    "walk.fit",
    "walk-chained.fit",
    "walk.nmea",
    "walk.geojson",
    "walk.csv",
    "walk.gpx.gz",
    "walk.zip",
];

#[test]
fn a_walk_is_the_same_in_every_kind_of_file() {
    let twin = read("walk.gpx");
    let line = |reading: &Reading| {
        Route::from(std::slice::from_ref(reading), &RouteOptions::default()).unwrap()
    };
    let wanted = line(&twin);
    for name in WALKS {
        let reading = read(name);
        assert_eq!(reading.method, Method::Gpx, "{name}");
        assert_eq!(reading.points_read, twin.points_read, "{name}");
        assert!(passes(&reading).iter().all(|p| !p.drawn), "{name}");
        let (ours, theirs) = (segments(&reading), segments(&twin));
        assert_eq!(ours.len(), theirs.len(), "{name}: stretches");
        for (a, b) in ours.iter().flatten().zip(theirs.iter().flatten()) {
            assert!(
                (a.lat_deg - b.lat_deg).abs() < 2e-9,
                "{name}: {a:?} for {b:?}"
            );
            assert!(
                (a.lon_deg - b.lon_deg).abs() < 2e-9,
                "{name}: {a:?} for {b:?}"
            );
            let height = a.elevation_m.zip(b.elevation_m).map(|(a, b)| (a - b).abs());
            assert!(
                height.is_some_and(|off| off < 1e-6),
                "{name}: {a:?} for {b:?}"
            );
            assert_eq!(a.time_s, b.time_s, "{name}");
        }
        if !["walk.fit", "walk.nmea"].contains(&name) {
            continue;
        }
        let found = line(&reading);
        // The last digits of a position steer the draws: the lengths agree far within their own doubt.
        let most = 0.1 * wanted.length_sd_m;
        let (found, wanted) = (length_m(&found), length_m(&wanted));
        assert!(
            (found - wanted).abs() < most,
            "{name}: {found} m for {wanted} m, at most {most} m apart"
        );
    }
}

/// What a file states of its accuracy is carried, and never makes a walk surer.
#[test]
fn stated_doubts_are_carried() {
    for (name, first) in [
        ("walk.kml", Some(3.0)),
        ("walk.fit", Some(3.0)),
        ("walk.nmea", Some(3.0)),
        ("walk.csv", Some(3.0)),
        ("walk.tcx", None),
        ("walk.gpx", None),
    ] {
        assert_eq!(segments(&read(name))[0][0].stated_sd_m, first, "{name}");
    }
    assert_eq!(segments(&read("walk.nmea"))[0][1].dilution, Some(1.0));
    let sd = |reading: Reading| {
        let route = Route::from(&[reading], &RouteOptions::default()).unwrap();
        route.heights.drop_sd_m
    };
    let scatter = sd(read("walk.gpx"));
    let mut boast = read("walk.csv");
    if let Data::Walks(passes) = &mut boast.data {
        for fix in passes
            .iter_mut()
            .flat_map(|p| p.segments.iter_mut().flatten())
        {
            fix.stated_sd_m = Some(0.01);
        }
    }
    let boasted = sd(boast);
    assert!(boasted > 0.95 * scatter, "{boasted} m for {scatter} m");
}

#[test]
fn names_and_places_come_with_the_walk() {
    for name in [
        "walk.gpx",
        "walk.kml",
        "walk.kmz",
        "walk.geojson",
        "walk.zip",
    ] {
        let reading = read(name);
        let names: Vec<&str> = reading.places.iter().map(|p| p.name.as_str()).collect();
        assert_eq!(names, ["intake", "powerhouse"], "{name}");
        assert_eq!(passes(&reading)[0].name, "walk", "{name}");
    }
    let told =
        |reading: &Reading, words: &str| reading.remarks.iter().any(|r| r.text.contains(words));
    assert!(told(&read("walk.fit"), "2 records without a position"));
    assert!(told(&read("walk.nmea"), "1 damaged sentence"));
    assert!(told(&read("walk.kmz"), "a picture (PNG)"));
}

/// The same reading as another device would have taken it at another hour.
fn again(mut reading: Reading, turn: f64) -> Reading {
    if let Data::Walks(passes) = &mut reading.data {
        let fixes = passes
            .iter_mut()
            .flat_map(|p| p.segments.iter_mut().flatten());
        for (i, fix) in fixes.enumerate() {
            let i = i as f64 + 100.0 * turn;
            fix.lat_deg += 1.5e-5 * (i / 17.0 * turn).sin();
            fix.lon_deg += 2e-5 * (i / 23.0 + turn).cos();
            let off = 0.8 * turn + 0.5 * (i / 31.0).sin() + 0.2 * (i * 2.3 * turn).sin();
            fix.elevation_m = fix.elevation_m.map(|z| z + off);
            fix.time_s = fix.time_s.map(|t| t + 1_000.0 * turn);
        }
    }
    reading
}

#[test]
fn several_kinds_are_passes_of_one_line() {
    let readings = [
        read("walk.gpx"),
        again(read("walk.fit"), 1.0),
        again(read("walk.kml"), 2.0),
    ];
    let readings = survey::together(readings.map(Ok), &mut 0).unwrap();
    let route = Route::from(&readings, &RouteOptions::default()).unwrap();
    assert_eq!((route.method, route.heights.walks), (Some(Method::Gpx), 3));
    let length = length_m(&route);
    assert!((length - 300.0).abs() < 20.0, "{length}");
}

/// One recording exported twice is no second walk.
#[test]
fn a_recording_in_two_files_counts_once() {
    let readings = ["walk.gpx", "walk.fit", "walk.nmea", "walk.csv"].map(|n| Ok(read(n)));
    let together = survey::together(readings, &mut 0).unwrap();
    for (i, reading) in together.iter().enumerate() {
        assert_eq!(
            passes(reading).len(),
            usize::from(i == 0),
            "{}",
            reading.file
        );
        let told = |r: &steadyfall::text::Remark| r.text.contains("is also in walk.gpx");
        assert_eq!(reading.remarks.iter().any(told), i > 0, "{}", reading.file);
    }
    let other = [Ok(read("walk.gpx")), Ok(again(read("walk.gpx"), 1.0))];
    let together = survey::together(other, &mut 0).unwrap();
    assert!(together.iter().all(|r| passes(r).len() == 1));
}

#[test]
fn a_drawn_line_is_no_walk() {
    let kml = "<kml><Placemark><name>pipe</name><LineString><coordinates>\n-30.25,47.5,0 -30.249,47.499,0\n-30.248,47.4985,0</coordinates></LineString></Placemark></kml>";
    let json =
        r#"{"type":"LineString","coordinates":[[-30.25,47.5],[-30.249,47.499],[-30.248,47.4985]]}"#;
    for text in [kml, json] {
        let reading = read_as(text.as_bytes(), "drawn").unwrap();
        let pass = &passes(&reading)[0];
        assert!(pass.drawn && pass.segments[0].len() == 3, "{text}");
        assert!(pass.segments[0].iter().all(|f| f.elevation_m.is_none()));
    }
}

#[test]
fn a_book_is_the_same_in_every_kind_of_sheet() {
    let twin = read("level.csv");
    for name in ["level.xlsx", "level.ods"] {
        let reading = read(name);
        assert_eq!(reading.method, Method::Level, "{name}");
        let (ours, theirs) = (book(&reading), book(&twin));
        assert_eq!(ours.points.len(), theirs.points.len(), "{name}");
        for (a, b) in ours.points.iter().zip(&theirs.points) {
            assert_eq!(
                (a.station_m, a.height_m),
                (b.station_m, b.height_m),
                "{name}"
            );
        }
        assert_eq!(
            (ours.tied, ours.setups),
            (theirs.tied, theirs.setups),
            "{name}"
        );
    }
    let (ours, theirs) = (read("points-trade.csv"), read("points.csv"));
    assert_eq!(ours.method, Method::Points);
    for (a, b) in book(&ours).points.iter().zip(&book(&theirs).points) {
        assert_eq!(
            (a.position, a.height_m, &a.name),
            (b.position, b.height_m, &b.name)
        );
    }
}

#[test]
fn the_heads_that_the_trade_writes() {
    for (heads, kind) in [
        ("Chainage (m),Backsight,Intersight,Foresight,RL", None),
        (
            "Chainage (m),Backsight (m),Intersight (m),Foresight (m),RL (m)",
            Some(Method::Level),
        ),
        (
            "CH. [m];B.S. [m];Intermediate Sight [m];F.S. [m];Reduced Level [m]",
            Some(Method::Level),
        ),
        ("Station ft,BS ft,IS ft,FS ft,Elev. ft", Some(Method::Level)),
    ] {
        let mark = if heads.contains(';') { ";" } else { "," };
        let row = |cells: [&str; 5]| cells.join(mark);
        let text = [
            heads.to_owned(),
            row(["0", "1.2", "", "", "50"]),
            row(["10", "", "1.9", "", ""]),
            row(["20", "", "", "2.6", ""]),
        ]
        .join("\n");
        match (read_as(text.as_bytes(), "book.csv"), kind) {
            (Ok(reading), Some(kind)) => {
                assert_eq!(reading.method, kind, "{heads}");
                assert!(book(&reading).tied, "{heads}");
            }
            (Err(fault), None) => assert!(fault.text.contains("has no unit"), "{fault}"),
            (Ok(_), None) => panic!("{heads} has no unit"),
            (Err(fault), Some(_)) => panic!("{fault}"),
        }
    }
    let text = "Point No.,Northing (m),Easting (m),Elevation (m),Vertical RMS (m),Code,Description\n1,0,0,50,0.012,P,a\n2,10,0,49,0.013,P,b\n";
    let reading = read_as(text.as_bytes(), "rtk.csv").unwrap();
    assert_eq!(book(&reading).points[0].sd_m, 0.012);
    let text = "Latitude,Longitude,Altitude (m)\n47.5,-30.25,60\n47.499,-30.25,50\n";
    assert_eq!(
        read_as(text.as_bytes(), "p.csv").unwrap().method,
        Method::Points
    );
}

#[test]
fn a_list_without_heads_is_asked_for_its_order() {
    for text in [
        file("points-bare.csv"),
        b"1 5000.0 1000.0 80.0 PIPE\n2 4990.0 1003.0 79.0 PIPE\n".to_vec(),
        b"1;5000,0;1000,0;80,0;PIPE\n".to_vec(),
    ] {
        let fault = read_as(&text, "list.csv").unwrap_err().to_string();
        for words in [
            "no column heads",
            "point,north_m,east_m,height_m",
            "north or east is first",
        ] {
            assert!(fault.contains(words), "{fault}");
        }
    }
    let fault = read_as(b"X,Y,Z\n1,2,3\n2,3,4\n", "list.csv")
        .unwrap_err()
        .to_string();
    assert!(fault.contains("east_m and north_m"), "{fault}");
}

/// A list with a row each metre, falling evenly at 2 %, does not climb.
#[test]
fn points_closer_than_their_doubt_share_it() {
    let rows = |climb: f64| {
        let mut text = "station_m,height_m\n".to_owned();
        for i in 0..=300u32 {
            let s = f64::from(i);
            let bump = climb * (-((s - 150.0) / 8.0).powi(2)).exp();
            text += &format!("{i},{:.3}\n", 50.0 - 0.02 * s + bump);
        }
        let options = ReadOptions {
            along_slope: Some(true),
            ..ReadOptions::default()
        };
        let reading = survey::read_bytes(text.as_bytes(), "even.csv", None, &options).unwrap();
        let Data::Book(own) = &reading.data else {
            panic!("no book")
        };
        // The doubt of each height stays what it was.
        for (i, point) in own.points.iter().enumerate() {
            let shared: f64 = own.factors.iter().map(|f| f[i] * f[i]).sum();
            let sd = (point.sd_m * point.sd_m + shared).sqrt();
            assert!((sd - 0.02).abs() < 1e-9, "{sd}");
        }
        let route = Route::from(&[reading], &RouteOptions::default()).unwrap();
        let judged = steadyfall::study::survey(route, 0.025);
        judged
            .profile
            .climbs
            .iter()
            .map(|c| c.probability)
            .collect::<Vec<_>>()
    };
    assert_eq!(rows(0.0), Vec::<f64>::new());
    let climbs = rows(0.6);
    assert!(climbs.len() == 1 && climbs[0] > 0.99, "{climbs:?}");
}

/// Cut, swapped, of another encoding: read or refused in words, never at length.
#[test]
fn bent_files_are_refused_in_plain_words() {
    let told = |fault: &Fault| {
        assert!(!fault.text.is_empty(), "{fault}");
        assert!(
            fault.advice.is_some() || fault.expected.is_some(),
            "{fault}"
        );
        assert!(!fault.text.contains("Error"), "{fault}");
    };
    for name in WALKS
        .iter()
        .chain(&["level.xlsx", "level.ods", "walk.gpx", "level.csv"])
    {
        let whole = file(name);
        // What is cut at the end of a line, or between chained parts, is whole as far as it goes.
        let packed = ![".csv", ".nmea", "-chained.fit"]
            .iter()
            .any(|end| name.ends_with(end));
        for part in 1..8 {
            let cut = &whole[..whole.len() * part / 8];
            let began = Instant::now();
            match read_as(cut, name) {
                Err(fault) => told(&fault),
                Ok(_) => assert!(!packed, "{name}: {part} eighths were read"),
            }
            assert!(began.elapsed() < Duration::from_secs(2), "{name}");
        }
        for at in (0..whole.len()).step_by(whole.len() / 40 + 1) {
            let mut bent = whole.clone();
            bent[at] ^= 0x55;
            if let Err(fault) = read_as(&bent, name) {
                told(&fault);
            }
        }
    }
    for name in ["walk.kml", "walk.tcx", "walk.geojson", "walk.csv"] {
        let text = String::from_utf8(file(name)).unwrap();
        let wide: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
        let mut marked = vec![0xff, 0xfe];
        marked.extend(&wide);
        assert_eq!(
            segments(&read_as(&marked, name).unwrap()),
            segments(&read(name)),
            "{name}"
        );
        let swapped = text.replace("47.", "97.");
        let fault = read_as(swapped.as_bytes(), name).unwrap_err();
        told(&fault);
        assert!(fault.text.contains("earth"), "{fault}");
    }
}

fn zipped(parts: &[(&str, &[u8])]) -> Vec<u8> {
    let mut writer = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    for (name, bytes) in parts {
        let options = zip::write::SimpleFileOptions::default();
        writer.start_file(*name, options).unwrap();
        writer.write_all(bytes).unwrap();
    }
    writer.finish().unwrap().into_inner()
}

/// What is small and would be endless is refused before it grows.
#[test]
fn bombs_are_refused() {
    let zeros = vec![b'0'; 32 << 20];
    let mut packer = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::fast());
    packer.write_all(&zeros).unwrap();
    let gz = packer.finish().unwrap();
    let inner = zipped(&[("walk.gpx", &file("walk.gpx"))]);
    let nested = zipped(&[(
        "a.zip",
        &zipped(&[("b.zip", &zipped(&[("c.zip", &inner)]))]),
    )]);
    let many: Vec<(String, &[u8])> = (0..1_200)
        .map(|i| (format!("{i}.txt"), &b"x"[..]))
        .collect();
    let many: Vec<(&str, &[u8])> = many.iter().map(|(n, b)| (n.as_str(), *b)).collect();
    let repeated = r#"<office:document-content xmlns:office="o" xmlns:table="t" xmlns:text="x"><office:body><office:spreadsheet><table:table table:name="a"><table:table-row table:number-rows-repeated="1000000"><table:table-cell office:value-type="float" office:value="1" table:number-columns-repeated="16000"/></table:table-row></table:table></office:spreadsheet></office:body></office:document-content>"#;
    let grown = zipped(&[
        (
            "mimetype",
            b"application/vnd.oasis.opendocument.spreadsheet",
        ),
        ("content.xml", repeated.as_bytes()),
    ]);
    for (what, bytes, words) in [
        ("gz", gz, "the unpacked file is too large"),
        (
            "zip",
            zipped(&[("walk.gpx", &zeros)]),
            "the unpacked file is too large",
        ),
        ("nested", nested, "too many archives inside each other"),
        ("many", zipped(&many), "too many files"),
        ("ods", grown, "the workbook is too large"),
    ] {
        let began = Instant::now();
        let fault = read_as(&bytes, "small.bin").unwrap_err();
        let took = began.elapsed();
        assert!(fault.text.contains(words), "{what}: {fault}");
        println!("{what}: {} bytes refused in {took:?}", bytes.len());
        assert!(took < Duration::from_secs(2), "{what}: {took:?}");
    }
}

/// A list of texts that says it is endless makes no room for it.
#[test]
fn a_workbook_that_boasts_is_read() {
    let members: Vec<(String, Vec<u8>)> = {
        let mut archive = zip::ZipArchive::new(std::io::Cursor::new(file("level.xlsx"))).unwrap();
        (0..archive.len())
            .map(|i| {
                let mut part = archive.by_index(i).unwrap();
                let mut bytes = Vec::new();
                std::io::Read::read_to_end(&mut part, &mut bytes).unwrap();
                (part.name().unwrap().into_owned(), bytes)
            })
            .collect()
    };
    let boast: Vec<(&str, Vec<u8>)> = members
        .iter()
        .map(|(name, bytes)| {
            let text = String::from_utf8_lossy(bytes);
            let at = text.find("uniqueCount=\"").map(|at| at + 13);
            let text = at.map_or(text.to_string(), |at| {
                format!("{}99999999{}", &text[..at], &text[at..])
            });
            (name.as_str(), text.into_bytes())
        })
        .collect();
    let parts: Vec<(&str, &[u8])> = boast.iter().map(|(n, b)| (*n, b.as_slice())).collect();
    let reading = read_as(&zipped(&parts), "level.xlsx").unwrap();
    assert_eq!(book(&reading), book(&read("level.xlsx")));
}

/// The sheet, the row and the cell are told.
#[test]
fn a_fault_in_a_workbook_names_its_cell() {
    let sheet = r#"<worksheet><sheetData><row r="3"><c r="B3" t="inlineStr"><is><t>Chainage (m)</t></is></c><c r="C3" t="inlineStr"><is><t>RL (m)</t></is></c></row><row r="4"><c r="B4"><v>0</v></c><c r="C4"><v>50</v></c></row><row r="5"><c r="B5"><v>10</v></c><c r="C5" t="e"><v>#REF!</v></c></row></sheetData></worksheet>"#;
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(file("level.xlsx"))).unwrap();
    let mut parts = Vec::new();
    for i in 0..archive.len() {
        let mut part = archive.by_index(i).unwrap();
        let mut bytes = Vec::new();
        std::io::Read::read_to_end(&mut part, &mut bytes).unwrap();
        let name = part.name().unwrap().into_owned();
        parts.push(if name == "xl/worksheets/sheet1.xml" {
            (name, sheet.as_bytes().to_vec())
        } else {
            (name, bytes)
        });
    }
    let parts: Vec<(&str, &[u8])> = parts
        .iter()
        .map(|(n, b)| (n.as_str(), b.as_slice()))
        .collect();
    let fault = read_as(&zipped(&parts), "book.xlsx")
        .unwrap_err()
        .to_string();
    for words in ["book.xlsx, sheet Levels:5:", "C5 #REF!", "not a number"] {
        assert!(fault.contains(words), "{fault}");
    }
}

/// Files that are none of a survey: each is named for what it is, with what to do.
#[test]
fn what_is_not_read_is_named() {
    let tar: Vec<u8> = {
        let mut bytes = vec![b'a'; 257];
        bytes.extend(b"ustar\0");
        bytes.resize(1024, 0);
        bytes
    };
    let docx = zipped(&[
        ("[Content_Types].xml", b"<x/>"),
        ("word/document.xml", b"<x/>"),
    ]);
    let xlsb = zipped(&[("xl/workbook.bin", b"\0\0")]);
    let odt = zipped(&[
        ("mimetype", b"application/vnd.oasis.opendocument.text"),
        ("content.xml", b"<x/>"),
    ]);
    let settings = {
        let mut data = vec![0x40, 0, 0, 0, 0, 1, 0, 1, 0, 0, 2];
        let mut out = vec![
            14,
            0x20,
            0,
            0,
            data.len() as u8,
            0,
            0,
            0,
            b'.',
            b'F',
            b'I',
            b'T',
            0,
            0,
        ];
        out.append(&mut data);
        let sum = crate::bent::fit_sum(&out);
        out.extend(sum.to_le_bytes());
        out
    };
    let files: Vec<(&[u8], &str)> = vec![
        (b"%PDF-1.7\n%\xe2\xe3", "a PDF document"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "a picture (PNG)"),
        (b"\xff\xd8\xff\xe0\0\x10JFIF", "a picture (JPEG)"),
        (b"\0\0\0\x18ftypheic\0\0", "a picture (HEIF)"),
        (b"II*\0\x08\0\0\0", "TIFF"),
        (b"\0\0\0\x18ftypmp42\0\0", "a video"),
        (b"AC1032\0\0\0\0", "a drawing (DWG)"),
        (b"  0\nSECTION\n  2\nHEADER\n", "a drawing (DXF)"),
        (b"7z\xbc\xaf\x27\x1c\0\x04", "an archive (7z)"),
        (b"Rar!\x1a\x07\x01\0", "an archive (RAR)"),
        (&tar, "an archive (tar)"),
        (
            b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1\0\0",
            "in an old format (.xls, .doc)",
        ),
        (b"SQLite format 3\0\x10\0", "a database"),
        (b"\0\0\x27\x0a\0\0\0\0", "a shapefile"),
        (b"LASF\0\0\0\0", "a point cloud"),
        (b"\x7fELF\x02\x01\x01", "a program"),
        (b"\xb5\x62\x01\x07\x5c\0", "raw log (UBX)"),
        (
            b"     3.04           OBSERVATION DATA    M     RINEX VERSION / TYPE\n",
            "RINEX",
        ),
        (b"<!DOCTYPE html><html><head>", "a web page"),
        (
            b"<?xml version=\"1.0\"?><svg xmlns=\"http://www.w3.org/2000/svg\"/>",
            "a drawing (SVG)",
        ),
        (b"<LandXML version=\"1.2\"></LandXML>", "LandXML"),
        (b"{\\rtf1\\ansi hello}", "a text document (RTF)"),
        (
            b"{\"name\": \"a\", \"version\": 2}",
            "JSON, but not GeoJSON",
        ),
        (&docx, "a text document (DOCX)"),
        (&xlsb, "a binary spreadsheet"),
        (&odt, "not a spreadsheet"),
        (&settings, "this FIT file (settings"),
        (
            b"Dear A.,\nthe pipe is fine.\n",
            "not those of a survey sheet",
        ),
        (b"", "the sheet is empty"),
    ];
    assert!(files.len() >= 20);
    for (bytes, words) in files {
        let fault = read_as(bytes, "it").unwrap_err();
        assert!(fault.text.contains(words), "{words}: {fault}");
        assert!(
            fault.expected.is_some() && fault.advice.is_some(),
            "{fault}"
        );
    }
}
