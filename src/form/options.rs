use crate::reading::Method;
use crate::site::bounds as b;
use crate::site::bounds::Bounds;
use crate::site::read_at::{Meant, meant};
use crate::site::value::one_of;
use crate::site::{
    DeclaredEnd, DeclaredJet, DeclaredPlace, DeclaredSurvey, Located, Taped, Turbine, WaterWay,
    words as w,
};
use crate::site::{
    DeclaredIntake, DeclaredSituation, DeclaredWater, Limits, PipeRun, RegradeWish, Site,
};
use crate::text::{Fault, Faults, Place};
use crate::unit::{Misread, QuantityKind, Units, parse};

/// A site as options of the command line give it: what `check FILE... --pipe ... --jets ...` says.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct SiteOptions {
    /// Survey files, from where the user stands.
    pub files: Vec<String>,
    /// Title.
    pub title: Option<String>,
    /// How results are shown.
    pub units: Option<Units>,
    /// Kind of survey.
    pub kind: Option<String>,
    /// How the tape lay.
    pub taped: Option<String>,
    /// Which end comes first.
    pub from: Option<String>,
    /// The receiver takes its heights from the pressure of the air.
    pub barometer: bool,
    /// A log of the air's pressure that ran during the walk, as it is to stand in the text.
    pub pressure_log: Option<String>,
    /// The same of a logger that stood still.
    pub base_log: Option<String>,
    /// Pipes in order, each in words of the catalogue; all but the last with an end: "PE100 SDR17 110 to 330 m".
    pub pipes: Vec<String>,
    /// Jets: "4 x 9 mm", "9 mm", "2 x 9 mm, 1 x 8 mm".
    pub jets: Option<String>,
    /// Still water above the pipe's centre at its mouth.
    pub water_level: Option<String>,
}

/// The site that options declare. What is told of it later is told of the option that said it.
///
/// # Errors
/// Each option that cannot be used, as its own fault.
pub fn from_options(wish: &SiteOptions) -> Result<Site, Faults> {
    let mut faults = Vec::new();
    let site = Site {
        file: String::new(),
        title: wish.title.as_deref().and_then(said_title),
        units: wish.units,
        survey: survey(wish, &mut faults),
        situation: DeclaredSituation::default(),
        water: DeclaredWater::default(),
        intake: (wish.water_level.as_deref()).and_then(|level| kept(intake(level), &mut faults)),
        screen: None,
        grit: None,
        basin: None,
        pressure_test: None,
        record: None,
        corrosion: None,
        metals: Vec::new(),
        pipes: pipes(&wish.pipes, &mut faults),
        laid: Vec::new(),
        fittings: Vec::new(),
        marks: Vec::new(),
        turbine: (wish.jets.as_deref()).and_then(|jets| kept(turbine(jets), &mut faults)),
        draws: Vec::new(),
        cases: Vec::new(),
        stream: None,
        movements: Vec::new(),
        gauges: Vec::new(),
        gauge_books: Vec::new(),
        sheet: Vec::new(),
        prices: None,
        ground: Vec::new(),
        floods: Vec::new(),
        regrade: RegradeWish::default(),
        fixed: Vec::new(),
        limits: Limits::default(),
        misclosure: None,
    };
    if faults.is_empty() {
        Ok(site)
    } else {
        let units = wish.units.unwrap_or_default();
        Err(faults.into_iter().map(|f| units.fault(f)).collect())
    }
}

/// How the tape lay, as an option says it.
///
/// # Errors
/// The option's fault, with the words there are.
pub fn taped(option: &str, word: &str) -> Result<Taped, Fault> {
    one_of(&said(option, word), option, crate::site::Taped::WORDS)
}

/// What was read, or its fault among the others.
fn kept<T>(read: Result<T, Fault>, faults: &mut Vec<Fault>) -> Option<T> {
    read.map_err(|fault| faults.push(fault)).ok()
}

/// The words of an option, told as the user wrote them.
fn said(option: &str, words: &str) -> Located<String> {
    Located {
        value: words.trim().to_owned(),
        place: Place::default().key(option),
        source_line: format!("{option} \"{words}\""),
    }
}

