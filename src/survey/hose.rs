//! Heights by a pressure gauge along a filled hose.
//!
//! The hose is full, bled of air and still; its upper end stands open or shut at one level all the while. The gauge then reads the head of that level above itself.

use super::level_sheet::TAPED_SHARE;
use super::table::{FieldTable, TEMPERATURES};
use crate::numeric::math;
use crate::reading::{Book, BookPoint, Data, Method, ReadOptions, Reading};
use crate::text::{Fault, Place, Remark, Row, Sheet};
use crate::unit::exact::PSI_PA;
use crate::unit::physics::water;

/// Standard deviation of a gauge where none is given, as a share of the largest reading (a class 1 gauge used up to its end of scale, its limit taken as two standard deviations).
const GAUGE_SD_SHARE: f64 = 0.005;
/// Temperature of the water where nothing is said, C.
const WATER_C: f64 = 10.0;
/// Standard deviation of that temperature, C: density follows, the same all along.
const WATER_SD_C: f64 = 5.0;
/// Standard deviation of a point's own height, m: the dial above the ground, the mark.
const POINT_SD_M: f64 = 0.02;

/// Height of the open level where no height is known, m: a local datum.
const LOCAL_DATUM_M: f64 = 100.0;

/// Water at rest between a gauge and an open level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StandingWater {
    /// Gauge pressure, Pa.
    pub pressure_pa: f64,
    /// Temperature of the water, C (0 to 40).
    pub water_c: f64,
    /// Gravity, m/s2.
    pub gravity_m_per_s2: f64,
}

impl StandingWater {
    /// Head of water above the gauge, m: p / (rho g), with the density at the stated temperature and the air's pressure.
    pub fn head_m(&self) -> f64 {
        self.pressure_pa / (water(self.water_c).density_kg_per_m3 * self.gravity_m_per_s2)
    }
}

/// Reads gauge readings along a filled hose.
pub(super) fn read(sheet: &Sheet, options: &ReadOptions) -> Result<Reading, Fault> {
    let table = FieldTable::new(sheet);
    let (pressure, unit) = pressure_column(&table)?;
    let Some(station) = table.length("station")? else {
        return Err(sheet
            .heads_fault("the gauge readings have no column station_m")
            .expected("station_m, pressure_psi (or _kpa, _bar, _m), gauge_height_m")
            .advice("give the station of each reading"));
    };
    let height = table.length("gauge_height")?;
    let name = sheet.column_of(&["point", "name"]);
    let known = table.length("elevation")?;
    let temperature = table.measured("water", &TEMPERATURES)?;
    let mut taken: Vec<HoseReading> = Vec::new();
    for row in &sheet.rows {
        let Some(value) = sheet.number(row, pressure)? else {
            continue;
        };
        let told_c = table.within(
            row,
            temperature,
            0.0..=40.0,
            "the water temperature in a hose, 0 C to 40 C",
        )?;
        let water_c = told_c.or(options.water_c).unwrap_or(WATER_C);
        let gravity = options.gravity_m_per_s2;
        let standing = |pressure_pa: f64| StandingWater {
            pressure_pa,
            water_c,
            gravity_m_per_s2: gravity,
        };
        let pressure_pa = match unit {
            HoseUnit::Pascals(scale) => value * scale,
            // Metres of water on a dial are of water at 4 C and standard gravity.
            HoseUnit::Head => value * 9_806.65,
        };
        if !(-1e5..=5e7).contains(&pressure_pa) {
            return Err(sheet
                .fault(row, pressure, "this pressure is not possible")
                .expected("-1 to 500 bar")
                .advice("check that the reading is in the unit of the column head"));
        }
        let Some(at) = table.station(row, Some(station))? else {
            return Err(sheet
                .fault(
                    row,
                    sheet.column_of(&["station_m", "station_ft"]).unwrap_or(0),
                    "this reading has no station",
                )
                .expected("the distance along the route")
                .advice("add the station"));
        };
        taken.push(HoseReading {
            station_m: at,
            head_m: standing(pressure_pa).head_m(),
            per_pa_m: standing(1.0).head_m(),
            pressure_pa,
            dial_m: table.metres(row, height)?.unwrap_or(0.0),
            known_m: table.metres(row, known)?,
            warmed_share: (water(water_c).density_kg_per_m3
                - water((water_c + WATER_SD_C).min(40.0)).density_kg_per_m3)
                / water(water_c).density_kg_per_m3,
            is_warmth_told: told_c.or(options.water_c).is_some(),
            name: table.words(row, name),
            place: place(sheet, row),
        });
    }
    if taken.len() < 2 {
        return Err(sheet
            .heads_fault("fewer than two gauge readings")
            .expected("a reading at two stations or more")
            .advice("write one reading in each row"));
    }
    Ok(reading(sheet, &taken, height.is_none(), options))
}

