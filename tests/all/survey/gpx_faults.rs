//! What a reader of receivers' files takes and what it refuses, with the place.

use super::{gpx, passes, track};
use steadyfall::track::gpx::read;

/// The first line of the fault that a text gives.
fn fault(text: &str) -> String {
    let fault = read(text.as_bytes(), "walk.gpx").expect_err(text);
    assert!(fault.advice.is_some(), "no advice: {fault}");
    assert!(
        fault.place.line.is_some() && fault.place.column.is_some(),
        "no place: {fault}"
    );
    fault.to_string().lines().next().unwrap().to_owned()
}

#[test]
fn each_fault_stands_at_its_place() {
    let point = |inside: &str| track(&format!("<trkpt lat=\"46.1\" lon=\"7.2\">{inside}</trkpt>"));
    let tag = |attributes: &str| track(&format!("<trkpt {attributes}></trkpt>"));
    let cases = [
        (
            point("<ele>12,5</ele>"),
            "walk.gpx:4:34: the height has a decimal comma",
        ),
        (
            point("<ele> NaN </ele>"),
            "walk.gpx:4:35: the height is not a finite number",
        ),
        (
            point("<ele>-inf</ele>"),
            "walk.gpx:4:34: the height is not a finite number",
        ),
        (
            point("<ele>1e400</ele>"),
            "walk.gpx:4:34: the height is not a finite number",
        ),
        (
            point("<ele>high</ele>"),
            "walk.gpx:4:34: the height is not a number",
        ),
        (
            point("<ele>1</ele><ele>2</ele>"),
            "walk.gpx:4:46: this point has two heights",
        ),
        (
            tag("lat=\"46,1\" lon=\"7.2\""),
            "walk.gpx:4:13: the latitude has a decimal comma",
        ),
        (
            tag("lat=\"undefined\" lon=\"7.2\""),
            "walk.gpx:4:13: the latitude is not a number",
        ),
        (
            tag("lat=\"\" lon=\"7.2\""),
            "walk.gpx:4:13: the latitude is empty",
        ),
        (
            tag("lat=\"91\" lon=\"7.2\""),
            "walk.gpx:4:13: the latitude is not a place on the earth",
        ),
        (
            tag("lat=\"46\" lon=\"187.2\""),
            "walk.gpx:4:22: the longitude is not a place on the earth",
        ),
        (
            tag("lat=\"nan\" lon=\"7.2\""),
            "walk.gpx:4:13: the latitude is not a finite number",
        ),
        (tag("lon=\"7.2\""), "walk.gpx:4:1: this point has no lat"),
        (
            tag("x:lat=\"46\" lon=\"7.2\""),
            "walk.gpx:4:1: this point has no lat",
        ),
        (
            tag("lat=\"46\" lat=\"47\" lon=\"7.2\""),
            "walk.gpx:4:22: this point has two positions",
        ),
        (
            tag("lat=46 lon=7"),
            "walk.gpx:4:1: the attributes of this tag cannot be read",
        ),
        (
            gpx("<trk><trkseg></trk>"),
            "walk.gpx:3:14: this closing tag does not match the open tag",
        ),
        (
            gpx("") + "<gpx></gpx>",
            "walk.gpx:5:1: the file continues after </gpx>",
        ),
        ("<kml></kml>".into(), "walk.gpx:1:1: this is not a GPX file"),
        (
            "lat,lon\n1,2\n".into(),
            "walk.gpx:1:1: this is not a GPX file",
        ),
        (String::new(), "walk.gpx:1:1: the file is empty"),
        (
            "<!DOCTYPE gpx [<!ENTITY a \"aaaa\">]><gpx/>".into(),
            "walk.gpx:1:1: the program does not accept a document type (DOCTYPE)",
        ),
        (
            "<gpx>\n<trk><trkseg>\n<trkpt lat=\"1\" lon=\"2\"><ele>5".into(),
            "walk.gpx:3:30: the file is not complete",
        ),
        (
            "<gpx>\n<trk><trkseg>\n<trkpt lat=\"1\" lo".into(),
            "walk.gpx:3:1: the file ends inside a tag or comment",
        ),
        (
            "<gpx>\n<!-- open".into(),
            "walk.gpx:2:1: the file ends inside a tag or comment",
        ),
    ];
    let off: Vec<String> = cases
        .iter()
        .map(|(text, wanted)| (fault(text), wanted))
        .filter(|(got, wanted)| got != *wanted)
        .map(|(got, wanted)| format!("{got}   for   {wanted}"))
        .collect();
    assert!(off.is_empty(), "{}", off.join("\n"));
}

