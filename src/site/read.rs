use super::Located;
use super::diagnostics::Diagnostics;
use super::read_at::date;
use super::section::Section;
use super::whole::{
    DeclaredIntake, DeclaredSituation, DeclaredStream, DeclaredWater, Limits, RegradeWish,
};
use super::{
    Site, bounds as b, read_booked, read_parts, read_pipe, read_run, read_state, read_survey,
    read_works, rules,
};
use crate::reading::LevellingOrder;
use crate::text::{Faults, FileExpectation, decode, read_bytes};
use crate::unit::QuantityKind;
use std::path::Path;
use toml::de::DeTable;

/// Reads a site file's text. Every fault that could be told is in the list, in the order of the file.
pub fn read_text(file: &str, text: &str) -> Result<Site, Faults> {
    let paper = Diagnostics::new(file, text);
    let Some(table) = parse(&paper, text) else {
        return Err(paper.faults().into());
    };
    let site = site(&paper, file, table.get_ref());
    // Stations are told in the unit that the file asks for.
    let units = site.as_ref().and_then(|s| s.units).unwrap_or_default();
    finish(paper, site).map_err(|faults| faults.into_iter().map(|f| units.fault(f)).collect())
}

/// Everything the reader asks for: it is run on an empty paper and listened to.
pub(crate) fn heard() -> Vec<super::key::Heard> {
    let paper = Diagnostics::listening();
    site(&paper, "", &DeTable::new());
    paper.heard()
}

/// What a site file must be. The largest is some hundred pages of text: what is larger is another kind of file.
const WANTED: FileExpectation<'_> = FileExpectation {
    what: "a site file in TOML",
    largest_bytes: 1_000_000,
    advice: "check the name and the folder; `steadyfall new` writes a new site file",
};

/// Reads a site file.
pub fn read_file(path: &Path) -> Result<Site, Faults> {
    let file = path.display().to_string();
    let bytes = read_bytes(path, &WANTED)?;
    read_bytes_of(&file, &bytes)
}

/// Reads a site file from its bytes.
pub fn read_bytes_of(file: &str, bytes: &[u8]) -> Result<Site, Faults> {
    read_text(file, &decode(file, bytes)?.text)
}

/// Reads only the `[survey]` of a file: a new survey of the same pipe. What else stands in it must be right but is not used.
pub fn read_survey_file(path: &Path) -> Result<super::DeclaredSurvey, Faults> {
    read_file(path).map(|site| site.survey)
}

fn finish<T>(paper: Diagnostics<'_>, read: Option<T>) -> Result<T, Faults> {
    let faults = paper.faults();
    match read {
        Some(value) if faults.is_empty() => Ok(value),
        _ => Err(faults.into()),
    }
}

/// The text as TOML; its faults are told as they stand.
fn parse<'t>(paper: &Diagnostics<'_>, text: &'t str) -> Option<toml::Spanned<DeTable<'t>>> {
    if !paper.lines_fit() {
        return None;
    }
    let (table, errors) = DeTable::parse_recoverable(text);
    if errors.is_empty() {
        return Some(table);
    }
    for error in errors.iter().take(5) {
        let byte = error.span().map_or(0, |s| s.start);
        let message = error.message();
        let advice = if message.contains("duplicate key") {
            "keep one of the two; write a table that occurs several times as [[name]]"
        } else if message.contains("must be quoted") {
            "put texts and quantities in quotes: to = \"90 m\""
        } else {
            "write key = value lines under [table] heads, with texts and quantities in quotes"
        };
        let fault = paper
            .fault_at(byte, "", format!("this is not TOML: {message}"))
            .expected("TOML 1.0 or 1.1")
            .advice(advice);
        paper.tell(byte, fault);
    }
    None
}

/// A table that names a file and nothing else.
fn a_file(s: Section<'_, '_>, what: &str) -> Option<Located<String>> {
    let file = s.text("file");
    s.need("file", what, "name it, from the folder of this file");
    s.finish();
    file
}