/// A reading brought to SI.
struct HoseReading {
    station_m: f64,
    head_m: f64,
    per_pa_m: f64,
    pressure_pa: f64,
    dial_m: f64,
    known_m: Option<f64>,
    warmed_share: f64,
    is_warmth_told: bool,
    name: String,
    place: Place,
}

fn reading(
    sheet: &Sheet,
    taken: &[HoseReading],
    on_the_ground: bool,
    options: &ReadOptions,
) -> Reading {
    let largest = taken
        .iter()
        .map(|t| t.pressure_pa.abs())
        .fold(0.0, f64::max);
    let sd_pa = options.pressure_sd_pa.unwrap_or(GAUGE_SD_SHARE * largest);
    // Heights count down from the level of the open end; a known height moves them all.
    let tie = taken
        .iter()
        .find_map(|t| t.known_m.map(|k| k + t.head_m + t.dial_m));
    let level = tie.unwrap_or(LOCAL_DATUM_M);
    let point_sd = options.point_sd_m.unwrap_or(POINT_SD_M);
    let points = taken
        .iter()
        .map(|t| BookPoint {
            station_m: Some(t.station_m),
            height_m: Some(level - t.head_m - t.dial_m),
            sd_m: math::hypot(point_sd, sd_pa * t.per_pa_m),
            position: None,
            name: t.name.clone(),
            place: t.place.clone(),
        })
        .collect();
    // The water's warmth is one for all: its error grows with the head.
    let warmth: Vec<f64> = taken
        .iter()
        .map(|t| {
            let share = if t.is_warmth_told { 0.2 } else { 1.0 };
            t.head_m * t.warmed_share * share
        })
        .collect();
    let mut remarks = sheet.remarks.clone();
    let mut say = |text: &str| remarks.push(Remark::new(Place::file(&sheet.file), text));
    if on_the_ground {
        say(
            "there is no column gauge_height_m. The program assumes a gauge height of 0 above the route",
        );
    }
    if !taken.iter().all(|t| t.is_warmth_told) {
        say(if options.feet {
            "the water temperature is not given. The program assumes 50 F +- 9"
        } else {
            "the water temperature is not given. The program assumes 10 C +- 5"
        });
    }
    if options.pressure_sd_pa.is_none() {
        say(
            "the uncertainty of the gauge is not given. The program assumes a standard uncertainty of 0.5 % of the largest reading (a class 1 gauge with this range)",
        );
    }
    Reading {
        method: Method::Gauge,
        file: sheet.file.clone(),
        source: Default::default(),
        points_read: taken.len(),
        data: Data::Book(Book {
            points,
            factors: vec![warmth],
            along_slope: options.along_slope,
            station_sd_share: TAPED_SHARE,
            misclosure: None,
            tied: tie.is_some(),
            setups: 0,
        }),
        places: Vec::new(),
        remarks,
    }
}

#[derive(Clone, Copy)]
enum HoseUnit {
    Pascals(f64),
    Head,
}

fn pressure_column(table: &FieldTable<'_>) -> Result<(usize, HoseUnit), Fault> {
    let mut found = None;
    for (head, unit) in [
        ("pressure_psi", HoseUnit::Pascals(PSI_PA)),
        ("pressure_kpa", HoseUnit::Pascals(1e3)),
        ("pressure_bar", HoseUnit::Pascals(1e5)),
        ("pressure_m", HoseUnit::Head),
    ] {
        if let Some(column) = table.plain(head) {
            if found.is_some() {
                return Err(table
                    .sheet
                    .head_fault(column, "the pressure is given in two units")
                    .expected("one pressure column")
                    .advice("remove one of the two columns"));
            }
            found = Some((column, unit));
        }
    }
    found.ok_or_else(|| {
        table
            .sheet
            .heads_fault("the gauge readings have no pressure column")
            .expected("pressure_psi, pressure_kpa, pressure_bar or pressure_m")
            .advice("write the unit of the gauge in the column head")
    })
}

fn place(sheet: &Sheet, row: &Row) -> Place {
    FieldTable::new(sheet).point_place(row, &["station_m", "station_ft"])
}