/// A title that says something.
fn said_title(title: &str) -> Option<String> {
    let title = title.trim();
    (!title.is_empty()).then(|| title.to_owned())
}

fn survey(wish: &SiteOptions, faults: &mut Vec<Fault>) -> DeclaredSurvey {
    let nowhere = |value: &str| Located {
        value: value.to_owned(),
        place: Place::default(),
        source_line: String::new(),
    };
    let files: Vec<Located<String>> = wish.files.iter().map(|f| nowhere(f)).collect();
    for (i, file) in files.iter().enumerate() {
        if files.iter().take(i).any(|f| f.value == file.value) {
            faults.push(
                file.fault("this file is given twice")
                    .found(&file.value)
                    .expected("each file once")
                    .advice("several passes are several files or several tracks in one file"),
            );
        }
    }
    let most = b::most_of("files");
    if files.is_empty() || files.len() > most {
        faults.push(
            Fault::new(
                Place::default(),
                "this number of survey files cannot be read",
            )
            .found(format!("{} files", files.len()))
            .expected(format!("from 1 to {most} files"))
            .advice("give the files of the survey: passes along the same pipeline"),
        );
    }
    let mut word = |option: &str, words: &Option<String>| {
        words
            .as_deref()
            .map(|words| said(option, words))
            .filter(|said| {
                let some = !said.value.is_empty();
                if !some {
                    faults.push(
                        said.fault("this option has no value")
                            .advice("give a value, or remove the option"),
                    );
                }
                some
            })
    };
    let (kind, taped, from) = (
        word("--kind", &wish.kind),
        word("--taped", &wish.taped),
        word("--from", &wish.from),
    );
    let (pressure_log, base_log) = (
        word("--pressure-log", &wish.pressure_log),
        word("--base-log", &wish.base_log),
    );
    let kind: Option<Method> =
        kind.and_then(|k| kept(one_of(&k, "--kind", w::SURVEY_KINDS), faults));
    let lay: Option<Taped> = (taped.as_ref())
        .and_then(|t| kept(one_of(t, "--taped", crate::site::Taped::WORDS), faults));
    let from: Option<DeclaredEnd> = from.and_then(|f| {
        kept(
            one_of(&f, "--from", crate::site::DeclaredEnd::WORDS),
            faults,
        )
    });
    if let (Some(Method::Gpx), Some(taped)) = (kind, &taped) {
        faults.push(
            taped
                .fault("a GPS track is not taped")
                .found(&taped.value)
                .expected("no --taped beside a walk")
                .advice("remove it"),
        );
    }
    DeclaredSurvey {
        kind,
        from,
        taped: lay,
        barometer: wish.barometer.then_some(true),
        pressure_log,
        base_log,
        ..DeclaredSurvey::of_files(files)
    }
}

fn intake(words: &str) -> Result<DeclaredIntake, Fault> {
    let level = said("--water-level", words);
    let level_m = quantity(&level, &level.value, QuantityKind::Length, b::OFFSET)?;
    if level_m < 0.0 {
        return Err(level
            .fault("the water level is below the pipe inlet")
            .found(words)
            .expected("a level that is not negative")
            .advice("measure the level upwards from the pipe centre at the inlet; a siphon needs a site file"));
    }
    Ok(DeclaredIntake {
        water_level_m: Some(level_m),
        ..DeclaredIntake::default()
    })
}

/// A quantity in an option's words, in SI.
fn quantity(
    of: &Located<String>,
    words: &str,
    kind: QuantityKind,
    bounds: Bounds,
) -> Result<f64, Fault> {
    let misread = |m: Misread| m.at(of.place.clone()).source_line(&of.source_line);
    let si = parse(kind, words).map_err(misread)?;
    if bounds.hold(si) {
        return Ok(si);
    }
    Err(of
        .fault(format!("{} must be {bounds}", kind.noun()))
        .found(words)
        .expected(bounds.to_string())
        .advice("check the value and its unit"))
}