fn site<'t>(paper: &Diagnostics<'_>, file: &str, table: &'t DeTable<'t>) -> Option<Site> {
    let top = Section::top(paper, table);
    if let Some(format) = top.number(
        "format",
        b::Bounds::from_to(1.0, 1e6, "a whole number from 1"),
    ) && format != 1.0
    {
        top.tell("format", "this format of site file is not known", |f| {
            f.expected("format = 1")
                .advice("use a newer version of this program, or write the file for format 1")
        });
    }
    let title = top.text("title").map(|t| t.value);
    let units = top
        .word("units", crate::unit::Units::WORDS)
        .map(|u| u.value);
    let survey = top.table("survey").map(read_survey::survey);
    let situation = top.table("site").map(situation).unwrap_or_default();
    let water = top.table("water").map(water).unwrap_or_default();
    let intake = top.table("intake").map(intake);
    let screen = top.table("screen").and_then(read_works::screen);
    let grit = top.table("grit").and_then(read_works::grit);
    let basin = top.table("basin").and_then(read_works::basin);
    let pressure_test = top
        .table("pressure_test")
        .and_then(read_works::pressure_test);
    let record = top.table("record").map(read_works::record);
    let corrosion = top.table("corrosion").map(read_works::corrosion);
    let metals = top.each("metal", read_works::metal);
    let pipes = top.each("pipe", |s| Some(read_pipe::pipe(s)));
    let laid = top.each("laid", read_parts::laid);
    let fittings: Vec<_> = top.each("fitting", read_parts::fitting);
    let marks: Vec<_> = top.each("mark", read_parts::mark);
    let turbine = read_run::turbine(&top);
    let draws = top.each("draw", read_parts::draw);
    let jets = turbine.as_ref();
    let cases: Vec<_> = top.each("case", |s| read_run::case(s, jets));
    let stream = top.table("stream").and_then(stream);
    let movements = top.each("movement", |s| {
        read_state::movement(s, &fittings, jets, &cases)
    });
    let gauges = top.each("gauge", |s| read_state::gauge(s, jets, &cases));
    let gauge_books = top.each("gauge_book", |s| a_file(s, "the sheet of the readings"));
    let ground = top.each("ground", read_parts::ground);
    let floods = top.each("flood", read_parts::flood);
    let regrade = top.table("regrade").map(regrade).unwrap_or_default();
    let fixed = top.each("fixed", |s| {
        let reach = read_parts::reach(&s);
        s.finish();
        reach
    });
    let (limits, misclosure) = top.table("limits").map(limits).unwrap_or_default();
    let prices = top
        .table("prices")
        .and_then(|s| a_file(s, "the price list"));
    let sheet = top.table("sheet").map(sheet).unwrap_or_default();
    if !top.has("survey") {
        let fault = paper
            .fault_at(0, "survey", "the file has no survey")
            .expected("[survey] with files = [\"walk.gpx\"]")
            .advice("list the survey files, with paths from the folder of this file");
        paper.tell(0, fault);
    }
    top.finish();
    let site = Site {
        file: file.to_owned(),
        title,
        units,
        survey: survey?,
        situation,
        water,
        intake,
        screen,
        grit,
        basin,
        pressure_test,
        record,
        corrosion,
        metals,
        pipes,
        laid,
        fittings,
        marks,
        turbine,
        draws,
        cases,
        stream,
        movements,
        gauges,
        gauge_books,
        sheet,
        prices,
        ground,
        floods,
        regrade,
        fixed,
        limits,
        misclosure,
    };
    rules::check(paper, &site);
    Some(site)
}

