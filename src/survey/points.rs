use super::level_sheet::TAPED_SHARE;
use super::share::{self, PointAlong};
use super::table::{FieldTable, LengthColumn};
use crate::numeric::math;
use crate::reading::{Book, BookPoint, Data, Method, NamedPlace, Position, ReadOptions, Reading};
use crate::text::{Fault, Place, Remark, Row, Sheet};

/// Standard deviation of a height in a sheet by stations, where the sheet gives none, m: levelled work on rough ground.
const STATIONED_SD_M: f64 = 0.02;
/// The same in a sheet by east and north, m: an instrument's work, the staff on rough ground.
const GRID_SD_M: f64 = 0.05;
/// The same in a sheet by latitude and longitude, m: such heights come from a hand receiver as a rule.
const GEOGRAPHIC_SD_M: f64 = 1.5;
/// Heights on land that a pipe can have, m.
const HEIGHTS_M: std::ops::RangeInclusive<f64> = -500.0..=9000.0;

/// Reads a plain sheet of points.
pub(super) fn read(sheet: &Sheet, options: &ReadOptions) -> Result<Reading, Fault> {
    let table = FieldTable::new(sheet);
    let columns = PointColumns::find(&table)?;
    let default_sd = match columns.where_ {
        Where::Geographic(..) => GEOGRAPHIC_SD_M,
        Where::Grid(..) => GRID_SD_M,
        Where::Station => STATIONED_SD_M,
    };
    let mut points: Vec<BookPoint> = Vec::new();
    let mut places = Vec::new();
    let mut remarks = sheet.remarks.clone();
    let mut all_have_sd = true;
    for row in &sheet.rows {
        let sd = table.metres(row, columns.sd)?;
        if let (Some(sd), Some(column)) = (sd, sheet.column_of(&["sd_m", "sd_ft"]))
            && sd < 0.0
        {
            return Err(sheet
                .fault(row, column, "this standard deviation is negative")
                .expected("0 or more")
                .advice("if it is not known, keep the cell empty"));
        }
        let point = BookPoint {
            station_m: table.station(row, columns.station)?,
            height_m: table.metres(row, columns.height)?,
            sd_m: options.point_sd_m.or(sd).unwrap_or(default_sd),
            position: columns.position(&table, row)?,
            name: table.words(row, columns.name),
            place: table.point_place(
                row,
                &[
                    "station_m",
                    "station_ft",
                    "lat",
                    "latitude",
                    "east_m",
                    "east_ft",
                ],
            ),
        };
        if let (Some(height), Some(column)) = (point.height_m, columns.height_index(sheet))
            && !HEIGHTS_M.contains(&height)
        {
            return Err(sheet
                    .fault(row, column, "this height is not possible for ground")
                    .expected("a height between the lowest and the highest ground on earth")
                    .advice("if there is no measurement, keep the cell empty. Check if columns are exchanged"));
        }
        match (point.station_m, point.position, point.height_m) {
            (None, Some(Position::Geographic { lat_deg, lon_deg }), None)
                if !point.name.is_empty() =>
            {
                places.push(NamedPlace {
                    name: point.name,
                    lat_deg,
                    lon_deg,
                    elevation_m: None,
                    place: point.place,
                });
            }
            (None, None, _) => {
                return Err(columns.nowhere(&table, row));
            }
            _ => {
                all_have_sd &=
                    sd.is_some() || options.point_sd_m.is_some() || point.height_m.is_none();
                points.push(point);
            }
        }
    }
    if points.iter().filter(|p| p.height_m.is_some()).count() < 2 {
        return Err(sheet
            .heads_fault("fewer than two points have a height")
            .expected("a height for two or more points")
            .advice("add height_m"));
    }
    remarks.extend(without_height(&points));
    let same = drop_same(sheet, &table, &mut points)?;
    remarks.extend(same);
    let by_receiver = matches!(columns.where_, Where::Geographic(..));
    let along = along(&points);
    let factors = share::split(&mut points, &along, by_receiver);
    if !all_have_sd {
        remarks.push(Remark::new(
            Place::file(&sheet.file),
            match columns.where_ {
                Where::Geographic(..) => "the sheet gives no uncertainty of its heights. The points have latitude and longitude, so the program assumes the uncertainty of a hand receiver",
                _ => "the sheet gives no uncertainty of its heights. The program assumes the uncertainty of a level on rough ground",
            },
        ));
    }
    Ok(Reading {
        method: Method::Points,
        file: sheet.file.clone(),
        source: Default::default(),
        points_read: sheet.rows.len(),
        data: Data::Book(Book {
            points,
            factors,
            along_slope: options.along_slope,
            station_sd_share: TAPED_SHARE,
            misclosure: None,
            tied: true,
            setups: 0,
        }),
        places,
        remarks,
    })
}