fn pipes(all: &[String], faults: &mut Vec<Fault>) -> Vec<PipeRun> {
    let most = b::most_of("pipe");
    if let Some(beyond) = all.get(most) {
        faults.push(
            said("--pipe", beyond)
                .fault("too many pipes")
                .found(all.len().to_string())
                .expected(format!("at most {most}"))
                .advice("combine sections of the same pipe"),
        );
    }
    all.iter()
        .take(most)
        .enumerate()
        .filter_map(|(i, words)| kept(pipe(words, i + 1 == all.len()), faults))
        .collect()
}

/// "PE100 SDR17 110 to 330 m".
fn pipe(words: &str, is_last: bool) -> Result<PipeRun, Fault> {
    let whole = said("--pipe", words);
    let (spec, end) = match whole.value.rsplit_once(" to ") {
        Some((spec, end)) => (spec.trim(), Some(end.trim())),
        None => (whole.value.as_str(), None),
    };
    let fault = |text: &str| {
        whole
            .fault(text)
            .found(words)
            .expected("words of the catalogue, with \"to\" and a station if another pipe follows")
            .advice(
                "write for example --pipe \"PE100 SDR17 110 to 330 m\" --pipe \"PE100 SDR11 110\"",
            )
    };
    if spec.is_empty() {
        return Err(fault("no pipe is given"));
    }
    if end.is_none() && !is_last {
        return Err(fault(
            "another pipe follows, so this pipe needs its lower end",
        ));
    }
    let to = match end {
        Some(end) => Some(whole.clone().map(|_| ()).with(place(&whole, end)?)),
        None => None,
    };
    Ok(PipeRun::of_spec(whole.clone().with(spec.to_owned()), to))
}

/// Where a pipe ends: a station, a name, or a position.
fn place(of: &Located<String>, words: &str) -> Result<DeclaredPlace, Fault> {
    match meant(words) {
        Meant::Place(at) => Ok(at),
        Meant::OffEarth => Err(of
            .fault("this is not a position on the earth")
            .found(words)
            .expected("\"lat, lon\": latitude from -90 to 90, then longitude from -180 to 180")
            .advice("write the latitude first")),
        Meant::Station => quantity(of, words, QuantityKind::Station, b::STATION)
            .map(|m| DeclaredPlace::Station(crate::unit::OnPegs(m))),
    }
}

/// "4 x 9 mm"; several groups, with a comma between them, in the order of the jets.
fn turbine(words: &str) -> Result<Turbine, Fault> {
    let whole = said("--jets", words);
    let miscounted = || {
        whole
            .fault("not a number of nozzles")
            .found(words)
            .expected(format!(
                "a number from 1 to {}, then x and the nozzle diameter",
                b::MOST_JETS
            ))
            .advice("write for example --jets \"4 x 9 mm\"")
    };
    let mut jets = Vec::new();
    for group in whole.value.split(',').map(str::trim) {
        let (count, size) = match group.split_once(['x', 'X', '\u{d7}', '*']) {
            Some((count, size)) => (count.trim(), size.trim()),
            None => ("1", group),
        };
        let count = crate::text::whole_number(count)
            .ok()
            .and_then(|n| usize::try_from(n).ok())
            .filter(|n| (1..=b::MOST_JETS).contains(&(n + jets.len())) && *n > 0)
            .ok_or_else(miscounted)?;
        let nozzle_diameter_m = quantity(&whole, size, QuantityKind::Length, b::DIAMETER)?;
        for _ in 0..count {
            jets.push(DeclaredJet {
                name: (jets.len() + 1).to_string(),
                nozzle_diameter_m,
                open: None,
                discharge_coefficient: None,
                velocity_coefficient: None,
            });
        }
    }
    Ok(Turbine {
        way: WaterWay::Jets(jets),
        nozzle_height_m: None,
        water_to_wire: None,
        machine: crate::pipe::Machine::Jets,
        runaway: crate::site::DeclaredRunaway::default(),
        said: whole.map(|_| ()),
    })
}

#[cfg(test)]
#[path = "options_tests.rs"]
mod tests;
