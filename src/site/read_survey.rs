use super::bounds as b;
use super::read_at::{at, date, need_at};
use super::read_booked::booked;
use super::section::Section;
use super::survey::{DeclaredPart, DeclaredPeg, DeclaredSurvey, DeclaredTie, Doubts};
use super::{Located, words as w};
use crate::reading::Method;
use crate::unit::{OnPegs, QuantityKind};

/// `[survey]`.
pub(super) fn survey(s: Section<'_, '_>) -> DeclaredSurvey {
    let survey = DeclaredSurvey {
        files: files(&s),
        kind: s.choice("kind", w::SURVEY_KINDS),
        of: s.choice("of", crate::site::survey::SurveyedLine::WORDS),
        from: s.choice("from", crate::site::survey::DeclaredEnd::WORDS),
        intake: at(&s, "intake"),
        turbine: at(&s, "turbine"),
        taped: s.choice("taped", crate::site::survey::Taped::WORDS),
        receiver: s.choice("receiver", crate::reading::WalkDevice::WORDS),
        barometer: s.flag("barometer"),
        pressure_log: s.text("pressure_log"),
        base_log: s.text("base_log"),
        air_temperature_c: s.quantity(
            "air_temperature",
            QuantityKind::Temperature,
            b::AIR_TEMPERATURE,
        ),
        date: date(&s, "date"),
        doubts: doubts(&s),
        booked: booked(&s),
        datum: s.choice("datum", crate::site::survey::Datum::WORDS),
        parts: s.tables("part").into_iter().map(part).collect(),
        ties: s.tables("tie").into_iter().filter_map(tie).collect(),
        pegs: s.tables("peg").into_iter().filter_map(peg).collect(),
    };
    if !s.has("files") && !s.has("part") {
        s.missing(
            "files",
            "a list of files, such as [\"walk.gpx\"]",
            "list the survey files, with paths from the folder of this file, or give [[survey.part]]",
        );
    } else if s.has("files") && survey.files.is_empty() && s.list("files").is_empty() {
        s.tell("files", "no file is given", |f| {
            f.expected("at least one file")
                .advice("list the survey files, with paths from the folder of this file")
        });
    }
    no_tape(&s, survey.kind);
    s.finish();
    survey
}

fn files(s: &Section<'_, '_>) -> Vec<Located<String>> {
    let files = s.untrimmed("files");
    for (i, file) in files.iter().enumerate() {
        if files.iter().take(i).any(|f| f.value == file.value) {
            let fault = file
                .fault("this file is given twice")
                .found(&file.value)
                .expected("each file once")
                .advice("give several passes as several files, or as several tracks in one file");
            s.paper.tell(s.byte_of("files"), fault);
        }
    }
    files
}

/// What is asked of a tape has no meaning for a receiver's track; lengths are corrected leg by leg, which only an angle book has.
fn no_tape(s: &Section<'_, '_>, kind: Option<Method>) {
    if kind == Some(Method::Gpx) && s.has("taped") {
        s.tell("taped", "a GPS track is not taped", |f| {
            f.expected("no taped with kind = \"gpx\"")
                .advice("remove it")
        });
    }
    if kind.is_some_and(|k| k != Method::Angle) && s.has("tape") {
        s.tell(
            "tape",
            "tape corrections apply only to an angle book",
            |f| {
                f.expected("a tape with kind = \"angle\"").advice(
                    "remove it. If only a part is taped, give that part its own [[survey.part]]",
                )
            },
        );
    }
}

fn doubts(s: &Section<'_, '_>) -> Doubts {
    Doubts {
        point_sd_m: s.quantity("point_sd", QuantityKind::Length, b::SD),
        setup_sd_m: s.quantity("setup_sd", QuantityKind::Length, b::SD),
        angle_sd_rad: s.quantity("angle_sd", QuantityKind::Angle, b::ANGLE_SD),
        index_sd_rad: s.quantity("index_sd", QuantityKind::Angle, b::ANGLE_SD),
        pressure_sd_pa: s.quantity("pressure_sd", QuantityKind::Pressure, b::PRESSURE),
    }
}

fn part(s: Section<'_, '_>) -> DeclaredPart {
    let part = DeclaredPart {
        files: files(&s),
        kind: s.choice("kind", w::SURVEY_KINDS),
        of: s.choice("of", crate::site::survey::SurveyedLine::WORDS),
        taped: s.choice("taped", crate::site::survey::Taped::WORDS),
        from: at(&s, "from"),
        to: at(&s, "to"),
        replaces: s.flag("replaces").unwrap_or(false),
        doubts: doubts(&s),
        booked: booked(&s),
        said: s.said(),
    };
    s.need(
        "files",
        "a list of files, such as [\"reach.csv\"]",
        "list the files of this part",
    );
    if part.replaces && (!s.has("from") || !s.has("to")) {
        s.tell("replaces", "a part that replaces needs from and to", |f| {
            f.expected("from and to of the section that it replaces")
                .advice("give its start and its end")
        });
    }
    no_tape(&s, part.kind);
    s.finish();
    part
}

fn tie(s: Section<'_, '_>) -> Option<DeclaredTie> {
    let at = need_at(&s, "at");
    s.need(
        "elevation",
        "a height with its unit",
        "write for example \"412.30 m\"",
    );
    let elevation_m = s.quantity("elevation", QuantityKind::Length, b::HEIGHT);
    let sd_m = s.quantity("sd", QuantityKind::Length, b::SD);
    s.finish();
    Some(DeclaredTie {
        at: at?,
        elevation_m: elevation_m?,
        sd_m,
    })
}

fn peg(s: Section<'_, '_>) -> Option<DeclaredPeg> {
    let at = need_at(&s, "at");
    s.need(
        "station",
        "a station with its unit",
        "write for example \"310 m\"",
    );
    let station_m = s.quantity("station", QuantityKind::Station, b::STATION);
    let sd_m = s.quantity("sd", QuantityKind::Length, b::SD);
    s.finish();
    Some(DeclaredPeg {
        at: at?,
        station: OnPegs(station_m?),
        sd_m,
    })
}