#[test]
fn a_cut_file_says_what_to_do() {
    let fault = read(b"<gpx>\n<trk>\n<trkseg>\n", "walk.gpx").unwrap_err();
    let text = fault.to_string();
    assert!(text.contains("<trkseg>, which starts in line 3"), "{text}");
    assert!(text.contains("add </trkseg></trk></gpx>"), "{text}");
}

#[test]
fn what_would_run_without_end_is_refused_at_once() {
    let deep = format!("<gpx>{}", "<a>".repeat(1_000_000));
    assert!(fault(&deep).contains("nested too deeply"));
    let long = format!("<gpx><{} /></gpx>", "a".repeat(50_000_000));
    assert!(fault(&long).contains("this tag has no end"));
    let attributes: String = (0..40_000).map(|i| format!(" a{i}=\"1\"")).collect();
    assert!(fault(&format!("<gpx{attributes}></gpx>")).contains("this tag has no end"));
    let spaces: String = (0..2000).map(|i| format!(" xmlns:n{i}=\"u\"")).collect();
    assert!(fault(&format!("<gpx{spaces}></gpx>")).contains("too many namespaces"));
    let name = "n".repeat(5_000_000);
    let read = read(
        gpx(&format!(
            "<wpt lat=\"1\" lon=\"2\"><name>{name}</name></wpt>"
        ))
        .as_bytes(),
        "w",
    )
    .unwrap();
    assert!(read.places[0].name.chars().count() <= 201);
    let repeated = "<extensions>".repeat(20) + &"</extensions>".repeat(20);
    assert!(steadyfall::track::gpx::read(gpx(&repeated).as_bytes(), "w").is_ok());
}

#[test]
fn entities_are_never_looked_up() {
    let text = gpx("<wpt lat=\"1\" lon=\"2\"><name>&lol; &amp; &#65;</name></wpt>");
    assert_eq!(
        read(text.as_bytes(), "w").unwrap().places[0].name,
        "&lol; & A"
    );
}

/// One point of a reading.
fn only(text: &str) -> steadyfall::reading::Fix {
    let reading = read(text.as_bytes(), "walk.gpx").unwrap_or_else(|f| panic!("{f}\n{text}"));
    passes(&reading)[0].segments[0][0]
}

#[test]
fn what_receivers_write_is_taken() {
    let inside = [
        "<ele> 12.5 </ele>",
        "<ele>12.5</ele><speed>1.2</speed><course>80</course><magvar>3</magvar>",
        "<url>x</url><ele>12.5</ele><fix>odd</fix><sat>4.0</sat><hdop/><sym/><time></time>",
        "<extensions><deep><ele>99</ele></deep></extensions><ele>12.5</ele>",
        "<x:ele>99</x:ele><ele>12.5</ele><ele xmlns=\"urn:other\">98</ele>",
        "<!-- a --><ele>12<!-- b -->.5</ele>",
        "<ele><![CDATA[12.5]]></ele>",
        "<ele>1&#50;.5</ele><name>weir & pool</name>",
        "<ele></ele><ele>12.5</ele>",
    ];
    for text in inside {
        let fix = only(&track(&format!(
            "<trkpt y:lat=\"9\" lat=\" 46.1 \" lon='7.2' z=\"\">{text}</trkpt>"
        )));
        assert_eq!(
            (fix.lat_deg, fix.lon_deg, fix.elevation_m),
            (46.1, 7.2, Some(12.5)),
            "{text}"
        );
        assert_eq!(fix.line, 4);
    }
    for text in ["<ele/>", "<ele> </ele>", "<ele><!-- none --></ele>", ""] {
        let fix = only(&track(&format!(
            "<trkpt lat=\"46.1\" lon=\"7.2\">{text}</trkpt>"
        )));
        assert_eq!(fix.elevation_m, None, "{text}");
    }
    let fix = only(&track(
        "<trkpt lat=\"-90\" lon=\"180\"><time>2026-05-14</time><vdop>2.5</vdop><hdop>9</hdop></trkpt>",
    ));
    assert_eq!(
        (fix.lat_deg, fix.lon_deg, fix.dilution),
        (-90.0, 180.0, Some(2.5))
    );
    assert_eq!(fix.time_s, Some(1_778_716_800.0));
}