/// Where the points with a height stand along their line: by their stations, else by the distances between their positions.
fn along(points: &[BookPoint]) -> Vec<Option<PointAlong>> {
    const METRES_OF_DEGREE: f64 = 111_195.0;
    let stations = || points.iter().filter_map(|p| p.station_m);
    let by_station = points
        .iter()
        .all(|p| p.station_m.is_some() || p.height_m.is_none());
    let falling = stations().next() > stations().next_back();
    let (mut m, mut before) = (0.0, None);
    points
        .iter()
        .map(|p| {
            let height_m = p.height_m?;
            if let Some(position) = p.position {
                let (x, y) = match position {
                    Position::Grid { east_m, north_m } => (east_m, north_m),
                    Position::Geographic { lat_deg, lon_deg } => (
                        lon_deg * METRES_OF_DEGREE * math::cos(lat_deg.to_radians()),
                        lat_deg * METRES_OF_DEGREE,
                    ),
                };
                let (x0, y0) = before.replace((x, y)).unwrap_or((x, y));
                m += math::hypot(x - x0, y - y0);
            }
            let station = p.station_m.filter(|_| by_station);
            Some(PointAlong {
                m: station.map_or(m, |s| if falling { -s } else { s }),
                height_m,
                sd_m: p.sd_m,
            })
        })
        .collect()
}

/// Points that have a station but no height are no points of the line: told once, so that a forgotten figure is seen.
fn without_height(points: &[BookPoint]) -> Option<Remark> {
    let mut lacking = points.iter().filter(|p| p.height_m.is_none());
    let first = lacking.next()?;
    let others = match lacking.count() {
        0 => String::new(),
        n => format!(". {n} more points also have no height"),
    };
    Some(Remark::new(
        first.place.clone(),
        format!("this point has no height and is not used for the route{others}"),
    ))
}

/// One point booked twice is one point; two heights on one station are refused.
fn drop_same(
    sheet: &Sheet,
    table: &FieldTable<'_>,
    points: &mut Vec<BookPoint>,
) -> Result<Vec<Remark>, Fault> {
    let mut remarks = Vec::new();
    let mut kept: Vec<BookPoint> = Vec::with_capacity(points.len());
    for point in points.drain(..) {
        let before = kept.last();
        let twice = before.is_some_and(|b| b.station_m.is_some() && b.station_m == point.station_m);
        let heights = before.and_then(|b| b.height_m).zip(point.height_m);
        match (twice, heights) {
            (true, Some((a, b))) if (a - b).abs() > 3.0 * point.sd_m.max(0.001) => {
                let row = sheet.rows.iter().find(|r| Some(r.line) == point.place.line);
                let column = sheet.column_of(&["station_m", "station_ft"]).unwrap_or(0);
                let text = "this station has two heights";
                return Err(row
                    .map_or_else(
                        || table.sheet.heads_fault(text),
                        |r| sheet.fault(r, column, text),
                    )
                    .expected("each station once")
                    .advice("correct the station of one of the two rows"));
            }
            (true, _) => remarks.push(Remark::new(
                point.place,
                "this row is not used, because it has the same station as the row before it",
            )),
            (false, _) => kept.push(point),
        }
    }
    *points = kept;
    Ok(remarks)
}

#[derive(Clone, Copy)]
enum Where {
    Station,
    Geographic(usize, usize),
    Grid(LengthColumn, LengthColumn),
}

