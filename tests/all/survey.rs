//! Receivers' files and the routes made of them, whole.

mod gpx_faults;
mod gpx_mutants;
mod gpx_tracks;
mod receiver;
mod suspect_walks;
mod walks;

use steadyfall::reading::{Data, Pass, Reading};

/// The passes of a reading.
pub fn passes(reading: &Reading) -> &[Pass] {
    match &reading.data {
        Data::Walks(passes) => passes,
        Data::Book(_) => panic!("{}: a book where walks were expected", reading.file),
    }
}

/// A GPX 1.1 file round some content.
pub fn gpx(content: &str) -> String {
    format!(
        "<?xml version=\"1.0\"?>\n<gpx version=\"1.1\" creator=\"t\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n{content}\n</gpx>\n"
    )
}

/// The same with one track of one segment.
pub fn track(points: &str) -> String {
    gpx(&format!("<trk><trkseg>\n{points}\n</trkseg></trk>"))
}

/// Two fixes far apart, or a track that breaks off for long: what lies between is found as not recorded, and no climb is certain there.
#[test]
fn what_was_not_recorded_is_found_and_never_climbs_for_certain() {
    use steadyfall::finding::{self, Kind};
    use steadyfall::profile::ClimbVerdict;
    use steadyfall::route::{Route, RouteOptions};

    let fix = |i: usize| {
        let (lat, height) = (46.2 + 7.2e-5 * i as f64, 1200.0 - i as f64);
        format!("<trkpt lat=\"{lat:.6}\" lon=\"8.1\"><ele>{height:.1}</ele></trkpt>")
    };
    let found = |of: &[usize]| {
        let points: String = of.iter().map(|&i| fix(i)).collect();
        let reading = steadyfall::survey::read_bytes(
            track(&points).as_bytes(),
            "walk.gpx",
            None,
            &Default::default(),
        )
        .unwrap();
        let route = Route::from(&[reading], &RouteOptions::default()).unwrap();
        let judged = steadyfall::study::survey(route, 0.025);
        let certain = judged
            .profile
            .climbs
            .iter()
            .any(|c| c.verdict == ClimbVerdict::Climbs);
        assert!(!certain, "{:?}", judged.profile.climbs);
        let not_recorded: Vec<(f64, f64)> = finding::of_survey(&judged)
            .iter()
            .filter(|f| matches!(f.kind, Kind::NotRecorded { .. }))
            .map(|f| (f.from_m, f.to_m))
            .collect();
        not_recorded
    };
    assert_eq!(found(&(0..90).collect::<Vec<_>>()), []);
    assert_eq!(found(&[0, 90]).len(), 1);
    let gap: Vec<usize> = (0..30).chain(60..90).collect();
    let [(from, to)] = found(&gap)[..] else {
        panic!("one stretch")
    };
    assert!(
        (from - 29.0 * 8.05).abs() < 15.0 && (to - 60.0 * 8.05).abs() < 15.0,
        "{from} {to}"
    );
}