fn situation(s: Section<'_, '_>) -> DeclaredSituation {
    let situation = DeclaredSituation {
        latitude_deg: s.number("latitude", b::LATITUDE),
        altitude_m: s.quantity("altitude", QuantityKind::Length, b::ALTITUDE),
        hottest_air_c: s.quantity("hottest_air", QuantityKind::Temperature, b::AIR_TEMPERATURE),
        coldest_air_c: s.quantity("coldest_air", QuantityKind::Temperature, b::AIR_TEMPERATURE),
        sun: s.flag("sun"),
        frost_depth_m: s.quantity("frost_depth", QuantityKind::Length, b::FROST),
    };
    if let (Some(hot), Some(cold)) = (situation.hottest_air_c, situation.coldest_air_c)
        && cold > hot
    {
        s.tell(
            "coldest_air",
            "the coldest air is warmer than the hottest",
            |f| {
                f.expected("at most hottest_air")
                    .advice("check the two values")
            },
        );
    }
    s.finish();
    situation
}

fn sheet(s: Section<'_, '_>) -> Vec<(&'static str, String)> {
    let text = |key| s.text(key).map(|t| t.value);
    let all = [
        ("client", text("client")),
        ("drawing", text("number")),
        ("revision", text("revision")),
        ("date", date(&s, "date").map(|d| d.to_string())),
        ("drawn", text("drawn_by")),
        ("checked", text("checked_by")),
    ];
    s.finish();
    let given = all.into_iter();
    given
        .filter_map(|(head, text)| Some((head, text?)))
        .collect()
}

fn water(s: Section<'_, '_>) -> DeclaredWater {
    let water = DeclaredWater {
        temperature_c: s.quantity(
            "temperature",
            QuantityKind::Temperature,
            b::WATER_TEMPERATURE,
        ),
        coldest_c: s.quantity("coldest", QuantityKind::Temperature, b::WATER_TEMPERATURE),
        warmest_c: s.quantity("warmest", QuantityKind::Temperature, b::WATER_TEMPERATURE),
    };
    let out_of_order =
        |low: Option<f64>, high: Option<f64>| low.zip(high).is_some_and(|(l, h)| l > h);
    if out_of_order(water.coldest_c, water.warmest_c) {
        s.tell(
            "coldest",
            "the coldest water is warmer than the warmest",
            |f| f.expected("at most warmest").advice("check the two values"),
        );
    } else if out_of_order(water.coldest_c, water.temperature_c)
        || out_of_order(water.temperature_c, water.warmest_c)
    {
        s.tell(
            "temperature",
            "the normal temperature is not between coldest and warmest",
            |f| {
                f.expected("between coldest and warmest")
                    .advice("check the three temperatures")
            },
        );
    }
    s.finish();
    water
}

fn intake(s: Section<'_, '_>) -> DeclaredIntake {
    let intake = DeclaredIntake {
        water_level_m: s.quantity("water_level", QuantityKind::Length, b::OFFSET),
        low_level_m: s.quantity("low_level", QuantityKind::Length, b::OFFSET),
        flood_level_m: s.quantity("flood_level", QuantityKind::Length, b::OFFSET),
        entrance: s.choice("entrance", crate::pipe::Entrance::WORDS),
        entrance_k: s.number("entrance_k", b::LOSS),
        kind: s.choice("kind", crate::pipe::IntakeKind::WORDS),
        screen_k: s.number("screen_k", b::LOSS),
    };
    if intake.entrance_k.is_some() && intake.entrance.is_some() {
        s.tell(
            "entrance_k",
            "entrance and entrance_k both give the inlet loss",
            |f| f.expected("one of the two").advice("remove one of them"),
        );
    }
    let above = |low: Option<f64>, high: Option<f64>| low.zip(high).is_some_and(|(l, h)| l > h);
    let usual = intake.water_level_m;
    if above(intake.low_level_m, usual) || above(intake.low_level_m, intake.flood_level_m) {
        s.tell(
            "low_level",
            "the low level is above the normal or the flood level",
            |f| {
                f.expected("at most water_level")
                    .advice("measure all three from the pipe centre at the inlet")
            },
        );
    } else if above(usual, intake.flood_level_m) {
        s.tell(
            "flood_level",
            "the flood level is below the normal level",
            |f| {
                f.expected("at least water_level")
                    .advice("measure all three from the pipe centre at the inlet")
            },
        );
    }
    if intake.kind != Some(crate::pipe::IntakeKind::Siphon) {
        for (key, level) in [("water_level", usual), ("low_level", intake.low_level_m)] {
            if level.is_some_and(|l| l < 0.0) {
                s.tell(key, "the water level is below the pipe inlet", |f| {
                    f.expected("a level of zero or more, or kind = \"siphon\"")
                        .advice("measure levels up from the pipe centre at the inlet")
                });
            }
        }
    }
    s.finish();
    intake
}

