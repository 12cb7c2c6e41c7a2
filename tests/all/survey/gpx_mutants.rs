//! Files with a few bytes changed: read or refused with a place, never a panic, and never otherwise than another library reads them.

use super::gpx_tracks::{agrees, files};
use steadyfall::numeric::Rng;
use steadyfall::track::gpx::read;

/// Pieces that are likely to hurt.
const PIECES: [&str; 24] = [
    "<",
    ">",
    "&",
    "\"",
    "/",
    "</trkpt>",
    "<ele>",
    "</ele>",
    "<![CDATA[",
    "]]>",
    "<!--",
    "-->",
    "&#0;",
    "&#x110000;",
    "NaN",
    "1e999",
    "-",
    ",",
    "\u{0}",
    "\u{feff}",
    "<extensions>",
    "xmlns=\"\"",
    "lat=\"",
    "\u{10ffff}",
];

fn mutate(bytes: &mut Vec<u8>, draws: &mut Rng) {
    for _ in 0..=draws.below(3) {
        let at = draws.below(bytes.len().max(1)).min(bytes.len());
        match draws.below(5) {
            0 => bytes.insert(at, (draws.bits() & 0xff) as u8),
            1 if at < bytes.len() => bytes[at] = (draws.bits() & 0xff) as u8,
            2 => {
                let end = (at + draws.below(40)).min(bytes.len());
                bytes.drain(at..end);
            }
            3 => {
                let piece = PIECES[draws.below(PIECES.len())];
                bytes.splice(at..at, piece.bytes());
            }
            _ => {
                let end = (at + draws.below(80)).min(bytes.len());
                let copy = bytes[at..end].to_vec();
                let to = draws.below(bytes.len());
                bytes.splice(to..to, copy);
            }
        }
    }
}

#[test]
fn no_change_of_bytes_panics_and_both_libraries_agree() {
    if files().is_empty() {
        return;
    }
    let seeds: Vec<Vec<u8>> = files()
        .into_iter()
        .map(|f| f.1)
        .filter(|b| b.len() < 6_000)
        .collect();
    assert!(seeds.len() > 15);
    let mut draws = Rng::new(20_260_514);
    let (mut read_well, mut refused, mut compared) = (0, 0, 0);
    for round in 0..12_000 {
        let mut bytes = seeds[round % seeds.len()].clone();
        mutate(&mut bytes, &mut draws);
        match read(&bytes, "m.gpx") {
            Ok(reading) => {
                read_well += 1;
                for fix in super::passes(&reading)
                    .iter()
                    .flat_map(|p| p.segments.iter().flatten())
                {
                    assert!(fix.lat_deg.abs() <= 90.0 && fix.lon_deg.abs() <= 180.0);
                    assert!(fix.elevation_m.is_none_or(f64::is_finite) && fix.line > 0);
                }
                if round % 4 == 0
                    && let Ok(theirs) = gpx::read(bytes.as_slice())
                    && !quirk(&bytes)
                {
                    compared += 1;
                    agrees(&reading, &theirs)
                        .unwrap_or_else(|e| panic!("{e}\n{}", String::from_utf8_lossy(&bytes)));
                }
            }
            Err(fault) => {
                refused += 1;
                assert!(fault.place.line.is_some(), "{fault}");
                let _ = fault.to_string();
            }
        }
    }
    assert!(
        read_well > 1_000 && refused > 1_000 && compared > 200,
        "{read_well} read, {refused} refused, {compared} compared"
    );
}

/// What the other library is known to read wrongly: a foreign attribute or element taken for GPX's own, heights that are not finite.
fn quirk(bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(bytes).to_lowercase();
    [
        ":lat",
        ":lon",
        ":ele",
        ":time",
        ":trk",
        ":rte",
        ":wpt",
        "xmlns=\"\"",
        "<!--",
        "<![cdata[",
    ]
    .iter()
    .any(|q| text.contains(q))
}