struct PointColumns {
    station: Option<LengthColumn>,
    where_: Where,
    height: Option<LengthColumn>,
    sd: Option<LengthColumn>,
    name: Option<usize>,
}

impl PointColumns {
    fn find(table: &FieldTable<'_>) -> Result<Self, Fault> {
        let sheet = table.sheet;
        let station = table.length("station")?;
        let (lat, lon) = (
            sheet.column_of(&["lat", "latitude", "lat_deg"]),
            sheet.column_of(&["lon", "longitude", "lon_deg"]),
        );
        let (east, north) = (table.length("east")?, table.length("north")?);
        let height = match table.length("height")? {
            Some(height) => Some(height),
            None => table.length("elevation")?,
        };
        let expected = "station_m, height_m. Or lat, lon, height_m. Or east_m, north_m, height_m";
        if height.is_none() {
            return Err(sheet
                .heads_fault("this sheet of points has no heights")
                .expected(expected)
                .advice("write height_m or height_ft as the head of the height column"));
        }
        let where_ = match (lat, lon, east, north) {
            (Some(_), Some(_), Some(_), _) | (Some(_), Some(_), _, Some(_)) => {
                return Err(sheet
                    .heads_fault("the sheet has two kinds of positions: latitude and longitude, and east and north")
                    .expected("one of the two")
                    .advice("remove the less accurate columns"));
            }
            (Some(lat), Some(lon), None, None) => Where::Geographic(lat, lon),
            (None, None, Some(east), Some(north)) => Where::Grid(east, north),
            (None, None, None, None) if station.is_some() => Where::Station,
            _ => {
                return Err(sheet
                    .heads_fault("the points of this sheet have no position and no station")
                    .expected(expected)
                    .advice("give both columns of a position, or the station"));
            }
        };
        Ok(Self {
            station,
            where_,
            height,
            sd: table.length("sd")?,
            name: sheet.column_of(&["name", "point"]),
        })
    }

    fn height_index(&self, sheet: &Sheet) -> Option<usize> {
        sheet.column_of(&["height_m", "height_ft", "elevation_m", "elevation_ft"])
    }

    fn position(&self, table: &FieldTable<'_>, row: &Row) -> Result<Option<Position>, Fault> {
        let sheet = table.sheet;
        let half = |column: usize| {
            sheet
                .fault(row, column, "this position is not complete")
                .expected("both values of the position, or none")
                .advice("add the missing value")
        };
        match self.where_ {
            Where::Station => Ok(None),
            Where::Geographic(lat, lon) => {
                match (
                    table.degrees(row, Some(lat))?,
                    table.degrees(row, Some(lon))?,
                ) {
                    (Some(lat_deg), Some(lon_deg)) => {
                        for (value, limit, column) in [(lat_deg, 90.0, lat), (lon_deg, 180.0, lon)]
                        {
                            if value.abs() > limit {
                                return Err(sheet
                                    .fault(row, column, "this is not a place on the earth")
                                    .expected(format!("-{limit} to {limit} degrees"))
                                    .advice("use decimal degrees of WGS 84, with south and west negative. Check if the two columns are exchanged"));
                            }
                        }
                        Ok(Some(Position::Geographic { lat_deg, lon_deg }))
                    }
                    (None, None) => Ok(None),
                    (None, _) => Err(half(lat)),
                    (_, None) => Err(half(lon)),
                }
            }
            Where::Grid(east, north) => {
                match (
                    table.metres(row, Some(east))?,
                    table.metres(row, Some(north))?,
                ) {
                    (Some(east_m), Some(north_m)) => Ok(Some(Position::Grid { east_m, north_m })),
                    (None, None) => Ok(None),
                    (None, _) => Err(half(east.index())),
                    (_, None) => Err(half(north.index())),
                }
            }
        }
    }

    fn nowhere(&self, table: &FieldTable<'_>, row: &Row) -> Fault {
        let column = match self.where_ {
            Where::Geographic(lat, _) => lat,
            Where::Grid(east, _) => east.index(),
            Where::Station => self.station.map_or(0, LengthColumn::index),
        };
        table
            .sheet
            .fault(row, column, "this point has no position and no station")
            .expected("a station or a position")
            .advice("add it, or remove the row")
    }
}