fn stream(s: Section<'_, '_>) -> Option<DeclaredStream> {
    let flow = s.quantity("flow", QuantityKind::Flow, b::FLOW_OR_NONE);
    let listed = s.list("months");
    let months: Vec<f64> = listed
        .iter()
        .filter_map(|v| s.as_quantity("months", v, QuantityKind::Flow, b::FLOW_OR_NONE))
        .collect();
    let leave_m3_per_s = s.quantity("leave", QuantityKind::Flow, b::FLOW_OR_NONE);
    if s.has("months") && listed.len() != 12 {
        s.tell("months", "months does not have twelve values", |f| {
            f.found(format!("{} flows", listed.len()))
                .expected("twelve flows, from January")
                .advice("write one flow for each month")
        });
    }
    if s.has("flow") && s.has("months") {
        s.tell("months", "flow and months both give the stream flow", |f| {
            f.expected("one of the two").advice("remove one of them")
        });
    }
    let files: Vec<_> = s.text("file").into_iter().chain(s.texts("files")).collect();
    if s.has("file") && s.has("files") {
        s.tell("files", "file and files both name the measurements", |f| {
            f.expected("one of the two")
                .advice("write all names in files")
        });
    }
    if !["flow", "months", "file", "files"].iter().any(|k| s.has(k)) {
        s.missing(
            "flow",
            "flow = \"14 L/s\", or months = [twelve flows], or files = [\"bucket.csv\"]",
            "give the stream flow or the sheets of its measurements, or remove [stream]",
        );
    }
    s.finish();
    let flow_m3_per_s = flow.map_or(months, |f| vec![f]);
    (!flow_m3_per_s.is_empty() || !files.is_empty()).then_some(DeclaredStream {
        flow_m3_per_s,
        leave_m3_per_s,
        files,
    })
}

fn regrade(s: Section<'_, '_>) -> RegradeWish {
    let usual = RegradeWish::default();
    let grade = s.quantity("least_grade", QuantityKind::Grade, b::GRADE);
    let regrade = RegradeWish {
        least_grade: grade.unwrap_or(usual.least_grade),
        dig_price: s.number("dig_price", b::PRICE).unwrap_or(usual.dig_price),
        prop_price: s.number("prop_price", b::PRICE).unwrap_or(usual.prop_price),
        deepest_m: s.quantity("deepest", QuantityKind::Length, b::SMALL_LENGTH),
        highest_m: s.quantity("highest", QuantityKind::Length, b::SMALL_LENGTH),
    };
    s.finish();
    regrade
}

fn limits(s: Section<'_, '_>) -> (Limits, Option<LevellingOrder>) {
    let usual = Limits::default();
    let speed = |key| s.quantity(key, QuantityKind::Speed, b::SPEED);
    let limits = Limits {
        suction_m: s.quantity("suction", QuantityKind::Head, b::SUCTION),
        velocity_m_per_s: speed("velocity").unwrap_or(usual.velocity_m_per_s),
        fill_speed_m_per_s: speed("fill_speed").unwrap_or(usual.fill_speed_m_per_s),
    };
    let misclosure = read_booked::order(&s);
    s.finish();
    (limits, misclosure)
}