#[test]
fn roots_as_they_come() {
    let body = "<trk><trkseg><trkpt lat=\"1\" lon=\"2\"/></trkseg></trk>";
    for root in [
        "<gpx>",
        "<gpx version=\"1\">",
        "\n\n<?xml version=\"1.0\"?><gpx version=\"1.2\" xmlns=\"https://example.org/x\">",
        "<!-- by hand -->\n<gpx version=\"1.0\" xmlns=\"http://www.topografix.com/GPX/1/0\">",
    ] {
        assert_eq!(only(&format!("{root}{body}</gpx>")).lon_deg, 2.0, "{root}");
    }
    let prefixed = "<g:gpx xmlns:g=\"http://www.topografix.com/GPX/1/1\"><g:trk><g:trkseg><g:trkpt lat=\"1\" lon=\"2\"/></g:trkseg></g:trk></g:gpx>\r\n";
    assert_eq!(only(prefixed).lat_deg, 1.0);
}

#[test]
fn what_is_left_out_is_told() {
    let text = gpx(
        "<trkpt lat=\"1\" lon=\"2\"/>\n<trk><trkpt lat=\"1\" lon=\"2\"><time>noon</time></trkpt></trk>\n<trk><trkseg/></trk>",
    ) + "tail";
    let reading = read(text.as_bytes(), "walk.gpx").unwrap();
    let told: Vec<String> = reading
        .remarks
        .iter()
        .map(|r| format!("{}: {}", r.place, r.text))
        .collect();
    assert_eq!(
        told,
        [
            "walk.gpx:7:1: the text after </gpx> is not used",
            "walk.gpx:4:35: 1 time that cannot be read, not used",
            "walk.gpx:3:1: 1 point outside all tracks, routes and waypoint lists, not used",
            "walk.gpx:4:6: 1 track point outside a <trkseg>, used as part of the track",
            "walk.gpx:5:1: 1 track or route without a point, not used",
        ]
    );
    assert_eq!(reading.points_read, 1);
}

#[test]
fn encodings() {
    let text = gpx("<wpt lat=\"1\" lon=\"2\"><name>Štěrk ő</name></wpt>").replace(
        "<?xml version=\"1.0\"?>",
        "<?xml version=\"1.0\" encoding=\"utf-16\"?>",
    );
    let mut wide: Vec<u8> = vec![0xFF, 0xFE];
    wide.extend(text.encode_utf16().flat_map(u16::to_le_bytes));
    assert_eq!(read(&wide, "w").unwrap().places[0].name, "Štěrk ő");
    let declared = text.replace("utf-16", "windows-1250");
    let (bytes, _, lossy) = encoding_rs::WINDOWS_1250.encode(&declared);
    assert!(!lossy);
    assert_eq!(read(&bytes, "w").unwrap().places[0].name, "Štěrk ő");
    let wrong = declared.replace("windows-1250", "utf-8");
    let (bytes, ..) = encoding_rs::WINDOWS_1250.encode(&wrong);
    let fault = read(&bytes, "walk.gpx").unwrap_err().to_string();
    assert!(
        fault.starts_with("walk.gpx:3:28: a byte that is not UTF-8 text"),
        "{fault}"
    );
}
